/* sizing_sizes.c - what a run may be made of, what each costs, and which the limits let it
 *
 * Priced are duct, fittings, couplings and insulation of the run, by the house's own prices
 * (`costs: parts: prices:`) or the tables'. What stands where runs meet (tees, reducers,
 * boxes) is left out: its price changes little with the size of one run. */

#include <math.h>

#include "design/parts.h"
#include "design/parts_price.h"
#include "design/sizing.h"
#include "model/duct.h"

/* Money per m2 of wall where a duct has no price: about that of steel in the tables (invented). */
#define PRICE_PER_WALL 18.5

#define BORE_SLACK 1.5e-3 /* m between a fitting's bore and its duct's */

/* A limit is met within rounding. */
#define SLACK 1e-9

const char *ebi_place_name(ebi_run_place place) {
  static const char *const names[] = {"main", "branch", "terminal"};
  return names[place];
}

/* ---- Prices ---- */

static double perimeter(const ebi_section *section) {
  return 4.0 * section->area / section->hydraulic;
}

static double per_metre(const eb_house *house, const ebi_duct_size *duct) {
  const ebi_own_price *own = ebi_price_own(house, duct->name, NULL);
  if (own != NULL && own->per_m)
    return own->price;
  ebi_price listed = ebi_price_duct(duct);
  ebi_section section = ebi_duct_section(duct);
  return isnan(listed.value) ? PRICE_PER_WALL * perimeter(&section) : listed.value;
}

/* The house's own price of a fitting of this bore, or NAN. */
static double own_price(const ebi_sizer *sizer, const ebi_fitting *fitting,
                        const ebi_duct_size *duct) {
  const eb_house *house = sizer->job->house;
  if (house->parts.n_prices == 0 || duct->shape != EBI_ROUND)
    return NAN;
  const char *name =
      ebi_arena_format(sizer->job->scratch, "%s-%.12g", fitting->entry.name, 1e3 * duct->bore);
  const ebi_own_price *own = name == NULL ? NULL : ebi_price_own(house, fitting->entry.name, name);
  return own == NULL ? (double)NAN : own->price;
}

/* Of one tube: bends of a duct from a coil are bent from it. */
static double fittings_price(const ebi_sizer *sizer, const ebi_run *run, const ebi_duct_size *duct,
                             double metre) {
  double sum = 0.0;
  for (size_t i = 0; i < run->n_fittings; i++) {
    const ebi_fitting *fitting = run->fittings[i].fitting;
    if (fitting == NULL || !(fitting->price_metres > 0.0) ||
        (fitting->sound == EBI_SOUND_BEND && !ebi_duct_is_rigid(duct)))
      continue;
    double own = own_price(sizer, fitting, duct);
    sum += run->fittings[i].count * (isnan(own) ? fitting->price_metres * metre : own);
  }
  return sum;
}

static double price_of(const ebi_sizer *sizer, const ebi_run *run, const ebi_size *size) {
  const ebi_duct_size *duct = size->duct;
  ebi_section section = ebi_duct_section(duct);
  double metre = per_metre(sizer->job->house, duct), length = ebi_run_bought_length(run, duct);
  double tube = length * metre + fittings_price(sizer, run, duct, metre);
  if (duct->stock_length > 0.0)
    tube += fmax(ceil(length / duct->stock_length - SLACK) - 1.0, 0.0) * EBI_LIKE_COUPLING * metre;
  if (run->insulation_thickness.given && run->insulation_thickness.value > 0.0)
    tube += run->length *
            ebi_price_insulation(perimeter(&section), run->insulation_thickness.value).value;
  return size->tubes * tube;
}

/* ---- The list ---- */

static void sort(ebi_size *sizes, size_t count) {
  for (size_t i = 1; i < count; i++) {
    ebi_size size = sizes[i];
    size_t at = i;
    for (; at > 0 && (sizes[at - 1].area > size.area ||
                      (sizes[at - 1].area == size.area && sizes[at - 1].price > size.price));
         at--)
      sizes[at] = sizes[at - 1];
    sizes[at] = size;
  }
}

static eb_status list(const ebi_sizer *sizer, ebi_size_edge *edge, const ebi_run *run) {
  int least = run->parallel_at_most > 0 ? 1 : run->parallel;
  int most = run->parallel_at_most > 0 ? run->parallel_at_most : run->parallel;
  edge->sizes =
      EBI_NEW_ARRAY(sizer->job->scratch, ebi_size, run->n_choices * (size_t)(most - least + 1));
  if (edge->sizes == NULL)
    return EB_E_MEMORY;
  edge->n_sizes = 0;
  for (int tubes = least; tubes <= most; tubes++)
    for (size_t c = 0; c < run->n_choices; c++) {
      ebi_size *size = &edge->sizes[edge->n_sizes++];
      *size = (ebi_size){.duct = &run->choices[c], .tubes = tubes, .allowed = true};
      size->area = tubes * ebi_duct_section(size->duct).area;
      size->price = price_of(sizer, run, size);
    }
  sort(edge->sizes, edge->n_sizes);
  return EB_OK;
}

eb_status ebi_sizing_sizes(ebi_sizer *sizer, ebi_sizing_side *s) {
  for (size_t e = 0; e < s->n_edges; e++) {
    ebi_size_edge *edge = &s->edges[e];
    const ebi_side_run *own = &s->side->runs[edge->run];
    const ebi_run *run = &sizer->job->house->runs[own->number];
    if (edge->sizes != NULL)
      continue;
    if (edge->open) {
      if (list(sizer, edge, run) != EB_OK)
        return EB_E_MEMORY;
      continue;
    }
    edge->sizes = EBI_NEW(sizer->job->scratch, ebi_size);
    if (edge->sizes == NULL)
      return EB_E_MEMORY;
    edge->sizes[0] = (ebi_size){&run->duct, run->parallel, own->area, 0.0, true};
    edge->n_sizes = 1;
  }
  return EB_OK;
}

/* ---- Limits ---- */

double ebi_sizing_velocity(const ebi_sizing_side *s, size_t number, size_t size) {
  const ebi_size_edge *edge = &s->edges[number];
  double flow = ebi_ducts_actual(edge->flow[EBI_DESIGN_FLOW], s->side->runs[edge->run].air.density);
  return fabs(flow) / edge->sizes[size].area;
}

size_t ebi_sizing_next(const ebi_size_edge *edge, size_t size, int step) {
  for (size_t i = size; step > 0 ? i + 1 < edge->n_sizes : i > 0;) {
    i = step > 0 ? i + 1 : i - 1;
    if (edge->sizes[i].allowed)
      return i;
  }
  return EBI_NONE;
}

bool ebi_sizing_fits(const ebi_run *run, const ebi_duct_size *duct) {
  for (size_t i = 0; i < run->n_fittings; i++) {
    const ebi_fitting *fitting = run->fittings[i].fitting;
    if (fitting != NULL && fitting->bore > 0.0 && duct->shape == EBI_ROUND &&
        fabs(duct->bore - fitting->bore) > BORE_SLACK)
      return false;
  }
  return true;
}

static size_t count_allowed(const ebi_size_edge *edge) {
  size_t count = 0;
  for (size_t i = 0; i < edge->n_sizes; i++)
    count += edge->sizes[i].allowed ? 1 : 0;
  return count;
}

static void allow_fitting(ebi_size_edge *edge) {
  for (size_t i = 0; i < edge->n_sizes; i++)
    edge->sizes[i].allowed = ebi_sizing_fits(&edge->copy, edge->sizes[i].duct);
  if (count_allowed(edge) == 0)
    for (size_t i = 0; i < edge->n_sizes; i++)
      edge->sizes[i].allowed = true;
}

/* None is slow enough: the largest it is, and what would do. */
static void too_fast(ebi_sizer *sizer, ebi_sizing_side *s, size_t number, double most) {
  ebi_size_edge *edge = &s->edges[number];
  size_t largest = ebi_sizing_next(edge, edge->n_sizes, -1);
  const ebi_size *size = &edge->sizes[largest];
  double velocity = ebi_sizing_velocity(s, number, largest);
  for (size_t i = 0; i < edge->n_sizes; i++)
    edge->sizes[i].allowed = i == largest;
  ebi_diag(sizer->job->context, EB_WARNING, "sizing-velocity", edge->copy.duct_where, NULL,
           "no duct to choose from lets the air of run %s stay at %.3g m/s, the most in a %s: in "
           "%s it has %.3g m/s. That is taken; a larger duct, %d tubes side by side (`parallel: "
           "{at_most: %d}`) or `sizing: {velocity: {%s: %.3g m/s}}` would do",
           edge->copy.name, most, ebi_place_name(edge->place), size->duct->name, velocity,
           (int)ceil(size->tubes * velocity / most), (int)ceil(size->tubes * velocity / most),
           ebi_place_name(edge->place), ceil(10.0 * velocity) / 10.0);
}

void ebi_sizing_allow(ebi_sizer *sizer, ebi_sizing_side *s) {
  for (size_t e = 0; e < s->n_edges; e++) {
    ebi_size_edge *edge = &s->edges[e];
    double most = sizer->velocity[edge->place] * (1.0 + SLACK);
    bool any = false;
    if (!edge->open)
      continue;
    allow_fitting(edge);
    for (size_t i = 0; i < edge->n_sizes; i++)
      any = any || (edge->sizes[i].allowed && ebi_sizing_velocity(s, e, i) <= most);
    if (!any)
      too_fast(sizer, s, e, sizer->velocity[edge->place]);
    for (size_t i = 0; any && i < edge->n_sizes; i++)
      edge->sizes[i].allowed = edge->sizes[i].allowed && ebi_sizing_velocity(s, e, i) <= most;
  }
}
