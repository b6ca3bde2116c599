/* network_bench.c - size, steps, seconds and memory of cold solves
 *
 *   network_bench [TERMINALS...]      (default 60 1000 10000 100000)
 *
 * A tower: risers pass floors, a floor has flats, a flat's main passes ten
 * terminals, each with a branch and a valve to a room at 0 Pa: three parts a
 * terminal. "ring" closes each floor's flats to a loop. Not part of make check:
 * times are not tests. */

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "network/network.h"

#define TERMINALS_A_FLAT 10
#define FLATS_A_FLOOR 5

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

static ebi_air_state air = {1.2, 1.8e-5};
static size_t n_parts;

static void join(ebi_network *network, ebi_node from, ebi_node to, double length, double bore,
                 double zeta) {
  ebi_section section = ebi_section_round(bore);
  ebi_element elements[2] = {
      {.kind = EBI_ELEMENT_DUCT, .parallel = 1.0, .as.duct = {section, length, 9e-5}},
      {.kind = EBI_ELEMENT_LOSS, .parallel = 1.0, .as.loss = {section.area, zeta, zeta}}};
  if (ebi_network_part(network, "part", from, to, air, elements, 2) == (size_t)-1)
    exit(1);
  n_parts++;
}

static void flat(ebi_network *network, ebi_node entry, ebi_node room, size_t seed) {
  ebi_node along = entry;
  for (size_t i = 0; i < TERMINALS_A_FLAT; i++) {
    ebi_node tap = ebi_network_node(network, "tap");
    ebi_node valve = ebi_network_node(network, "valve");
    size_t vary = (seed * 7 + i * 13) % 11;
    join(network, along, tap, 1.5, i < 3 ? 0.2 : i < 7 ? 0.16 : 0.125, 0.4);
    join(network, tap, valve, 2.0 + 0.3 * (double)vary, 0.1, 1.2);
    join(network, valve, room, 0.5, 0.125, 60.0 + 4.0 * (double)vary);
    along = tap;
  }
}

static void tower(ebi_network *network, size_t terminals, bool ring) {
  ebi_node plenum = ebi_network_node(network, "plenum"), room = ebi_network_node(network, "room");
  ebi_network_fix(network, plenum, 250.0);
  ebi_network_fix(network, room, 0.0);
  ebi_node riser = plenum, first = plenum, last = plenum;
  size_t flats = (terminals + TERMINALS_A_FLAT - 1) / TERMINALS_A_FLAT;
  for (size_t i = 0; i < flats; i++) {
    size_t floor = i / FLATS_A_FLOOR;
    if (i % FLATS_A_FLOOR == 0) {
      ebi_node next = ebi_network_node(network, "floor");
      join(network, floor % 10 == 0 ? plenum : riser, next, 3.0, 0.8, 0.3);
      riser = first = last = next;
    }
    ebi_node entry = ebi_network_node(network, "entry");
    join(network, last, entry, 4.0, 0.4, 0.6);
    flat(network, entry, room, i);
    last = entry;
    if (ring && i % FLATS_A_FLOOR == FLATS_A_FLOOR - 1)
      join(network, last, first, 4.0, 0.4, 0.6);
  }
}

static double seconds(void) {
  struct timespec now;
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
  return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static void bench(size_t terminals, bool ring) {
  usage memory = {0, 0};
  eb_allocator allocator = {counted, &memory, 0};
  eb_context *context = eb_context_new(&allocator);
  ebi_network *network = context != NULL ? ebi_network_new(context) : NULL;
  if (network == NULL)
    exit(1);
  n_parts = 0;
  tower(network, terminals, ring);
  ebi_solution solution = {0};
  double begin = seconds();
  eb_status status = ebi_network_solve(network, &solution);
  double first = seconds() - begin, best = HUGE_VAL;
  size_t repeats = 1 + 200000 / terminals;
  for (size_t i = 0; i < repeats && status == EB_OK; i++) {
    begin = seconds();
    status = ebi_network_solve(network, &solution);
    best = fmin(best, seconds() - begin);
  }
  printf("%-5s %7zu terminals %7zu parts %3d steps  first %9.1f us  again %9.1f us  %6.1f ns per "
         "part and step  %5.1f MB  residual %.1e m3/s %.1e Pa  %s\n",
         ring ? "ring" : "tree", terminals, n_parts, solution.iterations, 1e6 * first, 1e6 * best,
         1e9 * best / (double)n_parts / fmax(1, solution.iterations), 1e-6 * (double)memory.top,
         solution.residual_flow, solution.residual_pressure, eb_status_text(status));
  ebi_network_free(network);
  eb_context_free(context);
}

int main(int argc, char **argv) {
  static const size_t standard[] = {60, 1000, 10000, 100000};
  size_t n = argc > 1 ? (size_t)argc - 1 : 4;
  for (int ring = 0; ring < 2; ring++) {
    for (size_t i = 0; i < n; i++)
      bench(argc > 1 ? strtoul(argv[i + 1], NULL, 10) : standard[i], ring != 0);
  }
  return 0;
}
