/* compare_run.c - a run's duct, tubes, fittings and valve in words
 *
 * Pressures and flows in them are as one writes them in a file, in Pa and l/s.
 */

#include "design/compare.h"

#include <stdio.h>

#include "base/text.h"

static const char *checked(ebi_comparing *c, const char *text) {
  c->failed = c->failed || text == NULL;
  return text;
}

/* Where the file leaves the size open: what was chosen, if anything was. */
static const char *chosen_duct(const eb_ducts *ducts, const char *run) {
  const eb_sizes *sizes = ducts != NULL ? ducts->sizes : NULL;
  for (size_t i = 0; sizes != NULL && i < sizes->n_runs; i++)
    if (ebi_text_equal(sizes->runs[i].run, run))
      return sizes->runs[i].duct;
  return NULL;
}

const char *ebi_compare_duct_text(ebi_comparing *c, size_t house, const void *item) {
  const ebi_run *run = item;
  if (run->sized)
    return run->duct.name;
  const char *chosen = chosen_duct(c->inputs[house].ducts, run->name);
  return chosen != NULL
             ? chosen
             : checked(c, ebi_arena_format(c->scratch, "%s of any size", run->duct_family));
}

const char *ebi_compare_tubes_text(ebi_comparing *c, size_t house, const void *item) {
  const eb_compare_input *in = &c->inputs[house];
  size_t number = (size_t)((const ebi_run *)item - in->house->runs);
  return checked(c, ebi_arena_format(c->scratch, "%d", ebi_compare_tubes(in, number)));
}

/* "2 x bend-90", "zeta 1.2", "8 Pa at 13 l/s" */
static const char *fitting_text(ebi_comparing *c, const ebi_run_fitting *fitting) {
  char times[16] = "";
  ebi_arena *arena = c->scratch;
  if (fitting->count != 1)
    snprintf(times, sizeof times, "%d x ", fitting->count);
  if (fitting->fitting == NULL)
    return fitting->coefficient.given
               ? ebi_arena_format(arena, "%szeta %.6g", times, fitting->coefficient.value)
               : ebi_arena_format(arena, "%s%.6g Pa at %.6g l/s", times, fitting->drop.value,
                                  1e3 * fitting->at.value);
  const char *text = ebi_arena_format(arena, "%s%s", times, fitting->fitting->entry.name);
  if (text != NULL && fitting->radius.given)
    text = ebi_arena_format(arena, "%s of radius %.6g", text, fitting->radius.value);
  if (text != NULL && fitting->angle.given)
    text = ebi_arena_format(arena, "%s of %.6g deg", text, fitting->angle.value);
  if (text != NULL && fitting->to.given)
    text = ebi_arena_format(arena, "%s to %.6g mm", text, 1e3 * fitting->to.value);
  return text;
}

const char *ebi_compare_fittings_text(ebi_comparing *c, size_t house, const void *item) {
  const ebi_run *run = item;
  const char *text = NULL;
  (void)house;
  for (size_t f = 0; f < run->n_fittings && !c->failed; f++) {
    const char *one = fitting_text(c, &run->fittings[f]);
    text = checked(
        c, one == NULL || text == NULL ? one : ebi_arena_format(c->scratch, "%s, %s", text, one));
  }
  return text;
}

const char *ebi_compare_valve_text(ebi_comparing *c, size_t house, const void *item) {
  const ebi_run_valve *valve = &((const ebi_run *)item)->valve;
  (void)house;
  if (valve->type == NULL)
    return NULL;
  const char *text = valve->type->entry.name, *unit = valve->type->opening_unit;
  ebi_arena *arena = c->scratch;
  if (valve->two_position)
    text = checked(c, ebi_arena_format(arena, "%s, two positions: %.6g and %.6g %s", text,
                                       valve->normal.value, valve->boost.value, unit));
  if (text != NULL && valve->opening.given)
    text = checked(c, ebi_arena_format(arena, "%s at %.6g %s", text, valve->opening.value, unit));
  if (text != NULL && valve->restrictor_drop.given)
    text = checked(c, ebi_arena_format(arena, "%s, restrictor %.6g Pa at %.6g l/s", text,
                                       valve->restrictor_drop.value,
                                       1e3 * valve->restrictor_at.value));
  return text;
}
