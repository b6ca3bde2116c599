/* readings_flows.c - valves as they stood and flows as they were read, terminal by terminal */

#include <math.h>
#include <string.h>

#include "input/readings_read.h"

#include "input/quote.h"

/* A round with its lists while they grow. */
typedef struct round_reading {
  ebi_round *round;
  ebi_terminal_reading *terminals;
  ebi_valve_setting *valves;
} round_reading;

/* ---- Once each --------------------------------------------------------- */

static bool is_first(ebi_reader *reader, const ebi_yaml *name, ebi_last_seen *seen, size_t run,
                     const char *done) {
  const ebi_readings_reading *reading = ebi_readings_of(reader);
  if (seen[run].round != reading->round) {
    seen[run] = (ebi_last_seen){reading->round, name->where.line};
    return true;
  }
  ebi_read_error(reader, name, "reading-twice",
                 "terminal \"%s\" is %s twice in this round, before in line %d",
                 reading->house->runs[run].name, done, seen[run].line);
  return false;
}

/* ---- Valves ------------------------------------------------------------ */

static void add_valve(ebi_reader *reader, round_reading *r, const ebi_yaml *name, size_t run,
                      const ebi_yaml *value) {
  const ebi_run *of = &ebi_readings_of(reader)->house->runs[run];
  ebi_given opening = {0};
  if (!is_first(reader, name, ebi_readings_of(reader)->set, run, "set"))
    return;
  if (!of->valve.type) {
    ebi_read_error(reader, name, "valve-none", "run \"%s\" has no valve in the house file",
                   of->name);
    return;
  }
  ebi_read_opening(reader, value, of->valve.type, &opening);
  if (opening.given)
    r->valves[r->round->n_valves++] = (ebi_valve_setting){run, opening.value, name->where};
}

static void read_valves(ebi_reader *reader, const ebi_yaml *value, round_reading *r) {
  if (!ebi_read_kind(reader, value, EBI_YAML_MAPPING, "{s-bed1: 8 mm}"))
    return;
  for (size_t i = 0; i < value->count; i++) {
    size_t run;
    if (ebi_readings_terminal(reader, value->pairs[i].key, NULL, &run))
      add_valve(reader, r, value->pairs[i].key, run, value->pairs[i].value);
  }
}

/* ---- Flows ------------------------------------------------------------- */

/* What may be said of one terminal. */
typedef struct flow_keys {
  const ebi_yaml *flow, *unread, *opening;
  const char *note, *side;
} flow_keys;

static void keep_flow(ebi_reader *reader, const ebi_yaml *value, void *record) {
  (void)reader;
  ((flow_keys *)record)->flow = value;
}

static void keep_unread(ebi_reader *reader, const ebi_yaml *value, void *record) {
  (void)reader;
  ((flow_keys *)record)->unread = value;
}

static void keep_opening(ebi_reader *reader, const ebi_yaml *value, void *record) {
  (void)reader;
  ((flow_keys *)record)->opening = value;
}

static const ebi_field flow_form = {
    .type = EBI_FIELD_EITHER,
    EBI_SEVERAL({.type = EBI_FIELD_QUANTITY, .kind = EBI_FLOW, .low = -1e3, .high = 1e3},
                {.type = EBI_FIELD_LIST,
                 .least = 1,
                 EBI_ONE(.type = EBI_FIELD_QUANTITY, .kind = EBI_FLOW, .low = -1e3, .high = 1e3)},
                {.type = EBI_FIELD_TEXT, .pattern = "unread"})};

static const ebi_field flow_fields[] = {
    {.key = "flow",
     .type = EBI_FIELD_CUSTOM,
     .read = keep_flow,
     .holds = &flow_form,
     .about = "13.8 l/s, or a list of readings"},
    {.key = "unread",
     .type = EBI_FIELD_CUSTOM,
     .read = keep_unread,
     EBI_HOLDS_TEXT,
     .about = "why not"},
    {.key = "opening",
     .type = EBI_FIELD_CUSTOM,
     .read = keep_opening,
     .holds = &ebi_opening_form,
     .about = "of its valve"},
    {.key = "note",
     .type = EBI_FIELD_TEXT,
     .offset = offsetof(flow_keys, note),
     .about = "in your own words"},
    {.key = "side",
     .type = EBI_FIELD_WORD,
     .words = ebi_side_words,
     .offset = offsetof(flow_keys, side),
     .about = "supply or extract, of a room with both"},
};

static bool is_unread(const ebi_yaml *value) {
  return value->kind == EBI_YAML_SCALAR && strcmp(value->text, "unread") == 0;
}

/* Below nought the air goes the wrong way: `balance` says what that may mean. */
static bool read_flow(ebi_reader *reader, const ebi_yaml *value, double *flow) {
  const double most = ebi_readings_of(reader)->flow_at_most;
  ebi_given given = {0};
  if (!ebi_read_given(reader, value, EBI_FLOW, -1e3, 1e3, &given))
    return false;
  *flow = given.value;
  if (fabs(given.value) <= most)
    return true;
  ebi_read_error(reader, value, "flow-impossible",
                 "%s \"%s\" is impossible: the largest duct of the house carries no tenth of it at "
                 "10 m/s",
                 ebi_quote(value->key ? value->key : "flow").text, ebi_quote(value->text).text);
  return false;
}

/* One reading or a list of them. */
static bool read_flows(ebi_reader *reader, const ebi_yaml *value, ebi_terminal_reading *terminal) {
  bool list = value->kind == EBI_YAML_SEQUENCE, good = true;
  size_t count = list ? value->count : 1;
  double *flows = ebi_read_array(reader, value, count, sizeof *flows);
  const char **written = ebi_read_array(reader, value, count, sizeof *written);
  if (!flows || !written)
    return false;
  for (size_t i = 0; i < count; i++) {
    const ebi_yaml *one = list ? value->items[i] : value;
    good = read_flow(reader, one, &flows[i]) && good;
    written[i] = one->text;
  }
  if (count == 0)
    ebi_read_error(reader, value, "value-missing",
                   "an empty list: write `{unread: why}` where nothing was read");
  terminal->flows = flows;
  terminal->written = written;
  terminal->n_flows = good ? count : 0;
  return good && count > 0;
}

/* True where the keys tell a flow, or why there is none. */
static bool check_keys(ebi_reader *reader, const ebi_yaml *value, const flow_keys *keys) {
  if (keys->flow && keys->unread)
    ebi_read_error(reader, keys->unread, "reading-both",
                   "a terminal is read or unread, not both: leave `flow` or `unread` out");
  else if (!ebi_yaml_get(value, "flow") && !ebi_yaml_get(value, "unread"))
    ebi_read_error(reader, value, "key-missing",
                   "write `flow: 13.8 l/s`, or `unread:` and why not");
  else
    return keys->flow || keys->unread;
  return false;
}

static void add_flow(ebi_reader *reader, round_reading *r, const ebi_yaml *name, size_t run,
                     const flow_keys *keys) {
  ebi_terminal_reading read = {.run = run, .note = keys->note, .where = name->where};
  if (!is_first(reader, name, ebi_readings_of(reader)->read, run, "read"))
    return;
  if (keys->unread) {
    read.unread = "";
    if (!ebi_read_text(reader, keys->unread, &read.unread))
      return;
  } else if (is_unread(keys->flow)) {
    read.unread = keys->note;
    read.note = "";
  } else if (!read_flows(reader, keys->flow, &read)) {
    return;
  }
  r->terminals[r->round->n_terminals++] = read;
}

static void read_terminal(ebi_reader *reader, const ebi_yaml_pair *pair, round_reading *r) {
  flow_keys keys = {.flow = pair->value, .note = ""};
  size_t run;
  if (pair->value->kind == EBI_YAML_MAPPING) {
    keys.flow = NULL;
    ebi_fields_read(reader, pair->value, "a reading", flow_fields, EBI_COUNT_OF(flow_fields),
                    &keys);
    if (!check_keys(reader, pair->value, &keys))
      return;
  }
  if (!ebi_readings_terminal(reader, pair->key, keys.side, &run))
    return;
  add_flow(reader, r, pair->key, run, &keys);
  if (keys.opening)
    add_valve(reader, r, pair->key, run, keys.opening);
}

/* ---- Both -------------------------------------------------------------- */

static size_t count_of(const ebi_yaml *mapping) {
  return mapping && mapping->kind == EBI_YAML_MAPPING ? mapping->count : 0;
}

const ebi_field ebi_valves_read_form = {
    .type = EBI_FIELD_NAMED, .of = &ebi_opening_form, .n_of = 1};

const ebi_field ebi_flows_read_form = {
    .type = EBI_FIELD_NAMED,
    EBI_ONE(.type = EBI_FIELD_EITHER,
            EBI_SEVERAL(
                {.type = EBI_FIELD_QUANTITY, .kind = EBI_FLOW, .low = -1e3, .high = 1e3},
                {.type = EBI_FIELD_LIST,
                 .least = 1,
                 EBI_ONE(.type = EBI_FIELD_QUANTITY, .kind = EBI_FLOW, .low = -1e3, .high = 1e3)},
                {.type = EBI_FIELD_TEXT, .pattern = "unread"},
                {.type = EBI_FIELD_MAPPING, EBI_TABLE(flow_fields)}))};

void ebi_readings_flows(ebi_reader *reader, const ebi_yaml *valves, const ebi_yaml *flows,
                        ebi_round *round) {
  const ebi_yaml *any = flows ? flows : valves;
  size_t most = count_of(flows), most_valves = most + count_of(valves);
  if (!any)
    return;
  round_reading r = {.round = round,
                     .terminals = ebi_read_array(reader, any, most, sizeof *r.terminals),
                     .valves = ebi_read_array(reader, any, most_valves, sizeof *r.valves)};
  if (!r.terminals || !r.valves)
    return;
  ebi_readings_of(reader)->round++;
  if (valves)
    read_valves(reader, valves, &r);
  if (flows && ebi_read_kind(reader, flows, EBI_YAML_MAPPING, "{s-bed1: 10.4 l/s}"))
    for (size_t i = 0; i < flows->count; i++)
      read_terminal(reader, &flows->pairs[i], &r);
  round->terminals = r.terminals;
  round->valves = r.valves;
}
