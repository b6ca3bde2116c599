/* house_runs.c - the runs of duct by kind of air, and where they meet */

#include <string.h>

#include "input/house_read.h"
#include "input/quote.h"

/* ---- Runs -------------------------------------------------------------- */

typedef struct run_keys {
  ebi_run run; /* first: the lists of a run are read into it */
  ebi_given parallel, parallel_at_most, length;
} run_keys;

static void read_run_name(ebi_reader *reader, const ebi_yaml *value, void *record) {
  if (ebi_read_name(reader, value, "a run"))
    ((run_keys *)record)->run.name = value->text;
}

/* A node's name; which one it is shows when all runs are known. */
static const char *read_end(ebi_reader *reader, const ebi_yaml *value) {
  const char *text = NULL;
  if (!ebi_read_text(reader, value, &text))
    return NULL;
  if (value->length <= EBI_NAME_BYTES)
    return text;
  ebi_read_error(reader, value, "name-long", "the name \"%s\" has %zu bytes; at most %d",
                 ebi_quote(text).text, value->length, EBI_NAME_BYTES);
  return NULL;
}

static void read_from(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_run *run = &((run_keys *)record)->run;
  run->from = read_end(reader, value);
  run->from_where = value->where;
}

static void read_to(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_run *run = &((run_keys *)record)->run;
  run->to = read_end(reader, value);
  run->to_where = value->where;
}

static void read_duct(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_run *run = &((run_keys *)record)->run;
  run->duct_where = value->where;
  ebi_duct_read(reader, value, run);
}

static const ebi_field space_fields[] = {
    {.key = "temperature",
     .type = EBI_FIELD_QUANTITY,
     .required = true,
     .kind = EBI_TEMPERATURE,
     .low = -60,
     .high = 80,
     .offset = offsetof(run_keys, run.space_temperature),
     .about = "of the air around the duct"},
    {.key = "humidity",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_RATIO,
     .high = 1,
     .offset = offsetof(run_keys, run.space_humidity),
     .about = "of that air, relative, e.g. 80 %"},
};

static const ebi_field insulation_fields[] = {
    {.key = "thickness",
     .type = EBI_FIELD_QUANTITY,
     .required = true,
     .kind = EBI_LENGTH,
     .high = 1,
     .offset = offsetof(run_keys, run.insulation_thickness),
     .about = "e.g. 25 mm"},
    {.key = "conductivity",
     .type = EBI_FIELD_QUANTITY,
     .required = true,
     .kind = EBI_CONDUCTIVITY,
     .low = 0.001,
     .high = 10,
     .offset = offsetof(run_keys, run.insulation_conductivity),
     .about = "e.g. 0.04 W/(m.K)"},
};

static const ebi_field crushed_fields[] = {
    {.key = "height",
     .type = EBI_FIELD_QUANTITY,
     .required = true,
     .kind = EBI_RATIO,
     .low = 0.05,
     .high = 1,
     .offset = offsetof(run_keys, run.crushed_height),
     .about = "what is left of its bore, e.g. 50 %"},
    {.key = "length",
     .type = EBI_FIELD_QUANTITY,
     .required = true,
     .kind = EBI_LENGTH,
     .low = 0.01,
     .high = 1000,
     .offset = offsetof(run_keys, run.crushed_length),
     .about = "over how much of the run, e.g. 0.5 m"},
};

static const ebi_field parallel_fields[] = {
    {.key = "at_most",
     .type = EBI_FIELD_COUNT,
     .required = true,
     .low = 1,
     .high = 10,
     .offset = offsetof(run_keys, parallel_at_most),
     .about = "tubes that may lie side by side"},
};

/* A number of tubes, or the most there may be. */
static void read_parallel(ebi_reader *reader, const ebi_yaml *value, void *record) {
  run_keys *keys = record;
  if (value->kind == EBI_YAML_MAPPING)
    ebi_fields_read(reader, value, "parallel", parallel_fields, EBI_COUNT_OF(parallel_fields),
                    keys);
  else
    ebi_read_count(reader, value, 1, 100, &keys->parallel);
}

/* A length of nothing would have no resistance: 10 mm is the least. */
static const ebi_field run_fields[] = {
    {.key = "run",
     .type = EBI_FIELD_CUSTOM,
     .required = true,
     .read = read_run_name,
     EBI_HOLDS_TEXT,
     .about = "its name"},
    {.key = "from",
     .type = EBI_FIELD_CUSTOM,
     .required = true,
     .read = read_from,
     EBI_HOLDS_TEXT,
     .about = "unit, outdoors, a room or a junction"},
    {.key = "to",
     .type = EBI_FIELD_CUSTOM,
     .required = true,
     .read = read_to,
     EBI_HOLDS_TEXT,
     .about = "unit, outdoors, a room or a junction"},
    {.key = "duct",
     .type = EBI_FIELD_CUSTOM,
     .required = true,
     .read = read_duct,
     .holds = &ebi_duct_form,
     .about = "a size (steel-125), a family (steel), a list of them or {bore, roughness}"},
    {.key = "parallel",
     .type = EBI_FIELD_CUSTOM,
     .read = read_parallel,
     EBI_HOLDS(.type = EBI_FIELD_EITHER,
               EBI_SEVERAL({.type = EBI_FIELD_COUNT, .low = 1, .high = 100},
                           {.type = EBI_FIELD_MAPPING, EBI_TABLE(parallel_fields)})),
     .about = "identical tubes to one valve, or {at_most: 2} to be chosen"},
    {.key = "height_at_most",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_LENGTH,
     .low = 0.01,
     .high = 10,
     .offset = offsetof(run_keys, run.height_at_most),
     .about = "that there is for the duct, outside"},
    {.key = "length",
     .type = EBI_FIELD_QUANTITY,
     .required = true,
     .kind = EBI_LENGTH,
     .low = 0.01,
     .high = 1000,
     .offset = offsetof(run_keys, length),
     .about = "along its middle, as it lies"},
    {.key = "rise",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_LENGTH,
     .low = -1000,
     .high = 1000,
     .offset = offsetof(run_keys, run.rise),
     .about = "height of its end above its start; less than nothing where it goes down"},
    {.key = "stretched",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_RATIO,
     .low = EBI_LEAST_STRETCHED,
     .high = 1,
     .offset = offsetof(run_keys, run.stretched),
     .about = "of a flexible duct: its length as laid over that fully stretched"},
    {.key = "crushed",
     .type = EBI_FIELD_MAPPING,
     .what = "crushed",
     EBI_TABLE(crushed_fields),
     .about = "{height: 50 %, length: 0.5 m} where a round duct is pressed flat"},
    {.key = "fittings",
     .type = EBI_FIELD_CUSTOM,
     .read = ebi_run_read_fittings,
     .holds = &ebi_fittings_form,
     .about = "a list: bend-90, 2 x bend-90, {coefficient: 1.2}, ..."},
    {.key = "valve",
     .type = EBI_FIELD_CUSTOM,
     .read = ebi_run_read_valve,
     .holds = &ebi_run_valve_form,
     .about = "a valve by name, or {type, restrictor, opening}"},
    {.key = "share",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_RATIO,
     .low = 0.001,
     .high = 1,
     .offset = offsetof(run_keys, run.share),
     .about = "of its room's flow"},
    {.key = "space",
     .type = EBI_FIELD_MAPPING,
     .what = "space",
     EBI_TABLE(space_fields),
     .about = "around the duct: {temperature: 2 C, humidity: 80 %}"},
    {.key = "insulation",
     .type = EBI_FIELD_MAPPING,
     .what = "insulation",
     EBI_TABLE(insulation_fields),
     .about = "{thickness: 25 mm, conductivity: 0.04 W/(m.K)}"},
};

/* Adds the run unless its name is taken. */
static void add_run(ebi_reader *reader, const ebi_yaml *value, const ebi_run *run) {
  ebi_house_reading *reading = ebi_reading(reader);
  size_t first = run->name ? ebi_names_find(&reading->runs, run->name) : EBI_NO_NAME;
  if (first != EBI_NO_NAME) {
    ebi_read_error(reader, ebi_yaml_get(value, "run"), "run-duplicate",
                   "two runs are called \"%s\": the first at line %d", ebi_quote(run->name).text,
                   reading->runs_read[first].where.line);
    return;
  }
  if (!ebi_arena_grow(reader->arena, &reading->runs_read, &reading->runs_capacity, reading->n_runs,
                      sizeof *run) ||
      (run->name && !ebi_names_set(&reading->runs, reader->arena, run->name, reading->n_runs))) {
    ebi_read_memory(reader, value);
    return;
  }
  reading->runs_read[reading->n_runs++] = *run;
}

/* What only some ducts can be. */
static void check_laid(ebi_reader *reader, const ebi_yaml *value, const ebi_run *run) {
  const ebi_yaml *stretched = ebi_yaml_get(value, "stretched");
  const ebi_yaml *crushed = ebi_yaml_get(value, "crushed");
  bool known = run->sized || run->duct_family[0] != '\0';
  if (stretched && known && !run->duct.flexible)
    ebi_read_error(reader, stretched, "run-duct",
                   "stretched is of flexible ducts, and %s is none: `flexible: yes` in its table "
                   "or mapping says so",
                   run->sized ? run->duct.name : run->duct_family);
  if (crushed && run->sized && run->duct.shape != EBI_ROUND)
    ebi_read_error(reader, crushed, "run-duct",
                   "crushed is of round ducts, and %s is not round: give what is left of it as a "
                   "run of its own",
                   run->duct.name);
  if (run->crushed_length.given && run->length > 0 && run->crushed_length.value > run->length)
    ebi_read_error(reader, crushed, "out-of-range",
                   "%.12g m of the run are said to be crushed, but it is %.12g m long",
                   run->crushed_length.value, run->length);
}

static void read_run(ebi_reader *reader, const ebi_yaml *value, eb_air air) {
  run_keys keys = {.run = {.air = air, .duct_family = "", .where = value->where},
                   .parallel = {.value = 1}};
  ebi_fields_read(reader, value, "a run", run_fields, EBI_COUNT_OF(run_fields), &keys);
  keys.run.parallel = (int)keys.parallel.value;
  keys.run.parallel_at_most = (int)keys.parallel_at_most.value;
  keys.run.length = keys.length.value;
  if (value->kind != EBI_YAML_MAPPING)
    return;
  check_laid(reader, value, &keys.run);
  ebi_duct_choices_settle(reader, value, &keys.run);
  add_run(reader, value, &keys.run);
}

static void read_runs(ebi_reader *reader, const ebi_yaml *value, eb_air air) {
  if (!ebi_read_kind(reader, value, EBI_YAML_SEQUENCE,
                     "- {run: a, from: unit, to: study, duct: steel-125, length: 6 m}"))
    return;
  for (size_t i = 0; i < value->count; i++)
    read_run(reader, value->items[i], air);
}

static void read_outdoor(ebi_reader *reader, const ebi_yaml *value, void *record) {
  (void)record;
  read_runs(reader, value, EB_OUTDOOR);
}

static void read_supply(ebi_reader *reader, const ebi_yaml *value, void *record) {
  (void)record;
  read_runs(reader, value, EB_SUPPLY);
}

static void read_extract(ebi_reader *reader, const ebi_yaml *value, void *record) {
  (void)record;
  read_runs(reader, value, EB_EXTRACT);
}

static void read_exhaust(ebi_reader *reader, const ebi_yaml *value, void *record) {
  (void)record;
  read_runs(reader, value, EB_EXHAUST);
}

static const ebi_field runs_form = {.type = EBI_FIELD_LIST,
                                    EBI_ONE(.type = EBI_FIELD_MAPPING, EBI_TABLE(run_fields))};

static const ebi_field duct_fields[] = {
    {.key = "outdoor",
     .type = EBI_FIELD_CUSTOM,
     .read = read_outdoor,
     .holds = &runs_form,
     .about = "from outdoors to the unit"},
    {.key = "supply",
     .type = EBI_FIELD_CUSTOM,
     .read = read_supply,
     .holds = &runs_form,
     .about = "from the unit to the rooms"},
    {.key = "extract",
     .type = EBI_FIELD_CUSTOM,
     .read = read_extract,
     .holds = &runs_form,
     .about = "from the rooms to the unit"},
    {.key = "exhaust",
     .type = EBI_FIELD_CUSTOM,
     .read = read_exhaust,
     .holds = &runs_form,
     .about = "from the unit to outdoors"},
};

const ebi_field ebi_ducts_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(duct_fields)};

void ebi_house_read_ducts(ebi_reader *reader, const ebi_yaml *value) {
  ebi_house_reading *reading = ebi_reading(reader);
  ebi_fields_read(reader, value, "ducts", duct_fields, EBI_COUNT_OF(duct_fields), reading);
  reading->house->runs = reading->runs_read;
  reading->house->n_runs = reading->n_runs;
}

/* ---- Junctions --------------------------------------------------------- */

typedef struct junction_keys {
  const char *kind, *straight;
  ebi_given angle;
} junction_keys;

/* In the order of ebi_junction_kind, after EBI_JUNCTION_GUESS. */
static const char *const junction_kinds[] = {"box", "tee", "wye", NULL};

static const ebi_field junction_fields[] = {
    {.key = "kind",
     .type = EBI_FIELD_WORD,
     .words = junction_kinds,
     .offset = offsetof(junction_keys, kind),
     .about = "box, tee or wye"},
    {.key = "straight",
     .type = EBI_FIELD_TEXT,
     .offset = offsetof(junction_keys, straight),
     .about = "the run that goes straight on, or none in a bull-head"},
    {.key = "angle",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_ANGLE,
     .low = 10,
     .high = 170,
     .offset = offsetof(junction_keys, angle),
     .about = "of the branch, in degrees"},
};

static ebi_junction_kind kind_of(const char *word) {
  for (int i = 0; word && junction_kinds[i]; i++)
    if (strcmp(junction_kinds[i], word) == 0)
      return (ebi_junction_kind)(i + EBI_JUNCTION_BOX);
  return EBI_JUNCTION_GUESS;
}

static void read_junction(ebi_reader *reader, const ebi_yaml_pair *pair, ebi_junction *junction) {
  junction_keys keys = {0};
  ebi_fields_read(reader, pair->value, "a junction", junction_fields, EBI_COUNT_OF(junction_fields),
                  &keys);
  *junction = (ebi_junction){.name = pair->key->text,
                             .kind = kind_of(keys.kind),
                             .straight = keys.straight,
                             .where = pair->key->where};
  if (keys.straight && strcmp(keys.straight, "none") == 0) {
    junction->bull_head = true;
    junction->straight = NULL;
  }
  if (junction->bull_head && (junction->kind == EBI_JUNCTION_WYE || keys.angle.given))
    ebi_read_error(reader, pair->value, "junction",
                   "where no run goes straight on, the tee is a bull-head: it is no wye and its "
                   "angle is 90");
  bool wye = junction->kind == EBI_JUNCTION_WYE;
  junction->angle = keys.angle.given ? keys.angle.value : wye ? 45 : 90;
  if (junction->kind == EBI_JUNCTION_BOX && (keys.straight || keys.angle.given))
    ebi_read_error(reader, pair->value, "junction",
                   "a box has no straight and no angle: they are of a tee or wye");
}

const ebi_field ebi_junctions_form = {
    .type = EBI_FIELD_NAMED, EBI_ONE(.type = EBI_FIELD_MAPPING, EBI_TABLE(junction_fields))};

void ebi_house_read_junctions(ebi_reader *reader, const ebi_yaml *value) {
  ebi_house_reading *reading = ebi_reading(reader);
  if (!ebi_read_kind(reader, value, EBI_YAML_MAPPING, "{s-box: {kind: box}}"))
    return;
  ebi_junction *junctions = ebi_read_array(reader, value, value->count, sizeof *junctions);
  size_t count = 0;
  for (size_t i = 0; junctions && i < value->count; i++) {
    if (!ebi_read_named(reader, &value->pairs[i], "a junction"))
      continue;
    read_junction(reader, &value->pairs[i], &junctions[count]);
    if (!ebi_names_set(&reading->junctions, reader->arena, junctions[count].name, count))
      ebi_read_memory(reader, value);
    count++;
  }
  reading->house->junctions = junctions;
  reading->house->n_junctions = count;
}

/* ---- Tightness --------------------------------------------------------- */

typedef struct leakage_keys {
  const char *class_letter;
} leakage_keys;

/* Classes of EN 12237:2003 for round ducts, from memory: A the leakiest. */
static const char *const leakage_classes[] = {"A", "B", "C", "D", NULL};

static const ebi_field leakage_fields[] = {
    {.key = "class",
     .type = EBI_FIELD_WORD,
     .required = true,
     .words = leakage_classes,
     .offset = offsetof(leakage_keys, class_letter),
     .about = "A, B, C or D"},
};

const ebi_field ebi_leakage_class_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(leakage_fields)};

void ebi_house_read_leakage_class(ebi_reader *reader, const ebi_yaml *value) {
  leakage_keys keys = {NULL};
  ebi_fields_read(reader, value, "duct_leakage", leakage_fields, EBI_COUNT_OF(leakage_fields),
                  &keys);
  ebi_reading(reader)->house->duct_leakage_class = keys.class_letter ? keys.class_letter[0] : 0;
}
