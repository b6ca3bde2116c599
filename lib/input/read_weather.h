/* read_weather.h - a year's weather from CSV, hour by hour or day by day
 *
 * Shared by the files read_weather*.c; doc/climates.md says what is read. */

#ifndef EBI_READ_WEATHER_H
#define EBI_READ_WEATHER_H

#include "input/csv.h"
#include "input/fields.h"
#include "input/time_stamp.h"

/* What can be asked of the file beside it. */
typedef struct ebi_weather_choices {
  bool stamp_end;   /* a stamp is of the end of its hour */
  bool interpolate; /* short gaps are filled */
  bool over_ice;    /* humidity was counted over ice already */
  bool beside_yaml; /* these can be chosen: a YAML file names this one */
} ebi_weather_choices;

/* Read a file of hours or days into the climate, all but its entry and month rule; the wind and
 * humidity of months where they are not given yet. Errors are recorded. */
void ebi_weather_hours(ebi_reader *reader, const char *path, const ebi_weather_choices *choices,
                       ebi_climate *climate);
void ebi_weather_days(ebi_reader *reader, const char *path, ebi_climate *climate);

/* ---- Columns ------------------------------------------------------------ */

typedef enum ebi_weather_role {
  EBI_WEATHER_TIME,
  EBI_WEATHER_TEMPERATURE,
  EBI_WEATHER_MAX,
  EBI_WEATHER_MIN,
  EBI_WEATHER_HUMIDITY,
  EBI_WEATHER_PRESSURE,
  EBI_WEATHER_WIND,
  EBI_WEATHER_ROLES
} ebi_weather_role;

typedef struct ebi_weather_column {
  bool given;
  size_t at;  /* place in the row */
  int column; /* in the header's line */
  double factor, offset;
} ebi_weather_column;

/* A file while it is read. */
typedef struct ebi_weather_file {
  ebi_reader *reader;
  ebi_csv csv;
  ebi_weather_column of[EBI_WEATHER_ROLES];
  size_t n_cells; /* of the header */
  int header_line;
  size_t errors; /* the first few are said, then only counted */
} ebi_weather_file;

#define EBI_WEATHER_SAID 10

/* At the first row below the header; false where it will not do. `needed` ends with
 * EBI_WEATHER_ROLES. */
bool ebi_weather_open(ebi_weather_file *file, ebi_reader *reader, ebi_arena *scratch,
                      const char *path, const ebi_weather_role *needed);

/* An error at a column of the present row; of those after the first few only the count is kept. */
#if defined __GNUC__
__attribute__((format(printf, 4, 5)))
#endif
void ebi_weather_error(ebi_weather_file *file, int column, const char *code, const char *format,
                       ...);

/* How many more errors there were. */
void ebi_weather_close(ebi_weather_file *file);

/* A number of the row, in SI and C and checked by its range but for temperatures; NAN where the
 * cell is empty, a mark of a missing value, or wrong (an error). */
double ebi_weather_number(ebi_weather_file *file, ebi_weather_role role);

/* The row has as many cells as the header. */
bool ebi_weather_row_fits(ebi_weather_file *file);

/* Temperatures that cannot be: said of the row with that line. */
#define EBI_WEATHER_COLDEST -80.0
#define EBI_WEATHER_HOTTEST 60.0

#endif
