/* ducts_house.c - houses with ducts put together by hand, for the suites of the ducts */

#include "ducts_house.h"

#include <check.h>
#include <limits.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const ebi_point loss[] = {{1, 0.3e-3}, {5, 1.2e-3}, {11, 3.1e-3}, {20, 5e-3}};
const ebi_valve ducts_valve = {.entry = {.name = "bench-valve"},
                               .opening_unit = "mm",
                               .loss = loss,
                               .n_loss = 4,
                               .bore = 0.125};

ebi_given ducts_given(double value) {
  return (ebi_given){value, true, {"house.yaml", 77, 5}};
}

void ducts_fan(ducts_house *test, double top, double square, double most, size_t count) {
  for (size_t i = 0; i < count; i++) {
    double flow = most * (double)i / (double)(count - 1);
    test->points[i] = (ebi_fan_point){flow * 1e-3, top - square * flow * flow, 10.0 + 0.5 * flow};
  }
  test->curve = (ebi_fan_curve_data){.speed = 1.0, .points = test->points, .n_points = count};
}

void ducts_start(ducts_house *test) {
  memset(test, 0, sizeof *test);
  test->context = eb_context_new(NULL);
  ck_assert_ptr_nonnull(test->context);
  ducts_fan(test, 220.0, 0.030, 80.0, 41);
  test->unit.entry.name = "bench-unit";
  test->unit.controller = (eb_controller){"%", 100.0, false};
  test->unit.supply_fan = test->unit.extract_fan =
      (ebi_fan_data){.curves = &test->curve, .n_curves = 1};
  test->levels[0] = "normal";
  test->levels[1] = "boost";
  eb_house *house = &test->house;
  house->context = test->context;
  house->where = (ebi_where){"house.yaml", 1, 1};
  house->unit_where = (ebi_where){"house.yaml", 4, 7};
  house->unit = &test->unit;
  house->set_level = "normal";
  house->indoor = ducts_given(20.0);
  house->altitude = ducts_given(0.0);
  house->rooms = test->rooms;
  house->runs = test->runs;
  house->junctions = test->junctions;
  house->doors = test->doors;
  house->openings = test->openings;
  house->appliances = test->appliances;
  test->rates = (eb_rates){.levels = test->levels, .n_levels = 2, .rooms = test->room_rates};
}

void ducts_end(ducts_house *test) {
  eb_context_free(test->context);
}

static void duties(eb_duty *duty, double flow, double boost) {
  duty[0] = (eb_duty){0.9e-3 * flow, 1e-3 * flow};
  duty[1] = (eb_duty){0.95e-3 * boost * flow, 1e-3 * boost * flow};
}

void ducts_room(ducts_house *test, const char *name, double supply, double extract, double boost) {
  size_t at = test->house.n_rooms++;
  ck_assert_uint_lt(at, DUCTS_ROOMS);
  test->rooms[at] = (ebi_room){.name = name, .where = {"house.yaml", 30 + (int)at, 3}};
  test->room_rates[at] = (eb_room_rates){.name = name, .use = ""};
  duties(test->supply[at], supply, boost);
  duties(test->extract[at], extract, boost);
  if (supply > 0.0)
    test->room_rates[at].supply = test->supply[at];
  if (extract > 0.0)
    test->room_rates[at].extract = test->extract[at];
  test->rates.n_rooms = test->house.n_rooms;
}

ebi_run *ducts_run(ducts_house *test, eb_air air, const char *name, const char *from,
                   const char *to, double bore, double length) {
  size_t at = test->house.n_runs++;
  ck_assert_uint_lt(at, DUCTS_RUNS);
  ebi_run *run = &test->runs[at];
  *run = (ebi_run){
      .name = name,
      .air = air,
      .from = from,
      .to = to,
      .sized = true,
      .duct = {.name = "bench", .shape = EBI_ROUND, .bore = 1e-3 * bore, .roughness = 9e-5},
      .duct_family = "",
      .parallel = 1,
      .length = length,
      .fittings = test->fittings[at],
      .where = {"house.yaml", 50 + (int)at, 7}};
  return run;
}

static ebi_run_fitting *add_fitting(ducts_house *test, ebi_run *run) {
  ck_assert_uint_lt(run->n_fittings, 4);
  ebi_run_fitting *fitting = &test->fittings[run - test->runs][run->n_fittings++];
  *fitting = (ebi_run_fitting){.count = 1, .where = run->where};
  return fitting;
}

void ducts_coefficient(ducts_house *test, ebi_run *run, double zeta) {
  add_fitting(test, run)->coefficient = ducts_given(zeta);
}

void ducts_drop(ducts_house *test, ebi_run *run, double drop, double at) {
  ebi_run_fitting *fitting = add_fitting(test, run);
  fitting->drop = ducts_given(drop);
  fitting->at = ducts_given(1e-3 * at);
}

void ducts_fitting(ducts_house *test, ebi_run *run, const ebi_fitting *fitting) {
  add_fitting(test, run)->fitting = fitting;
}

ebi_door *ducts_door(ducts_house *test, const char *a, const char *b, double width,
                     double undercut) {
  size_t at = test->house.n_doors++;
  ck_assert_uint_lt(at, 8);
  ebi_door *door = &test->doors[at];
  *door =
      (ebi_door){.between = {a, b}, .finish_laid = true, .where = {"house.yaml", 90 + (int)at, 5}};
  if (width > 0.0)
    door->width = ducts_given(1e-3 * width);
  if (undercut > 0.0)
    door->undercut = ducts_given(1e-3 * undercut);
  return door;
}

#define VOLUME 217.0

void ducts_leakage(ducts_house *test, double flow) {
  test->house.volume = ducts_given(VOLUME);
  test->house.n50 = ducts_given(3.6 * flow / VOLUME);
}

void ducts_opening(ducts_house *test, const char *room, double area) {
  size_t at = test->house.n_openings++;
  ck_assert_uint_lt(at, 4);
  test->openings[at] = (ebi_opening){.room = room, .area = 1e-4 * area};
}

ebi_appliance *ducts_appliance(ducts_house *test, const char *kind, const char *room, double flow) {
  size_t at = test->house.n_appliances++;
  ck_assert_uint_lt(at, 4);
  ebi_appliance *appliance = &test->appliances[at];
  *appliance = (ebi_appliance){.kind = kind,
                               .fuel = "",
                               .burner = "",
                               .room = room,
                               .where = {"house.yaml", 110 + (int)at, 5}};
  if (flow > 0.0)
    appliance->flow = ducts_given(1e-3 * flow);
  return appliance;
}

double ducts_envelope_pa(double flow, double at_50) {
  double m = 1.0 / 0.65, dense = eb_air_density(20.0, 101325.0) / 1.2;
  return 50.0 * pow(dense, m - 1.0) * pow(flow / at_50, m);
}

const eb_house_state *ducts_house_state(const eb_ducts *ducts, size_t level, const char *name) {
  const eb_level_state *at = &ducts->levels[level];
  for (size_t i = 0; i < at->n_states; i++)
    if (strcmp(at->states[i].name, name) == 0)
      return &at->states[i];
  ck_abort_msg("no state %s", name);
  return NULL;
}

static size_t room_number(const eb_ducts *ducts, const char *room) {
  for (size_t r = 0; r < ducts->n_rooms; r++)
    if (strcmp(ducts->levels[0].rooms[r].name, room) == 0)
      return r;
  ck_abort_msg("no room %s", room);
  return 0;
}

double ducts_pressure(const eb_ducts *ducts, const char *room, size_t level) {
  return ducts->levels[level].rooms[room_number(ducts, room)].pressure_pa;
}

double ducts_state_pressure(const eb_ducts *ducts, const eb_house_state *state, const char *room) {
  return state->room_pressure_pa[room_number(ducts, room)];
}

static const ebi_fan_point hood_curve[] = {
    {0.0, 190.0, (double)NAN}, {0.045, 163.0, (double)NAN}, {0.110, 12.0, (double)NAN}};

void ducts_furnish(ducts_house *test) {
  ducts_leakage(test, 31.0);
  ducts_door(test, "living", "kitchen", 762.0, 9.0);
  ducts_door(test, "bath", "kitchen", 726.0, 11.0);
  test->house.duct_leakage_class = 'B';
  test->unit.filter_outdoor = test->unit.filter_extract = (ebi_filter){.clean = ducts_given(11.0),
                                                                       .loaded = ducts_given(93.0),
                                                                       .at = ducts_given(0.036),
                                                                       .exponent = 1.2};
  ebi_appliance *hood = ducts_appliance(test, "cooker-hood", "kitchen", 0.0);
  hood->curve = hood_curve;
  hood->n_curve = 3;
  ducts_appliance(test, "extract-fan", "bath", 17.0);
  ducts_appliance(test, "open-flued", "living", 0.0);
}

const eb_ducts *ducts_design(ducts_house *test) {
  const eb_ducts *ducts = NULL;
  eb_status status = eb_ducts_design(test->context, &test->house, &test->rates, NULL, NULL, &ducts);
  ck_assert_int_eq(status, EB_OK);
  return ducts;
}

const eb_ducts *ducts_operate(ducts_house *test, const eb_setting *setting) {
  const eb_ducts *ducts = NULL;
  eb_status status =
      eb_ducts_operate(test->context, &test->house, &test->rates, setting, 1, NULL, NULL, &ducts);
  ck_assert_int_eq(status, EB_OK);
  return ducts;
}

eb_status ducts_failure(ducts_house *test) {
  const eb_ducts *ducts = NULL;
  eb_status status = eb_ducts_design(test->context, &test->house, &test->rates, NULL, NULL, &ducts);
  ck_assert_ptr_null(ducts);
  return status;
}

typedef struct budget {
  long left; /* allocations until one fails */
} budget;

static void *failing_resize(void *user, void *pointer, size_t old_size, size_t new_size) {
  budget *b = user;
  (void)old_size;
  if (new_size == 0) {
    free(pointer);
    return NULL;
  }
  return b->left-- > 0 ? realloc(pointer, new_size) : NULL;
}

long ducts_run_out_of_memory(ducts_house *test, long step) {
  budget b = {0};
  eb_allocator allocator = {failing_resize, &b, 1};
  eb_status status = EB_E_MEMORY;
  long failures = 0;
  for (long allowed = 0; status == EB_E_MEMORY; allowed += step) {
    b.left = LONG_MAX;
    eb_context *context = eb_context_new(&allocator);
    eb_ledger *ledger = eb_ledger_new(context);
    const eb_ducts *ducts = NULL;
    test->house.context = context;
    b.left = allowed;
    status = eb_ducts_design(context, &test->house, &test->rates, NULL, ledger, &ducts);
    ck_assert(status == EB_OK || status == EB_E_MEMORY);
    ck_assert((ducts != NULL) == (status == EB_OK));
    failures += status == EB_E_MEMORY;
    eb_context_free(context);
  }
  return failures;
}

size_t ducts_found(const ducts_house *test, const char *code) {
  size_t count, found = 0;
  const eb_diagnostic *all = eb_diagnostics(test->context, &count);
  for (size_t i = 0; i < count; i++)
    found += strcmp(all[i].code, code) == 0;
  return found;
}

const char *ducts_message(const ducts_house *test, const char *code) {
  size_t count;
  const eb_diagnostic *all = eb_diagnostics(test->context, &count);
  for (size_t i = 0; i < count; i++)
    if (strcmp(all[i].code, code) == 0)
      return all[i].message;
  return "";
}

double ducts_delivered(const eb_ducts *ducts, const char *room, bool supply, size_t level) {
  for (size_t r = 0; r < ducts->n_rooms; r++) {
    const eb_room_state *state = &ducts->levels[level].rooms[r];
    if (strcmp(state->name, room) == 0)
      return 1e3 * (supply ? &state->supply : &state->extract)->delivered_m3_s;
  }
  ck_abort_msg("no room %s", room);
  return 0.0;
}

const eb_run_state *ducts_state(const eb_ducts *ducts, const char *run, size_t level) {
  for (size_t i = 0; i < ducts->n_runs; i++)
    if (strcmp(ducts->runs[i].name, run) == 0)
      return &ducts->levels[level].runs[i];
  ck_abort_msg("no run %s", run);
  return NULL;
}

const eb_terminal *ducts_terminal(const eb_ducts *ducts, const char *run) {
  for (size_t i = 0; i < ducts->n_terminals; i++)
    if (strcmp(ducts->terminals[i].run, run) == 0)
      return &ducts->terminals[i];
  ck_abort_msg("no terminal at %s", run);
  return NULL;
}

const ebi_fitting ducts_louvre = {.entry = {.name = "bench-louvre"},
                                  .basis = EBI_BASIS_AREA,
                                  .end = true,
                                  .area = 0.05,
                                  .coefficient = 9.0,
                                  .reynolds_to = HUGE_VAL};

double ducts_velocity_pressure(double bore, double flow) {
  double area = 0.25 * 3.14159265358979323846 * bore * bore * 1e-6, velocity = 1e-3 * flow / area;
  return 0.6 * velocity * velocity;
}

ebi_run *ducts_with_valve(ebi_run *run) {
  run->valve.type = &ducts_valve;
  return run;
}

#define BOX_TRUNK 160.0
#define BOX_BRANCH 100.0
#define OPEN_VALVE (1.0 / 25.0) /* Pa per (l/s)^2 at k = 5 */

/* What the branch's own fitting must have: all of it less box take-off and open valve. */
static void box_branch(ducts_house *test, const char *run, const char *room, double flow,
                       double all) {
  ducts_room(test, room, flow, 0.0, 1.3);
  ebi_run *branch = ducts_run(test, EB_SUPPLY, run, "box", room, BOX_BRANCH, 0.0);
  double own = all - OPEN_VALVE - 0.5 * ducts_velocity_pressure(BOX_BRANCH, 1.0);
  ducts_drop(test, branch, 100.0 * own, 10.0);
  ducts_with_valve(branch);
}

void ducts_build_box(ducts_house *test) {
  ebi_run *trunk = ducts_run(test, EB_SUPPLY, "trunk", "unit", "box", BOX_TRUNK, 0.0);
  ducts_drop(test, trunk, 100.0 * (0.0100 - ducts_velocity_pressure(BOX_TRUNK, 1.0)), 10.0);
  box_branch(test, "s-living", "living", 14.0, 0.120);
  box_branch(test, "s-bed1", "bed1", 10.0, 0.300);
  box_branch(test, "s-bed2", "bed2", 8.0, 0.700);
  box_branch(test, "s-bed3", "bed3", 6.0, 0.500);
}

void ducts_build_house(ducts_house *test) {
  ducts_fan(test, 420.0, 0.035, 100.0, 26);
  ducts_room(test, "living", 13.7, 0.0, 1.41);
  ducts_room(test, "bed1", 10.9, 0.0, 1.41);
  ducts_room(test, "bed2", 8.3, 0.0, 1.41);
  ducts_room(test, "kitchen", 0.0, 15.1, 1.41);
  ducts_room(test, "bath", 0.0, 10.6, 1.41);
  ducts_room(test, "wc", 0.0, 7.2, 1.41);
  test->unit.standby = 4.0;
  for (int i = 0; i < 4; i++)
    test->unit.spigot[i] = 0.160;
  ebi_run *intake = ducts_run(test, EB_OUTDOOR, "intake", "outdoors", "unit", 150.0, 2.1);
  ducts_fitting(test, intake, &ducts_louvre);
  ducts_run(test, EB_SUPPLY, "trunk", "unit", "box", 160.0, 3.3);
  ducts_with_valve(ducts_run(test, EB_SUPPLY, "s-living", "box", "living", 75.0, 7.0))->parallel =
      2;
  ducts_with_valve(ducts_run(test, EB_SUPPLY, "s-bed1", "box", "bed1", 75.0, 9.5))->parallel = 2;
  ducts_with_valve(ducts_run(test, EB_SUPPLY, "s-bed2", "box", "bed2", 75.0, 8.2));
  ducts_with_valve(ducts_run(test, EB_EXTRACT, "e-kitchen", "kitchen", "tee1", 125.0, 4.1));
  ducts_with_valve(ducts_run(test, EB_EXTRACT, "e-bath", "bath", "tee2", 100.0, 2.6));
  ducts_with_valve(ducts_run(test, EB_EXTRACT, "e-wc", "wc", "tee2", 100.0, 3.9));
  ducts_run(test, EB_EXTRACT, "e-mid", "tee2", "tee1", 125.0, 1.7);
  ducts_run(test, EB_EXTRACT, "e-main", "tee1", "unit", 160.0, 2.2);
  ducts_run(test, EB_EXHAUST, "outlet", "unit", "outdoors", 160.0, 2.4);
}

void ducts_add(Suite *suite, const char *name, void (*setup)(void), void (*teardown)(void),
               const TTest *const *tests, size_t count) {
  TCase *group = tcase_create(name);
  tcase_add_checked_fixture(group, setup, teardown);
  for (size_t i = 0; i < count; i++)
    tcase_add_test(group, tests[i]);
  suite_add_tcase(suite, group);
}
