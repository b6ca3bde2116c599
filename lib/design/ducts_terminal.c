/* ducts_terminal.c - the ends of runs at rooms: shares, valves, openings */

#include <math.h>
#include <string.h>

#include "design/ducts.h"

#define SHARE_SLACK 1e-6
#define LEAST_K 1e-9 /* m3/s per Pa^0.5 */

/* ---- Shares ---- */

typedef struct room_shares {
  double given;   /* sum of those given */
  size_t without; /* how many have none */
  const ebi_run *last;
} room_shares;

static eb_status check_shares(const ebi_side *side, size_t room, const room_shares *shares) {
  double sum = shares->given;
  bool short_of = shares->without == 0 && sum < 1.0 - SHARE_SLACK;
  bool over = sum > 1.0 + SHARE_SLACK || (shares->without > 0 && sum > 1.0 - SHARE_SLACK);
  if (shares->last == NULL || (!short_of && !over))
    return EB_OK;
  ebi_diag(
      side->job->context, EB_ERROR, "share", shares->last->share.where, NULL,
      "the %s runs of %s are given %.4g %% of its flow together%s: shares must add up to 100 %%",
      side->name, side->job->house->rooms[room].name, 100.0 * sum,
      shares->without > 0 ? ", and others share the rest" : "");
  return EB_E_INPUT;
}

/* Each terminal's share of its room's flow: as given, the rest in equal parts. */
static eb_status share_out(ebi_side *side) {
  size_t n_rooms = side->job->house->n_rooms;
  room_shares *rooms = EBI_NEW_ARRAY(side->job->scratch, room_shares, n_rooms);
  if (rooms == NULL)
    return EB_E_MEMORY;
  for (size_t t = 0; t < side->n_terminals; t++) {
    const ebi_run *run = side->runs[side->terminals[t].run].run;
    room_shares *room = &rooms[side->terminals[t].room];
    room->given += run->share.given ? run->share.value : 0.0;
    room->without += run->share.given ? 0 : 1;
    room->last = run->share.given ? run : room->last;
  }
  eb_status status = EB_OK;
  for (size_t r = 0; r < n_rooms; r++)
    if (check_shares(side, r, &rooms[r]) != EB_OK)
      status = EB_E_INPUT;
  for (size_t t = 0; t < side->n_terminals; t++) {
    ebi_terminal *terminal = &side->terminals[t];
    const ebi_run *run = side->runs[terminal->run].run;
    const room_shares *room = &rooms[terminal->room];
    terminal->share =
        run->share.given ? run->share.value : (1.0 - room->given) / (double)room->without;
  }
  return status;
}

/* ---- Valve curves ---- */

static const ebi_curve *loss_curve(ebi_arena *arena, const ebi_valve *valve) {
  double *opening = EBI_NEW_ARRAY(arena, double, valve->n_loss);
  double *k = EBI_NEW_ARRAY(arena, double, valve->n_loss);
  if (opening == NULL || k == NULL)
    return NULL;
  for (size_t i = 0; i < valve->n_loss; i++) {
    opening[i] = valve->loss[i].x;
    k[i] = valve->loss[i].y;
  }
  return ebi_curve_new(arena, opening, k, valve->n_loss);
}

static bool is_boost(const char *level) {
  return strcmp(level, "boost") == 0;
}

bool ebi_terminal_fixed(const ebi_side *side, const ebi_terminal *terminal, const char *level,
                        double *opening) {
  const ebi_run_valve *valve = &side->runs[terminal->run].run->valve;
  const ebi_given *given = &valve->opening;
  if (valve->two_position)
    given = is_boost(level) && valve->boost.given ? &valve->boost : &valve->normal;
  if (given->given)
    *opening = given->value;
  return given->given;
}

static double k_at(const ebi_curve *loss, double opening) {
  return fmax(ebi_curve_held(loss, opening).y, LEAST_K);
}

void ebi_side_set_valves(ebi_side *side, const char *level) {
  for (size_t t = 0; t < side->n_terminals; t++) {
    ebi_terminal *terminal = &side->terminals[t];
    if (terminal->valve == EBI_NONE)
      continue;
    double opening = terminal->opening;
    if (side->runs[terminal->run].run->valve.two_position)
      ebi_terminal_fixed(side, terminal, level, &opening);
    ebi_element *elements = ebi_network_elements(side->network, terminal->part, NULL);
    elements[terminal->valve].as.valve.k = k_at(terminal->loss, opening);
  }
}

/* A fixed opening beyond the valve's curve is held at its end. */
static void check_opening(const ebi_side *side, const ebi_terminal *terminal,
                          const ebi_given *opening) {
  const ebi_run *run = side->runs[terminal->run].run;
  double low = ebi_curve_first(terminal->loss), high = ebi_curve_last(terminal->loss);
  if (opening->given && (opening->value < low || opening->value > high))
    ebi_diag(side->job->context, EB_WARNING, "opening-range", opening->where, NULL,
             "run %s sets its valve to %.4g %s, but the curve of %s goes from %.4g to %.4g: taken "
             "as %.4g",
             run->name, opening->value, run->valve.type->opening_unit, run->valve.type->entry.name,
             low, high, fmin(fmax(opening->value, low), high));
}

/* ---- Terminals ---- */

static bool has_duty(const ebi_side *side, size_t room) {
  const eb_room_rates *rates = &side->job->rates->rooms[room];
  const eb_duty *duty = side->supply ? rates->supply : rates->extract;
  for (size_t l = 0; duty != NULL && l < side->job->rates->n_levels; l++)
    if (duty[l].design_m3_s > 0.0)
      return true;
  return false;
}

static ebi_element valve_element(void) {
  ebi_element element = {.kind = EBI_ELEMENT_VALVE, .parallel = 1.0};
  element.as.valve.k = 1.0;
  return element;
}

static ebi_element restrictor_element(const ebi_run_valve *valve) {
  ebi_element element = {.kind = EBI_ELEMENT_POWER, .parallel = 1.0};
  element.as.power.drop = valve->restrictor_drop.value;
  element.as.power.at = valve->restrictor_at.value;
  element.as.power.exponent = 2.0;
  return element;
}

/* A valve's curve holds the entry or exit too, as does a grille among the run's fittings; else
 * that is a loss of its own. */
static size_t terminal_elements(const ebi_side *side, ebi_terminal *terminal,
                                ebi_element elements[2]) {
  const ebi_side_run *run = &side->runs[terminal->run];
  const ebi_run_valve *valve = &run->run->valve;
  size_t count = 0;
  if (valve->restrictor_drop.given)
    elements[count++] = restrictor_element(valve);
  terminal->valve = terminal->loss != NULL ? count : EBI_NONE;
  if (terminal->loss != NULL)
    elements[count++] = valve_element();
  else if (!ebi_run_has_end(run->run))
    elements[count++] = ebi_open_end(run, side->supply);
  return count;
}

size_t ebi_terminal_open_elements(const ebi_side *side, const ebi_terminal *terminal,
                                  const char *level, ebi_element elements[2]) {
  ebi_terminal open = *terminal;
  size_t count = terminal_elements(side, &open, elements);
  if (open.valve == EBI_NONE)
    return count;
  double opening = ebi_curve_last(open.loss);
  (void)ebi_terminal_fixed(side, terminal, level, &opening);
  elements[open.valve].as.valve.k = k_at(open.loss, opening);
  return count;
}

static eb_status add_terminal(ebi_side *side, size_t number) {
  ebi_side_run *run = &side->runs[number];
  ebi_terminal *terminal = &side->terminals[side->n_terminals++];
  size_t room = (side->supply ? &run->to : &run->from)->number;
  *terminal = (ebi_terminal){.run = number,
                             .order = side->job->terminal_order[run->number],
                             .room = room,
                             .idle = !has_duty(side, room)};
  const ebi_valve *type = run->run->valve.type;
  if (type == NULL)
    return EB_OK;
  terminal->loss = loss_curve(side->job->scratch, type);
  if (terminal->loss == NULL)
    return EB_E_MEMORY;
  terminal->opening = ebi_curve_last(terminal->loss);
  check_opening(side, terminal, &run->run->valve.opening);
  check_opening(side, terminal, &run->run->valve.normal);
  check_opening(side, terminal, &run->run->valve.boost);
  return EB_OK;
}

static eb_status connect_terminal(ebi_side *side, ebi_terminal *terminal) {
  const ebi_side_run *run = &side->runs[terminal->run];
  ebi_element elements[2];
  size_t count = terminal_elements(side, terminal, elements);
  ebi_node inner = (side->supply ? &run->to : &run->from)->node;
  ebi_node room = side->job->house_air.node[terminal->room];
  terminal->part = ebi_network_part(side->network, run->run->name, side->supply ? inner : room,
                                    side->supply ? room : inner, run->air, elements, count);
  if (terminal->part == EBI_NONE)
    return EB_E_MEMORY;
  if (terminal->idle)
    ebi_network_close(side->network, terminal->part, true);
  return EB_OK;
}

eb_status ebi_side_add_terminals(ebi_side *side) {
  side->terminals = EBI_NEW_ARRAY(side->job->scratch, ebi_terminal, side->n_runs);
  if (side->terminals == NULL)
    return EB_E_MEMORY;
  for (size_t i = 0; i < side->n_runs; i++) {
    const ebi_end *end = side->supply ? &side->runs[i].to : &side->runs[i].from;
    if (end->kind == EBI_END_ROOM && add_terminal(side, i) != EB_OK)
      return EB_E_MEMORY;
  }
  return share_out(side);
}

eb_status ebi_side_connect_terminals(ebi_side *side) {
  for (size_t t = 0; t < side->n_terminals; t++)
    if (connect_terminal(side, &side->terminals[t]) != EB_OK)
      return EB_E_MEMORY;
  return EB_OK;
}
