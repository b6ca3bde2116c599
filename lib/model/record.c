/* record.c - the fields of a record */

#include "model/record.h"

const ebi_record_info *ebi_record_info_of(ebi_record_field field) {
  static const ebi_record_info list[] = {
#define RECORD(name, section, key, label, kind, required)                                          \
  {section, key, label, EBI_RECORD_##kind, required},
#include "model/record_fields.def"
#undef RECORD
  };
  return &list[field];
}
