/* methods_money.c - money, carbon and the uncertainty of a ratio, as case rows ask for them */

#include <math.h>

#include "design/energy.h"
#include "methods.h"
#include "physics/ratio_uncertainty.h"

#define METHOD(name) static eb_status name(const double *in, int n_in, double *out)
#define IGNORE_COUNT (void)n_in
#define JOULES_PER_KWH 3.6e6

/* Physics functions answer NAN outside their range. */
static eb_status checked(double *out, double value) {
  *out = value;
  return isfinite(value) ? EB_OK : EB_E_RANGE;
}

METHOD(annuity) {
  IGNORE_COUNT;
  return checked(out, eb_annuity_factor(in[0], in[1]));
}

METHOD(present_value) {
  IGNORE_COUNT;
  return checked(out, eb_net_present_value(in[0], in[1], in[2], in[3], in[4]));
}

METHOD(payback) {
  IGNORE_COUNT;
  return checked(out, eb_payback(in[0], in[1]));
}

METHOD(discounted_payback) {
  IGNORE_COUNT;
  return checked(out, eb_discounted_payback(in[0], in[1], in[2], in[3]));
}

METHOD(internal_rate) {
  IGNORE_COUNT;
  return checked(out, eb_internal_rate(in[0], in[1], in[2], in[3]));
}

METHOD(annual_cost) {
  IGNORE_COUNT;
  return checked(out, eb_annual_cost(in[0], in[1], in[2]));
}

/* Heat saved, efficiency, electricity saved, then price and carbon of each: money and carbon. */
METHOD(saved) {
  IGNORE_COUNT;
  ebi_climate climate = {.days = {365.0}};
  eb_house house = {.climate = &climate, .currency = "GBP"};
  house.heating = (ebi_tariff){.given = true,
                               .price = in[3] / JOULES_PER_KWH,
                               .carbon = {in[5] / JOULES_PER_KWH, true, {0}},
                               .efficiency = in[1],
                               .date = "2026-11",
                               .source = "invented"};
  house.electricity = house.heating;
  house.electricity.price = in[4] / JOULES_PER_KWH;
  house.electricity.carbon.value = in[6] / JOULES_PER_KWH;
  ebi_energy_inputs inputs = {.house = &house};
  eb_energy energy = {.saving_heat_kwh = in[0], .saving_electricity_kwh = in[2]};
  eb_status status = ebi_energy_money(&inputs, &energy);
  out[0] = energy.saving.money;
  out[1] = energy.saving.carbon_kg;
  return status;
}

METHOD(ratio_uncertainty) {
  IGNORE_COUNT;
  return checked(out, eb_ratio_uncertainty(in[0], in[1], in[2], in[3]));
}

METHOD(residual_uncertainty) {
  IGNORE_COUNT;
  return checked(out, ebi_residual_uncertainty(in[0], in[1]));
}

const case_method case_methods_money[] = {
    {"money.annuity", 2, 1, annuity},
    {"money.present_value", 5, 1, present_value},
    {"money.payback", 2, 1, payback},
    {"money.discounted_payback", 4, 1, discounted_payback},
    {"money.internal_rate", 4, 1, internal_rate},
    {"money.annual_cost", 3, 1, annual_cost},
    {"money.saved", 7, 2, saved},
    {"ratio.uncertainty", 4, 1, ratio_uncertainty},
    {"ratio.residual_uncertainty", 2, 1, residual_uncertainty},
    {0},
};
