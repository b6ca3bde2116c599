/* evenbreath_physics.h - the physics, callable alone on plain numbers
 *
 * A part of evenbreath.h, which includes it. Each function states its range
 * and is NAN outside it; arguments must be finite.
 *
 * SPDX-License-Identifier: GPL-3.0-or-later */

#ifndef EVENBREATH_PHYSICS_H
#define EVENBREATH_PHYSICS_H

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

/* Degree-days [K day] of a month of `days` days from its mean temperature [C]
 * (Hitchin 1983; k 0.71 per K for the United Kingdom). Any base; days > 0, k > 0. */
double eb_degree_days_monthly(double base_c, double mean_c, double days, double k);

/* Degree-days of one day from its extremes, four-case rule of the UK; max_c >= min_c. */
double eb_degree_days_min_max(double base_c, double max_c, double min_c);

/* Base temperature [C]: indoor - gains / heat loss. heat_loss > 0. */
double eb_base_temperature(double indoor_c, double gains_w, double heat_loss_w_k);

/* ---- Heat exchangers --------------------------------------------------- */

/* Effectiveness of a counterflow exchanger; ntu >= 0, 0 <= capacity_ratio <= 1. */
double eb_counterflow_effectiveness(double ntu, double capacity_ratio);

/* Number of transfer units for that effectiveness: 0 <= effectiveness < 1, 0 <= capacity_ratio
 * <= 1. */
double eb_counterflow_ntu(double effectiveness, double capacity_ratio);

/* ---- Leaks of the envelope ---------------------------------------------- */

/* Added air change [1/h] by leakage beside fans: n50 e / (1 + f/e (dn/n50)^2)
 * with dn the unbalanced mechanical air change (EN ISO 13789:2007, from memory).
 * n50 >= 0, e > 0, f >= 0. */
double eb_infiltration(double n50_per_h, double unbalance_per_h, double e, double f);

#ifdef __cplusplus
}
#endif

#endif
