/* energy_detail_json.c - the rest of the air's work as JSON */

#include "energy_detail.h"
#include "json.h"

/* A name and where the number stands. */
typedef struct number {
  const char *key;
  double value;
} number;

static void put_numbers(json_t *object, const number *numbers, size_t count) {
  for (size_t i = 0; i < count; i++)
    json_put_number(object, numbers[i].key, numbers[i].value);
}

#define PUT(object, numbers) put_numbers(object, numbers, sizeof(numbers) / sizeof *(numbers))

static json_t *numbered(const number *numbers, size_t count) {
  json_t *object = json_object();
  put_numbers(object, numbers, count);
  return object;
}

#define OBJECT(numbers) numbered(numbers, sizeof(numbers) / sizeof *(numbers))

static void put_flag(json_t *object, const char *key, bool flag) {
  json_put(object, key, json_boolean(flag));
}

static json_t *flags(const bool months[12]) {
  json_t *list = json_array();
  for (int i = 0; i < 12; i++)
    if (months[i])
      json_add(list, json_integer(i + 1));
  return list;
}

/* ---- Moisture ----------------------------------------------------------- */

static json_t *month_json(const eb_air_month *m) {
  const number numbers[] = {{"outdoor_c", m->outdoor_c},
                            {"outdoor_humidity_percent", m->outdoor_humidity * 100},
                            {"entering_c", m->entering_c},
                            {"indoor_c", m->indoor_c},
                            {"supply_c", m->supply_c},
                            {"rooms_c", m->rooms_c},
                            {"exhaust_c", m->exhaust_c},
                            {"dry_exhaust_c", m->dry_exhaust_c},
                            {"condensate_kg_per_day", m->condensate_kg_day},
                            {"indoor_humidity_percent", m->indoor_humidity * 100},
                            {"least_humidity_percent", m->least_humidity * 100},
                            {"surface_c", m->surface_c},
                            {"surface_humidity_percent", m->surface_humidity * 100},
                            {"safe_humidity_percent", m->safe_humidity * 100}};
  json_t *object = OBJECT(numbers);
  put_flag(object, "bypass", m->bypass);
  return object;
}

static json_t *condensate_json(const eb_condensate_point *p) {
  const number numbers[] = {{"outdoor_c", p->outdoor_c},
                            {"outdoor_humidity_percent", p->outdoor_humidity * 100},
                            {"indoor_humidity_percent", p->indoor_humidity * 100},
                            {"exhaust_c", p->exhaust_c},
                            {"condensate_kg_per_day", p->condensate_kg_day},
                            {"frost_kg_per_day", p->frost_kg_day}};
  return OBJECT(numbers);
}

static json_t *moisture_json(const eb_moisture_detail *m) {
  const number numbers[] = {{"production_kg_per_day", m->production_kg_day},
                            {"flow_l_s", m->flow_m3_s * 1e3},
                            {"moisture_ratio", m->moisture_ratio},
                            {"surface_factor", m->surface_factor},
                            {"condensate_kg", m->condensate_kg},
                            {"peak_kg_per_day", m->peak_kg_day},
                            {"peak_month", m->peak_month + 1},
                            {"drain_pa", m->drain_pa},
                            {"siphon_mm", m->siphon_m * 1e3}};
  json_t *object = OBJECT(numbers), *points = json_array();
  put_flag(object, "production_given", m->production_given);
  put_flag(object, "humidity_given", m->humidity_given);
  put_flag(object, "surface_factor_given", m->surface_factor_given);
  for (size_t i = 0; i < m->n_condensate; i++)
    json_add(points, condensate_json(&m->condensate[i]));
  json_put(object, "condensate", points);
  return object;
}

/* ---- Boost -------------------------------------------------------------- */

static json_t *boost_room_json(const eb_boost_room *room) {
  const number numbers[] = {{"flow_l_s", room->flow_m3_s * 1e3},
                            {"air_changes_per_h", room->air_changes_per_h},
                            {"removed_percent", room->removed * 100},
                            {"nine_tenths_min", room->nine_tenths_s / 60},
                            {"settled_g", room->settled_kg * 1e3},
                            {"drying_min", room->drying_s / 60},
                            {"after_humidity_percent", room->after_humidity * 100}};
  json_t *object = json_object();
  json_put_text(object, "name", room->name);
  PUT(object, numbers);
  return object;
}

static json_t *boost_json(const eb_boost_detail *b) {
  const number numbers[] = {{"run_min", b->run_s / 60},
                            {"per_day", b->per_day},
                            {"humidity_percent", b->humidity * 100},
                            {"added_l_s", b->added_m3_s * 1e3},
                            {"heat_kwh", b->heat_kwh},
                            {"no_recovery_kwh", b->no_recovery_kwh},
                            {"electricity_kwh", b->electricity_kwh}};
  json_t *object = OBJECT(numbers), *rooms = json_array();
  put_flag(object, "run_given", b->run_given);
  put_flag(object, "in_year", b->in_year);
  json_put(object, "refused_months", flags(b->refused));
  json_put(object, "endless_months", flags(b->endless));
  for (size_t i = 0; i < b->n_rooms; i++)
    json_add(rooms, boost_room_json(&b->rooms[i]));
  json_put(object, "rooms", rooms);
  return object;
}

static json_t *hood_json(const eb_hood_detail *h) {
  if (!(h->flow_m3_s > 0))
    return json_null();
  const number numbers[] = {{"flow_l_s", h->flow_m3_s * 1e3},
                            {"hours_per_day", h->hours_per_day},
                            {"heat_kwh", h->heat_kwh},
                            {"cooking_kg_per_day", h->cooking_kg_day},
                            {"captured_percent", h->captured * 100},
                            {"recirculating_humidity_percent", h->recirculating_humidity * 100},
                            {"extracting_humidity_percent", h->extracting_humidity * 100}};
  return OBJECT(numbers);
}

/* ---- Summer ------------------------------------------------------------- */

static json_t *run_json(const eb_summer_run *run) {
  const number numbers[] = {{"kelvin_hours", run->kelvin_hours}, {"hours", run->hours},
                            {"highest_c", run->highest_c},       {"removed_kwh", run->removed_kwh},
                            {"open_hours", run->open_hours},     {"fan_kwh", run->fan_kwh},
                            {"fan_heat_kwh", run->fan_heat_kwh}};
  json_t *object = json_object();
  json_put_text(object, "name", run->name);
  PUT(object, numbers);
  return object;
}

static json_t *summer_json(const eb_summer_detail *s) {
  const number numbers[] = {{"limit_c", s->limit_c},
                            {"gains_w", s->gains_w},
                            {"capacity_kwh_per_k", s->capacity_j_k / 3.6e6},
                            {"flow_l_s", s->flow_m3_s * 1e3},
                            {"normal_l_s", s->normal_m3_s * 1e3},
                            {"normal_w", s->normal_w},
                            {"level_w", s->level_w},
                            {"night_kwh", s->night_kwh},
                            {"free_cooling_kwh", s->free_cooling_kwh},
                            {"free_fan_kwh", s->free_fan_kwh},
                            {"heating_recovered_kwh", s->heating_recovered_kwh},
                            {"other_recovered_kwh", s->other_recovered_kwh},
                            {"heating_fan_kwh", s->heating_fan_kwh},
                            {"other_fan_kwh", s->other_fan_kwh}};
  json_t *object = OBJECT(numbers), *runs = json_array();
  json_put_text(object, "level", s->level);
  put_flag(object, "hourly", s->hourly);
  json_put(object, "heating_months", flags(s->heating));
  for (size_t i = 0; s->hourly && i < EB_SUMMER_RUNS; i++)
    json_add(runs, run_json(&s->runs[i]));
  json_put(object, "runs", runs);
  return object;
}

/* ---- Hot water ---------------------------------------------------------- */

static json_t *coil_json(const eb_coil_state *c) {
  const number numbers[] = {{"tank_c", c->tank_c},
                            {"ratio", c->ratio},
                            {"cooling_w", c->cooling_w},
                            {"outlet_c", c->outlet_c},
                            {"outlet_humidity_percent", c->outlet_humidity * 100},
                            {"condensate_kg_per_h", c->condensate_kg_h},
                            {"sensible_share", c->sensible_share}};
  return OBJECT(numbers);
}

static json_t *hot_month_json(const eb_hot_water_month *m) {
  const number numbers[] = {
      {"rooms_kwh", m->rooms_kwh},   {"water_kwh", m->water_kwh},
      {"pump_kwh", m->pump_kwh},     {"pump_electricity_kwh", m->pump_electricity_kwh},
      {"heater_kwh", m->heater_kwh}, {"short_kwh", m->short_kwh},
      {"source_c", m->source_c}};
  return OBJECT(numbers);
}

static void put_tank(json_t *object, const eb_hot_water_detail *h) {
  const number numbers[] = {{"compressor_w", h->compressor_w},
                            {"tank_l", h->tank_m3 * 1e3},
                            {"start_c", h->start_c},
                            {"limit_c", h->limit_c},
                            {"loss_w", h->loss_w},
                            {"draw_l_per_day", h->draw_m3_day * 1e3},
                            {"cold_c", h->cold_c},
                            {"inlet_c", h->inlet_c},
                            {"inlet_humidity_percent", h->inlet_humidity * 100},
                            {"flow_l_s", h->flow_m3_s * 1e3},
                            {"full_h", h->full_s / 3600},
                            {"stands_c", h->stands_c},
                            {"full_electricity_kwh", h->full_electricity_kwh},
                            {"full_heat_kwh", h->full_heat_kwh},
                            {"mean_ratio", h->mean_ratio},
                            {"cooling_once_kwh", h->cooling_once_kwh},
                            {"cooling_day_kwh", h->cooling_day_kwh},
                            {"weekly_c", h->weekly_c},
                            {"weekly_kwh", h->weekly_kwh},
                            {"weekly_year_kwh", h->weekly_year_kwh},
                            {"weekly_electricity_kwh", h->weekly_electricity_kwh}};
  PUT(object, numbers);
}

static json_t *hot_water_json(const eb_hot_water_detail *h) {
  if (!h)
    return json_null();
  const number numbers[] = {
      {"heater_w", h->heater_w},        {"asked_kwh", h->asked_kwh},
      {"pump_kwh", h->pump_kwh},        {"pump_electricity_kwh", h->pump_electricity_kwh},
      {"heater_kwh", h->heater_kwh},    {"short_kwh", h->short_kwh},
      {"heater_share", h->heater_share}};
  json_t *object = json_object(), *coils = json_array(), *months = json_array();
  put_tank(object, h);
  PUT(object, numbers);
  for (size_t i = 0; i < 2; i++)
    json_add(coils, coil_json(&h->coil[i]));
  for (size_t i = 0; i < 12; i++)
    json_add(months, hot_month_json(&h->months[i]));
  json_put(object, "coil", coils);
  json_put(object, "months", months);
  return object;
}

/* ---- What the weather and the envelope are ------------------------------ */

static json_t *degree_days_json(const eb_degree_day_row *row) {
  const number numbers[] = {{"base_c", row->base_c},
                            {"heating_k_d", row->heating_k_d},
                            {"cooling_k_d", row->cooling_k_d}};
  json_t *object = json_object();
  json_put_text(object, "rule", row->rule);
  PUT(object, numbers);
  put_flag(object, "jump", row->jump);
  json_put_text(object, "source", row->source);
  return object;
}

static json_t *leakage_json(const eb_leakage_point *p) {
  const number numbers[] = {{"n50_per_h", p->n50_per_h},
                            {"q50_m3_per_h_m2", p->q50_m3_h_m2},
                            {"saving_heat_kwh", p->saving_heat_kwh},
                            {"saving_electricity_kwh", p->saving_electricity_kwh},
                            {"saving_money", p->saving_money}};
  return OBJECT(numbers);
}

static json_t *specific_energy_json(const eb_energy_detail *detail) {
  json_t *object = json_object(), *rows = json_array();
  json_put_number(object, "power_w_per_m3_h", detail->power_wh_m3);
  for (size_t i = 0; i < 3; i++) {
    const eb_specific_energy_row *row = &detail->specific_energy[i];
    json_t *of = json_object();
    json_put_text(of, "climate", row->climate);
    json_put_number(of, "kwh_per_m2", row->kwh_m2);
    json_put_text(of, "class", row->grade);
    json_add(rows, of);
  }
  json_put(object, "climates", rows);
  return object;
}

void energy_detail_json(const eb_energy *energy, json_t *object) {
  const eb_energy_detail *detail = energy->detail;
  if (!detail)
    return;
  json_t *own = json_object(), *days = json_array(), *months = json_array(), *curve = json_array();
  for (size_t i = 0; i < detail->n_degree_days; i++)
    json_add(days, degree_days_json(&detail->degree_days[i]));
  for (size_t i = 0; i < 12; i++)
    json_add(months, month_json(&detail->months[i]));
  for (size_t i = 0; i < detail->n_leakage; i++)
    json_add(curve, leakage_json(&detail->leakage[i]));
  json_put(own, "degree_days", days);
  json_put(own, "months", months);
  json_put(own, "moisture", moisture_json(&detail->moisture));
  json_put(own, "boost", boost_json(&detail->boost));
  json_put(own, "hood", hood_json(&detail->hood));
  json_put(own, "summer", summer_json(&detail->summer));
  json_put(own, "hot_water", hot_water_json(detail->hot_water));
  json_put(own, "leakage_curve", curve);
  json_put(own, "break_even_heat", leakage_json(&detail->break_even_heat));
  json_put(own, "break_even_money", leakage_json(&detail->break_even_money));
  json_put(own, "specific_energy", specific_energy_json(detail));
  json_put(object, "detail", own);
}
