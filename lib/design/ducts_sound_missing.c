/* ducts_sound_missing.c - what the tables do not say of sound, in one note */

#include <math.h>
#include <string.h>

#include "design/ducts_sound.h"

/* ---- Nothing known ---- */

static bool same_limit(const ebi_sound_limit *a, const ebi_sound_limit *b) {
  return a->limit_db == b->limit_db && strcmp(a->level, b->level) == 0;
}

/* "30 dB at normal (living, bedroom)" for each limit; NULL: memory. */
static const char *sound_limits(ebi_arena *arena, const ebi_rule_set *rules) {
  const char *list = "";
  for (size_t i = 0; i < rules->n_sound && list != NULL; i++) {
    const ebi_sound_limit *limit = &rules->sound[i];
    size_t first = 0;
    while (!same_limit(&rules->sound[first], limit))
      first++;
    if (first < i)
      continue;
    list = ebi_arena_format(arena, "%s%s%.4g dB at %s (%s", list, i > 0 ? ", " : "",
                            limit->limit_db, limit->level, limit->use);
    for (size_t j = i + 1; j < rules->n_sound && list != NULL; j++)
      if (same_limit(&rules->sound[j], limit))
        list = ebi_arena_format(arena, "%s, %s", list, rules->sound[j].use);
    if (list != NULL)
      list = ebi_arena_format(arena, "%s)", list);
  }
  return list;
}

#define NOT_KNOWN                                                                                  \
  "sound is not computed: the unit says nothing of it; give `sound:` with the power in its ducts " \
  "by octave bands"

static eb_status say_nothing_known(const ebi_ducts_job *job) {
  const ebi_rule_set *rules = job->house->rules;
  if (rules == NULL || rules->n_sound == 0) {
    ebi_diag(job->context, EB_NOTE, "sound-data", job->house->unit_where, NULL, NOT_KNOWN);
    return EB_OK;
  }
  const char *list = sound_limits(job->scratch, rules);
  if (list == NULL)
    return EB_E_MEMORY;
  ebi_diag(job->context, EB_NOTE, "sound-data", job->house->unit_where, rules->sound[0].source.text,
           NOT_KNOWN ". %s allows at most %s", rules->entry.name, list);
  return EB_OK;
}

/* ---- Gaps ---- */

typedef struct gaps {
  size_t valves, rooms;
  const char *valve, *room; /* the first of them */
} gaps;

static void count_terminals(const ebi_side *side, gaps *g) {
  for (size_t t = 0; t < side->n_terminals; t++) {
    const ebi_valve *valve = side->runs[side->terminals[t].run].run->valve.type;
    if (!side->terminals[t].idle && valve != NULL && valve->n_sound == 0 && g->valves++ == 0)
      g->valve = valve->entry.name;
  }
}

static void count_rooms(const ebi_sounds *sounds, gaps *g) {
  const ebi_ducts_job *job = sounds->job;
  for (size_t r = 0; r < job->result->n_rooms; r++) {
    const eb_room_state *state = &job->levels[0].rooms[r];
    if ((state->supply.served || state->extract.served) && isnan(sounds->parts[r].effect) &&
        g->rooms++ == 0)
      g->room = job->house->rooms[r].name;
  }
}

static const char *add(ebi_arena *arena, const char *list, const char *what) {
  if (list == NULL || what == NULL)
    return NULL;
  return ebi_arena_format(arena, "%s%s%s", list, list[0] != '\0' ? "; " : "", what);
}

static eb_status say_gaps(const ebi_sounds *sounds) {
  const ebi_ducts_job *job = sounds->job;
  ebi_arena *scratch = job->scratch;
  const char *list = "";
  gaps g = {0};
  for (int s = 0; s < EBI_SIDES; s++) {
    const ebi_side *side = sounds->side[s].side;
    if (side->network == NULL)
      continue;
    count_terminals(side, &g);
    if (sounds->side[s].n_stated == 0)
      list = add(scratch, list,
                 ebi_arena_format(scratch, "the %s fan (no `sound:` of that spigot)", side->name));
  }
  count_rooms(sounds, &g);
  if (g.valves > 0)
    list = add(scratch, list,
               ebi_arena_format(scratch, "what %zu valve%s themselves (%s has no `sound:`)",
                                g.valves, g.valves == 1 ? " makes" : "s make", g.valve));
  if (g.rooms > 0)
    list = add(scratch, list,
               ebi_arena_format(scratch, "%zu room%s without a volume (%s)", g.rooms,
                                g.rooms == 1 ? "" : "s", g.room));
  if (list == NULL)
    return EB_E_MEMORY;
  if (list[0] != '\0')
    ebi_diag(job->context, EB_NOTE, "sound-data", job->house->unit_where, NULL,
             "sound is counted without: %s", list);
  return EB_OK;
}

eb_status ebi_sound_missing(const ebi_sounds *sounds) {
  return sounds->rooms == NULL ? say_nothing_known(sounds->job) : say_gaps(sounds);
}
