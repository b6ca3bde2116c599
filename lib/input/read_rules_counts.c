/* read_rules_counts.c - what rules count and multiply by, and the bounds of it */

#include "input/read_rules.h"

#include <math.h>

#include "base/text.h"
#include "input/quote.h"

/* Sizes in m2 and m3 have a unit for a flow per size of its own; a flow per flow
 * is a bare number. */
static const ebi_driver_row rows[] = {
    {EBI_PER_FLOOR_AREA, "floor_area", EBI_AREA, EBI_FLOW_PER_AREA, false, true},
    {EBI_PER_VOLUME, "volume", EBI_VOLUME, EBI_FLOW_PER_VOLUME, false, true},
    {EBI_PER_PERSON, "people", EBI_NUMBER, EBI_FLOW_PER_PERSON, false, false},
    {EBI_PER_BEDROOM, "bedrooms", EBI_NUMBER, EBI_FLOW, false, false},
    {EBI_PER_HABITABLE_ROOM, "habitable_rooms", EBI_NUMBER, EBI_FLOW, false, false},
    {EBI_PER_STOREY, "storeys", EBI_NUMBER, EBI_FLOW, false, false},
    {EBI_PER_ROOM, "rooms", EBI_NUMBER, EBI_FLOW, false, true},
    {EBI_PER_SLEEPER, "all_sleepers", EBI_NUMBER, EBI_FLOW_PER_PERSON, false, true},
    {EBI_PER_PERMEABILITY, "permeability", EBI_PERMEABILITY, EBI_KIND_COUNT, false, false},
    {EBI_PER_LEAKAGE, "air_changes_50", EBI_AIR_CHANGE, EBI_KIND_COUNT, false, false},
    {EBI_PER_LEAKAGE_FLOW, "leakage_flow", EBI_FLOW, EBI_NUMBER, false, false},
    {EBI_PER_ENVELOPE_AREA, "envelope_area", EBI_AREA, EBI_FLOW_PER_AREA, false, false},
    {EBI_PER_WEATHER_FACTOR, "weather_factor", EBI_NUMBER, EBI_FLOW, false, false},
    {EBI_PER_EXPOSED_FACADE, "exposed_facades", EBI_NUMBER, EBI_FLOW, false, false},
    {EBI_PER_ROOM_AREA, "room_area", EBI_AREA, EBI_FLOW_PER_AREA, true, false},
    {EBI_PER_ROOM_VOLUME, "room_volume", EBI_VOLUME, EBI_FLOW_PER_VOLUME, true, false},
    {EBI_PER_ROOM_SLEEPER, "sleepers", EBI_NUMBER, EBI_FLOW_PER_PERSON, true, false},
    {EBI_PER_ROOM_STOREY, "storey", EBI_NUMBER, EBI_FLOW, true, false},
    {EBI_PER_TRANSFER_FLOW, "transfer_flow", EBI_FLOW, EBI_NUMBER, true, false}};
#define N_ROWS (sizeof rows / sizeof rows[0])

const ebi_driver_row *ebi_driver_row_of(ebi_driver driver) {
  for (size_t i = 0; i < N_ROWS; i++)
    if (rows[i].driver == driver)
      return &rows[i];
  return NULL;
}

static bool place_knows(ebi_reader *reader, const ebi_yaml *node, const ebi_driver_row *row,
                        ebi_term_place place) {
  if (row->of_room && !place.in_room)
    ebi_read_error(reader, node, "driver-place",
                   "\"%s\" is of one room, and this rule is for the whole dwelling", row->word);
  else if (row->driver == EBI_PER_TRANSFER_FLOW && !place.in_transfer)
    ebi_read_error(reader, node, "driver-place",
                   "\"%s\" is what passes a door: it stands under transfer only", row->word);
  else if (row->driver == EBI_PER_PERSON && place.in_people)
    ebi_read_error(reader, node, "driver-place", "\"people\" cannot be counted by people");
  else
    return true;
  return false;
}

const ebi_driver_row *ebi_driver_read(ebi_reader *reader, const ebi_yaml *word,
                                      ebi_term_place place) {
  const char *words[N_ROWS + 1] = {NULL}, *found = NULL;
  for (size_t i = 0; i < N_ROWS; i++)
    words[i] = rows[i].word;
  if (!ebi_read_word(reader, word, words, &found))
    return NULL;
  for (size_t i = 0; i < N_ROWS; i++)
    if (ebi_text_equal(rows[i].word, found))
      return place_knows(reader, word, &rows[i], place) ? &rows[i] : NULL;
  return NULL;
}

ebi_kind ebi_driver_rate_kind(const ebi_driver_row *row, ebi_kind value) {
  if (value == EBI_FLOW)
    return row->rate_kind;
  return row->kind == EBI_NUMBER ? value : EBI_KIND_COUNT;
}

/* ---- Uses ---- */

bool ebi_rules_use_known(ebi_reader *reader, const ebi_yaml *node, const char *use) {
  const ebi_rule_set *set = ebi_rules_of(reader)->set;
  for (size_t i = 0; i < set->n_uses; i++)
    if (ebi_text_equal(set->uses[i].use, use))
      return true;
  const char **names = ebi_read_array(reader, node, set->n_uses, sizeof *names);
  for (size_t i = 0; names && i < set->n_uses; i++)
    names[i] = set->uses[i].use;
  const char *near = names ? ebi_text_nearest(use, names, set->n_uses) : NULL;
  ebi_read_error(reader, node, "use-unknown", "\"%s\" is none of this file's uses%s%s%s",
                 ebi_quote(use).text, near ? "; did you mean \"" : "", near ? near : "",
                 near ? "\"?" : "");
  return false;
}

void ebi_uses_read(ebi_reader *reader, const ebi_yaml *node, ebi_use_list *uses) {
  const char *const *names = NULL;
  size_t count = 0;
  bool known = true;
  if (!ebi_read_texts(reader, node, &names, &count))
    return;
  for (size_t i = 0; i < count; i++)
    known = ebi_rules_use_known(reader, node->kind == EBI_YAML_SEQUENCE ? node->items[i] : node,
                                names[i]) &&
            known;
  if (known)
    *uses = (ebi_use_list){names, count};
}

/* ---- Bounds ---- */

typedef struct bound_keys {
  ebi_given at_least, at_most, above, below;
} bound_keys;

static void check_bounds(ebi_reader *reader, const ebi_yaml *node, const bound_keys *keys,
                         const ebi_bounds *bounds) {
  if ((keys->at_least.given && keys->above.given) || (keys->at_most.given && keys->below.given))
    ebi_read_error(reader, node, "condition-empty",
                   "write at_least or above, and at_most or below, not both");
  else if (bounds->least > bounds->most ||
           (bounds->least == bounds->most && (bounds->least_out || bounds->most_out)))
    ebi_read_error(reader, node, "condition-empty", "at_least is above at_most: never true");
}

#define BOUND(name, kind_of)                                                                       \
  {                                                                                                \
    .key = #name, .type = EBI_FIELD_QUANTITY, .kind = kind_of, .low = -1e6, .high = 1e6,           \
    .offset = offsetof(bound_keys, name)                                                           \
  }

void ebi_bounds_read(ebi_reader *reader, const ebi_yaml *mapping, ebi_kind kind,
                     const char *const *others, ebi_bounds *bounds) {
  bound_keys keys = {.at_least = {.given = false}};
  ebi_field fields[8] = {BOUND(at_least, kind), BOUND(at_most, kind), BOUND(above, kind),
                         BOUND(below, kind)};
  size_t n = 4;
  for (; *others; others++)
    fields[n++] = (ebi_field){.key = *others, .type = EBI_FIELD_IGNORED};
  ebi_fields_read(reader, mapping, "bounds", fields, n, &keys);
  *bounds = EBI_OPEN_BOUNDS;
  bounds->least_out = keys.above.given;
  bounds->most_out = keys.below.given;
  if (keys.at_least.given || keys.above.given)
    bounds->least = keys.above.given ? keys.above.value : keys.at_least.value;
  if (keys.at_most.given || keys.below.given)
    bounds->most = keys.below.given ? keys.below.value : keys.at_most.value;
  check_bounds(reader, mapping, &keys, bounds);
}

/* ---- A count with what changes it ---- */

void ebi_count_read_uses(ebi_reader *reader, const ebi_yaml *mapping, const ebi_driver_row *row,
                         ebi_count *count) {
  const ebi_yaml *of = ebi_yaml_get(mapping, "of");
  const ebi_yaml *without = ebi_yaml_get(mapping, "without");
  if ((of || without) && !row->listed)
    ebi_read_error(reader, of ? of : without, "count-uses",
                   "\"%s\" cannot be of the rooms of some uses", row->word);
  else if (!of && (without || row->driver == EBI_PER_ROOM))
    ebi_read_error(reader, mapping, "key-missing", "\"%s\" needs \"of\" too: a list of uses",
                   row->word);
  if (of)
    ebi_uses_read(reader, of, &count->of);
  if (without)
    ebi_uses_read(reader, without, &count->without);
}

static void read_counted(ebi_reader *reader, const ebi_yaml *node, ebi_kind kind,
                         ebi_count *count) {
  static const char *const others[] = {"beyond", "step", NULL};
  const ebi_yaml *beyond = ebi_yaml_get(node, "beyond"), *step = ebi_yaml_get(node, "step");
  ebi_given given = {0};
  ebi_bounds_read(reader, node, kind, others, &count->counted);
  if (beyond && ebi_read_given(reader, beyond, kind, 0.0, 1e6, &given))
    count->beyond = given.value;
  if (step && ebi_read_given(reader, step, kind, 1e-9, 1e6, &given))
    count->step = given.value;
}

void ebi_count_read(ebi_reader *reader, const ebi_yaml *mapping, const ebi_driver_row *row,
                    ebi_count *count) {
  static const char *const none[] = {NULL};
  const ebi_yaml *counted = ebi_yaml_get(mapping, "counted");
  const ebi_yaml *valid = ebi_yaml_get(mapping, "valid");
  *count = (ebi_count){.driver = row->driver, .counted = EBI_OPEN_BOUNDS, .valid = EBI_OPEN_BOUNDS};
  ebi_count_read_uses(reader, mapping, row, count);
  if (counted)
    read_counted(reader, counted, row->kind, count);
  if (valid)
    ebi_bounds_read(reader, valid, row->kind, none, &count->valid);
}
