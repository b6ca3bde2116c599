/* tables.h - the structs of what tables/ holds, in SI
 *
 * Loaded once for a context and read-only after. Every entry knows its source
 * and how that is known. */

#ifndef EBI_TABLES_H
#define EBI_TABLES_H

#include "base/diag.h"
#include "base/ledger.h"

/* A number that may not have been given. */
typedef struct ebi_given {
  double value;
  bool given;
  ebi_where where;
} ebi_given;

/* "read", "quoted", "memory" or "invented"; document and place. */
typedef struct ebi_source {
  const char *text;  /* document, edition, clause; "" where none */
  const char *known; /* one of the four words */
} ebi_source;

typedef struct ebi_entry {
  const char *name, *title;
  ebi_source source;
  ebi_where where;
} ebi_entry;

/* ---- rules ------------------------------------------------------------- */

/* What a term counts or multiplies. */
typedef enum ebi_driver {
  EBI_PER_DWELLING,
  EBI_PER_FLOOR_AREA,     /* m2 */
  EBI_PER_VOLUME,         /* m3 */
  EBI_PER_PERSON,
  EBI_PER_BEDROOM,
  EBI_PER_HABITABLE_ROOM,
  EBI_PER_ROOM_AREA,      /* of the room the term is for */
  EBI_PER_ROOM_VOLUME,
  EBI_PER_ROOM_SLEEPER
} ebi_driver;

typedef enum ebi_term_kind {
  EBI_TERM_FLOW,     /* a fixed flow */
  EBI_TERM_PER,      /* rate x driver */
  EBI_TERM_STEPS,    /* looked up by the driver, `each_further` beyond the last */
  EBI_TERM_LARGEST,  /* of the children that apply */
  EBI_TERM_SUM,
  EBI_TERM_SUM_OF_ROOMS /* sum over rooms of their extract at a level */
} ebi_term_kind;

/* "applies when DRIVER is at least / at most / exactly" */
typedef struct ebi_condition {
  ebi_driver driver;
  double at_least, at_most; /* both always set; -inf/+inf where open */
} ebi_condition;

typedef struct ebi_step_row {
  double from;  /* driver value from which the flow holds */
  double flow;  /* m3/s */
} ebi_step_row;

typedef struct ebi_term ebi_term;
struct ebi_term {
  const char *id;
  ebi_term_kind kind;
  ebi_driver driver;
  double flow;          /* m3/s, or m3/s per unit of the driver */
  double at_least, at_most; /* clips of the result, m3/s; 0 and +inf where open */
  const ebi_step_row *steps;
  size_t n_steps;
  double each_further;  /* m3/s per unit of the driver beyond the last step */
  const char *level;    /* of EBI_TERM_SUM_OF_ROOMS */
  const ebi_term *const *children;
  size_t n_children;
  const ebi_condition *conditions; /* all must hold */
  size_t n_conditions;
  ebi_source source;
  ebi_where where;
};

/* What a room of a use must give or get at a level. */
typedef struct ebi_room_rule {
  const char *use;
  const char *level; /* "normal" or "boost" */
  bool supply;       /* else extract */
  const ebi_term *term;
  ebi_source source;
} ebi_room_rule;

/* A use of a room as the rule set sees it. */
typedef struct ebi_use_rule {
  const char *use;
  bool habitable, wet;
  bool supplied, extracted; /* must have the duty */
  double weight;            /* share of supply where split by weights */
} ebi_use_rule;

typedef enum ebi_split { EBI_SPLIT_VOLUME, EBI_SPLIT_AREA, EBI_SPLIT_WEIGHTS, EBI_SPLIT_RULE } ebi_split;

typedef struct ebi_sound_limit {
  const char *use, *level;
  double limit_db;
  ebi_source source;
} ebi_sound_limit;

typedef struct ebi_combustion_rule {
  const char *kind, *fuel, *burner; /* burner "" for any */
  const char *room_use;             /* "" for any room, else only a room of that use */
  bool no_extract;                  /* no mechanical extract in the same room */
  double extract_at_most;           /* m3/s, +inf where none */
  double vent_area_per_power;       /* m2/W, 0 where none */
  double vent_power_from;           /* W above which that area counts in a leaky house */
  double vent_leaky_from;           /* permeability m3/(s m2) above which it is leaky */
  const char *advice;               /* "" where none */
  ebi_source source;
} ebi_combustion_rule;

typedef struct ebi_rule_set {
  ebi_entry entry;
  const ebi_use_rule *uses;
  size_t n_uses;
  const ebi_term *whole_dwelling; /* continuous rate */
  const ebi_room_rule *room_rules;
  size_t n_room_rules;
  ebi_split supply_split;
  ebi_source supply_split_source;
  ebi_given transfer_area;            /* m2 of free area at each internal door */
  ebi_given undercut_laid, undercut_bare; /* m */
  ebi_given transfer_door_width;      /* m, the door the rule is written for */
  ebi_source transfer_source;
  ebi_given fan_power;                /* W/(m3/s), supply and extract together */
  ebi_source fan_power_source;
  ebi_given heat_recovery;            /* least temperature ratio */
  ebi_source heat_recovery_source;
  ebi_given permeability;             /* most, m3/(s m2) at 50 Pa */
  ebi_source permeability_source;
  const ebi_sound_limit *sound;
  size_t n_sound;
  const ebi_combustion_rule *combustion;
  size_t n_combustion;
  const char *const *notes;           /* what the set asks beside the figures */
  size_t n_notes;
} ebi_rule_set;

/* ---- ducts and fittings ------------------------------------------------ */

typedef enum ebi_shape { EBI_ROUND, EBI_RECTANGLE, EBI_OVAL } ebi_shape;

/* A duct of one size. */
typedef struct ebi_duct_size {
  const char *name;  /* "steel-125" */
  const char *family; /* "steel" */
  ebi_shape shape;
  double bore;          /* m, round */
  double width, height; /* m, else */
  double roughness;     /* m */
  ebi_source source;
} ebi_duct_size;

/* How a fitting's loss is described. */
typedef enum ebi_fitting_kind {
  EBI_FITTING_COEFFICIENT, /* constant zeta */
  EBI_FITTING_BY_BORE,     /* zeta looked up by the duct's equivalent bore, linear between */
  EBI_FITTING_BY_RADIUS,   /* zeta by r/D, times angle factor by angle */
  EBI_FITTING_DROP         /* dp = drop (q/at)^exponent */
} ebi_fitting_kind;

/* Where the coefficient's velocity is taken. */
typedef enum ebi_basis {
  EBI_BASIS_DUCT, /* the run's own duct */
  EBI_BASIS_AREA  /* a given free or face area */
} ebi_basis;

typedef struct ebi_point {
  double x, y;
} ebi_point;

typedef struct ebi_fitting {
  ebi_entry entry;
  ebi_fitting_kind kind;
  ebi_basis basis;
  double area;         /* m2, EBI_BASIS_AREA */
  double coefficient;  /* zeta in the direction of the air kind */
  const ebi_point *points; /* bore [m] or r/D against zeta, rising */
  size_t n_points;
  double radius;       /* r/D default, EBI_FITTING_BY_RADIUS */
  double angle;        /* degrees default, where there are `angles` */
  const ebi_point *angles; /* degrees against factor, or none */
  size_t n_angles;
  double drop, at, exponent; /* Pa, m3/s */
  double length;       /* m of duct it takes the place of, 0 */
  double reynolds_from, reynolds_to; /* validity, 0 and +inf where not stated */
  double bore;         /* m of the duct it fits, 0 for any */
  bool end;            /* it is the end of its duct: no entry or exit is added there */
} ebi_fitting;

/* ---- valves ------------------------------------------------------------ */

/* q = k sqrt(dp at 1.2 kg/m3). Opening in the maker's own unit. */
typedef struct ebi_valve {
  ebi_entry entry;
  const char *opening_unit;  /* "mm", "turns", "deg", "position" */
  const ebi_point *loss;     /* opening against k [m3/s per Pa^0.5], both rising */
  size_t n_loss;
  const ebi_point *tap;      /* opening against k at the measuring tap, or none */
  size_t n_tap;
  double bore;               /* m */
} ebi_valve;

/* ---- units ------------------------------------------------------------- */

typedef struct ebi_fan_point {
  double flow, pressure, power; /* m3/s, Pa, W; power NAN where not given */
} ebi_fan_point;

typedef struct ebi_fan_curve_data {
  double speed; /* 0..1 */
  const ebi_fan_point *points; /* flow rising */
  size_t n_points;
  ebi_where where;
} ebi_fan_curve_data;

typedef struct ebi_fan_data {
  const ebi_fan_curve_data *curves; /* speed rising */
  size_t n_curves;
  bool static_basis; /* pressures are static: the outlet's velocity pressure is added */
  bool power_both;   /* the power column is of both fans together */
} ebi_fan_data;

typedef struct ebi_filter {
  ebi_given clean, loaded, at; /* Pa, Pa, m3/s */
  double exponent;             /* of flow, 1 where not said */
  bool in_curve;               /* the clean filter is in the fan curve already */
} ebi_filter;

typedef enum ebi_frost { EBI_FROST_NONE, EBI_FROST_PREHEATER, EBI_FROST_REDUCE_SUPPLY,
                         EBI_FROST_RECIRCULATE, EBI_FROST_GROUND } ebi_frost;

typedef struct ebi_unit {
  ebi_entry entry;
  bool has_exchanger;
  double temperature_ratio; /* supply side, 0..1 */
  double moisture_ratio;
  ebi_given ratio_at;       /* m3/s at which the ratio was measured */
  ebi_fan_data supply_fan, extract_fan;
  double spigot[4];         /* m bore by eb_air; 0 where not given */
  ebi_filter filter_outdoor, filter_extract;
  ebi_given bypass_opens_above; /* C */
  ebi_frost frost;
  ebi_given frost_below, frost_power; /* C, W */
  double standby;           /* W */
  const char *signal_unit;  /* "%" */
  const ebi_point *signal_map; /* signal 0..1 against speed 0..1, or none */
  size_t n_signal_map;
} ebi_unit;

/* ---- climates and baselines -------------------------------------------- */

typedef struct ebi_climate {
  ebi_entry entry;
  double mean_c[12];
  double days[12];
  double hitchin_k;      /* 1/K */
  ebi_given wind_m_s[12];
  double latitude, altitude_m;
} ebi_climate;

typedef struct ebi_baseline {
  ebi_entry entry;
  double floor_air_change;   /* 1/h: n = floor + quadratic n_inf^2 below `natural_from` */
  double quadratic;
  double natural_from;       /* 1/h from which n = n_inf */
  double leakage_divisor;    /* n_inf = n50 / divisor */
  double opening_flow;       /* m3/s added to infiltration for each intermittent fan */
  double shelter_per_side, sheltered_sides; /* factor 1 - per_side x sides */
  double wind_reference;     /* m/s: infiltration x wind / reference */
  double wind[12];           /* m/s, used where the climate has none */
  double fan_power;          /* W of one intermittent fan */
  double fan_hours;          /* h/day each */
} ebi_baseline;

#endif
