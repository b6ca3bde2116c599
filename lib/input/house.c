/* house.c - bytes become a house, or a list of all that is wrong with them */

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "input/house_read.h"
#include "input/quote.h"

/* The keys that stand for themselves; the others are sections. */
static const ebi_field house_fields[] = {
    {.key = "dwelling",
     .type = EBI_FIELD_TEXT,
     .offset = offsetof(eb_house, dwelling),
     .about = "the name of the house"},
    {.key = "rules",
     .type = EBI_FIELD_IGNORED,
     EBI_HOLDS_TEXT,
     .about = "a rule set of tables/rules, a path to your own, or none"},
    {.key = "bedrooms",
     .type = EBI_FIELD_COUNT,
     .offset = offsetof(eb_house, bedrooms),
     .high = 100,
     .about = "how many"},
    {.key = "people",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_NUMBER,
     .high = 1000,
     .offset = offsetof(eb_house, people),
     .about = "who live there"},
    {.key = "floor_area",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_AREA,
     .low = 1,
     .high = 1e5,
     .offset = offsetof(eb_house, floor_area),
     .about = "inside, over all floors, halls and stairs included"},
    {.key = "volume",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_VOLUME,
     .low = 1,
     .high = 1e6,
     .offset = offsetof(eb_house, volume),
     .about = "of the air inside"},
    {.key = "storeys",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_NUMBER,
     .low = 0.5,
     .high = 200,
     .offset = offsetof(eb_house, storeys),
     .about = "of the dwelling; those of its rooms where not said"},
    {.key = "currency",
     .type = EBI_FIELD_TEXT,
     .offset = offsetof(eb_house, currency),
     .about = "of the prices, e.g. GBP"},
    {.key = "site",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_site_form,
     .about = "climate, altitude, temperatures"},
    {.key = "envelope",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_envelope_form,
     .about = "heat loss, gains, leakage"},
    {.key = "rooms",
     .type = EBI_FIELD_IGNORED,
     .required = true,
     .holds = &ebi_rooms_form,
     .about =
         "each room by its name, for example {living: {use: living, area: 22 m2, height: 2.4 m}}"},
    {.key = "positions",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_positions_form,
     .about = "of the unit and outdoors, to sketch"},
    {.key = "doors",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_doors_form,
     .about = "between which rooms air passes"},
    {.key = "unit",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_unit_form,
     .about = "a unit of tables/units, or its sheet"},
    {.key = "set_level",
     .type = EBI_FIELD_TEXT,
     .offset = offsetof(eb_house, set_level),
     .about = "the level at which valves are set; normal where not said"},
    {.key = "levels",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_levels_form,
     .about = "running states besides the rule's"},
    {.key = "valves",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_valves_form,
     .about = "your own valves by name"},
    {.key = "ducts",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_ducts_form,
     .about = "runs by kind of air"},
    {.key = "junctions",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_junctions_form,
     .about = "where runs meet, if not the usual"},
    {.key = "duct_leakage",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_leakage_class_form,
     .about = "the class of tightness"},
    {.key = "appliances",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_appliances_form,
     .about = "what else moves or burns air"},
    {.key = "openings",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_openings_form,
     .about = "windows ajar, grilles to outdoors"},
    {.key = "baseline",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_baseline_form,
     .about = "what the energy is compared with"},
    {.key = "sizing",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_sizing_form,
     .about = "how ducts without a size get one"},
    {.key = "costs",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_costs_form,
     .about = "prices and carbon"},
    {.key = "uncertainty",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_uncertainty_form,
     .about = "how unsure inputs are"},
    {.key = "moisture",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_moisture_form,
     .about = "vapour, and where it does harm"},
    {.key = "summer",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_summer_form,
     .about = "when air is to cool"},
    {.key = "heat_pump",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_heat_pump_form,
     .about = "on the supply air, with a tank"},
};

const ebi_field ebi_house_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(house_fields)};

/* ---- Sections ---------------------------------------------------------- */

static void read_rules(ebi_reader *reader, const ebi_yaml *value) {
  eb_house *house = ebi_reading(reader)->house;
  house->rules_where = value->where;
  if (value->kind != EBI_YAML_SCALAR || strcmp(value->text, "none") != 0)
    house->rules = ebi_rules_load(reader, value);
}

static void read_unit(ebi_reader *reader, const ebi_yaml *value) {
  eb_house *house = ebi_reading(reader)->house;
  house->unit_where = value->where;
  house->unit = ebi_unit_load(reader, value);
  if (house->unit && house->unit->n_sound > 0)
    ebi_silencers_load(reader, value, &house->silencers, &house->n_silencers);
}

typedef struct section {
  const char *key;
  void (*read)(ebi_reader *reader, const ebi_yaml *value);
} section;

/* In this order: rooms before what names them, valves before runs. */
static const section sections[] = {
    {"rules", read_rules},
    {"site", ebi_house_read_site},
    {"envelope", ebi_house_read_envelope},
    {"rooms", ebi_house_read_rooms},
    {"positions", ebi_house_read_positions},
    {"doors", ebi_house_read_doors},
    {"unit", read_unit},
    {"valves", ebi_house_read_valves},
    {"levels", ebi_house_read_levels},
    {"ducts", ebi_house_read_ducts},
    {"junctions", ebi_house_read_junctions},
    {"duct_leakage", ebi_house_read_leakage_class},
    {"appliances", ebi_house_read_appliances},
    {"openings", ebi_house_read_openings},
    {"baseline", ebi_house_read_baseline},
    {"sizing", ebi_house_read_sizing},
    {"costs", ebi_house_read_costs},
    {"uncertainty", ebi_house_read_uncertainty},
    {"moisture", ebi_house_read_moisture},
    {"summer", ebi_house_read_summer},
    {"heat_pump", ebi_house_read_heat_pump},
};

static void read_sections(ebi_reader *reader, const ebi_yaml *root) {
  for (size_t i = 0; i < EBI_COUNT_OF(sections); i++) {
    const ebi_yaml *value = ebi_yaml_get(root, sections[i].key);
    if (value && value->kind == EBI_YAML_SCALAR && value->length == 0)
      ebi_read_error(reader, value, "value-missing",
                     "%s has no value: fill it in, or leave the key out", sections[i].key);
    else if (value)
      sections[i].read(reader, value);
  }
}

/* The default baseline, where energy can be asked for at all. */
static void read_default_baseline(ebi_reader *reader, const ebi_yaml *root) {
  static const char name[] = "trickle-vents";
  ebi_yaml value = {.kind = EBI_YAML_SCALAR,
                    .where = root->where,
                    .text = name,
                    .length = sizeof name - 1,
                    .key = "baseline"};
  if (ebi_reading(reader)->house->climate && !ebi_yaml_get(root, "baseline"))
    ebi_house_read_baseline(reader, &value);
}

/* The level at which valves are set must be one of the house's. */
static void check_set_level(ebi_reader *reader, const ebi_yaml *root) {
  const eb_house *house = ebi_reading(reader)->house;
  const ebi_yaml *value = ebi_yaml_get(root, "set_level");
  if (!value || strcmp(house->set_level, "normal") == 0 || strcmp(house->set_level, "boost") == 0)
    return;
  for (size_t i = 0; i < house->n_levels; i++)
    if (strcmp(house->levels[i].name, house->set_level) == 0)
      return;
  ebi_read_error(reader, value, "level-unknown",
                 "there is no level \"%s\": it is normal, boost or one under levels",
                 ebi_quote(house->set_level).text);
}

static bool written_in_feet(const ebi_yaml *area) {
  return area && area->kind == EBI_YAML_SCALAR && strstr(area->text, "ft") != NULL;
}

/* Some rules are printed in two systems of units with figures of their own. */
static bool sized_in_feet(const ebi_yaml *root) {
  const ebi_yaml *rooms = ebi_yaml_get(root, "rooms"), *area = ebi_yaml_get(root, "floor_area");
  if (area || !rooms || rooms->kind != EBI_YAML_MAPPING)
    return written_in_feet(area);
  for (size_t i = 0; i < rooms->count; i++)
    if (written_in_feet(ebi_yaml_get(rooms->pairs[i].value, "area")))
      return true;
  return false;
}

static void read_house(ebi_reader *reader, const ebi_yaml *root) {
  eb_house *house = ebi_reading(reader)->house;
  house->dwelling = "";
  house->currency = "";
  house->set_level = "normal";
  house->shielding = "normal";
  house->sizing.method = "";
  house->parts.date = house->parts.source = "";
  house->investment.date = house->investment.source = "";
  house->summer.level = "";
  house->electricity.efficiency = 1;
  house->heating.efficiency = 1;
  house->where = root->where;
  ebi_fields_read(reader, root, "a house", house_fields, EBI_COUNT_OF(house_fields), house);
  house->in_feet = sized_in_feet(root);
  read_sections(reader, root);
  read_default_baseline(reader, root);
  check_set_level(reader, root);
  ebi_house_check_network(reader);
}

/* ---- Entry points ------------------------------------------------------ */

/* Whether a place is in the house's own text or in an override, not in a table. */
static bool is_own(const char *place, const char *file, const eb_read_options *options) {
  if (!place || strcmp(place, file) == 0)
    return true;
  for (size_t i = 0; options && i < options->n_overrides; i++)
    if (strcmp(place, options->overrides[i]) == 0)
      return true;
  return false;
}

/* What the errors since `mark` amount to. Whoever runs out of memory says so
 * with the code "memory". */
static eb_status outcome(const eb_context *context, const char *file,
                         const eb_read_options *options, size_t mark) {
  size_t count = 0;
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  eb_status status = EB_OK;
  for (size_t i = mark; i < count; i++) {
    if (all[i].severity != EB_ERROR)
      continue;
    if (strcmp(all[i].code, "memory") == 0)
      return EB_E_MEMORY;
    bool own = strncmp(all[i].code, "table-", 6) != 0 && is_own(all[i].file, file, options);
    if (strcmp(all[i].code, "too-large") == 0)
      status = EB_E_LIMIT;
    else if (status != EB_E_LIMIT)
      status = own || status == EB_E_INPUT ? EB_E_INPUT : EB_E_TABLE;
  }
  return ebi_diags_failed(context) ? EB_E_MEMORY : status;
}

static eb_status apply_overrides(eb_context *context, ebi_arena *arena,
                                 const eb_read_options *options, ebi_document *document) {
  eb_status worst = EB_OK;
  for (size_t i = 0; options && i < options->n_overrides; i++) {
    eb_status status = ebi_document_override(context, arena, document, options->overrides[i]);
    if (status == EB_E_MEMORY)
      return status;
    worst = status == EB_OK ? worst : status;
  }
  return worst;
}

/* Reads into the arena; the house is complete only after EB_OK. */
static eb_status read_document(eb_context *context, ebi_arena *arena, ebi_document *document,
                               const eb_read_options *options, eb_house **house) {
  size_t mark = 0;
  eb_diagnostics(context, &mark);
  size_t errors = ebi_diag_errors(context);
  eb_status status = apply_overrides(context, arena, options, document);
  if (status == EB_E_MEMORY)
    return status;
  ebi_house_reading reading = {.house = EBI_NEW(arena, eb_house)};
  if (!reading.house)
    return EB_E_MEMORY;
  *reading.house = (eb_house){.arena = arena,
                              .context = context,
                              .file = document->name,
                              .bytes = document->bytes,
                              .n_bytes = document->length};
  ebi_reader reader = {context, arena, document->name, &reading};
  read_house(&reader, document->root);
  eb_status read = outcome(context, document->name, options, mark);
  if (read == EB_OK && ebi_diag_errors(context) != errors)
    read = EB_E_INPUT; /* there were too many to be listed */
  if (read == EB_OK && status == EB_OK)
    *house = reading.house;
  return read == EB_OK || (read != EB_E_MEMORY && status != EB_OK) ? status : read;
}

/* Appended to the options after their first version. */
static int first_line(const eb_read_options *options) {
  return options && options->size >= sizeof *options ? options->first_line : 0;
}

static bool options_fit(const eb_read_options *options) {
  if (!options)
    return true;
  return options->size >= offsetof(eb_read_options, first_line) &&
         (options->overrides || options->n_overrides == 0);
}

/* Reads into the arena and gives it to the house, or drops it. */
static eb_status read_into(eb_context *context, ebi_arena *arena, const char *name,
                           const void *bytes, size_t length, const eb_read_options *options,
                           eb_house **house) {
  ebi_document document = {.first_line = first_line(options)};
  eb_house *read = NULL;
  eb_status parsed = ebi_document_parse(context, arena, name, bytes, length, &document);
  eb_status status = parsed;
  if (document.root && parsed != EB_E_MEMORY) {
    status = read_document(context, arena, &document, options, &read);
    if (status != EB_E_MEMORY && parsed != EB_OK)
      status = parsed;
  }
  if (ebi_diags_failed(context))
    status = EB_E_MEMORY;
  if (status == EB_OK)
    *house = read;
  else
    ebi_context_release(context, arena);
  return status;
}

eb_status eb_house_read(eb_context *context, const char *name, const void *bytes, size_t length,
                        const eb_read_options *options, eb_house **house) {
  if (!context || !name || (!bytes && length > 0) || !house || !options_fit(options))
    return EB_E_ARGUMENT;
  ebi_arena *arena = ebi_context_arena(context);
  if (!arena)
    return EB_E_MEMORY;
  return read_into(context, arena, name, bytes, length, options, house);
}

eb_status eb_house_read_file(eb_context *context, const char *path, const eb_read_options *options,
                             eb_house **house) {
  if (!context || !path || !house || !options_fit(options))
    return EB_E_ARGUMENT;
  ebi_arena *bytes_arena = ebi_arena_new(ebi_context_allocator(context));
  if (!bytes_arena)
    return EB_E_MEMORY;
  const char *bytes = NULL;
  size_t length = 0;
  eb_status status = ebi_file_read(context, bytes_arena, path, &bytes, &length);
  if (status == EB_OK)
    status = eb_house_read(context, strcmp(path, "-") == 0 ? "standard input" : path, bytes, length,
                           options, house);
  ebi_arena_free(bytes_arena);
  return ebi_diags_failed(context) ? EB_E_MEMORY : status;
}

/* ---- Another rule set --------------------------------------------------- */

eb_status eb_house_set_rules(eb_context *context, eb_house *house, const char *rules) {
  if (!context || !house || !rules || house->context != context)
    return EB_E_ARGUMENT;
  size_t mark = 0;
  eb_diagnostics(context, &mark);
  const ebi_rule_set *set = NULL;
  if (strcmp(rules, "none") != 0) {
    ebi_arena *arena = ebi_arena_new(ebi_context_allocator(context));
    ebi_yaml value = {
        .kind = EBI_YAML_SCALAR, .text = rules, .length = strlen(rules), .key = "rules"};
    ebi_reader reader = {context, arena, house->file, NULL};
    if (arena)
      set = ebi_rules_load(&reader, &value);
    ebi_arena_free(arena);
    if (!set)
      return arena ? outcome(context, house->file, NULL, mark) : EB_E_MEMORY;
  }
  house->rules = set;
  house->rules_where = (ebi_where){.file = NULL};
  return EB_OK;
}

/* ---- What a house is --------------------------------------------------- */

void eb_house_free(eb_house *house) {
  if (house)
    ebi_context_release(house->context, house->arena);
}

const char *eb_house_dwelling(const eb_house *house) {
  return house ? house->dwelling : "";
}

bool eb_house_has_ducts(const eb_house *house) {
  return house && house->n_runs > 0;
}

bool eb_house_has_climate(const eb_house *house) {
  return house && house->climate;
}
