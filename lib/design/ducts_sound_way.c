/* ducts_sound_way.c - what sound loses between the unit's spigot and the ends of the runs
 *
 * Ducts by their own table or as bare ones of their shape, bends, silencers; at junctions the
 * power divides by area among all that leads on. Where runs form loops the way counts
 * that takes least, by the mean of the bands 125 to 1000 Hz, which decide the dB(A) of
 * dwellings: sound that comes by other ways beside is left out. */

#include <math.h>
#include <string.h>

#include "design/ducts_sound.h"

enum { FIRST_COMPARED = 1, LAST_COMPARED = 4 };

/* Ways that differ by less are the same [dB]. */
#define SAME_WAY 1e-9

/* ---- One run ---- */

static double bare_loss(const ebi_side_run *run, size_t band) {
  const ebi_duct_size *duct = &run->run->duct;
  if (duct->attenuation.given)
    return duct->attenuation.db[band];
  if (duct->shape == EBI_RECTANGLE)
    return ebi_sound_unlined_rectangle(duct->width, duct->height, band);
  return ebi_sound_unlined_round(ebi_section_equal_area_bore(&run->section), band);
}

/* Bends of less than 90 degrees by their share of it. */
static double bend_share(const ebi_run_fitting *entry) {
  double angle = entry->angle.given ? entry->angle.value : entry->fitting->angle;
  return angle > 0 ? fmin(angle / 90.0, 1.0) : 1.0;
}

static double fitting_loss(const ebi_side_run *run, const ebi_run_fitting *entry, size_t band) {
  const ebi_fitting *fitting = entry->fitting;
  if (fitting == NULL)
    return 0.0;
  if (fitting->insertion_loss.given)
    return entry->count * fitting->insertion_loss.db[band];
  if (fitting->sound != EBI_SOUND_BEND)
    return 0.0;
  double bore = ebi_section_equal_area_bore(&run->section);
  return entry->count * bend_share(entry) * ebi_sound_bend_round(bore, band);
}

static void run_loss(const ebi_side_run *run, double loss[EB_OCTAVES]) {
  double length = run->run->length;
  for (size_t i = 0; i < run->run->n_fittings; i++) {
    const ebi_run_fitting *entry = &run->run->fittings[i];
    if (entry->fitting != NULL && entry->fitting->insertion_loss.given)
      length -= entry->count * entry->fitting->length;
  }
  for (size_t band = 0; band < EB_OCTAVES; band++) {
    loss[band] = fmax(length, 0.0) * bare_loss(run, band);
    for (size_t i = 0; i < run->run->n_fittings; i++)
      loss[band] += fitting_loss(run, &run->run->fittings[i], band);
  }
}

/* ---- Ends ---- */

size_t ebi_terminal_end(const ebi_side *side, const ebi_terminal *terminal) {
  size_t end = 2 * terminal->run;
  return side->runs[terminal->run].to.kind == EBI_END_ROOM ? end + 1 : end;
}

void ebi_sound_terminal_loss(const ebi_side *side, const ebi_terminal *terminal,
                             double loss[EB_OCTAVES]) {
  const ebi_side_run *run = &side->runs[terminal->run];
  const ebi_valve *valve = run->run->valve.type;
  bool sheet = valve != NULL && valve->insertion_loss.given;
  double bore =
      valve != NULL && valve->bore > 0 ? valve->bore : ebi_section_equal_area_bore(&run->section);
  for (size_t band = 0; band < EB_OCTAVES; band++)
    loss[band] =
        sheet ? valve->insertion_loss.db[band] : ebi_sound_end_flush(bore, ebi_octave_hz(band));
}

static double area_of(const ebi_side *side, size_t end) {
  return side->runs[end >> 1].area;
}

double ebi_sound_junction(const ebi_side_sound *sound, const ebi_meeting *meeting, size_t in,
                          size_t out) {
  const ebi_side *side = sound->side;
  double leaving = sound->meeting_area[meeting - side->meetings] - area_of(side, in);
  return ebi_sound_division(area_of(side, out), fmax(leaving, area_of(side, out)));
}

static eb_status sum_areas(ebi_side_sound *sound, ebi_arena *scratch) {
  const ebi_side *side = sound->side;
  sound->meeting_area = EBI_NEW_ARRAY(scratch, double, side->n_meetings);
  if (sound->meeting_area == NULL)
    return EB_E_MEMORY;
  for (size_t m = 0; m < side->n_meetings; m++)
    for (size_t i = 0; i < side->meetings[m].n_ends; i++)
      sound->meeting_area[m] += area_of(side, side->meetings[m].ends[i]);
  return EB_OK;
}

/* ---- Ways ---- */

typedef struct search {
  ebi_side_sound *sound;
  size_t *queue; /* a ring; each end stands in it once at most */
  bool *queued;
  size_t first, count, size;
} search;

static void enqueue(search *s, size_t end) {
  if (s->queued[end])
    return;
  s->queued[end] = true;
  s->queue[(s->first + s->count++) % s->size] = end;
}

/* Sound that has lost `way` enters a run at one end and comes out at the other. */
static void pass(search *s, size_t in, size_t before, const double *way, double division) {
  ebi_sound_end *end = &s->sound->ends[in ^ 1];
  const double *loss = s->sound->run_loss[in >> 1];
  ebi_sound_end found = {.reached = true, .before = before, .division = division};
  for (size_t band = 0; band < EB_OCTAVES; band++) {
    found.way[band] = (way != NULL ? way[band] : 0.0) + division + loss[band];
    if (band >= FIRST_COMPARED && band <= LAST_COMPARED)
      found.cost += found.way[band] / (LAST_COMPARED - FIRST_COMPARED + 1);
  }
  if (end->reached && found.cost >= end->cost - SAME_WAY)
    return;
  *end = found;
  enqueue(s, in ^ 1);
}

/* From an end at a meeting into all other runs there; not back into that which it came by. */
static void spread(search *s, size_t number) {
  const ebi_side *side = s->sound->side;
  const ebi_end *end = ebi_side_end(side, number);
  if (end->kind != EBI_END_MEETING)
    return;
  const ebi_meeting *meeting = &side->meetings[end->number];
  ebi_sound_end from = s->sound->ends[number];
  for (size_t i = 0; i < meeting->n_ends; i++) {
    size_t other = meeting->ends[i];
    if (other != number)
      pass(s, other, number, from.way, ebi_sound_junction(s->sound, meeting, number, other));
  }
}

/* Into the runs that begin at the spigot of the rooms' side. */
static void start(search *s) {
  const ebi_side *side = s->sound->side;
  double sum = 0;
  for (int into = 0; into < 2; into++)
    for (size_t e = 0; e < 2 * side->n_runs; e++) {
      const ebi_side_run *run = &side->runs[e >> 1];
      if (run->run->air != side->rooms || ebi_side_end(side, e)->kind != EBI_END_UNIT)
        continue;
      if (into == 0)
        sum += run->area;
      else
        pass(s, e, EBI_NONE, NULL, ebi_sound_division(run->area, sum));
    }
}

static void find_ways(search *s) {
  start(s);
  while (s->count > 0) {
    size_t end = s->queue[s->first];
    s->first = (s->first + 1) % s->size;
    s->count--;
    s->queued[end] = false;
    spread(s, end);
  }
}

/* Orders the ends so that each comes after the one before it: children in lists. */
static eb_status order_ends(ebi_side_sound *sound, ebi_arena *scratch, size_t n_ends) {
  size_t *child = EBI_NEW_ARRAY(scratch, size_t, n_ends);
  size_t *sibling = EBI_NEW_ARRAY(scratch, size_t, n_ends);
  sound->order = EBI_NEW_ARRAY(scratch, size_t, n_ends);
  if (child == NULL || sibling == NULL || sound->order == NULL)
    return EB_E_MEMORY;
  for (size_t e = 0; e < n_ends; e++)
    child[e] = EBI_NONE;
  for (size_t e = n_ends; e-- > 0;) {
    const ebi_sound_end *end = &sound->ends[e];
    if (!end->reached)
      continue;
    if (end->before == EBI_NONE) {
      sound->order[sound->n_order++] = e;
      continue;
    }
    sibling[e] = child[end->before];
    child[end->before] = e;
  }
  for (size_t next = 0; next < sound->n_order; next++)
    for (size_t e = child[sound->order[next]]; e != EBI_NONE; e = sibling[e])
      sound->order[sound->n_order++] = e;
  return EB_OK;
}

eb_status ebi_sound_ways(ebi_ducts_job *job, ebi_side_sound *sound) {
  const ebi_side *side = sound->side;
  size_t n_ends = 2 * side->n_runs;
  sound->run_loss = ebi_arena_array(job->scratch, side->n_runs, sizeof *sound->run_loss);
  sound->ends = EBI_NEW_ARRAY(job->scratch, ebi_sound_end, n_ends);
  search s = {.sound = sound,
              .queue = EBI_NEW_ARRAY(job->scratch, size_t, n_ends),
              .queued = EBI_NEW_ARRAY(job->scratch, bool, n_ends),
              .size = n_ends};
  if (sound->run_loss == NULL || sound->ends == NULL || s.queue == NULL || s.queued == NULL)
    return EB_E_MEMORY;
  for (size_t i = 0; i < side->n_runs; i++)
    run_loss(&side->runs[i], sound->run_loss[i]);
  if (sum_areas(sound, job->scratch) != EB_OK)
    return EB_E_MEMORY;
  find_ways(&s);
  return order_ends(sound, job->scratch, n_ends);
}
