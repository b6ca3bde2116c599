/* house_names.c - the user's own names of rooms, runs and the rest */

#include <string.h>

#include "base/text.h"
#include "input/house_read.h"
#include "input/quote.h"

void *ebi_read_array(ebi_reader *reader, const ebi_yaml *node, size_t count, size_t size) {
  void *array = ebi_arena_array(reader->arena, count, size);
  if (!array)
    ebi_read_memory(reader, node);
  return array;
}

bool ebi_name_reserved(const char *name) {
  return strcmp(name, "unit") == 0 || strcmp(name, "outdoors") == 0;
}

bool ebi_read_name(ebi_reader *reader, const ebi_yaml *name, const char *what) {
  const char *text = NULL;
  if (!ebi_read_text(reader, name, &text))
    return false;
  if (name->length > EBI_NAME_BYTES)
    ebi_read_error(reader, name, "name-long", "the name \"%s\" of %s has %zu bytes; at most %d",
                   ebi_quote(text).text, what, name->length, EBI_NAME_BYTES);
  else if (ebi_name_reserved(text))
    ebi_read_error(reader, name, "name-reserved",
                   "\"%s\" cannot be the name of %s: it stands for %s", text, what,
                   strcmp(text, "unit") == 0 ? "the ventilation unit" : "the outside");
  else
    return true;
  return false;
}

bool ebi_read_named(ebi_reader *reader, const ebi_yaml_pair *pair, const char *what) {
  if (!ebi_read_name(reader, pair->key, what))
    return false;
  if (pair->value->kind == EBI_YAML_SCALAR && pair->value->length == 0) {
    ebi_read_error(reader, pair->value, "value-missing", "\"%s\" has no value",
                   ebi_quote(pair->key->text).text);
    return false;
  }
  return true;
}

const char *ebi_nearest_room(const ebi_reader *reader, const char *name) {
  const eb_house *house = ebi_reading(reader)->house;
  const char *nearest = NULL;
  size_t least = 0;
  if (ebi_diag_errors(reader->context) > EBI_DIAG_MAX)
    return NULL; /* it would not be shown */
  for (size_t i = 0; i < house->n_rooms; i++) {
    const char *one = house->rooms[i].name;
    if (!ebi_text_nearest(name, &one, 1))
      continue;
    size_t distance = ebi_text_distance(name, one);
    if (!nearest || distance < least) {
      nearest = one;
      least = distance;
    }
  }
  return nearest;
}

bool ebi_read_room_name(ebi_reader *reader, const ebi_yaml *value, const char **room) {
  const ebi_house_reading *reading = ebi_reading(reader);
  const char *text = NULL;
  if (!ebi_read_text(reader, value, &text))
    return false;
  size_t number = ebi_names_find(&reading->rooms, text);
  if (number != EBI_NO_NAME) {
    *room = reading->house->rooms[number].name;
    return true;
  }
  const char *nearest = ebi_nearest_room(reader, text);
  ebi_read_error(reader, value, "room-unknown", "there is no room \"%s\"%s%s%s",
                 ebi_quote(text).text, nearest ? "; did you mean \"" : "",
                 nearest ? ebi_quote(nearest).text : "", nearest ? "\"?" : "");
  return false;
}

bool ebi_read_kind(ebi_reader *reader, const ebi_yaml *value, ebi_yaml_kind kind,
                   const char *example) {
  static const char *const words[] = {"a single value", "a mapping", "a list"};
  if (value->kind != kind)
    ebi_read_error(reader, value, "kind-wrong", "%s must be %s, not %s: for example %s",
                   value->key ? ebi_quote(value->key).text : "this", words[kind],
                   words[value->kind], example);
  return value->kind == kind;
}
