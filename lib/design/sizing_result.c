/* sizing_result.c - the sizes chosen, and what the next ones would have cost
 *
 * Another size of one run is put in while all others stay as chosen, and the side valued
 * anew: so a person who overrules the choice knows the price of it. */

#include <math.h>

#include "design/sizing.h"

/* ---- Another size ---- */

static const char *no_limit = "";

/* The limit that an edge's size in hand breaks. */
static const char *broken(const ebi_sizer *sizer, const ebi_sizing_side *s, size_t number,
                          double pressure, double boost) {
  const ebi_size_edge *edge = &s->edges[number];
  double most = sizer->velocity[edge->place] * (1.0 + 1e-9);
  ebi_arena *arena = sizer->job->arena;
  if (!ebi_sizing_fits(&edge->copy, edge->sizes[edge->size].duct))
    return "a fitting made for another bore";
  if (edge->size < edge->too_loud)
    return ebi_arena_format(arena, "sound in %s", edge->loud_room);
  if (ebi_sizing_velocity(s, number, edge->size) > most)
    return ebi_arena_format(arena, "%.3g m/s in a %s", sizer->velocity[edge->place],
                            ebi_place_name(edge->place));
  bool more = pressure > s->pressure + 1e-9;
  if (sizer->given->pressure.given && more && pressure > sizer->given->pressure.value)
    return ebi_arena_format(arena, "%.4g Pa at most", sizer->given->pressure.value);
  for (size_t e = 0; e < s->n_edges; e++)
    if (!ebi_sizing_falls(sizer, s, e))
      return "never larger than the run before";
  if (boost > s->available_pa && s->asked_pa <= s->available_pa)
    return ebi_arena_format(arena, "%.0f Pa that the fan can at boost", s->available_pa);
  return no_limit;
}

static eb_status value_other(ebi_sizer *sizer, ebi_sizing_side *s, size_t number, size_t size,
                             eb_other_size *other) {
  const ebi_size *now = &s->edges[number].sizes[size];
  double pressure, boost;
  ebi_sizing_put(s, number, size);
  eb_status status = ebi_sizing_pressure(s, EBI_BOOST_FLOW, &boost);
  if (status == EB_OK)
    status = ebi_sizing_pressure(s, EBI_DESIGN_FLOW, &pressure);
  if (status != EB_OK)
    return status;
  double cost = ebi_sizing_price(s) + s->per_pa * pressure;
  *other = (eb_other_size){.duct = ebi_arena_text(sizer->job->arena, now->duct->name),
                           .parallel = now->tubes,
                           .money = cost - s->cost,
                           .pressure_pa = pressure - s->pressure,
                           .sound_db = NAN,
                           .against = broken(sizer, s, number, pressure, boost)};
  return other->duct == NULL || other->against == NULL ? EB_E_MEMORY : EB_OK;
}

static eb_status other_size(ebi_sizer *sizer, ebi_sizing_side *s, size_t number, int step,
                            eb_other_size *other) {
  ebi_size_edge *edge = &s->edges[number];
  size_t chosen = edge->size;
  bool none = step < 0 ? chosen == 0 : chosen + 1 == edge->n_sizes;
  *other = (eb_other_size){.duct = "", .sound_db = NAN, .against = ""};
  if (none || s->side->n_terminals == 0)
    return EB_OK;
  eb_status status = value_other(sizer, s, number, step < 0 ? chosen - 1 : chosen + 1, other);
  ebi_sizing_put(s, number, chosen);
  return status;
}

/* ---- The list ---- */

static eb_status fill(ebi_sizer *sizer, ebi_sizing_side *s, size_t number, eb_sized_run *out) {
  const ebi_size_edge *edge = &s->edges[number];
  const ebi_size *size = &edge->sizes[edge->size];
  *out = (eb_sized_run){.run = ebi_arena_text(sizer->job->arena, edge->copy.name),
                        .duct = ebi_arena_text(sizer->job->arena, size->duct->name),
                        .parallel = size->tubes,
                        .price = size->price};
  if (out->run == NULL || out->duct == NULL)
    return EB_E_MEMORY;
  eb_status status = other_size(sizer, s, number, -1, &out->smaller);
  return status == EB_OK ? other_size(sizer, s, number, 1, &out->larger) : status;
}

/* The edge of a run of the house that was sized, with its side. */
static ebi_sizing_side *find(ebi_sizer *sizer, size_t run, size_t *edge) {
  for (int i = 0; i < EBI_SIDES; i++)
    for (size_t e = 0; e < sizer->side[i].n_edges; e++) {
      ebi_sizing_side *s = &sizer->side[i];
      if (s->edges[e].open && s->side->runs[s->edges[e].run].number == run) {
        *edge = e;
        return s;
      }
    }
  return NULL;
}

static eb_status fill_all(ebi_sizer *sizer, eb_sizes *sizes, eb_sized_run *runs) {
  for (size_t r = 0; r < sizer->job->house->n_runs; r++) {
    size_t edge;
    ebi_sizing_side *s = find(sizer, r, &edge);
    if (s == NULL)
      continue;
    eb_status status = fill(sizer, s, edge, &runs[sizes->n_runs++]);
    if (status != EB_OK)
      return status;
  }
  return EB_OK;
}

eb_status ebi_sizing_result(ebi_sizer *sizer) {
  ebi_arena *arena = sizer->job->arena;
  eb_sizes *sizes = EBI_NEW(arena, eb_sizes);
  eb_sized_run *runs =
      EBI_NEW_ARRAY(arena, eb_sized_run, sizer->side[0].n_open + sizer->side[1].n_open);
  const char *currency = sizer->job->house->currency != NULL ? sizer->job->house->currency : "";
  if (sizes == NULL || runs == NULL)
    return EB_E_MEMORY;
  *sizes = (eb_sizes){.method = ebi_sizing_method_name(sizer->method),
                      .runs = runs,
                      .currency = ebi_arena_text(arena, currency)};
  if (sizes->currency == NULL)
    return EB_E_MEMORY;
  for (int i = 0; i < EBI_SIDES; i++) {
    const ebi_sizing_side *s = &sizer->side[i];
    if (s->n_open == 0)
      continue;
    sizes->parts_cost += ebi_sizing_price(s);
    sizes->energy_cost += s->per_pa * s->pressure;
    sizes->frozen_bound += s->bound;
    sizes->money_per_pa[i] = s->per_pa;
  }
  eb_status status = fill_all(sizer, sizes, runs);
  sizer->sizes = sizes;
  sizer->sized = runs;
  sizer->job->result->sizes = sizes;
  return status;
}
