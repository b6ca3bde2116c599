/* test_sizing.c - sizes of ducts chosen, against all combinations and against each limit */

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "ducts_house.h"
#include "suites.h"

static ducts_house test;

static void setup(void) {
  ducts_start(&test);
}

static void teardown(void) {
  ducts_end(&test);
}

#define ROUND(text, mm, money)                                                                     \
  {                                                                                                \
    .name = text, .family = "tin", .shape = EBI_ROUND, .bore = 1e-3 * (mm), .roughness = 9e-5,     \
    .price = money                                                                                 \
  }

/* Invented sizes and prices, none of them in proportion. */
static const ebi_duct_size sizes[] = {ROUND("tin-71", 71, 3.1), ROUND("tin-84", 84, 3.9),
                                      ROUND("tin-97", 97, 4.3), ROUND("tin-118", 118, 6.7),
                                      ROUND("tin-141", 141, 8.3)};
enum { SIZES = 5 };

static void open_run(ebi_run *run, size_t first, size_t count) {
  run->sized = false;
  run->duct_family = "tin";
  run->choices = &sizes[first];
  run->n_choices = count;
  run->duct_where = run->where;
}

/* Two supply rooms behind a tee, a third behind a second one; extract of a fixed size. The
 * first five runs are open. */
static void build(double metres) {
  ducts_room(&test, "living", 13.7, 0, 1.31);
  ducts_room(&test, "bed1", 8.9, 0, 1.31);
  ducts_room(&test, "bed2", 6.1, 0, 1.31);
  ducts_room(&test, "bath", 0, 28.7, 1.31);
  ducts_run(&test, EB_SUPPLY, "main", "unit", "t1", 125, 2.3 * metres);
  ducts_run(&test, EB_SUPPLY, "mid", "t1", "t2", 125, 3.7 * metres);
  ducts_with_valve(ducts_run(&test, EB_SUPPLY, "to-living", "t1", "living", 125, 5.9 * metres));
  ducts_with_valve(ducts_run(&test, EB_SUPPLY, "to-bed1", "t2", "bed1", 125, 4.7 * metres));
  ducts_with_valve(ducts_run(&test, EB_SUPPLY, "to-bed2", "t2", "bed2", 125, 7.1 * metres));
  ducts_with_valve(ducts_run(&test, EB_EXTRACT, "out", "bath", "unit", 125, 3.1));
  ebi_sizing *sizing = &test.house.sizing;
  sizing->given = true;
  sizing->where = (ebi_where){"house.yaml", 17, 3};
  sizing->main_velocity = sizing->branch_velocity = sizing->terminal_velocity = ducts_given(40.0);
}

enum { OPEN = 5 };

static void open_all(void) {
  for (size_t r = 0; r < OPEN; r++)
    open_run(&test.runs[r], 0, SIZES);
}

static size_t size_named(const char *name) {
  for (size_t i = 0; i < SIZES; i++)
    if (strcmp(sizes[i].name, name) == 0)
      return i;
  ck_abort_msg("no size %s", name);
}

static const eb_sized_run *sized(const eb_ducts *ducts, const char *run) {
  ck_assert_ptr_nonnull(ducts->sizes);
  for (size_t i = 0; i < ducts->sizes->n_runs; i++)
    if (strcmp(ducts->sizes->runs[i].run, run) == 0)
      return &ducts->sizes->runs[i];
  ck_abort_msg("%s was not sized", run);
}

/* Sizes of all open runs as written by a person. */
static void write_sizes(const size_t *size) {
  for (size_t r = 0; r < OPEN; r++) {
    test.runs[r].sized = true;
    test.runs[r].duct = sizes[size[r]];
  }
}

static double price_of(const size_t *size) {
  double sum = 0.0;
  for (size_t r = 0; r < OPEN; r++)
    sum += test.runs[r].length * sizes[size[r]].price;
  return sum;
}

/* ---- Against all combinations, by the whole network ---- */

typedef struct searched {
  double best; /* money */
  size_t size[OPEN];
} searched;

static searched try_all(double per_pa) {
  searched found = {.best = HUGE_VAL};
  for (size_t code = 0; code < SIZES * SIZES * SIZES * SIZES * SIZES; code++) {
    size_t size[OPEN], rest = code;
    for (size_t r = 0; r < OPEN; r++, rest /= SIZES)
      size[r] = rest % SIZES;
    write_sizes(size);
    const eb_ducts *ducts = ducts_design(&test);
    double cost = price_of(size) + per_pa * ducts->levels[0].supply.pressure_pa;
    eb_ducts_free(ducts);
    eb_diagnostics_clear(test.context);
    if (cost < found.best) {
      found.best = cost;
      memcpy(found.size, size, sizeof size);
    }
  }
  return found;
}

static void compare_with_all(double metres, double electricity) {
  build(metres);
  test.house.electricity = (ebi_tariff){.given = true, .price = electricity / 3.6e6};
  open_all();
  const eb_ducts *ducts = ducts_design(&test);
  size_t size[OPEN];
  for (size_t r = 0; r < OPEN; r++)
    size[r] = size_named(sized(ducts, test.runs[r].name)->duct);
  double per_pa = ducts->sizes->money_per_pa[0];
  double pressure = ducts->levels[0].supply.pressure_pa;
  double cost = price_of(size) + per_pa * pressure;
  CHECK_RELATIVE(ducts->sizes->parts_cost, price_of(size), 1e-12);
  CHECK_RELATIVE(ducts->sizes->energy_cost, per_pa * pressure, 1e-6);
  searched all = try_all(per_pa);
  ck_assert_msg(cost <= all.best * (1.0 + 1e-9), "chosen for %.6f, best of all %.6f", cost,
                all.best);
}

START_TEST(no_combination_is_cheaper) {
  static const double electricity[] = {0.07, 0.29, 1.3};
  compare_with_all(1.0, electricity[_i]);
}
END_TEST

/* ---- The guarantee, and what is reported ---- */

/* Each neighbour is what the whole network says of it. */
static void check_other(const eb_ducts *chosen, size_t run, const eb_other_size *other) {
  size_t size[OPEN];
  if (other->duct[0] == '\0')
    return;
  for (size_t r = 0; r < OPEN; r++)
    size[r] = size_named(sized(chosen, test.runs[r].name)->duct);
  double per_pa = chosen->sizes->money_per_pa[0], price = price_of(size);
  size[run] = size_named(other->duct);
  write_sizes(size);
  double more =
      ducts_design(&test)->levels[0].supply.pressure_pa - chosen->levels[0].supply.pressure_pa;
  CHECK_NEAR(other->pressure_pa, more, 2e-5);
  CHECK_NEAR(other->money, price_of(size) - price + per_pa * more, 2e-5 * per_pa);
  ck_assert(isnan(other->sound_db));
  ck_assert_str_eq(other->against, "");
  open_all();
}

START_TEST(neighbours_cost_what_they_say) {
  build(1.7);
  open_all();
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert_str_eq(ducts->sizes->method, "life-cycle");
  ck_assert_uint_eq(ducts->sizes->n_runs, OPEN);
  for (size_t r = 0; r < OPEN; r++) {
    const eb_sized_run *run = &ducts->sizes->runs[r];
    ck_assert_str_eq(run->run, test.runs[r].name);
    check_other(ducts, r, &run->smaller);
    check_other(ducts, r, &run->larger);
    ck_assert(run->smaller.duct[0] == '\0' || run->smaller.money >= 0.0);
    ck_assert(run->larger.duct[0] == '\0' || run->larger.money >= 0.0);
  }
}
END_TEST

START_TEST(written_down_it_gives_the_same) {
  build(1.3);
  open_all();
  const eb_ducts *ducts = ducts_design(&test);
  size_t size[OPEN];
  for (size_t r = 0; r < OPEN; r++) {
    size[r] = size_named(sized(ducts, test.runs[r].name)->duct);
    ck_assert_str_eq(ducts->runs[r].duct, sizes[size[r]].name);
    ck_assert_double_eq(ducts->runs[r].bore_m, sizes[size[r]].bore);
  }
  write_sizes(size);
  const eb_ducts *again = ducts_design(&test);
  ck_assert_ptr_null(again->sizes);
  for (size_t l = 0; l < 2; l++) {
    CHECK_RELATIVE(again->levels[l].supply.pressure_pa, ducts->levels[l].supply.pressure_pa, 1e-12);
    CHECK_RELATIVE(again->levels[l].power_w, ducts->levels[l].power_w, 1e-12);
  }
}
END_TEST

/* By hand: 0.25 a kWh and 25 years at 3 % where nothing is said, 17.413 of a year's money. The
 * fan's curve is 10 + 0.5 q W at full speed, so its power goes with the speed. */
START_TEST(a_pascal_has_its_price) {
  build(1.0);
  for (size_t r = 0; r < OPEN; r++)
    open_run(&test.runs[r], 2, 1); /* the pressure stays */
  double usual = ducts_design(&test)->sizes->money_per_pa[0];
  test.house.sizing.hours = ducts_given(7.3);
  CHECK_RELATIVE(ducts_design(&test)->sizes->money_per_pa[0], usual * 7.3 / 24.0, 1e-12);
  test.house.parts.years = ducts_given(11.0);
  test.house.parts.interest = ducts_given(0.0);
  CHECK_RELATIVE(ducts_design(&test)->sizes->money_per_pa[0],
                 usual * 7.3 / 24.0 * 11.0 / ((1.0 - pow(1.03, -25.0)) / 0.03), 1e-12);
  for (size_t i = 0; i < test.curve.n_points; i++)
    test.points[i].power = (double)NAN;
  double density = 1.2 * 28.7e-3 / 0.35, joules = 7.3 * 365.0 * 3600.0 * 11.0;
  double at_1_2 = density * joules * 0.25 / 3.6e6;
  double found = ducts_design(&test)->sizes->money_per_pa[0];
  ck_assert(found > 0.99 * at_1_2 / 1.2 && found < 1.01 * at_1_2 / 1.2);
}
END_TEST

/* ---- Limits ---- */

static double velocity(const eb_ducts *ducts, const char *run) {
  return fabs(ducts_state(ducts, run, 0)->velocity_m_s);
}

START_TEST(velocities_are_kept_by_place) {
  build(1.0);
  open_all();
  test.house.electricity = (ebi_tariff){.given = true, .price = 1e-12};
  test.house.sizing.main_velocity = ducts_given(2.65);
  test.house.sizing.branch_velocity = ducts_given(1.87);
  test.house.sizing.terminal_velocity = ducts_given(1.43);
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert(velocity(ducts, "main") <= 2.65);
  ck_assert(velocity(ducts, "mid") <= 1.87);
  ck_assert(velocity(ducts, "to-living") <= 1.43 && velocity(ducts, "to-bed2") <= 1.43);
  ck_assert_uint_eq(ducts_found(&test, "sizing-velocity"), 0);
  const eb_sized_run *run = sized(ducts, "main");
  ck_assert_str_eq(run->duct, "tin-118"); /* 28.7 l/s: 3.88 m/s in 97 mm */
  ck_assert_str_eq(run->smaller.against, "2.65 m/s in a main");
}
END_TEST

START_TEST(what_is_not_said_is_usual) {
  build(1.0);
  open_all();
  test.house.sizing.main_velocity.given = test.house.sizing.branch_velocity.given = false;
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert_uint_eq(ducts_found(&test, "sizing-velocity-usual"), 1);
  ck_assert(velocity(ducts, "main") <= 3.0 && velocity(ducts, "mid") <= 2.5);
}
END_TEST

START_TEST(too_fast_is_told_with_what_would_do) {
  build(1.0);
  open_all();
  test.house.sizing.main_velocity = ducts_given(1.1);
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert_str_eq(sized(ducts, "main")->duct, "tin-141"); /* 1.84 m/s */
  const char *message = ducts_message(&test, "sizing-velocity");
  ck_assert_msg(strstr(message, "run main") && strstr(message, "1.84 m/s") &&
                    strstr(message, "at_most: 2") && strstr(message, "main: 1.9 m/s"),
                "%s", message);
}
END_TEST

START_TEST(pressure_is_kept) {
  build(1.0);
  open_all();
  test.house.electricity = (ebi_tariff){.given = true, .price = 1e-9};
  double free = ducts_design(&test)->levels[0].supply.pressure_pa;
  test.house.sizing.pressure = ducts_given(0.6 * free);
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert(ducts->levels[0].supply.pressure_pa <= 0.6 * free);
  ck_assert_uint_eq(ducts_found(&test, "sizing-pressure"), 0);
}
END_TEST

START_TEST(pressure_that_cannot_be_is_told) {
  build(1.0);
  open_all();
  test.house.sizing.pressure = ducts_given(5.3);
  const eb_ducts *ducts = ducts_design(&test);
  const char *message = ducts_message(&test, "sizing-pressure");
  char would[32];
  double least = ducts->levels[0].supply.pressure_pa;
  snprintf(would, sizeof would, "%.0f Pa, or", ceil(least));
  ck_assert_msg(strstr(message, "5.3 Pa") && strstr(message, would), "%s", message);
  size_t largest[OPEN] = {4, 4, 4, 4, 4};
  write_sizes(largest);
  ck_assert(ducts_design(&test)->levels[0].supply.pressure_pa >= least - 1e-6);
}
END_TEST

START_TEST(boost_is_within_the_fan) {
  build(1.0);
  open_all();
  test.house.electricity = (ebi_tariff){.given = true, .price = 1e-9};
  ducts_fan(&test, 131.0, 0.030, 62.0, 41);
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert_uint_eq(ducts_found(&test, "sizing-boost"), 0);
  ck_assert(!ducts->levels[1].supply.limited);
  size_t small[OPEN] = {0, 0, 0, 0, 0}; /* as it were without the fan */
  write_sizes(small);
  ck_assert(ducts_design(&test)->levels[1].supply.limited);
}
END_TEST

START_TEST(boost_beyond_the_fan_is_told) {
  build(1.0);
  open_all();
  ducts_fan(&test, 43.0, 0.030, 37.0, 41);
  ducts_design(&test);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "sizing-boost"), "supply"));
}
END_TEST

/* A long way to the last room asks for a larger duct than the short way before it. */
START_TEST(never_larger_than_the_run_before) {
  build(1.0);
  open_all();
  test.runs[0].length = 0.13;
  test.runs[0].choices = sizes;
  test.runs[4].length = 61.0;
  test.runs[1].length = 0.11;
  test.house.sizing.branch_velocity = ducts_given(4.9);
  static const double dear[] = {3.1, 99.0, 199.0, 299.0, 399.0};
  ebi_duct_size own[SIZES];
  memcpy(own, sizes, sizeof own);
  for (size_t i = 0; i < SIZES; i++)
    own[i].price = dear[i];
  test.runs[1].choices = own;
  const eb_ducts *ducts = ducts_design(&test);
  size_t mid = size_named(sized(ducts, "mid")->duct);
  ck_assert_uint_gt(size_named(sized(ducts, "to-bed2")->duct), mid);
  test.house.sizing.never_larger = true;
  ducts = ducts_design(&test);
  mid = size_named(sized(ducts, "mid")->duct);
  ck_assert_uint_le(mid, size_named(sized(ducts, "main")->duct));
  ck_assert_uint_le(size_named(sized(ducts, "to-bed1")->duct), mid);
  ck_assert_uint_le(size_named(sized(ducts, "to-bed2")->duct), mid);
}
END_TEST

START_TEST(tubes_side_by_side_are_a_choice) {
  build(1.0);
  ebi_run *run = &test.runs[2];
  open_run(run, 0, 1);
  run->parallel_at_most = 3;
  test.house.sizing.terminal_velocity = ducts_given(1.8); /* 13.7 l/s: 3.46 m/s in one tube */
  const eb_ducts *ducts = ducts_design(&test);
  const eb_sized_run *two = sized(ducts, "to-living");
  ck_assert_int_eq(two->parallel, 2);
  ck_assert_int_eq(ducts->runs[2].parallel, 2);
  ck_assert_int_eq(two->smaller.parallel, 1);
  ck_assert_int_eq(two->larger.parallel, 3);
  ck_assert_str_eq(two->smaller.against, "1.8 m/s in a terminal");
  CHECK_RELATIVE(two->price, 2 * 5.9 * 3.1, 1e-12);
  CHECK_RELATIVE(velocity(ducts, "to-living"), 13.7e-3 / (2 * 0.25 * acos(-1.0) * 0.071 * 0.071),
                 1e-9);
}
END_TEST

/* What the fan makes is so little here that all sound is of the air in the ducts. */
START_TEST(what_is_too_loud_is_made_larger) {
  static const ebi_unit_sound sound = {
      .spigot = EB_SUPPLY,
      .flow = 28.7e-3,
      .pressure = 60.0,
      .speed = 0.6,
      .power = {.given = true, .db = {-13, -14, -15, -16, -17, -18, -19, -20}}};
  build(1.0);
  open_all();
  test.house.electricity = (ebi_tariff){.given = true, .price = 1e-12};
  for (size_t r = 0; r < 4; r++)
    test.room_rates[r].volume_m3 = 31.0;
  test.unit.sound = &sound;
  test.unit.n_sound = 1;
  const eb_ducts *loud = ducts_design(&test);
  ck_assert_str_eq(sized(loud, "to-living")->duct, "tin-71");
  double before = loud->levels[0].sounds[0].total_db;
  test.rooms[0].sound_limit = ducts_given(before - 1.7);
  const eb_ducts *quiet = ducts_design(&test);
  double after = quiet->levels[0].sounds[0].total_db;
  ck_assert_msg(after <= before - 1.6, "%.2f dB before, %.2f after, %s %s", before, after,
                sized(quiet, "to-living")->duct, sized(quiet, "main")->duct);
  const eb_sized_run *run = sized(quiet, "to-living");
  const eb_sized_run *trunk = sized(quiet, "main");
  ck_assert(strcmp(run->smaller.against, "sound in living") == 0 ||
            strcmp(trunk->smaller.against, "sound in living") == 0);
  ck_assert(isfinite(trunk->larger.sound_db));
}
END_TEST

/* ---- Other ways ---- */

START_TEST(equal_friction_takes_the_smallest_that_will_do) {
  build(1.0);
  open_all();
  test.house.sizing.method = "equal-friction";
  test.house.sizing.friction = ducts_given(1.13);
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert_str_eq(ducts->sizes->method, "equal-friction");
  ck_assert(isnan(ducts->sizes->frozen_bound));
  for (size_t r = 0; r < OPEN; r++) {
    const char *name = test.runs[r].name;
    ck_assert(ducts_state(ducts, name, 0)->friction_pa_per_m <= 1.13);
    size_t size[OPEN];
    for (size_t k = 0; k < OPEN; k++)
      size[k] = size_named(sized(ducts, test.runs[k].name)->duct);
    if (size[r] == 0)
      continue;
    size[r]--;
    write_sizes(size);
    ck_assert(ducts_state(ducts_design(&test), name, 0)->friction_pa_per_m > 1.13);
    open_all();
  }
}
END_TEST

static const eb_ducts *by(eb_sizing sizing) {
  const eb_ducts *ducts = NULL;
  eb_ducts_options options = {.size = sizeof options, .sizing = sizing};
  ck_assert_int_eq(eb_ducts_design(test.context, &test.house, &test.rates, &options, NULL, &ducts),
                   EB_OK);
  return ducts;
}

START_TEST(friction_that_cannot_be_is_told) {
  build(1.0);
  open_all();
  test.house.sizing.method = "equal-friction";
  test.house.sizing.friction = ducts_given(0.21);
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert_uint_eq(ducts_found(&test, "sizing-friction"), 1);
  ck_assert_str_eq(sized(ducts, "main")->duct, "tin-141"); /* 0.41 Pa/m */
  const char *message = ducts_message(&test, "sizing-friction");
  ck_assert_msg(strstr(message, "run main") && strstr(message, "friction: 0.5 Pa/m"), "%s",
                message);
}
END_TEST

START_TEST(life_cycle_is_never_dearer_than_the_handbook) {
  build(2.9);
  open_all();
  test.house.sizing.main_velocity = ducts_given(3.3);
  test.house.sizing.branch_velocity = ducts_given(2.7);
  test.house.sizing.terminal_velocity = ducts_given(2.1);
  const eb_sizes *best = by(EB_SIZING_LIFE_CYCLE)->sizes;
  const eb_sizes *velocity_rule = by(EB_SIZING_VELOCITY)->sizes;
  const eb_sizes *friction_rule = by(EB_SIZING_EQUAL_FRICTION)->sizes;
  ck_assert_str_eq(velocity_rule->method, "velocity");
  double cost = best->parts_cost + best->energy_cost;
  ck_assert(cost <= velocity_rule->parts_cost + velocity_rule->energy_cost + 1e-9);
  ck_assert(cost <= friction_rule->parts_cost + friction_rule->energy_cost + 1e-9);
}
END_TEST

START_TEST(slow_air_regains_nothing) {
  build(1.0);
  open_all();
  test.house.sizing.friction = ducts_given(0.83);
  const eb_ducts *regain = by(EB_SIZING_STATIC_REGAIN), *friction = by(EB_SIZING_EQUAL_FRICTION);
  ck_assert_uint_eq(ducts_found(&test, "static-regain"), 1);
  for (size_t r = 0; r < OPEN; r++)
    ck_assert_str_eq(regain->sizes->runs[r].duct, friction->sizes->runs[r].duct);
}
END_TEST

/* 28.7 l/s in 71 mm is 7.2 m/s: what follows may be slowed down for its own loss. */
START_TEST(fast_air_regains) {
  build(2.1);
  open_all();
  test.runs[0].choices = sizes;
  test.runs[0].n_choices = 1;
  test.house.sizing.friction = ducts_given(30.0);
  const eb_ducts *regain = by(EB_SIZING_STATIC_REGAIN), *friction = by(EB_SIZING_EQUAL_FRICTION);
  ck_assert_uint_eq(ducts_found(&test, "static-regain"), 0);
  ck_assert_str_eq(sized(friction, "mid")->duct, "tin-71");
  ck_assert_uint_gt(size_named(sized(regain, "mid")->duct), 0);
}
END_TEST

/* ---- Loops, single runs, errors ---- */

/* The branches joined at their ends by one more run. */
static void build_loop(void) {
  ducts_room(&test, "living", 13.7, 0, 1.31);
  ducts_room(&test, "bed1", 8.9, 0, 1.31);
  ducts_room(&test, "bath", 0, 22.6, 1.31);
  ducts_run(&test, EB_SUPPLY, "main", "unit", "a", 125, 2.3);
  ducts_run(&test, EB_SUPPLY, "left", "a", "b", 125, 6.7);
  ducts_run(&test, EB_SUPPLY, "right", "a", "c", 125, 5.3);
  ducts_run(&test, EB_SUPPLY, "across", "b", "c", 125, 4.1);
  ducts_with_valve(ducts_run(&test, EB_SUPPLY, "to-living", "b", "living", 125, 3.9));
  ducts_with_valve(ducts_run(&test, EB_SUPPLY, "to-bed1", "c", "bed1", 125, 2.7));
  ducts_with_valve(ducts_run(&test, EB_EXTRACT, "out", "bath", "unit", 125, 3.1));
  ebi_sizing *sizing = &test.house.sizing;
  sizing->given = true;
  sizing->main_velocity = sizing->branch_velocity = sizing->terminal_velocity = ducts_given(40.0);
}

START_TEST(loops_are_sized_and_said_to_be) {
  build_loop();
  for (size_t r = 0; r < 6; r++)
    open_run(&test.runs[r], 0, SIZES);
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert_uint_eq(ducts_found(&test, "sizing-loops"), 1);
  double cost = ducts->sizes->parts_cost + ducts->sizes->energy_cost;
  CHECK_RELATIVE(ducts->sizes->energy_cost,
                 ducts->sizes->money_per_pa[0] * ducts->levels[0].supply.pressure_pa, 1e-6);
  for (size_t r = 0; r < ducts->sizes->n_runs; r++) {
    const eb_sized_run *run = &ducts->sizes->runs[r];
    ck_assert(run->smaller.duct[0] == '\0' || run->smaller.money >= -1e-6 * cost);
    ck_assert(run->larger.duct[0] == '\0' || run->larger.money >= -1e-6 * cost);
  }
}
END_TEST

START_TEST(runs_outdoors_are_sized_too) {
  build(1.0);
  open_run(ducts_run(&test, EB_OUTDOOR, "intake", "outdoors", "unit", 125, 3.3), 0, SIZES);
  open_run(&test.runs[5], 0, SIZES);
  test.house.sizing.main_velocity = ducts_given(2.9);
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert_uint_eq(ducts->sizes->n_runs, 2);
  ck_assert_str_eq(ducts->sizes->runs[0].run, "out");
  ck_assert(velocity(ducts, "intake") <= 2.9);
  ck_assert(ducts->sizes->money_per_pa[1] > 0.0);
  CHECK_RELATIVE(ducts->sizes->energy_cost,
                 ducts->sizes->money_per_pa[0] * ducts->levels[0].supply.pressure_pa +
                     ducts->sizes->money_per_pa[1] * ducts->levels[0].extract.pressure_pa,
                 1e-6);
}
END_TEST

START_TEST(nothing_to_choose_from_is_an_error) {
  build(1.0);
  test.runs[3].sized = false;
  test.runs[3].n_choices = 0;
  ck_assert_int_eq(ducts_failure(&test), EB_E_INPUT);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "duct-unsized"), "to-bed1"));
}
END_TEST

START_TEST(memory_runs_out) {
  build(1.0);
  open_all();
  ck_assert_int_gt(ducts_run_out_of_memory(&test, 7), 3);
}
END_TEST

static void ledger_counts(const eb_ledger *ledger, const char *slug, size_t least) {
  size_t count = 0;
  for (size_t i = 0; i < eb_ledger_count(ledger); i++)
    count += strcmp(eb_ledger_step(ledger, i).id, slug) == 0;
  ck_assert_msg(count >= least, "%zu of %s", count, slug);
}

START_TEST(explained) {
  build(1.0);
  open_all();
  const eb_ducts *ducts = NULL;
  eb_ledger *ledger = eb_ledger_new(test.context);
  ck_assert_int_eq(eb_ducts_design(test.context, &test.house, &test.rates, NULL, ledger, &ducts),
                   EB_OK);
  ledger_counts(ledger, "size.price", OPEN);
  ledger_counts(ledger, "size.per-pascal", 1);
  ledger_counts(ledger, "size.other", 2 * OPEN);
}
END_TEST

Suite *suite_sizing(void) {
  Suite *suite = suite_create("sizing");
  TCase *all = tcase_create("all combinations");
  tcase_add_checked_fixture(all, setup, teardown);
  tcase_set_timeout(all, 120);
  tcase_add_loop_test(all, no_combination_is_cheaper, 0, 3);
  suite_add_tcase(suite, all);
  DUCTS_ADD(suite, "what is reported", neighbours_cost_what_they_say,
            written_down_it_gives_the_same, a_pascal_has_its_price, explained);
  DUCTS_ADD(suite, "limits", velocities_are_kept_by_place, what_is_not_said_is_usual,
            too_fast_is_told_with_what_would_do, pressure_is_kept, pressure_that_cannot_be_is_told,
            boost_is_within_the_fan, boost_beyond_the_fan_is_told, what_is_too_loud_is_made_larger,
            never_larger_than_the_run_before, tubes_side_by_side_are_a_choice);
  DUCTS_ADD(suite, "other ways", equal_friction_takes_the_smallest_that_will_do,
            friction_that_cannot_be_is_told, life_cycle_is_never_dearer_than_the_handbook,
            slow_air_regains_nothing, fast_air_regains);
  DUCTS_ADD(suite, "loops and errors", loops_are_sized_and_said_to_be, runs_outdoors_are_sized_too,
            nothing_to_choose_from_is_an_error, memory_runs_out);
  return suite;
}
