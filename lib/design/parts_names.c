/* parts_names.c - what parts are called: by their table and the sizes they join */

#include <string.h>

#include "design/parts.h"

const char *ebi_order_text(ebi_order *order, const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  const char *text = ebi_arena_format_list(order->job.scratch, format, arguments);
  va_end(arguments);
  order->no_memory = order->no_memory || text == NULL;
  return text != NULL ? text : "";
}

/* "125" of steel-125; the measures of a duct of no family. */
static const char *size_of(ebi_order *order, const ebi_duct_size *duct, const char *family) {
  size_t length = strlen(family);
  if (length > 0 && strncmp(duct->name, family, length) == 0 && duct->name[length] == '-')
    return duct->name + length + 1;
  if (duct->shape == EBI_ROUND)
    return ebi_order_text(order, "%.12g", 1e3 * duct->bore);
  return ebi_order_text(order, "%.12gx%.12g", 1e3 * duct->width, 1e3 * duct->height);
}

ebi_mouth ebi_mouth_of_run(ebi_order *order, const ebi_side_run *run) {
  const ebi_duct_size *duct = &run->run->duct;
  const char *family = duct->family != NULL ? duct->family : "";
  return (ebi_mouth){.family = family,
                     .size = size_of(order, duct, family),
                     .bore = duct->shape == EBI_ROUND ? duct->bore : 0.0,
                     .area = run->section.area,
                     .count = run->run->parallel,
                     .duct = duct};
}

ebi_mouth ebi_mouth_round(ebi_order *order, double bore) {
  return (ebi_mouth){.family = "",
                     .size = ebi_order_text(order, "%.12g", 1e3 * bore),
                     .bore = bore,
                     .area = ebi_section_round(bore).area,
                     .count = 1};
}

/* The one family of all mouths that have one, "" where none has; NULL: several. */
static const char *common_family(const ebi_mouth *mouths, size_t count) {
  const char *common = "";
  for (size_t i = 0; i < count; i++) {
    if (mouths[i].family[0] == '\0')
      continue;
    if (common[0] != '\0' && strcmp(common, mouths[i].family) != 0)
      return NULL;
    common = mouths[i].family;
  }
  return common;
}

static const char *and_then(ebi_order *order, const char *text, const char *word) {
  return word[0] == '\0' ? text : ebi_order_text(order, "%s-%s", text, word);
}

const char *ebi_part_short_name(ebi_order *order, const char *prefix, const ebi_mouth *mouths,
                                size_t count) {
  const char *text = prefix;
  for (size_t i = 0; i < count; i++)
    text = and_then(order, text, mouths[i].size);
  return text;
}

const char *ebi_part_name(ebi_order *order, const char *prefix, const ebi_mouth *mouths,
                          size_t count) {
  const char *common = common_family(mouths, count);
  if (common != NULL)
    return ebi_part_short_name(order, and_then(order, prefix, common), mouths, count);
  const char *text = prefix;
  for (size_t i = 0; i < count; i++) {
    text = and_then(order, text, mouths[i].family);
    text = and_then(order, text, mouths[i].size);
  }
  return text;
}

const char *ebi_mouth_text(ebi_order *order, const ebi_mouth *mouth) {
  if (mouth->family[0] == '\0')
    return ebi_order_text(order, "%s mm", mouth->size);
  return ebi_order_text(order, "%s-%s", mouth->family, mouth->size);
}
