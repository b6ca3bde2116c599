/* test_baseline.c - the exchanger of a year at its flows, baselines by kind, and what leaks do */

#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "design/energy.h"
#include "suites.h"
#include "tables_help.h"

/* ---- A year by hand ------------------------------------------------------- */

typedef struct year {
  tables_desk desk;
  ebi_climate climate;
  ebi_unit unit;
  ebi_baseline baseline;
  eb_house house;
  eb_rates rates;
  ebi_energy_level levels[2];
  ebi_energy_inputs in;
} year;

static ebi_given given(double value) {
  return (ebi_given){value, true, {"house.yaml", 7, 3}};
}

static ebi_energy_level running(const char *name, double hours, double supply, double extract) {
  return (ebi_energy_level){.name = name, .hours = hours, .supply = supply, .extract = extract};
}

/* A house of 221.3 m3 in a made-up climate; 23.1 hours at normal. */
static void set_up(year *y, const char *baseline) {
  memset(y, 0, sizeof *y);
  ck_assert(tables_desk_shipped(&y->desk, NULL));
  ebi_yaml name = tables_value(&y->desk, baseline);
  y->baseline = *ebi_baseline_load(&y->desk.reader, &name);
  y->climate.hitchin_k = 0.71;
  for (int i = 0; i < EBI_MONTHS; i++) {
    y->climate.days[i] = 365.0 / 12.0;
    y->climate.mean_c[i] = 9.7 - 7.3 * cos(2.0 * 3.14159265358979 * (i - 0.4) / 12.0);
  }
  y->unit = (ebi_unit){.has_exchanger = true, .temperature_ratio = 0.861};
  y->house = (eb_house){.climate = &y->climate, .unit = &y->unit, .baseline = &y->baseline};
  y->levels[0] = running("normal", 23.1, 0.0327, 0.0309);
  y->levels[1] = running("boost", 0.9, 0.0451, 0.0437);
  y->in = (ebi_energy_inputs){.context = y->desk.context,
                              .house = &y->house,
                              .rates = &y->rates,
                              .arena = y->desk.reader.arena,
                              .indoor_c = 20.6,
                              .fabric_w_k = 81.3,
                              .gains_w = 347.0,
                              .volume_m3 = 221.3,
                              .air_capacity = 0.331,
                              .n50 = 2.3,
                              .shielding = 0.07,
                              .ratio = 0.861,
                              .ratio_at = 0.0417,
                              .measured_unbalance = NAN,
                              .levels = y->levels,
                              .n_levels = 2,
                              .baseline_n50 = 2.3,
                              .baseline_fans = 3.0,
                              .baseline_given = NAN};
  for (int i = 0; i < EBI_MONTHS; i++)
    y->in.gains_of[i] = y->in.gains_w;
}

static void tear_down(year *y) {
  tables_desk_end(&y->desk);
}

static const ebi_energy_shift none = EBI_NO_SHIFT;

static ebi_energy_air air_of(const year *y) {
  return ebi_energy_year_air(&y->in, &none);
}

/* ---- The exchanger -------------------------------------------------------- */

/* Own arithmetic: UA of 0.861 at 41.7 l/s kept, each level unbalanced as it is, weighted by hours
 * and by the larger flow. */
START_TEST(mean_of_the_levels) {
  year y;
  set_up(&y, "trickle-vents");
  double size = 0.861 / 0.139 * 0.0417, sum = 0.0, flow = 0.0;
  for (int i = 0; i < 2; i++) {
    double c = y.levels[i].extract / y.levels[i].supply, ntu = size / y.levels[i].extract;
    double e = (1.0 - exp(-ntu * (1.0 - c))) / (1.0 - c * exp(-ntu * (1.0 - c)));
    flow += y.levels[i].hours / 24.0 * y.levels[i].supply;
    sum += y.levels[i].hours / 24.0 * y.levels[i].extract * e;
  }
  ebi_energy_air air = air_of(&y);
  ck_assert_double_eq_tol(air.flow, flow, 1e-15);
  ck_assert_double_eq_tol(air.ratio, sum / flow, 1e-12);
  ck_assert_double_eq_tol(air.extract, (23.1 * 0.0309 + 0.9 * 0.0437) / 24.0, 1e-15);
  ck_assert(air.fresh == 1.0);
  tear_down(&y);
}
END_TEST

/* Two points of one exchanger with laminar channels say no more than one of them, and the points
 * of a sheet hold where they stand. */
START_TEST(points_of_a_sheet) {
  year y;
  set_up(&y, "trickle-vents");
  double alone = air_of(&y).ratio;
  ebi_point laminar[] = {{0.021, 0}, {0.0417, 0.861}, {0.0631, 0}};
  laminar[0].y = eb_ratio_at_flow(0.861, 0.0417, 0.021, 0.0);
  laminar[2].y = eb_ratio_at_flow(0.861, 0.0417, 0.0631, 0.0);
  y.unit.ratios = laminar;
  y.unit.n_ratios = 3;
  ck_assert_double_eq_tol(air_of(&y).ratio, alone, 1e-12);
  const ebi_point sheet[] = {{0.021, 0.887}, {0.0417, 0.861}, {0.0631, 0.847}};
  y.unit.ratios = sheet;
  y.unit.ratio_exponent = given(0.43);
  for (size_t i = 0; i < 3; i++)
    ck_assert_double_eq_tol(ebi_energy_exchanger(&y.in, 0.0, sheet[i].x, sheet[i].x).recovery,
                            sheet[i].y, 1e-12);
  double between = ebi_energy_exchanger(&y.in, 0.0, 0.0511, 0.0511).recovery;
  ck_assert(between > 0.847 && between < 0.861);
  /* beyond the last point UA goes on with the exponent */
  ck_assert_double_eq_tol(ebi_energy_exchanger(&y.in, 0.0, 0.0893, 0.0893).recovery,
                          eb_ratio_at_flow(0.847, 0.0631, 0.0893, 0.43), 1e-12);
  ck_assert_double_eq_tol(ebi_energy_exchanger(&y.in, 0.0, 0.0107, 0.0107).recovery,
                          eb_ratio_at_flow(0.887, 0.021, 0.0107, 0.43), 1e-12);
  tear_down(&y);
}
END_TEST

/* At the flow of the test any kind has the ratio of the test; elsewhere crossflow loses more and
 * turbulent air less. */
START_TEST(kinds_of_exchanger) {
  year y;
  set_up(&y, "trickle-vents");
  double counter = ebi_energy_exchanger(&y.in, 0.0, 0.083, 0.083).recovery;
  y.unit.ratio_exponent = given(0.8);
  double turbulent = ebi_energy_exchanger(&y.in, 0.0, 0.083, 0.083).recovery;
  ck_assert_double_eq_tol(turbulent, eb_ratio_at_flow(0.861, 0.0417, 0.083, 0.8), 1e-12);
  ck_assert_double_gt(turbulent, counter);
  y.unit.ratio_exponent = (ebi_given){0};
  y.unit.crossflow = true;
  ck_assert_double_eq_tol(ebi_energy_exchanger(&y.in, 0.0, 0.0417, 0.0417).recovery, 0.861, 1e-9);
  ck_assert(fabs(ebi_energy_exchanger(&y.in, 0.0, 0.083, 0.083).recovery - counter) > 0.003);
  /* a shift cannot lead beyond what the kind can do */
  ck_assert(isfinite(ebi_energy_exchanger(&y.in, 0.3, 0.083, 0.079).recovery));
  ck_assert(isfinite(ebi_energy_exchanger(&y.in, -0.9, 0.083, 0.079).recovery));
  tear_down(&y);
}
END_TEST

/* Extract air that comes back with the supply: the heat lost stays as measured (outdoor air less,
 * ratio less), but there is less outdoor air. */
START_TEST(leak_inside_the_unit) {
  year y;
  set_up(&y, "trickle-vents");
  y.in.n_levels = 1;
  y.levels[0] = running("normal", 24.0, 0.0417, 0.0417);
  ebi_energy_air tight = air_of(&y);
  y.unit.leak_inside = given(0.043);
  ebi_energy_air leaky = air_of(&y);
  ck_assert_double_eq_tol(leaky.fresh, 0.957, 1e-15);
  ck_assert_double_eq_tol(leaky.flow, 0.0417 * 0.957, 1e-15);
  ck_assert_double_eq_tol(leaky.ratio, (0.861 - 0.043) / 0.957, 1e-12);
  ck_assert_double_eq_tol(leaky.flow * (1.0 - leaky.ratio), tight.flow * (1.0 - tight.ratio),
                          1e-12);
  ck_assert(leaky.infiltration == tight.infiltration); /* the unbalance is that of the spigots */
  tear_down(&y);
}
END_TEST

/* What was measured takes the place of what was designed; whichever flow is larger stays. */
START_TEST(unbalance_of_readings) {
  year y;
  set_up(&y, "trickle-vents");
  ebi_energy_air designed = air_of(&y);
  y.in.measured_unbalance = 0.0;
  ebi_energy_air balanced = air_of(&y);
  ck_assert_double_eq_tol(balanced.infiltration, 2.3 * 0.07, 1e-15);
  ck_assert_double_gt(balanced.ratio, designed.ratio);
  double last = balanced.ratio, leaks = balanced.infiltration;
  for (double u = 0.05; u < 0.5; u += 0.07) {
    y.in.measured_unbalance = u;
    ebi_energy_air supply = air_of(&y);
    y.in.measured_unbalance = -u;
    ebi_energy_air extract = air_of(&y);
    ck_assert_double_eq_tol(supply.ratio, extract.ratio, 1e-12);
    ck_assert_double_eq_tol(supply.flow, extract.flow, 1e-15);
    ck_assert_double_eq_tol(supply.extract, extract.extract * (1.0 - u), 1e-12);
    ck_assert(supply.ratio < last && supply.infiltration < leaks);
    last = supply.ratio;
    leaks = supply.infiltration;
  }
  y.in.measured_unbalance = 1.0; /* no extract at all */
  ck_assert(air_of(&y).ratio == 0.0);
  tear_down(&y);
}
END_TEST

/* EN ISO 13789:2007 annex C (from memory). */
START_TEST(shielding) {
  static const struct {
    const char *word;
    double several, one;
  } rows[] = {
      {NULL, 0.07, 0.02}, {"none", 0.10, 0.03}, {"normal", 0.07, 0.02}, {"heavy", 0.04, 0.01}};
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    eb_house house = {.shielding = rows[i].word};
    ck_assert(ebi_energy_shielding(&house) == rows[i].several);
    house.exposed_facades = given(2.0);
    ck_assert(ebi_energy_shielding(&house) == rows[i].several);
    house.exposed_facades = given(1.0);
    ck_assert(ebi_energy_shielding(&house) == rows[i].one);
  }
  /* one facade: f is 20 */
  year y;
  set_up(&y, "trickle-vents");
  y.house.exposed_facades = given(1.0);
  y.in.n_levels = 1;
  y.levels[0].hours = 24.0;
  double unbalance = (0.0327 - 0.0309) * 3600.0 / 221.3;
  ck_assert_double_eq_tol(air_of(&y).infiltration, eb_infiltration(2.3, unbalance, 0.07, 20.0),
                          1e-15);
  tear_down(&y);
}
END_TEST

/* ---- Baselines ------------------------------------------------------------ */

static double change_of(const year *y, const ebi_energy_shift *shift) {
  ebi_energy_air air = ebi_energy_year_air(&y->in, shift);
  return ebi_energy_baseline_change(&y->in, shift, &air, 4);
}

static double total_of(const year *y) {
  ebi_energy_air air = air_of(y);
  return air.flow * 3600.0 / 221.3 + air.infiltration;
}

START_TEST(air_by_kind) {
  year y;
  set_up(&y, "continuous-extract");
  double extract = air_of(&y).extract * 3600.0 / 221.3;
  double leaks = 2.3 / 20.0 * (1.0 - 0.15) * 4.3 / 4.0; /* wind of May */
  ck_assert_double_eq_tol(change_of(&y, &none), fmax(extract, leaks + extract / 2.0), 1e-14);
  y.in.baseline_n50 = 19.0;
  leaks *= 19.0 / 2.3;
  ck_assert_double_eq_tol(change_of(&y, &none), leaks + extract / 2.0, 1e-13);
  ck_assert_double_eq_tol(ebi_energy_baseline_fans(&y.in, &(ebi_energy_air){.extract = 0.031}, 9.0),
                          500.0 * 0.031 * 8.76, 1e-9);
  tear_down(&y);

  set_up(&y, "equal-air");
  ck_assert_double_eq_tol(change_of(&y, &none), total_of(&y), 1e-14);
  y.baseline.fan_flow = 0.015;
  ck_assert_double_eq_tol(change_of(&y, &none), total_of(&y) + 3.0 * 0.015 * 2.0 * 150.0 / 221.3,
                          1e-14);
  ck_assert_double_eq_tol(ebi_energy_baseline_fans(&y.in, NULL, 9.0), 3 * 20 * 2 * 0.365, 1e-9);
  tear_down(&y);

  set_up(&y, "no-recovery");
  ck_assert_double_eq_tol(change_of(&y, &none), total_of(&y), 1e-14);
  ck_assert(ebi_energy_baseline_fans(&y.in, NULL, 321.7) == 321.7);
  tear_down(&y);

  set_up(&y, "measured");
  y.in.baseline_given = 0.347;
  ck_assert(change_of(&y, &none) == 0.347);
  ck_assert_double_eq_tol(ebi_energy_baseline_fans(&y.in, NULL, 9.0), 3 * 20 * 2 * 0.365, 1e-9);
  tear_down(&y);
}
END_TEST

/* Doubt about the baseline moves what people do, not the leaks; that about flow moves this system,
 * and with it what is tied to it. */
START_TEST(doubt_of_the_baseline) {
  static const struct {
    const char *name;
    bool by_flow, by_own;
  } rows[] = {{"trickle-vents", false, true},
              {"continuous-extract", true, true},
              {"equal-air", true, false},
              {"no-recovery", true, false}};
  ebi_energy_shift flow = none, own = none;
  flow.flow = 1.13;
  own.baseline = 1.17;
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    year y;
    set_up(&y, rows[i].name);
    double before = change_of(&y, &none);
    ck_assert(rows[i].by_flow == (change_of(&y, &flow) > before));
    ck_assert(rows[i].by_own == (change_of(&y, &own) > before));
    tear_down(&y);
  }
}
END_TEST

/* Without its exchanger the system needs what "without recovery" needs: the two must agree. */
START_TEST(no_recovery_is_no_recovery) {
  year y;
  set_up(&y, "no-recovery");
  ebi_energy_needs needs;
  ebi_energy_needs_of(&y.in, EBI_WEATHER_MONTHS, &none, &needs);
  for (int i = 0; i < EBI_MONTHS; i++)
    ck_assert_double_eq_tol(needs.baseline.heat_kwh[i], needs.no_recovery.heat_kwh[i], 1e-9);
  tear_down(&y);
}
END_TEST

static const char *why(year *y, double baseline, const char **kind) {
  eb_energy energy = {.ventilation_flow_m3_s = 0.031,
                      .infiltration_per_h = 0.13,
                      .baseline_air_change_per_h = baseline};
  ck_assert_int_eq(ebi_energy_baseline_words(&y->in, &energy), EB_OK);
  *kind = energy.baseline_kind;
  return energy.baseline_why;
}

START_TEST(words_of_the_baseline) {
  static const char *const rows[][3] = {{"trickle-vents", "national-method", "stay shut"},
                                        {"continuous-extract", "extract", "which room"},
                                        {"equal-air", "equal-air", "no home is run so"},
                                        {"no-recovery", "same-system", "exchanger saves"},
                                        {"measured", "measured", "as good as that figure"}};
  const char *kind;
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    year y;
    set_up(&y, rows[i][0]);
    if (strcmp(rows[i][0], "measured") == 0)
      y.in.baseline_given = 0.63;
    const char *fair = why(&y, 0.63, &kind); /* 0.50 + 0.13 */
    ck_assert_str_eq(kind, rows[i][1]);
    ck_assert_ptr_nonnull(strstr(fair, rows[i][2]));
    ck_assert_ptr_nonnull(strstr(fair, "0.63 air changes an hour against 0.63"));
    ck_assert_ptr_nonnull(strstr(fair, "the comparison is fair"));
    ck_assert_ptr_nonnull(strstr(why(&y, 0.31, &kind), "buys better air"));
    ck_assert_ptr_nonnull(strstr(why(&y, 0.91, &kind), "the saving is less air"));
    tear_down(&y);
  }
  year y;
  set_up(&y, "trickle-vents"); /* an air change of the user's own beats the method */
  y.in.baseline_given = 0.63;
  (void)why(&y, 0.63, &kind);
  ck_assert_str_eq(kind, "measured");
  tear_down(&y);
}
END_TEST

START_TEST(what_a_baseline_needs) {
  year y;
  set_up(&y, "measured");
  y.house.baseline_where = (ebi_where){"house.yaml", 61, 11};
  ebi_energy_baseline_gather(&y.in);
  const eb_diagnostic *said = tables_said(&y.desk, "energy-missing");
  ck_assert_ptr_nonnull(said);
  ck_assert_ptr_nonnull(strstr(said->message, "air_change: 0.35 ach"));
  ck_assert_int_eq((int)said->line, 61);
  tear_down(&y);

  set_up(&y, "equal-air");
  y.house.baseline_air_change = given(0.4);
  ebi_energy_baseline_gather(&y.in);
  ck_assert_ptr_nonnull(tables_said(&y.desk, "baseline-air-change"));
  tear_down(&y);

  set_up(&y, "trickle-vents");
  y.house.baseline_n50 = given(7.3);
  y.house.baseline_fans = given(2.0);
  ebi_energy_baseline_gather(&y.in);
  ck_assert(y.in.baseline_n50 == 7.3 && y.in.baseline_fans == 2.0 && isnan(y.in.baseline_given));
  ck_assert_uint_eq(ebi_diag_errors(y.desk.context), 0);
  y.house.baseline = NULL;
  ebi_energy_baseline_gather(&y.in);
  ck_assert_ptr_nonnull(tables_said(&y.desk, "energy-missing"));
  tear_down(&y);
}
END_TEST

/* ---- Leakage -------------------------------------------------------------- */

static ebi_leakage_curve curve_of(year *y, double electricity) {
  eb_energy energy = {.saving_electricity_kwh = electricity};
  ebi_leakage_curve curve;
  ck_assert_int_eq(ebi_energy_leakage_curve(&y->in, &energy, &curve), EB_OK);
  return curve;
}

static void prices(year *y) {
  y->house.electricity = (ebi_tariff){.given = true, .price = 0.27 / 3.6e6, .efficiency = 1.0};
  y->house.heating = (ebi_tariff){.given = true, .price = 0.07 / 3.6e6, .efficiency = 0.9};
}

/* Against the national method a house saves the less the more it leaks: in a tight one people open
 * windows, which the exchanger spares. Beyond some leakage nothing is saved; in money, with the
 * fans to pay for, sooner. */
START_TEST(where_it_ceases_to_save) {
  year y;
  set_up(&y, "trickle-vents");
  y.house.envelope_area = given(243.0);
  prices(&y);
  ebi_leakage_curve curve = curve_of(&y, -261.0);
  ck_assert_uint_ge(curve.n_points, 8);
  for (size_t i = 1; i < curve.n_points; i++)
    ck_assert_double_lt(curve.points[i].saving_heat_kwh, curve.points[i - 1].saving_heat_kwh);
  const eb_leakage_point *p = &curve.points[3];
  ck_assert_double_eq_tol(p->q50_m3_h_m2, p->n50_per_h * 221.3 / 243.0, 1e-12);
  ck_assert(p->saving_electricity_kwh == -261.0);
  ck_assert_double_eq_tol(p->saving_money, p->saving_heat_kwh / 0.9 * 0.07 - 261.0 * 0.27, 1e-9);
  double heat = curve.break_even_heat.n50_per_h, money = curve.break_even_money.n50_per_h;
  ck_assert(heat > 2.3 && heat < EBI_LEAKIEST);
  ck_assert(money > 0.0 && money < heat);
  ck_assert_double_eq_tol(curve.break_even_heat.saving_heat_kwh, 0.0, 0.01);
  ck_assert_double_eq_tol(curve.break_even_money.saving_money, 0.0, 0.01);
  /* the year at that leakage says the same */
  y.in.n50 = y.in.baseline_n50 = heat;
  ebi_energy_needs needs;
  ebi_energy_needs_of(&y.in, EBI_WEATHER_MONTHS, &none, &needs);
  ck_assert_double_eq_tol(ebi_energy_sum(needs.baseline.heat_kwh),
                          ebi_energy_sum(needs.recovery.heat_kwh), 0.01);
  tear_down(&y);
}
END_TEST

/* Equal air leaves no such leakage; without prices and area their figures are not there. */
START_TEST(no_break_even) {
  year y;
  set_up(&y, "equal-air");
  ebi_leakage_curve curve = curve_of(&y, -261.0);
  ck_assert(isnan(curve.break_even_heat.n50_per_h) && isnan(curve.break_even_money.n50_per_h));
  ck_assert(isnan(curve.points[0].q50_m3_h_m2) && isnan(curve.points[0].saving_money));
  ck_assert_double_gt(curve.points[0].saving_heat_kwh, 0.0);
  tear_down(&y);
}
END_TEST

/* ---- Files ---------------------------------------------------------------- */

#define ENTRY "title: t\nsource: own\nknown: invented\n"

START_TEST(keys_by_kind) {
  static const struct {
    const char *text, *code, *part;
  } rows[] = {
      {"kind: same-system\n", NULL, ""},
      {"kind: measured\nfan_power: 21 W\nfan_hours: 1.3 h/day\n", NULL, ""},
      {"kind: measured\nfan_power: 21 W\nfan_hours: 1.3 h/day\nfan_flow: 13 l/s\n", NULL, ""},
      {"kind: measured\nfan_power: 21 W\n", "key-missing",
       "of kind measured needs the key \"fan_hours\""},
      {"kind: same-system\nfan_power: 21 W\n", "key-unused",
       "same-system does not use \"fan_power\""},
      {"kind: equal-air\nfan_power: 21 W\nfan_hours: 1 h/day\nquadratic: 0.5\n", "key-unused",
       "quadratic"},
      {"kind: extract\nleakage_divisor: 20\n", "key-missing", "fan_specific_power"},
      {"fan_power: 21 W\n", "key-missing", "of kind national-method needs the key \"wind\""},
      {"kind: equal\nfan_power: 21 W\n", "word-unknown", "equal-air"},
  };
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    tables_desk desk;
    char text[512] = ENTRY;
    ck_assert(tables_desk_start(&desk, NULL));
    strcat(text, rows[i].text);
    tables_write(&desk, "baselines/mine.yaml", text);
    bool loaded = tables_load(&desk, "baselines", "mine");
    size_t count;
    const eb_diagnostic *list = eb_diagnostics(desk.context, &count);
    bool found = rows[i].code == NULL && loaded && count == 0;
    for (size_t j = 0; rows[i].code != NULL && j < count; j++)
      found = found || (strcmp(list[j].code, rows[i].code) == 0 &&
                        strstr(list[j].message, rows[i].part) != NULL);
    ck_assert_msg(found, "row %zu: %s", i, count > 0 ? list[0].message : "nothing said");
    tables_desk_end(&desk);
  }
}
END_TEST

Suite *suite_baseline(void) {
  Suite *suite = suite_create("baseline");
  TCase *tcase = tcase_create("baseline");
  tcase_add_test(tcase, mean_of_the_levels);
  tcase_add_test(tcase, points_of_a_sheet);
  tcase_add_test(tcase, kinds_of_exchanger);
  tcase_add_test(tcase, leak_inside_the_unit);
  tcase_add_test(tcase, unbalance_of_readings);
  tcase_add_test(tcase, shielding);
  tcase_add_test(tcase, air_by_kind);
  tcase_add_test(tcase, doubt_of_the_baseline);
  tcase_add_test(tcase, no_recovery_is_no_recovery);
  tcase_add_test(tcase, words_of_the_baseline);
  tcase_add_test(tcase, what_a_baseline_needs);
  tcase_add_test(tcase, where_it_ceases_to_save);
  tcase_add_test(tcase, no_break_even);
  tcase_add_test(tcase, keys_by_kind);
  suite_add_tcase(suite, tcase);
  return suite;
}
