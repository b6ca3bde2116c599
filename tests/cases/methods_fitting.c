/* methods_fitting.c - the shipped tables of fittings, as case rows ask for them
 *
 * The tables are found through EVENBREATH_TABLES. A method is called "fitting."
 * and the name of its table. */

#include <math.h>
#include <string.h>

#include "input/load.h"
#include "methods.h"
#include "numeric/curve.h"

/* Linear between points, level beyond them. */
static double between(const ebi_point *points, size_t count, double x) {
  size_t i = 0;
  while (i < count && points[i].x < x)
    i++;
  if (i == 0 || i == count)
    return points[i == 0 ? 0 : count - 1].y;
  double share = (x - points[i - 1].x) / (points[i].x - points[i - 1].x);
  return points[i - 1].y + share * (points[i].y - points[i - 1].y);
}

/* Coefficient at `x` (bore or r/D) times the factor at `angle`, of what the table has. */
static double coefficient(const ebi_fitting *fitting, double x, double angle) {
  double zeta = fitting->coefficient;
  if (fitting->n_points > 0)
    zeta = between(fitting->points, fitting->n_points, x);
  return fitting->n_angles > 0 ? zeta * between(fitting->angles, fitting->n_angles, angle) : zeta;
}

static const ebi_fitting *load(eb_context *context, ebi_arena *arena, const char *name) {
  ebi_reader reader = {.context = context, .arena = arena, .file = "case"};
  ebi_yaml value = {.kind = EBI_YAML_SCALAR, .text = name, .length = strlen(name)};
  return ebi_fitting_load(&reader, &value);
}

static eb_status look_up(const char *name, double x, double angle, double *zeta) {
  eb_context *context = eb_context_new(NULL);
  ebi_arena *arena = context != NULL ? ebi_context_arena(context) : NULL;
  const ebi_fitting *fitting = arena != NULL ? load(context, arena, name) : NULL;
  eb_status status = arena == NULL ? EB_E_MEMORY : fitting == NULL ? EB_E_TABLE : EB_OK;
  if (status == EB_OK)
    *zeta = coefficient(fitting, x, angle);
  eb_context_free(context);
  return status;
}

/* The factor at a Reynolds number, on the curve that the solver has. */
static double factor_at(ebi_arena *arena, const ebi_fitting *fitting, double reynolds) {
  double x[32], y[32];
  size_t count = fitting->n_by_reynolds < 32 ? fitting->n_by_reynolds : 32;
  for (size_t i = 0; i < count; i++) {
    x[i] = log(fitting->by_reynolds[i].x);
    y[i] = fitting->by_reynolds[i].y;
  }
  const ebi_curve *curve = count > 0 ? ebi_curve_new(arena, x, y, count) : NULL;
  return curve != NULL ? ebi_curve_at(curve, log(reynolds)).y : (double)NAN;
}

static eb_status look_up_factor(const char *name, double reynolds, double *factor) {
  eb_context *context = eb_context_new(NULL);
  ebi_arena *arena = context != NULL ? ebi_context_arena(context) : NULL;
  const ebi_fitting *fitting = arena != NULL ? load(context, arena, name) : NULL;
  *factor = fitting != NULL ? factor_at(arena, fitting, reynolds) : (double)NAN;
  eb_context_free(context);
  return isfinite(*factor) ? EB_OK : EB_E_TABLE;
}

static eb_status mitre_factor(const double *in, int n_in, double *out) {
  static const char *const names[] = {"bend-mitre", "bend-90-flatwise", "bend-90-edgewise"};
  eb_status status = EB_OK;
  (void)n_in;
  for (int i = 0; i < 3 && status == EB_OK; i++)
    status = look_up_factor(names[i], in[0], &out[i]);
  return status;
}

static eb_status smooth_factor(const double *in, int n_in, double *out) {
  (void)n_in;
  return look_up_factor("bend-smooth", in[0], out);
}

static eb_status both_ways(const char *flatwise, const char *edgewise, double shape, double *out) {
  eb_status status = look_up(flatwise, shape, 90.0, &out[0]);
  return status == EB_OK ? look_up(edgewise, shape, 90.0, &out[1]) : status;
}

static eb_status mitre_flat_90(const double *in, int n_in, double *out) {
  (void)n_in;
  return both_ways("bend-90-flatwise", "bend-90-edgewise", in[0], out);
}

static eb_status mitre_flat_45(const double *in, int n_in, double *out) {
  (void)n_in;
  return both_ways("bend-45-flatwise", "bend-45-edgewise", in[0], out);
}

/* By bore or r/D; by angle; by r/D and angle; one coefficient for all. */
#define BY_SIZE(id, name)                                                                          \
  static eb_status id(const double *in, int n_in, double *out) {                                   \
    (void)n_in;                                                                                    \
    return look_up(name, in[0], 90.0, out);                                                        \
  }
#define BY_ANGLE(id, name)                                                                         \
  static eb_status id(const double *in, int n_in, double *out) {                                   \
    (void)n_in;                                                                                    \
    return look_up(name, 1.0, in[0], out);                                                         \
  }
#define BY_BOTH(id, name)                                                                          \
  static eb_status id(const double *in, int n_in, double *out) {                                   \
    (void)n_in;                                                                                    \
    return look_up(name, in[0], in[1], out);                                                       \
  }
#define PLAIN(id, name)                                                                            \
  static eb_status id(const double *in, int n_in, double *out) {                                   \
    (void)in, (void)n_in;                                                                          \
    return look_up(name, 1.0, 90.0, out);                                                          \
  }

BY_SIZE(bend_90, "bend-90")
BY_SIZE(bend_45, "bend-45")
BY_SIZE(bend_90_pleated, "bend-90-pleated")
BY_SIZE(bend_45_pleated, "bend-45-pleated")
BY_SIZE(bend_90_gore_5, "bend-90-gore-5")
BY_SIZE(bend_90_gore_7, "bend-90-gore-7")
BY_SIZE(bend_90_gore_3, "bend-90-gore-3")
BY_SIZE(bend_60_gore_3, "bend-60-gore-3")
BY_SIZE(bend_45_gore_3, "bend-45-gore-3")
BY_SIZE(bend_segmented_3, "bend-segmented-3")
BY_SIZE(bend_segmented_4, "bend-segmented-4")
BY_SIZE(bend_segmented_5, "bend-segmented-5")
BY_SIZE(entry_rounded, "entry-rounded")
BY_BOTH(bend_radius, "bend-radius")
BY_ANGLE(bend_mitre, "bend-mitre")
BY_ANGLE(damper_butterfly, "damper-butterfly")
BY_BOTH(bend_smooth, "bend-smooth")
PLAIN(exit_loss, "exit")
PLAIN(entry_sharp, "entry-sharp")
PLAIN(entry_protruding_thick, "entry-protruding-thick")
PLAIN(wall_louvre_160, "wall-louvre-160")
PLAIN(damper_louvre, "damper-louvre")
PLAIN(damper_louvre_outlet, "damper-louvre-outlet")
PLAIN(damper_louvre_inlet, "damper-louvre-inlet")
PLAIN(damper_louvre_wall, "damper-louvre-wall")

const case_method case_methods_fitting[] = {
    {"fitting.bend-90", 1, 1, bend_90},
    {"fitting.bend-45", 1, 1, bend_45},
    {"fitting.bend-90-pleated", 1, 1, bend_90_pleated},
    {"fitting.bend-45-pleated", 1, 1, bend_45_pleated},
    {"fitting.bend-90-gore-5", 1, 1, bend_90_gore_5},
    {"fitting.bend-90-gore-7", 1, 1, bend_90_gore_7},
    {"fitting.bend-90-gore-3", 1, 1, bend_90_gore_3},
    {"fitting.bend-60-gore-3", 1, 1, bend_60_gore_3},
    {"fitting.bend-45-gore-3", 1, 1, bend_45_gore_3},
    {"fitting.bend-segmented-3", 1, 1, bend_segmented_3},
    {"fitting.bend-segmented-4", 1, 1, bend_segmented_4},
    {"fitting.bend-segmented-5", 1, 1, bend_segmented_5},
    {"fitting.entry-rounded", 1, 1, entry_rounded},
    {"fitting.bend-radius", 2, 1, bend_radius},
    {"fitting.bend-mitre", 1, 1, bend_mitre},
    {"fitting.damper-butterfly", 1, 1, damper_butterfly},
    {"fitting.bend-smooth", 2, 1, bend_smooth},
    {"fitting.mitre_factor", 1, 3, mitre_factor},
    {"fitting.smooth_factor", 1, 1, smooth_factor},
    {"fitting.mitre_flat_90", 1, 2, mitre_flat_90},
    {"fitting.mitre_flat_45", 1, 2, mitre_flat_45},
    {"fitting.exit", 0, 1, exit_loss},
    {"fitting.entry-sharp", 0, 1, entry_sharp},
    {"fitting.entry-protruding-thick", 0, 1, entry_protruding_thick},
    {"fitting.wall-louvre-160", 0, 1, wall_louvre_160},
    {"fitting.damper-louvre", 0, 1, damper_louvre},
    {"fitting.damper-louvre-outlet", 0, 1, damper_louvre_outlet},
    {"fitting.damper-louvre-inlet", 0, 1, damper_louvre_inlet},
    {"fitting.damper-louvre-wall", 0, 1, damper_louvre_wall},
    {NULL, 0, 0, NULL}};
