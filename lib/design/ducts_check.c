/* ducts_check.c - what must be there before ducts can be calculated */

#include <string.h>

#include "design/ducts.h"

#define BORE_SLACK 1.5e-3 /* m between a fitting's bore and its duct's */

static void error_at(const ebi_ducts_job *job, const char *code, ebi_where where,
                     const char *text) {
  ebi_diag(job->context, EB_ERROR, code, where, NULL, "%s", text);
}

static void check_run(const ebi_ducts_job *job, const ebi_run *run) {
  for (size_t i = 0; i < run->n_fittings; i++) {
    const ebi_fitting *fitting = run->fittings[i].fitting;
    double bore = run->duct.shape == EBI_ROUND ? run->duct.bore : 0.0;
    if (fitting == NULL || fitting->bore <= 0.0 || bore <= 0.0 || !run->sized)
      continue;
    if (bore < fitting->bore - BORE_SLACK || bore > fitting->bore + BORE_SLACK)
      ebi_diag(job->context, EB_WARNING, "fitting-bore", run->fittings[i].where, NULL,
               "fitting %s is made for a bore of %.4g mm, but run %s has %.4g mm",
               fitting->entry.name, 1e3 * fitting->bore, run->name, 1e3 * bore);
  }
}

static bool fan_given(const ebi_fan_data *fan) {
  for (size_t i = 0; i < fan->n_curves; i++)
    if (fan->curves[i].n_points < 2 || !(fan->curves[i].speed > 0.0))
      return false;
  return fan->n_curves > 0;
}

static void check_unit(const ebi_ducts_job *job) {
  const eb_house *house = job->house;
  if (house->unit == NULL) {
    error_at(job, "unit-missing", house->where,
             "ducts need a unit for their fans: write \"unit:\" with the name of one (see "
             "evenbreath tables) or with the figures of its sheet");
    return;
  }
  if (!fan_given(&house->unit->supply_fan))
    error_at(job, "fan-missing", house->unit_where,
             "the unit has no curve of its supply fan with two points or more");
  if (!fan_given(&house->unit->extract_fan))
    error_at(job, "fan-missing", house->unit_where,
             "the unit has no curve of its extract fan with two points or more");
}

eb_status ebi_ducts_check(ebi_ducts_job *job) {
  const eb_house *house = job->house;
  size_t before = ebi_diag_errors(job->context);
  if (house->n_runs == 0) {
    error_at(job, "ducts-missing", house->where,
             "the house describes no ducts: write \"ducts:\" with its runs");
    return EB_E_INPUT;
  }
  check_unit(job);
  for (size_t i = 0; i < house->n_runs; i++)
    check_run(job, &house->runs[i]);
  return ebi_diag_errors(job->context) == before ? EB_OK : EB_E_INPUT;
}

/* ---- Rooms and terminals ---- */

static bool wanted(const ebi_ducts_job *job, const eb_duty *duty) {
  for (size_t l = 0; duty != NULL && l < job->rates->n_levels; l++)
    if (duty[l].design_m3_s > 0.0)
      return true;
  return false;
}

static void check_room(const ebi_side *side, size_t room, bool served) {
  const ebi_ducts_job *job = side->job;
  const eb_room_rates *rates = &job->rates->rooms[room];
  if (served || !wanted(job, side->supply ? rates->supply : rates->extract))
    return;
  ebi_diag(job->context, EB_ERROR, "room-without-run", job->house->rooms[room].where, NULL,
           "room %s is to have %s air, but no %s run %s it", rates->name, side->name, side->name,
           side->supply ? "goes to" : "comes from");
}

static void check_idle(const ebi_side *side, const ebi_terminal *terminal) {
  const ebi_run *run = side->runs[terminal->run].run;
  if (terminal->idle)
    ebi_diag(side->job->context, EB_WARNING, "run-without-duty", run->where, NULL,
             "run %s serves room %s, which has no %s flow at any level: it is taken as shut",
             run->name, side->job->house->rooms[terminal->room].name, side->name);
}

static eb_status check_side(const ebi_side *side) {
  bool *served = EBI_NEW_ARRAY(side->job->scratch, bool, side->job->house->n_rooms);
  if (served == NULL)
    return EB_E_MEMORY;
  for (size_t t = 0; t < side->n_terminals; t++) {
    served[side->terminals[t].room] = true;
    check_idle(side, &side->terminals[t]);
  }
  for (size_t r = 0; r < side->job->house->n_rooms; r++)
    check_room(side, r, served[r]);
  return EB_OK;
}

eb_status ebi_ducts_check_rooms(ebi_ducts_job *job) {
  size_t before = ebi_diag_errors(job->context);
  for (int s = 0; s < EBI_SIDES; s++)
    if (check_side(&job->side[s]) != EB_OK)
      return EB_E_MEMORY;
  return ebi_diag_errors(job->context) == before ? EB_OK : EB_E_INPUT;
}
