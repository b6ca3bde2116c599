/* energy.c - what a year takes: heat, electricity, money and carbon */

#include "design/energy.h"

#include <math.h>

#include "base/result.h"
#include "design/energy_detail.h"

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

/* What is reckoned of the year before it is told. */
typedef struct reckoned {
  ebi_energy_needs needs;
  ebi_energy_recovered recovered;
  double fan_w; /* mean power of the fans beyond standby */
} reckoned;

/* What this air asks for, whether the heating or frost protection gives it. */
static double ventilation_heat(const ebi_energy_needs *needs, int month) {
  return needs->no_recovery.heat_kwh[month] + needs->frost[month].warmed_kwh -
         needs->no_air.heat_kwh[month];
}

static void set_months(const ebi_energy_inputs *in, const reckoned *r, eb_energy *energy) {
  const ebi_energy_needs *needs = &r->needs;
  for (int i = 0; i < EBI_MONTHS; i++) {
    energy->months[i] = (eb_energy_month){
        .outdoor_c = in->house->climate->mean_c[i],
        .heating_degree_days = needs->recovery.degree_days[i],
        .ventilation_heat_kwh = ventilation_heat(needs, i),
        .recovered_heat_kwh = needs->no_recovery.heat_kwh[i] - needs->recovery.heat_kwh[i],
        .net_heat_kwh = needs->recovery.heat_kwh[i],
        .fan_kwh = r->fan_w * 24.0 * in->house->climate->days[i] / 1000.0,
        .baseline_heat_kwh = needs->baseline.heat_kwh[i],
        .frost_kwh = needs->frost[i].electricity_kwh,
        .gross_recovered_kwh = r->recovered.gross[i],
        .recovered_heating_kwh = r->recovered.heating[i],
    };
  }
}

static void set_air(const ebi_energy_inputs *in, const ebi_energy_needs *needs, eb_energy *energy) {
  energy->climate = in->house->climate->entry.name;
  energy->air_constant_wh_m3_k = in->air_capacity;
  energy->ventilation_flow_m3_s = needs->air.flow;
  energy->temperature_ratio = needs->air.ratio;
  energy->infiltration_per_h = needs->air.infiltration;
  energy->heat_loss_w_k = needs->recovery.heat_loss[0];
  energy->heat_loss_no_recovery_w_k = needs->no_recovery.heat_loss[0];
  energy->base_temperature_c =
      eb_base_temperature(in->indoor_c, in->gains_w + in->fan_heat_w, energy->heat_loss_w_k);
  energy->duct_loss_w_k = in->duct_lost_w_k + in->duct_shared_w_k * needs->air.ratio;
  energy->fan_heat_w = in->fan_heat_w;
  energy->fresh_air_ratio = needs->air.fresh;
  energy->measured_unbalance = in->measured_unbalance;
}

static void set_heat(const reckoned *r, eb_energy *energy) {
  const ebi_energy_needs *needs = &r->needs;
  energy->heating_degree_days = ebi_energy_sum(needs->recovery.degree_days);
  energy->net_heat_kwh = ebi_energy_sum(needs->recovery.heat_kwh);
  double no_recovery = ebi_energy_sum(needs->no_recovery.heat_kwh);
  for (int i = 0; i < EBI_MONTHS; i++)
    energy->ventilation_heat_kwh += ventilation_heat(needs, i);
  energy->recovered_heat_kwh = no_recovery - energy->net_heat_kwh;
  energy->gross_recovered_kwh = ebi_energy_sum(r->recovered.gross);
  energy->recovered_heating_kwh = ebi_energy_sum(r->recovered.heating);
}

static void set_electricity(const ebi_energy_inputs *in, reckoned *r, eb_energy *energy) {
  double total_w = 0.0, days = ebi_energy_sum(in->house->climate->days);
  for (size_t i = 0; i < in->n_levels; i++)
    total_w += in->levels[i].power_w * in->levels[i].hours / 24.0;
  double standby_w = in->house->unit->standby;
  r->fan_w = fmax(total_w - standby_w, 0.0);
  energy->fan_kwh = r->fan_w * 24.0 * days / 1000.0;
  energy->standby_kwh = standby_w * 24.0 * days / 1000.0;
  energy->frost = ebi_energy_frost_year(in, &r->needs);
  energy->frost_kwh = energy->frost.electricity_kwh;
}

/* As this system without its exchanger the baseline has its fans' warmth. */
static double baseline_gains(const ebi_energy_inputs *in) {
  return in->gains_w + ebi_energy_baseline_fan_heat(in);
}

static eb_status set_baseline(const ebi_energy_inputs *in, const ebi_energy_needs *needs,
                              eb_energy *energy) {
  const ebi_climate *climate = in->house->climate;
  energy->baseline_name = in->house->baseline->entry.name;
  energy->baseline_air_change_per_h = mean_of_year(climate, needs->baseline_air_change);
  energy->baseline_base_temperature_c = eb_base_temperature(
      in->indoor_c, baseline_gains(in), mean_of_year(climate, needs->baseline.heat_loss));
  energy->baseline_heat_kwh = ebi_energy_sum(needs->baseline.heat_kwh);
  energy->baseline_fan_kwh =
      ebi_energy_baseline_fans(in, &needs->air, energy->fan_kwh + energy->standby_kwh);
  return ebi_energy_baseline_words(in, energy);
}

static eb_status set_saving(const ebi_energy_inputs *in, eb_energy *energy) {
  energy->saving_heat_kwh = energy->baseline_heat_kwh - energy->net_heat_kwh;
  energy->saving_electricity_kwh =
      energy->baseline_fan_kwh - energy->fan_kwh - energy->standby_kwh - energy->frost_kwh;
  eb_status status = ebi_energy_certainty(in, energy);
  return status == EB_OK ? ebi_energy_money(in, energy) : status;
}

static bool is_finite(const eb_energy *energy) {
  double sum =
      energy->air_constant_wh_m3_k + energy->ventilation_flow_m3_s + energy->temperature_ratio +
      energy->infiltration_per_h + energy->base_temperature_c + energy->ventilation_heat_kwh +
      energy->recovered_heat_kwh + energy->gross_recovered_kwh + energy->fan_kwh +
      energy->standby_kwh + energy->frost_kwh + energy->recovered_heating_kwh +
      energy->frost.lost_recovery_kwh + energy->net_heat_kwh + energy->baseline_heat_kwh +
      energy->baseline_base_temperature_c + energy->baseline_fan_kwh + energy->range_low_kwh +
      energy->range_high_kwh + energy->saving.money + energy->saving.carbon_kg;
  return isfinite(sum);
}

static eb_status set_all(const ebi_energy_inputs *in, reckoned *r, eb_energy *energy) {
  const ebi_energy_shift none = EBI_NO_SHIFT;
  ebi_weather weather = ebi_climate_finest(in->house->climate);
  ebi_energy_needs_of(in, weather, &none, &r->needs);
  r->recovered = ebi_energy_recovered_of(in, weather, &r->needs);
  set_air(in, &r->needs, energy);
  set_heat(r, energy);
  set_electricity(in, r, energy);
  set_months(in, r, energy);
  eb_status status = set_baseline(in, &r->needs, energy);
  if (status == EB_OK)
    status = set_saving(in, energy);
  return status;
}

static eb_status calculate(ebi_energy_inputs *in, eb_ledger *ledger, eb_energy *energy) {
  reckoned r;
  eb_status status = ebi_energy_gather(in);
  if (status == EB_OK)
    status = set_all(in, &r, energy);
  if (status != EB_OK)
    return status;
  if (!is_finite(energy)) {
    ebi_diag(in->context, EB_ERROR, "energy-range", in->house->where, NULL,
             "the year's energy is beyond what numbers hold: some value of this house is absurd");
    return EB_E_RANGE;
  }
  status = ebi_energy_methods(in, energy);
  if (status != EB_OK)
    return status;
  ebi_energy_findings(in, energy);
  ebi_energy_explain(in, &r.needs, energy, ledger);
  if (in->detail)
    status = ebi_energy_detail(in, &r.needs, energy, ledger);
  if (status != EB_OK)
    return status;
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
  eb_energy *result = EBI_NEW_RESULT(context, eb_energy);
  eb_status status = EB_E_MEMORY;
  if (result != NULL) {
    ebi_energy_inputs in = {.context = context,
                            .house = house,
                            .rates = rates,
                            .ducts = ducts,
                            .arena = ebi_result_arena(result)};
    in.readings = options != NULL ? options->readings : NULL;
    in.detail = options != NULL && options->detail;
    status = calculate(&in, ledger, result);
  }
  if (status == EB_OK)
    *energy = result;
  else
    ebi_result_free(result);
  return status;
}

void eb_energy_free(const eb_energy *energy) {
  ebi_result_free(energy);
}
