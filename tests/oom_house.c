/* oom_house.c - everything the library does, once */

#include "oom_house.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const oom_case oom_cases[] = {
    {.name = "a whole house", .path = "tests/houses/language-1.yaml", .override = "people=3"},
    {.name = "its own unit and valves", .path = "tests/houses/language-2.yaml"},
    {.name = "syntax, tags, aliases",
     .wanted = EB_E_SYNTAX,
     .text = "a: &a [1, {b: 8,5 l/s}]\nc: *a\nd:1\n? [x]\n: y\nc: !!int 3\n"},
    {.name = "wrong names", .wanted = EB_E_INPUT, .path = "tests/bad/junctions.yaml"},
    {.name = "wrong tables", .wanted = EB_E_TABLE, .path = "tests/bad/tables.yaml"},
    {.name = "wrong fittings", .wanted = EB_E_INPUT, .path = "tests/bad/fittings.yaml"},
    {.name = "wrong valves",
     .wanted = EB_E_INPUT,
     .path = "tests/bad/valves.yaml",
     .override = "a.b.c=[1, {d: 2}]"},
    {.name = "a wrong override",
     .wanted = EB_E_INPUT,
     .text = "rooms: {a: {use: living, area: 9 m2}}\n",
     .override = "rooms.a.area.b=3"},
    {.name = "the year of a house", .path = "examples/alder-row.yaml", .calculate = true},
};
const size_t n_oom_cases = sizeof oom_cases / sizeof oom_cases[0];

static void require(bool good) {
  if (!good)
    abort();
}

/* Against itself without a solution, so that rows and differences are made. */
static eb_status compare(eb_context *context, const eb_compare_input *whole, eb_ledger *ledger) {
  const eb_comparison *comparison = NULL;
  eb_compare_input inputs[] = {*whole, *whole};
  eb_house *bare = NULL;
  static const char text[] = "currency: EUR\nrooms: {a: {use: living, area: 9 m2}}\nrules: none\n";
  eb_status status = eb_house_read(context, "bare", text, strlen(text), NULL, &bare);
  if (status != EB_OK)
    return status;
  inputs[1] = (eb_compare_input){.name = "bare", .house = bare};
  status = eb_compare_houses(context, inputs, 2, NULL, ledger, &comparison);
  require((status == EB_OK) == (comparison != NULL));
  return status;
}

static eb_status calculate(eb_context *context, const eb_house *house) {
  const eb_rates *rates = NULL;
  const eb_ducts *ducts = NULL;
  const eb_energy *energy = NULL;
  const eb_parts *parts = NULL;
  eb_ledger *ledger = eb_ledger_new(context);
  if (!ledger)
    return EB_E_MEMORY;
  eb_status status = eb_rates_plan(context, house, NULL, ledger, &rates);
  require((status == EB_OK) == (rates != NULL));
  if (status == EB_OK) {
    status = eb_ducts_design(context, house, rates, NULL, ledger, &ducts);
    require((status == EB_OK) == (ducts != NULL));
  }
  if (status == EB_OK) {
    status = eb_energy_year(context, house, rates, ducts, NULL, ledger, &energy);
    require((status == EB_OK) == (energy != NULL));
  }
  if (status == EB_OK) {
    status = eb_parts_list(context, house, NULL, ledger, &parts);
    require((status == EB_OK) == (parts != NULL));
  }
  if (status == EB_OK) {
    eb_compare_input whole = {.name = "whole",
                              .house = house,
                              .rates = rates,
                              .ducts = ducts,
                              .energy = energy,
                              .parts = parts};
    status = compare(context, &whole, ledger);
  }
  return status;
}

static eb_status read_case(eb_context *context, const oom_case *one, eb_house **house) {
  const char *source = getenv("srcdir");
  eb_read_options options = {sizeof options, &one->override, one->override ? 1 : 0};
  char path[4096];
  if (!one->path)
    return eb_house_read(context, "text", one->text, strlen(one->text), &options, house);
  snprintf(path, sizeof path, "%s/%s", source ? source : ".", one->path);
  return eb_house_read_file(context, path, &options, house);
}

eb_status oom_run(const oom_case *one, const eb_allocator *allocator) {
  eb_house *house = NULL;
  eb_context *context = eb_context_new(allocator);
  if (!context)
    return EB_E_MEMORY;
  eb_status status = read_case(context, one, &house);
  require((status == EB_OK) == (house != NULL));
  if (status == EB_OK && one->calculate)
    status = calculate(context, house);
  eb_context_free(context);
  return status;
}
