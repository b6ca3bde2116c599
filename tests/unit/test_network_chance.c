/* test_network_chance.c - networks and houses by chance are all solved, and in few steps
 *
 * tests/bench/network_chance.c does the same with many thousands. */

#include "network_chance.h"

#include <check.h>
#include <stdlib.h>

#include "network_help.h"
#include "suites.h"

enum { OF_EACH = 150, STEPS_AT_MOST = 25 };

static void expect_solved(unsigned seed) {
  ebi_solution solution;
  eb_status status = ebi_network_solve(net, &solution);
  ck_assert_msg(status == EB_OK, "seed %u: %s", seed, eb_status_text(status));
  ck_assert_msg(solution.iterations <= STEPS_AT_MOST, "seed %u: %d steps", seed,
                solution.iterations);
}

/* Trees and loops of ducts and tees; each residual is checked against the laws themselves. */
START_TEST(thrown_together) {
  for (unsigned seed = 0; seed < 2 * OF_EACH; seed++) {
    net_teardown();
    net_setup();
    net_thrown_together(seed);
    expect_solved(seed);
    (void)net_solve();
  }
}
END_TEST

/* Supply and extract trees that meet in rooms with leaks and doors, as they run: with both fans,
 * with one, with one side shut, and at a millionth of the speed. */
START_TEST(houses) {
  for (unsigned seed = 0; seed < OF_EACH; seed++) {
    net_teardown();
    net_setup();
    net_house_by_chance(seed, (net_running)_i);
    expect_solved(seed);
  }
}
END_TEST

Suite *suite_network_chance(void) {
  Suite *suite = suite_create("network_chance");
  TCase *tests = tcase_create("chance");
  tcase_add_checked_fixture(tests, net_setup, net_teardown);
  tcase_add_test(tests, thrown_together);
  tcase_add_loop_test(tests, houses, 0, NET_RUNNINGS);
  suite_add_tcase(suite, tests);
  return suite;
}
