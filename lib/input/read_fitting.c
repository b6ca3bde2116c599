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
 *   coefficient_by_shape: {columns: [H/W, "1"], points: [[0.25, 1.3], [1, 1.2]]}
 *     turn: flatwise                                   # of flat ducts, or edgewise
 *   cone: narrowing                                    # or widening: a run says `to: 125 mm`
 *     angle: 30                                        # in all, where a run does not say it
 *   drop: 5 Pa                                         # as on a sheet, at 1.2 kg/m3:
 *     at: 40 l/s                                       # drop x (flow/at)^exponent
 *     exponent: 2                                      # 2 where not said
 *
 * and beside it, where they apply: `reynolds_factor:` of the coefficient by the
 * Reynolds number of the duct, `length:` of duct it takes the place of, `bore:` of
 * the duct it fits, `end: yes` where it is the end of its duct (no entry or exit
 * loss is added there), where the figure holds: `reynolds: {from: 40000, to: 300000}`,
 * `velocity_to: 12 m/s`; for sound: `sound: bend` or `silencer`, `insertion_loss:`. */

#include <math.h>
#include <string.h>

#include "input/load.h"
#include "input/read_octaves.h"

typedef struct fitting_keys {
  ebi_given coefficient, face_area;
  ebi_given radius, angle;
  ebi_given drop, at, exponent;
  ebi_given length, bore, from, to, velocity_to, price_like;
  bool end;
  const char *turn, *cone, *sound;
  ebi_octaves insertion_loss;
  const ebi_yaml *by_bore, *by_radius, *by_angle, *by_shape, *angle_factor, *by_reynolds;
} fitting_keys;

/* Zeta of what is put into ducts; 1e6 is a shut damper. */
#define LARGEST_ZETA 1e6

#define ZETA_COLUMN                                                                                \
  { EBI_NUMBER, -10, LARGEST_ZETA, "coefficient" }

/* Curves are read when all keys are known. */
#define KEEP(member)                                                                               \
  static void keep_##member(ebi_reader *reader, const ebi_yaml *value, void *record) {             \
    (void)reader;                                                                                  \
    ((fitting_keys *)record)->member = value;                                                      \
  }

KEEP(by_bore)
KEEP(by_radius)
KEEP(by_angle)
KEEP(by_shape)
KEEP(angle_factor)
KEEP(by_reynolds)

static void read_insertion_loss(ebi_reader *reader, const ebi_yaml *value, void *record) {
  (void)ebi_read_octaves(reader, value, true, &((fitting_keys *)record)->insertion_loss);
}

static const char *const turn_words[] = {"flatwise", "edgewise", NULL};
static const char *const cone_words[] = {"narrowing", "widening", NULL};

/* In the order of ebi_sound_kind, after EBI_SOUND_NONE. */
static const char *const sound_words[] = {"bend", "silencer", NULL};

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
    {.key = "coefficient_by_shape",
     .type = EBI_FIELD_CUSTOM,
     .read = keep_by_shape,
     .about = "loss coefficient by the side along the axis of the turn over the other side"},
    {.key = "turn",
     .type = EBI_FIELD_WORD,
     .offset = offsetof(fitting_keys, turn),
     .words = turn_words,
     .about = "flatwise (in the plane of the width) or edgewise (in that of the height)"},
    {.key = "cone",
     .type = EBI_FIELD_WORD,
     .offset = offsetof(fitting_keys, cone),
     .words = cone_words,
     .about = "a change of size in which the air's way is narrowing or widening"},
    {.key = "angle_factor",
     .type = EBI_FIELD_CUSTOM,
     .read = keep_angle_factor,
     .about = "factor of the coefficient by radius or shape, by angle of the bend"},
    {.key = "reynolds_factor",
     .type = EBI_FIELD_CUSTOM,
     .read = keep_by_reynolds,
     .about = "factor of the coefficient by the Reynolds number"},
    QUANTITY("radius", radius, EBI_NUMBER, 0.01, 20, "r/D where a run does not say it"),
    QUANTITY("angle", angle, EBI_ANGLE, 0, 180, "angle where a run does not say it"),
    QUANTITY("drop", drop, EBI_PRESSURE, 0, 1e4, "pressure drop at the flow `at:`"),
    QUANTITY("at", at, EBI_FLOW, 1e-5, 10, "the flow of that drop"),
    QUANTITY("exponent", exponent, EBI_NUMBER, 1, 2, "of the flow; 2 where not said"),
    QUANTITY("face_area", face_area, EBI_AREA, 1e-4, 10, "area whose velocity zeta is for"),
    QUANTITY("price_like", price_like, EBI_LENGTH, 0, 1000,
             "costs as much as so many metres of its duct; 0 m: nothing is bought"),
    QUANTITY("length", length, EBI_LENGTH, 0, 10, "length of duct it takes the place of"),
    QUANTITY("bore", bore, EBI_LENGTH, 0.01, 2, "bore of the duct it fits"),
    {.key = "end",
     .type = EBI_FIELD_BOOL,
     .offset = offsetof(fitting_keys, end),
     .about = "yes where it is the end of its duct"},
    QUANTITY("velocity_to", velocity_to, EBI_SPEED, 0.1, 100, "velocity up to which it holds"),
    {.key = "sound",
     .type = EBI_FIELD_WORD,
     .offset = offsetof(fitting_keys, sound),
     .words = sound_words,
     .about = "what sound meets: a bend or a silencer"},
    {.key = "insertion_loss",
     .type = EBI_FIELD_CUSTOM,
     .read = read_insertion_loss,
     .about = "of a silencer, by octaves in dB"},
    {.key = "reynolds",
     .type = EBI_FIELD_CUSTOM,
     .read = read_reynolds,
     .about = "{from, to}: where the figure holds"}};

/* How many ways of giving the loss there are. */
static int count_ways(const fitting_keys *keys) {
  return keys->coefficient.given + (keys->by_bore != NULL) + (keys->by_radius != NULL) +
         (keys->by_angle != NULL) + (keys->by_shape != NULL) + (keys->cone != NULL) +
         keys->drop.given;
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
  fitting->price_metres = keys->price_like.given ? keys->price_like.value : (double)NAN;
  fitting->bore = keys->bore.value;
  fitting->end = keys->end;
  fitting->reynolds_from = keys->from.value;
  fitting->reynolds_to = keys->to.given ? keys->to.value : (double)INFINITY;
  fitting->velocity_to = keys->velocity_to.given ? keys->velocity_to.value : (double)INFINITY;
  fitting->insertion_loss = keys->insertion_loss;
  for (int i = 0; keys->sound != NULL && sound_words[i] != NULL; i++)
    if (strcmp(keys->sound, sound_words[i]) == 0)
      fitting->sound = (ebi_sound_kind)(EBI_SOUND_BEND + i);
}

static void read_factors(ebi_reader *reader, const fitting_keys *keys, ebi_fitting *fitting) {
  static const ebi_column by_angle[] = {{EBI_ANGLE, 0, 180, "angle"},
                                        {EBI_NUMBER, 0, 100, "factor"}};
  static const ebi_column by_reynolds[] = {{EBI_NUMBER, 1, 1e9, "Reynolds number"},
                                           {EBI_NUMBER, 0.01, 100, "factor"}};
  if (keys->angle_factor != NULL)
    (void)ebi_read_points(reader, keys->angle_factor, by_angle, &fitting->angles,
                          &fitting->n_angles, NULL);
  if (keys->by_reynolds != NULL)
    (void)ebi_read_points(reader, keys->by_reynolds, by_reynolds, &fitting->by_reynolds,
                          &fitting->n_by_reynolds, NULL);
}

static void read_by_radius(ebi_reader *reader, const fitting_keys *keys, ebi_fitting *fitting) {
  static const ebi_column by_radius[] = {{EBI_NUMBER, 0, 20, "radius"}, ZETA_COLUMN};
  fitting->kind = EBI_FITTING_BY_RADIUS;
  (void)ebi_read_points(reader, keys->by_radius, by_radius, &fitting->points, &fitting->n_points,
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

static void read_by_shape(ebi_reader *reader, const fitting_keys *keys, ebi_fitting *fitting) {
  static const ebi_column by_shape[] = {{EBI_NUMBER, 0.001, 1000, "shape"}, ZETA_COLUMN};
  fitting->kind = EBI_FITTING_BY_SHAPE;
  fitting->edgewise = keys->turn == turn_words[1];
  (void)ebi_read_points(reader, keys->by_shape, by_shape, &fitting->points, &fitting->n_points,
                        NULL);
  if (keys->turn == NULL)
    ebi_read_error(reader, keys->by_shape, "key-missing",
                   "beside `coefficient_by_shape:` stands `turn:`, flatwise or edgewise");
}

static void read_cone(ebi_reader *reader, const ebi_yaml *mapping, const fitting_keys *keys,
                      ebi_fitting *fitting) {
  fitting->kind = EBI_FITTING_TO_BORE;
  fitting->widens = keys->cone == cone_words[1];
  fitting->cone_angle = keys->angle.value;
  if (!keys->angle.given)
    ebi_read_error(reader, mapping, "key-missing",
                   "beside `cone:` stands `angle:`, of the whole cone, that is taken where a run "
                   "does not say its own; 180 is a sudden change");
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
  } else if (keys->by_shape != NULL) {
    read_by_shape(reader, keys, fitting);
  } else if (keys->cone != NULL) {
    read_cone(reader, mapping, keys, fitting);
  } else if (keys->drop.given) {
    fitting->kind = EBI_FITTING_DROP;
    if (!keys->at.given)
      ebi_read_error(reader, mapping, "key-missing", "beside `drop:` stands `at:`, its flow");
  } else {
    fitting->kind = EBI_FITTING_COEFFICIENT;
  }
}

/* Keys that go only with some of the others. */
static void check_together(ebi_reader *reader, const ebi_yaml *mapping, const fitting_keys *keys) {
  if (keys->angle_factor != NULL && keys->by_radius == NULL && keys->by_shape == NULL)
    ebi_read_error(reader, keys->angle_factor, "fitting-loss",
                   "`angle_factor:` goes with `coefficient_by_radius:` or `coefficient_by_shape:`");
  if (keys->face_area.given && (keys->drop.given || keys->cone != NULL))
    ebi_read_error(reader, mapping, "fitting-loss", "`face_area:` goes with a coefficient");
  if (keys->by_reynolds != NULL &&
      (keys->face_area.given || keys->drop.given || keys->cone != NULL))
    ebi_read_error(reader, keys->by_reynolds, "fitting-loss",
                   "`reynolds_factor:` goes with a coefficient on the velocity in the duct");
  if (keys->turn != NULL && keys->by_shape == NULL)
    ebi_read_error(reader, mapping, "fitting-loss", "`turn:` goes with `coefficient_by_shape:`");
  bool silencer = keys->sound == sound_words[1];
  if (keys->insertion_loss.given != silencer)
    ebi_read_error(reader, mapping, "fitting-sound",
                   "`insertion_loss:` and `sound: silencer` go together");
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
                   "coefficient_by_radius, coefficient_by_angle, coefficient_by_shape, cone and "
                   "drop, and only one");
  read_factors(reader, &keys, fitting);
  check_together(reader, mapping, &keys);
}

static const void *read_file(ebi_reader *reader, const ebi_document *document, const char *name) {
  return ebi_entries_read(reader, document, name, sizeof(ebi_fitting), read_fitting);
}

const ebi_fitting *ebi_fitting_load(ebi_reader *asking, const ebi_yaml *value) {
  return ebi_entries_pick(asking, value, ebi_table_load(asking, value, "fittings", read_file));
}
