/* run_cases.c - runs rows of numbers and says in TAP which hold
 *
 *   run_cases FILE.case...   one "ok" or "not ok" line for each row
 *   run_cases --eval         lines "METHOD number..." in SI from standard input;
 *                            answers each with its results or the word of its error
 *   run_cases --list         the names of all methods
 *
 * A case file has lines of blank-separated words; '#' starts a comment line:
 *
 *   method  friction.gradient
 *   source  Darcy-Weisbach with exact Colebrook, own calculation
 *   known   computed              (read, quoted, memory, invented, computed or pin,
 *                                  then anything)
 *   column  bore[mm] flow[l/s] -> gradient[Pa/m]
 *   row     FR-63-6  63 6 -> 1.1636  0.1%
 *   fail    F-1      63 -6 -> range
 *
 * The last word of a row is the tolerance of all its results: in the column's
 * unit, or relative as "0.1%" or "1e-6rel". `method` forgets the lines above. */

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cases/methods.h"

#define LINE_MAX_BYTES 65536
#define WORDS_MAX (CASE_IN_MAX + CASE_OUT_MAX + 8)

typedef struct unit {
  const char *name;
  double factor, offset; /* SI = value factor + offset */
} unit;

/* Kept apart from the library's own table, so that neither checks itself. */
static const unit units[] = {
#define UNIT(name, factor, offset) {name, factor, offset},
#include "cases/units.def"
#undef UNIT
};

typedef struct section {
  const case_method *method;
  bool source, known;
  unit in[CASE_IN_MAX], out[CASE_OUT_MAX];
  int n_in, n_out; /* columns; -1 before the column line */
} section;

typedef struct run {
  const char *file;
  int line, count, failed;
  char *words[WORDS_MAX];
  int n_words;
  section now;
} run;

/* ---- Words ---- */

static const char *slug_of(eb_status status) {
  switch (status) {
#define ROW(name, code, slug, sentence)                                                            \
  case name:                                                                                       \
    return slug;
    EB_STATUS_LIST(ROW)
#undef ROW
  default:
    return "?";
  }
}

/* Unit of a column "name[unit]"; one without brackets is a bare number. */
static bool unit_of(char *column, unit *found) {
  const char *name = "1";
  char *open = strchr(column, '['), *close = strrchr(column, ']');
  if (open != NULL && close > open) {
    *close = '\0';
    name = open + 1;
  }
  for (size_t i = 0; i < sizeof units / sizeof units[0]; i++) {
    if (strcmp(units[i].name, name) == 0) {
      *found = units[i];
      return true;
    }
  }
  return false;
}

static bool number(const char *text, double *value) {
  char *end;
  *value = strtod(text, &end);
  return end != text && *end == '\0' && isfinite(*value);
}

/* Splits at blanks; returns the count. */
static int split(char *line, char **words, int max) {
  int n = 0;
  for (char *w = strtok(line, " \t\r\n"); w != NULL && n < max; w = strtok(NULL, " \t\r\n"))
    words[n++] = w;
  return n;
}

/* ---- Results ---- */

static void report(run *r, bool good, const char *id, const char *why) {
  r->count++;
  r->failed += !good;
  printf("%s %d - %s:%d %s%s%s\n", good ? "ok" : "not ok", r->count, r->file, r->line, id,
         why[0] != '\0' ? ": " : "", why);
}

static void malformed(run *r, const char *why) {
  report(r, false, r->n_words > 1 ? r->words[1] : r->words[0], why);
}

/* "0.1%", "1e-6rel" or a number; the limit for a value that should be `want`. */
static bool limit_of(const char *text, double want, double *limit) {
  char *end;
  *limit = strtod(text, &end);
  bool relative = strcmp(end, "%") == 0 || strcmp(end, "rel") == 0;
  if (relative)
    *limit *= fabs(want) * (*end == '%' ? 0.01 : 1.0);
  return end != text && *limit >= 0.0 && (relative || *end == '\0');
}

static void compare(run *r, const double *out) {
  const section *s = &r->now;
  const char *tolerance = r->words[r->n_words - 1];
  for (int i = 0; i < s->n_out; i++) {
    double want, limit, got = (out[i] - s->out[i].offset) / s->out[i].factor;
    if (!number(r->words[3 + s->n_in + i], &want) || !limit_of(tolerance, want, &limit)) {
      malformed(r, "a result or the tolerance is not a number");
      return;
    }
    if (!(fabs(got - want) <= limit)) {
      char why[200];
      snprintf(why, sizeof why, "result %d is %.12g, not %.12g: off by %.3g, allowed %.3g", i + 1,
               got, want, got - want, limit);
      report(r, false, r->words[1], why);
      return;
    }
  }
  report(r, true, r->words[1], "");
}

/* ---- Lines ---- */

static bool inputs(const run *r, double *in) {
  const section *s = &r->now;
  for (int i = 0; i < s->n_in; i++) {
    if (!number(r->words[2 + i], &in[i]))
      return false;
    in[i] = in[i] * s->in[i].factor + s->in[i].offset;
  }
  return true;
}

/* `row` and `fail` lines: KIND id in... -> rest. */
static void row(run *r, bool should_fail) {
  const section *s = &r->now;
  double in[CASE_IN_MAX] = {0}, out[CASE_OUT_MAX] = {0};
  int n_rest = should_fail ? 1 : s->n_out + 1;
  if (s->method == NULL || s->n_in < 0 || !s->source || !s->known) {
    malformed(r, "method, source, known and column must stand above");
  } else if (r->n_words != 3 + s->n_in + n_rest || strcmp(r->words[2 + s->n_in], "->") != 0) {
    malformed(r, "the row does not fit its columns");
  } else if (!inputs(r, in)) {
    malformed(r, "an input is not a number");
  } else {
    eb_status status = s->method->run(in, s->n_in, out);
    if (should_fail)
      report(r, strcmp(slug_of(status), r->words[r->n_words - 1]) == 0, r->words[1],
             slug_of(status));
    else if (status != EB_OK)
      report(r, false, r->words[1], slug_of(status));
    else
      compare(r, out);
  }
}

static void column(run *r) {
  section *s = &r->now;
  int n_in = 0, n_out = 0;
  bool arrow = false, good = true;
  for (int i = 1; i < r->n_words && good; i++) {
    if (strcmp(r->words[i], "->") == 0)
      arrow = true;
    else if (arrow)
      good = n_out < CASE_OUT_MAX && unit_of(r->words[i], &s->out[n_out++]);
    else
      good = n_in < CASE_IN_MAX && unit_of(r->words[i], &s->in[n_in++]);
  }
  if (!good || s->method == NULL || n_out != s->method->n_out ||
      (n_in != s->method->n_in && s->method->n_in != CASE_ANY)) {
    malformed(r, "an unknown unit, or not the columns of the method");
    return;
  }
  s->n_in = n_in;
  s->n_out = n_out;
}

static bool is_known(const char *word) {
  static const char *const ways[] = {"read", "quoted", "memory", "invented", "computed", "pin"};
  for (size_t i = 0; i < sizeof ways / sizeof ways[0]; i++) {
    size_t length = strcspn(word, ",");
    if (length == strlen(ways[i]) && strncmp(word, ways[i], length) == 0)
      return true;
  }
  return false;
}

static void take_line(run *r) {
  const char *kind = r->words[0];
  section *s = &r->now;
  if (strcmp(kind, "row") == 0 && r->n_words > 1) {
    row(r, false);
  } else if (strcmp(kind, "fail") == 0 && r->n_words > 1) {
    row(r, true);
  } else if (strcmp(kind, "column") == 0) {
    column(r);
  } else if (strcmp(kind, "source") == 0 && r->n_words > 1) {
    s->source = true;
  } else if (strcmp(kind, "known") == 0 && r->n_words > 1 && is_known(r->words[1])) {
    s->known = true;
  } else if (strcmp(kind, "method") == 0 && r->n_words == 2 &&
             case_method_find(r->words[1]) != NULL) {
    *s = (section){.method = case_method_find(r->words[1]), .n_in = -1};
  } else {
    malformed(r, "not a line of a case file");
  }
}

static bool take_file(run *r, FILE *file) {
  static char line[LINE_MAX_BYTES];
  for (r->line = 1; fgets(line, sizeof line, file) != NULL; r->line++) {
    r->n_words = line[0] == '#' ? 0 : split(line, r->words, WORDS_MAX);
    if (r->n_words > 0)
      take_line(r);
  }
  return ferror(file) == 0;
}

static int run_files(char **files) {
  static run r;
  for (; *files != NULL; files++) {
    r.file = *files;
    r.now = (section){.n_in = -1};
    FILE *file = fopen(*files, "r");
    bool good = file != NULL && take_file(&r, file);
    if (file != NULL)
      fclose(file);
    if (!good)
      report(&r, false, "-", "cannot be read");
  }
  printf("1..%d\n", r.count);
  return r.failed > 0 || r.count == 0;
}

/* ---- Other ways to run ---- */

static void answer(char **words, int n_words) {
  double in[CASE_IN_MAX] = {0}, out[CASE_OUT_MAX] = {0};
  const case_method *method = case_method_find(words[0]);
  int n_in = n_words - 1;
  bool good = method != NULL && (method->n_in == n_in || method->n_in == CASE_ANY);
  for (int i = 0; i < n_in && good; i++)
    good = i < CASE_IN_MAX && number(words[1 + i], &in[i]);
  eb_status status = good ? method->run(in, n_in, out) : EB_E_ARGUMENT;
  if (status != EB_OK)
    fputs(slug_of(status), stdout);
  for (int i = 0; status == EB_OK && i < method->n_out; i++)
    printf("%s%.17g", i > 0 ? " " : "", out[i]);
  putchar('\n');
}

static int evaluate(void) {
  static char line[LINE_MAX_BYTES];
  char *words[WORDS_MAX];
  while (fgets(line, sizeof line, stdin) != NULL) {
    int n_words = split(line, words, WORDS_MAX);
    if (n_words > 0)
      answer(words, n_words);
  }
  return 0;
}

int main(int argc, char **argv) {
  if (argc == 2 && strcmp(argv[1], "--eval") == 0)
    return evaluate();
  if (argc == 2 && strcmp(argv[1], "--list") == 0) {
    case_methods_list(stdout);
    return 0;
  }
  if (argc < 2) {
    fputs("usage: run_cases FILE.case... | --eval | --list\n", stderr);
    return 2;
  }
  return run_files(argv + 1);
}
