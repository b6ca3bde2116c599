/* write_check.c - that a text written back says what the house said, but for the changes */

#include <string.h>

#include "input/quote.h"
#include "input/write_back.h"
#include "input/write_value.h"

/* ---- Values that several places share ---------------------------------- */

/* The value of this key is replaced. */
static bool is_replaced(const ebi_writing *writing, const ebi_yaml *key) {
  const ebi_splices *splices = &writing->splices;
  size_t first = ebi_splices_after(splices, key->end);
  return first < splices->count && splices->items[first].key == key;
}

/* An alias to `target` that stays: nothing within it may change. */
static eb_status check_target(const ebi_writing *writing, const ebi_yaml *target, ebi_where at) {
  const ebi_splices *splices = &writing->splices;
  size_t first = ebi_splices_after(splices, target->start);
  if (first == splices->count || splices->items[first].start >= target->end)
    return EB_OK;
  ebi_diag(writing->context, EB_ERROR, "write", at, NULL,
           "the sizes cannot be written back: the value of \"%s\" here is an alias of what line %d "
           "says and would change with it; write it out",
           ebi_quote(target->key ? target->key : "").text, target->where.line);
  return EB_E_INPUT;
}

static eb_status check_node(const ebi_writing *writing, const ebi_yaml *node);

static eb_status check_child(const ebi_writing *writing, const ebi_yaml *child, size_t after,
                             ebi_where at) {
  return ebi_yaml_is_alias(child, after) ? check_target(writing, child, at)
                                         : check_node(writing, child);
}

static eb_status check_node(const ebi_writing *writing, const ebi_yaml *node) {
  eb_status worst = EB_OK;
  for (size_t i = 0; node->kind != EBI_YAML_SCALAR && i < node->count; i++) {
    eb_status status = EB_OK;
    if (node->kind == EBI_YAML_SEQUENCE)
      status = check_child(writing, node->items[i], node->start, node->where);
    else if (!is_replaced(writing, node->pairs[i].key))
      status = check_child(writing, node->pairs[i].value, node->pairs[i].key->end,
                           node->pairs[i].key->where);
    worst = worst == EB_OK ? status : worst;
  }
  return worst;
}

eb_status ebi_write_check_aliases(ebi_writing *writing) {
  return check_node(writing, writing->document.root);
}

/* ---- The text read again ----------------------------------------------- */

static bool same(const ebi_writing *writing, const ebi_yaml *a, const ebi_yaml *b);

static const ebi_write *write_of(const ebi_writing *writing, const ebi_yaml *mapping) {
  const ebi_yaml *run = ebi_yaml_get(mapping, "run");
  if (!run || run->kind != EBI_YAML_SCALAR)
    return NULL;
  size_t number = ebi_names_find(&writing->by_name, run->text);
  const ebi_write *write = number == EBI_NO_NAME ? NULL : &writing->writes[number];
  return write && write->mapping == mapping ? write : NULL;
}

/* What must stand in a mapping after the changes under a key that held `value`. */
static const ebi_yaml *due(const ebi_write *write, const char *key, const ebi_yaml *value) {
  if (write && write->duct && strcmp(key, "duct") == 0)
    return write->duct;
  return write && write->tubes && strcmp(key, "parallel") == 0 ? write->tubes : value;
}

static bool same_mapping(const ebi_writing *writing, const ebi_yaml *a, const ebi_yaml *b) {
  const ebi_write *write = write_of(writing, a);
  bool added = write && write->tubes && !ebi_yaml_get(a, "parallel");
  if (b->count != a->count + added)
    return false;
  for (size_t i = 0, j = 0; i < a->count; i++, j++) {
    const char *key = a->pairs[i].key->text;
    if (strcmp(key, b->pairs[j].key->text) != 0 ||
        !same(writing, due(write, key, a->pairs[i].value), b->pairs[j].value))
      return false;
    if (added && strcmp(key, "duct") == 0 &&
        (strcmp(b->pairs[++j].key->text, "parallel") != 0 ||
         !same(writing, write->tubes, b->pairs[j].value)))
      return false;
  }
  return true;
}

static bool same(const ebi_writing *writing, const ebi_yaml *a, const ebi_yaml *b) {
  if (a->kind != b->kind)
    return false;
  if (a->kind == EBI_YAML_MAPPING)
    return same_mapping(writing, a, b);
  if (a->kind == EBI_YAML_SCALAR)
    return a->length == b->length && memcmp(a->text, b->text, a->length) == 0;
  bool alike = a->count == b->count;
  for (size_t i = 0; alike && i < a->count; i++)
    alike = same(writing, a->items[i], b->items[i]);
  return alike;
}

eb_status ebi_write_check_text(ebi_writing *writing, const char *bytes, size_t length) {
  ebi_document document = {0};
  eb_status status = ebi_document_parse(writing->context, writing->scratch, writing->house->file,
                                        bytes, length, &document);
  if (status == EB_E_MEMORY ||
      (status == EB_OK && same(writing, writing->document.root, document.root)))
    return status;
  ebi_diag(writing->context, EB_ERROR, "write", writing->house->where, NULL,
           "the sizes cannot be put into this text without changing more of it: write the runs in "
           "one of the usual ways, {run: a, duct: steel, length: 3 m} or line by line");
  return EB_E_INPUT;
}
