/* ducts.h - what the files of the duct calculation share
 *
 * The house is one network:
 *
 *   outdoors -> outdoor runs -> supply fan -> supply runs -> rooms -> doors -> rooms
 *            -> extract runs -> extract fan -> exhaust runs -> outdoors,
 *
 * with the leaks of envelope and ducts, open windows and appliances that draw air beside
 * (ducts_house.c, ducts_leak.c, ducts_states.c). Where the leakage of the envelope is not
 * given all rooms stand at 0 Pa and the two sides of the unit do not meet.
 *
 * A side is laid out (ducts_layout.c: which run meets which), its meetings are given
 * losses (ducts_meeting.c), it is assembled (ducts_side.c). The whole is asked three
 * questions (ducts_solve.c), with what the fans can do (ducts_run_fans.c); its valves are
 * set at one level (ducts_balance.c) and it is run at every level (ducts_level.c);
 * ducts_result.c writes down what the solves gave. */

#ifndef EBI_DUCTS_H
#define EBI_DUCTS_H

#include "base/ledger.h"
#include "input/names.h"
#include "model/house.h"
#include "network/network.h"
#include "numeric/curve.h"

#define EBI_NONE ((size_t)-1)

typedef enum ebi_end_kind {
  EBI_END_UNIT,
  EBI_END_OUTDOORS,
  EBI_END_ROOM,
  EBI_END_MEETING
} ebi_end_kind;

/* One end of a run. */
typedef struct ebi_end {
  ebi_end_kind kind;
  size_t number; /* of the room in the house or of the meeting in the side */
  ebi_node node;
  ebi_node tee; /* combined node of the tee it is a side port of, else EBI_NONE */
} ebi_end;

typedef struct ebi_side_run {
  const ebi_run *run;
  size_t number; /* in the house */
  ebi_section section;
  double area;     /* m2, of all its tubes */
  size_t distance; /* runs between it and the unit; EBI_NONE: not connected */
  ebi_end from, to;
  ebi_part part;
  ebi_part leak[2];      /* half of what its seams leak, at either end; EBI_NONE: tight */
  ebi_air_state air;     /* of its mean temperature */
  double start_c, end_c; /* of the air that enters and leaves it */
  /* Of each fitting its factor by ln Re, NULL where it has none; NULL where no fitting has. */
  const ebi_curve *const *by_reynolds;
} ebi_side_run;

/* Where runs meet. Its ends are numbered 2 x run + (1 where the run ends there). */
typedef enum ebi_meeting_kind {
  EBI_MEETING_PLAIN, /* one run only */
  EBI_MEETING_REDUCER,
  EBI_MEETING_TEE,
  EBI_MEETING_BOX
} ebi_meeting_kind;

typedef struct ebi_meeting {
  const char *name;
  const ebi_junction *given; /* NULL where the house says nothing of it */
  ebi_meeting_kind kind;
  size_t *ends;
  size_t n_ends;
  size_t distance; /* runs between it and the unit */
  ebi_tee tee;     /* EBI_NONE unless it is one */
} ebi_meeting;

/* The end of a run at a room, with what sits there. */
typedef struct ebi_terminal {
  size_t run;   /* in the side */
  size_t order; /* among the terminals of the house, in the order of the file */
  size_t room;
  double share;          /* of the room's flow on this side */
  bool idle;             /* its room has no duty on this side: taken as shut */
  ebi_part part;         /* between the run and the room */
  size_t valve;          /* its element in the part, EBI_NONE without a valve */
  const ebi_curve *loss; /* opening against k */
  double opening;        /* where it is set */
} ebi_terminal;

/* Controller and motor: signal against speed, and the speeds they can do. */
typedef struct ebi_drive {
  const ebi_curve *map; /* NULL: equal */
  size_t steps;         /* of a switch, the points of the map: no speed lies between; 0: none */
  bool flow;            /* told a flow, which it keeps */
  double offset;        /* what was measured: of the map's speed so much moves nothing */
  double slowest, fastest;
} ebi_drive;

typedef struct ebi_ducts_job ebi_ducts_job;
typedef struct ebi_side_heat ebi_side_heat; /* of ducts_heat.h */
typedef struct ebi_sizer ebi_sizer;         /* of sizing.h */

/* What stands in the part of a fan: filter, what it has gathered, fan. */
enum { EBI_FAN_FILTER, EBI_FAN_LOADING, EBI_FAN_ITSELF, EBI_FAN_ELEMENTS };

typedef struct ebi_side {
  ebi_ducts_job *job;
  bool supply;
  const char *name;       /* "supply" or "extract" */
  eb_air inlet, outlet;   /* of the fan */
  eb_air rooms, outdoors; /* which of them goes to the rooms, which outdoors */
  ebi_side_run *runs;
  size_t n_runs;
  ebi_meeting *meetings;
  size_t n_meetings;
  ebi_terminal *terminals;
  size_t n_terminals;
  bool looped;

  ebi_network *network; /* that of the job; NULL: the side has no terminals */
  ebi_node outside, unit_in, unit_out;
  ebi_part fan_part;
  ebi_element filter, loading; /* in front of the fan: clean where not in the curve; what a
                                  loaded one adds */
  bool can_load, loaded;       /* the sheet says what it adds; it is loaded now */
  const ebi_fan *fan;
  double fan_factor; /* what fan and filters raise, measured over calculated; 1 */
  ebi_fan_mode mode;
  ebi_drive drive;
  ebi_air_state fan_air;
  const double *given; /* flows (ref) prescribed to the terminals; NULL: as they come */
  double *room_flow;   /* ref, by room of the house, in the last solve */
  double total;        /* ref, of all terminals in the last solve */
  double fan_flow;     /* ref, in the last solve: with what leaks between fan and terminals */
  bool fan_out;        /* it is not in the network: that flow is imposed */
  size_t index;        /* terminal that is hardest to reach, EBI_NONE before it is known */
  size_t runner_up;    /* the next, or EBI_NONE */
  double runner_up_pa; /* which it has to spare against the index */
  ebi_side_heat *heat; /* NULL where all air has one temperature */
} ebi_side;

enum { EBI_SUPPLY_SIDE, EBI_EXTRACT_SIDE, EBI_SIDES };

/* An appliance that draws air out of its room. */
typedef struct ebi_drawing {
  const ebi_appliance *appliance;
  const char *name; /* "kitchen cooker-hood" */
  ebi_node room;
  double flow;      /* ref, whatever the pressure; of one without a curve */
  ebi_part part;    /* its fan and duct to outdoors; EBI_NONE without a curve */
  bool on, stalled; /* in the state in hand */
} ebi_drawing;

/* An appliance that burns the air of its room, and the worst that was met there. */
typedef struct ebi_burning {
  const ebi_appliance *appliance;
  const char *room; /* "the house" where it has none */
  ebi_node node;
  ebi_part relief;           /* an opening to 4 Pa below outdoors, closed but to find its area */
  double worst;              /* Pa */
  double area;               /* m2 that would bring it to 4 Pa */
  const char *level, *state; /* state NULL: the level itself */
} ebi_burning;

/* The rooms, what is open between them and to outdoors (ducts_house.c). */
typedef struct ebi_rooms {
  bool known;      /* they float; else all stand at 0 Pa */
  ebi_node *node;  /* by room of the house */
  ebi_node common; /* the space that rooms without a door are open to */
  ebi_node outdoors;
  ebi_node relief; /* at the pressure that chimneys can stand, the last node of all */
  double leakage;  /* m3/s at 50 Pa */
  ebi_drawing *drawings;
  size_t n_drawings;
  ebi_burning *burnings;
  size_t n_burnings;
} ebi_rooms;

/* One call of eb_ducts_design or eb_ducts_operate. */
struct ebi_ducts_job {
  eb_context *context;
  const eb_house *house;
  const eb_rates *rates;
  eb_ledger *ledger;
  ebi_arena *scratch;         /* dropped at the end */
  ebi_arena *arena;           /* of the result */
  ebi_names rooms, junctions; /* of the house, by name */
  ebi_air_state air[4];       /* by eb_air */
  double room_density;        /* kg/m3 */
  ebi_network *network;
  ebi_solution solution; /* of the last solve */
  double *draw;          /* ref, by node: what leaves it in the next solve */
  size_t n_nodes;
  ebi_rooms house_air;
  ebi_side side[EBI_SIDES];
  size_t *terminal_order; /* by run of the house: its terminal's number or EBI_NONE */
  size_t n_terminals;
  bool designing;
  eb_sizing sizing;
  ebi_sizer *sizer;      /* NULL: every run had its size */
  const ebi_run **runs;  /* by run of the house: as it is, or with the size chosen */
  double least_factor; /* of the totals of each level: above 1 where more than the design is wanted */
  bool air_stands; /* solves leave the temperatures as they are */
  bool curves;     /* fans and ducts are wanted as curves too */

  eb_ducts *result;
  eb_level_state *levels;
  eb_room_state **room_states; /* those of the levels, to be filled */
  eb_run_state **run_states;
  eb_house_state **house_states; /* by level */
  size_t n_states;
  eb_terminal *terminals;
  const size_t *rate_level; /* by level of the result: the rates' level or EBI_NONE */
};

/* ---- A job from start to end (ducts.c) ---- */

/* Of a job with its context, house, rates and ledger; ended whatever became of it. */
eb_status ebi_ducts_job_start(ebi_ducts_job *job);

/* Checks, lays out, chooses sizes and assembles the network. */
eb_status ebi_ducts_job_build(ebi_ducts_job *job);

/* Drops all but a good result, which goes to the caller; `ducts` NULL: that too. */
eb_status ebi_ducts_job_end(ebi_ducts_job *job, eb_status status, const eb_ducts **ducts);

/* The rates' level of a name, EBI_NONE where there is none; that at which valves are set. */
size_t ebi_ducts_rate_level(const ebi_ducts_job *job, const char *name);
size_t ebi_ducts_set_level(const ebi_ducts_job *job);

/* ---- Before anything is solved (ducts_check.c, ducts_air.c) ---- */

/* What the calculation cannot do without. Records every problem. */
eb_status ebi_ducts_check(ebi_ducts_job *job);

/* Rooms against terminals, once the sides are laid out. */
eb_status ebi_ducts_check_rooms(ebi_ducts_job *job);

/* Air of each kind of run, the rooms and the fans. */
void ebi_ducts_air(ebi_ducts_job *job);

/* The air of the house's place (ducts_site.c). */
typedef struct ebi_site_air {
  double indoor_c, outdoor_c;
  double pressure;          /* Pa */
  double temperature_ratio; /* of the exchanger; 0: none */
  double vapour[4];         /* Pa of water vapour, by eb_air */
} ebi_site_air;

ebi_site_air ebi_ducts_site(const ebi_ducts_job *job);

/* Air of a kind at a temperature. */
ebi_air_state ebi_site_air_at(const ebi_site_air *site, eb_air kind, double temperature_c);

/* Flow at the room's air state as flow at 1.2 kg/m3, and back. */
double ebi_ducts_ref(const ebi_ducts_job *job, double flow);
double ebi_ducts_room_flow(const ebi_ducts_job *job, double flow_ref);

/* Actual flow in air of a density. */
double ebi_ducts_actual(double flow_ref, double density);

/* ---- One side as a network ---- */

/* Names of places and both sides, still empty, of a job with its context, house and scratch. */
eb_status ebi_ducts_sides(ebi_ducts_job *job);

eb_status ebi_side_lay_out(ebi_side *side);
eb_status ebi_side_add_terminals(ebi_side *side);
eb_status ebi_side_connect_terminals(ebi_side *side);
eb_status ebi_side_assemble(ebi_side *side);
eb_status ebi_side_fan(ebi_side *side);

/* The end of run `number >> 1` at a meeting or elsewhere. */
ebi_end *ebi_side_end(const ebi_side *side, size_t number);

/* What stands at a meeting; warns where the house says what cannot be. */
ebi_meeting_kind ebi_meeting_find_kind(const ebi_side *side, const ebi_meeting *meeting);

/* The same without a word. */
ebi_meeting_kind ebi_meeting_kind_of(const ebi_side *side, const ebi_meeting *meeting);

/* The tee of a meeting for the network, its ports in their order. `ports`: which of its ends
 * are the combined, straight and branch port there. */
ebi_tee_shape ebi_meeting_tee(const ebi_side *side, const ebi_meeting *meeting, size_t ports[3]);

/* Puts the ends of a tee in the order combined, straight, branch; in a bull-head the first is
 * its branch. */
eb_status ebi_tee_order_ports(const ebi_side *side, const ebi_meeting *meeting);
bool ebi_tee_is_bull_head(const ebi_meeting *meeting);
double ebi_tee_angle(const ebi_meeting *meeting); /* degrees */

/* Kind, nodes and tee of a meeting. */
eb_status ebi_meeting_build(ebi_side *side, ebi_meeting *meeting);

/* What a run passes at one of its ends; false where there is nothing. */
bool ebi_end_loss(const ebi_side *side, const ebi_side_run *run, bool at_to, ebi_element *element);

/* What the coefficient of a named fitting is looked up by: bore [m], r/D, height/width. */
double ebi_fitting_looked_up_by(const ebi_side_run *run, const ebi_run_fitting *entry);

/* A length of the run's own duct, as flexible as it is laid. */
ebi_element ebi_run_duct(const ebi_side_run *run, double length);

/* Elements of a run without its ends' losses; room for 2 + fittings: the duct unless fittings
 * take up all of it, the fittings in their order, what is crushed of the duct. */
size_t ebi_run_elements(const ebi_side_run *run, ebi_element *elements);

/* True where a fitting of the run is the end of its duct: a louvre, a cowl, an entry. */
bool ebi_run_has_end(const ebi_run *run);

/* Entry or exit without a fitting, on the run's own velocity. */
ebi_element ebi_open_end(const ebi_side_run *run, bool at_to);

/* ---- Valves ---- */

/* The opening the house fixes for a level; false where it is ours to find. */
bool ebi_terminal_fixed(const ebi_side *side, const ebi_terminal *terminal, const char *level,
                        double *opening);

/* What stands between a run and its room, the valve at the opening fixed for a level or fully
 * open. */
size_t ebi_terminal_open_elements(const ebi_side *side, const ebi_terminal *terminal,
                                  const char *level, ebi_element elements[2]);

/* Puts all valves of a side where they stand at a level. */
void ebi_side_set_valves(ebi_side *side, const char *level);

/* ---- The house around the ducts (ducts_house.c) ---- */

/* The pressure outdoors less that of a room from which a fire may draw its air [Pa]. */
#define EBI_DRAUGHT_PA 4.0

/* Nodes of rooms and outdoors, before the sides are assembled. */
eb_status ebi_house_start(ebi_ducts_job *job);

/* Doors, leaks, openings and appliances, once they are. */
eb_status ebi_house_assemble(ebi_ducts_job *job);

/* Area of an opening to outdoors or between rooms as an element, with a discharge
 * coefficient of 0.6. */
ebi_element ebi_gap_element(double area);

/* Appliances and what burns the air of the rooms (ducts_states.c). */
eb_status ebi_states_assemble(ebi_ducts_job *job);

/* ---- What ducts leak (ducts_leak.c) ---- */

/* The leaks of a run, by the class of the house. */
eb_status ebi_leak_add(ebi_side *side, ebi_side_run *run);

/* True where any of its runs leaks. */
bool ebi_side_leaks(const ebi_side *side);

/* What leaves a run through its seams in the last solve, ref. */
double ebi_run_leakage(const ebi_ducts_job *job, const ebi_side_run *run);

/* ---- Solving ---- */

/* What a fan is to do. */
typedef enum ebi_aim_kind {
  EBI_AIM_SPEED, /* turn at a speed */
  EBI_AIM_FLOW,  /* move so much (ref) */
  EBI_AIM_TOTAL, /* bring the terminals so much in all (ref) */
  EBI_AIM_RISE   /* raise so much from spigot to spigot [Pa] */
} ebi_aim_kind;

typedef struct ebi_aim {
  ebi_aim_kind kind;
  double value;
} ebi_aim;

/* Prescribe: terminal flows given (ref, by terminal of each side). The index terminal of a
 * side is open, with its valve as it stands, the others are out of the network. Roughly: what
 * the ducts leak is missing there. */
eb_status ebi_ducts_prescribe(ebi_ducts_job *job, double *const flow_ref[EBI_SIDES], bool roughly);

/* Impose and operate: valves as they stand, each fan doing what is asked of it as if it
 * could. */
eb_status ebi_ducts_solve(ebi_ducts_job *job, const ebi_aim aims[EBI_SIDES]);

/* How a fan came to do what it does. */
typedef struct ebi_duty {
  double speed;
  double rise;               /* Pa asked of it, filters included, before it was held at an end */
  bool too_weak, too_strong; /* it is held at the fastest or slowest it can turn */
} ebi_duty;

/* The same with what the fans can do; ends with an operating solve at the speeds found.
 * `solved`: the last solve was of these aims. */
eb_status ebi_ducts_run(ebi_ducts_job *job, const ebi_aim aims[EBI_SIDES], bool solved,
                        ebi_duty duties[EBI_SIDES]);

/* True where the fan's flow in the last solve lies outside the points of its curve. */
bool ebi_side_beyond(const ebi_side *side, double speed);

/* What the fan could raise at a flow (ref) at its fastest; not below 0. */
double ebi_side_available(const ebi_side *side, double flow_ref);

/* Flow through a terminal (ref, in the direction of the air) in the last solve. */
double ebi_terminal_flow(const ebi_side *side, const ebi_terminal *terminal);

/* Pressure of unit_out less that of unit_in in the last solve. */
double ebi_side_rise(const ebi_side *side);

/* What the fan itself must raise for that, filters and what was measured of it included. */
double ebi_side_asked(const ebi_side *side);

/* Drop of the filters in front of the fan that are not in its curve, as they stand. */
double ebi_side_filter_drop(const ebi_side *side);

/* The same at another flow, actual. */
double ebi_side_filter_drop_at(const ebi_side *side, double flow);

/* Pressure of a room in the last solve. */
double ebi_room_pressure(const ebi_ducts_job *job, size_t room);

/* ---- Design and operation ---- */

/* Design flow of a room or terminal at a level of the rates (ref), and what the rule asks. */
double ebi_room_design(const ebi_side *side, size_t room, size_t level);
double ebi_room_required(const ebi_side *side, size_t room, size_t level);
double ebi_terminal_design(const ebi_side *side, const ebi_terminal *terminal, size_t level);
double ebi_side_design(const ebi_side *side, size_t level);

/* Drop of a terminal's part at a flow (ref), its valve as it stands; of the valve alone. */
double ebi_terminal_drop(const ebi_side *side, const ebi_terminal *terminal, double flow_ref);
double ebi_valve_drop(const ebi_side *side, const ebi_terminal *terminal, double flow_ref);

/* The run that is hardest to reach; "" before it is known. */
const char *ebi_side_index_run(const ebi_side *side);

/* Finds openings and index terminals at a level of the rates. */
eb_status ebi_ducts_balance(ebi_ducts_job *job, size_t level);

/* Runs both sides at level `level` of the result. */
eb_status ebi_ducts_run_level(ebi_ducts_job *job, size_t level);

/* The same with openings and signals given. */
eb_status ebi_ducts_run_setting(ebi_ducts_job *job, size_t level, const eb_setting *setting);

/* What a fan is asked for by its signal: a speed or, where it keeps one, a flow. */
ebi_aim ebi_side_told(const ebi_side *side, double signal);

/* The signal for the speed, or the flow of the last solve, at which a side runs. */
double ebi_side_signal(const ebi_side *side, double speed);

/* Speed of the lowest step of a switch that is not below `speed`; without steps `speed` itself. */
double ebi_drive_step_up(const ebi_drive *drive, double speed);

/* What the step that the design's flow takes raises beyond what is asked at it in the last solve
 * [Pa]; 0 without steps. */
double ebi_side_step_surplus(const ebi_side *side);

double ebi_drive_speed(const ebi_drive *drive, double signal);
double ebi_drive_signal(const ebi_drive *drive, double speed);

/* Where a given fan curve rises: looks for several duty points. Leaves another last solve. */
eb_status ebi_ducts_crossings(ebi_ducts_job *job, const char *level, const double speed[EBI_SIDES]);

/* ---- Fans and ducts as curves (ducts_curves.c) ---- */

/* Of a level that is written down. Leaves another last solve. */
eb_status ebi_ducts_curves(ebi_ducts_job *job, size_t level);

/* Of the unit's sheet. */
eb_status ebi_ducts_sheet_curves(ebi_ducts_job *job);

/* ---- States of the house (ducts_states.c) ---- */

/* How many there are at each level; whether the first of them has loaded filters. */
size_t ebi_states_count(const ebi_ducts_job *job);
bool ebi_states_load(const ebi_ducts_job *job);

/* Runs the house in each state at a level whose fans have just been run. Leaves another last
 * solve. */
eb_status ebi_states_run(ebi_ducts_job *job, size_t level, const ebi_duty duties[EBI_SIDES]);

/* Warnings and notes of what was met in them (ducts_findings_house.c). */
void ebi_house_findings(const ebi_ducts_job *job);

/* ---- Heat of the ducts (ducts_heat.c) ---- */

/* Takes the temperatures along all ducts from the flows of the last solve and gives
 * runs, tees, terminals and fans air of those temperatures. *change is the largest
 * relative change of a density: solve again until it is small. */
eb_status ebi_ducts_heat(ebi_ducts_job *job, double *change);

/* The air in a terminal's part: a supply terminal has what leaves its run, an extract
 * terminal what leaves its room; the other way round where air goes backward. */
ebi_air_state ebi_terminal_air(const ebi_side *side, const ebi_terminal *terminal);

/* The stack pressure of a run as an element; false where its height is not given. */
bool ebi_run_stack(const ebi_ducts_job *job, const ebi_side_run *run, ebi_element *element);

/* Heat, surface and dew point of a run in the last solve, written into its state. */
void ebi_ducts_record_heat(const ebi_side *side, const ebi_side_run *run, eb_run_state *state);

/* Temperature of the supply air of each room that gets some in the last solve. */
void ebi_ducts_record_supply(const ebi_side *side, eb_room_state *rooms);

/* Condensation, cold supply air and heat that is thrown away, at the normal level. */
eb_status ebi_ducts_heat_findings(const ebi_ducts_job *job);

/* ---- Sound (ducts_sound.c) ---- */

/* Sound of every room at every level of a finished result, and its findings. */
eb_status ebi_ducts_sound(ebi_ducts_job *job);

/* ---- Result ---- */

eb_status ebi_ducts_result_new(ebi_ducts_job *job, const char *const *levels, size_t count);

/* Writes down an operating solve: both sides, and the pressures of the rooms. */
void ebi_ducts_record(ebi_ducts_job *job, size_t level, const ebi_duty duties[EBI_SIDES]);

/* Power, specific fan power and terminals once all levels are run. */
eb_status ebi_ducts_complete(ebi_ducts_job *job);

/* What is worth saying of a finished result, and why its numbers are what they are. */
eb_status ebi_ducts_findings(ebi_ducts_job *job);
eb_status ebi_ducts_explain(ebi_ducts_job *job);

/* What is used outside the range of its source at a level of the result, one finding a kind;
 * what was assumed of flexible ducts. */
void ebi_ducts_check_ranges(const ebi_ducts_job *job, size_t level);

#endif
