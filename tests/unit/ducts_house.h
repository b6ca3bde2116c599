/* ducts_house.h - houses with ducts put together by hand, for the suites of the ducts */

#ifndef DUCTS_HOUSE_H
#define DUCTS_HOUSE_H

#include <check.h>

#include "base/context.h"
#include "model/house.h"

#define DUCTS_ROOMS 12
#define DUCTS_RUNS 24
#define DUCTS_LEVELS 3

/* A house, its plan of flows and its unit in a test's own memory. */
typedef struct ducts_house {
  eb_context *context;
  eb_house house;
  eb_rates rates;
  ebi_unit unit;
  ebi_room rooms[DUCTS_ROOMS];
  eb_room_rates room_rates[DUCTS_ROOMS];
  eb_duty supply[DUCTS_ROOMS][DUCTS_LEVELS], extract[DUCTS_ROOMS][DUCTS_LEVELS];
  ebi_run runs[DUCTS_RUNS];
  ebi_run_fitting fittings[DUCTS_RUNS][4];
  ebi_junction junctions[4];
  ebi_door doors[8];
  ebi_opening openings[4];
  ebi_appliance appliances[4];
  ebi_fan_point points[64];
  ebi_fan_curve_data curve;
  const char *levels[DUCTS_LEVELS];
} ducts_house;

/* An empty house at 0 m and 20 C with levels normal and boost and a fan 220 - 0.03 q^2
 * (Pa, l/s) of 10 + 0.5 q W on either side. */
void ducts_start(ducts_house *test);
void ducts_end(ducts_house *test);

ebi_given ducts_given(double value);

/* Replaces both fans' curve by `count` points of top - square q^2, q up to `most` l/s. */
void ducts_fan(ducts_house *test, double top, double square, double most, size_t count);

/* A room with design flows in l/s at normal; boost is the factor times that; 0: no duty. */
void ducts_room(ducts_house *test, const char *name, double supply, double extract, double boost);

/* A round run of 0.09 mm roughness; bore in mm, length in m. */
ebi_run *ducts_run(ducts_house *test, eb_air air, const char *name, const char *from,
                   const char *to, double bore, double length);

/* Adds a fitting to a run: a coefficient, or a drop in Pa at l/s. */
void ducts_coefficient(ducts_house *test, ebi_run *run, double zeta);
void ducts_drop(ducts_house *test, ebi_run *run, double drop, double at);
void ducts_fitting(ducts_house *test, ebi_run *run, const ebi_fitting *fitting);

/* A door between two rooms; width and undercut in mm, 0: not given. */
ebi_door *ducts_door(ducts_house *test, const char *a, const char *b, double width,
                     double undercut);

/* Air that passes the envelope at 50 Pa [l/s]; rooms float from then on. */
void ducts_leakage(ducts_house *test, double flow);

/* An opening of a room to outdoors [cm2]. */
void ducts_opening(ducts_house *test, const char *room, double area);

/* An appliance that draws l/s out of a room, 0: nothing, or has a curve of its own. */
ebi_appliance *ducts_appliance(ducts_house *test, const char *kind, const char *room, double flow);

/* Pa at a flow [l/s] through an envelope of so much [l/s] at 50 Pa, in air of 20 C. */
double ducts_envelope_pa(double flow, double at_50);

/* A state of a level; fails where there is none of that name. */
const eb_house_state *ducts_house_state(const eb_ducts *ducts, size_t level, const char *name);

/* Pressure of a room at a level, and in a state. */
double ducts_pressure(const eb_ducts *ducts, const char *room, size_t level);
double ducts_state_pressure(const eb_ducts *ducts, const eb_house_state *state, const char *room);

/* A valve whose k goes from 0.3 at 1 mm to 5 l/s/Pa^0.5 at 20 mm, not quite straight. */
extern const ebi_valve ducts_valve;

/* The same valve put at the end of a run. */
ebi_run *ducts_with_valve(ebi_run *run);

/* A weather louvre: 9.0 on 0.05 m2 of face. */
extern const ebi_fitting ducts_louvre;

/* Pa at 1.2 kg/m3 in a bore of mm at l/s. */
double ducts_velocity_pressure(double bore, double flow);

/* One box and four supply terminals, all after the square law: own calculation by hand.
 * Trunk 0.0100, branches to living, bed1, bed2, bed3 0.120, 0.300, 0.700, 0.500 Pa per (l/s)^2
 * with open valves, design 14, 10, 8, 6 l/s. */
void ducts_build_box(ducts_house *test);

/* Three supply rooms at a box, three extract rooms at two tees, 32.9 l/s a side, fans 420 Pa -
 * 0.035 q^2, standby 4 W; boost is 1.41 of normal. Runs in this order: intake, trunk, s-living,
 * s-bed1, s-bed2, e-kitchen, e-bath, e-wc, e-mid, e-main, outlet. */
void ducts_build_house(ducts_house *test);

/* Two doors, an envelope of 31 l/s at 50 Pa, ducts of class B, filters, a hood with a curve, an
 * extract fan and an open-flued stove for that house. */
void ducts_furnish(ducts_house *test);

/* Design or operation that must succeed, without a ledger. */
const eb_ducts *ducts_design(ducts_house *test);
const eb_ducts *ducts_operate(ducts_house *test, const eb_setting *setting);

/* The status of a design that must fail. */
eb_status ducts_failure(ducts_house *test);

/* Lets each `step`th allocation of a design fail in turn; how many did. */
long ducts_run_out_of_memory(ducts_house *test, long step);

/* How many diagnostics have the code, and the first one's message ("" where none). */
size_t ducts_found(const ducts_house *test, const char *code);
const char *ducts_message(const ducts_house *test, const char *code);

/* l/s of a room at a level; number of a run. */
double ducts_delivered(const eb_ducts *ducts, const char *room, bool supply, size_t level);
const eb_run_state *ducts_state(const eb_ducts *ducts, const char *run, size_t level);
const eb_terminal *ducts_terminal(const eb_ducts *ducts, const char *run);

/* Adds a group of tests with the fixture `setup` and `teardown` of the file. */
void ducts_add(Suite *suite, const char *name, void (*setup)(void), void (*teardown)(void),
               const TTest *const *tests, size_t count);

#define DUCTS_ADD(suite, name, ...)                                                                \
  do {                                                                                             \
    const TTest *const tests[] = {__VA_ARGS__};                                                    \
    ducts_add(suite, name, setup, teardown, tests, sizeof tests / sizeof *tests);                  \
  } while (0)

#define CHECK_NEAR(found, want, slack)                                                             \
  ck_assert_msg(fabs((found) - (want)) <= (slack), "%.12g is not %.12g within %g",                 \
                (double)(found), (double)(want), (double)(slack))
#define CHECK_RELATIVE(found, want, slack) CHECK_NEAR(found, want, (slack)*fabs(want))

#endif
