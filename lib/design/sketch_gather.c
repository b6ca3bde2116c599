/* sketch_gather.c - which rooms need air by the plan, and where their valves are */

#include <math.h>
#include <string.h>

#include "design/sketch.h"

enum { LONGEST_NAME = 180 }; /* bytes of a room's name that goes into a run's */

/* The larger of normal and boost: ducts are drawn for it. */
static double flow_of(const eb_duty *duty) {
  return duty ? fmax(duty[0].design_m3_s, duty[1].design_m3_s) : 0.0;
}

static const char *name_of(ebi_sketching *sketching, const ebi_sketch_side *side, size_t room,
                           size_t number, size_t count) {
  const char *name = sketching->house->rooms[room].name;
  const char *rest = strlen(name) > LONGEST_NAME
                         ? ebi_arena_format(sketching->scratch, "room-%zu", room + 1)
                         : name;
  if (rest && count > 1)
    rest = ebi_arena_format(sketching->scratch, "%s-%zu", rest, number + 1);
  if (!rest)
    sketching->failed = true;
  return rest ? ebi_sketch_name(sketching, side->prefix, rest) : NULL;
}

/* A valve takes what two tubes carry; the valves of a room stand side by side around its place. */
static void add_terminals(ebi_sketching *sketching, ebi_sketch_side *side, size_t room, double flow,
                          const ebi_position *place) {
  const double slack = 1e-9;
  size_t count = (size_t)fmax(ceil(flow / (2 * EBI_SKETCH_TUBE_FLOW) - slack), 1.0);
  for (size_t i = 0; i < count && !sketching->failed; i++) {
    ebi_sketch_terminal terminal = {.room = room,
                                    .name = name_of(sketching, side, room, i, count),
                                    .flow = flow / (double)count,
                                    .at = {place->at[0], place->at[1], place->at[2]}};
    terminal.at[0] += EBI_SKETCH_VALVES_APART * ((double)i - 0.5 * (double)(count - 1));
    if (!ebi_arena_grow(sketching->scratch, &side->terminals, &side->capacity, side->n_terminals,
                        sizeof terminal))
      sketching->failed = true;
    else
      side->terminals[side->n_terminals++] = terminal;
  }
  side->flow += flow;
}

static void gather_room(ebi_sketching *sketching, ebi_sketch_side *side, size_t i) {
  const ebi_room *room = &sketching->house->rooms[i];
  const eb_room_rates *rates = &sketching->rates->rooms[i];
  bool supply = side->air == EB_SUPPLY;
  double flow = flow_of(supply ? rates->supply : rates->extract);
  const ebi_position *place = supply ? &room->supply_at : &room->extract_at;
  if (!(flow > 0.0))
    return;
  if (place->given)
    add_terminals(sketching, side, i, flow, place);
  else
    ebi_diag(sketching->context, EB_ERROR, "position-missing", room->where, NULL,
             "%s air is planned for room \"%.100s\", but its place is not known: write for example "
             "at: [3.2 m, 1.5 m, 2.4 m] into it",
             supply ? "supply" : "extract", room->name);
}

/* ---- The house's longer side ------------------------------------------- */

static double spread(const ebi_sketching *sketching, size_t axis) {
  double low = sketching->house->unit_at.at[axis], high = low;
  for (int s = 0; s < 2; s++)
    for (size_t i = 0; i < sketching->side[s].n_terminals; i++) {
      low = fmin(low, sketching->side[s].terminals[i].at[axis]);
      high = fmax(high, sketching->side[s].terminals[i].at[axis]);
    }
  return high - low;
}

/* ---- All of it --------------------------------------------------------- */

/* Names the user has given stay his own. */
static void take_names(ebi_sketching *sketching) {
  const eb_house *house = sketching->house;
  for (size_t i = 0; i < house->n_rooms && !sketching->failed; i++)
    sketching->failed =
        !ebi_names_set(&sketching->taken, sketching->scratch, house->rooms[i].name, i);
}

eb_status ebi_sketch_gather(ebi_sketching *sketching) {
  const eb_house *house = sketching->house;
  size_t before = ebi_diag_errors(sketching->context);
  sketching->side[0] = (ebi_sketch_side){.air = EB_SUPPLY, .prefix = "s-"};
  sketching->side[1] = (ebi_sketch_side){.air = EB_EXTRACT, .prefix = "e-"};
  take_names(sketching);
  if (!house->unit_at.given)
    ebi_diag(sketching->context, EB_ERROR, "position-missing", house->where, NULL,
             "the unit has no place: write for example positions: {unit: [2.5 m, 4.0 m, 2.2 m]}");
  for (int s = 0; s < 2; s++)
    for (size_t i = 0; i < house->n_rooms && !sketching->failed; i++)
      gather_room(sketching, &sketching->side[s], i);
  sketching->trunk = spread(sketching, 1) > spread(sketching, 0) ? 1 : 0;
  if (sketching->failed)
    return EB_E_MEMORY;
  return ebi_diag_errors(sketching->context) == before ? EB_OK : EB_E_INPUT;
}
