/* test_tables.c - tables found by name, read once, and what is said of wrong ones */

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

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
#define LOUVRE HEAD("fittings") "coefficient: 7.3\nface_area: 0.0437 m2\nend: yes\n"

static size_t said_count(void) {
  size_t count;
  (void)eb_diagnostics(desk.context, &count);
  return count;
}

/* ---- Names and files --------------------------------------------------- */

START_TEST(a_name_is_a_file_and_is_read_once) {
  tables_write(&desk, "fittings/louvre.yaml", LOUVRE);
  const ebi_fitting *first = tables_fitting(&desk, "louvre");
  ck_assert_ptr_nonnull(first);
  ck_assert_str_eq(first->entry.name, "louvre");
  ck_assert_str_eq(first->entry.source.text, "own");
  ck_assert_double_eq(first->coefficient, 7.3);
  ck_assert_double_eq(first->area, 0.0437);
  ck_assert_int_eq(first->basis, EBI_BASIS_AREA);
  ck_assert(first->end);
  tables_remove(&desk, "fittings/louvre.yaml");
  ck_assert_ptr_eq(tables_fitting(&desk, "louvre"), first);
}
END_TEST

START_TEST(the_first_folder_wins) {
  tables_desk other;
  ck_assert(tables_desk_start(&other, NULL));
  tables_write(&desk, "fittings/bend.yaml", HEAD("fittings") "coefficient: 0.31\n");
  tables_write(&other, "fittings/bend.yaml", HEAD("fittings") "coefficient: 0.47\n");
  tables_write(&other, "fittings/many.yaml",
               HEAD("fittings") "entries: {only-here: {coefficient: 0.59}}\n");
  ck_assert_double_eq(tables_fitting(&desk, "bend")->coefficient, 0.31);
  ck_assert_int_eq(eb_tables_search(desk.context, other.folder), EB_OK);
  ck_assert_double_eq(tables_fitting(&desk, "bend")->coefficient, 0.47);
  ck_assert_double_eq(tables_fitting(&desk, "only-here")->coefficient, 0.59);
  tables_desk_end(&other);
}
END_TEST

START_TEST(entries_of_a_family_have_names_of_their_own) {
  tables_write(&desk, "valves/pair.yaml",
               HEAD("valves") "entries:\n"
                              "  small: {bore: 83 mm, loss: {columns: [mm, l/s/Pa^0.5], points: "
                              "[[-3, 0.7], [9, 2.9]]}}\n"
                              "  large: {title: big, source: elsewhere, known: quoted, loss: "
                              "{columns: [turns, m3/h/Pa^0.5], points: [[1, 3.6], [2, 7.2]]}}\n");
  const ebi_valve *small = tables_valve(&desk, "small"), *large = tables_valve(&desk, "large");
  ck_assert_ptr_nonnull(small);
  ck_assert_ptr_nonnull(large);
  ck_assert_str_eq(small->entry.title, "t");
  ck_assert_double_eq_tol(small->loss[1].y, 0.0029, 1e-15);
  ck_assert_double_eq(small->bore, 0.083);
  ck_assert_str_eq(large->entry.title, "big");
  ck_assert_str_eq(large->entry.source.known, "quoted");
  ck_assert_str_eq(large->opening_unit, "turns");
  ck_assert_double_eq_tol(large->loss[0].y, 0.001, 1e-15);
  ck_assert_ptr_null(tables_valve(&desk, "pair"));
  ck_assert_ptr_nonnull(tables_said(&desk, "table-several"));
}
END_TEST

START_TEST(a_path_is_relative_to_the_file_that_names_it) {
  tables_write(&desk, "own/mine.yaml", LOUVRE);
  ck_assert_ptr_nonnull(tables_fitting(&desk, "own/mine.yaml"));
  ck_assert_ptr_nonnull(tables_fitting(&desk, "./own/../own/mine.yaml"));
  ck_assert_uint_eq(said_count(), 0);
  ck_assert_ptr_null(tables_fitting(&desk, "mine.yaml"));
  ck_assert_ptr_nonnull(tables_said(&desk, "file"));
  const eb_diagnostic *said = tables_said(&desk, "table-broken");
  ck_assert_ptr_nonnull(said);
  ck_assert_str_eq(said->file, desk.house);
  ck_assert_int_eq(said->line, 3);
  ck_assert_int_eq(said->column, 7);
}
END_TEST

START_TEST(names_are_plain) {
  static const char *const wrong[] = {"", ".", "..", ".hidden", "a b", "st\xc3\xa9", "a\nb", "a*"};
  tables_write(&desk, "fittings/a.yaml", LOUVRE);
  for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
    eb_diagnostics_clear(desk.context);
    ck_assert_ptr_null(tables_fitting(&desk, wrong[i]));
    ck_assert_ptr_nonnull(tables_said(&desk, "table-name"));
  }
  ebi_yaml cut = tables_value(&desk, "a");
  cut.length = 2; /* "a\0": a NUL inside */
  eb_diagnostics_clear(desk.context);
  ck_assert_ptr_null(ebi_fitting_load(&desk.reader, &cut));
  ck_assert_ptr_nonnull(tables_said(&desk, "table-name"));
  char longer[202];
  memset(longer, 'a', sizeof longer - 1);
  longer[201] = '\0';
  eb_diagnostics_clear(desk.context);
  ck_assert_ptr_null(tables_fitting(&desk, longer));
  ck_assert_ptr_nonnull(tables_said(&desk, "table-name"));
}
END_TEST

START_TEST(an_unknown_name_suggests_the_nearest) {
  tables_write(
      &desk, "ducts/tin.yaml",
      HEAD("ducts") "roughness: 0.11 mm\nsizes: {83: {bore: 83 mm}, 127: {bore: 127 mm}}\n");
  ebi_run run = tables_duct(&desk, "tin-172");
  ck_assert(!run.sized);
  const eb_diagnostic *said = tables_said(&desk, "table-unknown");
  ck_assert_ptr_nonnull(said);
  ck_assert_str_eq(said->file, desk.house);
  ck_assert_ptr_nonnull(strstr(said->message, "tin-127"));
  eb_diagnostics_clear(desk.context);
  (void)tables_duct(&desk, "completely-different-thing");
  said = tables_said(&desk, "table-unknown");
  ck_assert_ptr_nonnull(said);
  ck_assert_ptr_nonnull(strstr(said->message, desk.folder));
}
END_TEST

/* ---- Broken files ------------------------------------------------------ */

START_TEST(a_broken_file_is_told_once_and_mended) {
  tables_write(&desk, "fittings/bend.yaml", HEAD("fittings") "coeficient: 0.31\n");
  ck_assert_ptr_null(tables_fitting(&desk, "bend"));
  const eb_diagnostic *said = tables_said(&desk, "key-unknown");
  ck_assert_ptr_nonnull(said);
  ck_assert_ptr_nonnull(strstr(said->file, "/fittings/bend.yaml"));
  ck_assert_int_eq(said->line, 5);
  ck_assert_int_eq(said->column, 1);
  ck_assert_ptr_nonnull(strstr(said->message, "coefficient"));
  size_t count = said_count();
  ck_assert_ptr_null(tables_fitting(&desk, "bend"));
  ck_assert_uint_eq(said_count(), count + 1); /* only the place that named it */
  tables_write(&desk, "fittings/bend.yaml", HEAD("fittings") "coefficient: 0.31\n");
  eb_diagnostics_clear(desk.context);
  ck_assert_ptr_nonnull(tables_fitting(&desk, "bend"));
  ck_assert_uint_eq(said_count(), 0);
}
END_TEST

typedef struct wrong_table {
  const char *kind, *text, *code, *says;
  int line;
} wrong_table;

#define POINTS(list) "{columns: [mm, \"1\"], points: " list "}"

static const wrong_table wrong_tables[] = {
    {"fittings", "title: [\n", "yaml", "", 2},
    {"fittings", "", "empty", "", 1},
    {"fittings", "table: fittings\nsource: a\nknown: read\ncoefficient: 1\n", "key-missing",
     "title", 1},
    {"fittings", "title: t\nknown: read\ncoefficient: 1\n", "key-missing", "source", 1},
    {"fittings", "title: t\nsource: s\ncoefficient: 1\n", "key-missing", "known", 1},
    {"fittings", "title: t\nsource: s\nknown: surely\ncoefficient: 1\n", "word-unknown", "read", 3},
    {"fittings", HEAD("valves") "coefficient: 1\n", "table-kind", "table: fittings", 1},
    {"fittings", HEAD("fittings"), "fitting-loss", "only one", 1},
    {"fittings", HEAD("fittings") "coefficient: 1\ndrop: 3 Pa\nat: 9 l/s\n", "fitting-loss", "", 1},
    {"fittings", HEAD("fittings") "drop: 3 Pa\n", "key-missing", "at:", 1},
    {"fittings", HEAD("fittings") "drop: 3\nat: 9 l/s\n", "unit-missing", "Pa", 5},
    {"fittings", HEAD("fittings") "coefficient: 1e7\n", "out-of-range", "1000000", 5},
    {"fittings", HEAD("fittings") "coefficient_by_bore: " POINTS("[[7, 1], [90, 2]]") "\n",
     "out-of-range", "bore", 5},
    {"fittings", HEAD("fittings") "coefficient_by_bore: " POINTS("[[90, 1], [70, 2]]") "\n",
     "not-rising", "", 5},
    {"fittings", HEAD("fittings") "coefficient_by_bore: " POINTS("[[90]]") "\n", "columns", "2", 5},
    {"fittings", HEAD("fittings") "coefficient_by_radius: " POINTS("[[0.7, 1]]") "\n",
     "key-missing", "radius", 5},
    {"fittings",
     HEAD("fittings") "coefficient_by_angle: {columns: [deg, \"1\"], points: [[9, 1]]}\n",
     "key-missing", "angle", 5},
    {"fittings", HEAD("fittings") "coefficient: 1\nreynolds: {from: 9e4, to: 8e4}\n",
     "out-of-range", "less", 6},
    {"fittings", HEAD("fittings") "entries: [a]\n", "kind-wrong", "entries", 5},
    {"fittings", HEAD("fittings") "entries: {a: 3}\n", "kind-wrong", "mapping", 5},
    {"fittings", HEAD("fittings") "entries: {x: {coefficient: 1}}\ncoefficient: 1\n", "key-unknown",
     "coefficient", 6},
    {"ducts", HEAD("ducts") "roughness: 0.1 mm\n", "key-missing", "sizes", 1},
    {"ducts", HEAD("ducts") "roughness: 0.1 mm\nsizes: {}\n", "kind-wrong", "125", 6},
    {"ducts", HEAD("ducts") "sizes: {8: {bore: 83 mm}}\n", "duct-measures", "roughness", 5},
    {"ducts", HEAD("ducts") "roughness: 6 mm\nsizes: {8: {bore: 83 mm}}\n", "out-of-range", "0.05",
     6},
    {"ducts", HEAD("ducts") "roughness: 0.1 mm\nsizes: {8: {width: 83 mm}}\n", "duct-measures",
     "width", 6},
    {"ducts", HEAD("ducts") "roughness: 0.1 mm\nsizes: {8: {bore: 83 mm, width: 83 mm}}\n",
     "duct-measures", "not both", 6},
    {"ducts",
     HEAD("ducts") "roughness: 0.1 mm\nshape: oval\nsizes: {8: {width: 53 mm, height: 83 mm}}\n",
     "duct-measures", "longer", 7},
    {"ducts", HEAD("ducts") "roughness: 0.1 mm\nshape: square\nsizes: {8: {bore: 83 mm}}\n",
     "word-unknown", "round", 6},
    {"ducts",
     HEAD(
         "ducts") "roughness: {value: 0.3 mm, range: [0.1 mm, 0.2 mm]}\nsizes: {8: {bore: 9 cm}}\n",
     "out-of-range", "0.3 mm", 5},
    {"ducts", HEAD("ducts") "roughness: {value: 0.3 mm, range: 4 mm}\nsizes: {8: {bore: 9 cm}}\n",
     "kind-wrong", "two lengths", 5},
    {"valves", HEAD("valves") "bore: 83 mm\n", "key-missing", "loss", 1},
    {"valves", HEAD("valves") "loss: {columns: [mm, l/s/Pa^0.5], points: [[1, 3], [2, 3]]}\n",
     "not-rising", "k must rise", 5},
    {"valves", HEAD("valves") "loss: {columns: [ells, l/s/Pa^0.5], points: [[1, 3], [2, 4]]}\n",
     "unit-unknown", "turns", 5},
    {"valves", HEAD("valves") "loss: {columns: [mm, l/s], points: [[1, 3], [2, 4]]}\n",
     "unit-wrong", "l/s/Pa^0.5", 5},
    {"valves", HEAD("valves") "loss: {columns: [mm, l/s/Pa^0.5], points: [[1, 0], [2, 4]]}\n",
     "out-of-range", "k 0", 5},
    {"valves",
     HEAD("valves") "loss: {columns: [mm, l/s/Pa^0.5], points: [[1, 3]]}\n"
                    "tap: {columns: [turns, l/s/Pa^0.5], points: [[1, 3]]}\n",
     "unit-wrong", "one unit", 1},
    {"units", HEAD("units") "standby: 3 W\n", "key-missing", "fans:", 1},
};

/* Every file in its folder's own name "x". */
START_TEST(wrong_tables_are_told) {
  const wrong_table *wrong = &wrong_tables[_i];
  char path[64];
  snprintf(path, sizeof path, "%s/x.yaml", wrong->kind);
  tables_write(&desk, path, wrong->text);
  ck_assert(!tables_load(&desk, wrong->kind, "x"));
  const eb_diagnostic *said = tables_said(&desk, wrong->code);
  ck_assert_msg(said != NULL, "no %s for:\n%s", wrong->code, wrong->text);
  ck_assert_msg(strstr(said->message, wrong->says) != NULL, "\"%s\" lacks \"%s\"", said->message,
                wrong->says);
  ck_assert_ptr_nonnull(strstr(said->file, path));
  ck_assert_int_eq(said->line, wrong->line);
  ck_assert_ptr_nonnull(tables_said(&desk, "table-broken"));
}
END_TEST

/* ---- Ducts of a run ---------------------------------------------------- */

static ebi_run run_of(const char *text) {
  ebi_run run = {.name = "run"};
  ebi_duct_read(&desk.reader, tables_mapping(&desk, text), &run);
  return run;
}

START_TEST(a_run_may_bring_its_own_duct) {
  ebi_run run = run_of("{bore: 104 mm, roughness: 0.013 mm}");
  ck_assert(run.sized);
  ck_assert_int_eq(run.duct.shape, EBI_ROUND);
  ck_assert_double_eq(run.duct.bore, 0.104);
  ck_assert_double_eq(run.duct.roughness, 13e-6);
  ck_assert_str_eq(run.duct.name, "104 mm");
  run = run_of("{width: 211 mm, height: 57 mm, roughness: 0.03 mm}");
  ck_assert(run.sized);
  ck_assert_int_eq(run.duct.shape, EBI_RECTANGLE);
  ck_assert_double_eq(run.duct.width, 0.211);
  ck_assert_double_eq(run.duct.height, 0.057);
  ck_assert_str_eq(run.duct.name, "211 x 57 mm");
  ck_assert(run_of("{shape: oval, width: 21 cm, height: 6 cm, roughness: 0 mm}").sized);
  ck_assert_uint_eq(said_count(), 0);
  ck_assert(!run_of("{bore: 104 mm}").sized);
  ck_assert_ptr_nonnull(tables_said(&desk, "duct-measures"));
  ck_assert(!run_of("{bore: 104 mm, rougness: 0.1 mm}").sized);
  ck_assert_ptr_nonnull(tables_said(&desk, "key-unknown"));
}
END_TEST

START_TEST(a_run_may_name_family_and_size_apart) {
  tables_write(
      &desk, "mine.yaml",
      HEAD("ducts") "roughness: 0.07 mm\n"
                    "sizes: {97: {bore: 97 mm}, 131: {bore: 131 mm, roughness: 0.5 mm}}\n");
  ebi_run run = run_of("{family: mine.yaml, size: 131}");
  ck_assert(run.sized);
  ck_assert_str_eq(run.duct.name, "mine-131");
  ck_assert_double_eq(run.duct.roughness, 0.0005);
  ebi_run family = tables_duct(&desk, "mine.yaml");
  ck_assert(!family.sized);
  ck_assert_str_eq(family.duct_family, "mine");
  ck_assert_uint_eq(said_count(), 0);
  ck_assert(!run_of("{family: mine.yaml, size: 113}").sized);
  const eb_diagnostic *said = tables_said(&desk, "table-unknown");
  ck_assert_ptr_nonnull(said);
  ck_assert_ptr_nonnull(strstr(said->message, "131"));
  ck_assert(!run_of("{family: mine.yaml}").sized);
}
END_TEST

/* ---- A house's own unit and valve -------------------------------------- */

#define CURVE "{speed: 100 %, columns: [l/s, Pa, W], points: [[0, 420, 30], [40, 360, 45]]}"

START_TEST(a_unit_may_stand_in_the_house) {
  const ebi_unit *unit = ebi_unit_load(
      &desk.reader,
      tables_mapping(
          &desk,
          "name: my unit\n"
          "exchanger: {temperature_ratio: 83 %, moisture_ratio: 0.4, at: 180 m3/h}\n"
          "fans:\n"
          "  supply: {basis: static, power: both, curves: [" CURVE
          ", {speed: 61 %, columns: [m3/h, Pa], points: [[0, 150], [90, 110], [180, 20]]}]}\n"
          "  extract: {curves: [" CURVE "]}\n"
          "spigots: {outdoor: 161 mm, supply: 162 mm, extract: 163 mm, exhaust: 164 mm}\n"
          "filters: {outdoor: {clean: 11 Pa, loaded: 83 Pa, at: 40 l/s, exponent: 1.3, in_curve: "
          "no}}\n"
          "bypass: {opens_above: 21.5 C}\n"
          "frost: {method: reduce-supply, below: -3 C}\n"
          "standby: 4.5 W\n"
          "signal: {unit: V, map: [[1, 0], [9.5, 100]]}\n"));
  ck_assert_ptr_nonnull(unit);
  ck_assert_uint_eq(said_count(), 0);
  ck_assert_str_eq(unit->entry.name, "my unit");
  ck_assert(unit->has_exchanger);
  ck_assert_double_eq(unit->temperature_ratio, 0.83);
  ck_assert_double_eq(unit->moisture_ratio, 0.4);
  ck_assert_double_eq(unit->ratio_at.value, 0.05);
  const ebi_fan_data *fan = &unit->supply_fan;
  ck_assert(fan->static_basis && fan->power_both);
  ck_assert(!unit->extract_fan.static_basis && !unit->extract_fan.power_both);
  ck_assert_uint_eq(fan->n_curves, 2);
  ck_assert_double_eq(fan->curves[0].speed, 0.61); /* sorted */
  ck_assert_double_eq(fan->curves[0].points[1].flow, 0.025);
  ck_assert(isnan(fan->curves[0].points[1].power));
  ck_assert_double_eq(fan->curves[1].points[1].power, 45);
  ck_assert_double_eq(unit->spigot[EB_OUTDOOR], 0.161);
  ck_assert_double_eq(unit->spigot[EB_EXHAUST], 0.164);
  ck_assert_double_eq(unit->filter_outdoor.exponent, 1.3);
  ck_assert(!unit->filter_outdoor.in_curve);
  ck_assert(unit->filter_extract.in_curve && !unit->filter_extract.clean.given);
  ck_assert_double_eq(unit->bypass_opens_above.value, 21.5);
  ck_assert_int_eq(unit->frost, EBI_FROST_REDUCE_SUPPLY);
  ck_assert_double_eq(unit->frost_below.value, -3);
  ck_assert_double_eq(unit->standby, 4.5);
  ck_assert_str_eq(unit->controller.unit, "V");
  ck_assert_double_eq(unit->signal_map[1].x, 0.95);
  ck_assert_double_eq(unit->signal_map[1].y, 1);
}
END_TEST

START_TEST(one_fan_is_for_both_sides) {
  const ebi_unit *unit = ebi_unit_load(
      &desk.reader, tables_mapping(&desk, "fan: {curves: [" CURVE "]}\nspigots: 127 mm\n"));
  ck_assert_ptr_nonnull(unit);
  ck_assert_uint_eq(unit->extract_fan.n_curves, 1);
  ck_assert_double_eq(unit->extract_fan.curves[0].points[0].pressure, 420);
  for (int air = EB_OUTDOOR; air <= EB_EXHAUST; air++)
    ck_assert_double_eq(unit->spigot[air], 0.127);
  ck_assert(!unit->has_exchanger);
}
END_TEST

typedef struct wrong_unit {
  const char *text, *code, *says;
} wrong_unit;

static const wrong_unit wrong_units[] = {
    {"fan: {curves: [" CURVE "]}\nfans: {supply: {curves: [" CURVE "]}, extract: {curves: [" CURVE
     "]}}\n",
     "key-twice", "either"},
    {"fans: {supply: {curves: [" CURVE "]}}\n", "key-missing", "extract"},
    {"fan: {curves: []}\n", "kind-wrong", "list of curves"},
    {"fan: {curves: [" CURVE ", " CURVE "]}\n", "curve-twice", "100 %"},
    {"fan: {curves: [{speed: 0 %, columns: [l/s, Pa], points: [[0, 9], [5, 3]]}]}\n",
     "out-of-range", "speed"},
    {"fan: {curves: [{speed: 9 %, columns: [l/s, Pa], points: [[0, 9]]}]}\n", "curve-short", "two"},
    {"fan: {curves: [{speed: 9 %, columns: [l/s, Pa], points: [[7, 9], [5, 3]]}]}\n", "not-rising",
     ""},
    {"fan: {curves: [{speed: 9 %, columns: [l/s, Pa], points: [[0, -9], [5, 3]]}]}\n",
     "out-of-range", "pressure"},
    {"fan: {curves: [{speed: 9 %, columns: [l/s, W], points: [[0, 9], [5, 3]]}]}\n", "unit-wrong",
     "Pa"},
    {"fan: {curves: [" CURVE "]}\nexchanger: {at: 9 l/s}\n", "key-missing", "temperature_ratio"},
    {"fan: {curves: [" CURVE "]}\nexchanger: {temperature_ratio: 83}\n", "out-of-range", "%"},
    {"fan: {curves: [" CURVE "]}\nfilters: {outdoor: {clean: 9 Pa}}\n", "key-missing", "at:"},
    {"fan: {curves: [" CURVE "]}\nfilters: {outdoor: {clean: 9 Pa, loaded: 3 Pa, at: 9 l/s}}\n",
     "out-of-range", "3 Pa"},
    {"fan: {curves: [" CURVE "]}\nfrost: {method: preheat}\n", "word-unknown", "preheater"},
    {"fan: {curves: [" CURVE "]}\nsignal: {map: [[0, 0], [50, 40], [50, 60]]}\n", "not-rising", ""},
    {"fan: {curves: [" CURVE "]}\nsignal: {unit: V, map: [[0, 0], [50, 40]]}\n", "out-of-range",
     ""},
    {"fan: {curves: [" CURVE "]}\nsignal: {map: [[0, 0]]}\n", "kind-wrong", "two points"},
};

START_TEST(wrong_units_are_told) {
  const wrong_unit *wrong = &wrong_units[_i];
  ck_assert_ptr_null(ebi_unit_load(&desk.reader, tables_mapping(&desk, wrong->text)));
  const eb_diagnostic *said = tables_said(&desk, wrong->code);
  ck_assert_msg(said != NULL, "no %s for:\n%s", wrong->code, wrong->text);
  ck_assert_msg(strstr(said->message, wrong->says) != NULL, "\"%s\" lacks \"%s\"", said->message,
                wrong->says);
  ck_assert_str_eq(said->file, desk.house);
}
END_TEST

START_TEST(a_valve_may_stand_in_the_house) {
  const ebi_yaml *mapping = tables_mapping(
      &desk, "loss: {columns: [mm, l/s/Pa^0.5], points: [[2, 0.8], [6, 2.1], [12, 3.6]]}\n"
             "tap: {columns: [mm, l/s/Pa^0.5], points: [[2, 0.9], [12, 4.1]]}\n");
  const ebi_valve *valve = ebi_valve_read(&desk.reader, "my-valve", mapping);
  ck_assert_ptr_nonnull(valve);
  ck_assert_str_eq(valve->entry.name, "my-valve");
  ck_assert_uint_eq(valve->n_loss, 3);
  ck_assert_double_eq_tol(valve->loss[2].y, 0.0036, 1e-15);
  ck_assert_uint_eq(valve->n_tap, 2);
  ck_assert_ptr_null(ebi_valve_read(&desk.reader, "v", tables_mapping(&desk, "bore: 9 cm\n")));
}
END_TEST

/* ---- Lists ------------------------------------------------------------- */

START_TEST(a_list_is_sorted_and_whole) {
  const eb_table_info *tables;
  size_t count;
  tables_write(&desk, "valves/z.yaml",
               HEAD("valves") "loss: {columns: [mm, l/s/Pa^0.5], points: [[1, 3]]}\n");
  static const char tin_text[] =
      HEAD("ducts") "roughness: 0.1 mm\nsizes: {83: {bore: 83 mm}, 9: {bore: 9 cm}}\n";
  tables_write(&desk, "ducts/tin.yaml", tin_text);
  tables_write(&desk, "ducts/alu.yaml",
               HEAD("ducts") "roughness: 0.1 mm\nsizes: {83: {bore: 83 mm}}\n");
  tables_write(&desk, "ducts/.hidden.yaml", "title: [");
  tables_write(&desk, "ducts/notes.txt", "title: [");
  ck_assert_int_eq(eb_tables_list(desk.context, "ducts", &tables, &count), EB_OK);
  const eb_table_info *alu = NULL, *tin = NULL;
  for (size_t i = 0; i < count; i++) {
    ck_assert_str_eq(tables[i].kind, "ducts");
    if (i > 0)
      ck_assert_str_lt(tables[i - 1].name, tables[i].name);
    alu = strcmp(tables[i].name, "alu") == 0 ? &tables[i] : alu;
    tin = strcmp(tables[i].name, "tin") == 0 ? &tables[i] : tin;
  }
  ck_assert_ptr_nonnull(alu);
  ck_assert_ptr_nonnull(tin);
  ck_assert_str_eq(tin->source, "own");
  ck_assert_str_eq(tin->known, "invented");
  ck_assert_uint_eq(tin->n_members, 2);
  ck_assert_str_eq(tin->members[1], "tin-9");
  const char *text;
  size_t length;
  ck_assert_int_eq(eb_table_text(desk.context, "ducts", "tin-9", &text, &length), EB_OK);
  ck_assert_uint_eq(length, sizeof tin_text - 1);
  ck_assert_mem_eq(text, tin_text, length);
}
END_TEST

START_TEST(a_list_with_a_broken_table_is_an_error) {
  const eb_table_info *tables = NULL;
  size_t count = 77;
  tables_write(&desk, "units/bad.yaml", "title: no source\n");
  for (int i = 0; i < 2; i++) /* told once, an error each time */
    ck_assert_int_eq(eb_tables_list(desk.context, NULL, &tables, &count), EB_E_TABLE);
  ck_assert_ptr_null(tables);
  ck_assert_uint_eq(count, 77);
  ck_assert_uint_eq(said_count(), 2);
  tables_remove(&desk, "units/bad.yaml");
  eb_diagnostics_clear(desk.context);
  ck_assert_int_eq(eb_tables_list(desk.context, NULL, &tables, &count), EB_OK);
}
END_TEST

START_TEST(what_is_not_there_is_an_error) {
  const eb_table_info *tables;
  const char *text;
  size_t count;
  ck_assert_int_eq(eb_tables_list(desk.context, "duckts", &tables, &count), EB_E_TABLE);
  ck_assert_ptr_nonnull(strstr(tables_said(&desk, "table-kind")->message, "\"ducts\""));
  ck_assert_int_eq(eb_tables_list(NULL, NULL, &tables, &count), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_table_text(desk.context, "ducts", NULL, &text, &count), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_table_text(desk.context, "../ducts", "a", &text, &count), EB_E_TABLE);
  tables_write(&desk, "secret.yaml", LOUVRE);
  ck_assert_int_eq(eb_table_text(desk.context, "ducts", "../secret", &text, &count), EB_E_TABLE);
  ck_assert_ptr_nonnull(tables_said(&desk, "table-unknown"));
}
END_TEST

START_TEST(what_was_read_is_listed) {
  const eb_table_info *tables = NULL;
  size_t count = 77;
  ck_assert_int_eq(eb_tables_used(desk.context, &tables, &count), EB_OK);
  ck_assert_uint_eq(count, 0);
  tables_write(&desk, "fittings/louvre.yaml", LOUVRE);
  tables_write(&desk, "fittings/unread.yaml", LOUVRE);
  tables_write(&desk, "fittings/bad.yaml", "title: no source\n");
  tables_write(&desk, "ducts/tin.yaml",
               HEAD("ducts") "roughness: 0.1 mm\nsizes: {83: {bore: 83 mm}}\n");
  for (int i = 0; i < 2; i++)
    ck_assert_ptr_nonnull(tables_fitting(&desk, "louvre"));
  ck_assert_ptr_null(tables_fitting(&desk, "bad"));
  (void)tables_duct(&desk, "tin-83");
  ck_assert_int_eq(eb_tables_used(desk.context, &tables, &count), EB_OK);
  ck_assert_uint_eq(count, 2);
  ck_assert_str_eq(tables[0].kind, "ducts");
  ck_assert_str_eq(tables[0].name, "tin");
  ck_assert_str_eq(tables[1].kind, "fittings");
  ck_assert_str_eq(tables[1].source, "own");
  ck_assert_str_eq(tables[1].known, "invented");
  ck_assert_ptr_nonnull(strstr(tables[1].path, "fittings/louvre.yaml"));
  ck_assert_int_eq(eb_tables_used(NULL, &tables, &count), EB_E_ARGUMENT);
}
END_TEST

/* ---- Memory ------------------------------------------------------------ */

typedef struct meter {
  long left; /* allocations before the failing ones */
  size_t held;
} meter;

static void *metered(void *user, void *pointer, size_t old_size, size_t new_size) {
  meter *m = user;
  if (new_size == 0) {
    m->held -= old_size;
    free(pointer);
    return NULL;
  }
  if (m->left-- <= 0)
    return NULL;
  void *fresh = realloc(pointer, new_size);
  if (fresh != NULL)
    m->held += new_size - old_size;
  return fresh;
}

/* Much of what a house may name; false where memory ran out on the way. */
static bool load_some(tables_desk *shipped) {
  const eb_table_info *tables;
  size_t count;
  (void)tables_duct(shipped, "steel-127");
  if (!tables_duct(shipped, "steel-125").sized || !tables_fitting(shipped, "bend-radius") ||
      !tables_valve(shipped, "extract-valve-125") || !tables_unit(shipped, "generic-unit-b"))
    return false;
  eb_status status = eb_tables_list(shipped->context, "valves", &tables, &count);
  ck_assert(status == EB_OK || status == EB_E_MEMORY);
  return status == EB_OK && tables_said(shipped, "table-unknown") != NULL;
}

/* A lack of memory is never taken for a wrong table. */
static void only_memory_is_blamed(const tables_desk *shipped) {
  size_t count;
  const eb_diagnostic *said = eb_diagnostics(shipped->context, &count);
  for (size_t i = 0; i < count; i++)
    ck_assert_msg(strcmp(said[i].code, "memory") == 0 || strcmp(said[i].code, "table-unknown") == 0,
                  "%s: %s", said[i].code, said[i].message);
}

START_TEST(memory_may_run_out_anywhere) {
  bool done = false;
  for (long left = 0; !done; left++) {
    meter m = {.left = left};
    eb_allocator allocator = {metered, &m, 256};
    tables_desk shipped = {0};
    ck_assert_int_lt(left, 100000);
    if (tables_desk_shipped(&shipped, &allocator)) {
      done = load_some(&shipped);
      only_memory_is_blamed(&shipped);
      ck_assert(done || m.left < 0);
    }
    tables_desk_end(&shipped);
    ck_assert_uint_eq(m.held, 0);
  }
}
END_TEST

START_TEST(failing_again_and_again_takes_no_more_memory) {
  meter m = {.left = 1000000000};
  eb_allocator allocator = {metered, &m, 0};
  tables_desk own;
  ck_assert(tables_desk_start(&own, &allocator));
  tables_write(&own, "units/bad.yaml", HEAD("units") "stand_by: 3 W\n");
  ck_assert(!tables_load(&own, "units", "bad"));
  eb_diagnostics_clear(own.context);
  size_t held = m.held;
  for (int i = 0; i < 9; i++) {
    ck_assert(!tables_load(&own, "units", "bad"));
    eb_diagnostics_clear(own.context);
  }
  ck_assert_uint_eq(m.held, held);
  tables_desk_end(&own);
}
END_TEST

Suite *suite_tables(void) {
  Suite *suite = suite_create("tables");
  TCase *test = tcase_create("tables");
  tcase_add_checked_fixture(test, setup, teardown);
  tcase_add_test(test, a_name_is_a_file_and_is_read_once);
  tcase_add_test(test, the_first_folder_wins);
  tcase_add_test(test, entries_of_a_family_have_names_of_their_own);
  tcase_add_test(test, a_path_is_relative_to_the_file_that_names_it);
  tcase_add_test(test, names_are_plain);
  tcase_add_test(test, an_unknown_name_suggests_the_nearest);
  tcase_add_test(test, a_broken_file_is_told_once_and_mended);
  tcase_add_loop_test(test, wrong_tables_are_told, 0,
                      (int)(sizeof wrong_tables / sizeof wrong_tables[0]));
  tcase_add_test(test, a_run_may_bring_its_own_duct);
  tcase_add_test(test, a_run_may_name_family_and_size_apart);
  tcase_add_test(test, a_unit_may_stand_in_the_house);
  tcase_add_test(test, one_fan_is_for_both_sides);
  tcase_add_loop_test(test, wrong_units_are_told, 0,
                      (int)(sizeof wrong_units / sizeof wrong_units[0]));
  tcase_add_test(test, a_valve_may_stand_in_the_house);
  tcase_add_test(test, what_was_read_is_listed);
  tcase_add_test(test, a_list_is_sorted_and_whole);
  tcase_add_test(test, a_list_with_a_broken_table_is_an_error);
  tcase_add_test(test, what_is_not_there_is_an_error);
  tcase_set_timeout(test, 60);
  tcase_add_test(test, memory_may_run_out_anywhere);
  tcase_add_test(test, failing_again_and_again_takes_no_more_memory);
  suite_add_tcase(suite, test);
  return suite;
}
