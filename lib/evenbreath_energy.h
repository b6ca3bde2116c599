/* evenbreath_energy.h - the year of a house
 *
 * A part of evenbreath.h, which includes it; do not include it alone.
 *
 * SPDX-License-Identifier: GPL-3.0-or-later */

#ifndef EVENBREATH_ENERGY_H
#define EVENBREATH_ENERGY_H

/* ---- Energy: what a year takes ----------------------------------------- */

typedef struct eb_energy_options {
  size_t size;
  bool detail; /* the rest of the air's work too: eb_energy.detail */
} eb_energy_options;

typedef struct eb_energy_month {
  double outdoor_c;
  double heating_degree_days;
  double ventilation_heat_kwh, recovered_heat_kwh, net_heat_kwh, fan_kwh;
  double baseline_heat_kwh;
  double frost_kwh;               /* electricity of frost protection */
} eb_energy_month;

/* The same year by one way to take the weather. */
typedef struct eb_energy_method {
  const char *name;               /* "months", "days" or "hours" */
  const char *rule;               /* "Hitchin 1983", "four cases of daily extremes", ... */
  double heating_degree_days;     /* K day at the base with recovery */
  double no_recovery_kwh, net_heat_kwh, recovered_heat_kwh, gross_recovered_kwh;
  double recovered_heating_kwh, baseline_heat_kwh, saving_heat_kwh;
} eb_energy_method;

/* What frost protection takes and costs. */
typedef struct eb_frost {
  const char *method;             /* "none", "preheater", "reduce-supply", "recirculate", "ground" */
  double below_c;                 /* outdoor temperature where it begins; NAN where not given */
  double hours;                   /* a year below it */
  double electricity_kwh;         /* preheater or ground pump */
  double useful_kwh;              /* what of the preheater's heat reaches the rooms */
  double lost_recovery_kwh;       /* heat the heating must add since less is recovered */
  double lost_air_m3;             /* outdoor air not supplied meanwhile */
} eb_frost;

/* How much of the heat saved rides on one input: the standard deviation given or taken, its
 * effect alone, and its share of the variance. Sorted, the weightiest first. */
typedef struct eb_energy_weight {
  const char *input;              /* "flow", "temperature ratio", "degree-days", ... */
  double deviation;               /* standard deviation, as share of the input or in its unit */
  bool relative;                  /* it is a share */
  bool given;                     /* the house's `uncertainty:` says it */
  double effect_kwh;              /* half the change of the saving between -1 and +1 deviation */
  double share;                   /* of the variance, 0..1: first-order Sobol index */
} eb_energy_weight;

/* Whether it pays. A figure that is not defined is NAN and `why` says what it lacks. */
typedef struct eb_investment {
  bool given;                     /* `costs: investment:` is in the house */
  double price, avoided;          /* money: the system; what the baseline would have cost */
  double upkeep, avoided_upkeep;  /* money a year: filters and service */
  double yearly;                  /* money a year saved, upkeep counted */
  double years, interest, growth;
  double net_present_value;
  double payback_years, discounted_payback_years; /* NAN where never */
  double internal_rate;           /* NAN where there is none */
  double annual_cost;             /* equivalent, of the price alone */
  const char *why;                /* of the figures that are NAN, or NULL */
} eb_investment;

/* The rest of the air's work; see below. */
typedef struct eb_energy_detail eb_energy_detail;

typedef struct eb_money {
  bool given; /* prices were given in the house */
  double money;
  const char *currency;
  bool carbon_given;
  double carbon_kg;
} eb_money;

typedef struct eb_energy {
  const char *climate;
  double air_constant_wh_m3_k;     /* heat capacity of air used throughout */
  double ventilation_flow_m3_s;    /* mean over the year */
  double temperature_ratio;        /* used, after flow correction */
  double infiltration_per_h;       /* air changes beside the ventilation */
  double heat_loss_w_k;            /* fabric, ventilation after recovery, infiltration */
  double heat_loss_no_recovery_w_k;
  double base_temperature_c;       /* with recovery */
  double heating_degree_days;      /* K day at that base */
  double ventilation_heat_kwh;     /* heat need caused by ventilation before recovery */
  double recovered_heat_kwh;       /* difference of two heating needs: no recovery - recovery */
  double gross_recovered_kwh;      /* all heat crossing the exchanger against indoors */
  double fan_kwh, frost_kwh, standby_kwh;
  double net_heat_kwh;             /* heating need with the system */
  const char *baseline_name;
  double baseline_air_change_per_h;
  double baseline_base_temperature_c;
  double baseline_heat_kwh, baseline_fan_kwh;
  double saving_heat_kwh, saving_electricity_kwh; /* negative where more is used */
  eb_money saving;
  double range_low_kwh, range_high_kwh, range_confidence; /* of saving_heat_kwh */
  eb_energy_month months[12];

  const char *method;              /* of the figures above: the finest that the climate allows */
  double recovered_heating_kwh;    /* crossing the exchanger while the house needs heating */
  const eb_energy_method *methods; /* each that the climate allows, coarsest first */
  size_t n_methods;
  eb_frost frost;
  double duct_loss_w_k;            /* heat that ducts lose, on the difference of indoors and out */
  double fan_heat_w;               /* of the fans, that warms the rooms */
  double fresh_air_ratio;          /* of the supply: less than 1 where the unit leaks inside */
  double measured_unbalance;       /* (supply - extract)/larger, of readings; NAN: as designed */
  const char *baseline_kind;       /* "national-method", "equal-air", "measured", ... */
  const char *baseline_why;        /* in words: why the comparison is fair, or how far it is not */
  double cost_per_day;             /* money for fans, standby and frost; NAN without a price */
  const eb_energy_weight *weights;
  size_t n_weights;
  eb_investment investment;
  const eb_energy_detail *detail;  /* NULL where not asked for */
} eb_energy;

/* The year of a house. `ducts` may be NULL: fan power then comes from the unit
 * at the normal flow, and a finding says so. */
EB_MUST_USE eb_status eb_energy_year(eb_context *context, const eb_house *house,
                                     const eb_rates *rates, const eb_ducts *ducts,
                                     const eb_energy_options *options, eb_ledger *ledger,
                                     const eb_energy **energy);
void eb_energy_free(const eb_energy *energy);

#endif
