/* compare_ducts.c - rows of what is built: metres by family, fittings by kind
 *
 * Tubes side by side count each, with the fittings of each. What the layout
 * implies beside (couplings, reducers, tees) is in the list of parts. */

#include "design/compare.h"

#include <math.h>

#include "base/text.h"

#define OWN_DUCT "of the file's own"

int ebi_compare_tubes(const eb_compare_input *input, size_t run) {
  const ebi_run *written = &input->house->runs[run];
  return written->sized || input->ducts == NULL ? written->parallel
                                                : input->ducts->runs[run].parallel;
}

static const char *family_of(const ebi_run *run) {
  const char *family = run->sized ? run->duct.family : run->duct_family;
  return family == NULL || *family == '\0' ? OWN_DUCT : family;
}

/* Of one family; key NULL: of all. */
static ebi_compare_cell metres(const ebi_comparing *c, size_t house, const void *key) {
  const eb_compare_input *in = &c->inputs[house];
  double sum = 0.0;
  for (size_t i = 0; i < in->house->n_runs; i++)
    if (key == NULL || ebi_text_equal(family_of(&in->house->runs[i]), key))
      sum += in->house->runs[i].length * ebi_compare_tubes(in, i);
  return in->house->n_runs > 0 ? ebi_compare_known(sum) : ebi_compare_unknown;
}

static ebi_compare_cell drawn(const ebi_comparing *c, size_t house, const void *key) {
  const eb_compare_input *in = &c->inputs[house];
  double sum = 0.0;
  (void)key;
  for (size_t i = 0; i < in->house->n_runs; i++)
    for (size_t f = 0; f < in->house->runs[i].n_fittings; f++)
      sum += in->house->runs[i].fittings[f].count * ebi_compare_tubes(in, i);
  return in->house->n_runs > 0 ? ebi_compare_known(sum) : ebi_compare_unknown;
}

/* What is not a duct, the unit, or sold by length. */
static bool is_piece(const eb_part *part) {
  return ebi_text_equal(part->unit, "pieces") && !ebi_text_equal(part->kind, "duct") &&
         !ebi_text_equal(part->kind, "unit");
}

/* Pieces of one kind in the list of what to order. */
static ebi_compare_cell ordered(const ebi_comparing *c, size_t house, const void *key) {
  const eb_parts *parts = c->inputs[house].parts;
  double sum = 0.0;
  for (size_t i = 0; parts != NULL && i < parts->n_items; i++)
    if (is_piece(&parts->items[i]) && ebi_text_equal(parts->items[i].kind, key))
      sum += parts->items[i].quantity;
  return parts != NULL ? ebi_compare_known(sum) : ebi_compare_unknown;
}

static void gather(ebi_comparing *c, ebi_compare_names *families, ebi_compare_names *kinds) {
  for (size_t i = 0; i < c->n; i++) {
    const eb_house *house = c->inputs[i].house;
    const eb_parts *parts = c->inputs[i].parts;
    for (size_t r = 0; r < house->n_runs; r++)
      ebi_compare_name(c, families, family_of(&house->runs[r]));
    for (size_t p = 0; parts != NULL && p < parts->n_items; p++)
      if (is_piece(&parts->items[p]))
        ebi_compare_name(c, kinds, parts->items[p].kind);
  }
}

void ebi_compare_ducts(ebi_comparing *c) {
  static const ebi_compare_kind all_metres = {"ducts", EBI_COMPARE_LENGTH, EB_SENSE_LESS, metres};
  static const ebi_compare_kind some_metres = {"ducts", EBI_COMPARE_LENGTH, EB_SENSE_NONE, metres};
  static const ebi_compare_kind all_pieces = {"ducts", EBI_COMPARE_PIECES, EB_SENSE_LESS, drawn};
  static const ebi_compare_kind some_pieces = {"ducts", EBI_COMPARE_PIECES, EB_SENSE_NONE, ordered};
  ebi_compare_names families = {0}, kinds = {0};
  gather(c, &families, &kinds);
  ebi_compare_row(c, &all_metres, NULL, "duct in all");
  for (size_t i = 0; i < families.count; i++)
    ebi_compare_row(c, &some_metres, families.items[i], "duct, %s", families.items[i]);
  ebi_compare_row(c, &all_pieces, NULL, "fittings drawn in the runs");
  for (size_t i = 0; i < kinds.count; i++)
    ebi_compare_row(c, &some_pieces, kinds.items[i], "to order: %s", kinds.items[i]);
}
