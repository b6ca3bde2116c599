/* section.h - the cross-section of a duct */

#ifndef EBI_SECTION_H
#define EBI_SECTION_H

typedef struct ebi_section {
  double area;      /* m2, true flow area of one tube */
  double hydraulic; /* m, 4 A / P */
  double laminar;   /* Darcy f Re in laminar flow: 64 for round */
} ebi_section;

ebi_section ebi_section_round(double bore);
ebi_section ebi_section_rectangle(double width, double height);

/* Flat oval: semicircular ends of the smaller side. */
ebi_section ebi_section_oval(double width, double height);

/* A round tube pressed flat: an oval of the same circumference, whose height is `kept` (0..1]
 * of the bore. */
ebi_section ebi_section_crushed(double bore, double kept);

/* Bore of the round duct of equal area, for coefficients given by bore. */
double ebi_section_equal_area_bore(const ebi_section *section);

#endif
