/* readings_names.c - the house's names as they stand in readings: terminals, places, levels */

#include <stdio.h>
#include <string.h>

#include "input/readings_read.h"

#include "base/text.h"
#include "input/quote.h"
#include "model/duct.h"

enum { SUPPLY, EXTRACT };

const char *const ebi_side_words[] = {"supply", "extract", NULL};

/* ---- What the house has ------------------------------------------------ */

/* The room that a run serves, or EBI_NO_NAME; its side in *side. */
static size_t room_of(const ebi_readings_reading *reading, size_t run, int *side) {
  const ebi_run *r = &reading->house->runs[run];
  *side = r->air == EB_SUPPLY ? SUPPLY : EXTRACT;
  if (r->air != EB_SUPPLY && r->air != EB_EXTRACT)
    return EBI_NO_NAME;
  return ebi_names_find(&reading->rooms, *side == SUPPLY ? r->to : r->from);
}

/* Ten times what the largest duct takes at 10 m/s: a slip of units lies below, nonsense above. */
static double flow_limit(const eb_house *house) {
  const double velocity = 10.0, times = 10.0;
  double area = 0.0;
  for (size_t i = 0; i < house->n_runs; i++) {
    const ebi_run *run = &house->runs[i];
    const ebi_duct_size *choices = run->sized ? &run->duct : run->choices;
    size_t count = run->sized ? 1 : run->n_choices;
    for (size_t k = 0; k < count; k++) {
      double one = ebi_duct_section(&choices[k]).area * (run->parallel > 1 ? run->parallel : 1);
      area = one > area ? one : area;
    }
  }
  return area > 0.0 ? area * velocity * times : 1.0;
}

static bool name_rooms(ebi_readings_reading *reading, ebi_arena *arena) {
  const eb_house *house = reading->house;
  for (size_t i = 0; i < house->n_rooms; i++)
    if (!ebi_names_set(&reading->rooms, arena, house->rooms[i].name, i))
      return false;
  return true;
}

static bool add_place(ebi_readings_reading *reading, ebi_arena *arena, const char *name) {
  if (ebi_names_find(&reading->places, name) != EBI_NO_NAME)
    return true;
  reading->place_names[reading->n_places] = name;
  return ebi_names_set(&reading->places, arena, name, reading->n_places++);
}

static bool is_junction(const ebi_readings_reading *reading, const char *end) {
  return !ebi_name_reserved(end) && ebi_names_find(&reading->rooms, end) == EBI_NO_NAME;
}

static bool name_run(ebi_readings_reading *reading, ebi_arena *arena, size_t index) {
  const ebi_run *run = &reading->house->runs[index];
  int side;
  size_t room = room_of(reading, index, &side);
  if (room != EBI_NO_NAME) {
    ebi_room_terminals *terminals = &reading->terminals[room];
    if (terminals->count[SUPPLY] + terminals->count[EXTRACT] == 0)
      reading->names[reading->n_names++] = reading->house->rooms[room].name;
    terminals->count[side]++;
    terminals->run[side] = index;
    reading->names[reading->n_names++] = run->name;
  }
  return ebi_names_set(&reading->runs, arena, run->name, index) &&
         add_place(reading, arena, run->name) &&
         (!is_junction(reading, run->from) || add_place(reading, arena, run->from)) &&
         (!is_junction(reading, run->to) || add_place(reading, arena, run->to));
}

bool ebi_readings_names(ebi_reader *reader) {
  ebi_readings_reading *reading = ebi_readings_of(reader);
  const eb_house *house = reading->house;
  ebi_arena *arena = reader->arena;
  reading->terminals = EBI_NEW_ARRAY(arena, ebi_room_terminals, house->n_rooms);
  reading->names = EBI_NEW_ARRAY(arena, const char *, 2 * house->n_runs);
  reading->place_names = EBI_NEW_ARRAY(arena, const char *, 3 * house->n_runs + 1);
  reading->read = EBI_NEW_ARRAY(arena, ebi_last_seen, house->n_runs);
  reading->set = EBI_NEW_ARRAY(arena, ebi_last_seen, house->n_runs);
  reading->flow_at_most = flow_limit(house);
  if (!reading->terminals || !reading->names || !reading->place_names || !reading->read ||
      !reading->set || !name_rooms(reading, arena) || !add_place(reading, arena, "house"))
    return false;
  for (size_t i = 0; i < house->n_runs; i++)
    if (!name_run(reading, arena, i))
      return false;
  return true;
}

/* ---- Unknown names ----------------------------------------------------- */

/* "a, b, c" as far as there is room. */
static void join(const char *const *names, size_t count, char *list, size_t size) {
  size_t used = 0;
  list[0] = '\0';
  for (size_t i = 0; i < count; i++) {
    int wrote = snprintf(list + used, size - used, "%s%s", i ? ", " : "", names[i]);
    if (wrote < 0 || (size_t)wrote >= size - used) {
      snprintf(list + used, size - used, "%s", size - used > 5 ? ", ..." : "");
      return;
    }
    used += (size_t)wrote;
  }
}

static void unknown(ebi_reader *reader, const ebi_yaml *name, const char *code, const char *what,
                    const char *const *names, size_t count) {
  if (ebi_diag_errors(reader->context) > EBI_DIAG_MAX) {
    ebi_read_error(reader, name, code, "unknown"); /* counted, not shown */
    return;
  }
  char list[240];
  const char *nearest = ebi_text_nearest(name->text, names, count);
  join(names, count, list, sizeof list);
  if (nearest)
    ebi_read_error(reader, name, code, "the house has no %s \"%s\"; did you mean \"%s\"?", what,
                   ebi_quote(name->text).text, nearest);
  else
    ebi_read_error(reader, name, code, "the house has no %s \"%s\"%s%s", what,
                   ebi_quote(name->text).text, count ? "; it has: " : ": it gives no ducts", list);
}

/* ---- Terminals --------------------------------------------------------- */

/* The runs that end in a room, "s-a, s-b". */
static void room_runs(const ebi_readings_reading *reading, size_t room, char *list, size_t size) {
  const char *names[16];
  size_t count = 0;
  for (size_t i = 0; i < reading->house->n_runs && count < EBI_COUNT_OF(names); i++) {
    int side;
    if (room_of(reading, i, &side) == room)
      names[count++] = reading->house->runs[i].name;
  }
  join(names, count, list, size);
}

static bool room_terminal(ebi_reader *reader, const ebi_yaml *name, size_t room, const char *side,
                          size_t *run) {
  const ebi_readings_reading *reading = ebi_readings_of(reader);
  const ebi_room_terminals *terminals = &reading->terminals[room];
  size_t supply = terminals->count[SUPPLY], extract = terminals->count[EXTRACT];
  char list[240];
  if (side && strcmp(side, ebi_side_words[SUPPLY]) == 0)
    extract = 0;
  if (side && strcmp(side, ebi_side_words[EXTRACT]) == 0)
    supply = 0;
  if (supply + extract == 1) {
    *run = terminals->run[supply ? SUPPLY : EXTRACT];
    return true;
  }
  room_runs(reading, room, list, sizeof list);
  if (supply + extract > 1)
    ebi_read_error(reader, name, "terminal-many", "room \"%s\" has %zu terminals: name the run, %s",
                   ebi_quote(name->text).text, supply + extract, list);
  else if (list[0])
    ebi_read_error(reader, name, "terminal-side", "room \"%s\" has no %s terminal; it has: %s",
                   ebi_quote(name->text).text, side, list);
  else
    ebi_read_error(reader, name, "terminal-none", "room \"%s\" has no terminal",
                   ebi_quote(name->text).text);
  return false;
}

static bool side_fits(ebi_reader *reader, const ebi_yaml *name, int found, const char *side) {
  if (!side || strcmp(side, ebi_side_words[found]) == 0)
    return true;
  ebi_read_error(reader, name, "terminal-side", "\"%s\" is on the %s side, not %s",
                 ebi_quote(name->text).text, ebi_side_words[found], side);
  return false;
}

bool ebi_readings_terminal(ebi_reader *reader, const ebi_yaml *name, const char *side,
                           size_t *run) {
  const ebi_readings_reading *reading = ebi_readings_of(reader);
  size_t index = ebi_names_find(&reading->runs, name->text);
  size_t room = ebi_names_find(&reading->rooms, name->text);
  int found = SUPPLY;
  bool terminal = index != EBI_NO_NAME && room_of(reading, index, &found) != EBI_NO_NAME;
  if (terminal) {
    *run = index;
    return side_fits(reader, name, found, side);
  }
  if (room != EBI_NO_NAME)
    return room_terminal(reader, name, room, side, run);
  if (index != EBI_NO_NAME)
    ebi_read_error(reader, name, "terminal-none",
                   "\"%s\" is a run without a terminal: it neither ends nor begins in a room",
                   ebi_quote(name->text).text);
  else
    unknown(reader, name, "terminal-unknown", "terminal", reading->names, reading->n_names);
  return false;
}

bool ebi_readings_place(ebi_reader *reader, const ebi_yaml *name) {
  const ebi_readings_reading *reading = ebi_readings_of(reader);
  if (ebi_names_find(&reading->places, name->text) != EBI_NO_NAME)
    return true;
  unknown(reader, name, "place-unknown", "junction or run", reading->place_names,
          reading->n_places);
  return false;
}

/* ---- Levels and days --------------------------------------------------- */

/* The name as the house keeps it, or NULL. */
static const char *level_of(const eb_house *house, const char *name) {
  static const char *const always[] = {"normal", "boost"};
  for (size_t i = 0; i < EBI_COUNT_OF(always); i++)
    if (strcmp(always[i], name) == 0)
      return always[i];
  for (size_t i = 0; i < house->n_levels; i++)
    if (strcmp(house->levels[i].name, name) == 0)
      return house->levels[i].name;
  return NULL;
}

void ebi_readings_level(ebi_reader *reader, const ebi_yaml *value, void *record) {
  const eb_house *house = ebi_readings_of(reader)->house;
  const char *names[64] = {"normal", "boost"}, *written = NULL;
  size_t count = 2;
  if (!ebi_read_text(reader, value, &written))
    return;
  const char *level = level_of(house, written);
  if (level) {
    ((ebi_round *)record)->level = level;
    return;
  }
  for (size_t i = 0; i < house->n_levels && count < EBI_COUNT_OF(names); i++)
    if (level_of(house, house->levels[i].name) == house->levels[i].name)
      names[count++] = house->levels[i].name;
  unknown(reader, value, "level-unknown", "level", names, count);
}

/* Days of a month of the Gregorian calendar. */
static int days_of(int year, int month) {
  static const int days[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
  return days[month - 1] + (month == 2 && leap);
}

static int digits(const char *text, int count) {
  int number = 0;
  for (int i = 0; i < count; i++) {
    if (text[i] < '0' || text[i] > '9')
      return -1;
    number = 10 * number + text[i] - '0';
  }
  return number;
}

void ebi_readings_day(ebi_reader *reader, const ebi_yaml *value, const char **day_text) {
  const char *text = NULL;
  if (!ebi_read_text(reader, value, &text))
    return;
  bool good = value->length == 10 && text[4] == '-' && text[7] == '-';
  int year = good ? digits(text, 4) : -1, month = good ? digits(text + 5, 2) : -1;
  int day = good ? digits(text + 8, 2) : -1;
  if (year < 1900 || month < 1 || month > 12 || day < 1 || day > days_of(year, month))
    ebi_read_error(reader, value, "date", "%s \"%s\" is no day: write it like 2026-11-20",
                   ebi_quote(value->key ? value->key : "date").text, ebi_quote(text).text);
  else
    *day_text = text;
}
