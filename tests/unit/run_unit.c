/* run_unit.c - runs the unit suites of suites.def and reports as TAP
 *
 * CK_RUN_SUITE and CK_RUN_CASE choose, CK_FORK=no helps under a debugger. */

#include "suites.h"

#include <stdlib.h>

typedef Suite *make_suite(void);

#define SUITE(name) suite_##name,
static make_suite *const suites[] = {
#include "suites.def"
};
#undef SUITE

int main(void) {
  SRunner *runner = srunner_create(NULL);
  for (size_t i = 0; i < sizeof suites / sizeof *suites; i++)
    srunner_add_suite(runner, suites[i]());
  srunner_set_tap(runner, "-");
  srunner_run_all(runner, CK_SILENT);
  int failed = srunner_ntests_failed(runner);
  int run = srunner_ntests_run(runner);
  srunner_free(runner);
  return failed == 0 && run > 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
