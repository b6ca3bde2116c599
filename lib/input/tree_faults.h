/* tree_faults.h - the parser's complaints in plain words */

#ifndef EBI_TREE_FAULTS_H
#define EBI_TREE_FAULTS_H

#include <yaml.h>

#include "input/tree_scan.h"

/* Records what stopped the parser. */
void ebi_tree_fault(eb_context *context, const char *name, const yaml_parser_t *parser,
                    ebi_cursor *cursor);

#endif
