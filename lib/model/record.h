/* record.h - what a completed record holds beside readings: one list for reading and showing */

#ifndef EBI_RECORD_H
#define EBI_RECORD_H

#include "base/diag.h"

typedef enum ebi_record_kind { EBI_RECORD_TEXT, EBI_RECORD_YES_NO, EBI_RECORD_DAY } ebi_record_kind;

/* In the order of record_fields.def. */
typedef enum ebi_record_field {
#define RECORD(name, section, key, label, kind, required) EBI_RECORD_##name,
#define RECORD_SECTION(name, about)
#define RECORD_END
#include "model/record_fields.def"
#undef RECORD
#undef RECORD_SECTION
#undef RECORD_END
  EBI_RECORD_FIELDS
} ebi_record_field;

typedef struct ebi_record_info {
  const char *section, *key, *label;
  ebi_record_kind kind;
  bool required; /* by Approved Document F volume 1 (England, 2021), Appendix C */
} ebi_record_info;

const ebi_record_info *ebi_record_info_of(ebi_record_field field);

/* Texts as written; NULL where not said. */
typedef struct ebi_record_values {
  bool given;
  const char *value[EBI_RECORD_FIELDS];
  ebi_where where;
} ebi_record_values;

#endif
