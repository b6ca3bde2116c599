/* house_summer.c - `summer:`, when air is to cool
 *
 *   summer: {limit: 25 C, gains: 600 W, capacity: 8 kWh/K, level: cooling}
 */

#include <string.h>

#include "input/house_read.h"
#include "input/quote.h"

static const ebi_field summer_fields[] = {
    {.key = "limit",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_TEMPERATURE,
     .low = 20,
     .high = 40,
     .offset = offsetof(ebi_summer, limit),
     .about = "indoors, that is not to be passed"},
    {.key = "gains",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_POWER,
     .high = 1e6,
     .offset = offsetof(ebi_summer, gains),
     .about = "of sun, people and appliances, mean of a summer's day and night"},
    {.key = "capacity",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_HEAT_CAPACITY,
     .low = 3.6e4,
     .high = 3.6e10,
     .offset = offsetof(ebi_summer, capacity),
     .about = "heat that the house stores for each kelvin, e.g. 8 kWh/K"},
    {.key = "level",
     .type = EBI_FIELD_TEXT,
     .offset = offsetof(ebi_summer, level),
     .about = "that the unit runs at while cool air is let in; cooling where there is one"},
};

static bool is_level(const eb_house *house, const char *name) {
  if (strcmp(name, "normal") == 0 || strcmp(name, "boost") == 0)
    return true;
  for (size_t i = 0; i < house->n_levels; i++)
    if (strcmp(house->levels[i].name, name) == 0)
      return true;
  return false;
}

const ebi_field ebi_summer_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(summer_fields)};

void ebi_house_read_summer(ebi_reader *reader, const ebi_yaml *value) {
  const eb_house *house = ebi_reading(reader)->house;
  ebi_summer *summer = &ebi_reading(reader)->house->summer;
  ebi_fields_read(reader, value, "the summer", summer_fields, EBI_COUNT_OF(summer_fields), summer);
  summer->given = true;
  summer->where = value->where;
  const ebi_yaml *level = ebi_yaml_get(value, "level");
  if (level && summer->level[0] && !is_level(house, summer->level))
    ebi_read_error(reader, level, "level-unknown",
                   "there is no level \"%s\": it is normal, boost or one under levels",
                   ebi_quote(summer->level).text);
}
