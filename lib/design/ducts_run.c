/* ducts_run.c - friction and fittings of one run as elements
 *
 * Tubes side by side (`parallel`) share the run's flow; velocity, friction and
 * fittings are those of one tube. A fitting that takes the place of a length of
 * duct (a silencer) has its friction in its own figure, so that length is taken
 * off. */

#include <math.h>

#include "design/ducts.h"

/* ---- Coefficients ---- */

/* Linear between points, level beyond them. */
static double between_points(const ebi_point *points, size_t count, double x) {
  size_t i = 0;
  while (i < count && points[i].x < x)
    i++;
  if (i == 0 || i == count)
    return points[i == 0 ? 0 : count - 1].y;
  double share = (x - points[i - 1].x) / (points[i].x - points[i - 1].x);
  return points[i - 1].y + share * (points[i].y - points[i - 1].y);
}

static double angle_factor(const ebi_run_fitting *entry) {
  const ebi_fitting *fitting = entry->fitting;
  if (fitting->n_angles == 0)
    return 1.0;
  double angle = entry->angle.given ? entry->angle.value : fitting->angle;
  return between_points(fitting->angles, fitting->n_angles, angle);
}

static double coefficient_of(const ebi_run_fitting *entry, const ebi_section *section) {
  const ebi_fitting *fitting = entry->fitting;
  if (fitting == NULL)
    return entry->coefficient.value;
  if (fitting->kind == EBI_FITTING_COEFFICIENT)
    return fitting->coefficient;
  double radius = entry->radius.given ? entry->radius.value : fitting->radius;
  double x = fitting->kind == EBI_FITTING_BY_BORE ? ebi_section_equal_area_bore(section) : radius;
  return between_points(fitting->points, fitting->n_points, x) * angle_factor(entry);
}

/* ---- Elements ---- */

static ebi_element drop_element(double drop, double at, double exponent, double parallel) {
  ebi_element element = {.kind = EBI_ELEMENT_POWER, .parallel = parallel};
  element.as.power.drop = drop;
  element.as.power.at = at;
  element.as.power.exponent = exponent;
  return element;
}

static ebi_element fitting_element(const ebi_side_run *run, const ebi_run_fitting *entry) {
  const ebi_fitting *fitting = entry->fitting;
  double parallel = run->run->parallel, count = entry->count;
  if (fitting == NULL && entry->drop.given)
    return drop_element(count * entry->drop.value, entry->at.value, 2.0, parallel);
  if (fitting != NULL && fitting->kind == EBI_FITTING_DROP)
    return drop_element(count * fitting->drop, fitting->at, fitting->exponent, parallel);
  double zeta = count * coefficient_of(entry, &run->section);
  bool own_area = fitting != NULL && fitting->basis == EBI_BASIS_AREA;
  ebi_element element = {.kind = EBI_ELEMENT_LOSS, .parallel = parallel};
  element.as.loss.area = own_area ? fitting->area : run->section.area;
  element.as.loss.forward = zeta;
  element.as.loss.backward = zeta;
  return element;
}

static double length_of(const ebi_run *run) {
  double length = run->length;
  for (size_t i = 0; i < run->n_fittings; i++)
    if (run->fittings[i].fitting != NULL)
      length -= run->fittings[i].count * run->fittings[i].fitting->length;
  return fmax(length, 0.0);
}

size_t ebi_run_elements(const ebi_side_run *run, ebi_element *elements) {
  size_t count = 0;
  double length = length_of(run->run);
  if (length > 0.0) {
    ebi_element duct = {.kind = EBI_ELEMENT_DUCT, .parallel = run->run->parallel};
    duct.as.duct.section = run->section;
    duct.as.duct.length = length;
    duct.as.duct.roughness = run->run->duct.roughness;
    elements[count++] = duct;
  }
  for (size_t i = 0; i < run->run->n_fittings; i++)
    elements[count++] = fitting_element(run, &run->run->fittings[i]);
  return count;
}

bool ebi_run_has_end(const ebi_run *run) {
  for (size_t i = 0; i < run->n_fittings; i++)
    if (run->fittings[i].fitting != NULL && run->fittings[i].fitting->end)
      return true;
  return false;
}
