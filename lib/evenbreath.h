/* evenbreath.h - the whole interface of libevenbreath
 *
 * Designs, checks and accounts for whole-house supply-and-extract ventilation
 * with heat recovery. A house is read from YAML bytes; each entry point turns
 * it into a read-only result; each number in a result can be explained.
 *
 * Ownership, in one sentence: everything the library returns belongs to the
 * context that made it and lives until its own eb_..._free or
 * eb_context_free, whichever comes first.
 *
 * Threads: two threads with two contexts never meet; one context is used by
 * one thread at a time. The library has no global state, never prints, never
 * exits and never changes the locale.
 *
 * Units: SI inside and in every field unless the name says otherwise. A flow
 * is actual volume at the room's air state [m3/s] unless it says "ref"
 * (at 1.2 kg/m3). Pressures are total pressures [Pa]. Ratios are 0..1.
 *
 * Programs that use the library should call gsl_set_error_handler_off() of
 * GSL once at their start: GSL's own handler ends the process when memory
 * runs out.
 *
 * SPDX-License-Identifier: GPL-3.0-or-later */

#ifndef EVENBREATH_H
#define EVENBREATH_H

#include <stdbool.h>
#include <stddef.h>

#define EB_VERSION "0.1.0"

#if defined __GNUC__
#define EB_MUST_USE __attribute__((warn_unused_result))
#else
#define EB_MUST_USE
#endif

#ifdef __cplusplus
extern "C" {
#endif

/* ---- Status ------------------------------------------------------------ */

/* One list for enum, slug and sentence. Ranges tell who can mend it: 1-99 the
 * calling program, 100-199 the text of a file, 200-299 what a file describes,
 * 300-399 a table, 400-499 no solution, 500 memory, 501 a file or stream. */
#define EB_STATUS_LIST(ROW)                                                       \
  ROW(EB_OK, 0, "ok", "done")                                                     \
  ROW(EB_E_ARGUMENT, 1, "argument", "a function was called with a wrong argument") \
  ROW(EB_E_SYNTAX, 100, "syntax", "the text is not what the language allows")     \
  ROW(EB_E_LIMIT, 101, "limit", "the text is larger or deeper than is read")      \
  ROW(EB_E_INPUT, 200, "input", "the description is wrong or incomplete")         \
  ROW(EB_E_TABLE, 300, "table", "a table is missing or wrong")                    \
  ROW(EB_E_DIVERGED, 400, "diverged", "the calculation did not converge")         \
  ROW(EB_E_NO_SOLUTION, 401, "no-solution", "there is no solution")               \
  ROW(EB_E_RANGE, 402, "range", "a value lies outside the range of a formula")    \
  ROW(EB_E_MEMORY, 500, "memory", "memory ran out")                               \
  ROW(EB_E_FILE, 501, "file", "a file could not be read or written")

#define EB_STATUS_ENUM(name, code, slug, sentence) name = code,
typedef enum eb_status { EB_STATUS_LIST(EB_STATUS_ENUM) EB_STATUS_END_ } eb_status;
#undef EB_STATUS_ENUM

/* The sentence of a status; never NULL. */
const char *eb_status_text(eb_status status);

/* ---- Context ----------------------------------------------------------- */

typedef struct eb_context eb_context;
typedef struct eb_house eb_house;
typedef struct eb_ledger eb_ledger;

/* The one door for the library's own memory. `resize` gets pointer NULL for
 * new memory and size 0 to free; it returns NULL on failure. */
typedef struct eb_allocator {
  void *(*resize)(void *user, void *pointer, size_t old_size, size_t new_size);
  void *user;
  size_t block_bytes; /* arena block size; 0 for the default. Results do not depend on it. */
} eb_allocator;

/* A new context, or NULL when memory ran out. allocator NULL: malloc. */
eb_context *eb_context_new(const eb_allocator *allocator);

/* Frees the context and all it owns. NULL is allowed. */
void eb_context_free(eb_context *context);

/* Adds a folder to the front of the list searched for tables. The list starts
 * with the colon-separated EVENBREATH_TABLES, the installed folder and, last, the
 * folder the library was built from. */
EB_MUST_USE eb_status eb_tables_search(eb_context *context, const char *folder);

/* ---- Diagnostics ------------------------------------------------------- */

typedef enum eb_severity { EB_ERROR, EB_WARNING, EB_NOTE } eb_severity;

/* A problem of an input or a finding of a calculation. */
typedef struct eb_diagnostic {
  eb_severity severity;
  const char *code;    /* a short stable word, e.g. "unit-missing" */
  const char *message; /* one sentence with the value found and what is allowed */
  const char *source;  /* document and clause it rests on, or NULL */
  const char *file;    /* where, or NULL */
  int line, column;    /* from 1; 0 where there is none */
} eb_diagnostic;

/* All diagnostics of the context so far, in the order they came. The array is
 * valid until the next call that adds to it. */
const eb_diagnostic *eb_diagnostics(const eb_context *context, size_t *count);

/* Forgets them (between two houses of a batch, say). */
void eb_diagnostics_clear(eb_context *context);

/* ---- Ledger: why a number is what it is -------------------------------- */

/* One step: a value, the formula or rule it came from and the steps it used. */
typedef struct eb_step {
  const char *id;      /* name of the formula or rule in the catalogue */
  const char *formula; /* the formula as text; "" for an input */
  const char *source;  /* document and clause */
  const char *known;   /* "read", "quoted", "memory", "invented" or "computed" */
  const char *what;    /* which number this is, e.g. "bed-1 supply at normal" */
  double value;        /* in `unit` */
  const char *unit;
  const size_t *inputs; /* indices of earlier steps */
  size_t n_inputs;
  const char *file; /* where an input was written, or NULL */
  int line;
} eb_step;

/* A new, empty ledger of the context, to be handed to calculations, which append their steps; NULL
 * when memory ran out. */
eb_ledger *eb_ledger_new(eb_context *context);
void eb_ledger_free(eb_ledger *ledger);
size_t eb_ledger_count(const eb_ledger *ledger);

/* Step number `index` (below the count). */
eb_step eb_ledger_step(const eb_ledger *ledger, size_t index);

/* A formula or rule of procedure, as steps name it by its id. */
typedef struct eb_formula {
  const char *group;    /* "rates", "ducts", "energy", ... */
  const char *id;       /* short and stable, e.g. "ducts.friction" */
  const char *formula;  /* or the procedure in words */
  const char *validity; /* where it holds and what its letters mean; "" for a definition */
  const char *source, *known; /* as of a step */
} eb_formula;

/* All formulas and rules of procedure, group by group; not to be freed. */
const eb_formula *eb_formulas(size_t *count);

/* ---- Houses ------------------------------------------------------------ */

/* "PATH=VALUE" texts act on the tree before it is understood. */
typedef struct eb_read_options {
  size_t size; /* sizeof(eb_read_options) */
  const char *const *overrides;
  size_t n_overrides;
  int first_line; /* of the bytes, where they are a part of a file; 0 stands for 1 */
} eb_read_options;

/* Reads a house from `length` bytes of YAML. `name` is what diagnostics call
 * it, and relative paths in it are relative to that name's folder. All
 * problems of the text are reported in one go. On failure *house is
 * untouched. options NULL: defaults. */
EB_MUST_USE eb_status eb_house_read(eb_context *context, const char *name, const void *bytes,
                                    size_t length, const eb_read_options *options,
                                    eb_house **house);

/* The same from a file; "-" reads standard input. */
EB_MUST_USE eb_status eb_house_read_file(eb_context *context, const char *path,
                                         const eb_read_options *options, eb_house **house);
void eb_house_free(eb_house *house);

/* The name after `dwelling:`; "" where none is given. */
const char *eb_house_dwelling(const eb_house *house);

/* Puts the house under another rule set, written as after `rules:` (a name, a
 * path beside the house's file, or "none"), for the plans made from now on. On
 * failure the house keeps the one it has. */
EB_MUST_USE eb_status eb_house_set_rules(eb_context *context, eb_house *house, const char *rules);

/* True where the house describes ducts, so that eb_ducts_design can be asked. */
bool eb_house_has_ducts(const eb_house *house);

/* True where the house names a climate, without which eb_energy_year fails. */
bool eb_house_has_climate(const eb_house *house);

/* What is written into a run of the house's own text. */
typedef struct eb_written {
  const char *run;
  const char *duct; /* as it is to stand after `duct:`, or NULL: unchanged */
  int parallel;     /* 0: unchanged */
} eb_written;

/* The text the house was read from, byte for byte but for the changes: comments and order stay,
 * and overrides are not in it. The bytes are the house's and end in a NUL. EB_E_INPUT with a
 * diagnostic where a value stands in an override or other places share it by an alias. */
EB_MUST_USE eb_status eb_house_write(eb_context *context, const eb_house *house,
                                     const eb_written *changes, size_t n_changes,
                                     const char **bytes, size_t *length);

/* ---- Rates: how much air each room gets and gives ---------------------- */

typedef struct eb_rates_options {
  size_t size;
} eb_rates_options;

typedef struct eb_duty {
  double required_m3_s; /* by rule; 0 where the rule asks for nothing */
  double design_m3_s;   /* what is aimed at */
} eb_duty;

typedef struct eb_room_rates {
  const char *name;
  const char *use; /* uses joined by ", " */
  double area_m2, volume_m3;
  const eb_duty *supply;  /* one per level of the plan, or NULL: no supply */
  const eb_duty *extract; /* one per level of the plan, or NULL: no extract */
  /* What the rules ask of the room beside; 0 where nothing. Areas of ventilators
   * are equivalent ones. */
  double purge_area_m2; /* opening for its window, or for one that opens wide */
  bool purge_refused;   /* its window opens too little to count */
  double purge_fan_m3_s;
  double intermittent_m3_s; /* fan of a dwelling without whole-house ventilation */
  double background_area_m2, background_number;     /* ventilators beside such fans */
  double extract_only_area_m2, extract_only_number; /* beside continuous extract alone */
  const double *co2_ppm; /* one per level, steady with its sleepers; 0: no supply; NULL: none sleep */
  int storey; /* 0 where not said */
} eb_room_rates;

/* A flow that the rules name and that binds no room: a level of theirs, the
 * least for an empty dwelling, or what they give as information. */
typedef struct eb_rule_flow {
  const char *name;
  double flow_m3_s;
  const char *source, *known;
} eb_rule_flow;

/* Air passing between a room and the rest of the dwelling at boost; positive
 * outward (supply minus extract). The door is the narrowest of the room's, else
 * the one that the rules are written for; width, areas and gaps are 0 where
 * there is none. */
typedef struct eb_transfer {
  const char *room;
  double flow_m3_s;
  double door_width_m;
  double rule_area_m2;
  double rule_undercut_m;
  double undercut_for_1_pa_m;
} eb_transfer;

/* What passes one door of the file at boost, named in the direction of the air. */
typedef struct eb_door_air {
  const char *from, *to;
  bool known; /* false where several ways lead round: then the flow is 0 */
  double flow_m3_s;
  double width_m;             /* 0 where not given */
  double undercut_for_1_pa_m; /* 0 where width or flow are not known */
} eb_door_air;

typedef struct eb_rates {
  const char *rules; /* name of the rule set, or "none" */
  const char *const *levels;
  size_t n_levels; /* "normal" is levels[0], "boost" levels[1] */
  double floor_area_m2, volume_m3;
  double required_m3_s;       /* whole dwelling, continuous */
  double boost_required_m3_s; /* whole dwelling, with every room at its high rate */
  const char *governed_by;    /* the term of the rule that was largest */
  const double *supply_total_m3_s, *extract_total_m3_s; /* design, one per level */
  const eb_room_rates *rooms; /* in the order of the file */
  size_t n_rooms;
  const eb_transfer *transfers;
  size_t n_transfers;
  const eb_door_air *doors; /* in the order of the file */
  size_t n_doors;
  const char *rules_title, *rules_source, *rules_known; /* "" without rules */
  double people; /* as counted; 0 where nobody says */
  const eb_rule_flow *flows;
  size_t n_flows;
  double background_area_m2;      /* all ventilators, the rules' total where larger */
  double background_least_number; /* 0 where the rules name none, as all of these */
  double extract_only_area_m2, extract_only_least_number;
  double co2_limit_ppm;       /* as the rules name it, outdoors included; 0: none */
  const double *co2_mean_ppm; /* one per level, everybody at home and awake; NULL: not known */
} eb_rates;

/* The air plan of a house. Needs rooms, not ducts. */
EB_MUST_USE eb_status eb_rates_plan(eb_context *context, const eb_house *house,
                                    const eb_rates_options *options, eb_ledger *ledger,
                                    const eb_rates **rates);
void eb_rates_free(const eb_rates *rates);

/* ---- Ducts: pressures, settings, power --------------------------------- */

typedef enum eb_air { EB_OUTDOOR, EB_SUPPLY, EB_EXTRACT, EB_EXHAUST } eb_air;

/* How runs without a size get one. */
typedef enum eb_sizing {
  EB_SIZING_AS_GIVEN,   /* as the house says, else life-cycle */
  EB_SIZING_LIFE_CYCLE, /* least price of parts and of the fans' electricity over the years */
  EB_SIZING_EQUAL_FRICTION,
  EB_SIZING_VELOCITY,
  EB_SIZING_STATIC_REGAIN
} eb_sizing;

typedef struct eb_ducts_options {
  size_t size;
  eb_sizing sizing;
  bool curves; /* of fans and ducts too: eb_side_state.fan_curve, eb_ducts.supply_sheet_curves */
} eb_ducts_options;

typedef struct eb_run_info {
  const char *name;
  eb_air air;
  double bore_m;            /* 0 for a rectangular or oval duct */
  double width_m, height_m; /* 0 for a round duct */
  int parallel;
  double length_m;
  const char *duct; /* "steel-125": as written or chosen */
  const char *from, *to; /* a room, a junction, "unit" or "outdoors", in the air's direction */
} eb_run_info;

typedef struct eb_terminal {
  const char *run, *room, *valve; /* valve "" where there is none */
  bool has_opening;
  double opening;
  const char *opening_unit;
  double valve_pa; /* at the level where valves are set */
  bool index;      /* its run is the index run of its side */
} eb_terminal;

typedef struct eb_run_state {
  double flow_m3_s, flow_ref_m3_s; /* positive from -> to, all parallel tubes */
  double velocity_m_s, reynolds;   /* per tube */
  double friction_pa_per_m, friction_pa, fittings_pa, valve_pa, total_pa;
  double stack_pa;          /* what the weight of its air helps, in total_pa already */
  double start_c, end_c;    /* of the air that enters and leaves it */
  double heat_w;            /* it gives to its space; negative: takes */
  double leakage_m3_s;      /* that leaves it through its seams */
  double surface_c, dew_point_c; /* outside of it and of the air around; NAN: not known */
} eb_run_state;

/* Pressure over the flow of the fan, at its own density, from spigot to spigot. */
typedef struct eb_curve_point {
  double flow_m3_s, pressure_pa;
} eb_curve_point;

typedef struct eb_curve {
  double speed; /* of the fan, 0..1 of the top curve; 0: of ducts */
  const eb_curve_point *points; /* flow rising */
  size_t n_points;
} eb_curve;

/* What the controller of a unit is told: a share of its range or, where `flow`, a flow in m3/s that
 * it keeps. */
typedef struct eb_controller {
  const char *unit; /* "%", "V", "step", "m3/h" or "l/s" */
  double scale;     /* shown = signal * scale: 100, 10 V, the number of steps, 3600 or 1000 */
  bool flow;
} eb_controller;

typedef struct eb_side_state {
  double flow_m3_s, flow_ref_m3_s;
  double pressure_pa; /* rise of the fan, spigot to spigot */
  double signal;      /* what the controller is told, see eb_controller */
  double speed;       /* 0..1 of the top curve */
  double fan_power_w; /* half of a power given for both; 0 where none is given */
  const char *index_run;
  double fan_flow_m3_s; /* at the fan's own density: with what the ducts leak */
  double leakage_m3_s;  /* of its ducts */
  double spare_pa;      /* what the fan could raise beside at this flow, at full speed */
  double most_m3_s;     /* total at full speed with the valves as they stand */
  bool limited;         /* the fan is at the end of what it can do: the level's flow is not met */
  /* Where options.curves asks for them, else empty: of the fan at this speed as its sheet has it,
   * less filters that are not in it; of the ducts with the valves as they stand, both sides' flow
   * changed alike. They meet at fan_flow_m3_s and pressure_pa. */
  eb_curve fan_curve, duct_curve;
} eb_side_state;

/* The house with something changed at a level: loaded filters, a hood that runs. */
typedef struct eb_house_state {
  const char *name;       /* "filters loaded", "kitchen cooker-hood", "all appliances" */
  double supply_m3_s, extract_m3_s, appliances_m3_s;
  double supply_speed, extract_speed;
  double pressure_pa;     /* lowest of the rooms against outdoors */
  const char *room;       /* where that is */
  bool stalled;           /* an appliance's fan moves nothing, or air comes in through it */
  const double *room_pressure_pa; /* n_rooms of eb_ducts */
} eb_house_state;

/* Octave bands of sound, 63 Hz to 8 kHz. */
#define EB_OCTAVES 8

/* What is heard in a room, as the mean over it furnished (reverberation 0.5 s); NAN where nothing
 * is known, 0 where it would be less. */
typedef struct eb_room_sound {
  double total_db;                      /* dB(A) in the room, of all that follows */
  double supply_db, extract_db;         /* dB(A) from the fans through the ducts */
  double valves_db;                     /* dB(A) that the room's own valves make */
  double bands_db[EB_OCTAVES];          /* of the total, not weighted */
  double limit_db;                      /* 0: none */
  const char *limit_source;             /* NULL: the user's own or none */
  double cross_talk_db;                 /* least level difference to another room, dB(A); NAN: none */
  const char *cross_talk_room;
  const char *cure;                     /* silencer of the tables that would do, or NULL */
  const char *cure_run;
} eb_room_sound;

typedef struct eb_delivered {
  bool served;
  double required_m3_s, design_m3_s, delivered_m3_s;
} eb_delivered;

typedef struct eb_room_state {
  const char *name;
  eb_delivered supply, extract;
  double pressure_pa; /* against outdoors; 0 where the envelope is not known */
  double supply_c;    /* of the air that comes in, mean of its terminals; NAN: none */
} eb_room_state;

typedef struct eb_level_state {
  const char *name;
  eb_side_state supply, extract;
  double power_w;             /* both fans and controls; 0 where the unit's sheet has none */
  double specific_fan_power;  /* W/(m3/s) at 1.2 kg/m3, clean filters */
  const eb_room_state *rooms; /* n_rooms of eb_ducts */
  const eb_run_state *runs;   /* n_runs of eb_ducts */
  const eb_room_sound *sounds; /* n_rooms of eb_ducts, or NULL: no sound data */
  const eb_house_state *states;
  size_t n_states;
  double house_pressure_pa; /* of the space that rooms without a door are open to; as theirs */
} eb_level_state;

/* What another size of one run would have changed, all others as chosen. */
typedef struct eb_other_size {
  const char *duct; /* "" where there is none */
  int parallel;
  double money;     /* life-cycle cost more (positive) or less */
  double pressure_pa; /* of the index run, more or less */
  double sound_db;  /* in the room it serves (a main: the loudest), more or less; NAN: not known */
  const char *against; /* the limit it would break, or "" */
} eb_other_size;

typedef struct eb_sized_run {
  const char *run, *duct;
  int parallel;
  double price;     /* of its parts */
  eb_other_size smaller, larger;
} eb_sized_run;

/* How sizes were chosen, both sides together. */
typedef struct eb_sizes {
  const char *method;
  const char *currency;   /* "" where the house names none */
  double parts_cost;      /* money now, of the runs that were sized */
  double energy_cost;     /* present value of the fans' electricity over the years */
  double frozen_bound;    /* life-cycle cost with losses between neighbours frozen: the exact optimum
                             of that problem */
  double money_per_pa[2]; /* supply, extract */
  const eb_sized_run *runs;
  size_t n_runs;
} eb_sizes;

typedef struct eb_ducts {
  const char *set_level;
  const eb_level_state *levels;
  size_t n_levels;
  const eb_run_info *runs;
  size_t n_runs;
  const eb_terminal *terminals;
  size_t n_terminals;
  size_t n_rooms;
  const eb_sizes *sizes; /* NULL: every run had its size */
  bool house_known; /* rooms float with doors and leaks of the envelope; else they stand at 0 Pa */
  double residual_flow_m3_s, residual_pressure_pa; /* worst of all solves */
  int iterations;                                  /* sum of all solves */
  /* The fans at the speeds of the unit's sheet, rising; empty unless options.curves asks. */
  const eb_curve *supply_sheet_curves, *extract_sheet_curves;
  size_t n_supply_sheet_curves, n_extract_sheet_curves;
  eb_controller controller;                        /* of the unit */
} eb_ducts;

/* Design mode: flows of the rates given; openings, signals and index run
 * found at the set level; then each level by an operating solve. */
EB_MUST_USE eb_status eb_ducts_design(eb_context *context, const eb_house *house,
                                      const eb_rates *rates, const eb_ducts_options *options,
                                      eb_ledger *ledger, const eb_ducts **ducts);

/* One setting of a whole house: what stands on the valves and the controller. */
typedef struct eb_setting {
  const char *name;       /* of the level it stands for; picks two-position valves */
  const double *openings; /* n_terminals, in the order of the runs of the file */
  double supply_signal, extract_signal; /* 0..1, or m3/s where the controller is told a flow */
} eb_setting;

/* Operating mode: openings and signals given; flows found. */
EB_MUST_USE eb_status eb_ducts_operate(eb_context *context, const eb_house *house,
                                       const eb_rates *rates, const eb_setting *settings,
                                       size_t n_settings, const eb_ducts_options *options,
                                       eb_ledger *ledger, const eb_ducts **ducts);
void eb_ducts_free(const eb_ducts *ducts);

/* How sketched ducts lie: tubes from a box to every valve, or branches off a trunk. */
typedef enum eb_layout { EB_LAYOUT_RADIAL, EB_LAYOUT_BRANCHED } eb_layout;

/* The text of a house that gives places (`positions:`, `at:` in its rooms) but no ducts, with ducts
 * and junctions after it. Their lengths are estimates, and the text says so. The bytes are the
 * house's and end in a NUL. */
EB_MUST_USE eb_status eb_ducts_sketch(eb_context *context, const eb_house *house,
                                      const eb_rates *rates, eb_layout layout, const char **bytes,
                                      size_t *length);

#include "evenbreath_energy.h"
#include "evenbreath_readings.h"
#include "evenbreath_schema.h"
#include "evenbreath_balance.h"

/* ---- Parts: what to order ---------------------------------------------- */

typedef struct eb_parts_options {
  size_t size;
} eb_parts_options;

/* One line of the order. */
typedef struct eb_part {
  const char *kind;  /* "duct", "bend", "reducer", "coupling", "valve", "box", "silencer", ... */
  const char *item;  /* name with its size, e.g. "bend-90 125 mm" */
  double quantity;   /* pieces, or m where it is sold by the metre */
  const char *unit;  /* "pieces" or "m" */
  double length_m;   /* of duct that is needed before waste, 0 for other parts */
  double price;      /* money of one piece or metre; NAN: not known */
  const char *known; /* of the price: "user", "invented", ... or "" */
  const char *const *where; /* runs and junctions it goes to */
  size_t n_where;
  double piece_m;             /* length of a piece of duct; 0 for other parts and by the metre */
  const double *where_amount; /* by where: pieces, or m before waste of what is sold by length */
} eb_part;

typedef struct eb_parts {
  const eb_part *items; /* by kind, then by item */
  size_t n_items;
  double price;         /* of all whose price is known */
  size_t n_unpriced;
  const char *currency; /* "" where none is given */
  double duct_m;        /* all tubes, before waste */
  double waste;         /* share of duct and insulation added for what is cut off */
} eb_parts;

/* What the house's ducts are made of. Needs ducts, each with its size. */
EB_MUST_USE eb_status eb_parts_list(eb_context *context, const eb_house *house,
                                    const eb_parts_options *options, eb_ledger *ledger,
                                    const eb_parts **parts);
void eb_parts_free(const eb_parts *parts);

/* ---- Comparison: houses side by side ----------------------------------- */

typedef struct eb_compare_options {
  size_t size;
} eb_compare_options;

/* A column: a house with what was found of it. Each may come from a context of
 * its own. From `rates` on NULL: not known. */
typedef struct eb_compare_input {
  const char *name; /* what notes and explanations call it */
  const eb_house *house;
  const eb_rates *rates;
  const eb_ducts *ducts;
  const eb_energy *energy;
  const eb_parts *parts;
  const eb_diagnostic *findings;
  size_t n_findings;
} eb_compare_input;

/* Which value of a row is the better one. */
typedef enum eb_sense {
  EB_SENSE_NONE,
  EB_SENSE_LESS,
  EB_SENSE_MORE,
  EB_SENSE_NEAR_ZERO,
  EB_SENSE_ALL_MET /* the least that is missing of `of` */
} eb_sense;

#define EB_NO_HOUSE ((size_t)-1)

typedef struct eb_compare_row {
  const char *group; /* "air", "fans", "sound", "ducts", "money", "year" or "findings" */
  const char *what;  /* "supply at normal"; unique */
  /* "m3/s", "Pa", "W/(m3/s)", "1" (a ratio), "dB", "m", "kWh", "number", or
   * "money" of the currency below. */
  const char *unit;
  const char *currency;     /* of money; "" where not given or not the same in all */
  double step;              /* values are compared as rounded to it */
  eb_sense sense;
  const double *values;     /* one a house; NAN: not known */
  const double *of;         /* out of how many, NAN: not known; or NULL */
  const bool *at_least;     /* known only to be no less than the value; or NULL */
  const char *const *where; /* the room or run it is found at, "" for none; or NULL */
  size_t better;            /* the house that wins, or EB_NO_HOUSE: a tie, or there is no better */
  double ahead;             /* how far, of the next best, in the unit; 0 where none wins */
} eb_compare_row;

/* Something of the files that is not the same in all. */
typedef struct eb_difference {
  const char *part; /* "rules", "house", "unit", "level", "room", "run" or "junction" */
  const char *name; /* of that level, room, ...; "" where there is one only */
  const char *what; /* "duct", "length" */
  const char *unit; /* of numbers, in SI */
  const char *const *texts; /* one a house; NULL: it has none. NULL itself: numbers */
  const double *numbers;    /* one a house; NAN: it has none. NULL itself: texts */
} eb_difference;

typedef struct eb_comparison {
  size_t n_houses;
  const eb_compare_row *rows; /* group by group, whether known or not */
  size_t n_rows;
  const eb_difference *differences; /* part by part, in the order of the files */
  size_t n_differences;
} eb_comparison;

/* Rows of what was found of at least one house, and what differs between the
 * files. Nothing given is needed any more once it returns. Assumed years and
 * interest, and rows that cannot be compared, are notes of the context. */
EB_MUST_USE eb_status eb_compare_houses(eb_context *context, const eb_compare_input *inputs,
                                        size_t n_inputs, const eb_compare_options *options,
                                        eb_ledger *ledger, const eb_comparison **comparison);
void eb_comparison_free(const eb_comparison *comparison);

/* ---- Tables ------------------------------------------------------------ */

typedef struct eb_table_info {
  const char *kind; /* folder: rules, ducts, fittings, valves, units, climates, baselines */
  const char *name; /* file name without its ending */
  const char *title;
  const char *source; /* document, edition, place */
  const char *known;  /* read, quoted, memory or invented */
  const char *path;
  const char *const *members; /* names it holds besides its own: sizes, or several entries */
  size_t n_members;
} eb_table_info;

/* Every table that can be found, sorted by kind and name; kind NULL: all. A
 * table that cannot be read is a diagnostic and an error. */
EB_MUST_USE eb_status eb_tables_list(eb_context *context, const char *kind,
                                     const eb_table_info **tables, size_t *count);

/* The tables whose files the context has read for its houses so far, sorted by kind and path,
 * without members. The list is the context's. EB_E_ARGUMENT or EB_E_MEMORY leave it untouched. */
EB_MUST_USE eb_status eb_tables_used(eb_context *context, const eb_table_info **tables,
                                     size_t *count);

/* The text of one table as it stands in its file; `name` may be a member's. */
EB_MUST_USE eb_status eb_table_text(eb_context *context, const char *kind, const char *name,
                                    const char **text, size_t *length);

#include "evenbreath_physics.h"

#ifdef __cplusplus
}
#endif

#endif
