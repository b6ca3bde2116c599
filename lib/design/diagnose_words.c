/* diagnose_words.c - each plight of a unit in words, with the figures of its likeliest form */

#include <math.h>

#include "design/diagnose.h"
#include "physics/exchanger.h"

const char *ebi_cause_code(ebi_cause cause) {
  static const char *const codes[EBI_CAUSES] = {
      [EBI_CAUSE_BALANCED] = "balanced",           [EBI_CAUSE_SUPPLY_HEAVY] = "supply-heavy",
      [EBI_CAUSE_EXTRACT_HEAVY] = "extract-heavy", [EBI_CAUSE_CONDENSING] = "condensing",
      [EBI_CAUSE_BYPASS] = "bypass-open",          [EBI_CAUSE_FROST] = "frost-mode",
      [EBI_CAUSE_FAN_HEAT] = "fan-heat",           [EBI_CAUSE_PICK_UP] = "duct-pick-up",
      [EBI_CAUSE_RECIRCULATION] = "recirculation", [EBI_CAUSE_SENSORS] = "sensors"};
  return codes[cause];
}

/* What a plight is told from. */
typedef struct telling {
  ebi_arena *arena;
  const ebi_unit_reading *reading;
  const ebi_cause_weight *weight;
  const eb_unit_state *state;
} telling;

static const char *balanced(const telling *t) {
  return ebi_arena_format(t->arena,
                          "an even, dry unit: flows within 5 %% of each other, the exchanger at "
                          "%.0f %%",
                          100 * t->weight->plight.ratio);
}

/* Heat that the house keeps, of what the larger flow carries; make-up air comes cold through gaps.
 */
static double kept(const telling *t, double *supply_ratio) {
  const ebi_unit_plight *p = &t->weight->plight;
  bool crossflow = t->reading->unit != NULL && t->reading->unit->crossflow;
  eb_exchanger_ratios ratios = ebi_exchanger_ratios(crossflow, p->size, p->flow_ratio, 1.0);
  *supply_ratio = ratios.supply_ratio;
  return ratios.recovery;
}

static const char *supply_heavy(const telling *t) {
  const ebi_unit_plight *p = &t->weight->plight;
  double supply_ratio, recovery = kept(t, &supply_ratio);
  return ebi_arena_format(
      t->arena,
      "about %.0f %% more supply than extract, in mass: the supply ratio falls to %.2f where even "
      "flows would give %.2f, and the house keeps %.0f %% of the heat instead of %.0f %%; the "
      "surplus presses moist air into the walls",
      100 * (p->flow_ratio - 1), supply_ratio, p->ratio, 100 * recovery, 100 * p->ratio);
}

/* The trap: starving the supply makes its thermometer look well. */
static const char *extract_heavy(const telling *t) {
  const ebi_unit_plight *p = &t->weight->plight;
  double supply_ratio, recovery = kept(t, &supply_ratio);
  return ebi_arena_format(
      t->arena,
      "about %.0f %% less supply than extract, in mass. A trap: the supply ratio looks better for "
      "it, %.2f where even flows would give %.2f, yet less of the heat is kept, %.0f %% instead of "
      "%.0f %%: what the supply lacks comes in cold through gaps. Judge by flows, not by the "
      "supply "
      "temperature",
      100 * (1 - p->flow_ratio), supply_ratio, p->ratio, 100 * recovery, 100 * p->ratio);
}

static const char *condensing(const telling *t) {
  double water = t->state->condensate_kg_h.value, dew_c = t->state->dew_point_c;
  const char *much = isnan(water) || !(water > 0.0)
                         ? ""
                         : ebi_arena_format(t->arena, ", about %.2g kg an hour", water);
  const char *dew = isnan(dew_c)
                        ? ebi_arena_format(t->arena, "if the rooms have about %.0f %% humidity",
                                           100 * t->weight->humidity)
                        : ebi_arena_format(t->arena, "its dew point is %.1f C", dew_c);
  if (much == NULL || dew == NULL)
    return NULL;
  return ebi_arena_format(
      t->arena,
      "water drops from the extract air (%s)%s. Its heat keeps the exhaust warm, so the extract "
      "ratio of %.2f says little about the exchanger; the drain must be open and its trap full",
      dew, much, t->state->extract_ratio.value);
}

static const char *bypass(const telling *t) {
  return ebi_arena_format(t->arena,
                          "the bypass is open: only %.0f %% of the supply's way to the extract "
                          "temperature is left, the fan's warmth included",
                          100 * t->state->supply_ratio.value);
}

static const char *frost(const telling *t) {
  const ebi_unit_plight *p = &t->weight->plight;
  if (t->weight->variant == EBI_FROST_MODE_PREHEATS)
    return ebi_arena_format(t->arena,
                            "frost protection heats the outdoor air to about %.0f C before the "
                            "exchanger: these ratios are not the exchanger's",
                            p->preheated_to);
  if (t->weight->variant == EBI_FROST_MODE_RECIRCULATES)
    return ebi_arena_format(t->arena,
                            "frost protection recirculates: about %.0f %% of the supply is extract "
                            "air; no readings count in this state",
                            100 * p->leak);
  return ebi_arena_format(t->arena,
                          "frost protection has cut the supply to about %.0f %% of the extract; no "
                          "readings count in this state, and the rooms are under suction",
                          100 * p->flow_ratio);
}

static const char *fan_heat(const telling *t) {
  const ebi_unit_plight *p = &t->weight->plight;
  return ebi_arena_format(t->arena,
                          "the supply fan warms its air by about %.1f K after the exchanger, which "
                          "itself gives %.0f %%; the extract fan stands %s it",
                          p->supply_fan_k, 100 * p->ratio,
                          p->extract_fan_first ? "before" : "after");
}

static const char *pick_up(const telling *t) {
  const ebi_unit_plight *p = &t->weight->plight;
  switch (t->weight->variant) {
  case EBI_PICK_UP_SUPPLY:
    return ebi_arena_format(t->arena,
                            "the supply loses about %.1f K on its way from the unit to the sensor: "
                            "read at the spigot, or insulate that duct",
                            p->supply_loss / (1 - p->supply_loss) *
                                (t->weight->shown.supply_c - t->state->outdoor_c));
  case EBI_PICK_UP_OUTDOOR:
    return ebi_arena_format(t->arena,
                            "the outdoor air gains about %.1f K from the house before the unit: "
                            "its duct lacks insulation, or the sensor is far from the spigot",
                            p->outdoor_gain * (t->state->extract_c - t->state->outdoor_c));
  default:
    return ebi_arena_format(t->arena,
                            "the exhaust air gains about %.1f K from the house on its way from the "
                            "unit to the sensor",
                            p->exhaust_gain / (1 - p->exhaust_gain) *
                                (t->state->extract_c - t->weight->shown.exhaust_c));
  }
}

static const char *recirculation(const telling *t) {
  const ebi_unit_plight *p = &t->weight->plight;
  return ebi_arena_format(t->arena,
                          "about %.0f %% of the supply is extract air that leaks inside the unit "
                          "or from outlet to inlet: so much less fresh air, and an exchanger of "
                          "%.0f %%",
                          100 * p->leak, 100 * p->ratio);
}

static const char *sensors(const telling *t) {
  static const char *const names[] = {"outdoor", "supply", "extract", "exhaust"};
  int variant = t->weight->variant;
  if (variant >= 4)
    return ebi_arena_format(t->arena, "the %s and the %s sensor are swapped",
                            names[ebi_sensor_swaps[variant - 4][0]],
                            names[ebi_sensor_swaps[variant - 4][1]]);
  return ebi_arena_format(t->arena,
                          "a sensor reads wrong, or sits in the wrong place; most likely that of "
                          "the %s air (%.1f C)",
                          names[variant], t->reading->x[variant]);
}

const char *ebi_cause_words(ebi_arena *arena, const ebi_unit_reading *reading, ebi_cause cause,
                            const ebi_cause_weight *weight, const eb_unit_state *state) {
  static const char *(*const words[EBI_CAUSES])(const telling *) = {
      [EBI_CAUSE_BALANCED] = balanced,
      [EBI_CAUSE_SUPPLY_HEAVY] = supply_heavy,
      [EBI_CAUSE_EXTRACT_HEAVY] = extract_heavy,
      [EBI_CAUSE_CONDENSING] = condensing,
      [EBI_CAUSE_BYPASS] = bypass,
      [EBI_CAUSE_FROST] = frost,
      [EBI_CAUSE_FAN_HEAT] = fan_heat,
      [EBI_CAUSE_PICK_UP] = pick_up,
      [EBI_CAUSE_RECIRCULATION] = recirculation,
      [EBI_CAUSE_SENSORS] = sensors};
  telling t = {arena, reading, weight, state};
  return words[cause](&t);
}
