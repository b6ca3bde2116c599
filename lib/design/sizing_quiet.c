/* sizing_quiet.c - sizes that keep what the air makes in the ducts below the limits of rooms
 *
 * What fans and valves make is not a matter of sizes. Where the air in the ducts alone is
 * louder in a room than it may be, the run on the way there in which it is loudest gives up
 * its size and all below, and the side is sized again. */

#include <math.h>

#include "design/ducts_sound.h"
#include "design/sizing.h"

#define PASSES 40

typedef struct hearing {
  double *velocity; /* by run of the side, in one tube */
  double *db;       /* by room */
} hearing;

static void find_velocities(const ebi_sizing_side *s, int flows, double *velocity) {
  for (size_t e = 0; e < s->n_edges; e++) {
    const ebi_size_edge *edge = &s->edges[e];
    const ebi_side_run *run = &s->side->runs[edge->run];
    velocity[edge->run] = fabs(ebi_ducts_actual(edge->flow[flows], run->air.density)) / run->area;
  }
}

/* The power of a straight duct goes with 50 lg v + 10 lg A, by which runs are compared. */
static double loudness(const ebi_sizing_side *s, const ebi_size_edge *edge,
                       const double *velocity) {
  return 50.0 * log10(velocity[edge->run]) + 10.0 * log10(s->side->runs[edge->run].area);
}

static size_t loudest(const ebi_sizing_side *s, size_t terminal, const double *velocity) {
  size_t found = EBI_NONE;
  double most = -INFINITY;
  for (size_t e = terminal; e != EBI_NONE; e = s->edges[e].parent) {
    const ebi_size_edge *edge = &s->edges[e];
    double db = loudness(s, edge, velocity);
    if (!edge->open || ebi_sizing_next(edge, edge->size, 1) == EBI_NONE || !(db > most))
      continue;
    most = db;
    found = e;
  }
  return found;
}

static bool give_up(ebi_size_edge *edge, const char *room) {
  for (size_t i = 0; i <= edge->size; i++)
    edge->sizes[i].allowed = false;
  edge->too_loud = edge->size + 1;
  edge->loud_room = room;
  return true;
}

static bool tighten(ebi_sizer *sizer, ebi_sizing_side *s, const hearing *h, const char *level) {
  for (size_t e = 0; e < s->n_edges; e++) {
    const char *source;
    if (s->edges[e].terminal == EBI_NONE)
      continue;
    size_t room = s->side->terminals[s->edges[e].terminal].room;
    double limit = ebi_sound_limit_of(sizer->job, room, level, &source);
    if (!(limit > 0.0) || !(h->db[room] > limit))
      continue;
    size_t found = loudest(s, e, h->velocity);
    if (found != EBI_NONE)
      return give_up(&s->edges[found], sizer->job->house->rooms[room].name);
  }
  return false;
}

static eb_status listen(ebi_sizer *sizer, ebi_sizing_side *s, const hearing *h, bool *tightened) {
  const char *const levels[] = {sizer->job->house->set_level, "boost"};
  eb_status status = EB_OK;
  *tightened = false;
  for (int flows = EBI_FLOWS; status == EB_OK && flows-- > 0 && !*tightened;) {
    double pressure;
    if (s->looped)
      status = ebi_sizing_solve_loops(s, flows, &pressure);
    find_velocities(s, flows, h->velocity);
    if (status == EB_OK)
      status = ebi_sound_of_flow(s->side, h->velocity, h->db);
    *tightened = status == EB_OK && tighten(sizer, s, h, levels[flows]);
  }
  return status;
}

eb_status ebi_sizing_quieten(ebi_sizer *sizer, ebi_sizing_side *s) {
  ebi_arena *scratch = sizer->job->scratch;
  hearing h = {.velocity = EBI_NEW_ARRAY(scratch, double, s->side->n_runs),
               .db = EBI_NEW_ARRAY(scratch, double, sizer->job->house->n_rooms)};
  if (h.velocity == NULL || h.db == NULL)
    return EB_E_MEMORY;
  bool tightened = sizer->job->house->unit->n_sound > 0;
  eb_status status = EB_OK;
  for (int pass = 0; status == EB_OK && tightened && pass < PASSES; pass++) {
    status = listen(sizer, s, &h, &tightened);
    if (status == EB_OK && tightened)
      status = ebi_sizing_choose(sizer, s);
  }
  return status;
}
