/* condensation.c - water that drops from air as it cools, in a heat exchanger or on a coil
 *
 * A balance over the air alone: what it gives off is its fall in enthalpy less what its water
 * takes along. The water leaves at the air's own temperature at its end. */

#include <math.h>

#include "evenbreath.h"
#include "numeric/root.h"
#include "physics/air.h"
#include "physics/moist.h"

#define MELTING_C 0.0
#define TOLERANCE 1e-11  /* K */
#define WATER_CP 4186.0  /* J/(kg K), ASHRAE HoF 2021 ch. 1 (from memory) */
#define ICE_CP 2100.0    /* the same */
#define ICE_HEAT 333.6e3 /* J/kg, of melting; from memory, 333.4 to 333.7 in print */

typedef struct balance {
  double humidity_ratio, enthalpy; /* before; after, with the water */
  double pressure_pa;
  bool ice;
} balance;

/* Enthalpy of saturated air and of the water that dropped from it, over what is left [J/kg]. It
 * rises with temperature: the vapour holds more heat than the water. */
static double excess(double end_c, void *data) {
  const balance *b = data;
  double ratio = ebi_saturation_ratio(end_c, b->pressure_pa);
  double water = b->ice ? ICE_CP * end_c - ICE_HEAT : WATER_CP * end_c;
  return eb_moist_enthalpy(end_c, ratio) + (b->humidity_ratio - ratio) * water - b->enthalpy;
}

static double at_melting(balance *b, bool ice) {
  b->ice = ice;
  return excess(MELTING_C, b);
}

/* Saturated air at an end between a temperature without condensation and the dew point. */
static ebi_cooled_air saturated(balance *b, double low, double high) {
  ebi_cooled_air end = {.temperature_c = NAN};
  double wet = at_melting(b, false), frozen = at_melting(b, true);
  if (low < MELTING_C && high > MELTING_C && wet > 0.0 && frozen < 0.0) {
    end.temperature_c = MELTING_C;
    end.frozen = wet / (wet - frozen);
  } else {
    bool above = low >= MELTING_C || (high > MELTING_C && wet <= 0.0);
    b->ice = !above;
    end.frozen = above ? 0.0 : 1.0;
    end.temperature_c =
        ebi_root_rising((ebi_function){excess, b}, above ? fmax(low, MELTING_C) : low,
                        above ? high : fmin(high, MELTING_C), TOLERANCE);
  }
  end.humidity_ratio = ebi_saturation_ratio(end.temperature_c, b->pressure_pa);
  return end;
}

ebi_cooled_air ebi_cool_air(double temperature_c, double humidity_ratio, double heat,
                            double pressure_pa) {
  double dry = temperature_c - heat / (EBI_AIR_CP + EBI_VAPOUR_CP * humidity_ratio);
  double dew_point = ebi_dew_point_of_ratio(humidity_ratio, pressure_pa);
  if (!(dry >= -100.0))
    return (ebi_cooled_air){NAN, NAN, NAN};
  if (dry >= dew_point)
    return (ebi_cooled_air){dry, humidity_ratio, 0.0};
  balance b = {.humidity_ratio = humidity_ratio,
               .enthalpy = eb_moist_enthalpy(dry, humidity_ratio),
               .pressure_pa = pressure_pa};
  return saturated(&b, dry, dew_point);
}
