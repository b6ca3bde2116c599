/* test_rule_properties.c - what must hold under every shipped rule set, whatever the house
 *
 * The houses are random ones of a fixed seed. What a rule set asks of each stands
 * in other suites; here only laws that no document breaks, or that a named one does. */

#include <check.h>
#include <math.h>
#include <string.h>

#include "rates_house.h"
#include "suites.h"

#define HOUSES 24
#define RELATIVE 1e-9

static test_house t;
static unsigned long long seed;

/* ---- Random houses ---- */

/* Knuth's multiplicative generator MMIX (The Art of Computer Programming, vol. 2, 3.3.4):
 * from 0 up to, not including, 1. */
static double random_part(void) {
  seed = seed * 6364136223846793005ULL + 1442695040888963407ULL;
  return (double)(seed >> 40) / 16777216.0;
}

static double between(double least, double most) {
  return least + (most - least) * random_part();
}

static int count_between(int least, int most) {
  return least + (int)(random_part() * (most - least + 1));
}

static double height;

static ebi_room *add(const char *name, const char *use, double least, double most) {
  double area = between(least, most);
  ebi_room *room = test_room(&t, name, use, area, area * height);
  room->height = test_given(height);
  room->openable_window = random_part() < 0.8;
  room->outside_wall = room->openable_window || random_part() < 0.5;
  return room;
}

static void add_dry_rooms(int bedrooms) {
  static const char *const beds[] = {"bed-1", "bed-2", "bed-3", "bed-4", "bed-5"};
  add("living", "living", 15.0, 40.0);
  for (int i = 0; i < bedrooms; i++) {
    ebi_room *bed = add(beds[i], "bedroom", 7.0, 18.0);
    bed->sleepers = test_given(i ? count_between(1, 2) : 2.0);
    bed->storey = count_between(0, 1);
  }
  if (random_part() < 0.4)
    add("study", "study", 6.0, 12.0);
}

static void add_wet_rooms(void) {
  static const char *const baths[] = {"bath-1", "bath-2"}, *const wcs[] = {"wc-1", "wc-2"};
  add("kitchen", random_part() < 0.2 ? "kitchen+dining" : "kitchen", 6.0, 16.0)->hood_to_outside =
      random_part() < 0.5;
  for (int i = count_between(1, 2); i > 0; i--)
    add(baths[i - 1], "bathroom", 3.5, 9.0);
  for (int i = count_between(0, 2); i > 0; i--)
    add(wcs[i - 1], "wc", 1.2, 3.0);
  if (random_part() < 0.5)
    add("utility", "utility", 3.0, 8.0);
}

/* Small enough for each set's range: that of DIN 1946-6:2009 ends at 210 m2. */
static void random_house(void) {
  static const ebi_level low[] = {{.name = "low", .share = {0.7, true, {"house.yaml", 8, 3}}}};
  int bedrooms = count_between(1, 5);
  double area = 0.0;
  t.house.n_rooms = 0;
  memset(t.rooms, 0, sizeof t.rooms);
  height = between(2.2, 2.9);
  add_dry_rooms(bedrooms);
  add_wet_rooms();
  add("hall", "hall", 3.0, 12.0);
  for (size_t i = 0; i < t.house.n_rooms; i++)
    area += t.rooms[i].area.value;
  t.house.floor_area = test_given(fmin(area + between(0.0, 8.0), 205.0));
  t.house.volume = test_given(t.house.floor_area.value * height);
  t.house.bedrooms = test_given(bedrooms);
  t.house.people = test_given(bedrooms + 1.0);
  t.house.in_feet = random_part() < 0.3;
  t.house.levels = low;
  t.house.n_levels = 1;
}

/* ---- Each set in turn ---- */

static void with_each_set(void (*check)(const eb_table_info *set)) {
  const eb_table_info *sets;
  size_t count;
  test_house_start(&t, NULL);
  eb_context *of_list = t.context;
  ck_assert_int_eq(eb_tables_list(of_list, "rules", &sets, &count), EB_OK);
  ck_assert_uint_ge(count, 32);
  for (size_t i = 0; i < count; i++) {
    test_house_start(&t, sets[i].name);
    seed = 20260 + i;
    check(&sets[i]);
    test_house_end(&t);
  }
  eb_context_free(of_list);
}

static bool at_least(double value, double least) {
  return value >= least - RELATIVE * fabs(least);
}

/* Below a nanolitre a second it is rounding of sums. */
static bool same(double a, double b) {
  return fabs(a - b) <= RELATIVE * fmax(fabs(a), fabs(b)) + 1e-12;
}

/* ---- Balance and requirements ---- */

static void check_balance(const eb_table_info *set) {
  for (int i = 0; i < HOUSES; i++) {
    random_house();
    const eb_rates *rates = test_plan(&t, NULL);
    ck_assert_uint_eq(rates->n_levels, 3);
    for (size_t level = 0; level < rates->n_levels; level++) {
      double supply = rates->supply_total_m3_s[level], extract = rates->extract_total_m3_s[level];
      ck_assert_msg(supply > 0.0 && same(supply, extract), "%s: %.12g and %.12g m3/s at %s",
                    set->name, supply, extract, rates->levels[level]);
    }
  }
}

START_TEST(supply_equals_extract_at_every_level) {
  with_each_set(check_balance);
}
END_TEST

/* British Columbia: where bathrooms take all of a small dwelling's total, the kitchen is left
 * without a flow at normal, which no factor raises to its 47 l/s on demand. The plan shows both
 * figures and does not yet say so in a finding. */
static bool cannot_be_raised(const char *set, const char *room, const eb_duty *duty) {
  return strcmp(set, "canada-bc-2024") == 0 && strcmp(room, "kitchen") == 0 &&
         duty[0].design_m3_s < 1e-12;
}

/* False for the room that is named above. */
static bool check_duty(const char *set, const eb_rates *rates, const char *room,
                       const eb_duty *duty) {
  if (duty && cannot_be_raised(set, room, duty))
    return false;
  for (size_t level = 0; duty && level < rates->n_levels; level++)
    ck_assert_msg(at_least(duty[level].design_m3_s, duty[level].required_m3_s),
                  "%s: \"%s\" has %.12g, needs %.12g m3/s at %s", set, room,
                  duty[level].design_m3_s, duty[level].required_m3_s, rates->levels[level]);
  return true;
}

static void check_requirements(const eb_table_info *set) {
  for (int i = 0; i < HOUSES; i++) {
    random_house();
    const eb_rates *rates = test_plan(&t, NULL);
    double own = 0.0;
    bool raised = true;
    for (size_t room = 0; room < rates->n_rooms; room++) {
      const eb_room_rates *of = &rates->rooms[room];
      check_duty(set->name, rates, of->name, of->supply);
      raised = check_duty(set->name, rates, of->name, of->extract) && raised;
      own += of->extract ? of->extract[1].required_m3_s : 0.0;
    }
    ck_assert_msg(at_least(rates->supply_total_m3_s[0], rates->required_m3_s), "%s", set->name);
    ck_assert_msg(!raised || at_least(rates->supply_total_m3_s[1], rates->boost_required_m3_s),
                  "%s", set->name);
    ck_assert_msg(at_least(rates->boost_required_m3_s, own), "%s", set->name);
  }
}

START_TEST(no_room_is_below_its_requirement) {
  with_each_set(check_requirements);
}
END_TEST

/* Fixed valves: one factor a level moves all rooms together. */
static void check_factor(const eb_table_info *set) {
  for (int i = 0; i < HOUSES; i++) {
    random_house();
    const eb_rates *rates = test_plan(&t, NULL);
    for (size_t room = 0; room < rates->n_rooms; room++)
      for (size_t level = 1; level < rates->n_levels; level++) {
        double factor = rates->supply_total_m3_s[level] / rates->supply_total_m3_s[0];
        const eb_duty *sides[] = {rates->rooms[room].supply, rates->rooms[room].extract};
        for (int side = 0; side < 2; side++)
          ck_assert_msg(!sides[side] || same(sides[side][level].design_m3_s,
                                             sides[side][0].design_m3_s * factor),
                        "%s: \"%s\" at %s", set->name, rates->rooms[room].name,
                        rates->levels[level]);
      }
  }
}

START_TEST(shares_hold_at_every_level) {
  with_each_set(check_factor);
}
END_TEST

/* ---- More of a house never needs less ---- */

static void check_not_less(const eb_table_info *set, double before[2], const char *what) {
  const eb_rates *rates = test_plan(&t, NULL);
  ck_assert_msg(at_least(rates->required_m3_s, before[0]) &&
                    at_least(rates->boost_required_m3_s, before[1]),
                "%s: %s took %.12g, %.12g down to %.12g, %.12g m3/s", set->name, what, before[0],
                before[1], rates->required_m3_s, rates->boost_required_m3_s);
  before[0] = rates->required_m3_s;
  before[1] = rates->boost_required_m3_s;
}

static void check_growth(const eb_table_info *set) {
  for (int i = 0; i < HOUSES; i++) {
    random_house();
    double before[2] = {0.0, 0.0};
    check_not_less(set, before, "nothing");
    for (double more = 0.7; more < 60.0 && t.house.floor_area.value + more < 209.0; more *= 2.3) {
      t.house.floor_area.value += more;
      t.house.volume.value += more * height;
      check_not_less(set, before, "floor area");
    }
    for (int more = 0; more < 4; more++) {
      t.house.bedrooms.value += 1.0;
      check_not_less(set, before, "a bedroom");
    }
  }
}

START_TEST(more_area_or_bedrooms_never_lower_a_requirement) {
  with_each_set(check_growth);
}
END_TEST

/* ---- The order of the rooms ---- */

static const eb_room_rates *named(const eb_rates *rates, const char *name) {
  for (size_t i = 0; i < rates->n_rooms; i++)
    if (strcmp(rates->rooms[i].name, name) == 0)
      return &rates->rooms[i];
  ck_abort_msg("no room %s", name);
}

static void check_same_duty(const char *set, const char *room, const eb_duty *a, const eb_duty *b,
                            size_t n_levels) {
  ck_assert_msg(!a == !b, "%s: \"%s\" is served in one order only", set, room);
  for (size_t level = 0; a && level < n_levels; level++)
    ck_assert_msg(same(a[level].design_m3_s, b[level].design_m3_s) &&
                      same(a[level].required_m3_s, b[level].required_m3_s),
                  "%s: \"%s\" at level %zu depends on the order: %.12g and %.12g m3/s", set, room,
                  level, a[level].design_m3_s, b[level].design_m3_s);
}

/* Fisher and Yates. The uses move with their rooms, since a room points to them. */
static void shuffle(void) {
  for (size_t i = t.house.n_rooms - 1; i > 0; i--) {
    size_t other = (size_t)count_between(0, (int)i);
    ebi_room kept = t.rooms[i];
    t.rooms[i] = t.rooms[other];
    t.rooms[other] = kept;
  }
}

static void check_order(const eb_table_info *set) {
  for (int i = 0; i < HOUSES; i++) {
    random_house();
    const eb_rates *first = test_plan(&t, NULL);
    shuffle();
    const eb_rates *second = test_plan(&t, NULL);
    ck_assert_msg(same(first->required_m3_s, second->required_m3_s) &&
                      same(first->boost_required_m3_s, second->boost_required_m3_s) &&
                      same(first->background_area_m2, second->background_area_m2),
                  "%s: a total depends on the order", set->name);
    for (size_t room = 0; room < first->n_rooms; room++) {
      const eb_room_rates *a = &first->rooms[room], *b = named(second, a->name);
      check_same_duty(set->name, a->name, a->supply, b->supply, first->n_levels);
      check_same_duty(set->name, a->name, a->extract, b->extract, first->n_levels);
    }
  }
}

START_TEST(the_order_of_rooms_changes_nothing) {
  with_each_set(check_order);
}
END_TEST

/* ---- What is known from memory ---- */

static void check_memory(const eb_table_info *set) {
  random_house();
  const eb_rates *rates = test_plan(&t, NULL);
  ck_assert_str_eq(rates->rules, set->name);
  ck_assert_str_eq(rates->rules_known, set->known);
  if (strcmp(set->known, "memory") == 0)
    ck_assert_msg(test_found(&t, "rules-from-memory") == 1, "%s: no note", set->name);
}

START_TEST(a_set_from_memory_says_so) {
  with_each_set(check_memory);
}
END_TEST

Suite *suite_rule_properties(void) {
  Suite *suite = suite_create("rule_properties");
  TCase *c = tcase_create("rule_properties");
  tcase_set_timeout(c, 60);
  tcase_add_test(c, supply_equals_extract_at_every_level);
  tcase_add_test(c, no_room_is_below_its_requirement);
  tcase_add_test(c, shares_hold_at_every_level);
  tcase_add_test(c, more_area_or_bedrooms_never_lower_a_requirement);
  tcase_add_test(c, the_order_of_rooms_changes_nothing);
  tcase_add_test(c, a_set_from_memory_says_so);
  suite_add_tcase(suite, c);
  return suite;
}
