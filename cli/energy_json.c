/* energy_json.c - a year as JSON */

#include "energy_json.h"

#include "json.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

typedef struct number {
  const char *key;
  double value;
} number;

static void put_numbers(json_t *object, const number *numbers, size_t count) {
  for (size_t i = 0; i < count; i++)
    json_put_number(object, numbers[i].key, numbers[i].value);
}

static json_t *month_json(const eb_energy_month *month) {
  const number numbers[] = {{"outdoor_c", month->outdoor_c},
                            {"heating_degree_days", month->heating_degree_days},
                            {"ventilation_heat_kwh", month->ventilation_heat_kwh},
                            {"recovered_heat_kwh", month->recovered_heat_kwh},
                            {"gross_recovered_kwh", month->gross_recovered_kwh},
                            {"recovered_in_heating_kwh", month->recovered_heating_kwh},
                            {"net_heat_kwh", month->net_heat_kwh},
                            {"fan_kwh", month->fan_kwh},
                            {"frost_kwh", month->frost_kwh},
                            {"baseline_heat_kwh", month->baseline_heat_kwh}};
  json_t *object = json_object();
  put_numbers(object, numbers, COUNT(numbers));
  return object;
}

static json_t *months_json(const eb_energy *energy) {
  json_t *months = json_array();
  for (size_t i = 0; i < COUNT(energy->months); i++)
    json_add(months, month_json(&energy->months[i]));
  return months;
}

static json_t *method_json(const eb_energy_method *method) {
  const number numbers[] = {{"heating_degree_days", method->heating_degree_days},
                            {"no_recovery_kwh", method->no_recovery_kwh},
                            {"net_heat_kwh", method->net_heat_kwh},
                            {"recovered_heat_kwh", method->recovered_heat_kwh},
                            {"gross_recovered_kwh", method->gross_recovered_kwh},
                            {"recovered_in_heating_kwh", method->recovered_heating_kwh},
                            {"baseline_heat_kwh", method->baseline_heat_kwh},
                            {"saving_heat_kwh", method->saving_heat_kwh}};
  json_t *object = json_object();
  json_put_text(object, "name", method->name);
  json_put_text(object, "rule", method->rule);
  put_numbers(object, numbers, COUNT(numbers));
  return object;
}

static json_t *methods_json(const eb_energy *energy) {
  json_t *methods = json_array();
  for (size_t i = 0; i < energy->n_methods; i++)
    json_add(methods, method_json(&energy->methods[i]));
  return methods;
}

static json_t *frost_json(const eb_frost *frost) {
  const number numbers[] = {{"below_c", frost->below_c},
                            {"hours", frost->hours},
                            {"electricity_kwh", frost->electricity_kwh},
                            {"useful_kwh", frost->useful_kwh},
                            {"lost_recovery_kwh", frost->lost_recovery_kwh},
                            {"lost_air_m3", frost->lost_air_m3}};
  json_t *object = json_object();
  json_put_text(object, "method", frost->method);
  put_numbers(object, numbers, COUNT(numbers));
  return object;
}

static json_t *baseline_json(const eb_energy *energy) {
  const number numbers[] = {{"air_change_per_h", energy->baseline_air_change_per_h},
                            {"base_temperature_c", energy->baseline_base_temperature_c},
                            {"heat_kwh", energy->baseline_heat_kwh},
                            {"fan_kwh", energy->baseline_fan_kwh}};
  json_t *object = json_object();
  json_put_text(object, "name", energy->baseline_name);
  put_numbers(object, numbers, COUNT(numbers));
  json_put_text(object, "kind", energy->baseline_kind);
  json_put_text(object, "why", energy->baseline_why);
  return object;
}

/* null where no price or factor was given. */
static void put_if(json_t *object, const char *key, bool given, double value) {
  json_put(object, key, given ? json_real(value) : json_null());
}

static json_t *saving_json(const eb_energy *energy) {
  json_t *object = json_object();
  json_put_number(object, "heat_kwh", energy->saving_heat_kwh);
  json_put_number(object, "electricity_kwh", energy->saving_electricity_kwh);
  put_if(object, "money", energy->saving.given, energy->saving.money);
  json_put_text(object, "currency", energy->saving.given ? energy->saving.currency : NULL);
  put_if(object, "carbon_kg", energy->saving.carbon_given, energy->saving.carbon_kg);
  return object;
}

static void put_figures(const eb_energy *energy, json_t *object) {
  const number numbers[] = {{"air_constant_wh_per_m3_k", energy->air_constant_wh_m3_k},
                            {"ventilation_flow_l_s", energy->ventilation_flow_m3_s * 1e3},
                            {"temperature_ratio", energy->temperature_ratio},
                            {"fresh_air_ratio", energy->fresh_air_ratio},
                            {"measured_unbalance", energy->measured_unbalance},
                            {"infiltration_per_h", energy->infiltration_per_h},
                            {"duct_loss_w_per_k", energy->duct_loss_w_k},
                            {"fan_heat_w", energy->fan_heat_w},
                            {"heat_loss_w_per_k", energy->heat_loss_w_k},
                            {"heat_loss_no_recovery_w_per_k", energy->heat_loss_no_recovery_w_k},
                            {"base_temperature_c", energy->base_temperature_c},
                            {"heating_degree_days", energy->heating_degree_days},
                            {"ventilation_heat_kwh", energy->ventilation_heat_kwh},
                            {"recovered_heat_kwh", energy->recovered_heat_kwh},
                            {"gross_recovered_kwh", energy->gross_recovered_kwh},
                            {"recovered_in_heating_kwh", energy->recovered_heating_kwh},
                            {"fan_kwh", energy->fan_kwh},
                            {"standby_kwh", energy->standby_kwh},
                            {"frost_kwh", energy->frost_kwh},
                            {"net_heat_kwh", energy->net_heat_kwh}};
  json_put_text(object, "climate", energy->climate);
  json_put_text(object, "method", energy->method);
  put_numbers(object, numbers, COUNT(numbers));
}

void energy_json(const eb_energy *energy, json_t *object) {
  put_figures(energy, object);
  json_put(object, "methods", methods_json(energy));
  json_put(object, "frost", frost_json(&energy->frost));
  json_put(object, "baseline", baseline_json(energy));
  json_put(object, "saving", saving_json(energy));
  json_put(object, "months", months_json(energy));
}
