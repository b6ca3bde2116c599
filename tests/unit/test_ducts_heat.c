/* test_ducts_heat.c - temperatures, stack pressure and condensation of a house's ducts */

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ducts_house.h"
#include "physics/air.h"
#include "suites.h"

#define PI 3.14159265358979323846
#define CP 1006.0 /* J/(kg K) */

static ducts_house test;

static void setup(void) {
  ducts_start(&test);
  test.unit.has_exchanger = true;
  test.unit.temperature_ratio = 0.85;
}

static void teardown(void) {
  ducts_end(&test);
}

static ebi_run *in_space(ebi_run *run, double celsius) {
  run->space_temperature = ducts_given(celsius);
  return run;
}

static ebi_run *insulate(ebi_run *run, double thickness_mm, double conductivity) {
  run->insulation_thickness = ducts_given(1e-3 * thickness_mm);
  run->insulation_conductivity = ducts_given(conductivity);
  return run;
}

/* One supply and one extract room, 15 l/s of 1.2 kg/m3 each; the intake lies in the cold. */
static void build_pair(double indoor, double outdoor) {
  double flow = 15.0 * 1.2 / eb_air_density(indoor, 101325.0);
  test.house.indoor = ducts_given(indoor);
  test.house.outdoor = ducts_given(outdoor);
  ducts_room(&test, "bed", flow, 0.0, 1.2);
  ducts_room(&test, "bath", 0.0, flow, 1.2);
  in_space(ducts_run(&test, EB_OUTDOOR, "intake", "outdoors", "unit", 125.0, 2.0), outdoor);
  ducts_with_valve(ducts_run(&test, EB_SUPPLY, "s", "unit", "bed", 125.0, 10.0));
  ducts_with_valve(ducts_run(&test, EB_EXTRACT, "e", "bath", "unit", 125.0, 3.0));
  insulate(ducts_run(&test, EB_EXHAUST, "outlet", "unit", "outdoors", 125.0, 2.0), 30.0, 0.04);
}

static ebi_run *run_named(const char *name) {
  for (size_t i = 0; i < test.house.n_runs; i++)
    if (strcmp(test.runs[i].name, name) == 0)
      return &test.runs[i];
  ck_abort_msg("no run %s", name);
  return NULL;
}

/* ---- Heat ----
 *
 * A supply duct of 125 mm in a loft of 2 C, 10 m, 15 l/s, air of 19 C into it (22 C inside, 2 C
 * outside, 85 %), insulation of 0.04 W/(m K). Own calculation with films of 8 W/(m2 K) on both
 * sides: 25 mm 0.531 W/(m K), 4.32 K, 78 W; 50 mm 0.353, 3.01 K, 54 W; 200 mm 0.164, 1.47 K,
 * 27 W. (Without the film inside 0.64, 0.40 and 0.17 W/(m K), 5.1, 3.4 and 1.5 K.) */

static void check_loft(double thickness, double transmittance, double drop, double watts) {
  build_pair(22.0, 2.0);
  insulate(in_space(run_named("s"), 2.0), thickness, 0.04);
  const eb_ducts *ducts = ducts_design(&test);
  const eb_run_state *s = ducts_state(ducts, "s", 0);
  CHECK_NEAR(s->start_c, 19.0, 1e-9);
  double capacity = 1.2 * CP * 15e-3, units = transmittance * 10.0 / capacity;
  CHECK_NEAR(s->start_c - s->end_c, 17.0 * (1.0 - exp(-units)), 0.01);
  CHECK_NEAR(s->start_c - s->end_c, drop, 0.005);
  CHECK_NEAR(s->heat_w, watts, 0.5);
  CHECK_NEAR(s->heat_w, capacity * (s->start_c - s->end_c), 1e-6);
  CHECK_NEAR(ducts->levels[0].rooms[0].supply_c, s->end_c, 1e-12);
  ck_assert(isnan(ducts->levels[0].rooms[1].supply_c));
}

START_TEST(loft_duct_of_25_mm) {
  check_loft(25.0, 0.5307, 4.32, 78.2);
  ck_assert_str_eq(ducts_message(&test, "supply-cold"),
                   "supply air comes into 1 room below 16.5 C, into bed at 14.7 C: it may be felt "
                   "as a draught");
  ck_assert_uint_eq(ducts_found(&test, "duct-outside"), 0);
}
END_TEST

START_TEST(loft_duct_of_50_mm) {
  check_loft(50.0, 0.3529, 3.01, 54.5);
}
END_TEST

START_TEST(loft_duct_of_200_mm) {
  check_loft(200.0, 0.1638, 1.47, 26.6);
}
END_TEST

/* What ducts lose is what the exchanger's heat does not reach: summed by hand from the runs. */
START_TEST(lost_heat_is_the_balance_of_the_house) {
  build_pair(22.0, 2.0);
  insulate(in_space(run_named("s"), 2.0), 25.0, 0.04);
  const eb_ducts *ducts = ducts_design(&test);
  double lost = ducts_state(ducts, "s", 0)->heat_w - ducts_state(ducts, "outlet", 0)->heat_w;
  double ideal = 0.85 * 20.0 * 1.2 * CP * 15e-3;
  char want[128];
  snprintf(want, sizeof want, "the ducts throw away %.0f %% of what the exchanger recovers",
           100.0 * lost / ideal);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "heat-lost"), want));
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "heat-lost"), "of 308 W"));
}
END_TEST

/* Heat goes round in full: what the house loses by air is what enters outdoors less what leaves,
 * with the heat of the runs between. Extract from a cold loft lowers the supply too. */
START_TEST(exchanger_balances) {
  build_pair(21.3, -6.7);
  in_space(run_named("e"), -3.0);
  in_space(run_named("outlet"), 4.0);
  const eb_ducts *ducts = ducts_design(&test);
  const eb_run_state *in = ducts_state(ducts, "intake", 0), *s = ducts_state(ducts, "s", 0);
  const eb_run_state *e = ducts_state(ducts, "e", 0), *out = ducts_state(ducts, "outlet", 0);
  CHECK_NEAR(in->end_c, -6.7, 1e-12);
  CHECK_NEAR(e->start_c, 21.3, 1e-12);
  ck_assert_double_lt(e->end_c, 20.0);
  CHECK_NEAR(s->start_c, -6.7 + 0.85 * (e->end_c + 6.7), 1e-9);
  CHECK_NEAR(e->end_c - out->start_c, s->start_c - in->end_c, 1e-9); /* equal masses */
}
END_TEST

/* More supply than extract: no more heat than the extract air has down to the outdoor air. */
START_TEST(exchanger_gives_no_more_than_there_is) {
  build_pair(21.3, -6.7);
  test.supply[0][0].design_m3_s *= 2.0;
  test.supply[0][0].required_m3_s = 0.0;
  in_space(run_named("outlet"), 4.0);
  const eb_ducts *ducts = ducts_design(&test);
  const eb_run_state *s = ducts_state(ducts, "s", 0), *out = ducts_state(ducts, "outlet", 0);
  double e_end = ducts_state(ducts, "e", 0)->end_c;
  double masses = ducts_state(ducts, "intake", 0)->flow_ref_m3_s / out->flow_ref_m3_s;
  CHECK_RELATIVE(masses, 2.0, 1e-6);
  CHECK_NEAR(out->start_c, -6.7, 1e-6);
  CHECK_NEAR(s->start_c, -6.7 + (e_end + 6.7) / masses, 1e-9);
}
END_TEST

/* A run written the other way round is the same run. */
START_TEST(direction_of_writing_changes_signs_only) {
  build_pair(20.0, -4.0);
  run_named("outlet")->from = "m2";
  ducts_run(&test, EB_EXHAUST, "first", "unit", "m1", 125.0, 1.3);
  ebi_run *middle = in_space(ducts_run(&test, EB_EXHAUST, "middle", "m1", "m2", 125.0, 4.1), 9.3);
  middle->rise = ducts_given(3.2);
  const eb_ducts *there = ducts_design(&test);
  middle->from = "m2";
  middle->to = "m1";
  middle->rise = ducts_given(-3.2);
  const eb_ducts *back = ducts_design(&test);
  const eb_run_state *a = ducts_state(there, "middle", 0), *b = ducts_state(back, "middle", 0);
  ck_assert_double_lt(b->flow_m3_s, 0.0);
  ck_assert_double_gt(a->end_c, a->start_c + 1.0);
  CHECK_NEAR(b->flow_m3_s, -a->flow_m3_s, 1e-12);
  CHECK_NEAR(b->start_c, a->start_c, 1e-9);
  CHECK_NEAR(b->end_c, a->end_c, 1e-9);
  CHECK_NEAR(b->heat_w, a->heat_w, 1e-8);
  CHECK_NEAR(b->stack_pa, -a->stack_pa, 1e-9);
  CHECK_NEAR(b->total_pa, -a->total_pa, 1e-9);
  CHECK_NEAR(back->levels[0].extract.pressure_pa, there->levels[0].extract.pressure_pa, 1e-9);
}
END_TEST

/* Mixing by mass: two rooms' extract ducts, one through the cold, meet. */
START_TEST(meetings_mix_by_mass) {
  ducts_build_house(&test);
  test.house.outdoor = ducts_given(-5.3);
  in_space(run_named("e-bath"), -2.0);
  const eb_ducts *ducts = ducts_design(&test);
  const eb_run_state *bath = ducts_state(ducts, "e-bath", 0), *wc = ducts_state(ducts, "e-wc", 0);
  const eb_run_state *mid = ducts_state(ducts, "e-mid", 0);
  ck_assert_double_lt(bath->end_c, 19.0);
  CHECK_NEAR(wc->end_c, 20.0, 1e-12);
  double mix = (bath->flow_ref_m3_s * bath->end_c + wc->flow_ref_m3_s * wc->end_c) /
               (bath->flow_ref_m3_s + wc->flow_ref_m3_s);
  CHECK_NEAR(mid->start_c, mix, 1e-9);
  double rise = ducts_state(ducts, "outlet", 0)->total_pa +
                ducts_state(ducts, "e-main", 0)->total_pa + mid->total_pa + bath->total_pa;
  CHECK_NEAR(rise, ducts->levels[0].extract.pressure_pa, 1e-6);
  CHECK_RELATIVE(ducts->levels[0].supply.flow_ref_m3_s, ducts->levels[0].extract.flow_ref_m3_s,
                 1e-8);
  CHECK_RELATIVE(ducts_delivered(ducts, "bed1", true, 0), 10.9, 1e-8);
}
END_TEST

/* The run's density is that of its mean temperature. */
START_TEST(density_is_of_the_mean) {
  build_pair(20.0, -9.0);
  in_space(run_named("s"), -9.0);
  const eb_ducts *ducts = ducts_design(&test);
  const eb_run_state *s = ducts_state(ducts, "s", 0);
  double units = log((s->start_c + 9.0) / (s->end_c + 9.0));
  double mean = -9.0 + (s->start_c - s->end_c) / units;
  CHECK_RELATIVE(s->flow_ref_m3_s / s->flow_m3_s, eb_air_density(mean, 101325.0) / 1.2, 1e-9);
}
END_TEST

/* With one temperature everywhere nothing changes and nothing is said. */
START_TEST(one_temperature_has_no_heat) {
  ducts_build_house(&test);
  const eb_ducts *ducts = ducts_design(&test);
  const eb_run_state *trunk = ducts_state(ducts, "trunk", 0);
  ck_assert_double_eq(trunk->start_c, 20.0);
  ck_assert_double_eq(trunk->end_c, 20.0);
  ck_assert_double_eq(trunk->heat_w, 0.0);
  ck_assert_double_eq(trunk->stack_pa, 0.0);
  ck_assert_double_eq(ducts->levels[1].rooms[0].supply_c, 20.0);
  ck_assert(isnan(trunk->dew_point_c));
  ck_assert_uint_eq(ducts_found(&test, "duct-cold"), 0);
  ck_assert_uint_eq(ducts_found(&test, "heat-lost"), 0);
}
END_TEST

/* Air of a shut branch has the temperature of its space. */
START_TEST(still_air_takes_its_surroundings) {
  ducts_build_house(&test);
  test.house.outdoor = ducts_given(-5.0);
  test.supply[2][0].design_m3_s = test.supply[2][1].design_m3_s = 0.0; /* bed2 */
  test.supply[2][0].required_m3_s = test.supply[2][1].required_m3_s = 0.0;
  in_space(run_named("s-bed2"), -3.7);
  const eb_ducts *ducts = ducts_design(&test);
  const eb_run_state *still = ducts_state(ducts, "s-bed2", 0);
  CHECK_NEAR(still->flow_m3_s, 0.0, 1e-12);
  CHECK_NEAR(still->start_c, -3.7, 1e-12);
  CHECK_NEAR(still->end_c, -3.7, 1e-12);
  CHECK_NEAR(still->heat_w, 0.0, 1e-9);
}
END_TEST

/* Operating: the same setting gives the same result as the design that found it. */
START_TEST(operating_repeats_the_design) {
  ducts_build_house(&test);
  test.house.outdoor = ducts_given(-8.0);
  in_space(run_named("e-kitchen"), 1.0);
  in_space(run_named("s-bed1"), -2.0);
  const eb_ducts *design = ducts_design(&test);
  double openings[DUCTS_RUNS];
  for (size_t t = 0; t < design->n_terminals; t++)
    openings[t] = design->terminals[t].opening;
  eb_setting setting = {"normal", openings, design->levels[0].supply.signal,
                        design->levels[0].extract.signal};
  const eb_ducts *again = ducts_operate(&test, &setting);
  for (size_t i = 0; i < design->n_runs; i++) {
    const eb_run_state *a = &design->levels[0].runs[i], *b = &again->levels[0].runs[i];
    CHECK_NEAR(a->flow_m3_s, b->flow_m3_s, 1e-10);
    CHECK_NEAR(a->end_c, b->end_c, 1e-6);
    CHECK_NEAR(a->total_pa, b->total_pa, 1e-6);
  }
}
END_TEST

/* ---- Circles ---- */

/* Two risers between the same boxes, one hot and one freezing: air goes up the one and down
 * the other, many times what passes through. It ends, in a result or in an honest error. */
START_TEST(circle_of_air_ends) {
  test.house.outdoor = ducts_given(2.0);
  ducts_fan(&test, 20.0, 0.01, 44.0, 11);
  ducts_room(&test, "top", 0.7, 0.0, 1.1);
  ducts_run(&test, EB_SUPPLY, "trunk", "unit", "low", 160.0, 2.0);
  ducts_run(&test, EB_SUPPLY, "spare", "low", "high", 250.0, 6.0);
  in_space(run_named("spare"), -30.0)->rise = ducts_given(6.0);
  in_space(ducts_run(&test, EB_SUPPLY, "hot", "low", "high", 250.0, 6.0), 75.0)->rise =
      ducts_given(6.0);
  ducts_with_valve(ducts_run(&test, EB_SUPPLY, "s", "high", "top", 100.0, 2.0));
  const eb_ducts *ducts = NULL;
  eb_status status = eb_ducts_design(test.context, &test.house, &test.rates, NULL, NULL, &ducts);
  ck_assert(status == EB_OK || status == EB_E_DIVERGED);
  ck_assert_int_eq(status, EB_OK);
  const eb_run_state *hot = ducts_state(ducts, "hot", 0), *cold = ducts_state(ducts, "spare", 0);
  ck_assert_double_gt(hot->flow_ref_m3_s, 5.0 * 0.7e-3);
  ck_assert_double_lt(cold->flow_ref_m3_s, 0.0);
  CHECK_NEAR(hot->flow_ref_m3_s + cold->flow_ref_m3_s, ducts_state(ducts, "s", 0)->flow_ref_m3_s,
             1e-9);
  ck_assert_double_gt(hot->end_c, hot->start_c);
  ck_assert_double_lt(cold->end_c, cold->start_c);
}
END_TEST

/* ---- Stack pressure ---- */

/* An outlet of 5.3 C through 4.1 m upward in air of -7 C helps the fan by g dRho h. */
START_TEST(riser_helps_the_fan) {
  build_pair(20.0, -7.0);
  in_space(run_named("outlet"), -7.0 + 0.15 * 27.0); /* no heat: -2.95 C */
  in_space(run_named("e"), 20.0);
  const eb_ducts *flat = ducts_design(&test);
  double level = flat->levels[0].extract.pressure_pa;
  double along = ducts_state(flat, "outlet", 0)->total_pa;
  run_named("outlet")->rise = ducts_given(4.1);
  const eb_ducts *tall = ducts_design(&test);
  const eb_run_state *outlet = ducts_state(tall, "outlet", 0);
  double want = 9.80665 * 4.1 * (eb_air_density(-7.0, 101325.0) - eb_air_density(-2.95, 101325.0));
  CHECK_NEAR(outlet->stack_pa, want, 1e-5); /* the element has a least slope */
  CHECK_NEAR(outlet->total_pa, along - want, 1e-5);
  CHECK_NEAR(tall->levels[0].extract.pressure_pa, level - want, 1e-5);
  CHECK_NEAR(ducts_state(tall, "e", 0)->total_pa + outlet->total_pa,
             tall->levels[0].extract.pressure_pa, 1e-6);
}
END_TEST

/* Supply air colder than the rooms sinks by itself. */
START_TEST(cold_supply_air_sinks) {
  build_pair(20.0, -7.0);
  in_space(run_named("s"), -7.0 + 0.85 * 27.0);
  run_named("s")->rise = ducts_given(-2.6);
  const eb_ducts *ducts = ducts_design(&test);
  double want = 9.80665 * -2.6 * (eb_air_density(20.0, 101325.0) - eb_air_density(15.95, 101325.0));
  ck_assert_double_gt(want, 0.0);
  CHECK_NEAR(ducts_state(ducts, "s", 0)->stack_pa, want, 1e-5);
}
END_TEST

/* Where all air is alike height does nothing. */
START_TEST(height_without_warmth_does_nothing) {
  ducts_build_house(&test);
  double flat = ducts_design(&test)->levels[0].supply.pressure_pa;
  run_named("s-bed2")->rise = ducts_given(-5.0);
  run_named("trunk")->rise = ducts_given(2.0);
  CHECK_NEAR(ducts_design(&test)->levels[0].supply.pressure_pa, flat, 1e-5);
}
END_TEST

/* ---- Density ---- */

/* 50 l/s in spiral duct of 160 mm: 0.6384 Pa/m at -10 C, 0.5949 at 20 C, 7.3 % apart (exact
 * Colebrook, own calculation with the fluids library). */
static double gradient_at(double celsius) {
  double dense = eb_air_density(celsius, 101325.0) / eb_air_density(20.0, 101325.0);
  test.house.outdoor = ducts_given(celsius);
  ducts_room(&test, "living", 50.0 * dense, 0.0, 1.01);
  in_space(ducts_run(&test, EB_OUTDOOR, "intake", "outdoors", "unit", 160.0, 4.0), celsius);
  ducts_with_valve(ducts_run(&test, EB_SUPPLY, "s", "unit", "living", 160.0, 4.0));
  const eb_run_state *intake = ducts_state(ducts_design(&test), "intake", 0);
  CHECK_RELATIVE(intake->flow_m3_s, 0.050, 1e-7);
  return intake->friction_pa_per_m;
}

START_TEST(cold_air_costs_7_per_cent_more) {
  double cold = gradient_at(-10.0);
  teardown();
  setup();
  double warm = gradient_at(20.0);
  CHECK_RELATIVE(cold, 0.6384, 1e-3);
  CHECK_RELATIVE(warm, 0.5949, 1e-3);
  CHECK_NEAR(cold / warm, 1.073, 5e-4);
}
END_TEST

/* All laws of the box go by the square: at the same volumes pressure goes with density. */
START_TEST(pressure_goes_with_density) {
  ducts_build_box(&test);
  double pressure = ducts_design(&test)->levels[0].supply.pressure_pa;
  test.house.altitude = ducts_given(2310.0);
  const eb_ducts *high = ducts_design(&test);
  CHECK_RELATIVE(high->levels[0].supply.pressure_pa / pressure,
                 eb_air_pressure(2310.0) / eb_air_pressure(0.0), 1e-8);
  CHECK_RELATIVE(ducts_delivered(high, "bed1", true, 0), 10.0, 1e-8);
}
END_TEST

/* Humid air is lighter: ASHRAE HoF 2017 ch. 1 at 20 C and 50 %, 1.1989 kg/m3. */
START_TEST(humid_air_is_lighter) {
  ducts_build_box(&test);
  test.house.indoor_humidity = ducts_given(0.5);
  const eb_ducts *ducts = ducts_design(&test);
  CHECK_RELATIVE(ducts->levels[0].supply.flow_ref_m3_s / 38e-3, 1.1989 / 1.2, 1e-4);
  CHECK_NEAR(ducts_state(ducts, "trunk", 0)->dew_point_c, 9.2724, 0.01); /* psychrolib 1.1.1 */
}
END_TEST

/* Vapour goes with its air: outdoor air keeps its own in the supply ducts. */
START_TEST(vapour_goes_with_its_air) {
  build_pair(20.0, 0.0);
  test.house.indoor_humidity = ducts_given(0.5);
  test.house.outdoor_humidity = ducts_given(0.8);
  in_space(run_named("s"), 17.0);
  const eb_ducts *ducts = ducts_design(&test);
  const eb_run_state *s = ducts_state(ducts, "s", 0), *in = ducts_state(ducts, "intake", 0);
  double vapour = 0.8 * 611.2; /* Pa, at 0 C */
  CHECK_RELATIVE(in->flow_ref_m3_s / in->flow_m3_s * 1.2,
                 eb_air_density(0.0, 101325.0) * (1.0 - 0.378 * vapour / 101325.0), 1e-5);
  CHECK_RELATIVE(s->flow_ref_m3_s / s->flow_m3_s * 1.2,
                 eb_air_density(17.0, 101325.0) * (1.0 - 0.378 * vapour / 101325.0), 1e-5);
}
END_TEST

/* ---- Findings ---- */

START_TEST(water_forms_on_a_cold_duct) {
  build_pair(20.0, -5.0);
  test.house.indoor_humidity = ducts_given(0.6);
  ebi_run *intake = run_named("intake");
  intake->space_temperature.given = false;
  const eb_ducts *ducts = ducts_design(&test);
  const eb_run_state *state = ducts_state(ducts, "intake", 0);
  CHECK_NEAR(state->surface_c, 7.5, 1e-9); /* half of 25 K, films alone */
  CHECK_NEAR(state->dew_point_c, 12.0, 0.05);
  const char *said = ducts_message(&test, "condensation");
  ck_assert_ptr_nonnull(strstr(said, "run intake is at 7.5 C"));
  /* as much as it says keeps it dry, 2 mm less does not */
  const char *of = strstr(said, " mm of insulation");
  ck_assert_ptr_nonnull(of);
  while (of > said && of[-1] != ' ')
    of--;
  double mm = strtod(of, NULL);
  ck_assert_double_gt(mm, 2.0);
  eb_diagnostics_clear(test.context);
  insulate(intake, mm - 2.0, 0.04);
  ducts_design(&test);
  ck_assert_uint_eq(ducts_found(&test, "condensation"), 1);
  eb_diagnostics_clear(test.context);
  insulate(intake, mm, 0.04);
  ducts_design(&test);
  ck_assert_uint_eq(ducts_found(&test, "condensation"), 0);
}
END_TEST

START_TEST(saturated_air_wets_every_cold_duct) {
  build_pair(20.0, -5.0);
  run_named("intake")->space_temperature = ducts_given(9.0);
  run_named("intake")->space_humidity = ducts_given(1.0);
  ducts_design(&test);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "condensation"), "however thick"));
}
END_TEST

START_TEST(water_gathers_in_a_cold_extract_duct) {
  build_pair(20.0, -8.0);
  test.house.indoor_humidity = ducts_given(0.55);
  in_space(run_named("e"), -6.0);
  ducts_design(&test);
  ck_assert_uint_eq(ducts_found(&test, "condensation-inside"), 1);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "condensation-inside"), "run e cools to"));
  ck_assert_uint_eq(ducts_found(&test, "duct-outside"), 1);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "duct-outside"), "local code"));
}
END_TEST

START_TEST(bare_cold_ducts_are_one_note) {
  ducts_build_house(&test);
  test.house.outdoor = ducts_given(-5.0);
  ducts_design(&test);
  ck_assert_uint_eq(ducts_found(&test, "duct-cold"), 1);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "duct-cold"), "2 runs"));
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "duct-cold"), "the first intake with -5.0 C"));
  eb_diagnostics_clear(test.context);
  insulate(run_named("intake"), 50.0, 0.037);
  insulate(run_named("outlet"), 50.0, 0.037);
  ducts_design(&test);
  ck_assert_uint_eq(ducts_found(&test, "duct-cold"), 0);
}
END_TEST

Suite *suite_ducts_heat(void) {
  Suite *suite = suite_create("ducts: heat");
  DUCTS_ADD(suite, "heat", loft_duct_of_25_mm, loft_duct_of_50_mm, loft_duct_of_200_mm,
            lost_heat_is_the_balance_of_the_house, exchanger_balances,
            exchanger_gives_no_more_than_there_is, direction_of_writing_changes_signs_only,
            meetings_mix_by_mass, density_is_of_the_mean, one_temperature_has_no_heat,
            still_air_takes_its_surroundings, operating_repeats_the_design, circle_of_air_ends);
  DUCTS_ADD(suite, "stack", riser_helps_the_fan, cold_supply_air_sinks,
            height_without_warmth_does_nothing);
  DUCTS_ADD(suite, "density", cold_air_costs_7_per_cent_more, pressure_goes_with_density,
            humid_air_is_lighter, vapour_goes_with_its_air);
  DUCTS_ADD(suite, "findings", water_forms_on_a_cold_duct, saturated_air_wets_every_cold_duct,
            water_gathers_in_a_cold_extract_duct, bare_cold_ducts_are_one_note);
  return suite;
}
