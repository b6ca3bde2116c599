/* ducts_sound_explain.c - the steps behind the level in a room that has a limit */

#include <math.h>

#include "design/ducts_sound.h"

static const char *const side_names[] = {"supply", "extract"};

static const char *level_name(const ebi_sounds *sounds) {
  return sounds->job->levels[sounds->level].name;
}

/* One room while its steps are taken down. */
typedef struct room_steps {
  const ebi_sounds *sounds;
  const ebi_room_parts *parts;
  const char *name;
  ebi_step effect;
  ebi_step steps[2 * EBI_SIDES + 1]; /* of the parts of its level */
  size_t count;
} room_steps;

/* A part of the level as dB(A); what nobody hears is not a step. */
static void part(room_steps *room, ebi_formula formula, const double power[EB_OCTAVES],
                 const ebi_step *inputs, size_t n_inputs, const char *what) {
  double db = ebi_sound_weighted(power) + room->parts->effect;
  if (db > EBI_SOUND_FLOOR)
    room->steps[room->count++] =
        ebi_ledger_step(room->sounds->job->ledger, formula, NULL, db, EBI_SOUND, inputs, n_inputs,
                        "%s from the %s at %s", room->name, what, level_name(room->sounds));
}

/* What a side's fan and ducts give to a room. */
static void explain_side(room_steps *room, int s, ebi_step fan) {
  static const char *const fans[] = {"supply fan", "extract fan"};
  static const char *const airs[] = {"air in the supply ducts", "air in the extract ducts"};
  const ebi_side_sound *sound = &room->sounds->side[s];
  const ebi_room_parts *parts = room->parts;
  if (parts->loudest[s] == EBI_NONE)
    return;
  const ebi_terminal *terminal = &sound->side->terminals[parts->loudest[s]];
  if (sound->n_stated > 0 && isfinite(parts->loudest_db[s])) {
    double lost = ebi_sound_weighted(sound->power) - parts->loudest_db[s];
    ebi_step way =
        ebi_ledger_step(room->sounds->job->ledger, EBI_F_SOUND_WAY, NULL, lost, EBI_SOUND, &fan, 1,
                        "lost from the %s to the end of %s at %s", fans[s],
                        sound->side->runs[terminal->run].run->name, level_name(room->sounds));
    ebi_step inputs[] = {fan, way, room->effect};
    part(room, EBI_F_SOUND_FROM_FAN, parts->fan[s], inputs, 3, fans[s]);
  }
  part(room, EBI_F_SOUND_FROM_DUCTS, parts->made[s], &room->effect, 1, airs[s]);
}

static void explain_room(const ebi_sounds *sounds, size_t number, const ebi_step fans[EBI_SIDES]) {
  eb_ledger *ledger = sounds->job->ledger;
  room_steps room = {.sounds = sounds,
                     .parts = &sounds->parts[number],
                     .name = sounds->job->house->rooms[number].name};
  room.effect = ebi_ledger_step(ledger, EBI_F_SOUND_ROOM, NULL, room.parts->effect, EBI_SOUND, NULL,
                                0, "%s room effect", room.name);
  for (int s = 0; s < EBI_SIDES; s++)
    explain_side(&room, s, fans[s]);
  part(&room, EBI_F_SOUND_FROM_VALVES, room.parts->valves, &room.effect, 1, "valves");
  ebi_ledger_step(ledger, EBI_F_SOUND_TOTAL, NULL, sounds->rooms[sounds->level][number].total_db,
                  EBI_SOUND, room.steps, room.count, "%s sound at %s", room.name,
                  level_name(sounds));
}

void ebi_sound_explain(const ebi_sounds *sounds) {
  const ebi_ducts_job *job = sounds->job;
  ebi_step fans[EBI_SIDES] = {EBI_NO_STEP, EBI_NO_STEP};
  if (job->ledger == NULL)
    return;
  for (int s = 0; s < EBI_SIDES; s++) {
    double power = ebi_sound_weighted(sounds->side[s].power);
    if (sounds->side[s].n_stated > 0 && isfinite(power))
      fans[s] = ebi_ledger_step(job->ledger, EBI_F_SOUND_FAN, NULL, power, EBI_SOUND, NULL, 0,
                                "%s fan sound power in the duct at %s", side_names[s],
                                level_name(sounds));
  }
  for (size_t r = 0; r < job->result->n_rooms; r++) {
    const eb_room_sound *out = &sounds->rooms[sounds->level][r];
    if (out->limit_db > 0 && !isnan(out->total_db))
      explain_room(sounds, r, fans);
  }
}
