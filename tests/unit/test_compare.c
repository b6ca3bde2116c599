/* test_compare.c - houses side by side, on results made by hand */

#include "design/compare.h"

#include <math.h>
#include <string.h>

#include "ducts_house.h"
#include "suites.h"

enum { HOUSES = 3 };

/* A house with a result of each kind, to be changed by the tests. */
typedef struct column {
  ducts_house made;
  double supply_total[2], extract_total[2];
  eb_room_state rooms[2][DUCTS_ROOMS];
  eb_room_sound sounds[DUCTS_ROOMS];
  eb_run_info runs[DUCTS_RUNS];
  eb_level_state levels[2];
  eb_ducts ducts;
  eb_energy energy;
  eb_part items[3];
  eb_parts parts;
  eb_diagnostic findings[4];
} column;

static column columns[HOUSES];
static eb_compare_input inputs[HOUSES];
static eb_context *context;

static const char *const bedroom[] = {"bedroom"}, *const living[] = {"kitchen", "living"};

static void set_level(column *c, int number) {
  const ducts_house *made = &c->made;
  for (size_t r = 0; r < made->house.n_rooms; r++) {
    const eb_room_rates *rates = &made->room_rates[r];
    c->rooms[number][r].name = rates->name;
    if (rates->supply != NULL)
      c->rooms[number][r].supply.delivered_m3_s = rates->supply[number].design_m3_s;
    if (rates->extract != NULL)
      c->rooms[number][r].extract.delivered_m3_s = rates->extract[number].design_m3_s;
  }
  c->levels[number] = (eb_level_state){.name = made->levels[number], .rooms = c->rooms[number]};
  c->levels[number].specific_fan_power = 612.0 + 97.0 * number;
  c->levels[number].supply = (eb_side_state){.flow_m3_s = 0.0329,
                                             .flow_ref_m3_s = 0.0327,
                                             .pressure_pa = 61.3,
                                             .signal = 0.47,
                                             .spare_pa = 143.7,
                                             .index_run = "s-bed1"};
  c->levels[number].extract = c->levels[number].supply;
}

static void set_energy(column *c) {
  static const double joules = 3.6e6;
  c->energy = (eb_energy){.baseline_name = "trickle-vents",
                          .baseline_heat_kwh = 8123.0,
                          .fan_kwh = 117.0,
                          .standby_kwh = 23.0,
                          .frost_kwh = 4.0,
                          .net_heat_kwh = 5310.0,
                          .saving_heat_kwh = 2813.0,
                          .saving_electricity_kwh = -81.0,
                          .saving = {.given = true, .money = 161.0}};
  c->made.house.electricity =
      (ebi_tariff){.given = true, .price = 0.31 / joules, .efficiency = 1.0};
  c->made.house.heating = (ebi_tariff){.given = true, .price = 0.083 / joules, .efficiency = 0.87};
}

static void set_column(size_t number) {
  static const char *const names[] = {"A", "B", "C"};
  column *c = &columns[number];
  memset(c, 0, sizeof *c);
  ducts_start(&c->made);
  ducts_build_house(&c->made);
  eb_house *house = &c->made.house;
  house->currency = "GBP";
  house->dwelling = "";
  c->made.rooms[0].uses = living;
  c->made.rooms[0].n_uses = 2;
  for (size_t r = 1; r < 3; r++) {
    c->made.rooms[r].uses = bedroom;
    c->made.rooms[r].n_uses = 1;
  }
  for (int side = 0; side < 2; side++)
    c->supply_total[side] = c->extract_total[side] = 0.0329;
  c->made.rates.supply_total_m3_s = c->supply_total;
  c->made.rates.extract_total_m3_s = c->extract_total;
  c->made.rates.required_m3_s = 0.0310;
  for (size_t r = 0; r < house->n_runs; r++)
    c->runs[r].parallel = house->runs[r].parallel;
  for (int l = 0; l < 2; l++)
    set_level(c, l);
  c->ducts = (eb_ducts){.levels = c->levels,
                        .n_levels = 2,
                        .runs = c->runs,
                        .n_runs = house->n_runs,
                        .n_rooms = house->n_rooms};
  set_energy(c);
  c->items[0] = (eb_part){"bend", "bend-90 125 mm", 13, "pieces", .price = 7.1};
  c->items[1] = (eb_part){"box", "box of 7", 1, "pieces", .price = 83.0};
  c->items[2] = (eb_part){"duct", "steel-125", 31, "m", .price = 9.0};
  c->parts = (eb_parts){.items = c->items, .n_items = 3, .price = 1234.0, .currency = "GBP"};
  inputs[number] = (eb_compare_input){.name = names[number],
                                      .house = house,
                                      .rates = &c->made.rates,
                                      .ducts = &c->ducts,
                                      .energy = &c->energy,
                                      .parts = &c->parts,
                                      .findings = c->findings};
}

static void setup(void) {
  context = eb_context_new(NULL);
  for (size_t i = 0; i < HOUSES; i++)
    set_column(i);
}

static void teardown(void) {
  eb_context_free(context);
  for (size_t i = 0; i < HOUSES; i++)
    ducts_end(&columns[i].made);
}

static const eb_comparison *compare(size_t count) {
  const eb_comparison *made = NULL;
  ck_assert_int_eq(eb_compare_houses(context, inputs, count, NULL, NULL, &made), EB_OK);
  ck_assert_uint_eq(made->n_houses, count);
  return made;
}

static const eb_compare_row *find_row(const eb_comparison *all, const char *what) {
  for (size_t i = 0; i < all->n_rows; i++)
    if (strcmp(all->rows[i].what, what) == 0)
      return &all->rows[i];
  ck_abort_msg("no row \"%s\"", what);
}

static const eb_difference *find_difference(const eb_comparison *all, const char *name,
                                            const char *what) {
  for (size_t i = 0; i < all->n_differences; i++)
    if (strcmp(all->differences[i].name, name) == 0 && strcmp(all->differences[i].what, what) == 0)
      return &all->differences[i];
  return NULL;
}

static size_t noted(const char *code) {
  size_t count, found = 0;
  const eb_diagnostic *list = eb_diagnostics(context, &count);
  for (size_t i = 0; i < count; i++)
    found += strcmp(list[i].code, code) == 0;
  return found;
}

#define CHECK_WINS(row, house, by)                                                                 \
  do {                                                                                             \
    ck_assert_uint_eq((row)->better, (house));                                                     \
    ck_assert_double_eq_tol((row)->ahead, (by), 1e-9);                                             \
  } while (0)
#define CHECK_NOBODY(row) CHECK_WINS(row, EB_NO_HOUSE, 0.0)

/* ---- Who wins ---- */

START_TEST(same_houses_tie_everywhere) {
  const eb_comparison *all = compare(3);
  for (size_t i = 0; i < all->n_rows; i++)
    ck_assert_msg(all->rows[i].better == EB_NO_HOUSE, "%s", all->rows[i].what);
  ck_assert_uint_eq(all->n_differences, 0);
}
END_TEST

START_TEST(less_wins_by_the_distance_to_the_next) {
  columns[0].levels[1].supply.pressure_pa = 88.6;
  columns[1].levels[1].supply.pressure_pa = 71.2;
  columns[2].levels[1].supply.pressure_pa = 79.9;
  const eb_compare_row *row = find_row(compare(3), "supply index pressure at boost");
  CHECK_WINS(row, 1, 8.7);
  ck_assert_str_eq(row->where[2], "s-bed1");
  ck_assert_str_eq(row->unit, "Pa");
  CHECK_NOBODY(find_row(compare(3), "supply index pressure at normal"));
}
END_TEST

START_TEST(more_pressure_to_spare_wins) {
  columns[2].levels[1].extract.spare_pa = 151.9;
  CHECK_WINS(find_row(compare(3), "extract pressure to spare at boost"), 2, 8.2);
  /* 0 is only known where the fan is at its end */
  columns[0].levels[1].extract.spare_pa = 0.0;
  ck_assert_double_nan(find_row(compare(3), "extract pressure to spare at boost")->values[0]);
  columns[0].levels[1].extract.limited = true;
  ck_assert_double_eq(find_row(compare(3), "extract pressure to spare at boost")->values[0], 0.0);
}
END_TEST

/* 30.04 and 29.96 Pa are both shown as 30.0. */
START_TEST(what_looks_the_same_is_a_tie) {
  columns[0].levels[0].supply.pressure_pa = 30.04;
  columns[1].levels[0].supply.pressure_pa = 29.96;
  CHECK_NOBODY(find_row(compare(2), "supply index pressure at normal"));
  columns[1].levels[0].supply.pressure_pa = 29.94;
  CHECK_WINS(find_row(compare(2), "supply index pressure at normal"), 1, 0.1);
}
END_TEST

START_TEST(two_best_tie_and_a_third_loses) {
  columns[1].levels[0].specific_fan_power = 913.0;
  CHECK_NOBODY(find_row(compare(3), "specific fan power at normal"));
}
END_TEST

START_TEST(unknown_wins_and_loses_nothing) {
  inputs[1].ducts = NULL;
  columns[2].levels[1].specific_fan_power = 691.0;
  const eb_compare_row *row = find_row(compare(3), "specific fan power at boost");
  ck_assert_double_nan(row->values[1]);
  CHECK_WINS(row, 2, 20.0); /* 709 and 691 as shown: 710 and 690 */
  CHECK_NOBODY(find_row(compare(2), "specific fan power at boost"));
  /* 0 is a power that the sheet does not give */
  columns[2].levels[1].specific_fan_power = 0.0;
  ck_assert_double_nan(find_row(compare(3), "specific fan power at boost")->values[2]);
}
END_TEST

/* ---- Air and sound ---- */

START_TEST(required_flows_are_counted) {
  const eb_compare_row *row = find_row(compare(2), "required flows met at normal");
  ck_assert_double_eq(row->of[0], 8.0); /* six rooms and both totals */
  ck_assert_double_eq(row->values[0], 8.0);
  columns[0].rooms[0][2].supply.delivered_m3_s = 0.5e-3;
  columns[0].levels[0].extract.flow_m3_s = 0.0309;
  row = find_row(compare(2), "required flows met at normal");
  ck_assert_double_eq(row->values[0], 6.0);
  CHECK_WINS(row, 1, 2.0);
  /* without ducts the plan counts, without a solution nothing */
  inputs[1].ducts = NULL;
  ck_assert_double_nan(find_row(compare(2), "required flows met at normal")->values[1]);
  columns[1].made.house.n_runs = 0;
  ck_assert_double_eq(find_row(compare(2), "required flows met at normal")->values[1], 8.0);
}
END_TEST

/* 6 of 6 is better than 7 of 8. */
START_TEST(the_least_that_is_missing_wins) {
  columns[0].made.supply[0][0].required_m3_s = columns[0].made.extract[4][0].required_m3_s = 0.0;
  columns[1].rooms[0][2].supply.delivered_m3_s = 0.5e-3;
  const eb_compare_row *row = find_row(compare(2), "required flows met at normal");
  ck_assert_double_eq(row->of[0], 6.0);
  ck_assert_double_eq(row->values[1], 7.0);
  CHECK_WINS(row, 0, 1.0);
}
END_TEST

START_TEST(balance_is_on_mass_and_nearest_to_zero_wins) {
  columns[0].levels[0].supply.flow_ref_m3_s = 0.0301;
  columns[1].levels[0].supply.flow_ref_m3_s = 0.0339;
  const eb_compare_row *row = find_row(compare(2), "supply more than extract at normal");
  ck_assert_double_eq_tol(row->values[0], (0.0301 - 0.0327) / 0.0327, 1e-12);
  ck_assert_double_eq_tol(row->values[1], (0.0339 - 0.0327) / 0.0339, 1e-12);
  CHECK_WINS(row, 1, 0.045); /* 8.0 and 3.5 % */
}
END_TEST

START_TEST(loudest_and_quietest_rooms) {
  for (size_t i = 0; i < 2; i++) {
    static const double heard[2][6] = {{21.3, 26.8, 24.1, 39.0, 41.0, 37.0},
                                       {19.2, 23.4, NAN, 11.0, 12.0, 13.0}};
    for (size_t r = 0; r < 6; r++)
      columns[i].sounds[r].total_db = heard[i][r];
    columns[i].levels[0].sounds = columns[i].sounds;
  }
  const eb_comparison *all = compare(3);
  const eb_compare_row *row = find_row(all, "loudest bedroom at normal");
  CHECK_WINS(row, 1, 4.0); /* 27 and 23 */
  ck_assert_str_eq(row->where[0], "bed1");
  ck_assert_str_eq(row->where[2], "");
  ck_assert_double_nan(row->values[2]);
  CHECK_WINS(find_row(all, "loudest living room at normal"), 1, 2.0);
  CHECK_WINS(find_row(all, "quietest of these rooms at normal"), 1, 2.0);
  CHECK_NOBODY(find_row(all, "loudest bedroom at boost"));
}
END_TEST

/* ---- Ducts and parts ---- */

START_TEST(metres_and_fittings_count_each_tube) {
  column *b = &columns[1];
  b->made.runs[2].duct.family = "semirigid"; /* s-living: two tubes of 7.0 m */
  b->made.runs[3].sized = false;             /* s-bed1, 9.5 m: three tubes were chosen */
  b->made.runs[3].duct_family = "semirigid";
  b->runs[3].parallel = 3;
  ducts_drop(&b->made, &b->made.runs[2], 3.0, 7.0);
  const eb_comparison *all = compare(2);
  ck_assert_double_eq_tol(find_row(all, "duct, semirigid")->values[1], 14.0 + 28.5, 1e-9);
  ck_assert_double_eq(find_row(all, "duct, semirigid")->values[0], 0.0);
  CHECK_WINS(find_row(all, "duct in all"), 0, 9.5);
  CHECK_WINS(find_row(all, "fittings drawn in the runs"), 0, 2.0);
  ck_assert_double_eq(find_row(all, "to order: bend")->values[1], 13.0);
  for (size_t i = 0; i < all->n_rows; i++)
    ck_assert_str_ne(all->rows[i].what, "to order: duct");
}
END_TEST

START_TEST(known_prices_decide_only_where_they_can) {
  columns[1].parts.price = 1401.0;
  CHECK_WINS(find_row(compare(2), "parts"), 0, 167.0);
  /* the dearer one lacks a price too: it stays dearer */
  columns[1].items[1].price = NAN;
  columns[1].parts.n_unpriced = 1;
  const eb_compare_row *row = find_row(compare(2), "parts");
  CHECK_WINS(row, 0, 167.0);
  ck_assert(row->at_least[1] && !row->at_least[0]);
  /* the cheaper one lacks another: nobody knows */
  columns[0].items[0].price = NAN;
  columns[0].parts.n_unpriced = 1;
  CHECK_NOBODY(find_row(compare(2), "parts"));
  CHECK_NOBODY(find_row(compare(2), "life-cycle cost"));
  /* both lack the same: that makes no difference */
  columns[0].items[0].price = 7.1;
  columns[0].items[1].price = NAN;
  CHECK_WINS(find_row(compare(2), "parts"), 0, 167.0);
  ck_assert_double_eq(find_row(compare(2), "parts without a price")->values[0], 1.0);
  columns[0].items[1].quantity = 2;
  CHECK_NOBODY(find_row(compare(2), "parts"));
}
END_TEST

/* ---- The year and money ---- */

/* Own calculation: 144 kWh at 0.31 and 5310/0.87 kWh at 0.083 are 551.226 a year; times
 * (1 - 1.03^-25)/0.03 = 17.413148, and 1234 of parts. */
START_TEST(life_cycle_cost) {
  double bill = 144.0 * 0.31 + 5310.0 / 0.87 * 0.083;
  const eb_comparison *all = compare(2);
  ck_assert_double_eq_tol(bill, 551.226, 1e-3);
  ck_assert_double_eq_tol(find_row(all, "energy bill of a year")->values[1], bill, 1e-9);
  ck_assert_double_eq_tol(find_row(all, "life-cycle cost")->values[1], 1234.0 + bill * 17.413148,
                          1e-3);
  ck_assert_uint_eq(noted("compare-life-cycle"), 1);
  ck_assert_str_eq(find_row(all, "life-cycle cost")->currency, "GBP");
}
END_TEST

START_TEST(own_years_and_interest) {
  ebi_part_costs *costs = &columns[0].made.house.parts;
  costs->years = ducts_given(13.0);
  costs->interest = ducts_given(0.0);
  const eb_comparison *all = compare(2);
  double bill = find_row(all, "energy bill of a year")->values[0];
  ck_assert_double_eq_tol(find_row(all, "life-cycle cost")->values[0], 1234.0 + 13.0 * bill, 1e-9);
  ck_assert_uint_eq(noted("compare-life-cycle"), 1); /* of B, which is not as A */
  ck_assert_ptr_nonnull(find_difference(all, "", "interest"));
}
END_TEST

START_TEST(no_prices_no_bill) {
  columns[1].made.house.heating.given = false;
  inputs[0].energy = NULL;
  const eb_comparison *all = compare(2);
  for (size_t i = 0; i < 2; i++) {
    ck_assert_double_nan(find_row(all, "energy bill of a year")->values[i]);
    ck_assert_double_nan(find_row(all, "life-cycle cost")->values[i]);
  }
  ck_assert_double_nan(find_row(all, "fans")->values[0]);
  ck_assert_double_eq(find_row(all, "controls and frost protection")->values[1], 27.0);
  ck_assert_uint_eq(noted("compare-life-cycle"), 0);
}
END_TEST

START_TEST(currencies_and_baselines_that_differ) {
  columns[0].made.house.currency = "EUR";
  columns[0].parts.price = 99.0;
  columns[0].energy.baseline_heat_kwh = 7000.0;
  const eb_comparison *all = compare(2);
  CHECK_NOBODY(find_row(all, "parts"));
  ck_assert_str_eq(find_row(all, "parts")->currency, "");
  ck_assert_uint_eq(noted("compare-currency"), 1);
  ck_assert_uint_eq(noted("compare-baseline"), 1);
}
END_TEST

START_TEST(findings_are_counted) {
  columns[0].findings[0].severity = EB_WARNING;
  columns[0].findings[1].severity = EB_NOTE;
  columns[0].findings[2].severity = EB_WARNING;
  inputs[0].n_findings = 3;
  const eb_comparison *all = compare(2);
  CHECK_WINS(find_row(all, "warnings"), 1, 2.0);
  ck_assert_double_eq(find_row(all, "notes")->values[0], 1.0);
  CHECK_NOBODY(find_row(all, "notes"));
  CHECK_NOBODY(find_row(all, "errors"));
}
END_TEST

START_TEST(life_cycle_explains_itself) {
  eb_ledger *ledger = eb_ledger_new(context);
  const eb_comparison *made;
  ck_assert_int_eq(eb_compare_houses(context, inputs, 2, NULL, ledger, &made), EB_OK);
  size_t count = eb_ledger_count(ledger);
  ck_assert_uint_ge(count, 1);
  eb_step last = eb_ledger_step(ledger, count - 1);
  ck_assert_str_eq(last.id, "life-cycle-cost");
  ck_assert_str_eq(last.what, "B: life-cycle cost");
  ck_assert_double_eq(last.value, find_row(made, "life-cycle cost")->values[1]);
  ck_assert_uint_eq(last.n_inputs, 4);
}
END_TEST

/* ---- Differences ---- */

START_TEST(runs_are_compared_by_name) {
  ducts_house *b = &columns[1].made;
  b->runs[2].length = 8.3;
  b->runs[2].parallel = 1;
  b->runs[3].duct.name = "bench-90";
  ducts_coefficient(b, &b->runs[5], 1.7);
  ducts_drop(b, &b->runs[5], 8.0, 13.0);
  b->runs[6].valve.opening = ducts_given(7.5);
  b->runs[10].name = "chimney";
  const eb_comparison *all = compare(2);
  const eb_difference *found = find_difference(all, "s-living", "length");
  ck_assert_ptr_nonnull(found);
  ck_assert_str_eq(found->part, "run");
  ck_assert_ptr_null(found->texts);
  ck_assert_double_eq(found->numbers[0], 7.0);
  ck_assert_double_eq(found->numbers[1], 8.3);
  ck_assert_str_eq(find_difference(all, "s-bed1", "duct")->texts[1], "bench-90");
  found = find_difference(all, "e-kitchen", "fittings");
  ck_assert_ptr_null(found->texts[0]);
  ck_assert_str_eq(found->texts[1], "zeta 1.7, 8 Pa at 13 l/s");
  ck_assert_str_eq(find_difference(all, "e-bath", "valve")->texts[0], "bench-valve");
  ck_assert_str_eq(find_difference(all, "e-bath", "valve")->texts[1], "bench-valve at 7.5 mm");
  ck_assert_ptr_null(find_difference(all, "s-bed2", "length"));
  ck_assert_ptr_null(find_difference(all, "s-living", "duct"));
}
END_TEST

START_TEST(runs_that_only_one_file_has) {
  columns[1].made.runs[10].name = "chimney";
  const eb_comparison *all = compare(2);
  ck_assert_double_nan(find_difference(all, "outlet", "length")->numbers[1]);
  ck_assert_double_eq(find_difference(all, "chimney", "length")->numbers[1], 2.4);
  ck_assert_ptr_null(find_difference(all, "chimney", "duct")->texts[0]);
  ck_assert_ptr_null(find_difference(all, "chimney", "valve"));
  ck_assert_uint_eq(all->n_differences, 4);
}
END_TEST

START_TEST(chosen_sizes_are_shown) {
  static const eb_sized_run chosen[] = {{.run = "s-bed2", .duct = "bench-63"}};
  static const eb_sizes sizes = {.runs = chosen, .n_runs = 1};
  for (size_t i = 0; i < 3; i++) {
    columns[i].made.runs[4].sized = false;
    columns[i].made.runs[4].duct_family = "bench";
  }
  columns[1].ducts.sizes = &sizes;
  const eb_difference *found = find_difference(compare(3), "s-bed2", "duct");
  ck_assert_str_eq(found->texts[0], "bench of any size");
  ck_assert_str_eq(found->texts[1], "bench-63");
}
END_TEST

START_TEST(rooms_unit_levels_and_rules) {
  static const ebi_rule_set rules = {.entry = {.name = "some-rules"}};
  static const ebi_level levels[] = {{.name = "low", .share = {.value = 0.65, .given = true}}};
  ducts_house *b = &columns[1].made;
  b->rooms[1].sound_limit = ducts_given(27.0);
  b->rooms[5].name = "cloaks";
  b->unit.standby = 6.5;
  b->points[3].pressure += 1.0;
  b->house.rules = &rules;
  b->house.levels = levels;
  b->house.n_levels = 1;
  const eb_comparison *all = compare(2);
  ck_assert_double_eq(find_difference(all, "bed1", "sound limit")->numbers[1], 27.0);
  ck_assert_double_nan(find_difference(all, "bed1", "sound limit")->numbers[0]);
  ck_assert_ptr_nonnull(find_difference(all, "cloaks", "area"));
  ck_assert_ptr_nonnull(find_difference(all, "wc", "use"));
  ck_assert_double_eq(find_difference(all, "", "standby")->numbers[1], 6.5);
  ck_assert_str_eq(find_difference(all, "", "fans")->texts[1], "curves 2");
  ck_assert_str_eq(find_difference(all, "", "rule set")->texts[0], "none");
  ck_assert_str_eq(find_difference(all, "", "rule set")->texts[1], "some-rules");
  ck_assert_str_eq(find_difference(all, "low", "flow")->texts[1], "65 % of normal");
  ck_assert_ptr_null(find_difference(all, "low", "flow")->texts[0]);
}
END_TEST

/* ---- Calls ---- */

START_TEST(wrong_arguments) {
  const eb_comparison *made = NULL;
  eb_compare_options small = {.size = 1};
  ck_assert_int_eq(eb_compare_houses(context, inputs, 0, NULL, NULL, &made), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_compare_houses(context, NULL, 2, NULL, NULL, &made), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_compare_houses(NULL, inputs, 2, NULL, NULL, &made), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_compare_houses(context, inputs, 2, &small, NULL, &made), EB_E_ARGUMENT);
  columns[1].ducts.n_runs = 10;
  ck_assert_int_eq(eb_compare_houses(context, inputs, 2, NULL, NULL, &made), EB_E_ARGUMENT);
  columns[1].ducts.n_runs = 11;
  inputs[1].house = NULL;
  ck_assert_int_eq(eb_compare_houses(context, inputs, 2, NULL, NULL, &made), EB_E_ARGUMENT);
  ck_assert_ptr_null(made);
  eb_comparison_free(NULL);
}
END_TEST

START_TEST(the_result_stands_alone) {
  columns[1].made.runs[10].name = "chimney";
  const eb_comparison *all = compare(2);
  columns[1].made.runs[10].name = NULL;
  columns[0].levels[0].supply.index_run = NULL;
  ck_assert_str_eq(find_row(all, "supply index pressure at normal")->where[0], "s-bed1");
  ck_assert_ptr_nonnull(find_difference(all, "chimney", "duct"));
  eb_comparison_free(all);
}
END_TEST

Suite *suite_compare(void) {
  Suite *suite = suite_create("compare");
  DUCTS_ADD(suite, "who wins", same_houses_tie_everywhere, less_wins_by_the_distance_to_the_next,
            more_pressure_to_spare_wins, what_looks_the_same_is_a_tie,
            two_best_tie_and_a_third_loses, unknown_wins_and_loses_nothing);
  DUCTS_ADD(suite, "air and sound", required_flows_are_counted, the_least_that_is_missing_wins,
            balance_is_on_mass_and_nearest_to_zero_wins, loudest_and_quietest_rooms);
  DUCTS_ADD(suite, "ducts and parts", metres_and_fittings_count_each_tube,
            known_prices_decide_only_where_they_can);
  DUCTS_ADD(suite, "year and money", life_cycle_cost, own_years_and_interest, no_prices_no_bill,
            currencies_and_baselines_that_differ, findings_are_counted, life_cycle_explains_itself);
  DUCTS_ADD(suite, "differences", runs_are_compared_by_name, runs_that_only_one_file_has,
            chosen_sizes_are_shown, rooms_unit_levels_and_rules);
  DUCTS_ADD(suite, "calls", wrong_arguments, the_result_stands_alone);
  return suite;
}
