/* compare_year.c - rows of the energy of a year, and of how much was found */

#include "design/compare.h"

#include "base/text.h"

/* ---- The year ---- */

typedef enum year_figure { FANS, CONTROLS, HEAT, HEAT_SAVED, ELECTRICITY_SAVED } year_figure;

static ebi_compare_cell year(const ebi_comparing *c, size_t house, const void *key) {
  const eb_energy *energy = c->inputs[house].energy;
  if (energy == NULL)
    return ebi_compare_unknown;
  switch (*(const year_figure *)key) {
  case FANS:
    return ebi_compare_known(energy->fan_kwh);
  case CONTROLS:
    return ebi_compare_known(energy->standby_kwh + energy->frost_kwh);
  case HEAT:
    return ebi_compare_known(energy->net_heat_kwh);
  case HEAT_SAVED:
    return ebi_compare_known(energy->saving_heat_kwh);
  case ELECTRICITY_SAVED:
    return ebi_compare_known(energy->saving_electricity_kwh);
  }
  return ebi_compare_unknown;
}

static void say_baselines(ebi_comparing *c) {
  const eb_energy *first = NULL;
  for (size_t i = 0; i < c->n; i++) {
    const eb_energy *energy = c->inputs[i].energy;
    if (energy == NULL)
      continue;
    first = first == NULL ? energy : first;
    if (energy->baseline_heat_kwh == first->baseline_heat_kwh &&
        ebi_text_equal(energy->baseline_name, first->baseline_name))
      continue;
    ebi_diag(c->context, EB_NOTE, "compare-baseline", (ebi_where){0}, NULL,
             "what the files save is not counted from the same baseline: "
             "compare the heat that "
             "the house needs and the electricity instead");
    return;
  }
}

void ebi_compare_year(ebi_comparing *c) {
  static const ebi_compare_kind less = {"year", EBI_COMPARE_ENERGY, EB_SENSE_LESS, year};
  static const ebi_compare_kind more = {"year", EBI_COMPARE_ENERGY, EB_SENSE_MORE, year};
  static const struct {
    year_figure figure;
    const ebi_compare_kind *kind;
    const char *what;
  } rows[] = {{FANS, &less, "fans"},
              {CONTROLS, &less, "controls and frost protection"},
              {HEAT, &less, "heat the house needs"},
              {HEAT_SAVED, &more, "heat saved against the baseline"},
              {ELECTRICITY_SAVED, &more, "electricity saved against it"}};
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
    ebi_compare_row(c, rows[i].kind, &rows[i].figure, "%s", rows[i].what);
  say_baselines(c);
}

/* ---- Findings ---- */

static ebi_compare_cell findings(const ebi_comparing *c, size_t house, const void *key) {
  const eb_compare_input *in = &c->inputs[house];
  double count = 0.0;
  for (size_t i = 0; i < in->n_findings; i++)
    count += in->findings[i].severity == *(const eb_severity *)key;
  return ebi_compare_known(count);
}

void ebi_compare_findings(ebi_comparing *c) {
  static const ebi_compare_kind less = {"findings", EBI_COMPARE_PIECES, EB_SENSE_LESS, findings};
  static const ebi_compare_kind none = {"findings", EBI_COMPARE_PIECES, EB_SENSE_NONE, findings};
  static const eb_severity error = EB_ERROR, warning = EB_WARNING, note = EB_NOTE;
  ebi_compare_row(c, &less, &error, "errors");
  ebi_compare_row(c, &less, &warning, "warnings");
  ebi_compare_row(c, &none, &note, "notes");
}
