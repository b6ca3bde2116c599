/* ducts_house.h - houses with ducts put together by hand, for the suites of the ducts */

#ifndef DUCTS_HOUSE_H
#define DUCTS_HOUSE_H

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

/* A valve whose k goes from 0.3 at 1 mm to 5 l/s/Pa^0.5 at 20 mm, not quite straight. */
extern const ebi_valve ducts_valve;

/* Design or operation that must succeed, without a ledger. */
const eb_ducts *ducts_design(ducts_house *test);
const eb_ducts *ducts_operate(ducts_house *test, const eb_setting *setting);

/* The status of a design that must fail. */
eb_status ducts_failure(ducts_house *test);

/* How many diagnostics have the code, and the first one's message ("" where none). */
size_t ducts_found(const ducts_house *test, const char *code);
const char *ducts_message(const ducts_house *test, const char *code);

/* l/s of a room at a level; number of a run. */
double ducts_delivered(const eb_ducts *ducts, const char *room, bool supply, size_t level);
const eb_run_state *ducts_state(const eb_ducts *ducts, const char *run, size_t level);
const eb_terminal *ducts_terminal(const eb_ducts *ducts, const char *run);

#define CHECK_NEAR(found, want, slack)                                                             \
  ck_assert_msg(fabs((found) - (want)) <= (slack), "%.12g is not %.12g within %g",                 \
                (double)(found), (double)(want), (double)(slack))
#define CHECK_RELATIVE(found, want, slack) CHECK_NEAR(found, want, (slack)*fabs(want))

#endif
