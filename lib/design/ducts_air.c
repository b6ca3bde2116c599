/* ducts_air.c - the air in each kind of run
 *
 * Without an outdoor temperature the indoor one holds throughout. With one,
 * supply air is warmed and exhaust air cooled by the unit's temperature ratio,
 * and each kind of run has its own density. Both fans draw through the
 * exchanger: the supply fan moves supply air, the extract fan exhaust air. */

#include "design/ducts.h"

double ebi_ducts_actual(double flow_ref, double density) {
  return flow_ref * EB_REFERENCE_DENSITY / density;
}

double ebi_ducts_ref(const ebi_ducts_job *job, double flow) {
  return flow * job->room_density / EB_REFERENCE_DENSITY;
}

double ebi_ducts_room_flow(const ebi_ducts_job *job, double flow_ref) {
  return ebi_ducts_actual(flow_ref, job->room_density);
}

/* Notes of what was taken where the house says nothing. */
static void say_defaults(const ebi_ducts_job *job) {
  const eb_house *house = job->house;
  if (!house->indoor.given)
    ebi_diag(job->context, EB_NOTE, "indoor-default", house->where, NULL,
             "no indoor temperature is given (site: indoor): %.0f C is taken",
             ebi_ducts_site(job).indoor_c);
  if (!house->altitude.given)
    ebi_diag(job->context, EB_NOTE, "altitude-default", house->where, NULL,
             "no altitude is given (site: altitude): 0 m is taken");
  if (house->outdoor.given)
    ebi_diag(job->context, EB_NOTE, "fan-air", house->outdoor.where, NULL,
             "outdoor air of %.4g C: each kind of run has its own density, and both fans draw "
             "through the exchanger (the supply fan moves supply air, the extract fan exhaust air)",
             house->outdoor.value);
}

void ebi_ducts_air(ebi_ducts_job *job) {
  ebi_site_air site = ebi_ducts_site(job);
  double indoor = site.indoor_c, outdoor = site.outdoor_c;
  double warmed = site.temperature_ratio * (indoor - outdoor);
  job->air[EB_OUTDOOR] = ebi_site_air_at(&site, EB_OUTDOOR, outdoor);
  job->air[EB_SUPPLY] = ebi_site_air_at(&site, EB_SUPPLY, outdoor + warmed);
  job->air[EB_EXTRACT] = ebi_site_air_at(&site, EB_EXTRACT, indoor);
  job->air[EB_EXHAUST] = ebi_site_air_at(&site, EB_EXHAUST, indoor - warmed);
  job->room_density = job->air[EB_EXTRACT].density;
  const double kind_c[] = {[EB_OUTDOOR] = outdoor,
                           [EB_SUPPLY] = outdoor + warmed,
                           [EB_EXTRACT] = indoor,
                           [EB_EXHAUST] = indoor - warmed};
  for (int s = 0; s < EBI_SIDES; s++)
    for (size_t i = 0; i < job->side[s].n_runs; i++) {
      ebi_side_run *run = &job->side[s].runs[i];
      run->start_c = run->end_c = kind_c[run->run->air];
      run->air = job->air[run->run->air];
    }
  job->side[EBI_SUPPLY_SIDE].fan_air = job->air[EB_SUPPLY];
  job->side[EBI_EXTRACT_SIDE].fan_air = job->air[EB_EXHAUST];
  say_defaults(job);
}
