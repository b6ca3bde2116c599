/* energy.h - what the files of the yearly energy share
 *
 * The stages, each a file: gather (what the house gives and what it lacks),
 * power (electricity of the fans), air (flow, ratio and leakage of the year),
 * need (heat by month), range (how sure), findings, explain (the ledger). */

#ifndef EBI_ENERGY_H
#define EBI_ENERGY_H

#include "base/context.h"
#include "base/ledger.h"
#include "model/house.h"

#define EBI_MONTHS 12

/* A level while it runs. */
typedef struct ebi_energy_level {
  const char *name;
  double hours;           /* a day, mean over the year */
  double supply, extract; /* m3/s */
  double power_w;         /* both fans and controls */
  ebi_where where;        /* of the hours */
} ebi_energy_level;

typedef enum ebi_power_basis {
  EBI_POWER_OF_DUCTS, /* of the solved network */
  EBI_POWER_OF_UNIT,  /* of the fan curves at an assumed pressure */
  EBI_POWER_OF_RULE   /* the rule set's limit */
} ebi_power_basis;

/* Everything the calculation uses, in SI unless the name says otherwise. */
typedef struct ebi_energy_inputs {
  eb_context *context;
  const eb_house *house;
  const eb_rates *rates;
  const eb_ducts *ducts; /* or NULL */
  ebi_arena *arena;

  double indoor_c, altitude_m, gains_w, fabric_w_k, volume_m3;
  double air_capacity; /* Wh/(m3 K) */
  double n50;          /* 1/h */
  double shielding;    /* e of the infiltration formula */
  double ratio;        /* of the exchanger, as measured */
  double ratio_at;     /* m3/s; 0: at each flow */
  ebi_energy_level *levels; /* those that run */
  size_t n_levels;
  ebi_power_basis power_basis;

  double baseline_n50;
  double baseline_fans;
  double baseline_given; /* 1/h the user gave, or NAN */
} ebi_energy_inputs;

/* Departures from the inputs, for the range. */
typedef struct ebi_energy_shift {
  double flow;         /* factor */
  double ratio;        /* added */
  double infiltration; /* factor, system and baseline alike */
  double degree_days;  /* factor of each month's */
  double gains;        /* factor */
  double baseline;     /* factor of the baseline's air beside its leaks' share */
  double heat_loss;    /* factor of the fabric's */
} ebi_energy_shift;

#define EBI_NO_SHIFT ((ebi_energy_shift){1.0, 0.0, 1.0, 1.0, 1.0, 1.0, 1.0})

/* Means over the year. */
typedef struct ebi_energy_air {
  double flow;         /* m3/s */
  double ratio;        /* heat recovered over heat in the larger flow */
  double infiltration; /* 1/h */
} ebi_energy_air;

/* One way to run the house: its heat loss and what the heating must add. */
typedef struct ebi_energy_need {
  double heat_loss[EBI_MONTHS];   /* W/K */
  double degree_days[EBI_MONTHS]; /* at the month's base */
  double heat_kwh[EBI_MONTHS];
} ebi_energy_need;

typedef struct ebi_energy_needs {
  ebi_energy_air air;
  double baseline_air_change[EBI_MONTHS];
  ebi_energy_need recovery;    /* the system as it is */
  ebi_energy_need no_recovery; /* the same air without the exchanger */
  ebi_energy_need no_air;      /* fabric and leakage alone */
  ebi_energy_need baseline;
} ebi_energy_needs;

/* Fills the inputs; every missing one is an error. */
eb_status ebi_energy_gather(ebi_energy_inputs *in);

/* Levels with hours, flows and power. */
eb_status ebi_energy_levels(ebi_energy_inputs *in);
eb_status ebi_energy_power(ebi_energy_inputs *in);

/* Heat recovered over the heat in the larger flow, of a counterflow exchanger
 * of ratio `ratio` at the balanced flow `ratio_at`. */
double ebi_exchanger_recovery(double ratio, double ratio_at, double supply, double extract);

ebi_energy_air ebi_energy_year_air(const ebi_energy_inputs *in, const ebi_energy_shift *shift);
double ebi_energy_baseline_air(const ebi_energy_inputs *in, int month, double leakage_factor);
void ebi_energy_needs_of(const ebi_energy_inputs *in, const ebi_energy_shift *shift,
                         ebi_energy_needs *needs);
double ebi_energy_sum(const double months[EBI_MONTHS]);

/* Preheater electricity [kWh] of a month at the year's mean flow. */
double ebi_energy_frost(const ebi_energy_inputs *in, double flow, int month);

/* Half the width [kWh] of the 95 % range of the heat saved. */
double ebi_energy_range(const ebi_energy_inputs *in, double saving_kwh);

void ebi_energy_findings(const ebi_energy_inputs *in, const eb_energy *energy);
void ebi_energy_explain(const ebi_energy_inputs *in, const ebi_energy_needs *needs,
                        const eb_energy *energy, eb_ledger *ledger);

/* "January". */
const char *ebi_month_name(int month);

#endif
