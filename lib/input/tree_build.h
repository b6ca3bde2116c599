/* tree_build.h - the tree while it is being built: shared by tree*.c */

#ifndef EBI_TREE_BUILD_H
#define EBI_TREE_BUILD_H

#include "input/names.h"
#include "input/tree_scan.h"

/* What an anchor stands for. */
typedef struct ebi_anchor {
  ebi_yaml *node;
  size_t nodes; /* with every alias in it expanded */
  int height;   /* mappings and lists within one another, 0 for a scalar */
} ebi_anchor;

/* A mapping or sequence that is still open. */
typedef struct ebi_frame {
  ebi_yaml *node;
  const char *anchor; /* NULL: none */
  bool flow;          /* written with braces or brackets */
  size_t first;       /* its children on the stack start here */
  size_t nodes_before;
  int height;
} ebi_frame;

typedef struct ebi_builder {
  eb_context *context;
  ebi_arena *arena, *scratch;
  const char *name;
  ebi_cursor cursor;
  size_t offset; /* of the parsed bytes in the document: a byte order mark */
  ebi_frame frames[EBI_TREE_DEPTH];
  int depth;
  ebi_yaml **stack; /* children of all open frames */
  size_t stack_count, stack_capacity;
  ebi_names anchor_names;
  ebi_anchor *anchors;
  size_t n_anchors, anchor_capacity;
  size_t nodes;
  size_t last_end; /* byte where the last finished value ends */
  ebi_yaml *root;
  bool wrong;       /* something was reported that does not stop the reading */
  eb_status status; /* what stops it */
} ebi_builder;

/* Makes the pairs of a mapping from `count` children, key and value in turn. */
void ebi_tree_pairs(ebi_builder *builder, const ebi_frame *frame, ebi_yaml **children,
                    size_t count);

#endif
