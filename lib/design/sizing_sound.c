/* sizing_sound.c - what another size of a run would do to the sound of the rooms
 *
 * The sound of the finished result at the set level with one run's section and velocity
 * changed, flows, fans and valves as they are. */

#include <math.h>

#include "base/text.h"
#include "design/ducts_sound.h"
#include "design/sizing.h"

typedef struct listening {
  ebi_sizer *sizer;
  size_t level;
  double *now, *other; /* dB(A) by room */
} listening;

static double loudest(const ebi_ducts_job *job, const double *db) {
  double most = NAN;
  for (size_t r = 0; r < job->result->n_rooms; r++)
    most = fmax(most, db[r]); /* NAN counts as nothing */
  return most;
}

/* In the room that the run serves, or the loudest. */
static double difference(const listening *l, const ebi_sizing_side *s, const ebi_size_edge *edge) {
  const ebi_ducts_job *job = l->sizer->job;
  if (edge->terminal == EBI_NONE)
    return loudest(job, l->other) - loudest(job, l->now);
  size_t room = s->side->terminals[edge->terminal].room;
  return l->other[room] - l->now[room];
}

static ebi_sizing_side *find(ebi_sizer *sizer, const char *run, size_t *edge) {
  for (int i = 0; i < EBI_SIDES; i++)
    for (size_t e = 0; e < sizer->side[i].n_edges; e++)
      if (sizer->side[i].edges[e].open && ebi_text_equal(sizer->side[i].edges[e].copy.name, run)) {
        *edge = e;
        return &sizer->side[i];
      }
  return NULL;
}

static eb_status hear(listening *l, ebi_sizing_side *s, size_t number, size_t size, double *db) {
  ebi_ducts_job *job = l->sizer->job;
  ebi_size_edge *edge = &s->edges[number];
  eb_run_state *state = &job->run_states[l->level][s->side->runs[edge->run].number];
  size_t chosen = edge->size;
  double velocity = state->velocity_m_s;
  state->velocity_m_s *= edge->sizes[chosen].area / edge->sizes[size].area;
  ebi_sizing_put(s, number, size);
  eb_status status = ebi_sound_trial(job, l->level, l->other);
  *db = difference(l, s, edge);
  ebi_sizing_put(s, number, chosen);
  state->velocity_m_s = velocity;
  return status;
}

static eb_status hear_run(listening *l, eb_sized_run *run) {
  size_t number = 0;
  ebi_sizing_side *s = find(l->sizer, run->run, &number);
  eb_status status = EB_OK;
  if (s == NULL)
    return EB_OK;
  size_t chosen = s->edges[number].size;
  if (run->smaller.duct[0] != '\0')
    status = hear(l, s, number, chosen - 1, &run->smaller.sound_db);
  if (status == EB_OK && run->larger.duct[0] != '\0')
    status = hear(l, s, number, chosen + 1, &run->larger.sound_db);
  return status;
}

static eb_status listen(ebi_sizer *sizer) {
  ebi_ducts_job *job = sizer->job;
  listening l = {.sizer = sizer,
                 .level = ebi_ducts_set_level(job),
                 .now = EBI_NEW_ARRAY(job->scratch, double, job->result->n_rooms),
                 .other = EBI_NEW_ARRAY(job->scratch, double, job->result->n_rooms)};
  if (l.now == NULL || l.other == NULL)
    return EB_E_MEMORY;
  eb_status status = ebi_sound_trial(job, l.level, l.now);
  for (size_t r = 0; status == EB_OK && r < sizer->sizes->n_runs; r++)
    status = hear_run(&l, &sizer->sized[r]);
  return status;
}

eb_status ebi_ducts_size_findings(ebi_ducts_job *job) {
  if (job->sizer == NULL)
    return EB_OK;
  eb_status status = job->house->unit->n_sound > 0 ? listen(job->sizer) : EB_OK;
  if (status == EB_OK)
    ebi_sizing_explain(job->sizer);
  return status;
}
