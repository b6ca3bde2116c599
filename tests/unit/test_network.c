/* test_network.c - the solver on networks without tees
 *
 * Hostile inputs are those that broke other solvers of pipe networks: flows
 * near zero, ducts declared backwards, closed valves, pieces without a known
 * pressure, fans beyond their curve. Published networks are case rows. */

#include "network/network.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "network_help.h"
#include "suites.h"

#define CHECK_REL(found, want, relative)                                                           \
  ck_assert_msg(fabs((found) - (want)) <= (relative)*fabs(want), "%.12g is not %.12g",             \
                (double)(found), (double)(want))

/* ---- Three networks solved by other means ----
 *
 * With Colebrook above Re 4000 and the same laws, by scipy's fsolve (own calculation); flows in
 * m3/h. One of them runs a link in the bridge below Re 4000, where that calculation has another
 * one, and is compared less closely. */

typedef struct link {
  const char *name;
  int from, to;
  double length, bore, zeta, flow;
} link;

static const ebi_air_state check_air = {1.2, 1.5e-5 * 1.2};

static void build_links(const link *links, size_t n) {
  for (size_t i = 0; i < n; i++) {
    ebi_section section = ebi_section_round(links[i].bore);
    ebi_element elements[] = {
        {.kind = EBI_ELEMENT_DUCT, .parallel = 1.0, .as.duct = {section, links[i].length, 9e-5}},
        {.kind = EBI_ELEMENT_LOSS,
         .parallel = 1.0,
         .as.loss = {section.area, links[i].zeta, links[i].zeta}}};
    (void)ebi_network_part(net, links[i].name, (ebi_node)links[i].from, (ebi_node)links[i].to,
                           check_air, elements, 2);
  }
}

static void check_links(const link *links, size_t n, const ebi_solution *s, double relative,
                        double absolute) {
  for (size_t i = 0; i < n; i++)
    ck_assert_msg(fabs(3600.0 * s->flow_ref[i] - links[i].flow) <
                      relative * fabs(links[i].flow) + absolute,
                  "%s: %.12g is not %.12g", links[i].name, 3600.0 * s->flow_ref[i], links[i].flow);
}

START_TEST(a_ring_main_agrees_with_another_solver) {
  static const link links[] = {{"F", 0, 1, 4, 0.16, 1.5, 220.0},
                               {"AB", 1, 2, 6, 0.125, 0.9, 120.79585087630215},
                               {"BC", 2, 3, 5, 0.1, 0.7, 60.795850876302154},
                               {"CD", 3, 4, 7, 0.1, 0.8, -54.20414912369785},
                               {"DA", 4, 1, 9, 0.125, 1.1, -99.20414912369786},
                               {"CE", 3, 5, 3, 0.08, 1.4, 30.0}};
  static const double pressure[] = {90,
                                    78.28101827149902,
                                    68.49891741034929,
                                    62.43403414643309,
                                    68.90315457242987,
                                    58.05340193171556};
  static const double demand[] = {0, 0, 60, 85, 45, 30};
  net_fixed("PL", 90.0);
  for (ebi_node i = 1; i < 6; i++)
    ebi_network_outflow(net, net_node("free"), demand[i] / 3600.0);
  build_links(links, 6);
  ebi_solution s = net_solve();
  check_links(links, 6, &s, 1e-11, 0.0);
  for (ebi_node i = 0; i < 6; i++)
    ck_assert_double_eq_tol(s.pressure[i], pressure[i], 1e-9);
}
END_TEST

START_TEST(a_tree_agrees_with_another_solver) {
  enum { PL, ROOM, A, B, C, V1, V2, V3, V4, V5 };
  static const link links[] = {{"M1", PL, A, 2.5, 0.2, 2, 280.8379339067456},
                               {"M2", A, B, 3, 0.16, 0.6, 147.56734658669924},
                               {"M3", B, C, 4, 0.125, 0.6, 130.67302744331235},
                               {"B1", A, V1, 5, 0.1, 1.2, 60.00183021065206},
                               {"B2", A, V2, 2, 0.125, 0.9, 73.26875710939431},
                               {"B3", B, V3, 6, 0.08, 1.5, 16.89431914338689},
                               {"B4", C, V4, 3.5, 0.1, 1, 62.84995155997541},
                               {"B5", C, V5, 7, 0.1, 1.8, 67.82307588333695},
                               {"T1", V1, ROOM, 0.5, 0.125, 85, 60.00183021065206},
                               {"T2", V2, ROOM, 0.5, 0.125, 60, 73.26875710939431},
                               {"T3", V3, ROOM, 0.5, 0.1, 450, 16.89431914338689},
                               {"T4", V4, ROOM, 0.5, 0.125, 70, 62.84995155997541},
                               {"T5", V5, ROOM, 0.5, 0.125, 55, 67.82307588333695}};
  net_fixed("PL", 110.0);
  net_fixed("rooms", 0.0);
  for (int i = A; i <= V5; i++)
    net_node("free");
  build_links(links, 13);
  ebi_solution s = net_solve();
  /* T3 runs at Re 3983, just inside the bridge. */
  check_links(links, 13, &s, 5e-6, 0.0);
}
END_TEST

START_TEST(a_fan_and_a_loop_agree_with_another_solver) {
  enum { OUT, ROOM, S, D0, U1, U2, W1, W2 };
  static const link links[] = {{"IN", OUT, S, 3, 0.2, 2.5, 315.5604663658414},
                               {"D1", D0, U1, 3, 0.16, 1, 168.3187200170434},
                               {"D2", D0, W1, 5, 0.16, 1.2, 147.241746348798},
                               {"RU", U1, U2, 3, 0.125, 0.5, 94.82053990601291},
                               {"RW", W1, W2, 3, 0.125, 0.5, 91.08879804813698},
                               {"X", U2, W2, 6, 0.1, 0.9, -0.8425291096472741},
                               {"T1", U1, ROOM, 2, 0.125, 70, 73.4981801110305},
                               {"T2", U2, ROOM, 2, 0.125, 40, 95.66306901566018},
                               {"T3", W1, ROOM, 2, 0.125, 120, 56.152948300661016},
                               {"T4", W2, ROOM, 2, 0.125, 45, 90.24626893848969}};
  net_fixed("OUT", 240.0); /* the shut-off pressure, and the rest of the fan a power law */
  net_fixed("ROOM", 0.0);
  for (int i = S; i <= W2; i++)
    net_node("free");
  build_links(links, 10);
  net_join("fan", S, D0, net_power(240.0, 500.0 / 3600.0, 1.8));
  ebi_solution s = net_solve();
  check_links(links, 10, &s, 1e-10, 1e-9);
  ck_assert_double_eq_tol(s.pressure[U2], 113.79146687460468, 1e-8);
}
END_TEST

/* ---- Trees and fixed pressures ---- */

START_TEST(one_part_between_fixed_pressures) {
  ebi_node a = net_fixed("a", 31.0), b = net_fixed("b", 2.7);
  net_join("valve", b, a, net_valve(0.0031));
  ebi_solution s = net_solve();
  CHECK_REL(s.flow_ref[0], -0.0031 * sqrt(28.3), 1e-12);
}
END_TEST

/* Two squares in parallel, then one in series. */
START_TEST(series_and_parallel_squares) {
  ebi_node a = net_fixed("a", 113.0), b = net_node("b"), c = net_fixed("c", 0.0);
  net_join("one", a, b, net_valve(0.0041));
  net_join("two", a, b, net_valve(0.0027));
  net_join("out", b, c, net_valve(0.0053));
  ebi_solution s = net_solve();
  double both = 1.0 / ((1.0 / 0.0068) * (1.0 / 0.0068) + (1.0 / 0.0053) * (1.0 / 0.0053));
  CHECK_REL(s.flow_ref[2], sqrt(113.0 * both), 1e-11);
  CHECK_REL(s.flow_ref[0] / s.flow_ref[1], 41.0 / 27.0, 1e-11);
}
END_TEST

/* A dwelling's supply tree; `flip` declares some ducts backwards, `order` builds from the end. */
static void supply_tree(int flip, bool from_the_end, double *flow) {
  ebi_node intake = net_fixed("outdoors", 0.0), box = net_node("box"), unit = net_node("unit");
  ebi_part fan = 0, part[5];
  for (int i = 0; i < 6; i++) {
    int k = from_the_end ? 5 - i : i;
    if (k == 5) {
      fan = net_join("fan", intake, unit, net_fan(240.0, 0.11));
      continue;
    }
    bool back = (flip >> k & 1) != 0;
    double size = 0.063 + 0.006 * k;
    ebi_node room = k == 4 ? box : net_fixed("room", 0.0), other = k == 4 ? unit : box;
    double bore = k == 4 ? 0.15 : size;
    part[k] = net_duct("run", back ? room : other, back ? other : room, bore, 4.0 + 1.3 * k,
                       2.0 + 0.7 * k);
  }
  ebi_solution s = net_solve();
  flow[5] = s.flow_ref[fan];
  for (int k = 0; k < 5; k++)
    flow[k] = (flip >> k & 1) != 0 ? -s.flow_ref[part[k]] : s.flow_ref[part[k]];
}

START_TEST(direction_and_order_do_not_matter) {
  double plain[6], turned[6], permuted[6];
  supply_tree(0, false, plain);
  net_teardown();
  net_setup();
  supply_tree(0x15, false, turned);
  net_teardown();
  net_setup();
  supply_tree(0x0b, true, permuted);
  double sum = plain[0] + plain[1] + plain[2] + plain[3];
  CHECK_REL(plain[4], sum, 1e-13);
  CHECK_REL(plain[5], sum, 1e-13);
  for (int k = 0; k < 6; k++) {
    ck_assert_double_gt(plain[k], 0.005);
    CHECK_REL(turned[k], plain[k], 1e-12);
    CHECK_REL(permuted[k], plain[k], 1e-12);
  }
}
END_TEST

START_TEST(the_balance_is_in_mass) {
  ebi_air_state cold = {1.342, 1.67e-5}, warm = {1.177, 1.85e-5};
  ebi_node a = net_fixed("a", 47.0), b = net_node("b"), c = net_fixed("c", 0.0);
  ebi_section section = ebi_section_round(0.125);
  ebi_element d = {.kind = EBI_ELEMENT_DUCT, .parallel = 1.0, .as.duct = {section, 21.0, 9e-5}};
  (void)ebi_network_part(net, "cold", a, b, cold, &d, 1);
  (void)ebi_network_part(net, "warm", b, c, warm, &d, 1);
  ebi_solution s = net_solve(); /* which checks drops at actual flows */
  CHECK_REL(s.flow_ref[0], s.flow_ref[1], 1e-13);
  ck_assert_double_lt(47.0 - s.pressure[b], s.pressure[b]);
}
END_TEST

START_TEST(extremes_of_size_are_solved) {
  ebi_node a = net_fixed("a", 0.0), b = net_node("b"), c = net_node("c");
  net_duct("wide", a, b, 0.3, 7.0, 0.0);
  net_duct("narrow", a, c, 0.063, 7.0, 1.3);
  ebi_network_outflow(net, b, 1e-3);
  ebi_network_outflow(net, c, 0.3);
  ebi_solution s = net_solve();
  CHECK_REL(s.flow_ref[0], 1e-3, 1e-12);
  CHECK_REL(s.flow_ref[1], 0.3, 1e-12);
  CHECK_REL(-s.pressure[b], 128.0 * 1.8e-5 * 7.0 * 1e-3 / (3.14159265358979 * pow(0.3, 4)), 1e-6);
  ck_assert_double_lt(s.pressure[c], -10000.0);
}
END_TEST

/* ---- Zero flow ---- */

START_TEST(nothing_moves_without_a_cause) {
  ebi_node a = net_fixed("a", 12.0), b = net_node("b"), c = net_node("c"), d = net_fixed("d", 12.0);
  net_duct("ab", a, b, 0.125, 6.1, 1.0);
  net_join("bc", b, c, net_power(20.0, 0.03, 1.2));
  net_join("cb", c, b, net_valve(0.002));
  net_duct("cd", c, d, 0.1, 3.3, 0.0);
  ebi_solution s = net_solve();
  for (int i = 0; i < 4; i++)
    ck_assert_double_lt(fabs(s.flow_ref[i]), 1e-10);
  ck_assert_double_eq_tol(s.pressure[c], 12.0, 1e-8);
}
END_TEST

START_TEST(a_dead_end_takes_its_neighbours_pressure) {
  ebi_node a = net_fixed("a", 30.0), b = net_node("b"), c = net_fixed("c", 0.0);
  ebi_node end = net_node("end"), further = net_node("further");
  net_join("ab", a, b, net_valve(0.003));
  net_join("bc", b, c, net_valve(0.003));
  net_duct("blind", end, b, 0.1, 5.0, 2.0);
  net_join("shut off", end, further, net_valve(0.002));
  ebi_solution s = net_solve();
  ck_assert_double_lt(fabs(s.flow_ref[2]), 1e-10);
  ck_assert_double_eq_tol(s.pressure[end], s.pressure[b], 1e-8);
  ck_assert_double_eq_tol(s.pressure[further], 15.0, 1e-8);
}
END_TEST

START_TEST(a_balanced_bridge_has_no_cross_flow) {
  ebi_node a = net_fixed("a", 50.0), b = net_node("b"), c = net_node("c"), d = net_fixed("d", 0.0);
  net_join("ab", a, b, net_valve(0.003));
  net_join("ac", a, c, net_valve(0.003));
  net_join("bc", b, c, net_valve(0.001));
  net_join("bd", b, d, net_valve(0.002));
  net_join("cd", c, d, net_valve(0.002));
  ebi_solution s = net_solve();
  ck_assert_double_lt(fabs(s.flow_ref[2]), 1e-10);
}
END_TEST

START_TEST(a_part_without_elements_joins_its_nodes) {
  ebi_node a = net_fixed("a", 40.0), b = net_node("b"), c = net_node("c"), d = net_fixed("d", 0.0);
  net_join("ab", a, b, net_valve(0.005));
  ck_assert_uint_eq(ebi_network_part(net, "bc", b, c, net_air, NULL, 0), 1);
  ck_assert_uint_eq(ebi_network_part(net, "bc too", c, b, net_air, NULL, 0), 2);
  net_join("cd", c, d, net_valve(0.004));
  ebi_solution s = net_solve();
  ck_assert_double_eq_tol(s.pressure[b], s.pressure[c], 1e-5);
  CHECK_REL(s.flow_ref[1], 0.5 * s.flow_ref[0], 1e-6);
  CHECK_REL(s.flow_ref[2], -0.5 * s.flow_ref[0], 1e-6);
}
END_TEST

START_TEST(a_loss_of_nothing_is_no_obstacle) {
  ebi_node a = net_fixed("a", 40.0), b = net_node("b"), c = net_fixed("c", 0.0);
  ebi_element none = {.kind = EBI_ELEMENT_LOSS, .parallel = 1.0, .as.loss = {0.02, 0.0, 0.0}};
  net_join("ab", a, b, none);
  net_join("bc", b, c, net_valve(0.004));
  ebi_solution s = net_solve();
  CHECK_REL(s.flow_ref[1], 0.004 * sqrt(40.0), 1e-6);
}
END_TEST

/* ---- Fans ---- */

START_TEST(a_fan_is_driven_beyond_its_curve) {
  ebi_node a = net_fixed("a", 60.0), b = net_node("b"), c = net_fixed("c", 0.0);
  net_join("fan", a, b, net_fan(120.0, 0.03));
  net_duct("wide", b, c, 0.2, 1.0, 1.0);
  ck_assert_double_gt(net_solve().flow_ref[0], 0.03);
}
END_TEST

START_TEST(a_weak_fan_is_blown_backwards) {
  ebi_node a = net_fixed("a", 0.0), b = net_node("b"), c = net_fixed("c", 90.0);
  net_join("fan", a, b, net_fan(50.0, 0.06));
  net_duct("duct", b, c, 0.1, 4.0, 3.0);
  ck_assert_double_lt(net_solve().flow_ref[0], 0.0);
}
END_TEST

START_TEST(elements_and_speed_change_between_solves) {
  ebi_node a = net_fixed("a", 0.0), b = net_node("b"), c = net_fixed("c", 0.0);
  ebi_part fan = net_join("fan", a, b, net_fan(200.0, 0.09));
  ebi_part out = net_join("out", b, c, net_valve(0.004));
  double first = net_solve().flow_ref[out];
  size_t count;
  ebi_network_elements(net, fan, &count)->as.fan.speed = 0.61;
  ck_assert_uint_eq(count, 1);
  CHECK_REL(net_solve().flow_ref[out], 0.61 * first, 1e-9); /* squares only: flow ~ speed */
  ebi_network_elements(net, fan, &count)->as.fan.speed = 1.0;
  ck_assert_double_eq(net_solve().flow_ref[out], first);
  ebi_network_elements(net, out, &count)->as.valve.k = 0.001;
  ck_assert_double_lt(net_solve().flow_ref[out], 0.5 * first);
}
END_TEST

/* ---- Closed and isolated ---- */

START_TEST(a_closed_valve_isolates_what_hangs_on_it) {
  ebi_node a = net_fixed("a", 20.0), b = net_node("b"), c = net_node("c"), d = net_node("d");
  ebi_node e = net_fixed("e", 0.0);
  net_join("ab", a, b, net_valve(0.004));
  net_join("be", b, e, net_valve(0.004));
  ebi_part gate = net_join("gate", b, c, net_valve(0.004));
  net_join("behind", c, d, net_valve(0.004));
  ebi_solution open = net_solve();
  ck_assert_double_eq_tol(open.pressure[d], 10.0, 1e-8);
  ck_assert_str_eq(net_diagnostic(), "");
  ebi_network_close(net, gate, true);
  ebi_solution shut = net_solve();
  ck_assert_double_eq_tol(shut.pressure[b], 10.0, 1e-8);
  ck_assert(isnan(shut.pressure[c]) && isnan(shut.pressure[d]));
  ck_assert_double_eq(shut.flow_ref[3], 0.0);
  size_t count;
  const eb_diagnostic *all = eb_diagnostics(net_context, &count);
  ck_assert_uint_eq(count, 1);
  ck_assert_str_eq(all[0].code, "isolated");
  ck_assert_int_eq(all[0].severity, EB_WARNING);
  ck_assert_ptr_nonnull(strstr(all[0].message, "behind"));
  (void)net_solve(); /* not said again */
  (void)eb_diagnostics(net_context, &count);
  ck_assert_uint_eq(count, 1);
  ebi_network_close(net, gate, false);
  ck_assert_double_eq_tol(net_solve().pressure[d], 10.0, 1e-8);
}
END_TEST

START_TEST(air_asked_of_an_isolated_piece_is_no_solution) {
  net_fixed("outdoors", 0.0);
  ebi_node room = net_node("bath"), other = net_node("other");
  net_duct("e-bath", room, other, 0.1, 3.0, 0.0);
  ebi_network_outflow(net, room, 0.008);
  ebi_solution s = {.iterations = -7};
  ck_assert_int_eq(ebi_network_solve(net, &s), EB_E_NO_SOLUTION);
  ck_assert_int_eq(s.iterations, -7);
  size_t count;
  const eb_diagnostic *all = eb_diagnostics(net_context, &count);
  ck_assert_uint_eq(count, 1);
  ck_assert_int_eq(all[0].severity, EB_ERROR);
  ck_assert_ptr_nonnull(strstr(all[0].message, "bath"));
  ck_assert_ptr_nonnull(strstr(all[0].message, "e-bath"));
}
END_TEST

START_TEST(an_isolated_fan_turns_only_in_a_loop) {
  ebi_node a = net_node("a"), b = net_node("b");
  net_join("fan", a, b, net_fan(100.0, 0.05));
  ebi_solution s = net_solve();
  ck_assert(isnan(s.pressure[a]));
  ck_assert_double_eq(s.flow_ref[0], 0.0);
  net_duct("round", b, a, 0.1, 3.0, 1.0);
  ck_assert_int_eq(ebi_network_solve(net, &s), EB_E_NO_SOLUTION);
}
END_TEST

START_TEST(an_isolated_piece_names_a_few_parts) {
  ebi_node hub = net_node("hub");
  for (int i = 0; i < 11; i++)
    net_duct(i == 0 ? "first" : "more", hub, net_node("end"), 0.1, 3.0, 0.0);
  (void)net_solve();
  size_t count;
  const eb_diagnostic *all = eb_diagnostics(net_context, &count);
  ck_assert_uint_eq(count, 1);
  ck_assert_ptr_nonnull(strstr(all[0].message, "first"));
  ck_assert_ptr_nonnull(strstr(all[0].message, "and 3 more"));
}
END_TEST

START_TEST(one_node_or_none_is_a_network) {
  ebi_solution s = net_solve();
  ck_assert_double_eq(s.residual_flow, 0.0);
  net_fixed("lone", 5.0);
  s = net_solve();
  ck_assert_double_eq(s.pressure[0], 5.0);
  net_node("joined to nothing");
  s = net_solve();
  ck_assert(isnan(s.pressure[1]));
  ck_assert_str_eq(net_diagnostic(), "isolated");
}
END_TEST

START_TEST(a_part_may_end_where_it_begins) {
  ebi_node a = net_fixed("a", 20.0), b = net_node("b"), c = net_fixed("c", 0.0);
  net_join("ab", a, b, net_valve(0.004));
  net_duct("round", b, b, 0.1, 4.0, 1.0);
  net_join("bc", b, c, net_valve(0.004));
  ebi_solution s = net_solve();
  ck_assert_double_lt(fabs(s.flow_ref[1]), 1e-9);
  ck_assert_double_eq_tol(s.pressure[b], 10.0, 1e-8);
}
END_TEST

START_TEST(what_does_not_exist_is_not_added) {
  ebi_node a = net_fixed("a", 1.0);
  ebi_tee_shape shape = {0.01, 0.01, 0.01, 90.0};
  ck_assert_uint_eq(ebi_network_part(net, "p", a, 7, net_air, NULL, 0), (size_t)-1);
  ck_assert_uint_eq(ebi_network_tee(net, "t", a, a, 7, net_air, &shape), (size_t)-1);
  size_t count = 9;
  ck_assert_ptr_null(ebi_network_elements(net, 3, &count));
  ck_assert_uint_eq(count, 0);
}
END_TEST

/* ---- Failing ---- */

/* A fan that nothing holds: both ends at one pressure. */
START_TEST(what_has_no_solution_says_so_with_its_residual) {
  ebi_node a = net_fixed("a", 0.0), b = net_fixed("b", 33.0);
  ebi_element gain = {.kind = EBI_ELEMENT_LOSS, .parallel = 1.0, .as.loss = {0.02, -1.0, -1.0}};
  net_join("gain", b, a, gain);
  ebi_solution s = {.iterations = -7};
  ck_assert_int_eq(ebi_network_solve(net, &s), EB_E_DIVERGED);
  ck_assert_int_eq(s.iterations, -7);
  size_t count;
  const eb_diagnostic *all = eb_diagnostics(net_context, &count);
  ck_assert_uint_eq(count, 1);
  ck_assert_str_eq(all[0].code, "not-converged");
  ck_assert_ptr_nonnull(strstr(all[0].message, "gain"));
}
END_TEST

START_TEST(what_is_not_finite_is_not_a_solution) {
  ebi_node a = net_fixed("a", NAN), b = net_fixed("b", 0.0);
  net_join("part", a, b, net_valve(0.01));
  ebi_solution s;
  ck_assert_int_eq(ebi_network_solve(net, &s), EB_E_DIVERGED);
}
END_TEST

/* Fails each allocation of a build and solve in turn. */
typedef struct scarce {
  long left;
  long in_use;
} scarce;

static void *scarce_resize(void *user, void *pointer, size_t old_size, size_t new_size) {
  scarce *s = user;
  (void)old_size;
  if (new_size == 0) {
    s->in_use -= pointer != NULL;
    free(pointer);
    return NULL;
  }
  if (s->left-- <= 0)
    return NULL;
  s->in_use += pointer == NULL;
  return realloc(pointer, new_size);
}

/* A ring with a hanging tree and an isolated piece; the pressures go to `out`. */
static eb_status build_and_solve(eb_context *context, ebi_network *network, double *out) {
  static const int ends[][2] = {{0, 1}, {1, 2}, {2, 3}, {3, 1}, {3, 4}, {5, 6}};
  for (int i = 0; i < 7; i++) {
    if (ebi_network_node(network, "node") == (size_t)-1)
      return EB_E_MEMORY;
  }
  ebi_network_fix(network, 0, 71.0);
  ebi_network_fix(network, 4, 0.0);
  for (int i = 0; i < 6; i++) {
    ebi_element element = net_valve(0.002 + 0.0007 * i);
    if (ebi_network_part(network, "part", (ebi_node)ends[i][0], (ebi_node)ends[i][1], net_air,
                         &element, 1) == (size_t)-1)
      return EB_E_MEMORY;
  }
  ebi_solution s;
  eb_status status = ebi_network_solve(network, &s);
  for (int i = 0; i < 5 && status == EB_OK; i++)
    out[i] = s.pressure[i];
  (void)context;
  return status;
}

static eb_status run_with(const eb_allocator *allocator, double *out) {
  eb_context *context = eb_context_new(allocator);
  if (context == NULL)
    return EB_E_MEMORY;
  ebi_network *network = ebi_network_new(context);
  eb_status status = network != NULL ? build_and_solve(context, network, out) : EB_E_MEMORY;
  ebi_network_free(network);
  eb_context_free(context);
  return status;
}

START_TEST(each_failing_allocation_is_survived) {
  eb_status status = EB_E_MEMORY;
  long n = 0;
  for (; status != EB_OK && n < 500; n++) {
    scarce memory = {n, 0};
    eb_allocator allocator = {scarce_resize, &memory, 1};
    double out[5];
    status = run_with(&allocator, out);
    ck_assert(status == EB_OK || status == EB_E_MEMORY);
    ck_assert_int_eq(memory.in_use, 0);
  }
  ck_assert_int_gt(n, 20);
  ck_assert_int_lt(n, 500);
}
END_TEST

START_TEST(block_size_does_not_change_a_bit) {
  double one[5], big[5];
  scarce a = {100000, 0}, b = {100000, 0};
  eb_allocator small = {scarce_resize, &a, 1}, large = {scarce_resize, &b, 1000003};
  ck_assert_int_eq(run_with(&small, one), EB_OK);
  ck_assert_int_eq(run_with(&large, big), EB_OK);
  ck_assert_mem_eq(one, big, sizeof one);
}
END_TEST

/* ---- Many ---- */

/* A comb of 3000 terminals, each with its own length, and its ring. */
static void comb(bool ring, double *total, int *iterations) {
  ebi_node plenum = net_fixed("plenum", 140.0), room = net_fixed("room", 0.0), along = plenum;
  for (int i = 0; i < 3000; i++) {
    ebi_node tap = net_node("tap"), valve = net_node("valve");
    net_duct("main", along, tap, 0.3 + 1.2 * (3000 - i) / 3000.0, 1.5, 0.1);
    net_duct("branch", tap, valve, 0.1, 2.0 + (i * 7 % 11) * 0.37, 1.2);
    net_duct("valve", valve, room, 0.125, 0.5, 55.0 + i % 17);
    along = tap;
  }
  if (ring)
    net_duct("ring", along, plenum, 0.6, 30.0, 2.0);
  ebi_solution s;
  ck_assert_int_eq(ebi_network_solve(net, &s), EB_OK);
  *total = 0.0;
  for (int i = 0; i < 3000; i++)
    *total += s.flow_ref[3 * i + 2];
  CHECK_REL(s.flow_ref[0] + (ring ? -s.flow_ref[9000] : 0.0), *total, 1e-11);
  *iterations = s.iterations;
}

START_TEST(thousands_of_terminals_take_a_dozen_steps) {
  double tree, ring;
  int steps;
  comb(false, &tree, &steps);
  ck_assert_int_le(steps, 12);
  net_teardown();
  net_setup();
  comb(true, &ring, &steps);
  ck_assert_int_le(steps, 12);
  ck_assert_double_gt(ring, tree);
}
END_TEST

Suite *suite_network(void) {
  Suite *suite = suite_create("network");
  TCase *tests = tcase_create("solving");
  tcase_add_checked_fixture(tests, net_setup, net_teardown);
  tcase_add_test(tests, a_ring_main_agrees_with_another_solver);
  tcase_add_test(tests, a_tree_agrees_with_another_solver);
  tcase_add_test(tests, a_fan_and_a_loop_agree_with_another_solver);
  tcase_add_test(tests, one_part_between_fixed_pressures);
  tcase_add_test(tests, series_and_parallel_squares);
  tcase_add_test(tests, direction_and_order_do_not_matter);
  tcase_add_test(tests, the_balance_is_in_mass);
  tcase_add_test(tests, extremes_of_size_are_solved);
  tcase_add_test(tests, nothing_moves_without_a_cause);
  tcase_add_test(tests, a_dead_end_takes_its_neighbours_pressure);
  tcase_add_test(tests, a_balanced_bridge_has_no_cross_flow);
  tcase_add_test(tests, a_part_without_elements_joins_its_nodes);
  tcase_add_test(tests, a_loss_of_nothing_is_no_obstacle);
  tcase_add_test(tests, a_fan_is_driven_beyond_its_curve);
  tcase_add_test(tests, a_weak_fan_is_blown_backwards);
  tcase_add_test(tests, elements_and_speed_change_between_solves);
  tcase_add_test(tests, a_closed_valve_isolates_what_hangs_on_it);
  tcase_add_test(tests, air_asked_of_an_isolated_piece_is_no_solution);
  tcase_add_test(tests, an_isolated_fan_turns_only_in_a_loop);
  tcase_add_test(tests, an_isolated_piece_names_a_few_parts);
  tcase_add_test(tests, one_node_or_none_is_a_network);
  tcase_add_test(tests, a_part_may_end_where_it_begins);
  tcase_add_test(tests, what_does_not_exist_is_not_added);
  tcase_add_test(tests, what_has_no_solution_says_so_with_its_residual);
  tcase_add_test(tests, what_is_not_finite_is_not_a_solution);
  tcase_add_test(tests, each_failing_allocation_is_survived);
  tcase_add_test(tests, block_size_does_not_change_a_bit);
  tcase_add_test(tests, thousands_of_terminals_take_a_dozen_steps);
  suite_add_tcase(suite, tests);
  return suite;
}
