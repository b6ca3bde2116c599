#include "figures.h"

#include <math.h>
#include <stdio.h>

const char *const month_names[12] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                     "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

cli_figure figure_two(double value) {
  cli_figure figure = {"0"};
  if (!isfinite(value))
    return (cli_figure){"-"};
  if (value == 0)
    return figure;
  double size = floor(log10(fabs(value))), unit = pow(10, size - 1);
  double rounded = round(value / unit) * unit;
  size = floor(log10(fabs(rounded)) + 1e-9); /* 9.97 has become 10 */
  snprintf(figure.text, sizeof figure.text, "%.*f", size < 1 ? (int)fmin(1 - size, 9) : 0, rounded);
  return figure;
}
