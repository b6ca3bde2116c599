/* readings_rows.c - readings typed row by row become the tree that YAML would have given */

#include <string.h>

#include "input/readings_rows.h"

#include "base/text.h"
#include "input/quote.h"

/* ---- Rows that are no terminal's ----------------------------------------------- */

enum { STATE, FANS, FLOWS, PRESSURES, UNIT_FLOWS, TEMPERATURES, HUMIDITY, POWER, N_SECTIONS };

static const char *const section_keys[N_SECTIONS] = {
    "state", "fans", "flows", "pressures", "unit", "temperatures", "humidity", "power"};

/* A row that is no terminal's: its word in that column, and where it goes. */
typedef struct special_row {
  const char *word;
  int section;
  const char *key;
} special_row;

static const special_row special_rows[] = {
    {"supply fan", FANS, "supply"},
    {"extract fan", FANS, "extract"},
    {"outdoor temperature", STATE, "outdoor"},
    {"indoor temperature", STATE, "indoor"},
    {"wind", STATE, "wind"},
    {"bypass", STATE, "bypass"},
    {"frost", STATE, "frost"},
    {"filters", STATE, "filters"},
    {"outdoor air", TEMPERATURES, "outdoor"},
    {"supply air", TEMPERATURES, "supply"},
    {"extract air", TEMPERATURES, "extract"},
    {"exhaust air", TEMPERATURES, "exhaust"},
    {"outdoor humidity", HUMIDITY, "outdoor"},
    {"supply humidity", HUMIDITY, "supply"},
    {"extract humidity", HUMIDITY, "extract"},
    {"exhaust humidity", HUMIDITY, "exhaust"},
    {"unit outdoor", UNIT_FLOWS, "outdoor"},
    {"unit supply", UNIT_FLOWS, "supply"},
    {"unit extract", UNIT_FLOWS, "extract"},
    {"unit exhaust", UNIT_FLOWS, "exhaust"},
    {"unit power", POWER, "unit"},
    {"house pressure", PRESSURES, "house"},
};

/* ---- The tree while it grows ------------------------------------------- */

typedef struct pair_list {
  ebi_yaml_pair *pairs;
  size_t count, capacity;
} pair_list;

typedef struct ebi_rows_round {
  const ebi_yaml *level;
  pair_list sections[N_SECTIONS];
  ebi_where where;
  ebi_growing note; /* of rows that are no terminal's */
} ebi_rows_round;

static const ebi_yaml *mapping(ebi_rows *r, const pair_list *list, ebi_where where,
                               const char *key) {
  ebi_yaml *node = EBI_NEW(r->reader->arena, ebi_yaml);
  if (!node) {
    r->failed = true;
    return NULL;
  }
  *node = (ebi_yaml){.kind = EBI_YAML_MAPPING,
                     .where = where,
                     .pairs = list->pairs,
                     .count = list->count,
                     .key = key};
  return node;
}

static void add_pair(ebi_rows *r, pair_list *list, const ebi_yaml *key, const ebi_yaml *value) {
  if (r->failed || !key || !value ||
      !ebi_arena_grow(r->reader->arena, &list->pairs, &list->capacity, list->count,
                      sizeof *list->pairs)) {
    r->failed = true;
    return;
  }
  list->pairs[list->count++] = (ebi_yaml_pair){key, value};
}

static void add(ebi_rows *r, pair_list *list, const char *key, const ebi_yaml *value,
                ebi_where where) {
  add_pair(r, list, ebi_rows_scalar(r, key, where, NULL), value);
}

/* ---- Rows -------------------------------------------------------------- */

static bool is_unread(const ebi_yaml *cell) {
  return !cell || strcmp(cell->text, "unread") == 0 || strcmp(cell->text, "-") == 0;
}

static void add_cell(ebi_rows *r, pair_list *list, const char *key, const ebi_yaml *cell) {
  if (cell)
    add(r, list, key, ebi_rows_scalar(r, cell->text, cell->where, key), cell->where);
}

/* The cell as the value of a key, for messages. */
static ebi_yaml keyed(const ebi_yaml *cell, const char *key) {
  ebi_yaml value = *cell;
  value.key = key;
  return value;
}

static const ebi_yaml *flow_of(ebi_rows *r, const ebi_sheet_row *row, const ebi_yaml *name) {
  const ebi_yaml *flow = ebi_rows_cell(r, row, EBI_COLUMN_FLOW);
  const ebi_yaml *unit = ebi_rows_cell(r, row, EBI_COLUMN_UNIT);
  if (is_unread(flow))
    return ebi_rows_scalar(r, "unread", name->where, "flow");
  ebi_yaml value = keyed(flow, name->text);
  return ebi_rows_flow(r, &value, unit ? unit->text : NULL, r->unit[EBI_COLUMN_FLOW]);
}

static void terminal_row(ebi_rows *r, const ebi_sheet_row *row, ebi_rows_round *round,
                         const ebi_yaml *name) {
  const ebi_yaml *opening = ebi_rows_cell(r, row, EBI_COLUMN_OPENING);
  pair_list keys = {0};
  add(r, &keys, "flow", flow_of(r, row, name), name->where);
  if (opening) {
    ebi_yaml value = keyed(opening, "opening");
    add(r, &keys, "opening",
        ebi_rows_value(r, &value, 0, value.length, NULL, r->unit[EBI_COLUMN_OPENING]),
        opening->where);
  }
  add_cell(r, &keys, "note", ebi_rows_cell(r, row, EBI_COLUMN_NOTE));
  add_cell(r, &keys, "side", ebi_rows_cell(r, row, EBI_COLUMN_SIDE));
  add_pair(r, &round->sections[FLOWS], name, mapping(r, &keys, name->where, name->text));
}

static bool has_key(const pair_list *list, const char *key) {
  for (size_t i = 0; i < list->count; i++)
    if (strcmp(list->pairs[i].key->text, key) == 0)
      return true;
  return false;
}

static void keep_note(ebi_rows *r, const ebi_sheet_row *row, ebi_rows_round *round,
                      const ebi_yaml *name) {
  const ebi_yaml *note = ebi_rows_cell(r, row, EBI_COLUMN_NOTE);
  if (!note)
    return;
  round->note.arena = r->reader->arena;
  ebi_grow_text(&round->note, round->note.length ? "; " : "");
  ebi_grow_text(&round->note, name->text);
  ebi_grow_text(&round->note, ": ");
  ebi_grow_text(&round->note, note->text);
  r->failed = r->failed || round->note.failed;
}

/* A row of the unit, the house or the weather; one without a value says nothing. */
static void other_row(ebi_rows *r, const ebi_sheet_row *row, ebi_rows_round *round,
                      const ebi_yaml *name, int section, const char *key) {
  const ebi_yaml *flow = ebi_rows_cell(r, row, EBI_COLUMN_FLOW),
                 *unit = ebi_rows_cell(r, row, EBI_COLUMN_UNIT);
  pair_list *list = &round->sections[section];
  if (is_unread(flow)) {
    keep_note(r, row, round, name);
    return;
  }
  if (section != PRESSURES && has_key(list, key)) {
    ebi_read_error(r->reader, name, "reading-twice", "\"%s\" stands twice in this round",
                   ebi_quote(name->text).text);
    return;
  }
  keep_note(r, row, round, name);
  ebi_yaml value = keyed(flow, key);
  add(r, list, key, ebi_rows_value(r, &value, 0, flow->length, unit ? unit->text : NULL, NULL),
      name->where);
}

/* True where the row was none of a terminal's. */
static bool special(ebi_rows *r, const ebi_sheet_row *row, ebi_rows_round *round,
                    const ebi_yaml *name) {
  static const char pressure[] = "pressure ";
  const ebi_readings_reading *reading = ebi_readings_of(r->reader);
  if (ebi_names_find(&reading->runs, name->text) != EBI_NO_NAME ||
      ebi_names_find(&reading->rooms, name->text) != EBI_NO_NAME)
    return false;
  char *word = ebi_arena_text(r->reader->arena, name->text);
  if (!word) {
    r->failed = true;
    return true;
  }
  ebi_rows_lower(word);
  for (size_t i = 0; i < EBI_COUNT_OF(special_rows); i++)
    if (strcmp(special_rows[i].word, word) == 0) {
      other_row(r, row, round, name, special_rows[i].section, special_rows[i].key);
      return true;
    }
  if (strncmp(word, pressure, sizeof pressure - 1) != 0)
    return false;
  other_row(r, row, round, name, PRESSURES, name->text + sizeof pressure - 1);
  return true;
}

/* ---- Rounds ------------------------------------------------------------ */

static ebi_rows_round *new_round(ebi_rows *r, const char *name, const ebi_sheet_row *row) {
  ebi_where where = row->cells[0].where;
  if (!ebi_arena_grow(r->reader->arena, &r->rounds, &r->capacity, r->n_rounds, sizeof *r->rounds) ||
      !ebi_names_set(&r->names, r->reader->arena, name, r->n_rounds)) {
    r->failed = true;
    return NULL;
  }
  ebi_rows_round *round = &r->rounds[r->n_rounds++];
  *round = (ebi_rows_round){.level = r->level, .where = where};
  if (!round->level)
    round->level = ebi_rows_scalar(r, "normal", where, "level");
  return round;
}

/* A blank cell is as in the row above; rows of one round and level belong together. */
static ebi_rows_round *round_of(ebi_rows *r, const ebi_sheet_row *row) {
  const ebi_yaml *round = ebi_rows_cell(r, row, EBI_COLUMN_ROUND),
                 *level = ebi_rows_cell(r, row, EBI_COLUMN_LEVEL);
  r->round = round ? round->text : r->round;
  if (level)
    r->level = ebi_rows_scalar(r, level->text, level->where, "level");
  const char *name =
      ebi_arena_format(r->reader->arena, "%s\n%s", r->round, r->level ? r->level->text : "normal");
  if (!name) {
    r->failed = true;
    return NULL;
  }
  size_t known = ebi_names_find(&r->names, name);
  return known != EBI_NO_NAME ? &r->rounds[known] : new_round(r, name, row);
}

static void read_row(ebi_rows *r, const ebi_sheet_row *row) {
  ebi_rows_round *round = round_of(r, row);
  const ebi_yaml *name = ebi_rows_cell(r, row, EBI_COLUMN_TERMINAL);
  size_t most = r->sheet->rows[0].n_cells;
  if (row->n_cells > most) {
    ebi_read_error(r->reader, &row->cells[most], "too-many-cells",
                   "the row has %zu cells, the first row names %zu columns%s", row->n_cells, most,
                   r->sheet->separator == ','
                       ? ": is there a decimal comma? Write 10.4, or part the cells by semicolons"
                       : "");
    return;
  }
  if (!name) {
    ebi_read_error(r->reader, &row->cells[0], "terminal-missing", "the row names no terminal");
    return;
  }
  if (round && !special(r, row, round, name))
    terminal_row(r, row, round, name);
}

static const ebi_yaml *round_tree(ebi_rows *r, const ebi_rows_round *round) {
  pair_list list = {0};
  add(r, &list, "level", round->level, round->where);
  for (int i = 0; i < N_SECTIONS; i++)
    if (round->sections[i].count > 0)
      add(r, &list, section_keys[i], mapping(r, &round->sections[i], round->where, section_keys[i]),
          round->where);
  if (round->note.length)
    add(r, &list, "note", ebi_rows_scalar(r, round->note.text, round->where, "note"), round->where);
  return mapping(r, &list, round->where, "rounds");
}

static const ebi_yaml *whole_tree(ebi_rows *r) {
  ebi_where start = r->sheet->rows[0].cells[0].where;
  const ebi_yaml **items = EBI_NEW_ARRAY(r->reader->arena, const ebi_yaml *, r->n_rounds);
  ebi_yaml *list = EBI_NEW(r->reader->arena, ebi_yaml);
  pair_list root = {0};
  if (!items || !list) {
    r->failed = true;
    return NULL;
  }
  for (size_t i = 0; i < r->n_rounds; i++)
    items[i] = round_tree(r, &r->rounds[i]);
  *list = (ebi_yaml){.kind = EBI_YAML_SEQUENCE,
                     .where = start,
                     .items = items,
                     .count = r->n_rounds,
                     .key = "rounds"};
  add(r, &root, "rounds", list, start);
  return mapping(r, &root, start, NULL);
}

const ebi_yaml *ebi_readings_tree(ebi_reader *reader, const ebi_sheet *sheet) {
  ebi_rows r = {.reader = reader, .sheet = sheet, .round = ""};
  const ebi_yaml *root = NULL;
  if (ebi_rows_header(&r)) {
    for (size_t i = 1; !r.failed && i < sheet->n_rows; i++)
      read_row(&r, &sheet->rows[i]);
    root = r.failed ? NULL : whole_tree(&r);
  }
  if (r.failed) {
    ebi_read_memory(reader, &sheet->rows[0].cells[0]);
    return NULL;
  }
  return root;
}
