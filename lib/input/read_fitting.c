/* read_fitting.c - what bends, ends, louvres and silencers lose, in tables/fittings/
 *
 * A loss is zeta x the velocity pressure in the run's own duct (each tube of a
 * parallel run), unless `face_area:` gives the area zeta is for. One of:
 *
 *   coefficient: 0.5                                   # the same for all
 *   coefficient_by_bore: {columns: [mm, "1"], points: [[75, 0.30], [100, 0.21]]}
 *   coefficient_by_radius: {columns: [r/D, "1"], points: [[1, 0.22], [1.5, 0.15]]}
 *     radius: 1.5                                      # where a run does not say its own
 *     angle_factor: {columns: [deg, "1"], points: [[45, 0.6], [90, 1]]}
 *     angle: 90                                        # likewise
 *   coefficient_by_angle: {columns: [deg, "1"], points: [[0, 0.19], [30, 4.38]]}
 *     angle: 0                                         # likewise
 *   drop: 5 Pa                                         # as on a sheet, at 1.2 kg/m3:
 *     at: 40 l/s                                       # drop x (flow/at)^exponent
 *     exponent: 2                                      # 2 where not said
 *
 * and beside it, where they apply: `length:` of duct it takes the place of,
 * `bore:` of the duct it fits, `end: yes` where it is the end of its duct (no
 * entry or exit loss is added there), `reynolds: {from: 40000, to: 300000}`. */

#include <math.h>

#include "input/load.h"

typedef struct fitting_keys {
  ebi_given coefficient, face_area;
  ebi_given radius, angle;
  ebi_given drop, at, exponent;
  ebi_given length, bore, from, to;
  bool end;
  const ebi_yaml *by_bore, *by_radius, *by_angle, *angle_factor;
} fitting_keys;

/* Zeta of what is put into ducts; 1e6 is a shut damper. */
#define LARGEST_ZETA 1e6

#define ZETA_COLUMN                                                                                \
  { EBI_NUMBER, -10, LARGEST_ZETA, "coefficient" }

static void keep_by_bore(ebi_reader *reader, const ebi_yaml *value, void *record) {
  (void)reader;
  ((fitting_keys *)record)->by_bore = value;
}

static void keep_by_radius(ebi_reader *reader, const ebi_yaml *value, void *record) {
  (void)reader;
  ((fitting_keys *)record)->by_radius = value;
}

static void keep_by_angle(ebi_reader *reader, const ebi_yaml *value, void *record) {
  (void)reader;
  ((fitting_keys *)record)->by_angle = value;
}

static void keep_angle_factor(ebi_reader *reader, const ebi_yaml *value, void *record) {
  (void)reader;
  ((fitting_keys *)record)->angle_factor = value;
}

#define QUANTITY(name, member, of, least, most, text)                                              \
  {                                                                                                \
    .key = name, .type = EBI_FIELD_QUANTITY, .offset = offsetof(fitting_keys, member), .kind = of, \
    .low = least, .high = most, .about = text                                                      \
  }

static const ebi_field reynolds_fields[] = {
    QUANTITY("from", from, EBI_NUMBER, 0, 1e9, "least Reynolds number it holds for"),
    QUANTITY("to", to, EBI_NUMBER, 0, 1e9, "largest Reynolds number it holds for")};

static void read_reynolds(ebi_reader *reader, const ebi_yaml *value, void *record) {
  fitting_keys *keys = record;
  ebi_fields_read(reader, value, "a range of Reynolds numbers", reynolds_fields,
                  sizeof reynolds_fields / sizeof reynolds_fields[0], keys);
  if (keys->from.given && keys->to.given && keys->from.value >= keys->to.value)
    ebi_read_error(reader, value, "out-of-range", "`from:` must be less than `to:`");
}

static const ebi_field fitting_fields[] = {
    EBI_ENTRY_FIELDS,
    QUANTITY("coefficient", coefficient, EBI_NUMBER, -10, LARGEST_ZETA, "loss coefficient"),
    {.key = "coefficient_by_bore",
     .type = EBI_FIELD_CUSTOM,
     .read = keep_by_bore,
     .about = "loss coefficient by the bore of the duct"},
    {.key = "coefficient_by_radius",
     .type = EBI_FIELD_CUSTOM,
     .read = keep_by_radius,
     .about = "loss coefficient by bend radius over diameter"},
    {.key = "coefficient_by_angle",
     .type = EBI_FIELD_CUSTOM,
     .read = keep_by_angle,
     .about = "loss coefficient by angle"},
    {.key = "angle_factor",
     .type = EBI_FIELD_CUSTOM,
     .read = keep_angle_factor,
     .about = "factor of the coefficient by radius, by angle of the bend"},
    QUANTITY("radius", radius, EBI_NUMBER, 0.01, 20, "r/D where a run does not say it"),
    QUANTITY("angle", angle, EBI_ANGLE, 0, 180, "angle where a run does not say it"),
    QUANTITY("drop", drop, EBI_PRESSURE, 0, 1e4, "pressure drop at the flow `at:`"),
    QUANTITY("at", at, EBI_FLOW, 1e-5, 10, "the flow of that drop"),
    QUANTITY("exponent", exponent, EBI_NUMBER, 1, 2, "of the flow; 2 where not said"),
    QUANTITY("face_area", face_area, EBI_AREA, 1e-4, 10, "area whose velocity zeta is for"),
    QUANTITY("length", length, EBI_LENGTH, 0, 10, "length of duct it takes the place of"),
    QUANTITY("bore", bore, EBI_LENGTH, 0.01, 2, "bore of the duct it fits"),
    {.key = "end",
     .type = EBI_FIELD_BOOL,
     .offset = offsetof(fitting_keys, end),
     .about = "yes where it is the end of its duct"},
    {.key = "reynolds",
     .type = EBI_FIELD_CUSTOM,
     .read = read_reynolds,
     .about = "{from, to}: where the figure holds"}};

/* How many ways of giving the loss there are. */
static int count_ways(const fitting_keys *keys) {
  return keys->coefficient.given + (keys->by_bore != NULL) + (keys->by_radius != NULL) +
         (keys->by_angle != NULL) + keys->drop.given;
}

static void set_plain(const fitting_keys *keys, ebi_fitting *fitting) {
  fitting->basis = keys->face_area.given ? EBI_BASIS_AREA : EBI_BASIS_DUCT;
  fitting->area = keys->face_area.value;
  fitting->radius = keys->radius.value;
  fitting->angle = keys->angle.given ? keys->angle.value : 90;
  fitting->coefficient = keys->coefficient.value;
  fitting->drop = keys->drop.value;
  fitting->at = keys->at.value;
  fitting->exponent = keys->exponent.given ? keys->exponent.value : 2;
  fitting->length = keys->length.value;
  fitting->bore = keys->bore.value;
  fitting->end = keys->end;
  fitting->reynolds_from = keys->from.value;
  fitting->reynolds_to = keys->to.given ? keys->to.value : (double)INFINITY;
}

static void read_by_radius(ebi_reader *reader, const fitting_keys *keys, ebi_fitting *fitting) {
  static const ebi_column by_radius[] = {{EBI_NUMBER, 0, 20, "radius"}, ZETA_COLUMN};
  static const ebi_column factor[] = {{EBI_ANGLE, 0, 180, "angle"}, {EBI_NUMBER, 0, 100, "factor"}};
  fitting->kind = EBI_FITTING_BY_RADIUS;
  (void)ebi_read_points(reader, keys->by_radius, by_radius, &fitting->points, &fitting->n_points,
                        NULL);
  if (keys->angle_factor != NULL)
    (void)ebi_read_points(reader, keys->angle_factor, factor, &fitting->angles, &fitting->n_angles,
                          NULL);
  if (!keys->radius.given)
    ebi_read_error(reader, keys->by_radius, "key-missing",
                   "beside `coefficient_by_radius:` stands `radius:`, the r/D that is taken where "
                   "a run does not say its own");
}

/* A coefficient by angle is 1 for every radius, times a factor by angle. */
static void read_by_angle(ebi_reader *reader, const fitting_keys *keys, ebi_fitting *fitting) {
  static const ebi_column by_angle[] = {{EBI_ANGLE, 0, 180, "angle"}, ZETA_COLUMN};
  static const ebi_point one = {1, 1};
  fitting->kind = EBI_FITTING_BY_RADIUS;
  fitting->points = &one;
  fitting->n_points = 1;
  fitting->radius = 1;
  (void)ebi_read_points(reader, keys->by_angle, by_angle, &fitting->angles, &fitting->n_angles,
                        NULL);
  if (!keys->angle.given)
    ebi_read_error(reader, keys->by_angle, "key-missing",
                   "beside `coefficient_by_angle:` stands `angle:`, the angle that is taken where "
                   "a run does not say its own");
}

static void read_loss(ebi_reader *reader, const ebi_yaml *mapping, const fitting_keys *keys,
                      ebi_fitting *fitting) {
  static const ebi_column by_bore[] = {{EBI_LENGTH, 0.01, 2, "bore"}, ZETA_COLUMN};
  if (keys->by_bore != NULL) {
    fitting->kind = EBI_FITTING_BY_BORE;
    (void)ebi_read_points(reader, keys->by_bore, by_bore, &fitting->points, &fitting->n_points,
                          NULL);
  } else if (keys->by_radius != NULL) {
    read_by_radius(reader, keys, fitting);
  } else if (keys->by_angle != NULL) {
    read_by_angle(reader, keys, fitting);
  } else if (keys->drop.given) {
    fitting->kind = EBI_FITTING_DROP;
    if (!keys->at.given)
      ebi_read_error(reader, mapping, "key-missing", "beside `drop:` stands `at:`, its flow");
  } else {
    fitting->kind = EBI_FITTING_COEFFICIENT;
  }
}

static void read_fitting(ebi_reader *reader, const ebi_yaml *mapping, void *item) {
  ebi_fitting *fitting = item;
  fitting_keys keys = {0};
  ebi_fields_read(reader, mapping, "a fitting", fitting_fields,
                  sizeof fitting_fields / sizeof fitting_fields[0], &keys);
  set_plain(&keys, fitting);
  if (count_ways(&keys) == 1)
    read_loss(reader, mapping, &keys, fitting);
  else
    ebi_read_error(reader, mapping, "fitting-loss",
                   "a fitting needs one of coefficient, coefficient_by_bore, "
                   "coefficient_by_radius, coefficient_by_angle and drop, and only one");
  if (keys.angle_factor != NULL && keys.by_radius == NULL)
    ebi_read_error(reader, keys.angle_factor, "fitting-loss",
                   "`angle_factor:` goes with `coefficient_by_radius:`");
  if (keys.face_area.given && keys.drop.given)
    ebi_read_error(reader, mapping, "fitting-loss", "`face_area:` goes with a coefficient");
}

static const void *read_file(ebi_reader *reader, const ebi_document *document, const char *name) {
  return ebi_entries_read(reader, document, name, sizeof(ebi_fitting), read_fitting);
}

const ebi_fitting *ebi_fitting_load(ebi_reader *asking, const ebi_yaml *value) {
  return ebi_entries_pick(asking, value, ebi_table_load(asking, value, "fittings", read_file));
}
