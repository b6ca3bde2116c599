/* methods_moist.c - moist air, and water that drops from it, as case rows ask for them */

#include <math.h>
#include <stdlib.h>

#include "methods.h"
#include "physics/air.h"
#include "physics/duct_heat.h"
#include "physics/moist.h"

#define METHOD(name) static eb_status name(const double *in, int n_in, double *out)
#define IGNORE_COUNT (void)n_in

static eb_status checked(double *out, double value) {
  *out = value;
  return isfinite(value) ? EB_OK : EB_E_RANGE;
}

/* ---- Vapour ---- */

METHOD(saturation) {
  IGNORE_COUNT;
  return checked(out, eb_vapour_saturation(in[0]));
}

METHOD(saturation_water) {
  IGNORE_COUNT;
  return checked(out, eb_vapour_saturation_water(in[0]));
}

METHOD(vapour) {
  IGNORE_COUNT;
  return checked(out, ebi_vapour_pressure(in[0], in[1]));
}

METHOD(dew_point) {
  IGNORE_COUNT;
  return checked(out, eb_dew_point(in[0], in[1]));
}

METHOD(dew_point_water) {
  IGNORE_COUNT;
  return checked(out, ebi_dew_point(in[0], in[1]));
}

/* kg/m3, with the vapour's gas constant of 461.5 J/(kg K) */
METHOD(concentration) {
  IGNORE_COUNT;
  return checked(out, ebi_vapour_pressure(in[0], in[1]) / (461.5 * (in[0] + 273.15)));
}

/* ---- Air of a temperature, relative humidity and pressure ---- */

METHOD(ratio) {
  IGNORE_COUNT;
  return checked(out, eb_humidity_ratio(in[0], in[1], in[2]));
}

METHOD(enthalpy_at) {
  IGNORE_COUNT;
  return checked(out, eb_moist_enthalpy(in[0], eb_humidity_ratio(in[0], in[1], in[2])));
}

METHOD(volume_at) {
  IGNORE_COUNT;
  return checked(out, eb_moist_volume(in[0], eb_humidity_ratio(in[0], in[1], in[2]), in[2]));
}

METHOD(wet_bulb_at) {
  IGNORE_COUNT;
  return checked(out, eb_wet_bulb(in[0], eb_humidity_ratio(in[0], in[1], in[2]), in[2]));
}

/* Of a cubic metre, in Wh. */
METHOD(heat_capacity) {
  IGNORE_COUNT;
  double w = eb_humidity_ratio(in[0], in[1], in[2]);
  double warmer = eb_moist_enthalpy(in[0] + 1.0, w) - eb_moist_enthalpy(in[0], w);
  return checked(out, warmer / eb_moist_volume(in[0], w, in[2]) / 3600.0);
}

/* ---- Air of a temperature, humidity ratio and pressure ---- */

METHOD(relative_humidity) {
  IGNORE_COUNT;
  return checked(out, eb_relative_humidity(in[0], in[1], in[2]));
}

METHOD(enthalpy) {
  IGNORE_COUNT;
  return checked(out, eb_moist_enthalpy(in[0], in[1]));
}

METHOD(volume) {
  IGNORE_COUNT;
  return checked(out, eb_moist_volume(in[0], in[1], in[2]));
}

METHOD(wet_bulb) {
  IGNORE_COUNT;
  return checked(out, eb_wet_bulb(in[0], in[1], in[2]));
}

/* ---- Surfaces ---- */

METHOD(surface_humidity) {
  IGNORE_COUNT;
  return checked(out, eb_surface_humidity(in[0], in[1], in[2], in[3]));
}

METHOD(surface_factor) {
  IGNORE_COUNT;
  return checked(out, eb_surface_factor_needed(in[0], in[1], in[2], in[3]));
}

METHOD(surface_temperature) {
  IGNORE_COUNT;
  double factor = eb_surface_factor_needed(in[0], in[1], in[2], in[3]);
  return checked(out, in[2] + factor * (in[0] - in[2]));
}

/* A flat wall of a resistance from air to air, through the walls of ducts, which know about films:
 * the film of its inside is that of the rooms. */
METHOD(surface_factor_of_wall) {
  IGNORE_COUNT;
  ebi_duct_wall wall = {.perimeter = 1e9,
                        .thickness = 0.04 * (in[1] - in[0] - 0.04),
                        .conductivity = 0.04,
                        .inside = 1.0 / in[0],
                        .outside = 1.0 / 0.04};
  return checked(out, ebi_duct_surface_inside(&wall, 1.0, 0.0));
}

/* ---- Heat exchangers ---- */

/* outdoor, humidity, extract, humidity, flow at the extract air's state, ratio, pressure */
static double dry_air(double temperature_c, double humidity, double flow, double pressure) {
  return flow / eb_moist_volume(temperature_c, eb_humidity_ratio(temperature_c, humidity, pressure),
                                pressure);
}

static eb_wet_exchange exchange(const double *in) {
  return eb_exchanger_wet(in[0], in[1], in[2], in[3], dry_air(in[2], in[3], in[4], in[6]), in[5],
                          in[6]);
}

METHOD(exchanger_heat) {
  IGNORE_COUNT;
  return checked(out, exchange(in).heat_w);
}

METHOD(exchanger_exhaust) {
  IGNORE_COUNT;
  return checked(out, exchange(in).exhaust_c);
}

METHOD(exchanger_exhaust_dry) {
  IGNORE_COUNT;
  return checked(out, exchange(in).dry_exhaust_c);
}

METHOD(exchanger_water) {
  IGNORE_COUNT;
  return checked(out, exchange(in).condensate_kg_s);
}

METHOD(exchanger_latent) {
  IGNORE_COUNT;
  return checked(out, exchange(in).latent_w);
}

METHOD(exchanger_frost) {
  IGNORE_COUNT;
  return checked(out, exchange(in).frost_kg_s);
}

METHOD(exchanger_all) {
  IGNORE_COUNT;
  eb_wet_exchange x = exchange(in);
  out[1] = x.supply_c;
  out[2] = x.exhaust_c;
  out[3] = x.dry_exhaust_c;
  out[4] = x.condensate_kg_s;
  out[5] = x.latent_w;
  out[6] = x.frost_kg_s;
  return checked(out, x.heat_w);
}

METHOD(exchanger_moisture) {
  IGNORE_COUNT;
  eb_moisture_core core = eb_exchanger_moisture(in[0], in[1], in[2], in[3], in[4], in[5], in[6]);
  return checked(out, core.total_effectiveness);
}

METHOD(exchanger_moisture_supply) {
  IGNORE_COUNT;
  eb_moisture_core core = eb_exchanger_moisture(in[0], in[1], in[2], in[3], in[4], in[5], in[6]);
  out[1] = eb_relative_humidity(core.supply_c, core.supply_humidity_ratio, in[6]);
  return checked(out, core.supply_c);
}

/* ---- Coils ---- */

/* inlet, humidity, flow at the inlet's state, cooling, pressure */
static eb_coil coil(const double *in) {
  return eb_cooling_coil(in[0], in[1], dry_air(in[0], in[1], in[2], in[4]), in[3], in[4]);
}

METHOD(coil_outlet) {
  IGNORE_COUNT;
  return checked(out, coil(in).outlet_c);
}

METHOD(coil_all) {
  IGNORE_COUNT;
  eb_coil end = coil(in);
  out[1] = end.outlet_humidity_ratio;
  out[2] = end.condensate_kg_s;
  out[3] = end.sensible_share;
  return checked(out, end.outlet_c);
}

METHOD(coil_water) {
  IGNORE_COUNT;
  return checked(out, coil(in).condensate_kg_s);
}

METHOD(coil_sensible) {
  IGNORE_COUNT;
  return checked(out, coil(in).sensible_share);
}

/* Fall in temperature of dry air of a heat capacity per volume: cooling, flow, Wh/(m3 K) */
METHOD(coil_dry_fall) {
  IGNORE_COUNT;
  double dry_air_kg_s = in[1] * 3600.0 * in[2] / EBI_AIR_CP;
  return checked(out, 31.7 - eb_cooling_coil(31.7, 0.0, dry_air_kg_s, in[0], 101325.0).outlet_c);
}

const case_method case_methods_moist[] = {
    {"moist.saturation", 1, 1, saturation},
    {"moist.saturation_water", 1, 1, saturation_water},
    {"moist.vapour", 2, 1, vapour},
    {"moist.dew_point", 2, 1, dew_point},
    {"moist.dew_point_water", 2, 1, dew_point_water},
    {"moist.concentration", 2, 1, concentration},
    {"moist.ratio", 3, 1, ratio},
    {"moist.enthalpy_at", 3, 1, enthalpy_at},
    {"moist.volume_at", 3, 1, volume_at},
    {"moist.wet_bulb_at", 3, 1, wet_bulb_at},
    {"moist.heat_capacity", 3, 1, heat_capacity},
    {"moist.relative_humidity", 3, 1, relative_humidity},
    {"moist.enthalpy", 2, 1, enthalpy},
    {"moist.volume", 3, 1, volume},
    {"moist.wet_bulb", 3, 1, wet_bulb},
    {"surface.humidity", 4, 1, surface_humidity},
    {"surface.factor", 4, 1, surface_factor},
    {"surface.temperature", 4, 1, surface_temperature},
    {"surface.factor_of_wall", 2, 1, surface_factor_of_wall},
    {"exchanger_wet.heat", 7, 1, exchanger_heat},
    {"exchanger_wet.exhaust", 7, 1, exchanger_exhaust},
    {"exchanger_wet.exhaust_dry", 7, 1, exchanger_exhaust_dry},
    {"exchanger_wet.water", 7, 1, exchanger_water},
    {"exchanger_wet.latent", 7, 1, exchanger_latent},
    {"exchanger_wet.frost", 7, 1, exchanger_frost},
    {"exchanger_wet.all", 7, 7, exchanger_all},
    {"exchanger_moisture.total", 7, 1, exchanger_moisture},
    {"exchanger_moisture.supply", 7, 2, exchanger_moisture_supply},
    {"coil.outlet", 5, 1, coil_outlet},
    {"coil.all", 5, 4, coil_all},
    {"coil.water", 5, 1, coil_water},
    {"coil.sensible", 5, 1, coil_sensible},
    {"coil.dry_fall", 3, 1, coil_dry_fall},
    {NULL, 0, 0, NULL}};
