/* layout.c - small networks of one air, built and solved by the methods of case rows */

#include "layout.h"

#include <stdlib.h>

layout layout_new(int nodes, double density, double viscosity) {
  layout l = {.context = eb_context_new(NULL), .air = {density, viscosity}};
  l.network = l.context != NULL ? ebi_network_new(l.context) : NULL;
  if (l.network == NULL)
    abort();
  for (int i = 0; i < nodes; i++)
    (void)ebi_network_node(l.network, "node");
  return l;
}

void layout_free(layout *l) {
  ebi_network_free(l->network);
  eb_context_free(l->context);
}

void layout_fix(layout *l, int node, double pressure) {
  ebi_network_fix(l->network, (ebi_node)node, pressure);
}

void layout_asks(layout *l, int node, double flow) {
  ebi_network_outflow(l->network, (ebi_node)node, flow * l->air.density / EB_REFERENCE_DENSITY);
}

ebi_part layout_part(layout *l, int from, int to, const ebi_element *elements, size_t count) {
  ebi_part part =
      ebi_network_part(l->network, "part", (ebi_node)from, (ebi_node)to, l->air, elements, count);
  if (part == (size_t)-1)
    abort();
  return part;
}

ebi_part layout_duct(layout *l, int from, int to, double bore, double length, double roughness,
                     double zeta) {
  ebi_section section = ebi_section_round(bore);
  ebi_element elements[] = {layout_element_duct(section, length, roughness),
                            layout_element_loss(section.area, zeta)};
  return layout_part(l, from, to, elements, zeta != 0.0 ? 2 : 1);
}

ebi_part layout_square(layout *l, int from, int to, double drop) {
  ebi_element element = {.kind = EBI_ELEMENT_POWER, .parallel = 1.0, .as.power = {drop, 1.0, 2.0}};
  return layout_part(l, from, to, &element, 1);
}

eb_status layout_solve(layout *l, int n, double *flows, int m, double *pressures) {
  ebi_solution solution;
  eb_status status = ebi_network_solve(l->network, &solution);
  for (int i = 0; i < n && status == EB_OK; i++)
    flows[i] = solution.flow_ref[i] * EB_REFERENCE_DENSITY / l->air.density;
  for (int i = 0; i < m && status == EB_OK; i++)
    pressures[i] = solution.pressure[i];
  return status;
}

eb_status layout_flows(layout *l, int n, double *flows) {
  eb_status status = layout_solve(l, n, flows, 0, NULL);
  layout_free(l);
  return status;
}

ebi_fan *layout_fan(layout *l, double speed, const double *flow, const double *pressure,
                    const double *power, size_t count) {
  ebi_fan_curve_points points = {speed, flow, pressure, power, count};
  ebi_arena *arena = ebi_context_arena(l->context);
  ebi_fan *fan = arena != NULL ? ebi_fan_new(arena, &points, 1, 0.0) : NULL;
  if (fan == NULL)
    abort();
  return fan;
}

ebi_element layout_element_duct(ebi_section section, double length, double roughness) {
  return (ebi_element){
      .kind = EBI_ELEMENT_DUCT, .parallel = 1.0, .as.duct = {section, length, roughness}};
}

ebi_element layout_element_loss(double area, double zeta) {
  return (ebi_element){.kind = EBI_ELEMENT_LOSS,
                       .parallel = 1.0,
                       .as.loss = {.area = area, .forward = zeta, .backward = zeta}};
}

ebi_element layout_element_fan(const ebi_fan *fan, double speed) {
  return (ebi_element){.kind = EBI_ELEMENT_FAN, .parallel = 1.0, .as.fan = {fan, speed}};
}
