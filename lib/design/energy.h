/* energy.h - what the files of the yearly energy share
 *
 * The stages, each a file: gather (what the house gives and what it lacks),
 * power (electricity of the fans), air (flow, ratio and leakage of the year),
 * need (heat by month), certainty (how sure), money, findings, explain (the ledger). */

#ifndef EBI_ENERGY_H
#define EBI_ENERGY_H

#include "base/context.h"
#include "base/ledger.h"
#include "design/climate.h"
#include "model/house.h"

#define EBI_MONTHS 12

/* A level while it runs. */
typedef struct ebi_energy_level {
  const char *name;
  double hours;           /* a day, mean over the year */
  double supply, extract; /* m3/s */
  double power_w;         /* both fans and controls */
  double supply_fan_w;    /* of power_w */
  ebi_where where;        /* of the hours */
} ebi_energy_level;

typedef enum ebi_power_basis {
  EBI_POWER_OF_DUCTS, /* of the solved network */
  EBI_POWER_OF_UNIT,  /* of the fan curves at an assumed pressure */
  EBI_POWER_OF_RULE   /* the rule set's limit */
} ebi_power_basis;

/* What keeps ice from the exchanger, as taken. */
typedef struct ebi_protection {
  ebi_frost method;
  double below_c;                      /* outdoors, where it begins */
  double power_w;                      /* of the preheater; HUGE_VAL: as much as it takes */
  double cut, time;                    /* shares: of the supply, of the hours below */
  double ground_c, ground_ratio, pump_w;
} ebi_protection;

/* Everything the calculation uses, in SI unless the name says otherwise. */
typedef struct ebi_energy_inputs {
  eb_context *context;
  const eb_house *house;
  const eb_rates *rates;
  const eb_ducts *ducts; /* or NULL */
  const struct eb_readings *readings; /* or NULL */
  bool detail;                        /* the rest of the air's work is asked for */
  ebi_arena *arena;

  double indoor_c, altitude_m, fabric_w_k, volume_m3;
  double gains_w;              /* mean of the year */
  double gains_of[EBI_MONTHS]; /* W */
  double air_capacity;       /* Wh/(m3 K) */
  double n50;                /* 1/h */
  double shielding;          /* e of the infiltration formula */
  double ratio;              /* of the exchanger, as measured */
  double ratio_at;           /* m3/s; 0: at each flow */
  double measured_unbalance; /* (supply - extract)/larger, of readings; NAN: as designed */
  ebi_energy_level *levels;  /* those that run */
  size_t n_levels;
  ebi_power_basis power_basis;
  ebi_protection protection;
  double bypass_residual;    /* share of the ratio that an open bypass leaves */
  double fan_heat_w;         /* that warms the rooms beside what the ratio holds */
  double duct_lost_w_k;      /* of ducts, to what is between indoors and outdoors: in full, */
  double duct_shared_w_k;    /* and times the ratio */

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
  double fresh;        /* outdoor air in the supply; 1 where the unit does not leak inside */
  double extract;      /* m3/s that the fans take out of the rooms */
} ebi_energy_air;

/* One way to run the house: its heat loss and what the heating must add. */
typedef struct ebi_energy_need {
  double heat_loss[EBI_MONTHS];   /* W/K */
  double degree_days[EBI_MONTHS]; /* at the month's base */
  double heat_kwh[EBI_MONTHS];
} ebi_energy_need;

/* What frost protection does in a month. */
typedef struct ebi_energy_frost {
  double hours;           /* below its temperature */
  double electricity_kwh;
  double warmed_kwh;      /* given to the outdoor air before the exchanger */
  double lost_kwh;        /* no longer recovered, while the air comes in cold elsewhere */
  double uncrossed_kwh;   /* by which less crosses the exchanger */
  double lost_air_m3;     /* outdoor air not supplied */
} ebi_energy_frost;

typedef struct ebi_energy_needs {
  ebi_energy_air air;
  double baseline_air_change[EBI_MONTHS];
  ebi_energy_need recovery;    /* the system as it is */
  ebi_energy_need no_recovery; /* the same air without the exchanger */
  ebi_energy_need no_air;      /* fabric and leakage alone */
  ebi_energy_need baseline;
  ebi_energy_frost frost[EBI_MONTHS];
} ebi_energy_needs;

/* Heat that crosses the exchanger [kWh]. */
typedef struct ebi_energy_recovered {
  double gross[EBI_MONTHS];   /* against indoors, wanted or not, save what an open bypass leaves */
  double heating[EBI_MONTHS]; /* in hours that need heating */
} ebi_energy_recovered;

/* Fills the inputs; every missing one is an error. */
eb_status ebi_energy_gather(ebi_energy_inputs *in);

/* Levels with hours, flows and power. */
eb_status ebi_energy_levels(ebi_energy_inputs *in);
eb_status ebi_energy_power(ebi_energy_inputs *in);

/* The unit's exchanger at two flows of the exchanger's own (outdoor air and exhaust, both m3/s
 * > 0), `shift` added to its measured ratio. */
eb_exchanger_ratios ebi_energy_exchanger(const ebi_energy_inputs *in, double shift, double supply,
                                         double extract);

/* Outdoor air through the unit in `flow`: less than the supply where the unit leaks inside. */
ebi_energy_air ebi_energy_year_air(const ebi_energy_inputs *in, const ebi_energy_shift *shift);

/* e of EN ISO 13789:2007 annex C by the house's shielding and exposed facades. */
double ebi_energy_shielding(const eb_house *house);

/* The baseline: what the house gives for it; air changes [1/h] of a month beside those of this
 * system; electricity [kWh] of its fans, where this system's take own_kwh; what is compared and
 * why that is fair, into baseline_kind and baseline_why. */
void ebi_energy_baseline_gather(ebi_energy_inputs *in);
double ebi_energy_baseline_change(const ebi_energy_inputs *in, const ebi_energy_shift *shift,
                                  const ebi_energy_air *air, int month);
double ebi_energy_baseline_fans(const ebi_energy_inputs *in, const ebi_energy_air *air,
                                double own_kwh);
eb_status ebi_energy_baseline_words(const ebi_energy_inputs *in, eb_energy *energy);

/* Which kind it is: an air change of the user's own is EBI_BASELINE_MEASURED; and how its air and
 * its fans come about. */
ebi_baseline_kind ebi_energy_baseline_kind(const ebi_energy_inputs *in);
ebi_formula ebi_energy_baseline_air_formula(const ebi_energy_inputs *in);
ebi_formula ebi_energy_baseline_fans_formula(const ebi_energy_inputs *in);

/* Leaks [1/h] of the baseline's house, openings [1/h] beside, at a wind [m/s]. */
double ebi_baseline_leaks(const ebi_baseline *baseline, double n50, double openings, double wind);

/* The saving at leakages from tight to very leaky, and the n50 at which it crosses zero: in heat
 * and, where there are prices, in money; NAN where it does not up to EBI_LEAKIEST. Electricity is
 * that of the year, which leaks do not change. The points live in the inputs' arena. */
#define EBI_LEAKIEST 30.0 /* 1/h */
typedef struct ebi_leakage_curve {
  const eb_leakage_point *points;
  size_t n_points;
  eb_leakage_point break_even_heat, break_even_money; /* n50_per_h NAN where there is none */
} ebi_leakage_curve;
eb_status ebi_energy_leakage_curve(const ebi_energy_inputs *in, const eb_energy *energy,
                                   ebi_leakage_curve *curve);

/* By a weather that the climate has. Pure and cheap: it is called for thousands of shifts. */
void ebi_energy_needs_of(const ebi_energy_inputs *in, ebi_weather weather,
                         const ebi_energy_shift *shift, ebi_energy_needs *needs);
/* The heat saved [kWh] alone, in half the time. */
double ebi_energy_saving_of(const ebi_energy_inputs *in, ebi_weather weather,
                            const ebi_energy_shift *shift);
double ebi_energy_sum(const double months[EBI_MONTHS]);

/* Warmth [W] of the system's fans that the baseline has too. */
double ebi_energy_baseline_fan_heat(const ebi_energy_inputs *in);

ebi_energy_recovered ebi_energy_recovered_of(const ebi_energy_inputs *in, ebi_weather weather,
                                             const ebi_energy_needs *needs);

/* Outdoor temperature above which the bypass is open in a month that needs no heating; indoors
 * or above where it never is. */
double ebi_energy_bypass_c(const ebi_energy_inputs *in, const ebi_energy_needs *needs, int month);

/* Frost protection: what the unit gives for it, and a month of it at the air of a year. */
void ebi_energy_frost_gather(ebi_energy_inputs *in);
ebi_energy_frost ebi_energy_frost_of(const ebi_energy_inputs *in, ebi_weather weather,
                                     const ebi_energy_air *air, int month);
eb_frost ebi_energy_frost_year(const ebi_energy_inputs *in, const ebi_energy_needs *needs);
void ebi_energy_frost_findings(const ebi_energy_inputs *in, const eb_energy *energy);

/* Heat that ducts lose on their way, where the ducts were solved with it. */
void ebi_energy_ducts(ebi_energy_inputs *in);

/* Unbalance of the unit's flows by readings. */
void ebi_energy_unbalance(ebi_energy_inputs *in);

/* The year by each weather that the climate has, and why they differ. */
eb_status ebi_energy_methods(const ebi_energy_inputs *in, eb_energy *energy);

/* The 95 % range of the heat saved and the weights of what it rides on; the saving is known. */
eb_status ebi_energy_certainty(const ebi_energy_inputs *in, eb_energy *energy);

/* Its steps, from that of the heat saved. */
void ebi_energy_certainty_explain(const ebi_energy_inputs *in, const eb_energy *energy,
                                  ebi_step saved, eb_ledger *ledger);

/* Money [of the house's currency] for heat and electricity saved; NAN without both prices. */
double ebi_money_saved(const eb_house *house, double heat_kwh, double electricity_kwh);

/* Prices, money and carbon saved, cost a day, investment; heat and electricity are known. */
eb_status ebi_energy_money(const ebi_energy_inputs *in, eb_energy *energy);

/* Its steps from `saved`, the money saved (or EBI_NO_STEP). */
void ebi_energy_money_explain(const ebi_energy_inputs *in, const eb_energy *energy, ebi_step saved,
                              eb_ledger *ledger);

/* A year's figure, which is not known better than to two significant figures. */
double ebi_energy_two_figures(double value);

void ebi_energy_findings(const ebi_energy_inputs *in, const eb_energy *energy);
void ebi_energy_explain(const ebi_energy_inputs *in, const ebi_energy_needs *needs,
                        const eb_energy *energy, eb_ledger *ledger);

/* "January". */
const char *ebi_month_name(int month);

#endif
