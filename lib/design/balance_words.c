/* balance_words.c - suspects and the checklist in words for a person on a ladder */

#include <math.h>

#include "base/text.h"
#include "design/balance.h"

/* ---- Suspects ---- */

/* Height that is left of a round tube pressed to a lens, as a share of its bore, that takes so
 * many times the pressure; by the crushed-tube law of the duct calculation, friction ~ 1/d^5 of
 * the hydraulic diameter: an estimate. */
static double height_left(double factor) {
  return pow(fmax(factor, 1.0), -0.4);
}

static const char *run_words(const ebi_found *found, ebi_arena *arena, const ebi_suspicion *item) {
  const char *run = found->model->job.side[item->side].runs[item->run].run->name;
  if (ebi_text_equal(item->code, "capped"))
    return ebi_arena_format(arena,
                            "next to no air comes through run %s: a cap left on, a valve shut or "
                            "a closed damper; open it and read again",
                            run);
  if (ebi_text_equal(item->code, "crushed"))
    return ebi_arena_format(
        arena,
        "run %s takes %.2g times the pressure that was calculated: a crushed or kinked tube (were "
        "it pressed over all its length, about %.0f %% of its height is left; over a short piece, "
        "less), debris, or a longer or narrower tube than drawn",
        run, item->factor, 100.0 * height_left(item->factor));
  return ebi_arena_format(arena,
                          "run %s takes only %.2g of the pressure that was calculated: shorter or "
                          "wider than drawn, or a joint that has come apart",
                          run, item->factor);
}

static const char *fan_words(const ebi_found *found, ebi_arena *arena, const ebi_suspicion *item) {
  const ebi_side *side = &found->model->job.side[item->side];
  double flow = sqrt(fmax(item->factor, 0.0));
  if (ebi_text_equal(item->code, "frost"))
    return ebi_arena_format(arena,
                            "all %s terminals move about %.0f %% of what the setting should give: "
                            "is the unit in frost protection, or its intake or filter blocked?",
                            side->name, 100.0 * flow);
  if (ebi_text_equal(item->code, "blocked"))
    return ebi_arena_format(arena,
                            "the %s fan brings about %.0f %% of what its setting should: a blocked "
                            "%s, a loaded filter, or the bypass or frost protection at work",
                            side->name, 100.0 * flow, side->supply ? "intake" : "outlet");
  return ebi_arena_format(arena,
                          "the %s fan brings about %.0f %% of what its setting should: is the "
                          "setting the one that was written down?",
                          side->name, 100.0 * flow);
}

static const char *reading_words(const ebi_found *found, ebi_arena *arena,
                                 const ebi_suspicion *item) {
  const ebi_side *side = &found->model->job.side[item->side];
  const char *run = side->runs[item->run].run->name;
  size_t round = found->model->stands[found->model->data[item->datum].stand].round + 1;
  if (ebi_text_equal(item->code, "swapped-readings"))
    return ebi_arena_format(arena,
                            "in round %zu the readings of %s and %s look exchanged: each fits the "
                            "other's place; read both again",
                            round, run, side->runs[item->other].run->name);
  if (ebi_text_equal(item->code, "wrong-side"))
    return ebi_arena_format(arena,
                            "at %s air goes the wrong way: the duct is on the other side of the "
                            "unit, or the sign of the reading was mistaken",
                            run);
  if (ebi_text_equal(item->code, "unit-slip"))
    return ebi_arena_format(arena,
                            "in round %zu the number for %s is %.3g times what fits: was it read "
                            "in %s and written as another unit?",
                            round, run, item->factor,
                            item->factor > 3.0   ? "m3/h"
                            : item->factor > 1.0 ? "cfm"
                                                 : "l/s");
  return ebi_arena_format(arena,
                          "in round %zu the reading of %s does not fit all others (%.2g times what "
                          "they say): did the hood seal? Read it again",
                          round, run, item->factor);
}

const char *ebi_suspicion_words(const ebi_found *found, ebi_arena *arena,
                                const ebi_suspicion *item) {
  if (item->run == EBI_NONE)
    return fan_words(found, arena, item);
  if (item->datum != EBI_NONE)
    return reading_words(found, arena, item);
  const char *run = found->model->job.side[item->side].runs[item->run].run->name;
  if (ebi_text_equal(item->code, "detached"))
    return ebi_arena_format(arena,
                            "air leaves or enters before the end of run %s: a joint has come "
                            "apart near the room",
                            run);
  if (ebi_text_equal(item->code, "valve"))
    return ebi_arena_format(arena,
                            "the valve of run %s passes other air than its table says: another "
                            "size or kind (supply and extract exchanged?), or its opening was "
                            "written down wrong",
                            run);
  return run_words(found, arena, item);
}

/* ---- The checklist ---- */

/* What must be so before the first reading (common practice; the pre-test lists of Approved
 * Document F (England, 2021), Appendix C, part 2b, in own words). */
static const char *const always[] = {
    "all windows and outside doors shut, inside doors as in use with their gaps underneath",
    "trickle vents shut or none",
    "cooker hoods, dryers and other fans off; stoves and fires cold",
    "unit out of bypass and out of frost protection, no boost running",
    "filters in and new; condensate trap filled",
    "caps and packaging off terminals, ducts and outdoor openings",
    "valves at the openings below, lock nuts loose",
    "wind below about 4 m/s at the outdoor terminals, else take the mean of three readings"};

eb_status ebi_balance_checks(const ebi_found *found, ebi_arena *arena, eb_balance *balance) {
  const eb_house *house = found->model->house;
  size_t usual = sizeof always / sizeof always[0];
  const char **checks = EBI_NEW_ARRAY(arena, const char *, usual + house->n_appliances);
  if (checks == NULL)
    return EB_E_MEMORY;
  for (size_t i = 0; i < usual; i++)
    checks[balance->n_checks++] = always[i];
  for (size_t i = 0; i < house->n_appliances; i++) {
    const ebi_appliance *appliance = &house->appliances[i];
    const char *text = ebi_arena_format(arena, "%s%s%s off", appliance->kind,
                                        appliance->room[0] != '\0' ? " in " : "", appliance->room);
    if (text == NULL)
      return EB_E_MEMORY;
    checks[balance->n_checks++] = text;
  }
  balance->checks = checks;
  return EB_OK;
}
