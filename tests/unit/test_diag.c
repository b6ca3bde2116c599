/* test_diag.c - diagnostics and the ledger */

#include <string.h>

#include "base/context.h"
#include "base/ledger.h"
#include "suites.h"

START_TEST(a_diagnostic_keeps_copies) {
  eb_context *context = eb_context_new(NULL);
  char file[] = "house.yaml", code[] = "unit-missing";
  ebi_diag(context, EB_WARNING, code, (ebi_where){file, 17, 5}, NULL, "%s is %g", "area", 2.5);
  ebi_diag(context, EB_ERROR, "odd", (ebi_where){NULL, 4, 4}, "a book, p. 3", "plain");
  memset(file, 'x', sizeof file - 1);
  memset(code, 'x', sizeof code - 1);
  size_t count;
  const eb_diagnostic *list = eb_diagnostics(context, &count);
  ck_assert_uint_eq(count, 2);
  ck_assert_int_eq(list[0].severity, EB_WARNING);
  ck_assert_str_eq(list[0].code, "unit-missing");
  ck_assert_str_eq(list[0].message, "area is 2.5");
  ck_assert_str_eq(list[0].file, "house.yaml");
  ck_assert_int_eq(list[0].line, 17);
  ck_assert_int_eq(list[0].column, 5);
  ck_assert_ptr_null(list[0].source);
  ck_assert_str_eq(list[1].source, "a book, p. 3");
  ck_assert_ptr_null(list[1].file);
  ck_assert_int_eq(list[1].line, 0);
  ck_assert_uint_eq(ebi_diag_errors(context), 1);
  eb_diagnostics_clear(context);
  eb_diagnostics(context, &count);
  ck_assert_uint_eq(count, 0);
  ck_assert_uint_eq(ebi_diag_errors(context), 0);
  eb_context_free(context);
}
END_TEST

START_TEST(errors_end_at_their_limit) {
  eb_context *context = eb_context_new(NULL);
  for (int i = 0; i < EBI_DIAG_MAX; i++)
    ebi_diag(context, EB_ERROR, "odd", (ebi_where){"a", i + 1, 1}, NULL, "number %d", i);
  size_t count;
  eb_diagnostics(context, &count);
  ck_assert_uint_eq(count, EBI_DIAG_MAX);
  for (int i = 0; i < 57; i++)
    ebi_diag(context, EB_ERROR, "odd", (ebi_where){"a", i + 1, 1}, NULL, "beyond %d", i);
  ebi_diag(context, EB_NOTE, "also", (ebi_where){"a", 1, 1}, NULL, "a note still comes");
  const eb_diagnostic *list = eb_diagnostics(context, &count);
  ck_assert_uint_eq(count, EBI_DIAG_MAX + 2);
  ck_assert_str_eq(list[EBI_DIAG_MAX - 1].message, "number 99");
  ck_assert_str_eq(list[EBI_DIAG_MAX].code, "too-many-errors");
  ck_assert_str_eq(list[EBI_DIAG_MAX + 1].code, "also");
  ck_assert_uint_eq(ebi_diag_errors(context), EBI_DIAG_MAX + 57);
  eb_context_free(context);
}
END_TEST

START_TEST(a_ledger_tells_how) {
  eb_context *context = eb_context_new(NULL);
  eb_ledger *ledger = eb_ledger_new(context);
  ebi_step area =
      ebi_ledger_input(ledger, (ebi_where){"h.yaml", 8, 3}, 77.3, EBI_AREA, "%s area", "floor");
  const ebi_cite cite = {"england-2021/floor-area", "AD F vol 1, table 1.3", "read"};
  const ebi_step inputs[] = {area, EBI_NO_STEP, 4711};
  ebi_step flow =
      ebi_ledger_step(ledger, EBI_F_INPUT, &cite, 0.02319, EBI_FLOW, inputs, 3, "whole dwelling");
  ebi_step last = ebi_ledger_step(ledger, EBI_F_INPUT, NULL, 0.5, EBI_RATIO, &flow, 1, "half");
  ck_assert_uint_eq(eb_ledger_count(ledger), 3);
  eb_step step = eb_ledger_step(ledger, area);
  ck_assert_str_eq(step.id, "input");
  ck_assert_str_eq(step.what, "floor area");
  ck_assert_str_eq(step.unit, "m2");
  ck_assert(step.value == 77.3);
  ck_assert_str_eq(step.file, "h.yaml");
  ck_assert_int_eq(step.line, 8);
  step = eb_ledger_step(ledger, flow);
  ck_assert_str_eq(step.id, "england-2021/floor-area");
  ck_assert_str_eq(step.source, "AD F vol 1, table 1.3");
  ck_assert_str_eq(step.known, "read");
  ck_assert_double_eq_tol(step.value, 23.19, 1e-12);
  ck_assert_str_eq(step.unit, "l/s");
  ck_assert_uint_eq(step.n_inputs, 1);
  ck_assert_uint_eq(step.inputs[0], area);
  ck_assert_ptr_null(step.file);
  step = eb_ledger_step(ledger, last);
  ck_assert_double_eq_tol(step.value, 50.0, 1e-12);
  ck_assert_uint_eq(step.inputs[0], flow);
  ck_assert_int_eq(ebi_ledger_status(ledger), EB_OK);
  step = eb_ledger_step(ledger, 3);
  ck_assert_str_eq(step.id, "");
  eb_ledger_free(ledger);
  eb_context_free(context);
}
END_TEST

START_TEST(no_ledger_costs_nothing) {
  ck_assert(ebi_ledger_input(NULL, (ebi_where){NULL, 0, 0}, 1.0, EBI_FLOW, "x") == EBI_NO_STEP);
  ck_assert(ebi_ledger_step(NULL, EBI_F_INPUT, NULL, 1.0, EBI_FLOW, NULL, 0, "x") == EBI_NO_STEP);
  ck_assert_int_eq(ebi_ledger_status(NULL), EB_OK);
  ck_assert_uint_eq(eb_ledger_count(NULL), 0);
  eb_ledger_free(NULL);
}
END_TEST

/* Definitions and what the rules say hold everywhere. */
static bool has_no_range(const eb_formula *info) {
  return strncmp(info->source, "definition", strlen("definition")) == 0 ||
         strcmp(info->source, "the rule") == 0;
}

/* No two formulas share a name, and each says where it is from and where it holds. */
START_TEST(the_catalogue_is_complete) {
  for (int i = 0; i < EBI_FORMULA_COUNT; i++) {
    const eb_formula *info = ebi_formula_get((ebi_formula)i);
    ck_assert(info->id != NULL && info->id[0] != '\0');
    static const char *const known[] = {"read", "quoted", "memory", "computed", "invented"};
    size_t k = 0;
    while (k < 5 && strcmp(info->known, known[k]) != 0)
      k++;
    ck_assert_msg(k < 5, "%s is known by '%s'", info->id, info->known);
    if (i != EBI_F_INPUT)
      ck_assert_msg(info->formula[0] != '\0' && info->source[0] != '\0' && info->group[0] != '\0' &&
                        (info->validity[0] != '\0' || has_no_range(info)),
                    "%s", info->id);
    for (int j = 0; j < i; j++)
      ck_assert_str_ne(info->id, ebi_formula_get((ebi_formula)j)->id);
  }
}
END_TEST

START_TEST(the_formulas_are_listed) {
  size_t count;
  const eb_formula *formulas = eb_formulas(&count);
  ck_assert_uint_eq(count, EBI_FORMULA_COUNT - 1);
  for (size_t i = 0; i < count; i++)
    ck_assert_ptr_eq(&formulas[i], ebi_formula_get((ebi_formula)(i + 1)));
}
END_TEST

Suite *suite_diag(void) {
  Suite *suite = suite_create("diag");
  TCase *cases = tcase_create("diag");
  tcase_add_test(cases, a_diagnostic_keeps_copies);
  tcase_add_test(cases, errors_end_at_their_limit);
  tcase_add_test(cases, a_ledger_tells_how);
  tcase_add_test(cases, no_ledger_costs_nothing);
  tcase_add_test(cases, the_catalogue_is_complete);
  tcase_add_test(cases, the_formulas_are_listed);
  suite_add_tcase(suite, cases);
  return suite;
}
