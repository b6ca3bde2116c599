/* energy_house.c - a house made by hand, for the tests of the year */

#include "energy_house.h"

#include <string.h>

typedef struct year {
  int number;
  double month[12]; /* degrees Fahrenheit */
} year;

static const year nottem[] = {
#define NOTTEM(number, ...) {number, {__VA_ARGS__}},
#include "nottem.def"
#undef NOTTEM
};

#define N_YEARS (sizeof nottem / sizeof nottem[0])

const double energy_month_days[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

double energy_mean_month(int month) {
  double sum = 0.0;
  for (size_t i = 0; i < N_YEARS; i++)
    sum += (nottem[i].month[month] - 32.0) * 5.0 / 9.0;
  return sum / (double)N_YEARS;
}

ebi_given energy_given(double value) {
  return (ebi_given){value, true, {"house.yaml", 7, 3}};
}

static void set_climate(ebi_climate *climate) {
  climate->entry = (ebi_entry){"nottingham", "Nottingham", {"R data set nottem", "read"}, {0}};
  for (int i = 0; i < 12; i++) {
    climate->mean_c[i] = energy_mean_month(i);
    climate->days[i] = energy_month_days[i];
  }
  climate->hitchin_k = 0.71;
}

/* SAP 10.2 section 2, from memory, as tables/baselines/trickle-vents.yaml has it. */
void energy_set_baseline(ebi_baseline *baseline) {
  static const double wind[12] = {5.1, 5.0, 4.9, 4.4, 4.3, 3.8, 3.8, 3.7, 4.0, 4.3, 4.5, 4.7};
  *baseline = (ebi_baseline){
      .entry = {"trickle-vents", "Trickle vents", {"SAP 10.2", "memory"}, {0}},
      .floor_air_change = 0.5,
      .quadratic = 0.5,
      .natural_from = 1.0,
      .leakage_divisor = 20.0,
      .opening_flow = 10.0 / 3600.0,
      .shelter_per_side = 0.075,
      .sheltered_sides = 2.0,
      .wind_reference = 4.0,
      .fan_power = 20.0,
      .fan_hours = 2.0,
  };
  memcpy(baseline->wind, wind, sizeof wind);
}

static void set_unit(energy_fixture *f) {
  f->points[0] = (ebi_fan_point){0.0, 420.0, 30.0};
  f->points[1] = (ebi_fan_point){0.04, 360.0, 45.0};
  f->points[2] = (ebi_fan_point){0.08, 180.0, 70.0};
  f->curve = (ebi_fan_curve_data){1.0, f->points, 3, {0}};
  f->unit.entry.name = "unit-by-hand";
  f->unit.has_exchanger = true;
  f->unit.temperature_ratio = 0.86;
  f->unit.ratio_at = energy_given(0.0417);
  f->unit.supply_fan = f->unit.extract_fan = (ebi_fan_data){.curves = &f->curve, .n_curves = 1};
  f->unit.standby = 3.7;
}

static void set_rates(energy_fixture *f) {
  f->level_names[0] = "normal";
  f->level_names[1] = "boost";
  f->supply[0] = f->extract[0] = 0.0318;
  f->supply[1] = f->extract[1] = 0.0443;
  for (int i = 0; i < 4; i++)
    f->rooms[i].extract = f->duties;
  f->rates = (eb_rates){.levels = f->level_names,
                        .n_levels = 2,
                        .volume_m3 = 231.7,
                        .supply_total_m3_s = f->supply,
                        .extract_total_m3_s = f->extract,
                        .rooms = f->rooms,
                        .n_rooms = 5};
}

static void set_ducts(energy_fixture *f) {
  f->states[0] = (eb_level_state){.name = "boost", .power_w = 71.9};
  f->states[0].supply.flow_m3_s = 0.0451;
  f->states[0].extract.flow_m3_s = 0.0437;
  f->states[1] = (eb_level_state){.name = "normal", .power_w = 33.1};
  f->states[1].supply.flow_m3_s = 0.0327;
  f->states[1].extract.flow_m3_s = 0.0309;
  f->ducts = (eb_ducts){.levels = f->states, .n_levels = 2};
}

/* A house that wants nothing. */
void energy_set_up(energy_fixture *f, const eb_allocator *allocator) {
  memset(f, 0, sizeof *f);
  f->context = eb_context_new(allocator);
  set_climate(&f->climate);
  energy_set_baseline(&f->baseline);
  set_unit(f);
  set_rates(f);
  set_ducts(f);
  f->level = (ebi_level){.name = "boost", .hours_per_day = energy_given(1.7)};
  eb_house *house = &f->house;
  house->context = f->context;
  house->where = (ebi_where){"house.yaml", 1, 1};
  house->currency = "GBP";
  house->climate = &f->climate;
  house->altitude = energy_given(143.0);
  house->indoor = energy_given(21.0);
  house->heat_loss = energy_given(81.3);
  house->gains = energy_given(347.0);
  house->n50 = energy_given(2.3);
  house->shielding = "normal";
  house->unit = &f->unit;
  house->unit_where = (ebi_where){"house.yaml", 11, 7};
  house->levels = &f->level;
  house->n_levels = 1;
  house->baseline = &f->baseline;
}

eb_status energy_run(energy_fixture *f, bool ducts, eb_ledger *ledger, const eb_energy **energy) {
  return eb_energy_year(f->context, &f->house, &f->rates, ducts ? &f->ducts : NULL, NULL, ledger,
                        energy);
}

const eb_energy *energy_must(energy_fixture *f, bool ducts) {
  const eb_energy *energy = NULL;
  ck_assert_int_eq(energy_run(f, ducts, NULL, &energy), EB_OK);
  return energy;
}

const eb_diagnostic *energy_find(const energy_fixture *f, const char *code, const char *part) {
  size_t count;
  const eb_diagnostic *list = eb_diagnostics(f->context, &count);
  for (size_t i = 0; i < count; i++)
    if (strcmp(list[i].code, code) == 0 && strstr(list[i].message, part) != NULL)
      return &list[i];
  return NULL;
}
