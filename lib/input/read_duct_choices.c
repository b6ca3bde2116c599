/* read_duct_choices.c - the ducts that a run without a size may be made of
 *
 *   duct: steel                                 every size of a family
 *   duct: [steel-125, steel-160, flat-220x90]   these, of any family
 *
 * Where the run says what height there is, those that are higher outside are left out. */

#include <string.h>

#include "input/house_read.h"
#include "input/quote.h"
#include "model/duct.h"

double ebi_duct_height(const ebi_duct_size *size) {
  return (size->shape == EBI_ROUND ? size->bore : size->height) + 2 * size->wall;
}

/* ---- A list ------------------------------------------------------------ */

/* Adds those of one entry of the list; each once. */
static bool add(ebi_reader *reader, const ebi_yaml *entry, ebi_duct_size **all, size_t *count,
                size_t *room, const ebi_duct_size *more, size_t n_more) {
  for (size_t i = 0; i < n_more; i++) {
    bool known = false;
    for (size_t k = 0; k < *count && !known; k++)
      known = strcmp((*all)[k].name, more[i].name) == 0;
    if (known)
      continue;
    if (!ebi_arena_grow(reader->arena, all, room, *count, sizeof **all)) {
      ebi_read_memory(reader, entry);
      return false;
    }
    (*all)[(*count)++] = more[i];
  }
  return true;
}

void ebi_duct_choices_read(ebi_reader *reader, const ebi_yaml *list, ebi_run *run) {
  ebi_duct_size *all = NULL;
  size_t count = 0, room = 0;
  if (list->count == 0)
    ebi_read_error(reader, list, "value-missing",
                   "an empty list of ducts to choose from: write [steel-125, steel-160], or a "
                   "family");
  for (size_t i = 0; i < list->count; i++) {
    const ebi_yaml *entry = list->items[i];
    ebi_run one = {.duct_family = ""};
    if (entry->kind == EBI_YAML_SEQUENCE) {
      ebi_read_error(reader, entry, "kind-wrong", "a list of ducts holds ducts, not further lists");
      continue;
    }
    ebi_duct_read(reader, entry, &one);
    if (!add(reader, entry, &all, &count, &room, one.sized ? &one.duct : one.choices,
             one.sized ? 1 : one.n_choices))
      return;
    if (count > 0)
      run->duct_family = all[0].family;
    run->duct.flexible = run->duct.flexible || one.duct.flexible;
  }
  run->choices = all;
  run->n_choices = count;
}

/* ---- What is left to choose from --------------------------------------- */

/* By area; of equal ones as they stand. */
static void sort(ebi_duct_size *sizes, size_t count) {
  for (size_t i = 1; i < count; i++) {
    ebi_duct_size size = sizes[i];
    size_t at = i;
    for (; at > 0 && ebi_duct_section(&sizes[at - 1]).area > ebi_duct_section(&size).area; at--)
      sizes[at] = sizes[at - 1];
    sizes[at] = size;
  }
}

static const ebi_duct_size *lowest(const ebi_run *run) {
  const ebi_duct_size *low = &run->choices[0];
  for (size_t i = 1; i < run->n_choices; i++)
    if (ebi_duct_height(&run->choices[i]) < ebi_duct_height(low))
      low = &run->choices[i];
  return low;
}

/* Rounding of mm must not leave a duct out. */
#define HEIGHT_SLACK 1e-9

static bool fits(const ebi_duct_size *size, const ebi_given *height) {
  return !height->given || ebi_duct_height(size) <= height->value + HEIGHT_SLACK;
}

static void too_high(ebi_reader *reader, const ebi_yaml *mapping, const ebi_run *run) {
  const ebi_yaml *where = ebi_yaml_get(mapping, "height_at_most");
  if (run->sized) {
    ebi_diag(reader->context, EB_WARNING, "duct-height", run->height_at_most.where, NULL,
             "there are %.12g mm for the duct of run %s, but %s is %.12g mm high outside",
             1e3 * run->height_at_most.value, run->name, run->duct.name,
             1e3 * ebi_duct_height(&run->duct));
    return;
  }
  const ebi_duct_size *low = lowest(run);
  ebi_read_error(reader, where, "duct-height",
                 "there are %.12g mm for the duct, but the lowest to choose from, %s, is %.12g mm "
                 "high outside",
                 1e3 * run->height_at_most.value, low->name, 1e3 * ebi_duct_height(low));
}

void ebi_duct_choices_settle(ebi_reader *reader, const ebi_yaml *mapping, ebi_run *run) {
  size_t count = 0;
  if (run->sized && run->parallel_at_most > 1) { /* its number is to be chosen */
    run->choices = &run->duct;
    run->n_choices = 1;
    run->duct_family = run->duct.family;
    run->sized = false;
  } else if (run->sized) {
    if (!fits(&run->duct, &run->height_at_most))
      too_high(reader, mapping, run);
    return;
  }
  ebi_duct_size *left = ebi_read_array(reader, mapping, run->n_choices, sizeof *left);
  for (size_t i = 0; left && i < run->n_choices; i++)
    if (fits(&run->choices[i], &run->height_at_most))
      left[count++] = run->choices[i];
  if (left && count == 0 && run->n_choices > 0)
    too_high(reader, mapping, run);
  sort(left, count);
  run->choices = left;
  run->n_choices = count;
}
