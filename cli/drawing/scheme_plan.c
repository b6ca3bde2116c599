/* scheme_plan.c - columns, bands and rows of the air scheme */

#include "drawing/scheme_plan.h"

#include <math.h>
#include <stdlib.h>

static const double track_first = 8, track_step = 11, words = 80;
static const size_t most_tracks = 5; /* beyond that a band a storey is no help to the eye */

/* ---- What is shown ---- */

static const eb_level_state *level_shown(const eb_ducts *ducts) {
  for (size_t i = 0; i < ducts->n_levels; i++)
    if (ducts->levels[i].name == ducts->set_level)
      return &ducts->levels[i];
  return &ducts->levels[0];
}

double scheme_run_flow(const scheme_plan *plan, const tree_run *run) {
  return run->run == TREE_UNIT ? 0 : fabs(plan->level->runs[run->run].flow_m3_s);
}

double scheme_room_flow(const scheme_plan *plan, size_t room, bool supply) {
  if (plan->level) {
    const eb_room_state *state = &plan->level->rooms[room];
    return (supply ? state->supply : state->extract).delivered_m3_s;
  }
  const eb_room_rates *rates = &plan->rates->rooms[room];
  const eb_duty *duty = supply ? rates->supply : rates->extract;
  return duty ? duty[0].design_m3_s : 0;
}

static double most_flow(const scheme_plan *plan) {
  double most = 1e-9;
  for (int air = 0; air < 4; air++)
    for (size_t i = 0; i < plan->trees[air].count; i++)
      most = fmax(most, scheme_run_flow(plan, &plan->trees[air].runs[i]));
  for (size_t r = 0; !plan->level && r < plan->rates->n_rooms; r++)
    most = fmax(most, fmax(scheme_room_flow(plan, r, true), scheme_room_flow(plan, r, false)));
  return most;
}

/* ---- Trees ---- */

static bool grow_trees(scheme_plan *plan) {
  const eb_ducts *ducts = plan->ducts;
  if (!ducts)
    return duct_tree_of_rooms(plan->rates, &plan->bands, true, &plan->trees[EB_SUPPLY]) &&
           duct_tree_of_rooms(plan->rates, &plan->bands, false, &plan->trees[EB_EXTRACT]);
  for (int air = 0; air < 4; air++) {
    bool inside = air == EB_SUPPLY || air == EB_EXTRACT;
    const eb_side_state *side =
        scheme_right((eb_air)air) ? &plan->level->extract : &plan->level->supply;
    if (!duct_tree_of(plan->rates, ducts, inside ? &plan->bands : &plan->outside, (eb_air)air,
                      side->index_run, &plan->trees[air]))
      return false;
  }
  return true;
}

static size_t n_tracks(const scheme_plan *plan) {
  size_t most = 1;
  for (int air = 0; air < 4; air++)
    most = plan->trees[air].n_tracks > most ? plan->trees[air].n_tracks : most;
  return most;
}

static void fell_trees(scheme_plan *plan) {
  for (int air = 0; air < 4; air++)
    duct_tree_free(&plan->trees[air]);
}

static bool lay_out(scheme_plan *plan) {
  if (!grow_trees(plan))
    return false;
  if (n_tracks(plan) > most_tracks && plan->bands.count > 1) {
    fell_trees(plan);
    tree_bands_merge(&plan->bands);
    if (!grow_trees(plan))
      return false;
  }
  plan->step = fmin(track_step, (plan->tree - words) / (double)n_tracks(plan));
  return true;
}

/* ---- Where it lies ---- */

bool scheme_right(eb_air air) {
  return air == EB_EXTRACT || air == EB_EXHAUST;
}

double scheme_x(const scheme_plan *plan, eb_air air, double from_border) {
  return scheme_right(air) ? plan->width - from_border : from_border;
}

double scheme_track(const scheme_plan *plan, size_t track) {
  return track_first + (double)track * plan->step;
}

double scheme_row_y(const scheme_plan *plan, eb_air air, const tree_run *run) {
  double row = ((double)run->row + 0.5) * SCHEME_ROW;
  if (air == EB_OUTDOOR || air == EB_EXHAUST)
    return plan->unit - 6 - row;
  return plan->band[run->band] + SCHEME_BAND + row;
}

double scheme_unit_y(const scheme_plan *plan, eb_air air) {
  bool above = air == EB_OUTDOOR || air == EB_EXHAUST;
  return plan->unit + SCHEME_UNIT * (above ? 0.25 : 0.75);
}

static double rows(const scheme_plan *plan, eb_air left, eb_air right, size_t band) {
  const duct_tree *a = &plan->trees[left], *b = &plan->trees[right];
  size_t most = band < a->n_bands ? a->rows[band] : 0;
  if (band < b->n_bands && b->rows[band] > most)
    most = b->rows[band];
  return (double)most * SCHEME_ROW;
}

static void set_down(scheme_plan *plan) {
  double y = SCHEME_HEAD;
  plan->outdoors = plan->unit = y;
  if (plan->ducts) {
    y += rows(plan, EB_OUTDOOR, EB_EXHAUST, 0) + 6;
    plan->unit = y;
    y += SCHEME_UNIT + 10;
  }
  for (size_t i = 0; i < plan->bands.count; i++) {
    plan->band[i] = y;
    plan->band_height[i] = SCHEME_BAND + fmax(rows(plan, EB_SUPPLY, EB_EXTRACT, i), SCHEME_ROW) + 4;
    y += plan->band_height[i] + 6;
  }
  plan->legend = y + 6;
  plan->height = plan->legend + SCHEME_LEGEND;
}

bool scheme_plan_of(const cli_run *run, double width, scheme_plan *plan) {
  *plan = (scheme_plan){.rates = run->rates,
                        .ducts = run->ducts,
                        .level = run->ducts ? level_shown(run->ducts) : NULL,
                        .units = run->options->units,
                        .outside = {.count = 1},
                        .width = width,
                        .tree = 0.275 * width,
                        .room = 0.135 * width,
                        .middle = 0.18 * width};
  if (!tree_bands_of(run->rates, &plan->bands) || !lay_out(plan))
    return false;
  plan->band = calloc(plan->bands.count + 1, sizeof *plan->band);
  plan->band_height = calloc(plan->bands.count + 1, sizeof *plan->band_height);
  if (!plan->band || !plan->band_height)
    return false;
  set_down(plan);
  plan->most = most_flow(plan);
  return true;
}

void scheme_plan_free(scheme_plan *plan) {
  fell_trees(plan);
  tree_bands_free(&plan->bands);
  free(plan->band);
  free(plan->band_height);
}
