/* methods_handbook.c - the complete duct systems of ASHRAE HoF 2021 (SI) chapter 21
 *
 * Flows are given at the terminals; the network finds the pressures. Each section is a duct and
 * the coefficients of its fittings, all on its own velocity. */

#include <math.h>

#include "layout.h"
#include "methods.h"

#define METHOD(name) static eb_status name(const double *in, int n_in, double *out)
#define IGNORE_COUNT (void)n_in

/* ---- Example 8: a supply system of four terminals ---- */

/* Sections in the order of the rows: 1, 2, 4, 6, 8 of the trunk, then 3, 5, 7, 9 to the
 * terminals. Node i + 1 ends section i; node 0 is the fan. */
enum { SECTIONS = 9, PATHS = 4 };
static const int parents[SECTIONS] = {0, 1, 2, 3, 4, 2, 3, 4, 5};

typedef struct section_result {
  double velocity, velocity_pressure, friction, fittings;
} section_result;

typedef struct supply {
  section_result section[SECTIONS];
  double path[PATHS]; /* fan to terminal, in the order A to D */
} supply;

static ebi_section section_of(const double *in, int i) {
  return i == 0 ? ebi_section_rectangle(in[4], in[5]) : ebi_section_round(in[4 + 3 * i]);
}

/* Each section is two parts, its duct and its fittings, joined by a node of its own. */
static void add_sections(layout *l, const double *in) {
  for (int i = 0; i < SECTIONS; i++) {
    ebi_section section = section_of(in, i);
    ebi_element duct = layout_element_duct(section, in[i == 0 ? 6 : 5 + 3 * i], in[2]);
    ebi_element fittings = layout_element_loss(section.area, i == 0 ? 0.0 : in[6 + 3 * i]);
    int between = 1 + SECTIONS + i;
    layout_part(l, parents[i], between, &duct, 1);
    layout_part(l, between, i + 1, &fittings, 1);
  }
}

/* Density, viscosity, roughness, flow of a terminal; width, height and length of section 1; then
 * bore, length and sum of coefficients of the other eight. */
static eb_status solve_supply(const double *in, supply *s) {
  static const int ends[PATHS] = {6, 7, 8, 9};
  double flow[2 * SECTIONS] = {0}, at[1 + 2 * SECTIONS] = {0};
  layout l = layout_new(1 + 2 * SECTIONS, in[0], in[1]);
  layout_fix(&l, 0, 0.0);
  add_sections(&l, in);
  for (int i = 0; i < PATHS; i++)
    layout_asks(&l, ends[i], in[3]);
  eb_status status = layout_solve(&l, 2 * SECTIONS, flow, 1 + 2 * SECTIONS, at);
  for (int i = 0; i < SECTIONS; i++) {
    ebi_element one = layout_element_loss(section_of(in, i).area, 1.0);
    s->section[i] =
        (section_result){.velocity = ebi_element_velocity(&one, flow[2 * i]),
                         .velocity_pressure = ebi_element_drop(&one, l.air, flow[2 * i]).pa,
                         .friction = at[parents[i]] - at[1 + SECTIONS + i],
                         .fittings = at[1 + SECTIONS + i] - at[i + 1]};
  }
  for (int i = 0; i < PATHS; i++)
    s->path[i] = -at[ends[i]];
  layout_free(&l);
  return status;
}

METHOD(supply_velocity) {
  IGNORE_COUNT;
  supply s;
  eb_status status = solve_supply(in, &s);
  for (int i = 0; i < SECTIONS; i++)
    out[i] = s.section[i].velocity;
  return status;
}

METHOD(supply_velocity_pressure) {
  IGNORE_COUNT;
  supply s;
  eb_status status = solve_supply(in, &s);
  for (int i = 0; i < SECTIONS; i++)
    out[i] = s.section[i].velocity_pressure;
  return status;
}

METHOD(supply_friction) {
  IGNORE_COUNT;
  supply s;
  eb_status status = solve_supply(in, &s);
  for (int i = 0; i < SECTIONS; i++)
    out[i] = s.section[i].friction;
  return status;
}

METHOD(supply_fittings) {
  IGNORE_COUNT;
  supply s;
  eb_status status = solve_supply(in, &s);
  for (int i = 0; i < SECTIONS; i++)
    out[i] = s.section[i].fittings;
  return status;
}

METHOD(supply_total) {
  IGNORE_COUNT;
  supply s;
  eb_status status = solve_supply(in, &s);
  for (int i = 0; i < SECTIONS; i++)
    out[i] = s.section[i].friction + s.section[i].fittings;
  return status;
}

METHOD(supply_path) {
  IGNORE_COUNT;
  supply s;
  eb_status status = solve_supply(in, &s);
  for (int i = 0; i < PATHS; i++)
    out[i] = s.path[i];
  return status;
}

/* What each path lacks of the largest, as a share of that. */
METHOD(supply_unbalance) {
  IGNORE_COUNT;
  supply s;
  eb_status status = solve_supply(in, &s);
  double largest = 0.0;
  for (int i = 0; i < PATHS; i++)
    largest = fmax(largest, s.path[i]);
  for (int i = 0; i < PATHS; i++)
    out[i] = (largest - s.path[i]) / largest;
  return status;
}

/* Static pressure won from one section to the next: density, viscosity, roughness; flow and bore
 * upstream; flow, bore, length and sum of coefficients of the section */
METHOD(static_regain) {
  IGNORE_COUNT;
  ebi_air_state air = {in[0], in[1]};
  ebi_section up = ebi_section_round(in[4]), own = ebi_section_round(in[6]);
  ebi_element before = layout_element_loss(up.area, 1.0),
              after = layout_element_loss(own.area, 1.0);
  ebi_element fittings = layout_element_loss(own.area, in[8]);
  ebi_element duct = layout_element_duct(own, in[7], in[2]);
  *out = ebi_element_drop(&before, air, in[3]).pa - ebi_element_drop(&after, air, in[5]).pa -
         ebi_element_drop(&duct, air, in[5]).pa - ebi_element_drop(&fittings, air, in[5]).pa;
  return isfinite(*out) ? EB_OK : EB_E_RANGE;
}

/* ---- Example 9: an exhaust system of two branches ---- */

/* Losses of both pieces of the first branch at its flow; flow and loss of the second branch; losses
 * of the common pieces at the sum; pressure of the fan. The branches stand at still air, the fan
 * pulls -> flows of the branches, pressure where they meet */
METHOD(exhaust) {
  IGNORE_COUNT;
  enum { FIRST, SECOND, MIDDLE, MEETING, FAN };
  double sum = in[0] + in[3], common = 0.0, at[5] = {0}, flow[3] = {0};
  for (int i = 5; i < n_in - 1; i++)
    common += in[i];
  layout l = layout_new(5, EB_REFERENCE_DENSITY, 1.81e-5);
  layout_fix(&l, FIRST, 0.0);
  layout_fix(&l, SECOND, 0.0);
  layout_fix(&l, FAN, -in[n_in - 1]);
  layout_square(&l, FIRST, MIDDLE, in[1] / (in[0] * in[0]));
  layout_square(&l, SECOND, MEETING, in[4] / (in[3] * in[3]));
  layout_square(&l, MIDDLE, MEETING, in[2] / (in[0] * in[0]));
  layout_square(&l, MEETING, FAN, common / (sum * sum));
  eb_status status = layout_solve(&l, 2, flow, 5, at);
  out[0] = flow[0];
  out[1] = flow[1];
  out[2] = -at[MEETING];
  layout_free(&l);
  return status;
}

const case_method case_methods_handbook[] = {
    {"handbook.supply_velocity", 31, SECTIONS, supply_velocity},
    {"handbook.supply_velocity_pressure", 31, SECTIONS, supply_velocity_pressure},
    {"handbook.supply_friction", 31, SECTIONS, supply_friction},
    {"handbook.supply_fittings", 31, SECTIONS, supply_fittings},
    {"handbook.supply_total", 31, SECTIONS, supply_total},
    {"handbook.supply_path", 31, PATHS, supply_path},
    {"handbook.supply_unbalance", 31, PATHS, supply_unbalance},
    {"handbook.static_regain", 9, 1, static_regain},
    {"handbook.exhaust", CASE_ANY, 3, exhaust},
    {NULL, 0, 0, NULL}};
