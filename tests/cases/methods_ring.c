/* methods_ring.c - a ring of tees, by the network solver and by another way
 *
 * The other way shares the laws of ducts, valves and tees but not the solver: five unknown flows,
 * the pressures along five paths, and GSL's dense hybrid method. */

#include <gsl/gsl_multiroots.h>
#include <math.h>

#include "layout.h"
#include "methods.h"
#include "network/tee_law.h"

#define METHOD(name) static eb_status name(const double *in, int n_in, double *out)
#define IGNORE_COUNT (void)n_in

enum { TERMINALS = 4, RING_PARTS = TERMINALS + 1, UNKNOWNS = TERMINALS + 1 };

/* A trunk to a tee from which the ring goes off straight and comes back to the branch; four tees
 * on the ring feed the terminals. */
typedef struct ring {
  ebi_air_state air;
  double pressure;
  ebi_element trunk, part[RING_PARTS], branch[TERMINALS][2];
  ebi_tee_shape entry, tee;
} ring;

/* Pressure, density, viscosity, roughness; bore and length of the trunk; bore of the ring and
 * lengths of its five parts; bore of the branches, their lengths, k of their valves. */
static ring ring_of(const double *in) {
  ebi_section trunk = ebi_section_round(in[4]), around = ebi_section_round(in[6]);
  ebi_section branch = ebi_section_round(in[12]);
  ring r = {.air = {in[1], in[2]}, .pressure = in[0]};
  r.trunk = layout_element_duct(trunk, in[5], in[3]);
  r.entry = (ebi_tee_shape){trunk.area, around.area, around.area, 90.0};
  r.tee = (ebi_tee_shape){around.area, around.area, branch.area, 90.0};
  for (int i = 0; i < RING_PARTS; i++)
    r.part[i] = layout_element_duct(around, in[7 + i], in[3]);
  for (int i = 0; i < TERMINALS; i++) {
    r.branch[i][0] = layout_element_duct(branch, in[13 + i], in[3]);
    r.branch[i][1] = (ebi_element){
        .kind = EBI_ELEMENT_VALVE, .parallel = 1.0, .as.valve = {in[13 + TERMINALS + i]}};
  }
  return r;
}

/* ---- By the network ---- */

/* Flows of the branches, then of the ring's first part. */
static eb_status by_network(const ring *r, double *flow) {
  enum { START, ENTRY, STRAIGHT, BACK, FIRST };
  layout l = layout_new(FIRST + 4 * TERMINALS, r->air.density, r->air.viscosity);
  double all[UNKNOWNS + TERMINALS + 1];
  int from = STRAIGHT;
  for (int i = 0; i < TERMINALS; i++) {
    int port = FIRST + 4 * i; /* combined, straight, branch, room */
    layout_part(&l, port + 2, port + 3, r->branch[i], 2);
    layout_fix(&l, port + 3, 0.0);
  }
  for (int i = 0; i < TERMINALS; i++) {
    int port = FIRST + 4 * i;
    layout_part(&l, from, port, &r->part[i], 1);
    (void)ebi_network_tee(l.network, "tee", (ebi_node)port, (ebi_node)(port + 1),
                          (ebi_node)(port + 2), l.air, &r->tee);
    from = port + 1;
  }
  layout_part(&l, from, BACK, &r->part[TERMINALS], 1);
  layout_part(&l, START, ENTRY, &r->trunk, 1);
  (void)ebi_network_tee(l.network, "entry", ENTRY, STRAIGHT, BACK, l.air, &r->entry);
  layout_fix(&l, START, r->pressure);
  eb_status status = layout_flows(&l, UNKNOWNS, all);
  for (int i = 0; i < UNKNOWNS; i++)
    flow[i] = all[i];
  return status;
}

/* ---- By the paths ---- */

static double drop(const ring *r, const ebi_element *elements, int count, double flow) {
  double pa = 0.0;
  for (int i = 0; i < count; i++)
    pa += ebi_element_drop(&elements[i], r->air, flow).pa;
  return pa;
}

/* Pressures left at the terminals' rooms and at the ring's end, with flows in l/s. */
static int left_over(const gsl_vector *x, void *data, gsl_vector *f) {
  const ring *r = data;
  double total = 0.0, around = 1e-3 * gsl_vector_get(x, TERMINALS);
  for (size_t i = 0; i < TERMINALS; i++)
    total += 1e-3 * gsl_vector_get(x, i);
  ebi_tee_drop entry = ebi_tee_drops(&r->entry, r->air, around, total - around);
  double start = r->pressure - drop(r, &r->trunk, 1, total);
  double here = start - entry.straight;
  for (size_t i = 0; i < TERMINALS; i++) {
    double branch = 1e-3 * gsl_vector_get(x, i);
    here -= drop(r, &r->part[i], 1, around);
    ebi_tee_drop tee = ebi_tee_drops(&r->tee, r->air, around - branch, branch);
    gsl_vector_set(f, i, here - tee.branch - drop(r, r->branch[i], 2, branch));
    here -= tee.straight;
    around -= branch;
  }
  here -= drop(r, &r->part[TERMINALS], 1, around);
  gsl_vector_set(f, TERMINALS, here - (start - entry.branch));
  return GSL_SUCCESS;
}

/* The same flows; EB_E_DIVERGED where the pressures do not close to 1e-9 Pa. */
static eb_status by_paths(const ring *r, double *flow) {
  ring copy = *r;
  gsl_multiroot_function f = {left_over, UNKNOWNS, &copy};
  gsl_multiroot_fsolver *s = gsl_multiroot_fsolver_alloc(gsl_multiroot_fsolver_hybrids, UNKNOWNS);
  gsl_vector *x = gsl_vector_alloc(UNKNOWNS);
  int status = s != NULL && x != NULL ? GSL_CONTINUE : GSL_FAILURE;
  if (status == GSL_CONTINUE) {
    for (size_t i = 0; i < UNKNOWNS; i++)
      gsl_vector_set(x, i, i < TERMINALS ? 10.0 : 20.0);
    gsl_multiroot_fsolver_set(s, &f, x);
  }
  for (int i = 0; i < 200 && status == GSL_CONTINUE; i++) {
    status = gsl_multiroot_fsolver_iterate(s);
    if (status == GSL_SUCCESS)
      status = gsl_multiroot_test_residual(s->f, 1e-9);
  }
  for (size_t i = 0; i < UNKNOWNS && status == GSL_SUCCESS; i++)
    flow[i] = 1e-3 * gsl_vector_get(s->x, i);
  gsl_vector_free(x);
  gsl_multiroot_fsolver_free(s);
  return status == GSL_SUCCESS ? EB_OK : EB_E_DIVERGED;
}

/* Greatest difference of both ways, how many parts of the ring flow against its direction */
METHOD(network_ring_of_tees) {
  IGNORE_COUNT;
  ring r = ring_of(in);
  double a[UNKNOWNS] = {0}, b[UNKNOWNS] = {0};
  eb_status status = by_network(&r, a);
  if (status == EB_OK)
    status = by_paths(&r, b);
  double around = a[TERMINALS];
  out[0] = out[1] = 0.0;
  for (int i = 0; i < UNKNOWNS; i++) {
    out[0] = fmax(out[0], fabs(a[i] - b[i]));
    out[1] += around < 0.0 ? 1.0 : 0.0;
    around -= a[i];
  }
  return status;
}

const case_method case_methods_ring[] = {
    {"network.ring_of_tees", 13 + 2 * TERMINALS, 2, network_ring_of_tees}, {NULL, 0, 0, NULL}};
