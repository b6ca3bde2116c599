/* network_help.c - building small networks in tests */

#include "network_help.h"

#include <check.h>
#include <math.h>

#include "network/network_data.h"
#include "network/tee_law.h"

eb_context *net_context;
ebi_network *net;
const ebi_air_state net_air = {1.2, 1.8e-5};

void net_setup(void) {
  net_context = eb_context_new(NULL);
  ck_assert_ptr_nonnull(net_context);
  net = ebi_network_new(net_context);
  ck_assert_ptr_nonnull(net);
}

void net_teardown(void) {
  ebi_network_free(net);
  eb_context_free(net_context);
}

ebi_node net_node(const char *name) {
  ebi_node node = ebi_network_node(net, name);
  ck_assert_uint_ne(node, (size_t)-1);
  return node;
}

ebi_node net_fixed(const char *name, double pressure) {
  ebi_node node = net_node(name);
  ebi_network_fix(net, node, pressure);
  return node;
}

ebi_part net_join(const char *name, ebi_node from, ebi_node to, ebi_element element) {
  ebi_part part = ebi_network_part(net, name, from, to, net_air, &element, 1);
  ck_assert_uint_ne(part, (size_t)-1);
  return part;
}

ebi_part net_duct(const char *name, ebi_node from, ebi_node to, double bore, double length,
                  double zeta) {
  ebi_section section = ebi_section_round(bore);
  ebi_element elements[] = {
      {.kind = EBI_ELEMENT_DUCT, .parallel = 1.0, .as.duct = {section, length, 9e-5}},
      {.kind = EBI_ELEMENT_LOSS, .parallel = 1.0, .as.loss = {section.area, zeta, zeta}}};
  ebi_part part = ebi_network_part(net, name, from, to, net_air, elements, zeta != 0.0 ? 2 : 1);
  ck_assert_uint_ne(part, (size_t)-1);
  return part;
}

ebi_element net_power(double drop, double at, double exponent) {
  return (ebi_element){
      .kind = EBI_ELEMENT_POWER, .parallel = 1.0, .as.power = {drop, at, exponent}};
}

ebi_element net_valve(double k) {
  return (ebi_element){.kind = EBI_ELEMENT_VALVE, .parallel = 1.0, .as.valve = {k}};
}

ebi_element net_fan(double top, double most) {
  double flow[41], pressure[41];
  for (int i = 0; i < 41; i++) {
    flow[i] = most * i / 40.0;
    pressure[i] = top * (1.0 - i * i / 1600.0);
  }
  ebi_fan_curve_points points = {1.0, flow, pressure, NULL, 41};
  ebi_arena *arena = ebi_context_arena(net_context);
  ck_assert_ptr_nonnull(arena);
  ebi_fan *fan = ebi_fan_new(arena, &points, 1, 0.0);
  ck_assert_ptr_nonnull(fan);
  return (ebi_element){.kind = EBI_ELEMENT_FAN, .parallel = 1.0, .as.fan = {fan, 1.0}};
}

/* Mass at each free node, by hand. */
static void check_balance(const ebi_solution *solution) {
  for (ebi_node i = 0; i < net->n_nodes; i++) {
    double out = ebi_node_at(net, i)->given;
    if (ebi_node_at(net, i)->fixed || isnan(solution->pressure[i]))
      continue;
    for (ebi_part k = 0; k < net->n_parts; k++) {
      const ebi_net_part *part = ebi_part_at(net, k);
      out += solution->flow_ref[k] * ((part->from == i ? 1.0 : 0.0) - (part->to == i ? 1.0 : 0.0));
    }
    for (ebi_tee k = 0; k < net->n_tees; k++) {
      const ebi_place *port = ebi_tee_at(net, k)->port;
      double s = solution->tee_straight[k], b = solution->tee_branch[k];
      out += (port[0] == i ? s + b : 0.0) - (port[1] == i ? s : 0.0) - (port[2] == i ? b : 0.0);
    }
    ck_assert_msg(fabs(out) < 1e-10, "%s is out of balance by %g", ebi_node_at(net, i)->name, out);
  }
}

/* Pressure along each open part, by the laws of its elements alone. */
static void check_drops(const ebi_solution *solution) {
  for (ebi_part k = 0; k < net->n_parts; k++) {
    const ebi_net_part *part = ebi_part_at(net, k);
    double drop = 0.0, flow = solution->flow_ref[k] * 1.2 / part->air.density;
    if (part->closed || isnan(solution->pressure[part->from])) {
      ck_assert_double_eq(flow, 0.0);
      continue;
    }
    for (size_t i = 0; i < part->count; i++)
      drop += ebi_element_drop(&part->elements[i], part->air, flow).pa;
    double difference = solution->pressure[part->from] - solution->pressure[part->to];
    double limit = part->count > 0 ? 1e-8 + 1e-12 * fabs(drop) : 1e-4;
    ck_assert_msg(fabs(drop - difference) < limit, "%s lacks %g Pa", part->name, difference - drop);
  }
}

static void check_tees(const ebi_solution *solution) {
  for (ebi_tee k = 0; k < net->n_tees; k++) {
    const ebi_net_tee *tee = ebi_tee_at(net, k);
    const double *p = solution->pressure;
    double per_ref = 1.2 / tee->air.density;
    if (isnan(p[tee->port[0]]))
      continue;
    ebi_tee_drop drop = ebi_tee_drops(&tee->shape, tee->air, solution->tee_straight[k] * per_ref,
                                      solution->tee_branch[k] * per_ref);
    double lack_s = p[tee->port[0]] - p[tee->port[1]] - drop.straight;
    double lack_b = p[tee->port[0]] - p[tee->port[2]] - drop.branch;
    ck_assert_msg(fabs(lack_s) < 1e-4 && fabs(lack_b) < 1e-4, "%s lacks %g and %g Pa", tee->name,
                  lack_s, lack_b);
  }
}

ebi_solution net_solve(void) {
  ebi_solution solution;
  eb_status status = ebi_network_solve(net, &solution);
  ck_assert_msg(status == EB_OK, "%s", eb_status_text(status));
  ck_assert(solution.residual_flow >= 0.0 && solution.residual_flow <= 1e-10);
  ck_assert(solution.residual_pressure >= 0.0);
  ck_assert_ptr_nonnull(solution.worst);
  ck_assert_int_le(solution.iterations, 100);
  check_balance(&solution);
  check_drops(&solution);
  check_tees(&solution);
  return solution;
}

const char *net_diagnostic(void) {
  size_t count;
  const eb_diagnostic *all = eb_diagnostics(net_context, &count);
  return count > 0 ? all[0].code : "";
}
