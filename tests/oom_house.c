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
    {.name = "days of a year",
     .text = "site: {climate: new-york-2014}\nrooms: {a: {use: living, area: 9 m2}}\n"},
    {.name = "hours of a year",
     .text = "site: {climate: seattle-hours}\nrooms: {a: {use: living, area: 9 m2}}\n"},
    {.name = "degree-days turned back",
     .text = "site: {climate: uk-standard-year}\nrooms: {a: {use: living, area: 9 m2}}\n"},
    {.name = "wrong hours", .wanted = EB_E_TABLE, .path = "tests/bad/climate-csv.yaml"},
    {.name = "a wrong override",
     .wanted = EB_E_INPUT,
     .text = "rooms: {a: {use: living, area: 9 m2}}\n",
     .override = "rooms.a.area.b=3"},
    {.name = "the year of a house", .path = "examples/alder-row.yaml", .calculate = true},
    {.name = "two visits to a flat", .path = "tests/houses/two-rooms.yaml", .balance = true},
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
    const eb_energy_options options = {.size = sizeof options, .detail = true};
    status = eb_energy_year(context, house, rates, ducts, &options, ledger, &energy);
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

/* A visit, in both forms. */
static eb_status visit(eb_context *context, const eb_house *house) {
  static const char rows[] =
      "level,terminal,flow,unit,note\nnormal,bed-1,8 / 9,l/s,\"a \"\"b\"\"\"\n"
      ",wind,2,m/s,c\n,pressure s-box,20,Pa,d\n,bed-2,,,e\n";
  static const char text[] =
      "visit: {date: 2026-11-20}\ninstrument: {drop: 5 Pa at 30 l/s}\nrounds:\n"
      "  - level: normal\n    fans: {supply: 45 %}\n    valves: {s-bed-1: 4 mm}\n"
      "    flows: {s-living: [12 l/s, 13 l/s]}\n    pressures: {s-box: 20 Pa}\n"
      "    unit: {supply: 30 l/s}\n    humidity: {extract: 50 %}\n    power: {unit: 20 W}\n"
      "    temperatures: {outdoor: -4 C, supply: 18 C, extract: 20 C, exhaust: 5 C}\n";
  eb_readings *typed = NULL, *readings = NULL;
  const eb_unit_diagnosis *diagnosis = NULL;
  eb_ledger *ledger = eb_ledger_new(context);
  if (!ledger)
    return EB_E_MEMORY;
  eb_status status = eb_readings_read(context, house, "r.csv", rows, strlen(rows), &typed);
  require((status == EB_OK) == (typed != NULL));
  if (status == EB_OK)
    status = eb_readings_read(context, house, "r.yaml", text, strlen(text), &readings);
  require((status == EB_OK) == (readings != NULL));
  if (status == EB_OK) {
    status = eb_unit_diagnose(context, house, readings, NULL, ledger, &diagnosis);
    require((status == EB_OK) == (diagnosis != NULL));
  }
  return status;
}

/* What was read is balanced and written down, and a later visit set beside it. The second reading
 * of the study is one in m3/h, so that suspects are looked for. */
static eb_status balance(eb_context *context, const eb_house *house) {
  static const char text[] =
      "instrument: {bias: 2 %, repeat: 4 %, drop: 5 Pa at 20 l/s}\nrounds:\n"
      "  - level: normal\n    fans: {supply: 62 %, extract: 58 %}\n"
      "    flows: {a: 8.4 l/s, b: 6.6 l/s, c: 14.9 l/s}\n    pressures: {fork: 20 Pa}\n"
      "  - level: normal\n    fans: {supply: 64 %, extract: 60 %}\n    unit: {supply: 15.8 l/s}\n"
      "    flows: {a: 33.5 l/s, b: 6.3 l/s, c: [15.5 l/s, 15.8 l/s]}\n";
  eb_readings *readings = NULL, *later = NULL;
  const eb_rates *rates = NULL;
  const eb_balance *advice = NULL;
  const eb_record *record = NULL;
  const eb_revisit *revisit = NULL;
  eb_ledger *ledger = eb_ledger_new(context);
  eb_status status = ledger ? eb_rates_plan(context, house, NULL, ledger, &rates) : EB_E_MEMORY;
  if (status == EB_OK)
    status = eb_readings_read(context, house, "v.yaml", text, strlen(text), &readings);
  if (status == EB_OK)
    status = eb_readings_read(context, house, "w.yaml", text, strlen(text), &later);
  if (status == EB_OK) {
    status = eb_balance_advise(context, house, rates, readings, NULL, ledger, &advice);
    require((status == EB_OK) == (advice != NULL));
  }
  if (status == EB_OK) {
    status = eb_record_write(context, house, rates, readings, NULL, ledger, &record);
    require((status == EB_OK) == (record != NULL));
  }
  if (status == EB_OK) {
    status = eb_revisit_compare(context, house, rates, readings, later, &revisit);
    require((status == EB_OK) == (revisit != NULL));
  }
  return status;
}

static eb_status read_case(eb_context *context, const oom_case *one, eb_house **house) {
  const char *source = getenv("srcdir");
  eb_read_options options = {sizeof options, &one->override, one->override ? 1 : 0, 0};
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
  if (status == EB_OK && one->calculate)
    status = visit(context, house);
  if (status == EB_OK && one->balance)
    status = balance(context, house);
  eb_context_free(context);
  return status;
}
