/* duct_heat.h - heat through the wall of a duct, and what it does to the air and the surface
 *
 * Steady and one-dimensional: film, insulation, film. The wall of the duct itself is left
 * out: steel has no resistance to speak of, plastic of 1-2 mm one of 0.01 m2 K/W. A duct is known
 * by the perimeter of its bore; the insulation lies round it with even thickness, so that at a
 * distance x the perimeter is larger by 2 pi x (Steiner; for every convex section). Surfaces of
 * one temperature are taken to run parallel to the bore: exact for a round duct, and for others
 * no less than the true heat, since joining what is not of one temperature never raises a
 * resistance (Rayleigh). A flat wall is a duct of very large perimeter. */

#ifndef EBI_DUCT_HEAT_H
#define EBI_DUCT_HEAT_H

/* Film inside and outside [W/(m2 K)], together 0.25 m2 K/W: for still air around a duct with
 * its radiation (from memory; ASHRAE HoF 2021 ch. 23 works with 5.7 and 6.8 outside) and for
 * air of 1-3 m/s in it (Dittus-Boelter in 160-100 mm: 5-14). */
#define EBI_DUCT_FILM 8.0

typedef struct ebi_duct_wall {
  double perimeter;       /* m, > 0, of the bore */
  double thickness;       /* m of insulation, 0 for a bare duct */
  double conductivity;    /* W/(m K), > 0 where there is insulation */
  double inside, outside; /* W/(m2 K), > 0; inside HUGE_VAL for none */
} ebi_duct_wall;

/* A wall with the films above. */
ebi_duct_wall ebi_duct_wall_of(double perimeter, double thickness, double conductivity);

/* W/(m K): heat of a metre of duct for each kelvin between its air and what is around.
 * pi/(1/(hi Di) + ln(Do/Di)/(2 lambda) + 1/(ho Do)) for a round one. */
double ebi_duct_transmittance(const ebi_duct_wall *wall);

/* Temperatures [C] of its surfaces where its air has air_c. */
double ebi_duct_surface_outside(const ebi_duct_wall *wall, double air_c, double around_c);
double ebi_duct_surface_inside(const ebi_duct_wall *wall, double air_c, double around_c);

/* Temperature at the end and mean along the duct of air that enters with start_c; `units` is
 * transmittance x length / (mass flow x cp), >= 0 and infinite for still air: T = Ta + (T1 -
 * Ta) exp(-units). The form with the arithmetic mean, (T1 (y - 1) + 2 Ta)/(y + 1), goes past
 * the surroundings for long ducts (ASHRAE HoF ch. 21, both forms from memory). */
double ebi_duct_end_c(double start_c, double around_c, double units);
double ebi_duct_mean_c(double start_c, double around_c, double units);

/* Thickness [m] of insulation of the wall's conductivity that brings the outside to
 * surface_c, which lies between around_c and air_c: 0 where the bare duct does it, NAN
 * where nothing can. ASHRAE HoF 2021 ch. 23 eq. (14) for a flat wall without a film inside. */
double ebi_duct_thickness(const ebi_duct_wall *wall, double air_c, double around_c,
                          double surface_c);

#endif
