/* energy_house.h - a house made by hand, for the tests of the year */

#ifndef ENERGY_HOUSE_H
#define ENERGY_HOUSE_H

#include <check.h>
#include <math.h>

#include "design/energy.h"

/* A house that wants nothing, in the climate of Nottingham (R data set nottem), and all it is of.
 */
typedef struct energy_fixture {
  eb_context *context;
  ebi_climate climate;
  ebi_unit unit;
  ebi_baseline baseline;
  ebi_rule_set rules;
  ebi_fan_point points[3];
  ebi_fan_curve_data curve;
  ebi_level level;
  eb_house house;
  const char *level_names[2];
  double supply[2], extract[2];
  eb_duty duties[2];
  eb_room_rates rooms[5];
  eb_rates rates;
  eb_level_state states[2];
  eb_ducts ducts;
} energy_fixture;

ebi_given energy_given(double value);

/* Days of the months; mean of the twenty years of the data set [C]. */
extern const double energy_month_days[12];
double energy_mean_month(int month);

void energy_set_baseline(ebi_baseline *baseline);
void energy_set_up(energy_fixture *f, const eb_allocator *allocator);

/* The year, with the fixture's ducts or without. */
eb_status energy_run(energy_fixture *f, bool ducts, eb_ledger *ledger, const eb_energy **energy);
const eb_energy *energy_must(energy_fixture *f, bool ducts);

/* A diagnostic by its code and a part of its words, or NULL. */
const eb_diagnostic *energy_find(const energy_fixture *f, const char *code, const char *part);

#define NEAR(value, expected, relative)                                                            \
  ck_assert_double_eq_tol((value), (expected), (relative)*fabs(expected))

#endif
