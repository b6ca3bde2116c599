/* record_words.c - fields, what is missing, cautions, and the page for the householder */

#include <math.h>

#include "base/text.h"
#include "design/record.h"

#define LISTED_AT_MOST 128

typedef struct list {
  const char *item[LISTED_AT_MOST];
  size_t count;
} list;

static void add(ebi_recording *r, list *l, const char *text) {
  if (text == NULL)
    r->failed = true;
  else if (l->count < LISTED_AT_MOST)
    l->item[l->count++] = text;
}

static const char *const *keep(ebi_recording *r, const list *l) {
  const char **items = EBI_NEW_ARRAY(r->arena, const char *, l->count + 1);
  r->failed = r->failed || items == NULL;
  for (size_t i = 0; items != NULL && i < l->count; i++)
    items[i] = l->item[i];
  return items;
}

/* ---- Fields ---- */

static void write_items(ebi_recording *r) {
  const ebi_record_values *values = &r->model->readings->record;
  eb_record_item *items = EBI_NEW_ARRAY(r->arena, eb_record_item, EBI_RECORD_FIELDS);
  r->failed = r->failed || items == NULL;
  for (int f = 0; items != NULL && f < EBI_RECORD_FIELDS; f++) {
    const ebi_record_info *info = ebi_record_info_of((ebi_record_field)f);
    items[f] = (eb_record_item){.section = info->section,
                                .label = info->label,
                                .value = values->value[f],
                                .required = info->required};
  }
  r->record->items = items;
  r->record->n_items = items != NULL ? EBI_RECORD_FIELDS : 0;
}

static void miss_fields(ebi_recording *r, list *missing) {
  const ebi_record_values *values = &r->model->readings->record;
  for (int f = 0; f < EBI_RECORD_FIELDS; f++) {
    const ebi_record_info *info = ebi_record_info_of((ebi_record_field)f);
    if (info->required && values->value[f] == NULL)
      add(r, missing,
          ebi_arena_format(r->arena, "%s (record: %s: %s)", info->label, info->section, info->key));
    else if (info->required && info->kind == EBI_RECORD_YES_NO &&
             ebi_text_equal(values->value[f], "no"))
      add(r, missing, ebi_arena_format(r->arena, "%s: answered no", info->label));
  }
}

static void miss_instrument(ebi_recording *r, list *missing) {
  const eb_readings *readings = r->model->readings;
  const ebi_instrument *instrument = &readings->instrument;
  if (!instrument->given || instrument->name[0] == '\0')
    add(r, missing, "The instrument (instrument: name)");
  if (instrument->serial[0] == '\0')
    add(r, missing, "Serial number of the instrument (instrument: serial)");
  if (instrument->calibrated[0] == '\0')
    add(r, missing, "Day of its last calibration (instrument: calibrated)");
  if (readings->date[0] == '\0')
    add(r, missing, "Day of the visit (visit: date)");
  if (readings->by[0] == '\0')
    add(r, missing, "Who read (visit: by)");
}

/* Normal and boost are what the sheet has columns for. */
static void miss_levels(ebi_recording *r, list *missing) {
  for (size_t l = 0; l < r->record->n_levels; l++) {
    const eb_record_level *level = &r->record->levels[l];
    bool asked = ebi_text_equal(level->name, "normal") || ebi_text_equal(level->name, "boost");
    if (asked && !level->read)
      add(r, missing, ebi_arena_format(r->arena, "Readings at %s", level->name));
  }
  for (size_t i = 0; i < r->record->n_rows; i++) {
    const eb_record_row *row = &r->record->rows[i];
    if (isnan(row->measured_m3_s) && (row->unread == NULL || row->unread[0] == '\0'))
      add(r, missing,
          ebi_arena_format(r->arena, "A reading of %s at %s, or why there is none", row->run,
                           row->level));
  }
}

/* ---- Instrument and conditions ---- */

static const char *or_blank(const char *text) {
  return text == NULL || text[0] == '\0' ? "not said" : text;
}

/* A text that memory ran out for is none. */
static const char *made(ebi_recording *r, const char *text) {
  r->failed = r->failed || text == NULL;
  return text == NULL ? "" : text;
}

static const char *figure(ebi_recording *r, const ebi_given *given, double scale,
                          const char *unit) {
  if (!given->given)
    return "not said";
  return made(r, ebi_arena_format(r->arena, "%.3g %s", scale * given->value, unit));
}

static void write_conditions(ebi_recording *r) {
  const eb_readings *readings = r->model->readings;
  const ebi_instrument *instrument = &readings->instrument;
  static const ebi_round none = {0};
  const ebi_round *last =
      readings->n_rounds > 0 ? &readings->rounds[readings->n_rounds - 1] : &none;
  r->record->instrument = made(
      r, ebi_arena_format(
             r->arena, "%s, number %s, calibrated %s; 95 %% limits: shared %s, between readings %s",
             or_blank(instrument->name), or_blank(instrument->serial),
             or_blank(instrument->calibrated), figure(r, &instrument->bias, 100.0, "%"),
             figure(r, &instrument->repeat, 100.0, "%")));
  r->record->conditions = made(
      r, ebi_arena_format(r->arena,
                          "%s, by %s (%s); outdoors %s, wind %s; bypass %s, frost protection "
                          "%s, filters %s",
                          or_blank(readings->date), or_blank(readings->by),
                          or_blank(readings->organisation), figure(r, &last->outdoor, 1.0, "C"),
                          figure(r, &last->wind, 1.0, "m/s"), or_blank(last->bypass),
                          or_blank(last->frost), or_blank(last->filters)));
}

/* ---- Cautions ---- */

static void write_cautions(ebi_recording *r) {
  const eb_house *house = r->model->house;
  list cautions = {.count = 0};
  for (size_t i = 0; i < house->n_appliances; i++) {
    const ebi_appliance *appliance = &house->appliances[i];
    if (ebi_text_equal(appliance->kind, "open-flued") ||
        ebi_text_equal(appliance->kind, "solid-fuel"))
      add(r, &cautions,
          ebi_arena_format(r->arena,
                           "There is an %s appliance%s%s: a competent, registered person must test "
                           "that it does not spill with every fan on and off.",
                           appliance->kind, appliance->room[0] != '\0' ? " in " : "",
                           appliance->room));
  }
  if (house->heat_pump.given)
    add(r, &cautions,
        "There is a hot-water store: legionella and scalding are matters of local codes and "
        "licensed people.");
  add(r, &cautions,
      "Fire stopping, electrical work and combustion air are not part of this record; local codes "
      "and licensed people decide.");
  r->record->cautions = keep(r, &cautions);
  r->record->n_cautions = cautions.count;
}

/* ---- For the householder ---- */

static void owner_levels(ebi_recording *r, list *page) {
  const char *currency = r->model->house->currency;
  for (size_t l = 0; l < r->record->n_levels; l++) {
    const eb_record_level *level = &r->record->levels[l];
    if (!level->read || isnan(level->supply_m3_s))
      continue;
    const char *cost = "";
    if (!isnan(level->cost_per_day))
      cost =
          ebi_arena_format(r->arena, "; running at it all day costs about %.2f %s of electricity",
                           level->cost_per_day, currency == NULL ? "" : currency);
    add(r, page,
        cost == NULL ? NULL
                     : ebi_arena_format(r->arena,
                                        "At \"%s\" your home gets %.0f litres of fresh air "
                                        "a second and gives %.0f away%s.",
                                        level->name, 1e3 * level->supply_m3_s,
                                        1e3 * level->extract_m3_s, cost));
  }
}

static void owner_field(ebi_recording *r, list *page, ebi_record_field field, const char *what) {
  const char *value = r->model->readings->record.value[field];
  if (value != NULL)
    add(r, page, ebi_arena_format(r->arena, "%s: %s.", what, value));
}

static void write_owner(ebi_recording *r) {
  list page = {.count = 0};
  add(r, &page,
      "Fresh air comes into living rooms and bedrooms, used air leaves from kitchen and bathrooms, "
      "and the unit passes the warmth from one to the other. It is meant to run all the time.");
  add(r, &page,
      "Use boost while cooking, bathing and when there are guests; low when nobody is at home.");
  owner_levels(r, &page);
  owner_field(r, &page, EBI_RECORD_CONTROL_PLACE, "The controls are here");
  owner_field(r, &page, EBI_RECORD_FILTER_PLACE, "The filters are here");
  owner_field(r, &page, EBI_RECORD_FILTER_OUTDOOR, "Filter in the outdoor air");
  owner_field(r, &page, EBI_RECORD_FILTER_EXTRACT, "Filter in the used air");
  owner_field(r, &page, EBI_RECORD_FILTER_CHANGE, "When to change them");
  owner_field(r, &page, EBI_RECORD_CLEANING, "Cleaning");
  owner_field(r, &page, EBI_RECORD_SENSORS, "Sensors");
  owner_field(r, &page, EBI_RECORD_CONTACT, "Questions about the unit");
  add(r, &page,
      "Leave alone: the valves in ceilings and walls are set and locked, each differently; turning "
      "one changes the air of every room. Do not switch the unit off, do not stop the gaps below "
      "doors, do not cover the valves or the openings outdoors.");
  r->record->owner = keep(r, &page);
  r->record->n_owner = page.count;
}

void ebi_record_words(ebi_recording *r) {
  list missing = {.count = 0};
  write_items(r);
  miss_fields(r, &missing);
  miss_instrument(r, &missing);
  miss_levels(r, &missing);
  r->record->missing = keep(r, &missing);
  r->record->n_missing = missing.count;
  r->record->complete = missing.count == 0;
  write_conditions(r);
  write_cautions(r);
  write_owner(r);
}
