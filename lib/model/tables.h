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

/* ---- rules (doc/rules.md is the format) ---------------------------------- */

/* What a term counts or multiplies. */
typedef enum ebi_driver {
  EBI_PER_DWELLING,
  EBI_PER_FLOOR_AREA, /* m2 */
  EBI_PER_VOLUME,     /* m3 */
  EBI_PER_PERSON,
  EBI_PER_BEDROOM,
  EBI_PER_HABITABLE_ROOM,
  EBI_PER_STOREY,
  EBI_PER_ROOM, /* of named uses */
  EBI_PER_SLEEPER,
  EBI_PER_PERMEABILITY,  /* m3/(s m2) at 50 Pa */
  EBI_PER_LEAKAGE,       /* 1/h at 50 Pa */
  EBI_PER_LEAKAGE_FLOW,  /* m3/s at 50 Pa */
  EBI_PER_ENVELOPE_AREA, /* m2 */
  EBI_PER_WEATHER_FACTOR,
  EBI_PER_EXPOSED_FACADE,
  EBI_PER_ROOM_AREA, /* of the room the term is for, as all below */
  EBI_PER_ROOM_VOLUME,
  EBI_PER_ROOM_SLEEPER,
  EBI_PER_ROOM_STOREY,
  EBI_PER_TRANSFER_FLOW, /* m3/s at normal */
  EBI_DRIVER_COUNT
} ebi_driver;

/* Uses of rooms, by name. */
typedef struct ebi_use_list {
  const char *const *names;
  size_t count;
} ebi_use_list;

/* Values from `least` to `most`; -inf and +inf where open. */
typedef struct ebi_bounds {
  double least, most;
  bool least_out, most_out; /* the bound itself is left out */
} ebi_bounds;

/* A count or size as a term takes it. */
typedef struct ebi_count {
  ebi_driver driver;
  ebi_use_list of, without; /* of EBI_PER_ROOM and the like; of.count 0: the whole dwelling */
  ebi_bounds counted;       /* it counts as no less and no more */
  double step;              /* rounded up to whole ones, 0 for none */
  double beyond;            /* only what lies beyond counts, 0 for all */
  ebi_bounds valid;         /* an error outside */
} ebi_count;

typedef enum ebi_term_kind {
  EBI_TERM_FLOW,       /* a fixed value */
  EBI_TERM_PER,        /* rate x (driver / every)^power */
  EBI_TERM_STEPS,      /* looked up by the driver, `each_further` beyond the last */
  EBI_TERM_POLYNOMIAL, /* of the driver */
  EBI_TERM_BINS,       /* a table in one or two directions */
  EBI_TERM_LARGEST,    /* of the children that apply */
  EBI_TERM_SMALLEST,
  EBI_TERM_SUM,
  EBI_TERM_FIRST,
  EBI_TERM_SUM_OF_ROOMS, /* sum over rooms of what they must have at a level */
  EBI_TERM_SAME,         /* the value of another term */
  EBI_TERM_RATIO         /* of two flows */
} ebi_term_kind;

typedef enum ebi_condition_kind {
  EBI_WHEN_BOUNDS,       /* a count or size within bounds */
  EBI_WHEN_KNOWN,        /* the house gives it */
  EBI_WHEN_IN_FEET,      /* its areas are written in ft2: `flag` */
  EBI_WHEN_HOOD,         /* flags of the room: `flag` */
  EBI_WHEN_OUTSIDE_WALL,
  EBI_WHEN_WINDOW,
  EBI_WHEN_MAIN,         /* main of its use */
  EBI_WHEN_USE,          /* the room has one of `uses`: `flag` */
  EBI_WHEN_APPLIANCE     /* one stands there: `flag` */
} ebi_condition_kind;

typedef struct ebi_condition {
  ebi_condition_kind kind;
  ebi_count count;
  ebi_bounds bounds;
  bool flag;
  ebi_use_list uses;  /* of EBI_WHEN_USE */
  const char *appliance;
  ebi_use_list fuels; /* any where empty */
} ebi_condition;

typedef struct ebi_conditions {
  const ebi_condition *items; /* all must hold */
  size_t count;
} ebi_conditions;

typedef struct ebi_step_row {
  double from;  /* driver value from which the value holds */
  double flow;  /* m3/s, or as the term's kind is */
} ebi_step_row;

/* One direction of a table in bins. */
typedef struct ebi_bins {
  ebi_count count;
  const double *up_to; /* +inf for the last where it is open */
  const bool *under;   /* the bound itself belongs to the next */
  size_t n;            /* 0: the table has no such direction */
} ebi_bins;

typedef struct ebi_term ebi_term;

typedef struct ebi_term_list {
  const ebi_term *const *items;
  size_t count;
} ebi_term_list;

struct ebi_term {
  const char *id;
  ebi_term_kind kind;
  ebi_kind value;       /* EBI_FLOW, EBI_AREA or EBI_NUMBER: what the term gives */
  ebi_count count;      /* of PER, STEPS, POLYNOMIAL */
  double flow;          /* in SI of the value, or that per unit of the driver or `every` */
  double every, power;  /* of PER: 1 where not said */
  double at_least, at_most; /* clips of the result; 0 and +inf where open */
  const ebi_term *least_term, *most_term; /* clips that are terms, or NULL */
  const ebi_step_row *steps;
  size_t n_steps;
  double each_further;  /* per unit of the driver beyond the last step */
  const double *coefficients; /* constant first; of a driver in `x_unit`, giving `y_unit` */
  size_t n_coefficients;
  double x_unit, y_unit;      /* in SI */
  ebi_bins down, across;
  const double *cells;  /* row by row */
  const char *level;    /* of SUM_OF_ROOMS */
  bool supply;          /* of SUM_OF_ROOMS: else extract */
  ebi_use_list of;      /* of SUM_OF_ROOMS; all rooms where empty */
  ebi_term_list children;
  const ebi_term *same; /* of SAME */
  ebi_term_list times;  /* numbers */
  const ebi_term *less; /* or NULL */
  double round_to;      /* 0: not */
  ebi_conditions conditions;
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
  double weight;            /* share where split by weights */
} ebi_use_rule;

typedef enum ebi_split {
  EBI_SPLIT_VOLUME,
  EBI_SPLIT_AREA,
  EBI_SPLIT_WEIGHTS,
  EBI_SPLIT_RULE, /* to the rooms' own figures, the high ones first */
  EBI_SPLIT_EQUAL
} ebi_split;

/* What the rules say of a level beside normal. */
typedef struct ebi_rule_level {
  const char *name;
  ebi_given factor, factor_at_most; /* of normal */
  const ebi_term *whole_dwelling;   /* or NULL */
  ebi_source source;
} ebi_rule_level;

/* A term for rooms of a use. */
typedef struct ebi_use_term {
  const char *use;
  const ebi_term *term;
} ebi_use_term;

typedef struct ebi_use_terms {
  const ebi_use_term *items;
  size_t count;
} ebi_use_terms;

/* Ventilators; areas are equivalent ones [m2]. */
typedef struct ebi_background {
  ebi_use_terms rooms, numbers;
  const ebi_term *least_number, *total; /* or NULL */
  bool inner_to_others;
  ebi_source source;
} ebi_background;

/* An opening window: the part of the floor area from this angle on. */
typedef struct ebi_purge_row {
  double angle; /* degrees */
  double share;
} ebi_purge_row;

typedef struct ebi_purge {
  bool given;
  ebi_given air_changes; /* 1/h */
  ebi_use_list uses;     /* the habitable rooms where empty */
  const ebi_purge_row *rows; /* angle rising */
  size_t n_rows;
  ebi_source source;
} ebi_purge;

typedef struct ebi_co2_rule {
  ebi_given at_most, above_outdoors; /* ratio of volumes; one of the two */
  ebi_given asleep, awake;           /* m3/s a person gives off */
  ebi_source source;
} ebi_co2_rule;

typedef struct ebi_transfer_rule {
  bool given;
  const ebi_term *area; /* NULL: the undercut rules */
  ebi_use_terms of_use;
  ebi_given undercut_laid, undercut_bare; /* m */
  ebi_given door_width; /* m, the door the rule is written for */
  ebi_source source;
} ebi_transfer_rule;

typedef enum ebi_divisor { EBI_OF_SUPPLY, EBI_OF_LARGER, EBI_OF_MEAN } ebi_divisor;

typedef struct ebi_imbalance_rule {
  ebi_given at_most;   /* ratio */
  ebi_divisor divisor;
  ebi_given or_within; /* m3/s always allowed */
  ebi_source source;
} ebi_imbalance_rule;

/* How far a measured flow may lie from its design. */
typedef struct ebi_commissioning_rule {
  bool given;
  bool two_sided;      /* else none below */
  ebi_given room, system, fan_power, instrument; /* ratios */
  ebi_given or_within; /* m3/s always allowed */
  bool includes_error; /* the tolerance holds the instrument's error */
  ebi_source source;
} ebi_commissioning_rule;

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

/* A finding where conditions hold, for the dwelling or each room of the uses. */
typedef struct ebi_advice {
  const char *text;
  bool warning; /* else a note */
  ebi_use_list uses;
  ebi_conditions conditions;
  ebi_source source;
} ebi_advice;

typedef struct ebi_rule_set {
  ebi_entry entry;
  const ebi_use_rule *uses;
  size_t n_uses;
  ebi_term_list people;           /* numbers; the first whose inputs are given */
  const ebi_term *whole_dwelling; /* continuous rate */
  const ebi_term *unoccupied;     /* or NULL */
  ebi_term_list information;
  const ebi_rule_level *levels;
  size_t n_levels;
  const ebi_room_rule *room_rules;
  size_t n_room_rules;
  ebi_split supply_split, extract_split;
  ebi_source supply_split_source, extract_split_source; /* text NULL where the file is silent */
  ebi_source totals_source;
  ebi_transfer_rule transfer;
  ebi_purge purge;
  ebi_use_terms intermittent;
  ebi_background background;          /* with intermittent fans */
  ebi_conditions background_when;     /* neither holds otherwise */
  ebi_background extract_only;        /* with continuous extract */
  ebi_co2_rule co2;
  ebi_given fan_power;                /* W/(m3/s), supply and extract together */
  const char *fan_power_level;        /* where it holds */
  ebi_given fan_power_extract, fan_power_supply, fan_power_intermittent, fan_power_coil;
  ebi_source fan_power_source;
  ebi_given heat_recovery;            /* least temperature ratio */
  ebi_source heat_recovery_source;
  ebi_given permeability;             /* most, m3/(s m2) at 50 Pa */
  ebi_given airtight_below, built_airtight_below; /* likewise, a class */
  ebi_source permeability_source;
  ebi_given air_changes_50;           /* most, 1/h */
  ebi_source air_changes_50_source;
  ebi_imbalance_rule imbalance;
  ebi_commissioning_rule commissioning;
  const ebi_sound_limit *sound;
  size_t n_sound;
  const ebi_combustion_rule *combustion;
  size_t n_combustion;
  const ebi_advice *advice;
  size_t n_advice;
  const char *const *notes;           /* what the set asks beside the figures */
  size_t n_notes;
} ebi_rule_set;

/* ---- sound ------------------------------------------------------------- */

/* Octave bands by their middle frequency: 63 Hz to 8 kHz. */
#define EBI_OCTAVES 8

/* A figure in each band [dB]. */
typedef struct ebi_octaves {
  bool given;
  double db[EBI_OCTAVES];
} ebi_octaves;

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
  bool flexible;        /* its loss goes with how far it is stretched */
  double stretched;     /* of a flexible one, where the run does not say: 0..1 */
  double wall;          /* m between bore and outside, for leakage and heat */
  ebi_octaves attenuation; /* dB/m, unlined where not given */
  double stock_length;  /* m of a piece as sold; 0: sold by the metre */
  double price;         /* money per m; NAN: not known */
  ebi_source source;
} ebi_duct_size;

/* How a fitting's loss is described. */
typedef enum ebi_fitting_kind {
  EBI_FITTING_COEFFICIENT, /* constant zeta */
  EBI_FITTING_BY_BORE,     /* zeta looked up by the duct's equivalent bore, linear between */
  EBI_FITTING_BY_RADIUS,   /* zeta by r/D, times angle factor by angle */
  EBI_FITTING_BY_SHAPE,    /* zeta by height/width of a rectangular duct, times angle factor */
  EBI_FITTING_TO_BORE,     /* a cone between the duct and another bore, by the area formulas */
  EBI_FITTING_DROP         /* dp = drop (q/at)^exponent */
} ebi_fitting_kind;

/* What air does in a fitting, for sound. */
typedef enum ebi_sound_kind { EBI_SOUND_NONE, EBI_SOUND_BEND, EBI_SOUND_SILENCER } ebi_sound_kind;

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
  const ebi_point *by_reynolds; /* Reynolds number against factor, or none */
  size_t n_by_reynolds;
  double velocity_to;  /* m/s up to which the figure holds, +inf where not stated */
  double to_bore, cone_angle; /* of TO_BORE: m (0: the run says it), degrees in all (180: sudden) */
  bool widens;         /* of TO_BORE: air passes into the larger section, else the smaller */
  bool edgewise;       /* of BY_SHAPE: by width/height: it turns in the plane of the height */
  double price_metres; /* costs as much as so many m of the duct it sits in; NAN: not known */
  ebi_sound_kind sound;
  ebi_octaves insertion_loss; /* of a silencer, dB */
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
  double price;              /* money; NAN: not known */
  const struct ebi_valve_sound *sound; /* what the maker measured, or none */
  size_t n_sound;
  ebi_octaves insertion_loss; /* of the valve with its end reflection, or not given */
} ebi_valve;

/* Sound power that a valve makes at one flow and drop. */
typedef struct ebi_valve_sound {
  double flow, drop; /* m3/s, Pa */
  ebi_octaves power; /* dB re 1 pW */
} ebi_valve_sound;

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

/* What the unit's controller keeps while the house changes. */
typedef enum ebi_fan_mode { EBI_FAN_SPEED, EBI_FAN_FLOW, EBI_FAN_PRESSURE } ebi_fan_mode;

typedef struct ebi_fan_data {
  const ebi_fan_curve_data *curves; /* speed rising */
  size_t n_curves;
  bool static_basis; /* pressures are static: the outlet's velocity pressure is added */
  bool power_both;   /* the power column is of both fans together */
  ebi_fan_mode mode;
} ebi_fan_data;

typedef struct ebi_filter {
  ebi_given clean, loaded, at; /* Pa, Pa, m3/s */
  double exponent;             /* of flow, 1 where not said */
  bool in_curve;               /* the clean filter is in the fan curve already */
} ebi_filter;

typedef enum ebi_frost { EBI_FROST_NONE, EBI_FROST_PREHEATER, EBI_FROST_REDUCE_SUPPLY,
                         EBI_FROST_RECIRCULATE, EBI_FROST_GROUND } ebi_frost;

/* Sound power in the duct at a spigot while the fan does a duty. */
typedef struct ebi_unit_sound {
  eb_air spigot;
  double flow, pressure, speed; /* m3/s, Pa, 0..1 of the top curve */
  ebi_octaves power;            /* dB re 1 pW */
} ebi_unit_sound;

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
  ebi_given bypass_closes_below; /* C, outdoors */
  ebi_given bypass_residual;    /* share of the ratio that stays */
  ebi_frost frost;
  ebi_given frost_below, frost_power; /* C, W */
  ebi_given frost_cut, frost_time;  /* share of the supply cut; share of the cold hours */
  ebi_given ground_temperature, ground_ratio, ground_pump; /* C, 0..1, W */
  ebi_given leak_inside;    /* extract air found in the supply, share of the supply */
  bool fan_heat_apart;      /* the ratio was measured without the warmth of the fans */
  ebi_given ratio_exponent; /* m of UA ~ q^m; 0 (laminar channels) where not said */
  const ebi_point *ratios;  /* ratio against flow [m3/s], several points of a sheet, or none */
  size_t n_ratios;
  bool crossflow;           /* else counterflow */
  double standby;           /* W */
  eb_controller controller; /* what signals are */
  double price;             /* money; NAN: not known */
  const ebi_unit_sound *sound;
  size_t n_sound;
  const ebi_point *signal_map; /* signal 0..1 against speed 0..1, or none */
  size_t n_signal_map;
} ebi_unit;

/* ---- climates and baselines -------------------------------------------- */

/* How a month's degree-days come from its mean. */
typedef enum ebi_month_rule {
  EBI_MONTH_HITCHIN,         /* with k */
  EBI_MONTH_ISO,             /* ISO 15927-6, with the deviation of daily means */
  EBI_MONTH_NORMAL,          /* Schoenau and Kehrig 1990, with the same deviation */
  EBI_MONTH_ERBS             /* Erbs 1983, with the deviation of the twelve means */
} ebi_month_rule;

/* Temperatures of one month, rising, and sums before each, so that degree-days below any base
 * are found by one search. */
typedef struct ebi_sorted {
  const double *rising;      /* C */
  const double *sums;        /* n + 1 of them: sums[i] of the first i */
  size_t n;
} ebi_sorted;

typedef struct ebi_climate {
  ebi_entry entry;
  double mean_c[12];         /* of the hours or days where there are those */
  double days[12];
  ebi_month_rule month_rule;
  double hitchin_k;          /* 1/K */
  double deviation[12];      /* K, of the month's daily means; that which goes with k where not given */
  double yearly_deviation;   /* K, of the twelve means (n - 1) */
  const char *months_from;   /* "degree-days below 15.5 C (min-max)" that the means come from, or NULL */
  ebi_given wind_m_s[12];
  ebi_given humidity[12];    /* relative, 0..1 */
  double latitude, altitude_m;
  size_t n_days;             /* 0: no daily extremes */
  const double *day_max, *day_min;
  const double *day_mean;    /* of the hours, or the middle of the extremes where there are none */
  const unsigned char *day_month; /* 0..11 */
  size_t n_hours;            /* 0: no hours */
  const double *hour_c;      /* in their order, January first */
  const double *hour_humidity; /* relative, NAN where missing, or NULL */
  const unsigned char *hour_month; /* 0..11 */
  const unsigned char *hour_of_day; /* 0..23, of its start */
  ebi_sorted hours_of[12];   /* by month */
} ebi_climate;

/* How a baseline's air is reckoned. */
typedef enum ebi_baseline_kind {
  EBI_BASELINE_NATIONAL,     /* trickle vents and intermittent fans by a national method */
  EBI_BASELINE_EXTRACT,      /* continuous extract: n = flow or flow/2 + leaks */
  EBI_BASELINE_EQUAL_AIR,    /* as much outdoor air as this system brings, leakage included */
  EBI_BASELINE_SAME_SYSTEM,  /* this system without its exchanger */
  EBI_BASELINE_MEASURED      /* the air change that the house file gives */
} ebi_baseline_kind;

typedef struct ebi_baseline {
  ebi_entry entry;
  ebi_baseline_kind kind;
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
  double fan_flow;           /* m3/s of one while it runs, where its air comes on top; 0: it is in */
  double fan_specific_power; /* W per m3/s of continuous extract */
} ebi_baseline;

#endif
