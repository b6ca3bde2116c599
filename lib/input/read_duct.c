/* read_duct.c - duct sizes: families in tables/ducts/, and a run's `duct:`
 *
 * A family is one kind of duct in several sizes; the size KEY of the family
 * steel is steel-KEY.
 *
 *   table: ducts
 *   title: Spiral-wound galvanised steel duct
 *   source: EN 1506 (sizes)          # of the sizes
 *   known: quoted
 *   roughness: {value: 0.09 mm, range: [0.061 mm, 0.12 mm], source: ..., known: read}
 *   sizes:
 *     125: {bore: 125 mm}
 *     204x60: {width: 204 mm, height: 60 mm}
 *
 * Of the family or a size: `wall:` from bore to outside, `attenuation:` of sound
 * [dB/m], and for flexible ducts `flexible: yes` with `stretched:`, the length laid
 * over the length fully stretched where a run does not say its own; for ordering
 * `stock_length: 3 m` of a piece and `price: 7.25 per m`.
 *
 * `shape:` is round where there is a bore, else rectangle; oval (two half
 * circles) must be said. Roughness, shape, source and known may be said again
 * in a size. Bores and sides are inner ones. A run may also bring a duct of its
 * own ({bore: 104 mm, roughness: 0.01 mm}) or name a family and a size apart
 * ({family: my-ducts.yaml, size: 104}). */

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "input/load.h"
#include "input/quote.h"
#include "input/read_octaves.h"

/* Rougher ducts lie outside the friction formula: Colebrook-White holds to
 * roughness/diameter 0.05. */
#define ROUGHEST 0.05

/* A length that is merely let go is about 15 % shorter than it could be (a site study of
 * flexible ducts, quoted). */
#define LET_GO 0.85

typedef struct duct_family {
  ebi_entry entry;
  bool flexible;
  ebi_duct_size *sizes;
  const char **names; /* of the sizes */
  size_t n_sizes;
} duct_family;

/* ---- Roughness --------------------------------------------------------- */

typedef struct roughness {
  ebi_given value;
  ebi_given low, high; /* range that its source gives */
  bool sourced;        /* it has a source of its own */
  ebi_source source;
} roughness;

typedef struct duct_keys {
  const char *shape;
  ebi_given bore, width, height;
  roughness rough;
  bool flexible;
  ebi_given stretched, wall, stock_length, price;
  ebi_octaves attenuation;
  const char *family, *size; /* of a run's mapping */
} duct_keys;

#define LEAST_SIDE 0.01
#define LARGEST_SIDE 2.0
#define LARGEST_ROUGHNESS 0.01

static bool read_roughness_value(ebi_reader *reader, const ebi_yaml *value, ebi_given *given) {
  return ebi_read_given(reader, value, EBI_LENGTH, 0, LARGEST_ROUGHNESS, given);
}

static void read_range(ebi_reader *reader, const ebi_yaml *value, void *record) {
  roughness *rough = record;
  if (value->kind != EBI_YAML_SEQUENCE || value->count != 2)
    ebi_read_error(reader, value, "kind-wrong",
                   "the range of a roughness is a list of two lengths: [0.061 mm, 0.12 mm]");
  else if (read_roughness_value(reader, value->items[0], &rough->low))
    read_roughness_value(reader, value->items[1], &rough->high);
}

static const ebi_field roughness_fields[] = {
    {.key = "value",
     .type = EBI_FIELD_QUANTITY,
     .required = true,
     .offset = offsetof(roughness, value),
     .kind = EBI_LENGTH,
     .low = 0,
     .high = LARGEST_ROUGHNESS,
     .about = "the absolute roughness to calculate with"},
    {.key = "range",
     .type = EBI_FIELD_CUSTOM,
     .read = read_range,
     EBI_HOLDS(.type = EBI_FIELD_LIST, .least = 2, .most = 2,
               EBI_ONE(.type = EBI_FIELD_QUANTITY, .kind = EBI_LENGTH, .low = 0,
                       .high = LARGEST_ROUGHNESS)),
     .about = "the two ends that its source gives"},
    EBI_SOURCE_FIELDS};

static const ebi_field roughness_form = {
    .type = EBI_FIELD_EITHER,
    EBI_SEVERAL(
        {.type = EBI_FIELD_QUANTITY, .kind = EBI_LENGTH, .low = 0, .high = LARGEST_ROUGHNESS},
        {.type = EBI_FIELD_MAPPING, EBI_TABLE(roughness_fields)})};

/* A length, or a mapping with range and source. */
static void read_roughness(ebi_reader *reader, const ebi_yaml *value, void *record) {
  static const ebi_source none = {"", "memory"};
  roughness *rough = &((duct_keys *)record)->rough;
  *rough = (roughness){0};
  if (value->kind != EBI_YAML_MAPPING) {
    read_roughness_value(reader, value, &rough->value);
    return;
  }
  ebi_fields_read(reader, value, "a roughness", roughness_fields,
                  sizeof roughness_fields / sizeof roughness_fields[0], rough);
  rough->sourced = ebi_yaml_get(value, "source") != NULL;
  ebi_read_source(reader, value, rough->sourced ? NULL : &none, &rough->source);
  if (rough->high.given &&
      !(rough->low.value <= rough->value.value && rough->value.value <= rough->high.value))
    ebi_read_error(reader, value, "out-of-range",
                   "the roughness of %.12g mm lies outside its own range of %.12g to %.12g mm",
                   1e3 * rough->value.value, 1e3 * rough->low.value, 1e3 * rough->high.value);
}

/* ---- One size ---------------------------------------------------------- */

static const char *const shape_words[] = {"round", "rectangle", "oval", NULL};

#define SHAPE_FIELD                                                                                \
  {                                                                                                \
    .key = "shape", .type = EBI_FIELD_WORD, .offset = offsetof(duct_keys, shape),                  \
    .words = shape_words, .about = "round, rectangle or oval"                                      \
  }
#define ROUGHNESS_FIELD                                                                            \
  {                                                                                                \
    .key = "roughness", .type = EBI_FIELD_CUSTOM, .read = read_roughness,                          \
    .holds = &roughness_form, .about = "absolute roughness, or {value, range, source, known}"      \
  }
#define SIDE_FIELD(name, text)                                                                     \
  {                                                                                                \
    .key = #name, .type = EBI_FIELD_QUANTITY, .offset = offsetof(duct_keys, name),                 \
    .kind = EBI_LENGTH, .low = LEAST_SIDE, .high = LARGEST_SIDE, .about = text                     \
  }

static void read_attenuation(ebi_reader *reader, const ebi_yaml *value, void *record) {
  (void)ebi_read_octaves_per_length(reader, value, &((duct_keys *)record)->attenuation);
}

/* What a family, a size and a run's own duct may all say. */
#define COMMON_FIELDS                                                                              \
  SHAPE_FIELD, ROUGHNESS_FIELD,                                                                    \
      {.key = "flexible",                                                                          \
       .type = EBI_FIELD_BOOL,                                                                     \
       .offset = offsetof(duct_keys, flexible),                                                    \
       .about = "yes where its loss goes with how far it is stretched"},                           \
      {.key = "stretched",                                                                         \
       .type = EBI_FIELD_QUANTITY,                                                                 \
       .offset = offsetof(duct_keys, stretched),                                                   \
       .kind = EBI_RATIO,                                                                          \
       .low = EBI_LEAST_STRETCHED,                                                                 \
       .high = 1,                                                                                  \
       .about = "length laid over length fully stretched, where a run does not say it"},           \
      {.key = "wall",                                                                              \
       .type = EBI_FIELD_QUANTITY,                                                                 \
       .offset = offsetof(duct_keys, wall),                                                        \
       .kind = EBI_LENGTH,                                                                         \
       .low = 0,                                                                                   \
       .high = 0.2,                                                                                \
       .about = "from bore to outside"},                                                           \
      {.key = "stock_length",                                                                      \
       .type = EBI_FIELD_QUANTITY,                                                                 \
       .offset = offsetof(duct_keys, stock_length),                                                \
       .kind = EBI_LENGTH,                                                                         \
       .low = 0.1,                                                                                 \
       .high = 1000,                                                                               \
       .about = "of a piece or coil as sold; by the metre where not said"},                        \
      {.key = "price",                                                                             \
       .type = EBI_FIELD_QUANTITY,                                                                 \
       .offset = offsetof(duct_keys, price),                                                       \
       .kind = EBI_PRICE_PER_LENGTH,                                                               \
       .high = 1e6,                                                                                \
       .about = "of a metre: 7.25 per m"},                                                         \
  {                                                                                                \
    .key = "attenuation", .type = EBI_FIELD_CUSTOM, .read = read_attenuation,                      \
    .holds = &ebi_octaves_per_length_form, .about = "of sound by octaves, in dB/m"                 \
  }

static const ebi_field size_fields[] = {
    SIDE_FIELD(bore, "inner diameter"), SIDE_FIELD(width, "inner width"),
    SIDE_FIELD(height, "inner height"), COMMON_FIELDS, EBI_SOURCE_FIELDS};

static const ebi_field own_fields[] = {
    SIDE_FIELD(bore, "inner diameter"),
    SIDE_FIELD(width, "inner width"),
    SIDE_FIELD(height, "inner height"),
    COMMON_FIELDS,
    {.key = "family",
     .type = EBI_FIELD_TEXT,
     .offset = offsetof(duct_keys, family),
     .about = "a family of the tables or a file of your own, instead of measures"},
    {.key = "size",
     .type = EBI_FIELD_TEXT,
     .offset = offsetof(duct_keys, size),
     .about = "which size of that family"}};

/* The shape that was said, or the one that the measures mean. */
static ebi_shape shape_of(const duct_keys *keys) {
  if (keys->shape == NULL)
    return keys->bore.given ? EBI_ROUND : EBI_RECTANGLE;
  size_t at = 0;
  while (shape_words[at] != keys->shape)
    at++;
  return (ebi_shape)at;
}

static double hydraulic_diameter(const ebi_duct_size *size) {
  const double pi = 3.14159265358979323846;
  double a = size->width, b = size->height;
  switch (size->shape) {
  case EBI_ROUND:
    return size->bore;
  case EBI_RECTANGLE:
    return 2 * a * b / (a + b);
  default:
    return 4 * (pi * b * b / 4 + b * (a - b)) / (pi * b + 2 * (a - b));
  }
}

/* Measures that do not make a duct; NULL where they do. */
static const char *wrong_measures(const duct_keys *keys, ebi_shape shape) {
  bool sides = keys->width.given && keys->height.given;
  if (keys->bore.given && (keys->width.given || keys->height.given))
    return "a duct has either a bore or a width and a height, not both";
  if (shape == EBI_ROUND && !keys->bore.given)
    return "a round duct needs `bore:`, its inner diameter";
  if (shape != EBI_ROUND && !sides)
    return keys->bore.given || keys->shape != NULL
               ? "a rectangular or oval duct needs `width:` and `height:`"
               : "a duct needs `bore: 125 mm`, or `width: 204 mm` and `height: 60 mm`";
  if (shape == EBI_OVAL && keys->width.value < keys->height.value)
    return "the width of an oval duct is its longer side";
  return NULL;
}

/* Fills in shape, measures and roughness. False after an error. */
static bool make_size(ebi_reader *reader, const ebi_yaml *mapping, const duct_keys *keys,
                      ebi_duct_size *size) {
  size->shape = shape_of(keys);
  const char *wrong = wrong_measures(keys, size->shape);
  if (wrong == NULL && !keys->rough.value.given)
    wrong = "a duct needs `roughness:`, for example 0.09 mm for galvanised steel";
  if (wrong == NULL && keys->stretched.given && !keys->flexible)
    wrong = "`stretched:` is of flexible ducts: `flexible: yes` says that this is one";
  if (wrong != NULL) {
    ebi_read_error(reader, mapping, "duct-measures", "%s", wrong);
    return false;
  }
  size->bore = keys->bore.value;
  size->width = keys->width.value;
  size->height = keys->height.value;
  size->roughness = keys->rough.value.value;
  size->flexible = keys->flexible;
  size->stretched = keys->stretched.given ? keys->stretched.value : keys->flexible ? LET_GO : 1.0;
  size->wall = keys->wall.value;
  size->stock_length = keys->stock_length.value;
  size->price = keys->price.given ? keys->price.value : (double)NAN;
  size->attenuation = keys->attenuation;
  double relative = size->roughness / hydraulic_diameter(size);
  if (relative <= ROUGHEST)
    return true;
  ebi_read_error(reader, mapping, "out-of-range",
                 "a roughness of %.12g mm is %.3g of the hydraulic diameter; at most %.12g is "
                 "allowed",
                 1e3 * size->roughness, relative, ROUGHEST);
  return false;
}

/* ---- Families ---------------------------------------------------------- */

/* Of two ways of knowing the one that is worth less. */
static const char *weaker(const char *a, const char *b) {
  static const char *const order[] = {"read", "quoted", "memory", "invented"};
  for (size_t i = 4; i-- > 0;)
    if (strcmp(order[i], a) == 0 || strcmp(order[i], b) == 0)
      return order[i];
  return a;
}

/* The source of the measures, with that of the roughness where it has its own. */
static void name_source(ebi_reader *reader, const ebi_yaml *mapping, const roughness *rough,
                        ebi_source *source) {
  if (!rough->sourced)
    return;
  source->text =
      ebi_arena_format(reader->arena, "%s; roughness: %s", source->text, rough->source.text);
  source->known = weaker(source->known, rough->source.known);
  if (source->text == NULL) {
    source->text = "";
    ebi_read_no_memory(reader, mapping);
  }
}

static void read_size(ebi_reader *reader, const ebi_yaml *mapping, const duct_keys *common,
                      const duct_family *family, ebi_duct_size *size) {
  duct_keys keys = *common;
  ebi_fields_read(reader, mapping, "a duct size", size_fields,
                  sizeof size_fields / sizeof size_fields[0], &keys);
  if (mapping->kind != EBI_YAML_MAPPING)
    return;
  ebi_read_source(reader, mapping, &family->entry.source, &size->source);
  name_source(reader, mapping, &keys.rough, &size->source);
  size->family = family->entry.name;
  (void)make_size(reader, mapping, &keys, size);
}

static void read_sizes(ebi_reader *reader, const ebi_yaml *sizes, const duct_keys *common,
                       duct_family *family) {
  if (sizes->kind != EBI_YAML_MAPPING || sizes->count == 0) {
    ebi_read_error(reader, sizes, "kind-wrong",
                   "`sizes:` is a mapping of the sizes there are, such as `125: {bore: 125 mm}`");
    return;
  }
  family->sizes = EBI_NEW_ARRAY(reader->arena, ebi_duct_size, sizes->count);
  family->names = EBI_NEW_ARRAY(reader->arena, const char *, sizes->count);
  for (size_t i = 0; family->sizes != NULL && family->names != NULL && i < sizes->count; i++) {
    ebi_duct_size *size = &family->sizes[i];
    size->name =
        ebi_arena_format(reader->arena, "%s-%s", family->entry.name, sizes->pairs[i].key->text);
    family->names[i] = size->name;
    if (size->name == NULL)
      break;
    read_size(reader, sizes->pairs[i].value, common, family, size);
    family->n_sizes++;
  }
  if (family->n_sizes < sizes->count)
    ebi_read_no_memory(reader, sizes);
}

static const ebi_field family_fields[] = {
    EBI_ENTRY_FIELDS,
    COMMON_FIELDS,
    {.key = "sizes",
     .type = EBI_FIELD_IGNORED,
     .required = true,
     .about = "the sizes there are, each with bore, or width and height"}};

static const void *read_family(ebi_reader *reader, const ebi_document *document, const char *name) {
  duct_family *family = EBI_NEW(reader->arena, duct_family);
  if (family == NULL)
    return NULL;
  duct_keys common = {0};
  ebi_entry_read(reader, document, name, &family->entry);
  ebi_fields_read(reader, document->root, "a duct table", family_fields,
                  sizeof family_fields / sizeof family_fields[0], &common);
  family->flexible = common.flexible;
  const ebi_yaml *sizes = ebi_yaml_get(document->root, "sizes");
  if (sizes != NULL)
    read_sizes(reader, sizes, &common, family);
  return family;
}

/* ---- A run's duct ------------------------------------------------------ */

static bool take_size(ebi_run *run, const duct_family *family, const char *name) {
  for (size_t i = 0; i < family->n_sizes; i++) {
    if (strcmp(family->names[i], name) == 0) {
      run->duct = family->sizes[i];
      run->sized = true;
      return true;
    }
  }
  return false;
}

/* A size or family by one name. */
static void read_named(ebi_reader *asking, const ebi_yaml *value, ebi_run *run) {
  const duct_family *family = ebi_table_load(asking, value, "ducts", read_family);
  if (family == NULL || take_size(run, family, value->text))
    return;
  run->duct_family = family->entry.name;
  run->duct.flexible = family->flexible;
  run->choices = family->sizes;
  run->n_choices = family->n_sizes;
}

/* {family: steel, size: 125} */
static void read_family_size(ebi_reader *asking, const ebi_yaml *value, ebi_run *run) {
  const ebi_yaml *named = ebi_yaml_get(value, "family");
  const ebi_yaml *size = ebi_yaml_get(value, "size");
  if (named == NULL || size == NULL || size->kind != EBI_YAML_SCALAR) {
    ebi_read_error(asking, value, "duct-measures",
                   "`family:` and `size:` go together: {family: steel, size: 125}");
    return;
  }
  const duct_family *family = ebi_table_load(asking, named, "ducts", read_family);
  if (family == NULL)
    return;
  const char *name = ebi_arena_format(asking->arena, "%s-%s", family->entry.name, size->text);
  if (name == NULL) {
    ebi_read_no_memory(asking, size);
  } else if (!take_size(run, family, name)) {
    const char *nearest = ebi_text_nearest(name, family->names, family->n_sizes);
    ebi_read_error(asking, size, "table-unknown", "the ducts of %s have no size \"%s\"%s%s",
                   family->entry.name, ebi_quote(size->text).text,
                   nearest ? "; the nearest is " : "",
                   nearest ? nearest + strlen(family->entry.name) + 1 : "");
  }
}

/* {bore: 104 mm, roughness: 0.01 mm} */
static void read_own(ebi_reader *asking, const ebi_yaml *value, const duct_keys *keys,
                     ebi_run *run) {
  if (!make_size(asking, value, keys, &run->duct))
    return;
  run->duct.family = "";
  run->duct.source = (ebi_source){"the house file", "read"};
  if (run->duct.shape == EBI_ROUND)
    run->duct.name = ebi_arena_format(asking->arena, "%.12g mm", 1e3 * run->duct.bore);
  else
    run->duct.name = ebi_arena_format(asking->arena, "%.12g x %.12g mm", 1e3 * run->duct.width,
                                      1e3 * run->duct.height);
  if (run->duct.name == NULL)
    ebi_read_no_memory(asking, value);
  else
    run->sized = true;
}

const ebi_field ebi_duct_form = {
    .type = EBI_FIELD_EITHER,
    EBI_SEVERAL({.type = EBI_FIELD_TEXT}, {.type = EBI_FIELD_MAPPING, EBI_TABLE(own_fields)},
                {.type = EBI_FIELD_LIST,
                 .least = 1,
                 EBI_ONE(.type = EBI_FIELD_EITHER,
                         EBI_SEVERAL({.type = EBI_FIELD_TEXT},
                                     {.type = EBI_FIELD_MAPPING, EBI_TABLE(own_fields)}))})};

void ebi_duct_read(ebi_reader *asking, const ebi_yaml *value, ebi_run *run) {
  run->duct_where = value->where;
  run->duct_family = "";
  run->sized = false;
  if (value->kind == EBI_YAML_SEQUENCE) {
    ebi_duct_choices_read(asking, value, run);
    return;
  }
  if (value->kind != EBI_YAML_MAPPING) {
    read_named(asking, value, run);
    return;
  }
  duct_keys keys = {0};
  size_t mark = ebi_diag_errors(asking->context);
  ebi_fields_read(asking, value, "a duct", own_fields, sizeof own_fields / sizeof own_fields[0],
                  &keys);
  if (ebi_diag_errors(asking->context) != mark)
    return;
  if (keys.family != NULL || keys.size != NULL)
    read_family_size(asking, value, run);
  else
    read_own(asking, value, &keys, run);
}
