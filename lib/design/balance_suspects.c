/* balance_suspects.c - what else would explain the readings
 *
 * Each thing that goes wrong on site is a guess: a prior made wide about where the
 * fault would put an unknown, or a reading taken as another. Guesses are first weighed
 * with the laws straight about what was expected (numeric/evidence.c); the weightiest are tried
 * by a fit of their own, and the one that the readings speak for most is taken, until
 * none is worth its own unlikeliness. */

#include <math.h>

#include "design/balance.h"

/* How often one meets it in one place, ln (own estimates of common practice, no source). */
#define SELDOM_RUN (-5.0)
#define SELDOM_JOINT (-6.0)
#define SELDOM_VALVE (-6.0)
#define SELDOM_FAN (-4.5)
#define SELDOM_SLIP (-6.0)
#define SELDOM_SWAP (-7.0)
#define SELDOM_READING (-5.5)

#define WORTH 2.5  /* ln odds from which a guess is taken */
#define SCREEN 0.0 /* ln odds of the straight law from which it is tried */
#define TRIED_OF_A_KIND 2

#define LITERS_IN_M3_H 3.6        /* a number in m3/h taken for l/s is so much too great */
#define LITERS_IN_CFM 2.118880003 /* the same of cfm */

typedef enum guess_kind {
  GUESS_UNKNOWN,
  GUESS_SCALE,
  GUESS_SWAP,
  GUESS_ODD,
  GUESS_GAP,
  GUESS_KINDS
} guess_kind;

typedef struct guess {
  guess_kind kind;
  const char *code;
  int side;
  size_t unknown;         /* of GUESS_UNKNOWN */
  double mean, deviation; /* where the fault puts it */
  size_t datum, other;    /* of the readings */
  size_t terminal;
  double factor;      /* reading over truth */
  double prior, gain; /* ln */
} guess;

/* ---- The list ---- */

typedef struct guesses {
  guess *item;
  size_t count;
} guesses;

static void add(guesses *list, guess g) {
  list->item[list->count++] = g;
}

static void add_unknowns(const ebi_balance_model *model, guesses *list) {
  for (size_t i = 0; i < model->n_unknowns; i++) {
    const ebi_unknown *unknown = &model->unknowns[i];
    guess g = {.kind = GUESS_UNKNOWN, .side = unknown->side, .unknown = i};
    if (unknown->kind == EBI_UNKNOWN_RUN) {
      g.code = "crushed";
      g.mean = 2.2;
      g.deviation = 1.3;
      g.prior = SELDOM_RUN;
    } else if (unknown->kind == EBI_UNKNOWN_VALVE) {
      g.code = "valve";
      g.deviation = 0.6;
      g.prior = SELDOM_VALVE;
    } else if (unknown->kind == EBI_UNKNOWN_FAN) {
      g.code = "fan";
      g.mean = -1.0;
      g.deviation = 0.6;
      g.prior = SELDOM_FAN;
    } else if (unknown->kind == EBI_UNKNOWN_KEPT) {
      g.code = "fan";
      g.mean = -0.5;
      g.deviation = 0.3;
      g.prior = SELDOM_FAN;
    } else if (unknown->kind == EBI_UNKNOWN_OFFSET) { /* it turns slower than it was told to */
      g.code = "fan";
      g.mean = 0.3;
      g.deviation = 0.12;
      g.prior = SELDOM_FAN;
    } else {
      continue;
    }
    add(list, g);
  }
}

static void add_readings(const ebi_balance_model *model, guesses *list) {
  static const double factors[] = {LITERS_IN_M3_H, LITERS_IN_CFM, 1.0 / LITERS_IN_M3_H};
  for (size_t i = 0; i < model->n_data; i++) {
    const ebi_datum *datum = &model->data[i];
    if (datum->kind != EBI_DATUM_TERMINAL)
      continue;
    guess g = {.side = datum->side, .datum = i, .terminal = datum->number};
    for (size_t f = 0; f < sizeof factors / sizeof factors[0]; f++) {
      g.kind = GUESS_SCALE;
      g.code = "unit-slip";
      g.factor = factors[f];
      g.prior = SELDOM_SLIP;
      add(list, g);
    }
    g.factor = 1.0;
    g.kind = GUESS_ODD;
    g.code = "odd-reading";
    g.prior = SELDOM_READING;
    add(list, g);
    for (size_t k = i + 1; k < model->n_data; k++) {
      const ebi_datum *other = &model->data[k];
      if (other->kind != EBI_DATUM_TERMINAL || other->side != datum->side ||
          other->stand != datum->stand || other->number == datum->number)
        continue;
      g.kind = GUESS_SWAP;
      g.code = "swapped-readings";
      g.other = k;
      g.prior = SELDOM_SWAP;
      add(list, g);
    }
  }
}

static void add_gaps(const ebi_balance_model *model, guesses *list) {
  for (int s = 0; s < EBI_SIDES; s++)
    for (size_t t = 0; t < model->job.side[s].n_terminals; t++)
      if (model->job.side[s].network != NULL && !model->job.side[s].terminals[t].idle)
        add(list, (guess){.kind = GUESS_GAP,
                          .code = "detached",
                          .side = s,
                          .terminal = t,
                          .prior = SELDOM_JOINT});
}

static eb_status list_guesses(const ebi_balance_model *model, guesses *list) {
  size_t n = model->n_data, most = model->n_unknowns + 4 * n + n * n / 2 + 1;
  for (int s = 0; s < EBI_SIDES; s++)
    most += model->job.side[s].n_terminals;
  list->count = 0;
  list->item = EBI_NEW_ARRAY(model->scratch, guess, most);
  if (list->item == NULL)
    return EB_E_MEMORY;
  add_unknowns(model, list);
  add_readings(model, list);
  add_gaps(model, list);
  return EB_OK;
}

/* ---- Taking one, and taking it back ---- */

/* What a guess changed. */
typedef struct undo {
  ebi_unknown unknown;
  ebi_datum datum, other;
} undo;

/* How sure a number is goes with it. */
static void take_numbers(ebi_datum *datum, const ebi_datum *from) {
  datum->value = from->value;
  datum->deviation = from->deviation;
  datum->repeat = from->repeat;
}

static void take(ebi_balance_model *model, const guess *g, undo *before) {
  ebi_datum *datum = &model->data[g->datum], *other = &model->data[g->other];
  ebi_unknown *unknown = &model->unknowns[g->unknown];
  before->unknown = *unknown;
  before->datum = *datum;
  before->other = *other;
  switch (g->kind) {
  case GUESS_UNKNOWN:
    unknown->mean = g->mean;
    unknown->deviation = g->deviation;
    break;
  case GUESS_SCALE:
    datum->value /= g->factor;
    datum->deviation /= g->factor;
    break;
  case GUESS_SWAP:
    take_numbers(datum, &before->other);
    take_numbers(other, &before->datum);
    break;
  case GUESS_ODD: /* a fifth of what it says, and no less than a third of a l/s */
    datum->deviation = hypot(datum->deviation, fmax(0.2 * fabs(datum->value), 0.3e-3));
    datum->odd = true;
    break;
  case GUESS_GAP:
  case GUESS_KINDS:
    ebi_network_close(model->job.network, model->gap[g->side][g->terminal], false);
    model->carried_holds = false;
    break;
  }
}

static void take_back(ebi_balance_model *model, const guess *g, const undo *before) {
  model->unknowns[g->unknown] = before->unknown;
  model->data[g->datum] = before->datum;
  if (g->kind == GUESS_SWAP)
    model->data[g->other] = before->other;
  if (g->kind == GUESS_GAP) {
    ebi_network_close(model->job.network, model->gap[g->side][g->terminal], true);
    model->carried_holds = false;
  }
}

/* ---- Weighing ---- */

/* Data as they would lie off, were the guess right. */
static void other_lack(const ebi_balance_model *model, const guess *g, const ebi_evidence *evidence,
                       double *lack) {
  for (size_t i = 0; i < model->n_data; i++)
    lack[i] = evidence->lack[i];
  const ebi_datum *datum = &model->data[g->datum], *other = &model->data[g->other];
  if (g->kind == GUESS_SCALE) {
    lack[g->datum] += (datum->value / g->factor - datum->value) / datum->deviation;
  } else {
    double deviation = fmax(datum->deviation, other->deviation);
    double off = lack[g->datum] * datum->deviation + other->value - datum->value;
    double other_off = lack[g->other] * other->deviation + datum->value - other->value;
    lack[g->datum] = off / deviation;
    lack[g->other] = other_off / deviation;
  }
}

static double weigh_unknown(const ebi_balance_model *model, const ebi_fit *fit, const guess *g,
                            const ebi_evidence *evidence, double *direction) {
  const ebi_unknown *unknown = &model->unknowns[g->unknown];
  double wider = g->deviation * g->deviation - unknown->deviation * unknown->deviation;
  for (size_t i = 0; i < model->n_data; i++)
    direction[i] = -fit->jacobian[i * model->n_unknowns + g->unknown];
  return ebi_evidence_of_cause(evidence, direction, (g->mean - unknown->mean) / unknown->deviation,
                               sqrt(fmax(wider, 0.0)) / unknown->deviation, NULL);
}

static double weigh_odd(const ebi_balance_model *model, const guess *g,
                        const ebi_evidence *evidence, double *direction) {
  for (size_t i = 0; i < model->n_data; i++)
    direction[i] = i == g->datum ? 1.0 : 0.0;
  const ebi_datum *datum = &model->data[g->datum];
  return ebi_evidence_of_cause(evidence, direction, 0.0,
                               fmax(0.2 * fabs(datum->value), 0.3e-3) / datum->deviation, NULL);
}

/* With the joint open the house is solved once more. */
static eb_status weigh_gap(ebi_balance_model *model, const ebi_fit *fit, const guess *g,
                           const ebi_evidence *evidence, double *lack, double *gain) {
  undo before;
  take(model, g, &before);
  eb_status status = ebi_balance_predict(model, fit->unknowns);
  for (size_t i = 0; status == EB_OK && i < model->n_data; i++) {
    double open = (model->data[i].value - model->predicted[i]) / model->data[i].deviation;
    lack[i] = evidence->lack[i] + open - fit->residuals[i];
  }
  take_back(model, g, &before);
  *gain = status == EB_OK ? ebi_evidence_of_data(evidence, lack) : -HUGE_VAL;
  return status == EB_E_MEMORY ? status : EB_OK;
}

/* About what was expected, since a gross fault drags the fit far off. */
static eb_status weigh(ebi_balance_model *model, guesses *list) {
  ebi_fit_problem problem = ebi_balance_problem(model);
  ebi_fit expected = {0}, *fit = &expected;
  ebi_evidence evidence;
  double *row = EBI_NEW_ARRAY(model->scratch, double, model->n_data + 1);
  eb_status status = row == NULL ? EB_E_MEMORY : ebi_fit_look(model->scratch, &problem, fit);
  if (status == EB_OK)
    status = ebi_evidence_new(model->scratch, &problem, fit, &evidence);
  for (size_t i = 0; status == EB_OK && i < list->count; i++) {
    guess *g = &list->item[i];
    double gain = 0.0;
    if (g->kind == GUESS_UNKNOWN) {
      gain = weigh_unknown(model, fit, g, &evidence, row);
    } else if (g->kind == GUESS_ODD) {
      gain = weigh_odd(model, g, &evidence, row);
    } else if (g->kind == GUESS_GAP) {
      status = weigh_gap(model, fit, g, &evidence, row, &gain);
    } else {
      other_lack(model, g, &evidence, row);
      gain = ebi_evidence_of_data(&evidence, row);
    }
    g->gain = gain + g->prior;
  }
  return status;
}

/* The weightiest of a kind; NULL where none is worth a try. */
static guess *weightiest(guesses *list, guess_kind kind) {
  guess *best = NULL;
  for (size_t i = 0; i < list->count; i++) {
    guess *g = &list->item[i];
    if (g->kind == kind && g->gain > SCREEN && (best == NULL || g->gain > best->gain))
      best = g;
  }
  return best;
}

/* ---- Trying ---- */

/* ln of how much narrower the data were taken: a wide datum is easily met. */
static double narrowness(const ebi_balance_model *model) {
  double sum = 0.0;
  for (size_t i = 0; i < model->n_data; i++)
    sum -= log(model->data[i].deviation);
  return sum;
}

static eb_status try_guess(ebi_balance_model *model, double base, guess *g, ebi_fit *fit) {
  undo before;
  take(model, g, &before);
  *fit = (ebi_fit){0};
  eb_status status = ebi_balance_fit(model, fit);
  g->gain = status == EB_OK ? fit->log_evidence + narrowness(model) - base + g->prior : -HUGE_VAL;
  take_back(model, g, &before);
  return status == EB_E_MEMORY ? status : EB_OK;
}

/* Of a few the best, with its fit; NULL: none is worth it. */
static eb_status try_few(ebi_balance_model *model, const ebi_fit *fit, guesses *list, guess *best,
                         ebi_fit *best_fit, bool *found) {
  double base = fit->log_evidence + narrowness(model);
  ebi_diags_mark mark = ebi_diags_here(model->context);
  *found = false;
  for (int n = 0; n < GUESS_KINDS * TRIED_OF_A_KIND; n++) {
    guess *g = weightiest(list, (guess_kind)(n % GUESS_KINDS));
    ebi_fit own;
    if (g == NULL)
      continue;
    eb_status status = try_guess(model, base, g, &own);
    ebi_diags_take_back(model->context, mark); /* a guess that does not settle is none */
    if (status != EB_OK)
      return status;
    if (g->gain > WORTH && (!*found || g->gain > best->gain)) {
      *best = *g;
      *best_fit = own;
      *found = true;
    }
    g->gain = -HUGE_VAL;
  }
  return EB_OK;
}

/* ---- Naming ---- */

/* A duct that all air of its side goes through cannot be told from its fan. */
static bool carries_all(const ebi_balance_model *model, int side, size_t run) {
  double most = 0.0;
  for (size_t r = 0; r < model->job.side[side].n_runs; r++)
    most = fmax(most, model->run_flow[side][r]);
  return model->run_flow[side][run] > 0.95 * most;
}

/* What the whole side brings, `factor` of its pressure. */
static void name_side(const ebi_side *side, double factor, ebi_suspicion *s) {
  bool half = side->supply && factor > 0.1 && factor < 0.45;
  s->code = half ? "frost" : factor < 1.0 ? "blocked" : "fan";
  s->factor = factor;
}

/* Speed over what was set, squared, at the last setting. */
static double slowed(const ebi_balance_model *model, int side, double offset) {
  double signal = model->stands[model->n_stands - 1].signal[side];
  double share = signal > 0.0 ? (signal - offset) / (1.0 - offset) / signal : 1.0;
  return share * fabs(share);
}

/* By what the fit made of it. */
static ebi_suspicion named(const ebi_balance_model *model, const guess *g) {
  ebi_suspicion s = {.code = g->code,
                     .side = g->side,
                     .run = EBI_NONE,
                     .other = EBI_NONE,
                     .datum = EBI_NONE,
                     .factor = g->factor,
                     .gain = g->gain};
  const ebi_side *side = &model->job.side[g->side];
  if (g->kind == GUESS_UNKNOWN) {
    const ebi_unknown *unknown = &model->unknowns[g->unknown];
    s.factor = exp(ebi_balance_value(model, g->unknown));
    if (unknown->kind == EBI_UNKNOWN_RUN && carries_all(model, g->side, unknown->number)) {
      name_side(side, 1.0 / s.factor, &s);
    } else if (unknown->kind == EBI_UNKNOWN_RUN) {
      s.run = unknown->number;
      s.code = s.factor > 40.0 ? "capped" : s.factor > 1.0 ? "crushed" : "too-free";
    } else if (unknown->kind == EBI_UNKNOWN_VALVE) {
      s.run = side->terminals[unknown->number].run;
    } else if (unknown->kind == EBI_UNKNOWN_OFFSET) {
      name_side(side, slowed(model, g->side, ebi_balance_value(model, g->unknown)), &s);
    } else { /* a flow's factor is the root of a pressure's */
      bool kept = unknown->kind == EBI_UNKNOWN_KEPT;
      name_side(side, kept ? s.factor * s.factor : s.factor, &s);
    }
    return s;
  }
  s.run = side->terminals[g->terminal].run;
  s.datum = g->kind == GUESS_GAP ? EBI_NONE : g->datum;
  if (g->kind == GUESS_SWAP)
    s.other = side->terminals[model->data[g->other].number].run;
  if (g->kind == GUESS_ODD)
    s.factor = model->predicted[g->datum] != 0.0
                   ? model->data[g->datum].value / model->predicted[g->datum]
                   : 0.0;
  return s;
}

/* Air that goes the wrong way needs no weighing. */
static void find_backward(ebi_balance_model *model, ebi_suspicions *found) {
  for (size_t i = 0; i < model->n_data && found->count < EBI_SUSPICIONS_AT_MOST; i++) {
    ebi_datum *datum = &model->data[i];
    const ebi_side *side = &model->job.side[datum->side];
    if (datum->kind != EBI_DATUM_TERMINAL || datum->value > -2.0 * datum->deviation)
      continue;
    found->item[found->count++] = (ebi_suspicion){.code = "wrong-side",
                                                  .side = datum->side,
                                                  .run = side->terminals[datum->number].run,
                                                  .other = EBI_NONE,
                                                  .datum = i,
                                                  .factor = -1.0,
                                                  .gain = 5.0};
    datum->deviation = fmax(10.0 * fabs(datum->value), 0.01); /* it tells nothing of this side */
    datum->odd = true;
  }
}

/* The fit once more, from where it stands, with each reading as sure as the flow that was found
 * makes it. */
static eb_status settle(ebi_balance_model *model, ebi_fit *fit) {
  eb_status status = ebi_balance_predict(model, fit->unknowns);
  if (status != EB_OK || model->n_data == 0)
    return status;
  ebi_balance_doubt(model);
  return ebi_balance_fit(model, fit);
}

eb_status ebi_balance_suspect(ebi_balance_model *model, ebi_fit *fit, ebi_suspicions *found) {
  found->count = 0;
  find_backward(model, found);
  *fit = (ebi_fit){0};
  eb_status status = ebi_balance_fit(model, fit);
  while (status == EB_OK && model->n_data > 0 && found->count < EBI_SUSPICIONS_AT_MOST) {
    guesses list;
    guess best;
    ebi_fit best_fit;
    bool worth = false;
    status = list_guesses(model, &list);
    if (status == EB_OK)
      status = weigh(model, &list);
    if (status == EB_OK)
      status = try_few(model, fit, &list, &best, &best_fit, &worth);
    if (status != EB_OK || !worth)
      break;
    undo before;
    take(model, &best, &before);
    *fit = best_fit;
    status = ebi_balance_predict(model, fit->unknowns);
    found->item[found->count++] = named(model, &best);
  }
  return status == EB_OK ? settle(model, fit) : status;
}
