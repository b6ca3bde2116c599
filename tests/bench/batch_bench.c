/* batch_bench.c - houses a second through `evenbreath batch`, beside libyaml's own reading
 *
 *   batch_bench [PROGRAM [HOUSE [HOUSES [ROUNDS]]]]
 *
 * (default ./evenbreath, tests/bench/batch-house.yaml beside the source, 500, 5.) A stream of so
 * many times the same house goes through check, rates, ducts, energy and parts with one thread and
 * with two; before each run libyaml reads the events of the same bytes, so that a busy machine
 * slows both alike. Medians of the rounds: houses a second by the clock, houses a second and core
 * by processor time (also that of the thread that reads), and how often as long as libyaml alone
 * a house takes. Not part of make check: times are not tests. */

#define _GNU_SOURCE /* wait4 */
#include <fcntl.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/time.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>
#include <yaml.h>

#ifndef SOURCE_HOUSE
#define SOURCE_HOUSE "tests/bench/batch-house.yaml"
#endif

enum { ROUNDS_AT_MOST = 101 };

static char *const commands[] = {"check", "rates", "ducts", "energy", "parts"};
enum { COMMANDS = sizeof commands / sizeof commands[0] };

typedef struct plan {
  char *program, *stream; /* a file */
  char *house;
  size_t length;
  int houses, rounds;
} plan;

static void die(const char *what) {
  perror(what);
  exit(1);
}

static double seconds(clockid_t clock) {
  struct timespec t;
  clock_gettime(clock, &t);
  return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* ---- libyaml alone ---- */

static void read_events(const plan *p) {
  yaml_parser_t parser;
  yaml_event_t event;
  bool ended = false;
  yaml_parser_initialize(&parser);
  yaml_parser_set_input_string(&parser, (const unsigned char *)p->house, p->length);
  while (!ended) {
    if (!yaml_parser_parse(&parser, &event))
      die("the house is not YAML");
    ended = event.type == YAML_STREAM_END_EVENT;
    yaml_event_delete(&event);
  }
  yaml_parser_delete(&parser);
}

/* Processor time of a house. */
static double time_events(const plan *p) {
  double start = seconds(CLOCK_PROCESS_CPUTIME_ID);
  for (int i = 0; i < p->houses; i++)
    read_events(p);
  return (seconds(CLOCK_PROCESS_CPUTIME_ID) - start) / p->houses;
}

/* ---- The program ---- */

typedef struct taken {
  double wall, core, beside; /* seconds a house; times libyaml */
} taken;

/* With nothing said to anybody; never returns. */
static void run_child(char *const *words) {
  int nowhere = open("/dev/null", O_WRONLY);
  if (nowhere < 0 || dup2(nowhere, STDOUT_FILENO) < 0 || dup2(nowhere, STDERR_FILENO) < 0)
    _exit(1);
  execv(words[0], words);
  _exit(1);
}

static struct rusage run_program(char *const *words) {
  struct rusage used;
  int status;
  pid_t child = fork();
  if (child == 0)
    run_child(words);
  if (child < 0 || wait4(child, &status, 0, &used) < 0)
    die(words[0]);
  if (status != 0) {
    fprintf(stderr, "%s %s ... has failed\n", words[0], words[1]);
    exit(1);
  }
  return used;
}

static double of(struct timeval t) {
  return (double)t.tv_sec + 1e-6 * (double)t.tv_usec;
}

static taken time_program(const plan *p, char *command, char *jobs) {
  char *const words[] = {p->program, "batch", command, "--jobs", jobs, p->stream, NULL};
  double events = time_events(p), start = seconds(CLOCK_MONOTONIC);
  struct rusage used = run_program(words);
  double wall = seconds(CLOCK_MONOTONIC) - start;
  double core = (of(used.ru_utime) + of(used.ru_stime)) / p->houses;
  return (taken){wall / p->houses, core, core / events};
}

/* ---- Medians ---- */

static int rising(const void *a, const void *b) {
  const double *x = a, *y = b;
  return (*x > *y) - (*x < *y);
}

static double median(double *values, int count) {
  qsort(values, (size_t)count, sizeof *values, rising);
  return values[count / 2];
}

static void report(const plan *p, char *command, char *jobs) {
  double wall[ROUNDS_AT_MOST], core[ROUNDS_AT_MOST], beside[ROUNDS_AT_MOST];
  for (int i = 0; i < p->rounds; i++) {
    taken t = time_program(p, command, jobs);
    wall[i] = t.wall;
    core[i] = t.core;
    beside[i] = t.beside;
  }
  printf("%-8s %4s %10.0f %12.0f %10.2f\n", command, jobs, 1 / median(wall, p->rounds),
         1 / median(core, p->rounds), median(beside, p->rounds));
  fflush(stdout);
}

/* ---- The stream ---- */

static void read_house(plan *p, const char *path) {
  FILE *file = fopen(path, "rb");
  if (!file || fseek(file, 0, SEEK_END) != 0)
    die(path);
  p->length = (size_t)ftell(file);
  p->house = malloc(p->length + 1);
  rewind(file);
  if (!p->house || fread(p->house, 1, p->length, file) != p->length)
    die(path);
  fclose(file);
}

static void write_stream(const plan *p, int handle) {
  FILE *file = fdopen(handle, "wb");
  for (int i = 0; file && i < p->houses; i++) {
    fputs("---\n", file);
    fwrite(p->house, 1, p->length, file);
  }
  if (!file || fclose(file) != 0)
    die("the stream");
}

int main(int argc, char **argv) {
  char stream[] = "/tmp/batch_bench.XXXXXX";
  plan p = {.program = argc > 1 ? argv[1] : "./evenbreath",
            .stream = stream,
            .houses = argc > 3 ? atoi(argv[3]) : 500,
            .rounds = argc > 4 ? atoi(argv[4]) : 5};
  if (p.houses < 1 || p.rounds < 1 || p.rounds > ROUNDS_AT_MOST)
    return 2;
  char *house = argc > 2 ? argv[2] : SOURCE_HOUSE;
  read_house(&p, house);
  run_program((char *const[]){p.program, "parts", house, NULL}); /* it is a right one */
  int handle = mkstemp(stream);
  if (handle < 0)
    die(stream);
  write_stream(&p, handle);
  printf("%d houses of %zu bytes, medians of %d; libyaml alone reads %.0f a second\n\n", p.houses,
         p.length, p.rounds, 1 / time_events(&p));
  printf("command  jobs  a second  a s and core  x libyaml\n");
  for (int i = 0; i < COMMANDS; i++) {
    report(&p, commands[i], "1");
    report(&p, commands[i], "2");
  }
  unlink(stream);
  free(p.house);
  return 0;
}
