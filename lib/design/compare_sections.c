/* compare_sections.c - which fields of the files are compared */

#include "design/compare.h"

#include <math.h>
#include <stddef.h>

#include "base/text.h"

#define COUNT_OF(list) (sizeof(list) / sizeof(list)[0])
#define NAMELESS ((size_t)-1)

/* Rows of a field list: a number of its unit, a word, a number that may be
 * missing. */
#define GIVEN(of, member, name, in)                                                                \
  { .what = (name), .unit = (in), .type = EBI_COMPARE_GIVEN, .offset = offsetof(of, member) }
#define NUMBER(of, member, name, in)                                                               \
  { .what = (name), .unit = (in), .type = EBI_COMPARE_DOUBLE, .offset = offsetof(of, member) }
#define WORD(of, member, name)                                                                     \
  { .what = (name), .unit = "", .type = EBI_COMPARE_TEXT, .offset = offsetof(of, member) }
#define YES_NO(of, member, name)                                                                   \
  { .what = (name), .unit = "", .type = EBI_COMPARE_YES_NO, .offset = offsetof(of, member) }
#define MADE(function, name)                                                                       \
  { .what = (name), .unit = "", .type = EBI_COMPARE_MADE, .make = function }

/* ---- The house ---- */

static const void *the_house(const eb_house *house, size_t *count) {
  *count = 1;
  return house;
}

static const char *rules_name(ebi_comparing *c, size_t house, const void *item) {
  const ebi_rule_set *rules = ((const eb_house *)item)->rules;
  (void)c, (void)house;
  return rules != NULL ? rules->entry.name : "none";
}

static const char *climate_name(ebi_comparing *c, size_t house, const void *item) {
  const ebi_climate *climate = ((const eb_house *)item)->climate;
  (void)c, (void)house;
  return climate != NULL ? climate->entry.name : NULL;
}

static const char *baseline_name(ebi_comparing *c, size_t house, const void *item) {
  const ebi_baseline *baseline = ((const eb_house *)item)->baseline;
  (void)c, (void)house;
  return baseline != NULL ? baseline->entry.name : NULL;
}

static const char *leakage_class(ebi_comparing *c, size_t house, const void *item) {
  char letter = ((const eb_house *)item)->duct_leakage_class;
  const char *text = letter != '\0' ? ebi_arena_text_n(c->scratch, &letter, 1) : NULL;
  (void)house;
  c->failed = c->failed || (letter != '\0' && text == NULL);
  return text;
}

/* Money per kWh; the tariff itself says whether it is given. */
static const char *price(ebi_comparing *c, const ebi_tariff *tariff) {
  if (!tariff->given)
    return NULL;
  const char *text = ebi_arena_format(c->scratch, "%.6g per kWh", tariff->price * 3.6e6);
  c->failed = c->failed || text == NULL;
  return text;
}

static const char *electricity_price(ebi_comparing *c, size_t house, const void *item) {
  (void)house;
  return price(c, &((const eb_house *)item)->electricity);
}

static const char *heating_price(ebi_comparing *c, size_t house, const void *item) {
  (void)house;
  return price(c, &((const eb_house *)item)->heating);
}

static const ebi_compare_field rules_fields[] = {MADE(rules_name, "rule set")};

static const ebi_compare_field house_fields[] = {
    WORD(eb_house, currency, "currency"),
    GIVEN(eb_house, bedrooms, "bedrooms", "number"),
    GIVEN(eb_house, people, "people", "number"),
    GIVEN(eb_house, floor_area, "floor area", "m2"),
    GIVEN(eb_house, volume, "volume", "m3"),
    GIVEN(eb_house, storeys, "storeys", "number"),
    MADE(climate_name, "climate"),
    GIVEN(eb_house, altitude, "altitude", "m"),
    GIVEN(eb_house, indoor, "indoor", "C"),
    GIVEN(eb_house, outdoor, "outdoor", "C"),
    GIVEN(eb_house, heat_loss, "heat loss of the fabric", "W/K"),
    GIVEN(eb_house, gains, "gains", "W"),
    GIVEN(eb_house, n50, "leakage at 50 Pa", "1/h"),
    GIVEN(eb_house, q50, "leakage at 50 Pa by area", "m3/(s.m2)"),
    WORD(eb_house, shielding, "shielding"),
    WORD(eb_house, set_level, "valves are set at"),
    MADE(leakage_class, "duct leakage class"),
    MADE(baseline_name, "baseline"),
    MADE(electricity_price, "price of electricity"),
    MADE(heating_price, "price of heating"),
    GIVEN(eb_house, parts.years, "years of the life cycle", "number"),
    GIVEN(eb_house, parts.interest, "interest", "1"),
};

/* ---- The unit ---- */

static const void *the_unit(const eb_house *house, size_t *count) {
  *count = house->unit != NULL;
  return house->unit;
}

static const char *unit_name(ebi_comparing *c, size_t house, const void *item) {
  const ebi_unit *unit = item;
  (void)c, (void)house;
  return unit->entry.name != NULL && *unit->entry.name != '\0' ? unit->entry.name : "its own";
}

static bool same_points(const ebi_fan_curve_data *a, const ebi_fan_curve_data *b) {
  if (a->speed != b->speed || a->n_points != b->n_points)
    return false;
  for (size_t i = 0; i < a->n_points; i++) {
    const ebi_fan_point *p = &a->points[i], *q = &b->points[i];
    if (p->flow != q->flow || p->pressure != q->pressure ||
        !(p->power == q->power || (isnan(p->power) && isnan(q->power))))
      return false;
  }
  return true;
}

static bool same_fan(const ebi_fan_data *a, const ebi_fan_data *b) {
  if (a->n_curves != b->n_curves || a->static_basis != b->static_basis ||
      a->power_both != b->power_both || a->mode != b->mode)
    return false;
  for (size_t i = 0; i < a->n_curves; i++)
    if (!same_points(&a->curves[i], &b->curves[i]))
      return false;
  return true;
}

static bool same_fans(const ebi_unit *a, const ebi_unit *b) {
  return same_fan(&a->supply_fan, &b->supply_fan) && same_fan(&a->extract_fan, &b->extract_fan);
}

/* Curves have no name: they are numbered as they are met. */
static const char *fan_curves(ebi_comparing *c, size_t house, const void *item) {
  int number = 1;
  for (size_t i = 0; i < house; i++) {
    const ebi_unit *other = c->inputs[i].house->unit;
    if (other == NULL)
      continue;
    if (same_fans(other, item))
      return fan_curves(c, i, other);
    bool met = false;
    for (size_t j = 0; j < i && !met; j++)
      met = c->inputs[j].house->unit != NULL && same_fans(c->inputs[j].house->unit, other);
    number += !met;
  }
  const char *text = ebi_arena_format(c->scratch, "curves %d", number);
  c->failed = c->failed || text == NULL;
  return text;
}

static const ebi_compare_field unit_fields[] = {
    {.what = "name", .unit = "", .type = EBI_COMPARE_MADE, .make = unit_name, .always = true},
    NUMBER(ebi_unit, temperature_ratio, "temperature ratio", "1"),
    NUMBER(ebi_unit, moisture_ratio, "moisture ratio", "1"),
    NUMBER(ebi_unit, standby, "standby", "W"),
    MADE(fan_curves, "fans"),
};

/* ---- Levels and rooms ---- */

static const void *the_levels(const eb_house *house, size_t *count) {
  *count = house->n_levels;
  return house->levels;
}

static const char *level_share(ebi_comparing *c, size_t house, const void *item) {
  const ebi_level *level = item;
  (void)house;
  if (!level->share.given)
    return "by the rules";
  const char *text = ebi_arena_format(c->scratch, "%s%.6g %% of normal",
                                      level->at_least ? "at least " : "", 100 * level->share.value);
  c->failed = c->failed || text == NULL;
  return text;
}

static const ebi_compare_field level_fields[] = {
    {.what = "flow", .unit = "", .type = EBI_COMPARE_MADE, .make = level_share, .always = true},
    GIVEN(ebi_level, hours_per_day, "hours a day", "h"),
};

static const void *the_rooms(const eb_house *house, size_t *count) {
  *count = house->n_rooms;
  return house->rooms;
}

static const char *room_uses(ebi_comparing *c, size_t house, const void *item) {
  const ebi_room *room = item;
  const char *text = room->n_uses > 0 ? room->uses[0] : NULL;
  (void)house;
  for (size_t u = 1; u < room->n_uses && text != NULL; u++)
    text = ebi_arena_format(c->scratch, "%s, %s", text, room->uses[u]);
  c->failed = c->failed || (room->n_uses > 0 && text == NULL);
  return text;
}

static const ebi_compare_field room_fields[] = {
    {.what = "use", .unit = "", .type = EBI_COMPARE_MADE, .make = room_uses, .always = true},
    {.what = "area",
     .unit = "m2",
     .type = EBI_COMPARE_GIVEN,
     .offset = offsetof(ebi_room, area),
     .always = true},
    GIVEN(ebi_room, height, "height", "m"),
    GIVEN(ebi_room, volume, "volume", "m3"),
    {.what = "storey",
     .unit = "number",
     .type = EBI_COMPARE_COUNT,
     .offset = offsetof(ebi_room, storey)},
    GIVEN(ebi_room, sleepers, "sleepers", "number"),
    GIVEN(ebi_room, sound_limit, "sound limit", "dB"),
    GIVEN(ebi_room, supply.normal, "own supply", "m3/s"),
    GIVEN(ebi_room, supply.boost, "own supply at boost", "m3/s"),
    GIVEN(ebi_room, extract.normal, "own extract", "m3/s"),
    GIVEN(ebi_room, extract.boost, "own extract at boost", "m3/s"),
    YES_NO(ebi_room, outside_wall, "outside wall"),
    YES_NO(ebi_room, openable_window, "openable window"),
    YES_NO(ebi_room, hood_to_outside, "hood to outside"),
};

/* ---- Runs and junctions ---- */

static const void *the_runs(const eb_house *house, size_t *count) {
  *count = house->n_runs;
  return house->runs;
}

static const char *run_air(ebi_comparing *c, size_t house, const void *item) {
  static const char *const airs[] = {"outdoor", "supply", "extract", "exhaust"};
  (void)c, (void)house;
  return airs[((const ebi_run *)item)->air];
}

static const ebi_compare_field run_fields[] = {
    MADE(run_air, "air"),
    WORD(ebi_run, from, "from"),
    WORD(ebi_run, to, "to"),
    {.what = "duct",
     .unit = "",
     .type = EBI_COMPARE_MADE,
     .make = ebi_compare_duct_text,
     .always = true},
    MADE(ebi_compare_tubes_text, "tubes"),
    {.what = "length",
     .unit = "m",
     .type = EBI_COMPARE_DOUBLE,
     .offset = offsetof(ebi_run, length),
     .always = true},
    MADE(ebi_compare_fittings_text, "fittings"),
    MADE(ebi_compare_valve_text, "valve"),
    GIVEN(ebi_run, share, "share", "1"),
    GIVEN(ebi_run, rise, "rise", "m"),
    GIVEN(ebi_run, stretched, "stretched", "1"),
    GIVEN(ebi_run, crushed_height, "crushed to", "1"),
    GIVEN(ebi_run, crushed_length, "crushed over", "m"),
    GIVEN(ebi_run, insulation_thickness, "insulation", "m"),
    GIVEN(ebi_run, insulation_conductivity, "conductivity", "W/(m.K)"),
    GIVEN(ebi_run, space_temperature, "space around", "C"),
};

static const void *the_junctions(const eb_house *house, size_t *count) {
  *count = house->n_junctions;
  return house->junctions;
}

static const char *junction_kind(ebi_comparing *c, size_t house, const void *item) {
  static const char *const kinds[] = {"as guessed", "box", "tee", "wye"};
  (void)c, (void)house;
  return kinds[((const ebi_junction *)item)->kind];
}

static const ebi_compare_field junction_fields[] = {
    {.what = "kind", .unit = "", .type = EBI_COMPARE_MADE, .make = junction_kind, .always = true},
    WORD(ebi_junction, straight, "straight"),
    NUMBER(ebi_junction, angle, "angle", "deg"),
};

#define FIELDS(list) .fields = (list), .n_fields = COUNT_OF(list)

const ebi_compare_section ebi_compare_sections[] = {
    {"rules", the_house, sizeof(eb_house), NAMELESS, FIELDS(rules_fields)},
    {"house", the_house, sizeof(eb_house), NAMELESS, FIELDS(house_fields)},
    {"unit", the_unit, sizeof(ebi_unit), NAMELESS, FIELDS(unit_fields)},
    {"level", the_levels, sizeof(ebi_level), offsetof(ebi_level, name), FIELDS(level_fields)},
    {"room", the_rooms, sizeof(ebi_room), offsetof(ebi_room, name), FIELDS(room_fields)},
    {"run", the_runs, sizeof(ebi_run), offsetof(ebi_run, name), FIELDS(run_fields)},
    {"junction", the_junctions, sizeof(ebi_junction), offsetof(ebi_junction, name),
     FIELDS(junction_fields)},
};
const size_t ebi_compare_n_sections = COUNT_OF(ebi_compare_sections);
