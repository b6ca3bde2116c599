/* methods_rooms_air.c - vapour in rooms, cooling by air and tanks of hot water, as case rows ask */

#include <math.h>

#include "methods.h"
#include "physics/rooms_air.h"
#include "physics/tank.h"

#define METHOD(name) static eb_status name(const double *in, int n_in, double *out)
#define IGNORE_COUNT (void)n_in
#define VAPOUR_GAS 461.5 /* J/(kg K) */

static eb_status checked(double *out, double value) {
  *out = value;
  return isfinite(value) ? EB_OK : EB_E_RANGE;
}

/* kg/m3 of vapour in saturated air */
static double saturation(double temperature_c) {
  return eb_vapour_saturation(temperature_c) / (VAPOUR_GAS * (temperature_c + 273.15));
}

/* ---- Vapour ------------------------------------------------------------- */

/* production, air changes, volume, outdoors, humidity, indoors -> relative humidity */
METHOD(steady_by_volume) {
  IGNORE_COUNT;
  double flow = in[1] * in[2] / 3600.0;
  double vapour = ebi_vapour_steady(in[4] * saturation(in[3]), in[0], flow);
  return checked(out, vapour / saturation(in[5]));
}

/* production, flow, outdoors, humidity, indoors -> the same by mass */
METHOD(steady_by_mass) {
  IGNORE_COUNT;
  const double pressure = 101325.0;
  double outdoor = eb_humidity_ratio(in[2], in[3], pressure);
  double indoor = ebi_room_humidity_ratio(outdoor, in[0], in[1], in[4], pressure);
  return checked(out, eb_relative_humidity(in[4], indoor, pressure));
}

/* production, outdoors, humidity, indoors, humidity allowed -> flow */
METHOD(flow_to_hold) {
  IGNORE_COUNT;
  return checked(out, ebi_vapour_flow(in[2] * saturation(in[1]), in[0], in[4] * saturation(in[3])));
}

METHOD(after) {
  IGNORE_COUNT;
  return checked(out, ebi_vapour_after(in[0], in[1], in[2] / 3600.0, in[3]));
}

/* flow, volume, time */
METHOD(removed) {
  IGNORE_COUNT;
  return checked(out, ebi_vapour_removed(in[0] / in[1], in[2]));
}

/* flow, volume, share */
METHOD(time_to_remove) {
  IGNORE_COUNT;
  return checked(out, ebi_vapour_time(in[0] / in[1], in[2]));
}

/* flow, volume, time, room, entering, humidity -> relative humidity of air once saturated */
METHOD(after_saturation) {
  IGNORE_COUNT;
  double start = saturation(in[3]), end = in[5] * saturation(in[4]);
  return checked(out, ebi_vapour_after(start, end, in[0] / in[1], in[2]) / start);
}

/* flow, volume, production, time, room, entering, humidity -> highest, settled, drying */
METHOD(steam) {
  IGNORE_COUNT;
  const ebi_steam_room room = {.flow = in[0],
                               .volume = in[1],
                               .production = in[2],
                               .seconds = in[3],
                               .saturation = saturation(in[4]),
                               .entering = in[6] * saturation(in[5])};
  ebi_steam steam = ebi_steam_of(&room);
  out[1] = steam.settled_kg;
  out[2] = steam.drying_s;
  return checked(out, steam.highest);
}

/* ---- Cooling ------------------------------------------------------------ */

METHOD(sensible) {
  IGNORE_COUNT;
  return checked(out, ebi_sensible_power(in[0], in[1], in[2]));
}

/* ... and hours -> kWh */
METHOD(sensible_energy) {
  IGNORE_COUNT;
  return checked(out, ebi_sensible_power(in[0], in[1], in[2]) * in[3] / 3.6e6);
}

/* capacity [kWh/K], heat loss, gains, start, outdoors, time -> end, mean */
METHOD(store) {
  IGNORE_COUNT;
  const ebi_heat_store store = {in[0] * 3.6e6, in[1], in[2]};
  ebi_store_state state = ebi_heat_store_step(&store, in[3], in[4], in[5]);
  out[1] = state.mean_c;
  return checked(out, state.end_c);
}

/* ---- Tanks -------------------------------------------------------------- */

/* volume, from, to -> kWh */
METHOD(content) {
  IGNORE_COUNT;
  return checked(out, ebi_tank_content(in[0], in[1], in[2]) / 3.6e6);
}

/* ... 52 times */
METHOD(weekly) {
  IGNORE_COUNT;
  return checked(out, 52.0 * ebi_tank_content(in[0], in[1], in[2]) / 3.6e6);
}

/* volume, from, to, power, ratio at both ends, loss, draw [l/h], cold -> time, kWh, ratio */
METHOD(heating) {
  IGNORE_COUNT;
  const ebi_ratio_point ratios[] = {{in[1], in[4]}, {in[2], in[5]}};
  const ebi_tank tank = {in[0], in[3], in[6], in[7], in[8], ratios, 2};
  ebi_tank_run run = ebi_tank_heat(&tank, in[1], in[2]);
  out[1] = run.electricity_j / 3.6e6;
  out[2] = run.heat_j / run.electricity_j;
  return checked(out, run.seconds);
}

METHOD(store_temperature) {
  IGNORE_COUNT;
  (void)in;
  return checked(out, EBI_STORE_C);
}

const case_method case_methods_rooms_air[] = {{"rooms.humidity_by_volume", 6, 1, steady_by_volume},
                                              {"rooms.humidity_by_mass", 5, 1, steady_by_mass},
                                              {"rooms.flow_to_hold", 5, 1, flow_to_hold},
                                              {"rooms.vapour_after", 4, 1, after},
                                              {"rooms.vapour_removed", 3, 1, removed},
                                              {"rooms.time_to_remove", 3, 1, time_to_remove},
                                              {"rooms.after_saturation", 6, 1, after_saturation},
                                              {"rooms.steam", 7, 3, steam},
                                              {"rooms.sensible", 3, 1, sensible},
                                              {"rooms.sensible_energy", 4, 1, sensible_energy},
                                              {"rooms.store", 6, 2, store},
                                              {"tank.content", 3, 1, content},
                                              {"tank.weekly", 3, 1, weekly},
                                              {"tank.heating", 9, 3, heating},
                                              {"tank.store", 0, 1, store_temperature},
                                              {NULL, 0, 0, NULL}};
