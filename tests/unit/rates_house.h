/* rates_house.h - houses put together by hand, for the suites of the air plan */

#ifndef RATES_HOUSE_H
#define RATES_HOUSE_H

#include "base/context.h"
#include "input/load.h"

#define HOUSE_ROOMS 16

/* A house in a test's own memory, with a context of its own. */
typedef struct test_house {
  eb_context *context;
  eb_house house;
  ebi_room rooms[HOUSE_ROOMS];
  const char *uses[HOUSE_ROOMS][3];
} test_house;

/* An empty house by the rules of a name or path, or NULL for none. The tables
 * are those of the source folder. */
void test_house_start(test_house *test, const char *rules);

/* The same with an allocator; false where memory ran out. */
bool test_house_try(test_house *test, const eb_allocator *allocator, const char *rules);
void test_house_end(test_house *test);

/* A number that was given. */
ebi_given test_given(double value);

/* Adds a room; area in m2, volume in m3, 0: not given. `use` may be "a+b". */
ebi_room *test_room(test_house *test, const char *name, const char *use, double area,
                    double volume);

/* The plan; fails the test where there is none. */
const eb_rates *test_plan(test_house *test, eb_ledger *ledger);

/* How many diagnostics have the code. */
size_t test_found(const test_house *test, const char *code);

/* The rules of a name or a path; NULL with diagnostics in the context. */
const ebi_rule_set *test_rules(eb_context *context, const char *rules);

/* "$srcdir/PATH", in memory of the context. */
const char *test_source_path(eb_context *context, const char *path);

/* l/s of a room at a level (0 normal, 1 boost); fails where it has none. */
double test_supply(const eb_rates *rates, const char *room, size_t level);
double test_extract(const eb_rates *rates, const char *room, size_t level);

#endif
