/* test_energy_year.c - the year by months, days and hours: needs, what is recovered, frost, ducts
 */

#include <string.h>

#include "climate_help.h"
#include "energy_house.h"
#include "model/readings.h"
#include "suites.h"

/* ---- A year by hand ----------------------------------------------------- */

/* 150 m3/h at a ratio of 0.85 and c 0.33 Wh/(m3 K), against the same without exchanger. */
typedef struct plain_year {
  eb_context *context;
  ebi_unit unit;
  ebi_baseline baseline;
  eb_house house;
  ebi_energy_level level;
  ebi_energy_inputs in;
} plain_year;

static void set_gains(plain_year *y, double watts) {
  y->in.gains_w = watts;
  for (int i = 0; i < 12; i++)
    y->in.gains_of[i] = watts;
}

/* Seattle's raw hours. */
static void start(plain_year *y) {
  memset(y, 0, sizeof *y);
  y->context = eb_context_new(NULL);
  y->baseline.kind = EBI_BASELINE_SAME_SYSTEM;
  y->unit.has_exchanger = true;
  y->house.unit = &y->unit;
  y->house.baseline = &y->baseline;
  y->house.climate = climate_help_seattle(ebi_context_arena(y->context));
  y->level = (ebi_energy_level){.hours = 24.0, .supply = 150.0 / 3600.0, .extract = 150.0 / 3600.0};
  y->in = (ebi_energy_inputs){.context = y->context,
                              .house = &y->house,
                              .indoor_c = 20.0,
                              .fabric_w_k = 100.0,
                              .volume_m3 = 250.0,
                              .air_capacity = 0.33,
                              .shielding = 0.07,
                              .ratio = 0.85,
                              .measured_unbalance = NAN,
                              .levels = &y->level,
                              .n_levels = 1,
                              .bypass_residual = 1.0,
                              .baseline_given = NAN};
  set_gains(y, 500.0);
}

static ebi_energy_needs needs_of(const plain_year *y, ebi_weather weather) {
  const ebi_energy_shift none = EBI_NO_SHIFT;
  ebi_energy_needs needs;
  ebi_energy_needs_of(&y->in, weather, &none, &needs);
  return needs;
}

static double recovered_gross(const plain_year *y, ebi_weather weather) {
  ebi_energy_needs needs = needs_of(y, weather);
  return ebi_energy_sum(ebi_energy_recovered_of(&y->in, weather, &needs).gross);
}

static double total(const ebi_energy_need *need) {
  return ebi_energy_sum(need->heat_kwh);
}

/* A function of the outdoor temperature over all hours. */
static double over_hours(const plain_year *y, double (*of)(double c, const double *with),
                         const double *with) {
  double sum = 0.0;
  for (size_t i = 0; i < y->house.climate->n_hours; i++)
    sum += of(y->house.climate->hour_c[i], with);
  return sum;
}

#define TOLERANCE(value, expected, slack) ck_assert_double_eq_tol((value), (expected), (slack))

/* ---- Own sums over Seattle's hours -------------------------------------- */

/* Own sums in Python 3 over the 8759 hourly normals 1981-2010 (NOAA; vega-datasets 3.2.1): fabric
 * 100 W/K, gains 500 W, 20 C, 150 m3/h, c 0.33, ratio 0.85, fans 62.5 W all year. Ids: END-1,
 * END-3, END-4, END-5, END-7, END-8, END-10, END-11, END-12. */
START_TEST(a_year_of_hours) {
  plain_year y;
  start(&y);
  const ebi_climate *climate = y.house.climate;
  ebi_energy_needs needs = needs_of(&y, EBI_WEATHER_HOURS);
  ebi_energy_recovered recovered = ebi_energy_recovered_of(&y.in, EBI_WEATHER_HOURS, &needs);
  double a = total(&needs.no_recovery), b = total(&needs.recovery);
  TOLERANCE(needs.recovery.heat_loss[0], 107.425, 1e-9);
  TOLERANCE(ebi_energy_sum(recovered.gross), 3323.365, 0.02); /* END-1 */
  TOLERANCE(a, 7953.37, 0.02);
  TOLERANCE(b, 4733.159, 0.02);                                 /* END-3 */
  TOLERANCE(a - b, 3220.215, 0.02);                             /* END-4 */
  TOLERANCE(ebi_energy_sum(recovered.heating), 3171.403, 0.02); /* END-5 */
  double fans = 62.5 * (double)climate->n_hours / 1000.0;
  TOLERANCE(a - b - 2.5 * fans, 1851.622, 0.02); /* END-7 */
  TOLERANCE((a - b) / fans, 5.882344, 1e-4);     /* END-8 */
  TOLERANCE(total(&needs.baseline), a, 1e-9);    /* the same system without exchanger */
  double base = eb_base_temperature(20.0, 500.0, 107.425), heating = 0.0, vain = 0.0;
  for (int i = 0; i < 12; i++) {
    heating += 24.0 * ebi_climate_days_below(climate, EBI_WEATHER_HOURS, i, base);
    vain += 24.0 * ebi_climate_days_below(climate, EBI_WEATHER_HOURS, i, 20.0 - 3.647292);
  }
  TOLERANCE(heating, 6728.0, 1e-4);                         /* END-10 */
  TOLERANCE((double)climate->n_hours - vain, 1658.0, 1e-4); /* END-11 */
  y.in.fan_heat_w = 31.25;
  needs = needs_of(&y, EBI_WEATHER_HOURS);
  TOLERANCE(total(&needs.recovery), 4525.207, 0.02); /* END-12 */
  ck_assert(total(&needs.no_air) > 0.0);
  eb_context_free(y.context);
}
END_TEST

/* The same hours with heat losses of 160 and 115 W/K. Ids: SAV-SEA-1, SAV-SEA-2, SAV-SEA-3,
 * SAV-SEA-4 (all that crosses, were every hour below 20 C to need it). */
START_TEST(two_heat_losses) {
  plain_year y;
  start(&y);
  double ventilation = 45.0 / 0.85;
  y.in.fabric_w_k = 160.0 - ventilation;
  y.level.supply = y.level.extract = ventilation / 0.33 / 3600.0;
  ebi_energy_needs needs = needs_of(&y, EBI_WEATHER_HOURS);
  double a = total(&needs.no_recovery), b = total(&needs.recovery);
  TOLERANCE(a, 8766.64, 0.02);                                      /* SAV-SEA-1 */
  TOLERANCE(b, 5306.35, 0.02);                                      /* SAV-SEA-2 */
  TOLERANCE(a - b, 3460.30, 0.02);                                  /* SAV-SEA-3 */
  TOLERANCE(recovered_gross(&y, EBI_WEATHER_HOURS), 3554.40, 0.02); /* SAV-SEA-4 */
  eb_context_free(y.context);
}
END_TEST

/* ---- Shifts and what must hold ------------------------------------------ */

static double saving_with(const plain_year *y, ebi_energy_shift shift) {
  ebi_energy_needs needs;
  ebi_energy_needs_of(&y->in, EBI_WEATHER_HOURS, &shift, &needs);
  return total(&needs.no_recovery) - total(&needs.recovery);
}

START_TEST(the_saving_grows) {
  plain_year y;
  start(&y);
  double cold = 0.0, good = 0.0, much = 0.0;
  for (int i = 0; i < 20; i++) {
    ebi_energy_shift shift = EBI_NO_SHIFT;
    shift.degree_days = 0.5 + 0.07 * i;
    double saving = saving_with(&y, shift);
    ck_assert(saving > cold);
    cold = saving;
    shift = EBI_NO_SHIFT;
    shift.ratio = -0.83 + 0.047 * i;
    saving = saving_with(&y, shift);
    ck_assert(saving > good);
    good = saving;
    shift = EBI_NO_SHIFT;
    shift.flow = 0.3 + 0.11 * i;
    saving = saving_with(&y, shift);
    ck_assert(saving > much);
    much = saving;
  }
  eb_context_free(y.context);
}
END_TEST

START_TEST(shifts_do_what_they_say) {
  plain_year y;
  start(&y);
  ebi_energy_needs needs = needs_of(&y, EBI_WEATHER_HOURS), shifted;
  ebi_energy_shift shift = EBI_NO_SHIFT;
  shift.degree_days = 1.06;
  ebi_energy_needs_of(&y.in, EBI_WEATHER_HOURS, &shift, &shifted);
  TOLERANCE(total(&shifted.recovery), 1.06 * total(&needs.recovery), 1e-8);
  shift = EBI_NO_SHIFT;
  shift.gains = 1.3;
  ebi_energy_needs_of(&y.in, EBI_WEATHER_HOURS, &shift, &shifted);
  set_gains(&y, 650.0);
  needs = needs_of(&y, EBI_WEATHER_HOURS);
  TOLERANCE(total(&shifted.recovery), total(&needs.recovery), 1e-8);
  TOLERANCE(total(&shifted.baseline), total(&needs.baseline), 1e-8);
  shift = EBI_NO_SHIFT;
  shift.heat_loss = 0.87;
  ebi_energy_needs_of(&y.in, EBI_WEATHER_HOURS, &shift, &shifted);
  y.in.fabric_w_k = 87.0;
  needs = needs_of(&y, EBI_WEATHER_HOURS);
  TOLERANCE(total(&shifted.recovery), total(&needs.recovery), 1e-8);
  eb_context_free(y.context);
}
END_TEST

/* Useful recovery never exceeds the gross one nor the need it is of, by whatever weather. */
START_TEST(bounds_by_every_weather) {
  for (int i = 0; i < 30; i++) {
    plain_year y;
    start(&y);
    y.in.ratio = 0.031 * (i + 1);
    y.in.fabric_w_k = 31.0 + 9.7 * (i * 7 % 13);
    set_gains(&y, 43.0 * (i * 5 % 17));
    for (int w = EBI_WEATHER_MONTHS; w <= EBI_WEATHER_HOURS; w++) {
      if (!ebi_climate_has(y.house.climate, (ebi_weather)w))
        continue;
      ebi_energy_needs needs = needs_of(&y, (ebi_weather)w);
      ebi_energy_recovered r = ebi_energy_recovered_of(&y.in, (ebi_weather)w, &needs);
      double useful = total(&needs.no_recovery) - total(&needs.recovery);
      ck_assert(useful > 0.0 && useful < total(&needs.no_recovery));
      ck_assert(useful <= ebi_energy_sum(r.gross) * (1.0 + 1e-9));
      ck_assert(ebi_energy_sum(r.heating) <= useful * (1.0 + 1e-9));
    }
    eb_context_free(y.context);
  }
}
END_TEST

/* Gains by month: the year is that of each month with its own. */
START_TEST(gains_by_month) {
  plain_year y;
  start(&y);
  double expected = 0.0;
  for (int i = 0; i < 12; i++) {
    set_gains(&y, 290.0 + 37.0 * i);
    expected += needs_of(&y, EBI_WEATHER_HOURS).recovery.heat_kwh[i];
  }
  for (int i = 0; i < 12; i++)
    y.in.gains_of[i] = 290.0 + 37.0 * i;
  ebi_energy_needs needs = needs_of(&y, EBI_WEATHER_HOURS);
  TOLERANCE(total(&needs.recovery), expected, 1e-9);
  eb_context_free(y.context);
}
END_TEST

/* ---- Bypass -------------------------------------------------------------- */

/* with: opens at, V ratio, share that stays */
static double past_bypass(double c, const double *with) {
  if (c >= 20.0)
    return 0.0;
  return (c >= with[0] ? with[2] : 1.0) * with[1] * (20.0 - c) / 1000.0;
}

/* Above 22.4 C indoors a house at 500/107.425 K above outdoors opens its bypass at 17.75 C. */
START_TEST(an_open_bypass_recovers_nothing) {
  plain_year y;
  start(&y);
  y.unit.bypass_opens_above = energy_given(22.4);
  y.in.bypass_residual = 0.13;
  double with[] = {22.4 - 500.0 / 107.425, 49.5 * 0.85, 0.13};
  TOLERANCE(recovered_gross(&y, EBI_WEATHER_HOURS), over_hours(&y, past_bypass, with), 1e-6);
  y.unit.bypass_closes_below = energy_given(18.9);
  with[0] = 18.9;
  TOLERANCE(recovered_gross(&y, EBI_WEATHER_HOURS), over_hours(&y, past_bypass, with), 1e-6);
  y.unit.bypass_opens_above = energy_given(29.0); /* never, at 20 C */
  with[2] = 1.0;
  TOLERANCE(recovered_gross(&y, EBI_WEATHER_HOURS), over_hours(&y, past_bypass, with), 1e-6);
  y.unit.bypass_opens_above = energy_given(12.0); /* not while the house is heated */
  y.unit.bypass_closes_below.given = false;
  ebi_energy_needs needs = needs_of(&y, EBI_WEATHER_HOURS);
  TOLERANCE(ebi_energy_bypass_c(&y.in, &needs, 4), 20.0 - 500.0 / 107.425, 1e-9);
  eb_context_free(y.context);
}
END_TEST

/* ---- Frost --------------------------------------------------------------- */

/* with: below, V, most W */
static double preheat(double c, const double *with) {
  return c < with[0] ? fmin(with[1] * (with[0] - c), with[2]) / 1000.0 : 0.0;
}

/* with: below, V, up to */
static double warm_up(double c, const double *with) {
  return c < with[0] ? with[1] * (with[2] - c) / 1000.0 : 0.0;
}

static double is_below(double c, const double *with) {
  return c < with[0] ? 1.0 : 0.0;
}

static eb_frost frost_of(const plain_year *y, ebi_energy_needs *needs) {
  *needs = needs_of(y, EBI_WEATHER_HOURS);
  return ebi_energy_frost_year(&y->in, needs);
}

/* A preheater at 6.3 C, by each hour; with too little power; 15 % of its heat comes to the rooms
 * (FRO-3a, FRO-3b: out -10 C, 21 C: supply 16.35 C without, 17.40 C with air preheated to -3 C). */
START_TEST(a_preheater) {
  plain_year y;
  start(&y);
  ebi_energy_needs plain = needs_of(&y, EBI_WEATHER_HOURS), needs;
  double gross = recovered_gross(&y, EBI_WEATHER_HOURS);
  const double powers[] = {HUGE_VAL, 57.0};
  for (size_t i = 0; i < 2; i++) {
    const double with[] = {6.3, 49.5, powers[i]};
    y.in.protection =
        (ebi_protection){.method = EBI_FROST_PREHEATER, .below_c = 6.3, .power_w = powers[i]};
    eb_frost frost = frost_of(&y, &needs);
    double electricity = over_hours(&y, preheat, with);
    ck_assert(electricity > 20.0);
    TOLERANCE(frost.electricity_kwh, electricity, 1e-6);
    TOLERANCE(frost.hours, over_hours(&y, is_below, with), 1e-6);
    TOLERANCE(frost.useful_kwh, 0.15 * electricity, 1e-6);
    TOLERANCE(total(&plain.recovery) - total(&needs.recovery), 0.15 * electricity, 1e-6);
    TOLERANCE(total(&plain.no_recovery) - total(&needs.no_recovery), electricity, 1e-6);
    TOLERANCE(gross - recovered_gross(&y, EBI_WEATHER_HOURS), 0.85 * electricity, 1e-6);
    TOLERANCE(total(&needs.baseline), total(&plain.baseline), 1e-9);
    ck_assert(frost.lost_air_m3 == 0.0 && frost.lost_recovery_kwh == 0.0);
    ck_assert_str_eq(frost.method, "preheater");
  }
  double ratio = eb_unbalanced_ratios(0.85, 0.04, 0.04, 0.04).supply_ratio;
  double cold = -10.0 + ratio * (21.0 + 10.0), preheated = -3.0 + ratio * (21.0 + 3.0);
  TOLERANCE(cold, 16.35, 0.005);      /* FRO-3a */
  TOLERANCE(preheated, 17.40, 0.005); /* FRO-3b */
  /* what the year credits of an hour's 7 K is that difference */
  TOLERANCE(preheated - cold, (1.0 - needs.air.ratio) * 7.0, 1e-9);
  eb_context_free(y.context);
}
END_TEST

START_TEST(a_preheater_costs_by_its_set_point) {
  plain_year y;
  start(&y);
  double last = 0.0;
  for (double below = 4.4; below < 9.0; below += 0.7) {
    ebi_energy_needs needs;
    y.in.protection =
        (ebi_protection){.method = EBI_FROST_PREHEATER, .below_c = below, .power_w = HUGE_VAL};
    double electricity = frost_of(&y, &needs).electricity_kwh;
    ck_assert(electricity > last);
    last = electricity;
  }
  eb_context_free(y.context);
}
END_TEST

/* Own sums over the hours of what each method takes and loses. */
START_TEST(other_ways_against_frost) {
  plain_year y;
  start(&y);
  ebi_energy_needs plain = needs_of(&y, EBI_WEATHER_HOURS), needs;
  const double rooms[] = {3.7, 49.5, 20.0}, ground[] = {3.7, 49.5, 9.1};
  double cold = over_hours(&y, warm_up, rooms), hours = over_hours(&y, is_below, rooms);
  ck_assert(hours > 100.0);
  y.in.protection = (ebi_protection){
      .method = EBI_FROST_REDUCE_SUPPLY, .below_c = 3.7, .cut = 0.45, .time = 0.29};
  eb_frost frost = frost_of(&y, &needs);
  TOLERANCE(frost.lost_recovery_kwh, 0.85 * 0.45 * 0.29 * cold, 1e-6);
  TOLERANCE(frost.lost_air_m3, 150.0 * 0.45 * 0.29 * hours, 1e-6);
  TOLERANCE(total(&needs.recovery) - total(&plain.recovery), frost.lost_recovery_kwh, 1e-6);
  TOLERANCE(total(&needs.no_recovery), total(&plain.no_recovery), 1e-9);
  ck_assert(frost.electricity_kwh == 0.0);
  y.in.protection = (ebi_protection){.method = EBI_FROST_RECIRCULATE, .below_c = 3.7, .time = 0.29};
  frost = frost_of(&y, &needs);
  TOLERANCE(frost.lost_air_m3, 150.0 * 0.29 * hours, 1e-6);
  TOLERANCE(total(&needs.recovery), total(&plain.recovery), 1e-9);
  TOLERANCE(ebi_energy_sum(ebi_energy_recovered_of(&y.in, EBI_WEATHER_HOURS, &needs).heating),
            3171.403 - 0.85 * 0.29 * cold, 0.02);
  y.in.protection = (ebi_protection){.method = EBI_FROST_GROUND,
                                     .below_c = 3.7,
                                     .ground_c = 9.1,
                                     .ground_ratio = 0.57,
                                     .pump_w = 23.0};
  frost = frost_of(&y, &needs);
  TOLERANCE(frost.electricity_kwh, 0.023 * hours, 1e-6);
  TOLERANCE(frost.useful_kwh, 0.15 * 0.57 * over_hours(&y, warm_up, ground), 1e-6);
  TOLERANCE(total(&plain.recovery) - total(&needs.recovery), frost.useful_kwh, 1e-6);
  eb_context_free(y.context);
}
END_TEST

/* What the unit does not say is taken and told; what cannot be is warned of. */
START_TEST(findings_of_frost) {
  energy_fixture f;
  energy_set_up(&f, NULL);
  f.unit.frost = EBI_FROST_REDUCE_SUPPLY;
  ebi_appliance stove = {.kind = "open-flued",
                         .fuel = "solid",
                         .burner = "",
                         .room = "living",
                         .where = {"house.yaml", 31, 5}};
  f.house.appliances = &stove;
  f.house.n_appliances = 1;
  const eb_energy *energy = energy_must(&f, true);
  ck_assert(energy->frost.lost_recovery_kwh > 0.0 && energy->frost_kwh == 0.0);
  ck_assert_ptr_nonnull(energy_find(&f, "frost-default", "50 %"));
  ck_assert_ptr_nonnull(energy_find(&f, "frost-default", "30 %"));
  ck_assert_str_eq(energy_find(&f, "frost-default", "-3 C")->source,
                   "common practice, from memory");
  ck_assert_ptr_nonnull(energy_find(&f, "frost-air", "not recovered"));
  const eb_diagnostic *told = energy_find(&f, "frost-flue", "fumes");
  ck_assert_ptr_nonnull(told);
  ck_assert_int_eq(told->severity, EB_WARNING);
  ck_assert_int_eq(told->line, 31);
  eb_diagnostics_clear(f.context);
  stove.kind = "room-sealed";
  f.unit.frost_cut = energy_given(0.4);
  energy_must(&f, true);
  ck_assert_ptr_null(energy_find(&f, "frost-flue", ""));
  ck_assert_ptr_null(energy_find(&f, "frost-default", "50 %"));
  eb_diagnostics_clear(f.context);
  f.unit.frost = EBI_FROST_PREHEATER;
  f.unit.frost_below = energy_given(1.0);
  f.unit.frost_power = energy_given(35.0);
  energy_must(&f, true);
  ck_assert_ptr_nonnull(energy_find(&f, "frost-power", "35 W hold 1 C down to"));
  eb_diagnostics_clear(f.context);
  f.unit.frost = EBI_FROST_GROUND;
  energy = energy_must(&f, true);
  ck_assert_ptr_nonnull(energy_find(&f, "frost-default", "ground.temperature"));
  ck_assert(energy->frost.useful_kwh > 0.0 && energy->frost.electricity_kwh > 0.0);
  eb_diagnostics_clear(f.context);
  f.unit.frost = EBI_FROST_NONE;
  energy = energy_must(&f, true);
  ck_assert_ptr_nonnull(energy_find(&f, "frost-not-counted", "nothing is counted"));
  ck_assert_str_eq(energy->frost.method, "none");
  eb_context_free(f.context);
}
END_TEST

/* ---- Ducts and fans ------------------------------------------------------ */

/* At -4 C and 21 C inside: 60 W of a supply run and 25 W of an extract run in a loft, 34 W that an
 * outdoor run takes from the rooms and 41 W that an exhaust run does; the rest loses nothing. */
START_TEST(ducts_lose_heat) {
  energy_fixture f;
  energy_set_up(&f, NULL);
  static const struct {
    eb_air air;
    bool cold;
    double heat_w;
  } runs[] = {{EB_SUPPLY, true, 60.0},    {EB_EXTRACT, true, 25.0}, {EB_OUTDOOR, false, -34.0},
              {EB_EXHAUST, false, -41.0}, {EB_SUPPLY, false, 17.0}, {EB_EXTRACT, false, -3.0},
              {EB_OUTDOOR, true, -9.0},   {EB_EXHAUST, true, 8.0}};
  static const char *const names[] = {"a", "b", "c", "d", "e", "f", "g", "h"};
  ebi_run in_house[8] = {{0}};
  eb_run_info info[8] = {{0}};
  eb_run_state state[8] = {{0}};
  for (int i = 0; i < 8; i++) {
    in_house[i] = (ebi_run){.name = names[i], .air = runs[i].air};
    if (runs[i].cold)
      in_house[i].space_temperature = energy_given(-1.0);
    info[i] = (eb_run_info){.name = names[i], .air = runs[i].air};
    state[i].heat_w = runs[i].heat_w;
  }
  f.house.runs = in_house;
  f.house.n_runs = 8;
  f.ducts.runs = info;
  f.ducts.n_runs = 8;
  f.states[0].runs = f.states[1].runs = state;
  const eb_energy *unknown = energy_must(&f, true);
  ck_assert(unknown->duct_loss_w_k == 0.0);
  ck_assert_ptr_nonnull(energy_find(&f, "duct-loss-unknown", "site: {outdoor"));
  f.house.outdoor = energy_given(-4.0);
  const eb_energy *known = energy_must(&f, true);
  double loss = (60.0 + 41.0 + known->temperature_ratio * (25.0 + 34.0)) / 25.0;
  NEAR(known->duct_loss_w_k, loss, 1e-12);
  NEAR(known->heat_loss_w_k - unknown->heat_loss_w_k, loss, 1e-10);
  ck_assert(known->recovered_heat_kwh < unknown->recovered_heat_kwh);
  ck_assert(known->gross_recovered_kwh == unknown->gross_recovered_kwh);
  f.house.outdoor = energy_given(17.5);
  ck_assert(energy_must(&f, true)->duct_loss_w_k == 0.0);
  ck_assert_ptr_nonnull(energy_find(&f, "duct-loss-unknown", "too near"));
  eb_context_free(f.context);
}
END_TEST

START_TEST(warmth_of_the_fan) {
  energy_fixture f;
  energy_set_up(&f, NULL);
  f.states[0].supply.fan_power_w = 37.0; /* boost, 1.7 h a day */
  f.states[1].supply.fan_power_w = 16.3;
  const eb_energy *included = energy_must(&f, true);
  ck_assert(included->fan_heat_w == 0.0);
  f.unit.fan_heat_apart = true;
  const eb_energy *apart = energy_must(&f, true);
  NEAR(apart->fan_heat_w, (37.0 * 1.7 + 16.3 * 22.3) / 24.0, 1e-12);
  ck_assert(apart->net_heat_kwh < included->net_heat_kwh);
  ck_assert(apart->baseline_heat_kwh == included->baseline_heat_kwh);
  double most = apart->fan_heat_w * 8.76;
  ck_assert(included->net_heat_kwh - apart->net_heat_kwh < most);
  ck_assert(included->net_heat_kwh - apart->net_heat_kwh > 0.5 * most);
  /* without ducts the unit's own, of which the supply fan has half where it is given for both */
  double each = energy_must(&f, false)->fan_heat_w;
  ck_assert(each > 1.0);
  f.unit.supply_fan.power_both = f.unit.extract_fan.power_both = true;
  NEAR(energy_must(&f, false)->fan_heat_w, 0.5 * each, 1e-12);
  f.baseline.kind = EBI_BASELINE_SAME_SYSTEM;
  double same = energy_must(&f, true)->baseline_heat_kwh;
  f.unit.fan_heat_apart = false;
  ck_assert(same < energy_must(&f, true)->baseline_heat_kwh);
  eb_context_free(f.context);
}
END_TEST

/* ---- Readings ------------------------------------------------------------ */

typedef struct visit {
  ebi_room rooms[3];
  ebi_run runs[3];
  double flows[3][2];
  ebi_terminal_reading read[3];
  ebi_round rounds[2];
  struct eb_readings readings;
} visit;

/* Two supply terminals and one extract, 13.1 + 17.4 against 33.2 l/s by a vane. */
static void set_visit(visit *v, energy_fixture *f) {
  static const char *const rooms[] = {"bed", "living", "bath"};
  static const double flows[] = {13.1e-3, 17.4e-3, 33.2e-3};
  memset(v, 0, sizeof *v);
  for (size_t i = 0; i < 3; i++) {
    v->rooms[i].name = rooms[i];
    v->runs[i] = (ebi_run){.name = rooms[i],
                           .air = i < 2 ? EB_SUPPLY : EB_EXTRACT,
                           .from = i < 2 ? "unit" : rooms[i],
                           .to = i < 2 ? rooms[i] : "unit"};
    v->flows[i][0] = flows[i] * 1.02;
    v->flows[i][1] = flows[i] * 0.98;
    v->read[i] = (ebi_terminal_reading){.run = i, .flows = v->flows[i], .n_flows = 2};
  }
  f->house.rooms = v->rooms;
  f->house.n_rooms = 3;
  f->house.runs = v->runs;
  f->house.n_runs = 3;
  v->rounds[0] = (ebi_round){.level = "normal", .terminals = v->read, .n_terminals = 3};
  v->rounds[1] = (ebi_round){.level = "normal", .terminals = v->read, .n_terminals = 2};
  v->readings = (struct eb_readings){.rounds = v->rounds, .n_rounds = 2, .house = &f->house};
}

static const eb_energy *with_readings(energy_fixture *f, visit *v) {
  const eb_energy_options options = {.size = sizeof options, .readings = &v->readings};
  const eb_energy *energy = NULL;
  eb_diagnostics_clear(f->context);
  ck_assert_int_eq(eb_energy_year(f->context, &f->house, &f->rates, NULL, &options, NULL, &energy),
                   EB_OK);
  return energy;
}

START_TEST(unbalance_as_read) {
  energy_fixture f;
  visit v;
  energy_set_up(&f, NULL);
  const eb_energy *designed = energy_must(&f, false);
  ck_assert(isnan(designed->measured_unbalance));
  set_visit(&v, &f);
  const eb_energy *read = with_readings(&f, &v);
  NEAR(read->measured_unbalance, (13.1 + 17.4 - 33.2) / 33.2, 1e-9);
  ck_assert_ptr_nonnull(energy_find(&f, "unbalance-measured", "round 1"));
  ck_assert_ptr_nonnull(energy_find(&f, "unbalance-measured", "more extract by 8.1 %"));
  ck_assert(read->temperature_ratio < designed->temperature_ratio);
  ck_assert(read->infiltration_per_h < designed->infiltration_per_h);
  ck_assert_ptr_nonnull(energy_find(&f, "unbalance-cost", "kWh"));
  /* supply air at 15.2 C is denser than a room's at 21 C, to a vane */
  v.rounds[0].temperature[EB_SUPPLY] = energy_given(15.2);
  double supply = 30.5 * 294.15 / 288.35;
  NEAR(with_readings(&f, &v)->measured_unbalance, (supply - 33.2) / 33.2, 1e-6);
  /* an orifice reads by the root of it, and a thermal instrument mass */
  v.rounds[0].instrument.kind = EBI_INSTRUMENT_PRESSURE;
  supply = 30.5 * sqrt(294.15 / 288.35);
  NEAR(with_readings(&f, &v)->measured_unbalance, (supply - 33.2) / 33.2, 1e-6);
  v.rounds[0].instrument.kind = EBI_INSTRUMENT_THERMAL;
  NEAR(with_readings(&f, &v)->measured_unbalance, (30.5 - 33.2) / 33.2, 1e-9);
  /* the unit's own flows where terminals are missing */
  v.rounds[1].unit_flow[EB_SUPPLY] = energy_given(41.0e-3);
  v.rounds[1].unit_flow[EB_EXHAUST] = energy_given(37.0e-3);
  NEAR(with_readings(&f, &v)->measured_unbalance, 4.0 / 41.0, 1e-12);
  ck_assert_ptr_nonnull(energy_find(&f, "unbalance-measured", "round 2"));
  v.rounds[1] = (ebi_round){.level = "normal"};
  v.rounds[0].n_terminals = 1;
  ck_assert(isnan(with_readings(&f, &v)->measured_unbalance));
  ck_assert_ptr_nonnull(energy_find(&f, "unbalance-measured", "no round"));
  eb_context_free(f.context);
}
END_TEST

/* ---- Methods ------------------------------------------------------------- */

START_TEST(methods_side_by_side) {
  energy_fixture f;
  energy_set_up(&f, NULL);
  const eb_energy *energy = energy_must(&f, true);
  ck_assert_uint_eq(energy->n_methods, 1);
  ck_assert_str_eq(energy->method, "months");
  ck_assert_str_eq(energy->methods[0].rule, "Hitchin 1983");
  ck_assert_ptr_null(energy_find(&f, "method-difference", ""));
  f.house.climate = climate_help_seattle(ebi_context_arena(f.context));
  energy = energy_must(&f, true);
  ck_assert_str_eq(energy->method, "hours");
  ck_assert_uint_ge(energy->n_methods, 2);
  const eb_energy_method *finest = &energy->methods[energy->n_methods - 1];
  ck_assert_str_eq(finest->name, "hours");
  ck_assert(finest->net_heat_kwh == energy->net_heat_kwh);
  ck_assert(finest->saving_heat_kwh == energy->saving_heat_kwh);
  ck_assert(finest->recovered_heating_kwh == energy->recovered_heating_kwh);
  ck_assert(finest->gross_recovered_kwh == energy->gross_recovered_kwh);
  ck_assert(finest->heating_degree_days == energy->heating_degree_days);
  NEAR(finest->no_recovery_kwh, energy->net_heat_kwh + energy->recovered_heat_kwh, 1e-12);
  const eb_energy_method *months = &energy->methods[0];
  ck_assert(months->net_heat_kwh != finest->net_heat_kwh);
  NEAR(months->net_heat_kwh, finest->net_heat_kwh, 0.1);
  ck_assert_ptr_nonnull(energy_find(&f, "method-difference", "by months (Hitchin 1983)"));
  ck_assert_ptr_nonnull(energy_find(&f, "method-difference", "6 %"));
  eb_context_free(f.context);
}
END_TEST

Suite *suite_energy_year(void) {
  Suite *suite = suite_create("energy_year");
  TCase *cases = tcase_create("energy_year");
  tcase_set_timeout(cases, 60);
  tcase_add_test(cases, a_year_of_hours);
  tcase_add_test(cases, two_heat_losses);
  tcase_add_test(cases, the_saving_grows);
  tcase_add_test(cases, shifts_do_what_they_say);
  tcase_add_test(cases, bounds_by_every_weather);
  tcase_add_test(cases, gains_by_month);
  tcase_add_test(cases, an_open_bypass_recovers_nothing);
  tcase_add_test(cases, a_preheater);
  tcase_add_test(cases, a_preheater_costs_by_its_set_point);
  tcase_add_test(cases, other_ways_against_frost);
  tcase_add_test(cases, findings_of_frost);
  tcase_add_test(cases, ducts_lose_heat);
  tcase_add_test(cases, warmth_of_the_fan);
  tcase_add_test(cases, unbalance_as_read);
  tcase_add_test(cases, methods_side_by_side);
  suite_add_tcase(suite, cases);
  return suite;
}
