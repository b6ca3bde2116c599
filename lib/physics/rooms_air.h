/* rooms_air.h - vapour and heat of rooms through which air passes, each as one well-mixed volume
 *
 * Nothing is stored in walls and furniture but where it is said: real rooms swing less. */

#ifndef EBI_ROOMS_AIR_H
#define EBI_ROOMS_AIR_H

/* ---- Vapour by mass, as the year reckons it ------------------------------ */

/* Humidity ratio [kg/kg] of rooms in a steady state: W = W_e + G/m, m the dry air in the flow at
 * the rooms' own state. outdoor_ratio >= 0, production [kg/s] >= 0, flow [m3/s] > 0, pressure [Pa]
 * > 0. NAN where the flow cannot carry it off as vapour at all. */
double ebi_room_humidity_ratio(double outdoor_ratio, double production_kg_s, double flow_m3_s,
                               double temperature_c, double pressure_pa);

/* ---- Vapour by volume, for what comes and goes within the hour ----------- */

/* Vapour [kg/m3] of steady air: v = v_in + G/q; that outdoor air grows as it is warmed is left
 * out. production >= 0, flow > 0, in units that agree. */
double ebi_vapour_steady(double entering, double production, double flow);

/* Flow that holds rooms to `allowed` [kg/m3]; NAN where the entering air holds as much itself. */
double ebi_vapour_flow(double entering, double production, double allowed);

/* Vapour after a while: v = v_end + (v_start - v_end) e^(-n t). n >= 0 and time >= 0 in units that
 * agree. */
double ebi_vapour_after(double start, double end, double air_changes, double time);

/* Share of a room's surplus of vapour that a run of the fan carries off: 1 - e^(-n t). */
double ebi_vapour_removed(double air_changes, double time);

/* Time until that share (0 <= share < 1) is gone. air_changes > 0. */
double ebi_vapour_time(double air_changes, double share);

/* A room while steam is made in it, and after. */
typedef struct ebi_steam_room {
  double volume;     /* m3 > 0 */
  double flow;       /* m3/s > 0 */
  double entering;   /* kg/m3 of the air that makes up for it */
  double saturation; /* kg/m3 that the room's air can hold, > entering */
  double production; /* kg/s */
  double seconds;    /* so long */
} ebi_steam_room;

typedef struct ebi_steam {
  double highest;    /* kg/m3, no more than saturation */
  double settled_kg; /* on surfaces: what the air could not hold */
  double drying_s;   /* until that has evaporated into air that stays saturated: the least */
} ebi_steam;

/* From air as it enters. All NAN outside. */
ebi_steam ebi_steam_of(const ebi_steam_room *room);

/* ---- Heat --------------------------------------------------------------- */

/* Heat [W] that a flow [m3/s] of air brings or takes at a difference of temperatures [K], no water
 * dropping: P = 3600 c q dT, c in Wh/(m3 K). */
double ebi_sensible_power(double capacity_wh_m3_k, double flow_m3_s, double difference_k);

/* A house as one store of heat: capacity [J/K] > 0, all its heat loss [W/K] >= 0, gains [W]. */
typedef struct ebi_heat_store {
  double capacity, heat_loss, gains;
} ebi_heat_store;

typedef struct ebi_store_state {
  double end_c;  /* after the step */
  double mean_c; /* over it */
} ebi_store_state;

/* After `seconds` > 0 of an outdoor temperature that stays, from `start_c`; exact:
 * T = T_end + (T_0 - T_end) e^(-H t/C), T_end = T_e + G/H. */
ebi_store_state ebi_heat_store_step(const ebi_heat_store *store, double start_c, double outdoor_c,
                                    double seconds);

#endif
