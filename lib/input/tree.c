/* tree.c - YAML events become a tree that remembers where everything stood
 *
 * Only events are asked of the parser, so its own recursion never grows with
 * the text; nesting is held in a fixed stack of frames. */

#include "input/tree.h"

#include <string.h>
#include <yaml.h>

#include "input/quote.h"
#include "input/tree_build.h"
#include "input/tree_faults.h"

static ebi_where where_of(const ebi_builder *builder, yaml_mark_t mark) {
  return (ebi_where){builder->name, (int)mark.line + 1, (int)mark.column + 1};
}

/* Records what stops the reading. */
static void stop(ebi_builder *builder, eb_status status, yaml_mark_t mark, const char *code,
                 const char *text) {
  builder->status = status;
  ebi_diag(builder->context, EB_ERROR, code, where_of(builder, mark), NULL, "%s", text);
}

static size_t byte_of(ebi_builder *builder, yaml_mark_t mark) {
  return builder->offset + ebi_cursor_byte(&builder->cursor, mark.index);
}

static bool is_blank(char byte) {
  return byte == ' ' || byte == '\t' || byte == '\n' || byte == '\r';
}

/* Steps over "&anchor" and "!!str" before a value, so that a span holds the value alone. */
static void skip_properties(const ebi_builder *builder, ebi_yaml *node) {
  const char *bytes = builder->cursor.bytes - builder->offset;
  while (node->start < node->end && (bytes[node->start] == '&' || bytes[node->start] == '!')) {
    while (node->start < node->end && !is_blank(bytes[node->start]))
      node->start++;
    while (node->start < node->end && is_blank(bytes[node->start]))
      node->start++;
  }
}

/* The key that the next child stands under; NULL for a key itself. */
static const char *current_key(const ebi_builder *builder) {
  if (builder->depth == 0)
    return NULL;
  const ebi_frame *frame = &builder->frames[builder->depth - 1];
  if (frame->node->kind == EBI_YAML_SEQUENCE)
    return frame->node->key;
  if ((builder->stack_count - frame->first) % 2 == 0)
    return NULL;
  const ebi_yaml *key = builder->stack[builder->stack_count - 1];
  return key->kind == EBI_YAML_SCALAR ? key->text : NULL;
}

/* A new node; counts it. NULL when memory or a limit ran out. */
static ebi_yaml *new_node(ebi_builder *builder, ebi_yaml_kind kind, const yaml_event_t *event) {
  if (++builder->nodes > EBI_TREE_NODES) {
    stop(builder, EB_E_LIMIT, event->start_mark, "too-many-values",
         "the file holds more than 4000000 values");
    return NULL;
  }
  ebi_yaml *node = EBI_NEW(builder->arena, ebi_yaml);
  if (!node) {
    builder->status = EB_E_MEMORY;
    return NULL;
  }
  node->kind = kind;
  node->where = where_of(builder, event->start_mark);
  node->start = byte_of(builder, event->start_mark);
  node->end = byte_of(builder, event->end_mark);
  node->key = current_key(builder);
  return node;
}

/* Adds a finished child to the open frame, or makes it the root. */
static void add_child(ebi_builder *builder, ebi_yaml *node, int height) {
  if (builder->depth == 0) {
    builder->root = node;
    return;
  }
  ebi_frame *frame = &builder->frames[builder->depth - 1];
  if (frame->height < height + 1)
    frame->height = height + 1;
  if (!ebi_arena_grow(builder->scratch, &builder->stack, &builder->stack_capacity,
                      builder->stack_count, sizeof(ebi_yaml *)))
    builder->status = EB_E_MEMORY;
  else
    builder->stack[builder->stack_count++] = node;
}

static void add_anchor(ebi_builder *builder, const char *name, ebi_anchor anchor) {
  char *kept = ebi_arena_text(builder->scratch, name);
  if (!kept ||
      !ebi_arena_grow(builder->scratch, &builder->anchors, &builder->anchor_capacity,
                      builder->n_anchors, sizeof(ebi_anchor)) ||
      !ebi_names_set(&builder->anchor_names, builder->scratch, kept, builder->n_anchors)) {
    builder->status = EB_E_MEMORY;
    return;
  }
  builder->anchors[builder->n_anchors++] = anchor;
}

/* Tags are refused, except !!str on a scalar, which changes nothing. */
static bool tag_allowed(ebi_builder *builder, const yaml_char_t *tag, bool scalar,
                        yaml_mark_t mark) {
  if (!tag || (scalar && strcmp((const char *)tag, YAML_STR_TAG) == 0))
    return true;
  builder->wrong = true;
  ebi_diag(builder->context, EB_ERROR, "tag", where_of(builder, mark), NULL,
           "tags such as !!int are not read here: leave it out; put text that begins with ! "
           "in quotes");
  return false;
}

static void on_scalar(ebi_builder *builder, const yaml_event_t *event) {
  ebi_yaml *node = new_node(builder, EBI_YAML_SCALAR, event);
  if (!node)
    return;
  tag_allowed(builder, event->data.scalar.tag, true, event->start_mark);
  node->length = event->data.scalar.length;
  node->text =
      ebi_arena_text_n(builder->arena, (const char *)event->data.scalar.value, node->length);
  if (!node->text) {
    builder->status = EB_E_MEMORY;
    return;
  }
  node->quoted = event->data.scalar.style != YAML_PLAIN_SCALAR_STYLE;
  if (memchr(node->text, 0, node->length)) {
    stop(builder, EB_E_SYNTAX, event->start_mark, "control-character",
         "this text holds a NUL character (\\0)");
    return;
  }
  builder->last_end = node->end;
  skip_properties(builder, node);
  if (event->data.scalar.anchor)
    add_anchor(builder, (const char *)event->data.scalar.anchor, (ebi_anchor){node, 1, 0});
  if (builder->status == EB_OK)
    add_child(builder, node, 0);
}

static void on_open(ebi_builder *builder, const yaml_event_t *event) {
  bool mapping = event->type == YAML_MAPPING_START_EVENT;
  if (builder->depth == EBI_TREE_DEPTH) {
    stop(builder, EB_E_LIMIT, event->start_mark, "too-deep", "nested deeper than 64 levels");
    return;
  }
  const yaml_char_t *tag = mapping ? event->data.mapping_start.tag : event->data.sequence_start.tag;
  const yaml_char_t *anchor =
      mapping ? event->data.mapping_start.anchor : event->data.sequence_start.anchor;
  tag_allowed(builder, tag, false, event->start_mark);
  size_t before = builder->nodes;
  ebi_yaml *node = new_node(builder, mapping ? EBI_YAML_MAPPING : EBI_YAML_SEQUENCE, event);
  char *name = node && anchor ? ebi_arena_text(builder->scratch, (const char *)anchor) : NULL;
  if (!node || (anchor && !name)) {
    builder->status = builder->status == EB_OK ? EB_E_MEMORY : builder->status;
    return;
  }
  builder->frames[builder->depth++] =
      (ebi_frame){.node = node,
                  .anchor = name,
                  .flow = mapping ? event->data.mapping_start.style == YAML_FLOW_MAPPING_STYLE
                                  : event->data.sequence_start.style == YAML_FLOW_SEQUENCE_STYLE,
                  .first = builder->stack_count,
                  .nodes_before = before,
                  .height = 1};
}

/* A block ends where its last child ends: the mark of the end stands after
 * blank lines and comments that belong to what follows. */
static void set_end(ebi_builder *builder, const ebi_frame *frame, const yaml_event_t *event) {
  ebi_yaml *node = frame->node;
  node->end = frame->flow ? byte_of(builder, event->end_mark) : builder->last_end;
  builder->last_end = node->end;
  skip_properties(builder, node);
}

static void make_items(ebi_builder *builder, ebi_yaml *node, ebi_yaml **children, size_t count) {
  const ebi_yaml **items = EBI_NEW_ARRAY(builder->arena, const ebi_yaml *, count);
  if (!items) {
    builder->status = EB_E_MEMORY;
    return;
  }
  for (size_t i = 0; i < count; i++)
    items[i] = children[i];
  node->items = items;
  node->count = count;
}

static void on_close(ebi_builder *builder, const yaml_event_t *event) {
  ebi_frame frame = builder->frames[builder->depth - 1];
  size_t count = builder->stack_count - frame.first;
  ebi_yaml **children = count ? builder->stack + frame.first : NULL;
  set_end(builder, &frame, event);
  if (frame.node->kind == EBI_YAML_MAPPING)
    ebi_tree_pairs(builder, &frame, children, count);
  else
    make_items(builder, frame.node, children, count);
  builder->stack_count = frame.first;
  builder->depth--;
  if (builder->status == EB_OK && frame.anchor)
    add_anchor(builder, frame.anchor,
               (ebi_anchor){frame.node, builder->nodes - frame.nodes_before, frame.height});
  if (builder->status == EB_OK)
    add_child(builder, frame.node, frame.height);
}

static bool is_open(const ebi_builder *builder, const char *anchor) {
  for (int i = 0; i < builder->depth; i++)
    if (builder->frames[i].anchor && strcmp(builder->frames[i].anchor, anchor) == 0)
      return true;
  return false;
}

static void on_alias(ebi_builder *builder, const yaml_event_t *event) {
  const char *name = (const char *)event->data.alias.anchor;
  size_t number = ebi_names_find(&builder->anchor_names, name);
  builder->last_end = byte_of(builder, event->end_mark);
  if (is_open(builder, name)) {
    stop(builder, EB_E_SYNTAX, event->start_mark, "alias-loop", "this alias stands within itself");
  } else if (number == EBI_NO_NAME) {
    builder->status = EB_E_SYNTAX;
    ebi_diag(builder->context, EB_ERROR, "alias-unknown", where_of(builder, event->start_mark),
             NULL, "no anchor &%s stands before this alias", ebi_quote(name).text);
  } else {
    const ebi_anchor *anchor = &builder->anchors[number];
    builder->nodes += anchor->nodes;
    if (builder->nodes > EBI_TREE_NODES)
      stop(builder, EB_E_LIMIT, event->start_mark, "too-many-values",
           "with its aliases written out the file holds more than 4000000 values");
    else if (builder->depth + anchor->height > EBI_TREE_DEPTH)
      stop(builder, EB_E_LIMIT, event->start_mark, "too-deep",
           "with this alias written out, nested deeper than 64 levels");
    else
      add_child(builder, anchor->node, anchor->height);
  }
}

static void on_document(ebi_builder *builder, const yaml_event_t *event) {
  if (builder->root)
    stop(builder, EB_E_SYNTAX, event->start_mark, "documents",
         "a second document starts here; one file holds one");
}

static void on_event(ebi_builder *builder, const yaml_event_t *event) {
  switch (event->type) {
  case YAML_SCALAR_EVENT:
    on_scalar(builder, event);
    break;
  case YAML_MAPPING_START_EVENT:
  case YAML_SEQUENCE_START_EVENT:
    on_open(builder, event);
    break;
  case YAML_MAPPING_END_EVENT:
  case YAML_SEQUENCE_END_EVENT:
    on_close(builder, event);
    break;
  case YAML_ALIAS_EVENT:
    on_alias(builder, event);
    break;
  case YAML_DOCUMENT_START_EVENT:
    on_document(builder, event);
    break;
  default:
    break;
  }
}

/* Takes events until the stream ends or something stops the reading. */
static void read_events(ebi_builder *builder, yaml_parser_t *parser) {
  bool ended = false;
  while (!ended && builder->status == EB_OK) {
    yaml_event_t event;
    if (!yaml_parser_parse(parser, &event)) {
      if (parser->error == YAML_MEMORY_ERROR) {
        builder->status = EB_E_MEMORY;
        return;
      }
      builder->status = EB_E_SYNTAX;
      ebi_tree_fault(builder->context, builder->name, parser, &builder->cursor);
      return;
    }
    ended = event.type == YAML_STREAM_END_EVENT;
    on_event(builder, &event);
    yaml_event_delete(&event);
  }
}

/* The root must be a mapping, and there must be one. */
static void check_root(ebi_builder *builder) {
  ebi_yaml *root = builder->root;
  ebi_where start = {builder->name, builder->cursor.first_line, 1};
  if (builder->status != EB_OK || (root && root->kind == EBI_YAML_MAPPING))
    return;
  builder->status = EB_E_SYNTAX;
  if (!root || (root->kind == EBI_YAML_SCALAR && root->length == 0))
    ebi_diag(builder->context, EB_ERROR, "empty", start, NULL,
             builder->cursor.length == 0 ? "the file is empty"
                                         : "the file is empty but for blanks and comments");
  else
    ebi_diag(builder->context, EB_ERROR, "yaml", root->where, NULL,
             "the file begins with %s; lines of the form \"key: value\" are due",
             root->kind == EBI_YAML_SEQUENCE ? "a list" : "mere text");
}

static void build(ebi_builder *builder) {
  yaml_parser_t parser;
  if (!yaml_parser_initialize(&parser)) {
    builder->status = EB_E_MEMORY;
    return;
  }
  parser.mark.line = (size_t)builder->cursor.first_line - 1;
  yaml_parser_set_encoding(&parser, YAML_UTF8_ENCODING);
  yaml_parser_set_input_string(&parser, (const unsigned char *)builder->cursor.bytes,
                               builder->cursor.length);
  read_events(builder, &parser);
  yaml_parser_delete(&parser);
  check_root(builder);
}

/* Keeps name and bytes in the arena. */
static bool keep(ebi_arena *arena, const char *name, const void *bytes, size_t length,
                 ebi_document *document) {
  document->name = ebi_arena_text(arena, name);
  document->bytes = ebi_arena_text_n(arena, length ? bytes : "", length);
  document->length = length;
  document->root = NULL;
  return document->name && document->bytes;
}

eb_status ebi_document_parse(eb_context *context, ebi_arena *arena, const char *name,
                             const void *bytes, size_t length, ebi_document *document) {
  ebi_where start = {name, document->first_line > 1 ? document->first_line : 1, 1};
  document->root = NULL;
  eb_status status = ebi_tree_scan_from(context, start, length ? bytes : "", length);
  if (status != EB_OK)
    return status;
  if (!keep(arena, name, bytes, length, document))
    return EB_E_MEMORY;
  size_t bom = ebi_tree_bom(document->bytes, length);
  ebi_builder builder = {.context = context, .arena = arena, .name = document->name};
  builder.cursor = (ebi_cursor){
      .bytes = document->bytes + bom, .length = length - bom, .first_line = start.line};
  builder.offset = bom;
  builder.scratch = ebi_arena_new(ebi_context_allocator(context));
  if (!builder.scratch)
    return EB_E_MEMORY;
  build(&builder);
  ebi_arena_free(builder.scratch);
  if (builder.status != EB_OK)
    return builder.status;
  document->root = builder.root;
  return builder.wrong ? EB_E_SYNTAX : EB_OK;
}

const ebi_yaml *ebi_yaml_get(const ebi_yaml *mapping, const char *key) {
  if (!mapping || mapping->kind != EBI_YAML_MAPPING)
    return NULL;
  for (size_t i = 0; i < mapping->count; i++)
    if (strcmp(mapping->pairs[i].key->text, key) == 0)
      return mapping->pairs[i].value;
  return NULL;
}
