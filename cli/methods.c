/* methods.c - the formulas and rules of procedure that --explain names, with range and source */

#include "methods.h"

#include <string.h>

#include "evenbreath.h"
#include "json.h"
#include "wrapped.h"

static bool asked_for(const eb_formula *formula, const char *name) {
  return !name || strcmp(name, formula->group) == 0 || strcmp(name, formula->id) == 0;
}

bool methods_known(const char *name) {
  size_t count;
  const eb_formula *formulas = eb_formulas(&count);
  for (size_t i = 0; i < count; i++)
    if (asked_for(&formulas[i], name))
      return true;
  return false;
}

static void line(const char *label, const char *text, FILE *out) {
  static const size_t widths[] = {2, 7, 87};
  const char *cells[] = {"", label, text};
  if (*text)
    wrapped_row(cells, widths, 3, out);
}

static void entry(const eb_formula *formula, FILE *out) {
  static const char *const known[][2] = {{"read", "read in the source"},
                                         {"quoted", "as another text quotes it"},
                                         {"memory", "from memory"}};
  fprintf(out, "\n  %s\n", formula->id);
  line("is", formula->formula, out);
  line("holds", formula->validity, out);
  line("source", formula->source, out);
  for (size_t i = 0; i < sizeof known / sizeof known[0]; i++)
    if (strcmp(formula->known, known[i][0]) == 0)
      line("known", known[i][1], out);
}

void methods_text(const char *name, FILE *out) {
  size_t count;
  const eb_formula *formulas = eb_formulas(&count);
  const char *group = NULL;
  for (size_t i = 0; i < count; i++) {
    if (!asked_for(&formulas[i], name))
      continue;
    if (!group || strcmp(group, formulas[i].group) != 0)
      fprintf(out, "%sMethods of %s\n", group ? "\n" : "", formulas[i].group);
    group = formulas[i].group;
    entry(&formulas[i], out);
  }
}

void methods_json(const char *name, json_t *object) {
  size_t count;
  const eb_formula *formulas = eb_formulas(&count);
  json_t *array = json_array();
  for (size_t i = 0; i < count; i++) {
    if (!asked_for(&formulas[i], name))
      continue;
    json_t *one = json_object();
    json_put_text(one, "group", formulas[i].group);
    json_put_text(one, "id", formulas[i].id);
    json_put_text(one, "formula", formulas[i].formula);
    json_put_text(one, "validity", formulas[i].validity);
    json_put_text(one, "source", formulas[i].source);
    json_put_text(one, "known", formulas[i].known);
    json_add(array, one);
  }
  json_put(object, "methods", array);
}
