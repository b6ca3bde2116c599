/* ducts_house.c - the house around the ducts: rooms, doors, envelope
 *
 * Where the leakage of the envelope is known, rooms float: each leaks to outdoors by
 * the power 0.65 of its pressure, its part of the leakage at 50 Pa being that of its
 * volume; doors are the gaps below them, windows ajar are openings. Gaps and openings
 * have a discharge coefficient of 0.6 (sharp-edged; from memory). A way without a width
 * is open: its rooms are one. Rooms that no door names are open to a space in common,
 * and so is, of the rooms that doors join to each other, the hall, else the one with the
 * most doors, else the first of the file. */

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "design/ducts.h"

#define DISCHARGE 0.6
#define LEAKAGE_PA 50.0
#define LEAKAGE_EXPONENT 0.65 /* usual mean of blower door tests (from memory) */
#define LEAST_LEAKAGE 1e-5    /* m3/s at 50 Pa: without any there is no pressure */
#define LEAST_GAP 5e-4        /* m2, of a door shut tight: 0.1 mm around its leaf (own figure) */
#define UNDERCUT 0.010        /* m, where neither house nor rules name one */
#define LEAST_PART 1e-12      /* m3/s at 50 Pa of one room: less is none */

ebi_element ebi_gap_element(double area) {
  ebi_element gap = {.kind = EBI_ELEMENT_LOSS, .parallel = 1.0};
  gap.as.loss.area = area;
  gap.as.loss.forward = gap.as.loss.backward = 1.0 / (DISCHARGE * DISCHARGE);
  return gap;
}

/* ---- Leakage ---- */

static double rooms_volume(const eb_house *house) {
  double sum = 0.0;
  for (size_t r = 0; r < house->n_rooms; r++)
    sum += house->rooms[r].volume.given ? house->rooms[r].volume.value : 0.0;
  return sum;
}

static double dwelling_volume(const ebi_ducts_job *job) {
  double all = job->house->volume.given ? job->house->volume.value : job->rates->volume_m3;
  return fmax(all, rooms_volume(job->house));
}

static bool find_leakage(ebi_ducts_job *job) {
  const eb_house *house = job->house;
  double volume = dwelling_volume(job);
  if (house->q50.given && house->envelope_area.given)
    job->house_air.leakage = house->q50.value * house->envelope_area.value;
  else if (house->n50.given && volume > 0.0)
    job->house_air.leakage = house->n50.value / 3600.0 * volume;
  else
    return false;
  return true;
}

static void say_unknown(const ebi_ducts_job *job) {
  ebi_diag(job->context, EB_NOTE, "house-pressure", job->house->where, NULL,
           "how much the envelope leaks is not given (envelope: leakage, with a volume or an "
           "area): all rooms are taken to stand at the pressure outdoors, so what closed doors, "
           "unequal flows and hoods do to them is not told");
}

/* ---- Which rooms are one ---- */

/* Sets of rooms, each named by one of them. */
typedef struct ways {
  size_t *open;   /* rooms without a door between them */
  size_t *group;  /* rooms with a way to each other */
  size_t *doors;  /* of a room */
  size_t *anchor; /* of a group: the room that is open to the common space */
} ways;

static size_t find(size_t *set, size_t room) {
  while (set[room] != room) {
    set[room] = set[set[room]];
    room = set[room];
  }
  return room;
}

static void join(size_t *set, size_t a, size_t b) {
  a = find(set, a);
  b = find(set, b);
  set[a < b ? b : a] = a < b ? a : b;
}

static bool is_hall(const ebi_room *room) {
  static const char *const halls[] = {"hall", "landing", "stairs", "corridor"};
  for (size_t i = 0; i < room->n_uses; i++)
    for (size_t h = 0; h < sizeof halls / sizeof halls[0]; h++)
      if (ebi_text_equal(room->uses[i], halls[h]))
        return true;
  return false;
}

static bool before(const eb_house *house, const ways *w, size_t room, size_t other) {
  bool hall = is_hall(&house->rooms[room]), other_hall = is_hall(&house->rooms[other]);
  return hall != other_hall ? hall : w->doors[room] > w->doors[other];
}

static bool find_ways(const ebi_ducts_job *job, ways *w) {
  const eb_house *house = job->house;
  size_t n = house->n_rooms;
  size_t *memory = EBI_NEW_ARRAY(job->scratch, size_t, 4 * n);
  if (memory == NULL)
    return false;
  *w = (ways){memory, memory + n, memory + 2 * n, memory + 3 * n};
  for (size_t r = 0; r < n; r++)
    w->open[r] = w->group[r] = r;
  for (size_t d = 0; d < house->n_doors; d++) {
    size_t a = ebi_names_find(&job->rooms, house->doors[d].between[0]);
    size_t b = ebi_names_find(&job->rooms, house->doors[d].between[1]);
    join(w->group, a, b);
    if (!house->doors[d].width.given)
      join(w->open, a, b);
    w->doors[a]++;
    w->doors[b]++;
  }
  for (size_t r = 0; r < n; r++)
    w->anchor[r] = r;
  for (size_t r = 0; r < n; r++) {
    size_t *anchor = &w->anchor[find(w->group, r)];
    if (before(house, w, r, *anchor))
      *anchor = r;
  }
  return true;
}

/* ---- Nodes ---- */

static eb_status float_rooms(ebi_ducts_job *job) {
  ebi_rooms *rooms = &job->house_air;
  ways w;
  if (!find_ways(job, &w))
    return EB_E_MEMORY;
  for (size_t r = 0; r < job->house->n_rooms; r++)
    rooms->node[r] = EBI_NONE;
  for (size_t r = 0; r < job->house->n_rooms; r++) {
    size_t open = find(w.open, r);
    if (open == find(w.open, w.anchor[find(w.group, r)]))
      rooms->node[r] = rooms->common;
    else if (open < r)
      rooms->node[r] = rooms->node[open];
    else
      rooms->node[r] = ebi_network_node(job->network, job->house->rooms[r].name);
    if (rooms->node[r] == EBI_NONE)
      return EB_E_MEMORY;
  }
  return EB_OK;
}

eb_status ebi_house_start(ebi_ducts_job *job) {
  ebi_rooms *rooms = &job->house_air;
  job->network = ebi_network_new(job->context);
  rooms->node = EBI_NEW_ARRAY(job->scratch, ebi_node, job->house->n_rooms);
  if (job->network == NULL || rooms->node == NULL)
    return EB_E_MEMORY;
  rooms->outdoors = ebi_network_node(job->network, "outdoors");
  rooms->common = ebi_network_node(job->network, "the house");
  if (rooms->outdoors == EBI_NONE || rooms->common == EBI_NONE)
    return EB_E_MEMORY;
  ebi_network_fix(job->network, rooms->outdoors, 0.0);
  rooms->known = find_leakage(job);
  job->result->house_known = rooms->known;
  if (rooms->known)
    return float_rooms(job);
  say_unknown(job);
  ebi_network_fix(job->network, rooms->common, 0.0);
  for (size_t r = 0; r < job->house->n_rooms; r++)
    rooms->node[r] = rooms->common;
  return EB_OK;
}

/* ---- Doors ---- */

/* The gap below a door. */
static double gap_of(const eb_house *house, const ebi_door *door, size_t *assumed) {
  double undercut = UNDERCUT;
  if (house->rules != NULL && house->rules->transfer.undercut_laid.given)
    undercut = house->rules->transfer.undercut_laid.value;
  if (door->undercut.given)
    undercut = door->undercut.value;
  else
    ++*assumed;
  return fmax(door->width.value * undercut, LEAST_GAP);
}

static void say_assumed(const ebi_ducts_job *job, size_t assumed) {
  const ebi_rule_set *rules = job->house->rules;
  bool ruled = rules != NULL && rules->transfer.undercut_laid.given;
  double undercut = ruled ? rules->transfer.undercut_laid.value : UNDERCUT;
  if (assumed > 0)
    ebi_diag(job->context, EB_NOTE, "undercut-default", job->house->where,
             ruled ? rules->transfer.source.text : NULL,
             "the gap below %zu door%s is not given (doors: undercut): %.4g mm are taken%s",
             assumed, assumed == 1 ? "" : "s", 1e3 * undercut, ruled ? ", as the rules ask" : "");
}

static eb_status add_doors(ebi_ducts_job *job) {
  const ebi_rooms *rooms = &job->house_air;
  size_t assumed = 0;
  for (size_t d = 0; d < job->house->n_doors; d++) {
    const ebi_door *door = &job->house->doors[d];
    ebi_node a = rooms->node[ebi_names_find(&job->rooms, door->between[0])];
    ebi_node b = rooms->node[ebi_names_find(&job->rooms, door->between[1])];
    if (a == b || !door->width.given)
      continue;
    ebi_element gap = ebi_gap_element(gap_of(job->house, door, &assumed));
    if (ebi_network_part(job->network, "a door", a, b, job->air[EB_EXTRACT], &gap, 1) == EBI_NONE)
      return EB_E_MEMORY;
  }
  say_assumed(job, assumed);
  return EB_OK;
}

/* ---- Envelope ---- */

/* Outdoor air comes in where a house is under pressure from outdoors. */
static eb_status add_to_outdoors(ebi_ducts_job *job, const char *name, ebi_node room,
                                 const ebi_element *element) {
  ebi_part part = ebi_network_part(job->network, name, room, job->house_air.outdoors,
                                   job->air[EB_OUTDOOR], element, 1);
  return part == EBI_NONE ? EB_E_MEMORY : EB_OK;
}

static eb_status add_leak(ebi_ducts_job *job, ebi_node room, double share) {
  ebi_element leak = {.kind = EBI_ELEMENT_POWER, .parallel = 1.0};
  leak.as.power.drop = LEAKAGE_PA;
  leak.as.power.at = share * job->house_air.leakage;
  leak.as.power.exponent = 1.0 / LEAKAGE_EXPONENT;
  if (!(leak.as.power.at > LEAST_PART))
    return EB_OK;
  return add_to_outdoors(job, "the envelope", room, &leak);
}

/* By volume; what is not in a room of the file is the common space. */
static eb_status add_leaks(ebi_ducts_job *job) {
  const ebi_rooms *rooms = &job->house_air;
  double volume = dwelling_volume(job), common = 1.0;
  eb_status status = EB_OK;
  for (size_t r = 0; status == EB_OK && r < job->house->n_rooms; r++) {
    const ebi_given *own = &job->house->rooms[r].volume;
    double share = own->given && volume > 0.0 ? own->value / volume : 0.0;
    if (rooms->node[r] == rooms->common)
      continue;
    common -= share;
    status = add_leak(job, rooms->node[r], share);
  }
  return status == EB_OK ? add_leak(job, rooms->common, common) : status;
}

static void keep_some_leakage(ebi_ducts_job *job) {
  if (job->house_air.leakage >= LEAST_LEAKAGE || job->house->n_openings > 0)
    return;
  job->house_air.leakage = LEAST_LEAKAGE;
  ebi_diag(job->context, EB_NOTE, "envelope-tight", job->house->where, NULL,
           "an envelope without any leak has no pressure of its own: %.3g l/s at 50 Pa are taken",
           1e3 * LEAST_LEAKAGE);
}

static eb_status add_openings(ebi_ducts_job *job) {
  eb_status status = EB_OK;
  for (size_t i = 0; status == EB_OK && i < job->house->n_openings; i++) {
    const ebi_opening *opening = &job->house->openings[i];
    size_t room = ebi_names_find(&job->rooms, opening->room);
    ebi_node node = room == EBI_NO_NAME ? job->house_air.common : job->house_air.node[room];
    ebi_element gap = ebi_gap_element(opening->area);
    if (!(opening->area > 0.0))
      continue;
    status = add_to_outdoors(job, "an opening", node, &gap);
  }
  return status;
}

static eb_status add_house(ebi_ducts_job *job) {
  keep_some_leakage(job);
  eb_status status = add_doors(job);
  if (status == EB_OK)
    status = add_leaks(job);
  if (status == EB_OK)
    status = add_openings(job);
  return status == EB_OK ? ebi_states_assemble(job) : status;
}

eb_status ebi_house_assemble(ebi_ducts_job *job) {
  ebi_rooms *rooms = &job->house_air;
  rooms->relief = ebi_network_node(job->network, "outdoors");
  if (rooms->relief == EBI_NONE)
    return EB_E_MEMORY;
  ebi_network_fix(job->network, rooms->relief, -EBI_DRAUGHT_PA);
  job->n_nodes = rooms->relief + 1;
  job->draw = EBI_NEW_ARRAY(job->scratch, double, job->n_nodes);
  if (job->draw == NULL)
    return EB_E_MEMORY;
  return rooms->known ? add_house(job) : EB_OK;
}
