/* readings.c - bytes become what was read on site, or a list of all that is wrong with them */

#include <string.h>

#include "input/readings_read.h"

#include "base/text.h"
#include "input/quote.h"

/* ---- The document ------------------------------------------------------ */

static const char *base_name(const char *path) {
  const char *slash = strrchr(path, '/');
  return slash ? slash + 1 : path;
}

/* Readings of one house make no sense in another. What came through a pipe has no name. */
static void check_house(ebi_reader *reader, const ebi_yaml *value, void *record) {
  const eb_house *house = ebi_readings_of(reader)->house;
  const char *written = NULL;
  (void)record;
  if (!ebi_read_text(reader, value, &written) || strcmp(house->file, "standard input") == 0)
    return;
  if (strcmp(base_name(written), base_name(house->file)) != 0)
    ebi_read_error(reader, value, "readings-house",
                   "these are readings of \"%s\", but the house given is \"%s\"",
                   ebi_quote(base_name(written)).text, ebi_quote(base_name(house->file)).text);
}

static void read_date(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_readings_day(reader, value, &((eb_readings *)record)->date);
}

static const ebi_field visit_fields[] = {
    {.key = "date",
     .type = EBI_FIELD_CUSTOM,
     .read = read_date,
     EBI_HOLDS(.type = EBI_FIELD_TEXT, .pattern = EBI_DAY_PATTERN),
     .about = "the day, such as 2026-11-20"},
    {.key = "by",
     .type = EBI_FIELD_TEXT,
     .offset = offsetof(eb_readings, by),
     .about = "who took the readings"},
    {.key = "organisation",
     .type = EBI_FIELD_TEXT,
     .offset = offsetof(eb_readings, organisation),
     .about = "for whom"},
};

static void read_record(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_readings_record(reader, value, &((eb_readings *)record)->record);
}

/* The instrument comes before the rounds, whatever the order in the file. */
static const ebi_field root_fields[] = {
    {.key = "house",
     .type = EBI_FIELD_CUSTOM,
     .read = check_house,
     EBI_HOLDS_TEXT,
     .about = "the file of the house"},
    {.key = "visit",
     .type = EBI_FIELD_MAPPING,
     .what = "a visit",
     EBI_TABLE(visit_fields),
     .about = "when and by whom"},
    {.key = "record",
     .type = EBI_FIELD_CUSTOM,
     .read = read_record,
     .holds = &ebi_record_form,
     .about = "what a record holds"},
    {.key = "instrument",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_instrument_form,
     .about = "what the flows were read with"},
    {.key = "rounds",
     .type = EBI_FIELD_IGNORED,
     .required = true,
     EBI_HOLDS(.type = EBI_FIELD_LIST, .least = 1, .of = &ebi_round_form, .n_of = 1),
     .about = "a list, one for each time the terminals were read"},
};

const ebi_field ebi_readings_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(root_fields)};

static void read_rounds(ebi_reader *reader, const ebi_yaml *list) {
  eb_readings *readings = ebi_readings_of(reader)->readings;
  if (!ebi_read_kind(reader, list, EBI_YAML_SEQUENCE,
                     "[{level: normal, flows: {s-bed1: 10.4 l/s}}]"))
    return;
  ebi_round *rounds = ebi_read_array(reader, list, list->count, sizeof *rounds);
  for (size_t i = 0; rounds && i < list->count; i++)
    ebi_readings_round(reader, list->items[i], &rounds[i]);
  if (list->count == 0)
    ebi_read_error(reader, list, "value-missing", "rounds is an empty list: nothing was read");
  readings->rounds = rounds;
  readings->n_rounds = rounds ? list->count : 0;
}

static void read_root(ebi_reader *reader, const ebi_yaml *root) {
  eb_readings *readings = ebi_readings_of(reader)->readings;
  const ebi_yaml *instrument = ebi_yaml_get(root, "instrument");
  const ebi_yaml *rounds = ebi_yaml_get(root, "rounds");
  readings->date = readings->by = readings->organisation = "";
  readings->instrument = (ebi_instrument){.name = "", .serial = "", .calibrated = ""};
  readings->where = root->where;
  ebi_fields_read(reader, root, "readings", root_fields, EBI_COUNT_OF(root_fields), readings);
  if (instrument)
    ebi_readings_instrument(reader, instrument, &readings->instrument);
  if (rounds)
    read_rounds(reader, rounds);
}

/* ---- Entry points ------------------------------------------------------ */

/* What the errors since `mark` amount to; whoever runs out of memory says so. */
static eb_status outcome(const eb_context *context, size_t mark, bool more) {
  size_t count = 0;
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  if (ebi_diags_failed(context))
    return EB_E_MEMORY;
  for (size_t i = mark; i < count; i++)
    if (strcmp(all[i].code, "memory") == 0)
      return EB_E_MEMORY;
  return more ? EB_E_INPUT : EB_OK;
}

static bool is_csv(const char *name) {
  size_t length = strlen(name);
  const char *end = length > 4 ? name + length - 4 : "";
  return strcmp(end, ".csv") == 0 || strcmp(end, ".CSV") == 0;
}

/* The tree of either form; `root` NULL where there is none. */
static eb_status parse(ebi_reader *reader, const void *bytes, size_t length,
                       const ebi_yaml **root) {
  if (is_csv(reader->file)) {
    ebi_sheet sheet;
    eb_status status =
        ebi_sheet_parse(reader->context, reader->arena, reader->file, bytes, length, &sheet);
    *root = status == EB_OK ? ebi_readings_tree(reader, &sheet) : NULL;
    return status;
  }
  ebi_document document = {0};
  eb_status status =
      ebi_document_parse(reader->context, reader->arena, reader->file, bytes, length, &document);
  *root = document.root;
  return status;
}

/* Reads into the arena; the readings are complete only after EB_OK. */
static eb_status read_into(ebi_reader *reader, const void *bytes, size_t length) {
  eb_context *context = reader->context;
  const ebi_yaml *root = NULL;
  size_t mark = 0, errors = ebi_diag_errors(context);
  eb_diagnostics(context, &mark);
  if (!ebi_readings_names(reader))
    return EB_E_MEMORY;
  eb_status parsed = parse(reader, bytes, length, &root);
  if (parsed == EB_E_MEMORY)
    return parsed;
  if (root)
    read_root(reader, root);
  eb_status status = outcome(context, mark, ebi_diag_errors(context) != errors);
  return status != EB_E_MEMORY && parsed != EB_OK ? parsed : status;
}

eb_status eb_readings_read(eb_context *context, const eb_house *house, const char *name,
                           const void *bytes, size_t length, eb_readings **readings) {
  if (!context || !house || house->context != context || !name || (!bytes && length > 0) ||
      !readings)
    return EB_E_ARGUMENT;
  ebi_arena *arena = ebi_context_arena(context);
  if (!arena)
    return EB_E_MEMORY;
  eb_readings *read = EBI_NEW(arena, eb_readings);
  const char *file = ebi_arena_text(arena, name);
  eb_status status = EB_E_MEMORY;
  if (read && file) {
    *read = (eb_readings){.arena = arena, .context = context, .house = house, .file = file};
    ebi_readings_reading reading = {.readings = read, .house = house};
    ebi_reader reader = {context, arena, file, &reading};
    status = read_into(&reader, bytes, length);
  }
  if (status == EB_OK)
    *readings = read;
  else
    ebi_context_release(context, arena);
  return status;
}

eb_status eb_readings_read_file(eb_context *context, const eb_house *house, const char *path,
                                eb_readings **readings) {
  if (!context || !house || !path || !readings)
    return EB_E_ARGUMENT;
  ebi_arena *arena = ebi_arena_new(ebi_context_allocator(context));
  if (!arena)
    return EB_E_MEMORY;
  const char *bytes = NULL;
  size_t length = 0;
  eb_status status = ebi_file_read(context, arena, path, &bytes, &length);
  if (status == EB_OK)
    status = eb_readings_read(context, house, strcmp(path, "-") == 0 ? "standard input" : path,
                              bytes, length, readings);
  ebi_arena_free(arena);
  return ebi_diags_failed(context) ? EB_E_MEMORY : status;
}

void eb_readings_free(eb_readings *readings) {
  if (readings)
    ebi_context_release(readings->context, readings->arena);
}
