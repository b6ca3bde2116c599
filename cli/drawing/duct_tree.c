/* duct_tree.c - which run gets which row and which track */

#include "drawing/duct_tree.h"

#include <stdlib.h>
#include <string.h>

/* ---- Storeys ---- */

bool tree_bands_of(const eb_rates *rates, tree_bands *bands) {
  *bands = (tree_bands){.storeys = calloc(rates->n_rooms + 1, sizeof *bands->storeys)};
  for (size_t r = 0; bands->storeys && r < rates->n_rooms; r++) {
    int storey = rates->rooms[r].storey;
    size_t at = 0;
    while (at < bands->count && bands->storeys[at] > storey)
      at++;
    if (at < bands->count && bands->storeys[at] == storey)
      continue;
    memmove(&bands->storeys[at + 1], &bands->storeys[at],
            (bands->count - at) * sizeof *bands->storeys);
    bands->storeys[at] = storey;
    bands->n_storeys = ++bands->count;
  }
  return bands->storeys != NULL;
}

void tree_bands_merge(tree_bands *bands) {
  bands->merged = true;
  bands->count = 1;
}

void tree_bands_free(tree_bands *bands) {
  free(bands->storeys);
}

static size_t band_of(const tree_bands *bands, int storey) {
  size_t band = 0;
  while (!bands->merged && bands->storeys[band] != storey)
    band++;
  return band;
}

/* ---- Which run hangs on which ---- */

/* What is needed while it grows. */
typedef struct growth {
  duct_tree *tree;
  const eb_rates *rates;
  const eb_ducts *ducts;
  const tree_bands *bands;
  eb_air air;
  bool *taken; /* runs of the house */
} growth;

static size_t room_named(const eb_rates *rates, const char *name) {
  for (size_t r = 0; r < rates->n_rooms; r++)
    if (strcmp(rates->rooms[r].name, name) == 0)
      return r;
  return TREE_NO_ROOM;
}

static bool reached(const duct_tree *tree, const char *place) {
  if (strcmp(place, "unit") == 0)
    return true;
  for (size_t i = 0; i < tree->count; i++)
    if (strcmp(tree->runs[i].outer, place) == 0)
      return true;
  return false;
}

/* Takes a run whose inner end is where the parent's outer end is. */
static void add_run(growth *g, size_t run, size_t parent, const char *outer) {
  size_t room = room_named(g->rates, outer);
  bool end = room != TREE_NO_ROOM || strcmp(outer, "outdoors") == 0;
  bool ring = !end && reached(g->tree, outer);
  g->taken[run] = true;
  g->tree->runs[g->tree->count++] =
      (tree_run){.run = run, .parent = parent, .outer = outer, .leaf = end || ring, .room = room};
}

static void add_runs_at(growth *g, size_t parent, const char *place) {
  for (size_t i = 0; i < g->ducts->n_runs; i++) {
    const eb_run_info *info = &g->ducts->runs[i];
    if (info->air != g->air || g->taken[i])
      continue;
    if (strcmp(info->from, place) == 0)
      add_run(g, i, parent, info->to);
    else if (strcmp(info->to, place) == 0)
      add_run(g, i, parent, info->from);
  }
}

static void grow(growth *g) {
  add_runs_at(g, TREE_UNIT, "unit");
  for (size_t i = 0; i < g->tree->count; i++)
    if (!g->tree->runs[i].leaf)
      add_runs_at(g, i, g->tree->runs[i].outer);
}

static void mark_index(duct_tree *tree, const eb_ducts *ducts, const char *index_run) {
  for (size_t i = tree->count; i-- > 0;) {
    tree_run *run = &tree->runs[i];
    run->index = run->index || strcmp(ducts->runs[run->run].name, index_run) == 0;
    if (run->index && run->parent != TREE_UNIT)
      tree->runs[run->parent].index = true;
  }
}

/* ---- Bands and rows ---- */

/* A junction lies in the first band that its runs lead to, a ring's end in that of its parent. */
static void set_bands(growth *g) {
  duct_tree *tree = g->tree;
  const size_t open = (size_t)-1;
  for (size_t i = 0; i < tree->count; i++) {
    tree_run *run = &tree->runs[i];
    run->band =
        run->room == TREE_NO_ROOM ? open : band_of(g->bands, g->rates->rooms[run->room].storey);
    if (run->leaf && run->room == TREE_NO_ROOM && strcmp(run->outer, "outdoors") == 0)
      run->band = 0;
  }
  for (size_t i = tree->count; i-- > 0;) {
    size_t parent = tree->runs[i].parent;
    if (parent != TREE_UNIT && tree->runs[i].band < tree->runs[parent].band)
      tree->runs[parent].band = tree->runs[i].band;
  }
  for (size_t i = 0; i < tree->count; i++) {
    tree_run *run = &tree->runs[i];
    if (run->band == open)
      run->band = run->parent == TREE_UNIT ? 0 : tree->runs[run->parent].band;
  }
}

static void give_row(duct_tree *tree, size_t i, size_t *order) {
  tree_run *run = &tree->runs[i];
  run->row = tree->rows[run->band]++;
  run->order = run->last = (*order)++;
}

/* Those of its parent's runs that lie in the band: junctions that come from before it, so that
 * they are done with first, then ends, then junctions that begin here. */
static void give_rows_at(duct_tree *tree, size_t parent, size_t band, size_t *order) {
  for (int turn = 0; turn < 3; turn++)
    for (size_t i = 0; i < tree->count; i++) {
      tree_run *run = &tree->runs[i];
      if (run->parent != parent || run->band > band)
        continue;
      bool before = !run->leaf && run->band < band, begins = !run->leaf && run->band == band;
      if (turn != (before ? 0 : begins ? 2 : 1) || (run->leaf && run->band != band))
        continue;
      if (!before)
        give_row(tree, i, order);
      if (!run->leaf)
        give_rows_at(tree, i, band, order);
    }
}

static void give_rows(duct_tree *tree) {
  size_t order = 0;
  for (size_t band = 0; band < tree->n_bands; band++)
    give_rows_at(tree, TREE_UNIT, band, &order);
  for (size_t i = 0; i < tree->count; i++) {
    const tree_run *run = &tree->runs[i];
    size_t *last = run->parent == TREE_UNIT ? &tree->last : &tree->runs[run->parent].last;
    *last = run->order > *last ? run->order : *last;
  }
}

/* ---- Tracks ---- */

static bool track_free(const duct_tree *tree, size_t number, size_t track) {
  const tree_run *run = &tree->runs[number];
  for (size_t i = 0; i < number; i++) {
    const tree_run *other = &tree->runs[i];
    /* A run that goes on along its parent's track begins where that ends. */
    if (!other->leaf && other->track == track && i != run->parent && other->order <= run->last &&
        run->order <= other->last)
      return false;
  }
  return true;
}

/* The last run that turns off a track may go on along it. */
static void give_tracks(duct_tree *tree) {
  for (size_t i = 0; i < tree->count; i++) {
    tree_run *run = &tree->runs[i];
    if (run->leaf)
      continue;
    bool unit = run->parent == TREE_UNIT;
    size_t last = unit ? tree->last : tree->runs[run->parent].last;
    size_t track = unit ? 0 : tree->runs[run->parent].track;
    track += run->order == last ? 0 : 1;
    while (!track_free(tree, i, track))
      track++;
    run->track = track;
    tree->n_tracks = track + 1 > tree->n_tracks ? track + 1 : tree->n_tracks;
  }
}

size_t duct_tree_tracks_at(const duct_tree *tree, size_t order) {
  size_t most = 0;
  for (size_t i = 0; i < tree->count; i++) {
    const tree_run *run = &tree->runs[i];
    if (!run->leaf && run->order <= order && order <= run->last && run->track > most)
      most = run->track;
  }
  return most;
}

/* ---- The whole ---- */

static bool start(duct_tree *tree, size_t most_runs, size_t n_bands) {
  *tree = (duct_tree){.runs = calloc(most_runs + 1, sizeof *tree->runs),
                      .rows = calloc(n_bands + 1, sizeof *tree->rows),
                      .n_bands = n_bands,
                      .n_tracks = 1};
  return tree->runs && tree->rows;
}

bool duct_tree_of(const eb_rates *rates, const eb_ducts *ducts, const tree_bands *bands, eb_air air,
                  const char *index_run, duct_tree *tree) {
  growth g = {.tree = tree, .rates = rates, .ducts = ducts, .bands = bands, .air = air};
  g.taken = calloc(ducts->n_runs + 1, sizeof *g.taken);
  bool good = start(tree, ducts->n_runs, bands->count) && g.taken;
  if (good) {
    grow(&g);
    mark_index(tree, ducts, index_run);
    set_bands(&g);
    give_rows(tree);
    give_tracks(tree);
  }
  free(g.taken);
  return good;
}

bool duct_tree_of_rooms(const eb_rates *rates, const tree_bands *bands, bool supply,
                        duct_tree *tree) {
  growth g = {.tree = tree, .rates = rates, .bands = bands};
  if (!start(tree, rates->n_rooms, bands->count))
    return false;
  for (size_t r = 0; r < rates->n_rooms; r++)
    if (supply ? rates->rooms[r].supply != NULL : rates->rooms[r].extract != NULL)
      tree->runs[tree->count++] = (tree_run){.run = TREE_UNIT,
                                             .parent = TREE_UNIT,
                                             .outer = rates->rooms[r].name,
                                             .leaf = true,
                                             .room = r};
  set_bands(&g);
  give_rows(tree);
  return true;
}

void duct_tree_free(duct_tree *tree) {
  free(tree->runs);
  free(tree->rows);
  *tree = (duct_tree){0};
}
