/* house_site.c - where a house stands, what it loses, what it is compared with */

#include <math.h>

#include "input/house_read.h"
#include "input/quote.h"

/* ---- Site -------------------------------------------------------------- */

static void read_climate(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ((eb_house *)record)->climate = ebi_climate_load(reader, value);
}

static const ebi_field site_fields[] = {
    {.key = "climate",
     .type = EBI_FIELD_CUSTOM,
     .read = read_climate,
     EBI_HOLDS_TEXT,
     .about = "a climate of tables/climates, or a path to your own, YAML or CSV"},
    {.key = "altitude",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_LENGTH,
     .low = -500,
     .high = 9000,
     .offset = offsetof(eb_house, altitude),
     .about = "above the sea"},
    {.key = "indoor",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_TEMPERATURE,
     .low = 5,
     .high = 40,
     .offset = offsetof(eb_house, indoor),
     .about = "temperature inside"},
    {.key = "outdoor",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_TEMPERATURE,
     .low = -60,
     .high = 60,
     .offset = offsetof(eb_house, outdoor),
     .about = "temperature outside; then each duct has its own density"},
    {.key = "humidity",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_RATIO,
     .low = 0.01,
     .high = 1,
     .offset = offsetof(eb_house, indoor_humidity),
     .about = "relative, inside, e.g. 50 %"},
    {.key = "outdoor_humidity",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_RATIO,
     .low = 0.01,
     .high = 1,
     .offset = offsetof(eb_house, outdoor_humidity),
     .about = "relative, outside, e.g. 80 %"},
    {.key = "weather_factor",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_NUMBER,
     .high = 10,
     .offset = offsetof(eb_house, weather_factor),
     .about = "for rules that take off infiltration by it"},
    {.key = "exposed_facades",
     .type = EBI_FIELD_COUNT,
     .high = 10,
     .offset = offsetof(eb_house, exposed_facades),
     .about = "how many sides have openings to outside"},
    {.key = "co2",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_CONCENTRATION,
     .low = 1e-4,
     .high = 2e-3,
     .offset = offsetof(eb_house, co2),
     .about = "outside; 420 ppm where not said"},
};

const ebi_field ebi_site_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(site_fields)};

void ebi_house_read_site(ebi_reader *reader, const ebi_yaml *value) {
  ebi_fields_read(reader, value, "site", site_fields, EBI_COUNT_OF(site_fields),
                  ebi_reading(reader)->house);
}

/* ---- Envelope ---------------------------------------------------------- */

/* "1.0 ach" or "1.5 m3/(h.m2)", both at 50 Pa: the unit tells which. */
static void read_leakage(ebi_reader *reader, const ebi_yaml *value, void *record) {
  eb_house *house = record;
  if (value->kind == EBI_YAML_SCALAR) {
    ebi_quantity q50 = ebi_quantity_read(value->text, value->length, EBI_PERMEABILITY);
    if (q50.fault == EBI_QUANTITY_OK) {
      ebi_read_given(reader, value, EBI_PERMEABILITY, 0, 100.0 / 3600, &house->q50);
      return;
    }
    if (q50.fault == EBI_QUANTITY_NO_UNIT) {
      ebi_quoted text = ebi_quote(value->text);
      ebi_read_error(reader, value, "unit-missing",
                     "leakage \"%s\" has no unit: write \"%s ach\" (air changes an hour at 50 Pa) "
                     "or \"%s m3/(h.m2)\" (with envelope_area)",
                     text.text, text.text, text.text);
      return;
    }
  }
  ebi_read_given(reader, value, EBI_AIR_CHANGE, 0, 100, &house->n50);
}

#define MOST_GAINS 1e6 /* W */

/* "320 W", or a list of twelve. */
static void read_gains(ebi_reader *reader, const ebi_yaml *value, void *record) {
  eb_house *house = record;
  double sum = 0.0;
  if (value->kind != EBI_YAML_SEQUENCE) {
    ebi_read_given(reader, value, EBI_POWER, 0, MOST_GAINS, &house->gains);
    return;
  }
  if (value->count != 12) {
    ebi_read_error(reader, value, "list-length",
                   "`gains:` is one power, such as 320 W, or a list of twelve, January first; this "
                   "list has %zu",
                   value->count);
    return;
  }
  for (size_t i = 0; i < 12; i++) {
    if (!ebi_read_given(reader, value->items[i], EBI_POWER, 0, MOST_GAINS,
                        &house->gains_of_month[i]))
      return;
    sum += house->gains_of_month[i].value;
  }
  house->gains = (ebi_given){sum / 12.0, true, value->where};
}

static const char *const shieldings[] = {"none", "normal", "heavy", NULL};

static const ebi_field envelope_fields[] = {
    {.key = "heat_loss",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_HEAT_LOSS,
     .low = 1,
     .high = 1e5,
     .offset = offsetof(eb_house, heat_loss),
     .about = "of the fabric alone, without air"},
    {.key = "gains",
     .type = EBI_FIELD_CUSTOM,
     .read = read_gains,
     EBI_HOLDS(.type = EBI_FIELD_EITHER,
               EBI_SEVERAL(
                   {.type = EBI_FIELD_QUANTITY, .kind = EBI_POWER, .low = 0, .high = MOST_GAINS},
                   {.type = EBI_FIELD_LIST,
                    .least = 12,
                    .most = 12,
                    EBI_ONE(.type = EBI_FIELD_QUANTITY, .kind = EBI_POWER, .low = 0,
                            .high = MOST_GAINS)})),
     .about = "mean useful gains in the heating season, or a list of twelve, January first"},
    {.key = "leakage",
     .type = EBI_FIELD_CUSTOM,
     .read = read_leakage,
     EBI_HOLDS(.type = EBI_FIELD_EITHER,
               EBI_SEVERAL(
                   {.type = EBI_FIELD_QUANTITY, .kind = EBI_AIR_CHANGE, .low = 0, .high = 100},
                   {.type = EBI_FIELD_QUANTITY,
                    .kind = EBI_PERMEABILITY,
                    .low = 0,
                    .high = 100.0 / 3600})),
     .about = "at 50 Pa, in ach or m3/(h.m2)"},
    {.key = "envelope_area",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_AREA,
     .low = 1,
     .high = 1e6,
     .offset = offsetof(eb_house, envelope_area),
     .about = "that a leakage in m3/(h.m2) is of"},
    {.key = "shielding",
     .type = EBI_FIELD_WORD,
     .words = shieldings,
     .offset = offsetof(eb_house, shielding),
     .about = "from wind: none, normal or heavy"},
};

const ebi_field ebi_envelope_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(envelope_fields)};

void ebi_house_read_envelope(ebi_reader *reader, const ebi_yaml *value) {
  eb_house *house = ebi_reading(reader)->house;
  ebi_fields_read(reader, value, "envelope", envelope_fields, EBI_COUNT_OF(envelope_fields), house);
  if (house->q50.given && !ebi_yaml_get(value, "envelope_area"))
    ebi_read_error(reader, ebi_yaml_get(value, "leakage"), "key-missing",
                   "leakage in m3/(h.m2) needs the envelope_area it is of, for example "
                   "envelope_area: 240 m2");
}

/* ---- What the energy is compared with ---------------------------------- */

static void read_baseline_kind(ebi_reader *reader, const ebi_yaml *value, void *record) {
  eb_house *house = record;
  house->baseline_where = value->where;
  house->baseline = ebi_baseline_load(reader, value);
}

static const ebi_field baseline_fields[] = {
    {.key = "kind",
     .type = EBI_FIELD_CUSTOM,
     .required = true,
     .read = read_baseline_kind,
     EBI_HOLDS_TEXT,
     .about = "a baseline of tables/baselines"},
    {.key = "leakage",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_AIR_CHANGE,
     .high = 100,
     .offset = offsetof(eb_house, baseline_n50),
     .about = "of the house at 50 Pa, if not the same"},
    {.key = "fans",
     .type = EBI_FIELD_COUNT,
     .high = 100,
     .offset = offsetof(eb_house, baseline_fans),
     .about = "intermittent extract fans"},
    {.key = "air_change",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_AIR_CHANGE,
     .high = 20,
     .offset = offsetof(eb_house, baseline_air_change),
     .about = "a fixed air change instead"},
};

const ebi_field ebi_baseline_form = {
    .type = EBI_FIELD_EITHER,
    EBI_SEVERAL({.type = EBI_FIELD_TEXT}, {.type = EBI_FIELD_MAPPING, EBI_TABLE(baseline_fields)})};

void ebi_house_read_baseline(ebi_reader *reader, const ebi_yaml *value) {
  eb_house *house = ebi_reading(reader)->house;
  if (value->kind == EBI_YAML_SCALAR)
    read_baseline_kind(reader, value, house);
  else
    ebi_fields_read(reader, value, "baseline", baseline_fields, EBI_COUNT_OF(baseline_fields),
                    house);
}

/* ---- Costs ------------------------------------------------------------- */

typedef struct tariff_keys {
  ebi_given price, carbon, efficiency;
  const char *date, *source;
} tariff_keys;

static const ebi_field tariff_fields[] = {
    {.key = "price",
     .type = EBI_FIELD_QUANTITY,
     .required = true,
     .kind = EBI_PRICE,
     .high = 1000 / 3.6e6,
     .offset = offsetof(tariff_keys, price),
     .about = "e.g. 0.27 per kWh"},
    {.key = "carbon",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_CARBON,
     .high = 10 / 3.6e6,
     .offset = offsetof(tariff_keys, carbon),
     .about = "e.g. 0.14 kg/kWh"},
    {.key = "efficiency",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_RATIO,
     .low = 0.05,
     .high = 20,
     .offset = offsetof(tariff_keys, efficiency),
     .about = "heat delivered from what is paid for; over 100 % for a heat pump"},
    {.key = "date",
     .type = EBI_FIELD_TEXT,
     .offset = offsetof(tariff_keys, date),
     .about = "when the price held"},
    {.key = "source",
     .type = EBI_FIELD_TEXT,
     .offset = offsetof(tariff_keys, source),
     .about = "where the price is from"},
};

static void read_tariff(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_tariff *tariff = record;
  tariff_keys keys = {.efficiency = {.value = 1}, .date = "", .source = ""};
  ebi_fields_read(reader, value, value->key ? value->key : "a tariff", tariff_fields,
                  EBI_COUNT_OF(tariff_fields), &keys);
  *tariff = (ebi_tariff){.given = keys.price.given,
                         .price = keys.price.value,
                         .carbon = keys.carbon,
                         .efficiency = keys.efficiency.value,
                         .date = keys.date,
                         .source = keys.source,
                         .where = value->where};
}

static void read_electricity(ebi_reader *reader, const ebi_yaml *value, void *record) {
  read_tariff(reader, value, &((eb_house *)record)->electricity);
}

static void read_heating(ebi_reader *reader, const ebi_yaml *value, void *record) {
  read_tariff(reader, value, &((eb_house *)record)->heating);
}

static const ebi_field cost_fields[] = {
    {.key = "electricity",
     .type = EBI_FIELD_CUSTOM,
     .read = read_electricity,
     EBI_HOLDS(.type = EBI_FIELD_MAPPING, EBI_TABLE(tariff_fields)),
     .about = "of the fans"},
    {.key = "heating",
     .type = EBI_FIELD_CUSTOM,
     .read = read_heating,
     EBI_HOLDS(.type = EBI_FIELD_MAPPING, EBI_TABLE(tariff_fields)),
     .about = "of the fuel that heats"},
    {.key = "parts",
     .type = EBI_FIELD_CUSTOM,
     .read = ebi_house_read_part_costs,
     .holds = &ebi_part_costs_form,
     .about = "prices of ducts and fittings, waste, years and interest"},
    {.key = "investment",
     .type = EBI_FIELD_CUSTOM,
     .read = ebi_house_read_investment,
     .holds = &ebi_investment_form,
     .about = "what the system costs beside energy, and over how many years it is judged"},
};

const ebi_field ebi_costs_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(cost_fields)};

void ebi_house_read_costs(ebi_reader *reader, const ebi_yaml *value) {
  ebi_fields_read(reader, value, "costs", cost_fields, EBI_COUNT_OF(cost_fields),
                  ebi_reading(reader)->house);
}
