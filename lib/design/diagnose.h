/* diagnose.h - what the files of the diagnosis from temperatures share
 *
 * Gather (one round as figures with their errors), figures (ratios with 95 % limits), model (what a
 * unit in a given plight would show), weigh (how likely each plight is), words, explain. */

#ifndef EBI_DIAGNOSE_H
#define EBI_DIAGNOSE_H

#include "base/context.h"
#include "base/ledger.h"
#include "model/readings.h"

#define EBI_LIMITS_95 1.959964 /* standard deviations of a normal distribution's 95 % limits */

/* What the figures are made from; each has a standard uncertainty. Temperatures by eb_air first. */
typedef enum ebi_unit_input {
  EBI_IN_OUTDOOR, EBI_IN_SUPPLY, EBI_IN_EXTRACT, EBI_IN_EXHAUST, /* C */
  EBI_IN_SUPPLY_FLOW, EBI_IN_EXTRACT_FLOW,                       /* m3/s as the air is there */
  EBI_IN_HUMIDITY,                                               /* of the extract air, 0..1 */
  EBI_IN_FAN_SHARE,   /* of the fans' power, what warms the supply */
  EBI_UNIT_INPUTS
} ebi_unit_input;

/* One round at the unit. NAN where it was not read. */
typedef struct ebi_unit_reading {
  const ebi_round *round;
  const ebi_unit *unit; /* of the house, or NULL */
  size_t number;        /* of the round, from 0 */
  double x[EBI_UNIT_INPUTS], u[EBI_UNIT_INPUTS];
  double outdoor_humidity;
  double fan_power_w;   /* of both fans */
  double leak;          /* the unit's own inner leak, 0 where not known */
  double pressure_pa;
} ebi_unit_reading;

/* ---- Gather ---- */

/* Why a round tells nothing, or NULL. */
const char *ebi_unit_reading_lacks(const ebi_round *round);

/* How many terminals the house has on a side, to know whether all were read; false when memory ran
 * out. */
typedef struct ebi_terminal_counts {
  size_t supply, extract;
} ebi_terminal_counts;
bool ebi_unit_count_terminals(const eb_house *house, ebi_arena *scratch,
                              ebi_terminal_counts *counts);

ebi_unit_reading ebi_unit_reading_of(const eb_house *house, const ebi_terminal_counts *counts,
                                     const ebi_round *round, size_t number);

/* Dry air [kg/s] of the supply or the extract; humidity counts where it is known. */
double ebi_unit_dry_air(const ebi_unit_reading *reading, ebi_unit_input flow);

/* ---- Figures ---- */

/* A figure as a function of the inputs; NAN where they do not tell it. */
typedef double (*ebi_unit_figure)(const ebi_unit_reading *reading);
double ebi_unit_supply_ratio(const ebi_unit_reading *reading);
double ebi_unit_extract_ratio(const ebi_unit_reading *reading);
double ebi_unit_corrected_ratio(const ebi_unit_reading *reading);
double ebi_unit_flow_ratio(const ebi_unit_reading *reading);
double ebi_unit_measured_flow_ratio(const ebi_unit_reading *reading);
double ebi_unit_recovered(const ebi_unit_reading *reading);
double ebi_unit_fan_heat(const ebi_unit_reading *reading);
double ebi_unit_condensate(const ebi_unit_reading *reading); /* kg/s */

/* With its 95 % limits: independent inputs add by the squares of their effects, and one that stands
 * in a figure twice counts once with both (GUM, JCGM 100:2008 eq. 10). */
eb_estimate ebi_unit_estimate(ebi_unit_figure figure, const ebi_unit_reading *reading);

/* Least difference of extract and outdoor air [K] that tells causes apart. */
#define EBI_LEAST_DIFFERENCE 3.0

/* ---- Model ---- */

/* What a unit may be up to. All 0 but `ratio`, `flow_ratio` 1: an even one. */
typedef struct ebi_unit_plight {
  double size;          /* UA over the heat capacity of the extract flow */
  double ratio;         /* of the exchanger at even flows */
  double flow_ratio;    /* supply over extract, in mass */
  double bypassed;      /* share of the supply past the exchanger */
  double leak;          /* share of the supply that is extract air */
  double supply_fan_k, extract_fan_k; /* warmth of the fans */
  bool extract_fan_first; /* before the exchanger */
  double preheated_to;  /* C of the outdoor air, no more than that; -HUGE_VAL: not */
  double outdoor_gain, exhaust_gain; /* share of the way to the extract's temperature */
  double supply_loss;   /* share of the way to the outdoor temperature */
} ebi_unit_plight;

#define EBI_WET_POINTS 64

/* Temperature [C] of extract air that has given off heat, by equal steps of it. */
typedef struct ebi_wet_line {
  double step;          /* J/kg; 0: the air counts as dry */
  double dew_c;
  double exhaust_c[EBI_WET_POINTS];
} ebi_wet_line;

/* From air of a state down to giving off what a perfect exchanger of the plights takes. */
ebi_wet_line ebi_wet_line_of(double extract_c, double humidity, double outdoor_c,
                             double pressure_pa);

typedef struct ebi_unit_shown {
  double supply_c, exhaust_c;
  bool wet;             /* water drops */
} ebi_unit_shown;
ebi_unit_shown ebi_unit_show(const ebi_unit_plight *plight, bool crossflow, double outdoor_c,
                             double extract_c, const ebi_wet_line *line);

/* ---- Weigh ---- */

typedef enum ebi_cause {
  EBI_CAUSE_BALANCED, EBI_CAUSE_SUPPLY_HEAVY, EBI_CAUSE_EXTRACT_HEAVY, EBI_CAUSE_CONDENSING,
  EBI_CAUSE_BYPASS, EBI_CAUSE_FROST, EBI_CAUSE_FAN_HEAT, EBI_CAUSE_PICK_UP,
  EBI_CAUSE_RECIRCULATION, EBI_CAUSE_SENSORS, EBI_CAUSES
} ebi_cause;

/* Evidence of one cause: the sum of its points' likelihoods, in logarithms. */
typedef struct ebi_cause_weight {
  double prior;
  double most, sum;     /* sum of exp(ln - most) */
  double points;        /* weights of all points, those left out as well */
  double best;          /* ln of the best point */
  ebi_unit_plight plight; /* there */
  ebi_unit_shown shown;
  double humidity;      /* there; NAN: not part of it */
  int variant;          /* there: which sensor, or which kind */
  double probability;
} ebi_cause_weight;

void ebi_unit_weigh(const ebi_unit_reading *reading, ebi_cause_weight weights[EBI_CAUSES]);

/* What a sensor fault is, by its variant: 0..3 one that reads wrong, 4.. a swapped pair. */
#define EBI_SENSOR_SWAPS 6
extern const int ebi_sensor_swaps[EBI_SENSOR_SWAPS][2];

/* Variants of duct pick-up and of frost protection. */
enum { EBI_PICK_UP_SUPPLY, EBI_PICK_UP_OUTDOOR, EBI_PICK_UP_EXHAUST };
enum { EBI_FROST_MODE_REDUCED, EBI_FROST_MODE_RECIRCULATES, EBI_FROST_MODE_PREHEATS };

/* ---- Words and account ---- */

const char *ebi_cause_code(ebi_cause cause);

/* NULL when memory ran out. */
const char *ebi_cause_words(ebi_arena *arena, const ebi_unit_reading *reading, ebi_cause cause,
                            const ebi_cause_weight *weight, const eb_unit_state *state);
void ebi_unit_explain(const ebi_unit_reading *reading, const eb_unit_state *state,
                      eb_ledger *ledger);

#endif
