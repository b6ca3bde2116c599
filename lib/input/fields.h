/* fields.h - mappings read by a table of their keys
 *
 * One list of keys per kind of mapping gives the reading, the checks, the
 * suggestions for unknown keys and the editor's schema (schema.c). All problems
 * are reported; reading goes on after each. */

#ifndef EBI_FIELDS_H
#define EBI_FIELDS_H

#include "input/tree.h"
#include "model/tables.h"

/* What every reading function is handed. */
typedef struct ebi_reader {
  eb_context *context;
  ebi_arena *arena; /* what is read lives here */
  const char *file; /* the file being read: paths are relative to its folder */
  void *record;     /* the whole thing being read (a house), for callbacks */
} ebi_reader;

typedef enum ebi_field_type {
  EBI_FIELD_QUANTITY, /* ebi_given; kind, low..high in SI inclusive */
  EBI_FIELD_COUNT,    /* ebi_given holding a whole number low..high */
  EBI_FIELD_TEXT,     /* const char *, not empty */
  EBI_FIELD_WORD,     /* const char *, one of `words` (the pointer from the list) */
  EBI_FIELD_BOOL,     /* bool: yes no true false */
  EBI_FIELD_MAPPING,  /* the keys of `of`, into what is at the offset */
  EBI_FIELD_CUSTOM,   /* read(reader, value, record); `holds` says what that takes */
  EBI_FIELD_IGNORED,  /* allowed, not read here (read elsewhere); `holds` likewise */
  /* The others only say what a value holds. */
  EBI_FIELD_NAMED,  /* a mapping whose keys are names, each value as `of` */
  EBI_FIELD_LIST,   /* each item as `of`, least to most of them */
  EBI_FIELD_EITHER, /* as one of `of` */
  EBI_FIELD_AT,     /* one quantity at another: 20 Pa at 8 l/s */
  EBI_FIELD_CURVE,  /* {columns: [...], points: [...]} of `columns` */
  EBI_FIELD_HEADS,  /* its columns alone */
  EBI_FIELD_POINTS, /* its points alone */
} ebi_field_type;

/* What a column of a curve must be: its kind and its range in SI, inclusive. */
typedef struct ebi_column {
  ebi_kind kind;
  double low, high;
  const char *what; /* "opening", "flow": for messages */
} ebi_column;

typedef struct ebi_field ebi_field;
struct ebi_field {
  const char *key;
  ebi_field_type type;
  bool required;
  size_t offset; /* in the record */
  ebi_kind kind;
  double low, high;
  const char *const *words; /* ended by NULL */
  void (*read)(ebi_reader *reader, const ebi_yaml *value, void *record);
  const char *about; /* one line for the documents and the schema */
  const char *what;  /* of MAPPING: "the frost protection", for messages */
  const ebi_field *of;
  size_t n_of;
  const ebi_field *holds;
  const char *pattern;       /* of TEXT: a regular expression, # stands for a number */
  size_t least, most;        /* of LIST; 0: no limit. Of a curve, the fewest columns */
  const ebi_column *columns; /* of CURVE, HEADS, POINTS; `words` of the first */
  size_t n_columns;
};

/* For field tables: the keys of a mapping, one thing that is held, several. */
#define EBI_TABLE(table) .of = (table), .n_of = sizeof(table) / sizeof((table)[0])
#define EBI_ONE(...) .of = &(const ebi_field){__VA_ARGS__}, .n_of = 1
#define EBI_SEVERAL(...)                                                                           \
  .of = (const ebi_field[]){__VA_ARGS__},                                                          \
  .n_of = sizeof((const ebi_field[]){__VA_ARGS__}) / sizeof(ebi_field)
#define EBI_COLUMNS_OF(table) .columns = (table), .n_columns = sizeof(table) / sizeof((table)[0])
#define EBI_HOLDS(...)                                                                             \
  .holds = &(const ebi_field) {                                                                    \
    __VA_ARGS__                                                                                    \
  }
#define EBI_HOLDS_TEXT EBI_HOLDS(.type = EBI_FIELD_TEXT)

/* A day and an opening of a valve, as texts; where a figure is from and how that is known. */
#define EBI_DAY_PATTERN "[0-9]{4}-[0-9]{2}-[0-9]{2}"
extern const ebi_field ebi_source_form, ebi_known_form;

/* Reads a mapping into `record`. `what` is "a room", "the unit", ...: for
 * messages. A node that is no mapping, unknown keys (with the nearest known
 * one), missing required keys and wrong values are errors. */
void ebi_fields_read(ebi_reader *reader, const ebi_yaml *mapping, const char *what,
                     const ebi_field *fields, size_t n_fields, void *record);

/* Single values. False (with an error recorded) where the text will not do. */
bool ebi_read_given(ebi_reader *reader, const ebi_yaml *value, ebi_kind kind, double low,
                    double high, ebi_given *given);
bool ebi_read_count(ebi_reader *reader, const ebi_yaml *value, double low, double high,
                    ebi_given *given);
bool ebi_read_text(ebi_reader *reader, const ebi_yaml *value, const char **text);
bool ebi_read_bool(ebi_reader *reader, const ebi_yaml *value, bool *flag);
bool ebi_read_word(ebi_reader *reader, const ebi_yaml *value, const char *const *words,
                   const char **word);

/* A list of words, or one word alone. */
bool ebi_read_texts(ebi_reader *reader, const ebi_yaml *value, const char *const **texts,
                    size_t *count);

/* {columns: [mm, l/s], points: [[2, 0.8], ...]}: `kinds` per column, the rows in
 * SI one after the other, the first column strictly rising. The unit texts of
 * the columns are returned where `units` is not NULL. A column of kind
 * EBI_NUMBER takes any unit text as its name. */
bool ebi_read_columns(ebi_reader *reader, const ebi_yaml *value, const ebi_kind *kinds,
                      size_t n_columns, const double **rows, size_t *n_rows,
                      const char *const **units);

/* The `source:` and `known:` keys of a mapping (source may be text or
 * {document, edition, at}); `known` must be one of read, quoted, memory,
 * invented. Missing ones are taken from `inherited`; errors where that is NULL. */
void ebi_read_source(ebi_reader *reader, const ebi_yaml *mapping, const ebi_source *inherited,
                     ebi_source *source);

/* Says that memory ran out: an error with the code "memory", by which whoever
 * started the reading knows to return EB_E_MEMORY. */
void ebi_read_memory(ebi_reader *reader, const ebi_yaml *node);

/* An array in the reader's arena; NULL after saying that memory ran out. */
void *ebi_read_array(ebi_reader *reader, const ebi_yaml *node, size_t count, size_t size);

/* An error at a node. */
#if defined __GNUC__
__attribute__((format(printf, 4, 5)))
#endif
void ebi_read_error(ebi_reader *reader, const ebi_yaml *node, const char *code,
                    const char *format, ...);

#endif
