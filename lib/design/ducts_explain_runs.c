/* ducts_explain_runs.c - the steps behind the pressures of each run */

#include "design/ducts_explain.h"
#include "physics/flexible.h"

static const char *const air_names[] = {"outdoor", "supply", "extract", "exhaust"};

/* ---- What holds at every level ---- */

static void explain_density(ebi_explained *e) {
  const ebi_ducts_job *job = e->job;
  const eb_house *house = job->house;
  ebi_step site[3];
  size_t count = 0;
  if (house->indoor.given)
    site[count++] = ebi_ledger_input(job->ledger, house->indoor.where, house->indoor.value,
                                     EBI_TEMPERATURE, "indoor temperature");
  if (house->outdoor.given)
    site[count++] = ebi_ledger_input(job->ledger, house->outdoor.where, house->outdoor.value,
                                     EBI_TEMPERATURE, "outdoor temperature");
  if (house->altitude.given)
    site[count++] = ebi_ledger_input(job->ledger, house->altitude.where, house->altitude.value,
                                     EBI_LENGTH, "altitude");
  for (int air = 0; air < 4; air++)
    e->density[air] =
        ebi_ledger_step(job->ledger, EBI_F_DUCT_DENSITY, NULL, job->air[air].density, EBI_NUMBER,
                        site, count, "density of %s air in kg/m3", air_names[air]);
}

/* The element of a run's fitting: those stand behind the duct's own, in order. */
static const ebi_element *fitting_element(const ebi_side *side, const ebi_side_run *run,
                                          size_t fitting) {
  size_t count;
  const ebi_element *elements = ebi_network_elements(side->network, run->part, &count);
  bool duct = count > 0 && elements[0].kind == EBI_ELEMENT_DUCT;
  return &elements[fitting + (duct ? 1 : 0)];
}

/* The figure a fitting is known by: its coefficient, or its drop at a flow. */
static ebi_step explain_fitting(const ebi_side *side, const ebi_side_run *run, size_t number) {
  eb_ledger *ledger = side->job->ledger;
  const ebi_run_fitting *entry = &run->run->fittings[number];
  const ebi_element *element = fitting_element(side, run, number);
  bool loss = element->kind == EBI_ELEMENT_LOSS;
  double value = loss ? element->as.loss.forward : element->as.power.drop;
  ebi_kind kind = loss ? EBI_NUMBER : EBI_PRESSURE;
  const char *what = loss ? "coefficient" : "drop at the flow of its sheet";
  if (entry->fitting == NULL)
    return ebi_ledger_input(ledger, entry->where, value, kind, "%s given in %s", what,
                            run->run->name);
  const ebi_entry *table = &entry->fitting->entry;
  ebi_cite cite = {table->name, table->source.text, table->source.known};
  return ebi_ledger_step(ledger, EBI_F_DUCT_FITTING, &cite, value, kind, NULL, 0,
                         "%s of %d %s in %s", what, entry->count, table->name, run->run->name);
}

/* How a run lies, where its friction depends on that. */
static void explain_laid(const ebi_explained *e, const ebi_side_run *own, ebi_run_steps *steps) {
  const ebi_run *run = own->run;
  eb_ledger *ledger = e->job->ledger;
  steps->slack = steps->crushed = EBI_NO_STEP;
  if (run->duct.flexible) {
    double stretched = run->stretched.given ? run->stretched.value : run->duct.stretched;
    ebi_where where = run->stretched.given ? run->stretched.where : run->duct_where;
    ebi_step laid = ebi_ledger_input(ledger, where, stretched, EBI_RATIO,
                                     "length of %s over that fully stretched", run->name);
    steps->slack = ebi_ledger_step(ledger, EBI_F_DUCT_SLACK, NULL,
                                   ebi_flexible_factor(stretched, own->section.hydraulic),
                                   EBI_NUMBER, &laid, 1, "factor for slack of %s", run->name);
  }
  if (run->crushed_height.given) {
    ebi_step parts[] = {
        ebi_ledger_input(ledger, run->crushed_height.where, run->crushed_height.value, EBI_RATIO,
                         "height left where %s is crushed", run->name),
        ebi_ledger_input(ledger, run->crushed_length.where, run->crushed_length.value, EBI_LENGTH,
                         "crushed length of %s", run->name)};
    ebi_section flat = ebi_section_crushed(run->duct.bore, run->crushed_height.value);
    steps->crushed = ebi_ledger_step(ledger, EBI_F_DUCT_CRUSHED, NULL, flat.area, EBI_AREA, parts,
                                     2, "area left where %s is crushed", run->name);
  }
}

static eb_status start_run(ebi_explained *e, const ebi_side *side, const ebi_side_run *run) {
  ebi_run_steps *steps = &e->runs[run->number];
  steps->length = ebi_ledger_input(e->job->ledger, run->run->where, run->run->length, EBI_LENGTH,
                                   "length of %s", run->run->name);
  explain_laid(e, run, steps);
  steps->fittings = EBI_NEW_ARRAY(e->job->scratch, ebi_step, run->run->n_fittings);
  if (steps->fittings == NULL)
    return EB_E_MEMORY;
  for (size_t i = 0; i < run->run->n_fittings; i++)
    steps->fittings[i] = explain_fitting(side, run, i);
  return EB_OK;
}

static size_t most_fittings(const eb_house *house) {
  size_t most = 0;
  for (size_t i = 0; i < house->n_runs; i++)
    most = house->runs[i].n_fittings > most ? house->runs[i].n_fittings : most;
  return most;
}

eb_status ebi_explain_start(ebi_explained *e) {
  ebi_ducts_job *job = e->job;
  e->runs = EBI_NEW_ARRAY(job->scratch, ebi_run_steps, job->house->n_runs);
  e->path = EBI_NEW_ARRAY(job->scratch, ebi_step, job->house->n_runs);
  e->parts = EBI_NEW_ARRAY(job->scratch, ebi_step, most_fittings(job->house) + 2);
  e->rooms = EBI_NEW_ARRAY(job->scratch, ebi_step, job->house->n_rooms);
  if (e->runs == NULL || e->rooms == NULL || e->path == NULL || e->parts == NULL)
    return EB_E_MEMORY;
  explain_density(e);
  e->standby = ebi_ledger_input(job->ledger, job->house->unit_where, job->house->unit->standby,
                                EBI_POWER, "standby of the unit");
  for (int s = 0; s < EBI_SIDES; s++) {
    const ebi_side *side = &job->side[s];
    for (size_t i = 0; side->network != NULL && i < side->n_runs; i++)
      if (start_run(e, side, &side->runs[i]) != EB_OK)
        return EB_E_MEMORY;
  }
  return EB_OK;
}

/* ---- One run at one level ---- */

/* All fittings of a run; what is not in its list is its share of the meetings at its ends. */
static ebi_step explain_fittings(const ebi_explained *e, const ebi_side *side,
                                 const ebi_side_run *run, const eb_run_state *state) {
  const char *name = run->run->name, *at = e->job->levels[e->level].name;
  const ebi_step *figures = e->runs[run->number].fittings;
  double rest = state->fittings_pa;
  size_t count = 0;
  e->parts[count++] = e->runs[run->number].flow;
  for (size_t i = 0; i < run->run->n_fittings; i++) {
    double drop = ebi_element_drop(fitting_element(side, run, i), run->air, state->flow_m3_s).pa;
    rest -= drop;
    e->parts[count++] = figures[i];
  }
  e->parts[count++] = ebi_ledger_step(e->job->ledger, EBI_F_DUCT_ENDS, NULL, rest, EBI_PRESSURE,
                                      &e->runs[run->number].flow, 1, "ends of %s at %s", name, at);
  return ebi_ledger_step(e->job->ledger, EBI_F_DUCT_FITTINGS, NULL, state->fittings_pa,
                         EBI_PRESSURE, e->parts, count, "fittings of %s at %s", name, at);
}

static void explain_run(const ebi_explained *e, const ebi_side *side, const ebi_side_run *run) {
  eb_ledger *ledger = e->job->ledger;
  const eb_run_state *state = &e->job->run_states[e->level][run->number];
  const char *name = run->run->name, *at = e->job->levels[e->level].name;
  ebi_run_steps *steps = &e->runs[run->number];
  steps->flow = ebi_ledger_step(ledger, EBI_F_DUCT_FLOW, NULL, state->flow_m3_s, EBI_FLOW,
                                &e->density[run->run->air], 1, "flow in %s at %s", name, at);
  ebi_step of_duct[] = {steps->length, steps->slack, steps->crushed, steps->flow,
                        e->density[run->run->air]};
  ebi_step friction = ebi_ledger_step(ledger, EBI_F_DUCT_FRICTION, NULL, state->friction_pa,
                                      EBI_PRESSURE, of_duct, 5, "friction in %s at %s", name, at);
  ebi_step fittings = explain_fittings(e, side, run, state);
  bool valve = run->run->valve.type != NULL;
  steps->valve = EBI_NO_STEP;
  if (valve) {
    const ebi_entry *table = &run->run->valve.type->entry;
    ebi_cite cite = {table->name, table->source.text, table->source.known};
    steps->valve = ebi_ledger_step(ledger, EBI_F_DUCT_VALVE, &cite, state->valve_pa, EBI_PRESSURE,
                                   &steps->flow, 1, "valve of %s at %s", name, at);
  }
  ebi_step sum[] = {friction, fittings, steps->valve};
  steps->total = ebi_ledger_step(ledger, EBI_F_DUCT_RUN, NULL, state->total_pa, EBI_PRESSURE, sum,
                                 valve ? 3 : 2, "total of %s at %s", name, at);
}

void ebi_explain_runs(const ebi_explained *e, const ebi_side *side) {
  for (size_t i = 0; i < side->n_runs; i++)
    explain_run(e, side, &side->runs[i]);
}
