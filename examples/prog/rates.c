/* rates.c - the library in a program of your own: how much air each room needs
 *
 *   cc rates.c $(pkg-config --cflags --libs evenbreath) -o rates
 *   ./rates house.yaml
 *
 * SPDX-License-Identifier: GPL-3.0-or-later */

#include <evenbreath.h>
#include <stdio.h>

static void say_problems(const eb_context *context) {
  size_t count;
  const eb_diagnostic *problems = eb_diagnostics(context, &count);
  for (size_t i = 0; i < count; i++)
    if (problems[i].severity == EB_ERROR)
      fprintf(stderr, "%s:%d:%d: %s\n", problems[i].file ? problems[i].file : "-", problems[i].line,
              problems[i].column, problems[i].message);
}

static void say_duty(const char *side, const eb_duty *levels) {
  if (levels)
    printf("  %s %.1f l/s, at boost %.1f l/s", side, 1000 * levels[0].design_m3_s,
           1000 * levels[1].design_m3_s);
}

int main(int count, char **arguments) {
  if (count != 2) {
    fprintf(stderr, "usage: rates HOUSE.yaml\n");
    return 2;
  }
  eb_context *context = eb_context_new(NULL);
  if (!context)
    return 6;
  eb_house *house = NULL;
  const eb_rates *rates = NULL;
  eb_status status = eb_house_read_file(context, arguments[1], NULL, &house);
  if (status == EB_OK)
    status = eb_rates_plan(context, house, NULL, NULL, &rates);
  if (status == EB_OK) {
    for (size_t i = 0; i < rates->n_rooms; i++) {
      printf("%-12s", rates->rooms[i].name);
      say_duty("supply", rates->rooms[i].supply);
      say_duty("extract", rates->rooms[i].extract);
      putchar('\n');
    }
  } else {
    fprintf(stderr, "rates: %s\n", eb_status_text(status));
    say_problems(context);
  }
  eb_context_free(context); /* and with it the house and the rates */
  return status == EB_OK ? 0 : 3;
}
