/* compare_differences.c - what differs between the files, item by item
 *
 * Items are the same where their names are. Of an item that only some files
 * have, the fields that tell what it is are shown with none for the others. */

#include "design/compare.h"

#include <math.h>
#include <string.h>

#include "base/text.h"

#define NO_ITEM NULL
#define NAMELESS ((size_t)-1)

/* The items of one house in a section. */
typedef struct item_list {
  const char *first;
  size_t count;
  ebi_names numbers;
} item_list;

static const char *name_of(const ebi_compare_section *section, const char *item) {
  if (section->name == NAMELESS)
    return "";
  const char *name;
  memcpy(&name, item + section->name, sizeof name);
  return name != NULL ? name : "";
}

/* The item called `name`, or NO_ITEM. */
static const void *find(const ebi_compare_section *section, const item_list *list,
                        const char *name) {
  size_t number = ebi_names_find(&list->numbers, name);
  return number == EBI_NO_NAME ? NO_ITEM : list->first + number * section->size;
}

/* ---- Values ---- */

static ebi_compare_value number(double value) {
  return (ebi_compare_value){NULL, value};
}

static ebi_compare_value text(const char *value) {
  return (ebi_compare_value){value != NULL && *value != '\0' ? value : NULL, NAN};
}

static ebi_compare_value value_of(ebi_comparing *c, size_t house, const ebi_compare_field *field,
                                  const void *item) {
  if (item == NO_ITEM)
    return number(NAN);
  const void *place = (const char *)item + field->offset;
  switch (field->type) {
  case EBI_COMPARE_GIVEN: {
    const ebi_given *given = place;
    return number(given->given ? given->value : (double)NAN);
  }
  case EBI_COMPARE_DOUBLE:
    return number(*(const double *)place);
  case EBI_COMPARE_COUNT:
    return number(*(const int *)place);
  case EBI_COMPARE_YES_NO:
    return text(*(const bool *)place ? "yes" : "no");
  case EBI_COMPARE_TEXT:
    return text(*(const char *const *)place);
  case EBI_COMPARE_MADE:
    return text(field->make(c, house, item));
  }
  return number(NAN);
}

static bool same_value(const ebi_compare_value *a, const ebi_compare_value *b) {
  if (a->text != NULL || b->text != NULL)
    return a->text != NULL && b->text != NULL && strcmp(a->text, b->text) == 0;
  return a->number == b->number || (isnan(a->number) && isnan(b->number));
}

/* ---- Writing down ---- */

static bool is_number(const ebi_compare_field *field) {
  return field->type == EBI_COMPARE_GIVEN || field->type == EBI_COMPARE_DOUBLE ||
         field->type == EBI_COMPARE_COUNT;
}

static bool fill(ebi_comparing *c, const ebi_compare_field *field, const ebi_compare_value *values,
                 eb_difference *to) {
  if (is_number(field)) {
    double *numbers = EBI_NEW_ARRAY(c->arena, double, c->n);
    for (size_t i = 0; numbers != NULL && i < c->n; i++)
      numbers[i] = values[i].number;
    to->numbers = numbers;
    return numbers != NULL;
  }
  const char **texts = EBI_NEW_ARRAY(c->arena, const char *, c->n);
  to->texts = texts;
  for (size_t i = 0; texts != NULL && i < c->n; i++)
    if (values[i].text != NULL && (texts[i] = ebi_arena_text(c->arena, values[i].text)) == NULL)
      return false;
  return texts != NULL;
}

static void write_down(ebi_comparing *c, const ebi_compare_section *section, const char *name,
                       const ebi_compare_field *field, const ebi_compare_value *values) {
  eb_difference fresh = {.part = section->part,
                         .name = ebi_arena_text(c->arena, name),
                         .what = field->what,
                         .unit = field->unit};
  if (fresh.name == NULL || !fill(c, field, values, &fresh) ||
      !ebi_arena_grow(c->arena, &c->differences, &c->differences_capacity, c->n_differences,
                      sizeof fresh))
    c->failed = true;
  else
    c->differences[c->n_differences++] = fresh;
}

/* ---- Going through ---- */

/* One item in all houses; `items` and `values` are the caller's scratch. */
static void compare_item(ebi_comparing *c, const ebi_compare_section *section, const char *name,
                         const void *const *items, ebi_compare_value *values) {
  size_t present = 0, first = 0;
  for (size_t i = c->n; i-- > 0;)
    if (items[i] != NO_ITEM) {
      present++;
      first = i;
    }
  for (size_t f = 0; f < section->n_fields; f++) {
    const ebi_compare_field *field = &section->fields[f];
    bool differs = present < c->n && field->always;
    for (size_t i = 0; i < c->n; i++)
      values[i] = value_of(c, i, field, items[i]);
    for (size_t i = 0; i < c->n; i++)
      differs = differs || (items[i] != NO_ITEM && !same_value(&values[i], &values[first]));
    if (differs)
      write_down(c, section, name, field, values);
  }
}

static void list_items(ebi_comparing *c, const ebi_compare_section *section, item_list *lists,
                       ebi_compare_names *names) {
  for (size_t h = 0; h < c->n; h++) {
    lists[h].first = section->items(c->inputs[h].house, &lists[h].count);
    for (size_t i = 0; i < lists[h].count; i++) {
      const char *name = name_of(section, lists[h].first + i * section->size);
      ebi_compare_name(c, names, name);
      if (!ebi_names_set(&lists[h].numbers, c->scratch, name, i))
        c->failed = true;
    }
  }
}

static void compare_section(ebi_comparing *c, const ebi_compare_section *section) {
  ebi_compare_names names = {0};
  item_list *lists = EBI_NEW_ARRAY(c->scratch, item_list, c->n);
  const void **items = EBI_NEW_ARRAY(c->scratch, const void *, c->n);
  ebi_compare_value *values = EBI_NEW_ARRAY(c->scratch, ebi_compare_value, c->n);
  if (lists == NULL || items == NULL || values == NULL) {
    c->failed = true;
    return;
  }
  list_items(c, section, lists, &names);
  for (size_t n = 0; n < names.count && !c->failed; n++) {
    for (size_t h = 0; h < c->n; h++)
      items[h] = find(section, &lists[h], names.items[n]);
    compare_item(c, section, names.items[n], items, values);
  }
}

void ebi_compare_differences(ebi_comparing *c) {
  for (size_t s = 0; s < ebi_compare_n_sections && !c->failed; s++)
    compare_section(c, &ebi_compare_sections[s]);
}
