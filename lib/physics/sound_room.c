/* sound_room.c - from the sound power of terminals to the level in a room */

#include <math.h>

#include "physics/sound.h"

#define FOOT 0.3048
#define PI 3.14159265358979323846

double ebi_sound_absorption(double volume, double reverberation_s) {
  return volume > 0 && reverberation_s > 0 ? 0.163 * volume / reverberation_s : (double)NAN;
}

double ebi_sound_room_mean(double absorption) {
  return absorption > 0 ? 10.0 * log10(4.0 / absorption) : (double)NAN;
}

double ebi_sound_room_at(double directivity, double distance, double absorption) {
  if (!(distance > 0) || !(absorption > 0))
    return NAN;
  return 10.0 * log10(directivity / (4.0 * PI * distance * distance) + 4.0 / absorption);
}

double ebi_sound_room_schultz(double distance, double volume, double hz) {
  if (!(distance > 0) || !(volume > 0) || !(hz > 0))
    return NAN;
  return -10.0 * log10(distance) - 5.0 * log10(volume) - 3.0 * log10(hz) + 12.0;
}

double ebi_sound_room_ceiling(double height, double area_ratio, double outlets, double hz) {
  if (!(height > 0) || !(area_ratio > 0) || !(outlets > 0) || !(hz > 0))
    return NAN;
  return 27.6 * log10(height / FOOT) + 5.0 * log10(area_ratio) + 3.0 * log10(hz) -
         1.3 * log10(outlets) - 30.0;
}
