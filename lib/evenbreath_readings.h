/* evenbreath_readings.h - what was read on site, and what temperatures say of a unit
 *
 * A part of evenbreath.h, which includes it; do not include it alone.
 *
 * SPDX-License-Identifier: GPL-3.0-or-later */

#ifndef EVENBREATH_READINGS_H
#define EVENBREATH_READINGS_H

/* ---- Readings ----------------------------------------------------------- */

typedef struct eb_readings eb_readings;

/* Reads readings taken in a house: YAML, or CSV (a name that ends in .csv). They refer to the house
 * and are freed before it, or with the context. */
EB_MUST_USE eb_status eb_readings_read(eb_context *context, const eb_house *house, const char *name,
                                       const void *bytes, size_t length, eb_readings **readings);
EB_MUST_USE eb_status eb_readings_read_file(eb_context *context, const eb_house *house,
                                            const char *path, eb_readings **readings);
void eb_readings_free(eb_readings *readings);

/* ---- Diagnosis of a running unit from its temperatures ------------------ */

/* A figure with its 95 % limits; NAN where the readings do not tell it. */
typedef struct eb_estimate {
  double value, low, high;
} eb_estimate;

/* One explanation of what was read, the likeliest first. */
typedef struct eb_unit_cause {
  const char *code;    /* "balanced", "supply-heavy", "extract-heavy", "condensing", "bypass-open",
                          "frost-mode", "fan-heat", "duct-pick-up", "recirculation", "sensors" */
  const char *message; /* in words, with its figures */
  double probability;  /* among the explanations listed */
} eb_unit_cause;

/* What one round of temperatures says. */
typedef struct eb_unit_state {
  size_t round;                        /* 0: the first */
  double outdoor_c, supply_c, extract_c, exhaust_c;
  eb_estimate supply_ratio, extract_ratio; /* as read */
  eb_estimate corrected_ratio;         /* fan heat and recirculation taken out */
  eb_estimate flow_ratio;              /* supply over extract by the heat balance of a dry unit */
  eb_estimate measured_flow_ratio;     /* by the flows read, in mass */
  eb_estimate recovered_w;             /* into the supply air */
  eb_estimate fan_heat_k;              /* warming by the supply fan */
  eb_estimate condensate_kg_h;
  double dew_point_c;                  /* of the extract air; NAN without a humidity */
  const eb_unit_cause *causes;
  size_t n_causes;
} eb_unit_state;

typedef struct eb_unit_diagnosis {
  const eb_unit_state *states;
  size_t n_states;
} eb_unit_diagnosis;

typedef struct eb_diagnose_options {
  size_t size;
  bool may_lack; /* no round with the four temperatures gives no states, and is no error */
} eb_diagnose_options;

/* What the four temperatures at the unit say: ratios with their limits, and the likely causes of
 * them. EB_E_INPUT where no round has the four. A difference of extract and outdoor air below 3 K
 * gives figures and no causes, with a note. */
EB_MUST_USE eb_status eb_unit_diagnose(eb_context *context, const eb_house *house,
                                       const eb_readings *readings,
                                       const eb_diagnose_options *options, eb_ledger *ledger,
                                       const eb_unit_diagnosis **diagnosis);
void eb_unit_diagnosis_free(const eb_unit_diagnosis *diagnosis);

#endif
