/* ducts_sound_say.c - sound against its limits: what is loudest and what would cure it
 *
 * The user's own limit of a room goes before the rules'; it holds at normal, or where the rules
 * judge that kind of room only at another level, at that one. */

#include <math.h>
#include <string.h>

#include "design/ducts_sound.h"

/* Figures are shown to a tenth. */
#define EXCESS 0.05
#define SAME_BORE 1e-3 /* m */

/* ---- Limits ---- */

static bool has_use(const ebi_room *room, const char *use) {
  for (size_t i = 0; i < room->n_uses; i++)
    if (strcmp(room->uses[i], use) == 0)
      return true;
  return false;
}

/* The strictest of the rules for a room, at one level or (NULL) at any. */
static const ebi_sound_limit *rule_limit(const ebi_ducts_job *job, const ebi_room *room,
                                         const char *level) {
  const ebi_rule_set *rules = job->house->rules;
  const ebi_sound_limit *strictest = NULL;
  for (size_t i = 0; rules != NULL && i < rules->n_sound; i++) {
    const ebi_sound_limit *limit = &rules->sound[i];
    if (!has_use(room, limit->use) || (level != NULL && strcmp(limit->level, level) != 0))
      continue;
    if (strictest == NULL || limit->limit_db < strictest->limit_db)
      strictest = limit;
  }
  return strictest;
}

double ebi_sound_limit_of(const ebi_ducts_job *job, size_t room, const char *level,
                          const char **source) {
  const ebi_room *own = &job->house->rooms[room];
  const ebi_sound_limit *here = rule_limit(job, own, level),
                        *judged = rule_limit(job, own, "normal");
  if (judged == NULL)
    judged = rule_limit(job, own, NULL);
  *source = NULL;
  if (own->sound_limit.given && strcmp(level, judged != NULL ? judged->level : "normal") == 0)
    return own->sound_limit.value;
  if (here == NULL)
    return 0.0;
  *source = here->source.text;
  return here->limit_db;
}

/* ---- What is loudest ---- */

typedef enum loudest_kind { FROM_FAN, FROM_DUCTS, FROM_VALVE } loudest_kind;

typedef struct loudest {
  loudest_kind kind;
  int side;
  double db; /* in the room */
} loudest;

static void take(loudest *best, loudest_kind kind, int side, double db) {
  if (db > best->db)
    *best = (loudest){kind, side, db};
}

static loudest find_loudest(const ebi_room_parts *parts) {
  loudest best = {FROM_VALVE, 0, ebi_sound_weighted(parts->valves)};
  for (int s = 0; s < EBI_SIDES; s++) {
    take(&best, FROM_FAN, s, ebi_sound_weighted(parts->fan[s]));
    take(&best, FROM_DUCTS, s, ebi_sound_weighted(parts->made[s]));
  }
  best.db += parts->effect;
  return best;
}

/* The run at the spigot through which the loudest terminal of a side hears the fan. */
static const ebi_side_run *first_run(const ebi_side_sound *sound, const ebi_room_parts *parts,
                                     int s) {
  const ebi_side *side = sound->side;
  size_t end = ebi_terminal_end(side, &side->terminals[parts->loudest[s]]);
  while (sound->ends[end].before != EBI_NONE)
    end = sound->ends[end].before;
  return &side->runs[end >> 1];
}

/* ---- Cures ---- */

/* dB(A) of the room with a silencer at the spigot of one side. */
static double with_silencer(const ebi_room_parts *parts, int side, const ebi_octaves *loss) {
  double sum[EB_OCTAVES];
  for (size_t band = 0; band < EB_OCTAVES; band++) {
    sum[band] = parts->valves[band];
    for (int s = 0; s < EBI_SIDES; s++) {
      double fan = parts->fan[s][band] - (s == side ? loss->db[band] : 0.0);
      sum[band] = ebi_sound_add(sum[band], ebi_sound_add(fan, parts->made[s][band]));
    }
  }
  return ebi_sound_weighted(sum) + parts->effect;
}

typedef struct cure {
  const ebi_fitting *silencer; /* NULL: none fits */
  const ebi_side_run *run;
  double db;
  bool enough;
} cure;

/* Of those that do the one with least to spare, else the one that does most. */
static bool is_better(const cure *best, double db, double limit) {
  if (best->silencer == NULL)
    return true;
  if (db <= limit)
    return !best->enough || db > best->db;
  return !best->enough && db < best->db;
}

static cure find_cure(const ebi_sounds *sounds, const ebi_room_parts *parts, int s, double limit) {
  const eb_house *house = sounds->job->house;
  cure best = {.run = first_run(&sounds->side[s], parts, s)};
  const ebi_duct_size *duct = &best.run->run->duct;
  for (size_t i = 0; i < house->n_silencers; i++) {
    const ebi_fitting *silencer = house->silencers[i];
    bool fits = silencer->bore <= 0 ||
                (duct->shape == EBI_ROUND && fabs(silencer->bore - duct->bore) < SAME_BORE);
    double db = fits ? with_silencer(parts, s, &silencer->insertion_loss) : (double)INFINITY;
    if (fits && is_better(&best, db, limit))
      best = (cure){silencer, best.run, db, db <= limit};
  }
  return best;
}

/* ---- Findings ---- */

static const char *const side_names[] = {"supply", "extract"};

/* Text of what to do against the fan; NULL: memory. */
static const char *cure_fan(const ebi_sounds *sounds, const ebi_room_parts *parts,
                            const loudest *worst, eb_room_sound *out) {
  ebi_ducts_job *job = sounds->job;
  cure found = find_cure(sounds, parts, worst->side, out->limit_db);
  const char *run = found.run->run->name, *text;
  if (found.silencer == NULL)
    text = ebi_arena_format(job->scratch, "no silencer of the tables fits the bore of run %s", run);
  else
    text = ebi_arena_format(job->scratch,
                            "%s in run %s, next to the unit, would bring it to %.1f dB(A)%s",
                            found.silencer->entry.name, run, fmax(found.db, EBI_SOUND_FLOOR),
                            found.enough ? "" : ", the best of the tables, which is not enough");
  const char *from =
      ebi_arena_format(job->scratch, "the %s fan through run %s (%.1f dB(A)): %s",
                       side_names[worst->side], run, worst->db, text != NULL ? text : "");
  if (text == NULL || from == NULL)
    return NULL;
  if (found.enough) {
    out->cure = ebi_arena_text(job->arena, found.silencer->entry.name);
    out->cure_run = job->result->runs[found.run->number].name;
  }
  return found.enough && out->cure == NULL ? NULL : from;
}

static const char *cure_text(const ebi_sounds *sounds, const ebi_room_parts *parts,
                             eb_room_sound *out) {
  ebi_arena *scratch = sounds->job->scratch;
  loudest worst = find_loudest(parts);
  if (worst.kind == FROM_FAN)
    return cure_fan(sounds, parts, &worst, out);
  if (worst.kind == FROM_VALVE)
    return ebi_arena_format(scratch,
                            "the valve of run %s (%.1f dB(A)): lower its pressure (open it and "
                            "throttle further up, or put a restrictor there) or use two valves",
                            parts->valve->name, worst.db);
  return ebi_arena_format(scratch,
                          "the air in the %s ducts (%.1f dB(A)): larger ducts or fewer bends on "
                          "the way lower it",
                          side_names[worst.side], worst.db);
}

static eb_status judge_room(const ebi_sounds *sounds, size_t room) {
  const ebi_ducts_job *job = sounds->job;
  const ebi_room *own = &job->house->rooms[room];
  eb_room_sound *out = &sounds->rooms[sounds->level][room];
  if (out->limit_db <= 0 || isnan(out->total_db) || out->total_db <= out->limit_db + EXCESS)
    return EB_OK;
  const char *text = cure_text(sounds, &sounds->parts[room], out);
  if (text == NULL)
    return EB_E_MEMORY;
  ebi_diag(job->context, out->limit_source != NULL ? EB_WARNING : EB_NOTE, "sound", own->where,
           out->limit_source, "%s has %.1f dB(A) at %s, above the %.4g dB %s: most comes from %s",
           own->name, out->total_db, job->levels[sounds->level].name, out->limit_db,
           out->limit_source != NULL ? "allowed" : "wished for", text);
  return EB_OK;
}

eb_status ebi_sound_judge(ebi_sounds *sounds) {
  eb_status status = EB_OK;
  for (size_t r = 0; status == EB_OK && r < sounds->job->result->n_rooms; r++)
    status = judge_room(sounds, r);
  return status;
}
