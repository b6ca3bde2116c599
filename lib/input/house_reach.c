/* house_reach.c - pieces of ductwork that no fan can reach
 *
 * Junctions joined by runs make pieces (union-find). The unit belongs to the
 * piece of each kind of air that one of its runs touches; rooms and outdoors
 * are ends, through which no duct air passes on. */

#include <stdio.h>
#include <string.h>

#include "input/house_network.h"
#include "input/quote.h"

static size_t root_of(ebi_net *net, size_t node) {
  while (net->nodes[node].parent != node) {
    net->nodes[node].parent = net->nodes[net->nodes[node].parent].parent;
    node = net->nodes[node].parent;
  }
  return node;
}

static bool is_inner(const ebi_net *net, size_t node) {
  return net->nodes[node].kind == EBI_NODE_JUNCTION || net->nodes[node].kind == EBI_NODE_UNIT;
}

/* Every node a piece of its own. The unit is shared by all kinds of air, so
 * the pieces are made anew for each. */
static void scatter(ebi_net *net) {
  for (size_t i = 0; i < net->n_nodes; i++) {
    net->nodes[i].parent = i;
    net->nodes[i].junctions = 1;
    net->nodes[i].inner_runs = 0;
  }
}

static void join(ebi_net *net, size_t a, size_t b) {
  a = root_of(net, a);
  b = root_of(net, b);
  net->nodes[a].inner_runs++;
  if (a == b)
    return;
  net->nodes[b].parent = a;
  net->nodes[a].junctions += net->nodes[b].junctions;
  net->nodes[a].inner_runs += net->nodes[b].inner_runs;
}

/* The piece a run belongs to; EBI_NO_NAME for one that joins two ends. */
static size_t piece_of(ebi_net *net, size_t run) {
  const ebi_net_ends *ends = &net->ends[run];
  if (is_inner(net, ends->from))
    return root_of(net, ends->from);
  return is_inner(net, ends->to) ? root_of(net, ends->to) : EBI_NO_NAME;
}

static bool counts(const ebi_reader *reader, const ebi_net *net, size_t run, eb_air air) {
  return ebi_reading(reader)->house->runs[run].air == air && net->ends[run].complete;
}

static void make_pieces(const ebi_reader *reader, ebi_net *net, eb_air air) {
  scatter(net);
  for (size_t i = 0; i < ebi_reading(reader)->house->n_runs; i++)
    if (counts(reader, net, i, air) && is_inner(net, net->ends[i].from) &&
        is_inner(net, net->ends[i].to))
      join(net, net->ends[i].from, net->ends[i].to);
}

/* The room or outdoors that a run ends at, or NULL. */
static const ebi_net_node *end_of(const ebi_net *net, size_t run) {
  const ebi_net_node *from = &net->nodes[net->ends[run].from];
  const ebi_net_node *to = &net->nodes[net->ends[run].to];
  if (!is_inner(net, net->ends[run].from))
    return from;
  return is_inner(net, net->ends[run].to) ? NULL : to;
}

/* "a, b and c": the runs between junctions of a piece, as far as there is room. */
static void list_runs(ebi_reader *reader, ebi_net *net, size_t piece, eb_air air, char *list,
                      size_t size) {
  const eb_house *house = ebi_reading(reader)->house;
  size_t used = 0;
  list[0] = '\0';
  for (size_t i = 0; i < house->n_runs; i++) {
    if (!counts(reader, net, i, air) || end_of(net, i) || piece_of(net, i) != piece)
      continue;
    int wrote = snprintf(list + used, size - used, "%s%s", used ? ", " : "",
                         ebi_quote(house->runs[i].name).text);
    if (wrote < 0 || (size_t)wrote >= size - used) {
      list[used] = '\0';
      return;
    }
    used += (size_t)wrote;
  }
}

/* A loop is said once, at the first of its runs. */
static void report_loop(ebi_reader *reader, ebi_net *net, size_t piece, size_t run) {
  const ebi_run *first = &ebi_reading(reader)->house->runs[run];
  char list[400];
  if (net->nodes[piece].inner_runs < net->nodes[piece].junctions ||
      ebi_diag_errors(reader->context) > EBI_DIAG_MAX)
    return;
  net->nodes[piece].inner_runs = 0;
  list_runs(reader, net, piece, first->air, list, sizeof list);
  ebi_yaml place = {.where = first->where};
  ebi_read_error(reader, &place, "loop-without-fan",
                 "the %s runs %s form a loop with no fan: none of them leads to the unit",
                 ebi_air_name(first->air), list);
}

static void report_end(ebi_reader *reader, size_t run, const ebi_net_node *end) {
  const ebi_run *of = &ebi_reading(reader)->house->runs[run];
  ebi_yaml place = {.where = of->where};
  ebi_read_error(reader, &place, "unreachable",
                 "%s%s%s cannot be reached: %s run \"%s\" is not connected to the unit",
                 end->kind == EBI_NODE_ROOM ? "room \"" : "", ebi_quote(end->name).text,
                 end->kind == EBI_NODE_ROOM ? "\"" : "", ebi_air_name(of->air),
                 ebi_quote(of->name).text);
}

/* Outdoor and exhaust runs must lead outdoors. */
static void check_outdoors(ebi_reader *reader, const ebi_net *net, eb_air air) {
  const eb_house *house = ebi_reading(reader)->house;
  size_t first = EBI_NO_NAME;
  for (size_t i = 0; i < house->n_runs; i++) {
    if (!counts(reader, net, i, air))
      continue;
    first = first == EBI_NO_NAME ? i : first;
    const ebi_net_node *end = end_of(net, i);
    if (end && end->kind == EBI_NODE_OUTDOORS)
      return;
  }
  if (first == EBI_NO_NAME)
    return;
  ebi_yaml place = {.where = house->runs[first].where};
  ebi_read_error(reader, &place, "unreachable", "no %s run leads outdoors", ebi_air_name(air));
}

void ebi_net_check_reach(ebi_reader *reader, ebi_net *net, eb_air air) {
  const eb_house *house = ebi_reading(reader)->house;
  size_t unit = ebi_names_find(&net->names, "unit");
  make_pieces(reader, net, air);
  for (size_t i = 0; i < house->n_runs; i++) {
    size_t piece = counts(reader, net, i, air) ? piece_of(net, i) : EBI_NO_NAME;
    if (piece == EBI_NO_NAME || (unit != EBI_NO_NAME && piece == root_of(net, unit)))
      continue;
    const ebi_net_node *end = end_of(net, i);
    report_loop(reader, net, piece, i);
    if (end)
      report_end(reader, i, end);
  }
  if (air == EB_OUTDOOR || air == EB_EXHAUST)
    check_outdoors(reader, net, air);
}
