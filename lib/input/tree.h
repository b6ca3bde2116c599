/* tree.h - YAML bytes as a tree that remembers where everything stood
 *
 * Scalars stay text. Each node keeps its line and column and its byte span, so
 * that messages can point at it and text can be spliced without losing a
 * comment. Aliases are followed (within limits), `<<` is refused. */

#ifndef EBI_TREE_H
#define EBI_TREE_H

#include "base/context.h"

/* Limits, stated in the documents and tested at their edge. */
#define EBI_TREE_BYTES (64u << 20) /* of a file */
#define EBI_TREE_DEPTH 64          /* of nesting */
#define EBI_TREE_NODES 4000000u    /* counted with every alias expanded */

typedef enum ebi_yaml_kind { EBI_YAML_SCALAR, EBI_YAML_MAPPING, EBI_YAML_SEQUENCE } ebi_yaml_kind;

typedef struct ebi_yaml ebi_yaml;

typedef struct ebi_yaml_pair {
  const ebi_yaml *key; /* a scalar */
  const ebi_yaml *value;
} ebi_yaml_pair;

struct ebi_yaml {
  ebi_yaml_kind kind;
  ebi_where where;
  size_t start, end; /* byte span in the document; 0,0 for an override */
  const char *text;  /* scalar, ended by a NUL */
  size_t length;
  bool quoted;                  /* scalar written in quotes or as a block */
  const ebi_yaml_pair *pairs;   /* mapping */
  const ebi_yaml *const *items; /* sequence */
  size_t count;                 /* of pairs or items */
  const char *key;              /* the key it stands under, also through lists; NULL: none */
};

typedef struct ebi_document {
  const char *name;  /* as diagnostics call it */
  const char *bytes; /* kept in the arena */
  size_t length;
  int first_line;       /* of the bytes, set before they are parsed; 0 stands for 1 */
  const ebi_yaml *root; /* a mapping */
} ebi_document;

/* Parses one document into the arena. Every problem becomes a diagnostic:
 * EB_E_SYNTAX or EB_E_LIMIT; EB_E_MEMORY. UTF-8 with or without BOM, LF or
 * CRLF. The root must be a mapping; duplicate keys are refused with both lines.
 * After EB_E_SYNTAX the root is set where the text could be followed to its end
 * nevertheless, so that a reader can report its other problems too; else NULL. */
EB_MUST_USE eb_status ebi_document_parse(eb_context *context, ebi_arena *arena, const char *name,
                                         const void *bytes, size_t length, ebi_document *document);

/* Sets "PATH=VALUE" in the tree (levels.boost.at_least=140%, ducts.supply.s-bed1.length=8 m,
 * rooms.bed-1.area=12 m2). An item of a sequence is named by its `run:` or by its number
 * from 1. What is missing on the way is made. */
EB_MUST_USE eb_status ebi_document_override(eb_context *context, ebi_arena *arena,
                                            ebi_document *document, const char *override);

/* The value of a key, or NULL. */
const ebi_yaml *ebi_yaml_get(const ebi_yaml *mapping, const char *key);

/* A whole file ("-" standard input) into the arena. EB_E_FILE with a
 * diagnostic for a directory, an unreadable or a vanished file; EB_E_LIMIT. */
EB_MUST_USE eb_status ebi_file_read(eb_context *context, ebi_arena *arena, const char *path,
                                    const char **bytes, size_t *length);

#endif
