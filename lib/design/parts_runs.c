/* parts_runs.c - what one run is made of
 *
 * Tubes side by side each have their duct, fittings and fixings; they share the valve.
 * Bends of tubes from a coil and of flexible duct are bent from the tube itself. Brackets
 * and straps go by a rule of common practice (no source): one each 1.2 m, and each 3 m of
 * what rises. */

#include <math.h>
#include <string.h>

#include "design/parts.h"
#include "model/duct.h"

#define BRACKET_EACH 1.2 /* m */
#define RISER_EACH 3.0
#define LONGEST_PIECE 6.0 /* m of rigid duct that a lorry brings; longer is a coil */

bool ebi_duct_is_rigid(const ebi_duct_size *duct) {
  return duct == NULL || (!duct->flexible && !(duct->stock_length > LONGEST_PIECE));
}

/* ---- Duct ---- */

/* Of one tube, as it is cut: silencers and the like stand for a part of it, and a
 * flexible duct is longer than the way it is laid. */
static void add_duct(ebi_order *order, const ebi_run *run, const ebi_mouth *mouth) {
  const ebi_duct_size *duct = &run->duct;
  double length = ebi_run_bought_length(run, duct);
  ebi_order_add(order, &(ebi_wanted){.kind = EBI_PART_DUCT,
                                     .item = mouth->family[0] == '\0'
                                                 ? ebi_part_name(order, "duct", mouth, 1)
                                                 : duct->name,
                                     .short_item = duct->name,
                                     .quantity = length * run->parallel,
                                     .where = run->name,
                                     .run = run,
                                     .price = ebi_price_duct(duct),
                                     .piece = duct->stock_length});
  double piece = duct->stock_length;
  double joints = piece > 0.0 ? ebi_part_pieces(length, piece) - 1.0 : 0.0;
  ebi_order_add(order, &(ebi_wanted){.kind = EBI_PART_COUPLING,
                                     .item = ebi_part_name(order, "coupling", mouth, 1),
                                     .short_item = ebi_part_short_name(order, "coupling", mouth, 1),
                                     .quantity = fmax(joints, 0.0) * run->parallel,
                                     .where = run->name,
                                     .price = ebi_price_like(EBI_LIKE_COUPLING, duct)});
}

static void add_fixings(ebi_order *order, const ebi_run *run, const ebi_mouth *mouth) {
  bool rigid = ebi_duct_is_rigid(&run->duct);
  double riser = run->rise.given ? fmin(fabs(run->rise.value), run->length) : 0.0;
  double count =
      ebi_part_pieces(run->length - riser, BRACKET_EACH) + ebi_part_pieces(riser, RISER_EACH);
  ebi_order_add(
      order,
      &(ebi_wanted){.kind = EBI_PART_FIXING,
                    .item = ebi_part_short_name(order, rigid ? "bracket" : "strap", mouth, 1),
                    .quantity = count * run->parallel,
                    .where = run->name,
                    .price = ebi_price_invented(rigid ? EBI_PRICE_BRACKET : EBI_PRICE_STRAP)});
}

static void add_insulation(ebi_order *order, const ebi_side_run *run, const ebi_mouth *mouth) {
  ebi_given thickness = run->run->insulation_thickness;
  ebi_given conductivity = run->run->insulation_conductivity;
  if (!thickness.given || !(thickness.value > 0.0))
    return;
  const char *name =
      ebi_order_text(order, "insulation-%.12g-%s", 1e3 * thickness.value, mouth->size);
  const char *item = conductivity.given
                         ? ebi_order_text(order, "%s, %.12g W/(m.K)", name, conductivity.value)
                         : name;
  double perimeter = 4.0 * run->section.area / run->section.hydraulic;
  ebi_order_add(order, &(ebi_wanted){.kind = EBI_PART_INSULATION,
                                     .item = item,
                                     .short_item = name,
                                     .quantity = run->run->length * run->run->parallel,
                                     .where = run->run->name,
                                     .run = run->run,
                                     .price = ebi_price_insulation(perimeter, thickness.value)});
}

/* ---- Fittings ---- */

static bool named(const ebi_fitting *fitting, const char *word) {
  return strstr(fitting->entry.name, word) != NULL;
}

static ebi_part_kind kind_of(const ebi_fitting *fitting) {
  if (fitting->end)
    return EBI_PART_END;
  if (fitting->sound == EBI_SOUND_SILENCER || named(fitting, "silencer"))
    return EBI_PART_SILENCER;
  if (fitting->sound == EBI_SOUND_BEND || named(fitting, "bend"))
    return EBI_PART_BEND;
  return fitting->kind == EBI_FITTING_TO_BORE ? EBI_PART_REDUCER : EBI_PART_FITTING;
}

/* Angle and radius that the run asks for beside the table's. */
static const char *fitting_prefix(ebi_order *order, const ebi_run_fitting *entry) {
  const char *text = entry->fitting->entry.name;
  if (entry->angle.given)
    text = ebi_order_text(order, "%s-%.12g", text, entry->angle.value);
  if (entry->radius.given)
    text = ebi_order_text(order, "%s-r%.12g", text, entry->radius.value);
  return text;
}

static void add_named(ebi_order *order, const ebi_run *run, const ebi_run_fitting *entry,
                      const ebi_mouth *mouth) {
  const ebi_fitting *fitting = entry->fitting;
  ebi_part_kind kind = kind_of(fitting);
  if (fitting->price_metres == 0.0)
    return; /* nothing is bought: the end of a duct cut off */
  if (kind == EBI_PART_BEND && !ebi_duct_is_rigid(&run->duct)) {
    order->bends_left_out = true;
    return;
  }
  double to = entry->to.given ? entry->to.value : fitting->to_bore;
  bool cone = fitting->kind == EBI_FITTING_TO_BORE && to > 0.0;
  ebi_mouth sizes[2] = {*mouth};
  if (cone)
    sizes[1] = ebi_mouth_round(order, to);
  size_t n_sizes = fitting->bore > 0.0 ? 0 : cone ? 2 : 1;
  const char *prefix = fitting_prefix(order, entry);
  ebi_order_add(order,
                &(ebi_wanted){.kind = kind,
                              .item = ebi_part_name(order, prefix, sizes, n_sizes),
                              .short_item = ebi_part_short_name(order, prefix, sizes, n_sizes),
                              .quantity = (double)entry->count * run->parallel,
                              .where = run->name,
                              .price = ebi_price_like(fitting->price_metres, &run->duct)});
}

/* A coefficient or drop stands for something that has no name. */
static void add_nameless(ebi_order *order, const ebi_run *run, const ebi_run_fitting *entry,
                         const ebi_mouth *mouth) {
  const char *size = ebi_mouth_text(order, mouth);
  const char *item =
      entry->drop.given
          ? ebi_order_text(order, "no name, %.12g Pa at %.12g l/s, %s", entry->drop.value,
                           1e3 * entry->at.value, size)
          : ebi_order_text(order, "no name, coefficient %.12g, %s", entry->coefficient.value, size);
  ebi_order_add(order, &(ebi_wanted){.kind = EBI_PART_OTHER,
                                     .item = item,
                                     .quantity = (double)entry->count * run->parallel,
                                     .where = run->name,
                                     .price = {(double)NAN, ""}});
}

static void add_fittings(ebi_order *order, const ebi_run *run, const ebi_mouth *mouth) {
  for (size_t i = 0; i < run->n_fittings; i++) {
    if (run->fittings[i].fitting != NULL)
      add_named(order, run, &run->fittings[i], mouth);
    else
      add_nameless(order, run, &run->fittings[i], mouth);
  }
}

/* ---- Valve ---- */

static void add_frame(ebi_order *order, const ebi_run *run, const ebi_mouth *opening) {
  ebi_order_add(order, &(ebi_wanted){.kind = EBI_PART_FRAME,
                                     .item = ebi_part_short_name(order, "valve-frame", opening, 1),
                                     .quantity = 1,
                                     .where = run->name,
                                     .price = ebi_price_invented(EBI_PRICE_FRAME)});
}

static void add_restrictor(ebi_order *order, const ebi_run *run, const ebi_mouth *opening) {
  const ebi_run_valve *valve = &run->valve;
  if (!valve->restrictor_drop.given)
    return;
  const char *name = ebi_part_short_name(order, "restrictor", opening, 1);
  const char *item = ebi_order_text(order, "%s, %.12g Pa at %.12g l/s", name,
                                    valve->restrictor_drop.value, 1e3 * valve->restrictor_at.value);
  ebi_order_add(order, &(ebi_wanted){.kind = EBI_PART_RESTRICTOR,
                                     .item = item,
                                     .short_item = name,
                                     .quantity = 1,
                                     .where = run->name,
                                     .price = ebi_price_invented(EBI_PRICE_RESTRICTOR)});
}

static void add_valve(ebi_order *order, const ebi_run *run, const ebi_mouth *mouth) {
  const ebi_valve *type = run->valve.type;
  if (type == NULL)
    return;
  const char *name = type->entry.name;
  ebi_mouth opening = type->bore > 0.0 ? ebi_mouth_round(order, type->bore) : *mouth;
  opening.count = 1;
  ebi_order_add(order, &(ebi_wanted){.kind = EBI_PART_VALVE,
                                     .item = run->valve.two_position
                                                 ? ebi_order_text(order, "%s, two-position", name)
                                                 : name,
                                     .short_item = name,
                                     .quantity = 1,
                                     .where = run->name,
                                     .price = ebi_price_entry(type->price, &type->entry)});
  add_frame(order, run, &opening);
  add_restrictor(order, run, &opening);
  ebi_order_join(order, EBI_JOINT_VALVE, run->name, &opening, mouth);
}

/* ---- At the unit ---- */

static void add_spigot(ebi_order *order, const ebi_run *run, const ebi_mouth *mouth) {
  const ebi_unit *unit = order->job.house->unit;
  double bore = unit != NULL ? unit->spigot[run->air] : 0.0;
  if (!(bore > 0.0)) {
    order->spigot_unknown = true;
    return;
  }
  ebi_mouth spigot = ebi_mouth_round(order, bore);
  ebi_order_join(order, EBI_JOINT_PLUG, run->name, &spigot, mouth);
}

void ebi_order_run(ebi_order *order, const ebi_side_run *run) {
  ebi_mouth mouth = ebi_mouth_of_run(order, run);
  add_duct(order, run->run, &mouth);
  add_fittings(order, run->run, &mouth);
  add_valve(order, run->run, &mouth);
  add_insulation(order, run, &mouth);
  add_fixings(order, run->run, &mouth);
  if (run->from.kind == EBI_END_UNIT || run->to.kind == EBI_END_UNIT)
    add_spigot(order, run->run, &mouth);
}
