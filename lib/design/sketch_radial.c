/* sketch_radial.c - a box at the unit for each side, and tubes from it to every valve */

#include <math.h>

#include "design/sketch.h"

/* Inside 63 mm wide; two of them go to a valve that takes more than one carries. */
static const char tube[] = "semirigid-75";

static void lay_tube(ebi_sketching *sketching, const ebi_sketch_side *side, const char *box,
                     const ebi_sketch_terminal *terminal) {
  const eb_house *house = sketching->house;
  ebi_sketch_path path = ebi_sketch_path_between(house->unit_at.at, terminal->at);
  ebi_sketched_run run = ebi_sketch_to_valve(side, terminal);
  run.duct = tube;
  run.parallel = terminal->flow > EBI_SKETCH_TUBE_FLOW ? 2 : 1;
  run.length = fmax(path.length, EBI_SKETCH_LEAST_BRANCH);
  run.rise = path.rise;
  run.bends = path.bends;
  ebi_sketch_run(sketching, box, house->rooms[terminal->room].name, run);
}

void ebi_sketch_radial(ebi_sketching *sketching, const ebi_sketch_side *side) {
  const char *box = ebi_sketch_name(sketching, side->prefix, "box");
  size_t size = ebi_sketch_size(side->flow, EBI_SKETCH_TRUNK_VELOCITY);
  ebi_sketched_run main = {.air = side->air,
                           .name = ebi_sketch_name(sketching, side->prefix, "main"),
                           .duct = ebi_sketch_steel(size),
                           .parallel = 1,
                           .length = EBI_SKETCH_MAIN_LENGTH,
                           .bends = EBI_SKETCH_MAIN_BENDS,
                           .fitting = ebi_sketch_silencer(sketching, size)};
  ebi_sketch_run(sketching, "unit", box, main);
  for (size_t i = 0; i < side->n_terminals; i++)
    lay_tube(sketching, side, box, &side->terminals[i]);
  ebi_sketch_junction(sketching, (ebi_sketched_junction){.name = box, .box = true});
}
