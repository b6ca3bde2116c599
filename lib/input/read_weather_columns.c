/* read_weather_columns.c - the header of a file of weather, and its numbers */

#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "input/quote.h"
#include "input/read_weather.h"

/* ---- What is said ------------------------------------------------------- */

void ebi_weather_error(ebi_weather_file *file, int column, const char *code, const char *format,
                       ...) {
  if (file->errors++ >= EBI_WEATHER_SAID)
    return;
  va_list arguments;
  va_start(arguments, format);
  const char *text = ebi_arena_format_list(file->reader->arena, format, arguments);
  va_end(arguments);
  ebi_diag(file->reader->context, EB_ERROR, text ? code : "memory",
           ebi_csv_where(&file->csv, column), NULL, "%s", text ? text : "memory ran out");
}

void ebi_weather_close(ebi_weather_file *file) {
  if (file->errors > EBI_WEATHER_SAID)
    ebi_diag(file->reader->context, EB_ERROR, "climate-more", ebi_csv_where(&file->csv, 1), NULL,
             "%zu more errors were found in this file", file->errors - EBI_WEATHER_SAID);
}

/* ---- Names of columns --------------------------------------------------- */

typedef struct column_name {
  const char *name;
  ebi_weather_role role;
} column_name;

static const column_name names[] = {
    {"time", EBI_WEATHER_TIME},
    {"timestamp", EBI_WEATHER_TIME},
    {"time_stamp", EBI_WEATHER_TIME},
    {"date", EBI_WEATHER_TIME},
    {"datetime", EBI_WEATHER_TIME},
    {"date_time", EBI_WEATHER_TIME},
    {"temperature", EBI_WEATHER_TEMPERATURE},
    {"temp", EBI_WEATHER_TEMPERATURE},
    {"air_temperature", EBI_WEATHER_TEMPERATURE},
    {"dry_bulb", EBI_WEATHER_TEMPERATURE},
    {"max", EBI_WEATHER_MAX},
    {"tmax", EBI_WEATHER_MAX},
    {"temp_max", EBI_WEATHER_MAX},
    {"max_temp", EBI_WEATHER_MAX},
    {"temperature_max", EBI_WEATHER_MAX},
    {"max_temperature", EBI_WEATHER_MAX},
    {"min", EBI_WEATHER_MIN},
    {"tmin", EBI_WEATHER_MIN},
    {"temp_min", EBI_WEATHER_MIN},
    {"min_temp", EBI_WEATHER_MIN},
    {"temperature_min", EBI_WEATHER_MIN},
    {"min_temperature", EBI_WEATHER_MIN},
    {"humidity", EBI_WEATHER_HUMIDITY},
    {"rh", EBI_WEATHER_HUMIDITY},
    {"relative_humidity", EBI_WEATHER_HUMIDITY},
    {"pressure", EBI_WEATHER_PRESSURE},
    {"wind", EBI_WEATHER_WIND},
    {"wind_speed", EBI_WEATHER_WIND},
};

/* Humidity in percent, pressure in Pa, wind in m/s. */
typedef struct unit_ending {
  const char *ending;
  char kind; /* 't', 'h', 'p' or 'w' */
  double factor, offset;
} unit_ending;

static const unit_ending endings[] = {
    {"_c", 't', 1.0, 0.0},
    {"_degc", 't', 1.0, 0.0},
    {"_deg_c", 't', 1.0, 0.0},
    {"_celsius", 't', 1.0, 0.0},
    {"_f", 't', 1 / 1.8, -32 / 1.8},
    {"_degf", 't', 1 / 1.8, -32 / 1.8},
    {"_deg_f", 't', 1 / 1.8, -32 / 1.8},
    {"_fahrenheit", 't', 1 / 1.8, -32 / 1.8},
    {"_k", 't', 1.0, -273.15},
    {"_percent", 'h', 1.0, 0.0},
    {"_pa", 'p', 1.0, 0.0},
    {"_hpa", 'p', 100.0, 0.0},
    {"_mbar", 'p', 100.0, 0.0},
    {"_kpa", 'p', 1000.0, 0.0},
    {"_m_s", 'w', 1.0, 0.0},
    {"_ms", 'w', 1.0, 0.0},
    {"_km_h", 'w', 1 / 3.6, 0.0},
    {"_kmh", 'w', 1 / 3.6, 0.0},
    {"_mph", 'w', 0.44704, 0.0},
};

static char kind_of(ebi_weather_role role) {
  return "-ttthpw"[role];
}

/* Small letters and digits, with one '_' for whatever else stands between them. */
static void plain_name(const ebi_csv_cell *cell, char *plain, size_t size) {
  size_t n = 0;
  bool gap = false;
  for (size_t i = 0; i < cell->length && n + 2 < size; i++) {
    unsigned char c = (unsigned char)cell->text[i];
    bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
    if (letter && gap && n > 0)
      plain[n++] = '_';
    if (letter)
      plain[n++] = (char)(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
    gap = !letter;
  }
  plain[n] = '\0';
}

static bool role_of(const char *name, size_t length, ebi_weather_role *role) {
  for (size_t i = 0; i < sizeof names / sizeof names[0]; i++)
    if (strlen(names[i].name) == length && strncmp(names[i].name, name, length) == 0) {
      *role = names[i].role;
      return true;
    }
  return false;
}

/* What a header's cell is the head of; false where it is of no use here. */
static bool recognise(const ebi_csv_cell *cell, ebi_weather_role *role, double *factor,
                      double *offset) {
  char plain[64];
  plain_name(cell, plain, sizeof plain);
  size_t length = strlen(plain);
  *factor = 1.0;
  *offset = 0.0;
  if (role_of(plain, length, role))
    return true;
  for (size_t i = 0; i < sizeof endings / sizeof endings[0]; i++) {
    size_t tail = strlen(endings[i].ending);
    *factor = endings[i].factor;
    *offset = endings[i].offset;
    if (length > tail && strcmp(plain + length - tail, endings[i].ending) == 0 &&
        role_of(plain, length - tail, role) && *role != EBI_WEATHER_TIME &&
        kind_of(*role) == endings[i].kind)
      return true;
  }
  return false;
}

/* ---- The header --------------------------------------------------------- */

static const char *const role_words[] = {
    "a column `time`",     "a column `temperature` (or temperature_c, temperature_f)",
    "a column `max`",      "a column `min`",
    "a column `humidity`", "a column `pressure`",
    "a column `wind`"};

static void read_header(ebi_weather_file *file) {
  const ebi_csv *csv = &file->csv;
  for (size_t i = 0; i < csv->n_cells && i < EBI_CSV_CELLS; i++) {
    ebi_weather_role role;
    double factor, offset;
    if (!recognise(&csv->cells[i], &role, &factor, &offset))
      continue;
    ebi_weather_column *column = &file->of[role];
    if (column->given)
      ebi_weather_error(file, csv->cells[i].column, "climate-columns",
                        "\"%s\": this column and \"%s\" are of the same; one of them is due",
                        ebi_csv_show(&csv->cells[i]).text,
                        ebi_csv_show(&csv->cells[column->at]).text);
    *column = (ebi_weather_column){true, i, csv->cells[i].column, factor, offset};
  }
}

static void check_needed(ebi_weather_file *file, const ebi_weather_role *needed) {
  const ebi_csv_cell *first = &file->csv.cells[0];
  for (; *needed != EBI_WEATHER_ROLES; needed++)
    if (!file->of[*needed].given)
      ebi_weather_error(file, 1, "climate-columns",
                        "the first line names the columns, parted by comma or semicolon, and %s "
                        "is due among them; it begins with \"%s\"",
                        role_words[*needed], ebi_csv_show(first).text);
}

bool ebi_weather_open(ebi_weather_file *file, ebi_reader *reader, ebi_arena *scratch,
                      const char *path, const ebi_weather_role *needed) {
  const char *bytes;
  size_t length;
  memset(file, 0, sizeof *file);
  file->reader = reader;
  eb_status status = ebi_file_read(reader->context, scratch, path, &bytes, &length);
  if (status == EB_E_MEMORY)
    ebi_diag(reader->context, EB_ERROR, "memory", (ebi_where){path, 0, 0}, NULL, "memory ran out");
  if (status)
    return false;
  if (!ebi_csv_start(&file->csv, reader->context, path, bytes, length)) {
    ebi_weather_error(file, 1, "climate-empty", "the file is empty");
    return false;
  }
  file->n_cells = file->csv.n_cells;
  file->header_line = file->csv.line;
  read_header(file);
  check_needed(file, needed);
  return file->errors == 0;
}

/* ---- Cells -------------------------------------------------------------- */

bool ebi_weather_row_fits(ebi_weather_file *file) {
  const ebi_csv *csv = &file->csv;
  if (csv->n_cells == file->n_cells)
    return true;
  ebi_weather_error(file, 1, "climate-row", "%zu cells, but the header has %zu columns%s",
                    csv->n_cells, file->n_cells,
                    csv->n_cells > file->n_cells && csv->separator == ','
                        ? "; is it a decimal comma? Write 4.5, or part the columns by ';'"
                        : "");
  return false;
}

static bool is_missing(const ebi_csv_cell *cell) {
  static const char *const marks[] = {"NA", "N/A", "NaN", "nan", "null", "-"};
  for (size_t i = 0; i < sizeof marks / sizeof marks[0]; i++)
    if (strlen(marks[i]) == cell->length && strncmp(marks[i], cell->text, cell->length) == 0)
      return true;
  return cell->length == 0;
}

static double fault(ebi_weather_file *file, const ebi_csv_cell *cell, const char *why) {
  ebi_weather_error(file, cell->column, "climate-number", "\"%s\" %s", ebi_csv_show(cell).text,
                    why);
  return NAN;
}

/* Pressure without a unit is in hPa where it can be. */
static double to_si(const ebi_weather_column *column, ebi_weather_role role, double value) {
  bool bare_hpa = role == EBI_WEATHER_PRESSURE && column->factor < 1.5 && value < 2000.0;
  return value * (bare_hpa ? 100.0 : column->factor) + column->offset;
}

static const char *out_of_range(ebi_weather_role role, double value) {
  if (role == EBI_WEATHER_HUMIDITY && !(value >= 0.0 && value <= 100.0))
    return "is no relative humidity: 0 to 100 percent";
  if (role == EBI_WEATHER_PRESSURE && !(value >= 3e4 && value <= 1.1e5))
    return "is no pressure of outdoor air: 300 to 1100 hPa, or the same in Pa";
  if (role == EBI_WEATHER_WIND && !(value >= 0.0 && value <= 100.0))
    return "is no speed of wind: 0 to 100 m/s";
  return NULL;
}

double ebi_weather_number(ebi_weather_file *file, ebi_weather_role role) {
  const ebi_weather_column *column = &file->of[role];
  if (!column->given)
    return NAN;
  const ebi_csv_cell *cell = &file->csv.cells[column->at];
  double value;
  size_t used;
  if (is_missing(cell))
    return NAN;
  ebi_number_fault wrong = ebi_number_read(cell->text, cell->length, &value, &used);
  if (wrong == EBI_NUMBER_COMMA)
    return fault(file, cell, "has a decimal comma: write it with a point, 4.5");
  if (wrong != EBI_NUMBER_OK || used != cell->length)
    return fault(file, cell, "is no number; a missing value is an empty cell");
  value = to_si(column, role, value);
  const char *why = out_of_range(role, value);
  return why ? fault(file, cell, why) : value;
}
