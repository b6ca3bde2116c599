/* readings_record.c - `record:` of a readings file: what a record holds beside readings
 *
 *   record:
 *     place: {address: 4 Alder Row}
 *     system: {kind: balanced with heat recovery, maker: ..., serial: "0012"}
 *     inspection: {complete: yes, clean: yes}
 *
 * Sections and keys are those of model/record_fields.def. */

#include "input/readings_read.h"

static const char *const yes_no[] = {"yes", "no", NULL};

/* Days are read as texts and looked at afterwards. */
#define TEXT_FIELD .type = EBI_FIELD_TEXT
#define YES_NO_FIELD .type = EBI_FIELD_WORD, .words = yes_no
#define DAY_FIELD .type = EBI_FIELD_TEXT, .pattern = EBI_DAY_PATTERN

/* A table of keys for each section. */
#define RECORD_SECTION(name, about) static const ebi_field name##_fields[] = {
#define RECORD(name, section, text, label, kind, required)                                         \
  {.key = text,                                                                                    \
   kind##_FIELD,                                                                                   \
   .offset = offsetof(ebi_record_values, value[EBI_RECORD_##name]),                                \
   .about = label},
#define RECORD_END                                                                                 \
  }                                                                                                \
  ;
#include "model/record_fields.def"
#undef RECORD_SECTION
#undef RECORD
#undef RECORD_END

static const ebi_field section_fields[] = {
#define RECORD_SECTION(name, text)                                                                 \
  {.key = #name,                                                                                   \
   .type = EBI_FIELD_MAPPING,                                                                      \
   .what = "the " #name " of a record",                                                            \
   EBI_TABLE(name##_fields),                                                                       \
   .about = text},
#define RECORD(name, section, key, label, kind, required)
#define RECORD_END
#include "model/record_fields.def"
#undef RECORD_SECTION
#undef RECORD
#undef RECORD_END
};

const ebi_field ebi_record_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(section_fields)};

static void check_days(ebi_reader *reader, const ebi_yaml *value, ebi_record_values *record) {
  for (int f = 0; f < EBI_RECORD_FIELDS; f++) {
    const ebi_record_info *info = ebi_record_info_of((ebi_record_field)f);
    const ebi_yaml *section = ebi_yaml_get(value, info->section);
    if (info->kind == EBI_RECORD_DAY && record->value[f])
      ebi_readings_day(reader, ebi_yaml_get(section, info->key), &record->value[f]);
  }
}

void ebi_readings_record(ebi_reader *reader, const ebi_yaml *value, ebi_record_values *record) {
  record->given = true;
  record->where = value->where;
  ebi_fields_read(reader, value, "a record", section_fields, EBI_COUNT_OF(section_fields), record);
  check_days(reader, value, record);
}
