#define _POSIX_C_SOURCE 200809L /* open_memstream */
#include "batch_worker.h"

#include <stdlib.h>
#include <string.h>

#include "json.h"
#include "run.h"

/* ---- Memory ---- */

static void *resize(void *user, void *pointer, size_t old_size, size_t new_size) {
  batch_worker *worker = user;
  void *memory = new_size > 0 ? realloc(pointer, new_size) : NULL;
  if (new_size > 0 && !memory)
    return NULL;
  if (new_size == 0)
    free(pointer);
  worker->held += new_size - old_size;
  return memory;
}

/* A context holds the tables it has read until its end, those that houses bring along too: one
 * that has grown is given up for a new one, so that memory does not grow with the houses. */
static void renew_if_grown(batch_worker *worker, int status) {
  const size_t slack = (size_t)16 << 20;
  if (worker->settled == 0)
    worker->settled = worker->held;
  if (worker->held > 2 * worker->settled + slack || status == EXIT_FAULT)
    batch_worker_end(worker);
}

void batch_worker_end(batch_worker *worker) {
  eb_context_free(worker->context);
  worker->context = NULL;
  worker->settled = 0;
}

/* ---- What is wrong, in one line ---- */

static void write_place(const batch_document *document, const eb_diagnostic *d, FILE *out) {
  const char *name = strcmp(document->path, "-") == 0 ? "standard input" : document->path;
  bool own = d && d->file && strcmp(d->file, name) == 0;
  fputs(name, out);
  if (own && d->line > 0)
    fprintf(out, ":%d:%d", d->line, d->column);
  if (document->number > 0)
    fprintf(out, ", document %d", document->number);
  fputs(": ", out);
  if (!own && d && d->file)
    fprintf(out, "%s:%d:%d: ", d->file, d->line, d->column);
}

static const eb_diagnostic *first_error(const eb_context *context) {
  size_t count = 0;
  const eb_diagnostic *list = context ? eb_diagnostics(context, &count) : NULL;
  for (size_t i = 0; i < count; i++)
    if (list[i].severity == EB_ERROR)
      return &list[i];
  return NULL;
}

static char *reason_of(const batch_document *document, const eb_diagnostic *error,
                       const char *otherwise) {
  char *text = NULL;
  size_t length;
  FILE *out = open_memstream(&text, &length);
  if (!out)
    return NULL;
  write_place(document, error, out);
  fputs(error ? error->message : otherwise, out);
  fclose(out);
  return text;
}

/* ---- Lines ---- */

/* Of what never came to be a house: found by the reader of the stream. */
static int write_fault(const cli_command *command, const cli_run *run, const eb_diagnostic *found,
                       int status, FILE *out) {
  json_t *object = run_head_json(command, run);
  json_t *findings = json_array(), *item = json_object();
  json_put_text(item, "severity", "error");
  json_put_text(item, "code", found->code);
  json_put_text(item, "message", found->message);
  json_put_text(item, "file", found->file);
  json_put(item, "line", json_integer(found->line));
  json_put(item, "column", json_integer(found->column));
  json_add(findings, item);
  json_put(object, "findings", findings);
  json_put(object, "status", json_integer(status));
  bool good = json_write_line(object, out);
  json_decref(object);
  return good ? status : EXIT_FAULT;
}

static void do_fault(batch_worker *worker, batch_slot *slot, const cli_run *run, FILE *out) {
  const batch_document *document = &slot->document;
  bool broken = document->kind == BATCH_BROKEN;
  eb_diagnostic found = {
      .severity = EB_ERROR,
      .code = broken ? "file" : "too-large",
      .message = broken ? "cannot be read to its end" : "larger than 64 MB; no more is read",
      .file = strcmp(document->path, "-") == 0 ? "standard input" : document->path,
      .line = document->first_line,
      .column = 1};
  slot->status = write_fault(worker->command, run, &found, broken ? EXIT_FILE : EXIT_INPUT, out);
  slot->reason = reason_of(document, &found, NULL);
}

static void do_house(batch_worker *worker, batch_slot *slot, cli_run *run, FILE *out) {
  run->context = worker->context;
  slot->status = run_house(worker->command, run, out, NULL);
  if (slot->status > EXIT_NOT_COMPLYING)
    slot->reason =
        reason_of(&slot->document, first_error(run->context), eb_status_text(run->status));
  run_clear(run);
  worker->context = run->context;
  renew_if_grown(worker, slot->status);
}

void batch_worker_do(batch_worker *worker, batch_slot *slot) {
  const batch_document *document = &slot->document;
  eb_allocator allocator = {.resize = resize, .user = worker};
  cli_run run = {.options = worker->options,
                 .path = document->path,
                 .length = document->length,
                 .first_line = document->first_line,
                 .document = document->number,
                 .line = true,
                 .allocator = &allocator,
                 .n_overrides = worker->options->n_overrides};
  if (document->kind == BATCH_TEXT)
    run.bytes = document->length > 0 ? document->bytes : "";
  FILE *out = open_memstream(&slot->line, &slot->length);
  slot->status = EXIT_FAULT;
  if (!out)
    return;
  if (document->kind == BATCH_BROKEN || document->kind == BATCH_TOO_LONG)
    do_fault(worker, slot, &run, out);
  else
    do_house(worker, slot, &run, out);
  bool whole = fclose(out) == 0 && slot->length > 0 && slot->line[slot->length - 1] == '\n';
  if (!whole) {
    free(slot->line);
    slot->line = NULL;
  }
}
