/* test_network_tees.c - the solver on networks with tees
 *
 * The answers are compared with a plain Newton on all pressures and flows at
 * once, by a dense elimination written here, which shares only the laws. */

#include <check.h>
#include <math.h>
#include <stdlib.h>

#include "network/law.h"
#include "network_help.h"
#include "suites.h"

static const ebi_tee_shape even = {0.0123, 0.0123, 0.0123, 90.0};
static const ebi_tee_shape narrow = {0.0201, 0.0201, 0.0079, 45.0};

static ebi_tee net_tee(ebi_node combined, ebi_node straight, ebi_node branch,
                       const ebi_tee_shape *shape) {
  ebi_tee tee = ebi_network_tee(net, "tee", combined, straight, branch, net_air, shape);
  ck_assert_uint_ne(tee, (size_t)-1);
  return tee;
}

/* ---- The other solver ---- */

#define MAX 160
static double matrix[MAX][MAX + 1], unknown[MAX];

/* Places of unknowns and equations: pressures (fixed ones too), part flows, tee flows. */
static size_t at_part(ebi_part part) {
  return net->n_nodes + part;
}
static size_t at_tee(ebi_tee tee, size_t f) {
  return net->n_nodes + net->n_parts + 2 * tee + f;
}

static void pressure_row(size_t row, ebi_node from, ebi_node to, double drop) {
  matrix[row][from] += 1.0;
  matrix[row][to] -= 1.0;
  matrix[row][MAX] = -(unknown[from] - unknown[to] - drop);
}

static void node_row(ebi_node node, size_t column, double out) {
  if (ebi_node_at(net, node)->fixed)
    return;
  matrix[node][column] += out;
  matrix[node][MAX] -= out * unknown[column];
}

/* Rows of the linearised equations; right-hand sides in column MAX. */
static void linearise(size_t n) {
  for (size_t i = 0; i < n; i++) {
    for (size_t k = 0; k <= MAX; k++)
      matrix[i][k] = 0.0;
  }
  for (ebi_node i = 0; i < net->n_nodes; i++) {
    const ebi_net_node *node = ebi_node_at(net, i);
    matrix[i][i] = node->fixed ? 1.0 : 0.0;
    matrix[i][MAX] = node->fixed ? node->given - unknown[i] : -node->given;
  }
  for (ebi_part i = 0; i < net->n_parts; i++) {
    ebi_drop drop = ebi_part_drop(ebi_part_at(net, i), unknown[at_part(i)]);
    pressure_row(at_part(i), ebi_part_at(net, i)->from, ebi_part_at(net, i)->to, drop.pa);
    matrix[at_part(i)][at_part(i)] = -drop.slope;
    node_row(ebi_part_at(net, i)->from, at_part(i), 1.0);
    node_row(ebi_part_at(net, i)->to, at_part(i), -1.0);
  }
  for (ebi_tee i = 0; i < net->n_tees; i++) {
    const ebi_place *port = ebi_tee_at(net, i)->port;
    ebi_tee_drop d =
        ebi_net_tee_drops(ebi_tee_at(net, i), unknown[at_tee(i, 0)], unknown[at_tee(i, 1)]);
    pressure_row(at_tee(i, 0), port[0], port[1], d.straight);
    pressure_row(at_tee(i, 1), port[0], port[2], d.branch);
    matrix[at_tee(i, 0)][at_tee(i, 0)] = -d.straight_by_s;
    matrix[at_tee(i, 0)][at_tee(i, 1)] = -d.straight_by_b;
    matrix[at_tee(i, 1)][at_tee(i, 0)] = -d.branch_by_s;
    matrix[at_tee(i, 1)][at_tee(i, 1)] = -d.branch_by_b;
    for (size_t f = 0; f < 2; f++) {
      node_row(port[0], at_tee(i, f), 1.0);
      node_row(port[1 + f], at_tee(i, f), -1.0);
    }
  }
}

static void swap_rows(size_t a, size_t b) {
  for (size_t k = 0; k <= MAX; k++) {
    double kept = matrix[a][k];
    matrix[a][k] = matrix[b][k];
    matrix[b][k] = kept;
  }
}

/* Gauss-Jordan with row pivots; the solution is left in column MAX. */
static void eliminate(size_t n) {
  for (size_t i = 0; i < n; i++) {
    size_t best = i;
    for (size_t k = i + 1; k < n; k++)
      best = fabs(matrix[k][i]) > fabs(matrix[best][i]) ? k : best;
    ck_assert_double_ne(matrix[best][i], 0.0);
    swap_rows(i, best);
    for (size_t k = 0; k < n; k++) {
      double factor = k != i ? matrix[k][i] / matrix[i][i] : 0.0;
      for (size_t c = i; factor != 0.0 && c <= MAX; c++)
        matrix[k][c] -= factor * matrix[i][c];
    }
  }
  for (size_t i = 0; i < n; i++)
    matrix[i][MAX] /= matrix[i][i];
}

/* From 1 m/s in all parts, with half steps at first. */
static void solve_densely(void) {
  size_t n = net->n_nodes + net->n_parts + 2 * net->n_tees;
  ck_assert_uint_le(n, MAX);
  for (size_t i = 0; i < n; i++)
    unknown[i] = 0.0;
  for (ebi_part i = 0; i < net->n_parts; i++)
    unknown[at_part(i)] = ebi_part_start(ebi_part_at(net, i));
  for (int step = 0; step < 80; step++) {
    linearise(n);
    eliminate(n);
    for (size_t i = 0; i < n; i++)
      unknown[i] += (step < 20 ? 0.5 : 1.0) * matrix[i][MAX];
  }
}

static ebi_solution compare(void) {
  ebi_solution s = net_solve();
  solve_densely();
  for (ebi_node i = 0; i < net->n_nodes; i++)
    ck_assert_double_eq_tol(s.pressure[i], unknown[i], 1e-7);
  for (ebi_part i = 0; i < net->n_parts; i++)
    ck_assert_double_eq_tol(s.flow_ref[i], unknown[at_part(i)], 1e-10);
  for (ebi_tee i = 0; i < net->n_tees; i++) {
    ck_assert_double_eq_tol(s.tee_straight[i], unknown[at_tee(i, 0)], 1e-10);
    ck_assert_double_eq_tol(s.tee_branch[i], unknown[at_tee(i, 1)], 1e-10);
  }
  return s;
}

/* ---- Trees ---- */

/* One tee with a duct on each port to a fixed pressure. */
static ebi_solution three_ducts(double combined, double straight, double branch,
                                const ebi_tee_shape *shape) {
  ebi_node c = net_node("c"), s = net_node("s"), b = net_node("b");
  net_duct("combined", net_fixed("C", combined), c, 0.16, 3.1, 0.5);
  net_duct("straight", s, net_fixed("S", straight), 0.125, 4.3, 7.0);
  net_duct("branch", b, net_fixed("B", branch), 0.1, 2.7, 5.0);
  net_tee(c, s, b, shape);
  return compare();
}

START_TEST(all_six_patterns_of_flow) {
  static const double p[][3] = {{70, 3, 0},  {0, 60, 55}, {3, 70, 0},      {0, 3, 70},
                                {70, 0, 66}, {69, 71, 0}, {20, 19.9, 20.1}};
  for (size_t i = 0; i < sizeof p / sizeof p[0]; i++) {
    for (int shape = 0; shape < 2; shape++) {
      net_teardown();
      net_setup();
      ebi_solution s = three_ducts(p[i][0], p[i][1], p[i][2], shape == 0 ? &even : &narrow);
      ck_assert_int_le(s.iterations, 15);
    }
  }
}
END_TEST

START_TEST(a_tee_at_rest_is_solved) {
  ebi_solution s = three_ducts(7.0, 7.0, 7.0, &even);
  ck_assert_double_lt(fabs(s.tee_straight[0]), 1e-10);
  ck_assert_double_lt(fabs(s.tee_branch[0]), 1e-10);
}
END_TEST

START_TEST(a_branch_at_rest_is_solved) {
  ebi_node c = net_node("c"), s = net_node("s"), b = net_node("b"), end = net_node("end");
  net_duct("combined", net_fixed("C", 40.0), c, 0.16, 3.1, 0.5);
  net_duct("straight", s, net_fixed("S", 0.0), 0.125, 4.3, 7.0);
  net_duct("blind", b, end, 0.1, 2.7, 5.0);
  net_tee(c, s, b, &even);
  ebi_solution x = compare();
  ck_assert_double_lt(fabs(x.tee_branch[0]), 1e-10);
  ck_assert_double_lt(x.pressure[end], x.pressure[c] - 1.0); /* the velocity pressure is lost */
}
END_TEST

START_TEST(ports_may_be_fixed_themselves) {
  ebi_node c = net_fixed("c", 20.0), s = net_node("s"), b = net_fixed("b", 11.0);
  net_duct("straight", s, net_fixed("S", 0.0), 0.125, 4.3, 7.0);
  net_tee(c, s, b, &even);
  ebi_solution x = compare();
  ck_assert_double_gt(x.tee_branch[0], 0.0);
  net_tee(net_fixed("c", 5.0), net_fixed("s", 4.9), net_fixed("b", 2.0), &even);
  (void)net_solve(); /* has more than one solution */
}
END_TEST

/* A fast run draws through its branch: the branch's pressure is below that of the run. */
START_TEST(joining_air_draws_the_branch) {
  ebi_node c = net_node("c"), s = net_node("s"), b = net_node("b");
  net_duct("straight", net_fixed("S", 60.0), s, 0.125, 1.0, 0.3);
  net_duct("branch", net_fixed("B", 0.0), b, 0.1, 1.0, 1.0);
  net_duct("combined", c, net_fixed("C", 0.0), 0.125, 1.0, 0.1);
  net_tee(c, s, b, &even);
  ebi_solution x = compare();
  ck_assert_double_lt(x.tee_straight[0], 0.0);
  ck_assert_double_lt(x.tee_branch[0], 0.0);
  ck_assert_double_lt(x.pressure[b], x.pressure[c]);
}
END_TEST

/* A supply or extract trunk with four tees, the fan at one end; built from either end, so that
 * every port gets its turn as the one towards the root. */
static double trunk(bool extract, bool from_the_end, double *flow) {
  enum { TEES = 4 };
  ebi_node combined[TEES], straight[TEES], branch[TEES], room[TEES + 1];
  for (int i = 0; i <= TEES; i++)
    room[i] = net_fixed("room", 0.0);
  for (int i = 0; i < TEES; i++) {
    combined[i] = net_node("c");
    straight[i] = net_node("s");
    branch[i] = net_node("b");
  }
  ebi_node unit = net_node("unit"), outdoors = net_fixed("outdoors", 0.0);
  ebi_part part[TEES];
  for (int k = 0; k < TEES; k++) {
    int i = from_the_end ? TEES - 1 - k : k;
    part[i] = net_duct("branch", branch[i], room[i], 0.1, 2.0 + i, 20.0 + 9.0 * i);
    net_duct("run", i + 1 < TEES ? combined[i + 1] : room[TEES], straight[i], 0.125, 3.0,
             i + 1 < TEES ? 0.5 : 30.0);
    net_tee(combined[i], straight[i], branch[i], i % 2 == 0 ? &even : &narrow);
  }
  net_duct("trunk", combined[0], unit, 0.16, 5.0, 1.0);
  net_join("fan", extract ? unit : outdoors, extract ? outdoors : unit, net_fan(300.0, 0.15));
  ebi_solution x = compare();
  for (int i = 0; i < TEES; i++)
    flow[i] = x.flow_ref[part[i]];
  ck_assert_int_le(x.iterations, 9);
  return x.pressure[unit];
}

START_TEST(trunks_with_tees_in_any_order) {
  for (int extract = 0; extract < 2; extract++) {
    double a[4], b[4];
    net_teardown();
    net_setup();
    double there = trunk(extract != 0, false, a);
    net_teardown();
    net_setup();
    double back = trunk(extract != 0, true, b);
    ck_assert_double_eq_tol(there, back, 1e-9);
    for (int i = 0; i < 4; i++) {
      ck_assert_double_eq_tol(a[i], b[i], 1e-12);
      ck_assert(extract ? a[i] < -0.005 : a[i] > 0.005);
    }
  }
}
END_TEST

/* ---- Cores ---- */

/* A ring main fed through one tee and tapped through three. */
START_TEST(a_ring_of_tees_is_a_core) {
  enum { TEES = 4 };
  ebi_node c[TEES], s[TEES], b[TEES];
  for (int i = 0; i < TEES; i++) {
    c[i] = net_node("c");
    s[i] = net_node("s");
    b[i] = net_node("b");
    net_tee(c[i], s[i], b[i], i % 2 == 0 ? &even : &narrow);
  }
  for (int i = 0; i < TEES; i++)
    net_duct("ring", s[i], c[(i + 1) % TEES], 0.125, 3.0 + 1.7 * i, 0.4);
  net_duct("feed", net_fixed("unit", 110.0), b[0], 0.16, 2.0, 1.0);
  for (int i = 1; i < TEES; i++)
    net_duct("tap", b[i], net_fixed("room", 0.0), 0.1, 3.0, 11.0 * i);
  ebi_solution x = compare();
  ck_assert_double_lt(x.tee_branch[0], -0.01);
  ck_assert_double_gt(x.tee_branch[1], 0.005);
}
END_TEST

/* A loop of ducts with trees on it, and on these a tee. */
START_TEST(a_loop_may_carry_trees_with_tees) {
  ebi_node a = net_node("a"), d = net_node("d"), e = net_node("e");
  ebi_node c = net_node("c"), s = net_node("s"), b = net_node("b");
  net_duct("feed", net_fixed("unit", 95.0), a, 0.16, 4.0, 1.0);
  net_duct("ad", a, d, 0.125, 5.0, 1.0);
  net_duct("de", d, e, 0.1, 3.0, 1.0);
  net_duct("ea", e, a, 0.125, 7.0, 1.0);
  net_duct("dc", d, c, 0.125, 2.0, 0.5);
  net_tee(c, s, b, &even);
  net_duct("s", s, net_fixed("room", 0.0), 0.1, 4.0, 30.0);
  net_duct("b", b, net_fixed("room", 0.0), 0.1, 2.0, 50.0);
  net_duct("e", e, net_fixed("room", 0.0), 0.1, 2.0, 40.0);
  (void)compare();
}
END_TEST

START_TEST(an_isolated_tee_does_not_disturb) {
  net_tee(net_node("c"), net_node("s"), net_node("b"), &even);
  ebi_node a = net_fixed("a", 10.0), d = net_fixed("d", 0.0);
  net_duct("ad", a, d, 0.1, 4.0, 1.0);
  ebi_solution x = net_solve();
  ck_assert(isnan(x.pressure[0]));
  ck_assert_double_eq(x.tee_straight[0], 0.0);
}
END_TEST

Suite *suite_network_tees(void) {
  Suite *suite = suite_create("network_tees");
  TCase *tests = tcase_create("tees");
  tcase_add_checked_fixture(tests, net_setup, net_teardown);
  tcase_add_test(tests, all_six_patterns_of_flow);
  tcase_add_test(tests, a_tee_at_rest_is_solved);
  tcase_add_test(tests, a_branch_at_rest_is_solved);
  tcase_add_test(tests, ports_may_be_fixed_themselves);
  tcase_add_test(tests, joining_air_draws_the_branch);
  tcase_add_test(tests, trunks_with_tees_in_any_order);
  tcase_add_test(tests, a_ring_of_tees_is_a_core);
  tcase_add_test(tests, a_loop_may_carry_trees_with_tees);
  tcase_add_test(tests, an_isolated_tee_does_not_disturb);
  suite_add_tcase(suite, tests);
  return suite;
}
