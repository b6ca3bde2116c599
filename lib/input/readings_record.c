/* readings_record.c - `record:` of a readings file: what a record holds beside readings
 *
 *   record:
 *     place: {address: 4 Alder Row}
 *     system: {kind: balanced with heat recovery, maker: ..., serial: "0012"}
 *     inspection: {complete: yes, clean: yes}
 *
 * Sections and keys are those of model/record_fields.def. */

#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "input/quote.h"
#include "input/readings_read.h"

static bool is_section(const char *name) {
  for (int f = 0; f < EBI_RECORD_FIELDS; f++)
    if (ebi_text_equal(ebi_record_info_of((ebi_record_field)f)->section, name))
      return true;
  return false;
}

static int field_of(const char *section, const char *key) {
  for (int f = 0; f < EBI_RECORD_FIELDS; f++) {
    const ebi_record_info *info = ebi_record_info_of((ebi_record_field)f);
    if (ebi_text_equal(info->section, section) && ebi_text_equal(info->key, key))
      return f;
  }
  return -1;
}

static void read_value(ebi_reader *reader, const ebi_yaml *value, int field,
                       ebi_record_values *record) {
  const ebi_record_info *info = ebi_record_info_of((ebi_record_field)field);
  if (info->kind == EBI_RECORD_DAY) {
    ebi_readings_day(reader, value, &record->value[field]);
    return;
  }
  const char *text = NULL;
  if (!ebi_read_text(reader, value, &text))
    return;
  bool yes_no = ebi_text_equal(text, "yes") || ebi_text_equal(text, "no");
  if (info->kind == EBI_RECORD_YES_NO && !yes_no)
    ebi_read_error(reader, value, "not-yes-or-no", "%s is yes or no, not \"%s\"", info->key,
                   ebi_quote(text).text);
  else
    record->value[field] = text;
}

static void unknown_field(ebi_reader *reader, const ebi_yaml *key, const char *section) {
  char list[512] = "";
  size_t used = 0;
  for (int f = 0; f < EBI_RECORD_FIELDS && used < sizeof list; f++) {
    const ebi_record_info *info = ebi_record_info_of((ebi_record_field)f);
    if (ebi_text_equal(info->section, section))
      used +=
          (size_t)snprintf(list + used, sizeof list - used, "%s%s", used ? ", " : "", info->key);
  }
  ebi_read_error(reader, key, "unknown-key",
                 "\"%s\" is not a key of the %s of a record; its keys are: %s",
                 ebi_quote(key->text).text, section, list);
}

static void read_section(ebi_reader *reader, const ebi_yaml *section, ebi_record_values *record) {
  if (!ebi_read_kind(reader, section, EBI_YAML_MAPPING, "{address: 4 Alder Row}"))
    return;
  for (size_t i = 0; i < section->count; i++) {
    const ebi_yaml *key = section->pairs[i].key, *value = section->pairs[i].value;
    int field = field_of(section->key, key->text);
    if (field >= 0)
      read_value(reader, value, field, record);
    else
      unknown_field(reader, key, section->key);
  }
}

void ebi_readings_record(ebi_reader *reader, const ebi_yaml *value, ebi_record_values *record) {
  record->given = true;
  record->where = value->where;
  if (!ebi_read_kind(reader, value, EBI_YAML_MAPPING, "{place: {address: 4 Alder Row}}"))
    return;
  for (size_t i = 0; i < value->count; i++) {
    const ebi_yaml *key = value->pairs[i].key;
    if (is_section(key->text))
      read_section(reader, value->pairs[i].value, record);
    else
      ebi_read_error(reader, key, "unknown-key",
                     "\"%s\" is not a section of a record; its keys are: place, system, installer, "
                     "commissioner, installation, inspection, measurement, owner",
                     ebi_quote(key->text).text);
  }
}
