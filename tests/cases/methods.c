/* methods.c - the methods of all groups by name */

#include "methods.h"

#include <string.h>

static const case_method *const groups[] = {
#define METHODS(group) case_methods_##group,
#include "methods.def"
#undef METHODS
};
#define N_GROUPS (sizeof groups / sizeof groups[0])

const case_method *case_method_find(const char *name) {
  for (size_t i = 0; i < N_GROUPS; i++) {
    for (const case_method *method = groups[i]; method->name != NULL; method++) {
      if (strcmp(method->name, name) == 0)
        return method;
    }
  }
  return NULL;
}

void case_methods_list(FILE *to) {
  for (size_t i = 0; i < N_GROUPS; i++) {
    for (const case_method *method = groups[i]; method->name != NULL; method++)
      fprintf(to, "%s\n", method->name);
  }
}
