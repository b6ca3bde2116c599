/* energy_detail.c - the rest of the air's work: its means, and what other parts of the year know */

#include "design/energy_detail.h"

#include <math.h>
#include <string.h>

#define LENGTH(array) (sizeof(array) / sizeof(array)[0])
#define SECONDS 3600.0
#define JOULES_PER_KWH 3.6e6

/* ---- Means -------------------------------------------------------------- */

double ebi_detail_base(const ebi_detail *d, int month) {
  return eb_base_temperature(d->in->indoor_c, d->in->gains_of[month] + d->in->fan_heat_w,
                             d->needs->recovery.heat_loss[month]);
}

bool ebi_detail_heats(const ebi_detail *d, int month) {
  return d->in->house->climate->mean_c[month] < ebi_detail_base(d, month);
}

static const eb_level_state *of_ducts(const eb_ducts *ducts, const char *name) {
  for (size_t i = 0; ducts != NULL && i < ducts->n_levels; i++)
    if (strcmp(ducts->levels[i].name, name) == 0)
      return &ducts->levels[i];
  return NULL;
}

static const ebi_energy_level *of_year(const ebi_energy_inputs *in, const char *name) {
  for (size_t i = 0; i < in->n_levels; i++)
    if (strcmp(in->levels[i].name, name) == 0)
      return &in->levels[i];
  return NULL;
}

static bool flows_of(const ebi_energy_inputs *in, const char *name, ebi_detail_level *level) {
  const eb_level_state *state = of_ducts(in->ducts, name);
  if (state != NULL) {
    *level = (ebi_detail_level){state->supply.flow_m3_s, state->extract.flow_m3_s,
                                state->power_w > 0.0 ? state->power_w : (double)NAN};
    return true;
  }
  for (size_t i = 0; i < in->rates->n_levels; i++)
    if (strcmp(in->rates->levels[i], name) == 0) {
      *level = (ebi_detail_level){in->rates->supply_total_m3_s[i], in->rates->extract_total_m3_s[i],
                                  NAN};
      return true;
    }
  return false;
}

bool ebi_detail_level_of(const ebi_detail *d, const char *name, ebi_detail_level *level) {
  const ebi_energy_level *known = of_year(d->in, name), *normal = &d->in->levels[0];
  if (!flows_of(d->in, name, level))
    return false;
  if (known != NULL)
    level->power_w = known->power_w;
  double own = fmax(level->supply, level->extract), most = fmax(normal->supply, normal->extract);
  if (isnan(level->power_w) && most > 0.0)
    level->power_w = normal->power_w * pow(own / most, 3.0);
  return true;
}

const char *ebi_detail_months(const ebi_detail *d, const bool months[EBI_MONTHS]) {
  const char *list = "";
  int left = 0;
  for (int i = 0; i < EBI_MONTHS; i++)
    left += months[i];
  for (int i = 0; i < EBI_MONTHS && list != NULL; i++) {
    if (!months[i])
      continue;
    left--;
    list = ebi_arena_format(d->in->arena, "%s%s%s", list, ebi_month_name(i),
                            left > 1    ? ", "
                            : left == 1 ? " and "
                                        : "");
  }
  *d->failed = *d->failed || list == NULL;
  return list != NULL ? list : "";
}

void ebi_detail_say(const ebi_detail *d, eb_severity severity, const char *code, ebi_where where,
                    const char *source, const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  const char *text = ebi_arena_format_list(d->in->arena, format, arguments);
  va_end(arguments);
  *d->failed = *d->failed || text == NULL;
  if (text != NULL)
    ebi_diag(d->in->context, severity, code, where.file != NULL ? where : d->in->house->where,
             source, "%s", text);
}

/* Flows through the unit and what the exchanger does at them. */
static void set_flows(ebi_detail *d) {
  const ebi_energy_inputs *in = d->in;
  const ebi_unit *unit = in->house->unit;
  double leak = unit->leak_inside.given ? unit->leak_inside.value : 0.0;
  for (size_t i = 0; i < in->n_levels; i++) {
    d->supply += in->levels[i].supply * in->levels[i].hours / 24.0;
    d->extract += in->levels[i].extract * in->levels[i].hours / 24.0;
  }
  d->outdoor = d->supply * (1.0 - leak);
  d->exhaust = fmax(d->extract - d->supply * leak, 0.0);
  d->moisture_ratio = unit->moisture_ratio;
  d->ratios = (eb_exchanger_ratios){0.0, 0.0, 0.0};
  if (d->outdoor > 0.0 && d->exhaust > 0.0)
    d->ratios = ebi_energy_exchanger(in, 0.0, d->outdoor, d->exhaust);
}

/* ---- What the other parts of the year know ------------------------------ */

static eb_status set_degree_days(ebi_detail *d) {
  eb_energy_detail *out = d->out;
  eb_status status = ebi_climate_definitions(d->in->house->climate, d->energy->base_temperature_c,
                                             d->in->arena, &out->degree_days, &out->n_degree_days);
  ebi_step base =
      ebi_ledger_input(d->ledger, d->in->house->climate->entry.where, d->energy->base_temperature_c,
                       EBI_TEMPERATURE, "base temperature of the house, and usual ones");
  for (size_t i = 0; status == EB_OK && i < out->n_degree_days; i++) {
    const eb_degree_day_row *row = &out->degree_days[i];
    const char *known = strstr(row->source, "memory") != NULL ? "memory" : "read";
    const ebi_cite cite = {row->rule, row->source, known};
    (void)ebi_ledger_step(d->ledger, EBI_F_DEGREE_DAY_DEFINITION, &cite, row->heating_k_d,
                          EBI_DEGREE_DAYS, &base, 1, "heating degree-days of the year, %s, %g C",
                          row->rule, row->base_c);
  }
  return status;
}

static eb_status set_leakage(ebi_detail *d) {
  ebi_leakage_curve curve;
  eb_status status = ebi_energy_leakage_curve(d->in, d->energy, &curve);
  if (status != EB_OK)
    return status;
  d->out->leakage = curve.points;
  d->out->n_leakage = curve.n_points;
  d->out->break_even_heat = curve.break_even_heat;
  d->out->break_even_money = curve.break_even_money;
  for (size_t i = 0; i < curve.n_points; i++)
    (void)ebi_ledger_step(d->ledger, EBI_F_LEAKAGE_CURVE, NULL,
                          curve.points[i].saving_heat_kwh * JOULES_PER_KWH, EBI_ENERGY, NULL, 0,
                          "heat saved, were it %g 1/h at 50 Pa", curve.points[i].n50_per_h);
  return EB_OK;
}

/* Rows of the regulation's climates, from memory. */
static void set_yardstick(ebi_detail *d) {
  static const struct {
    const char *name;
    double hours, difference, defrost_hours, defrost_difference;
  } climates[] = {{"average", 5112.0, 9.5, 168.0, 2.4},
                  {"cold", 6552.0, 14.5, 1003.0, 5.2},
                  {"warm", 4392.0, 5.0, 0.0, 0.0}};
  const ebi_energy_level *normal = &d->in->levels[0];
  const ebi_unit *unit = d->in->house->unit;
  double flow = fmax(normal->supply, normal->extract) * SECONDS;
  d->out->power_wh_m3 = flow > 0.0 ? normal->power_w / flow : 0.0;
  ebi_step inputs[] = {ebi_ledger_input(d->ledger, d->in->house->unit_where, d->in->ratio,
                                        EBI_RATIO, "temperature ratio of the unit"),
                       ebi_ledger_input(d->ledger, (ebi_where){NULL, 0, 0},
                                        d->out->power_wh_m3 * SECONDS, EBI_FAN_POWER,
                                        "specific power at normal")};
  for (size_t i = 0; i < LENGTH(climates); i++) {
    bool heater = unit->frost == EBI_FROST_PREHEATER;
    const eb_specific_energy_inputs of = {
        .temperature_ratio = d->in->ratio,
        .power_wh_m3 = d->out->power_wh_m3,
        .control = d->in->house->moisture.boost_humidity.given ? 0.85 : 1.0,
        .control_exponent = 2.0,
        .ducting = 1.1,
        .heating_hours = climates[i].hours,
        .difference_k = climates[i].difference,
        .defrost_hours = heater ? climates[i].defrost_hours : 0.0,
        .defrost_difference_k = heater ? climates[i].defrost_difference : 0.0};
    double value = eb_specific_energy(&of);
    d->out->specific_energy[i] =
        (eb_specific_energy_row){climates[i].name, value, eb_specific_energy_class(value)};
    (void)ebi_ledger_step(d->ledger, EBI_F_SPECIFIC_ENERGY, NULL, value, EBI_NUMBER, inputs,
                          LENGTH(inputs), "primary energy by the yardstick, %s climate, kWh/(m2 a)",
                          climates[i].name);
  }
}

/* ---- The entry ---------------------------------------------------------- */

static eb_status all_parts(ebi_detail *d) {
  static eb_status (*const parts[])(ebi_detail *) = {
      set_degree_days, ebi_detail_moisture, ebi_detail_condensate, ebi_detail_boost,
      ebi_detail_hood, ebi_detail_summer,   ebi_detail_hot_water,  set_leakage};
  eb_status status = EB_OK;
  for (size_t i = 0; status == EB_OK && i < LENGTH(parts); i++)
    status = parts[i](d);
  if (status == EB_OK)
    set_yardstick(d);
  return status;
}

eb_status ebi_energy_detail(ebi_energy_inputs *in, const ebi_energy_needs *needs, eb_energy *energy,
                            eb_ledger *ledger) {
  bool failed = false;
  ebi_detail d = {.in = in,
                  .needs = needs,
                  .energy = energy,
                  .ledger = ledger,
                  .failed = &failed,
                  .out = EBI_NEW(in->arena, eb_energy_detail),
                  .weather = ebi_climate_finest(in->house->climate),
                  .pressure_pa = eb_air_pressure(in->altitude_m)};
  if (d.out == NULL)
    return EB_E_MEMORY;
  set_flows(&d);
  eb_status status = all_parts(&d);
  if (status == EB_OK && failed)
    status = EB_E_MEMORY;
  if (status == EB_OK)
    energy->detail = d.out;
  return status;
}
