/* network_bench.c - size, steps, seconds and memory of cold solves
 *
 *   network_bench [TERMINALS...]      (default 60 1000 10000 100000)
 *
 * A tower: risers pass ten floors each, a floor has five flats, a flat's main
 * passes ten terminals, each with a branch and a valve to a room at 0 Pa: three
 * parts a terminal. "ring" closes each floor's flats to a ring main that two
 * risers join at every floor; with "tees" each tap and each flat is branched
 * off by a tee. Seconds are processor time. Not part of make check: times are
 * not tests. */

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "network/network.h"

#define TERMINALS_A_FLAT 10
#define FLATS_A_FLOOR 5
#define FLOORS_A_RISER 10
#define SAMPLES_AT_MOST 400

/* ---- Memory ---- */

typedef struct usage {
  size_t now, top;
} usage;

static void *counted(void *user, void *pointer, size_t old_size, size_t new_size) {
  usage *u = user;
  u->now += new_size - (pointer != NULL ? old_size : 0);
  u->top = u->now > u->top ? u->now : u->top;
  if (new_size == 0) {
    free(pointer);
    return NULL;
  }
  return realloc(pointer, new_size);
}

/* ---- The tower ---- */

typedef struct tower {
  ebi_network *network;
  bool ring, tees;
  ebi_node room;
  size_t nodes, parts, n_tees;
} tower;

static const ebi_air_state air = {1.2, 1.8e-5};

static ebi_node node(tower *t, const char *name) {
  ebi_node made = ebi_network_node(t->network, name);
  if (made == (size_t)-1)
    exit(1);
  t->nodes++;
  return made;
}

static void join(tower *t, ebi_node from, ebi_node to, double length, double bore, double zeta) {
  ebi_section section = ebi_section_round(bore);
  ebi_element elements[2] = {
      {.kind = EBI_ELEMENT_DUCT, .parallel = 1.0, .as.duct = {section, length, 9e-5}},
      {.kind = EBI_ELEMENT_LOSS, .parallel = 1.0, .as.loss = {section.area, zeta, zeta}}};
  if (ebi_network_part(t->network, "part", from, to, air, elements, 2) == (size_t)-1)
    exit(1);
  t->parts++;
}

/* Air that comes to `from` goes on at the returned node and off at *branch. */
static ebi_node branch_off(tower *t, ebi_node from, double main, double side, ebi_node *branch) {
  *branch = from;
  if (!t->tees)
    return from;
  ebi_tee_shape shape = {ebi_section_round(main).area, ebi_section_round(main).area,
                         ebi_section_round(side).area, 90.0};
  ebi_node straight = node(t, "straight");
  *branch = node(t, "branch");
  if (ebi_network_tee(t->network, "tee", from, straight, *branch, air, &shape) == (size_t)-1)
    exit(1);
  t->n_tees++;
  return straight;
}

static void flat(tower *t, ebi_node entry, size_t seed) {
  ebi_node along = entry;
  for (size_t i = 0; i < TERMINALS_A_FLAT; i++) {
    bool last = i + 1 == TERMINALS_A_FLAT;
    ebi_node tap = node(t, "tap"), valve = node(t, "valve"), off = tap;
    size_t vary = (seed * 7 + i * 13) % 11;
    double bore = i < 3 ? 0.2 : i < 7 ? 0.16 : 0.125;
    join(t, along, tap, 1.5, bore, 0.4);
    along = last ? tap : branch_off(t, tap, bore, 0.1, &off);
    join(t, off, valve, 2.0 + 0.3 * (double)vary, 0.1, 1.2);
    join(t, valve, t->room, 0.5, 0.125, 60.0 + 4.0 * (double)vary);
  }
}

/* A flat's entry, reached from `last`; returns where the main goes on. */
static ebi_node next_flat(tower *t, ebi_node last, size_t seed) {
  ebi_node entry = node(t, "entry"), off;
  join(t, last, entry, 4.0, 0.4, 0.6);
  ebi_node on = branch_off(t, entry, 0.4, 0.2, &off);
  flat(t, off, seed);
  return on;
}

/* The flats between two risers, `second` being used in a ring only. */
static void floor_of(tower *t, ebi_node first, ebi_node second, size_t seed, size_t flats) {
  ebi_node along = first;
  for (size_t i = 0; i < flats; i++) {
    if (t->ring && i == flats / 2) {
      join(t, along, second, 4.0, 0.4, 0.6);
      along = second;
    }
    along = next_flat(t, along, seed + i);
  }
  if (t->ring)
    join(t, along, first, 4.0, 0.4, 0.6);
}

static void build(tower *t, size_t terminals) {
  ebi_node plenum = node(t, "plenum"), riser[2] = {plenum, plenum};
  t->room = node(t, "room");
  ebi_network_fix(t->network, plenum, 250.0);
  ebi_network_fix(t->network, t->room, 0.0);
  size_t flats = (terminals + TERMINALS_A_FLAT - 1) / TERMINALS_A_FLAT;
  for (size_t i = 0; i < flats; i += FLATS_A_FLOOR) {
    bool foot = i % (FLATS_A_FLOOR * FLOORS_A_RISER) == 0;
    for (int k = 0; k < (t->ring ? 2 : 1); k++) {
      ebi_node level = node(t, "floor");
      join(t, foot ? plenum : riser[k], level, 3.0, 0.8, 0.3);
      riser[k] = level;
    }
    floor_of(t, riser[0], riser[1], i, flats - i < FLATS_A_FLOOR ? flats - i : FLATS_A_FLOOR);
  }
}

/* ---- Measuring ---- */

static double seconds(void) {
  struct timespec now;
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
  return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

typedef struct timing {
  double first, best, median;
  ebi_solution solution;
} timing;

static int by_size(const void *a, const void *b) {
  double x = *(const double *)a, y = *(const double *)b;
  return (x > y) - (x < y);
}

/* Seconds of a solve, of which small ones are taken many together. */
static double sample(ebi_network *network, size_t together, ebi_solution *solution) {
  double begin = seconds();
  for (size_t i = 0; i < together; i++) {
    if (ebi_network_solve(network, solution) != EB_OK) {
      puts("not solved");
      exit(1);
    }
  }
  return (seconds() - begin) / (double)together;
}

static timing measure(ebi_network *network, size_t terminals) {
  static double samples[SAMPLES_AT_MOST];
  timing t = {.first = sample(network, 1, &t.solution)};
  size_t together = 1 + 6000 / terminals, n = 10 + 1000000 / terminals;
  n = n < SAMPLES_AT_MOST ? n : SAMPLES_AT_MOST;
  for (size_t i = 0; i < n; i++)
    samples[i] = sample(network, together, &t.solution);
  qsort(samples, n, sizeof *samples, by_size);
  t.best = samples[0];
  t.median = samples[n / 2];
  return t;
}

static void bench(size_t terminals, bool ring, bool tees, double *last_terminals, double *last) {
  usage memory = {0, 0};
  eb_allocator allocator = {counted, &memory, 0};
  eb_context *context = eb_context_new(&allocator);
  tower t = {
      .network = context != NULL ? ebi_network_new(context) : NULL, .ring = ring, .tees = tees};
  if (t.network == NULL)
    exit(1);
  build(&t, terminals);
  timing time = measure(t.network, terminals);
  double exponent = log(time.median / *last) / log((double)terminals / *last_terminals);
  printf("%-4s%-5s %7zu %7zu %7zu %7zu %3d %9.3f %9.3f %9.3f %5.1f %6.1f %5.2f %.0e %.0e\n",
         ring ? "ring" : "tree", tees ? "+tees" : "", terminals, t.nodes, t.parts, t.n_tees,
         time.solution.iterations, 1e3 * time.first, 1e3 * time.best, 1e3 * time.median,
         1e9 * time.best / (double)t.parts / time.solution.iterations, 1e-6 * (double)memory.top,
         exponent, time.solution.residual_flow, time.solution.residual_pressure);
  *last_terminals = (double)terminals;
  *last = time.median;
  ebi_network_free(t.network);
  eb_context_free(context);
}

int main(int argc, char **argv) {
  static const size_t standard[] = {60, 1000, 10000, 100000};
  size_t n = argc > 1 ? (size_t)argc - 1 : 4;
  puts("layout    terminals nodes   parts    tees steps first     best ms  median ms ns*   MB   "
       "exponent residuals m3/s Pa");
  for (int layout = 0; layout < 4; layout++) {
    double last_terminals = NAN, last = NAN;
    for (size_t i = 0; i < n; i++)
      bench(argc > 1 ? strtoul(argv[i + 1], NULL, 10) : standard[i], layout % 2 != 0, layout > 1,
            &last_terminals, &last);
  }
  puts("* of the best, by part and step");
  return 0;
}
