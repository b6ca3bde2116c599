/* override.c - "PATH=VALUE" acts on a tree before it is understood
 *
 * Nodes may be shared by aliases, so nothing is changed in place: the nodes on
 * the way are copied, and the document gets a new root. */

#include <string.h>

#include "base/text.h"
#include "input/quote.h"
#include "input/tree.h"

typedef struct one_change {
  eb_context *context;
  ebi_arena *arena;
  const char *text;   /* the whole override; its name in diagnostics too */
  size_t path_length; /* up to the = */
  const ebi_yaml *value;
  eb_status status;
} one_change;

static ebi_where at(const one_change *change, size_t offset) {
  return (ebi_where){change->text, 1, (int)offset + 1};
}

/* The first `length` bytes of a part of the path, for messages. */
static ebi_quoted part_text(one_change *change, size_t from, size_t length) {
  char *text = ebi_arena_text_n(change->arena, change->text + from, length);
  if (!text)
    change->status = EB_E_MEMORY;
  return ebi_quote(text ? text : "");
}

static const ebi_yaml *apply(one_change *change, const ebi_yaml *node, size_t from);

/* Length of the path's part that starts at `from`, dots ending it. */
static size_t part_length(const one_change *change, size_t from) {
  size_t length = 0;
  while (from + length < change->path_length && change->text[from + length] != '.')
    length++;
  return length;
}

/* True where the path goes on with `name` as a whole part (names may hold dots). */
static bool part_is(const one_change *change, size_t from, const char *name) {
  size_t length = strlen(name);
  return length > 0 && from + length <= change->path_length &&
         memcmp(change->text + from, name, length) == 0 &&
         (from + length == change->path_length || change->text[from + length] == '.');
}

/* What stands after a part: the end, or one past the dot. */
static size_t after(const one_change *change, size_t end) {
  return end < change->path_length ? end + 1 : end;
}

static void *copy_of(one_change *change, const void *array, size_t count, size_t size,
                     size_t room) {
  void *copy = ebi_arena_array(change->arena, room, size);
  if (!copy)
    change->status = EB_E_MEMORY;
  else if (count)
    memcpy(copy, array, count * size);
  return copy;
}

/* ---- Mappings ---------------------------------------------------------- */

/* The pair with the longest key that the path goes on with; count where none. */
static size_t find_pair(const one_change *change, const ebi_yaml *mapping, size_t from) {
  size_t best = mapping->count;
  for (size_t i = 0; i < mapping->count; i++) {
    const ebi_yaml *key = mapping->pairs[i].key;
    if (part_is(change, from, key->text) &&
        (best == mapping->count || key->length > mapping->pairs[best].key->length))
      best = i;
  }
  return best;
}

static ebi_yaml *new_scalar(one_change *change, size_t from, size_t length) {
  ebi_yaml *node = EBI_NEW(change->arena, ebi_yaml);
  char *text = ebi_arena_text_n(change->arena, change->text + from, length);
  if (!node || !text) {
    change->status = EB_E_MEMORY;
    return NULL;
  }
  *node = (ebi_yaml){
      .kind = EBI_YAML_SCALAR, .where = at(change, from), .text = text, .length = length};
  return node;
}

static const ebi_yaml *in_mapping(one_change *change, const ebi_yaml *mapping, size_t from) {
  size_t found = find_pair(change, mapping, from);
  bool is_new = found == mapping->count;
  size_t length = is_new ? part_length(change, from) : mapping->pairs[found].key->length;
  ebi_yaml *copy = copy_of(change, mapping, 1, sizeof *mapping, 1);
  ebi_yaml_pair *pairs =
      copy_of(change, mapping->pairs, mapping->count, sizeof *pairs, mapping->count + 1);
  if (!copy || !pairs)
    return NULL;
  if (is_new) {
    pairs[found].key = new_scalar(change, from, length);
    pairs[found].value = NULL;
    copy->count++;
  }
  if (change->status != EB_OK)
    return NULL;
  const ebi_yaml *value = apply(change, pairs[found].value, after(change, from + length));
  if (!value)
    return NULL;
  pairs[found].value = value;
  copy->pairs = pairs;
  return copy;
}

/* ---- Lists ------------------------------------------------------------- */

/* A number from 1, or 0 for another word. */
static size_t number_of(const one_change *change, size_t from, size_t length) {
  size_t number = 0;
  for (size_t i = 0; i < length; i++) {
    char digit = change->text[from + i];
    if (digit < '0' || digit > '9' || number > 1000000)
      return 0;
    number = number * 10 + (size_t)(digit - '0');
  }
  return number;
}

/* The item whose `run:` the path names (the longest), or by its number. */
static size_t find_item(const one_change *change, const ebi_yaml *list, size_t from,
                        size_t *length) {
  size_t best = list->count;
  *length = 0;
  for (size_t i = 0; i < list->count; i++) {
    const ebi_yaml *run = ebi_yaml_get(list->items[i], "run");
    if (run && run->kind == EBI_YAML_SCALAR && run->length > *length &&
        part_is(change, from, run->text)) {
      best = i;
      *length = run->length;
    }
  }
  if (best < list->count)
    return best;
  *length = part_length(change, from);
  size_t number = number_of(change, from, *length);
  return number >= 1 && number <= list->count ? number - 1 : list->count;
}

static void no_item(one_change *change, const ebi_yaml *list, size_t from, size_t length) {
  const char **names = EBI_NEW_ARRAY(change->arena, const char *, list->count);
  char *wanted = ebi_arena_text_n(change->arena, change->text + from, length);
  size_t count = 0;
  if (!names || !wanted) {
    change->status = EB_E_MEMORY;
    return;
  }
  for (size_t i = 0; i < list->count; i++) {
    const ebi_yaml *run = ebi_yaml_get(list->items[i], "run");
    if (run && run->kind == EBI_YAML_SCALAR)
      names[count++] = run->text;
  }
  const char *nearest = ebi_text_nearest(wanted, names, count);
  change->status = EB_E_INPUT;
  ebi_diag(change->context, EB_ERROR, "override", at(change, from), NULL,
           "the list of %zu has no item \"%s\"%s%s%s", list->count, ebi_quote(wanted).text,
           nearest ? "; did you mean \"" : ": give its run or its number from 1",
           nearest ? ebi_quote(nearest).text : "", nearest ? "\"?" : "");
}

static const ebi_yaml *in_list(one_change *change, const ebi_yaml *list, size_t from) {
  size_t length = 0;
  size_t found = find_item(change, list, from, &length);
  if (found == list->count) {
    no_item(change, list, from, length);
    return NULL;
  }
  ebi_yaml *copy = copy_of(change, list, 1, sizeof *list, 1);
  const ebi_yaml **items = copy_of(change, list->items, list->count, sizeof *items, list->count);
  if (!copy || !items)
    return NULL;
  items[found] = apply(change, items[found], after(change, from + length));
  copy->items = items;
  return items[found] ? copy : NULL;
}

/* ---- The way to the value ---------------------------------------------- */

/* The node with the change in it; `node` NULL where nothing is there yet. */
static const ebi_yaml *apply(one_change *change, const ebi_yaml *node, size_t from) {
  static const ebi_yaml nothing = {.kind = EBI_YAML_MAPPING};
  if (from >= change->path_length)
    return change->value;
  if (part_length(change, from) == 0) {
    change->status = EB_E_INPUT;
    ebi_diag(change->context, EB_ERROR, "override", at(change, from), NULL,
             "a name is missing in the path");
    return NULL;
  }
  if (!node || (node->kind == EBI_YAML_SCALAR && node->length == 0)) {
    ebi_yaml *made = copy_of(change, &nothing, 1, sizeof nothing, 1);
    if (!made)
      return NULL;
    made->where = at(change, from);
    return in_mapping(change, made, from);
  }
  if (node->kind == EBI_YAML_MAPPING)
    return in_mapping(change, node, from);
  if (node->kind == EBI_YAML_SEQUENCE)
    return in_list(change, node, from);
  change->status = EB_E_INPUT;
  ebi_diag(change->context, EB_ERROR, "override", at(change, from), NULL,
           "\"%s\" is the single value \"%s\" and has nothing called \"%s\" in it",
           part_text(change, 0, from ? from - 1 : 0).text, ebi_quote(node->text).text,
           part_text(change, from, change->path_length - from).text);
  return NULL;
}

/* ---- The value --------------------------------------------------------- */

/* A list or mapping in the flow form, read as the value of a key "v" with as
 * many blanks before it as put it in its column. */
static const ebi_yaml *flow_value(one_change *change, size_t from) {
  int blanks = from > 3 ? (int)from - 2 : 1;
  char *yaml = ebi_arena_format(change->arena, "v:%*s%s", blanks, "", change->text + from);
  ebi_document document = {0};
  if (!yaml) {
    change->status = EB_E_MEMORY;
    return NULL;
  }
  change->status = ebi_document_parse(change->context, change->arena, change->text, yaml,
                                      strlen(yaml), &document);
  return change->status == EB_OK ? ebi_yaml_get(document.root, "v") : NULL;
}

/* The key a value stands under is the last part of its path. */
static const char *last_key(one_change *change) {
  size_t from = change->path_length;
  while (from > 0 && change->text[from - 1] != '.')
    from--;
  char *key = ebi_arena_text_n(change->arena, change->text + from, change->path_length - from);
  if (!key)
    change->status = EB_E_MEMORY;
  return key;
}

static void read_value(one_change *change) {
  size_t from = change->path_length + 1;
  from += strspn(change->text + from, " ");
  size_t length = strlen(change->text + from);
  while (length > 0 && change->text[from + length - 1] == ' ')
    length--;
  char first = change->text[from];
  if (first == '[' || first == '{') {
    change->value = flow_value(change, from);
    return;
  }
  ebi_yaml *value = new_scalar(change, from, length);
  const char *key = last_key(change);
  if (value)
    value->key = key;
  change->value = value;
}

static eb_status reject(eb_context *context, const char *text, size_t bad, const char *message) {
  ebi_diag(context, EB_ERROR, "override", (ebi_where){text, 1, (int)bad + 1}, NULL, "%s", message);
  return EB_E_INPUT;
}

/* How many names the path has. */
static size_t depth_of(const char *path, const char *end) {
  size_t depth = 1;
  for (; path < end; path++)
    depth += *path == '.';
  return depth;
}

eb_status ebi_document_override(eb_context *context, ebi_arena *arena, ebi_document *document,
                                const char *override) {
  const char *equals = strchr(override, '=');
  size_t length = strlen(override);
  size_t bad = length;
  enum { LONGEST = 100000 };
  if (!equals || equals == override)
    return reject(context, override, 0,
                  "an override is written PATH=VALUE, for example "
                  "levels.boost.at_least=140%");
  if (depth_of(override, equals) > EBI_TREE_DEPTH || length > LONGEST)
    return reject(context, "an override", 0, "an override is too long or too deep");
  if (!ebi_text_utf8(override, length, &bad))
    return reject(context, "an override", bad, "an override must be valid UTF-8");
  one_change change = {.context = context,
                       .arena = arena,
                       .text = ebi_arena_text(arena, override),
                       .path_length = (size_t)(equals - override)};
  if (!change.text)
    return EB_E_MEMORY;
  read_value(&change);
  const ebi_yaml *root = change.status == EB_OK ? apply(&change, document->root, 0) : NULL;
  if (root)
    document->root = root;
  return root ? EB_OK : change.status;
}
