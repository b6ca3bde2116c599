/* balance.h - what the files of the balance on site share
 *
 * The house is the network of the duct calculation, with unknowns: what was built
 * and what was calculated differ by a factor on each run, on each valve's curve and
 * on each fan. balance_model.c builds it and says what would be read; balance_data.c
 * turns readings into data; balance_fit.c finds the likeliest unknowns of all rounds
 * together; balance_suspects.c asks what else would explain them; balance_advise.c
 * sets valves and fans of the house so found; balance_decide.c judges. */

#ifndef EBI_BALANCE_H
#define EBI_BALANCE_H

#include "design/ducts.h"
#include "model/readings.h"
#include "numeric/fit.h"

typedef enum ebi_unknown_kind {
  EBI_UNKNOWN_RUN,      /* ln of the pressure a run takes, measured over calculated */
  EBI_UNKNOWN_VALVE,    /* ln of a valve's k */
  EBI_UNKNOWN_SLOPE,    /* how much more of that at its open than at its shut end, halved */
  EBI_UNKNOWN_EXPONENT, /* added to the exponent of all runs of a side */
  EBI_UNKNOWN_FAN,      /* ln of what a fan raises */
  EBI_UNKNOWN_KEPT,     /* ln of the flow that a unit keeps over what it was told */
  EBI_UNKNOWN_OFFSET,   /* share of the speed that moves nothing */
  EBI_UNKNOWN_LEAK,     /* ln of what the ducts of a side leak */
  EBI_UNKNOWN_BIAS,     /* ln of the instrument's reading over the truth, on a side */
  EBI_UNKNOWN_WIND      /* ln of what a side moved while a round was read over a calm hour's */
} ebi_unknown_kind;

/* Standard deviation of what gusts, doors and voltage do to a side from round to round (common
 * practice, no source). */
#define EBI_OF_WIND 0.01

/* Expected value and standard deviation, before anything was read. */
typedef struct ebi_unknown {
  ebi_unknown_kind kind;
  int side;
  size_t number; /* run or terminal of the side */
  double mean, deviation;
} ebi_unknown;

/* How the house stood while something was read. */
typedef struct ebi_stand {
  size_t round;               /* of the readings */
  double *opening[EBI_SIDES]; /* by terminal of the side */
  double signal[EBI_SIDES];   /* see eb_controller */
} ebi_stand;

/* An unpowered hood on a terminal: what it takes. */
typedef struct ebi_hood {
  int side;
  size_t terminal;
  double resistance; /* Pa/(m3/s)^2; 0: there is none */
} ebi_hood;

typedef enum ebi_datum_kind {
  EBI_DATUM_TERMINAL, /* flow of a terminal, m3/s at the room's air */
  EBI_DATUM_FAN,      /* flow of a fan, as the unit or a traverse shows it */
  EBI_DATUM_PRESSURE, /* Pa, of a meeting or a run's room end against its rooms */
  EBI_DATUM_HOUSE     /* Pa, of the house against outdoors */
} ebi_datum_kind;

typedef struct ebi_datum {
  ebi_datum_kind kind;
  size_t stand;
  int side;
  size_t number;                       /* terminal of the side */
  ebi_node node;                       /* of a pressure */
  double value;                        /* corrected for density and hood */
  double deviation;                    /* standard, without the common bias */
  double repeat;                       /* of that: what another reading would differ by */
  bool odd;                            /* it is doubted for more than its own noise */
  const ebi_terminal_reading *reading; /* of a terminal */
} ebi_datum;

typedef struct ebi_balance_model {
  eb_context *context;
  const eb_house *house;
  const eb_rates *rates;
  const eb_readings *readings; /* NULL: before the visit */
  ebi_ducts_job job;
  ebi_arena *scratch;
  size_t level;                      /* of the rates, at which valves are set */
  double *design_opening[EBI_SIDES]; /* the first settings, by terminal */
  double *design_signal[EBI_SIDES];  /* by level of the rates */
  double *run_flow[EBI_SIDES];       /* ref, by run, at the set level */
  ebi_part *gap[EBI_SIDES];          /* by terminal: where its joint would leak, closed */

  ebi_unknown *unknowns;
  size_t n_unknowns;
  size_t *valve_unknown[EBI_SIDES]; /* by terminal: its EBI_UNKNOWN_VALVE, the slope follows;
                                       EBI_NONE */
  size_t *run_unknown[EBI_SIDES];   /* by run, or EBI_NONE */
  size_t bias_unknown[EBI_SIDES], fan_unknown[EBI_SIDES], offset_unknown[EBI_SIDES],
      exponent_unknown[EBI_SIDES], leak_unknown[EBI_SIDES];
  size_t *wind_unknown[EBI_SIDES]; /* by round of the readings */

  ebi_hood hood; /* on a terminal while stands are solved */
  ebi_stand *stands;
  size_t n_stands;
  ebi_datum *data;
  size_t n_data;

  double *values;     /* scratch: of the unknowns, not standardised */
  double *predicted;  /* by datum, of the last prediction */
  double *carried;    /* the same before what is of the reading alone */
  double *carried_by; /* the values of the unknowns for which those hold */
  bool carried_holds;
} ebi_balance_model;

/* ---- The model (balance_model.c) ---- */

/* Builds the ducts, finds the first settings and lists the unknowns. Ended whatever became of
 * it. */
eb_status ebi_balance_begin(ebi_balance_model *model);
void ebi_balance_end(ebi_balance_model *model);

/* Puts standardised unknowns into the network. */
void ebi_balance_take(ebi_balance_model *model, const double *standardised);

/* The value of an unknown in the last ebi_balance_take. */
double ebi_balance_value(const ebi_balance_model *model, size_t unknown);

/* k of a terminal's valve at an opening, over that of its table. */
double ebi_balance_valve_factor(const ebi_balance_model *model, int side, size_t terminal,
                                double opening);

/* Flow that a unit keeps over what it was told; 1 of a unit that is told a speed. */
double ebi_balance_kept(const ebi_balance_model *model, int side);

/* Solves the house as it stood; flows are then those of the job. */
eb_status ebi_balance_stand(ebi_balance_model *model, const ebi_stand *stand);

/* Flow of a terminal in the last solve, at the room's air [m3/s]. */
double ebi_balance_flow(const ebi_balance_model *model, int side, size_t terminal);

/* True of unknowns that move readings and not the air. */
bool ebi_unknown_of_reading(const ebi_unknown *unknown);

/* What each datum would read, into model->predicted. Stands are solved where an unknown of the
 * house has changed since, or model->carried_holds was taken back. */
eb_status ebi_balance_predict(ebi_balance_model *model, const double *standardised);

/* ---- Readings as data (balance_data.c) ---- */

eb_status ebi_balance_data(ebi_balance_model *model);

/* How sure each reading is, anew from model->predicted. */
void ebi_balance_doubt(ebi_balance_model *model);

/* ---- What is asked for (balance_rule.c) ---- */

typedef struct ebi_balance_rule {
  bool two_sided;          /* else none below its design */
  double room, system;     /* shares */
  double or_within;        /* m3/s always allowed */
  bool totals;             /* the rule judges the totals of the sides */
  double imbalance;        /* share, HUGE_VAL: no rule */
  double imbalance_within; /* m3/s always allowed */
  ebi_divisor divisor;
  const char *words, *source; /* "none below its design" */
  double *design[EBI_SIDES];  /* m3/s by terminal at the set level, actual */
} ebi_balance_rule;

eb_status ebi_balance_rule_of(const ebi_balance_model *model, ebi_balance_rule *rule);

/* Supply less extract over the rule's divisor. */
double ebi_balance_imbalance(const ebi_balance_rule *rule, double supply, double extract);

/* One terminal's flow; both totals; all of them with their totals (by terminal of each side). */
bool ebi_rule_allows_totals(const ebi_balance_model *model, const ebi_balance_rule *rule,
                            const double total[EBI_SIDES], const double design[EBI_SIDES]);
bool ebi_rule_allows_flow(const ebi_balance_rule *rule, double flow, double design);

/* Between these it does; NAN: no such end. */
double ebi_rule_lowest(const ebi_balance_rule *rule, double design);
double ebi_rule_highest(const ebi_balance_rule *rule, double design);
bool ebi_rule_allows(const ebi_balance_model *model, const ebi_balance_rule *rule,
                     const double *const flows[EBI_SIDES]);

/* ---- The fit (balance_fit.c) ---- */

/* The problem of this model: residuals by its data. */
ebi_fit_problem ebi_balance_problem(ebi_balance_model *model);
eb_status ebi_balance_fit(ebi_balance_model *model, ebi_fit *fit);

/* ---- What else would explain the readings (balance_suspects.c) ---- */

/* Explanations that were taken, in the order in which they were found; the fit is then of the
 * house with them. */
typedef struct ebi_suspicion {
  const char *code;
  int side;
  size_t run, other;   /* of the side, EBI_NONE where it is no run */
  size_t datum;        /* of a reading, EBI_NONE else */
  double factor, gain; /* ln of what the readings say for it against nothing being wrong */
} ebi_suspicion;

#define EBI_SUSPICIONS_AT_MOST 6

typedef struct ebi_suspicions {
  ebi_suspicion item[EBI_SUSPICIONS_AT_MOST];
  size_t count;
} ebi_suspicions;

/* Fits, looks for the best explanation, takes it and fits again until none is worth it. */
eb_status ebi_balance_suspect(ebi_balance_model *model, ebi_fit *fit, ebi_suspicions *found);

/* ---- What to set (balance_advise.c) ---- */

typedef struct ebi_turns {
  double *opening[EBI_SIDES]; /* by terminal, as a hand can set it */
  bool *move[EBI_SIDES];
  double *target[EBI_SIDES]; /* m3/s at the set level, over-supply counted */
  double over_supply;
  ebi_stand *level;         /* by level of the rates: advised openings and signals */
  bool *limited[EBI_SIDES]; /* by level: the fan is at its end */
  double *power;            /* W by level, 0: not known */
} ebi_turns;

/* The opening that a hand can set, nearest to this one. */
double ebi_by_hand(const ebi_side *side, const ebi_terminal *terminal, double opening);

/* Of the house as it was found; `now`: as it stands, NULL before the visit. */
eb_status ebi_balance_set(ebi_balance_model *model, const ebi_stand *now, double over_supply,
                          ebi_turns *turns);

/* ---- How sure (balance_chance.c) ---- */

/* Flows of a stand as found and how they move with the unknowns. */
typedef struct ebi_outlook {
  double *flow[EBI_SIDES];      /* m3/s by terminal */
  double *deviation[EBI_SIDES]; /* standard, m3/s */
  double *reading[EBI_SIDES];   /* of what the same instrument would read there */
  double total[EBI_SIDES], total_deviation[EBI_SIDES];
  double probability;          /* that it is within the rule */
  double unbiased_probability; /* the same, were the instrument's bias known */
} ebi_outlook;

/* `moved`: valves that are yet to be set, whose hand is not sure; NULL: none. `rule` NULL: without
 * probabilities. */
eb_status ebi_balance_look(ebi_balance_model *model, const ebi_fit *fit,
                           const ebi_balance_rule *rule, const ebi_stand *stand,
                           const bool *const moved[EBI_SIDES], ebi_outlook *outlook);

/* ---- Judgement (balance_decide.c) ---- */

/* Readings of the house as it stands, by terminal; NAN where there is none. */
typedef struct ebi_as_read {
  double *flow[EBI_SIDES], *deviation[EBI_SIDES]; /* m3/s, standard */
  bool complete;                                  /* every terminal with a duty was read */
  double total[EBI_SIDES];
} ebi_as_read;

/* The setting in which the house stands, at the set level where it was run there. */
eb_status ebi_balance_now(const ebi_balance_model *model, ebi_stand *now);
eb_status ebi_balance_as_read(const ebi_balance_model *model, const ebi_stand *now,
                              ebi_as_read *read);

/* The last stand of a level, or NULL where it was not read. */
const ebi_stand *ebi_last_stand(const ebi_balance_model *model, const char *level);

/* Share above the design that makes readings pass a one-sided rule with 95 %; 0 of another. */
double ebi_balance_over_supply(const ebi_balance_model *model, const ebi_balance_rule *rule,
                               const ebi_outlook *outlook);

/* So many readings of each terminal in a round, with this instrument. */
size_t ebi_balance_readings_each(const ebi_balance_model *model, const ebi_balance_rule *rule);

/* True of faults that must be mended in the house before it can be balanced. */
bool ebi_suspicion_is_fault(const ebi_suspicion *suspicion);

/* Everything that was found, to be written down. */
typedef struct ebi_found {
  ebi_balance_model *model;
  ebi_balance_rule rule;
  ebi_fit fit;
  ebi_suspicions suspicions;
  ebi_stand now;
  ebi_as_read read;
  ebi_outlook outlook, future; /* as it stands; once set as advised, at the set level */
  ebi_turns turns;
  double confidence;
} ebi_found;

void ebi_balance_judge(const ebi_found *found, ebi_arena *arena, eb_balance_status *status);

/* ---- The result (balance_result.c, balance_words.c) ---- */

eb_status ebi_balance_write(const ebi_found *found, ebi_arena *arena, eb_balance *balance);
const char *ebi_suspicion_words(const ebi_found *found, ebi_arena *arena,
                                const ebi_suspicion *suspicion);
eb_status ebi_balance_checks(const ebi_found *found, ebi_arena *arena, eb_balance *balance);

/* What each round read (balance_rounds.c); the terminals are written before. */
eb_status ebi_balance_rounds(const ebi_found *found, ebi_arena *arena, eb_balance *balance);

/* The account in the ledger (balance_explain.c). */
eb_status ebi_balance_explain(const ebi_found *found, const eb_balance *balance, eb_ledger *ledger);

/* Standard deviation of one reading of a flow, without bias [m3/s] (balance_data.c). */
double ebi_balance_repeat(const ebi_balance_model *model, double flow);

/* Pa of a terminal with its valve as it stands and of its run as calculated (balance_data.c). */
double ebi_balance_branch_drop(const ebi_side *side, const ebi_terminal *terminal, double flow_ref);

/* Standard deviation of ln flow for a hand on the valve (balance_data.c). */
double ebi_balance_hand(const ebi_balance_model *model, int side, size_t terminal, double opening);

#endif
