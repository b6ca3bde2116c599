/* ducts_layout.c - which run meets which, and how far each is from the unit */

#include <math.h>
#include <string.h>

#include "design/ducts.h"
#include "model/duct.h"

static bool of_side(const ebi_side *side, const ebi_run *run) {
  return run->air == side->inlet || run->air == side->outlet;
}

static const char *const air_names[] = {"outdoor", "supply", "extract", "exhaust"};

ebi_end *ebi_side_end(const ebi_side *side, size_t number) {
  ebi_side_run *run = &side->runs[number >> 1];
  return (number & 1) != 0 ? &run->to : &run->from;
}

/* ---- Ends ---- */

static const ebi_junction *junction_given(const ebi_ducts_job *job, const char *name) {
  size_t number = ebi_names_find(&job->junctions, name);
  return number == EBI_NO_NAME ? NULL : &job->house->junctions[number];
}

/* The meeting called `name`, made where it is new; EBI_NONE: memory. */
static size_t meeting_named(ebi_side *side, ebi_names *names, const char *name) {
  size_t number = ebi_names_find(names, name);
  if (number != EBI_NO_NAME)
    return number;
  if (!ebi_names_set(names, side->job->scratch, name, side->n_meetings))
    return EBI_NONE;
  side->meetings[side->n_meetings] =
      (ebi_meeting){.name = name, .given = junction_given(side->job, name), .distance = EBI_NONE};
  return side->n_meetings++;
}

static bool set_end(ebi_side *side, ebi_names *names, const char *place, ebi_end *end) {
  *end = (ebi_end){.kind = EBI_END_MEETING, .node = EBI_NONE, .tee = EBI_NONE};
  if (strcmp(place, "unit") == 0) {
    end->kind = EBI_END_UNIT;
    return true;
  }
  if (strcmp(place, "outdoors") == 0) {
    end->kind = EBI_END_OUTDOORS;
    return true;
  }
  end->number = ebi_names_find(&side->job->rooms, place);
  if (end->number != EBI_NO_NAME) {
    end->kind = EBI_END_ROOM;
    return true;
  }
  end->number = meeting_named(side, names, place);
  return end->number != EBI_NONE;
}

/* ---- Fittings whose coefficient goes with the Reynolds number ---- */

/* Their curves, one for each fitting of the tables. */
typedef struct reynolds_curves {
  const ebi_fitting **fittings;
  const ebi_curve **curves;
  size_t count, fitting_room, curve_room;
} reynolds_curves;

static const ebi_curve *new_curve(ebi_arena *arena, const ebi_fitting *fitting) {
  size_t count = fitting->n_by_reynolds;
  double *x = EBI_NEW_ARRAY(arena, double, count), *y = EBI_NEW_ARRAY(arena, double, count);
  for (size_t i = 0; x != NULL && y != NULL && i < count; i++) {
    x[i] = log(fitting->by_reynolds[i].x);
    y[i] = fitting->by_reynolds[i].y;
  }
  return x != NULL && y != NULL ? ebi_curve_new(arena, x, y, count) : NULL;
}

/* NULL: memory. */
static const ebi_curve *curve_of(ebi_arena *arena, reynolds_curves *all,
                                 const ebi_fitting *fitting) {
  for (size_t i = 0; i < all->count; i++)
    if (all->fittings[i] == fitting)
      return all->curves[i];
  const ebi_curve *curve = new_curve(arena, fitting);
  if (curve == NULL ||
      !ebi_arena_grow(arena, &all->fittings, &all->fitting_room, all->count,
                      sizeof *all->fittings) ||
      !ebi_arena_grow(arena, &all->curves, &all->curve_room, all->count, sizeof *all->curves))
    return NULL;
  all->fittings[all->count] = fitting;
  all->curves[all->count++] = curve;
  return curve;
}

static eb_status give_curves(ebi_arena *arena, reynolds_curves *all, ebi_side_run *own) {
  const ebi_curve **curves = NULL;
  for (size_t i = 0; i < own->run->n_fittings; i++) {
    const ebi_fitting *fitting = own->run->fittings[i].fitting;
    if (fitting == NULL || fitting->n_by_reynolds == 0)
      continue;
    if (curves == NULL)
      curves = EBI_NEW_ARRAY(arena, const ebi_curve *, own->run->n_fittings);
    if (curves == NULL || (curves[i] = curve_of(arena, all, fitting)) == NULL)
      return EB_E_MEMORY;
  }
  own->by_reynolds = curves;
  return EB_OK;
}

static eb_status give_all_curves(ebi_side *side) {
  reynolds_curves all = {0};
  eb_status status = EB_OK;
  for (size_t i = 0; status == EB_OK && i < side->n_runs; i++)
    status = give_curves(side->job->scratch, &all, &side->runs[i]);
  return status;
}

/* ---- The runs of a side ---- */

static eb_status collect(ebi_side *side) {
  const eb_house *house = side->job->house;
  ebi_names names = {0};
  side->runs = EBI_NEW_ARRAY(side->job->scratch, ebi_side_run, house->n_runs);
  side->meetings = EBI_NEW_ARRAY(side->job->scratch, ebi_meeting, 2 * house->n_runs);
  if (side->runs == NULL || side->meetings == NULL)
    return EB_E_MEMORY;
  for (size_t i = 0; i < house->n_runs; i++) {
    const ebi_run *run = &house->runs[i];
    if (!of_side(side, run))
      continue;
    ebi_section section = ebi_duct_section(&run->duct);
    ebi_side_run *own = &side->runs[side->n_runs++];
    *own = (ebi_side_run){.run = run,
                          .number = i,
                          .section = section,
                          .area = section.area * run->parallel,
                          .distance = EBI_NONE};
    if (!set_end(side, &names, run->from, &own->from) || !set_end(side, &names, run->to, &own->to))
      return EB_E_MEMORY;
  }
  return EB_OK;
}

/* Gives each meeting the list of its ends, in the order of the file. */
static eb_status gather_ends(ebi_side *side) {
  size_t *room = EBI_NEW_ARRAY(side->job->scratch, size_t, 2 * side->n_runs);
  if (room == NULL)
    return EB_E_MEMORY;
  for (size_t e = 0; e < 2 * side->n_runs; e++) {
    const ebi_end *end = ebi_side_end(side, e);
    if (end->kind == EBI_END_MEETING)
      side->meetings[end->number].n_ends++;
  }
  for (size_t m = 0; m < side->n_meetings; m++) {
    side->meetings[m].ends = room;
    room += side->meetings[m].n_ends;
    side->meetings[m].n_ends = 0;
  }
  for (size_t e = 0; e < 2 * side->n_runs; e++) {
    const ebi_end *end = ebi_side_end(side, e);
    if (end->kind != EBI_END_MEETING)
      continue;
    ebi_meeting *meeting = &side->meetings[end->number];
    meeting->ends[meeting->n_ends++] = e;
  }
  return EB_OK;
}

/* ---- Distance from the unit ---- */

/* Walks over a run to the meeting at its far end; one met before closes a loop. */
static void step_over(ebi_side *side, size_t near_end, size_t distance, size_t *queue,
                      size_t *queued) {
  ebi_side_run *run = &side->runs[near_end >> 1];
  if (run->distance != EBI_NONE)
    return;
  run->distance = distance;
  const ebi_end *far_end = ebi_side_end(side, near_end ^ 1);
  if (far_end->kind != EBI_END_MEETING)
    return;
  ebi_meeting *meeting = &side->meetings[far_end->number];
  if (meeting->distance != EBI_NONE) {
    side->looped = true;
    return;
  }
  meeting->distance = distance + 1;
  queue[(*queued)++] = far_end->number;
}

static eb_status measure_distances(ebi_side *side) {
  size_t *queue = EBI_NEW_ARRAY(side->job->scratch, size_t, side->n_meetings);
  size_t queued = 0;
  if (queue == NULL)
    return EB_E_MEMORY;
  for (size_t e = 0; e < 2 * side->n_runs; e++)
    if (ebi_side_end(side, e)->kind == EBI_END_UNIT)
      step_over(side, e, 0, queue, &queued);
  for (size_t next = 0; next < queued; next++) {
    const ebi_meeting *meeting = &side->meetings[queue[next]];
    for (size_t i = 0; i < meeting->n_ends; i++)
      step_over(side, meeting->ends[i], meeting->distance, queue, &queued);
  }
  return EB_OK;
}

/* ---- What cannot be ---- */

/* Where air of a kind may come from or go to, beside meetings. */
static bool end_allowed(eb_air air, bool at_to, ebi_end_kind kind) {
  static const ebi_end_kind from[] = {[EB_OUTDOOR] = EBI_END_OUTDOORS,
                                      [EB_SUPPLY] = EBI_END_UNIT,
                                      [EB_EXTRACT] = EBI_END_ROOM,
                                      [EB_EXHAUST] = EBI_END_UNIT};
  static const ebi_end_kind to[] = {[EB_OUTDOOR] = EBI_END_UNIT,
                                    [EB_SUPPLY] = EBI_END_ROOM,
                                    [EB_EXTRACT] = EBI_END_UNIT,
                                    [EB_EXHAUST] = EBI_END_OUTDOORS};
  return kind == EBI_END_MEETING || kind == (at_to ? to[air] : from[air]);
}

static const char *end_allowed_text(eb_air air, bool at_to) {
  static const char *const from[] = {"outdoors", "the unit", "a room", "the unit"};
  static const char *const to[] = {"the unit", "a room", "the unit", "outdoors"};
  return at_to ? to[air] : from[air];
}

static void check_ends(const ebi_side *side, const ebi_side_run *own) {
  const ebi_run *run = own->run;
  if (own->from.kind == EBI_END_MEETING && strcmp(run->from, run->to) == 0)
    ebi_diag(side->job->context, EB_ERROR, "run-end", run->to_where, NULL,
             "run %s ends where it begins, at %s", run->name, run->from);
  if (!end_allowed(run->air, false, own->from.kind))
    ebi_diag(side->job->context, EB_ERROR, "run-end", run->from_where, NULL,
             "%s run %s comes from %s: %s air comes from %s or a junction", air_names[run->air],
             run->name, run->from, air_names[run->air], end_allowed_text(run->air, false));
  if (!end_allowed(run->air, true, own->to.kind))
    ebi_diag(side->job->context, EB_ERROR, "run-end", run->to_where, NULL,
             "%s run %s goes to %s: %s air goes to %s or a junction", air_names[run->air],
             run->name, run->to, air_names[run->air], end_allowed_text(run->air, true));
}

static void check_meeting(const ebi_side *side, const ebi_meeting *meeting) {
  const ebi_run *first = side->runs[meeting->ends[0] >> 1].run;
  if (meeting->n_ends == 1)
    ebi_diag(side->job->context, EB_WARNING, "dead-end", first->where, NULL,
             "run %s ends at %s, where no other run begins: nothing flows through it", first->name,
             meeting->name);
  for (size_t i = 1; i < meeting->n_ends; i++) {
    const ebi_run *run = side->runs[meeting->ends[i] >> 1].run;
    if (run->air != first->air)
      ebi_diag(side->job->context, EB_ERROR, "junction-mixed", run->where, NULL,
               "%s run %s and %s run %s meet at %s: only the unit joins two kinds of air",
               air_names[first->air], first->name, air_names[run->air], run->name, meeting->name);
  }
}

static void check_reached(const ebi_side *side, const ebi_side_run *own) {
  if (own->distance == EBI_NONE)
    ebi_diag(side->job->context, EB_ERROR, "unreachable", own->run->where, NULL,
             "run %s (from %s to %s) is not connected with the unit, so no fan moves its air",
             own->run->name, own->run->from, own->run->to);
}

static eb_status check_layout(const ebi_side *side) {
  size_t before = ebi_diag_errors(side->job->context);
  for (size_t i = 0; i < side->n_runs; i++)
    check_ends(side, &side->runs[i]);
  for (size_t m = 0; m < side->n_meetings; m++)
    check_meeting(side, &side->meetings[m]);
  if (ebi_diag_errors(side->job->context) == before)
    for (size_t i = 0; i < side->n_runs; i++)
      check_reached(side, &side->runs[i]);
  return ebi_diag_errors(side->job->context) == before ? EB_OK : EB_E_INPUT;
}

eb_status ebi_side_lay_out(ebi_side *side) {
  eb_status status = collect(side);
  if (status == EB_OK)
    status = give_all_curves(side);
  if (status == EB_OK)
    status = gather_ends(side);
  if (status == EB_OK)
    status = measure_distances(side);
  return status != EB_OK ? status : check_layout(side);
}
