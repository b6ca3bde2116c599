/* house_network.c - how the runs join: what only shows once all are read
 *
 * A name at the end of a run is the unit, outdoors, a room, or else a junction,
 * and a junction is where at least two runs meet. Air of a kind must find its
 * way to the unit, or nothing would move it. */

#include "input/house_network.h"

#include <string.h>

#include "base/text.h"
#include "input/quote.h"

static const char *const air_names[] = {"outdoor", "supply", "extract", "exhaust"};

const char *ebi_air_name(eb_air air) {
  return air_names[air];
}

/* ---- Nodes ------------------------------------------------------------- */

static ebi_node_kind kind_of(const ebi_reader *reader, const char *name) {
  if (strcmp(name, "unit") == 0)
    return EBI_NODE_UNIT;
  if (strcmp(name, "outdoors") == 0)
    return EBI_NODE_OUTDOORS;
  return ebi_names_find(&ebi_reading(reader)->rooms, name) != EBI_NO_NAME ? EBI_NODE_ROOM
                                                                          : EBI_NODE_JUNCTION;
}

/* The node of that name, made where it is new. */
static size_t node_of(ebi_reader *reader, ebi_net *net, const char *name, ebi_where where,
                      eb_air air) {
  size_t number = ebi_names_find(&net->names, name);
  if (number == EBI_NO_NAME) {
    number = net->n_nodes++;
    net->nodes[number] = (ebi_net_node){
        .name = name, .kind = kind_of(reader, name), .where = where, .air = air, .parent = number};
    if (!ebi_names_set(&net->names, reader->arena, name, number))
      net->failed = true;
  }
  ebi_net_node *node = &net->nodes[number];
  node->n_runs++;
  node->mixed = node->mixed || node->air != air;
  return number;
}

static void make_ends(ebi_reader *reader, ebi_net *net) {
  const eb_house *house = ebi_reading(reader)->house;
  for (size_t i = 0; i < house->n_runs && !net->failed; i++) {
    const ebi_run *run = &house->runs[i];
    net->ends[i].complete = run->name && run->from && run->to;
    if (!net->ends[i].complete)
      continue;
    net->ends[i].from = node_of(reader, net, run->from, run->from_where, run->air);
    net->ends[i].to = node_of(reader, net, run->to, run->to_where, run->air);
  }
}

static bool make_net(ebi_reader *reader, ebi_net *net) {
  size_t n_runs = ebi_reading(reader)->house->n_runs;
  *net = (ebi_net){0};
  net->nodes = EBI_NEW_ARRAY(reader->arena, ebi_net_node, 2 * n_runs);
  net->ends = EBI_NEW_ARRAY(reader->arena, ebi_net_ends, n_runs);
  if (!net->nodes || !net->ends)
    return false;
  make_ends(reader, net);
  return !net->failed;
}

/* ---- Ends of a run ----------------------------------------------------- */

static void wrong(ebi_reader *reader, ebi_where where, const char *code, const char *format,
                  const char *a, const char *b, const char *c) {
  ebi_yaml place = {.where = where};
  ebi_quoted first = ebi_quote(a);
  ebi_quoted second = ebi_quote(b);
  ebi_quoted third = ebi_quote(c);
  char message[512];
  const char *parts[] = {first.text, second.text, third.text};
  size_t used = 0;
  /* each % stands for the next of the three */
  for (size_t next = 0; *format && used + 80 < sizeof message; format++) {
    if (*format != '%') {
      message[used++] = *format;
      continue;
    }
    size_t length = strlen(parts[next]);
    memcpy(message + used, parts[next++], length);
    used += length;
  }
  message[used] = '\0';
  ebi_read_error(reader, &place, code, "%s", message);
}

static void check_ends(ebi_reader *reader, const ebi_net *net, size_t i) {
  const ebi_run *run = &ebi_reading(reader)->house->runs[i];
  ebi_node_kind from = net->nodes[net->ends[i].from].kind;
  ebi_node_kind to = net->nodes[net->ends[i].to].kind;
  bool inside = run->air == EB_SUPPLY || run->air == EB_EXTRACT;
  ebi_node_kind foreign = inside ? EBI_NODE_OUTDOORS : EBI_NODE_ROOM;
  ebi_node_kind end = inside ? EBI_NODE_ROOM : EBI_NODE_OUTDOORS;
  if (net->ends[i].from == net->ends[i].to)
    wrong(reader, run->to_where, "run-itself", "run \"%\" goes from \"%\" to itself", run->name,
          run->to, "");
  else if (from == foreign || to == foreign)
    wrong(reader, from == foreign ? run->from_where : run->to_where, "run-end",
          inside ? "% run \"%\" ends at \"%\"; it joins the unit and rooms"
                 : "% run \"%\" ends in the room \"%\"; it joins the unit and outdoors",
          air_names[run->air], run->name, from == foreign ? run->from : run->to);
  else if (from == end && to == end)
    wrong(reader, run->where, "run-end",
          "run \"%\" goes from the room \"%\" to the room \"%\"; one end must lead to the unit",
          run->name, run->from, run->to);
  if (run->share.given && from != EBI_NODE_ROOM && to != EBI_NODE_ROOM)
    wrong(reader, run->share.where, "share",
          "run \"%\" has a share but ends in no room: shares are of a room's flow", run->name, "",
          "");
}

/* ---- Junctions --------------------------------------------------------- */

/* The name, of all that a run may end at, that is nearest to `name`. */
static const char *nearest_node(ebi_reader *reader, const ebi_net *net, const char *name) {
  static const char *const fixed[] = {"unit", "outdoors"};
  if (ebi_diag_errors(reader->context) > EBI_DIAG_MAX)
    return NULL; /* it would not be shown */
  const char **names = EBI_NEW_ARRAY(reader->arena, const char *, net->n_nodes + 3);
  size_t count = 0;
  if (!names) {
    ebi_yaml place = {.where = ebi_reading(reader)->house->where};
    ebi_read_memory(reader, &place);
    return NULL;
  }
  names[count++] = fixed[0];
  names[count++] = fixed[1];
  const char *room = ebi_nearest_room(reader, name);
  if (room)
    names[count++] = room;
  for (size_t i = 0; i < net->n_nodes; i++)
    if (net->nodes[i].n_runs > 1 && strcmp(net->nodes[i].name, name) != 0)
      names[count++] = net->nodes[i].name;
  return ebi_text_nearest(name, names, count);
}

/* A junction that only one run meets is a slip of the pen, as is one that
 * joins two kinds of air. Returns whether all is well. */
static bool check_node(ebi_reader *reader, const ebi_net *net, size_t i) {
  const ebi_net_node *node = &net->nodes[i];
  if (node->kind != EBI_NODE_JUNCTION || (node->n_runs > 1 && !node->mixed))
    return true;
  const char *nearest = nearest_node(reader, net, node->name);
  const char *text = node->mixed ? "\"%\" would join % air and another kind of air"
                     : nearest   ? "nothing else meets \"%\" here; did you mean \"%\"?"
                                 : "nothing else meets \"%\" here, and it is not a room";
  wrong(reader, node->where, node->mixed ? "junction-mixed" : "junction-lonely", text, node->name,
        node->mixed ? air_names[node->air]
        : nearest   ? nearest
                    : "",
        "");
  return false;
}

/* Whether run `straight` of the house meets the node. */
static bool meets(const ebi_reader *reader, const ebi_net *net, const char *straight, size_t node) {
  size_t run = ebi_names_find(&ebi_reading(reader)->runs, straight);
  return run != EBI_NO_NAME && net->ends[run].complete &&
         (net->ends[run].from == node || net->ends[run].to == node);
}

static void unknown_junction(ebi_reader *reader, const ebi_net *net, const ebi_junction *junction) {
  const char *nearest = nearest_node(reader, net, junction->name);
  wrong(reader, junction->where, "junction-unknown",
        nearest ? "no run meets a junction called \"%\"; did you mean \"%\"?"
                : "no run meets a junction called \"%\"",
        junction->name, nearest ? nearest : "", "");
}

static void check_declared(ebi_reader *reader, const ebi_net *net, const ebi_junction *junction) {
  size_t number = ebi_names_find(&net->names, junction->name);
  const ebi_net_node *node = number == EBI_NO_NAME ? NULL : &net->nodes[number];
  bool branches = junction->kind == EBI_JUNCTION_TEE || junction->kind == EBI_JUNCTION_WYE;
  if (ebi_names_find(&ebi_reading(reader)->rooms, junction->name) != EBI_NO_NAME)
    wrong(reader, junction->where, "junction", "\"%\" is a room and cannot be a junction too",
          junction->name, "", "");
  else if (!node)
    unknown_junction(reader, net, junction);
  else if (branches && node->n_runs != 3)
    wrong(reader, junction->where, "junction",
          "\"%\" is a tee or wye, which joins three runs; another number of runs meets there",
          junction->name, "", "");
  else if (junction->straight && !meets(reader, net, junction->straight, number))
    wrong(reader, junction->where, "run-unknown",
          "the straight run \"%\" is no run that meets \"%\"", junction->straight, junction->name,
          "");
}

/* ---- Shares ------------------------------------------------------------ */

typedef struct share_sum {
  double sum;
  size_t runs, given;
  const ebi_run *last;
} share_sum;

static void check_share(ebi_reader *reader, const ebi_room *room, const share_sum *shares) {
  enum { NOTHING, ALL_GIVEN_SHORT, LEAVES_NOTHING, TOO_MUCH } fault = NOTHING;
  const double slack = 1e-6;
  if (shares->given == 0)
    return;
  if (shares->sum > 1 + slack)
    fault = TOO_MUCH;
  else if (shares->given == shares->runs && shares->sum < 1 - slack)
    fault = ALL_GIVEN_SHORT;
  else if (shares->given < shares->runs && shares->sum > 1 - slack)
    fault = LEAVES_NOTHING;
  if (fault == NOTHING)
    return;
  ebi_yaml place = {.where = shares->last->share.where};
  ebi_read_error(reader, &place, "share", "the shares of %s of room \"%s\" sum to %.6g %%%s",
                 air_names[shares->last->air], ebi_quote(room->name).text, shares->sum * 100,
                 fault == TOO_MUCH         ? "; at most 100 %"
                 : fault == LEAVES_NOTHING ? " and leave nothing for its other runs"
                                           : "; where every run has one they must make 100 %");
}

/* The room that run i ends in, or EBI_NO_NAME. */
static size_t room_of(const ebi_reader *reader, const ebi_net *net, size_t i) {
  const ebi_net_node *from = &net->nodes[net->ends[i].from];
  const ebi_net_node *to = &net->nodes[net->ends[i].to];
  const ebi_net_node *room = to->kind == EBI_NODE_ROOM ? to : from;
  return room->kind == EBI_NODE_ROOM ? ebi_names_find(&ebi_reading(reader)->rooms, room->name)
                                     : EBI_NO_NAME;
}

static void check_shares(ebi_reader *reader, const ebi_net *net, eb_air air) {
  const eb_house *house = ebi_reading(reader)->house;
  share_sum *sums = EBI_NEW_ARRAY(reader->arena, share_sum, house->n_rooms);
  if (!sums) {
    ebi_yaml place = {.where = house->where};
    ebi_read_memory(reader, &place);
    return;
  }
  for (size_t i = 0; i < house->n_runs; i++) {
    const ebi_run *run = &house->runs[i];
    size_t room = net->ends[i].complete && run->air == air ? room_of(reader, net, i) : EBI_NO_NAME;
    if (room == EBI_NO_NAME)
      continue;
    sums[room].runs++;
    sums[room].given += run->share.given;
    sums[room].sum += run->share.given ? run->share.value : 0;
    sums[room].last = run->share.given ? run : sums[room].last;
  }
  for (size_t i = 0; i < house->n_rooms; i++)
    check_share(reader, &house->rooms[i], &sums[i]);
}

/* ---- All of it --------------------------------------------------------- */

static void check_all(ebi_reader *reader, ebi_net *net) {
  const eb_house *house = ebi_reading(reader)->house;
  bool lonely[4] = {false, false, false, false};
  for (size_t i = 0; i < house->n_runs; i++)
    if (net->ends[i].complete)
      check_ends(reader, net, i);
    else
      lonely[house->runs[i].air] = true; /* what it would have joined is not known */
  for (size_t i = 0; i < net->n_nodes; i++)
    if (!check_node(reader, net, i))
      lonely[net->nodes[i].air] = true;
  for (size_t i = 0; i < house->n_junctions; i++)
    check_declared(reader, net, &house->junctions[i]);
  check_shares(reader, net, EB_SUPPLY);
  check_shares(reader, net, EB_EXTRACT);
  for (int air = EB_OUTDOOR; air <= EB_EXHAUST; air++)
    if (!lonely[air])
      ebi_net_check_reach(reader, net, (eb_air)air);
}

void ebi_house_check_network(ebi_reader *reader) {
  const eb_house *house = ebi_reading(reader)->house;
  ebi_net net;
  if (make_net(reader, &net)) {
    check_all(reader, &net);
    return;
  }
  ebi_yaml place = {.where = house->where};
  ebi_read_memory(reader, &place);
}
