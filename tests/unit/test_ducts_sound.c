/* test_ducts_sound.c - from the fan to dB(A) in the rooms
 *
 * The small house: unit - main of 160 mm, 3 m with a silencer of 0.9 m and a bend - box -
 * 2 x 100 mm, 6 m to "study" (31.4 m3) and 125 mm, 4 m to "den" (19.7 m3), each with a valve
 * of 125 mm. Its losses are computed apart, band by band: bare duct .10 .10 .16 .16 .33 .33 .33
 * .33 dB/m and bends as ASHRAE HVAC Applications and a guide of 2009 give them, division by
 * area, ends by 10 lg(1 + (0.7 343/(pi f D))^2). */

#include <check.h>
#include <math.h>
#include <string.h>

#include "ducts_house.h"
#include "input/load.h"
#include "physics/sound.h"
#include "suites.h"
#include "tables_help.h"

static ducts_house test;
static ebi_unit_sound fans[2];
static ebi_valve valve;
static ebi_valve_sound valve_sound;
static ebi_fitting bend, silencer, longer;
static const ebi_fitting *list[2];

static const double stated[EB_OCTAVES] = {62.3, 64.1, 63.7, 60.2, 55.4, 51.8, 44.9, 36.6};
static const double study_loss[EB_OCTAVES] = {26.3074, 22.7992, 23.0338, 28.0447,
                                              34.8947, 31.4683, 24.2595, 17.9845};
static const double den_loss[EB_OCTAVES] = {27.1795, 23.6713, 23.7859, 28.7968,
                                            35.3068, 31.8804, 24.6716, 18.3966};

#define NORMAL 0
#define BOOST 1
#define STUDY 0
#define DEN 1

static void set_bands(ebi_octaves *octaves, const double *db) {
  octaves->given = true;
  memcpy(octaves->db, db, sizeof octaves->db);
}

static void setup(void) {
  static const double takes[EB_OCTAVES] = {3.1, 5.3, 10.2, 18.4, 25.5, 22.6, 15.7, 9.8};
  static const double more[EB_OCTAVES] = {5.2, 8.7, 16.9, 29.3, 38.1, 34.4, 24.2, 15.5};
  ducts_start(&test);
  bend = (ebi_fitting){.entry = {.name = "bend"}, .sound = EBI_SOUND_BEND, .reynolds_to = HUGE_VAL};
  silencer = (ebi_fitting){.entry = {.name = "silencer-short"},
                           .sound = EBI_SOUND_SILENCER,
                           .length = 0.9,
                           .bore = 0.160,
                           .reynolds_to = HUGE_VAL};
  longer = silencer;
  longer.entry.name = "silencer-long";
  set_bands(&silencer.insertion_loss, takes);
  set_bands(&longer.insertion_loss, more);
  list[0] = &longer;
  list[1] = &silencer;
  valve = ducts_valve;
  for (int i = 0; i < 2; i++) {
    fans[i] = (ebi_unit_sound){
        .spigot = i == 0 ? EB_SUPPLY : EB_EXTRACT, .flow = 17e-3, .pressure = 60.0, .speed = 0.5};
    set_bands(&fans[i].power, stated);
  }
  test.unit.sound = fans;
  test.unit.n_sound = 1;
}

static void teardown(void) {
  ducts_end(&test);
}

/* The small house, its silencer where `quiet`. */
static void build(bool quiet) {
  ducts_room(&test, "study", 10.0, 0.0, 1.3);
  ducts_room(&test, "den", 7.0, 0.0, 1.3);
  test.room_rates[STUDY].volume_m3 = 31.4;
  test.room_rates[DEN].volume_m3 = 19.7;
  ebi_run *main = ducts_run(&test, EB_SUPPLY, "main", "unit", "box", 160.0, 3.0);
  ducts_fitting(&test, main, &bend);
  if (quiet)
    ducts_fitting(&test, main, &silencer);
  ducts_run(&test, EB_SUPPLY, "s-study", "box", "study", 100.0, 6.0)->parallel = 2;
  ducts_run(&test, EB_SUPPLY, "s-den", "box", "den", 125.0, 4.0);
  test.runs[1].valve.type = test.runs[2].valve.type = &valve;
  test.house.silencers = list;
  test.house.n_silencers = 2;
}

static const eb_room_sound *sound_of(const eb_ducts *ducts, size_t level, size_t room) {
  ck_assert_ptr_nonnull(ducts->levels[level].sounds);
  return &ducts->levels[level].sounds[room];
}

/* Bands in a room from the stated fan, its louder by so much, after a loss, in a volume: by hand.
 */
static double by_hand(const double *loss, double louder, double volume, double *level) {
  static const double a[] = {-26.2, -16.1, -8.6, -3.2, 0, 1.2, 1.0, -1.1};
  double sum = 0, effect = 10.0 * log10(4.0 / (0.163 * volume / 0.5));
  for (int i = 0; i < EB_OCTAVES; i++) {
    level[i] = stated[i] + louder - loss[i] + effect;
    sum += pow(10.0, 0.1 * (level[i] + a[i]));
  }
  return 10.0 * log10(sum);
}

/* ---- The chain ---- */

START_TEST(chain_is_that_of_the_hand) {
  build(true);
  const eb_ducts *ducts = ducts_design(&test);
  for (size_t l = 0; l < 2; l++) {
    const eb_side_state *fan = &ducts->levels[l].supply;
    double n = fan->speed / 0.5, level[EB_OCTAVES];
    double beyond = 20.0 * log10(fan->pressure_pa / 60.0) - 40.0 * log10(n);
    double louder = 50.0 * log10(n) + fmax(-3.0, fmin(3.0, beyond));
    double study = by_hand(study_loss, louder, 31.4, level);
    const eb_room_sound *found = sound_of(ducts, l, STUDY);
    CHECK_NEAR(found->supply_db, study, 0.05); /* the air in the ducts adds a little */
    CHECK_NEAR(found->total_db, study, 0.05);
    for (int i = 0; i < 5; i++)
      CHECK_NEAR(found->bands_db[i], fmax(level[i], 0.0), 0.1);
    CHECK_NEAR(sound_of(ducts, l, DEN)->total_db, by_hand(den_loss, louder, 19.7, level), 0.05);
    ck_assert(isnan(found->extract_db) && isnan(found->valves_db));
  }
}
END_TEST

START_TEST(longer_silencer_is_quieter) {
  build(true);
  double with = sound_of(ducts_design(&test), NORMAL, STUDY)->total_db;
  test.fittings[0][1].fitting = &longer;
  double with_longer = sound_of(ducts_design(&test), NORMAL, STUDY)->total_db;
  test.runs[0].n_fittings = 1;
  double without = sound_of(ducts_design(&test), NORMAL, STUDY)->total_db;
  ck_assert(with_longer < with - 3.0 && with < without - 5.0);
}
END_TEST

START_TEST(faster_is_louder) {
  build(true);
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert(ducts->levels[BOOST].supply.speed > ducts->levels[NORMAL].supply.speed);
  for (size_t r = 0; r < 2; r++)
    ck_assert(sound_of(ducts, BOOST, r)->total_db > sound_of(ducts, NORMAL, r)->total_db + 2.0);
}
END_TEST

/* The same room by two equal terminals at the box: all its power arrives twice. */
START_TEST(second_terminal_adds_three_decibels) {
  build(true);
  double level[EB_OCTAVES];
  ducts_run(&test, EB_SUPPLY, "s-study2", "box", "study", 100.0, 6.0)->parallel = 2;
  test.runs[3].valve.type = &valve;
  const eb_ducts *ducts = ducts_design(&test);
  const eb_side_state *fan = &ducts->levels[0].supply;
  double n = fan->speed / 0.5;
  double louder = 50.0 * log10(n) +
                  fmax(-3.0, fmin(3.0, 20.0 * log10(fan->pressure_pa / 60.0) - 40.0 * log10(n)));
  /* the box now divides among 2 x 2 x 100 mm and 125 mm: 2.507 dB become 4.449 */
  double one = by_hand(study_loss, louder - (4.4424 - 2.5067), 31.4, level);
  CHECK_NEAR(sound_of(ducts, NORMAL, STUDY)->total_db, one + 10.0 * log10(2.0), 0.05);
}
END_TEST

/* A sheet that has the end reflection in it takes its place: by 63 Hz to 8 kHz. */
START_TEST(sheet_of_the_valve_replaces_the_end) {
  static const double sheet[EB_OCTAVES] = {20.5, 15.1, 11.9, 8.8, 6.1, 5.3, 5.7, 6.9};
  build(true);
  double before = sound_of(ducts_design(&test), NORMAL, STUDY)->bands_db[1];
  set_bands(&valve.insertion_loss, sheet);
  double after = sound_of(ducts_design(&test), NORMAL, STUDY)->bands_db[1];
  CHECK_NEAR(before - after, 15.1 - 13.967, 0.02); /* 125 mm at 125 Hz */
}
END_TEST

START_TEST(ducts_own_table_goes_before_the_bare_one) {
  static const double table[EB_OCTAVES] = {1.3, 1.7, 2.9, 4.1, 4.3, 3.9, 2.2, 1.4};
  build(true);
  double before = sound_of(ducts_design(&test), NORMAL, DEN)->bands_db[1];
  set_bands(&test.runs[2].duct.attenuation, table);
  double after = sound_of(ducts_design(&test), NORMAL, DEN)->bands_db[1];
  CHECK_NEAR(before - after, 4.0 * (1.7 - 0.10), 0.02);
}
END_TEST

/* ---- Valves ---- */

/* 60 lg of the flow from the stated duty: own calculation. */
START_TEST(valves_make_sound_of_their_own) {
  static const double power[EB_OCTAVES] = {31.0, 33.7, 34.1, 31.9, 29.2, 25.6, 18.4, 9.3};
  build(true);
  valve_sound = (ebi_valve_sound){.flow = 9e-3, .drop = 20.0};
  set_bands(&valve_sound.power, power);
  valve.sound = &valve_sound;
  valve.n_sound = 1;
  const eb_ducts *ducts = ducts_design(&test);
  const eb_run_state *run = ducts_state(ducts, "s-den", NORMAL);
  double louder = 10.0 * log10(run->flow_m3_s / 9e-3) + 25.0 * log10(run->valve_pa / 20.0);
  double want = ebi_sound_weighted(power) + louder + 10.0 * log10(4.0 / (0.163 * 19.7 / 0.5));
  const eb_room_sound *found = sound_of(ducts, NORMAL, DEN);
  CHECK_NEAR(found->valves_db, fmax(want, 0.0), 1e-9);
  CHECK_NEAR(found->total_db, ebi_sound_add(found->supply_db, found->valves_db), 1e-9);
}
END_TEST

/* ---- Limits and cures ---- */

static ebi_sound_limit limits[] = {
    {"study", "normal", 23.0, {"bench rules 3", "invented"}},
    {"study", "boost", 60.0, {"bench rules 4", "invented"}},
};
static const ebi_rule_set rules = {.entry = {.name = "bench"}, .sound = limits, .n_sound = 2};
static const char *const study_use[] = {"study"};

static void limit(double db) {
  limits[0].limit_db = db;
  test.rooms[STUDY].uses = study_use;
  test.rooms[STUDY].n_uses = 1;
  test.house.rules = &rules;
}

/* Neither too short nor longer than need be. */
START_TEST(silencer_with_least_to_spare_is_the_cure) {
  build(false);
  double loud = sound_of(ducts_design(&test), NORMAL, STUDY)->total_db;
  test.fittings[0][1] = (ebi_run_fitting){.fitting = &silencer, .count = 1};
  test.runs[0].n_fittings = 2;
  double mild = sound_of(ducts_design(&test), NORMAL, STUDY)->total_db;
  test.runs[0].n_fittings = 1;
  limit(mild + 1.0);
  const eb_room_sound *found = sound_of(ducts_design(&test), NORMAL, STUDY);
  CHECK_NEAR(found->limit_db, mild + 1.0, 1e-12);
  ck_assert_str_eq(found->limit_source, "bench rules 3");
  ck_assert(loud > found->limit_db);
  ck_assert_str_eq(found->cure, "silencer-short");
  ck_assert_str_eq(found->cure_run, "main");
  ck_assert_uint_eq(ducts_found(&test, "sound"), 1);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "sound"), "supply fan through run main"));
  limit(mild - 2.5);
  ck_assert_str_eq(sound_of(ducts_design(&test), NORMAL, STUDY)->cure, "silencer-long");
}
END_TEST

START_TEST(what_the_tables_cannot_cure_is_said) {
  build(false);
  for (int i = 0; i < EB_OCTAVES; i++)
    fans[0].power.db[i] += 40.0;
  limit(3.0);
  ck_assert_ptr_null(sound_of(ducts_design(&test), NORMAL, STUDY)->cure);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "sound"), "which is not enough"));
  eb_diagnostics_clear(test.context);
  test.runs[0].duct.bore = 0.150;
  ck_assert_ptr_null(sound_of(ducts_design(&test), NORMAL, STUDY)->cure);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "sound"), "no silencer of the tables fits"));
}
END_TEST

START_TEST(loud_valve_is_not_cured_by_a_silencer) {
  static const double power[EB_OCTAVES] = {61.0, 63.7, 64.1, 61.9, 59.2, 55.6, 48.4, 39.3};
  build(true);
  valve_sound = (ebi_valve_sound){.flow = 9e-3, .drop = 1.0};
  set_bands(&valve_sound.power, power);
  valve.sound = &valve_sound;
  valve.n_sound = 1;
  limit(30.0);
  ck_assert_ptr_null(sound_of(ducts_design(&test), NORMAL, STUDY)->cure);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "sound"), "the valve of run s-study"));
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "sound"), "lower its pressure"));
}
END_TEST

/* 25 m/s in 20 mm: the air itself. */
START_TEST(fast_air_is_heard) {
  build(true);
  ducts_fan(&test, 42000.0, 0.030, 80.0, 41);
  test.runs[2].duct.bore = 0.020;
  test.rooms[DEN].sound_limit = ducts_given(25.0);
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert(ducts_state(ducts, "s-den", NORMAL)->velocity_m_s > 20.0);
  fans[0].speed = 0;
  fans[0].pressure = 1e5;
  fans[0].flow = 1.0;
  ducts = ducts_design(&test);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "sound"), "den"));
  size_t count;
  const eb_diagnostic *all = eb_diagnostics(test.context, &count);
  bool said = false;
  for (size_t i = 0; i < count; i++)
    said = said || strstr(all[i].message, "the air in the supply ducts") != NULL;
  ck_assert(said);
}
END_TEST

/* The user's own: a note without a source, at the level where the rules judge such rooms. */
START_TEST(own_limit_goes_before_the_rules) {
  build(false);
  limit(80.0);
  test.rooms[STUDY].sound_limit = ducts_given(21.0);
  test.rooms[DEN].sound_limit = ducts_given(22.0);
  const eb_ducts *ducts = ducts_design(&test);
  CHECK_NEAR(sound_of(ducts, NORMAL, STUDY)->limit_db, 21.0, 0);
  ck_assert_ptr_null(sound_of(ducts, NORMAL, STUDY)->limit_source);
  CHECK_NEAR(sound_of(ducts, BOOST, STUDY)->limit_db, 60.0, 0);
  CHECK_NEAR(sound_of(ducts, NORMAL, DEN)->limit_db, 22.0, 0);
  CHECK_NEAR(sound_of(ducts, BOOST, DEN)->limit_db, 0.0, 0);
  ck_assert_uint_eq(ducts_found(&test, "sound"), 2);
  size_t count;
  const eb_diagnostic *all = eb_diagnostics(test.context, &count);
  for (size_t i = 0; i < count; i++)
    if (strcmp(all[i].code, "sound") == 0)
      ck_assert(all[i].severity == EB_NOTE && all[i].source == NULL && all[i].line > 0);
}
END_TEST

/* NOISE-LIM-BED is 30 dB in bedrooms at the continuous rate (Approved Document F, 2021). */
START_TEST(limit_of_a_bedroom_in_england) {
  tables_desk desk;
  ck_assert(tables_desk_shipped(&desk, NULL));
  ebi_yaml name = tables_value(&desk, "england-2021");
  const ebi_rule_set *england = ebi_rules_load(&desk.reader, &name);
  ck_assert_ptr_nonnull(england);
  bool found = false;
  for (size_t i = 0; i < england->n_sound; i++)
    if (strcmp(england->sound[i].use, "bedroom") == 0) {
      CHECK_NEAR(england->sound[i].limit_db, 30.0, 0);
      ck_assert_str_eq(england->sound[i].level, "normal");
      found = true;
    }
  ck_assert(found);
  tables_desk_end(&desk);
}
END_TEST

/* ---- Cross-talk ---- */

/* Through both valves' ends, 2 x 100 mm and 125 mm and the box (towards the den 160 mm leads on
 * too), from speech of 30 50 57.2 59.8 53.5 48.8 43.8 38.6 dB: 38.7739 dB(A); back it would be
 * 40.1645. Computed apart. */
START_TEST(speech_passes_from_room_to_room) {
  build(true);
  const eb_ducts *ducts = ducts_design(&test);
  CHECK_NEAR(sound_of(ducts, NORMAL, STUDY)->cross_talk_db, 38.7739, 1e-3);
  CHECK_NEAR(sound_of(ducts, BOOST, DEN)->cross_talk_db, 40.1645, 1e-3);
  ck_assert_str_eq(sound_of(ducts, NORMAL, STUDY)->cross_talk_room, "den");
  ck_assert_str_eq(sound_of(ducts, NORMAL, DEN)->cross_talk_room, "study");
  ck_assert_uint_eq(ducts_found(&test, "cross-talk"), 0);
}
END_TEST

/* Short wide ducts: one note for the pair. */
START_TEST(speech_that_may_be_heard_is_noted) {
  build(true);
  test.runs[1].length = test.runs[2].length = 0.4;
  test.runs[0].duct.bore = 0.080;
  (void)ducts_design(&test);
  ck_assert_uint_eq(ducts_found(&test, "cross-talk"), 1);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "cross-talk"), "study and den"));
}
END_TEST

START_TEST(rooms_alone_hear_nobody) {
  build(true);
  test.house.n_rooms = test.rates.n_rooms = 1;
  test.house.n_runs = 2;
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert(isnan(sound_of(ducts, NORMAL, STUDY)->cross_talk_db));
  ck_assert_ptr_null(sound_of(ducts, NORMAL, STUDY)->cross_talk_room);
}
END_TEST

/* ---- Layouts ---- */

/* Two ways to one junction: that which takes least counts, so a second way by a lined duct
 * changes the division at the box alone. */
START_TEST(loop_takes_the_way_of_least_loss) {
  static const double lined[EB_OCTAVES] = {19, 19, 19, 19, 19, 19, 19, 19};
  build(true);
  ducts_run(&test, EB_SUPPLY, "short", "box", "far", 125.0, 1.0);
  ducts_run(&test, EB_SUPPLY, "long", "box", "far", 125.0, 3.0);
  set_bands(&test.runs[4].duct.attenuation, lined);
  ducts_room(&test, "loft", 5.0, 0.0, 1.3);
  test.room_rates[2].volume_m3 = 31.4;
  ducts_run(&test, EB_SUPPLY, "s-loft", "far", "loft", 125.0, 4.0)->valve.type = &valve;
  const eb_ducts *ducts = ducts_design(&test);
  double loft = sound_of(ducts, NORMAL, 2)->bands_db[2];
  double study = sound_of(ducts, NORMAL, STUDY)->bands_db[2];
  /* 250 Hz: at the box 125 mm against 2 x 100 mm, 6 m against 1 + 4 m; at "far" half goes on
   * and half into the lined way */
  double division = 10.0 * log10(2.0 * 100.0 * 100.0 / (125.0 * 125.0)) + 10.0 * log10(2.0);
  CHECK_NEAR(study - loft, division - 0.16, 0.02);
}
END_TEST

/* Both sides: the extract fan by its own figures; the deeper in the tree, the less. */
START_TEST(both_sides_are_heard) {
  ducts_build_house(&test);
  test.unit.n_sound = 2;
  for (size_t r = 0; r < 6; r++)
    test.room_rates[r].volume_m3 = 27.0;
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert(sound_of(ducts, NORMAL, 0)->supply_db > 10.0);
  ck_assert(isnan(sound_of(ducts, NORMAL, 0)->extract_db));
  ck_assert(sound_of(ducts, NORMAL, 3)->extract_db > sound_of(ducts, NORMAL, 5)->extract_db);
  ck_assert(isnan(sound_of(ducts, NORMAL, 3)->supply_db));
}
END_TEST

/* ---- What is not known ---- */

START_TEST(unit_without_sound_is_one_note) {
  build(true);
  test.unit.n_sound = 0;
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert_ptr_null(ducts->levels[0].sounds);
  ck_assert_uint_eq(ducts_found(&test, "sound-data"), 1);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "sound-data"), "`sound:`"));
}
END_TEST

START_TEST(gaps_are_one_note) {
  ducts_build_house(&test);
  test.room_rates[0].volume_m3 = 27.0;
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert_uint_eq(ducts_found(&test, "sound-data"), 1);
  const char *message = ducts_message(&test, "sound-data");
  ck_assert_ptr_nonnull(strstr(message, "the extract fan"));
  ck_assert_ptr_nonnull(strstr(message, "6 valves make"));
  ck_assert_ptr_nonnull(strstr(message, "5 rooms without a volume (bed1)"));
  ck_assert(isnan(sound_of(ducts, NORMAL, 1)->total_db));
  ck_assert(isnan(sound_of(ducts, NORMAL, 1)->bands_db[4]));
  ck_assert(isnan(sound_of(ducts, NORMAL, 3)->total_db));
  ck_assert(isfinite(sound_of(ducts, NORMAL, 0)->total_db));
}
END_TEST

START_TEST(silence_is_zero_and_finite) {
  build(true);
  for (int i = 0; i < EB_OCTAVES; i++)
    fans[0].power.db[i] = -40.0;
  const eb_room_sound *found = sound_of(ducts_design(&test), NORMAL, STUDY);
  CHECK_NEAR(found->total_db, 0.0, 0);
  for (int i = 0; i < EB_OCTAVES; i++)
    CHECK_NEAR(found->bands_db[i], 0.0, 0);
}
END_TEST

/* ---- Steps ---- */

START_TEST(steps_lead_to_the_total) {
  build(true);
  limit(60.0);
  eb_ledger *ledger = eb_ledger_new(test.context);
  const eb_ducts *ducts = NULL;
  ck_assert_int_eq(eb_ducts_design(test.context, &test.house, &test.rates, NULL, ledger, &ducts),
                   EB_OK);
  bool found = false;
  for (size_t i = 0; i < eb_ledger_count(ledger); i++) {
    eb_step step = eb_ledger_step(ledger, i);
    if (strcmp(step.id, "sound.total") != 0 || strcmp(step.what, "study sound at normal") != 0)
      continue;
    found = true;
    CHECK_NEAR(step.value, sound_of(ducts, NORMAL, STUDY)->total_db, 1e-12);
    ck_assert_uint_ge(step.n_inputs, 1);
    eb_step part = eb_ledger_step(ledger, step.inputs[0]);
    ck_assert_str_eq(part.id, "sound.from-fan");
    eb_step fan = eb_ledger_step(ledger, part.inputs[0]);
    eb_step way = eb_ledger_step(ledger, part.inputs[1]);
    eb_step effect = eb_ledger_step(ledger, part.inputs[2]);
    CHECK_NEAR(part.value, fan.value - way.value + effect.value, 1e-9);
  }
  ck_assert(found);
}
END_TEST

Suite *suite_ducts_sound(void) {
  Suite *suite = suite_create("ducts_sound");
  DUCTS_ADD(suite, "chain", chain_is_that_of_the_hand, longer_silencer_is_quieter, faster_is_louder,
            second_terminal_adds_three_decibels, sheet_of_the_valve_replaces_the_end,
            ducts_own_table_goes_before_the_bare_one, valves_make_sound_of_their_own);
  DUCTS_ADD(suite, "limits", silencer_with_least_to_spare_is_the_cure,
            what_the_tables_cannot_cure_is_said, loud_valve_is_not_cured_by_a_silencer,
            fast_air_is_heard, own_limit_goes_before_the_rules, limit_of_a_bedroom_in_england);
  DUCTS_ADD(suite, "cross-talk", speech_passes_from_room_to_room, speech_that_may_be_heard_is_noted,
            rooms_alone_hear_nobody);
  DUCTS_ADD(suite, "layouts", loop_takes_the_way_of_least_loss, both_sides_are_heard);
  DUCTS_ADD(suite, "not known", unit_without_sound_is_one_note, gaps_are_one_note,
            silence_is_zero_and_finite, steps_lead_to_the_total);
  return suite;
}
