/* house_read.h - a house while it is being read: shared by house*.c */

#ifndef EBI_HOUSE_READ_H
#define EBI_HOUSE_READ_H

#include "input/fields.h"
#include "input/load.h"
#include "input/names.h"
#include "model/house.h"

#define EBI_NAME_BYTES 200 /* of the name of a room, run, junction, level or valve */

/* What an ebi_reader's record points at while a house is read. */
typedef struct ebi_house_reading {
  eb_house *house;
  ebi_names rooms, runs, junctions; /* name to index */
  ebi_names valves;                 /* of the house's own `valves:` */
  const ebi_valve **own_valves;
  size_t n_own_valves;
  ebi_run *runs_read;
  size_t n_runs, runs_capacity;
} ebi_house_reading;

static inline ebi_house_reading *ebi_reading(const ebi_reader *reader) {
  return reader->record;
}

/* How many fields a const table of them has. */
#define EBI_COUNT_OF(table) (sizeof(table) / sizeof((table)[0]))

/* Names of the user's own: not empty, not too long, not reserved. */
bool ebi_read_name(ebi_reader *reader, const ebi_yaml *name, const char *what);

/* The same for the key of a mapping; errors where `value` is not worth reading. */
bool ebi_read_named(ebi_reader *reader, const ebi_yaml_pair *pair, const char *what);

/* True for `unit` and `outdoors`. */
bool ebi_name_reserved(const char *name);

/* The rooms' name nearest to `name`, or NULL. */
const char *ebi_nearest_room(const ebi_reader *reader, const char *name);

/* A room's name that is checked and kept as the room has it. */
bool ebi_read_room_name(ebi_reader *reader, const ebi_yaml *value, const char **room);

/* A mapping or list; false after an error. */
bool ebi_read_kind(ebi_reader *reader, const ebi_yaml *value, ebi_yaml_kind kind,
                   const char *example);

/* Sections of a house, each from the value of its key. */
void ebi_house_read_site(ebi_reader *reader, const ebi_yaml *value);
void ebi_house_read_envelope(ebi_reader *reader, const ebi_yaml *value);
void ebi_house_read_rooms(ebi_reader *reader, const ebi_yaml *value);
void ebi_house_read_positions(ebi_reader *reader, const ebi_yaml *value);
void ebi_house_read_doors(ebi_reader *reader, const ebi_yaml *value);
void ebi_house_read_levels(ebi_reader *reader, const ebi_yaml *value);
void ebi_house_read_valves(ebi_reader *reader, const ebi_yaml *value);
void ebi_house_read_ducts(ebi_reader *reader, const ebi_yaml *value);
void ebi_house_read_junctions(ebi_reader *reader, const ebi_yaml *value);
void ebi_house_read_leakage_class(ebi_reader *reader, const ebi_yaml *value);
void ebi_house_read_appliances(ebi_reader *reader, const ebi_yaml *value);
void ebi_house_read_openings(ebi_reader *reader, const ebi_yaml *value);
void ebi_house_read_baseline(ebi_reader *reader, const ebi_yaml *value);
void ebi_house_read_sizing(ebi_reader *reader, const ebi_yaml *value);
void ebi_house_read_costs(ebi_reader *reader, const ebi_yaml *value);
void ebi_house_read_part_costs(ebi_reader *reader, const ebi_yaml *value, void *record);
void ebi_house_read_investment(ebi_reader *reader, const ebi_yaml *value, void *record);
void ebi_house_read_uncertainty(ebi_reader *reader, const ebi_yaml *value);
void ebi_house_read_moisture(ebi_reader *reader, const ebi_yaml *value);
void ebi_house_read_summer(ebi_reader *reader, const ebi_yaml *value);
void ebi_house_read_heat_pump(ebi_reader *reader, const ebi_yaml *value);

/* What a house file holds. */
extern const ebi_field ebi_house_form;

/* What each section holds, and parts of them that stand in files of their own. */
extern const ebi_field ebi_site_form, ebi_envelope_form, ebi_rooms_form, ebi_room_at_form,
    ebi_positions_form, ebi_doors_form, ebi_levels_form, ebi_valves_form, ebi_run_valve_form,
    ebi_opening_form, ebi_drop_at_form, ebi_ducts_form, ebi_fittings_form, ebi_junctions_form,
    ebi_leakage_class_form, ebi_appliances_form, ebi_openings_form, ebi_baseline_form,
    ebi_sizing_form, ebi_costs_form, ebi_part_costs_form, ebi_investment_form, ebi_uncertainty_form,
    ebi_moisture_form, ebi_summer_form, ebi_heat_pump_form;

/* `at:` of a room (the record is an ebi_room), and that no two rooms are at one point. */
void ebi_room_read_at(ebi_reader *reader, const ebi_yaml *value, void *record);
void ebi_house_check_positions(ebi_reader *reader);

/* A run's own lists. */
void ebi_run_read_fittings(ebi_reader *reader, const ebi_yaml *value, void *record);
void ebi_run_read_valve(ebi_reader *reader, const ebi_yaml *value, void *record);

/* An opening in the unit of the valve's own scale; a warning beyond its curve. type NULL reads
 * nothing. */
void ebi_read_opening(ebi_reader *reader, const ebi_yaml *value, const ebi_valve *type,
                      ebi_given *opening);

/* "20 Pa at 8 l/s". */
void ebi_read_drop_at(ebi_reader *reader, const ebi_yaml *value, ebi_given *drop, ebi_given *at);

/* Puts the ducts to choose from in order of area and leaves out those too high, once the run is
 * read. */
void ebi_duct_choices_settle(ebi_reader *reader, const ebi_yaml *mapping, ebi_run *run);

/* What only shows once everything is read: how the runs join. */
void ebi_house_check_network(ebi_reader *reader);

#endif
