/* sobol.c - variance shares by two sets of samples that change one input at a time
 *
 * Rows a and b share the places of one point of Sobol's sequence in turn; row ab is a with one
 * input of b. An input's share is the mean of f(b) (f(ab) - f(a)) over the variance (Saltelli et
 * al. 2010, Comput. Phys. Commun. 181, 259-270, table 2 (b), from memory; checked against sums
 * whose shares are known).
 *
 * A sum of one parabola for each input, through the model's results at -1, 0 and +1, is asked at
 * the same samples (a control variate). Its variance and shares are known without sampling, its
 * quantiles nearly so; what the samples make of them, less what they are, is taken off the
 * model's. So a linear model comes out exact, and sampling answers for the rest alone. */

#include "numeric/sobol.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_qrng.h>
#include <math.h>
#include <stdlib.h>

#define CUT 3.0            /* deviations beyond which nothing is drawn */
#define STATE_DOUBLES 1024 /* GSL 2.7 uses 642 */
#define ROOT_OF_2_PI 2.5066282746310002

/* Of one cut normal input: its mean square, and the means of its fourth and sixth power. */
typedef struct moments {
  double second, fourth, sixth;
} moments;

typedef struct sampler {
  ebi_model model;
  size_t n, count;
  double *of_model, *of_curve; /* a row of n_inputs + 2 for each point: a, b, each ab */
  double below;                /* share of the normal distribution below the cut */
  moments cut;
  double bend[EBI_SOBOL_INPUTS]; /* of each parabola, effect z + bend (z2 - its mean) */
} sampler;

/* ---- Sampling ---------------------------------------------------------- */

/* A share of the cut normal distribution to deviations. */
static double deviation(const sampler *s, double share) {
  return gsl_cdf_ugaussian_Pinv(s->below + share * (1.0 - 2.0 * s->below));
}

static void find_effects(sampler *s, ebi_spread *spread) {
  double point[EBI_SOBOL_INPUTS] = {0.0};
  double middle = s->model.call(point, s->model.data);
  for (size_t i = 0; i < s->model.n_inputs; i++) {
    point[i] = 1.0;
    double above = s->model.call(point, s->model.data);
    point[i] = -1.0;
    double below = s->model.call(point, s->model.data);
    point[i] = 0.0;
    spread->effect[i] = 0.5 * (above - below);
    s->bend[i] = 0.5 * (above + below) - middle;
  }
}

static void ask(const sampler *s, const ebi_spread *spread, const double *point, size_t at) {
  double curve = 0.0;
  for (size_t i = 0; i < s->model.n_inputs; i++)
    curve += spread->effect[i] * point[i] + s->bend[i] * (point[i] * point[i] - s->cut.second);
  s->of_curve[at] = curve;
  s->of_model[at] = s->model.call(point, s->model.data);
}

static void ask_row(const sampler *s, const ebi_spread *spread, const double *shares, size_t at) {
  size_t inputs = s->model.n_inputs;
  double a[EBI_SOBOL_INPUTS], b[EBI_SOBOL_INPUTS];
  for (size_t i = 0; i < inputs; i++) {
    a[i] = deviation(s, shares[2 * i]);
    b[i] = deviation(s, shares[2 * i + 1]);
  }
  ask(s, spread, a, at);
  ask(s, spread, b, at + 1);
  for (size_t i = 0; i < inputs; i++) {
    double own = a[i];
    a[i] = b[i];
    ask(s, spread, a, at + 2 + i);
    a[i] = own;
  }
}

/* The sequence's state stands on the stack, so that GSL has nothing to allocate. */
static eb_status ask_all(const sampler *s, const ebi_spread *spread) {
  double state[STATE_DOUBLES];
  unsigned dimension = (unsigned)(2 * s->model.n_inputs);
  gsl_qrng sequence = {gsl_qrng_sobol, dimension, gsl_qrng_sobol->state_size(dimension), state};
  if (sequence.state_size > sizeof state)
    return EB_E_MEMORY;
  if (gsl_qrng_sobol->init_state(state, dimension) != 0)
    return EB_E_DIVERGED;
  for (size_t i = 0; i < s->n; i++) {
    double shares[2 * EBI_SOBOL_INPUTS];
    (void)gsl_qrng_get(&sequence, shares);
    ask_row(s, spread, shares, i * (s->model.n_inputs + 2));
  }
  return EB_OK;
}

/* ---- What the samples say ---------------------------------------------- */

static double mean_of(const double *results, size_t count) {
  double sum = 0.0;
  for (size_t i = 0; i < count; i++)
    sum += results[i];
  return sum / (double)count;
}

static double variance_of(const double *results, size_t count) {
  double mean = mean_of(results, count), sum = 0.0;
  for (size_t i = 0; i < count; i++)
    sum += (results[i] - mean) * (results[i] - mean);
  return sum / (double)count;
}

/* The variance that one input makes. */
static double part_of(const sampler *s, const double *results, size_t input) {
  double mean = mean_of(results, s->count), sum = 0.0;
  for (size_t k = 0; k < s->n; k++) {
    const double *row = results + k * (s->model.n_inputs + 2);
    sum += (row[1] - mean) * (row[2 + input] - row[0]);
  }
  return sum / (double)s->n;
}

/* The same of a parabola, known. */
static double part_of_curve(const sampler *s, const ebi_spread *spread, size_t input) {
  const moments *m = &s->cut;
  double effect = spread->effect[input], bend = s->bend[input];
  return effect * effect * m->second + bend * bend * (m->fourth - m->second * m->second);
}

static double variance_of_curve(const sampler *s, const ebi_spread *spread) {
  double sum = 0.0;
  for (size_t i = 0; i < s->model.n_inputs; i++)
    sum += part_of_curve(s, spread, i);
  return sum;
}

/* Mean cube over the variance to 3/2. */
static double skewness_of_curve(const sampler *s, const ebi_spread *spread) {
  const moments *m = &s->cut;
  double v = m->second, sum = 0.0, variance = variance_of_curve(s, spread);
  for (size_t i = 0; i < s->model.n_inputs; i++) {
    double effect = spread->effect[i], bend = s->bend[i];
    sum += 3.0 * effect * effect * bend * (m->fourth - v * v) +
           bend * bend * bend * (m->sixth - 3.0 * m->fourth * v + 2.0 * v * v * v);
  }
  return variance > 0.0 ? sum / (variance * sqrt(variance)) : 0.0;
}

/* Shares never add up to more than the whole. */
static void fit_into_whole(const sampler *s, ebi_spread *spread) {
  double sum = 0.0;
  for (size_t i = 0; i < s->model.n_inputs; i++)
    sum += spread->share[i];
  for (size_t i = 0; i < s->model.n_inputs && sum > 1.0; i++)
    spread->share[i] /= sum;
}

static void set_shares(const sampler *s, ebi_spread *spread) {
  double sampled = variance_of(s->of_model, s->count);
  spread->variance = sampled - variance_of(s->of_curve, s->count) + variance_of_curve(s, spread);
  if (!(spread->variance > 0.0))
    spread->variance = sampled;
  if (!(spread->variance > 0.0))
    return;
  for (size_t i = 0; i < s->model.n_inputs; i++) {
    double part = part_of(s, s->of_model, i) - part_of(s, s->of_curve, i);
    part += part_of_curve(s, spread, i);
    spread->share[i] = fmin(fmax(part / spread->variance, 0.0), 1.0);
  }
  fit_into_whole(s, spread);
}

static int by_size(const void *left, const void *right) {
  const double *a = left, *b = right;
  return (*a > *b) - (*a < *b);
}

/* Between the two results nearest to it, in a straight line. */
static double quantile(const double *sorted, size_t count, double share) {
  double at = share * (double)(count - 1);
  size_t below = (size_t)at;
  size_t above = below + 1 < count ? below + 1 : below;
  return sorted[below] + (at - (double)below) * (sorted[above] - sorted[below]);
}

/* Of the curve, whose mean is 0: a normal one bent by its skewness (Cornish & Fisher 1938). */
static double quantile_of_curve(const sampler *s, const ebi_spread *spread, double share) {
  double z = gsl_cdf_ugaussian_Pinv(share);
  double bent = z + (z * z - 1.0) * skewness_of_curve(s, spread) / 6.0;
  return bent * sqrt(variance_of_curve(s, spread));
}

static double quantile_of_model(const sampler *s, const ebi_spread *spread, double share) {
  return quantile(s->of_model, s->count, share) - quantile(s->of_curve, s->count, share) +
         quantile_of_curve(s, spread, share);
}

static void set_quantiles(const sampler *s, double tail, ebi_spread *spread) {
  qsort(s->of_model, s->count, sizeof *s->of_model, by_size);
  qsort(s->of_curve, s->count, sizeof *s->of_curve, by_size);
  spread->low = quantile_of_model(s, spread, tail);
  spread->high = quantile_of_model(s, spread, 1.0 - tail);
}

/* Each moment from the one before: (k + 1) m_k - 2 C^(k+1) f(C)/(1 - 2 below). */
static moments moments_of_cut(double below) {
  double edge = 2.0 * CUT * exp(-0.5 * CUT * CUT) / ROOT_OF_2_PI / (1.0 - 2.0 * below);
  double second = 1.0 - edge, fourth = 3.0 * second - CUT * CUT * edge;
  return (moments){second, fourth, 5.0 * fourth - CUT * CUT * CUT * CUT * edge};
}

static sampler sampler_of(ebi_model model, size_t n, double *work) {
  sampler s = {.model = model, .n = n, .count = n * (model.n_inputs + 2), .of_model = work};
  s.of_curve = work + s.count;
  s.below = gsl_cdf_ugaussian_P(-CUT);
  s.cut = moments_of_cut(s.below);
  return s;
}

eb_status ebi_sobol_spread(ebi_model model, size_t n, double tail, double *work,
                           ebi_spread *spread) {
  if (model.n_inputs == 0 || model.n_inputs > EBI_SOBOL_INPUTS || n == 0 ||
      !(tail > 0.0 && tail < 0.5))
    return EB_E_ARGUMENT;
  sampler s = sampler_of(model, n, work);
  ebi_spread found = {0};
  find_effects(&s, &found);
  eb_status status = ask_all(&s, &found);
  if (status != EB_OK)
    return status;
  if (!isfinite(variance_of(s.of_model, s.count)) || !isfinite(variance_of_curve(&s, &found)))
    return EB_E_DIVERGED;
  set_shares(&s, &found);
  set_quantiles(&s, tail, &found);
  *spread = found;
  return EB_OK;
}
