/* ducts_sound.h - what the files that calculate the sound of ducts share
 *
 * Sound goes from the fan's spigot through the runs of a side to its terminals. What it
 * loses on the way does not depend on the air, so it is found once (ducts_sound_way.c);
 * what fans, ducts and valves make is found at each level and summed in each room
 * (ducts_sound.c). Then limits are compared and cures sought (ducts_sound_say.c), the ways
 * from room to room looked at (ducts_sound_talk.c) and the steps written down
 * (ducts_sound_explain.c). */

#ifndef EBI_DUCTS_SOUND_H
#define EBI_DUCTS_SOUND_H

#include "design/ducts.h"
#include "physics/sound.h"

/* Where sound from the unit leaves a run, numbered as the ends of a side are: 2 x run +
 * (1 where the run ends there). */
typedef struct ebi_sound_end {
  bool reached;
  size_t before;           /* the end it came from, EBI_NONE: the spigot */
  double division;         /* what the junction before took [dB] */
  double way[EB_OCTAVES];  /* lost between the spigot and here [dB] */
  double cost;             /* by which ways are compared: mean of 125 to 1000 Hz */
  double made[EB_OCTAVES]; /* power here of what the air made on the way, at the level in hand */
} ebi_sound_end;

typedef struct ebi_side_sound {
  const ebi_side *side;
  double (*run_loss)[EB_OCTAVES]; /* of one run, by run of the side */
  double *meeting_area;           /* of all runs that meet, by meeting */
  ebi_sound_end *ends;
  size_t *order; /* of the ends reached, each after the one before it */
  size_t n_order;
  const ebi_sound_duty *stated; /* of the spigot; n_stated 0: not known */
  size_t n_stated;
  double power[EB_OCTAVES]; /* at the spigot, at the level in hand */
  const double *velocity;   /* by run of the side; NULL: those of the result */
} ebi_side_sound;

/* What reaches a room: powers, until the room's effect turns them into levels. */
typedef struct ebi_room_parts {
  double fan[EBI_SIDES][EB_OCTAVES], made[EBI_SIDES][EB_OCTAVES], valves[EB_OCTAVES];
  size_t loudest[EBI_SIDES]; /* terminal of the side, EBI_NONE: none */
  double loudest_db[EBI_SIDES];
  const ebi_run *valve; /* of the loudest valve, NULL: none known */
  double valve_db;
  double effect; /* level less power; NAN: the room's volume is not known */
} ebi_room_parts;

typedef struct ebi_sounds {
  ebi_ducts_job *job;
  size_t level;
  ebi_side_sound side[EBI_SIDES];
  ebi_room_parts *parts; /* by room, at the level in hand */
  eb_room_sound **rooms; /* by level, in the result */
} ebi_sounds;

/* Levels and bands are not given below this [dB]: nobody hears it. */
#define EBI_SOUND_FLOOR 0.0

/* dB(A) of each room at a level of a finished result, with the runs as the side has them now. */
eb_status ebi_sound_trial(ebi_ducts_job *job, size_t level, double *total_db);

/* dB(A) by room of what the air makes in the ducts of a side at these velocities of its runs,
 * before there is a result; -INFINITY or NAN where there is nothing to be said. */
eb_status ebi_sound_of_flow(ebi_side *side, const double *velocity, double *db);

/* Losses of all runs and the way with the least loss to every end. */
eb_status ebi_sound_ways(ebi_ducts_job *job, ebi_side_sound *sound);

/* What a terminal takes: the valve's insertion loss, else the reflection of its end. */
void ebi_sound_terminal_loss(const ebi_side *side, const ebi_terminal *terminal,
                             double loss[EB_OCTAVES]);

/* The end of its run at which a terminal opens into its room. */
size_t ebi_terminal_end(const ebi_side *side, const ebi_terminal *terminal);

/* What a junction takes from sound that comes in by one end and leaves by another [dB]. */
double ebi_sound_junction(const ebi_side_sound *sound, const ebi_meeting *meeting, size_t in,
                          size_t out);

/* Least level difference to another room through the ducts, into the sounds of all levels. */
eb_status ebi_sound_cross_talk(ebi_sounds *sounds);

/* The limit of a room at a level; 0: none. *source is NULL for the user's own. */
double ebi_sound_limit_of(const ebi_ducts_job *job, size_t room, const char *level,
                          const char **source);

/* Limits, cures and findings at the level in hand. */
eb_status ebi_sound_judge(ebi_sounds *sounds);

/* What data is missing, in one note. */
eb_status ebi_sound_missing(const ebi_sounds *sounds);

/* Steps of the rooms that have a limit at the level in hand. */
void ebi_sound_explain(const ebi_sounds *sounds);

#endif
