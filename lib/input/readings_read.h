/* readings_read.h - readings while they are being read: shared by readings*.c
 *
 * A CSV becomes the same tree that the YAML is, so that one set of checks serves both. */

#ifndef EBI_READINGS_READ_H
#define EBI_READINGS_READ_H

#include "input/house_read.h"
#include "model/readings.h"

/* The terminals of a room, by side: the number of runs that end or begin in it, and the last. */
typedef struct ebi_room_terminals {
  size_t count[2], run[2]; /* supply, extract */
} ebi_room_terminals;

/* Where a terminal was last read, or its valve set. */
typedef struct ebi_last_seen {
  size_t round; /* counted from 1 */
  int line;
} ebi_last_seen;

/* What an ebi_reader's record points at while readings are read. */
typedef struct ebi_readings_reading {
  eb_readings *readings;
  const eb_house *house;
  ebi_names runs, rooms;         /* name to index */
  ebi_names places;              /* where a pressure may be read */
  ebi_room_terminals *terminals; /* of each room */
  const char **names;            /* of terminals and their rooms, to suggest */
  size_t n_names;
  const char **place_names;
  size_t n_places;
  ebi_last_seen *read, *set; /* by run */
  size_t round;              /* that is being read, from 1 */
  double flow_at_most;       /* m3/s; more is no reading of this house */
} ebi_readings_reading;

static inline ebi_readings_reading *ebi_readings_of(const ebi_reader *reader) {
  return reader->record;
}

/* Fills in names and limits of the house. False when memory ran out. */
bool ebi_readings_names(ebi_reader *reader);

/* The run whose terminal a name means: a run's, or a room's with one terminal on that side. side:
 * "supply" or "extract", or NULL where it is not said. False after an error. */
bool ebi_readings_terminal(ebi_reader *reader, const ebi_yaml *name, const char *side, size_t *run);

/* A junction, a run or `house`. */
bool ebi_readings_place(ebi_reader *reader, const ebi_yaml *name);

/* A level of the house. */
void ebi_readings_level(ebi_reader *reader, const ebi_yaml *value, void *record);

/* A day, 2026-11-20. */
void ebi_readings_day(ebi_reader *reader, const ebi_yaml *value, const char **day);

extern const char *const ebi_side_words[]; /* supply, extract, NULL */

void ebi_readings_instrument(ebi_reader *reader, const ebi_yaml *value, ebi_instrument *instrument);
void ebi_readings_round(ebi_reader *reader, const ebi_yaml *value, ebi_round *round);

/* What readings hold, and each of their parts. */
extern const ebi_field ebi_readings_form, ebi_instrument_form, ebi_round_form, ebi_record_form, ebi_valves_read_form,
    ebi_flows_read_form;

/* `valves:` and `flows:` of a round; either may be NULL. */
void ebi_readings_flows(ebi_reader *reader, const ebi_yaml *valves, const ebi_yaml *flows,
                        ebi_round *round);

/* What a record holds beside readings. */
void ebi_readings_record(ebi_reader *reader, const ebi_yaml *value, ebi_record_values *record);

/* ---- Rows of cells ---- */

typedef struct ebi_sheet_row {
  const ebi_yaml *cells; /* scalars, blanks around them taken off */
  size_t n_cells;
} ebi_sheet_row;

typedef struct ebi_sheet {
  const ebi_sheet_row *rows; /* those that are not blank; the first is the header */
  size_t n_rows;
  char separator;
} ebi_sheet;

/* Comma, semicolon or tab between cells, by the first line; RFC 4180 quotes; LF, CRLF or CR; with
 * or without a byte order mark. Limits and codes are those of ebi_document_parse. */
EB_MUST_USE eb_status ebi_sheet_parse(eb_context *context, ebi_arena *arena, const char *name,
                                    const char *bytes, size_t length, ebi_sheet *sheet);

/* The tree of readings typed row by row; NULL after an error. */
const ebi_yaml *ebi_readings_tree(ebi_reader *reader, const ebi_sheet *sheet);

#endif
