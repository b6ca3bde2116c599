/* evenbreath_balance.h - from readings to settings, and the record of the visit
 *
 * A part of evenbreath.h, which includes it; do not include it alone.
 *
 * SPDX-License-Identifier: GPL-3.0-or-later */

#ifndef EVENBREATH_BALANCE_H
#define EVENBREATH_BALANCE_H

/* ---- Balance: what to set, what readings mean, what to turn next --------- */

typedef enum eb_verdict {
  EB_VERDICT_FIRST_SETTINGS,    /* nothing was read yet */
  EB_VERDICT_ADJUST,            /* turn what is advised, then read again */
  EB_VERDICT_DONE,
  EB_VERDICT_NOT_REACHABLE,     /* no setting does it; `limit` says what stands in the way */
  EB_VERDICT_CANNOT_BE_DECLARED /* only a flow by other means could settle it; `needs` says which */
} eb_verdict;

/* Flows in m3/s at the room's air, errors as 95 % limits; NAN where not known. */
typedef struct eb_balance_terminal {
  const char *run, *room, *valve;
  bool supply;
  size_t turn;                 /* its place in the round, from 1 */
  double required_m3_s, design_m3_s; /* at the set level */
  double target_m3_s;          /* what is aimed at, over-supply counted */
  double measured_m3_s, measured_error_m3_s; /* last reading, corrected for density and hood */
  double now_m3_s, now_error_m3_s; /* as all rounds together say it is, as it stands */
  double predicted_m3_s, predicted_error_m3_s; /* once set as advised */
  bool has_opening;
  double opening, next_opening; /* as it stands, as advised, in the valve's unit */
  const char *opening_unit;
  bool move;                   /* turn it */
  bool index;                  /* the valve that stays open */
  bool read_again;
  const char *why;             /* to read it again, or "" */
  const char *unread;          /* why it was not read, NULL where it was */
  bool passes;                 /* its reading passes the rule as written */
} eb_balance_terminal;

typedef struct eb_balance_level {
  const char *name;
  double supply_signal, extract_signal; /* 0..1 of the controller's range, as advised */
  double supply_m3_s, extract_m3_s;     /* totals that are predicted */
  double supply_error_m3_s, extract_error_m3_s;
  double required_supply_m3_s, required_extract_m3_s;
  double imbalance;            /* by mass, with the rule's divisor */
  double power_w;              /* 0: not known */
  bool limited;                /* a fan is at its end: the level is not met */
  bool beyond;                 /* further than was read: an extrapolation */
} eb_balance_level;

/* Something that is not as it was drawn, the likeliest first. */
typedef struct eb_suspect {
  const char *code;            /* "crushed", "detached", "capped", "swapped-readings", "unit-slip",
                                  "wrong-side", "fan", "frost", ... */
  const char *run, *other;     /* "supply fan" for a fan; `other`: its partner, or "" */
  double factor;               /* pressure over what was calculated, or reading over truth */
  double probability;
  const char *message;
} eb_suspect;

/* An unknown with what was expected of it and what the readings made of it. */
typedef struct eb_balance_unknown {
  const char *what, *of;       /* "pressure of the run", "s-bed1" */
  double expected, expected_error, found, found_error; /* 95 % limits */
} eb_balance_unknown;

typedef struct eb_balance_status {
  eb_verdict verdict;
  bool legal_known;            /* the rule set has a rule for it and all was read */
  bool legal_pass;             /* every reading passes the rule as written */
  double probability;          /* that the house as it stands is truly within the rule */
  double reach_probability;    /* the same once set as advised */
  double supply_total_m3_s, extract_total_m3_s; /* as read, at the set level */
  double imbalance;            /* by mass, of the rule's divisor */
  const char *rule, *source;   /* which tolerance, in words */
  double over_supply;          /* share aimed at above the design for a one-sided rule */
  const char *limit;           /* or "" */
  const char *needs;           /* or "" */
  size_t n_readings;           /* all rounds */
} eb_balance_status;

typedef struct eb_balance {
  const char *set_level;
  const char *signal_unit;     /* "%" or "V" */
  eb_balance_status status;
  const eb_balance_terminal *terminals; /* in the order to go round */
  size_t n_terminals;
  const eb_balance_level *levels;
  size_t n_levels;
  const eb_suspect *suspects;
  size_t n_suspects;
  const eb_balance_unknown *unknowns;
  size_t n_unknowns;
  const char *const *checks;   /* what must be shut, open or off before the first reading */
  size_t n_checks;
  int fit_steps;
} eb_balance;

typedef struct eb_balance_options {
  size_t size;
  double confidence;           /* to declare done, 0.95 where 0 */
} eb_balance_options;

/* `readings` NULL: first settings. The house must have ducts. */
EB_MUST_USE eb_status eb_balance_advise(eb_context *context, const eb_house *house,
                                        const eb_rates *rates, const eb_readings *readings,
                                        const eb_balance_options *options, eb_ledger *ledger,
                                        const eb_balance **balance);
void eb_balance_free(const eb_balance *balance);

#endif
