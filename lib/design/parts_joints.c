/* parts_joints.c - what stands where runs meet each other, the unit or a valve
 *
 * Ducts are taken to slip over fittings, spigots and tees, as spiral-wound duct does, so
 * that these need nothing between. Two ducts of one size need a coupling, of two sizes a
 * reducer, and where their number differs a box. A tee has the bore of the largest of its
 * three runs straight through and that of the branch at its side; a run that is smaller
 * than the straight bore gets a reducer there. (Own rule; common practice.) */

#include <math.h>
#include <string.h>

#include "design/parts.h"

#define BORE_SLACK 1.5e-3 /* m that two bores may differ and still fit */

static bool same_size(const ebi_mouth *a, const ebi_mouth *b) {
  if (a->bore > 0.0 && b->bore > 0.0)
    return fabs(a->bore - b->bore) <= BORE_SLACK;
  return !(a->bore > 0.0) && !(b->bore > 0.0) && strcmp(a->size, b->size) == 0;
}

/* The duct whose price a part between two mouths goes by: the larger that has one. */
static const ebi_duct_size *priced_duct(const ebi_mouth *large, const ebi_mouth *small) {
  return large->duct != NULL && large->duct->price > 0.0 ? large->duct : small->duct;
}

/* ---- Between two mouths ---- */

static void add_between(ebi_order *order, ebi_part_kind kind, const char *where, const ebi_mouth *a,
                        const ebi_mouth *b) {
  ebi_mouth pair[] = {a->area >= b->area ? *a : *b, a->area >= b->area ? *b : *a};
  bool coupling = kind == EBI_PART_COUPLING;
  bool one_name = coupling && strcmp(a->family, b->family) == 0;
  const char *prefix = coupling ? "coupling" : "reducer";
  double like = coupling ? EBI_LIKE_COUPLING : EBI_LIKE_REDUCER;
  ebi_order_add(
      order, &(ebi_wanted){.kind = kind,
                           .item = ebi_part_name(order, prefix, pair, one_name ? 1 : 2),
                           .short_item = ebi_part_short_name(order, prefix, pair, one_name ? 1 : 2),
                           .quantity = a->count,
                           .where = where,
                           .price = ebi_price_like(like, priced_duct(&pair[0], &pair[1]))});
}

/* ---- Boxes ---- */

static const char *ports_text(ebi_order *order, const ebi_mouth *port) {
  const char *size = ebi_mouth_text(order, port);
  return ebi_order_text(order, "%d %s %s", port->count, port->count == 1 ? "port" : "ports", size);
}

static const char *inlet_text(ebi_order *order, const char *what, const ebi_mouth *inlet) {
  const char *size = ebi_mouth_text(order, inlet);
  if (inlet->count == 1)
    return ebi_order_text(order, "%s %s", what, size);
  return ebi_order_text(order, "%s %d x %s", what, inlet->count, size);
}

/* "box, inlet steel-160, 6 ports semirigid-75" */
static const char *box_name(ebi_order *order, bool valve, const ebi_mouth *inlet,
                            const ebi_mouth *ports, size_t n_ports) {
  const char *text = inlet_text(order, valve ? "valve box, valve" : "box, inlet", inlet);
  for (size_t i = 0; i < n_ports; i++)
    text = ebi_order_text(order, "%s, %s", text, ports_text(order, &ports[i]));
  return text;
}

static void add_box(ebi_order *order, bool valve, const char *where, const ebi_mouth *inlet,
                    const ebi_mouth *ports, size_t n_ports) {
  int count = 0;
  for (size_t i = 0; i < n_ports; i++)
    count += ports[i].count;
  const eb_house *house = order->job.house;
  ebi_order_add(order, &(ebi_wanted){.kind = EBI_PART_BOX,
                                     .item = box_name(order, valve, inlet, ports, n_ports),
                                     .quantity = 1,
                                     .where = where,
                                     .price = valve ? ebi_price_valve_box(house, count)
                                                    : ebi_price_box(house, count)});
}

void ebi_order_join(ebi_order *order, ebi_joint joint, const char *where, const ebi_mouth *inlet,
                    const ebi_mouth *outlet) {
  bool valve = joint == EBI_JOINT_VALVE, same = same_size(inlet, outlet);
  if (inlet->count != outlet->count || (valve && !same && !ebi_duct_is_rigid(outlet->duct)))
    add_box(order, valve, where, inlet, outlet, 1);
  else if (!same)
    add_between(order, EBI_PART_REDUCER, where, inlet, outlet);
  else if (joint == EBI_JOINT_RUNS)
    add_between(order, EBI_PART_COUPLING, where, inlet, outlet);
}

/* ---- Meetings ---- */

static const ebi_side_run *run_at(const ebi_side *side, size_t end) {
  return &side->runs[end >> 1];
}

/* Which of a meeting's ends is nearest the unit; the larger where two are. */
static size_t inlet_of(const ebi_side *side, const ebi_meeting *meeting) {
  size_t best = 0;
  for (size_t i = 1; i < meeting->n_ends; i++) {
    const ebi_side_run *a = run_at(side, meeting->ends[i]);
    const ebi_side_run *b = run_at(side, meeting->ends[best]);
    if (a->distance < b->distance || (a->distance == b->distance && a->area > b->area))
      best = i;
  }
  return best;
}

/* Ports of one duct are counted together, in the order they are first met. */
static size_t gather_port(ebi_mouth *ports, size_t count, const ebi_mouth *port) {
  for (size_t i = 0; i < count; i++)
    if (strcmp(ports[i].family, port->family) == 0 && strcmp(ports[i].size, port->size) == 0) {
      ports[i].count += port->count;
      return count;
    }
  ports[count] = *port;
  return count + 1;
}

static void meeting_box(ebi_order *order, const ebi_side *side, const ebi_meeting *meeting) {
  size_t inlet = inlet_of(side, meeting), count = 0;
  ebi_mouth *ports = EBI_NEW_ARRAY(order->job.scratch, ebi_mouth, meeting->n_ends);
  ebi_mouth in = ebi_mouth_of_run(order, run_at(side, meeting->ends[inlet]));
  order->no_memory = order->no_memory || ports == NULL;
  for (size_t i = 0; i < meeting->n_ends && !order->no_memory; i++) {
    ebi_mouth port = ebi_mouth_of_run(order, run_at(side, meeting->ends[i]));
    if (i != inlet)
      count = gather_port(ports, count, &port);
  }
  if (!order->no_memory)
    add_box(order, false, meeting->name, &in, ports, count);
}

static void meeting_pair(ebi_order *order, const ebi_side *side, const ebi_meeting *meeting) {
  size_t inlet = inlet_of(side, meeting);
  ebi_mouth in = ebi_mouth_of_run(order, run_at(side, meeting->ends[inlet]));
  ebi_mouth out = ebi_mouth_of_run(order, run_at(side, meeting->ends[1 - inlet]));
  ebi_order_join(order, EBI_JOINT_RUNS, meeting->name, &in, &out);
}

static void add_tee(ebi_order *order, const ebi_meeting *meeting, const ebi_mouth *through,
                    const ebi_mouth *branch) {
  bool wye = meeting->given != NULL && meeting->given->kind == EBI_JUNCTION_WYE;
  double angle = ebi_tee_is_bull_head(meeting) ? 90.0 : ebi_tee_angle(meeting);
  const char *prefix = ebi_order_text(order, "%s-%.12g", wye ? "wye" : "tee", angle);
  ebi_mouth bores[] = {*through, *through, *branch};
  ebi_order_add(order,
                &(ebi_wanted){.kind = EBI_PART_TEE,
                              .item = ebi_part_name(order, prefix, bores, 3),
                              .short_item = ebi_part_short_name(order, prefix, bores, 3),
                              .quantity = through->count,
                              .where = meeting->name,
                              .price = ebi_price_like(EBI_LIKE_TEE, priced_duct(through, branch))});
}

/* Tubes side by side have a tee each. */
static eb_status meeting_tee(ebi_order *order, const ebi_side *side, const ebi_meeting *meeting) {
  eb_status status = ebi_tee_order_ports(side, meeting);
  if (status != EB_OK)
    return status;
  ebi_mouth ports[3];
  int count = 1;
  for (int i = 0; i < 3; i++) {
    ports[i] = ebi_mouth_of_run(order, run_at(side, meeting->ends[i]));
    count = ports[i].count > count ? ports[i].count : count;
  }
  for (int i = 0; i < 3; i++)
    ports[i].count = count;
  bool bull_head = ebi_tee_is_bull_head(meeting);
  ebi_mouth *one = bull_head ? &ports[1] : &ports[0], *other = bull_head ? &ports[2] : &ports[1];
  const ebi_mouth *through = bull_head && other->area > one->area ? other : one;
  add_tee(order, meeting, through, bull_head ? &ports[0] : &ports[2]);
  ebi_order_join(order, EBI_JOINT_PLUG, meeting->name, through, through == one ? other : one);
  return EB_OK;
}

eb_status ebi_order_meeting(ebi_order *order, const ebi_side *side, ebi_meeting *meeting) {
  meeting->kind = ebi_meeting_find_kind(side, meeting);
  switch (meeting->kind) {
  case EBI_MEETING_PLAIN:
    return EB_OK;
  case EBI_MEETING_REDUCER:
    meeting_pair(order, side, meeting);
    return EB_OK;
  case EBI_MEETING_TEE:
    return meeting_tee(order, side, meeting);
  case EBI_MEETING_BOX:
    meeting_box(order, side, meeting);
    return EB_OK;
  }
  return EB_OK;
}
