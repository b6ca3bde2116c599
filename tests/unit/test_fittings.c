/* test_fittings.c - tables of ducts and fittings: shapes, cones, factors, flexible ducts, sound */

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "suites.h"
#include "tables_help.h"

static tables_desk desk;

static void setup(void) {
  ck_assert(tables_desk_start(&desk, NULL));
}

static void teardown(void) {
  tables_desk_end(&desk);
}

#define HEAD(kind) "table: " kind "\ntitle: t\nsource: own\nknown: invented\n"
#define SHAPES "{columns: [H/W, \"1\"], points: [[0.31, 1.37], [2.9, 0.91]]}"
#define FACTORS "{columns: [Re, \"1\"], points: [[7000, 1.7], [130000, 1.1]]}"

static size_t said_count(void) {
  size_t count;
  (void)eb_diagnostics(desk.context, &count);
  return count;
}

START_TEST(a_mitre_has_a_shape_a_turn_and_a_factor) {
  tables_write(&desk, "fittings/mitre.yaml",
               HEAD("fittings") "coefficient_by_shape: " SHAPES "\nturn: edgewise\n"
                                "reynolds_factor: " FACTORS "\nsound: bend\nvelocity_to: 9 m/s\n");
  const ebi_fitting *mitre = tables_fitting(&desk, "mitre");
  ck_assert_ptr_nonnull(mitre);
  ck_assert_uint_eq(said_count(), 0);
  ck_assert_int_eq(mitre->kind, EBI_FITTING_BY_SHAPE);
  ck_assert(mitre->edgewise);
  ck_assert_double_eq(mitre->points[1].x, 2.9);
  ck_assert_uint_eq(mitre->n_by_reynolds, 2);
  ck_assert_double_eq(mitre->by_reynolds[1].x, 130000);
  ck_assert_double_eq(mitre->by_reynolds[0].y, 1.7);
  ck_assert_int_eq(mitre->sound, EBI_SOUND_BEND);
  ck_assert_double_eq(mitre->velocity_to, 9);
  ck_assert(!mitre->insertion_loss.given);
}
END_TEST

START_TEST(a_cone_narrows_or_widens) {
  tables_write(&desk, "fittings/cones.yaml",
               HEAD("fittings") "entries:\n  down: {cone: narrowing, angle: 37}\n"
                                "  up: {cone: widening, angle: 0.3}\n");
  const ebi_fitting *down = tables_fitting(&desk, "down"), *up = tables_fitting(&desk, "up");
  ck_assert_ptr_nonnull(down);
  ck_assert_ptr_nonnull(up);
  ck_assert_uint_eq(said_count(), 0);
  ck_assert_int_eq(down->kind, EBI_FITTING_TO_BORE);
  ck_assert(!down->widens && up->widens);
  ck_assert_double_eq(down->cone_angle, 37);
  ck_assert(isinf(down->velocity_to));
  ck_assert_int_eq(down->sound, EBI_SOUND_NONE);
}
END_TEST

START_TEST(a_silencer_has_its_loss) {
  tables_write(&desk, "fittings/quiet.yaml",
               HEAD("fittings") "coefficient: 0.7\nsound: silencer\ninsertion_loss: {columns: [Hz, "
                                "dB], points: [[125, 3.7], [1000, 21]]}\n");
  const ebi_fitting *quiet = tables_fitting(&desk, "quiet");
  ck_assert_ptr_nonnull(quiet);
  ck_assert_int_eq(quiet->sound, EBI_SOUND_SILENCER);
  ck_assert(quiet->insertion_loss.given);
  ck_assert_double_eq(quiet->insertion_loss.db[1], 3.7);
  ck_assert_double_eq(quiet->insertion_loss.db[4], 21);
}
END_TEST

START_TEST(a_flexible_duct_says_how_it_lies) {
  tables_write(&desk, "ducts/soft.yaml",
               HEAD("ducts") "roughness: 0.7 mm\nflexible: yes\nwall: 23 mm\nattenuation: "
                             "{columns: [Hz, dB/m], points: [[125, 1.3], [500, 4.1]]}\n"
                             "sizes: {83: {bore: 83 mm}, 127: {bore: 127 mm, stretched: 93 %}}\n");
  tables_write(&desk, "ducts/hard.yaml",
               HEAD("ducts") "roughness: 0.7 mm\nsizes: {83: {bore: 83 mm}}\n");
  ebi_run small = tables_duct(&desk, "soft-83"), large = tables_duct(&desk, "soft-127");
  ebi_run family = tables_duct(&desk, "soft");
  ck_assert_uint_eq(said_count(), 0);
  ck_assert(small.sized && small.duct.flexible);
  ck_assert_double_eq(small.duct.stretched, 0.85); /* as a length lies that is let go */
  ck_assert_double_eq(large.duct.stretched, 0.93);
  ck_assert_double_eq(large.duct.wall, 0.023);
  ck_assert(large.duct.attenuation.given);
  ck_assert_double_eq(large.duct.attenuation.db[3], 4.1);
  ck_assert(!family.sized && family.duct.flexible);
  ebi_run hard = tables_duct(&desk, "hard-83");
  ck_assert(!hard.duct.flexible && !hard.duct.attenuation.given);
  ck_assert_double_eq(hard.duct.stretched, 1);
}
END_TEST

typedef struct wrong_table {
  const char *kind, *text, *code, *says;
  int line;
} wrong_table;

static const wrong_table wrong_tables[] = {
    {"fittings", HEAD("fittings") "coefficient_by_shape: " SHAPES "\n", "key-missing", "turn", 5},
    {"fittings", HEAD("fittings") "coefficient_by_shape: " SHAPES "\nturn: sideways\n",
     "word-unknown", "edgewise", 6},
    {"fittings", HEAD("fittings") "coefficient: 1\nturn: flatwise\n", "fitting-loss",
     "coefficient_by_shape", 1},
    {"fittings", HEAD("fittings") "cone: narrowing\n", "key-missing", "180", 1},
    {"fittings", HEAD("fittings") "cone: wider\nangle: 30\n", "word-unknown", "widening", 5},
    {"fittings", HEAD("fittings") "cone: widening\nangle: 30\ncoefficient: 1\n", "fitting-loss",
     "only one", 1},
    {"fittings", HEAD("fittings") "cone: widening\nangle: 30\nface_area: 1 m2\n", "fitting-loss",
     "face_area", 1},
    {"fittings", HEAD("fittings") "drop: 3 Pa\nat: 9 l/s\nreynolds_factor: " FACTORS "\n",
     "fitting-loss", "velocity in the duct", 7},
    {"fittings",
     HEAD("fittings") "coefficient: 1\nreynolds_factor: {columns: [Re, \"1\"], points: [[0, 1]]}\n",
     "out-of-range", "Reynolds", 6},
    {"fittings", HEAD("fittings") "coefficient: 1\nsound: silencer\n", "fitting-sound",
     "insertion_loss", 1},
    {"fittings",
     HEAD("fittings") "coefficient: 1\ninsertion_loss: {columns: [Hz, dB], points: [[125, 3]]}\n",
     "fitting-sound", "silencer", 1},
    {"fittings",
     HEAD("fittings") "coefficient: 1\nsound: silencer\n"
                      "insertion_loss: {columns: [Hz, dB], points: [[130, 3]]}\n",
     "band-unknown", "octave", 7},
    {"fittings", HEAD("fittings") "coefficient: 1\nvelocity_to: 0 m/s\n", "out-of-range",
     "velocity_to", 6},
    {"ducts", HEAD("ducts") "roughness: 0.1 mm\nsizes: {8: {bore: 83 mm, stretched: 90 %}}\n",
     "duct-measures", "flexible: yes", 6},
    {"ducts",
     HEAD("ducts") "roughness: 0.1 mm\nflexible: yes\nstretched: 20 %\nsizes: {8: {bore: 9 cm}}\n",
     "out-of-range", "stretched", 7},
    {"ducts", HEAD("ducts") "roughness: 0.1 mm\nflexible: soft\nsizes: {8: {bore: 9 cm}}\n",
     "word-unknown", "yes", 6},
    {"ducts", HEAD("ducts") "roughness: 0.1 mm\nwall: 2\nsizes: {8: {bore: 9 cm}}\n",
     "unit-missing", "mm", 6},
    {"ducts",
     HEAD("ducts") "roughness: 0.1 mm\nsizes: {8: {bore: 9 cm}}\n"
                   "attenuation: {columns: [Hz, dB], points: [[125, 3]]}\n",
     "unit-wrong", "dB/m", 7},
};

/* Every file in its folder's own name "x". */
START_TEST(wrong_parts_are_told) {
  const wrong_table *wrong = &wrong_tables[_i];
  char path[64];
  snprintf(path, sizeof path, "%s/x.yaml", wrong->kind);
  tables_write(&desk, path, wrong->text);
  ck_assert(!tables_load(&desk, wrong->kind, "x"));
  const eb_diagnostic *said = tables_said(&desk, wrong->code);
  ck_assert_msg(said != NULL, "no %s for:\n%s", wrong->code, wrong->text);
  ck_assert_msg(strstr(said->message, wrong->says) != NULL, "\"%s\" lacks \"%s\"", said->message,
                wrong->says);
  ck_assert_int_eq(said->line, wrong->line);
}
END_TEST

Suite *suite_fittings(void) {
  Suite *suite = suite_create("fittings");
  TCase *tcase = tcase_create("fittings");
  tcase_add_checked_fixture(tcase, setup, teardown);
  tcase_add_test(tcase, a_mitre_has_a_shape_a_turn_and_a_factor);
  tcase_add_test(tcase, a_cone_narrows_or_widens);
  tcase_add_test(tcase, a_silencer_has_its_loss);
  tcase_add_test(tcase, a_flexible_duct_says_how_it_lies);
  tcase_add_loop_test(tcase, wrong_parts_are_told, 0,
                      (int)(sizeof wrong_tables / sizeof wrong_tables[0]));
  suite_add_tcase(suite, tcase);
  return suite;
}
