/* ducts_site.c - the air of a house's place: temperatures, pressure, water vapour
 *
 * Vapour goes with the air: warmed outdoor air keeps its own, plus what the exchanger hands
 * over; cooled extract air keeps its own as far as it can hold it. Where a humidity is not
 * given that air is taken as dry, which makes 20 C at 50 % heavier by 0.4 %; without an outdoor
 * temperature all air is that of the rooms. */

#include "design/ducts.h"

#define INDOOR_C 20.0

static void take_vapour(const eb_house *house, ebi_site_air *site) {
  double indoor = 0.0, outdoor = 0.0, handed = 0.0;
  if (house->indoor_humidity.given)
    indoor = house->indoor_humidity.value * eb_vapour_saturation_water(site->indoor_c);
  if (house->outdoor_humidity.given)
    outdoor = house->outdoor_humidity.value * eb_vapour_saturation_water(site->outdoor_c);
  else if (!house->outdoor.given)
    outdoor = indoor;
  if (house->unit->has_exchanger)
    handed = house->unit->moisture_ratio * (indoor - outdoor);
  site->vapour[EB_OUTDOOR] = outdoor;
  site->vapour[EB_SUPPLY] = outdoor + handed;
  site->vapour[EB_EXTRACT] = indoor;
  site->vapour[EB_EXHAUST] = indoor - handed;
}

ebi_site_air ebi_ducts_site(const ebi_ducts_job *job) {
  const eb_house *house = job->house;
  ebi_site_air site = {.indoor_c = house->indoor.given ? house->indoor.value : INDOOR_C};
  site.outdoor_c = house->outdoor.given ? house->outdoor.value : site.indoor_c;
  site.pressure = eb_air_pressure(house->altitude.given ? house->altitude.value : 0.0);
  site.temperature_ratio = house->unit->has_exchanger ? house->unit->temperature_ratio : 0.0;
  take_vapour(house, &site);
  return site;
}

ebi_air_state ebi_site_air_at(const ebi_site_air *site, eb_air kind, double temperature_c) {
  return ebi_air_moist_at(temperature_c, site->pressure, site->vapour[kind]);
}
