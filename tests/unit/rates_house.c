/* rates_house.c - houses put together by hand, for the suites of the air plan */

#include "rates_house.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

const char *test_source_path(eb_context *context, const char *path) {
  const char *source = getenv("srcdir");
  ebi_arena *arena = ebi_context_arena(context);
  return arena ? ebi_arena_format(arena, "%s/%s", source ? source : ".", path) : NULL;
}

const ebi_rule_set *test_rules(eb_context *context, const char *rules) {
  ebi_yaml value = {.kind = EBI_YAML_SCALAR, .where = {"house.yaml", 2, 8}, .text = rules};
  value.length = strlen(rules);
  ebi_reader reader = {context, ebi_context_arena(context), "house.yaml", NULL};
  return reader.arena ? ebi_rules_load(&reader, &value) : NULL;
}

bool test_house_try(test_house *test, const eb_allocator *allocator, const char *rules) {
  memset(test, 0, sizeof *test);
  test->context = eb_context_new(allocator);
  if (!test->context)
    return false;
  const char *tables = test_source_path(test->context, "tables");
  if (!tables || eb_tables_search(test->context, tables) != EB_OK)
    return false;
  test->house.context = test->context;
  test->house.where = (ebi_where){"house.yaml", 1, 1};
  test->house.set_level = "normal";
  test->house.rooms = test->rooms;
  if (rules)
    test->house.rules = test_rules(test->context, rules);
  return !rules || test->house.rules;
}

void test_house_start(test_house *test, const char *rules) {
  ck_assert(test_house_try(test, NULL, rules));
}

void test_house_end(test_house *test) {
  eb_context_free(test->context);
}

ebi_given test_given(double value) {
  return (ebi_given){value, true, {"house.yaml", 9, 3}};
}

ebi_room *test_room(test_house *test, const char *name, const char *use, double area,
                    double volume) {
  size_t at = test->house.n_rooms++;
  ck_assert_uint_lt(at, HOUSE_ROOMS);
  ebi_room *room = &test->rooms[at];
  room->name = name;
  room->uses = test->uses[at];
  const char *plus = strchr(use, '+');
  ebi_arena *arena = ebi_context_arena(test->context);
  test->uses[at][room->n_uses++] = plus ? ebi_arena_text_n(arena, use, (size_t)(plus - use)) : use;
  if (plus)
    test->uses[at][room->n_uses++] = plus + 1;
  room->outside_wall = room->openable_window = true;
  room->where = (ebi_where){"house.yaml", 20 + (int)at, 3};
  if (area > 0.0)
    room->area = test_given(area);
  if (volume > 0.0)
    room->volume = test_given(volume);
  return room;
}

const eb_rates *test_plan(test_house *test, eb_ledger *ledger) {
  const eb_rates *rates = NULL;
  eb_status status = eb_rates_plan(test->context, &test->house, NULL, ledger, &rates);
  if (status != EB_OK) {
    size_t count;
    const eb_diagnostic *all = eb_diagnostics(test->context, &count);
    ck_abort_msg("no plan: %s", count ? all[count - 1].message : eb_status_text(status));
  }
  return rates;
}

size_t test_found(const test_house *test, const char *code) {
  size_t count, found = 0;
  const eb_diagnostic *all = eb_diagnostics(test->context, &count);
  for (size_t i = 0; i < count; i++)
    found += strcmp(all[i].code, code) == 0;
  return found;
}

static const eb_room_rates *room_of(const eb_rates *rates, const char *name) {
  for (size_t i = 0; i < rates->n_rooms; i++)
    if (strcmp(rates->rooms[i].name, name) == 0)
      return &rates->rooms[i];
  ck_abort_msg("no room %s", name);
}

double test_supply(const eb_rates *rates, const char *room, size_t level) {
  const eb_duty *duty = room_of(rates, room)->supply;
  ck_assert_ptr_nonnull(duty);
  return duty[level].design_m3_s * 1e3;
}

double test_extract(const eb_rates *rates, const char *room, size_t level) {
  const eb_duty *duty = room_of(rates, room)->extract;
  ck_assert_ptr_nonnull(duty);
  return duty[level].design_m3_s * 1e3;
}
