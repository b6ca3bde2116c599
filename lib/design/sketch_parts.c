/* sketch_parts.c - names, sizes and ends of the runs that are sketched */

#include <math.h>

#include "design/sketch.h"

/* ---- Sizes ------------------------------------------------------------- */

/* Of the tables that come with the program. Beyond their sizes a louvre and a cowl are given by
 * what they lose on the duct's velocity. */
static const struct {
  double bore; /* m */
  const char *duct, *silencer, *louvre, *cowl;
} sizes[] = {
    {0.100, "steel-100", "silencer-100-900", "wall-louvre-100", "roof-cowl-100"},
    {0.125, "steel-125", "silencer-125-900", "wall-louvre-125", "roof-cowl-125"},
    {0.160, "steel-160", "silencer-160-900", "wall-louvre-160", "roof-cowl-160"},
    {0.200, "steel-200", "silencer-200-900", "wall-louvre-200", "roof-cowl-200"},
    {0.250, "steel-250", NULL, "{coefficient: 2.3}", "{coefficient: 2.5}"},
    {0.315, "steel-315", NULL, "{coefficient: 2.3}", "{coefficient: 2.5}"},
    {0.400, "steel-400", NULL, "{coefficient: 2.3}", "{coefficient: 2.5}"},
};
enum { SIZES = sizeof sizes / sizeof sizes[0] };

size_t ebi_sketch_size(double flow, double velocity) {
  const double pi = 3.14159265358979323846;
  size_t size = 0;
  while (size + 1 < SIZES && flow > velocity * pi / 4 * sizes[size].bore * sizes[size].bore)
    size++;
  return size;
}

const char *ebi_sketch_steel(size_t size) {
  return sizes[size].duct;
}

const char *ebi_sketch_silencer(ebi_sketching *sketching, size_t size) {
  sketching->unsilenced = sketching->unsilenced || !sizes[size].silencer;
  return sizes[size].silencer;
}

/* ---- Ways ------------------------------------------------------------ */

ebi_sketch_path ebi_sketch_path_between(const double from[3], const double to[3]) {
  const double nothing = 0.05; /* m, not worth a bend */
  ebi_sketch_path path = {.rise = to[2] - from[2]};
  for (size_t axis = 0; axis < 3; axis++) {
    double way = fabs(to[axis] - from[axis]);
    path.length += way;
    path.bends += way > nothing;
  }
  path.bends = path.bends > 1 ? path.bends : 1;
  return path;
}

/* ---- Names ------------------------------------------------------------- */

const char *ebi_sketch_name(ebi_sketching *sketching, const char *prefix, const char *rest) {
  const char *name = ebi_arena_format(sketching->scratch, "%s%s", prefix, rest);
  for (int i = 2; name && ebi_names_find(&sketching->taken, name) != EBI_NO_NAME; i++)
    name = ebi_arena_format(sketching->scratch, "%s%s-%d", prefix, rest, i);
  if (!name || !ebi_names_set(&sketching->taken, sketching->scratch, name, 0))
    sketching->failed = true;
  return name;
}

/* ---- Runs and junctions ------------------------------------------------ */

/* An estimate pretends no more than this. */
static double rounded(double length) {
  return round(10.0 * length) / 10.0 + 0.0;
}

void ebi_sketch_run(ebi_sketching *sketching, const char *near, const char *far,
                    ebi_sketched_run run) {
  const double least = 0.1;
  bool outward = run.air == EB_SUPPLY || run.air == EB_EXHAUST;
  run.from = outward ? near : far;
  run.to = outward ? far : near;
  run.length = fmax(rounded(run.length), least);
  run.rise = rounded(outward ? run.rise : -run.rise);
  if (sketching->failed || !ebi_arena_grow(sketching->scratch, &sketching->runs,
                                           &sketching->run_capacity, sketching->n_runs, sizeof run))
    sketching->failed = true;
  else
    sketching->runs[sketching->n_runs++] = run;
}

void ebi_sketch_junction(ebi_sketching *sketching, ebi_sketched_junction junction) {
  if (sketching->failed ||
      !ebi_arena_grow(sketching->scratch, &sketching->junctions, &sketching->junction_capacity,
                      sketching->n_junctions, sizeof junction))
    sketching->failed = true;
  else
    sketching->junctions[sketching->n_junctions++] = junction;
}

ebi_sketched_run ebi_sketch_to_valve(const ebi_sketch_side *side,
                                     const ebi_sketch_terminal *terminal) {
  bool small = terminal->flow <= EBI_SKETCH_TUBE_FLOW;
  const char *supply = small ? "supply-valve-100" : "supply-valve-125";
  const char *extract = small ? "extract-valve-100" : "extract-valve-125";
  return (ebi_sketched_run){.air = side->air,
                            .name = terminal->name,
                            .parallel = 1,
                            .valve = side->air == EB_SUPPLY ? supply : extract};
}

/* ---- Outdoors ---------------------------------------------------------- */

/* Well above the unit and all rooms lies the roof. */
static bool on_roof(const ebi_sketching *sketching, const ebi_position *place) {
  const double above = 1.0;
  double top = sketching->house->unit_at.at[2];
  for (int s = 0; s < 2; s++)
    for (size_t i = 0; i < sketching->side[s].n_terminals; i++)
      top = fmax(top, sketching->side[s].terminals[i].at[2]);
  return place->at[2] > top + above;
}

void ebi_sketch_outside(ebi_sketching *sketching, eb_air air, double flow) {
  const eb_house *house = sketching->house;
  const ebi_position *place = air == EB_OUTDOOR ? &house->outdoor_at : &house->exhaust_at;
  size_t size = ebi_sketch_size(flow, EBI_SKETCH_TRUNK_VELOCITY);
  ebi_sketched_run run = {
      .air = air,
      .name = ebi_sketch_name(sketching, "", air == EB_OUTDOOR ? "intake" : "outlet"),
      .duct = sizes[size].duct,
      .parallel = 1,
      .length = 3.0, /* where no place is given */
      .bends = 2,
      .fitting = sizes[size].louvre,
      .insulated = true};
  if (place->given) {
    ebi_sketch_path path = ebi_sketch_path_between(house->unit_at.at, place->at);
    run.length = path.length;
    run.rise = path.rise;
    run.bends = path.bends;
    run.fitting = on_roof(sketching, place) ? sizes[size].cowl : sizes[size].louvre;
  }
  ebi_sketch_run(sketching, "unit", "outdoors", run);
}
