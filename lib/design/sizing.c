/* sizing.c - sizes for the runs that have none */

#include "design/sizing.h"

#include <math.h>
#include <string.h>

/* The most there may be where the house does not say: practice of quiet continuous
 * ventilation, from memory. */
static const double usual_velocity[] = {
    [EBI_PLACE_MAIN] = 3.0, [EBI_PLACE_BRANCH] = 2.5, [EBI_PLACE_TERMINAL] = 2.0};

#define USUAL_FRICTION 0.7 /* Pa/m, in dwellings; from memory */

static const char *const method_names[] = {
    [EB_SIZING_LIFE_CYCLE] = "life-cycle",
    [EB_SIZING_EQUAL_FRICTION] = "equal-friction",
    [EB_SIZING_VELOCITY] = "velocity",
    [EB_SIZING_STATIC_REGAIN] = "static-regain",
};

const char *ebi_sizing_method_name(eb_sizing method) {
  return method_names[method];
}

/* ---- What there is to do ---- */

/* How many runs need a size; one with nothing to choose from is an error. */
static eb_status count_open(const ebi_ducts_job *job, size_t *count) {
  eb_status status = EB_OK;
  *count = 0;
  for (size_t i = 0; i < job->house->n_runs; i++) {
    const ebi_run *run = &job->house->runs[i];
    *count += run->sized ? 0 : 1;
    if (run->sized || run->n_choices > 0)
      continue;
    ebi_diag(job->context, EB_ERROR, "duct-unsized", run->duct_where, NULL,
             "run %s names no duct and none to choose from: write for example \"duct: steel-125\", "
             "or \"duct: steel\" to have its size chosen",
             run->name);
    status = EB_E_INPUT;
  }
  return status;
}

static eb_sizing method_of(const ebi_ducts_job *job) {
  if (job->sizing != EB_SIZING_AS_GIVEN)
    return job->sizing;
  const char *given = job->house->sizing.method;
  for (size_t m = EB_SIZING_LIFE_CYCLE; given != NULL && m <= EB_SIZING_STATIC_REGAIN; m++)
    if (strcmp(given, method_names[m]) == 0)
      return (eb_sizing)m;
  return EB_SIZING_LIFE_CYCLE;
}

/* Equal friction and regain are not to be disturbed by limits that nobody asked for. */
static void set_limits(ebi_sizer *sizer) {
  const ebi_sizing *given = sizer->given;
  const ebi_given *velocity[] = {&given->main_velocity, &given->branch_velocity,
                                 &given->terminal_velocity};
  bool usual = sizer->method == EB_SIZING_LIFE_CYCLE || sizer->method == EB_SIZING_VELOCITY;
  for (size_t p = 0; p < 3; p++)
    sizer->velocity[p] = velocity[p]->given ? velocity[p]->value
                         : usual            ? usual_velocity[p]
                                            : HUGE_VAL;
  sizer->friction = given->friction.given ? given->friction.value : USUAL_FRICTION;
}

/* ---- Choosing ---- */

eb_status ebi_sizing_choose(ebi_sizer *sizer, ebi_sizing_side *s) {
  switch (sizer->method) {
  case EB_SIZING_EQUAL_FRICTION:
    return ebi_sizing_by_friction(sizer, s);
  case EB_SIZING_VELOCITY:
    return ebi_sizing_by_velocity(sizer, s);
  case EB_SIZING_STATIC_REGAIN:
    return ebi_sizing_by_regain(sizer, s);
  default:
    return ebi_sizing_search(sizer, s);
  }
}

/* The price of a Pa follows the pressure, until it stays within this share. */
#define SAME_PRICE 0.01
#define PRICE_PASSES 4

/* Again while the price of a Pa at the pressure found is another. */
static eb_status choose_at_its_price(ebi_sizer *sizer, ebi_sizing_side *s) {
  eb_status status = ebi_sizing_choose(sizer, s);
  for (int pass = 0; status == EB_OK && pass < PRICE_PASSES; pass++) {
    double before = s->per_pa;
    status = ebi_sizing_price_pa(sizer, s, s->pressure);
    if (fabs(s->per_pa - before) <= SAME_PRICE * before) {
      s->per_pa = before; /* that of the cost reported */
      break;
    }
    if (status == EB_OK)
      status = ebi_sizing_choose(sizer, s);
  }
  return status;
}

/* A first guess by velocity gives the pressure at which the fan's power is looked up. */
static eb_status size_side(ebi_sizer *sizer, ebi_side *side, ebi_sizing_side *s) {
  s->side = side;
  s->most_pa = sizer->given->pressure.given ? sizer->given->pressure.value : HUGE_VAL;
  if (side->n_runs == 0)
    return EB_OK;
  eb_status status = ebi_sizing_tree(sizer, s);
  if (status != EB_OK || s->n_open == 0)
    return status;
  ebi_sizing_allow(sizer, s);
  status = ebi_sizing_by_velocity(sizer, s);
  if (status == EB_OK)
    status = ebi_sizing_price_pa(sizer, s, s->pressure);
  if (status == EB_OK)
    status = choose_at_its_price(sizer, s);
  return status == EB_OK ? ebi_sizing_quieten(sizer, s) : status;
}

static void hand_over(const ebi_sizing_side *s) {
  for (size_t e = 0; e < s->n_edges; e++)
    if (s->edges[e].open)
      s->side->job->runs[s->side->runs[s->edges[e].run].number] = &s->edges[e].copy;
}

/* ---- What is said of it ---- */

ebi_where ebi_sizing_where(const ebi_sizer *sizer) {
  return sizer->given->given ? sizer->given->where : sizer->job->house->where;
}

static void say_how(const ebi_sizer *sizer) {
  const ebi_sizing_money *money = &sizer->money;
  ebi_diag(sizer->job->context, EB_NOTE, "sizing", ebi_sizing_where(sizer), NULL,
           "sizes chosen by %s; a Pa costs what its electricity does in %.4g years of %.4g h/day "
           "at %.4g per kWh%s and %.4g %% interest%s; ducts and fittings at the prices of the "
           "house or the tables (those invented), tees, boxes and valves not counted",
           method_names[sizer->method], money->years, money->hours, 3.6e6 * money->per_joule,
           money->price_assumed ? " (invented: costs: electricity)" : "", 100.0 * money->interest,
           money->efficiency_assumed ? ", the fans being 35 % efficient (assumed)" : "");
}

static void say_velocities(const ebi_sizer *sizer) {
  const ebi_sizing *given = sizer->given;
  if (isinf(sizer->velocity[0]) || (given->main_velocity.given && given->branch_velocity.given &&
                                    given->terminal_velocity.given))
    return;
  ebi_diag(
      sizer->job->context, EB_NOTE, "sizing-velocity-usual", ebi_sizing_where(sizer), NULL,
      "air is to have at most %.3g m/s in mains, %.3g in branches and %.3g in runs that end at "
      "a room: what `sizing: {velocity: {main, branch, terminal}}` does not say is usual in "
      "quiet dwellings",
      sizer->velocity[0], sizer->velocity[1], sizer->velocity[2]);
}

static void say_limits(const ebi_sizer *sizer, const ebi_sizing_side *s) {
  const ebi_given *most = &sizer->given->pressure;
  if (most->given && s->pressure > most->value * (1.0 + 1e-9))
    ebi_diag(
        sizer->job->context, EB_WARNING, "sizing-pressure", most->where, NULL,
        "the %s ducts ask %.1f Pa of the fan, more than pressure_at_most: %.4g Pa. No sizes to "
        "choose from within the other limits ask less; %.0f Pa, or larger ducts, would do",
        s->side->name, s->pressure, most->value, ceil(s->pressure));
  if (s->asked_pa > s->available_pa)
    ebi_diag(sizer->job->context, EB_WARNING, "sizing-boost", sizer->job->house->unit_where, NULL,
             "at boost the %s ducts ask %.1f Pa, but the fan can raise %.1f Pa there: larger ducts "
             "or less flow at boost would do",
             s->side->name, s->asked_pa, fmax(s->available_pa, 0.0));
  if (s->looped)
    ebi_diag(sizer->job->context, EB_NOTE, "sizing-loops", ebi_sizing_where(sizer), NULL,
             "the %s ducts form loops: their sizes are good, not proven best. Each loop was broken "
             "where least flows, that tree sized exactly, then single runs changed while the cost "
             "of the whole fell",
             s->side->name);
}

eb_status ebi_ducts_size(ebi_ducts_job *job) {
  size_t count;
  eb_status status = count_open(job, &count);
  if (status != EB_OK || count == 0)
    return status;
  ebi_sizer *sizer = EBI_NEW(job->scratch, ebi_sizer);
  if (sizer == NULL)
    return EB_E_MEMORY;
  *sizer = (ebi_sizer){.job = job, .given = &job->house->sizing, .method = method_of(job)};
  job->sizer = sizer;
  set_limits(sizer);
  ebi_sizing_money_start(sizer);
  for (int i = 0; status == EB_OK && i < EBI_SIDES; i++)
    status = size_side(sizer, &job->side[i], &sizer->side[i]);
  if (status != EB_OK)
    return status;
  say_how(sizer);
  say_velocities(sizer);
  for (int i = 0; i < EBI_SIDES; i++) {
    hand_over(&sizer->side[i]);
    if (sizer->side[i].n_open == 0)
      continue;
    say_limits(sizer, &sizer->side[i]);
    ebi_sizing_say_method(sizer, &sizer->side[i]);
  }
  return ebi_sizing_result(sizer);
}
