/* diagnose_weigh.c - how likely each plight of a unit is by what its sensors show
 *
 * Bayes: prior times evidence. Evidence is the mean, over the plight's unknowns on a fixed grid, of
 * a Gaussian likelihood: the supply and the exhaust temperature less what the model says from the
 * outdoor and the extract temperature read, with the errors of all four (where a temperature
 * stands in both, their covariance), and the flow ratio where flows were read. A plight with more
 * freedom spreads its evidence wider, so that the plainer one wins where both fit. Priors and
 * spreads are own judgement: doc/readings.md has them in a table. */

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "design/diagnose.h"
#include "physics/exchanger.h"

#define N_RATIOS 41
#define N_EVEN 5
#define N_UNEVEN 31
#define N_PARTS 8

/* Beside the thermometer: air that is not of one temperature across the duct. */
#define OF_MIXING 0.2 /* K */

/* A unit in its place against its sheet, and what is thought of one without a sheet. */
#define OF_SHEET 0.05
#define LEAST_RATIO 0.4
#define MOST_RATIO 0.97

#define EVEN 0.05   /* ln of the flow ratio that still counts as even */
#define UNEVEN 0.80 /* and the most, 2.2 to 1 */
#define FADES 0.25  /* the odds of an unevenness fall by e for each so much more */
#define OFF_K 3.0   /* a sensor that reads wrong is off by so much, standard deviation */

#define STILL_K 5.0 /* what stands in a duct without flow is of any temperature, likewise */

/* Where the unit does not say: common practice. */
#define FROST_BELOW_C 0.0
#define BYPASS_FROM_C 22.0
#define BYPASS_OUTDOOR_C 12.0

/* What multiplies the prior of a state that someone saw, that should be, that someone did not see.
 */
#define SEEN 40.0
#define DUE 4.0
#define NOT_SEEN 0.3

const int ebi_sensor_swaps[EBI_SENSOR_SWAPS][2] = {
    {EB_SUPPLY, EB_EXTRACT}, {EB_OUTDOOR, EB_EXHAUST}, {EB_SUPPLY, EB_EXHAUST},
    {EB_OUTDOOR, EB_SUPPLY}, {EB_EXTRACT, EB_EXHAUST}, {EB_OUTDOOR, EB_EXTRACT}};

static const double priors[EBI_CAUSES] = {
    [EBI_CAUSE_BALANCED] = 0.20,      [EBI_CAUSE_SUPPLY_HEAVY] = 0.10,
    [EBI_CAUSE_EXTRACT_HEAVY] = 0.10, [EBI_CAUSE_CONDENSING] = 0.20,
    [EBI_CAUSE_BYPASS] = 0.05,        [EBI_CAUSE_FROST] = 0.05,
    [EBI_CAUSE_FAN_HEAT] = 0.10,      [EBI_CAUSE_PICK_UP] = 0.05,
    [EBI_CAUSE_RECIRCULATION] = 0.05, [EBI_CAUSE_SENSORS] = 0.05};

typedef struct weigher {
  const ebi_unit_reading *reading;
  bool crossflow;
  double ratio[N_RATIOS], size[N_RATIOS], weight[N_RATIOS]; /* of the exchanger, and how likely */
  double ln_flow_ratio, u_ln_flow_ratio;                    /* as measured; NAN */
  ebi_cause_weight *weights;
} weigher;

/* What the sensors show, by eb_air, how sure, and the air's water. */
typedef struct sight {
  double t[4], variance[4];
  const ebi_wet_line *line;
  double humidity;
  int variant;
} sight;

/* ---- One point --------------------------------------------------------- */

/* ln of the density of both lacks, with the errors of the four sensors in them. */
static double ln_temperatures(const sight *s, const ebi_unit_shown *shown) {
  double span = s->t[EB_EXTRACT] - s->t[EB_OUTDOOR];
  double supply = (shown->supply_c - s->t[EB_OUTDOOR]) / span;
  double extract = (s->t[EB_EXTRACT] - shown->exhaust_c) / span;
  double lack[2] = {s->t[EB_SUPPLY] - shown->supply_c, s->t[EB_EXHAUST] - shown->exhaust_c};
  const double *v = s->variance;
  double a = (1 - supply) * (1 - supply) * v[EB_OUTDOOR] + v[EB_SUPPLY] +
             supply * supply * v[EB_EXTRACT] + OF_MIXING * OF_MIXING;
  double b = extract * extract * v[EB_OUTDOOR] + (1 - extract) * (1 - extract) * v[EB_EXTRACT] +
             v[EB_EXHAUST] + OF_MIXING * OF_MIXING;
  double both = (1 - supply) * extract * v[EB_OUTDOOR] + supply * (1 - extract) * v[EB_EXTRACT];
  double det = a * b - both * both;
  double square = (b * lack[0] * lack[0] - 2 * both * lack[0] * lack[1] + a * lack[1] * lack[1]);
  return det > 0.0 ? -0.5 * (square / det + log(det)) : (double)NAN;
}

static double ln_flows(const weigher *w, double flow_ratio) {
  if (isnan(w->ln_flow_ratio))
    return 0.0;
  double lack = (w->ln_flow_ratio - log(flow_ratio)) / w->u_ln_flow_ratio;
  return -0.5 * lack * lack;
}

static void add(ebi_cause_weight *to, double ln) {
  if (to->sum == 0.0 || ln > to->most) {
    to->sum *= to->sum == 0.0 ? 1.0 : exp(to->most - ln);
    to->most = ln;
  }
  to->sum += exp(ln - to->most);
}

/* One point of a cause's grid. Points that are another cause's count without likelihood. */
static void point(weigher *w, ebi_cause cause, const ebi_unit_plight *plight, const sight *s,
                  double weight) {
  ebi_cause_weight *to = &w->weights[cause];
  to->points += weight;
  if (!(fabs(s->t[EB_EXTRACT] - s->t[EB_OUTDOOR]) > 0.5))
    return;
  ebi_unit_shown shown =
      ebi_unit_show(plight, w->crossflow, s->t[EB_OUTDOOR], s->t[EB_EXTRACT], s->line);
  if ((cause == EBI_CAUSE_BALANCED && shown.wet) || (cause == EBI_CAUSE_CONDENSING && !shown.wet))
    return;
  double ln = ln_temperatures(s, &shown) + ln_flows(w, plight->flow_ratio);
  if (!isfinite(ln) || !(weight > 0.0))
    return;
  add(to, ln + log(weight));
  if (to->sum > 0.0 && ln + log(weight) > to->best) {
    to->best = ln + log(weight);
    to->plight = *plight;
    to->shown = shown;
    to->humidity = s->humidity;
    to->variant = s->variant;
  }
}

/* Over what the exchanger may be good for. */
static void over_ratios(weigher *w, ebi_cause cause, const ebi_unit_plight *plight, const sight *s,
                        double weight) {
  ebi_unit_plight one = *plight;
  for (int i = 0; i < N_RATIOS; i++) {
    one.ratio = w->ratio[i];
    one.size = w->size[i];
    point(w, cause, &one, s, weight * w->weight[i]);
  }
}

/* Over flow ratios from exp(low) to exp(high), the more uneven the less likely. */
static void over_flows(weigher *w, ebi_cause cause, const ebi_unit_plight *plight, const sight *s,
                       double low, double high, int count) {
  ebi_unit_plight one = *plight;
  for (int i = 0; i < count; i++) {
    double ln = low + (high - low) * (i + 0.5) / count;
    one.flow_ratio = exp(ln);
    over_ratios(w, cause, &one, s, exp(-fabs(ln) / FADES));
  }
}

static void over_even(weigher *w, ebi_cause cause, const ebi_unit_plight *plight, const sight *s) {
  over_flows(w, cause, plight, s, -EVEN, EVEN, N_EVEN);
}

/* ---- Causes ------------------------------------------------------------ */

static const ebi_unit_plight plain = {.flow_ratio = 1.0, .preheated_to = -HUGE_VAL};

/* `part` (of `plight`) from low to high. */
static void over_part(weigher *w, ebi_cause cause, ebi_unit_plight *plight, double *part,
                      const sight *s, double low, double high) {
  for (int i = 0; i < N_PARTS; i++) {
    *part = low + (high - low) * (i + 0.5) / N_PARTS;
    over_even(w, cause, plight, s);
  }
}

/* Water drops: at the humidity read, else at any usual one. */
static void weigh_condensing(weigher *w, const sight *s) {
  const ebi_unit_reading *r = w->reading;
  const double dry = 0.30, damp = 0.65; /* of rooms in winter, common practice */
  sight one = *s;
  if (s->line->step > 0.0) {
    over_even(w, EBI_CAUSE_CONDENSING, &plain, s);
    return;
  }
  for (int i = 0; isnan(s->humidity) && i < N_PARTS; i++) {
    one.humidity = dry + (damp - dry) * (i + 0.5) / N_PARTS;
    ebi_wet_line line =
        ebi_wet_line_of(r->x[EBI_IN_EXTRACT], one.humidity, r->x[EBI_IN_OUTDOOR], r->pressure_pa);
    one.line = &line;
    over_even(w, EBI_CAUSE_CONDENSING, &plain, &one);
  }
}

/* What stays of the exchanger, and the warmth of the fan, which shows where nothing else does. */
static void weigh_bypass(weigher *w, const sight *s) {
  const ebi_unit *unit = w->reading->unit;
  bool given = unit != NULL && unit->bypass_residual.given;
  double warmth = ebi_unit_fan_heat(w->reading);
  for (int i = 0; i < N_PARTS; i++) {
    double stays = given ? unit->bypass_residual.value * (0.6 + 0.1 * i) : 0.025 * (i + 1);
    ebi_unit_plight one = plain;
    one.bypassed = 1.0 - fmin(stays, 1.0);
    one.supply_fan_k = isnan(warmth) ? 0.4 : warmth;
    over_even(w, EBI_CAUSE_BYPASS, &one, s);
  }
}

static ebi_frost frost_method(const weigher *w) {
  return w->reading->unit != NULL ? w->reading->unit->frost : EBI_FROST_REDUCE_SUPPLY;
}

static double frost_below(const weigher *w) {
  const ebi_unit *unit = w->reading->unit;
  return unit != NULL && unit->frost_below.given ? unit->frost_below.value : FROST_BELOW_C;
}

static void weigh_frost(weigher *w, const sight *s) {
  ebi_unit_plight one = plain;
  sight seen = *s;
  ebi_frost method = frost_method(w);
  if (method == EBI_FROST_PREHEATER || method == EBI_FROST_GROUND) {
    seen.variant = EBI_FROST_MODE_PREHEATS;
    double from = fmax(frost_below(w), s->t[EB_OUTDOOR]);
    over_part(w, EBI_CAUSE_FROST, &one, &one.preheated_to, &seen, from, from + 6.0);
  } else if (method == EBI_FROST_RECIRCULATE) {
    seen.variant = EBI_FROST_MODE_RECIRCULATES;
    seen.variance[EB_EXHAUST] += STILL_K * STILL_K;
    over_part(w, EBI_CAUSE_FROST, &one, &one.leak, &seen, 0.5, 0.95);
  } else {
    seen.variant = EBI_FROST_MODE_REDUCED;
    over_flows(w, EBI_CAUSE_FROST, &one, &seen, log(0.2), log(0.85), N_UNEVEN);
  }
}

/* By the power and flow read, else anything usual; the extract fan before or after the exchanger.
 */
static void weigh_fan_heat(weigher *w, const sight *s) {
  double warmth = ebi_unit_fan_heat(w->reading);
  bool known = !isnan(warmth);
  double low = known ? 0.6 * warmth : 0.33, high = known ? 1.4 * warmth : 1.04;
  for (int i = 0; i < N_PARTS; i++) {
    ebi_unit_plight one = plain;
    one.supply_fan_k = one.extract_fan_k = low + (high - low) * (i + 0.5) / N_PARTS;
    over_even(w, EBI_CAUSE_FAN_HEAT, &one, s);
    one.extract_fan_first = true;
    over_even(w, EBI_CAUSE_FAN_HEAT, &one, s);
  }
}

static void weigh_pick_up(weigher *w, const sight *s) {
  const double least = 0.03, most = 0.3;
  sight seen = *s;
  ebi_unit_plight one = plain;
  seen.variant = EBI_PICK_UP_SUPPLY;
  over_part(w, EBI_CAUSE_PICK_UP, &one, &one.supply_loss, &seen, least, most);
  one = plain;
  seen.variant = EBI_PICK_UP_OUTDOOR;
  over_part(w, EBI_CAUSE_PICK_UP, &one, &one.outdoor_gain, &seen, least, most);
  one = plain;
  seen.variant = EBI_PICK_UP_EXHAUST;
  over_part(w, EBI_CAUSE_PICK_UP, &one, &one.exhaust_gain, &seen, least, most);
}

static void weigh_recirculation(weigher *w, const sight *s) {
  double known = w->reading->leak;
  ebi_unit_plight one = plain;
  if (known > 0.0)
    over_part(w, EBI_CAUSE_RECIRCULATION, &one, &one.leak, s, 0.5 * known, fmin(2.0 * known, 0.9));
  else
    over_part(w, EBI_CAUSE_RECIRCULATION, &one, &one.leak, s, 0.02, 0.25);
}

/* One that is off only widens its error. A swapped pair is looked at swapped back; its humidity may
 * be of either, so the air counts as dry there. */
static void weigh_sensors(weigher *w, const sight *s) {
  static const ebi_wet_line dry = {.step = 0.0};
  for (int i = 0; i < 4; i++) {
    sight one = *s;
    one.variant = i;
    one.variance[i] += OFF_K * OFF_K;
    over_even(w, EBI_CAUSE_SENSORS, &plain, &one);
  }
  for (int i = 0; i < EBI_SENSOR_SWAPS; i++) {
    sight one = *s;
    const int *pair = ebi_sensor_swaps[i];
    one.variant = 4 + i;
    one.line = &dry;
    one.t[pair[0]] = s->t[pair[1]];
    one.t[pair[1]] = s->t[pair[0]];
    over_even(w, EBI_CAUSE_SENSORS, &plain, &one);
  }
}

/* ---- Priors ------------------------------------------------------------ */

static double said(const char *word, const char *yes) {
  if (word == NULL)
    return 1.0;
  return ebi_text_equal(word, yes) ? SEEN : NOT_SEEN;
}

/* A bypass opens where it is warm inside and mild outdoors. */
static double bypass_due(const weigher *w) {
  const ebi_unit *unit = w->reading->unit;
  bool opens = unit != NULL && unit->bypass_opens_above.given;
  double from = opens ? unit->bypass_opens_above.value : BYPASS_FROM_C;
  bool closes = unit != NULL && unit->bypass_closes_below.given;
  double outdoor = closes ? unit->bypass_closes_below.value : BYPASS_OUTDOOR_C;
  bool due = w->reading->x[EBI_IN_EXTRACT] > from && w->reading->x[EBI_IN_OUTDOOR] > outdoor;
  return due ? DUE : 1.0;
}

/* Frost protection needs frost, unless someone saw it at work. */
static double frost_due(const weigher *w) {
  const char *word = w->reading->round->frost;
  bool on = word != NULL && ebi_text_equal(word, "on");
  if (on)
    return SEEN;
  if (frost_method(w) == EBI_FROST_NONE || w->reading->x[EBI_IN_OUTDOOR] > frost_below(w) + 1.0)
    return 0.0;
  return DUE * said(word, "on");
}

static void set_priors(weigher *w) {
  for (int i = 0; i < EBI_CAUSES; i++)
    w->weights[i] = (ebi_cause_weight){.prior = priors[i], .best = -HUGE_VAL, .humidity = NAN};
  w->weights[EBI_CAUSE_BYPASS].prior *= bypass_due(w) * said(w->reading->round->bypass, "open");
  w->weights[EBI_CAUSE_FROST].prior *= frost_due(w);
  w->weights[EBI_CAUSE_RECIRCULATION].prior *= w->reading->leak > 0.0 ? DUE : 1.0;
}

/* The sheet's ratio at the flow in hand, give or take; else anything from poor to very good. */
static void set_ratios(weigher *w) {
  const ebi_unit *unit = w->reading->unit;
  bool known = unit != NULL && unit->has_exchanger;
  double middle = known ? unit->temperature_ratio : (double)NAN;
  double flow = w->reading->x[EBI_IN_EXTRACT_FLOW];
  if (known && unit->ratio_at.given && flow > 0.0) {
    double there = eb_ratio_at_flow(middle, unit->ratio_at.value, flow,
                                    unit->ratio_exponent.given ? unit->ratio_exponent.value : 0.0);
    middle = isnan(there) ? middle : there;
  }
  w->crossflow = known && unit->crossflow;
  double low = known ? fmax(middle - 3 * OF_SHEET, 0.05) : LEAST_RATIO;
  double high = known ? fmin(middle + 3 * OF_SHEET, MOST_RATIO) : MOST_RATIO;
  for (int i = 0; i < N_RATIOS; i++) {
    double ratio = low + (high - low) * i / (N_RATIOS - 1);
    double off = known ? (ratio - middle) / OF_SHEET : 0.0;
    double size = ebi_exchanger_size(w->crossflow, ratio, 1.0);
    w->ratio[i] = ratio;
    w->size[i] = isnan(size) ? 0.0 : size;
    w->weight[i] = isnan(size) ? 0.0 : exp(-0.5 * off * off);
  }
}

static void set_flow_ratio(weigher *w) {
  eb_estimate flows = ebi_unit_estimate(ebi_unit_measured_flow_ratio, w->reading);
  w->ln_flow_ratio = flows.value > 0.0 ? log(flows.value) : (double)NAN;
  w->u_ln_flow_ratio = (flows.high - flows.value) / EBI_LIMITS_95 / flows.value;
  if (!(w->u_ln_flow_ratio > 0.0))
    w->ln_flow_ratio = NAN;
}

/* ---- All --------------------------------------------------------------- */

static void weigh_all(weigher *w, const sight *s) {
  over_even(w, EBI_CAUSE_BALANCED, &plain, s);
  over_flows(w, EBI_CAUSE_SUPPLY_HEAVY, &plain, s, EVEN, UNEVEN, N_UNEVEN);
  over_flows(w, EBI_CAUSE_EXTRACT_HEAVY, &plain, s, -UNEVEN, -EVEN, N_UNEVEN);
  weigh_condensing(w, s);
  weigh_bypass(w, s);
  if (w->weights[EBI_CAUSE_FROST].prior > 0.0)
    weigh_frost(w, s);
  weigh_fan_heat(w, s);
  weigh_pick_up(w, s);
  weigh_recirculation(w, s);
  weigh_sensors(w, s);
}

/* Prior times evidence, in shares of their sum. */
static void normalise(ebi_cause_weight weights[EBI_CAUSES]) {
  double ln[EBI_CAUSES], most = -HUGE_VAL, sum = 0.0;
  for (int i = 0; i < EBI_CAUSES; i++) {
    const ebi_cause_weight *one = &weights[i];
    bool any = one->prior > 0.0 && one->sum > 0.0 && one->points > 0.0;
    ln[i] = any ? log(one->prior) + one->most + log(one->sum / one->points) : -HUGE_VAL;
    most = fmax(most, ln[i]);
  }
  for (int i = 0; i < EBI_CAUSES; i++)
    sum += weights[i].probability = isfinite(most) ? exp(ln[i] - most) : 0.0;
  for (int i = 0; sum > 0.0 && i < EBI_CAUSES; i++)
    weights[i].probability /= sum;
}

void ebi_unit_weigh(const ebi_unit_reading *reading, ebi_cause_weight weights[EBI_CAUSES]) {
  weigher w = {.reading = reading, .weights = weights};
  ebi_wet_line line = ebi_wet_line_of(reading->x[EBI_IN_EXTRACT], reading->x[EBI_IN_HUMIDITY],
                                      reading->x[EBI_IN_OUTDOOR], reading->pressure_pa);
  sight s = {.line = &line, .humidity = reading->x[EBI_IN_HUMIDITY]};
  for (int air = 0; air < 4; air++) {
    s.t[air] = reading->x[air];
    s.variance[air] = reading->u[air] * reading->u[air];
  }
  set_priors(&w);
  set_ratios(&w);
  set_flow_ratio(&w);
  weigh_all(&w, &s);
  normalise(weights);
}
