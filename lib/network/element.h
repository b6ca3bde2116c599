/* element.h - pressure laws of the pieces that air passes one after the other
 *
 * Each law is total-pressure drop [Pa] against actual volume flow [m3/s],
 * continuous, strictly rising as a whole, with its analytic derivative. Flow
 * is positive in the direction from -> to. */

#ifndef EBI_ELEMENT_H
#define EBI_ELEMENT_H

#include <stdbool.h>

#include "numeric/curve.h"
#include "physics/air.h"
#include "physics/fan.h"
#include "physics/section.h"

typedef enum ebi_element_kind {
  EBI_ELEMENT_DUCT,   /* Darcy-Weisbach friction */
  EBI_ELEMENT_LOSS,   /* zeta rho v^2/2 on an area, one zeta each way */
  EBI_ELEMENT_POWER,  /* drop (|q|/at)^exponent, density-scaled, 1 <= exponent <= 2 */
  EBI_ELEMENT_VALVE,  /* (q/k)^2 rho/1.2 */
  EBI_ELEMENT_SOURCE, /* minus a constant rise: stack pressure, a fan that holds its pressure */
  EBI_ELEMENT_FAN     /* minus the rise of a fan at a speed */
} ebi_element_kind;

typedef struct ebi_element {
  ebi_element_kind kind;
  double parallel; /* identical tubes side by side, >= 1: flow is divided by it */
  union {
    struct {
      ebi_section section;
      double length, roughness; /* m */
    } duct;
    struct {
      double area, forward, backward; /* m2; zeta > or < 0 allowed, not NAN */
      /* Factor of both by ln Re, on `diameter` and the velocity in `area`; NULL for none. */
      const ebi_curve *by_reynolds;
      double diameter; /* m, where by_reynolds is given */
    } loss;
    struct {
      double drop, at, exponent; /* Pa at m3/s, at 1.2 kg/m3 */
    } power;
    struct {
      double k; /* m3/s per Pa^0.5 at 1.2 kg/m3, > 0 */
    } valve;
    struct {
      const ebi_fan *fan;
      double speed;
    } fan;
    struct {
      double rise; /* Pa, in the direction of positive flow */
    } source;
  } as;
} ebi_element;

typedef struct ebi_drop {
  double pa;    /* drop in the direction of positive flow */
  double slope; /* Pa/(m3/s) */
} ebi_drop;

ebi_drop ebi_element_drop(const ebi_element *element, ebi_air_state air, double flow);

/* Drop q^2 times a coefficient each way, where |q| is not below `above` [m3/s]. */
typedef struct ebi_square {
  double forward, backward; /* Pa/(m3/s)^2 */
  double above;
} ebi_square;

/* True for elements that follow a square law. */
bool ebi_element_square(const ebi_element *element, ebi_air_state air, ebi_square *square);

/* What a report wants of a duct: velocity and Reynolds number of one tube;
 * of a loss, on its area; 0 of other kinds. */
double ebi_element_velocity(const ebi_element *element, double flow);
double ebi_element_reynolds(const ebi_element *element, ebi_air_state air, double flow);

#endif
