#include "json.h"

#include <math.h>
#include <stdatomic.h>
#include <stdlib.h>

/* jansson keeps its allocator for the whole process, so for all threads; so does the
 * memory of whether it ever failed. */
static atomic_bool failed;

static void *allocate(size_t size) {
  void *memory = malloc(size);
  if (!memory)
    failed = true;
  return memory;
}

void json_start(void) {
  json_set_alloc_funcs(allocate, free);
}

bool json_complete(void) {
  return !failed;
}

void json_put(json_t *object, const char *key, json_t *value) {
  (void)!json_object_set_new(object, key, value);
}

void json_add(json_t *array, json_t *value) {
  (void)!json_array_append_new(array, value);
}

void json_put_text(json_t *object, const char *key, const char *text) {
  if (text)
    json_put(object, key, json_string(text));
}

void json_put_number(json_t *object, const char *key, double value) {
  json_put(object, key, isfinite(value) ? json_real(value) : json_null());
}

bool json_write(const json_t *value, FILE *out) {
  if (json_dumpf(value, out, JSON_INDENT(2) | JSON_REAL_PRECISION(12)) != 0)
    return false;
  return fputc('\n', out) != EOF && json_complete();
}

/* Of many lines: made in memory, which is faster than token by token into the stream. */
bool json_write_line(const json_t *value, FILE *out) {
  char *text = json_dumps(value, JSON_COMPACT | JSON_REAL_PRECISION(12));
  bool good = text && fputs(text, out) != EOF && fputc('\n', out) != EOF;
  free(text);
  return good && json_complete();
}
