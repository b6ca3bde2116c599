/* test_readings.c - readings taken on site, from their text */

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "model/readings.h"
#include "suites.h"

static eb_context *context;
static eb_house *house;
static eb_readings *readings;

/* `liv` has two supply terminals, `bath` one of each side. */
static const char house_text[] =
    "dwelling: Test\n"
    "rules: none\n"
    "rooms:\n"
    "  liv: {use: living, area: 21 m2, height: 2.4 m, supply: 14 l/s}\n"
    "  bed: {use: bedroom, area: 11 m2, height: 2.4 m, supply: 9 l/s}\n"
    "  bath: {use: bathroom, area: 5 m2, height: 2.4 m, extract: 19 l/s, supply: 3 l/s}\n"
    "  kök: {use: kitchen, area: 9 m2, height: 2.4 m, extract: 7 l/s}\n"
    "  hall: {use: hall, area: 4 m2, height: 2.4 m}\n"
    "unit: generic-unit-a\n"
    "levels: {low: 70 %}\n"
    "ducts:\n"
    "  outdoor: [{run: intake, from: outdoors, to: unit, duct: steel-160, length: 2 m}]\n"
    "  supply:\n"
    "    - {run: s-main, from: unit, to: s-box, duct: steel-160, length: 2 m}\n"
    "    - {run: s-liv-a, from: s-box, to: liv, duct: semirigid-75, length: 7 m, valve: "
    "supply-valve-125}\n"
    "    - {run: s-liv-b, from: s-box, to: liv, duct: semirigid-75, length: 8 m, valve: "
    "supply-valve-125}\n"
    "    - {run: s-bed, from: s-box, to: bed, duct: semirigid-75, length: 9 m, valve: "
    "supply-valve-100}\n"
    "    - {run: s-bath, from: s-box, to: bath, duct: semirigid-75, length: 5 m}\n"
    "  extract:\n"
    "    - {run: e-bath, from: bath, to: e-tee, duct: steel-100, length: 3 m, valve: "
    "extract-valve-100}\n"
    "    - {run: e-kök, from: kök, to: e-tee, duct: steel-100, length: 3 m, valve: "
    "extract-valve-100}\n"
    "    - {run: e-main, from: e-tee, to: unit, duct: steel-125, length: 3 m}\n"
    "  exhaust: [{run: outlet, from: unit, to: outdoors, duct: steel-160, length: 2 m}]\n";

static void begin(void) {
  const char *source = getenv("srcdir");
  char folder[4096];
  readings = NULL;
  context = eb_context_new(NULL);
  ck_assert_ptr_nonnull(context);
  snprintf(folder, sizeof folder, "%s/tables", source ? source : ".");
  ck_assert_int_eq(eb_tables_search(context, folder), EB_OK);
  ck_assert_int_eq(
      eb_house_read(context, "homes/test.yaml", house_text, strlen(house_text), NULL, &house),
      EB_OK);
  eb_diagnostics_clear(context);
}

static void end(void) {
  eb_context_free(context);
}

static eb_status read_as(const char *name, const char *text) {
  return eb_readings_read(context, house, name, text, strlen(text), &readings);
}

static void read_well(const char *name, const char *text) {
  size_t count = 0;
  eb_status status = read_as(name, text);
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  ck_assert_msg(status == EB_OK, "%s", count ? all[0].message : "nothing said");
  ck_assert_ptr_nonnull(readings);
}

/* One error and no more, at a place. */
static void refused(const char *name, const char *text, int line, int column, const char *code,
                    const char *part) {
  size_t count = 0;
  eb_diagnostics_clear(context);
  readings = NULL;
  eb_status status = read_as(name, text);
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  ck_assert_msg(status == EB_E_INPUT || status == EB_E_SYNTAX, "status %d of: %s", (int)status,
                text);
  ck_assert_ptr_null(readings);
  ck_assert_msg(count == 1, "%zu said of: %s: %s", count, text, count ? all[1].message : "");
  ck_assert_msg(all[0].line == line && all[0].column == column, "%d:%d %s: %s", all[0].line,
                all[0].column, all[0].message, text);
  ck_assert_str_eq(all[0].file, name);
  ck_assert_msg(strcmp(all[0].code, code) == 0, "%s: %s", all[0].code, all[0].message);
  ck_assert_msg(strstr(all[0].message, part) != NULL, "%s", all[0].message);
}

static void refused_yaml(const char *text, int line, int column, const char *code,
                         const char *part) {
  refused("r.yaml", text, line, column, code, part);
}

static void refused_csv(const char *text, int line, int column, const char *code,
                        const char *part) {
  refused("r.csv", text, line, column, code, part);
}

static const ebi_terminal_reading *terminal(size_t round, const char *run) {
  const ebi_round *r = &readings->rounds[round];
  for (size_t i = 0; i < r->n_terminals; i++)
    if (strcmp(house->runs[r->terminals[i].run].name, run) == 0)
      return &r->terminals[i];
  ck_abort_msg("%s is not in the round", run);
  return NULL;
}

static void check_flow(size_t round, const char *run, double l_s) {
  const ebi_terminal_reading *read = terminal(round, run);
  ck_assert_uint_ge(read->n_flows, 1);
  ck_assert_double_eq_tol(read->flows[0] * 1e3, l_s, 1e-9);
  ck_assert_ptr_null(read->unread);
}

static double opening(size_t round, const char *run) {
  const ebi_round *r = &readings->rounds[round];
  for (size_t i = 0; i < r->n_valves; i++)
    if (strcmp(house->runs[r->valves[i].run].name, run) == 0)
      return r->valves[i].opening;
  ck_abort_msg("the valve of %s is not in the round", run);
  return 0;
}

/* ---- YAML -------------------------------------------------------------- */

static const char whole[] =
    "house: elsewhere/test.yaml\n"
    "visit: {date: 2028-02-29, by: Kim Invented, organisation: Åkers Luft}\n"
    "instrument: {name: hooded vane anemometer, kind: thermal, serial: \"0012\", calibrated: "
    "2027-09-01, bias: 3 %, repeat: 2.5 %, floor: 0.3 l/s, drop: 5 Pa at 30 l/s, powered: no, "
    "temperature_error: 0.3 K}\n"
    "rounds:\n"
    "  - level: normal\n"
    "    state: {bypass: shut, frost: off, filters: new, outdoor: 4 C, indoor: 20.5 C, wind: 2 "
    "m/s}\n"
    "    fans: {supply: 45 %, extract: 50.5 %}\n"
    "    valves: {s-bed: 6.5 mm, e-bath: -1 mm}\n"
    "    flows:\n"
    "      bed: 10.4 l/s\n"
    "      s-liv-a: [13.8 l/s, 48.96 m3/h]\n"
    "      s-liv-b: {unread: behind wardrobe}\n"
    "      bath: {flow: 13.9 l/s, note: windy, side: extract, opening: 3 mm}\n"
    "      kök: unread\n"
    "    pressures: {s-box: 22 Pa, s-bed: 0.1 in.wg, house: -1.5 Pa}\n"
    "    unit: {supply: 38 l/s, extract: 37 l/s}\n"
    "    temperatures: {outdoor: 4 C, supply: 17.2 C, extract: 68.9 F, exhaust: 8 C}\n"
    "    humidity: {extract: 45 %}\n"
    "    power: {unit: 38 W}\n"
    "    note: quiet\n"
    "  - level: low\n"
    "    instrument: {kind: pressure}\n"
    "    fans: {supply: 25 %}\n"
    "    flows: {s-bed: 0 l/s}\n";

/* One valve said twice in the text above is put right here. */
static const char *without_twice(char *buffer, size_t size) {
  const char *twice = strstr(whole, ", e-bath: -1 mm");
  size_t before = (size_t)(twice - whole), cut = strlen(", e-bath: -1 mm");
  ck_assert_uint_lt(strlen(whole) - cut, size);
  memcpy(buffer, whole, before);
  snprintf(buffer + before, size - before, "%s", twice + cut);
  return buffer;
}

START_TEST(every_key) {
  char text[2048];
  read_well("r.yaml", without_twice(text, sizeof text));
  ck_assert_str_eq(readings->date, "2028-02-29");
  ck_assert_str_eq(readings->by, "Kim Invented");
  ck_assert_str_eq(readings->organisation, "Åkers Luft");
  const ebi_instrument *tool = &readings->instrument;
  ck_assert(tool->given && !tool->powered && tool->kind == EBI_INSTRUMENT_THERMAL);
  ck_assert_str_eq(tool->name, "hooded vane anemometer");
  ck_assert_str_eq(tool->serial, "0012");
  ck_assert_str_eq(tool->calibrated, "2027-09-01");
  ck_assert_double_eq_tol(tool->bias.value, 0.03, 1e-12);
  ck_assert_double_eq_tol(tool->repeat.value, 0.025, 1e-12);
  ck_assert_double_eq_tol(tool->floor.value, 0.3e-3, 1e-12);
  ck_assert_double_eq_tol(tool->drop.value, 5, 1e-12);
  ck_assert_double_eq_tol(tool->drop_at.value, 0.03, 1e-12);
  ck_assert_double_eq_tol(tool->temperature_error.value, 0.3, 1e-12);
  ck_assert_uint_eq(readings->n_rounds, 2);
}
END_TEST

START_TEST(first_round) {
  char text[2048];
  read_well("r.yaml", without_twice(text, sizeof text));
  const ebi_round *r = &readings->rounds[0];
  ck_assert_str_eq(r->level, "normal");
  ck_assert_str_eq(r->bypass, "shut");
  ck_assert_str_eq(r->frost, "off");
  ck_assert_str_eq(r->filters, "new");
  ck_assert_double_eq_tol(r->outdoor.value, 4, 1e-12);
  ck_assert_double_eq_tol(r->indoor.value, 20.5, 1e-12);
  ck_assert_double_eq_tol(r->wind.value, 2, 1e-12);
  ck_assert_double_eq_tol(r->fan_signal[0].value, 0.45, 1e-12);
  ck_assert_double_eq_tol(r->fan_signal[1].value, 0.505, 1e-12);
  ck_assert_uint_eq(r->n_valves, 2);
  ck_assert_double_eq_tol(opening(0, "s-bed"), 6.5, 1e-12);
  ck_assert_double_eq_tol(opening(0, "e-bath"), 3, 1e-12);
  ck_assert_uint_eq(r->n_pressures, 3);
  ck_assert_str_eq(r->pressures[0].at, "s-box");
  ck_assert_double_eq_tol(r->pressures[1].pressure, 24.9089, 1e-3);
  ck_assert_double_eq_tol(r->pressures[2].pressure, -1.5, 1e-12);
  ck_assert_double_eq_tol(r->unit_flow[EB_SUPPLY].value, 0.038, 1e-12);
  ck_assert_double_eq_tol(r->unit_flow[EB_EXTRACT].value, 0.037, 1e-12);
  ck_assert(!r->unit_flow[EB_OUTDOOR].given);
  ck_assert_double_eq_tol(r->temperature[EB_EXTRACT].value, 20.5, 1e-9);
  ck_assert_double_eq_tol(r->temperature[EB_EXHAUST].value, 8, 1e-12);
  ck_assert_double_eq_tol(r->humidity[EB_EXTRACT].value, 0.45, 1e-12);
  ck_assert_double_eq_tol(r->power.value, 38, 1e-12);
  ck_assert_str_eq(r->note, "quiet");
  ck_assert(r->instrument.given && r->instrument.kind == EBI_INSTRUMENT_THERMAL);
}
END_TEST

START_TEST(terminals_of_a_round) {
  char text[2048];
  read_well("r.yaml", without_twice(text, sizeof text));
  ck_assert_uint_eq(readings->rounds[0].n_terminals, 5);
  check_flow(0, "s-bed", 10.4);
  check_flow(0, "s-liv-a", 13.8);
  const ebi_terminal_reading *twice = terminal(0, "s-liv-a");
  ck_assert_uint_eq(twice->n_flows, 2);
  ck_assert_double_eq_tol(twice->flows[1] * 1e3, 13.6, 1e-9);
  ck_assert_str_eq(twice->written[1], "48.96 m3/h");
  const ebi_terminal_reading *hidden = terminal(0, "s-liv-b");
  ck_assert_uint_eq(hidden->n_flows, 0);
  ck_assert_str_eq(hidden->unread, "behind wardrobe");
  check_flow(0, "e-bath", 13.9);
  ck_assert_str_eq(terminal(0, "e-bath")->note, "windy");
  ck_assert_str_eq(terminal(0, "e-kök")->unread, "");
  ck_assert_uint_eq(terminal(0, "e-kök")->n_flows, 0);
}
END_TEST

/* A reading of 0 is a reading; another round has its own of everything. */
START_TEST(second_round) {
  char text[2048];
  read_well("r.yaml", without_twice(text, sizeof text));
  const ebi_round *r = &readings->rounds[1];
  ck_assert_str_eq(r->level, "low");
  check_flow(1, "s-bed", 0);
  ck_assert(r->instrument.given && r->instrument.kind == EBI_INSTRUMENT_PRESSURE);
  ck_assert_str_eq(r->instrument.name, "");
  ck_assert(!r->instrument.bias.given);
  ck_assert_double_eq_tol(r->fan_signal[0].value, 0.25, 1e-12);
  ck_assert(!r->fan_signal[1].given && !r->power.given);
  ck_assert_ptr_null(r->bypass);
  ck_assert_uint_eq(r->n_valves + r->n_pressures, 0);
  ck_assert_str_eq(r->note, "");
}
END_TEST

/* ---- YAML that will not do --------------------------------------------- */

#define FLOWS "rounds:\n  - level: normal\n    flows: {"

START_TEST(wrong_terminals) {
  static const struct {
    const char *flows, *code, *part;
    int column;
  } rows[] = {
      {"s-bedd: 9 l/s}", "terminal-unknown", "did you mean \"s-bed\"?", 13},
      {"cellar: 9 l/s}", "terminal-unknown", "it has: liv, s-liv-a", 13},
      {"s-main: 9 l/s}", "terminal-none", "neither ends nor begins in a room", 13},
      {"intake: 9 l/s}", "terminal-none", "\"intake\" is a run without a terminal", 13},
      {"hall: 9 l/s}", "terminal-none", "room \"hall\" has no terminal", 13},
      {"liv: 9 l/s}", "terminal-many", "2 terminals: name the run, s-liv-a, s-liv-b", 13},
      {"bath: 9 l/s}", "terminal-many", "name the run, s-bath, e-bath", 13},
      {"bed: {flow: 9 l/s, side: extract}}", "terminal-side",
       "has no extract terminal; it has: s-bed", 13},
      {"e-kök: {flow: 9 l/s, side: supply}}", "terminal-side", "on the extract side, not supply",
       13},
      {"bed: 9 l/s, s-bed: 9 l/s}", "reading-twice",
       "\"s-bed\" is read twice in this round, before in line 3", 25},
  };
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    char text[256];
    snprintf(text, sizeof text, "%s%s\n", FLOWS, rows[i].flows);
    refused_yaml(text, 3, rows[i].column, rows[i].code, rows[i].part);
  }
}
END_TEST

/* The largest duct, 160 mm, carries 201 l/s at 10 m/s: 2011 l/s is the edge. */
START_TEST(wrong_flows) {
  static const struct {
    const char *flows, *code, *part;
    int column;
  } rows[] = {
      {"bed: 9}", "unit-missing", "\"9 l/s\"", 18},
      {"bed: 8,5 l/s}", "decimal-comma", "\"8.5 l/s\"", 18},
      {"bed: -2012 l/s}", "flow-impossible", "\"-2012 l/s\"", 18},
      {"bed: 9 Pa}", "unit-wrong", "does not measure a flow", 18},
      {"bed: 2012 l/s}", "flow-impossible", "\"2012 l/s\"", 18},
      {"bed: [9 l/s, 9e9 l/s]}", "out-of-range", "9e9", 26},
      {"bed: []}", "value-missing", "unread", 18},
      {"bed: {note: ja}}", "key-missing", "flow: 13.8 l/s", 18},
      {"bed: {flow: 9 l/s, unread: why}}", "reading-both", "not both", 40},
      {"bed: {unread: }}", "value-missing", "unread", 27},
      {"bed: {flow: 9 l/s, opening: 6 turns}}", "unit-missing", "\"6 mm\"", 41},
      {"s-bath: {flow: 9 l/s, opening: 6 mm}}", "valve-none", "no valve", 13},
      {"bed: nan}", "number-not-finite", "nan", 18},
  };
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    char text[256];
    snprintf(text, sizeof text, "%s%s\n", FLOWS, rows[i].flows);
    refused_yaml(text, 3, rows[i].column, rows[i].code, rows[i].part);
  }
  read_well("r.yaml", FLOWS "bed: 2010 l/s}\n");
}
END_TEST

START_TEST(wrong_rounds) {
  static const struct {
    const char *rest, *code, *part;
    int line, column;
  } rows[] = {
      {"rounds: [{level: bost}]", "level-unknown", "did you mean \"boost\"?", 1, 18},
      {"rounds: [{level: party}]", "level-unknown", "it has: normal, boost, low", 1, 18},
      {"rounds: [{flows: {bed: 9 l/s}}]", "key-missing", "level", 1, 10},
      {"rounds: []", "value-missing", "nothing was read", 1, 9},
      {"rounds: {level: normal}", "kind-wrong", "a list", 1, 9},
      {"rounds: [{level: normal, flow: {bed: 9 l/s}}]", "key-unknown", "\"flows\"", 1, 26},
      {"rounds: [{level: normal, flows: 9 l/s}]", "kind-wrong", "a mapping", 1, 33},
      {"rounds: [{level: low, fans: {supply: 45}}]", "fan-signal", "\"45 %\"", 1, 38},
      {"rounds: [{level: low, fans: {supply: 4 V}}]", "fan-signal", "shows %", 1, 38},
      {"rounds: [{level: low, fans: {supply: 145 %}}]", "out-of-range", "0 to 100", 1, 38},
      {"rounds: [{level: low, fans: {supply: step 1}}]", "fan-signal", "shows %", 1, 38},
      {"rounds: [{level: low, fans: {supply: 120 m3/h}}]", "fan-signal", "shows %", 1, 38},
      {"rounds: [{level: low, valves: {s-bed: 5}}]", "unit-missing", "\"5 mm\"", 1, 39},
      {"rounds: [{level: low, valves: {s-bath: 5 mm}}]", "valve-none", "s-bath", 1, 32},
      {"rounds: [{level: low, valves: {bed: 5 mm, s-bed: 6 mm}}]", "reading-twice", "set twice", 1,
       43},
      {"rounds: [{level: low, pressures: {s-bax: 5 Pa}}]", "place-unknown", "\"s-box\"", 1, 35},
      {"rounds: [{level: low, pressures: {s-box: 5}}]", "unit-missing", "5 Pa", 1, 42},
      {"rounds: [{level: low, temperatures: {supply: 170 C}}]", "out-of-range", "170 C", 1, 46},
      {"rounds: [{level: low, temperatures: {suply: 17 C}}]", "key-unknown", "\"supply\"", 1, 38},
      {"rounds: [{level: low, humidity: {extract: 45}}]", "out-of-range", "45 %", 1, 43},
      {"rounds: [{level: low, state: {bypass: closed}}]", "word-unknown", "shut or open", 1, 39},
      {"rounds: [{level: low, state: {frost: no}}]", "word-unknown", "\"no\"", 1, 38},
      {"rounds: [{level: low, power: {unit: -3 W}}]", "out-of-range", "0 to 10000", 1, 37},
  };
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
    refused_yaml(rows[i].rest, rows[i].line, rows[i].column, rows[i].code, rows[i].part);
}
END_TEST

START_TEST(wrong_heads) {
#define ROUND "rounds: [{level: normal}]\n"
  refused_yaml("house: other.yaml\n" ROUND, 1, 8, "readings-house",
               "of \"other.yaml\", but the house given is \"test.yaml\"");
  refused_yaml("visit: {date: 2027-02-29}\n" ROUND, 1, 15, "date", "2026-11-20");
  refused_yaml("visit: {date: 29.2.2028}\n" ROUND, 1, 15, "date", "29.2.2028");
  refused_yaml("visit: {date: 2028-2-29}\n" ROUND, 1, 15, "date", "2028-2-29");
  refused_yaml("instrument: {bias: 60 %}\n" ROUND, 1, 20, "out-of-range", "0 to 50 %");
  refused_yaml("instrument: {repeat: 3}\n" ROUND, 1, 22, "out-of-range", "3 %");
  refused_yaml("instrument: {kind: vein}\n" ROUND, 1, 20, "word-unknown",
               "vane, pressure or thermal");
  refused_yaml("instrument: {drop: 5 Pa}\n" ROUND, 1, 20, "restrictor", "drop \"5 Pa\"");
  refused_yaml("instrument: {calibrated: last year}\n" ROUND, 1, 26, "date", "calibrated");
  refused_yaml("instrument: {temperature_error: 0.3 C}\n" ROUND, 1, 33, "unit-wrong", "K");
  refused_yaml("instruments: {}\n" ROUND, 1, 1, "key-unknown", "\"instrument\"");
  refused_yaml("visit: {}\n", 1, 1, "key-missing", "rounds");
#undef ROUND
}
END_TEST

/* All that is wrong is said at once, and nothing half read comes out. */
START_TEST(whole_or_nothing) {
  size_t count = 0;
  ck_assert_int_eq(read_as("r.yaml", whole), EB_E_INPUT); /* e-bath's valve is set twice */
  eb_diagnostics(context, &count);
  ck_assert_uint_eq(count, 1);
  ck_assert_ptr_null(readings);
  eb_diagnostics_clear(context);
  ck_assert_int_eq(read_as("r.yaml", FLOWS "bed: 9, kitchen: 8 l/s, liv: 7 l/s}\n"), EB_E_INPUT);
  eb_diagnostics(context, &count);
  ck_assert_uint_eq(count, 3);
  ck_assert_int_eq(read_as("r.yaml", "rounds: [{level: normal\n"), EB_E_SYNTAX);
  ck_assert_int_eq(read_as("r.yaml", ""), EB_E_SYNTAX);
  ck_assert_int_eq(read_as("r.yaml", "a: \xFF\n"), EB_E_SYNTAX);
  ck_assert_ptr_null(readings);
}
END_TEST

START_TEST(wrong_calls) {
  const char *text = "rounds: [{level: normal}]";
  size_t length = strlen(text);
  eb_context *other = eb_context_new(NULL);
  ck_assert_int_eq(eb_readings_read(other, house, "r.yaml", text, length, &readings),
                   EB_E_ARGUMENT);
  ck_assert_int_eq(eb_readings_read(context, NULL, "r.yaml", text, length, &readings),
                   EB_E_ARGUMENT);
  ck_assert_int_eq(eb_readings_read(context, house, NULL, text, length, &readings), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_readings_read(context, house, "r.yaml", NULL, length, &readings),
                   EB_E_ARGUMENT);
  ck_assert_int_eq(eb_readings_read(context, house, "r.yaml", text, length, NULL), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_readings_read_file(context, house, NULL, &readings), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_readings_read_file(context, house, "no/such/file.yaml", &readings),
                   EB_E_FILE);
  ck_assert_ptr_null(readings);
  eb_readings_free(NULL);
  eb_context_free(other);
}
END_TEST

START_TEST(freed_before_the_house) {
  read_well("r.yaml", "rounds: [{level: normal}]");
  eb_readings_free(readings);
  read_well("r.yaml", "rounds: [{level: boost}]");
  ck_assert_str_eq(readings->rounds[0].level, "boost");
}
END_TEST

/* ---- CSV --------------------------------------------------------------- */

/* Accents, quotes, blank rows, CRLF, a byte order mark, columns in an order of one's own. */
START_TEST(csv_in_any_order) {
  read_well("R.CSV", "\xEF\xBB\xBFNote,Terminal,Flow,Unit,Level,Opening\r\n"
                     "\"draughty, \"\"very\"\"\",bed,10.4,l/s,normal,6.5 mm\r\n"
                     ",,,,,\r\n"
                     ",s-liv-a,13.8 / 13.6,l/s,,\r\n"
                     "behind wardrobe,s-liv-b,unread,,,\r\n"
                     ",kök,,,,\r\n"
                     ",bed,17,cfm,boost\r\n");
  ck_assert_uint_eq(readings->n_rounds, 2);
  check_flow(0, "s-bed", 10.4);
  ck_assert_str_eq(terminal(0, "s-bed")->note, "draughty, \"very\"");
  ck_assert_str_eq(terminal(0, "s-bed")->written[0], "10.4 l/s");
  ck_assert_double_eq_tol(opening(0, "s-bed"), 6.5, 1e-12);
  ck_assert_uint_eq(terminal(0, "s-liv-a")->n_flows, 2);
  ck_assert_double_eq_tol(terminal(0, "s-liv-a")->flows[1] * 1e3, 13.6, 1e-9);
  ck_assert_str_eq(terminal(0, "s-liv-b")->unread, "behind wardrobe");
  ck_assert_str_eq(terminal(0, "e-kök")->unread, "");
  ck_assert_str_eq(readings->rounds[1].level, "boost");
  ck_assert_double_eq_tol(terminal(1, "s-bed")->flows[0] * 1e3, 17 * 0.4719474432, 1e-9);
}
END_TEST

/* A semicolon between cells, so the comma is the decimal sign; units in the header; side. */
START_TEST(csv_of_the_continent) {
  read_well("r.csv", "round;level;room;side;opening (mm);flow (l/s);unit;note\n"
                     "1;normal;bed;;4,5;10,4;;\n"
                     "1;normal;bath;extract;-1;19,25;;\n"
                     "2;normal;bed;;5;37,44;m3/h;\n"
                     ";;bath;extract;;18.5;;\n");
  ck_assert_uint_eq(readings->n_rounds, 2);
  check_flow(0, "s-bed", 10.4);
  ck_assert_double_eq_tol(opening(0, "s-bed"), 4.5, 1e-12);
  check_flow(0, "e-bath", 19.25);
  ck_assert_double_eq_tol(opening(0, "e-bath"), -1, 1e-12);
  check_flow(1, "s-bed", 10.4);
  check_flow(1, "e-bath", 18.5);
  ck_assert_uint_eq(readings->rounds[1].n_valves, 1);
}
END_TEST

START_TEST(csv_of_the_unit) {
  read_well("r.csv", "level,terminal,flow,unit,note\r"
                     "low,Supply fan,45,%,\r"
                     ",extract fan,50,%,rattles\r"
                     ",outdoor temperature,4,C,\r"
                     ",wind,2,m/s,\r"
                     ",bypass,shut,,\r"
                     ",outdoor air,5,C,\r"
                     ",extract air,20.5,C,at the grille\r"
                     ",extract humidity,45,%,\r"
                     ",unit supply,137,m3/h,\r"
                     ",unit power,38,W,\r"
                     ",unit extract,,,\r"
                     ",pressure s-box,22,Pa,\r"
                     ",house pressure,-1.5,Pa,\r"
                     ",bed,9,l/s,\r");
  const ebi_round *r = &readings->rounds[0];
  ck_assert_str_eq(r->level, "low");
  ck_assert_double_eq_tol(r->fan_signal[0].value, 0.45, 1e-12);
  ck_assert_double_eq_tol(r->fan_signal[1].value, 0.5, 1e-12);
  ck_assert_double_eq_tol(r->outdoor.value, 4, 1e-12);
  ck_assert_double_eq_tol(r->wind.value, 2, 1e-12);
  ck_assert_str_eq(r->bypass, "shut");
  ck_assert_double_eq_tol(r->temperature[EB_OUTDOOR].value, 5, 1e-12);
  ck_assert_double_eq_tol(r->temperature[EB_EXTRACT].value, 20.5, 1e-12);
  ck_assert(!r->temperature[EB_SUPPLY].given);
  ck_assert_double_eq_tol(r->humidity[EB_EXTRACT].value, 0.45, 1e-12);
  ck_assert_double_eq_tol(r->unit_flow[EB_SUPPLY].value, 137 / 3600.0, 1e-12);
  ck_assert(!r->unit_flow[EB_EXTRACT].given);
  ck_assert_double_eq_tol(r->power.value, 38, 1e-12);
  ck_assert_uint_eq(r->n_pressures, 2);
  ck_assert_str_eq(r->pressures[0].at, "s-box");
  ck_assert_str_eq(r->note, "extract fan: rattles; extract air: at the grille");
  check_flow(0, "s-bed", 9);
}
END_TEST

START_TEST(wrong_csv) {
#define HEAD "level,terminal,flow,unit,note\n"
  refused_csv("", 1, 1, "empty", "level,terminal");
  refused_csv("\n \r\n", 1, 1, "empty", "the columns");
  refused_csv("level,terminal,unit\nnormal,bed,l/s\n", 1, 1, "column-missing", "terminal and flow");
  refused_csv("level,terminal,flow,nite\nnormal,bed,9 l/s,\n", 1, 21, "column-unknown", "\"note\"");
  refused_csv("level,terminal,flow,colour\nnormal,bed,9 l/s,\n", 1, 21, "column-unknown", "side");
  refused_csv("level,terminal,run,flow\nnormal,,bed,9 l/s\n", 1, 16, "column-twice", "run");
  refused_csv(HEAD, 1, 1, "value-missing", "nothing was read");
  refused_csv(HEAD "normal,bed,9,,\n", 2, 12, "unit-missing", "9 l/s");
  refused_csv(HEAD "normal,bed,9 l/s,l/s,\n", 2, 12, "unit-unknown", "l/s l/s");
  refused_csv(HEAD "normal,bed,-9000,l/s,\n", 2, 12, "flow-impossible", "-9000");
  refused_csv(HEAD "normal,bed,\"10,4\",l/s,\n", 2, 12, "decimal-comma", "10.4 l/s");
  refused_csv(HEAD "normal,bed,10,4,l/s,\n", 2, 21, "too-many-cells", "decimal comma");
  refused_csv(HEAD "normal,,10.4,l/s,\n", 2, 1, "terminal-missing", "names no terminal");
  refused_csv(HEAD "normal,bud,10.4,l/s,\n", 2, 8, "terminal-unknown", "\"bed\"");
  refused_csv(HEAD "normal,bed,9,l/s,\nnormal,s-bed,9,l/s,\n", 3, 8, "reading-twice", "in line 2");
  refused_csv(HEAD "middle,bed,9,l/s,\n", 2, 1, "level-unknown", "normal, boost, low");
  refused_csv(HEAD "low,bed,9 / 7 / x,l/s,\n", 2, 17, "number-missing", "x l/s");
  refused_csv(HEAD "low,bed,9,l/s,\"open\n", 2, 15, "quote-open", "not closed");
  refused_csv(HEAD "low,bed,9,l/s,\"so\" so\n", 2, 20, "quote-closed", "double");
  refused_csv(HEAD "low,wind,2,m/s,\nlow,wind,3,m/s,\n", 3, 5, "reading-twice", "wind");
  refused_csv(HEAD "low,pressure x,2,Pa,\n", 2, 5, "place-unknown", "no junction");
  refused_csv("level,terminal,flow\nlow,\"bed\",\xFF\n", 2, 11, "encoding", "UTF-8");
  refused_csv("level;terminal;flow (l/s)\nlow;kök;1.234,5\n", 2, 9, "decimal-comma", "kök");
#undef HEAD
}
END_TEST

/* Positions count characters: two bytes of "ö" are one column. */
START_TEST(csv_places_after_accents) {
  refused_csv("note,terminal,flow\nöl,kök,9\n", 2, 8, "unit-missing", "9 l/s");
}
END_TEST

START_TEST(csv_with_many_cells) {
  char text[512];
  memset(text, ',', sizeof text);
  memcpy(text, "terminal,flow", 13);
  text[90] = '\0';
  ck_assert_int_eq(read_as("r.csv", text), EB_E_LIMIT);
}
END_TEST

/* ---- A house without ducts --------------------------------------------- */

START_TEST(house_without_ducts) {
  static const char text[] = "rules: none\nrooms: {den: {use: study, area: 9 m2, height: 2.4 m, "
                             "supply: 8 l/s}}\n";
  ck_assert_int_eq(eb_house_read(context, "standard input", text, sizeof text - 1, NULL, &house),
                   EB_OK);
  refused_yaml(FLOWS "den: 9 l/s}\n", 3, 13, "terminal-none", "room \"den\" has no terminal");
  refused_yaml(FLOWS "s-den: 9 l/s}\n", 3, 13, "terminal-unknown", "gives no ducts");
  read_well("r.yaml", "house: any.yaml\nrounds: [{level: normal, fans: {supply: 4.5 V}}]");
  ck_assert_double_eq_tol(readings->rounds[0].fan_signal[0].value, 0.45, 1e-12);
}
END_TEST

Suite *suite_readings(void) {
  Suite *suite = suite_create("readings");
  TCase *tests = tcase_create("readings");
  tcase_add_checked_fixture(tests, begin, end);
  tcase_add_test(tests, every_key);
  tcase_add_test(tests, first_round);
  tcase_add_test(tests, terminals_of_a_round);
  tcase_add_test(tests, second_round);
  tcase_add_test(tests, wrong_terminals);
  tcase_add_test(tests, wrong_flows);
  tcase_add_test(tests, wrong_rounds);
  tcase_add_test(tests, wrong_heads);
  tcase_add_test(tests, whole_or_nothing);
  tcase_add_test(tests, wrong_calls);
  tcase_add_test(tests, freed_before_the_house);
  tcase_add_test(tests, csv_in_any_order);
  tcase_add_test(tests, csv_of_the_continent);
  tcase_add_test(tests, csv_of_the_unit);
  tcase_add_test(tests, wrong_csv);
  tcase_add_test(tests, csv_places_after_accents);
  tcase_add_test(tests, csv_with_many_cells);
  tcase_add_test(tests, house_without_ducts);
  suite_add_tcase(suite, tests);
  return suite;
}
