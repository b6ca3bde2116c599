/* write_sketch.c - proposed ducts as lines of a house file, after those it has */

#include "input/write_sketch.h"

#include <string.h>

#include "input/growing.h"
#include "input/write_value.h"

typedef struct lines {
  ebi_growing growing;
  const char *newline;
  size_t indentation; /* of the keys at the top of the file */
} lines;

/* ---- Pieces ------------------------------------------------------------ */

static void put(lines *out, const char *text) {
  ebi_grow_text(&out->growing, text);
}

/* Begins a line, so many blanks further in than the file's own keys. */
static void begin_line(lines *out, size_t further) {
  put(out, out->newline);
  ebi_grow_blanks(&out->growing, out->indentation + further);
}

/* A name in double quotes where it could be misread. */
static void put_name(lines *out, const char *name) {
  if (ebi_text_plain(name)) {
    put(out, name);
    return;
  }
  put(out, "\"");
  for (; *name; name++) {
    unsigned char byte = (unsigned char)*name;
    if (byte == '"' || byte == '\\')
      put(out, "\\");
    if (byte < 0x20u || byte == 0x7Fu)
      ebi_grow_format(&out->growing, "\\x%02X", byte);
    else
      ebi_grow_bytes(&out->growing, name, 1);
  }
  put(out, "\"");
}

/* ---- Runs -------------------------------------------------------------- */

static void put_fittings(lines *out, const ebi_sketched_run *run) {
  if (run->bends == 0 && !run->fitting)
    return;
  put(out, ", fittings: [");
  if (run->bends == 1)
    put(out, "bend-90");
  else if (run->bends > 1)
    ebi_grow_format(&out->growing, "%d x bend-90", run->bends);
  if (run->bends > 0 && run->fitting)
    put(out, ", ");
  if (run->fitting)
    put(out, run->fitting);
  put(out, "]");
}

static void put_run(lines *out, const ebi_sketched_run *run) {
  begin_line(out, 4);
  put(out, "- {run: ");
  put_name(out, run->name);
  put(out, ", from: ");
  put_name(out, run->from);
  put(out, ", to: ");
  put_name(out, run->to);
  ebi_grow_format(&out->growing, ", duct: %s", run->duct);
  if (run->parallel > 1)
    ebi_grow_format(&out->growing, ", parallel: %d", run->parallel);
  ebi_grow_format(&out->growing, ", length: %.12g m", run->length);
  if (run->rise < 0.0 || run->rise > 0.0)
    ebi_grow_format(&out->growing, ", rise: %.12g m", run->rise);
  put_fittings(out, run);
  if (run->valve)
    ebi_grow_format(&out->growing, ", valve: %s", run->valve);
  if (run->insulated)
    put(out, ", insulation: {thickness: 50 mm, conductivity: 0.037 W/(m.K)}");
  put(out, "}");
}

static void put_ducts(lines *out, const ebi_sketch *sketch) {
  static const char *const air_keys[] = {"outdoor:", "supply:", "extract:", "exhaust:"};
  begin_line(out, 0);
  put(out, "ducts:");
  for (int air = EB_OUTDOOR; air <= EB_EXHAUST; air++) {
    bool any = false;
    for (size_t i = 0; i < sketch->n_runs; i++) {
      if (sketch->runs[i].air != (eb_air)air)
        continue;
      if (!any) {
        begin_line(out, 2);
        put(out, air_keys[air]);
      }
      any = true;
      put_run(out, &sketch->runs[i]);
    }
  }
}

static void put_junctions(lines *out, const ebi_sketch *sketch) {
  if (sketch->n_junctions > 0) {
    begin_line(out, 0);
    put(out, "junctions:");
  }
  for (size_t i = 0; i < sketch->n_junctions; i++) {
    const ebi_sketched_junction *junction = &sketch->junctions[i];
    begin_line(out, 2);
    put_name(out, junction->name);
    put(out, junction->box ? ": {kind: box}" : ": {kind: tee, straight: ");
    if (!junction->box) {
      put_name(out, junction->straight ? junction->straight : "none");
      put(out, "}");
    }
  }
}

/* ---- Where ------------------------------------------------------------- */

/* The end of the document: the file's, or before the line "..." that closes it. */
static size_t place_of(const ebi_document *document) {
  const char *bytes = document->bytes;
  for (size_t i = document->root->end; i + 4 <= document->length; i++)
    if ((bytes[i] == '\n' || bytes[i] == '\r') && memcmp(bytes + i + 1, "...", 3) == 0)
      return i + 1;
  return document->length;
}

static eb_status refuse(eb_context *context, ebi_where where, const char *why) {
  ebi_diag(context, EB_ERROR, "sketch", where, NULL, "%s", why);
  return EB_E_INPUT;
}

static eb_status check_root(eb_context *context, const ebi_document *document) {
  static const char *const keys[] = {"ducts", "junctions"};
  const ebi_yaml *root = document->root;
  if (document->bytes[root->start] == '{')
    return refuse(context, root->where,
                  "the whole file stands in braces: write its first keys line by line, so that "
                  "ducts can be added after them");
  for (size_t k = 0; k < 2; k++) {
    const ebi_yaml *given = ebi_yaml_get(root, keys[k]);
    if (given)
      return refuse(context, given->where,
                    k == 0 ? "the file has ducts already: take them out to have others sketched"
                           : "the file has junctions but no ducts: take them out to have ducts "
                             "sketched");
  }
  return EB_OK;
}

static char *compose(const ebi_document *document, ebi_arena *arena, const ebi_sketch *sketch,
                     size_t at, size_t *length) {
  const char *bytes = document->bytes;
  lines out = {.growing = {.arena = arena},
               .newline = ebi_text_newline(bytes, document->length),
               .indentation = (size_t)document->root->pairs[0].key->where.column - 1};
  if (at == 0 || (bytes[at - 1] != '\n' && bytes[at - 1] != '\r'))
    put(&out, out.newline);
  for (size_t i = 0; i < sketch->n_notes; i++) {
    begin_line(&out, 0);
    put(&out, *sketch->notes[i] ? "# " : "#");
    put(&out, sketch->notes[i]);
  }
  put_ducts(&out, sketch);
  put_junctions(&out, sketch);
  put(&out, out.newline);
  ebi_splice added = {.start = at, .end = at, .text = out.growing.text};
  ebi_splices splices = {.items = &added, .count = 1};
  return out.growing.failed ? NULL
                            : ebi_splices_join(&splices, arena, bytes, document->length, length);
}

eb_status ebi_sketch_write(eb_context *context, const eb_house *house, const ebi_sketch *sketch,
                           const char **bytes, size_t *length) {
  ebi_arena *scratch = ebi_arena_new(ebi_context_allocator(context));
  ebi_document document = {0};
  if (!scratch)
    return EB_E_MEMORY;
  eb_status status =
      ebi_document_parse(context, scratch, house->file, house->bytes, house->n_bytes, &document);
  if (status == EB_OK)
    status = check_root(context, &document);
  if (status == EB_OK) {
    size_t written = 0;
    const char *text = compose(&document, house->arena, sketch, place_of(&document), &written);
    if (text) {
      *bytes = text;
      *length = written;
    } else {
      status = EB_E_MEMORY;
    }
  }
  ebi_arena_free(scratch);
  return status;
}
