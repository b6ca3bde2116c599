/* tree_pairs.c - the keys of a mapping: unique, plain words, well separated
 *
 * YAML reads {a:1} as the key "a:1" without a value, and {flow: 8,5 l/s} as
 * flow: 8 and a key "5 l/s". People who write that mean something else. */

#include "input/tree_build.h"

#include <string.h>

#include "input/quote.h"

static void wrong(ebi_builder *builder, const ebi_yaml *node, const char *code, const char *text) {
  builder->wrong = true;
  ebi_diag(builder->context, EB_ERROR, code, node->where, NULL, "%s", text);
}

static bool is_empty(const ebi_yaml *value) {
  return value->kind == EBI_YAML_SCALAR && !value->quoted && value->length == 0;
}

/* False for a key that cannot be one. */
static bool key_allowed(ebi_builder *builder, const ebi_yaml *key) {
  if (key->kind != EBI_YAML_SCALAR)
    wrong(builder, key, "key-kind", "a key must be a word, not a mapping or a list");
  else if (key->length == 0)
    wrong(builder, key, "key-empty", "a key is missing before the colon");
  else if (!key->quoted && strcmp(key->text, "<<") == 0)
    wrong(builder, key, "merge-key",
          "<< (merging) is not read here: write the keys out, or use an alias as a whole value");
  else
    return true;
  return false;
}

/* A new scalar that covers source bytes [from.start + skip, to.end). */
static ebi_yaml *part(ebi_builder *builder, const ebi_yaml *from, size_t skip, size_t length) {
  ebi_yaml *node = EBI_NEW(builder->arena, ebi_yaml);
  char *text = node ? ebi_arena_text_n(builder->arena, from->text + skip, length) : NULL;
  if (!text) {
    builder->status = EB_E_MEMORY;
    return NULL;
  }
  *node = *from;
  node->where.column += (int)skip; /* plain ASCII up to here: see split_colon */
  node->start += skip;
  node->end = node->start + length;
  node->text = text;
  node->length = length;
  return node;
}

/* {a:1}: says so and goes on with a and 1. */
static void split_colon(ebi_builder *builder, ebi_yaml_pair *pair) {
  const char *colon = strchr(pair->key->text, ':');
  size_t before = (size_t)(colon - pair->key->text);
  builder->wrong = true;
  ebi_yaml *key = part(builder, pair->key, 0, before);
  ebi_yaml *value = part(builder, pair->key, before + 1, pair->key->length - before - 1);
  if (!key || !value)
    return;
  ebi_diag(builder->context, EB_ERROR, "colon-blank", pair->key->where, NULL,
           "\"%s\" has no blank after its colon: write \"%s: %s\"", ebi_quote(pair->key->text).text,
           ebi_quote(key->text).text, ebi_quote(value->text).text);
  value->key = key->text;
  *pair = (ebi_yaml_pair){key, value};
}

static bool all_digits(const ebi_yaml *value) {
  if (value->kind != EBI_YAML_SCALAR || value->quoted || value->length == 0)
    return false;
  size_t sign = value->text[0] == '-' || value->text[0] == '+';
  return value->length > sign && strspn(value->text + sign, "0123456789") == value->length - sign;
}

/* True for the two halves of a number with a decimal comma in a flow mapping. */
static bool is_comma_split(const ebi_yaml *left, const ebi_yaml_pair *pair) {
  const ebi_yaml *right = pair->key;
  return all_digits(left) && right->kind == EBI_YAML_SCALAR && !right->quoted &&
         right->text[0] >= '0' && right->text[0] <= '9' && is_empty(pair->value) &&
         left->end + 1 == right->start;
}

/* Joins them again, so that whoever reads the value sees "8,5 l/s". */
static void join_comma(ebi_builder *builder, ebi_yaml_pair *previous, const ebi_yaml *right) {
  const ebi_yaml *left = previous->value;
  ebi_yaml *node = EBI_NEW(builder->arena, ebi_yaml);
  char *text = node ? ebi_arena_array(builder->arena, left->length + right->length + 2, 1) : NULL;
  if (!text) {
    builder->status = EB_E_MEMORY;
    return;
  }
  memcpy(text, left->text, left->length);
  text[left->length] = ',';
  memcpy(text + left->length + 1, right->text, right->length);
  *node = *left;
  node->text = text;
  node->length = left->length + 1 + right->length;
  node->end = right->end;
  previous->value = node;
}

/* Takes one pair into pairs[0..count); returns the new count. */
static size_t take_pair(ebi_builder *builder, bool flow, ebi_yaml_pair *pairs, size_t count,
                        ebi_yaml_pair pair) {
  if (flow && count > 0 && is_comma_split(pairs[count - 1].value, &pair)) {
    join_comma(builder, &pairs[count - 1], pair.key);
    return count;
  }
  if (!key_allowed(builder, pair.key))
    return count;
  const char *colon = strchr(pair.key->text, ':');
  if (flow && !pair.key->quoted && is_empty(pair.value) && colon && colon > pair.key->text)
    split_colon(builder, &pair);
  pairs[count] = pair;
  return count + 1;
}

static void report_twice(ebi_builder *builder, const ebi_yaml *key, const ebi_yaml *first) {
  builder->wrong = true;
  ebi_diag(builder->context, EB_ERROR, "key-duplicate", key->where, NULL,
           "the key \"%s\" is given twice: first at line %d, again at line %d",
           ebi_quote(key->text).text, first->where.line, key->where.line);
}

/* The pair among pairs[0..count) with that key: looked through where there are
 * few, else by `names`. */
static size_t find_key(const ebi_names *names, const ebi_yaml_pair *pairs, size_t count,
                       const char *key) {
  if (names->count)
    return ebi_names_find(names, key);
  for (size_t i = 0; i < count; i++)
    if (strcmp(pairs[i].key->text, key) == 0)
      return i;
  return EBI_NO_NAME;
}

/* Drops every later pair with the same key; returns how many are left. */
static size_t drop_twice(ebi_builder *builder, ebi_yaml_pair *pairs, size_t count) {
  enum { FEW = 12 };
  ebi_names names = {0};
  size_t kept = 0;
  for (size_t i = 0; i < count; i++) {
    size_t first = find_key(&names, pairs, kept, pairs[i].key->text);
    if (first != EBI_NO_NAME) {
      report_twice(builder, pairs[i].key, pairs[first].key);
      continue;
    }
    if (count > FEW && !ebi_names_set(&names, builder->scratch, pairs[i].key->text, kept)) {
      builder->status = EB_E_MEMORY;
      return kept;
    }
    pairs[kept++] = pairs[i];
  }
  return kept;
}

void ebi_tree_pairs(ebi_builder *builder, const ebi_frame *frame, ebi_yaml **children,
                    size_t count) {
  ebi_yaml_pair *pairs = EBI_NEW_ARRAY(builder->arena, ebi_yaml_pair, count / 2);
  if (!pairs) {
    builder->status = EB_E_MEMORY;
    return;
  }
  size_t kept = 0;
  for (size_t i = 0; i + 1 < count; i += 2)
    kept =
        take_pair(builder, frame->flow, pairs, kept, (ebi_yaml_pair){children[i], children[i + 1]});
  if (builder->status == EB_OK)
    kept = drop_twice(builder, pairs, kept);
  frame->node->pairs = pairs;
  frame->node->count = kept;
}
