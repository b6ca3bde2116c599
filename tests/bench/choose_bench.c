/* choose_bench.c - choosing sizes on a tree: seconds, and what rules of thumb cost more
 *
 *   choose_bench [TERMINALS...]      (default 10 20 60 150 400)
 *
 * A branched house: mains that lose a terminal or a pair at each tee, 13 sizes
 * from 63 to 400 mm, price 6 + 110 d a metre, Colebrook drops. Beside the exact
 * choice stand one size of 3 m/s and one of 0.7 Pa/m everywhere, each rounded to
 * the nearest size. Not part of make check: times are not tests. */

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "network/element.h"
#include "numeric/choose.h"

enum { SIZES = 13, EDGES_AT_MOST = 4000 };

static const double sizes[SIZES] = {0.063, 0.08, 0.1,   0.125, 0.15,  0.16, 0.18,
                                    0.2,   0.25, 0.315, 0.355, 0.375, 0.4};

typedef struct house {
  ebi_choice_edge edges[EDGES_AT_MOST];
  ebi_choice (*choices)[SIZES];
  double flow[EDGES_AT_MOST]; /* m3/s */
  size_t count;
} house;

static unsigned long state = 20261125UL;

static double draw(double low, double high) {
  state = (state * 1103515245UL + 12345UL) % 2147483648UL;
  return low + (high - low) * (double)state / 2147483648.0;
}

static double drop_per_m(double flow, double bore) {
  ebi_air_state air = {1.2, 1.8e-5};
  ebi_element duct = {.kind = EBI_ELEMENT_DUCT, .parallel = 1.0};
  duct.as.duct.section = ebi_section_round(bore);
  duct.as.duct.length = 1.0;
  duct.as.duct.roughness = 9e-5;
  return ebi_element_drop(&duct, air, flow).pa;
}

/* An edge with so many terminals below it; returns its number. */
static size_t add(house *h, size_t parent, size_t terminals) {
  size_t own = h->count++;
  h->edges[own] = (ebi_choice_edge){parent, h->choices[own], SIZES, -1.0};
  double length = draw(1.0, 6.5), zeta = draw(0.2, 2.6);
  if (terminals == 1) {
    h->edges[own].end = draw(8.0, 18.0);
    h->flow[own] = draw(6e-3, 12e-3);
  } else {
    size_t first = 1 + (size_t)draw(0.0, 0.5 * (double)terminals);
    size_t a = add(h, own, first), b = add(h, own, terminals - first);
    h->flow[own] = h->flow[a] + h->flow[b];
  }
  for (size_t s = 0; s < SIZES; s++) {
    double speed = h->flow[own] / ebi_section_round(sizes[s]).area;
    h->choices[own][s] = (ebi_choice){.drop = drop_per_m(h->flow[own], sizes[s]) * length +
                                              zeta * 0.6 * speed * speed,
                                      .price = length * (6.0 + 110.0 * sizes[s]),
                                      .size = sizes[s]};
  }
  return own;
}

static double cost_of(const house *h, const size_t *choice, double per_pa) {
  double *below = calloc(h->count, sizeof *below), price = 0.0, top = 0.0;
  for (size_t i = h->count; i-- > 0;) {
    double pressure = fmax(below[i], h->edges[i].end) + h->choices[i][choice[i]].drop;
    price += h->choices[i][choice[i]].price;
    if (h->edges[i].parent == EBI_NO_EDGE)
      top = pressure;
    else
      below[h->edges[i].parent] = fmax(below[h->edges[i].parent], pressure);
  }
  free(below);
  return price + per_pa * top;
}

/* The size whose speed or friction is nearest to the rule, in ratio. */
static void by_rule(const house *h, bool friction, size_t *choice) {
  for (size_t i = 0; i < h->count; i++) {
    double best = HUGE_VAL;
    for (size_t s = 0; s < SIZES; s++) {
      double value = friction ? drop_per_m(h->flow[i], sizes[s]) / 0.7
                              : h->flow[i] / ebi_section_round(sizes[s]).area / 3.0;
      if (fabs(log(value)) < best) {
        best = fabs(log(value));
        choice[i] = s;
      }
    }
  }
}

static void run(size_t terminals) {
  static house h;
  static size_t choice[EDGES_AT_MOST];
  ebi_chosen chosen;
  h.count = 0;
  h.choices = calloc(2 * terminals, sizeof *h.choices);
  add(&h, EBI_NO_EDGE, terminals);
  ebi_choice_tree tree = {h.edges, h.count, 0.07 * (double)terminals, HUGE_VAL, false};
  double best = HUGE_VAL;
  for (int repeat = 0; repeat < 5; repeat++) {
    ebi_arena *arena = ebi_arena_new(NULL);
    clock_t start = clock();
    if (ebi_choose(arena, &tree, choice, &chosen) != EB_OK)
      exit(1);
    best = fmin(best, (double)(clock() - start) / CLOCKS_PER_SEC);
    ebi_arena_free(arena);
  }
  by_rule(&h, false, choice);
  double speed = cost_of(&h, choice, tree.per_pa);
  by_rule(&h, true, choice);
  double friction = cost_of(&h, choice, tree.per_pa);
  printf("%9zu  %6zu  %10.3f  %8zu  %12.2f  %+8.1f %%  %+8.1f %%\n", terminals, h.count, 1e3 * best,
         chosen.frontier, chosen.cost, 100.0 * (speed / chosen.cost - 1.0),
         100.0 * (friction / chosen.cost - 1.0));
  free(h.choices);
}

int main(int argc, char **argv) {
  static const size_t usual[] = {10, 20, 60, 150, 400};
  printf("terminals   edges          ms  frontier       optimum     3 m/s      0.7 Pa/m\n");
  for (int i = 1; i < argc; i++)
    run((size_t)strtoul(argv[i], NULL, 10));
  for (size_t i = 0; argc == 1 && i < sizeof usual / sizeof usual[0]; i++)
    run(usual[i]);
  return 0;
}
