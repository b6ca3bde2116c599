/* rooms_air.c - vapour and heat of rooms through which air passes */

#include "physics/rooms_air.h"

#include <math.h>

#include "physics/air.h"

#define ZERO_CELSIUS 273.15  /* K */
#define VAPOUR_ROOM 1.607858 /* volume of vapour over that of as much dry air, 1/0.621945 */

/* ---- Vapour by mass ------------------------------------------------------ */

/* The dry air's volume grows with the vapour in it (ASHRAE HoF 2021 ch. 1 eq. (26)), so that W
 * stands on both sides: W = W_e + G v_0 (1 + 1.607858 W)/q. */
double ebi_room_humidity_ratio(double outdoor_ratio, double production_kg_s, double flow_m3_s,
                               double temperature_c, double pressure_pa) {
  double volume = EBI_AIR_GAS_CONSTANT * (temperature_c + ZERO_CELSIUS) / pressure_pa;
  double added = production_kg_s * volume / flow_m3_s;
  if (!(outdoor_ratio >= 0.0) || !(production_kg_s >= 0.0) || !(flow_m3_s > 0.0) ||
      !(volume > 0.0) || !(added * VAPOUR_ROOM < 1.0))
    return NAN;
  return (outdoor_ratio + added) / (1.0 - added * VAPOUR_ROOM);
}

/* ---- Vapour by volume ---------------------------------------------------- */

double ebi_vapour_steady(double entering, double production, double flow) {
  return production >= 0.0 && flow > 0.0 ? entering + production / flow : (double)NAN;
}

double ebi_vapour_flow(double entering, double production, double allowed) {
  return production >= 0.0 && allowed > entering ? production / (allowed - entering) : (double)NAN;
}

double ebi_vapour_after(double start, double end, double air_changes, double time) {
  if (!(air_changes >= 0.0) || !(time >= 0.0))
    return NAN;
  return end + (start - end) * exp(-air_changes * time);
}

double ebi_vapour_removed(double air_changes, double time) {
  return air_changes >= 0.0 && time >= 0.0 ? -expm1(-air_changes * time) : (double)NAN;
}

double ebi_vapour_time(double air_changes, double share) {
  if (!(air_changes > 0.0) || !(share >= 0.0 && share < 1.0))
    return NAN;
  return -log1p(-share) / air_changes;
}

/* Once saturated, what is made beyond what the flow carries off settles. */
ebi_steam ebi_steam_of(const ebi_steam_room *room) {
  const ebi_steam none = {NAN, NAN, NAN};
  double room_for = room->saturation - room->entering, air_changes = room->flow / room->volume;
  if (!(room->volume > 0.0) || !(room->flow > 0.0) || !(room_for > 0.0) ||
      !(room->production >= 0.0) || !(room->seconds >= 0.0))
    return none;
  double surplus = room->production / room->flow; /* in the end, were there no bound */
  double before =
      surplus > room_for ? ebi_vapour_time(air_changes, room_for / surplus) : room->seconds;
  if (before >= room->seconds)
    return (ebi_steam){room->entering + surplus * ebi_vapour_removed(air_changes, room->seconds),
                       0.0, 0.0};
  double carried = room->flow * room_for;
  double settled = (room->production - carried) * (room->seconds - before);
  return (ebi_steam){room->saturation, settled, settled / carried};
}

/* ---- Heat --------------------------------------------------------------- */

double ebi_sensible_power(double capacity_wh_m3_k, double flow_m3_s, double difference_k) {
  return 3600.0 * capacity_wh_m3_k * flow_m3_s * difference_k;
}

ebi_store_state ebi_heat_store_step(const ebi_heat_store *store, double start_c, double outdoor_c,
                                    double seconds) {
  double x = store->heat_loss * seconds / store->capacity;
  double drive = store->gains + store->heat_loss * (outdoor_c - start_c); /* W at its start */
  double rise = drive * seconds / store->capacity;
  /* (1 - e^-x)/x and its mean over the step, by their series where x vanishes */
  double fade = x > 1e-6 ? -expm1(-x) / x : 1.0 - x / 2.0;
  double mean = x > 1e-4 ? (1.0 - fade) / x : 0.5 - x / 6.0;
  return (ebi_store_state){start_c + rise * fade, start_c + rise * mean};
}
