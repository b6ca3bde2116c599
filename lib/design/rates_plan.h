/* rates_plan.h - an air plan while it is made
 *
 * The stages, each a file: drivers and counts (what rules count), when (their
 * conditions), terms and tables (what they ask), rooms (what each room must
 * have), share (who gets how much at normal), levels (what follows at the
 * others), transfer (between rooms), openings and co2 (what rules ask beside),
 * findings. */

#ifndef EBI_RATES_PLAN_H
#define EBI_RATES_PLAN_H

#include "base/context.h"
#include "base/ledger.h"
#include "model/house.h"

typedef enum ebi_side { EBI_SIDE_SUPPLY, EBI_SIDE_EXTRACT } ebi_side;
#define EBI_SIDES 2

/* "supply", "extract" */
const char *ebi_side_name(ebi_side side);

/* One side of one room; flows in m3/s. */
typedef struct ebi_room_duty {
  bool served;        /* has a terminal */
  bool by_rule;       /* the rules ask for one */
  bool fixed;         /* the user gave the flow */
  bool held;          /* while sharing: stands at its least flow */
  double least, high; /* by rule at normal and at boost, 0 where none */
  double own;         /* the user's flow, at the level where valves are set */
  double own_boost;   /* the user's flow at boost, 0 where none */
  double weight;      /* in the split */
  double normal;      /* design */
  const char *source; /* of the rule's figure, or NULL */
  ebi_step least_step, high_step, weight_step, normal_step;
} ebi_room_duty;

typedef struct ebi_level_factor {
  const char *name;
  double factor; /* of normal */
  ebi_step step;
  const ebi_rule_level *rule; /* of the rules, or NULL */
  double required;            /* of the dwelling by them, 0 where none */
} ebi_level_factor;

/* A number with its step in the ledger. */
typedef struct ebi_figure {
  double value;
  ebi_step step;
} ebi_figure;

typedef struct ebi_rates_plan {
  eb_context *context;
  const eb_house *house;
  const ebi_rule_set *rules; /* NULL: the user's own flows only */
  eb_ledger *ledger;
  ebi_arena *arena; /* of the result */
  size_t errors;    /* of the context before the plan was begun */
  bool no_memory;

  bool driver_asked_people;    /* a rule counted people in earnest */
  bool quiet;                  /* what is missing is not told: somebody asks whether it is known */
  const char *use;             /* whose rule is being evaluated, or NULL */
  double transfer_flow;        /* of the door that is being looked at */
  const char *unknown_opening; /* the first fan or ventilator without its inputs */

  ebi_given drivers[EBI_DRIVER_COUNT]; /* of the dwelling, once looked up */
  ebi_step driver_steps[EBI_DRIVER_COUNT];
  bool driver_missing[EBI_DRIVER_COUNT]; /* told already */

  unsigned char *room_missing; /* per room: 1 area, 2 volume, 4 sleepers told already */

  ebi_room_duty *duties[EBI_SIDES]; /* one per room of the house */
  ebi_figure whole;                 /* continuous, by rule */
  const char *governed_by;
  double side_least[EBI_SIDES];     /* flows given and least flows, summed */
  ebi_figure total;                 /* aimed at on each side at normal */
  ebi_figure side_total[EBI_SIDES]; /* reached at normal */
  ebi_figure boost_required;
  ebi_level_factor *levels; /* normal, boost, the user's own */
  size_t n_levels;
  double boost_needed;        /* factor that rooms or rules need, 1 at least */
  const ebi_room *boost_room; /* that needs it, or NULL */
  ebi_figure boost_whole;     /* what the rules ask of the dwelling at boost */
  ebi_side boost_side;
} ebi_rates_plan;

/* ---- what rules count ---- */

/* What a driver of the dwelling or of a room stands at; false where it is
 * missing (recorded once). */
bool ebi_driver_value(ebi_rates_plan *plan, ebi_driver driver, const ebi_room *room,
                      ebi_figure *figure);

/* Told already, or not to be told now. */
bool ebi_driver_told(ebi_rates_plan *plan, ebi_driver driver);

/* A driver of one room. */
bool ebi_room_value(ebi_rates_plan *plan, ebi_driver driver, const ebi_room *room,
                    ebi_figure *figure);

/* True where a room is among those of the count. */
bool ebi_count_takes(const ebi_count *count, const ebi_room *room);

/* Sum of area, volume or sleepers, or the number, of the rooms that `count` takes. */
bool ebi_rooms_sum(ebi_rates_plan *plan, const ebi_count *count, ebi_figure *figure);

/* A count as its term takes it: of some uses, within bounds, in steps. */
bool ebi_count_value(ebi_rates_plan *plan, const ebi_count *count, const ebi_room *room,
                     ebi_figure *figure);

/* Volume of a room; false where it is missing (recorded). */
bool ebi_room_volume(ebi_rates_plan *plan, const ebi_room *room, ebi_figure *figure);

bool ebi_within(ebi_bounds bounds, double value);

/* *applies is whether all conditions hold. False where an input is missing. */
bool ebi_conditions_hold(ebi_rates_plan *plan, const ebi_conditions *conditions,
                         const ebi_room *room, bool *applies);

/* ---- terms ---- */

typedef struct ebi_term_result {
  double flow; /* or area or number, as the term is */
  ebi_step step;
  const ebi_term *governing; /* NULL: the term does not apply */
} ebi_term_result;

/* Evaluates a term; `room` NULL for the dwelling. `what` names the number in
 * the ledger. False where an input is missing (recorded as an error). */
bool ebi_term_evaluate(ebi_rates_plan *plan, const ebi_term *term, const ebi_room *room,
                       const char *what, ebi_term_result *result);

/* The same without a word where an input is missing. */
bool ebi_term_try(ebi_rates_plan *plan, const ebi_term *term, const ebi_room *room,
                  const char *what, ebi_term_result *result);

/* Steps, polynomials, bins. */
bool ebi_term_look_up(ebi_rates_plan *plan, const ebi_term *term, const ebi_room *room,
                      const char *what, ebi_term_result *result);

/* A step of a term. */
ebi_step ebi_term_record(const ebi_rates_plan *plan, const ebi_term *term, ebi_formula formula,
                         double value, const ebi_step *inputs, size_t n_inputs, const char *what);

/* The larger of what a list asks of a room for its uses; governing NULL: nothing. */
bool ebi_use_terms_largest(ebi_rates_plan *plan, const ebi_use_terms *terms, const ebi_room *room,
                           const char *what, ebi_term_result *result);

/* ---- rooms ---- */

/* The rule of a use, or NULL. */
const ebi_use_rule *ebi_use_of(const ebi_rule_set *rules, const char *use);

/* Fills duties: who has supply and extract, and what the rules ask of each. */
void ebi_rates_rooms(ebi_rates_plan *plan);

/* ---- share and levels ---- */

/* Weights of the split; records what is missing for them. */
void ebi_rates_weights(ebi_rates_plan *plan);

/* Normal flows for the levels as they stand: no room below its least, one
 * common factor for the rest, both sides at the larger total. */
void ebi_rates_share(ebi_rates_plan *plan);

/* The same in the ledger. */
void ebi_rates_share_record(ebi_rates_plan *plan);

/* Levels of the house, normal and boost first; boost without what rooms need. */
void ebi_rates_level_list(ebi_rates_plan *plan);

/* What the rules ask of the dwelling at each level. */
void ebi_rates_level_requirements(ebi_rates_plan *plan);

/* Shares, and the boost that brings each room to its high rate; both at once
 * where valves are set at boost. */
void ebi_rates_levels(ebi_rates_plan *plan);

/* What the rules say of a level, or NULL. */
const ebi_rule_level *ebi_rule_level_of(const ebi_rule_set *rules, const char *name);

/* Factor of the level where valves are set. */
double ebi_rates_set_factor(const ebi_rates_plan *plan);

/* ---- results ---- */

/* Free area and gap that the rules want at a door `width` wide of a room; 0 where
 * none. False where they want nothing. */
typedef struct ebi_gap {
  double area, undercut; /* m2, m */
} ebi_gap;
bool ebi_rule_gap(ebi_rates_plan *plan, const ebi_room *room, double width, bool laid,
                  ebi_gap *gap);

/* NULL when memory ran out. */
const eb_transfer *ebi_rates_transfers(ebi_rates_plan *plan, size_t *count);

/* Supply minus extract of a room at a level [m3/s]. */
double ebi_rates_outward(const ebi_rates_plan *plan, size_t room, size_t level);

/* Gap [m] under a door of `width` that takes `flow` at 1 Pa; 0 where width is 0. */
double ebi_gap_for_1_pa(double flow, double width);

/* The way of the air: what passes each door at boost (rates_doors.c). */
const eb_door_air *ebi_rates_doors(ebi_rates_plan *plan, size_t *count);

/* Permeability at 50 Pa [m3/(s m2)]: given, or from air changes and envelope. */
ebi_given ebi_house_permeability(const eb_house *house);

/* What the rules ask of each room beside its flows, and what they name beside. */
void ebi_rates_openings(ebi_rates_plan *plan, eb_rates *rates, eb_room_rates *rooms);
void ebi_rates_co2(ebi_rates_plan *plan, eb_rates *rates, eb_room_rates *rooms);
void ebi_rates_flows(ebi_rates_plan *plan, eb_rates *rates);

void ebi_rates_findings(ebi_rates_plan *plan, const eb_rates *rates);
bool ebi_short_of(double flow, double required);     /* by more than rounding */
void ebi_known_findings(const ebi_rates_plan *plan); /* rests on memory */
void ebi_room_findings(const ebi_rates_plan *plan);
void ebi_rule_findings(ebi_rates_plan *plan, const eb_rates *rates);
void ebi_combustion_findings(const ebi_rates_plan *plan, const eb_rates *rates);

#endif
