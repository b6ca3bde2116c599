/* house_sizing.c - `sizing:`, by what the sizes of ducts are chosen
 *
 *   sizing:
 *     method: life-cycle
 *     velocity: {main: 3 m/s, branch: 2.5 m/s, terminal: 2 m/s}
 *     friction: 0.7 Pa/m
 *     pressure_at_most: 80 Pa
 *     hours: 24 h/day
 *     never_larger: yes
 */

#include "input/house_read.h"

/* In the order of eb_sizing, after EB_SIZING_AS_GIVEN. */
static const char *const methods[] = {"life-cycle", "equal-friction", "velocity", "static-regain",
                                      NULL};

static const ebi_field velocity_fields[] = {
    {.key = "main",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_SPEED,
     .low = 0.1,
     .high = 50,
     .offset = offsetof(ebi_sizing, main_velocity),
     .about = "most in runs at the unit or outdoors, e.g. 3 m/s"},
    {.key = "branch",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_SPEED,
     .low = 0.1,
     .high = 50,
     .offset = offsetof(ebi_sizing, branch_velocity),
     .about = "most between junctions"},
    {.key = "terminal",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_SPEED,
     .low = 0.1,
     .high = 50,
     .offset = offsetof(ebi_sizing, terminal_velocity),
     .about = "most in runs that end at a room"},
};

static const ebi_field sizing_fields[] = {
    {.key = "method",
     .type = EBI_FIELD_WORD,
     .words = methods,
     .offset = offsetof(ebi_sizing, method),
     .about = "life-cycle, equal-friction, velocity or static-regain"},
    {.key = "velocity",
     .type = EBI_FIELD_MAPPING,
     .what = "velocity",
     EBI_TABLE(velocity_fields),
     .about = "the most there may be at the set level: {main, branch, terminal}"},
    {.key = "friction",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_PRESSURE_PER_LENGTH,
     .low = 0.01,
     .high = 100,
     .offset = offsetof(ebi_sizing, friction),
     .about = "of equal friction, e.g. 0.7 Pa/m"},
    {.key = "pressure_at_most",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_PRESSURE,
     .low = 1,
     .high = 10000,
     .offset = offsetof(ebi_sizing, pressure),
     .about = "of each fan at the set level, spigot to spigot"},
    {.key = "hours",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_HOURS_PER_DAY,
     .low = 0.01,
     .high = 24,
     .offset = offsetof(ebi_sizing, hours),
     .about = "that the fans run, e.g. 24 h/day"},
    {.key = "never_larger",
     .type = EBI_FIELD_BOOL,
     .offset = offsetof(ebi_sizing, never_larger),
     .about = "no run larger than the one nearer the unit"},
};

const ebi_field ebi_sizing_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(sizing_fields)};

void ebi_house_read_sizing(ebi_reader *reader, const ebi_yaml *value) {
  ebi_sizing *sizing = &ebi_reading(reader)->house->sizing;
  ebi_fields_read(reader, value, "sizing", sizing_fields, EBI_COUNT_OF(sizing_fields), sizing);
  sizing->given = true;
  sizing->where = value->where;
}
