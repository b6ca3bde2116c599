/* read_climate.c - a climate from its file */

#include <string.h>

#include "input/load.h"

/* A common year; February of a mean of years is taken as 28 days. */
static const double month_days[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

#define COLDEST -80.0
#define HOTTEST 60.0
#define STRONGEST 60.0 /* m/s */

typedef struct months {
  ebi_given month[12];
} months;

/* What the file gives, before it becomes a climate. */
typedef struct climate_keys {
  ebi_given latitude, altitude, hitchin_k;
  months mean, wind;
} climate_keys;

/* A list of twelve quantities, January first. */
static void read_months(ebi_reader *reader, const ebi_yaml *value, ebi_kind kind, double low,
                        double high, months *list) {
  if (value->kind != EBI_YAML_SEQUENCE || value->count != 12) {
    ebi_read_error(reader, value, "not-twelve",
                   "here stands a list of twelve, one for each month from January, [4.3 %s, ...]",
                   ebi_quantity_show(0.0, kind).unit);
    return;
  }
  for (size_t i = 0; i < 12; i++)
    (void)ebi_read_given(reader, value->items[i], kind, low, high, &list->month[i]);
}

static void read_means(ebi_reader *reader, const ebi_yaml *value, void *record) {
  climate_keys *keys = record;
  read_months(reader, value, EBI_TEMPERATURE, COLDEST, HOTTEST, &keys->mean);
}

static void read_winds(ebi_reader *reader, const ebi_yaml *value, void *record) {
  climate_keys *keys = record;
  read_months(reader, value, EBI_SPEED, 0.0, STRONGEST, &keys->wind);
}

static const ebi_field climate_fields[] = {
    {.key = "table", .type = EBI_FIELD_IGNORED},
    {.key = "title", .type = EBI_FIELD_IGNORED},
    {.key = "source", .type = EBI_FIELD_IGNORED},
    {.key = "known", .type = EBI_FIELD_IGNORED},
    {.key = "latitude",
     .type = EBI_FIELD_QUANTITY,
     .offset = offsetof(climate_keys, latitude),
     .kind = EBI_ANGLE,
     .low = -90.0,
     .high = 90.0,
     .about = "degrees north"},
    {.key = "altitude",
     .type = EBI_FIELD_QUANTITY,
     .offset = offsetof(climate_keys, altitude),
     .kind = EBI_LENGTH,
     .low = -500.0,
     .high = 6000.0,
     .about = "of the station"},
    {.key = "hitchin_k",
     .type = EBI_FIELD_QUANTITY,
     .required = true,
     .offset = offsetof(climate_keys, hitchin_k),
     .kind = EBI_NUMBER,
     .low = 0.2,
     .high = 2.0,
     .about = "1/K: how sharply a month's days gather about its mean; 0.71 in the United Kingdom"},
    {.key = "mean_temperature",
     .type = EBI_FIELD_CUSTOM,
     .required = true,
     .read = read_means,
     .about = "outdoor air, twelve means of months from January"},
    {.key = "wind",
     .type = EBI_FIELD_CUSTOM,
     .read = read_winds,
     .about = "twelve mean speeds from January"}};

static const void *read_climate(ebi_reader *reader, const ebi_document *document,
                                const char *name) {
  ebi_climate *climate = EBI_NEW(reader->arena, ebi_climate);
  if (climate == NULL)
    return NULL;
  climate_keys keys;
  memset(&keys, 0, sizeof keys);
  ebi_entry_read(reader, document, name, &climate->entry);
  ebi_fields_read(reader, document->root, "a climate", climate_fields,
                  sizeof climate_fields / sizeof climate_fields[0], &keys);
  for (int i = 0; i < 12; i++) {
    climate->mean_c[i] = keys.mean.month[i].value;
    climate->days[i] = month_days[i];
    climate->wind_m_s[i] = keys.wind.month[i];
  }
  climate->hitchin_k = keys.hitchin_k.value;
  climate->latitude = keys.latitude.value;
  climate->altitude_m = keys.altitude.value;
  return climate;
}

const ebi_climate *ebi_climate_load(ebi_reader *asking, const ebi_yaml *value) {
  size_t length = value->kind == EBI_YAML_SCALAR ? value->length : 0;
  if (length > 4 && strcmp(value->text + length - 4, ".csv") == 0) {
    ebi_read_error(asking, value, "climate-csv",
                   "a climate is read from YAML with twelve monthly means, not from CSV; the file "
                   "`nottingham.yaml` among the tables shows the form");
    return NULL;
  }
  return ebi_table_load(asking, value, "climates", read_climate);
}
