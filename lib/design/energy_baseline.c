/* energy_baseline.c - the air and the fans of what the year is compared with, and how fair that is
 *
 * doc/baselines.md tells what each kind means. */

#include "design/energy.h"

#include <math.h>

#define HOUR_S 3600.0

/* ---- What the house gives ----------------------------------------------- */

static void check_air_change(const ebi_energy_inputs *in) {
  const eb_house *house = in->house;
  bool given = house->baseline_air_change.given;
  ebi_baseline_kind kind = house->baseline->kind;
  if (kind == EBI_BASELINE_MEASURED && !given)
    ebi_diag(in->context, EB_ERROR, "energy-missing", house->baseline_where, NULL,
             "the baseline \"%s\" needs the air change that was measured or is taken: write "
             "`baseline: {kind: %s, air_change: 0.35 ach}`",
             house->baseline->entry.name, house->baseline->entry.name);
  if ((kind == EBI_BASELINE_EQUAL_AIR || kind == EBI_BASELINE_SAME_SYSTEM) && given)
    ebi_diag(in->context, EB_ERROR, "baseline-air-change", house->baseline_air_change.where, NULL,
             "the baseline \"%s\" has the air of this system, so it can have no `air_change:`; "
             "leave it out, or write `kind: measured`",
             house->baseline->entry.name);
}

void ebi_energy_baseline_gather(ebi_energy_inputs *in) {
  const eb_house *house = in->house;
  in->baseline_n50 = house->baseline_n50.given ? house->baseline_n50.value : in->n50;
  in->baseline_given =
      house->baseline_air_change.given ? house->baseline_air_change.value : (double)NAN;
  in->baseline_fans = house->baseline_fans.value;
  if (house->baseline == NULL)
    ebi_diag(in->context, EB_ERROR, "energy-missing", house->where, NULL,
             "the year's energy needs `baseline`, and the house does not give it: write "
             "`baseline: trickle-vents`");
  else
    check_air_change(in);
  if (house->baseline_fans.given)
    return;
  in->baseline_fans = 0.0; /* one in each wet room */
  for (size_t i = 0; i < in->rates->n_rooms; i++)
    in->baseline_fans += in->rates->rooms[i].extract != NULL;
}

/* ---- Air ---------------------------------------------------------------- */

double ebi_baseline_leaks(const ebi_baseline *baseline, double n50, double openings, double wind) {
  double sheltered = 1.0 - baseline->shelter_per_side * baseline->sheltered_sides;
  return (n50 / baseline->leakage_divisor + openings) * sheltered * wind / baseline->wind_reference;
}

static double leaks(const ebi_energy_inputs *in, int month, double factor) {
  const ebi_baseline *baseline = in->house->baseline;
  const ebi_given *measured = &in->house->climate->wind_m_s[month];
  double wind = measured->given ? measured->value : baseline->wind[month];
  double openings = baseline->opening_flow * HOUR_S * in->baseline_fans / in->volume_m3;
  return ebi_baseline_leaks(baseline, in->baseline_n50 * factor, openings, wind);
}

/* SAP 10.2 worksheet (24d), from memory: what people do with vents and windows is the floor. */
static double national(const ebi_baseline *baseline, double n, double factor) {
  if (n >= baseline->natural_from)
    return n;
  return baseline->floor_air_change * factor + baseline->quadratic * n * n;
}

/* Air of intermittent fans on top of what there is always. */
static double fans_air(const ebi_energy_inputs *in) {
  const ebi_baseline *baseline = in->house->baseline;
  return in->baseline_fans * baseline->fan_flow * HOUR_S * baseline->fan_hours / 24.0 /
         in->volume_m3;
}

ebi_baseline_kind ebi_energy_baseline_kind(const ebi_energy_inputs *in) {
  return isnan(in->baseline_given) ? in->house->baseline->kind : EBI_BASELINE_MEASURED;
}

double ebi_energy_baseline_change(const ebi_energy_inputs *in, const ebi_energy_shift *shift,
                                  const ebi_energy_air *air, int month) {
  const ebi_baseline *baseline = in->house->baseline;
  double changes = HOUR_S / in->volume_m3; /* 1/h for each m3/s */
  switch (ebi_energy_baseline_kind(in)) {
  case EBI_BASELINE_EXTRACT:
    return eb_infiltration_half(0.0, air->extract * changes * shift->baseline,
                                leaks(in, month, shift->infiltration));
  case EBI_BASELINE_EQUAL_AIR:
    /* by its definition as sure as this system's own air */
    return air->flow * changes + air->infiltration + fans_air(in) * shift->baseline;
  case EBI_BASELINE_SAME_SYSTEM:
    return air->flow * changes + air->infiltration;
  case EBI_BASELINE_MEASURED:
    return in->baseline_given * shift->baseline + fans_air(in);
  case EBI_BASELINE_NATIONAL:
    break;
  }
  return national(baseline, leaks(in, month, shift->infiltration), shift->baseline);
}

ebi_formula ebi_energy_baseline_air_formula(const ebi_energy_inputs *in) {
  static const ebi_formula formulas[] = {[EBI_BASELINE_NATIONAL] = EBI_F_BASELINE_AIR,
                                         [EBI_BASELINE_EXTRACT] = EBI_F_BASELINE_EXTRACT,
                                         [EBI_BASELINE_EQUAL_AIR] = EBI_F_BASELINE_EQUAL,
                                         [EBI_BASELINE_SAME_SYSTEM] = EBI_F_BASELINE_SAME,
                                         [EBI_BASELINE_MEASURED] = EBI_F_BASELINE_MEASURED};
  return formulas[ebi_energy_baseline_kind(in)];
}

/* ---- Fans --------------------------------------------------------------- */

double ebi_energy_baseline_fans(const ebi_energy_inputs *in, const ebi_energy_air *air,
                                double own_kwh) {
  const ebi_baseline *baseline = in->house->baseline;
  double days = ebi_energy_sum(in->house->climate->days);
  switch (baseline->kind) {
  case EBI_BASELINE_SAME_SYSTEM:
    return own_kwh;
  case EBI_BASELINE_EXTRACT:
    return baseline->fan_specific_power * air->extract * 24.0 * days / 1000.0;
  default:
    return in->baseline_fans * baseline->fan_power * baseline->fan_hours * days / 1000.0;
  }
}

ebi_formula ebi_energy_baseline_fans_formula(const ebi_energy_inputs *in) {
  switch (in->house->baseline->kind) {
  case EBI_BASELINE_SAME_SYSTEM:
    return EBI_F_BASELINE_FANS_SAME;
  case EBI_BASELINE_EXTRACT:
    return EBI_F_BASELINE_FANS_EXTRACT;
  default:
    return EBI_F_BASELINE_FANS;
  }
}

/* ---- Words -------------------------------------------------------------- */

/* Both airs beside each other, within a tenth taken as the same. */
static const char *verdict(double system, double baseline) {
  if (baseline < 0.9 * system)
    return "the baseline gets less outdoor air, so part of what this system uses buys better air";
  if (baseline > 1.1 * system)
    return "the baseline gets more outdoor air, so part of the saving is less air";
  return "both get about the same outdoor air, so the comparison is fair";
}

#define LEAK_RULES                                                                                 \
  "Leaks beside the baseline are as the national method has them, beside this system as EN ISO "   \
  "13789"

/* How the baseline's air comes about, and what that leaves open. */
typedef struct reason {
  const char *how, *but;
} reason;

static const reason reasons[] = {
    [EBI_BASELINE_NATIONAL] =
        {"people who open vents and windows as the national method has it",
         "Where vents stay shut homes get far less air than that, and this system then buys air "
         "rather than heat. " LEAK_RULES},
    [EBI_BASELINE_EXTRACT] = {"fans that extract all the time what this system extracts, and leaks",
                              "Outdoor air then comes by vents and gaps, so that it is not sure "
                              "which room gets it. " LEAK_RULES},
    [EBI_BASELINE_EQUAL_AIR] =
        {"as much outdoor air as this system brings, and intermittent fans",
         "Vents and windows would have to be worked all day for it; no home is run so"},
    [EBI_BASELINE_SAME_SYSTEM] =
        {"this house and these fans without the exchanger",
         "It tells what the exchanger saves, not what the whole system does"},
    [EBI_BASELINE_MEASURED] = {"the air change that the house file gives",
                               "It is as good as that figure"}};

eb_status ebi_energy_baseline_words(const ebi_energy_inputs *in, eb_energy *energy) {
  static const char *const words[] = {[EBI_BASELINE_NATIONAL] = "national-method",
                                      [EBI_BASELINE_EXTRACT] = "extract",
                                      [EBI_BASELINE_EQUAL_AIR] = "equal-air",
                                      [EBI_BASELINE_SAME_SYSTEM] = "same-system",
                                      [EBI_BASELINE_MEASURED] = "measured"};
  double system =
      energy->ventilation_flow_m3_s * HOUR_S / in->volume_m3 + energy->infiltration_per_h;
  double baseline = energy->baseline_air_change_per_h;
  ebi_baseline_kind kind = ebi_energy_baseline_kind(in);
  energy->baseline_kind = words[kind];
  energy->baseline_why = ebi_arena_format(
      in->arena,
      "%s: %.2f air changes an hour against %.2f with this system, leakage included; "
      "%s. %s",
      reasons[kind].how, baseline, system, verdict(system, baseline), reasons[kind].but);
  return energy->baseline_why != NULL ? EB_OK : EB_E_MEMORY;
}
