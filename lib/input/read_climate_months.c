/* read_climate_months.c - how degree-days follow from monthly means, and back */

#include "input/read_climate.h"

#include <math.h>
#include <string.h>

#include "input/quote.h"
#include "model/climate.h"
#include "numeric/root.h"
#include "physics/degree_days.h"
#include "physics/degree_days_normal.h"

/* ---- The month rule ----------------------------------------------------- */

static ebi_month_rule rule_of(const ebi_climate_keys *keys, const ebi_climate *climate) {
  if (keys->method == NULL)
    return climate->n_days > 0 && !keys->hitchin_k.given ? EBI_MONTH_ISO : EBI_MONTH_HITCHIN;
  if (strcmp(keys->method, "iso-15927-6") == 0)
    return EBI_MONTH_ISO;
  if (strcmp(keys->method, "schoenau-kehrig") == 0)
    return EBI_MONTH_NORMAL;
  return strcmp(keys->method, "erbs") == 0 ? EBI_MONTH_ERBS : EBI_MONTH_HITCHIN;
}

static void check_rule(ebi_reader *reader, const ebi_yaml *root, const ebi_climate_keys *keys,
                       const ebi_climate *climate) {
  bool by_days = climate->month_rule == EBI_MONTH_ISO || climate->month_rule == EBI_MONTH_NORMAL;
  if (climate->month_rule == EBI_MONTH_HITCHIN && !keys->hitchin_k.given)
    ebi_read_error(reader, root, "key-missing",
                   "\"hitchin_k\" is missing: 0.71 in the United Kingdom; or say `method:` "
                   "iso-15927-6 or schoenau-kehrig with `deviation:`, or erbs");
  if (by_days && climate->n_days == 0 && !keys->deviation.given)
    ebi_read_error(reader, root, "key-missing",
                   "\"deviation\" is missing: the standard deviation of a month's daily means, one "
                   "or twelve, about 3 K");
  if (climate->month_rule == EBI_MONTH_ERBS && keys->of_degree_days != NULL)
    ebi_read_error(reader, keys->of_degree_days, "climate-method",
                   "erbs needs monthly means; degree-days are turned back by hitchin, iso-15927-6 "
                   "or schoenau-kehrig");
}

void ebi_climate_month_rule(ebi_reader *reader, const ebi_yaml *root, const ebi_climate_keys *keys,
                            ebi_climate *climate) {
  climate->month_rule = rule_of(keys, climate);
  climate->hitchin_k = keys->hitchin_k.value;
  check_rule(reader, root, keys, climate);
  for (int i = 0; i < 12; i++) {
    if (keys->deviation.given)
      climate->deviation[i] = keys->deviation.month[i].value;
    else if (climate->n_days == 0 && keys->hitchin_k.given)
      climate->deviation[i] = ebi_degree_days_spread(climate->hitchin_k);
  }
  if (!keys->hitchin_k.given && climate->deviation[0] > 0.0)
    climate->hitchin_k = ebi_degree_days_spread(climate->deviation[0]);
}

/* ---- Degree-days -------------------------------------------------------- */

static const char *const of_base[] = {"hourly", "daily-mean", "min-max", "mean-of-min-max", NULL};

static void read_rule(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_climate_keys *keys = record;
  if (value->kind == EBI_YAML_SCALAR && strchr(value->text, '/') != NULL) /* 20/15, 20/12 */
    ebi_read_error(
        reader, value, "climate-jump",
        "\"%s\" sums indoor temperature less the day's over cold days alone: it jumps at "
        "the limit, has no base, and cannot be turned to another; take sums of base "
        "type, or the temperatures themselves",
        ebi_quote(value->text).text);
  else
    (void)ebi_read_word(reader, value, of_base, &keys->rule);
}

static void read_sums(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_twelve_read(reader, value, EBI_DEGREE_DAYS, 0.0, 4000.0,
                  &((ebi_climate_keys *)record)->degree_days);
}

static const ebi_field fields[] = {{.key = "base",
                                    .type = EBI_FIELD_QUANTITY,
                                    .required = true,
                                    .offset = offsetof(ebi_climate_keys, base),
                                    .kind = EBI_TEMPERATURE,
                                    .low = -10.0,
                                    .high = 30.0,
                                    .about = "they are below it: 15.5 C, 18 C, 65 F"},
                                   {.key = "rule",
                                    .type = EBI_FIELD_CUSTOM,
                                    .required = true,
                                    .read = read_rule,
                                    .about = "hourly, daily-mean, min-max or mean-of-min-max"},
                                   {.key = "months",
                                    .type = EBI_FIELD_CUSTOM,
                                    .required = true,
                                    .read = read_sums,
                                    .about = "twelve sums from January, 395 K.d"}};

void ebi_climate_degree_days_read(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_climate_keys *keys = record;
  keys->of_degree_days = value;
  ebi_fields_read(reader, value, "degree_days", fields, sizeof fields / sizeof fields[0], keys);
}

/* ---- Back to means ------------------------------------------------------ */

typedef struct month_sum {
  const ebi_climate *climate;
  int month;
  double base, degree_days;
} month_sum;

static double excess(double mean, void *data) {
  const month_sum *m = data;
  double days = m->climate->days[m->month], spread = m->climate->deviation[m->month];
  double sum = m->climate->month_rule == EBI_MONTH_NORMAL
                   ? eb_degree_days_normal(m->base, mean, days, spread)
               : m->climate->month_rule == EBI_MONTH_ISO
                   ? eb_degree_days_iso(m->base, mean, days, spread)
                   : eb_degree_days_monthly(m->base, mean, days, m->climate->hitchin_k);
  return sum - m->degree_days;
}

static bool turn_back(ebi_reader *reader, const ebi_yaml *node, month_sum *m, double *mean) {
  if (!(m->degree_days > 0.0)) {
    ebi_read_error(
        reader, node, "climate-no-degree-days",
        "a month without degree-days says only that it was warm: write a small one, such "
        "as half of the last figure (0.5 K.d)");
    return false;
  }
  eb_status status = ebi_root((ebi_function){excess, m}, -200.0, m->base + 60.0, 1e-10, mean);
  if (status == EB_E_MEMORY)
    ebi_read_memory(reader, node);
  else if (status)
    ebi_read_error(reader, node, "climate-no-mean",
                   "no mean temperature gives these degree-days by the month rule");
  return status == EB_OK;
}

void ebi_climate_means(ebi_reader *reader, const ebi_climate_keys *keys, ebi_climate *climate) {
  const ebi_yaml *list = ebi_yaml_get(keys->of_degree_days, "months");
  for (int i = 0; i < 12; i++) {
    month_sum m = {climate, i, keys->base.value, keys->degree_days.month[i].value};
    if (!turn_back(reader, list->items[i], &m, &climate->mean_c[i]))
      return;
  }
  climate->months_from = ebi_arena_format(reader->arena, "degree-days below %.4g C (%s)",
                                          keys->base.value, keys->rule);
  if (climate->months_from == NULL)
    ebi_read_memory(reader, list);
}
