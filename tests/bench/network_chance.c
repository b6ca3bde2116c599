/* network_chance.c - how many networks by chance are not solved, and in how many steps the rest
 *
 *   network_chance [COUNT [FIRST_SEED]]      (default 20000 of each kind, from 0)
 *
 * Not part of make check, which takes a few hundred of the same. */

#include "network_chance.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>

#include "network_help.h"

#define STEPS 101
#define FAILURES_NAMED 8

typedef struct tally {
  unsigned solved[STEPS], failed;
} tally;

/* The least number of steps in which a share of all is solved. */
static int within(const tally *t, unsigned count, double share) {
  double so_far = 0.0;
  int steps = 0;
  while (steps < STEPS - 1 && (so_far += t->solved[steps]) < share * count)
    steps++;
  return steps;
}

static void solve(tally *t, unsigned seed) {
  ebi_solution solution;
  if (ebi_network_solve(net, &solution) == EB_OK) {
    t->solved[solution.iterations]++;
    return;
  }
  if (t->failed++ < FAILURES_NAMED) {
    size_t count;
    const eb_diagnostic *all = eb_diagnostics(net_context, &count);
    printf("  seed %u: %s\n", seed, count > 0 ? all[count - 1].message : "?");
  }
}

static void report(const char *kind, const tally *t, unsigned count) {
  printf("%-16s %7u solved, %3u not; steps: half within %d, 99 %% within %d, all within %d\n", kind,
         count - t->failed, t->failed, within(t, count - t->failed, 0.5),
         within(t, count - t->failed, 0.99), within(t, count - t->failed, 1.0));
}

static unsigned count_of_each = 20000, first_seed;

/* The helpers speak through Check, so all is one test of it. */
START_TEST(networks_by_chance) {
  static const char *const kinds[] = {"both fans", "supply alone", "extract shut", "minute"};
  unsigned failed = 0;
  for (int kind = -1; kind < NET_RUNNINGS; kind++) {
    tally t = {{0}, 0};
    for (unsigned i = 0; i < count_of_each; i++) {
      net_setup();
      if (kind < 0)
        net_thrown_together(first_seed + i);
      else
        net_house_by_chance(first_seed + i, (net_running)kind);
      solve(&t, first_seed + i);
      net_teardown();
    }
    report(kind < 0 ? "thrown together" : kinds[kind], &t, count_of_each);
    failed += t.failed;
  }
  ck_assert_uint_eq(failed, 0);
}
END_TEST

int main(int argc, char **argv) {
  if (argc > 1)
    count_of_each = (unsigned)strtoul(argv[1], NULL, 10);
  if (argc > 2)
    first_seed = (unsigned)strtoul(argv[2], NULL, 10);
  Suite *suite = suite_create("chance");
  TCase *tests = tcase_create("chance");
  tcase_add_test(tests, networks_by_chance);
  suite_add_tcase(suite, tests);
  SRunner *runner = srunner_create(suite);
  srunner_set_fork_status(runner, CK_NOFORK);
  srunner_run_all(runner, CK_SILENT);
  int failed = srunner_ntests_failed(runner);
  srunner_free(runner);
  return failed > 0;
}
