/* year.c - the library in a program of your own: ducts and the year of one house
 *
 *   cc year.c $(pkg-config --cflags --libs evenbreath) -o year
 *   ./year house.yaml
 *
 * SPDX-License-Identifier: GPL-3.0-or-later */

#include <evenbreath.h>
#include <stdio.h>

typedef struct answers {
  const eb_rates *rates;
  const eb_ducts *ducts;
  const eb_energy *energy;
} answers;

/* Each step needs the one before; the first that fails is the last. */
static eb_status calculate(eb_context *context, const eb_house *house, answers *found) {
  eb_status status = eb_rates_plan(context, house, NULL, NULL, &found->rates);
  if (status == EB_OK && eb_house_has_ducts(house))
    status = eb_ducts_design(context, house, found->rates, NULL, NULL, &found->ducts);
  if (status == EB_OK && eb_house_has_climate(house))
    status = eb_energy_year(context, house, found->rates, found->ducts, NULL, NULL, &found->energy);
  return status;
}

static void say_ducts(const eb_ducts *ducts) {
  for (size_t i = 0; i < ducts->n_levels; i++) {
    const eb_level_state *level = &ducts->levels[i];
    printf("%s: supply %.1f l/s against %.1f Pa, extract %.1f l/s against %.1f Pa, %.1f W\n",
           level->name, 1000 * level->supply.flow_m3_s, level->supply.pressure_pa,
           1000 * level->extract.flow_m3_s, level->extract.pressure_pa, level->power_w);
  }
  for (size_t i = 0; i < ducts->n_terminals; i++) {
    const eb_terminal *terminal = &ducts->terminals[i];
    if (terminal->has_opening)
      printf("  set %s to %.1f %s\n", terminal->run, terminal->opening, terminal->opening_unit);
  }
}

static void say_year(const eb_energy *energy) {
  printf("a year: %.0f kWh of heat, %.0f less than with %s; fans %.0f kWh\n",
         energy->net_heat_kwh, energy->saving_heat_kwh, energy->baseline_name, energy->fan_kwh);
}

int main(int count, char **arguments) {
  if (count != 2) {
    fprintf(stderr, "usage: year HOUSE.yaml\n");
    return 2;
  }
  eb_context *context = eb_context_new(NULL);
  eb_house *house = NULL;
  answers found = {NULL, NULL, NULL};
  eb_status status =
      context ? eb_house_read_file(context, arguments[1], NULL, &house) : EB_E_MEMORY;
  if (status == EB_OK)
    status = calculate(context, house, &found);
  if (status != EB_OK)
    fprintf(stderr, "year: %s\n", eb_status_text(status));
  if (found.ducts)
    say_ducts(found.ducts);
  if (found.energy)
    say_year(found.energy);
  eb_context_free(context); /* and with it all that was found */
  return status == EB_OK ? 0 : 3;
}
