/* methods_roughness.c - roughness of the shipped tables of ducts, as case rows ask for it
 *
 * The tables are found through EVENBREATH_TABLES. A method is called "roughness." and the name of
 * its family. */

#include <string.h>

#include "input/load.h"
#include "methods.h"

static eb_status roughness_of(const char *duct, double *roughness) {
  eb_context *context = eb_context_new(NULL);
  ebi_arena *arena = context != NULL ? ebi_context_arena(context) : NULL;
  eb_status status = EB_E_MEMORY;
  if (arena != NULL) {
    ebi_reader reader = {.context = context, .arena = arena, .file = "case"};
    ebi_yaml value = {.kind = EBI_YAML_SCALAR, .text = duct, .length = strlen(duct)};
    ebi_run run = {.parallel = 1};
    ebi_duct_read(&reader, &value, &run);
    status = run.sized ? EB_OK : EB_E_TABLE;
    *roughness = run.duct.roughness;
  }
  eb_context_free(context);
  return status;
}

#define FAMILY(id, duct)                                                                           \
  static eb_status id(const double *in, int n_in, double *out) {                                   \
    (void)in;                                                                                      \
    (void)n_in;                                                                                    \
    return roughness_of(duct, out);                                                                \
  }

FAMILY(steel, "steel-125")
FAMILY(plastic, "plastic-125")
FAMILY(flexible, "flexible-125")

const case_method case_methods_roughness[] = {{"roughness.steel", 0, 1, steel},
                                              {"roughness.plastic", 0, 1, plastic},
                                              {"roughness.flexible", 0, 1, flexible},
                                              {NULL, 0, 0, NULL}};
