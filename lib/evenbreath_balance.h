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
  double low_m3_s, high_m3_s;  /* between these the rule lets it pass; NAN: no such end */
} eb_balance_terminal;

/* One terminal in one round: its design at the round's level, what the rule allows there, what
 * was read. */
typedef struct eb_balance_reading {
  double design_m3_s;
  double low_m3_s, high_m3_s;
  double measured_m3_s, error_m3_s; /* corrected for density and hood; NAN: not read */
  bool passes;
} eb_balance_reading;

typedef struct eb_balance_round {
  size_t number;               /* in the file of readings, from 1 */
  const char *level;
  const eb_balance_reading *readings; /* n_terminals of eb_balance */
} eb_balance_round;

typedef struct eb_balance_level {
  const char *name;
  double supply_signal, extract_signal; /* as advised, see eb_controller */
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
  eb_controller controller;    /* what signals are */
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
  const eb_balance_round *rounds; /* that count, as they were read */
  size_t n_rounds;
  size_t readings_each;        /* take so many of each terminal in a round: the instrument's repeat
                                  against the rule's tolerance */
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

/* ---- The record of a visit ----------------------------------------------- */

/* A field as it was filled in; `value` NULL where it was not. */
typedef struct eb_record_item {
  const char *section, *label, *value;
  bool required;
} eb_record_item;

/* A terminal at a level that was read. Flows in m3/s at the room's air. */
typedef struct eb_record_row {
  const char *run, *room, *level;
  bool supply;
  double design_m3_s, required_m3_s;
  double measured_m3_s, error_m3_s; /* corrected, 95 % limits of instrument and setting; NAN */
  const char *written;              /* as typed, or NULL */
  const char *unread, *note;        /* why it was not read; what was written beside; "" or NULL */
  bool passes;
} eb_record_row;

typedef struct eb_record_level {
  const char *name;
  bool read;                        /* a round of it was taken */
  double supply_signal, extract_signal; /* as set, see eb_controller; NAN where not */
  double supply_m3_s, extract_m3_s; /* totals read; NAN where a terminal was not */
  double design_supply_m3_s, design_extract_m3_s;
  double imbalance;                 /* NAN where not known */
  double power_w, specific_fan_power; /* NAN where not read; W/(m3/s) */
  double cost_per_day;              /* money, running at it all day; NAN */
  bool passes;                      /* every reading, totals and imbalance by the rule */
} eb_record_level;

/* A valve to lock. */
typedef struct eb_record_setting {
  const char *run, *room, *valve, *unit;
  double opening;
} eb_record_setting;

typedef struct eb_record {
  const char *rule, *source;
  const char *instrument;           /* in words, with serial and day of calibration */
  const char *conditions;           /* day, weather, states, in words */
  const eb_record_item *items;
  size_t n_items;
  const eb_record_row *rows;        /* level by level, supply before extract */
  size_t n_rows;
  const eb_record_level *levels;
  size_t n_levels;
  const eb_record_setting *settings;
  size_t n_settings;
  const char *const *missing;       /* what the rule asks for and the record lacks */
  size_t n_missing;
  const char *const *cautions;
  size_t n_cautions;
  const char *const *owner;         /* the page for the householder, a paragraph each */
  size_t n_owner;
  eb_controller controller;         /* what signals are */
  bool complete, passes;            /* nothing is missing; every level that was read passes */
} eb_record;

typedef struct eb_record_options {
  size_t size;
} eb_record_options;

/* Design against measured at each level that was read, settings to lock, what the rule set asks for
 * and the record lacks, cautions, and a page for the householder. Rates and readings are of the
 * house, which must have ducts. */
EB_MUST_USE eb_status eb_record_write(eb_context *context, const eb_house *house,
                                      const eb_rates *rates, const eb_readings *readings,
                                      const eb_record_options *options, eb_ledger *ledger,
                                      const eb_record **record);
void eb_record_free(const eb_record *record);

/* ---- Two visits, years apart ---------------------------------------------- */

typedef struct eb_revisit_row {
  const char *run, *room;
  bool supply;
  double before_m3_s, after_m3_s, change; /* change as a share of before; NAN where not read */
  bool alone;                       /* it changed otherwise than its side */
} eb_revisit_row;

typedef struct eb_revisit {
  const char *level;
  const eb_revisit_row *rows;
  size_t n_rows;
  double side_change[2];            /* supply, extract: median of the terminals' */
  const char *const *causes;        /* likely, in words */
  size_t n_causes;
} eb_revisit;

/* Both at the set level, corrected alike. EB_E_INPUT where either was not read there. */
EB_MUST_USE eb_status eb_revisit_compare(eb_context *context, const eb_house *house,
                                         const eb_rates *rates, const eb_readings *before,
                                         const eb_readings *after, const eb_revisit **revisit);
void eb_revisit_free(const eb_revisit *revisit);

#endif
