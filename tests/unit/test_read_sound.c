/* test_read_sound.c - sound in the tables: octave bands, units, valves, silencers */

#include <stdio.h>
#include <string.h>

#include "input/read_octaves.h"
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
#define BANDS "[125, 61.5], [250, 58], [500, 52.3], [1000, 47], [2000, 41], [4000, 30]"
#define POWER "power: {columns: [Hz, dB], points: [" BANDS "]}"
#define CURVE "{speed: 1.0, columns: [l/s, Pa], points: [[0, 420], [80, 180]]}"

/* ---- Octave bands ------------------------------------------------------ */

static ebi_octaves read_power(const char *text) {
  ebi_octaves read = {0};
  ck_assert(ebi_read_octaves(&desk.reader, tables_mapping(&desk, text), false, &read));
  ck_assert(read.given);
  return read;
}

START_TEST(missing_ends_take_their_neighbour) {
  ebi_octaves read = read_power("columns: [Hz, dB]\npoints: [" BANDS "]\n");
  static const double want[] = {61.5, 61.5, 58, 52.3, 47, 41, 30, 30};
  for (int i = 0; i < EBI_OCTAVES; i++)
    ck_assert_double_eq(read.db[i], want[i]);
}
END_TEST

START_TEST(all_bands_and_kilohertz) {
  ebi_octaves read = read_power("columns: [kHz, dB]\npoints: [[0.063, 63.9], [0.125, 61.5], [0.25, "
                                "58], [0.5, 52], [1, 47], [2, 41], [4, 30], [8, 22.7]]\n");
  ck_assert_double_eq(read.db[0], 63.9);
  ck_assert_double_eq(read.db[7], 22.7);
}
END_TEST

/* IEC 61672-1: -16.1 dB at 125 Hz, -8.6 at 250, +1.2 at 2000. */
START_TEST(weighted_bands_are_brought_back) {
  ebi_octaves read = read_power("columns: [Hz, dB(A)]\npoints: [" BANDS "]\n");
  ck_assert_double_eq_tol(read.db[1], 61.5 + 16.1, 1e-12);
  ck_assert_double_eq_tol(read.db[0], 61.5 + 16.1, 1e-12);
  ck_assert_double_eq_tol(read.db[2], 58 + 8.6, 1e-12);
  ck_assert_double_eq_tol(read.db[5], 41 - 1.2, 1e-12);
}
END_TEST

START_TEST(missing_losses_are_none) {
  ebi_octaves read = {0};
  ck_assert(ebi_read_octaves(&desk.reader,
                             tables_mapping(&desk, "columns: [Hz, dB]\npoints: [[250, 13.7]]\n"),
                             true, &read));
  for (int i = 0; i < EBI_OCTAVES; i++)
    ck_assert_double_eq(read.db[i], i == 2 ? 13.7 : 0);
  ck_assert(ebi_read_octaves_per_length(
      &desk.reader, tables_mapping(&desk, "columns: [Hz, dB/ft]\npoints: [[500, 1.27]]\n"), &read));
  ck_assert_double_eq_tol(read.db[3], 1.27 / 0.3048, 1e-12);
  ck_assert_double_eq(read.db[2], 0);
}
END_TEST

typedef struct wrong_bands {
  bool loss;
  const char *text, *code, *says;
} wrong_bands;

static const wrong_bands wrongs[] = {
    {false, "columns: [Hz, dB]\npoints: [[125, 3], [315, 4]]\n", "band-unknown", "315 Hz"},
    {false, "columns: [Hz, dB]\npoints: [[31.5, 3]]\n", "band-unknown", "63, 125"},
    {false, "columns: [Hz, dB]\npoints: [[125, 3], [250, 4], [1000, 4]]\n", "band-missing",
     "500 Hz"},
    {false, "columns: [Hz, dB]\npoints: [[63, 3], [250, 4]]\n", "band-missing", "125 Hz"},
    {false, "columns: [Hz, dB]\npoints: [[250, 3], [125, 4]]\n", "not-rising", ""},
    {false, "columns: [Hz, Pa]\npoints: [[250, 3]]\n", "unit-wrong", "dB"},
    {false, "columns: [mm, dB]\npoints: [[250, 3]]\n", "unit-wrong", "Hz"},
    {false, "columns: [Hz, dB]\npoints: [[125, 300]]\n", "out-of-range", "sound power"},
    {true, "columns: [Hz, dB]\npoints: [[125, -3]]\n", "out-of-range", "loss"},
    {true, "columns: [Hz, dB(A)]\npoints: [[125, 3]]\n", "unit-wrong", "not weighted"},
    {true, "columns: [Hz, dB]\npoint: [[125, 3]]\n", "key-unknown", "points"},
    {true, "columns: [Hz, dB]\n", "key-missing", "points"},
};

START_TEST(wrong_bands_are_told) {
  const wrong_bands *wrong = &wrongs[_i];
  ebi_octaves read = {0};
  ck_assert(
      !ebi_read_octaves(&desk.reader, tables_mapping(&desk, wrong->text), wrong->loss, &read));
  ck_assert(!read.given);
  const eb_diagnostic *said = tables_said(&desk, wrong->code);
  ck_assert_msg(said != NULL, "no %s for:\n%s", wrong->code, wrong->text);
  ck_assert_msg(strstr(said->message, wrong->says) != NULL, "%s", said->message);
}
END_TEST

/* ---- Units ------------------------------------------------------------- */

START_TEST(a_unit_has_its_sound) {
  const ebi_unit *unit = ebi_unit_load(
      &desk.reader,
      tables_mapping(
          &desk, "fan: {curves: [" CURVE "]}\n"
                 "sound:\n"
                 "  - {spigot: extract, flow: 31 l/s, pressure: 84 Pa, speed: 57 %, " POWER "}\n"
                 "  - {spigot: supply, flow: 100 m3/h, pressure: 0.11 kPa, " POWER "}\n"));
  ck_assert_ptr_nonnull(unit);
  ck_assert_uint_eq(unit->n_sound, 2);
  ck_assert_int_eq(unit->sound[0].spigot, EB_EXTRACT);
  ck_assert_double_eq(unit->sound[0].flow, 0.031);
  ck_assert_double_eq(unit->sound[0].pressure, 84);
  ck_assert_double_eq(unit->sound[0].speed, 0.57);
  ck_assert_double_eq(unit->sound[0].power.db[3], 52.3);
  ck_assert_int_eq(unit->sound[1].spigot, EB_SUPPLY);
  ck_assert_double_eq_tol(unit->sound[1].flow, 1 / 36.0, 1e-15);
  ck_assert_double_eq_tol(unit->sound[1].pressure, 110, 1e-12);
  ck_assert_double_eq(unit->sound[1].speed, 0); /* not known */
}
END_TEST

START_TEST(a_fan_keeps_what_it_says) {
  static const char *const words[] = {"speed", "flow", "pressure"};
  char text[256];
  for (int i = 0; i < 3; i++) {
    snprintf(text, sizeof text,
             "fans: {supply: {mode: %s, curves: [" CURVE "]}, extract: {curves: [" CURVE "]}}\n",
             words[i]);
    const ebi_unit *unit = ebi_unit_load(&desk.reader, tables_mapping(&desk, text));
    ck_assert_ptr_nonnull(unit);
    ck_assert_int_eq(unit->supply_fan.mode, EBI_FAN_SPEED + i);
    ck_assert_int_eq(unit->extract_fan.mode, EBI_FAN_SPEED);
  }
  ck_assert_ptr_null(ebi_unit_load(
      &desk.reader, tables_mapping(&desk, "fan: {mode: volume, curves: [" CURVE "]}\n")));
  ck_assert_ptr_nonnull(tables_said(&desk, "word-unknown"));
}
END_TEST

typedef struct wrong_sound {
  const char *text, *code, *says;
} wrong_sound;

static const wrong_sound wrong_units[] = {
    {"sound: {spigot: supply}\n", "kind-wrong", "a list"},
    {"sound: []\n", "kind-wrong", "a list"},
    {"sound: [{flow: 9 l/s, pressure: 9 Pa, " POWER "}]\n", "key-missing", "spigot"},
    {"sound: [{spigot: room, flow: 9 l/s, pressure: 9 Pa, " POWER "}]\n", "word-unknown",
     "outdoor"},
    {"sound: [{spigot: supply, flow: 9 l/s, pressure: 9 Pa}]\n", "key-missing", "power"},
    {"sound: [{spigot: supply, flow: 9 l/s, pressure: 0 Pa, " POWER "}]\n", "out-of-range", "Pa"},
};

START_TEST(wrong_sounds_of_units_are_told) {
  char text[1024];
  snprintf(text, sizeof text, "fan: {curves: [" CURVE "]}\n%s", wrong_units[_i].text);
  ck_assert_ptr_null(ebi_unit_load(&desk.reader, tables_mapping(&desk, text)));
  const eb_diagnostic *said = tables_said(&desk, wrong_units[_i].code);
  ck_assert_msg(said != NULL, "no %s for:\n%s", wrong_units[_i].code, text);
  ck_assert_msg(strstr(said->message, wrong_units[_i].says) != NULL, "%s", said->message);
}
END_TEST

/* ---- Valves ------------------------------------------------------------ */

#define LOSS "loss: {columns: [mm, l/s/Pa^0.5], points: [[2, 0.8], [6, 2.1]]}\n"

START_TEST(a_valve_has_its_sound) {
  const ebi_valve *valve = ebi_valve_read(
      &desk.reader, "mine",
      tables_mapping(&desk, LOSS "sound:\n"
                                 "  - {flow: 9 l/s, drop: 31 Pa, " POWER "}\n"
                                 "  - {flow: 13 l/s, drop: 64.7 Pa, " POWER "}\n"
                                 "insertion_loss: {columns: [Hz, dB], points: [[63, 19.3]]}\n"));
  ck_assert_ptr_nonnull(valve);
  ck_assert_uint_eq(valve->n_sound, 2);
  ck_assert_double_eq(valve->sound[1].flow, 0.013);
  ck_assert_double_eq(valve->sound[1].drop, 64.7);
  ck_assert_double_eq(valve->sound[1].power.db[4], 47);
  ck_assert(valve->insertion_loss.given);
  ck_assert_double_eq(valve->insertion_loss.db[0], 19.3);
}
END_TEST

static const wrong_sound wrong_valves[] = {
    {"sound: {flow: 9 l/s}\n", "kind-wrong", "a list"},
    {"sound: [{flow: 9 l/s, " POWER "}]\n", "key-missing", "drop"},
    {"sound: [{flow: 9 l/s, drop: 3 Pa, power: 34 dB}]\n", "kind-wrong", ""},
    {"insertion_loss: {columns: [Hz, dB], points: [[100, 9]]}\n", "band-unknown", "100 Hz"},
};

START_TEST(wrong_sounds_of_valves_are_told) {
  char text[1024];
  snprintf(text, sizeof text, LOSS "%s", wrong_valves[_i].text);
  ck_assert_ptr_null(ebi_valve_read(&desk.reader, "mine", tables_mapping(&desk, text)));
  const eb_diagnostic *said = tables_said(&desk, wrong_valves[_i].code);
  ck_assert_msg(said != NULL, "no %s for:\n%s", wrong_valves[_i].code, text);
  ck_assert_msg(strstr(said->message, wrong_valves[_i].says) != NULL, "%s", said->message);
}
END_TEST

/* ---- Silencers --------------------------------------------------------- */

#define SILENCER(bore)                                                                             \
  "{coefficient: 0.3, bore: " bore ", sound: silencer, insertion_loss: {columns: [Hz, dB], "       \
  "points: [[250, 13.7]]}}"

/* All of the tables that take sound, each once; the first folder's goes before. */
START_TEST(silencers_are_found_in_the_tables) {
  tables_write(&desk, "fittings/bend.yaml", HEAD("fittings") "coefficient: 0.31\n");
  tables_write(&desk, "fittings/alone.yaml",
               HEAD("fittings") "coefficient: 0.2\nsound: silencer\ninsertion_loss: {columns: [Hz, "
                                "dB], points: [[125, 7.1]]}\n");
  tables_write(&desk, "fittings/many.yaml",
               HEAD("fittings") "entries: {q-104: " SILENCER("104 mm") ", q-133: " SILENCER(
                   "133 mm") ", elbow: {coefficient: 0.4}}\n");
  const ebi_fitting *const *found = NULL;
  size_t count = 0;
  ebi_yaml value = tables_value(&desk, "some-unit");
  ebi_silencers_load(&desk.reader, &value, &found, &count);
  bool alone = false, large = false;
  for (size_t i = 0; i < count; i++) {
    ck_assert(found[i]->insertion_loss.given);
    alone = alone || (strcmp(found[i]->entry.name, "alone") == 0 && found[i]->bore == 0);
    large = large || (strcmp(found[i]->entry.name, "q-133") == 0 && found[i]->bore > 0.1329);
    for (size_t j = 0; j < i; j++)
      ck_assert_str_ne(found[i]->entry.name, found[j]->entry.name);
  }
  ck_assert(alone && large);
}
END_TEST

Suite *suite_read_sound(void) {
  Suite *suite = suite_create("read_sound");
  TCase *test = tcase_create("read_sound");
  tcase_add_checked_fixture(test, setup, teardown);
  tcase_add_test(test, missing_ends_take_their_neighbour);
  tcase_add_test(test, all_bands_and_kilohertz);
  tcase_add_test(test, weighted_bands_are_brought_back);
  tcase_add_test(test, missing_losses_are_none);
  tcase_add_loop_test(test, wrong_bands_are_told, 0, (int)(sizeof wrongs / sizeof *wrongs));
  tcase_add_test(test, a_unit_has_its_sound);
  tcase_add_test(test, a_fan_keeps_what_it_says);
  tcase_add_loop_test(test, wrong_sounds_of_units_are_told, 0,
                      (int)(sizeof wrong_units / sizeof *wrong_units));
  tcase_add_test(test, a_valve_has_its_sound);
  tcase_add_loop_test(test, wrong_sounds_of_valves_are_told, 0,
                      (int)(sizeof wrong_valves / sizeof *wrong_valves));
  tcase_add_test(test, silencers_are_found_in_the_tables);
  suite_add_tcase(suite, test);
  return suite;
}
