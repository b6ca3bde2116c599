/* energy.c - what a year takes: heat, electricity, money and carbon */

#include "design/energy.h"

#include <math.h>

#define JOULES_PER_KWH 3.6e6

/* A result with what it lives in. */
typedef struct energy_result {
  eb_energy energy;
  eb_context *context;
  ebi_arena *arena;
} energy_result;

const char *ebi_month_name(int month) {
  static const char *const names[EBI_MONTHS] = {"January",   "February", "March",    "April",
                                                "May",       "June",     "July",     "August",
                                                "September", "October",  "November", "December"};
  return names[month];
}

/* Mean of the months by their days. */
static double mean_of_year(const ebi_climate *climate, const double months[EBI_MONTHS]) {
  double sum = 0.0, days = 0.0;
  for (int i = 0; i < EBI_MONTHS; i++) {
    sum += months[i] * climate->days[i];
    days += climate->days[i];
  }
  return sum / days;
}

static void set_months(const ebi_energy_inputs *in, const ebi_energy_needs *needs, double fan_w,
                       eb_energy *energy) {
  for (int i = 0; i < EBI_MONTHS; i++) {
    energy->months[i] = (eb_energy_month){
        .outdoor_c = in->house->climate->mean_c[i],
        .heating_degree_days = needs->recovery.degree_days[i],
        .ventilation_heat_kwh = needs->no_recovery.heat_kwh[i] - needs->no_air.heat_kwh[i],
        .recovered_heat_kwh = needs->no_recovery.heat_kwh[i] - needs->recovery.heat_kwh[i],
        .net_heat_kwh = needs->recovery.heat_kwh[i],
        .fan_kwh = fan_w * 24.0 * in->house->climate->days[i] / 1000.0,
        .baseline_heat_kwh = needs->baseline.heat_kwh[i],
    };
  }
}

/* All the year's warmth that crosses the exchanger towards a room at Ti. */
static double gross_recovery(const ebi_energy_inputs *in, const ebi_energy_air *air) {
  const ebi_climate *climate = in->house->climate;
  double degree_days = 0.0;
  for (int i = 0; i < EBI_MONTHS; i++)
    degree_days += eb_degree_days_monthly(in->indoor_c, climate->mean_c[i], climate->days[i],
                                          climate->hitchin_k);
  return 24.0 * in->air_capacity * air->flow * 3600.0 * air->ratio * degree_days / 1000.0;
}

static void set_heat(const ebi_energy_inputs *in, const ebi_energy_needs *needs,
                     eb_energy *energy) {
  energy->climate = in->house->climate->entry.name;
  energy->air_constant_wh_m3_k = in->air_capacity;
  energy->ventilation_flow_m3_s = needs->air.flow;
  energy->temperature_ratio = needs->air.ratio;
  energy->infiltration_per_h = needs->air.infiltration;
  energy->heat_loss_w_k = needs->recovery.heat_loss[0];
  energy->heat_loss_no_recovery_w_k = needs->no_recovery.heat_loss[0];
  energy->base_temperature_c =
      eb_base_temperature(in->indoor_c, in->gains_w, energy->heat_loss_w_k);
  energy->heating_degree_days = ebi_energy_sum(needs->recovery.degree_days);
  energy->net_heat_kwh = ebi_energy_sum(needs->recovery.heat_kwh);
  double no_recovery = ebi_energy_sum(needs->no_recovery.heat_kwh);
  energy->ventilation_heat_kwh = no_recovery - ebi_energy_sum(needs->no_air.heat_kwh);
  energy->recovered_heat_kwh = no_recovery - energy->net_heat_kwh;
  energy->gross_recovered_kwh = gross_recovery(in, &needs->air);
}

/* Returns the mean power of the fans beyond standby. */
static double set_electricity(const ebi_energy_inputs *in, const ebi_energy_needs *needs,
                              eb_energy *energy) {
  const ebi_climate *climate = in->house->climate;
  double total_w = 0.0, days = ebi_energy_sum(climate->days);
  for (size_t i = 0; i < in->n_levels; i++)
    total_w += in->levels[i].power_w * in->levels[i].hours / 24.0;
  double standby_w = in->house->unit->standby;
  double fan_w = fmax(total_w - standby_w, 0.0);
  energy->fan_kwh = fan_w * 24.0 * days / 1000.0;
  energy->standby_kwh = standby_w * 24.0 * days / 1000.0;
  for (int i = 0; i < EBI_MONTHS; i++)
    energy->frost_kwh += ebi_energy_frost(in, needs->air.flow, i);
  return fan_w;
}

static void set_baseline(const ebi_energy_inputs *in, const ebi_energy_needs *needs,
                         eb_energy *energy) {
  const ebi_baseline *baseline = in->house->baseline;
  const ebi_climate *climate = in->house->climate;
  energy->baseline_name = baseline->entry.name;
  energy->baseline_air_change_per_h = mean_of_year(climate, needs->baseline_air_change);
  energy->baseline_base_temperature_c = eb_base_temperature(
      in->indoor_c, in->gains_w, mean_of_year(climate, needs->baseline.heat_loss));
  energy->baseline_heat_kwh = ebi_energy_sum(needs->baseline.heat_kwh);
  energy->baseline_fan_kwh = in->baseline_fans * baseline->fan_power * baseline->fan_hours *
                             ebi_energy_sum(climate->days) / 1000.0;
}

static void set_saving(const ebi_energy_inputs *in, eb_energy *energy) {
  const ebi_tariff *electricity = &in->house->electricity, *heating = &in->house->heating;
  energy->saving_heat_kwh = energy->baseline_heat_kwh - energy->net_heat_kwh;
  energy->saving_electricity_kwh =
      energy->baseline_fan_kwh - energy->fan_kwh - energy->standby_kwh - energy->frost_kwh;
  double half = ebi_energy_range(in, energy->saving_heat_kwh);
  energy->range_low_kwh = energy->saving_heat_kwh - half;
  energy->range_high_kwh = energy->saving_heat_kwh + half;
  energy->range_confidence = 0.95;
  energy->saving.currency = in->house->currency;
  if (!electricity->given || !heating->given)
    return;
  double heat_j = energy->saving_heat_kwh * JOULES_PER_KWH / heating->efficiency;
  double electricity_j = energy->saving_electricity_kwh * JOULES_PER_KWH;
  energy->saving.given = true;
  energy->saving.money = heat_j * heating->price + electricity_j * electricity->price;
  if (!electricity->carbon.given || !heating->carbon.given)
    return;
  energy->saving.carbon_given = true;
  energy->saving.carbon_kg =
      heat_j * heating->carbon.value + electricity_j * electricity->carbon.value;
}

static bool is_finite(const eb_energy *energy) {
  double sum =
      energy->air_constant_wh_m3_k + energy->ventilation_flow_m3_s + energy->temperature_ratio +
      energy->infiltration_per_h + energy->base_temperature_c + energy->ventilation_heat_kwh +
      energy->recovered_heat_kwh + energy->gross_recovered_kwh + energy->fan_kwh +
      energy->standby_kwh + energy->frost_kwh + energy->net_heat_kwh + energy->baseline_heat_kwh +
      energy->baseline_base_temperature_c + energy->baseline_fan_kwh + energy->range_low_kwh +
      energy->range_high_kwh + energy->saving.money + energy->saving.carbon_kg;
  return isfinite(sum);
}

static eb_status calculate(ebi_energy_inputs *in, eb_ledger *ledger, eb_energy *energy) {
  eb_status status = ebi_energy_gather(in);
  if (status != EB_OK)
    return status;
  const ebi_energy_shift none = EBI_NO_SHIFT;
  ebi_energy_needs needs;
  ebi_energy_needs_of(in, &none, &needs);
  set_heat(in, &needs, energy);
  double fan_w = set_electricity(in, &needs, energy);
  set_months(in, &needs, fan_w, energy);
  set_baseline(in, &needs, energy);
  set_saving(in, energy);
  if (!is_finite(energy)) {
    ebi_diag(in->context, EB_ERROR, "energy-range", in->house->where, NULL,
             "the year's energy is beyond what numbers hold: some value of this house is absurd");
    return EB_E_RANGE;
  }
  ebi_energy_findings(in, energy);
  ebi_energy_explain(in, &needs, energy, ledger);
  if (ebi_diags_failed(in->context))
    return EB_E_MEMORY;
  return ebi_ledger_status(ledger);
}

eb_status eb_energy_year(eb_context *context, const eb_house *house, const eb_rates *rates,
                         const eb_ducts *ducts, const eb_energy_options *options, eb_ledger *ledger,
                         const eb_energy **energy) {
  if (context == NULL || house == NULL || rates == NULL || energy == NULL ||
      (options != NULL && options->size != sizeof *options))
    return EB_E_ARGUMENT;
  ebi_arena *arena = ebi_context_arena(context);
  energy_result *result = arena == NULL ? NULL : EBI_NEW(arena, energy_result);
  eb_status status = EB_E_MEMORY;
  if (result != NULL) {
    ebi_energy_inputs in = {
        .context = context, .house = house, .rates = rates, .ducts = ducts, .arena = arena};
    result->context = context;
    result->arena = arena;
    status = calculate(&in, ledger, &result->energy);
  }
  if (status == EB_OK)
    *energy = &result->energy;
  else if (arena != NULL)
    ebi_context_release(context, arena);
  return status;
}

void eb_energy_free(const eb_energy *energy) {
  const energy_result *result = (const energy_result *)energy;
  if (result != NULL)
    ebi_context_release(result->context, result->arena);
}
