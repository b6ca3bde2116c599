/* sort.c - numbers in rising order, through GSL's heap sort */

#include "numeric/sort.h"

#include <gsl/gsl_sort.h>

void ebi_sort_rising(double *values, size_t n) {
  gsl_sort(values, 1, n);
}
