/* methods_balance.c - balancing on site: published and fixed cases */

#include <math.h>
#include <stdlib.h>

#include "base/context.h"
#include "layout.h"
#include "methods.h"
#include "numeric/fit.h"
#include "physics/instrument.h"

#define METHOD(name) static eb_status name(const double *in, int n_in, double *out)
#define IGNORE_COUNT (void)n_in

#define LITRE 1e-3

/* Pa at one l/s by a power of flow, in air of 1.2 kg/m3. */
static ebi_element power_of(double at_one_litre, double exponent) {
  ebi_element element = {.kind = EBI_ELEMENT_POWER, .parallel = 1.0};
  element.as.power.drop = at_one_litre;
  element.as.power.at = LITRE;
  element.as.power.exponent = exponent;
  return element;
}

static ebi_element source_of(double rise) {
  ebi_element element = {.kind = EBI_ELEMENT_SOURCE, .parallel = 1.0};
  element.as.source.rise = rise;
  return element;
}

/* ---- One box, a trunk, a fan p = A s^2 - B Q^2 (commissioning practice, own figures) ---- */

enum { BRANCHES = 4 };

typedef struct box {
  double trunk, rise, droop, speed;    /* Pa/(l/s)^2 but for the rise at full speed */
  double friction[BRANCHES], exponent; /* c q^exponent beside .. */
  double square[BRANCHES];             /* .. K q^2 */
} box;

/* Flows of the branches [l/s] and the pressure of the box. */
static eb_status box_flows(const box *b, double flow[BRANCHES], double *pressure) {
  layout l = layout_new(2, EB_REFERENCE_DENSITY, 1.8e-5);
  double all[BRANCHES], nodes[2];
  layout_fix(&l, 0, 0.0);
  for (int i = 0; i < BRANCHES; i++) {
    ebi_element branch[] = {power_of(b->square[i], 2.0), power_of(b->friction[i], b->exponent)};
    layout_part(&l, 1, 0, branch, b->friction[i] > 0.0 ? 2 : 1);
  }
  ebi_element main[] = {source_of(b->rise * b->speed * b->speed), power_of(b->droop, 2.0),
                        power_of(b->trunk, 2.0)};
  layout_part(&l, 0, 1, main, 3);
  eb_status status = layout_solve(&l, BRANCHES, all, 2, nodes);
  for (int i = 0; i < BRANCHES; i++)
    flow[i] = all[i] / LITRE;
  *pressure = nodes[1];
  layout_free(&l);
  return status;
}

/* Trunk, rise, droop, speed; K of four branches. Flows, total, box and fan pressures. */
METHOD(balance_box) {
  IGNORE_COUNT;
  box b = {in[0], in[1], in[2], in[3], {0}, 2.0, {in[4], in[5], in[6], in[7]}};
  eb_status status = box_flows(&b, out, &out[5]);
  out[4] = out[0] + out[1] + out[2] + out[3];
  out[6] = b.rise * b.speed * b.speed - b.droop * out[4] * out[4];
  return status;
}

/* The same, balanced: design flows of the branches, K with the valves open. K that each is brought
 * to, and the speed that brings the design total. */
METHOD(balance_box_settings) {
  IGNORE_COUNT;
  const double *design = in + 4, *open = in + 8;
  box b = {in[0], in[1], in[2], in[3], {0}, 2.0, {open[0], open[1], open[2], open[3]}};
  double flow[BRANCHES], pressure, total = 0.0;
  eb_status status = box_flows(&b, flow, &pressure);
  int index = 0;
  for (int i = 0; i < BRANCHES; i++) {
    total += design[i];
    index = flow[i] / design[i] < flow[index] / design[index] ? i : index;
  }
  for (int i = 0; i < BRANCHES; i++) /* each takes up what is to spare against the index */
    b.square[i] = out[i] = open[index] * design[index] * design[index] / (design[i] * design[i]);
  if (status == EB_OK)
    status = box_flows(&b, flow, &pressure);
  double sum = flow[0] + flow[1] + flow[2] + flow[3];
  out[4] = sum / total; /* of all, at that speed */
  out[5] = b.speed * total / sum;
  return status;
}

/* Trunk, rise, droop; c of four branches; K of four; exponent; speed. Flows. */
METHOD(balance_mixed) {
  IGNORE_COUNT;
  box b = {in[0],
           in[1],
           in[2],
           in[12],
           {in[3], in[4], in[5], in[6]},
           in[11],
           {in[7], in[8], in[9], in[10]}};
  return box_flows(&b, out, &out[4]);
}

/* ---- Instruments ---- */

METHOD(balance_hood) {
  IGNORE_COUNT;
  out[0] = ebi_branch_by_two_positions(in[0], in[1], in[2], in[3]);
  out[1] = ebi_flow_without_hood(in[2], in[0], out[0]);
  return isnan(out[1]) ? EB_E_RANGE : EB_OK;
}

METHOD(balance_hood_stiff) {
  IGNORE_COUNT;
  out[0] = 1.0 / ebi_flow_without_hood(1.0, in[0], in[1]);
  return EB_OK;
}

METHOD(balance_density) {
  IGNORE_COUNT;
  double density = eb_air_density(in[1], eb_air_pressure(in[0]));
  out[0] = density;
  out[1] = ebi_pressure_instrument_factor(density);
  out[2] = ebi_thermal_instrument_factor(density);
  return EB_OK;
}

/* ---- Fits through ebi_fit, the prior so wide that it tells nothing ---- */

#define WIDE 1e6

typedef struct line {
  const double *x, *y;
  size_t count;
} line;

static eb_status off_line(const double *unknowns, double *residuals, void *user) {
  const line *l = user;
  for (size_t i = 0; i < l->count; i++)
    residuals[i] = (l->y[i] - WIDE * 1e-4 * (unknowns[0] + unknowns[1] * l->x[i])) * 1e4;
  return EB_OK;
}

/* y = a + b x by least squares. */
static eb_status fit_line(const double *x, const double *y, size_t count, double *a, double *b) {
  line l = {x, y, count};
  ebi_fit_problem problem = {2, count, off_line, &l};
  ebi_fit fit = {0};
  eb_context *context = eb_context_new(NULL);
  if (context == NULL)
    abort();
  eb_status status = ebi_fit_solve(ebi_context_arena(context), &problem, &fit);
  if (status == EB_OK) {
    *a = WIDE * 1e-4 * fit.unknowns[0];
    *b = WIDE * 1e-4 * fit.unknowns[1];
  }
  eb_context_free(context);
  return status;
}

/* Four flows and their drops; a fifth and a sixth flow to predict at. */
METHOD(balance_branch) {
  IGNORE_COUNT;
  double x[4], y[4], c = 0.0, n = 0.0;
  for (int i = 0; i < 4; i++) {
    x[i] = log(in[i]);
    y[i] = log(in[4 + i]);
  }
  eb_status status = fit_line(x, y, 4, &c, &n);
  out[0] = n;
  out[1] = exp(c);
  out[2] = exp(c + n * log(in[8]));
  out[3] = exp(c + n * log(in[9]));
  return status;
}

/* Three signals [%] with flows; a flow wanted. */
METHOD(balance_fan_line) {
  IGNORE_COUNT;
  double a = 0.0, b = 0.0;
  eb_status status = fit_line(in, in + 3, 3, &a, &b);
  out[0] = a;
  out[1] = b;
  out[2] = (in[6] - a) / b;
  return status;
}

/* ---- The house ---- */

/* Flow at 50 Pa, exponent, unbalance: pressure; and the unbalance at 4 Pa. */
METHOD(balance_house) {
  IGNORE_COUNT;
  layout l = layout_new(2, EB_REFERENCE_DENSITY, 1.8e-5);
  ebi_element leak = {.kind = EBI_ELEMENT_POWER, .parallel = 1.0};
  leak.as.power.drop = 50.0;
  leak.as.power.at = in[0];
  leak.as.power.exponent = 1.0 / in[1];
  layout_fix(&l, 0, 0.0);
  layout_part(&l, 1, 0, &leak, 1);
  layout_asks(&l, 1, -in[2]);
  double nodes[2], flow;
  eb_status status = layout_solve(&l, 1, &flow, 2, nodes);
  layout_free(&l);
  out[0] = nodes[1];
  return status;
}

/* ---- The fixed house: two boxes on trunks, six terminals (own calculation by two programs) ----
 */

enum { SIX = 6, PER_TERMINAL = 7 };

/* Node 0 is the room, 1 the header, 2 and 3 the boxes; then two nodes for each terminal. */
static void fixed_terminal(layout *l, int i, const double *t, double opening) {
  int before = 4 + i;
  ebi_element tube[] = {power_of(t[1], t[2]), power_of(t[3], 2.0)};
  layout_part(l, 2 + (int)t[0], before, tube, 2);
  double k = t[5] * pow((opening + 0.03) / 1.03, t[6]), exponent = 1.0 / t[4];
  ebi_element valve = power_of(1.0, exponent > 2.0 ? 2.0 : exponent);
  valve.as.power.at = k * LITRE;
  ebi_part part = layout_part(l, before, 0, &valve, 1);
  if (exponent > 2.0) /* beyond an element's law: as a part's measured exponent */
    ebi_network_correct(l->network, part, 1.0, exponent - 2.0, k * LITRE);
}

/* P0, a, b, offset, trunks, their exponent, box leak; of each terminal box, C, n, K_f, m, k_max,
 * alpha; opening of all; signal [%]. Header, boxes, flows. */
METHOD(balance_fixed_house) {
  IGNORE_COUNT;
  const double *terminals = in + 8;
  double opening = in[8 + SIX * PER_TERMINAL],
         speed = (in[9 + SIX * PER_TERMINAL] - in[3]) / (100.0 - in[3]);
  double low = 0.0, high = in[0] * speed * speed * 1.5, flows[2 * SIX + 4], nodes[4 + SIX];
  eb_status status = EB_OK;
  for (int step = 0; status == EB_OK && step < 100; step++) { /* header pressure by halving */
    double header = 0.5 * (low + high);
    layout l = layout_new(4 + SIX, EB_REFERENCE_DENSITY, 1.8e-5);
    layout_fix(&l, 0, 0.0);
    layout_fix(&l, 1, header);
    for (int b = 0; b < 2; b++) {
      ebi_element trunk = power_of(in[4 + b], in[6]), leak = power_of(1.0, 1.0 / 0.65);
      leak.as.power.at = in[7] * LITRE;
      layout_part(&l, 1, 2 + b, &trunk, 1);
      layout_part(&l, 2 + b, 0, &leak, 1);
    }
    for (int i = 0; i < SIX; i++)
      fixed_terminal(&l, i, terminals + PER_TERMINAL * i, opening);
    status = layout_solve(&l, 2 * SIX + 4, flows, 4 + SIX, nodes);
    layout_free(&l);
    double total = (flows[0] + flows[2]) / LITRE;
    double rise = in[0] * speed * speed + in[1] * speed * total - in[2] * total * total;
    if (rise > header)
      low = header;
    else
      high = header;
  }
  out[0] = nodes[1];
  out[1] = nodes[2];
  out[2] = nodes[3];
  for (int i = 0; i < SIX; i++)
    out[3 + i] = flows[4 + 2 * i] / LITRE;
  return status;
}

const case_method case_methods_balance[] = {
    {"balance.box", 8, 7, balance_box},
    {"balance.box_settings", 12, 6, balance_box_settings},
    {"balance.mixed_exponents", 13, 5, balance_mixed},
    {"balance.hood", 4, 2, balance_hood},
    {"balance.hood_stiff", 2, 1, balance_hood_stiff},
    {"balance.density", 2, 3, balance_density},
    {"balance.branch", 10, 4, balance_branch},
    {"balance.fan_line", 7, 3, balance_fan_line},
    {"balance.house_pressure", 3, 1, balance_house},
    {"balance.fixed_house", 8 + SIX *PER_TERMINAL + 2, 3 + SIX, balance_fixed_house},
    {NULL, 0, 0, NULL}};
