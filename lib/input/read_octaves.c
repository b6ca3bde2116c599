/* read_octaves.c - figures by octave band */

#include "input/read_octaves.h"

#include <math.h>
#include <string.h>

#include "physics/sound.h"

/* Loudest power and largest losses that are read: far beyond what houses have. */
#define MOST_POWER 150
#define MOST_LOSS 100
#define MOST_LOSS_PER_LENGTH 200

/* The bands that a power must have: 125 Hz to 4 kHz. */
enum { FIRST_NEEDED = 1, LAST_NEEDED = 6 };

static const ebi_field octave_keys[] = {
    {.key = "columns", .type = EBI_FIELD_IGNORED, .required = true, .about = "[Hz, dB]"},
    {.key = "points", .type = EBI_FIELD_IGNORED, .required = true, .about = "[[63, 58], ...]"},
};

static const ebi_column octave_columns[] = {{EBI_FREQUENCY, 0, 1e5, "frequency"},
                                            {EBI_SOUND, -50, MOST_POWER, "figure"}};
static const ebi_column octave_columns_per_length[] = {
    {EBI_FREQUENCY, 0, 1e5, "frequency"}, {EBI_SOUND_PER_LENGTH, 0, MOST_LOSS_PER_LENGTH, "loss"}};
const ebi_field ebi_octaves_form = {.type = EBI_FIELD_CURVE, EBI_COLUMNS_OF(octave_columns)};
const ebi_field ebi_octaves_per_length_form = {.type = EBI_FIELD_CURVE,
                                               EBI_COLUMNS_OF(octave_columns_per_length)};

/* The band of a frequency; EB_OCTAVES where it is none's middle. */
static size_t band_of(double hz) {
  size_t band = 0;
  while (band < EB_OCTAVES && fabs(hz - ebi_octave_hz(band)) > 0.51) /* 62.5 Hz is 63 too */
    band++;
  return band;
}

/* Puts the rows into their bands; those without stay NAN. */
static bool take_rows(ebi_reader *reader, const ebi_yaml *value, const double *rows, size_t n_rows,
                      double *db) {
  const ebi_yaml *points = ebi_yaml_get(value, "points");
  bool good = true;
  for (size_t i = 0; i < n_rows; i++) {
    size_t band = band_of(rows[2 * i]);
    if (band < EB_OCTAVES) {
      db[band] = rows[2 * i + 1];
      continue;
    }
    ebi_read_error(reader, points->items[i], "band-unknown",
                   "%.12g Hz is not the middle of an octave: 63, 125, 250, 500, 1000, 2000, 4000 "
                   "and 8000 Hz are",
                   rows[2 * i]);
    good = false;
  }
  return good;
}

static bool read_bands(ebi_reader *reader, const ebi_yaml *value, const ebi_column *second,
                       double *db, const char **unit) {
  const ebi_column columns[] = {{EBI_FREQUENCY, 0, 1e5, "frequency"}, *second};
  const double *rows;
  size_t n_rows;
  const char *const *units;
  size_t mark = ebi_diag_errors(reader->context);
  ebi_fields_read(reader, value, "a figure by octave bands", octave_keys, 2, NULL);
  if (ebi_diag_errors(reader->context) != mark ||
      !ebi_read_table(reader, value, columns, 2, &rows, &n_rows, &units))
    return false;
  *unit = units[1];
  for (size_t band = 0; band < EB_OCTAVES; band++)
    db[band] = NAN;
  return take_rows(reader, value, rows, n_rows, db);
}

/* Fills the ends of a power; an error where a band between is missing. */
static bool complete_power(ebi_reader *reader, const ebi_yaml *value, double *db) {
  for (size_t band = FIRST_NEEDED; band <= LAST_NEEDED; band++) {
    if (!isnan(db[band]))
      continue;
    ebi_read_error(reader, value, "band-missing",
                   "the band of %.12g Hz is missing: a sound power needs 125 to 4000 Hz",
                   ebi_octave_hz(band));
    return false;
  }
  if (isnan(db[FIRST_NEEDED - 1]))
    db[FIRST_NEEDED - 1] = db[FIRST_NEEDED];
  if (isnan(db[LAST_NEEDED + 1]))
    db[LAST_NEEDED + 1] = db[LAST_NEEDED];
  return true;
}

static bool is_weighted(const char *unit) {
  return strcmp(unit, "dB") != 0;
}

static bool complete_loss(ebi_reader *reader, const ebi_yaml *value, const char *unit, double *db) {
  if (strstr(unit, "A") != NULL) {
    ebi_read_error(reader, value, "unit-wrong", "a loss is not weighted: write dB");
    return false;
  }
  for (size_t band = 0; band < EB_OCTAVES; band++)
    if (isnan(db[band]))
      db[band] = 0;
  return true;
}

static bool read_loss(ebi_reader *reader, const ebi_yaml *value, const ebi_column *column,
                      ebi_octaves *octaves) {
  ebi_octaves read = {.given = true};
  const char *unit;
  if (!read_bands(reader, value, column, read.db, &unit) ||
      !complete_loss(reader, value, unit, read.db))
    return false;
  *octaves = read;
  return true;
}

static bool read_power(ebi_reader *reader, const ebi_yaml *value, ebi_octaves *octaves) {
  static const ebi_column column = {EBI_SOUND, -50, MOST_POWER, "sound power"};
  ebi_octaves read = {.given = true};
  const char *unit;
  if (!read_bands(reader, value, &column, read.db, &unit))
    return false;
  for (size_t band = 0; is_weighted(unit) && band < EB_OCTAVES; band++)
    read.db[band] -= ebi_octave_a(band);
  if (!complete_power(reader, value, read.db))
    return false;
  *octaves = read;
  return true;
}

bool ebi_read_octaves(ebi_reader *reader, const ebi_yaml *value, bool is_loss,
                      ebi_octaves *octaves) {
  static const ebi_column loss = {EBI_SOUND, 0, MOST_LOSS, "loss"};
  return is_loss ? read_loss(reader, value, &loss, octaves) : read_power(reader, value, octaves);
}

bool ebi_read_octaves_per_length(ebi_reader *reader, const ebi_yaml *value, ebi_octaves *octaves) {
  static const ebi_column loss = {EBI_SOUND_PER_LENGTH, 0, MOST_LOSS_PER_LENGTH, "loss"};
  return read_loss(reader, value, &loss, octaves);
}
