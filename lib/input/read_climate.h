/* read_climate.h - what a climate's YAML file gives, before it becomes a climate */

#ifndef EBI_READ_CLIMATE_H
#define EBI_READ_CLIMATE_H

#include "input/fields.h"

typedef struct ebi_twelve {
  bool given;
  ebi_given month[12];
} ebi_twelve;

typedef struct ebi_climate_keys {
  ebi_given latitude, altitude, hitchin_k;
  ebi_twelve mean, wind, humidity, deviation;
  ebi_given base;   /* of the degree-days */
  const char *rule; /* of the degree-days */
  ebi_twelve degree_days;
  const ebi_yaml *of_degree_days; /* NULL where there are none */
  const char *hours, *days;       /* paths as written, or NULL */
  const char *method, *stamp, *gaps, *humidity_over;
} ebi_climate_keys;

/* The rule by which degree-days follow from monthly means, with what it needs. The climate has its
 * hours or days already. */
void ebi_climate_month_rule(ebi_reader *reader, const ebi_yaml *root, const ebi_climate_keys *keys,
                            ebi_climate *climate);

/* `degree_days:`, and the monthly means that they mean by the month rule. */
void ebi_climate_degree_days_read(ebi_reader *reader, const ebi_yaml *value, void *record);
void ebi_climate_means(ebi_reader *reader, const ebi_climate_keys *keys, ebi_climate *climate);

/* A list of twelve quantities, January first. */
void ebi_twelve_read(ebi_reader *reader, const ebi_yaml *value, ebi_kind kind, double low,
                     double high, ebi_twelve *twelve);

#endif
