/* methods.h - the formulas and rules of procedure that --explain names, with range and source */

#ifndef CLI_METHODS_H
#define CLI_METHODS_H

#include <jansson.h>
#include <stdbool.h>
#include <stdio.h>

/* True where `name` is a group of methods or one of them; NULL is all of them. */
bool methods_known(const char *name);

/* As text to `out`, or as the list `methods` of an object. */
void methods_text(const char *name, FILE *out);
void methods_json(const char *name, json_t *object);

#endif
