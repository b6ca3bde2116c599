/* evenbreath_physics.h - the physics, callable alone on plain numbers
 *
 * A part of evenbreath.h, which includes it. Each function states its range
 * and is NAN outside it; arguments must be finite.
 *
 * SPDX-License-Identifier: GPL-3.0-or-later */

#ifndef EVENBREATH_PHYSICS_H
#define EVENBREATH_PHYSICS_H

#include <stdbool.h>
#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

/* ---- Air --------------------------------------------------------------- */

#define EB_REFERENCE_DENSITY 1.2 /* kg/m3, EN 16798-3 practice */

/* Dry air density [kg/m3]: p / (287.042 T). temperature [C] > -273.15, pressure [Pa] > 0. */
double eb_air_density(double temperature_c, double pressure_pa);

/* Moist air density [kg/m3]; temperature -40..100 C, pressure [Pa] above the vapour's, relative
 * humidity 0..1 over water (Hyland-Wexler). */
double eb_air_density_moist(double temperature_c, double pressure_pa, double humidity);

/* Dynamic viscosity [Pa s], US Standard Atmosphere 1976 (Sutherland); temperature > -273.15 C. */
double eb_air_viscosity(double temperature_c);

/* Standard pressure [Pa] at an altitude [m], -500..11000. */
double eb_air_pressure(double altitude_m);

/* Heat capacity per volume of dry air [Wh/(m3 K)], cp 1006 J/(kg K); range of eb_air_density. */
double eb_air_heat_capacity(double temperature_c, double pressure_pa);

/* ---- Ducts ------------------------------------------------------------- */

/* Darcy friction factor of a duct with roughness/diameter 0..0.05:
 * laminar_constant/Re (64 for round; 40..100) to Re 2000, Colebrook-White to
 * machine accuracy from Re 4000; between them ln f is a cubic in ln Re with
 * the slopes of both ends, so that pressure rises with flow. reynolds > 0. */
double eb_friction_factor(double reynolds, double relative_roughness, double laminar_constant);

/* Colebrook-White alone, any reynolds > 0, roughness/diameter 0..0.05; exact to the last bits. */
double eb_colebrook(double reynolds, double relative_roughness);

/* Darcy f Re of laminar flow in a rectangle, sides > 0 in any order (Shah & London 1978). */
double eb_laminar_constant_rectangle(double width_m, double height_m);

/* ---- Degree-days ------------------------------------------------------- */

/* Degree-days [K day] below a base [C]. Each rule has its own sums, which are never mixed with
 * those of another. NAN outside the ranges. */

/* Of a month of `days` days from its mean temperature [C]
 * (Hitchin 1983; k 0.71 per K for the United Kingdom). Any base; days > 0, k > 0. */
double eb_degree_days_monthly(double base_c, double mean_c, double days, double k);

/* The same with k = sqrt(2 pi)/deviation, of the standard deviation [K] of the month's daily means
 * (ISO 15927-6 in ASHRAE HoF 2021 ch. 14 eq. 38). deviation > 0. */
double eb_degree_days_iso(double base_c, double mean_c, double days, double deviation_k);

/* Of daily means spread normally with that deviation (Schoenau & Kehrig 1990 in ASHRAE HoF 2021
 * ch. 14 eqs. 32-33). deviation > 0. */
double eb_degree_days_normal(double base_c, double mean_c, double days, double deviation_k);

/* Where only the means are known (Erbs, Klein & Beckman 1983, constants from memory):
 * yearly_deviation [K] >= 0 is the standard deviation (n - 1) of the twelve monthly means. The
 * mean must lie below 50 C + 2.29 yearly_deviation. */
double eb_degree_days_erbs(double base_c, double mean_c, double days, double yearly_deviation_k);

/* Of one day from its extremes, four-case rule of the UK and Ireland; max_c >= min_c. */
double eb_degree_days_min_max(double base_c, double max_c, double min_c);

/* How much the day is warmer than the base, by the same rule: heating - cooling is always base -
 * (max + min)/2. */
double eb_cooling_days_min_max(double base_c, double max_c, double min_c);

/* Of one day by the middle of its extremes, as in the United States (base 65 F, that is
 * 18.333... C); less than the four cases where the base lies within the day. */
double eb_degree_days_middle(double base_c, double max_c, double min_c);

/* Of one day that goes between its extremes as a sine (own integral). */
double eb_degree_days_sine(double base_c, double max_c, double min_c);

/* Of one day by a rule that jumps: indoor - mean where the mean lies below the limit, else 0.
 * 20/15 in Germany (VDI 2067), 20/12 in Austria and Switzerland; limit = indoor gives the plain
 * rule. Never to be multiplied by a heat loss as if it had a base: it has none. indoor >= limit. */
double eb_degree_days_jump(double indoor_c, double limit_c, double day_mean_c);

/* Of n hours [C]: the sum of what each is colder, over 24. Never below the sum over the means of
 * days. 0 for n = 0; NAN where one of them is not finite. */
double eb_degree_days_hours(double base_c, const double *hours, size_t n);

/* Base temperature [C]: indoor - gains / heat loss. heat_loss > 0. */
double eb_base_temperature(double indoor_c, double gains_w, double heat_loss_w_k);

/* ---- Heat exchangers --------------------------------------------------- */

/* Effectiveness of a counterflow exchanger; ntu >= 0, 0 <= capacity_ratio <= 1. */
double eb_counterflow_effectiveness(double ntu, double capacity_ratio);

/* Number of transfer units for that effectiveness: 0 <= effectiveness < 1, 0 <= capacity_ratio
 * <= 1. */
double eb_counterflow_ntu(double effectiveness, double capacity_ratio);

/* Effectiveness of a crossflow exchanger, both streams unmixed: the exact series of Mason 1954
 * (from memory; agrees with an own numerical solution to 2e-4). 0 <= ntu <= 500, 0 <=
 * capacity_ratio <= 1. */
double eb_crossflow_effectiveness(double ntu, double capacity_ratio);

/* Effectiveness of a parallel-flow exchanger; ntu >= 0, 0 <= capacity_ratio <= 1. */
double eb_parallel_flow_effectiveness(double ntu, double capacity_ratio);

/* Temperature ratio of a balanced counterflow exchanger at `flow` from that measured at another
 * (`at`, same unit), where UA goes with flow^exponent: 0 in laminar channels, about 0.8 in
 * turbulent ones. 0 <= ratio < 1, at > 0, flow > 0, 0 <= exponent <= 1. */
double eb_ratio_at_flow(double ratio, double at, double flow, double exponent);

/* Temperature ratio of the exchanger alone from one measured while the share `leak` of the supply
 * was extract air leaked into it (mixing balance): (measured - leak)/(1 - leak). Fresh air is
 * 1 - leak of the supply. 0 <= leak < 1, leak <= measured <= 1. */
double eb_ratio_without_leak(double measured, double leak);

/* Temperature ratio of the supply side without the warming [K] by the supply fan:
 * (supply - warming - outdoor)/(extract - outdoor), EN 13141-7 (from memory). Any finite
 * temperatures [C]; extract and outdoor differ. */
double eb_ratio_without_fan(double outdoor_c, double supply_c, double extract_c,
                            double fan_warming_k);

/* Standard uncertainty of the supply ratio (supply - outdoor)/(extract - outdoor) from three
 * independent sensors of standard uncertainty `u_k` >= 0 [K] each (GUM, JCGM 100:2008 eq. 10).
 * Any finite temperatures [C]; extract and outdoor differ. */
double eb_ratio_uncertainty(double outdoor_c, double supply_c, double extract_c, double u_k);

/* Warming [K] of an air stream by power in it: P/(3600 c q). power >= 0 W, flow > 0 m3/s,
 * capacity > 0 Wh/(m3 K). */
double eb_fan_warming(double power_w, double flow_m3_s, double capacity_wh_m3_k);

/* What a counterflow exchanger does at two different flows. */
typedef struct eb_exchanger_ratios {
  double supply_ratio;  /* temperature ratio of the supply side */
  double extract_ratio; /* of the extract side */
  double recovery;      /* heat recovered over that in the larger flow: what the house keeps, since
                           what one flow lacks comes cold through the envelope */
} eb_exchanger_ratios;

/* From the ratio at the balanced flow `at`, UA constant (laminar channels). 0 <= ratio < 1; at,
 * supply and extract > 0, in one unit. All NAN outside. */
eb_exchanger_ratios eb_unbalanced_ratios(double ratio, double at, double supply, double extract);

/* ---- Leaks of the envelope ---------------------------------------------- */

/* Added air change [1/h] by leakage beside fans: n50 e / (1 + f/e (dn/n50)^2)
 * with dn the unbalanced mechanical air change (EN ISO 13789:2007, from memory).
 * n50 >= 0, e > 0, f >= 0. */
double eb_infiltration(double n50_per_h, double unbalance_per_h, double e, double f);

/* All outdoor air of a house with balanced and unbalanced fans and leaks, each as if alone:
 * balanced + root(unbalanced^2 + infiltration^2), ASHRAE HoF 2021 ch. 16 eq. (51). One unit;
 * all >= 0. */
double eb_infiltration_quadrature(double balanced, double unbalanced, double infiltration);

/* The same by the other rule of that handbook, ch. 17 eqs. (12)-(14), Palmiter & Bond 1991:
 * balanced + max(unbalanced, infiltration + unbalanced/2). All >= 0. */
double eb_infiltration_half(double balanced, double unbalanced, double infiltration);

/* Infiltration [m3/s] by the basic model, ASHRAE HoF 2021 ch. 16 eq. (48): effective leakage area
 * [m2] >= 0; coefficients of stack [(l/s)2/(cm4 K)] and wind [(l/s)2/(cm4 (m/s)2)] >= 0;
 * difference of temperatures [K] >= 0; wind at the weather station [m/s] >= 0. */
double eb_infiltration_basic(double leakage_area_m2, double stack, double wind, double difference_k,
                             double wind_m_s);

/* A house of the enhanced model, ASHRAE HoF 2021 ch. 16. */
typedef struct eb_enhanced_leakage {
  double flow_coefficient; /* m3/(s Pa^n) >= 0, of the pressure test */
  double exponent;         /* n, 0.5..1 */
  double stack;            /* (Pa/K)^n >= 0 */
  double wind;             /* (Pa s2/m2)^n >= 0 */
  double shelter;          /* 0..1 */
  double speed_multiplier; /* wind at the eaves over that of the weather station, 0..2 */
} eb_enhanced_leakage;

/* Infiltration [m3/s] by the enhanced model, eqs. (49), (50), (47): stack and wind in quadrature.
 * difference of temperatures [K] and wind at the weather station [m/s] >= 0. */
double eb_infiltration_enhanced(const eb_enhanced_leakage *house, double difference_k,
                                double wind_m_s);

/* Infiltration [m3/s] on a design day, ASHRAE HoF 2021 ch. 17 (residential, suburban): leakage
 * area [m2] >= 0, height of the house [m] > 0, difference of temperatures [K] >= 0, area of flues
 * [m2] from 0 to below half the leakage area, wind 6.7 m/s (heating) or 3.4 m/s (cooling). */
double eb_infiltration_quick(double leakage_area_m2, double height_m, double difference_k,
                             double flue_area_m2, bool cooling);

/* ---- The yardstick of the European Union -------------------------------- */

/* What Regulation (EU) 1253/2014 Annex VIII reckons with; figures of Annex VIII tables from
 * memory. */
typedef struct eb_specific_energy_inputs {
  double temperature_ratio;    /* 0..1 */
  double power_wh_m3;          /* specific power input >= 0, W/(m3/h) */
  double control;              /* > 0..1: 1 by hand, 0.95 clock, 0.85 central, 0.65 local demand */
  double control_exponent;     /* 1..2: 1 one speed, 2 variable */
  double ducting;              /* > 0: 1.1 ducted, 1.21 not */
  double heating_hours;        /* h >= 0: 5112 average, 6552 cold, 4392 warm climate */
  double difference_k;         /* K >= 0: 9.5, 14.5, 5.0; 19 C indoors, 3 K for gains taken off */
  double defrost_hours;        /* h >= 0 below -4 C: 168, 1003, 0; 0 without an electric heater */
  double defrost_difference_k; /* K >= 0: 2.4, 5.2, 0 */
} eb_specific_energy_inputs;

/* Primary energy [kWh/(m2 a)] that ventilation takes (negative: spares) against leaky walls:
 * Annex VIII of the regulation. */
double eb_specific_energy(const eb_specific_energy_inputs *inputs);

/* Its class of Regulation (EU) 1254/2014, "A+" to "G"; a lower bound belongs to the class. NULL
 * where not finite. */
const char *eb_specific_energy_class(double specific_energy);

/* ---- Carbon dioxide indoors ---------------------------------------------- */

/* Steady rise above outdoors, ratio of volumes: generation/flow (ASHRAE HoF 2021 ch. 16 eq. (32)).
 * generation >= 0 and flow > 0, both m3/s. */
double eb_co2_rise(double generation, double flow);

/* Rise after `seconds` in a well-mixed room [m3] that starts at the rise `start`; flow may be 0.
 * generation, flow, start, seconds >= 0; volume > 0. */
double eb_co2_after(double generation, double flow, double volume_m3, double start, double seconds);

/* ---- Moist air --------------------------------------------------------- */

/* Ideal gases after ASHRAE Handbook Fundamentals ch. 1 (saturated air of its printed tables, which
 * are of real gases, holds 0.3 to 0.5 % more water). Relative humidity counts over ice at and below
 * 0.01 C and over water above; it is 0..1, below 0.01 C up to where supercooled water is in balance
 * with the air. What a weather station counts over water below 0 C is told here by
 *   humidity * eb_vapour_saturation_water(t) / eb_vapour_saturation(t).
 * Humidity ratio [kg/kg], enthalpy and volume are per kilogram of dry air. */

/* Pressure [Pa] of vapour at saturation, over ice at and below 0.01 C and over water above, -100
 * to 200 C (Hyland & Wexler 1983). */
double eb_vapour_saturation(double temperature_c);

/* The same over water, supercooled below 0 C; -60..100 C. */
double eb_vapour_saturation_water(double temperature_c);

/* Humidity ratio; temperature -100..200 C, vapour below the pressure [Pa]. */
double eb_humidity_ratio(double temperature_c, double humidity, double pressure_pa);

/* Relative humidity, above 1 where air is asked to hold more than it can; temperature -100..200 C,
 * humidity_ratio >= 0, pressure [Pa] > 0. */
double eb_relative_humidity(double temperature_c, double humidity_ratio, double pressure_pa);

/* Enthalpy [J/kg], 0 for dry air of 0 C; temperature -100..200 C, humidity_ratio >= 0. */
double eb_moist_enthalpy(double temperature_c, double humidity_ratio);

/* Volume [m3/kg]; temperature -100..200 C, humidity_ratio >= 0, pressure [Pa] > 0. */
double eb_moist_volume(double temperature_c, double humidity_ratio, double pressure_pa);

/* Dew point [C], at and below 0.01 C the frost point; temperature -100..200 C, humidity > 0; NAN
 * also below -100 C. */
double eb_dew_point(double temperature_c, double humidity);

/* Wet bulb [C] by adiabatic saturation, with ice on it below 0 C; where both a wet and a frozen
 * bulb may be, the wet one. Temperature -100 C to below boiling, air no more than saturated. */
double eb_wet_bulb(double temperature_c, double humidity_ratio, double pressure_pa);

/* ---- Condensation and cooling coils ------------------------------------- */

/* Relative humidity of room air at a surface, from 1 on with condensation. surface_factor 0..1 is
 * the surface's fRsi = (surface - outdoor)/(indoor - outdoor) of ISO 13788; -100..200 C. */
double eb_surface_humidity(double indoor_c, double humidity, double outdoor_c,
                           double surface_factor);

/* Least fRsi that keeps a surface to a relative humidity > 0, to 1 (ISO 13788, from memory: 0.8
 * against mould, 1 against condensation). Above 1 where the rooms' own air is beyond the limit,
 * negative where outdoors is warm enough. outdoor_c < indoor_c, humidity > 0. */
double eb_surface_factor_needed(double indoor_c, double humidity, double outdoor_c,
                                double surface_humidity_limit);

/* What happens in a heat exchanger as its extract air drops water. */
typedef struct eb_wet_exchange {
  double heat_w;          /* W, to the supply air */
  double supply_c;        /* C */
  double exhaust_c;       /* C, saturated where water drops */
  double dry_exhaust_c;   /* C, were the vapour to stay in the air */
  double condensate_kg_s; /* kg/s, all water that leaves the extract air, with what freezes */
  double latent_w;        /* W, that its vapour gives off: 2501 kJ/kg */
  double frost_kg_s;      /* kg/s, of the condensate, what ends as ice: all of it below 0 C */
} eb_wet_exchange;

/* Both air flows carry dry_air_kg_s [kg/s] > 0 of dry air. supply_ratio, 0..1, is the dry
 * temperature ratio of the supply side and stands (own balance: the vapour's heat warms the
 * exhaust air alone, which is on the safe side); the exhaust's enthalpy falls by the heat and by
 * what its water takes along, at the exhaust's temperature. outdoor_c <= extract_c; all NAN
 * outside. */
eb_wet_exchange eb_exchanger_wet(double outdoor_c, double outdoor_humidity, double extract_c,
                                 double extract_humidity, double dry_air_kg_s, double supply_ratio,
                                 double pressure_pa);

/* Supply air of an exchanger that hands moisture over as well. */
typedef struct eb_moisture_core {
  double supply_c;              /* C */
  double supply_humidity_ratio; /* kg/kg, no more than saturates it */
  double total_effectiveness;   /* of enthalpy; NAN where both airs have the same */
} eb_moisture_core;

/* Equal flows of dry air. Ratios 0..1 of temperature and of humidity ratio, supply side; all NAN
 * outside. */
eb_moisture_core eb_exchanger_moisture(double outdoor_c, double outdoor_humidity, double extract_c,
                                       double extract_humidity, double sensible_ratio,
                                       double moisture_ratio, double pressure_pa);

/* Air that leaves a cooling coil. */
typedef struct eb_coil {
  double outlet_c;              /* C */
  double outlet_humidity_ratio; /* kg/kg, saturated where water drops */
  double condensate_kg_s;       /* kg/s, with what freezes */
  double sensible_share;        /* of the cooling, what lowers the temperature */
} eb_coil;

/* The coil takes cooling_w [W] >= 0 from dry_air_kg_s [kg/s] > 0 of dry air, all of which touches
 * it (the wettest case); water leaves at the outlet's temperature, -100 C or more. All NAN
 * outside. */
eb_coil eb_cooling_coil(double inlet_c, double inlet_humidity, double dry_air_kg_s,
                        double cooling_w, double pressure_pa);

/* ---- Money -------------------------------------------------------------- */

/* Textbook engineering economy. Payments come at the end of each year; the first is `yearly`, each
 * later one (1 + growth) of the one before. Interest and growth are shares a year above -1, both
 * above inflation or both with it, never mixed. What is not defined is NAN, never a negative or
 * endless span. */

/* Today's money for one a year over `years` >= 0. */
double eb_annuity_factor(double interest, double years);

/* Today's worth of `yearly` over `years` >= 0, less the price. Any finite price and yearly. */
double eb_net_present_value(double price, double yearly, double interest, double growth,
                            double years);

/* Years until the price is back; 0 where nothing is paid and nothing lost. NAN where never. */
double eb_payback(double price, double yearly);

/* The same in today's money. NAN where never: the interest on the price is not earned. */
double eb_discounted_payback(double price, double yearly, double interest, double growth);

/* Interest at which the net present value is 0. price > 0, yearly > 0, years >= 1. */
double eb_internal_rate(double price, double yearly, double growth, double years);

/* The price as an equal sum for each of the years > 0. */
double eb_annual_cost(double price, double interest, double years);

#ifdef __cplusplus
}
#endif

#endif
