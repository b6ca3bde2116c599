/* test_choose.c - the cheapest choice on a tree against exhaustive search */

#include "numeric/choose.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>

#include "suites.h"

enum { EDGES = 12, SIZES = 8 };

/* A tree small enough to try everything. */
typedef struct small_tree {
  ebi_choice choices[EDGES][SIZES];
  ebi_choice_edge edges[EDGES];
  ebi_choice_tree tree;
} small_tree;

static ebi_arena *arena;

static void open_arena(void) {
  arena = ebi_arena_new(NULL);
}

static void close_arena(void) {
  ebi_arena_free(arena);
}

/* ---- Published trees ---- */

typedef struct known {
  const char *name;
  double per_pa, cost, pressure, greedy;
} known;

typedef struct known_edge {
  size_t tree, parent;
  double end;
  size_t count, best;
} known_edge;

#define TREE(name, per_pa, cost, pressure, greedy) {name, per_pa, cost, pressure, greedy},
#define EDGE(parent, end, count, best)
#define SIZE(drop, price)
static const known trees[] = {
#include "sizing_checks.def"
};
#undef TREE
#undef EDGE
#undef SIZE

#define TREE(name, per_pa, cost, pressure, greedy)
#define EDGE(parent, end, count, best) {0, parent, end, count, best},
#define SIZE(drop, price)
static const known_edge known_edges[] = {
#include "sizing_checks.def"
};
#undef EDGE
#undef SIZE

#define EDGE(parent, end, count, best)
#define SIZE(drop, price) {drop, price, 0.0},
static const ebi_choice known_choices[] = {
#include "sizing_checks.def"
};
#undef TREE
#undef EDGE
#undef SIZE

enum { KNOWN_EDGES = 7 };

START_TEST(reaches_every_known_optimum) {
  size_t next = 0;
  for (int t = 0; t < _i; t++)
    for (int e = 0; e < KNOWN_EDGES; e++)
      next += known_edges[t * KNOWN_EDGES + e].count;
  const known_edge *own = &known_edges[_i * KNOWN_EDGES];
  ebi_choice_edge edges[KNOWN_EDGES];
  for (int e = 0; e < KNOWN_EDGES; e++) {
    edges[e] = (ebi_choice_edge){own[e].parent, &known_choices[next], own[e].count, own[e].end};
    next += own[e].count;
  }
  ebi_choice_tree tree = {edges, KNOWN_EDGES, trees[_i].per_pa, HUGE_VAL, false};
  size_t choice[KNOWN_EDGES];
  ebi_chosen chosen;
  ck_assert_int_eq(ebi_choose(arena, &tree, choice, &chosen), EB_OK);
  ck_assert_double_eq_tol(chosen.cost, trees[_i].cost, 1e-9);
  ck_assert_double_eq_tol(chosen.pressure, trees[_i].pressure, 1e-9);
  ck_assert_double_lt(chosen.cost, trees[_i].greedy);
  for (int e = 0; e < KNOWN_EDGES; e++)
    ck_assert_uint_eq(choice[e], own[e].best);
}
END_TEST

/* ---- Against trying everything ---- */

static unsigned long state;

static double draw(double low, double high) {
  state = (state * 1103515245UL + 12345UL) % 2147483648UL;
  return low + (high - low) * (double)state / 2147483648.0;
}

/* Pressure at the root of one combination; HUGE_VAL where it is not allowed. */
static double pressure_of(const small_tree *t, const size_t *choice) {
  double below[EDGES] = {0}, root = 0.0;
  for (size_t i = 0; i < t->tree.count; i++)
    below[i] = fmax(t->edges[i].end, 0.0);
  for (size_t i = t->tree.count; i-- > 0;) {
    size_t parent = t->edges[i].parent;
    double top = below[i] + t->choices[i][choice[i]].drop;
    if (parent == EBI_NO_EDGE) {
      root = fmax(root, top);
      continue;
    }
    below[parent] = fmax(below[parent], top);
    if (t->tree.never_larger &&
        t->choices[i][choice[i]].size > t->choices[parent][choice[parent]].size)
      return HUGE_VAL;
  }
  return root;
}

static double best_by_trying(const small_tree *t) {
  size_t choice[EDGES] = {0};
  double best = HUGE_VAL;
  for (;;) {
    double price = 0.0, pressure = pressure_of(t, choice);
    for (size_t i = 0; i < t->tree.count; i++)
      price += t->choices[i][choice[i]].price;
    if (pressure <= t->tree.most_pa)
      best = fmin(best, price + t->tree.per_pa * pressure);
    size_t i = 0;
    while (i < t->tree.count && ++choice[i] == t->edges[i].count)
      choice[i++] = 0;
    if (i == t->tree.count)
      return best;
  }
}

static void grow(small_tree *t, size_t n_edges, size_t n_sizes) {
  for (size_t i = 0; i < n_edges; i++) {
    size_t parent = i == 0 || draw(0, 1) < 0.1 ? EBI_NO_EDGE : (size_t)draw(0, (double)i - 1e-9);
    t->edges[i] =
        (ebi_choice_edge){parent, t->choices[i], 1 + (size_t)draw(0, (double)n_sizes), draw(0, 25)};
    double drop = draw(5, 40), price = draw(10, 60), size = floor(draw(1, 4));
    for (size_t c = 0; c < t->edges[i].count; c++) {
      t->choices[i][c] = (ebi_choice){drop, price, size + (double)c};
      drop *= draw(0.25, 0.8);
      price *= draw(0.95, 1.5);
    }
  }
  for (size_t i = 0; i < n_edges; i++)
    if (t->edges[i].parent != EBI_NO_EDGE && draw(0, 1) < 0.7)
      t->edges[t->edges[i].parent].end = -1.0;
  t->tree = (ebi_choice_tree){t->edges, n_edges, draw(0, 3), HUGE_VAL, false};
}

static void agree(const small_tree *t) {
  size_t choice[EDGES];
  ebi_chosen chosen;
  double best = best_by_trying(t);
  eb_status status = ebi_choose(arena, &t->tree, choice, &chosen);
  ck_assert_int_eq(status, best < HUGE_VAL ? EB_OK : EB_E_NO_SOLUTION);
  if (status != EB_OK)
    return;
  double price = 0.0;
  for (size_t i = 0; i < t->tree.count; i++)
    price += t->choices[i][choice[i]].price;
  ck_assert_double_eq_tol(chosen.cost, best, 1e-9);
  ck_assert_double_eq_tol(chosen.price, price, 1e-9);
  ck_assert_double_le(pressure_of(t, choice), chosen.pressure + 1e-9);
}

START_TEST(agrees_with_trying_everything) {
  state = 20261125UL + 7919UL * (unsigned long)_i;
  small_tree t;
  grow(&t, 2 + (size_t)(_i % 6), 4);
  agree(&t);
  t.tree.never_larger = true;
  agree(&t);
  t.tree.most_pa = draw(10, 60);
  agree(&t);
  t.tree.never_larger = false;
  agree(&t);
}
END_TEST

/* A limit that cannot be met: the least pressure is told. */
START_TEST(tells_the_least_pressure) {
  static const ebi_choice sizes[] = {{31.7, 4.1, 1}, {12.9, 6.3, 2}};
  ebi_choice_edge edges[] = {{EBI_NO_EDGE, sizes, 2, -1.0}, {0, sizes, 2, 7.3}};
  ebi_choice_tree tree = {edges, 2, 0.4, 30.0, false};
  size_t choice[2];
  ebi_chosen chosen;
  ck_assert_int_eq(ebi_choose(arena, &tree, choice, &chosen), EB_E_NO_SOLUTION);
  ck_assert_double_eq_tol(chosen.pressure, 12.9 + 12.9 + 7.3, 1e-12);
  ck_assert_uint_eq(choice[0], 1);
  ck_assert_uint_eq(choice[1], 1);
}
END_TEST

/* A regain, as a straight tee port may have, lowers what is asked. */
START_TEST(takes_a_regain) {
  static const ebi_choice main_sizes[] = {{-2.3, 5.0, 1}}, sizes[] = {{9.1, 1.0, 1}};
  ebi_choice_edge edges[] = {{EBI_NO_EDGE, main_sizes, 1, -1.0}, {0, sizes, 1, 0.0}};
  ebi_choice_tree tree = {edges, 2, 2.0, HUGE_VAL, true};
  size_t choice[2];
  ebi_chosen chosen;
  ck_assert_int_eq(ebi_choose(arena, &tree, choice, &chosen), EB_OK);
  ck_assert_double_eq_tol(chosen.pressure, 6.8, 1e-12);
  ck_assert_double_eq_tol(chosen.cost, 6.0 + 13.6, 1e-12);
}
END_TEST

Suite *suite_choose(void) {
  Suite *suite = suite_create("choose");
  TCase *tcase = tcase_create("choose");
  tcase_add_checked_fixture(tcase, open_arena, close_arena);
  tcase_add_loop_test(tcase, reaches_every_known_optimum, 0, (int)(sizeof trees / sizeof trees[0]));
  tcase_add_loop_test(tcase, agrees_with_trying_everything, 0, 200);
  tcase_add_test(tcase, tells_the_least_pressure);
  tcase_add_test(tcase, takes_a_regain);
  suite_add_tcase(suite, tcase);
  return suite;
}
