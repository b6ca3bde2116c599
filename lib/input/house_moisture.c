/* house_moisture.c - `moisture:`, where water comes from, what carries it off, where it does harm
 *
 *   moisture:
 *     production: 8 kg/day
 *     surface_factor: 75 %
 *     boost: {minutes: 20 min, per_day: 4, humidity: 65 %}
 */

#include "input/house_read.h"

static const ebi_field boost_fields[] = {
    {.key = "minutes",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_TIME,
     .high = 3600,
     .offset = offsetof(ebi_moisture, boost_minutes),
     .about = "that a boost runs on after it is called, e.g. 20 min; up to 60"},
    {.key = "per_day",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_NUMBER,
     .high = 48,
     .offset = offsetof(ebi_moisture, boosts_per_day),
     .about = "how often it is called"},
    {.key = "humidity",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_RATIO,
     .low = 0.2,
     .high = 0.95,
     .offset = offsetof(ebi_moisture, boost_humidity),
     .about = "relative humidity indoors that calls it"},
};

static const ebi_field moisture_fields[] = {
    {.key = "production",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_WATER_PER_DAY,
     .low = 0.01,
     .high = 1000,
     .offset = offsetof(ebi_moisture, production),
     .about = "of vapour, by people, cooking, washing and plants; by people where not said"},
    {.key = "surface_factor",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_RATIO,
     .low = 0.1,
     .high = 1,
     .offset = offsetof(ebi_moisture, surface_factor),
     .about = "fRsi of the coldest place: how near its surface is to the rooms' temperature"},
    {.key = "boost",
     .type = EBI_FIELD_MAPPING,
     .what = "the boost",
     EBI_TABLE(boost_fields),
     .about = "called by humidity: {minutes, per_day, humidity}"},
};

const ebi_field ebi_moisture_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(moisture_fields)};

void ebi_house_read_moisture(ebi_reader *reader, const ebi_yaml *value) {
  ebi_moisture *moisture = &ebi_reading(reader)->house->moisture;
  ebi_fields_read(reader, value, "the moisture", moisture_fields, EBI_COUNT_OF(moisture_fields),
                  moisture);
  moisture->given = true;
  moisture->where = value->where;
}
