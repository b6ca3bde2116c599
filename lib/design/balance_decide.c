/* balance_decide.c - does it pass, how sure is it, what is the verdict
 *
 * Two answers are kept apart: whether every reading passes the rule as it is written,
 * and how likely the house is truly within it, with bias, repeatability and a hand's
 * error on the valves counted. */

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "design/balance.h"

#define MOST_OVER_SUPPLY 0.25

/* ---- As it stands ---- */

const ebi_stand *ebi_last_stand(const ebi_balance_model *model, const char *level) {
  for (size_t i = model->n_stands; i-- > 0;)
    if (ebi_text_equal(model->readings->rounds[model->stands[i].round].level, level))
      return &model->stands[i];
  return NULL;
}

eb_status ebi_balance_now(const ebi_balance_model *model, ebi_stand *now) {
  const char *set_level = model->rates->levels[model->level];
  if (model->n_stands == 0) {
    for (int s = 0; s < EBI_SIDES; s++) {
      now->opening[s] = model->design_opening[s];
      now->signal[s] = model->design_signal[s][model->level];
    }
    return EB_OK;
  }
  *now = model->stands[model->n_stands - 1];
  for (size_t i = model->n_stands; i-- > 0;) {
    const ebi_stand *stand = &model->stands[i];
    if (!ebi_text_equal(model->readings->rounds[stand->round].level, set_level))
      continue;
    memcpy(now->signal, stand->signal, sizeof now->signal);
    break;
  }
  return EB_OK;
}

static bool same(const ebi_balance_model *model, const ebi_stand *a, const ebi_stand *b) {
  for (int s = 0; s < EBI_SIDES; s++) {
    if (fabs(a->signal[s] - b->signal[s]) > 1e-9)
      return false;
    for (size_t t = 0; t < model->job.side[s].n_terminals; t++)
      if (fabs(a->opening[s][t] - b->opening[s][t]) > 1e-9)
        return false;
  }
  return true;
}

eb_status ebi_balance_as_read(const ebi_balance_model *model, const ebi_stand *now,
                              ebi_as_read *read) {
  read->complete = true;
  for (int s = 0; s < EBI_SIDES; s++) {
    size_t count = model->job.side[s].n_terminals;
    read->flow[s] = EBI_NEW_ARRAY(model->scratch, double, count + 1);
    read->deviation[s] = EBI_NEW_ARRAY(model->scratch, double, count + 1);
    if (read->flow[s] == NULL || read->deviation[s] == NULL)
      return EB_E_MEMORY;
    for (size_t t = 0; t < count; t++)
      read->flow[s][t] = read->deviation[s][t] = NAN;
  }
  for (size_t i = 0; i < model->n_data; i++) {
    const ebi_datum *datum = &model->data[i];
    if (datum->kind != EBI_DATUM_TERMINAL || !same(model, &model->stands[datum->stand], now))
      continue;
    read->flow[datum->side][datum->number] = datum->value;
    read->deviation[datum->side][datum->number] = datum->repeat;
  }
  for (int s = 0; s < EBI_SIDES; s++) {
    read->total[s] = 0.0;
    for (size_t t = 0; t < model->job.side[s].n_terminals; t++) {
      read->complete =
          read->complete && (model->job.side[s].terminals[t].idle || !isnan(read->flow[s][t]));
      read->total[s] += isnan(read->flow[s][t]) ? 0.0 : read->flow[s][t];
    }
  }
  return EB_OK;
}

/* ---- Over-supply ---- */

/* Quantile of the standard normal distribution: Abramowitz and Stegun 26.2.23 (from memory; error
 * below 4.5e-4). `tail` 0..0.5. */
static double normal_tail(double tail) {
  double t = sqrt(-2.0 * log(tail));
  return t - (2.515517 + t * (0.802853 + t * 0.010328)) /
                 (1.0 + t * (1.432788 + t * (0.189269 + t * 0.001308)));
}

/* N terminals all pass with 95 % where each does with the N-th root of it; what is then read
 * spreads about the target by u, so the target stands z u above the design (commissioning
 * practice; own calculation). */
double ebi_balance_over_supply(const ebi_balance_model *model, const ebi_balance_rule *rule,
                               const ebi_outlook *outlook) {
  double squares = 0.0, count = 0.0;
  if (rule->two_sided)
    return 0.0;
  for (int s = 0; s < EBI_SIDES; s++)
    for (size_t t = 0; t < model->job.side[s].n_terminals; t++) {
      double flow = outlook->flow[s][t];
      if (!(rule->design[s][t] > 0.0) || !(flow > 0.0))
        continue;
      double repeat = ebi_balance_repeat(model, flow), reading = outlook->reading[s][t];
      squares += (reading * reading + repeat * repeat) / (flow * flow);
      count += 1.0;
    }
  if (!(count > 0.0))
    return 0.0;
  double z = normal_tail(1.0 - pow(0.95, 1.0 / count));
  return fmin(z * sqrt(squares / count), MOST_OVER_SUPPLY);
}

/* ---- How often to read ---- */

#define DEVIATIONS_WITHIN 3.2 /* so many of a mean's fit into the rule's share (own choice) */
#define READINGS_MOST 5

/* A reading that is to judge a share of a flow must be surer than that share: the mean of n has a
 * deviation of the n-th part, squared. The greatest design is what the floor matters least for. */
size_t ebi_balance_readings_each(const ebi_balance_model *model, const ebi_balance_rule *rule) {
  double most = 0.0;
  for (int s = 0; s < EBI_SIDES; s++)
    for (size_t t = 0; t < model->job.side[s].n_terminals; t++)
      most = fmax(most, rule->design[s][t]);
  if (!(most > 0.0) || !(rule->room > 0.0))
    return 1;
  double wanted = rule->room / DEVIATIONS_WITHIN * most;
  double share = ebi_balance_repeat(model, most) / wanted;
  return (size_t)fmin(fmax(ceil(share * share - 1e-9), 1.0), READINGS_MOST);
}

/* ---- Verdict ---- */

bool ebi_suspicion_is_fault(const ebi_suspicion *suspicion) {
  static const char *const faults[] = {"crushed", "capped",  "detached",  "valve",
                                       "frost",   "blocked", "wrong-side"};
  for (size_t i = 0; i < sizeof faults / sizeof faults[0]; i++)
    if (ebi_text_equal(suspicion->code, faults[i]))
      return true;
  return false;
}

static const ebi_suspicion *first_fault(const ebi_suspicions *suspicions) {
  for (size_t i = 0; i < suspicions->count; i++)
    if (ebi_suspicion_is_fault(&suspicions->item[i]))
      return &suspicions->item[i];
  return NULL;
}

static bool readings_pass(const ebi_found *found) {
  const double *flows[EBI_SIDES] = {found->read.flow[0], found->read.flow[1]};
  return found->read.complete && ebi_rule_allows(found->model, &found->rule, flows);
}

/* The first level whose fan is at its end, "" where none is. */
static const char *limit_of(const ebi_found *found, ebi_arena *arena) {
  const ebi_balance_model *model = found->model;
  for (size_t l = 0; l < model->rates->n_levels; l++)
    for (int s = 0; s < EBI_SIDES; s++) {
      const ebi_side *side = &model->job.side[s];
      if (side->network == NULL || !found->turns.limited[s][l])
        continue;
      return ebi_arena_format(arena,
                              "the %s fan is at its end at %s; the hardest to reach is run %s",
                              side->name, model->rates->levels[l], ebi_side_index_run(side));
    }
  return "";
}

/* Whether knowing the instrument's bias would settle what nothing else does. */
static bool only_bias(const ebi_found *found) {
  const ebi_outlook *best =
      found->future.probability > found->outlook.probability ? &found->future : &found->outlook;
  return best->probability < found->confidence && best->unbiased_probability >= found->confidence;
}

static eb_verdict verdict_of(const ebi_found *found, const char *limit) {
  if (found->model->n_data == 0)
    return EB_VERDICT_FIRST_SETTINGS;
  bool fault = first_fault(&found->suspicions) != NULL;
  bool sure = found->outlook.probability >= found->confidence;
  if (sure && !fault && (found->rule.two_sided || readings_pass(found)))
    return EB_VERDICT_DONE;
  if (limit[0] != '\0' && !fault)
    return EB_VERDICT_NOT_REACHABLE;
  if (!fault && found->outlook.unbiased_probability >= found->confidence && only_bias(found))
    return EB_VERDICT_CANNOT_BE_DECLARED;
  return EB_VERDICT_ADJUST;
}

void ebi_balance_judge(const ebi_found *found, ebi_arena *arena, eb_balance_status *status) {
  const ebi_balance_rule *rule = &found->rule;
  const char *limit = limit_of(found, arena);
  *status = (eb_balance_status){.legal_known = found->read.complete && found->model->n_data > 0,
                                .probability = found->model->n_data > 0 ? found->outlook.probability
                                                                        : (double)NAN,
                                .reach_probability = found->future.probability,
                                .supply_total_m3_s = found->read.total[EBI_SUPPLY_SIDE],
                                .extract_total_m3_s = found->read.total[EBI_EXTRACT_SIDE],
                                .rule = rule->words,
                                .source = rule->source,
                                .over_supply = found->turns.over_supply,
                                .limit = limit == NULL ? "" : limit,
                                .needs = ""};
  status->verdict = verdict_of(found, status->limit);
  status->legal_pass = readings_pass(found);
  status->imbalance =
      ebi_balance_imbalance(rule, status->supply_total_m3_s, status->extract_total_m3_s);
  if (status->verdict == EB_VERDICT_CANNOT_BE_DECLARED)
    status->needs = "a total by other means: the unit's own flow reading, a traverse of a straight "
                    "duct, or the pressure of the house with the fans on and off";
  for (size_t i = 0; i < found->model->n_data; i++)
    status->n_readings += found->model->data[i].kind == EBI_DATUM_TERMINAL;
}
