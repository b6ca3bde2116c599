/* compare_fans.c - rows of what the fans must do and take, and of what is heard
 */

#include "design/compare.h"

#include <math.h>

#include "base/text.h"

/* Which side of which level. */
typedef struct side_key {
  const char *level;
  bool supply;
} side_key;

/* NULL where the level or the side is not known. */
static const eb_side_state *side_of(const ebi_comparing *c, size_t house, const side_key *key) {
  const eb_level_state *level = ebi_compare_level(&c->inputs[house], key->level);
  if (level == NULL)
    return NULL;
  const eb_side_state *side = key->supply ? &level->supply : &level->extract;
  return side->flow_m3_s > 0.0 ? side : NULL;
}

static ebi_compare_cell pressure(const ebi_comparing *c, size_t house, const void *key) {
  const eb_side_state *side = side_of(c, house, key);
  if (side == NULL)
    return ebi_compare_unknown;
  ebi_compare_cell cell = ebi_compare_known(side->pressure_pa);
  cell.where = side->index_run;
  return cell;
}

/* Nothing is left only where the fan is at its end. */
static ebi_compare_cell spare(const ebi_comparing *c, size_t house, const void *key) {
  const eb_side_state *side = side_of(c, house, key);
  return side != NULL && (side->spare_pa > 0.0 || side->limited) ? ebi_compare_known(side->spare_pa)
                                                                 : ebi_compare_unknown;
}

static ebi_compare_cell signal(const ebi_comparing *c, size_t house, const void *key) {
  const eb_side_state *side = side_of(c, house, key);
  bool share = side != NULL && !c->inputs[house].ducts->controller.flow;
  return share ? ebi_compare_known(side->signal) : ebi_compare_unknown;
}

/* 0 stands for a power that the unit's sheet does not give. */
static ebi_compare_cell fan_power(const ebi_comparing *c, size_t house, const void *key) {
  const eb_level_state *level = ebi_compare_level(&c->inputs[house], key);
  return level != NULL && level->specific_fan_power > 0.0
             ? ebi_compare_known(level->specific_fan_power)
             : ebi_compare_unknown;
}

static void both_sides(ebi_comparing *c, const ebi_compare_kind *kind, const char *level,
                       const char *what) {
  for (int side = 0; side < 2; side++) {
    side_key key = {level, side == 0};
    ebi_compare_row(c, kind, &key, "%s %s at %s", key.supply ? "supply" : "extract", what, level);
  }
}

void ebi_compare_fans(ebi_comparing *c) {
  static const ebi_compare_kind index = {"fans", EBI_COMPARE_PRESSURE, EB_SENSE_LESS, pressure};
  static const ebi_compare_kind left = {"fans", EBI_COMPARE_PRESSURE, EB_SENSE_MORE, spare};
  static const ebi_compare_kind power = {"fans", EBI_COMPARE_FAN_POWER, EB_SENSE_LESS, fan_power};
  static const ebi_compare_kind shown = {"fans", EBI_COMPARE_RATIO, EB_SENSE_NONE, signal};
  both_sides(c, &index, "normal", "index pressure");
  both_sides(c, &index, "boost", "index pressure");
  both_sides(c, &left, "boost", "pressure to spare");
  for (size_t l = 0; l < c->n_levels; l++)
    ebi_compare_row(c, &power, c->levels[l], "specific fan power at %s", c->levels[l]);
  for (size_t l = 0; l < c->n_levels; l++)
    both_sides(c, &shown, c->levels[l], "fan signal");
}

/* ---- Sound ---- */

typedef struct sound_key {
  const char *level;
  const char *use; /* "": bedrooms and living rooms */
  bool loudest;
} sound_key;

static bool has_use(const ebi_room *room, const char *use) {
  for (size_t u = 0; u < room->n_uses; u++)
    if (ebi_text_equal(room->uses[u], use))
      return true;
  return false;
}

static bool is_meant(const ebi_room *room, const sound_key *key) {
  return *key->use != '\0' ? has_use(room, key->use)
                           : has_use(room, "bedroom") || has_use(room, "living");
}

static ebi_compare_cell heard(const ebi_comparing *c, size_t house, const void *key) {
  const sound_key *wanted = key;
  const eb_compare_input *in = &c->inputs[house];
  const eb_level_state *level = ebi_compare_level(in, wanted->level);
  ebi_compare_cell cell = ebi_compare_unknown;
  for (size_t r = 0; level != NULL && level->sounds != NULL && r < in->house->n_rooms; r++) {
    double total = level->sounds[r].total_db;
    if (!is_meant(&in->house->rooms[r], wanted) || !isfinite(total) ||
        (!isnan(cell.value) && (wanted->loudest ? total <= cell.value : total >= cell.value)))
      continue;
    cell.value = total;
    cell.where = in->house->rooms[r].name;
  }
  return cell;
}

void ebi_compare_sound(ebi_comparing *c) {
  static const ebi_compare_kind kind = {"sound", EBI_COMPARE_SOUND, EB_SENSE_LESS, heard};
  static const char *const levels[] = {"normal", "boost"};
  for (size_t l = 0; l < 2; l++) {
    sound_key bedroom = {levels[l], "bedroom", true}, living = {levels[l], "living", true};
    sound_key quietest = {levels[l], "", false};
    ebi_compare_row(c, &kind, &bedroom, "loudest bedroom at %s", levels[l]);
    ebi_compare_row(c, &kind, &living, "loudest living room at %s", levels[l]);
    ebi_compare_row(c, &kind, &quietest, "quietest of these rooms at %s", levels[l]);
  }
}
