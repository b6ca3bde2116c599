/* sketch.c - ducts for a house that has none, from where its rooms and its unit are
 *
 * Lengths along x, y and z, bends and rises: enough for a first price and to compare a star with
 * a tree, and a file to go on from. Nothing here is calculated for pressure or sound. */

#include "design/sketch.h"

#include "base/context.h"
#include "input/write_sketch.h"

#define COMMON_NOTES                                                                               \
  "- the flow of each room is the larger of its normal and its boost; a valve takes up to 60",     \
      "  m3/h, a larger room has several, 1 m apart",                                              \
      "- each side begins with 1.5 m of duct, two bends and a silencer",                           \
      "- outdoor and exhaust air: insulated, 3 m with two bends where no position is given; a "    \
      "roof",                                                                                      \
      "  cowl more than 1 m above the unit and all rooms, else a wall louvre"

static const char *const radial_notes[] = {
    "Ducts sketched from the positions above, as a star: evenbreath ducts --sketch radial.",
    "",
    "ALL LENGTHS, BENDS AND RISES ARE ESTIMATES. They are square along x, y and z, good for a",
    "first price and to compare. Measure them on the plan or in the house before you order. Taken",
    "for granted:",
    "- a box for each side where the unit is, and tubes of 75 mm from it to every valve",
    "- one tube for up to 30 m3/h, two side by side for more",
    "- as many bends as directions that a tube goes in, the last into its valve",
    "- steel ducts wide enough for 3 m/s",
    COMMON_NOTES,
};

static const char *const branched_notes[] = {
    "Ducts sketched from the positions above, as a tree: evenbreath ducts --sketch branched.",
    "",
    "ALL LENGTHS, BENDS AND RISES ARE ESTIMATES. They are square along x, y and z, good for a",
    "first price and to compare. Measure them on the plan or in the house before you order. Taken",
    "for granted:",
    "- a riser at the unit; on each storey and side a trunk along the longer side of the house,",
    "  in the middle of its valves; branches square off it",
    "- a bend at each change of direction, and one into each valve",
    "- steel ducts wide enough for 3 m/s in trunks and 2 m/s to a valve",
    COMMON_NOTES,
};

#define COUNT(table) (sizeof(table) / sizeof((table)[0]))

static void say(const ebi_sketching *sketching) {
  ebi_where where = sketching->house->where;
  ebi_diag(sketching->context, EB_NOTE, "sketch", where, NULL,
           "lengths, bends and rises of the sketched ducts are estimates from positions: measure "
           "them before anything is ordered");
  if (sketching->unsilenced)
    ebi_diag(sketching->context, EB_WARNING, "sketch", where, NULL,
             "no silencer of the tables is as wide as a duct at the unit: the sketch has none "
             "there");
}

static eb_status lay(ebi_sketching *sketching, eb_layout layout) {
  eb_status status = ebi_sketch_gather(sketching);
  for (int s = 0; s < 2 && status == EB_OK; s++) {
    const ebi_sketch_side *side = &sketching->side[s];
    if (side->n_terminals == 0)
      continue;
    ebi_sketch_outside(sketching, s == 0 ? EB_OUTDOOR : EB_EXHAUST, side->flow);
    if (layout == EB_LAYOUT_RADIAL)
      ebi_sketch_radial(sketching, side);
    else
      ebi_sketch_branched(sketching, side);
  }
  if (status != EB_OK)
    return status;
  if (sketching->n_runs > 0 || sketching->failed)
    return sketching->failed ? EB_E_MEMORY : EB_OK;
  ebi_diag(sketching->context, EB_ERROR, "sketch", sketching->house->where, NULL,
           "no room gets or gives air by the plan, so there are no ducts to sketch");
  return EB_E_INPUT;
}

static eb_status sketch_house(ebi_sketching *sketching, eb_layout layout, const char **bytes,
                              size_t *length) {
  bool radial = layout == EB_LAYOUT_RADIAL;
  const eb_house *house = sketching->house;
  if (house->n_runs > 0) {
    ebi_diag(sketching->context, EB_ERROR, "sketch", house->runs[0].where, NULL,
             "the house has ducts already: take them out to have others sketched");
    return EB_E_INPUT;
  }
  eb_status status = lay(sketching, layout);
  if (status != EB_OK)
    return status;
  ebi_sketch sketch = {.notes = radial ? radial_notes : branched_notes,
                       .n_notes = radial ? COUNT(radial_notes) : COUNT(branched_notes),
                       .runs = sketching->runs,
                       .n_runs = sketching->n_runs,
                       .junctions = sketching->junctions,
                       .n_junctions = sketching->n_junctions};
  status = ebi_sketch_write(sketching->context, house, &sketch, bytes, length);
  if (status == EB_OK)
    say(sketching);
  return status;
}

eb_status eb_ducts_sketch(eb_context *context, const eb_house *house, const eb_rates *rates,
                          eb_layout layout, const char **bytes, size_t *length) {
  if (!context || !house || !house->bytes || !rates || rates->n_rooms != house->n_rooms ||
      (layout != EB_LAYOUT_RADIAL && layout != EB_LAYOUT_BRANCHED) || !bytes || !length)
    return EB_E_ARGUMENT;
  ebi_sketching sketching = {.context = context, .house = house, .rates = rates};
  sketching.scratch = ebi_arena_new(ebi_context_allocator(context));
  if (!sketching.scratch)
    return EB_E_MEMORY;
  const char *text = NULL;
  size_t written = 0;
  eb_status status = sketch_house(&sketching, layout, &text, &written);
  ebi_arena_free(sketching.scratch);
  if (ebi_diags_failed(context))
    status = EB_E_MEMORY;
  if (status == EB_OK) {
    *bytes = text;
    *length = written;
  }
  return status;
}
