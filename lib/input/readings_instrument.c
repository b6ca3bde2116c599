/* readings_instrument.c - what the readings were taken with */

#include "input/readings_read.h"

static const char *const kind_words[] = {"vane", "pressure", "thermal", NULL};

typedef struct instrument_keys {
  ebi_instrument instrument;
  const char *kind;
} instrument_keys;

static void read_calibrated(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_readings_day(reader, value, &((instrument_keys *)record)->instrument.calibrated);
}

static void read_drop(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_instrument *instrument = &((instrument_keys *)record)->instrument;
  ebi_read_drop_at(reader, value, &instrument->drop, &instrument->drop_at);
}

#define AT(member) offsetof(instrument_keys, instrument.member)

static const ebi_field instrument_fields[] = {
    {.key = "name", .type = EBI_FIELD_TEXT, .offset = AT(name), .about = "what it is"},
    {.key = "kind",
     .type = EBI_FIELD_WORD,
     .words = kind_words,
     .offset = offsetof(instrument_keys, kind),
     .about = "how it takes the density of the air: vane where not said"},
    {.key = "serial", .type = EBI_FIELD_TEXT, .offset = AT(serial), .about = "its number"},
    {.key = "calibrated",
     .type = EBI_FIELD_CUSTOM,
     .read = read_calibrated,
     EBI_HOLDS(.type = EBI_FIELD_TEXT, .pattern = EBI_DAY_PATTERN),
     .about = "the day, such as 2026-09-01"},
    {.key = "bias",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_RATIO,
     .high = 0.5,
     .offset = AT(bias),
     .about = "95 % limits of what all its readings share, such as 3 %"},
    {.key = "repeat",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_RATIO,
     .high = 0.5,
     .offset = AT(repeat),
     .about = "95 % limits between one reading and the next, such as 3 %"},
    {.key = "floor",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_FLOW,
     .high = 0.02,
     .offset = AT(floor),
     .about = "what no reading is nearer than, such as 0.3 l/s"},
    {.key = "drop",
     .type = EBI_FIELD_CUSTOM,
     .read = read_drop,
     .holds = &ebi_drop_at_form,
     .about = "of its hood, such as 5 Pa at 30 l/s"},
    {.key = "powered",
     .type = EBI_FIELD_BOOL,
     .offset = AT(powered),
     .about = "a hood with a fan that makes up its own drop"},
    {.key = "temperature_error",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_TEMPERATURE_DIFFERENCE,
     .low = 0.01,
     .high = 5,
     .offset = AT(temperature_error),
     .about = "95 % limits of a thermometer, such as 0.3 K"},
};

const ebi_field ebi_instrument_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(instrument_fields)};

void ebi_readings_instrument(ebi_reader *reader, const ebi_yaml *value,
                             ebi_instrument *instrument) {
  instrument_keys keys = {.instrument = {.given = true,
                                         .name = "",
                                         .serial = "",
                                         .calibrated = "",
                                         .where = value->where},
                          .kind = kind_words[EBI_INSTRUMENT_VANE]};
  ebi_fields_read(reader, value, "an instrument", instrument_fields,
                  EBI_COUNT_OF(instrument_fields), &keys);
  *instrument = keys.instrument;
  for (int kind = 0; kind_words[kind]; kind++)
    if (keys.kind == kind_words[kind])
      instrument->kind = (ebi_instrument_kind)kind;
}
