/* balance.c - from readings on site to what to turn next
 *
 *   cc balance.c $(pkg-config --cflags --libs evenbreath) -o balance
 *   ./balance house.yaml readings.yaml
 *
 * SPDX-License-Identifier: GPL-3.0-or-later */

#include <evenbreath.h>
#include <stdio.h>

static const char *in_words(eb_verdict verdict) {
  switch (verdict) {
  case EB_VERDICT_FIRST_SETTINGS:
    return "set these, then read";
  case EB_VERDICT_ADJUST:
    return "turn what is advised, then read again";
  case EB_VERDICT_DONE:
    return "done: lock the valves";
  case EB_VERDICT_NOT_REACHABLE:
    return "cannot be reached";
  case EB_VERDICT_CANNOT_BE_DECLARED:
    return "cannot be declared";
  }
  return "?";
}

static void say(const eb_balance *balance) {
  printf("%s\n", in_words(balance->status.verdict));
  for (size_t i = 0; i < balance->n_terminals; i++) {
    const eb_balance_terminal *at = &balance->terminals[i];
    printf("%-10s %5.1f l/s +-%.1f", at->run, 1000 * at->now_m3_s, 1000 * at->now_error_m3_s);
    if (at->move)
      printf(", turn from %g to %g %s", at->opening, at->next_opening, at->opening_unit);
    putchar('\n');
  }
  for (size_t i = 0; i < balance->n_suspects; i++)
    printf("suspect: %s (%.0f %%)\n", balance->suspects[i].message,
           100 * balance->suspects[i].probability);
}

int main(int count, char **arguments) {
  if (count != 3) {
    fprintf(stderr, "usage: balance HOUSE.yaml READINGS\n");
    return 2;
  }
  eb_context *context = eb_context_new(NULL);
  eb_house *house = NULL;
  eb_readings *readings = NULL;
  const eb_rates *rates = NULL;
  const eb_balance *balance = NULL;
  eb_status status =
      context ? eb_house_read_file(context, arguments[1], NULL, &house) : EB_E_MEMORY;
  if (status == EB_OK)
    status = eb_rates_plan(context, house, NULL, NULL, &rates);
  if (status == EB_OK)
    status = eb_readings_read_file(context, house, arguments[2], &readings);
  if (status == EB_OK)
    status = eb_balance_advise(context, house, rates, readings, NULL, NULL, &balance);
  if (status == EB_OK)
    say(balance);
  else
    fprintf(stderr, "balance: %s\n", eb_status_text(status));
  eb_context_free(context); /* and with it all of the above */
  return status == EB_OK ? 0 : 3;
}
