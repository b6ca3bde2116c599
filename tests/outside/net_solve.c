/* net_solve.c - solves networks given as text, for comparison with outside solvers
 *
 * Standard input, in SI; nodes are numbered from 0 in their order, and the flows
 * are volumes of the air of the network:
 *
 *   air DENSITY VISCOSITY        begins a network
 *   fixed PRESSURE               a node of this pressure
 *   free OUTFLOW                 a node that gives off this flow
 *   part FROM TO                 its elements stand below it
 *   duct BORE LENGTH ROUGHNESS
 *   loss BORE COEFFICIENT
 *   valve K
 *   power DROP AT EXPONENT
 *   fan FLOW PRESSURE...         points at 1.2 kg/m3
 *   solve                        ends it
 *
 * Answers each "solve" with the lines "flows ..." by part and "pressures ..." by
 * node, or with one line "failed WHY". */

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "network/network.h"

#define LINE_BYTES 65536
#define NUMBERS_MAX 2048
#define ELEMENTS_MAX 8

typedef struct reader {
  eb_context *context;
  ebi_network *network;
  ebi_air_state air;
  size_t line, n_nodes, n_parts;
  bool part_open; /* the elements of the part `from`-`to` are being read */
  ebi_node from, to;
  ebi_element elements[ELEMENTS_MAX];
  size_t n_elements;
} reader;

static void stop(const reader *r, const char *why) {
  fprintf(stderr, "net_solve: line %zu: %s\n", r->line, why);
  exit(2);
}

static void end_part(reader *r) {
  if (!r->part_open)
    return;
  r->part_open = false;
  if (ebi_network_part(r->network, "part", r->from, r->to, r->air, r->elements, r->n_elements) ==
      (size_t)-1)
    stop(r, "no memory");
  r->n_parts++;
  r->n_elements = 0;
}

static void take_air(reader *r, const double *x) {
  if (r->network != NULL)
    stop(r, "the network before has no solve");
  r->context = eb_context_new(NULL);
  r->network = r->context != NULL ? ebi_network_new(r->context) : NULL;
  if (r->network == NULL)
    stop(r, "no memory");
  r->air = (ebi_air_state){.density = x[0], .viscosity = x[1]};
}

static void take_node(reader *r, bool fixed, double x) {
  ebi_node node = ebi_network_node(r->network, "node");
  if (node != r->n_nodes++)
    stop(r, "no memory");
  if (fixed)
    ebi_network_fix(r->network, node, x);
  else
    ebi_network_outflow(r->network, node, x * r->air.density / EB_REFERENCE_DENSITY);
}

static void take_part(reader *r, const double *x) {
  end_part(r);
  for (int i = 0; i < 2; i++) {
    if (!(x[i] >= 0.0 && x[i] < (double)r->n_nodes && x[i] == (double)(size_t)x[i]))
      stop(r, "no such node");
  }
  r->from = (ebi_node)x[0];
  r->to = (ebi_node)x[1];
  r->part_open = true;
}

static const ebi_fan *fan_of(const reader *r, const double *x, size_t count) {
  double flow[NUMBERS_MAX / 2], pressure[NUMBERS_MAX / 2];
  for (size_t i = 0; i < count / 2; i++) {
    flow[i] = x[2 * i];
    pressure[i] = x[2 * i + 1];
  }
  ebi_fan_curve_points points = {
      .speed = 1.0, .flow = flow, .pressure = pressure, .count = count / 2};
  ebi_arena *arena = ebi_context_arena(r->context);
  ebi_fan *fan = arena != NULL ? ebi_fan_new(arena, &points, 1, 0.0) : NULL;
  if (fan == NULL)
    stop(r, "no memory");
  return fan;
}

static ebi_element element_of(const reader *r, const char *word, const double *x, size_t count) {
  ebi_element e = {.parallel = 1.0};
  if (strcmp(word, "duct") == 0 && count == 3) {
    e.kind = EBI_ELEMENT_DUCT;
    e.as.duct.section = ebi_section_round(x[0]);
    e.as.duct.length = x[1];
    e.as.duct.roughness = x[2];
  } else if (strcmp(word, "loss") == 0 && count == 2) {
    e.kind = EBI_ELEMENT_LOSS;
    e.as.loss.area = ebi_section_round(x[0]).area;
    e.as.loss.forward = e.as.loss.backward = x[1];
  } else if (strcmp(word, "valve") == 0 && count == 1) {
    e.kind = EBI_ELEMENT_VALVE;
    e.as.valve.k = x[0];
  } else if (strcmp(word, "power") == 0 && count == 3) {
    e.kind = EBI_ELEMENT_POWER;
    e.as.power.drop = x[0];
    e.as.power.at = x[1];
    e.as.power.exponent = x[2];
  } else if (strcmp(word, "fan") == 0 && count >= 4 && count % 2 == 0) {
    e.kind = EBI_ELEMENT_FAN;
    e.as.fan.fan = fan_of(r, x, count);
    e.as.fan.speed = 1.0;
  } else {
    stop(r, "not a line of a network");
  }
  return e;
}

static void print_row(const char *word, const double *values, size_t count) {
  fputs(word, stdout);
  for (size_t i = 0; i < count; i++)
    printf(" %.17g", values[i]);
  putchar('\n');
}

/* The last diagnostic says why. */
static void print_failure(eb_context *context, eb_status status) {
  size_t count;
  const eb_diagnostic *said = eb_diagnostics(context, &count);
  printf("failed %s\n", count > 0 ? said[count - 1].message : eb_status_text(status));
}

static void solve(reader *r) {
  end_part(r);
  ebi_solution solution;
  eb_status status = ebi_network_solve(r->network, &solution);
  if (status == EB_OK) {
    double *flow = malloc((r->n_parts + 1) * sizeof *flow);
    if (flow == NULL)
      stop(r, "no memory");
    for (size_t i = 0; i < r->n_parts; i++)
      flow[i] = solution.flow_ref[i] * EB_REFERENCE_DENSITY / r->air.density;
    print_row("flows", flow, r->n_parts);
    print_row("pressures", solution.pressure, r->n_nodes);
    free(flow);
  } else {
    print_failure(r->context, status);
  }
  ebi_network_free(r->network);
  eb_context_free(r->context);
  *r = (reader){.line = r->line};
}

static void take(reader *r, const char *word, const double *x, size_t count) {
  if (strcmp(word, "air") == 0 && count == 2)
    take_air(r, x);
  else if (r->network == NULL)
    stop(r, "air must stand first");
  else if ((strcmp(word, "fixed") == 0 || strcmp(word, "free") == 0) && count == 1)
    take_node(r, word[1] == 'i', x[0]);
  else if (strcmp(word, "part") == 0 && count == 2)
    take_part(r, x);
  else if (strcmp(word, "solve") == 0 && count == 0)
    solve(r);
  else if (!r->part_open || r->n_elements == ELEMENTS_MAX)
    stop(r, "an element without its part, or too many");
  else
    r->elements[r->n_elements++] = element_of(r, word, x, count);
}

int main(void) {
  static char line[LINE_BYTES];
  static double numbers[NUMBERS_MAX];
  static reader r;
  while (fgets(line, sizeof line, stdin) != NULL) {
    r.line++;
    const char *word = strtok(line, " \t\r\n");
    size_t count = 0;
    for (char *w, *end; word != NULL && (w = strtok(NULL, " \t\r\n")) != NULL; count++) {
      if (count == NUMBERS_MAX)
        stop(&r, "too many numbers");
      numbers[count] = strtod(w, &end);
      if (end == w || *end != '\0')
        stop(&r, "not a number");
    }
    if (word != NULL)
      take(&r, word, numbers, count);
  }
  if (r.network != NULL)
    stop(&r, "the last network has no solve");
  return 0;
}
