/* figures.h - numbers to two significant figures: a year is not known better */

#ifndef CLI_FIGURES_H
#define CLI_FIGURES_H

typedef struct cli_figure {
  char text[40]; /* "-" where it is not known */
} cli_figure;

extern const char *const month_names[12]; /* "Jan" ... */

cli_figure figure_two(double value);

#endif
