/* duct.c - what follows from how a duct and its run are described */

#include "model/duct.h"

#include <math.h>

ebi_section ebi_duct_section(const ebi_duct_size *duct) {
  if (duct->shape == EBI_ROUND)
    return ebi_section_round(duct->bore);
  if (duct->shape == EBI_RECTANGLE)
    return ebi_section_rectangle(duct->width, duct->height);
  return ebi_section_oval(duct->width, duct->height);
}

double ebi_run_plain_length(const ebi_run *run) {
  double length = run->length;
  for (size_t i = 0; i < run->n_fittings; i++)
    if (run->fittings[i].fitting != NULL)
      length -= run->fittings[i].count * run->fittings[i].fitting->length;
  return fmax(length, 0.0);
}

double ebi_run_bought_length(const ebi_run *run, const ebi_duct_size *duct) {
  double stretch = run->stretched.given ? run->stretched.value : duct->stretched;
  double length = ebi_run_plain_length(run);
  return duct->flexible && stretch > 0.0 && stretch < 1.0 ? length / stretch : length;
}
