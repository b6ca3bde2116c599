/* methods_fitting.c - the shipped tables of fittings, as case rows ask for them
 *
 * The tables are found through EVENBREATH_TABLES. A method is called "fitting."
 * and the name of its table. */

#include <string.h>

#include "input/load.h"
#include "methods.h"

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

static eb_status look_up(const char *name, double x, double angle, double *zeta) {
  eb_context *context = eb_context_new(NULL);
  ebi_arena *arena = context != NULL ? ebi_context_arena(context) : NULL;
  eb_status status = EB_E_MEMORY;
  if (arena != NULL) {
    ebi_reader reader = {.context = context, .arena = arena, .file = "case"};
    ebi_yaml value = {.kind = EBI_YAML_SCALAR, .text = name, .length = strlen(name)};
    const ebi_fitting *fitting = ebi_fitting_load(&reader, &value);
    status = fitting != NULL ? EB_OK : EB_E_TABLE;
    if (fitting != NULL)
      *zeta = coefficient(fitting, x, angle);
  }
  eb_context_free(context);
  return status;
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
PLAIN(bend_90_flatwise, "bend-90-flatwise")
PLAIN(exit_loss, "exit")

const case_method case_methods_fitting[] = {{"fitting.bend-90", 1, 1, bend_90},
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
                                            {"fitting.bend-90-flatwise", 0, 1, bend_90_flatwise},
                                            {"fitting.exit", 0, 1, exit_loss},
                                            {NULL, 0, 0, NULL}};
