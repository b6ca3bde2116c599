/* record_json.c - the JSON of `record` */

#include <math.h>

#include "controller.h"
#include "json.h"
#include "record.h"

static json_t *texts_json(const char *const *items, size_t count) {
  json_t *array = json_array();
  for (size_t i = 0; i < count; i++)
    json_add(array, json_string(items[i]));
  return array;
}

static json_t *item_json(const eb_record_item *item) {
  json_t *object = json_object();
  json_put_text(object, "section", item->section);
  json_put_text(object, "label", item->label);
  json_put(object, "value", item->value ? json_string(item->value) : json_null());
  json_put(object, "required", json_boolean(item->required));
  return object;
}

static json_t *row_json(const eb_record_row *row) {
  json_t *object = json_object();
  json_put_text(object, "run", row->run);
  json_put_text(object, "room", row->room);
  json_put_text(object, "level", row->level);
  json_put_text(object, "side", row->supply ? "supply" : "extract");
  json_put_number(object, "design_l_s", 1e3 * row->design_m3_s);
  json_put_number(object, "required_l_s", 1e3 * row->required_m3_s);
  json_put_number(object, "measured_l_s", 1e3 * row->measured_m3_s);
  json_put_number(object, "error_l_s", 1e3 * row->error_m3_s);
  json_put_text(object, "written", row->written);
  json_put_text(object, "unread", row->unread);
  json_put_text(object, "note", row->note[0] ? row->note : NULL);
  json_put(object, "passes",
           isfinite(row->measured_m3_s) ? json_boolean(row->passes) : json_null());
  return object;
}

static json_t *level_json(const eb_controller *controller, const eb_record_level *level) {
  json_t *object = json_object();
  json_put(object, "read", json_boolean(level->read));
  controller_json(object, "supply_percent", "supply_signal", controller, level->supply_signal);
  controller_json(object, "extract_percent", "extract_signal", controller, level->extract_signal);
  json_put_number(object, "supply_l_s", 1e3 * level->supply_m3_s);
  json_put_number(object, "extract_l_s", 1e3 * level->extract_m3_s);
  json_put_number(object, "design_supply_l_s", 1e3 * level->design_supply_m3_s);
  json_put_number(object, "design_extract_l_s", 1e3 * level->design_extract_m3_s);
  json_put_number(object, "imbalance_percent", 100 * level->imbalance);
  json_put_number(object, "power_w", level->power_w);
  json_put_number(object, "specific_fan_power_w_per_l_s", level->specific_fan_power / 1e3);
  json_put_number(object, "cost_per_day", level->cost_per_day);
  json_put(object, "passes", level->read ? json_boolean(level->passes) : json_null());
  return object;
}

static json_t *setting_json(const eb_record_setting *setting) {
  json_t *object = json_object();
  json_put_text(object, "run", setting->run);
  json_put_text(object, "room", setting->room);
  json_put_text(object, "valve", setting->valve);
  json_put_number(object, "opening", setting->opening);
  json_put_text(object, "opening_unit", setting->unit);
  return object;
}

static void revisit_json(const eb_revisit *revisit, json_t *object) {
  json_t *rows = json_array();
  json_put_text(object, "level", revisit->level);
  for (size_t i = 0; i < revisit->n_rows; i++) {
    const eb_revisit_row *row = &revisit->rows[i];
    json_t *item = json_object();
    json_put_text(item, "run", row->run);
    json_put_text(item, "room", row->room);
    json_put_text(item, "side", row->supply ? "supply" : "extract");
    json_put_number(item, "before_l_s", 1e3 * row->before_m3_s);
    json_put_number(item, "after_l_s", 1e3 * row->after_m3_s);
    json_put_number(item, "change_percent", 100 * row->change);
    json_put(item, "alone", json_boolean(row->alone));
    json_add(rows, item);
  }
  json_put(object, "terminals", rows);
  json_put_number(object, "supply_change_percent", 100 * revisit->side_change[0]);
  json_put_number(object, "extract_change_percent", 100 * revisit->side_change[1]);
  json_put(object, "likely", texts_json(revisit->causes, revisit->n_causes));
}

bool record_json(const cli_run *run, json_t *object) {
  const eb_record *record = run->record;
  if (run->revisit) {
    revisit_json(run->revisit, object);
    return json_complete();
  }
  json_put(object, "complete", json_boolean(record->complete));
  json_put(object, "passes", json_boolean(record->passes));
  json_put_text(object, "rule", record->rule);
  json_put_text(object, "source", record->source);
  json_put_text(object, "conditions", record->conditions);
  json_put_text(object, "instrument", record->instrument);
  json_t *items = json_array(), *rows = json_array(), *levels = json_object(),
         *settings = json_array();
  for (size_t i = 0; i < record->n_items; i++)
    json_add(items, item_json(&record->items[i]));
  for (size_t i = 0; i < record->n_rows; i++)
    json_add(rows, row_json(&record->rows[i]));
  for (size_t i = 0; i < record->n_levels; i++)
    json_put(levels, record->levels[i].name, level_json(&record->controller, &record->levels[i]));
  for (size_t i = 0; i < record->n_settings; i++)
    json_add(settings, setting_json(&record->settings[i]));
  json_put(object, "fields", items);
  json_put(object, "terminals", rows);
  json_put(object, "levels", levels);
  json_put(object, "settings", settings);
  json_put(object, "missing", texts_json(record->missing, record->n_missing));
  json_put(object, "cautions", texts_json(record->cautions, record->n_cautions));
  json_put(object, "householder", texts_json(record->owner, record->n_owner));
  return json_complete();
}
