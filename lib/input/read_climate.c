/* read_climate.c - a climate from its file: YAML, or the CSV of a year alone */

#include "input/read_climate.h"

#include <math.h>
#include <string.h>

#include "input/load.h"
#include "input/read_weather.h"
#include "input/tables_find.h"
#include "model/calendar.h"
#include "model/climate.h"
#include "physics/degree_days.h"
#include "physics/degree_days_normal.h"

#define STRONGEST 60.0 /* m/s */

void ebi_twelve_read(ebi_reader *reader, const ebi_yaml *value, ebi_kind kind, double low,
                     double high, ebi_twelve *twelve) {
  if (value->kind != EBI_YAML_SEQUENCE || value->count != 12) {
    ebi_read_error(reader, value, "not-twelve",
                   "here stands a list of twelve, one for each month from January, [4.3 %s, ...]",
                   ebi_quantity_show(0.0, kind).unit);
    return;
  }
  twelve->given = true;
  for (size_t i = 0; i < 12; i++)
    twelve->given = ebi_read_given(reader, value->items[i], kind, low, high, &twelve->month[i]) &&
                    twelve->given;
}

static void read_means(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_twelve_read(reader, value, EBI_TEMPERATURE, EBI_WEATHER_COLDEST, EBI_WEATHER_HOTTEST,
                  &((ebi_climate_keys *)record)->mean);
}

static void read_winds(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_twelve_read(reader, value, EBI_SPEED, 0.0, STRONGEST, &((ebi_climate_keys *)record)->wind);
}

static void read_humidities(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_twelve_read(reader, value, EBI_RATIO, 0.01, 1.0, &((ebi_climate_keys *)record)->humidity);
}

/* One for all months, or twelve. */
static void read_deviations(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_twelve *twelve = &((ebi_climate_keys *)record)->deviation;
  if (value->kind != EBI_YAML_SCALAR) {
    ebi_twelve_read(reader, value, EBI_TEMPERATURE_DIFFERENCE, 0.5, 15.0, twelve);
    return;
  }
  twelve->given =
      ebi_read_given(reader, value, EBI_TEMPERATURE_DIFFERENCE, 0.5, 15.0, &twelve->month[0]);
  for (size_t i = 1; i < 12; i++)
    twelve->month[i] = twelve->month[0];
}

static const char *const methods[] = {"hitchin", "iso-15927-6", "schoenau-kehrig", "erbs", NULL};
static const char *const stamps[] = {"start", "end", NULL};
static const char *const gap_words[] = {"interpolate", NULL};
static const char *const surfaces[] = {"water", "ice", NULL};

static const ebi_field climate_fields[] = {
    EBI_ENTRY_FIELDS,
    {.key = "latitude",
     .type = EBI_FIELD_QUANTITY,
     .offset = offsetof(ebi_climate_keys, latitude),
     .kind = EBI_ANGLE,
     .low = -90.0,
     .high = 90.0,
     .about = "degrees north"},
    {.key = "altitude",
     .type = EBI_FIELD_QUANTITY,
     .offset = offsetof(ebi_climate_keys, altitude),
     .kind = EBI_LENGTH,
     .low = -500.0,
     .high = 6000.0,
     .about = "of the station"},
    {.key = "hitchin_k",
     .type = EBI_FIELD_QUANTITY,
     .offset = offsetof(ebi_climate_keys, hitchin_k),
     .kind = EBI_NUMBER,
     .low = 0.2,
     .high = 2.0,
     .about = "1/K: how sharply a month's days gather about its mean; 0.71 in the United Kingdom"},
    {.key = "method",
     .type = EBI_FIELD_WORD,
     .offset = offsetof(ebi_climate_keys, method),
     .words = methods,
     .about = "from monthly means to degree-days: hitchin, iso-15927-6, schoenau-kehrig or erbs"},
    {.key = "deviation",
     .type = EBI_FIELD_CUSTOM,
     .read = read_deviations,
     .about = "standard deviation of a month's daily means, one or twelve"},
    {.key = "mean_temperature",
     .type = EBI_FIELD_CUSTOM,
     .read = read_means,
     .about = "outdoor air, twelve means of months from January"},
    {.key = "degree_days",
     .type = EBI_FIELD_CUSTOM,
     .read = ebi_climate_degree_days_read,
     .about = "instead: base, rule and twelve sums of months"},
    {.key = "hours",
     .type = EBI_FIELD_TEXT,
     .offset = offsetof(ebi_climate_keys, hours),
     .about = "instead: a CSV file of a year's hours"},
    {.key = "days",
     .type = EBI_FIELD_TEXT,
     .offset = offsetof(ebi_climate_keys, days),
     .about = "instead: a CSV file of a year's daily extremes"},
    {.key = "stamp",
     .type = EBI_FIELD_WORD,
     .offset = offsetof(ebi_climate_keys, stamp),
     .words = stamps,
     .about = "a time stamp is of the start or the end of its hour; start"},
    {.key = "gaps",
     .type = EBI_FIELD_WORD,
     .offset = offsetof(ebi_climate_keys, gaps),
     .words = gap_words,
     .about = "interpolate: up to 24 missing hours are filled, in runs of up to 6"},
    {.key = "humidity",
     .type = EBI_FIELD_CUSTOM,
     .read = read_humidities,
     .about = "of outdoor air, twelve means from January, 88 %"},
    {.key = "humidity_over",
     .type = EBI_FIELD_WORD,
     .offset = offsetof(ebi_climate_keys, humidity_over),
     .words = surfaces,
     .about = "what it is counted over below 0 C: water, as weather stations do, or ice"},
    {.key = "wind",
     .type = EBI_FIELD_CUSTOM,
     .read = read_winds,
     .about = "twelve mean speeds from January"}};

/* ---- What there must be ------------------------------------------------- */

/* False where nothing, or more than one, gives the temperatures. */
static bool one_weather(ebi_reader *reader, const ebi_yaml *root) {
  static const char *const ways[] = {"mean_temperature", "degree_days", "hours", "days"};
  const ebi_yaml *first = NULL;
  const char *named = NULL;
  for (size_t i = 0; i < sizeof ways / sizeof ways[0]; i++) {
    const ebi_yaml *value = ebi_yaml_get(root, ways[i]);
    if (value != NULL && first != NULL) {
      ebi_read_error(reader, value, "climate-twice",
                     "\"%s\" stands beside \"%s\": one of them gives the temperatures", ways[i],
                     named);
      return false;
    }
    if (value != NULL) {
      first = value;
      named = ways[i];
    }
  }
  if (first == NULL)
    ebi_read_error(reader, root, "key-missing",
                   "one of these is missing: \"mean_temperature\", \"degree_days\", \"hours\" or "
                   "\"days\"");
  return first != NULL;
}

/* Keys that say how hours are read, where there are none. */
static void only_of_hours(ebi_reader *reader, const ebi_yaml *root) {
  static const char *const keys[] = {"stamp", "gaps"};
  for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
    const ebi_yaml *value = ebi_yaml_get(root, keys[i]);
    if (value != NULL && ebi_yaml_get(root, "hours") == NULL)
      ebi_read_error(reader, value, "climate-hours", "\"%s\" is of `hours:`, which is not here",
                     keys[i]);
  }
}

/* ---- Weather ------------------------------------------------------------ */

static void read_file(ebi_reader *reader, const ebi_yaml *root, const ebi_climate_keys *keys,
                      ebi_climate *climate) {
  const char *name = keys->hours ? keys->hours : keys->days;
  const char *path = ebi_path_beside(reader->arena, reader->file, name);
  ebi_weather_choices choices = {
      .stamp_end = keys->stamp != NULL && strcmp(keys->stamp, "end") == 0,
      .interpolate = keys->gaps != NULL,
      .over_ice = keys->humidity_over != NULL && strcmp(keys->humidity_over, "ice") == 0,
      .beside_yaml = true};
  if (path == NULL)
    ebi_read_memory(reader, root);
  else if (keys->hours)
    ebi_weather_hours(reader, path, &choices, climate);
  else
    ebi_weather_days(reader, path, climate);
}

static void take_months(const ebi_climate_keys *keys, ebi_climate *climate) {
  for (int i = 0; i < 12; i++) {
    climate->mean_c[i] = keys->mean.month[i].value;
    climate->days[i] = ebi_month_days(i, false);
    climate->wind_m_s[i] = keys->wind.month[i];
    climate->humidity[i] = keys->humidity.month[i];
  }
}

/* What the list of humidities says is counted like that of hours. */
static void count_over_ice(const ebi_climate_keys *keys, ebi_climate *climate) {
  for (int i = 0; i < 12; i++)
    if (keys->humidity.month[i].given &&
        (keys->humidity_over == NULL || strcmp(keys->humidity_over, "ice") != 0))
      climate->humidity[i].value =
          ebi_humidity_over_ice(climate->mean_c[i], keys->humidity.month[i].value);
}

/* The daily spread by the rule, and that it can be. */
static void spread_by_erbs(ebi_reader *reader, const ebi_yaml *root, ebi_climate *climate) {
  for (int i = 0; i < 12; i++) {
    double spread =
        ebi_erbs_deviation(climate->mean_c[i], climate->days[i], climate->yearly_deviation);
    if (!(spread > 0.0)) {
      ebi_read_error(reader, root, "climate-method", "erbs does not hold for months of %.4g C",
                     climate->mean_c[i]);
      return;
    }
    if (climate->n_days == 0)
      climate->deviation[i] = spread;
  }
  climate->hitchin_k = ebi_degree_days_spread(climate->deviation[0]);
}

static void read_weather(ebi_reader *reader, const ebi_yaml *root, const ebi_climate_keys *keys,
                         ebi_climate *climate) {
  size_t mark = ebi_diag_errors(reader->context);
  take_months(keys, climate);
  if (keys->hours || keys->days)
    read_file(reader, root, keys, climate);
  if (ebi_diag_errors(reader->context) == mark)
    ebi_climate_month_rule(reader, root, keys, climate);
  if (ebi_diag_errors(reader->context) != mark)
    return;
  if (keys->of_degree_days)
    ebi_climate_means(reader, keys, climate);
  ebi_climate_of_months(climate);
  if (climate->month_rule == EBI_MONTH_ERBS)
    spread_by_erbs(reader, root, climate);
  count_over_ice(keys, climate);
}

/* ---- The file ----------------------------------------------------------- */

/* A year of the user's own, with the defaults. */
static void read_bare(ebi_reader *reader, const char *name, ebi_climate *climate) {
  ebi_weather_choices choices = {0};
  ebi_climate_keys keys = {0};
  size_t mark = ebi_diag_errors(reader->context);
  climate->entry = (ebi_entry){name, name, {"the user's own file", "read"}, {reader->file, 1, 1}};
  ebi_weather_hours(reader, reader->file, &choices, climate);
  if (ebi_diag_errors(reader->context) == mark)
    ebi_climate_month_rule(reader, NULL, &keys, climate);
}

static const void *read_climate(ebi_reader *reader, const ebi_document *document,
                                const char *name) {
  ebi_climate *climate = EBI_NEW(reader->arena, ebi_climate);
  if (climate == NULL)
    return NULL;
  if (document == NULL) {
    read_bare(reader, name, climate);
    return climate;
  }
  ebi_climate_keys keys;
  memset(&keys, 0, sizeof keys);
  size_t mark = ebi_diag_errors(reader->context);
  ebi_entry_read(reader, document, name, &climate->entry);
  ebi_fields_read(reader, document->root, "a climate", climate_fields,
                  sizeof climate_fields / sizeof climate_fields[0], &keys);
  climate->latitude = keys.latitude.value;
  climate->altitude_m = keys.altitude.value;
  only_of_hours(reader, document->root);
  if (one_weather(reader, document->root) && ebi_diag_errors(reader->context) == mark)
    read_weather(reader, document->root, &keys, climate);
  return climate;
}

const ebi_climate *ebi_climate_load(ebi_reader *asking, const ebi_yaml *value) {
  return ebi_table_load(asking, value, "climates", read_climate);
}
