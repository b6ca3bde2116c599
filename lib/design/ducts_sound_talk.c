/* ducts_sound_talk.c - speech that passes from room to room through the ducts
 *
 * The diffuse field of a room sends L + 10 lg S - 6 dB into an opening of area S; it loses what
 * both terminals, the runs and the junctions between them take, and fills the other room like
 * any power. The difference is that of dB(A) of normal speech (ANSI S3.5-1997 by octave bands,
 * from memory; 125 Hz own estimate). For each terminal the nearest other room by loss is
 * looked for among the next ENDS_LOOKED_AT ends. */

#include <math.h>

#include "design/ducts_sound.h"

enum { ENDS_LOOKED_AT = 200 };

/* Below this speech next door may be understood: common practice in dwellings. */
#define PRIVATE_DB 35.0
#define PRACTICE "common practice"

static const double speech[EB_OCTAVES] = {30, 50, 57.2, 59.8, 53.5, 48.8, 43.8, 38.6};

/* No room makes sound louder than its power by more than this [dB]: 1.2 m3. */
#define MOST_EFFECT 10.0

/* An end that sound from the terminal in hand has come to. */
typedef struct visit {
  size_t end;
  double way[EB_OCTAVES];
  double cost;  /* mean of the bands */
  double least; /* of the bands: the weighted loss is no less */
  bool done;
} visit;

typedef struct talk {
  const ebi_sounds *sounds;
  const ebi_side_sound *sound;
  const size_t *terminal_of; /* by run of the side: its terminal or EBI_NONE */
  visit *visits;
  size_t count;
  double best; /* level difference found, +infinity: none */
  size_t room;
  double spoken;   /* dB(A) */
  size_t *partner; /* by room: that with the least difference, EBI_NONE: none */
} talk;

/* What speech loses on a way, in dB(A). */
static double weighted_loss(const talk *t, const double way[EB_OCTAVES]) {
  double left[EB_OCTAVES];
  for (size_t band = 0; band < EB_OCTAVES; band++)
    left[band] = speech[band] - way[band];
  return t->spoken - ebi_sound_weighted(left);
}

/* Through a run entered at `in`, after what the junction took. */
static void pass(talk *t, size_t in, const double way[EB_OCTAVES], double division) {
  size_t out = in ^ 1, at = 0;
  const double *loss = t->sound->run_loss[in >> 1];
  visit found = {.end = out, .least = INFINITY};
  for (size_t band = 0; band < EB_OCTAVES; band++) {
    found.way[band] = way[band] + division + loss[band];
    found.cost += found.way[band] / EB_OCTAVES;
    found.least = fmin(found.least, found.way[band]);
  }
  if (found.least - MOST_EFFECT >= t->best)
    return;
  while (at < t->count && t->visits[at].end != out)
    at++;
  if (at == ENDS_LOOKED_AT || (at < t->count && t->visits[at].cost <= found.cost))
    return;
  t->visits[at] = found;
  t->count += at == t->count;
}

/* At the end of a run in a room: the difference, were it heard there. */
static void arrive(talk *t, const visit *from, size_t speaker) {
  const ebi_side *side = t->sound->side;
  size_t number = t->terminal_of[from->end >> 1];
  if (number == EBI_NONE || side->terminals[number].idle || side->terminals[number].room == speaker)
    return;
  const ebi_terminal *terminal = &side->terminals[number];
  double way[EB_OCTAVES];
  ebi_sound_terminal_loss(side, terminal, way);
  for (size_t band = 0; band < EB_OCTAVES; band++)
    way[band] += from->way[band] - t->sounds->parts[terminal->room].effect;
  double difference = weighted_loss(t, way);
  if (difference < t->best) {
    t->best = difference;
    t->room = terminal->room;
  }
}

/* The visit with the least mean loss that is still to be followed; NULL: none. */
static visit *next_visit(const talk *t) {
  visit *next = NULL;
  for (size_t i = 0; i < t->count; i++)
    if (!t->visits[i].done && (next == NULL || t->visits[i].cost < next->cost))
      next = &t->visits[i];
  return next;
}

static void follow(talk *t, size_t speaker) {
  const ebi_side *side = t->sound->side;
  for (visit *now; (now = next_visit(t)) != NULL;) {
    now->done = true;
    visit from = *now;
    const ebi_end *end = ebi_side_end(side, from.end);
    if (end->kind == EBI_END_ROOM)
      arrive(t, &from, speaker);
    if (end->kind != EBI_END_MEETING)
      continue;
    const ebi_meeting *meeting = &side->meetings[end->number];
    for (size_t i = 0; i < meeting->n_ends && t->count < ENDS_LOOKED_AT; i++)
      if (meeting->ends[i] != from.end)
        pass(t, meeting->ends[i], from.way,
             ebi_sound_junction(t->sound, meeting, from.end, meeting->ends[i]));
  }
}

/* From the room of a terminal to the nearest other one. */
static void speak(talk *t, const ebi_terminal *terminal) {
  const ebi_side *side = t->sound->side;
  const ebi_side_run *run = &side->runs[terminal->run];
  const ebi_valve *valve = run->run->valve.type;
  double area = valve != NULL && valve->bore > 0 ? ebi_section_round(valve->bore).area : run->area;
  double into[EB_OCTAVES];
  ebi_sound_terminal_loss(side, terminal, into);
  for (size_t band = 0; band < EB_OCTAVES; band++)
    into[band] += 6.0 - 10.0 * log10(area);
  t->count = 0;
  t->best = INFINITY;
  pass(t, ebi_terminal_end(side, terminal), into, 0.0);
  follow(t, terminal->room);
}

/* The same in the sounds of every level. */
static void keep(const ebi_sounds *sounds, size_t room, const talk *t) {
  if (t->partner[room] != EBI_NONE && sounds->rooms[0][room].cross_talk_db <= t->best)
    return;
  t->partner[room] = t->room;
  for (size_t l = 0; l < sounds->job->result->n_levels; l++) {
    eb_room_sound *out = &sounds->rooms[l][room];
    out->cross_talk_db = t->best;
    out->cross_talk_room = sounds->job->levels[0].rooms[t->room].name;
  }
}

static eb_status talk_on_side(const ebi_sounds *sounds, const ebi_side_sound *sound, visit *visits,
                              size_t *partner) {
  const ebi_side *side = sound->side;
  size_t *terminal_of = EBI_NEW_ARRAY(sounds->job->scratch, size_t, side->n_runs);
  if (terminal_of == NULL)
    return EB_E_MEMORY;
  for (size_t i = 0; i < side->n_runs; i++)
    terminal_of[i] = EBI_NONE;
  for (size_t n = 0; n < side->n_terminals; n++)
    terminal_of[side->terminals[n].run] = n;
  talk t = {.sounds = sounds,
            .sound = sound,
            .terminal_of = terminal_of,
            .visits = visits,
            .spoken = ebi_sound_weighted(speech),
            .partner = partner};
  for (size_t n = 0; n < side->n_terminals; n++) {
    if (side->terminals[n].idle)
      continue;
    speak(&t, &side->terminals[n]);
    if (isfinite(t.best))
      keep(sounds, side->terminals[n].room, &t);
  }
  return EB_OK;
}

/* Each pair once, from the room where it was found first. */
static void say_talk(const ebi_sounds *sounds, const size_t *partner) {
  const ebi_ducts_job *job = sounds->job;
  for (size_t r = 0; r < job->result->n_rooms; r++) {
    const eb_room_sound *from = &sounds->rooms[0][r];
    size_t other = partner[r];
    if (other == EBI_NONE || from->cross_talk_db >= PRIVATE_DB ||
        (other < r && partner[other] == r))
      continue;
    ebi_diag(job->context, EB_NOTE, "cross-talk", job->house->rooms[r].where, PRACTICE,
             "the ducts take only %.0f dB(A) from speech between %s and %s: below about %.0f dB "
             "it may be heard as speech; a silencer between their valves helps",
             from->cross_talk_db, job->house->rooms[r].name, job->house->rooms[other].name,
             PRIVATE_DB);
  }
}

eb_status ebi_sound_cross_talk(ebi_sounds *sounds) {
  size_t n_rooms = sounds->job->result->n_rooms;
  visit *visits = EBI_NEW_ARRAY(sounds->job->scratch, visit, ENDS_LOOKED_AT);
  size_t *partner = EBI_NEW_ARRAY(sounds->job->scratch, size_t, n_rooms);
  eb_status status = visits != NULL && partner != NULL ? EB_OK : EB_E_MEMORY;
  for (size_t r = 0; status == EB_OK && r < n_rooms; r++)
    partner[r] = EBI_NONE;
  for (int s = 0; status == EB_OK && s < EBI_SIDES; s++)
    if (sounds->side[s].side->network != NULL)
      status = talk_on_side(sounds, &sounds->side[s], visits, partner);
  if (status == EB_OK)
    say_talk(sounds, partner);
  return status;
}
