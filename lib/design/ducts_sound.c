/* ducts_sound.c - sound of every room at every level, from fans, ducts and valves
 *
 * Level in a room = sum of the powers of all its terminals + room effect. The effect is that
 * of a diffuse field, 10 lg(4/A), in a room with a reverberation time of 0.5 s in every band:
 * the mean over a furnished room as EN ISO 10052 and 16032 standardise it (from memory), which
 * is what LAeq limits of rooms mean. Beside a terminal it is louder.
 *
 * Not counted: sound through the unit's case and through walls of ducts, and tones. */

#include "design/ducts_sound.h"

#include <math.h>

#define REVERBERATION_S 0.5

/* ---- Start ---- */

/* The unit's figures for the spigot that leads to the rooms. */
static eb_status state_duties(const ebi_ducts_job *job, ebi_side_sound *sound) {
  const ebi_unit *unit = job->house->unit;
  ebi_sound_duty *duties = EBI_NEW_ARRAY(job->scratch, ebi_sound_duty, unit->n_sound);
  if (duties == NULL)
    return EB_E_MEMORY;
  for (size_t i = 0; i < unit->n_sound; i++) {
    const ebi_unit_sound *given = &unit->sound[i];
    if (given->spigot == sound->side->rooms)
      duties[sound->n_stated++] =
          (ebi_sound_duty){given->flow, given->pressure, given->speed, given->power.db};
  }
  sound->stated = duties;
  return EB_OK;
}

static double room_effect(const ebi_ducts_job *job, size_t room) {
  double volume = job->rates->rooms[room].volume_m3;
  return ebi_sound_room_mean(ebi_sound_absorption(volume, REVERBERATION_S));
}

static void clear_parts(const ebi_sounds *sounds, size_t room) {
  ebi_room_parts *parts = &sounds->parts[room];
  *parts = (ebi_room_parts){.effect = room_effect(sounds->job, room), .valve_db = -INFINITY};
  for (size_t band = 0; band < EB_OCTAVES; band++)
    parts->fan[0][band] = parts->fan[1][band] = parts->made[0][band] = parts->made[1][band] =
        parts->valves[band] = -INFINITY;
  for (int s = 0; s < EBI_SIDES; s++) {
    parts->loudest[s] = EBI_NONE;
    parts->loudest_db[s] = -INFINITY;
  }
}

static eb_status start_results(ebi_sounds *sounds) {
  ebi_ducts_job *job = sounds->job;
  size_t n_levels = job->result->n_levels, n_rooms = job->result->n_rooms;
  sounds->rooms = EBI_NEW_ARRAY(job->scratch, eb_room_sound *, n_levels);
  if (sounds->rooms == NULL)
    return EB_E_MEMORY;
  for (size_t l = 0; l < n_levels; l++) {
    sounds->rooms[l] = EBI_NEW_ARRAY(job->arena, eb_room_sound, n_rooms);
    if (sounds->rooms[l] == NULL)
      return EB_E_MEMORY;
    for (size_t r = 0; r < n_rooms; r++)
      sounds->rooms[l][r].cross_talk_db = NAN;
  }
  return EB_OK;
}

static eb_status start(ebi_sounds *sounds) {
  ebi_ducts_job *job = sounds->job;
  size_t n_rooms = job->result->n_rooms;
  sounds->parts = EBI_NEW_ARRAY(job->scratch, ebi_room_parts, n_rooms);
  if (sounds->parts == NULL)
    return EB_E_MEMORY;
  for (size_t r = 0; r < n_rooms; r++)
    clear_parts(sounds, r);
  eb_status status = EB_OK;
  for (int s = 0; status == EB_OK && s < EBI_SIDES; s++) {
    sounds->side[s].side = &job->side[s];
    if (job->side[s].network != NULL && (status = state_duties(job, &sounds->side[s])) == EB_OK)
      status = ebi_sound_ways(job, &sounds->side[s]);
  }
  return status;
}

/* ---- What the air makes in the ducts ---- */

/* In the straight duct and in the bends of a run, in all its tubes. */
static double made_in_run(const ebi_side_run *run, double velocity, size_t band) {
  double area = run->section.area, bore = ebi_section_equal_area_bore(&run->section);
  double hz = ebi_octave_hz(band), bends = 0, made;
  for (size_t i = 0; i < run->run->n_fittings; i++) {
    const ebi_run_fitting *entry = &run->run->fittings[i];
    if (entry->fitting != NULL && entry->fitting->sound == EBI_SOUND_BEND)
      bends += entry->count;
  }
  made = ebi_sound_duct_flow_band(velocity, area, band);
  if (bends > 0 && velocity > 0)
    made =
        ebi_sound_add(made, 10.0 * log10(bends) +
                                ebi_sound_generated(ebi_sound_bend_spectrum(hz * bore / velocity),
                                                    hz, velocity, area, bore));
  return made + 10.0 * log10((double)run->run->parallel);
}

static double velocity_of(const ebi_sounds *sounds, const ebi_side_sound *sound, size_t run) {
  if (sound->velocity != NULL)
    return sound->velocity[run];
  const eb_run_state *states = sounds->job->run_states[sounds->level];
  return fabs(states[sound->side->runs[run].number].velocity_m_s);
}

/* Attenuate first, then add what is generated: at the end of each run on the way. */
static void make_sound(const ebi_sounds *sounds, ebi_side_sound *sound) {
  for (size_t i = 0; i < sound->n_order; i++) {
    size_t number = sound->order[i];
    ebi_sound_end *end = &sound->ends[number];
    const ebi_side_run *run = &sound->side->runs[number >> 1];
    double velocity = velocity_of(sounds, sound, number >> 1);
    for (size_t band = 0; band < EB_OCTAVES; band++) {
      double came = -INFINITY;
      if (end->before != EBI_NONE)
        came = sound->ends[end->before].made[band] - end->division -
               sound->run_loss[number >> 1][band];
      end->made[band] = ebi_sound_add(came, made_in_run(run, velocity, band));
    }
  }
}

/* ---- Into the rooms ---- */

/* From the fan, and from the air in the ducts, out of one terminal. */
static void add_terminal(const ebi_sounds *sounds, int s, size_t number) {
  const ebi_side_sound *sound = &sounds->side[s];
  const ebi_terminal *terminal = &sound->side->terminals[number];
  const ebi_sound_end *end = &sound->ends[ebi_terminal_end(sound->side, terminal)];
  ebi_room_parts *parts = &sounds->parts[terminal->room];
  double loss[EB_OCTAVES], power[EB_OCTAVES];
  if (terminal->idle || !end->reached)
    return;
  ebi_sound_terminal_loss(sound->side, terminal, loss);
  for (size_t band = 0; band < EB_OCTAVES; band++) {
    power[band] = sound->power[band] - end->way[band] - loss[band];
    parts->fan[s][band] = ebi_sound_add(parts->fan[s][band], power[band]);
    parts->made[s][band] = ebi_sound_add(parts->made[s][band], end->made[band] - loss[band]);
  }
  double total = ebi_sound_weighted(power);
  if (parts->loudest[s] == EBI_NONE || total > parts->loudest_db[s]) {
    parts->loudest[s] = number;
    parts->loudest_db[s] = total;
  }
}

static eb_status add_valve(const ebi_sounds *sounds, const ebi_side *side,
                           const ebi_terminal *terminal) {
  const ebi_side_run *run = &side->runs[terminal->run];
  const ebi_valve *valve = run->run->valve.type;
  const eb_run_state *state = &sounds->job->run_states[sounds->level][run->number];
  ebi_room_parts *parts = &sounds->parts[terminal->room];
  double power[EB_OCTAVES];
  if (valve == NULL || valve->n_sound == 0 || terminal->idle)
    return EB_OK;
  ebi_sound_duty *stated = EBI_NEW_ARRAY(sounds->job->scratch, ebi_sound_duty, valve->n_sound);
  if (stated == NULL)
    return EB_E_MEMORY;
  for (size_t i = 0; i < valve->n_sound; i++) {
    const ebi_valve_sound *given = &valve->sound[i];
    stated[i] = (ebi_sound_duty){given->flow, given->drop, 0, given->power.db};
  }
  ebi_sound_valve(stated, valve->n_sound, fabs(state->flow_m3_s), fabs(state->valve_pa), power);
  for (size_t band = 0; band < EB_OCTAVES; band++)
    parts->valves[band] = ebi_sound_add(parts->valves[band], power[band]);
  double total = ebi_sound_weighted(power);
  if (parts->valve == NULL || total > parts->valve_db) {
    parts->valve = run->run;
    parts->valve_db = total;
  }
  return EB_OK;
}

static void fan_power(ebi_sounds *sounds, int s) {
  const eb_level_state *level = &sounds->job->levels[sounds->level];
  const eb_side_state *state = s == EBI_SUPPLY_SIDE ? &level->supply : &level->extract;
  ebi_side_sound *sound = &sounds->side[s];
  for (size_t band = 0; band < EB_OCTAVES; band++)
    sound->power[band] = -INFINITY;
  if (sound->n_stated > 0)
    ebi_sound_fan(sound->stated, sound->n_stated, state->flow_m3_s, state->pressure_pa,
                  state->speed, sound->power);
}

static eb_status gather(ebi_sounds *sounds) {
  for (size_t r = 0; r < sounds->job->result->n_rooms; r++)
    clear_parts(sounds, r);
  for (int s = 0; s < EBI_SIDES; s++) {
    const ebi_side *side = sounds->side[s].side;
    if (side->network == NULL)
      continue;
    fan_power(sounds, s);
    make_sound(sounds, &sounds->side[s]);
    for (size_t t = 0; t < side->n_terminals; t++) {
      add_terminal(sounds, s, t);
      if (add_valve(sounds, side, &side->terminals[t]) != EB_OK)
        return EB_E_MEMORY;
    }
  }
  return EB_OK;
}

/* ---- Result ---- */

static double audible(double db) {
  return isnan(db) ? db : fmax(db, EBI_SOUND_FLOOR);
}

/* dB(A) in the room of powers; NAN where there is no source. */
static double in_room(const ebi_room_parts *parts, const double power[EB_OCTAVES], bool known) {
  return known ? audible(ebi_sound_weighted(power) + parts->effect) : (double)NAN;
}

static void add_bands(double sum[EB_OCTAVES], const double bands[EB_OCTAVES]) {
  for (size_t band = 0; band < EB_OCTAVES; band++)
    sum[band] = ebi_sound_add(sum[band], bands[band]);
}

static void record_room(const ebi_sounds *sounds, size_t room, eb_room_sound *out) {
  const ebi_room_parts *parts = &sounds->parts[room];
  double of_side[EBI_SIDES], sum[EB_OCTAVES];
  bool any = parts->valve != NULL;
  for (size_t band = 0; band < EB_OCTAVES; band++)
    sum[band] = parts->valves[band];
  for (int s = 0; s < EBI_SIDES; s++) {
    double both[EB_OCTAVES];
    bool known = parts->loudest[s] != EBI_NONE && sounds->side[s].n_stated > 0;
    for (size_t band = 0; band < EB_OCTAVES; band++)
      both[band] = ebi_sound_add(parts->fan[s][band], parts->made[s][band]);
    of_side[s] = in_room(parts, both, known);
    add_bands(sum, both);
    any = any || known;
  }
  out->supply_db = of_side[EBI_SUPPLY_SIDE];
  out->extract_db = of_side[EBI_EXTRACT_SIDE];
  out->valves_db = in_room(parts, parts->valves, parts->valve != NULL);
  out->total_db = in_room(parts, sum, any);
  for (size_t band = 0; band < EB_OCTAVES; band++)
    out->bands_db[band] = any ? audible(sum[band] + parts->effect) : (double)NAN;
  out->limit_db = ebi_sound_limit_of(sounds->job, room, sounds->job->levels[sounds->level].name,
                                     &out->limit_source);
}

static eb_status run_level(ebi_sounds *sounds) {
  ebi_ducts_job *job = sounds->job;
  if (gather(sounds) != EB_OK)
    return EB_E_MEMORY;
  for (size_t r = 0; r < job->result->n_rooms; r++)
    record_room(sounds, r, &sounds->rooms[sounds->level][r]);
  job->levels[sounds->level].sounds = sounds->rooms[sounds->level];
  eb_status status = ebi_sound_judge(sounds);
  ebi_sound_explain(sounds);
  return status;
}

eb_status ebi_ducts_sound(ebi_ducts_job *job) {
  ebi_sounds sounds = {.job = job};
  if (job->house->unit->n_sound == 0)
    return ebi_sound_missing(&sounds);
  eb_status status = start_results(&sounds);
  if (status == EB_OK)
    status = start(&sounds);
  if (status == EB_OK)
    status = ebi_sound_cross_talk(&sounds);
  for (; status == EB_OK && sounds.level < job->result->n_levels; sounds.level++)
    status = run_level(&sounds);
  return status == EB_OK ? ebi_sound_missing(&sounds) : status;
}

eb_status ebi_sound_trial(ebi_ducts_job *job, size_t level, double *total_db) {
  ebi_sounds sounds = {.job = job, .level = level};
  eb_status status = start(&sounds);
  if (status == EB_OK)
    status = gather(&sounds);
  for (size_t r = 0; status == EB_OK && r < job->result->n_rooms; r++) {
    eb_room_sound room;
    record_room(&sounds, r, &room);
    total_db[r] = room.total_db;
  }
  return status;
}

/* From a terminal into the power that its room gets. */
static void add_made(const ebi_side_sound *sound, const ebi_terminal *terminal,
                     double power[EB_OCTAVES]) {
  const ebi_sound_end *end = &sound->ends[ebi_terminal_end(sound->side, terminal)];
  double loss[EB_OCTAVES];
  if (terminal->idle || !end->reached)
    return;
  ebi_sound_terminal_loss(sound->side, terminal, loss);
  for (size_t band = 0; band < EB_OCTAVES; band++)
    power[band] = ebi_sound_add(power[band], end->made[band] - loss[band]);
}

eb_status ebi_sound_of_flow(ebi_side *side, const double *velocity, double *db) {
  ebi_sounds sounds = {.job = side->job};
  ebi_side_sound sound = {.side = side, .velocity = velocity};
  eb_status status = ebi_sound_ways(side->job, &sound);
  if (status != EB_OK)
    return status;
  make_sound(&sounds, &sound);
  for (size_t r = 0; r < side->job->house->n_rooms; r++) {
    double power[EB_OCTAVES];
    for (size_t band = 0; band < EB_OCTAVES; band++)
      power[band] = -INFINITY;
    for (size_t t = 0; t < side->n_terminals; t++)
      if (side->terminals[t].room == r)
        add_made(&sound, &side->terminals[t], power);
    db[r] = ebi_sound_weighted(power) + room_effect(side->job, r);
  }
  return EB_OK;
}
