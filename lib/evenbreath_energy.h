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
  const struct eb_readings *readings; /* of this house, for the unbalance of its flows; or NULL */
} eb_energy_options;

typedef struct eb_energy_month {
  double outdoor_c;
  double heating_degree_days;
  double ventilation_heat_kwh, recovered_heat_kwh, net_heat_kwh, fan_kwh;
  double baseline_heat_kwh;
  double frost_kwh;               /* electricity of frost protection */
  double gross_recovered_kwh, recovered_heating_kwh; /* as of the year */
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
  const char *date, *source;      /* of its prices; "" where not said */
} eb_investment;

/* A price as the house gives it, to be shown beside what follows from it. */
typedef struct eb_price {
  bool given;
  double per_kwh;                 /* money */
  double carbon_kg_kwh;           /* NAN where not given */
  double efficiency;              /* heat from what is paid for; over 1 for a heat pump */
  const char *date, *source;      /* "" where not said */
} eb_price;

/* What the year saves if the house leaked so, baseline and system alike. */
typedef struct eb_leakage_point {
  double n50_per_h;
  double q50_m3_h_m2;             /* NAN without the envelope's area */
  double saving_heat_kwh, saving_electricity_kwh;
  double saving_money;            /* NAN without prices */
} eb_leakage_point;

/* Degree-days of a climate's year by one definition. Sums of one are never mixed with those of
 * another. */
typedef struct eb_degree_day_row {
  const char *rule;               /* "hours", "four cases of daily extremes", ... */
  double base_c;                  /* of a rule that jumps: the indoor temperature */
  bool jump;                      /* no base that a heat loss could be multiplied at */
  double heating_k_d, cooling_k_d; /* NAN where the rule has none */
  const char *source;
} eb_degree_day_row;

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
  double heat_loss_w_k;            /* fabric, ventilation after recovery, infiltration, ducts */
  double heat_loss_no_recovery_w_k;
  double base_temperature_c;       /* with recovery, at the year's mean gains */
  double heating_degree_days;      /* K day at the base of each month */
  double ventilation_heat_kwh;     /* heat need caused by ventilation before recovery */
  double recovered_heat_kwh;       /* difference of two heating needs: no recovery - recovery */
  double gross_recovered_kwh;      /* all heat crossing the exchanger against indoors, less what an
                                      open bypass takes past it */
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
  eb_price electricity_price, heating_price;
} eb_energy;

/* ---- The rest of the air's work, where options.detail asks for it --------- */

/* Air at a month's mean state. Relative humidity of outdoor air is over water also below 0 C, as
 * weather stations have it; indoors there is no difference. */
typedef struct eb_air_month {
  double outdoor_c, outdoor_humidity; /* the humidity 0..1; as taken where the climate has none */
  double entering_c;              /* the exchanger, after frost protection */
  double indoor_c;                /* warmer than is heated to in months that need no heating */
  bool bypass;                    /* taken as open on the mean of the month */
  double supply_c;                /* leaves the unit */
  double rooms_c;                 /* comes into the rooms, after the ducts; NAN: not known */
  double exhaust_c, dry_exhaust_c; /* leaves the unit; and if no water dropped */
  double indoor_humidity;         /* relative, 1 where the air can hold no more */
  double least_humidity;          /* that outdoor air without end would leave indoors */
  double condensate_kg_day;
  double surface_c, surface_humidity; /* at the coldest place; from 0.8 on mould may grow */
  double safe_humidity;           /* indoors, at which that place would be at 0.8 */
} eb_air_month;

/* What runs out of the unit at an outdoor state, the rooms' humidity following it. */
typedef struct eb_condensate_point {
  double outdoor_c, outdoor_humidity;
  double indoor_humidity, exhaust_c;
  double condensate_kg_day, frost_kg_day; /* frost is in the condensate */
} eb_condensate_point;

typedef struct eb_moisture_detail {
  double production_kg_day;
  bool production_given;          /* else 3 kg a day for each of `people` */
  double people;
  double flow_m3_s;               /* of outdoor air that carries vapour off, leaks included */
  double moisture_ratio;          /* of the exchanger: vapour that it hands back */
  bool humidity_given;            /* the climate's, else outdoor humidity is assumed */
  double surface_factor;          /* fRsi */
  bool surface_factor_given;
  double condensate_kg;           /* a year, by months' means */
  double peak_kg_day;             /* of the month with most */
  int peak_month;                 /* 0..11 */
  const eb_condensate_point *condensate;
  size_t n_condensate;
  double drain_pa;                /* most that the extract fan raises: suction at the drain; NAN */
  double siphon_m;                /* depth of water that holds it, with its margin; NAN */
} eb_moisture_detail;

/* A room where vapour is made, while boost runs. */
typedef struct eb_boost_room {
  const char *name;
  double flow_m3_s, air_changes_per_h;
  double removed;                 /* share of the air's surplus of vapour in one run */
  double nine_tenths_s;           /* until 90 % of it are gone */
  double settled_kg;              /* on surfaces after ten minutes of shower; NAN: none there */
  double drying_s;                /* until that has gone, at the least */
  double after_humidity;          /* relative, of air that was saturated, after one run */
} eb_boost_room;

typedef struct eb_boost_detail {
  double run_s;                   /* runs on so long after each call */
  bool run_given;                 /* else 20 minutes, common practice */
  double per_day;
  double humidity;                /* relative, that calls it; NAN: not given */
  const eb_boost_room *rooms;
  size_t n_rooms;
  double added_m3_s;              /* beyond normal */
  double heat_kwh;                /* a year that the heating adds */
  double no_recovery_kwh;         /* the same without the exchanger */
  double electricity_kwh;         /* NAN: power at boost is not known */
  bool in_year;                   /* the house's hours at boost count in the year already */
  bool refused[12];               /* outdoor air is too damp to reach `humidity` */
  bool endless[12];               /* the normal flow leaves the rooms above it: called all the time */
} eb_boost_detail;

/* A cooker hood of the house that blows outdoors, against one that sends the air round. */
typedef struct eb_hood_detail {
  double flow_m3_s;               /* 0: no hood, and nothing below holds */
  double hours_per_day, heat_kwh; /* that the heating adds a year */
  double cooking_kg_day, captured; /* vapour, and the share of it that the hood takes along */
  double recirculating_humidity, extracting_humidity; /* indoors, in the coldest month */
} eb_hood_detail;

/* A summer run hour by hour as one store of heat. */
typedef struct eb_summer_run {
  const char *name;               /* "exchanger", "bypass", "bypass and cooling level" */
  double kelvin_hours;            /* above the limit */
  double hours;                   /* above it */
  double highest_c;
  double removed_kwh;             /* by air while the bypass was open */
  double open_hours;
  double fan_kwh;                 /* of these hours, both fans */
  double fan_heat_kwh;            /* of the supply fan, that came in meanwhile */
} eb_summer_run;

#define EB_SUMMER_RUNS 3

typedef struct eb_summer_detail {
  double limit_c, gains_w, capacity_j_k;
  bool limit_given, gains_given, capacity_given;
  const char *level;              /* that runs while cool air is let in */
  double flow_m3_s, normal_m3_s;
  double normal_w, level_w;       /* sensible, 4 K below the rooms */
  double night_kwh;               /* at the level, 8 hours 6 K below */
  bool hourly;                    /* the climate has hours: `runs` hold */
  eb_summer_run runs[EB_SUMMER_RUNS];
  double free_cooling_kwh;        /* net of the supply fan's heat: by hours, or by months' means */
  double free_fan_kwh;            /* electricity meanwhile */
  bool heating[12];               /* months whose mean is below the base temperature */
  double heating_recovered_kwh, other_recovered_kwh; /* useful heat in those months and the rest */
  double heating_fan_kwh, other_fan_kwh;
} eb_summer_detail;

/* A month of heating and hot water by the heat pump. */
typedef struct eb_hot_water_month {
  double rooms_kwh, water_kwh;    /* heat asked: net of the exchanger; draw and loss of the tank */
  double pump_kwh, pump_electricity_kwh;
  double heater_kwh;              /* of the electric back-up */
  double short_kwh;               /* that neither gives */
  double source_c;                /* exhaust air behind the cooled coil */
} eb_hot_water_month;

/* Air at the coil, at a temperature of the tank. */
typedef struct eb_coil_state {
  double tank_c, ratio, cooling_w;
  double outlet_c, outlet_humidity, condensate_kg_h, sensible_share;
} eb_coil_state;

typedef struct eb_hot_water_detail {
  double compressor_w;
  bool compressor_given, ratio_given; /* else 600 W and 3, common practice */
  double tank_m3, start_c, limit_c, loss_w, draw_m3_day, cold_c;
  bool limit_given;
  double inlet_c, inlet_humidity, flow_m3_s; /* supply air on a hot day */
  eb_coil_state coil[2];          /* at the start and at the limit of the tank */
  double full_s;                  /* from start to limit, cooling must stop then; NAN: never */
  double stands_c;                /* where it stays below the limit; NAN */
  double full_electricity_kwh, full_heat_kwh, mean_ratio;
  double cooling_once_kwh;        /* until the tank is full */
  double cooling_day_kwh;         /* that draw and loss of a day make room for */
  double weekly_c;                /* NAN: no weekly cycle */
  double weekly_kwh, weekly_year_kwh;  /* heat of one cycle above the start, of 52 */
  double weekly_electricity_kwh;  /* of 52: heat pump up to its limit, heater beyond */
  double heater_w;                /* NAN: not given */
  eb_hot_water_month months[12];
  double asked_kwh, pump_kwh, pump_electricity_kwh, heater_kwh, short_kwh;
  double heater_share;            /* of the heat asked for in a year */
} eb_hot_water_detail;

/* The yardstick of the European Union in one of its climates. */
typedef struct eb_specific_energy_row {
  const char *climate;            /* "average", "cold", "warm" */
  double kwh_m2;                  /* primary energy, negative: spared */
  const char *grade;              /* "A+" to "G" */
} eb_specific_energy_row;

struct eb_energy_detail {
  const eb_degree_day_row *degree_days;
  size_t n_degree_days;
  eb_air_month months[12];
  eb_moisture_detail moisture;
  eb_boost_detail boost;
  eb_hood_detail hood;
  eb_summer_detail summer;
  const eb_hot_water_detail *hot_water; /* NULL: no heat pump */
  const eb_leakage_point *leakage;
  size_t n_leakage;
  eb_leakage_point break_even_heat, break_even_money; /* NAN where the saving has one sign */
  double power_wh_m3;             /* both fans at normal, that the yardstick takes */
  eb_specific_energy_row specific_energy[3];
};

/* The year of a house. `ducts` may be NULL: fan power then comes from the unit
 * at the normal flow, and a finding says so. */
EB_MUST_USE eb_status eb_energy_year(eb_context *context, const eb_house *house,
                                     const eb_rates *rates, const eb_ducts *ducts,
                                     const eb_energy_options *options, eb_ledger *ledger,
                                     const eb_energy **energy);
void eb_energy_free(const eb_energy *energy);

#endif
