/* energy_explain.h - what the files of the account of a year share */

#ifndef EBI_ENERGY_EXPLAIN_H
#define EBI_ENERGY_EXPLAIN_H

#include "design/energy.h"

#define EBI_JOULES_PER_KWH 3.6e6

/* What is being written, and the steps others rest on. */
typedef struct ebi_account {
  const ebi_energy_inputs *in;
  const ebi_energy_needs *needs;
  const eb_energy *energy;
  eb_ledger *ledger;
  ebi_step indoor, fabric, volume, n50, air, flow, ratio, infiltration;
  ebi_step gains[EBI_MONTHS], weather[EBI_MONTHS];
  ebi_step ducts, fan_heat;                    /* EBI_NO_STEP where there is none */
  ebi_step net, no_recovery, no_air, baseline; /* heat of the year */
  ebi_step fans, standby, frost, baseline_fans;
  ebi_step saved_heat, saved_electricity;
} ebi_account;

/* A value the user gave, or what stands for it. */
ebi_step ebi_account_given(ebi_account *a, const ebi_given *value, double si, ebi_kind kind,
                           const char *what);

/* Heat [kWh] that is the difference of two needs. */
ebi_step ebi_account_difference(ebi_account *a, double kwh, ebi_step larger, ebi_step smaller,
                                const char *what, const char *when);

/* Needs of the ways to run the house, with frost protection; what was recovered; the baseline. */
void ebi_account_needs(ebi_account *a);
void ebi_account_recovered(ebi_account *a);
void ebi_account_baseline(ebi_account *a);

/* Frost protection, its electricity into `frost`. */
void ebi_account_frost(ebi_account *a);

#endif
