/* json.h - the few shapes our JSON is made of, on jansson
 *
 * jansson's functions accept NULL where an earlier one failed, so that only
 * the end has to look whether memory ever ran out (json_complete). */

#ifndef CLI_JSON_H
#define CLI_JSON_H

#include <jansson.h>
#include <stdbool.h>
#include <stdio.h>

/* To be called once before anything else. */
void json_start(void);

/* False once an allocation of jansson has failed. */
bool json_complete(void);

/* Each takes `value` over, also on failure. */
void json_put(json_t *object, const char *key, json_t *value);
void json_add(json_t *array, json_t *value);

/* NULL text is left out. */
void json_put_text(json_t *object, const char *key, const char *text);

/* A number that is not finite becomes null. */
void json_put_number(json_t *object, const char *key, double value);

/* Writes the value indented, numbers with at most 12 significant digits. */
bool json_write(const json_t *value, FILE *out);

/* The same numbers, all on one line. */
bool json_write_line(const json_t *value, FILE *out);

#endif
