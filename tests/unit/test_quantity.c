/* test_quantity.c - units: factors exact, faults told apart */

#include <math.h>
#include <string.h>

#include "base/quantity.h"
#include "suites.h"

typedef struct row {
  const char *text;
  ebi_kind kind;
  double si;
} row;

/* Factors from NIST SP 811 (2008) app. B, from memory; the rest by definition.
 * Each is rounded once. */
static const row exact[] = {
    {"22.0 m2", EBI_AREA, 22.0},
    {"22m²", EBI_AREA, 22.0},
    {"1000.0 mm2", EBI_AREA, 0.001},
    {"762 mm", EBI_LENGTH, 0.762},
    {"1 in", EBI_LENGTH, 0.0254},
    {"30 l/s", EBI_FLOW, 0.03},
    {"108 m3/h", EBI_FLOW, 0.03},
    {"108 m^3/h", EBI_FLOW, 0.03},
    {"22 l/s", EBI_FLOW, 0.022},
    {"0.3 l/(s.m2)", EBI_FLOW_PER_AREA, 0.0003},
    {"0.3 l/s/m2", EBI_FLOW_PER_AREA, 0.0003},
    {"4 l/s/person", EBI_FLOW_PER_PERSON, 0.004},
    {"0.5 1/h", EBI_AIR_CHANGE, 0.5},
    {"1.0 ach", EBI_AIR_CHANGE, 1.0},
    {"1.8 ach", EBI_FLOW_PER_VOLUME, 0.0005},
    {"5.4 m3/(h.m2)", EBI_PERMEABILITY, 0.0015},
    {"1 in.wg", EBI_PRESSURE, 249.08891},
    {"1 mmH2O", EBI_PRESSURE, 9.80665},
    {"0.7 mbar", EBI_PRESSURE, 70.0},
    {"0.25 kPa", EBI_PRESSURE, 250.0},
    {"78 W/K", EBI_HEAT_LOSS, 78.0},
    {"20 C", EBI_TEMPERATURE, 20.0},
    {"68 F", EBI_TEMPERATURE, 20.0},
    {"-40 degF", EBI_TEMPERATURE, -40.0},
    {"3.5 K", EBI_TEMPERATURE_DIFFERENCE, 3.5},
    {"85 %", EBI_RATIO, 0.85},
    {"0.85", EBI_RATIO, 0.85},
    {"140%", EBI_RATIO, 1.4},
    {"17", EBI_NUMBER, 17.0},
    {"45", EBI_ANGLE, 45.0},
    {"45 deg", EBI_ANGLE, 45.0},
    {"27 in2", EBI_AREA, 0.01741932},
    {"25 dB", EBI_SOUND, 25.0},
    {"0.25 kHz", EBI_FREQUENCY, 250.0},
    {"0.33 dB/m", EBI_SOUND_PER_LENGTH, 0.33},
    {"1.5 h/day", EBI_HOURS_PER_DAY, 1.5},
    {"0.04 W/(m.K)", EBI_CONDUCTIVITY, 0.04},
    {"1.5 W/(l/s)", EBI_FAN_POWER, 1500.0},
    {"0.45 Wh/m3", EBI_FAN_POWER, 1620.0},
    {"2.1 l/s/Pa^0.5", EBI_VALVE_FLOW, 2.1 / 1000.0},
    {"3.6 kWh", EBI_ENERGY, 12960000.0},
    {"550 mm2/kW", EBI_AREA_PER_POWER, 5.5e-7},
    {"  8\t l/s ", EBI_FLOW, 0.008},
};

START_TEST(factors_are_exact) {
  for (size_t i = 0; i < sizeof exact / sizeof exact[0]; i++) {
    ebi_quantity q = ebi_quantity_read(exact[i].text, strlen(exact[i].text), exact[i].kind);
    ck_assert_msg(q.fault == EBI_QUANTITY_OK, "%s: fault %d", exact[i].text, (int)q.fault);
    ck_assert_msg(q.value == exact[i].si, "%s: %.17g", exact[i].text, q.value);
  }
}
END_TEST

static double read_si(const char *text, ebi_kind kind) {
  ebi_quantity q = ebi_quantity_read(text, strlen(text), kind);
  ck_assert_msg(q.fault == EBI_QUANTITY_OK, "%s", text);
  return q.value;
}

START_TEST(factors_are_near) {
  ck_assert_double_eq_tol(read_si("1 cfm", EBI_FLOW), 0.0004719474432, 1e-18);
  ck_assert_double_eq_tol(read_si("63 cfm", EBI_FLOW) * 1000, 29.7326889216, 1e-12);
  ck_assert_double_eq_tol(read_si("0.0381 dB/ft", EBI_SOUND_PER_LENGTH), 0.125, 1e-15);
  ck_assert_double_eq_tol(read_si("1 W/cfm", EBI_FAN_POWER), 2118.88000328931, 1e-10);
  ck_assert_double_eq_tol(read_si("293.15 K", EBI_TEMPERATURE), 20.0, 1e-12);
  ck_assert_double_eq_tol(read_si("0.27 per kWh", EBI_PRICE) * 3.6e6, 0.27, 1e-15);
  ck_assert_double_eq_tol(read_si("7.25 per m", EBI_PRICE_PER_LENGTH), 7.25, 1e-15);
  ck_assert_double_eq_tol(read_si("2.5 /ft", EBI_PRICE_PER_LENGTH), 8.2020997375328, 1e-12);
  ck_assert_double_eq_tol(read_si("6.10 each", EBI_PRICE_EACH), 6.1, 1e-15);
  ck_assert_double_eq_tol(read_si("4.25 per month", EBI_MONEY_PER_YEAR), 51.0, 1e-12);
  ck_assert_double_eq_tol(read_si("210 g/kWh", EBI_CARBON) * 3.6e6, 0.21, 1e-15);
  ck_assert_double_eq_tol(read_si("1 cfm/ft2", EBI_FLOW_PER_AREA), 0.00508, 1e-17);
}
END_TEST

START_TEST(faults) {
  static const struct {
    const char *text;
    ebi_kind kind;
    ebi_quantity_fault fault;
    ebi_number_fault number;
    const char *unit;
  } rows[] = {
      {"22", EBI_AREA, EBI_QUANTITY_NO_UNIT, EBI_NUMBER_OK, ""},
      {"22 l/s", EBI_AREA, EBI_QUANTITY_WRONG_KIND, EBI_NUMBER_OK, "l/s"},
      {"22 sqm", EBI_AREA, EBI_QUANTITY_UNKNOWN_UNIT, EBI_NUMBER_OK, "sqm"},
      {"8 5 l/s", EBI_FLOW, EBI_QUANTITY_UNKNOWN_UNIT, EBI_NUMBER_OK, "5 l/s"},
      {"8,5 l/s", EBI_FLOW, EBI_QUANTITY_NUMBER, EBI_NUMBER_COMMA, NULL},
      {"nan l/s", EBI_FLOW, EBI_QUANTITY_NUMBER, EBI_NUMBER_NOT_FINITE, NULL},
      {"61e9540 Pa", EBI_PRESSURE, EBI_QUANTITY_NUMBER, EBI_NUMBER_OVERFLOW, NULL},
      {"1e308 kPa", EBI_PRESSURE, EBI_QUANTITY_NUMBER, EBI_NUMBER_OVERFLOW, NULL},
      {"190:20:30", EBI_TIME, EBI_QUANTITY_NUMBER, EBI_NUMBER_FORM, NULL},
      {"on", EBI_RATIO, EBI_QUANTITY_NUMBER, EBI_NUMBER_NONE, NULL},
      {"", EBI_FLOW, EBI_QUANTITY_NUMBER, EBI_NUMBER_NONE, NULL},
      {"3 m", EBI_NUMBER, EBI_QUANTITY_WRONG_KIND, EBI_NUMBER_OK, "m"},
      {"3 L/S", EBI_FLOW, EBI_QUANTITY_UNKNOWN_UNIT, EBI_NUMBER_OK, "L/S"},
  };
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    ebi_quantity q = ebi_quantity_read(rows[i].text, strlen(rows[i].text), rows[i].kind);
    ck_assert_msg(q.fault == rows[i].fault, "%s: %d", rows[i].text, (int)q.fault);
    ck_assert_msg(q.number == rows[i].number, "%s: %d", rows[i].text, (int)q.number);
    ck_assert(q.value == 0.0);
    if (rows[i].unit != NULL)
      ck_assert(q.unit_length == strlen(rows[i].unit) &&
                memcmp(q.unit, rows[i].unit, q.unit_length) == 0);
  }
}
END_TEST

/* What is shown is what would be read. */
START_TEST(shown_values_read_back) {
  for (int kind = 0; kind < EBI_KIND_COUNT; kind++) {
    const double si = 0.073219;
    ebi_shown shown = ebi_quantity_show(si, (ebi_kind)kind);
    double back = -1.0;
    ck_assert_msg(ebi_unit_to_si(shown.value, shown.unit, (ebi_kind)kind, &back), "kind %d", kind);
    ck_assert_msg(fabs(back - si) < 1e-14, "kind %d: %.17g", kind, back);
    ck_assert_ptr_nonnull(ebi_kind_name((ebi_kind)kind));
    ck_assert_ptr_nonnull(ebi_kind_units((ebi_kind)kind));
  }
  ebi_shown flow = ebi_quantity_show(0.0315, EBI_FLOW);
  ck_assert_str_eq(flow.unit, "l/s");
  ck_assert_double_eq_tol(flow.value, 31.5, 1e-12);
  double si = -5.0;
  ck_assert(!ebi_unit_to_si(1.0, "Pa", EBI_FLOW, &si));
  ck_assert(si == -5.0);
}
END_TEST

Suite *suite_quantity(void) {
  Suite *suite = suite_create("quantity");
  TCase *cases = tcase_create("quantity");
  tcase_add_test(cases, factors_are_exact);
  tcase_add_test(cases, factors_are_near);
  tcase_add_test(cases, faults);
  tcase_add_test(cases, shown_values_read_back);
  suite_add_tcase(suite, cases);
  return suite;
}
