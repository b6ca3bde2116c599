/* test_energy_detail.c - the rest of the air's work, on houses as their files have them
 *
 * The figures themselves stand in tests/houses/ and tests/cases/rooms_air.case; here are the
 * findings, what is taken where nothing is given, and what must hold in any house. */

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "evenbreath.h"
#include "physics/rooms_air.h"
#include "physics/tank.h"
#include "suites.h"

static eb_context *context;

static void begin(void) {
  context = eb_context_new(NULL);
  ck_assert_ptr_nonnull(context);
}

static void end(void) {
  eb_context_free(context);
}

/* A house of one climate and unit, and what else is written below it. */
static const char *const house_text =
    "rules: none\n"
    "people: 3\n"
    "floor_area: 87 m2\n"
    "volume: 214 m3\n"
    "envelope: {heat_loss: 93 W/K, gains: 410 W, leakage: 1.4 ach}\n"
    "rooms:\n"
    "  living: {use: living, area: 52 m2, height: 2.4 m, supply: 131 m3/h}\n"
    "  bath: {use: bathroom, area: 5.3 m2, height: 2.4 m,\n"
    "         extract: {normal: 131 m3/h, boost: 170 m3/h}}\n"
    "levels: {cooling: 170 %}\n";

static const char *const unit_text =
    "unit:\n"
    "  name: mine\n"
    "  fan: {curves: [{speed: 100 %, columns: [m3/h, Pa, W],\n"
    "                  points: [[0, 290, 15], [140, 260, 27], [380, 110, 70]]}]}\n"
    "  exchanger: {temperature_ratio: 83 %, at: 131 m3/h";

typedef struct setting {
  const char *climate, *unit, *rest; /* `unit` goes on after the exchanger's flow */
} setting;

static eb_house *read_house(setting s) {
  char text[4000];
  eb_house *house = NULL;
  size_t count = 0;
  int length =
      snprintf(text, sizeof text, "%ssite: {climate: %s, altitude: 37 m, indoor: 20.5 C}\n%s%s\n%s",
               house_text, s.climate, unit_text, s.unit ? s.unit : "}", s.rest);
  ck_assert_int_lt(length, (int)sizeof text);
  eb_status status = eb_house_read(context, "t.yaml", text, strlen(text), NULL, &house);
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  ck_assert_msg(status == EB_OK, "%s", count > 0 ? all[count - 1].message : "nothing said");
  return house;
}

static const eb_energy *year_of(setting s, bool detail, eb_ledger *ledger) {
  eb_house *house = read_house(s);
  const eb_rates *rates = NULL;
  const eb_energy *energy = NULL;
  const eb_energy_options options = {.size = sizeof options, .detail = detail};
  ck_assert_int_eq(eb_rates_plan(context, house, NULL, NULL, &rates), EB_OK);
  ck_assert_int_eq(eb_energy_year(context, house, rates, NULL, &options, ledger, &energy), EB_OK);
  return energy;
}

static const eb_energy_detail *detail_of(const char *climate, const char *rest) {
  return year_of((setting){climate, NULL, rest}, true, NULL)->detail;
}

/* The message of a finding, or NULL. */
static const char *found(const char *code) {
  size_t count = 0;
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  for (size_t i = 0; i < count; i++)
    if (strcmp(all[i].code, code) == 0)
      return all[i].message;
  return NULL;
}

static void assert_says(const char *code, const char *words) {
  const char *message = found(code);
  ck_assert_msg(message != NULL, "nothing says %s", code);
  ck_assert_msg(strstr(message, words) != NULL, "%s does not say \"%s\": %s", code, words, message);
}

/* ---- Asked for or not --------------------------------------------------- */

START_TEST(nothing_where_not_asked_for) {
  const eb_energy *energy = year_of((setting){"nottingham", NULL, ""}, false, NULL);
  ck_assert_ptr_null(energy->detail);
  ck_assert_ptr_null(found("moisture-by-people"));
  ck_assert_ptr_null(found("condensate-drain"));
}
END_TEST

START_TEST(year_is_the_same) {
  const eb_energy *with = year_of((setting){"nottingham", NULL, ""}, true, NULL);
  const eb_energy *without = year_of((setting){"nottingham", NULL, ""}, false, NULL);
  ck_assert_double_eq(with->net_heat_kwh, without->net_heat_kwh);
  ck_assert_double_eq(with->saving_heat_kwh, without->saving_heat_kwh);
}
END_TEST

/* ---- Moisture ----------------------------------------------------------- */

START_TEST(taken_by_people) {
  const eb_energy_detail *detail = detail_of("nottingham", "");
  ck_assert_double_eq_tol(detail->moisture.production_kg_day, 9.0, 1e-12); /* 3 kg each */
  ck_assert(!detail->moisture.production_given && !detail->moisture.surface_factor_given);
  ck_assert_double_eq(detail->moisture.surface_factor, 0.75);
  assert_says("moisture-by-people", "9 kg");
  assert_says("surface-assumed", "75 %");
  assert_says("humidity-assumed", "below 10 C");
  ck_assert_double_eq(detail->months[0].outdoor_humidity, 0.85);
  ck_assert_double_eq(detail->months[6].outdoor_humidity, 0.75);
  ck_assert_ptr_null(detail->hot_water);
}
END_TEST

START_TEST(dry_and_mouldy) {
  detail_of("nottingham", "moisture: {production: 0.2 kg/day}\n");
  assert_says("air-dry", "January, February");
  ck_assert_ptr_null(found("mould"));
  eb_diagnostics_clear(context);
  detail_of("nottingham", "moisture: {production: 19 kg/day, surface_factor: 62 %}\n");
  assert_says("mould", "January, February, March, April, October, November and December");
  ck_assert_ptr_null(found("air-dry"));
}
END_TEST

/* At the humidity that is told as safe the coldest place is at 80 %: the least fRsi is the
 * house's own. */
START_TEST(safe_is_safe) {
  const eb_energy_detail *detail =
      detail_of("nottingham", "moisture: {production: 10.7 kg/day, surface_factor: 71 %}\n");
  for (int i = 0; i < 12; i++) {
    const eb_air_month *m = &detail->months[i];
    ck_assert_double_eq_tol(
        eb_surface_factor_needed(m->indoor_c, m->safe_humidity, m->outdoor_c, 0.8), 0.71, 1e-6);
    ck_assert(m->indoor_humidity > m->least_humidity);
    ck_assert((m->surface_humidity > 0.8) == (m->indoor_humidity > m->safe_humidity));
  }
}
END_TEST

START_TEST(vapour_handed_back_stays) {
  const char *rest = "moisture: {production: 8.2 kg/day}\n";
  const eb_energy_detail *plain = detail_of("nottingham", rest);
  const eb_energy_detail *core =
      year_of((setting){"nottingham", ", moisture_ratio: 60 %}", rest}, true, NULL)->detail;
  for (int i = 0; i < 12; i++) {
    ck_assert(core->months[i].indoor_humidity > plain->months[i].indoor_humidity);
    ck_assert(core->months[i].condensate_kg_day <= plain->months[i].condensate_kg_day);
  }
  ck_assert_double_lt(core->moisture.flow_m3_s, plain->moisture.flow_m3_s);
}
END_TEST

/* What leaves the unit as water was made in the house: less than all of it. */
START_TEST(water_is_no_more_than_was_made) {
  const eb_energy_detail *detail = detail_of("nottingham", "moisture: {production: 16.1 kg/day}\n");
  for (int i = 0; i < 12; i++)
    ck_assert_double_lt(detail->months[i].condensate_kg_day, 16.1);
  ck_assert_double_gt(detail->moisture.peak_kg_day, 1.0);
  ck_assert_double_eq(detail->months[detail->moisture.peak_month].condensate_kg_day,
                      detail->moisture.peak_kg_day);
  assert_says("condensate-drain", "drain with a siphon");
  ck_assert(isnan(detail->moisture.siphon_m)); /* no ducts */
  for (size_t i = 0; i < detail->moisture.n_condensate; i++)
    ck_assert_double_le(detail->moisture.condensate[i].frost_kg_day,
                        detail->moisture.condensate[i].condensate_kg_day);
}
END_TEST

/* A sheet's ratio holds the leak and, where it is not told apart, the fan's warmth. */
START_TEST(leak_and_fan_warm_the_supply) {
  const eb_energy_detail *plain = detail_of("nottingham", "");
  const eb_energy_detail *leaky =
      year_of((setting){"nottingham", ", leak_inside: 7 %}", ""}, true, NULL)->detail;
  const eb_energy *energy = year_of((setting){"nottingham", ", fan_heat: apart}", ""}, true, NULL);
  double warming = 0.5 * (energy->fan_kwh / 8.76) / (energy->air_constant_wh_m3_k * 131.0);
  double warmer = energy->detail->months[0].supply_c - plain->months[0].supply_c;
  ck_assert_double_eq_tol(warmer, warming, 0.15 * warming);
  ck_assert_double_eq_tol(leaky->months[0].supply_c, plain->months[0].supply_c, 0.2);
}
END_TEST

/* ---- Boost -------------------------------------------------------------- */

START_TEST(set_point_out_of_reach) {
  const eb_energy_detail *detail =
      detail_of("nottingham", "moisture: {production: 8 kg/day, boost: {minutes: 20 min, per_day: "
                              "4, humidity: 52 %}}\n");
  assert_says("boost-humidity", "52 %");
  ck_assert(detail->boost.refused[6] && !detail->boost.endless[6]);
  ck_assert(!detail->boost.refused[0]);
  assert_says("boost-endless", "all the time");
  eb_diagnostics_clear(context);
  detail = detail_of("nottingham", "moisture: {boost: {humidity: 90 %}}\n");
  ck_assert_ptr_null(found("boost-humidity"));
  ck_assert_ptr_null(found("boost-endless"));
  ck_assert_double_eq(detail->boost.run_s, 1200.0); /* 20 min, common practice */
  ck_assert(!detail->boost.run_given);
}
END_TEST

START_TEST(boost_costs_by_its_time) {
  const eb_energy_detail *none =
      detail_of("nottingham", "moisture: {boost: {minutes: 0 min, per_day: 4}}\n");
  const eb_energy_detail *some =
      detail_of("nottingham", "moisture: {boost: {minutes: 15 min, per_day: 4}}\n");
  const eb_energy_detail *more =
      detail_of("nottingham", "moisture: {boost: {minutes: 45 min, per_day: 4}}\n");
  ck_assert_double_eq(none->boost.heat_kwh, 0.0);
  ck_assert_double_eq(none->boost.rooms[0].removed, 0.0);
  ck_assert_double_gt(some->boost.heat_kwh, 0.0);
  ck_assert_double_eq_tol(more->boost.heat_kwh / some->boost.heat_kwh, 3.0, 0.01);
  ck_assert_double_lt(some->boost.heat_kwh, 0.4 * some->boost.no_recovery_kwh);
  ck_assert_uint_eq(some->boost.n_rooms, 1);
  ck_assert_str_eq(some->boost.rooms[0].name, "bath");
}
END_TEST

/* ---- Summer ------------------------------------------------------------- */

START_TEST(months_only_estimate) {
  const eb_energy *energy = year_of((setting){"nottingham", NULL, ""}, true, NULL);
  const eb_energy_detail *detail = energy->detail;
  ck_assert(!detail->summer.hourly);
  assert_says("summer-by-months", "estimate");
  assert_says("no-bypass", "no bypass");
  ck_assert_str_eq(detail->summer.level, "cooling");
  ck_assert_double_eq_tol(detail->summer.flow_m3_s / detail->summer.normal_m3_s, 1.7, 1e-9);
  double all = detail->summer.heating_fan_kwh + detail->summer.other_fan_kwh;
  ck_assert_double_eq_tol(all, energy->fan_kwh, 1e-9);
}
END_TEST

START_TEST(a_bypass_cools) {
  const eb_energy_detail *detail =
      year_of((setting){"seattle-hours", "}\n  bypass: {opens_above: 22 C}",
                        "summer: {limit: 24.6 C, gains: 1240 W, capacity: 5.7 kWh/K}\n"},
              true, NULL)
          ->detail;
  const eb_summer_run *runs = detail->summer.runs;
  ck_assert(detail->summer.hourly);
  ck_assert_double_gt(runs[0].kelvin_hours, 2.0 * runs[1].kelvin_hours);
  ck_assert_double_gt(runs[1].kelvin_hours, runs[2].kelvin_hours);
  ck_assert_double_gt(runs[0].highest_c, runs[1].highest_c);
  ck_assert_double_eq(runs[0].open_hours, 0.0);
  ck_assert_double_eq(runs[0].removed_kwh, 0.0);
  ck_assert_double_eq_tol(detail->summer.free_cooling_kwh,
                          runs[2].removed_kwh - runs[2].fan_heat_kwh, 1e-9);
  ck_assert_ptr_null(found("summer-assumed"));
}
END_TEST

START_TEST(what_summer_takes) {
  const eb_energy_detail *detail = detail_of("seattle-hours", "summer: {level: boost}\n");
  ck_assert_double_eq(detail->summer.limit_c, 25.0);
  ck_assert_double_eq(detail->summer.gains_w, 410.0);
  ck_assert_double_eq_tol(detail->summer.capacity_j_k, 165e3 * 87.0, 1.0); /* J/(m2 K) */
  ck_assert_str_eq(detail->summer.level, "boost");
  assert_says("summer-assumed", "gains and capacity");
}
END_TEST

/* ---- Hot water ---------------------------------------------------------- */

START_TEST(common_practice_of_heat_pumps) {
  const eb_hot_water_detail *hot = detail_of("nottingham", "heat_pump: {tank: 180 l}\n")->hot_water;
  ck_assert_ptr_nonnull(hot);
  ck_assert_double_eq(hot->compressor_w, 600.0);
  ck_assert_double_eq(hot->coil[0].ratio, 3.0);
  ck_assert_double_eq(hot->limit_c, 65.0);
  ck_assert_double_eq_tol(hot->full_s / 3600.0, 2.326, 1e-3); /* 4.1868 kWh by 1.8 kW */
  ck_assert_double_eq_tol(hot->weekly_year_kwh, 163.2852, 1e-3);
  ck_assert_double_eq_tol(hot->weekly_electricity_kwh, 163.2852 / 3.0, 1e-3);
  assert_says("heat-pump-assumed", "600 W");
  assert_says("legionella", "60 C or more");
  assert_says("scald", "mixing valve");
}
END_TEST

START_TEST(a_hot_store_is_no_warning) {
  detail_of("nottingham", "heat_pump: {tank: 210 l, start: 61 C, limit: 68 C, compressor: 700 W,\n"
                          "  ratio: {columns: [C, ratio], points: [[50, 2.9], [70, 2.0]]}}\n");
  ck_assert_ptr_null(found("heat-pump-assumed"));
  size_t count = 0;
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  for (size_t i = 0; i < count; i++)
    if (strcmp(all[i].code, "legionella") == 0)
      ck_assert_int_eq(all[i].severity, EB_NOTE);
}
END_TEST

START_TEST(drawn_faster_than_heated) {
  const eb_hot_water_detail *hot =
      detail_of("nottingham", "heat_pump: {tank: 180 l, draw: 900 l/day, loss: 70 W}\n")->hot_water;
  ck_assert(isnan(hot->full_s) && isnan(hot->cooling_once_kwh));
  /* 1800 W = 70 W + 900/86400 l/s x 4186.8 J/(l K) x (T - 10) */
  ck_assert_double_eq_tol(hot->stands_c, 10.0 + 1730.0 / (0.9 / 86400.0 * 4.1868e6), 1e-6);
  ck_assert_double_eq_tol(hot->cooling_day_kwh, 1200.0 * 0.024, 1e-9); /* all day */
}
END_TEST

START_TEST(heater_and_coil_at_their_ends) {
  const eb_hot_water_detail *hot =
      detail_of("nottingham",
                "heat_pump: {tank: 180 l, draw: 160 l/day, compressor: 310 W, heater: "
                "90 W}\n")
          ->hot_water;
  ck_assert_double_gt(hot->short_kwh, 0.0);
  assert_says("heater-short", "lack");
  ck_assert_double_eq_tol(hot->pump_kwh + hot->heater_kwh + hot->short_kwh, hot->asked_kwh, 1e-6);
  ck_assert_double_eq_tol(hot->heater_share, hot->heater_kwh / hot->asked_kwh, 1e-12);
  ck_assert_double_le(hot->months[0].heater_kwh, 90.0 * 24.0 * 31.0 / 1000.0 + 1e-9);
  eb_diagnostics_clear(context);
  detail_of("nottingham", "heat_pump: {tank: 180 l, compressor: 950 W}\n");
  assert_says("coil-frost", "January");
}
END_TEST

/* The weekly cycle beyond what the heat pump can do is the heater's. */
START_TEST(weekly_beyond_the_limit) {
  const eb_hot_water_detail *hot =
      detail_of("nottingham", "heat_pump: {tank: 180 l, start: 45 C, limit: 50 C, weekly: 60 C,\n"
                              "  ratio: {columns: [C, ratio], points: [[45, 2.5], [50, 2.5]]}}\n")
          ->hot_water;
  double by_pump = 52.0 * 0.18 * 4.1868 / 3.6 * 5.0 / 2.5;
  double by_heater = 52.0 * 0.18 * 4.1868 / 3.6 * 10.0; /* 108.9 kWh, ten kelvin by resistance */
  ck_assert_double_eq_tol(by_heater, 108.86, 0.01);
  ck_assert_double_eq_tol(hot->weekly_electricity_kwh, by_pump + by_heater, 1e-6);
}
END_TEST

/* ---- What other parts tell ---------------------------------------------- */

START_TEST(other_parts_are_in_it) {
  const eb_energy *energy = year_of((setting){"nottingham", NULL, ""}, true, NULL);
  const eb_energy_detail *detail = energy->detail;
  ck_assert_uint_gt(detail->n_degree_days, 3);
  ck_assert_double_eq_tol(detail->degree_days[0].base_c, energy->base_temperature_c, 1e-12);
  ck_assert_double_eq_tol(detail->degree_days[0].heating_k_d, energy->heating_degree_days, 1e-6);
  ck_assert_uint_gt(detail->n_leakage, 3);
  for (size_t i = 1; i < detail->n_leakage; i++)
    ck_assert_double_lt(detail->leakage[i].saving_heat_kwh, detail->leakage[i - 1].saving_heat_kwh);
  ck_assert_str_eq(detail->specific_energy[0].climate, "average");
  ck_assert_double_lt(detail->specific_energy[1].kwh_m2, detail->specific_energy[0].kwh_m2);
  ck_assert_double_lt(detail->specific_energy[0].kwh_m2, detail->specific_energy[2].kwh_m2);
}
END_TEST

/* Each figure has its step, and each step of it a formula and a source. */
START_TEST(every_figure_explains_itself) {
  eb_ledger *ledger = eb_ledger_new(context);
  ck_assert_ptr_nonnull(ledger);
  const eb_energy *energy =
      year_of((setting){"seattle-hours", NULL, "heat_pump: {tank: 180 l, draw: 100 l/day}\n"}, true,
              ledger);
  const eb_hot_water_detail *hot = energy->detail->hot_water;
  const double wanted[] = {energy->detail->months[3].supply_c,
                           energy->detail->months[3].exhaust_c,
                           energy->detail->months[3].indoor_humidity * 100.0,
                           energy->detail->months[3].surface_humidity * 100.0,
                           energy->detail->boost.heat_kwh,
                           energy->detail->summer.runs[1].kelvin_hours,
                           energy->detail->summer.free_cooling_kwh,
                           hot->full_s,
                           hot->cooling_day_kwh,
                           hot->weekly_year_kwh,
                           hot->heater_share * 100.0,
                           energy->detail->specific_energy[0].kwh_m2};
  for (size_t w = 0; w < sizeof wanted / sizeof wanted[0]; w++) {
    bool seen = false;
    for (size_t i = 0; i < eb_ledger_count(ledger); i++) {
      eb_step step = eb_ledger_step(ledger, i);
      if (step.formula[0] && fabs(step.value - wanted[w]) <= 1e-9 * fabs(wanted[w])) {
        ck_assert(step.source[0] != '\0');
        seen = true;
      }
    }
    ck_assert_msg(seen, "nothing explains %g (number %zu)", wanted[w], w);
  }
}
END_TEST

/* ---- Physics at its edges ----------------------------------------------- */

START_TEST(edges_of_rooms) {
  ck_assert(isnan(ebi_room_humidity_ratio(0.004, 1e-4, 0.0, 20.0, 101325.0)));
  ck_assert(isnan(ebi_vapour_flow(0.009, 1e-4, 0.009)));
  ck_assert(isnan(ebi_vapour_removed(-1.0, 3.0)));
  ck_assert(isnan(ebi_vapour_time(2.0, 1.0)));
  ck_assert_double_eq(ebi_vapour_time(2.0, 0.0), 0.0);
  const ebi_heat_store still = {2.9e7, 0.0, 0.0};
  ebi_store_state state = ebi_heat_store_step(&still, 23.7, -4.0, 3600.0);
  ck_assert_double_eq(state.end_c, 23.7);
  ck_assert_double_eq(state.mean_c, 23.7);
  /* both branches of the series join */
  for (double loss = 1e-5; loss < 1e2; loss *= 10.0) {
    const ebi_heat_store store = {3.6e6, loss, 371.0};
    ebi_store_state one = ebi_heat_store_step(&store, 21.3, 9.1, 7200.0);
    ebi_store_state half = ebi_heat_store_step(&store, 21.3, 9.1, 3600.0);
    ebi_store_state two = ebi_heat_store_step(&store, half.end_c, 9.1, 3600.0);
    ck_assert_double_eq_tol(two.end_c, one.end_c, 1e-9);
    ck_assert_double_eq_tol(0.5 * (half.mean_c + two.mean_c), one.mean_c, 1e-7);
  }
}
END_TEST

/* A lift in two parts takes as long as in one, wherever the points of the ratio lie. */
START_TEST(parts_of_a_lift) {
  const ebi_ratio_point ratios[] = {{41.3, 3.2}, {52.9, 2.7}, {61.7, 1.9}};
  const ebi_tank tank = {0.237, 530.0, 67.0, 1.9e-6, 9.0, ratios, 3};
  ebi_tank_run one = ebi_tank_heat(&tank, 36.1, 66.3);
  for (double middle = 37.0; middle < 66.0; middle += 3.7) {
    ebi_tank_run low = ebi_tank_heat(&tank, 36.1, middle);
    ebi_tank_run high = ebi_tank_heat(&tank, middle, 66.3);
    ck_assert_double_eq_tol(low.seconds + high.seconds, one.seconds, 1e-6);
    ck_assert_double_eq_tol(low.heat_j + high.heat_j, one.heat_j, 1.0);
  }
  ck_assert_double_eq(ebi_tank_heat(&tank, 50.0, 50.0).seconds, 0.0);
  ck_assert_double_eq(ebi_tank_ratio(&tank, 20.0), 3.2);
  ck_assert_double_eq(ebi_tank_ratio(&tank, 90.0), 1.9);
  ck_assert_double_eq_tol(ebi_tank_ratio(&tank, 47.1), 2.95, 1e-12);
}
END_TEST

static void add_year(TCase *year) {
  tcase_add_test(year, nothing_where_not_asked_for);
  tcase_add_test(year, year_is_the_same);
  tcase_add_test(year, taken_by_people);
  tcase_add_test(year, dry_and_mouldy);
  tcase_add_test(year, safe_is_safe);
  tcase_add_test(year, vapour_handed_back_stays);
  tcase_add_test(year, water_is_no_more_than_was_made);
  tcase_add_test(year, leak_and_fan_warm_the_supply);
  tcase_add_test(year, set_point_out_of_reach);
  tcase_add_test(year, boost_costs_by_its_time);
  tcase_add_test(year, months_only_estimate);
  tcase_add_test(year, a_bypass_cools);
  tcase_add_test(year, what_summer_takes);
  tcase_add_test(year, common_practice_of_heat_pumps);
  tcase_add_test(year, a_hot_store_is_no_warning);
  tcase_add_test(year, drawn_faster_than_heated);
  tcase_add_test(year, heater_and_coil_at_their_ends);
  tcase_add_test(year, weekly_beyond_the_limit);
  tcase_add_test(year, other_parts_are_in_it);
  tcase_add_test(year, every_figure_explains_itself);
}

Suite *suite_energy_detail(void) {
  Suite *suite = suite_create("energy_detail");
  TCase *year = tcase_create("year"), *physics = tcase_create("physics");
  tcase_add_checked_fixture(year, begin, end);
  add_year(year);
  tcase_add_test(physics, edges_of_rooms);
  tcase_add_test(physics, parts_of_a_lift);
  suite_add_tcase(suite, year);
  suite_add_tcase(suite, physics);
  return suite;
}
