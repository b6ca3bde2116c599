/* evenbreath_schema.h - what may stand in a file, for editors
 *
 * A part of evenbreath.h, which includes it; do not include it alone.
 *
 * SPDX-License-Identifier: GPL-3.0-or-later */

#ifndef EVENBREATH_SCHEMA_H
#define EVENBREATH_SCHEMA_H

typedef enum eb_schema_kind {
  EB_SCHEMA_MAPPING, /* the keys of `members` and no others */
  EB_SCHEMA_NAMED,   /* a mapping with names for keys, each value as the one member */
  EB_SCHEMA_LIST,    /* of least to most items, each as the one member */
  EB_SCHEMA_ROW,     /* a list of at least `least` items, each as the member at its place */
  EB_SCHEMA_EITHER,  /* as one of `members` */
  EB_SCHEMA_TEXT,    /* not empty; with a pattern, matching that */
  EB_SCHEMA_WORD,    /* one of `words` */
  EB_SCHEMA_BOOL,    /* yes, no, true or false */
  EB_SCHEMA_NUMBER   /* without a unit, low to high */
} eb_schema_kind;

/* What a value may be. A number with its unit is a text with a pattern. */
typedef struct eb_schema {
  eb_schema_kind kind;
  const char *key;   /* as a member of a mapping, else NULL */
  const char *about; /* what it is, its unit and range; "" where there is nothing to say */
  bool required;     /* in its mapping */
  const struct eb_schema *members;
  size_t n_members;
  size_t least, most; /* of a list or of names; most 0: no limit */
  const char *const *words;
  size_t n_words;
  const char *pattern; /* a regular expression of ECMA 262, or NULL */
  double low, high;    /* of a number */
  bool whole;
} eb_schema;

/* What a file of this kind may hold: "house" or "readings". Made from the tables that files are
 * read by; freed with the context. EB_E_ARGUMENT for another kind. */
EB_MUST_USE eb_status eb_schema_of(eb_context *context, const char *file_kind,
                                   const eb_schema **schema);

#endif
