/* record.c - the fields of a record */

#include "model/record.h"

const ebi_record_info *ebi_record_info_of(ebi_record_field field) {
  static const ebi_record_info list[] = {
#define RECORD(name, section, key, label, kind, required)                                          \
  {section, key, label, EBI_RECORD_##kind, required},
#define RECORD_SECTION(name, about)
#define RECORD_END
#include "model/record_fields.def"
#undef RECORD
#undef RECORD_SECTION
#undef RECORD_END
  };
  return &list[field];
}
