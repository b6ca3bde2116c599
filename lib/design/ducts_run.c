/* ducts_run.c - friction and fittings of one run as elements
 *
 * Tubes side by side (`parallel`) share the run's flow; velocity, friction and
 * fittings are those of one tube. A fitting that takes the place of a length of
 * duct (a silencer) has its friction in its own figure, so that length is taken
 * off.
 *
 * Flexible duct loses what the same length of it loses stretched, times a factor.
 * A crushed tube is a flat oval of the same circumference over so many metres of
 * the run; the changes of shape at its ends are not counted. */

#include <math.h>

#include "design/ducts.h"
#include "model/duct.h"
#include "physics/flexible.h"

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

/* Side parallel to the axis of the turn over the other one. */
static double shape_of(const ebi_fitting *fitting, const ebi_duct_size *duct) {
  if (duct->shape == EBI_ROUND)
    return 1.0;
  return fitting->edgewise ? duct->width / duct->height : duct->height / duct->width;
}

double ebi_fitting_looked_up_by(const ebi_side_run *run, const ebi_run_fitting *entry) {
  switch (entry->fitting->kind) {
  case EBI_FITTING_BY_BORE:
    return ebi_section_equal_area_bore(&run->section);
  case EBI_FITTING_BY_SHAPE:
    return shape_of(entry->fitting, &run->run->duct);
  default:
    return entry->radius.given ? entry->radius.value : entry->fitting->radius;
  }
}

static double coefficient_of(const ebi_side_run *run, const ebi_run_fitting *entry) {
  const ebi_fitting *fitting = entry->fitting;
  if (fitting == NULL)
    return entry->coefficient.value;
  if (fitting->kind == EBI_FITTING_COEFFICIENT)
    return fitting->coefficient;
  double x = ebi_fitting_looked_up_by(run, entry);
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

static ebi_element loss_element(double area, double forward, double backward, double parallel) {
  ebi_element element = {.kind = EBI_ELEMENT_LOSS, .parallel = parallel};
  element.as.loss.area = area;
  element.as.loss.forward = forward;
  element.as.loss.backward = backward;
  return element;
}

/* A cone between the duct and another bore, on the smaller of the two. */
static ebi_element cone_element(const ebi_side_run *run, const ebi_run_fitting *entry) {
  const ebi_fitting *fitting = entry->fitting;
  double angle = entry->angle.given ? entry->angle.value : fitting->cone_angle;
  double bore = entry->to.given ? entry->to.value : fitting->to_bore;
  double other = ebi_section_round(bore).area, own = run->section.area;
  double small = fmin(own, other), large = fmax(own, other);
  double widening = entry->count * ebi_expansion_conical(small, large, angle);
  double narrowing = entry->count * ebi_contraction_conical(small, large, angle);
  return loss_element(small, fitting->widens ? widening : narrowing,
                      fitting->widens ? narrowing : widening, run->run->parallel);
}

static ebi_element fitting_element(const ebi_side_run *run, size_t number) {
  const ebi_run_fitting *entry = &run->run->fittings[number];
  const ebi_fitting *fitting = entry->fitting;
  double parallel = run->run->parallel, count = entry->count;
  if (fitting == NULL && entry->drop.given)
    return drop_element(count * entry->drop.value, entry->at.value, 2.0, parallel);
  if (fitting != NULL && fitting->kind == EBI_FITTING_DROP)
    return drop_element(count * fitting->drop, fitting->at, fitting->exponent, parallel);
  if (fitting != NULL && fitting->kind == EBI_FITTING_TO_BORE)
    return cone_element(run, entry);
  double zeta = count * coefficient_of(run, entry);
  bool own_area = fitting != NULL && fitting->basis == EBI_BASIS_AREA;
  double area = own_area ? fitting->area : run->section.area;
  ebi_element element = loss_element(area, zeta, zeta, parallel);
  element.as.loss.by_reynolds = run->by_reynolds != NULL ? run->by_reynolds[number] : NULL;
  element.as.loss.diameter = run->section.hydraulic;
  return element;
}

/* ---- The duct itself ---- */

ebi_element ebi_run_duct(const ebi_side_run *run, double length) {
  const ebi_run *given = run->run;
  ebi_element duct = {.kind = EBI_ELEMENT_DUCT, .parallel = given->parallel};
  duct.as.duct.section = run->section;
  duct.as.duct.length = length;
  duct.as.duct.roughness = given->duct.roughness;
  if (given->duct.flexible) {
    double stretched = given->stretched.given ? given->stretched.value : given->duct.stretched;
    duct.as.duct.length *= ebi_flexible_factor(stretched, run->section.hydraulic);
  }
  return duct;
}

static ebi_element crushed_duct(const ebi_side_run *run, double length) {
  ebi_element duct = ebi_run_duct(run, length);
  duct.as.duct.section = ebi_section_crushed(run->run->duct.bore, run->run->crushed_height.value);
  return duct;
}

size_t ebi_run_elements(const ebi_side_run *run, ebi_element *elements) {
  const ebi_run *given = run->run;
  bool round = given->duct.shape == EBI_ROUND;
  double length = ebi_run_plain_length(given);
  double crushed = round && given->crushed_height.given ? given->crushed_length.value : 0.0;
  crushed = fmin(crushed, length);
  size_t count = 0;
  if (length > crushed)
    elements[count++] = ebi_run_duct(run, length - crushed);
  for (size_t i = 0; i < given->n_fittings; i++)
    elements[count++] = fitting_element(run, i);
  if (crushed > 0.0)
    elements[count++] = crushed_duct(run, crushed);
  return count;
}

bool ebi_run_has_end(const ebi_run *run) {
  for (size_t i = 0; i < run->n_fittings; i++)
    if (run->fittings[i].fitting != NULL && run->fittings[i].fitting->end)
      return true;
  return false;
}
