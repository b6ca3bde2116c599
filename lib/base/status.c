/* status.c - the sentences of the statuses */

#include "evenbreath.h"

const char *eb_status_text(eb_status status) {
  switch (status) {
#define SENTENCE(name, code, slug, sentence)                                                       \
  case name:                                                                                       \
    return sentence;
    EB_STATUS_LIST(SENTENCE)
#undef SENTENCE
  case EB_STATUS_END_:
    break;
  }
  return "no such status";
}
