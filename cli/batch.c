/* batch.c - evenbreath batch: one command on any number of houses, a line each */

#define _POSIX_C_SOURCE 200809L /* sysconf */

#include <pthread.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "batch_worker.h"
#include "output.h"
#include "progress.h"

enum { MOST_JOBS = OPTIONS_MOST_JOBS, SLOTS_A_JOB = 8, REASONS = 10 };

typedef struct batch {
  const cli_command *command;
  const cli_options *options;
  batch_ring *ring;
  cli_file out;
  cli_progress progress;
  unsigned long long houses, failed, not_complying;
  char *reasons[REASONS];
  size_t n_reasons;
  int worst;   /* of the houses whose file or memory failed, else 0 */
  int stopped; /* exit status of what ended it all early, or 0 */
} batch;

/* ---- Lines go out ---- */

static void count(batch *all, batch_slot *slot) {
  all->houses++;
  all->not_complying += slot->status == EXIT_NOT_COMPLYING;
  all->failed += slot->status > EXIT_NOT_COMPLYING;
  if (slot->status >= EXIT_FILE && slot->status > all->worst)
    all->worst = slot->status;
  if (slot->reason && all->n_reasons < REASONS) {
    all->reasons[all->n_reasons++] = slot->reason;
    slot->reason = NULL;
  }
}

static bool write_line(void *user, batch_slot *slot) {
  batch *all = user;
  if (!slot->line)
    all->stopped = EXIT_FAULT;
  else if (!output_file_write(&all->out, slot->line, slot->length))
    all->stopped = EXIT_FILE;
  else
    count(all, slot);
  progress_say(&all->progress, "houses: %llu, with errors: %llu", all->houses, all->failed);
  return all->stopped == 0;
}

/* ---- Threads ---- */

static void *work(void *user) {
  batch *all = user;
  batch_worker worker = {.command = all->command, .options = all->options};
  for (batch_slot *slot; (slot = batch_ring_take(all->ring)) != NULL;) {
    batch_worker_do(&worker, slot);
    batch_ring_finish(all->ring, slot);
  }
  batch_worker_end(&worker);
  return NULL;
}

/* Reads to the end or until nobody wants more. False when memory ran out. */
static bool fill(batch *all, batch_source *source) {
  batch_next next = BATCH_HAVE;
  for (batch_slot *slot; next == BATCH_HAVE && (slot = batch_ring_free_slot(all->ring)) != NULL;) {
    next = batch_source_next(source, &slot->document);
    if (next == BATCH_HAVE)
      batch_ring_filled(all->ring);
  }
  batch_ring_close(all->ring, next == BATCH_NO_MEMORY);
  return next != BATCH_NO_MEMORY;
}

static size_t jobs_of(const cli_options *options) {
  if (options->jobs > 0)
    return (size_t)options->jobs;
  long online = sysconf(_SC_NPROCESSORS_ONLN);
  return online < 1 ? 1 : online > MOST_JOBS ? MOST_JOBS : (size_t)online;
}

/* With fewer threads than wished where no more can be had. False when memory ran out. */
static bool run_threads(batch *all, batch_source *source) {
  pthread_t threads[MOST_JOBS];
  size_t jobs = jobs_of(all->options), started = 0;
  while (started < jobs && pthread_create(&threads[started], NULL, work, all) == 0)
    started++;
  bool good = started > 0 && fill(all, source);
  for (size_t i = 0; i < started; i++)
    pthread_join(threads[i], NULL);
  return good;
}

/* ---- The end ---- */

static void say_summary(const batch *all, double seconds) {
  fprintf(stderr, "%llu house%s, %llu done, %llu with errors", all->houses,
          all->houses == 1 ? "" : "s", all->houses - all->failed, all->failed);
  if (all->options->strict)
    fprintf(stderr, ", %llu of those done do not comply", all->not_complying);
  fputc('\n', stderr);
  for (size_t i = 0; i < all->n_reasons; i++)
    fprintf(stderr, "  %s\n", all->reasons[i]);
  if (all->failed > all->n_reasons)
    fprintf(stderr, "  and %llu more\n", all->failed - all->n_reasons);
  if (all->options->timings)
    fprintf(stderr, "in %.2f s, %.0f houses a second\n", seconds, (double)all->houses / seconds);
}

static double now_s(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static int exit_status(const batch *all) {
  bool wrong = all->failed > 0 || all->not_complying > 0;
  if (all->worst != EXIT_DONE)
    return all->worst;
  return all->options->strict && wrong ? EXIT_NOT_COMPLYING : EXIT_DONE;
}

static int finish(batch *all, double start) {
  bool written = output_file_close(&all->out, all->stopped == 0);
  if (all->stopped == EXIT_FAULT)
    fputs("evenbreath: memory ran out\n", stderr);
  if (all->stopped)
    return all->stopped;
  say_summary(all, now_s() - start);
  return written ? exit_status(all) : EXIT_FILE;
}

static int run_open_batch(batch *all) {
  double start = now_s();
  /* Lines that go to a terminal tell it themselves. */
  progress_begin(&all->progress, all->options->output || !isatty(STDOUT_FILENO));
  size_t slots = jobs_of(all->options) * SLOTS_A_JOB;
  batch_source *source = batch_source_new(all->options->files, all->options->n_files);
  all->ring = batch_ring_new(slots, write_line, all);
  if (!source || !all->ring || !run_threads(all, source))
    all->stopped = EXIT_FAULT;
  progress_end(&all->progress);
  int status = finish(all, start);
  batch_ring_free(all->ring);
  batch_source_free(source);
  return status;
}

static int run_batch(const cli_command *command, const cli_options *options) {
  batch all = {.command = command, .options = options};
  if (!output_file_open(&all.out, options->output))
    return EXIT_FILE;
  int status = run_open_batch(&all);
  for (size_t i = 0; i < all.n_reasons; i++)
    free(all.reasons[i]);
  return status;
}

static int refuse(const char *why) {
  fprintf(stderr, "evenbreath batch: %s\n", why);
  return EXIT_USAGE;
}

/* COMMAND FILE... */
static int run(const cli_options *given) {
  cli_options options = *given;
  const char *name = options.n_files > 0 ? options.files[0] : "";
  const cli_command *command = options_word(name, command_batch.words) ? command_find(name) : NULL;
  if (!command)
    return refuse("name what to do: evenbreath batch check|rates|ducts|energy|parts FILE...");
  options.files++;
  options.n_files--;
  if (!options_fit(&options, "batch", name))
    return EXIT_USAGE;
  if (options.n_files == 0)
    return refuse("name a house file, a folder or - for standard input");
  options.json = true;
  return run_batch(command, &options);
}

const cli_command command_batch = {
    .name = "batch",
    .files = "COMMAND FILE...",
    .words = "check rates ducts energy parts",
    .summary = "one of these for any number of houses, a line of JSON each",
    .help =
        "Does check, rates, ducts, energy or parts for house after house and prints one JSON\n"
        "object a line, in the order of the houses, with the exit status that the house alone\n"
        "would give. A house that is wrong is a line too and stops nothing; standard error ends\n"
        "with how many there were and the first errors.\n\n"
        "FILE is a house, a folder (its *.yaml files, sorted by name), a stream of houses with a\n"
        "line --- between them, or - for standard input, which is taken as it comes in.\n\n"
        "Exits with 0 also where houses have errors; with --strict 1 where one has or does not\n"
        "comply; 5 where a file could not be read or written.",
    .examples = "evenbreath batch rates alder-row.yaml one-room.yaml\n"
                "evenbreath batch check --strict - < alder-row.yaml\n",
    .run = run,
};
