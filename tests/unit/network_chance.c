/* network_chance.c - networks by chance, the same for the same seed */

#include "network_chance.h"

#include <check.h>
#include <math.h>

#include "network_help.h"

double net_chance(unsigned *state) {
  *state = *state * 1664525u + 1013904223u;
  return (*state >> 8) / 16777216.0;
}

static double between(unsigned *state, double low, double high) {
  return low + (high - low) * net_chance(state);
}

static bool likely(unsigned *state, double share) {
  return net_chance(state) < share;
}

static void tee_at(ebi_node combined, ebi_node straight, ebi_node branch,
                   const ebi_tee_shape *shape) {
  ck_assert_uint_ne(ebi_network_tee(net, "tee", combined, straight, branch, net_air, shape),
                    (size_t)-1);
}

/* ---- Thrown together ---- */

static const ebi_tee_shape even = {0.0123, 0.0123, 0.0123, 90.0};
static const ebi_tee_shape narrow = {0.0201, 0.0201, 0.0079, 45.0};

static ebi_node any(unsigned *state, const ebi_node *nodes, int n) {
  return nodes[(int)(net_chance(state) * n)];
}

void net_thrown_together(unsigned seed) {
  unsigned state = seed * 7919u + 13u;
  ebi_node nodes[40];
  int n = 0;
  nodes[n++] = net_fixed("a", 90.0);
  nodes[n++] = net_fixed("b", 0.0);
  for (int i = 0; i < 9; i++) {
    ebi_node old = any(&state, nodes, n);
    if (likely(&state, 0.4)) {
      for (int k = 0; k < 3; k++)
        nodes[n + k] = net_node("port");
      tee_at(nodes[n], nodes[n + 1], nodes[n + 2], likely(&state, 0.5) ? &even : &narrow);
      net_duct("to tee", old, nodes[n + (int)(3.0 * net_chance(&state))], 0.125, 3.0, 1.0);
      n += 3;
    } else {
      nodes[n] = net_node("free");
      net_duct("duct", nodes[n], old, 0.08 + 0.08 * net_chance(&state),
               1.0 + 9.0 * net_chance(&state), 5.0 * net_chance(&state));
      n++;
    }
  }
  for (int i = 0; i < 4; i++)
    net_duct("cross", any(&state, nodes, n), any(&state, nodes, n), 0.1, 4.0, 2.0);
  for (int i = 2; i < n; i += 3)
    ebi_network_outflow(net, nodes[i], 0.02 * (net_chance(&state) - 0.4));
}

/* ---- Houses ---- */

#define ROOMS_AT_MOST 14

typedef struct house {
  unsigned state;
  ebi_node outdoors[2], hall, rooms[ROOMS_AT_MOST]; /* windward, leeward */
  int n_rooms;
} house;

/* An exponent of 0.65 in flow (EN 13829, the usual assumption; from memory). */
static void add_leak(house *h, ebi_node room) {
  for (int side = 0; side < 2; side++)
    net_join("leak", h->outdoors[side], room,
             net_power(50.0, between(&h->state, 0.0005, 0.02), 1.0 / 0.65));
}

static void add_rooms(house *h) {
  h->hall = net_node("hall");
  add_leak(h, h->hall);
  h->n_rooms = 3 + (int)between(&h->state, 0.0, ROOMS_AT_MOST - 2.0);
  for (int i = 0; i < h->n_rooms; i++) {
    double gap = between(&h->state, 0.002, 0.015), zeta = between(&h->state, 1.5, 3.0);
    h->rooms[i] = net_node("room");
    add_leak(h, h->rooms[i]);
    if (likely(&h->state, 0.95))
      net_join(
          "door", h->rooms[i], h->hall,
          (ebi_element){.kind = EBI_ELEMENT_LOSS, .parallel = 1.0, .as.loss = {gap, zeta, zeta}});
  }
}

/* A terminal's run, written in either direction. */
static void add_run(house *h, ebi_node inner, ebi_node room) {
  ebi_section section = ebi_section_round(between(&h->state, 0.063, 0.125));
  double zeta = between(&h->state, 0.3, 4.0), end = between(&h->state, 0.5, 2.0);
  ebi_element elements[] = {
      {.kind = EBI_ELEMENT_DUCT,
       .parallel = likely(&h->state, 0.3) ? 2.0 : 1.0,
       .as.duct = {section, between(&h->state, 1.0, 15.0), between(&h->state, 1e-6, 3e-4)}},
      {.kind = EBI_ELEMENT_LOSS, .parallel = 1.0, .as.loss = {section.area, zeta, end * zeta}},
      net_valve(between(&h->state, 0.0005, 0.006))};
  bool back = likely(&h->state, 0.3);
  ebi_part part =
      ebi_network_part(net, "run", back ? room : inner, back ? inner : room, net_air, elements, 3);
  ck_assert_uint_ne(part, (size_t)-1);
  ebi_network_close(net, part, likely(&h->state, 0.05));
}

/* One more tap of a trunk: by a tee, whose branch or straight port goes on, or plain. */
static ebi_node tap(house *h, ebi_node along, bool supply, ebi_node *off) {
  double bore = between(&h->state, 0.1, 0.16);
  ebi_node end = net_node("tap");
  net_duct("trunk", supply ? along : end, supply ? end : along, bore, between(&h->state, 0.5, 5.0),
           between(&h->state, 0.0, 1.0));
  *off = end;
  if (likely(&h->state, 0.4))
    return end;
  double area = ebi_section_round(bore).area;
  ebi_tee_shape shape = {area, area, area * between(&h->state, 0.25, 1.0),
                         likely(&h->state, 0.7) ? 90.0 : 45.0};
  ebi_node straight = net_node("straight"), branch = net_node("branch");
  if (likely(&h->state, 0.1)) { /* put in the wrong way round */
    tee_at(straight, end, branch, &shape);
  } else {
    tee_at(end, straight, branch, &shape);
  }
  bool turn = likely(&h->state, 0.2);
  *off = turn ? straight : branch;
  return turn ? branch : straight;
}

static void add_side(house *h, ebi_node unit, bool supply) {
  ebi_node along = unit, first = unit;
  int rooms = 1 + (int)between(&h->state, 0.0, h->n_rooms);
  for (int i = 0; i < rooms; i++) {
    ebi_node off = along;
    if (i + 1 < rooms || i == 0)
      along = tap(h, along, supply, &off);
    first = i == 0 ? along : first;
    add_run(h, off, any(&h->state, h->rooms, h->n_rooms));
  }
  if (likely(&h->state, 0.15)) /* a ring main */
    net_duct("ring", along, first, 0.125, between(&h->state, 2.0, 9.0), 1.0);
}

static double speed_of(net_running running, bool supply) {
  if (running == NET_MINUTE)
    return 1e-6;
  return running == NET_SUPPLY_ALONE && !supply ? 1e-3 : 1.0;
}

static void add_fan(house *h, ebi_node from, ebi_node to, net_running running, bool supply) {
  ebi_element fan = net_fan(between(&h->state, 80.0, 500.0), between(&h->state, 0.04, 0.2));
  ebi_element filter = net_power(between(&h->state, 5.0, 60.0), 0.05, 1.3);
  fan.as.fan.speed = speed_of(running, supply);
  ebi_element elements[] = {filter, fan};
  ebi_part part = ebi_network_part(net, "fan", from, to, net_air, elements, 2);
  ck_assert_uint_ne(part, (size_t)-1);
  ebi_network_close(net, part, running == NET_EXTRACT_SHUT && !supply);
}

void net_house_by_chance(unsigned seed, net_running running) {
  house h = {.state = seed * 7919u + 17u};
  double wind = running == NET_MINUTE ? 0.0 : between(&h.state, 0.0, 6.0);
  h.outdoors[0] = net_fixed("windward", wind);
  h.outdoors[1] = net_fixed("leeward", -0.5 * wind);
  add_rooms(&h);
  ebi_node intake = net_node("intake"), supply = net_node("supply");
  ebi_node extract = net_node("extract"), exhaust = net_node("exhaust");
  net_duct("outdoor", h.outdoors[likely(&h.state, 0.5)], intake, 0.16, 3.0, 2.5);
  net_duct("exhaust", exhaust, h.outdoors[likely(&h.state, 0.5)], 0.16, 3.0, 2.0);
  add_fan(&h, intake, supply, running, true);
  add_fan(&h, extract, exhaust, running, false);
  add_side(&h, supply, true);
  add_side(&h, extract, false);
}
