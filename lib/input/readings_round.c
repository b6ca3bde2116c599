/* readings_round.c - one round: how the house stood, and what was read at the unit */

#include <string.h>

#include "input/readings_read.h"

#include "input/quote.h"

/* ---- Tables of keys ---------------------------------------------------- */

static const char *const bypass_words[] = {"shut", "open", NULL};
static const char *const frost_words[] = {"off", "on", NULL};
static const char *const filter_words[] = {"new", "used", "loaded", NULL};

#define COLDEST -60.0
#define HOTTEST 60.0

#define WORD(name, list, text)                                                                     \
  {                                                                                                \
    .key = #name, .type = EBI_FIELD_WORD, .words = list, .offset = offsetof(ebi_round, name),      \
    .about = text                                                                                  \
  }
#define QUANTITY(name, member, quantity, least, most, text)                                        \
  {                                                                                                \
    .key = name, .type = EBI_FIELD_QUANTITY, .kind = quantity, .low = least, .high = most,         \
    .offset = offsetof(ebi_round, member), .about = text                                           \
  }
/* One of each kind of air at the unit. */
#define OF_AIR(name, air, member, quantity, least, most)                                           \
  QUANTITY(name, member[air], quantity, least, most, "of the air at the unit")
#define OF_AIRS(member, quantity, least, most)                                                     \
  OF_AIR("outdoor", EB_OUTDOOR, member, quantity, least, most),                                    \
      OF_AIR("supply", EB_SUPPLY, member, quantity, least, most),                                  \
      OF_AIR("extract", EB_EXTRACT, member, quantity, least, most),                                \
      OF_AIR("exhaust", EB_EXHAUST, member, quantity, least, most)

static const ebi_field state_fields[] = {
    WORD(bypass, bypass_words, "shut or open"),
    WORD(frost, frost_words, "frost protection, off or on"),
    WORD(filters, filter_words, "new, used or loaded"),
    QUANTITY("outdoor", outdoor, EBI_TEMPERATURE, COLDEST, HOTTEST, "temperature outdoors"),
    QUANTITY("indoor", indoor, EBI_TEMPERATURE, COLDEST, HOTTEST, "temperature indoors"),
    QUANTITY("wind", wind, EBI_SPEED, 0, 60, "its speed"),
};
static const ebi_field temperature_fields[] = {
    OF_AIRS(temperature, EBI_TEMPERATURE, COLDEST, HOTTEST)};
static const ebi_field humidity_fields[] = {OF_AIRS(humidity, EBI_RATIO, 0, 1)};
static const ebi_field unit_fields[] = {OF_AIRS(unit_flow, EBI_FLOW, 0, 10)};
static const ebi_field power_fields[] = {
    QUANTITY("unit", power, EBI_POWER, 0, 1e4, "of the whole unit")};

/* ---- What the controller shows ----------------------------------------- */

/* What the unit is told; of a house without one, whatever is written. */
static eb_controller controller_of(const ebi_reader *reader, const char *written) {
  const ebi_unit *unit = ebi_readings_of(reader)->house->unit;
  if (unit != NULL)
    return unit->controller;
  bool flow = written != NULL && strcmp(written, "flow") == 0;
  bool volts = written != NULL && strcmp(written, "V") == 0;
  return (eb_controller){volts ? "V" : "%", volts ? 10 : 100, flow};
}

/* The unit that a setting is written in: "%", "V", "step", or "flow"; NULL: none of them. */
static const char *written_in(const char *text, size_t length) {
  if (strncmp(text, "step ", 5) == 0)
    return "step";
  if (length > 0 && text[length - 1] == '%')
    return "%";
  if (length > 0 && text[length - 1] == 'V')
    return "V";
  return ebi_quantity_read(text, length, EBI_FLOW).fault == EBI_QUANTITY_OK ? "flow" : NULL;
}

/* The number of "45 %", "4.5 V" or "step 2" as a share of the range. */
static void read_share(ebi_reader *reader, const ebi_yaml *value, const eb_controller *controller,
                       ebi_given *signal) {
  static const size_t word = sizeof "step " - 1;
  ebi_yaml number = *value;
  bool step = strcmp(controller->unit, "step") == 0;
  const char *from = step ? value->text + word : value->text;
  number.length = strcspn(from, "%V");
  while (number.length > 0 && from[number.length - 1] == ' ')
    number.length--;
  number.text = ebi_arena_text_n(reader->arena, from, number.length);
  if (number.text == NULL) {
    ebi_read_memory(reader, value);
    return;
  }
  bool good = step ? ebi_read_count(reader, &number, 1, controller->scale, signal)
                   : ebi_read_given(reader, &number, EBI_NUMBER, 0, controller->scale, signal);
  if (good)
    signal->value /= controller->scale;
}

/* "45 %", "4.5 V", "step 2" or a flow that the unit keeps, as its `signal:` says. */
static void read_fan(ebi_reader *reader, const ebi_yaml *value, int side, ebi_round *round) {
  const char *text = NULL;
  if (!ebi_read_text(reader, value, &text))
    return;
  const char *written = written_in(text, value->length);
  eb_controller controller = controller_of(reader, written);
  const char *own = controller.flow ? "flow" : controller.unit;
  if (written == NULL)
    ebi_read_error(reader, value, "fan-signal",
                   "%s \"%s\": write what the controller shows, \"45 %%\", \"4.5 V\", \"step 2\" "
                   "or the flow it keeps, \"120 m3/h\"",
                   ebi_quote(value->key).text, ebi_quote(text).text);
  else if (strcmp(written, own) != 0)
    ebi_read_error(reader, value, "fan-signal",
                   "%s \"%s\": the controller of this unit shows %s, by its `signal:`",
                   ebi_quote(value->key).text, ebi_quote(text).text, controller.unit);
  else if (controller.flow)
    ebi_read_given(reader, value, EBI_FLOW, 0, 10, &round->fan_signal[side]);
  else
    read_share(reader, value, &controller, &round->fan_signal[side]);
}

static void read_supply_fan(ebi_reader *reader, const ebi_yaml *value, void *record) {
  read_fan(reader, value, 0, record);
}

static void read_extract_fan(ebi_reader *reader, const ebi_yaml *value, void *record) {
  read_fan(reader, value, 1, record);
}

static const ebi_field fan_form = {
    .type = EBI_FIELD_EITHER,
    EBI_SEVERAL({.type = EBI_FIELD_TEXT, .pattern = "# *[%V]"},
                {.type = EBI_FIELD_TEXT, .pattern = "step [0-9]{1,2}"},
                {.type = EBI_FIELD_QUANTITY, .kind = EBI_FLOW, .low = 0, .high = 10})};

static const ebi_field fan_fields[] = {
    {.key = "supply",
     .type = EBI_FIELD_CUSTOM,
     .read = read_supply_fan,
     .holds = &fan_form,
     .about = "what the controller shows"},
    {.key = "extract",
     .type = EBI_FIELD_CUSTOM,
     .read = read_extract_fan,
     .holds = &fan_form,
     .about = "what the controller shows"},
};

/* ---- Pressures --------------------------------------------------------- */

static void read_pressures(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_round *round = record;
  ebi_names seen = {0};
  if (!ebi_read_kind(reader, value, EBI_YAML_MAPPING, "{s-box: 22 Pa, house: -1.5 Pa}"))
    return;
  ebi_pressure_reading *list = ebi_read_array(reader, value, value->count, sizeof *list);
  for (size_t i = 0; list && i < value->count; i++) {
    const ebi_yaml_pair *pair = &value->pairs[i];
    ebi_given pressure = {0};
    if (!ebi_readings_place(reader, pair->key) ||
        !ebi_read_given(reader, pair->value, EBI_PRESSURE, -5000, 5000, &pressure))
      continue;
    if (ebi_names_find(&seen, pair->key->text) != EBI_NO_NAME)
      ebi_read_error(reader, pair->key, "reading-twice", "\"%s\" is read twice in this round",
                     ebi_quote(pair->key->text).text);
    else if (!ebi_names_set(&seen, reader->arena, pair->key->text, i))
      ebi_read_memory(reader, value);
    else
      list[round->n_pressures++] =
          (ebi_pressure_reading){pair->key->text, pressure.value, pair->key->where};
  }
  round->pressures = list;
}

/* ---- The round --------------------------------------------------------- */

static void read_instrument(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_readings_instrument(reader, value, &((ebi_round *)record)->instrument);
}

#define SECTION(name, table, called, text)                                                         \
  { .key = name, .type = EBI_FIELD_MAPPING, .what = called, EBI_TABLE(table), .about = text }

static const ebi_field round_fields[] = {
    {.key = "level",
     .type = EBI_FIELD_CUSTOM,
     .required = true,
     .read = ebi_readings_level,
     EBI_HOLDS_TEXT,
     .about = "at which the unit ran, such as normal"},
    SECTION("state", state_fields, "the state", "how the house and the weather stood"),
    {.key = "instrument",
     .type = EBI_FIELD_CUSTOM,
     .read = read_instrument,
     .holds = &ebi_instrument_form,
     .about = "where it is not that of the file"},
    SECTION("fans", fan_fields, "the fans",
            "what the controller shows, {supply: 45 %, extract: 50 %}"),
    {.key = "valves",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_valves_read_form,
     .about = "openings, {s-bed1: 8 mm}"},
    {.key = "flows",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_flows_read_form,
     .about = "{s-bed1: 10.4 l/s}"},
    {.key = "pressures",
     .type = EBI_FIELD_CUSTOM,
     .read = read_pressures,
     EBI_HOLDS(.type = EBI_FIELD_NAMED, EBI_ONE(.type = EBI_FIELD_QUANTITY, .kind = EBI_PRESSURE,
                                                .low = -5000, .high = 5000)),
     .about = "{s-box: 22 Pa, house: -1.5 Pa}"},
    SECTION("unit", unit_fields, "the unit's flows", "flows that the unit or a traverse shows"),
    SECTION("temperatures", temperature_fields, "the temperatures", "of the four airs at the unit"),
    SECTION("humidity", humidity_fields, "the humidity", "of the airs at the unit"),
    SECTION("power", power_fields, "the power", "{unit: 38 W}"),
    {.key = "note",
     .type = EBI_FIELD_TEXT,
     .offset = offsetof(ebi_round, note),
     .about = "in your own words"},
};

const ebi_field ebi_round_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(round_fields)};

void ebi_readings_round(ebi_reader *reader, const ebi_yaml *value, ebi_round *round) {
  *round = (ebi_round){.level = "normal",
                       .instrument = ebi_readings_of(reader)->readings->instrument,
                       .note = "",
                       .where = value->where};
  ebi_fields_read(reader, value, "a round", round_fields, EBI_COUNT_OF(round_fields), round);
  if (value->kind == EBI_YAML_MAPPING)
    ebi_readings_flows(reader, ebi_yaml_get(value, "valves"), ebi_yaml_get(value, "flows"), round);
}
