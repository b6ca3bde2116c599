/* run_bad.c - wrong files and what is said of them
 *
 * X.yaml is read as a house; X.expect beside it holds "status NUMBER" and then
 * one line for each diagnostic, in their order: LINE:COLUMN SEVERITY CODE TEXT,
 * where TEXT is a part of the message. Files that are too large to keep, or no
 * files at all, are made here. Speaks TAP. */

#include <dirent.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "evenbreath.h"

static int n_checks, n_failed;

static bool report(bool good, const char *name) {
  n_checks++;
  n_failed += !good;
  printf("%sok %d - %s\n", good ? "" : "not ", n_checks, name);
  return good;
}

static const char *severity_word(eb_severity severity) {
  return severity == EB_ERROR ? "error" : severity == EB_WARNING ? "warning" : "note";
}

static void show(eb_status status, const eb_diagnostic *all, size_t count) {
  printf("# status %d\n", (int)status);
  for (size_t i = 0; i < count; i++)
    printf("# %d:%d %s %s %s\n", all[i].line, all[i].column, severity_word(all[i].severity),
           all[i].code, all[i].message);
}

/* ---- Files that are kept ----------------------------------------------- */

static bool line_fits(const char *line, const eb_diagnostic *found) {
  int row = 0, column = 0, used = 0;
  char severity[16], code[48];
  if (sscanf(line, "%d:%d %15s %47s %n", &row, &column, severity, code, &used) != 4)
    return false;
  return row == found->line && column == found->column &&
         strcmp(severity, severity_word(found->severity)) == 0 && strcmp(code, found->code) == 0 &&
         strstr(found->message, line + used) != NULL;
}

/* Compares with the lines of the .expect file. */
static bool expected(const char *path, eb_status status, const eb_diagnostic *all, size_t count) {
  FILE *file = fopen(path, "r");
  char line[1024];
  bool good = file != NULL, has_status = false;
  size_t next = 0;
  while (file && fgets(line, sizeof line, file)) {
    line[strcspn(line, "\n")] = '\0';
    int number = 0;
    if (sscanf(line, "status %d", &number) == 1) {
      has_status = true;
      good = good && number == (int)status;
    } else if (next >= count || !line_fits(line, &all[next++])) {
      printf("# expected: %s\n", line);
      good = false;
    }
  }
  if (file)
    fclose(file);
  return good && has_status && next == count;
}

/* Diagnostics must name the file they were read from: X.yaml, or X.csv beside it. */
static bool names_file(const eb_diagnostic *all, size_t count, const char *path) {
  size_t stem = strlen(path) - strlen("yaml");
  for (size_t i = 0; i < count; i++)
    if (!all[i].file || (all[i].line > 0 && (strncmp(all[i].file, path, stem) != 0 ||
                                             (strcmp(all[i].file + stem, "csv") != 0 &&
                                              strcmp(all[i].file + stem, "yaml") != 0))))
      return false;
  return true;
}

static void check_kept(const char *folder, const char *stem) {
  char path[4096], expect[4096];
  eb_house *const untouched = (eb_house *)&n_checks;
  eb_house *house = untouched;
  size_t count = 0;
  if (snprintf(path, sizeof path, "%s/%s.yaml", folder, stem) >= (int)sizeof path ||
      snprintf(expect, sizeof expect, "%s/%s.expect", folder, stem) >= (int)sizeof expect)
    abort();
  eb_context *context = eb_context_new(NULL);
  if (!context)
    abort();
  eb_status status = eb_house_read_file(context, path, NULL, &house);
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  bool good = expected(expect, status, all, count) && names_file(all, count, path) &&
              (status == EB_OK) == (house != untouched);
  if (!report(good, stem))
    show(status, all, count);
  eb_context_free(context);
}

static int by_name(const void *a, const void *b) {
  return strcmp(*(char *const *)a, *(char *const *)b);
}

/* Every X.yaml of the folder, in the order of their names. */
static void check_folder(const char *folder) {
  enum { MOST = 1000 };
  static char *stems[MOST];
  size_t count = 0;
  DIR *list = opendir(folder);
  for (struct dirent *entry; list && (entry = readdir(list)) != NULL && count < MOST;) {
    size_t length = strlen(entry->d_name);
    if (length > 5 && strcmp(entry->d_name + length - 5, ".yaml") == 0) {
      stems[count] = strdup(entry->d_name);
      if (!stems[count])
        abort();
      stems[count++][length - 5] = '\0';
    }
  }
  if (list)
    closedir(list);
  qsort(stems, count, sizeof *stems, by_name);
  for (size_t i = 0; i < count; i++) {
    check_kept(folder, stems[i]);
    free(stems[i]);
  }
  report(count > 50, "there are files to read");
}

/* ---- Files that are made ----------------------------------------------- */

/* Reading it must end with the status and say something with the code first. */
static void check_bytes(const char *name, const char *bytes, size_t length, eb_status wanted,
                        const char *code) {
  eb_house *house = NULL;
  size_t count = 0;
  eb_context *context = eb_context_new(NULL);
  if (!context)
    abort();
  eb_status status = eb_house_read(context, name, bytes, length, NULL, &house);
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  bool good = status == wanted && house == NULL && count > 0 && strcmp(all[0].code, code) == 0 &&
              all[0].line > 0 && all[0].column > 0;
  if (!report(good, name))
    show(status, all, count < 5 ? count : 5);
  eb_context_free(context);
}

static char *repeated(const char *head, const char *unit, size_t times, size_t *length) {
  size_t n = strlen(unit), from = strlen(head);
  char *text = malloc(from + n * times + 1);
  if (!text)
    abort();
  memcpy(text, head, from + 1);
  for (size_t i = 0; i < times; i++)
    memcpy(text + from + i * n, unit, n + 1);
  *length = from + n * times;
  return text;
}

static void check_repeated(const char *name, const char *head, const char *unit, size_t times,
                           eb_status wanted, const char *code) {
  size_t length;
  char *text = repeated(head, unit, times, &length);
  check_bytes(name, text, length, wanted, code);
  free(text);
}

/* Each line doubles what the line before stands for. */
static void check_aliases(void) {
  static char text[8192];
  size_t used = (size_t)snprintf(text, sizeof text, "a0: &a0 [x, y]\n");
  for (int i = 1; i < 40; i++)
    used += (size_t)snprintf(text + used, sizeof text - used, "a%d: &a%d [*a%d, *a%d]\n", i, i,
                             i - 1, i - 1);
  check_bytes("a billion laughs", text, used, EB_E_LIMIT, "too-many-values");
}

/* Knuth's 64-bit linear congruential generator (MMIX; constants from memory). */
static void check_random(unsigned long long seed, bool printable, const char *name) {
  size_t length = (size_t)1 << 20;
  char *bytes = malloc(length);
  if (!bytes)
    abort();
  for (size_t i = 0; i < length; i++) {
    seed = seed * 6364136223846793005u + 1442695040888963407u;
    unsigned byte = (unsigned)(seed >> 56);
    bytes[i] = (char)(printable ? 32 + byte % 95 : byte);
  }
  check_bytes(name, bytes, length, EB_E_SYNTAX, printable ? "name-long" : "encoding");
  free(bytes);
}

/* ---- What is no file --------------------------------------------------- */

static void check_path(const char *name, const char *path, eb_status wanted, const char *code,
                       const char *part) {
  eb_house *house = NULL;
  size_t count = 0;
  eb_context *context = eb_context_new(NULL);
  if (!context)
    abort();
  eb_status status = eb_house_read_file(context, path, NULL, &house);
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  bool good = status == wanted && house == NULL && count == 1 && strcmp(all[0].code, code) == 0 &&
              strstr(all[0].message, part) != NULL;
  if (!report(good, name))
    show(status, all, count);
  eb_context_free(context);
}

static void check_paths(void) {
  char folder[] = "/tmp/evenbreath-bad-XXXXXX", path[128];
  if (!mkdtemp(folder))
    abort();
  check_path("a folder", folder, EB_E_FILE, "file", "it is a folder");
  check_path("/dev/null", "/dev/null", EB_E_SYNTAX, "empty", "empty");
  check_path("no such file", "/nonexistent/house.yaml", EB_E_FILE, "file", "no such file");
  check_path("an empty path", "", EB_E_FILE, "file", "no such file");
  snprintf(path, sizeof path, "%s/pipe", folder);
  if (mkfifo(path, 0600) != 0)
    abort();
  check_path("a pipe nobody writes to", path, EB_E_SYNTAX, "empty", "empty");
  unlink(path);
  snprintf(path, sizeof path, "%s/circle", folder);
  if (symlink(path, path) != 0)
    abort();
  check_path("a symbolic link to itself", path, EB_E_FILE, "file", "circle");
  unlink(path);
  snprintf(path, sizeof path, "%s/locked", folder);
  int handle = open(path, O_CREAT | O_WRONLY, 0);
  if (handle < 0)
    abort();
  close(handle);
  if (geteuid() != 0) /* root reads everything */
    check_path("a file one may not read", path, EB_E_FILE, "file", "may not read");
  unlink(path);
  rmdir(folder);
  check_path("an endless file", "/dev/zero", EB_E_LIMIT, "too-large", "64 MB");
}

int main(int count, char **words) {
  const char *source = getenv("srcdir");
  char folder[4096];
  snprintf(folder, sizeof folder, "%s/tests/bad", source ? source : ".");
  check_folder(count > 1 ? words[1] : folder);
  check_bytes("no bytes at all", "", 0, EB_E_SYNTAX, "empty");
  check_repeated("20000 brackets", "a: ", "[", 20000, EB_E_LIMIT, "too-deep");
  check_repeated("20000 braces", "a: ", "{a: ", 20000, EB_E_LIMIT, "too-deep");
  check_repeated("20000 dashes", "a:\n", "- ", 20000, EB_E_LIMIT, "too-deep");
  check_repeated("20000 question marks", "", "? ", 20000, EB_E_LIMIT, "too-deep");
  check_repeated("5000000 values", "a: [", "1,", 5000000, EB_E_LIMIT, "too-many-values");
  check_repeated("more than 64 MB", "a: ", "0123456789abcdef", (size_t)4 << 20, EB_E_LIMIT,
                 "too-large");
  check_aliases();
  check_random(20261, false, "1 MB of random bytes");
  check_random(777, true, "1 MB of random text");
  check_paths();
  printf("1..%d\n", n_checks);
  return n_failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
