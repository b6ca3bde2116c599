/* methods_rates.c - what a rule set asks, as case rows ask for it
 *
 * Each question puts a small house together as YAML text, reads it and plans it
 * through the public interface. `rates.SET.whole` and `rates.SET.boost` know
 * every shipped set that rows ask for; the others stand in the list below. */

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "methods.h"

#define FT2 (0.3048 * 0.3048)
#define ROOMS_MAX 12
#define HEIGHT 2.5 /* m, of all rooms */

typedef struct text {
  char bytes[4096];
  size_t length;
} text;

/* One kind of question: the house it is asked of, and what is read off the plan. */
typedef struct question {
  const char *set;
  void (*write)(text *house, const double *in, const char *word);
  eb_status (*read)(const eb_rates *rates, const char *name, double *out);
  const char *word; /* for `write`: a use, or lines at the end */
  const char *name; /* for `read` */
} question;

__attribute__((format(printf, 2, 3))) static void add(text *to, const char *format, ...) {
  va_list list;
  va_start(list, format);
  int n = vsnprintf(to->bytes + to->length, sizeof to->bytes - to->length, format, list);
  va_end(list);
  to->length += n > 0 ? (size_t)n : 0;
  if (to->length >= sizeof to->bytes)
    to->length = sizeof to->bytes - 1;
}

/* ---- Houses ---- */

/* Beds for everybody: as even as can be, the first rooms have one more. */
static int beds(int people, int rooms, int which) {
  return people / rooms + (which < people % rooms);
}

static void add_rooms(text *house, double area, const double *in) {
  int n_bed = (int)in[1] - 1, people = (int)in[2];
  double size = area > 0.0 ? area : 90.0;
  add(house, "rooms:\n  living: {use: living, area: %.9g m2, height: %g m}\n", 0.22 * size, HEIGHT);
  for (int i = 0; i < n_bed && i < ROOMS_MAX; i++) {
    add(house, "  bed-%d: {use: bedroom, area: %.9g m2, height: %g m", i + 1, 0.4 * size / n_bed,
        HEIGHT);
    if (people > 0)
      add(house, ", sleepers: %d", beds(people, n_bed, i));
    add(house, "}\n");
  }
  add(house, "  kitchen: {use: kitchen, area: %.9g m2, height: %g m}\n", 0.1 * size, HEIGHT);
  for (int i = 0; i < (int)in[3]; i++)
    add(house, "  bath-%d: {use: bathroom, area: %.9g m2, height: %g m}\n", i + 1, 0.04 * size,
        HEIGHT);
  for (int i = 0; i < (int)in[4]; i++)
    add(house, "  wc-%d: {use: wc, area: %.9g m2, height: %g m}\n", i + 1, 0.015 * size, HEIGHT);
}

/* floor area, bedrooms, habitable rooms, people (0: not said), bathrooms, WCs. */
static void dwelling(text *house, const double *in, const char *word) {
  add(house, "bedrooms: %g\nfloor_area: %.9g m2\nvolume: %.9g m3\n", in[1], in[0], in[0] * HEIGHT);
  if (in[3] > 0.0)
    add(house, "people: %g\n", in[3]);
  add_rooms(house, in[0], in + 1);
  add(house, "%s", word);
}

/* The same, with its floor area written in square feet. */
static void dwelling_in_feet(text *house, const double *in, const char *word) {
  add(house, "bedrooms: %g\nfloor_area: %.9g ft2\nvolume: %.9g m3\n", in[1],
      round(in[0] / FT2 * 1e6) / 1e6, in[0] * HEIGHT);
  if (in[3] > 0.0)
    add(house, "people: %g\n", in[3]);
  add_rooms(house, in[0], in + 1);
  add(house, "%s", word);
}

/* floor area, bedrooms, storeys, weather factor, leakage flow at 50 Pa. */
static void leaky_in_feet(text *house, const double *in, const char *word) {
  const double rooms[] = {in[0], in[1], in[1] + 1.0, 0.0, 1.0, 0.0};
  dwelling_in_feet(house, rooms, word);
  add(house, "storeys: %g\nsite: {weather_factor: %.9g}\nenvelope: {leakage: %.9g ach}\n", in[2],
      in[3], in[4] * 3600.0 / (in[0] * HEIGHT));
}

/* floor area, bedrooms, people, volume, leakage [m3/(h.m2)]. */
static void leaky_flat(text *house, const double *in, const char *word) {
  const double rooms[] = {in[1], in[1] + 1.0, in[2], 1.0, 0.0};
  add(house,
      "bedrooms: %g\nfloor_area: %.9g m2\nvolume: %.9g m3\npeople: %g\n"
      "envelope: {leakage: %.9g m3/(h.m2), envelope_area: 110 m2}\n",
      in[1], in[0], in[3], in[2], in[4]);
  add_rooms(house, in[0], rooms);
  add(house, "%s", word);
}

/* The volumes of four rooms. */
static void four_volumes(text *house, const double *in, const char *word) {
  add(house, "bedrooms: 3\nfloor_area: 77 m2\nrooms:\n");
  for (int i = 0; i < 4; i++)
    add(house, "  room-%d: {use: %s, volume: %.9g m3}\n", i, i ? "bedroom" : "living", in[i]);
  add(house, "  kitchen: {use: kitchen, volume: 23 m3}\n  bath: {use: bathroom, volume: 14 m3}\n%s",
      word);
}

static void around(text *house) {
  add(house, "bedrooms: 3\nfloor_area: 77 m2\npeople: 4\nvolume: 192.5 m3\nrooms:\n");
}

static void others(text *house) {
  add(house, "  dry: {use: living, area: 21 m2, height: 2.5 m}\n"
             "  wet: {use: bathroom, area: 5 m2, height: 2.5 m}\n");
}

/* One room of a floor area or a volume; the word says its use, and more. */
static void room_of_area(text *house, const double *in, const char *word) {
  around(house);
  add(house, "  asked: {use: %s, area: %.9g m2, height: 2.5 m}\n", word, in[0]);
  others(house);
}

static void room_of_volume(text *house, const double *in, const char *word) {
  around(house);
  add(house, "  asked: {use: %s, volume: %.9g m3}\n", word, in[0]);
  others(house);
}

/* Floor area, and the angle its window opens by. */
static void room_with_window(text *house, const double *in, const char *word) {
  around(house);
  add(house, "  asked: {use: %s, area: %.9g m2, height: 2.5 m, window_angle: %.9g deg}\n", word,
      in[0], in[1]);
  others(house);
}

/* A door's width; the word is its floor finish. */
static void room_with_door(text *house, const double *in, const char *word) {
  around(house);
  add(house,
      "  asked: {use: bedroom, area: 11 m2, height: 2.5 m}\n  hall: {use: hall, area: 6 m2}\n");
  others(house);
  add(house, "doors:\n  - {between: [asked, hall], width: %.9g m, floor_finish: %s}\n", in[0],
      word);
}

/* ---- What is read off the plan ---- */

static eb_status whole(const eb_rates *rates, const char *name, double *out) {
  (void)name;
  *out = rates->required_m3_s;
  return EB_OK;
}

static eb_status boost(const eb_rates *rates, const char *name, double *out) {
  (void)name;
  *out = rates->boost_required_m3_s;
  return EB_OK;
}

/* A flow that the rules name and that binds no room. */
static eb_status named(const eb_rates *rates, const char *name, double *out) {
  for (size_t i = 0; i < rates->n_flows; i++) {
    if (strcmp(rates->flows[i].name, name) == 0) {
      *out = rates->flows[i].flow_m3_s;
      return EB_OK;
    }
  }
  return EB_E_INPUT;
}

/* What the first room needs, "normal" or "boost". */
static eb_status first_room(const eb_rates *rates, const char *name, double *out) {
  const eb_room_rates *room = &rates->rooms[0];
  const eb_duty *duty = room->supply ? room->supply : room->extract;
  if (!duty)
    return EB_E_INPUT;
  *out = duty[strcmp(name, "boost") == 0].required_m3_s;
  return EB_OK;
}

static eb_status supply_of_four(const eb_rates *rates, const char *name, double *out) {
  (void)name;
  for (int i = 0; i < 4; i++)
    out[i] = rates->rooms[i].supply[0].design_m3_s;
  return EB_OK;
}

/* Both totals, then what each of four wet rooms gives off at normal. */
static eb_status extract_of_four(const eb_rates *rates, const char *name, double *out) {
  int n = 0;
  (void)name;
  out[0] = rates->required_m3_s;
  out[1] = rates->extract_total_m3_s[1];
  for (size_t i = 0; i < rates->n_rooms; i++)
    if (rates->rooms[i].extract && n < 4)
      out[2 + n++] = rates->rooms[i].extract[0].design_m3_s;
  return n == 4 ? EB_OK : EB_E_INPUT;
}

static eb_status fan_of_first(const eb_rates *rates, const char *name, double *out) {
  (void)name;
  *out = rates->rooms[0].intermittent_m3_s;
  return EB_OK;
}

/* A window that opens too little is out of the rule's range. */
static eb_status purge_of_first(const eb_rates *rates, const char *name, double *out) {
  *out = strcmp(name, "fan") == 0 ? rates->rooms[0].purge_fan_m3_s : rates->rooms[0].purge_area_m2;
  return rates->rooms[0].purge_refused ? EB_E_RANGE : EB_OK;
}

static eb_status ventilators(const eb_rates *rates, const char *name, double *out) {
  bool alone = strcmp(name, "extract-only") == 0;
  out[0] = alone ? rates->extract_only_area_m2 : rates->background_area_m2;
  out[1] = alone ? rates->extract_only_least_number : rates->background_least_number;
  return EB_OK;
}

/* Free area and gap under the door of the first room. */
static eb_status door_of_first(const eb_rates *rates, const char *name, double *out) {
  (void)name;
  for (size_t i = 0; i < rates->n_transfers; i++) {
    if (strcmp(rates->transfers[i].room, rates->rooms[0].name) == 0) {
      out[0] = rates->transfers[i].rule_area_m2;
      out[1] = rates->transfers[i].rule_undercut_m;
      return EB_OK;
    }
  }
  return EB_E_INPUT;
}

/* ---- Asking ---- */

static eb_status plan_of(eb_context *context, const question *asked, const text *house,
                         double *out) {
  eb_house *read = NULL;
  const eb_rates *rates = NULL;
  const char *source = getenv("srcdir");
  char tables[1024];
  snprintf(tables, sizeof tables, "%s/tables", source ? source : ".");
  eb_status status = eb_tables_search(context, tables);
  if (status == EB_OK)
    status = eb_house_read(context, "case.yaml", house->bytes, house->length, NULL, &read);
  if (status == EB_OK)
    status = eb_rates_plan(context, read, NULL, NULL, &rates);
  return status == EB_OK ? asked->read(rates, asked->name, out) : status;
}

static eb_status ask(const question *asked, const double *in, double *out) {
  text house = {.length = 0};
  add(&house, "rules: %s\n", asked->set);
  asked->write(&house, in, asked->word);
  eb_context *context = eb_context_new(NULL);
  if (!context)
    return EB_E_MEMORY;
  eb_status status = plan_of(context, asked, &house, out);
  size_t count;
  const eb_diagnostic *found = eb_diagnostics(context, &count);
  for (size_t i = 0; i < count; i++)
    if (found[i].severity == EB_ERROR)
      fprintf(stderr, "# %s: %s\n", asked->set, found[i].message);
  eb_context_free(context);
  return status;
}

#define STORE                                                                                      \
  "  store: {use: store, area: 3 m2, openable_window: no}\n"                                       \
  "  upstairs: {use: bedroom, area: 14 m2, storey: 1}\n"
#define GAS "appliances:\n  - {kind: cooker, fuel: gas, room: kitchen}\n"
#define UTILITY "  utility: {use: utility, area: 4 m2}\n"

/* QUESTION(function, method, inputs, outputs, write, read, set, word, name) */
#define WHOLE(id, set)                                                                             \
  QUESTION(whole_##id, "rates." set ".whole", 6, 1, dwelling, whole, set, "", "")
#define BOOST(id, set)                                                                             \
  QUESTION(boost_##id, "rates." set ".boost", 6, 1, dwelling, boost, set, "", "")
#define FEET(id, set)                                                                              \
  QUESTION(whole_##id, "rates." set ".whole", 6, 1, dwelling_in_feet, whole, set, "", "")          \
  QUESTION(boost_##id, "rates." set ".boost", 6, 1, dwelling_in_feet, boost, set, "", "")
#define BOTH(id, set) WHOLE(id, set) BOOST(id, set)
#define FLOW(id, set, flow)                                                                        \
  QUESTION(flow_##id, "rates." set "." flow, 6, 1, dwelling, named, set, "", flow)
#define ROOM(id, set, use, level)                                                                  \
  QUESTION(room_##id, "rates." set "." use "." level, 1, 1, room_of_area, first_room, set,         \
           "[" use "]", level)

#define QUESTIONS                                                                                  \
  BOTH(e21, "england-2021")                                                                        \
  BOTH(e10, "england-2010")                                                                        \
  BOTH(wal, "wales-2022")                                                                          \
  BOTH(sco, "scotland-2015")                                                                       \
  BOTH(nir, "northern-ireland-2012")                                                               \
  BOTH(irl, "ireland-2019")                                                                        \
  FEET(ash, "ashrae-62.2")                                                                         \
  FEET(tab, "ashrae-62.2-table")                                                                   \
  BOTH(en1, "en-16798-1-i")                                                                        \
  BOTH(en2, "en-16798-1-ii")                                                                       \
  BOTH(en3, "en-16798-1-iii")                                                                      \
  BOTH(en4, "en-16798-1-iv")                                                                       \
  BOTH(d09, "din-1946-6-2009")                                                                     \
  BOTH(d19, "din-1946-6-2019")                                                                     \
  BOTH(fra, "france-1982")                                                                         \
  BOTH(nld, "netherlands-2012")                                                                    \
  BOTH(bel, "belgium-d50-001")                                                                     \
  BOTH(dnk, "denmark-br18")                                                                        \
  BOTH(swe, "sweden-bbr")                                                                          \
  BOTH(nor, "norway-tek17")                                                                        \
  BOTH(fin, "finland-2017")                                                                        \
  BOTH(can, "canada-bc-2024")                                                                      \
  BOTH(nzl, "new-zealand-4303")                                                                    \
  BOTH(irc, "us-irc-m1505")                                                                        \
  BOTH(low, "low-energy")                                                                          \
  BOTH(pol, "poland-b03430")                                                                       \
  BOTH(aut, "austria-h6038")                                                                       \
  BOTH(cze, "czech-15665")                                                                         \
  BOTH(esp, "spain-hs3")                                                                           \
  BOTH(jpn, "japan-bsa")                                                                           \
  FEET(min, "minnesota-1322")                                                                      \
  FEET(man, "us-manufactured-homes")                                                               \
  FLOW(dnk, "denmark-br18", "unoccupied")                                                          \
  FLOW(swe, "sweden-bbr", "unoccupied")                                                            \
  FLOW(fin, "finland-2017", "reduced")                                                             \
  FLOW(fra, "france-1982", "automatic-control")                                                    \
  ROOM(nl1, "netherlands-2012", "bedroom", "normal")                                               \
  ROOM(be1, "belgium-d50-001", "living", "normal")                                                 \
  ROOM(be2, "belgium-d50-001", "bedroom", "normal")                                                \
  ROOM(be3, "belgium-d50-001", "bathroom", "normal")                                               \
  ROOM(be4, "belgium-d50-001", "kitchen", "normal")                                                \
  ROOM(be5, "belgium-d50-001", "wc", "normal")                                                     \
  ROOM(nz1, "new-zealand-4303", "kitchen", "normal")                                               \
  ROOM(nz2, "new-zealand-4303", "bathroom", "normal")                                              \
  ROOM(bc1, "canada-bc-2024", "kitchen", "boost")                                                  \
  ROOM(bc2, "canada-bc-2024", "bathroom", "normal")                                                \
  ROOM(fr1, "france-1982", "kitchen", "normal")                                                    \
  QUESTION(nl_open, "rates.netherlands-2012.living-kitchen", 1, 1, room_of_area, first_room,       \
           "netherlands-2012", "[living, kitchen]", "normal")                                      \
  QUESTION(be_open, "rates.belgium-d50-001.living-kitchen", 1, 1, room_of_area, first_room,        \
           "belgium-d50-001", "[kitchen, living]", "normal")                                       \
  QUESTION(split, "rates.england-2021.supply_split", 4, 4, four_volumes, supply_of_four,           \
           "england-2021", UTILITY, "")                                                            \
  QUESTION(extract, "rates.england-2021.extract_split", 6, 6, dwelling, extract_of_four,           \
           "england-2021", UTILITY, "")                                                            \
  QUESTION(inner, "rates.england-2021.inner_bathroom_fan", 1, 1, room_of_volume, fan_of_first,     \
           "england-2021", "bathroom, outside_wall: no, openable_window: no", "")                  \
  QUESTION(hood, "rates.england-2021.hood_fan", 1, 1, room_of_area, fan_of_first, "england-2021",  \
           "kitchen, hood_to_outside: yes", "")                                                    \
  QUESTION(no_hood, "rates.england-2021.kitchen_fan", 1, 1, room_of_area, fan_of_first,            \
           "england-2021", "kitchen", "")                                                          \
  QUESTION(nz_fan, "rates.new-zealand-4303.kitchen_fan", 1, 1, room_of_area, fan_of_first,         \
           "new-zealand-4303", "kitchen", "")                                                      \
  QUESTION(nz_bath, "rates.new-zealand-4303.bathroom_fan", 1, 1, room_of_area, fan_of_first,       \
           "new-zealand-4303", "bathroom", "")                                                     \
  QUESTION(window, "rates.england-2021.purge_window", 2, 1, room_with_window, purge_of_first,      \
           "england-2021", "bedroom", "window")                                                    \
  QUESTION(purge, "rates.england-2021.purge_fan", 1, 1, room_of_volume, purge_of_first,            \
           "england-2021", "bedroom", "fan")                                                       \
  QUESTION(vents, "rates.england-2021.ventilators", 6, 2, dwelling, ventilators, "england-2021",   \
           "storeys: 2\n", "background")                                                           \
  QUESTION(mev, "rates.england-2021.extract_only_ventilators", 6, 2, dwelling, ventilators,        \
           "england-2021", "storeys: 2\n", "extract-only")                                         \
  QUESTION(laid, "rates.england-2021.door_laid", 1, 2, room_with_door, door_of_first,              \
           "england-2021", "laid", "")                                                             \
  QUESTION(bare, "rates.england-2021.door_bare", 1, 2, room_with_door, door_of_first,              \
           "england-2021", "bare", "")                                                             \
  QUESTION(credit, "rates.england-2010.leaky", 5, 1, leaky_flat, whole, "england-2010", "", "")    \
  QUESTION(inf, "rates.ashrae-62.2.leaky", 5, 1, leaky_in_feet, whole, "ashrae-62.2", "", "")      \
  QUESTION(inf_out, "rates.ashrae-62.2.leaky_extract_only", 5, 1, leaky_in_feet, named,            \
           "ashrae-62.2", "", "extract-only-fan")                                                  \
  QUESTION(gas, "rates.poland-b03430.gas", 6, 1, dwelling, whole, "poland-b03430", GAS, "")        \
  QUESTION(store, "rates.poland-b03430.store_and_upstairs", 6, 1, dwelling, whole,                 \
           "poland-b03430", STORE, "")                                                             \
  QUESTION(jp_room, "rates.japan-bsa.windowless_for_two", 1, 1, room_of_area, first_room,          \
           "japan-bsa", "bedroom, sleepers: 2, openable_window: no", "normal")

#define QUESTION(id, method, n_in, n_out, write, read, set, word, name)                            \
  static eb_status ask_##id(const double *in, int count, double *out) {                            \
    static const question asked = {set, write, read, word, name};                                  \
    (void)count;                                                                                   \
    return ask(&asked, in, out);                                                                   \
  }
QUESTIONS
#undef QUESTION

const case_method case_methods_rates[] = {
#define QUESTION(id, method, n_in, n_out, write, read, set, word, name)                            \
  {method, n_in, n_out, ask_##id},
    QUESTIONS
#undef QUESTION
    {NULL, 0, 0, NULL}};
