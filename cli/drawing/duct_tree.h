/* duct_tree.h - the runs of one kind of air as rows of a drawing, from the unit outward
 *
 * Each run has a row of its own in the band of a storey; where runs meet there is a track, an
 * upright line from which the runs further out turn off to their rows. No two tracks lie on
 * each other. */

#ifndef CLI_DRAWING_DUCT_TREE_H
#define CLI_DRAWING_DUCT_TREE_H

#include "evenbreath.h"

#define TREE_UNIT ((size_t)-1) /* instead of a run: the unit itself */
#define TREE_NO_ROOM ((size_t)-1)

typedef struct tree_run {
  size_t run;        /* of the house; TREE_UNIT in a house without ducts */
  size_t parent;     /* the run before it on the way from the unit */
  const char *outer; /* name of its end away from the unit */
  bool leaf;         /* nothing goes on there */
  size_t room;       /* of a leaf; TREE_NO_ROOM: outdoors, or a junction that closes a ring */
  size_t band, row;  /* counted from the unit outward */
  size_t order;      /* of its row among all rows of the tree */
  size_t last;       /* order of the last row that turns off its track */
  size_t track;      /* from 0, away from the border of the drawing; not of a leaf */
  bool index;        /* on the way to the index run */
} tree_run;

typedef struct duct_tree {
  tree_run *runs; /* parents before their children */
  size_t count;
  size_t *rows;                   /* of each band */
  size_t n_bands, n_tracks, last; /* last: row that turns off the unit's own track, 0 */
} duct_tree;

/* Bands of rooms by their storeys, the highest first. */
typedef struct tree_bands {
  int *storeys;
  size_t n_storeys, count;
  bool merged; /* all storeys in one band, where ducts go to and fro between them too often */
} tree_bands;

/* Each is false where memory runs out; free them either way. */
bool tree_bands_of(const eb_rates *rates, tree_bands *bands);
bool duct_tree_of(const eb_rates *rates, const eb_ducts *ducts, const tree_bands *bands, eb_air air,
                  const char *index_run, duct_tree *tree);

/* Of a house without ducts: a row for each room that is supplied (else extracted). */
bool duct_tree_of_rooms(const eb_rates *rates, const tree_bands *bands, bool supply,
                        duct_tree *tree);

/* All rooms in one band. */
void tree_bands_merge(tree_bands *bands);
void tree_bands_free(tree_bands *bands);
void duct_tree_free(duct_tree *tree);

/* The rightmost track that has something in the row of that order; its own too. */
size_t duct_tree_tracks_at(const duct_tree *tree, size_t order);

#endif
