/* match_json.c - does a JSON text hold what is expected of it?
 *
 *   match_json EXPECTED ACTUAL
 *
 * Every member of EXPECTED must stand in ACTUAL: numbers within 1e-6 relative
 * or the tolerance of an expected {"about": NUMBER, "within": NUMBER}, text and
 * the rest exactly. An expected list of objects with "name" (of findings: with
 * "code") is matched by it, any other list item by item. ACTUAL may hold more. */

#include <jansson.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

static bool matches(const char *path, const json_t *expected, const json_t *actual);

static bool complain(const char *path, const char *problem) {
  printf("%s: %s\n", path, problem);
  return false;
}

static bool near(const char *path, double expected, double actual, double within) {
  double limit = within >= 0 ? within : 1e-6 * fabs(expected) + 1e-12;
  if (fabs(expected - actual) <= limit)
    return true;
  printf("%s: expected %.12g, found %.12g (off by %.3g, allowed %.3g)\n", path, expected, actual,
         actual - expected, limit);
  return false;
}

static bool object_matches(const char *path, const json_t *expected, const json_t *actual) {
  bool good = true;
  const char *key;
  json_t *value;
  if (!json_is_object(actual))
    return complain(path, "no object");
  json_object_foreach((json_t *)(size_t)expected, key, value) {
    char below[512];
    snprintf(below, sizeof below, "%s.%s", path, key);
    json_t *found = json_object_get(actual, key);
    good = (found ? matches(below, value, found) : complain(below, "missing")) && good;
  }
  return good;
}

/* What an item of a list is known by, or NULL. */
static const char *name_of(const json_t *item) {
  const char *name = json_string_value(json_object_get(item, "name"));
  return name ? name : json_string_value(json_object_get(item, "code"));
}

static const json_t *named(const json_t *list, const char *name) {
  size_t i;
  json_t *item;
  json_array_foreach(list, i, item) {
    const char *found = name_of(item);
    if (found && strcmp(found, name) == 0)
      return item;
  }
  return NULL;
}

static bool list_matches(const char *path, const json_t *expected, const json_t *actual) {
  bool good = true;
  size_t i;
  json_t *value;
  json_array_foreach(expected, i, value) {
    char below[512];
    const char *name = name_of(value);
    const json_t *found = name ? named(actual, name) : json_array_get(actual, i);
    if (name)
      snprintf(below, sizeof below, "%s[%s]", path, name);
    else
      snprintf(below, sizeof below, "%s[%zu]", path, i);
    good = (found ? matches(below, value, found) : complain(below, "missing")) && good;
  }
  return good;
}

static bool matches(const char *path, const json_t *expected, const json_t *actual) {
  const json_t *about = json_object_get(expected, "about");
  if (about)
    return near(path, json_number_value(about), json_number_value(actual),
                json_number_value(json_object_get(expected, "within")));
  if (json_is_object(expected))
    return object_matches(path, expected, actual);
  if (json_is_array(expected))
    return list_matches(path, expected, actual);
  if (json_is_number(expected))
    return json_is_number(actual)
               ? near(path, json_number_value(expected), json_number_value(actual), -1)
               : complain(path, "no number");
  return json_equal(expected, actual) || complain(path, "differs");
}

static json_t *load(const char *path) {
  json_error_t error;
  json_t *value = json_load_file(path, 0, &error);
  if (!value)
    printf("%s:%d: %s\n", path, error.line, error.text);
  return value;
}

int main(int argc, char **argv) {
  if (argc != 3)
    return 2;
  json_t *expected = load(argv[1]), *actual = load(argv[2]);
  bool good = expected && actual && matches("$", expected, actual);
  json_decref(expected);
  json_decref(actual);
  return good ? 0 : 1;
}
