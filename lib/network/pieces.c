/* pieces.c - connected pieces, by union of node sets */

#include "network/pieces.h"

#include <string.h>

#include "network/network_data.h"

#define NAMED_AT_MOST 8

static ebi_place find(ebi_place *piece, ebi_place node) {
  while (piece[node] != node) {
    piece[node] = piece[piece[node]];
    node = piece[node];
  }
  return node;
}

static void join(ebi_place *piece, ebi_place a, ebi_place b) {
  a = find(piece, a);
  b = find(piece, b);
  if (a < b)
    piece[b] = a;
  else
    piece[a] = b;
}

void ebi_pieces_find(const ebi_network *network, ebi_topology *t) {
  for (ebi_place i = 0; i < network->n_nodes; i++)
    t->piece[i] = i;
  for (ebi_place i = 0; i < network->n_parts; i++) {
    const ebi_net_part *part = ebi_part_at(network, i);
    if (!part->closed)
      join(t->piece, part->from, part->to);
  }
  for (ebi_place i = 0; i < network->n_tees; i++) {
    const ebi_place *port = ebi_tee_at(network, i)->port;
    join(t->piece, port[EBI_COMBINED], port[EBI_STRAIGHT]);
    join(t->piece, port[EBI_COMBINED], port[EBI_BRANCH]);
  }
  for (ebi_place i = 0; i < network->n_nodes; i++) {
    t->piece[i] = find(t->piece, i);
    t->isolated[i] = true;
  }
  for (ebi_place i = 0; i < network->n_nodes; i++) {
    if (ebi_node_at(network, i)->fixed)
      t->isolated[t->piece[i]] = false;
  }
  for (ebi_place i = 0; i < network->n_nodes; i++) {
    t->isolated[i] = t->isolated[t->piece[i]];
    t->n_isolated += t->isolated[i] ? 1 : 0;
  }
}

/* What is known of an isolated piece. Joins beyond nodes - 1 make a loop. */
typedef struct summary {
  size_t nodes, joins, parts;
  ebi_place asks; /* a node with an outflow, or EBI_NO_PLACE */
  bool fan;
  const char *names[NAMED_AT_MOST];
} summary;

static bool has_fan(const ebi_net_part *part) {
  for (size_t i = 0; i < part->count; i++) {
    if (part->elements[i].kind == EBI_ELEMENT_FAN)
      return true;
  }
  return false;
}

static void add_part(summary *s, const ebi_net_part *part) {
  if (s->parts < NAMED_AT_MOST)
    s->names[s->parts] = part->name;
  s->parts++;
  s->joins++;
  s->fan = s->fan || has_fan(part);
}

static void summarise(const ebi_network *network, const ebi_topology *t, summary *of) {
  for (ebi_place i = 0; i < network->n_nodes; i++) {
    summary *s = &of[t->piece[i]];
    if (s->nodes++ == 0)
      s->asks = EBI_NO_PLACE;
    if (ebi_node_at(network, i)->given != 0.0 && s->asks == EBI_NO_PLACE)
      s->asks = i;
  }
  for (ebi_place i = 0; i < network->n_parts; i++) {
    const ebi_net_part *part = ebi_part_at(network, i);
    if (!part->closed && t->isolated[part->from])
      add_part(&of[t->piece[part->from]], part);
  }
  for (ebi_place i = 0; i < network->n_tees; i++)
    of[t->piece[ebi_tee_at(network, i)->port[EBI_COMBINED]]].joins += 2;
}

/* "a, b, c and 4 more", or the name of a lone node. NULL: memory. */
static const char *named(const ebi_network *network, ebi_arena *arena, const summary *s,
                         ebi_place node) {
  if (s->parts == 0)
    return ebi_node_at(network, node)->name;
  const char *text = s->names[0];
  for (size_t i = 1; i < s->parts && i < NAMED_AT_MOST && text != NULL; i++)
    text = ebi_arena_format(arena, "%s, %s", text, s->names[i]);
  if (s->parts > NAMED_AT_MOST && text != NULL)
    text = ebi_arena_format(arena, "%s and %zu more", text, s->parts - NAMED_AT_MOST);
  return text;
}

static eb_status report(const ebi_network *network, ebi_arena *arena, const summary *s,
                        ebi_place node, bool warn) {
  const ebi_where nowhere = {NULL, 0, 0};
  const char *names = named(network, arena, s, node);
  if (names == NULL)
    return EB_E_MEMORY;
  if (s->asks != EBI_NO_PLACE) {
    ebi_diag(network->context, EB_ERROR, "isolated", nowhere, NULL,
             "air is asked of %s, but %s has no open way to a known pressure",
             ebi_node_at(network, s->asks)->name, names);
    return EB_E_NO_SOLUTION;
  }
  if (s->fan && s->joins >= s->nodes) {
    ebi_diag(network->context, EB_ERROR, "isolated", nowhere, NULL,
             "a fan drives air round a loop that has no open way to a known pressure: %s", names);
    return EB_E_NO_SOLUTION;
  }
  if (warn)
    ebi_diag(network->context, EB_WARNING, "isolated", nowhere, NULL,
             "no air moves in %s: it has no open way to a known pressure", names);
  return EB_OK;
}

eb_status ebi_pieces_check(const ebi_network *network, ebi_topology *t, bool warn) {
  if (t->n_isolated == 0)
    return EB_OK;
  ebi_arena *arena = ebi_context_arena(network->context);
  if (arena == NULL)
    return EB_E_MEMORY;
  summary *of = EBI_NEW_ARRAY(arena, summary, network->n_nodes);
  eb_status status = of != NULL ? EB_OK : EB_E_MEMORY;
  if (of != NULL)
    summarise(network, t, of);
  for (ebi_place i = 0; i < network->n_nodes && of != NULL; i++) {
    if (!t->isolated[i] || t->piece[i] != i)
      continue;
    eb_status found = report(network, arena, &of[i], i, warn);
    if (status == EB_OK || found == EB_E_MEMORY)
      status = found;
  }
  ebi_context_release(network->context, arena);
  return status;
}
