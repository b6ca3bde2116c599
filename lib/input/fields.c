/* fields.c - mappings read by a table of their keys */

#include "input/fields.h"

#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "input/quote.h"

static const ebi_field *find_field(const ebi_field *fields, size_t n_fields, const char *key) {
  for (size_t i = 0; i < n_fields; i++)
    if (strcmp(fields[i].key, key) == 0)
      return &fields[i];
  return NULL;
}

static const ebi_field *nearest_field(const ebi_field *fields, size_t n_fields, const char *key) {
  const char *names[128] = {NULL};
  size_t count = n_fields < 128 ? n_fields : 128;
  for (size_t i = 0; i < count; i++)
    names[i] = fields[i].key;
  const char *nearest = ebi_text_nearest(key, names, count);
  return nearest ? find_field(fields, n_fields, nearest) : NULL;
}

/* "a, b, c" of all keys, as far as there is room. */
static void join_keys(const ebi_field *fields, size_t n_fields, char *list, size_t size) {
  size_t used = 0;
  list[0] = '\0';
  for (size_t i = 0; i < n_fields; i++) {
    int wrote = snprintf(list + used, size - used, "%s%s", i ? ", " : "", fields[i].key);
    if (wrote < 0 || (size_t)wrote >= size - used) {
      list[used] = '\0';
      return;
    }
    used += (size_t)wrote;
  }
}

static void unknown_key(ebi_reader *reader, const ebi_yaml *key, const char *what,
                        const ebi_field *fields, size_t n_fields) {
  if (ebi_diag_errors(reader->context) > EBI_DIAG_MAX) {
    ebi_read_error(reader, key, "key-unknown", "unknown key"); /* counted, not shown */
    return;
  }
  const ebi_field *nearest = nearest_field(fields, n_fields, key->text);
  char list[512];
  join_keys(fields, n_fields, list, sizeof list);
  if (nearest)
    ebi_read_error(reader, key, "key-unknown", "\"%s\" is not a key of %s; did you mean \"%s\"?",
                   ebi_quote(key->text).text, what, nearest->key);
  else
    ebi_read_error(reader, key, "key-unknown", "\"%s\" is not a key of %s; its keys are: %s",
                   ebi_quote(key->text).text, what, list);
}

static void read_field(ebi_reader *reader, const ebi_yaml *value, const ebi_field *field,
                       void *record) {
  void *place = record ? (char *)record + field->offset : NULL;
  switch (field->type) {
  case EBI_FIELD_QUANTITY:
    ebi_read_given(reader, value, field->kind, field->low, field->high, place);
    break;
  case EBI_FIELD_COUNT:
    ebi_read_count(reader, value, field->low, field->high, place);
    break;
  case EBI_FIELD_TEXT:
    ebi_read_text(reader, value, place);
    break;
  case EBI_FIELD_WORD:
    ebi_read_word(reader, value, field->words, place);
    break;
  case EBI_FIELD_BOOL:
    ebi_read_bool(reader, value, place);
    break;
  case EBI_FIELD_MAPPING:
  case EBI_FIELD_CUSTOM:
    if (value->kind == EBI_YAML_SCALAR && value->length == 0)
      ebi_read_error(reader, value, "value-missing", "%s has no value", field->key);
    else if (field->type == EBI_FIELD_MAPPING)
      ebi_fields_read(reader, value, field->what, field->of, field->n_of, place);
    else
      field->read(reader, value, record);
    break;
  default: /* read elsewhere */
    break;
  }
}

/* Each required key must be there. */
static void check_required(ebi_reader *reader, const ebi_yaml *mapping, const char *what,
                           const ebi_field *fields, size_t n_fields) {
  for (size_t i = 0; i < n_fields; i++)
    if (fields[i].required && !ebi_yaml_get(mapping, fields[i].key))
      ebi_read_error(reader, mapping, "key-missing", "%s needs the key \"%s\"%s%s", what,
                     fields[i].key, fields[i].about ? ": " : "",
                     fields[i].about ? fields[i].about : "");
}

void ebi_fields_read(ebi_reader *reader, const ebi_yaml *mapping, const char *what,
                     const ebi_field *fields, size_t n_fields, void *record) {
  if (mapping->kind != EBI_YAML_MAPPING) {
    ebi_read_error(reader, mapping, "kind-wrong",
                   "%s must be a mapping, for example {%s: ...}, not %s", what,
                   n_fields ? fields[0].key : "key",
                   mapping->kind == EBI_YAML_SEQUENCE ? "a list"
                   : mapping->length                  ? "a text"
                                                      : "empty");
    return;
  }
  for (size_t i = 0; i < mapping->count; i++) {
    const ebi_field *field = find_field(fields, n_fields, mapping->pairs[i].key->text);
    if (field)
      read_field(reader, mapping->pairs[i].value, field, record);
    else
      unknown_key(reader, mapping->pairs[i].key, what, fields, n_fields);
  }
  check_required(reader, mapping, what, fields, n_fields);
}
