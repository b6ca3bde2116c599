/* energy_certainty.c - how sure the heat saved is, and what most of the doubt comes from
 *
 * The inputs are drawn quasi-randomly and the year is reckoned anew for each sample, by the hours
 * of the climate where it has them, else by monthly means; the band found about that year's saving
 * is laid about the one in hand. Shares are lognormal about 1, so that none goes below 0; the
 * temperature ratio, to which is added, is normal. */

#include "design/energy.h"

#include <math.h>
#include <stdlib.h>

#include "numeric/sobol.h"
#include "physics/ratio_uncertainty.h"

#define SAMPLES 128
#define CONFIDENCE 0.95
#define JOULES_PER_KWH 3.6e6

/* An input of the saving: where the house says how unsure it is, what stands where it does not,
 * and what of the year it moves. */
typedef struct doubtful {
  const char *name;
  bool relative;
  size_t said;    /* an ebi_given of ebi_uncertainty */
  double usual;   /* standard deviation where not said */
  size_t shifted; /* a double of ebi_energy_shift */
} doubtful;

#define SAID(field) offsetof(ebi_uncertainty, field)
#define SHIFTED(field) offsetof(ebi_energy_shift, field)

static const doubtful inputs[] = {
    /* what is set against what was meant (from memory) */
    {"flow", true, SAID(flow), 0.10, SHIFTED(flow)},
    /* three independent sensors of 0.3 K at 20 K difference, GUM: 0.0198 at a ratio of 0.85 */
    {"temperature ratio", false, SAID(ratio), 0.02, SHIFTED(ratio)},
    /* 148.7 K day of 2377.8 between the twenty years of the R data set nottem */
    {"degree-days", true, SAID(degree_days), 0.06, SHIFTED(degree_days)},
    /* from a pressure test: mean error about 40 % (ASHRAE HoF 2021 ch. 16) */
    {"leakage", true, SAID(leakage), 0.40, SHIFTED(infiltration)},
    /* own choice: people and sun are seldom known better */
    {"gains", true, SAID(gains), 0.20, SHIFTED(gains)},
    /* own choice: how windows, vents and fans are used */
    {"baseline", true, SAID(baseline), 0.20, SHIFTED(baseline)},
    /* own choice above the 7.1 % by which measured heat losses of 19 lived-in dwellings repeat
     * (doi 10.1177/17442591251365953) */
    {"heat loss", true, SAID(heat_loss), 0.10, SHIFTED(heat_loss)},
};

#define INPUTS (sizeof inputs / sizeof inputs[0])

static const char sources[] =
    "flow: from memory; ratio: three sensors of 0.3 K (GUM); degree-days: yearly spread of the R "
    "data set nottem; leakage: ASHRAE HoF 2021 ch. 16; heat loss: own choice by doi "
    "10.1177/17442591251365953; gains and baseline: own choice";

static const ebi_given *said_of(const ebi_energy_inputs *in, size_t input) {
  return (const ebi_given *)((const char *)&in->house->uncertainty + inputs[input].said);
}

static double deviation_of(const ebi_energy_inputs *in, size_t input) {
  const ebi_given *said = said_of(in, input);
  return said->given ? said->value : inputs[input].usual;
}

/* ---- The saving of a sample -------------------------------------------- */

/* Hours are found by a search; days would take ten times as long, and months stand for them. */
static ebi_weather quickest(const ebi_climate *climate) {
  return ebi_climate_has(climate, EBI_WEATHER_HOURS) ? EBI_WEATHER_HOURS : EBI_WEATHER_MONTHS;
}

static double saving_at(const double *deviations, void *data) {
  const ebi_energy_inputs *in = data;
  ebi_energy_shift shift = EBI_NO_SHIFT;
  for (size_t i = 0; i < INPUTS; i++) {
    double *moved = (double *)((char *)&shift + inputs[i].shifted);
    double size = deviation_of(in, i);
    if (inputs[i]
            .relative) /* exp(sigma z) has the coefficient of variation root(exp(sigma2) - 1) */
      *moved *= exp(sqrt(log1p(size * size)) * deviations[i]);
    else
      *moved += size * deviations[i];
  }
  return ebi_energy_saving_of(in, quickest(in->house->climate), &shift);
}

/* ---- What is told ------------------------------------------------------ */

static int weightiest_first(const void *left, const void *right) {
  const eb_energy_weight *a = left, *b = right;
  if (a->share != b->share)
    return (a->share < b->share) - (a->share > b->share);
  return (fabs(a->effect_kwh) < fabs(b->effect_kwh)) - (fabs(a->effect_kwh) > fabs(b->effect_kwh));
}

static eb_status set_weights(const ebi_energy_inputs *in, const ebi_spread *spread,
                             eb_energy *energy) {
  eb_energy_weight *weights = EBI_NEW_ARRAY(in->arena, eb_energy_weight, INPUTS);
  if (weights == NULL)
    return EB_E_MEMORY;
  for (size_t i = 0; i < INPUTS; i++)
    weights[i] = (eb_energy_weight){.input = inputs[i].name,
                                    .deviation = deviation_of(in, i),
                                    .relative = inputs[i].relative,
                                    .given = said_of(in, i)->given,
                                    .effect_kwh = spread->effect[i],
                                    .share = spread->share[i]};
  qsort(weights, INPUTS, sizeof *weights, weightiest_first);
  energy->weights = weights;
  energy->n_weights = INPUTS;
  return EB_OK;
}

/* "flow 10 %, temperature ratio 0.02 (14 % of what the exchanger lets go)". */
static eb_status say_taken(const ebi_energy_inputs *in) {
  const char *list = "";
  for (size_t i = 0; i < INPUTS && list != NULL; i++) {
    const char *comma = list[0] != '\0' ? ", " : "";
    if (said_of(in, i)->given)
      continue;
    if (inputs[i].relative)
      list = ebi_arena_format(in->arena, "%s%s%s %.12g %%", list, comma, inputs[i].name,
                              100.0 * inputs[i].usual);
    else
      list = ebi_arena_format(in->arena, "%s%s%s %.12g (%.2g %% of what the exchanger lets go)",
                              list, comma, inputs[i].name, inputs[i].usual,
                              100.0 * ebi_residual_uncertainty(in->ratio, inputs[i].usual));
  }
  if (list == NULL)
    return EB_E_MEMORY;
  if (list[0] != '\0')
    ebi_diag(in->context, EB_NOTE, "certainty", in->house->where, sources,
             "the range of the heat saved takes these standard deviations, for want of your own: "
             "%s; write for example `uncertainty: {leakage: 15 %%, flow: 5 %%}`",
             list);
  return EB_OK;
}

eb_status ebi_energy_certainty(const ebi_energy_inputs *in, eb_energy *energy) {
  double work[2 * SAMPLES * (INPUTS + 2)];
  const double middle[INPUTS] = {0.0};
  ebi_energy_inputs own = *in;
  ebi_spread spread;
  ebi_model model = {saving_at, &own, INPUTS};
  eb_status status = ebi_sobol_spread(model, SAMPLES, 0.5 * (1.0 - CONFIDENCE), work, &spread);
  if (status != EB_OK && status != EB_E_DIVERGED)
    return status;
  energy->range_confidence = CONFIDENCE;
  energy->range_low_kwh = energy->range_high_kwh = NAN;
  if (status == EB_E_DIVERGED) /* whoever checks the year's figures says so */
    return EB_OK;
  double move = energy->saving_heat_kwh - saving_at(middle, &own);
  energy->range_low_kwh = spread.low + move;
  energy->range_high_kwh = spread.high + move;
  status = set_weights(in, &spread, energy);
  return status == EB_OK ? say_taken(in) : status;
}

/* ---- The account ------------------------------------------------------- */

static ebi_step explain_deviation(const ebi_energy_inputs *in, const eb_energy_weight *weight,
                                  eb_ledger *ledger) {
  ebi_where where = {0};
  for (size_t i = 0; i < INPUTS; i++)
    if (inputs[i].name == weight->input && weight->given)
      where = said_of(in, i)->where;
  return ebi_ledger_input(ledger, where, weight->deviation, EBI_RATIO,
                          "standard deviation of the %s%s", weight->input,
                          weight->relative ? "" : ", added to it");
}

void ebi_energy_certainty_explain(const ebi_energy_inputs *in, const eb_energy *energy,
                                  ebi_step saved, eb_ledger *ledger) {
  const double ends[] = {energy->range_low_kwh, energy->range_high_kwh};
  ebi_step from[1 + INPUTS] = {saved};
  size_t n = 1;
  for (size_t i = 0; i < energy->n_weights && n < 1 + INPUTS; i++)
    from[n++] = explain_deviation(in, &energy->weights[i], ledger);
  for (size_t i = 0; i < 2; i++)
    (void)ebi_ledger_step(ledger, EBI_F_SAVING_RANGE, NULL, ends[i] * JOULES_PER_KWH, EBI_ENERGY,
                          from, n, "%s end of the 95 %% range of the heat saved",
                          i == 0 ? "low" : "high");
  for (size_t i = 0; i + 1 < n; i++)
    (void)ebi_ledger_step(ledger, EBI_F_DOUBT_SHARE, NULL, energy->weights[i].share, EBI_RATIO,
                          &from[1 + i], 1, "share of the doubt that comes from the %s",
                          energy->weights[i].input);
}
