/* duct_leakage.h - air through the joints and seams of ducts
 *
 * A duct of surface A at a static pressure p leaks at most c p^0.65 A, where c belongs to its
 * class of tightness (EN 12237:2003 for round ducts, EN 1507 for rectangular ones,
 * EN 16798-3:2017 for both). The surface is the outside one, measured by EN 14239. */

#ifndef EBI_DUCT_LEAKAGE_H
#define EBI_DUCT_LEAKAGE_H

#define EBI_DUCT_LEAKAGE_EXPONENT 0.65

/* c [m3/(s m2 Pa^0.65)] of a class: 'A' to 'D', or the digit of its air tightness class, '1'
 * (the tightest) to '6'. 0 where there is no such class. */
double ebi_duct_leakage_coefficient(char class);

/* Largest leakage [m3/(s m2)] allowed to a class of coefficient c at a pressure [Pa], or what
 * leaks; its sign is the pressure's. */
double ebi_duct_leakage_flow(double c, double pressure);

/* Coefficient [m3/(s m2 Pa^0.65)] that a share (0..1) of the system's flow leaking [m3/s]
 * through its whole surface [m2] asks for, tested at a pressure [Pa]. NaN where surface or
 * pressure are not above 0. */
double ebi_duct_leakage_class_for(double share, double flow, double surface, double pressure);

/* Leakage [m3/s] allowed to a section of a system: its part of the surface. NaN where the
 * system's surface is not above 0. */
double ebi_duct_leakage_allowed(double share, double flow, double section, double system);

#endif
