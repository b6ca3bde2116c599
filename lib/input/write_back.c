/* write_back.c - sizes put into the house's own text
 *
 * The text is never made anew: the values that change are cut out by their byte spans and the
 * new ones put in, so that comments, order and every other byte stay. The text is parsed again
 * without the overrides it was read with, which are no part of the file. */

#include "input/write_back.h"

#include <string.h>

#include "input/quote.h"
#include "input/write_value.h"

static eb_status complain(const ebi_writing *writing, const ebi_run *run, ebi_where where,
                          const char *why) {
  ebi_diag(writing->context, EB_ERROR, "write", where, NULL,
           "the size of run \"%s\" cannot be written back: %s", ebi_quote(run->name).text, why);
  return EB_E_INPUT;
}

/* ---- What is asked ----------------------------------------------------- */

static const ebi_yaml *scalar(ebi_arena *arena, const char *text) {
  ebi_yaml *node = text ? EBI_NEW(arena, ebi_yaml) : NULL;
  if (node)
    *node = (ebi_yaml){.kind = EBI_YAML_SCALAR, .text = text, .length = strlen(text)};
  return node;
}

/* What the text of a duct means. A name is a scalar; anything else must be a value of YAML. */
static eb_status understand(const ebi_writing *writing, const char *text, const ebi_yaml **node) {
  if (ebi_text_plain(text)) {
    *node = scalar(writing->scratch, text);
    return *node ? EB_OK : EB_E_MEMORY;
  }
  ebi_document document = {0};
  char *line = ebi_arena_format(writing->scratch, "{duct: %s}", text);
  if (!line)
    return EB_E_MEMORY;
  eb_status status = ebi_document_parse(writing->context, writing->scratch, "the text of a duct",
                                        line, strlen(line), &document);
  if (status != EB_OK)
    return status == EB_E_MEMORY ? status : EB_E_ARGUMENT;
  if (document.root->count != 1)
    return EB_E_ARGUMENT;
  *node = document.root->pairs[0].value;
  return EB_OK;
}

static eb_status take_change(ebi_writing *writing, const ebi_names *runs, const eb_written *asked) {
  size_t number = asked->run ? ebi_names_find(runs, asked->run) : EBI_NO_NAME;
  if (number == EBI_NO_NAME || asked->parallel < 0 ||
      ebi_names_find(&writing->by_name, asked->run) != EBI_NO_NAME)
    return EB_E_ARGUMENT;
  ebi_write *write = &writing->writes[writing->n_writes];
  *write = (ebi_write){.asked = asked, .run = &writing->house->runs[number]};
  if (!ebi_names_set(&writing->by_name, writing->scratch, asked->run, writing->n_writes++))
    return EB_E_MEMORY;
  if (asked->parallel > 0) {
    write->tubes =
        scalar(writing->scratch, ebi_arena_format(writing->scratch, "%d", asked->parallel));
    if (!write->tubes)
      return EB_E_MEMORY;
  }
  return asked->duct ? understand(writing, asked->duct, &write->duct) : EB_OK;
}

static eb_status take_changes(ebi_writing *writing, const eb_written *changes, size_t count) {
  const eb_house *house = writing->house;
  ebi_names runs = {0};
  for (size_t i = 0; i < house->n_runs; i++)
    if (!ebi_names_set(&runs, writing->scratch, house->runs[i].name, i))
      return EB_E_MEMORY;
  writing->writes = EBI_NEW_ARRAY(writing->scratch, ebi_write, count);
  if (!writing->writes)
    return EB_E_MEMORY;
  eb_status status = EB_OK;
  for (size_t i = 0; i < count && status == EB_OK; i++)
    status = take_change(writing, &runs, &changes[i]);
  return status;
}

/* ---- Where it stands --------------------------------------------------- */

/* Runs that stand in the file itself. */
static void find_runs_of(ebi_writing *writing, const ebi_yaml *list) {
  for (size_t i = 0; list->kind == EBI_YAML_SEQUENCE && i < list->count; i++) {
    const ebi_yaml *name = ebi_yaml_get(list->items[i], "run");
    if (!name || name->kind != EBI_YAML_SCALAR || ebi_yaml_is_alias(list->items[i], list->start))
      continue;
    size_t number = ebi_names_find(&writing->by_name, name->text);
    if (number != EBI_NO_NAME)
      writing->writes[number].mapping = list->items[i];
  }
}

static void find_runs(ebi_writing *writing) {
  const ebi_yaml *ducts = ebi_yaml_get(writing->document.root, "ducts");
  for (size_t i = 0; ducts && ducts->kind == EBI_YAML_MAPPING && i < ducts->count; i++)
    if (!ebi_yaml_is_alias(ducts->pairs[i].value, ducts->pairs[i].key->end))
      find_runs_of(writing, ducts->pairs[i].value);
}

static const ebi_yaml_pair *pair_of(const ebi_yaml *mapping, const char *key) {
  for (size_t i = 0; i < mapping->count; i++)
    if (strcmp(mapping->pairs[i].key->text, key) == 0)
      return &mapping->pairs[i];
  return NULL;
}

/* ---- Splices ----------------------------------------------------------- */

static eb_status splice(ebi_writing *writing, size_t start, size_t end, const char *text,
                        const ebi_yaml *key) {
  bool good =
      text && ebi_splice_add(&writing->splices, writing->scratch,
                             (ebi_splice){.start = start, .end = end, .text = text, .key = key});
  return good ? EB_OK : EB_E_MEMORY;
}

static eb_status replace(ebi_writing *writing, const ebi_value_place *place, const char *text,
                         const char *tail) {
  return splice(writing, place->start, place->end,
                ebi_value_replaced(writing->scratch, place, text, tail), place->pair->key);
}

/* `parallel:` where the run has none yet: after its duct. */
static eb_status add_tubes(ebi_writing *writing, const ebi_write *write,
                           const ebi_value_place *duct) {
  ebi_arena *scratch = writing->scratch;
  const char *text =
      ebi_arena_format(scratch, duct->flow ? ", parallel: %s" : "parallel: %s", write->tubes->text);
  if (!text)
    return EB_E_MEMORY;
  if (duct->flow)
    return write->duct ? replace(writing, duct, write->asked->duct, text)
                       : splice(writing, duct->end, duct->end, text, NULL);
  size_t at = ebi_value_line_end(duct);
  eb_status status = splice(writing, at, at, ebi_value_line_below(scratch, duct, text), NULL);
  if (status == EB_OK && write->duct)
    status = replace(writing, duct, write->asked->duct, "");
  return status;
}

static eb_status write_run(ebi_writing *writing, ebi_write *write) {
  const ebi_yaml *mapping = write->mapping;
  const ebi_yaml_pair *duct = mapping ? pair_of(mapping, "duct") : NULL;
  if (!duct)
    return complain(writing, write->run, write->run->where,
                    "it does not stand in the file itself but in an override or behind an alias; "
                    "write it out there first");
  if (write->duct && strcmp(write->run->duct_where.file, writing->house->file) != 0)
    return complain(writing, write->run, duct->value->where,
                    "an override gives it another duct than this one; write that here first");
  const ebi_yaml_pair *tubes = pair_of(mapping, "parallel");
  if (write->tubes && !tubes && write->asked->parallel == 1)
    write->tubes = NULL; /* as many as there are where nothing is said */
  ebi_value_place place = ebi_value_place_of(&writing->document, mapping, duct);
  if (write->tubes && !tubes)
    return add_tubes(writing, write, &place);
  eb_status status = write->duct ? replace(writing, &place, write->asked->duct, "") : EB_OK;
  if (status == EB_OK && write->tubes) {
    place = ebi_value_place_of(&writing->document, mapping, tubes);
    status = replace(writing, &place, write->tubes->text, "");
  }
  return status;
}

/* All that cannot be written is told. */
static eb_status write_runs(ebi_writing *writing) {
  eb_status worst = EB_OK;
  find_runs(writing);
  for (size_t i = 0; i < writing->n_writes; i++) {
    eb_status status = write_run(writing, &writing->writes[i]);
    if (status == EB_E_MEMORY)
      return status;
    worst = worst == EB_OK ? status : worst;
  }
  if (worst != EB_OK)
    return worst;
  ebi_splices_sort(&writing->splices);
  return ebi_write_check_aliases(writing);
}

/* ---- Entry point ------------------------------------------------------- */

static eb_status write_all(ebi_writing *writing, const eb_written *changes, size_t count,
                           const char **bytes, size_t *length) {
  const eb_house *house = writing->house;
  eb_status status = ebi_document_parse(writing->context, writing->scratch, house->file,
                                        house->bytes, house->n_bytes, &writing->document);
  if (status == EB_OK)
    status = take_changes(writing, changes, count);
  if (status == EB_OK)
    status = write_runs(writing);
  if (status != EB_OK)
    return status;
  size_t joined = 0;
  const char *text =
      ebi_splices_join(&writing->splices, house->arena, house->bytes, house->n_bytes, &joined);
  status = text ? ebi_write_check_text(writing, text, joined) : EB_E_MEMORY;
  if (status != EB_OK)
    return status;
  *bytes = text;
  *length = joined;
  return EB_OK;
}

eb_status eb_house_write(eb_context *context, const eb_house *house, const eb_written *changes,
                         size_t n_changes, const char **bytes, size_t *length) {
  if (!context || !house || house->context != context || !house->bytes ||
      (!changes && n_changes > 0) || !bytes || !length)
    return EB_E_ARGUMENT;
  ebi_writing writing = {.context = context, .house = house};
  writing.scratch = ebi_arena_new(ebi_context_allocator(context));
  if (!writing.scratch)
    return EB_E_MEMORY;
  eb_status status = write_all(&writing, changes, n_changes, bytes, length);
  ebi_arena_free(writing.scratch);
  return status != EB_OK && ebi_diags_failed(context) ? EB_E_MEMORY : status;
}
