/* balance_json.c - the JSON of `balance` */

#include <math.h>

#include "balance.h"
#include "controller.h"
#include "json.h"

static void put_flow(json_t *object, const char *key, double m3_s) {
  json_put_number(object, key, 1e3 * m3_s);
}

static json_t *status_json(const eb_balance_status *status) {
  json_t *object = json_object();
  json_put_text(object, "verdict", verdict_name(status->verdict));
  json_put(object, "legal_pass",
           status->legal_known ? json_boolean(status->legal_pass) : json_null());
  json_put_number(object, "probability_percent", 100 * status->probability);
  json_put_number(object, "reach_probability_percent", 100 * status->reach_probability);
  bool read = status->legal_known;
  put_flow(object, "supply_total_l_s", read ? status->supply_total_m3_s : (double)NAN);
  put_flow(object, "extract_total_l_s", read ? status->extract_total_m3_s : (double)NAN);
  json_put_number(object, "imbalance_percent", read ? 100 * status->imbalance : (double)NAN);
  json_put_text(object, "rule", status->rule);
  json_put_text(object, "source", status->source);
  json_put_number(object, "over_supply_percent", 100 * status->over_supply);
  json_put_text(object, "limit", status->limit[0] ? status->limit : NULL);
  json_put_text(object, "needs", status->needs[0] ? status->needs : NULL);
  json_put(object, "readings", json_integer((json_int_t)status->n_readings));
  return object;
}

static json_t *terminal_json(const eb_balance_terminal *t) {
  json_t *object = json_object();
  json_put_text(object, "run", t->run);
  json_put_text(object, "room", t->room);
  json_put_text(object, "side", t->supply ? "supply" : "extract");
  put_flow(object, "required_l_s", t->required_m3_s);
  put_flow(object, "design_l_s", t->design_m3_s);
  put_flow(object, "target_l_s", t->target_m3_s);
  put_flow(object, "measured_l_s", t->measured_m3_s);
  put_flow(object, "measured_error_l_s", t->measured_error_m3_s);
  put_flow(object, "now_l_s", t->now_m3_s);
  put_flow(object, "now_error_l_s", t->now_error_m3_s);
  put_flow(object, "predicted_l_s", t->predicted_m3_s);
  put_flow(object, "predicted_error_l_s", t->predicted_error_m3_s);
  json_put_number(object, "opening", t->has_opening ? t->opening : (double)NAN);
  json_put_number(object, "next_opening", t->has_opening ? t->next_opening : (double)NAN);
  json_put_text(object, "opening_unit", t->has_opening ? t->opening_unit : NULL);
  json_put(object, "turn_it", json_boolean(t->move));
  json_put(object, "read_again", json_boolean(t->read_again));
  json_put_text(object, "why", t->why[0] ? t->why : NULL);
  json_put_text(object, "unread", t->unread);
  json_put(object, "passes", isfinite(t->measured_m3_s) ? json_boolean(t->passes) : json_null());
  put_flow(object, "low_l_s", t->low_m3_s);
  put_flow(object, "high_l_s", t->high_m3_s);
  return object;
}

static json_t *round_json(const eb_balance *balance, const eb_balance_round *round) {
  json_t *object = json_object(), *terminals = json_array();
  json_put(object, "number", json_integer((json_int_t)round->number));
  json_put_text(object, "level", round->level);
  for (size_t i = 0; i < balance->n_terminals; i++) {
    const eb_balance_reading *reading = &round->readings[i];
    json_t *terminal = json_object();
    json_put_text(terminal, "run", balance->terminals[i].run);
    put_flow(terminal, "design_l_s", reading->design_m3_s);
    put_flow(terminal, "measured_l_s", reading->measured_m3_s);
    put_flow(terminal, "error_l_s", reading->error_m3_s);
    json_put(terminal, "passes",
             isfinite(reading->measured_m3_s) ? json_boolean(reading->passes) : json_null());
    json_add(terminals, terminal);
  }
  json_put(object, "terminals", terminals);
  return object;
}

static json_t *level_json(const eb_controller *controller, const eb_balance_level *level) {
  json_t *object = json_object();
  controller_json(object, "supply_percent", "supply_signal", controller, level->supply_signal);
  controller_json(object, "extract_percent", "extract_signal", controller, level->extract_signal);
  put_flow(object, "supply_l_s", level->supply_m3_s);
  put_flow(object, "supply_error_l_s", level->supply_error_m3_s);
  put_flow(object, "extract_l_s", level->extract_m3_s);
  put_flow(object, "extract_error_l_s", level->extract_error_m3_s);
  json_put_number(object, "imbalance_percent", 100 * level->imbalance);
  json_put_number(object, "power_w", if_any(level->power_w));
  json_put(object, "limited", json_boolean(level->limited));
  json_put(object, "extrapolated", json_boolean(level->beyond));
  return object;
}

static json_t *suspect_json(const eb_suspect *suspect) {
  json_t *object = json_object();
  json_put_text(object, "code", suspect->code);
  json_put_text(object, "run", suspect->run);
  json_put_text(object, "other", suspect->other[0] ? suspect->other : NULL);
  json_put_number(object, "factor", suspect->factor);
  json_put_number(object, "probability_percent", 100 * suspect->probability);
  json_put_text(object, "message", suspect->message);
  return object;
}

static json_t *unknown_json(const eb_balance_unknown *unknown) {
  json_t *object = json_object();
  json_put_text(object, "what", unknown->what);
  json_put_text(object, "of", unknown->of);
  json_put_number(object, "expected", unknown->expected);
  json_put_number(object, "expected_error", unknown->expected_error);
  json_put_number(object, "found", unknown->found);
  json_put_number(object, "found_error", unknown->found_error);
  return object;
}

bool balance_json(const cli_run *run, json_t *object) {
  const eb_balance *balance = run->balance;
  json_put_text(object, "set_level", balance->set_level);
  json_put(object, "readings_each", json_integer((json_int_t)balance->readings_each));
  json_put(object, "status", status_json(&balance->status));
  json_t *terminals = json_array(), *fans = json_object(), *suspects = json_array(),
         *unknowns = json_array(), *checks = json_array(), *rounds = json_array();
  for (size_t i = 0; i < balance->n_terminals; i++)
    json_add(terminals, terminal_json(&balance->terminals[i]));
  for (size_t i = 0; i < balance->n_levels; i++)
    json_put(fans, balance->levels[i].name, level_json(&balance->controller, &balance->levels[i]));
  for (size_t i = 0; i < balance->n_suspects; i++)
    json_add(suspects, suspect_json(&balance->suspects[i]));
  for (size_t i = 0; i < balance->n_unknowns; i++)
    json_add(unknowns, unknown_json(&balance->unknowns[i]));
  for (size_t i = 0; i < balance->n_checks; i++)
    json_add(checks, json_string(balance->checks[i]));
  for (size_t i = 0; i < balance->n_rounds; i++)
    json_add(rounds, round_json(balance, &balance->rounds[i]));
  json_put(object, "terminals", terminals);
  json_put(object, "rounds", rounds);
  json_put(object, "fans", fans);
  json_put(object, "suspects", suspects);
  json_put(object, "unknowns", unknowns);
  json_put(object, "checks", checks);
  return json_complete();
}
