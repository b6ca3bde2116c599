/* errors.c - what is wrong, where, and why a number is what it is
 *
 *   cc errors.c $(pkg-config --cflags --libs evenbreath) -o errors
 *
 * SPDX-License-Identifier: GPL-3.0-or-later */

#include <evenbreath.h>
#include <stdio.h>
#include <string.h>

static const char wrong[] = "rules: england-2021\n"
                            "bedrooms: 1\n"
                            "rooms:\n"
                            "  living: {use: living, area: 27, heigth: 2.4 m}\n";

static const char right[] = "rules: england-2021\n"
                            "bedrooms: 1\n"
                            "floor_area: 48 m2\n"
                            "rooms:\n"
                            "  living: {use: [living, kitchen], area: 27 m2, height: 2.4 m}\n"
                            "  bed: {use: bedroom, area: 12 m2, height: 2.4 m}\n"
                            "  bath: {use: bathroom, area: 5 m2, height: 2.4 m}\n";

/* All problems of a text come in one go; they stay until they are cleared. */
static void say_findings(eb_context *context) {
  static const char *const words[] = {"error", "warning", "note"};
  size_t count;
  const eb_diagnostic *found = eb_diagnostics(context, &count);
  for (size_t i = 0; i < count; i++)
    printf("%s:%d:%d: %s (%s): %s\n", found[i].file ? found[i].file : "-", found[i].line,
           found[i].column, words[found[i].severity], found[i].code, found[i].message);
  eb_diagnostics_clear(context);
}

/* The last step of a name, with formula, source and the values it used. */
static void say_why(const eb_ledger *ledger, const char *what) {
  for (size_t i = eb_ledger_count(ledger); i-- > 0;) {
    eb_step step = eb_ledger_step(ledger, i);
    if (strcmp(step.what, what) != 0)
      continue;
    printf("%s = %g %s: %s [%s]\n", step.what, step.value, step.unit, step.formula, step.source);
    for (size_t k = 0; k < step.n_inputs; k++) {
      eb_step input = eb_ledger_step(ledger, step.inputs[k]);
      printf("  from %s = %g %s\n", input.what, input.value, input.unit);
    }
    return;
  }
}

int main(void) {
  eb_context *context = eb_context_new(NULL);
  eb_ledger *ledger = context ? eb_ledger_new(context) : NULL;
  if (!ledger)
    return 6;
  eb_house *house = NULL; /* stays NULL where reading fails */
  eb_status status = eb_house_read(context, "wrong", wrong, strlen(wrong), NULL, &house);
  printf("%s\n", eb_status_text(status));
  say_findings(context);
  const eb_rates *rates = NULL;
  status = eb_house_read(context, "right", right, strlen(right), NULL, &house);
  if (status == EB_OK)
    status = eb_rates_plan(context, house, NULL, ledger, &rates);
  printf("%s\n", eb_status_text(status));
  say_findings(context);
  say_why(ledger, "total of each side at normal");
  eb_context_free(context);
  return status == EB_OK ? 0 : 3;
}
