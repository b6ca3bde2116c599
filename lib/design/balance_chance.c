/* balance_chance.c - how sure the flows of a setting are, and that they are within the rule
 *
 * Laplace's approximation: about the likeliest house ln of each flow is straight in
 * the unknowns, which are normal with the covariance of the fit; a valve that is yet
 * to be turned will stand a little off. */

#include <math.h>

#include "design/balance.h"
#include "numeric/draws.h"

#define DRAWS 2000
#define SEED 20261125
#define STEP 1e-3 /* of a standard deviation */

/* All terminals of both sides in one row. */
typedef struct rows {
  size_t count, start[EBI_SIDES];
  double *log_flow; /* as found */
  double *slope;    /* count x unknowns */
  double *hand;     /* standard deviation of what is yet to be set */
  double *flow;     /* of one draw */
} rows;

static eb_status rows_new(const ebi_balance_model *model, rows *r) {
  r->count = 0;
  for (int s = 0; s < EBI_SIDES; s++) {
    r->start[s] = r->count;
    r->count += model->job.side[s].n_terminals;
  }
  r->log_flow = EBI_NEW_ARRAY(model->scratch, double, r->count + 1);
  r->slope = EBI_NEW_ARRAY(model->scratch, double, r->count * model->n_unknowns + 1);
  r->hand = EBI_NEW_ARRAY(model->scratch, double, r->count + 1);
  r->flow = EBI_NEW_ARRAY(model->scratch, double, r->count + 1);
  bool good = r->log_flow != NULL && r->slope != NULL && r->hand != NULL && r->flow != NULL;
  return good ? EB_OK : EB_E_MEMORY;
}

/* A flow that is none or backward is as good as none. */
static void take_logs(const ebi_balance_model *model, const rows *r, double *logs) {
  for (int s = 0; s < EBI_SIDES; s++)
    for (size_t t = 0; t < model->job.side[s].n_terminals; t++)
      logs[r->start[s] + t] = log(fmax(ebi_balance_flow(model, s, t), 1e-7));
}

static eb_status find_slopes(ebi_balance_model *model, const ebi_fit *fit, const ebi_stand *stand,
                             rows *r) {
  size_t n = model->n_unknowns;
  double *at = EBI_NEW_ARRAY(model->scratch, double, n + 1);
  if (at == NULL)
    return EB_E_MEMORY;
  for (size_t i = 0; i < n; i++)
    at[i] = fit->unknowns[i];
  ebi_balance_take(model, at);
  eb_status status = ebi_balance_stand(model, stand);
  take_logs(model, r, r->log_flow);
  for (size_t j = 0; status == EB_OK && j < n; j++) {
    if (ebi_unknown_of_reading(&model->unknowns[j]))
      continue;
    at[j] += STEP;
    ebi_balance_take(model, at);
    status = ebi_balance_stand(model, stand);
    take_logs(model, r, r->flow);
    for (size_t i = 0; i < r->count; i++)
      r->slope[i * n + j] = (r->flow[i] - r->log_flow[i]) / STEP;
    at[j] = fit->unknowns[j];
  }
  ebi_balance_take(model, fit->unknowns);
  return status;
}

static void find_hands(const ebi_balance_model *model, const ebi_stand *stand,
                       const bool *const moved[EBI_SIDES], rows *r) {
  for (int s = 0; s < EBI_SIDES; s++)
    for (size_t t = 0; t < model->job.side[s].n_terminals; t++)
      r->hand[r->start[s] + t] =
          moved != NULL && moved[s][t] ? ebi_balance_hand(model, s, t, stand->opening[s][t]) : 0.0;
}

/* ---- Deviations ---- */

/* Covariance of ln flow of rows a and b by the unknowns. */
static double covariance(const ebi_balance_model *model, const ebi_fit *fit, const rows *r,
                         size_t a, size_t b) {
  size_t n = model->n_unknowns;
  double sum = 0.0;
  for (size_t i = 0; i < n; i++) {
    double inner = 0.0;
    for (size_t j = 0; j < n; j++)
      inner += fit->covariance[i * n + j] * r->slope[b * n + j];
    sum += r->slope[a * n + i] * inner;
  }
  return fmax(sum, -1.0);
}

/* Variance of ln of a reading there: the bias that all readings of the side carry goes in, and the
 * wind of its round. */
static double reading_variance(const ebi_balance_model *model, const ebi_fit *fit, rows *r, int s,
                               size_t row) {
  size_t n = model->n_unknowns, bias = model->bias_unknown[s];
  double wind = EBI_OF_WIND * EBI_OF_WIND;
  if (bias == EBI_NONE)
    return fmax(covariance(model, fit, r, row, row), 0.0) + wind;
  r->slope[row * n + bias] = model->unknowns[bias].deviation;
  double variance = covariance(model, fit, r, row, row);
  r->slope[row * n + bias] = 0.0;
  return fmax(variance, 0.0) + wind;
}

static eb_status deviations(const ebi_balance_model *model, const ebi_fit *fit, rows *r,
                            ebi_outlook *outlook) {
  for (int s = 0; s < EBI_SIDES; s++) {
    size_t count = model->job.side[s].n_terminals;
    double *flow = EBI_NEW_ARRAY(model->scratch, double, count + 1);
    double *deviation = EBI_NEW_ARRAY(model->scratch, double, count + 1);
    double *reading = EBI_NEW_ARRAY(model->scratch, double, count + 1);
    if (flow == NULL || deviation == NULL || reading == NULL)
      return EB_E_MEMORY;
    double variance = 0.0;
    outlook->total[s] = 0.0;
    for (size_t t = 0; t < count; t++) {
      size_t row = r->start[s] + t;
      double hand = r->hand[row] * r->hand[row];
      flow[t] = exp(r->log_flow[row]);
      deviation[t] = flow[t] * sqrt(fmax(covariance(model, fit, r, row, row), 0.0) + hand);
      reading[t] = flow[t] * sqrt(reading_variance(model, fit, r, s, row) + hand);
      outlook->total[s] += flow[t];
      for (size_t u = 0; u < t; u++)
        variance += 2.0 * flow[t] * flow[u] * covariance(model, fit, r, row, r->start[s] + u);
      variance += deviation[t] * deviation[t];
    }
    outlook->total_deviation[s] = sqrt(fmax(variance, 0.0));
    outlook->flow[s] = flow;
    outlook->deviation[s] = deviation;
    outlook->reading[s] = reading;
  }
  return EB_OK;
}

/* ---- Probability ---- */

/* What the biases tell of the other unknowns: with them known, a draw is moved by so much. */
typedef struct known_bias {
  size_t which[EBI_SIDES], count;
  double inverse[2][2]; /* of their covariance */
} known_bias;

static known_bias know_bias(const ebi_balance_model *model, const ebi_fit *fit) {
  size_t n = model->n_unknowns;
  known_bias known = {.count = 0};
  for (int s = 0; s < EBI_SIDES; s++)
    if (model->job.side[s].network != NULL && model->bias_unknown[s] != EBI_NONE)
      known.which[known.count++] = model->bias_unknown[s];
  double a = known.count > 0 ? fit->covariance[known.which[0] * n + known.which[0]] : 1.0;
  double d = known.count > 1 ? fit->covariance[known.which[1] * n + known.which[1]] : 1.0;
  double b = known.count > 1 ? fit->covariance[known.which[0] * n + known.which[1]] : 0.0;
  double determinant = a * d - b * b;
  known.inverse[0][0] = d / determinant;
  known.inverse[1][1] = a / determinant;
  known.inverse[0][1] = known.inverse[1][0] = -b / determinant;
  return known;
}

/* Moves a draw along what goes with its biases, by these amounts of them. */
static void move_by_bias(const ebi_balance_model *model, const ebi_fit *fit,
                         const known_bias *known, const double *bias, double sign, double *draw) {
  size_t n = model->n_unknowns;
  double pull[2] = {0.0, 0.0};
  for (size_t i = 0; i < known->count; i++)
    for (size_t k = 0; k < known->count; k++)
      pull[i] += known->inverse[i][k] * bias[k];
  for (size_t j = 0; j < n; j++)
    for (size_t i = 0; i < known->count; i++)
      draw[j] += sign * fit->covariance[j * n + known->which[i]] * pull[i];
}

/* True where a flow by other means was read on the side of a bias. */
static bool vouched(const ebi_balance_model *model, size_t bias) {
  for (size_t i = 0; i < model->n_data; i++)
    if (model->data[i].kind == EBI_DATUM_FAN && model->bias_unknown[model->data[i].side] == bias)
      return true;
  return false;
}

/* What the drawing expects of the fans is no independent flow: without one the instrument is as
 * doubtful as before anything was read. */
static void biases_of(const ebi_balance_model *model, const ebi_fit *fit, const known_bias *known,
                      const double *draw, double own[2], double doubtful[2]) {
  size_t n = model->n_unknowns;
  for (size_t i = 0; i < known->count; i++) {
    size_t which = known->which[i];
    double deviation = sqrt(fmax(fit->covariance[which * n + which], 1e-12));
    own[i] = draw[which];
    doubtful[i] = vouched(model, which) ? own[i] : own[i] / fmin(deviation, 1.0);
  }
}

static bool allowed(const ebi_balance_model *model, const ebi_balance_rule *rule, rows *r,
                    const double *draw, const double *hands) {
  size_t n = model->n_unknowns;
  for (size_t i = 0; i < r->count; i++) {
    double sum = r->log_flow[i] + r->hand[i] * hands[i];
    for (size_t j = 0; j < n; j++)
      sum += r->slope[i * n + j] * draw[j];
    r->flow[i] = exp(sum);
  }
  const double *flows[EBI_SIDES] = {r->flow + r->start[0], r->flow + r->start[1]};
  return ebi_rule_allows(model, rule, flows);
}

static eb_status chances(ebi_balance_model *model, const ebi_fit *fit, const ebi_balance_rule *rule,
                         rows *r, ebi_outlook *outlook) {
  size_t n = model->n_unknowns, good = 0, unbiased = 0;
  double *draws = NULL, *hands = NULL;
  eb_status status = ebi_draws_together(model->scratch, SEED, fit->covariance, n, DRAWS, &draws);
  if (status == EB_OK)
    status = ebi_draws_plain(model->scratch, SEED + 1, DRAWS * (r->count + 1), &hands);
  if (status != EB_OK)
    return status;
  known_bias known = know_bias(model, fit);
  for (size_t d = 0; d < DRAWS; d++) {
    double *draw = &draws[d * n], own[2], doubtful[2];
    biases_of(model, fit, &known, draw, own, doubtful);
    move_by_bias(model, fit, &known, own, -1.0, draw);
    unbiased += allowed(model, rule, r, draw, &hands[d * r->count]);
    move_by_bias(model, fit, &known, doubtful, 1.0, draw);
    good += allowed(model, rule, r, draw, &hands[d * r->count]);
  }
  outlook->probability = (double)good / DRAWS;
  outlook->unbiased_probability = (double)unbiased / DRAWS;
  return EB_OK;
}

eb_status ebi_balance_look(ebi_balance_model *model, const ebi_fit *fit,
                           const ebi_balance_rule *rule, const ebi_stand *stand,
                           const bool *const moved[EBI_SIDES], ebi_outlook *outlook) {
  rows r;
  eb_status status = rows_new(model, &r);
  if (status == EB_OK)
    status = find_slopes(model, fit, stand, &r);
  if (status != EB_OK)
    return status;
  find_hands(model, stand, moved, &r);
  status = deviations(model, fit, &r, outlook);
  return status == EB_OK && rule != NULL ? chances(model, fit, rule, &r, outlook) : status;
}
