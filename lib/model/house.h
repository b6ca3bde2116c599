/* house.h - a house as plain structs, in SI, names resolved
 *
 * Made by the input floor, read by the design floor. Every item keeps the
 * place it was written at, so that findings can point there. */

#ifndef EBI_HOUSE_H
#define EBI_HOUSE_H

#include "model/tables.h"

typedef struct ebi_flow_by_level {
  ebi_given normal; /* at set level */
  ebi_given boost;  /* drives the boost factor */
} ebi_flow_by_level;

/* x and y along the walls, z up from the ground floor. */
typedef struct ebi_position {
  bool given;
  double at[3];               /* m */
  ebi_where where;
} ebi_position;

typedef struct ebi_room {
  const char *name;
  const char *const *uses;
  size_t n_uses;
  ebi_given area, height, volume; /* volume: given, else area x height when both are */
  int storey;
  ebi_given sleepers;
  ebi_given sound_limit; /* dB */
  bool outside_wall, openable_window; /* true where not said */
  bool hood_to_outside;
  ebi_given window_angle; /* degrees that it opens */
  ebi_flow_by_level supply, extract; /* the user's own flows */
  ebi_position supply_at, extract_at; /* of its valves, for a sketch */
  ebi_where where;
} ebi_room;

typedef struct ebi_door {
  const char *between[2]; /* room names, checked */
  ebi_given width, undercut;
  bool finish_laid; /* floor finish: laid (true where not said) or bare */
  ebi_where where;
} ebi_door;

typedef struct ebi_level {
  const char *name;
  ebi_given share;     /* "70 %" of normal, or "at_least" for boost */
  bool at_least;       /* share is a minimum, the rule may ask for more */
  ebi_given hours_per_day;
  ebi_where where;
} ebi_level;

/* One entry of a run's `fittings:`, in the order written. */
typedef struct ebi_run_fitting {
  const ebi_fitting *fitting; /* NULL for a raw coefficient or drop */
  int count;
  ebi_given radius;           /* r/D */
  ebi_given angle;            /* degrees */
  ebi_given coefficient;      /* raw zeta on the duct's velocity */
  ebi_given drop, at;         /* raw: Pa at m3/s, square law */
  ebi_given to;               /* m, the other bore of a change of size */
  ebi_where where;
} ebi_run_fitting;

typedef struct ebi_run_valve {
  const ebi_valve *type;      /* NULL: no valve */
  bool two_position;
  ebi_given normal, boost;    /* openings of a two-position valve, in its unit */
  ebi_given opening;          /* a fixed opening the user set, else found */
  ebi_given restrictor_drop, restrictor_at; /* Pa at m3/s */
  ebi_where where;
} ebi_run_valve;

typedef struct ebi_run {
  const char *name;
  eb_air air;
  const char *from, *to;      /* room, junction, "unit" or "outdoors"; checked */
  bool sized;                 /* false: one of `choices` is to be chosen */
  ebi_duct_size duct;
  const char *duct_family;    /* "" unless !sized */
  const ebi_duct_size *choices; /* of a run that is not sized, by area */
  size_t n_choices;
  int parallel_at_most;       /* tubes that may lie side by side where it is not sized; 0: `parallel` */
  ebi_given height_at_most;   /* m that there is for the duct, outside */
  int parallel;
  double length;              /* m */
  const ebi_run_fitting *fittings;
  size_t n_fittings;
  ebi_run_valve valve;
  ebi_given share;            /* of its room's flow, 0..1 */
  ebi_given stretched;        /* of a flexible duct: length laid over length fully extended */
  ebi_given crushed_height, crushed_length; /* share of its bore kept over so many m */
  ebi_given rise;             /* m, height of its end above its start */
  ebi_given space_temperature, space_humidity; /* of the air around it; else indoors */
  ebi_given insulation_thickness, insulation_conductivity;
  ebi_where where, from_where, to_where, duct_where;
} ebi_run;

typedef enum ebi_junction_kind { EBI_JUNCTION_GUESS, EBI_JUNCTION_BOX, EBI_JUNCTION_TEE,
                                 EBI_JUNCTION_WYE } ebi_junction_kind;

typedef struct ebi_junction {
  const char *name;
  ebi_junction_kind kind;
  const char *straight;       /* run name, or NULL */
  bool bull_head;             /* `straight: none`: both others turn off the run to the unit */
  double angle;               /* degrees, 90 for a tee, 45 for a wye where not said */
  ebi_where where;
} ebi_junction;

typedef struct ebi_appliance {
  const char *kind, *fuel, *burner, *room; /* "" where not said */
  ebi_given flow, rated_power;
  const ebi_fan_point *curve; /* flow rising against total pressure, or NULL; power NAN */
  size_t n_curve;
  ebi_given duct_drop, duct_at; /* of its own duct, Pa at m3/s, square law */
  ebi_where where;
} ebi_appliance;

/* An area open to outdoors: a window ajar, a grille for a stove. */
typedef struct ebi_opening {
  const char *room;
  double area;                /* m2, free */
  ebi_where where;
} ebi_opening;

typedef struct ebi_tariff {
  bool given;
  double price;               /* money per J */
  ebi_given carbon;           /* kg/J */
  double efficiency;          /* 0..; 1 where not said */
  const char *date, *source;
  ebi_where where;
} ebi_tariff;

/* A price of the user's own: of a part by its name as `parts` lists it. */
typedef struct ebi_own_price {
  const char *item;
  double price;               /* money each, or per m of a duct */
  ebi_where where;
  bool per_m;                 /* it is per m, else each */
} ebi_own_price;

/* `costs: parts:`, what ordering and choosing sizes go by. */
typedef struct ebi_part_costs {
  bool given;
  const ebi_own_price *prices;
  size_t n_prices;
  const char *date, *source;  /* of the prices; "" where not said */
  ebi_given waste;            /* share of duct cut off and thrown away */
  ebi_given box;              /* money for a box, and for each of its ports */
  ebi_given port;
  ebi_given years, interest;  /* of the life-cycle cost; interest above inflation */
  ebi_where where;
} ebi_part_costs;

/* `sizing:`, by what sizes are chosen. */
typedef struct ebi_sizing {
  bool given;
  const char *method;         /* "life-cycle", "equal-friction", "velocity", "static-regain"; "" not said */
  ebi_given main_velocity, branch_velocity, terminal_velocity; /* m/s, most */
  ebi_given friction;         /* Pa/m, of equal friction */
  ebi_given pressure;         /* Pa at the set level, most on each side */
  ebi_given hours;            /* h/day that the fans run, 24 where not said */
  bool never_larger;          /* downstream (supply) or upstream (extract) of a smaller one */
  ebi_where where;
} ebi_sizing;

/* `costs: investment:`, what the system costs beside energy. */
typedef struct ebi_investment {
  bool given;
  double price;               /* money */
  ebi_given avoided;          /* money that the baseline would have cost */
  ebi_given filters, service; /* money a year */
  ebi_given avoided_service;  /* money a year of the baseline */
  ebi_given years, interest, growth; /* interest and growth of prices, both real or both nominal */
  const char *date, *source;  /* "" where not said */
  ebi_where where;
} ebi_investment;

/* `uncertainty:`, standard deviations of what the year is reckoned from. */
typedef struct ebi_uncertainty {
  ebi_given flow, degree_days, leakage, gains, baseline, heat_loss; /* shares */
  ebi_given ratio;            /* added to the temperature ratio */
  ebi_where where;
} ebi_uncertainty;

/* `moisture:`, where water comes from and where it does harm. */
typedef struct ebi_moisture {
  bool given;
  ebi_given production;       /* kg/day; by people where not said */
  ebi_given surface_factor;   /* fRsi of the coldest place, 0..1 */
  ebi_given boost_minutes;    /* s, run time of a humidity boost, up to an hour */
  ebi_given boosts_per_day;
  ebi_given boost_humidity;   /* relative, that calls it */
  ebi_where where;
} ebi_moisture;

/* `summer:`, when air is to cool. */
typedef struct ebi_summer {
  bool given;
  ebi_given limit;            /* C indoors that is not to be passed */
  ebi_given gains;            /* W, mean of a summer's day */
  ebi_given capacity;         /* J/K that the house stores */
  const char *level;          /* that night cooling runs at, "" where not said */
  ebi_where where;
} ebi_summer;

/* `heat_pump:` on the supply air: it heats or cools it and gives heat to a tank. */
typedef struct ebi_heat_pump {
  bool given;
  double compressor;          /* W; 0: not said */
  const ebi_point *ratios;    /* heat over electricity against tank temperature [C] */
  size_t n_ratios;
  ebi_given tank, start, limit; /* m3, C, C */
  ebi_given loss;             /* W of the tank, standing */
  ebi_given draw;             /* hot water drawn, m3/day */
  ebi_given weekly;           /* C of the weekly cycle */
  ebi_given heater;           /* W of the electric back-up */
  ebi_where where;
} ebi_heat_pump;

struct eb_house {
  ebi_arena *arena;
  eb_context *context;
  const char *file;           /* as diagnostics call it */
  const char *bytes;          /* its own text, without overrides; NULL where it has none */
  size_t n_bytes;
  ebi_where where;            /* of the document's start */
  const char *dwelling, *currency;
  const ebi_rule_set *rules;  /* NULL for `rules: none` */
  ebi_where rules_where;
  ebi_given bedrooms, people, floor_area, volume, storeys;
  bool in_feet;               /* the floor area, else the rooms' areas, are written in ft2 */
  const ebi_climate *climate; /* NULL where not given */
  ebi_given altitude, indoor, outdoor; /* m, C, C */
  ebi_given indoor_humidity, outdoor_humidity; /* relative, 0..1 */
  ebi_given weather_factor, exposed_facades; /* for rules that ask */
  ebi_given co2;              /* outdoors, ratio of volumes */
  ebi_given heat_loss, gains; /* W/K, W */
  ebi_given n50, q50, envelope_area; /* 1/h kept per hour; m3/(s m2); m2 */
  const char *shielding;      /* "none", "normal" or "heavy" */
  const ebi_room *rooms;
  size_t n_rooms;
  const ebi_door *doors;
  size_t n_doors;
  const ebi_unit *unit;       /* NULL where not given */
  ebi_where unit_where;
  const ebi_fitting *const *silencers; /* of the tables, where the unit's sound is known */
  size_t n_silencers;
  const char *set_level;      /* "normal" where not said */
  const ebi_level *levels;    /* as written; normal and boost may be missing */
  size_t n_levels;
  const ebi_run *runs;        /* in the order of the file */
  size_t n_runs;
  const ebi_junction *junctions; /* those written */
  size_t n_junctions;
  char duct_leakage_class;    /* 'A'..'D', 0 where not said */
  const ebi_appliance *appliances;
  size_t n_appliances;
  const ebi_opening *openings;
  size_t n_openings;
  const ebi_baseline *baseline; /* NULL: trickle-vents by default at reading */
  ebi_given baseline_n50, baseline_fans, baseline_air_change;
  ebi_where baseline_where;
  ebi_tariff electricity, heating;
  ebi_part_costs parts;
  ebi_sizing sizing;
  ebi_investment investment;
  ebi_uncertainty uncertainty;
  ebi_moisture moisture;
  ebi_summer summer;
  ebi_heat_pump heat_pump;
  ebi_given gains_of_month[12]; /* W, where they were given by month */
  ebi_position unit_at, outdoor_at, exhaust_at; /* for a sketch of the ducts */
};

#endif
