#include "ducts_sizes.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "json.h"
#include "output.h"
#include "sheets.h"

/* ---- Text ---- */

static void duct_cell(cli_sheet *sheet, const char *indent, const char *duct, int parallel) {
  if (!*duct)
    sheet_cell(sheet, "none");
  else if (parallel > 1)
    sheet_cell(sheet, "%s%d x %s", indent, parallel, duct);
  else
    sheet_cell(sheet, "%s%s", indent, duct);
}

static void signed_cell(cli_sheet *sheet, double value, int decimals) {
  double least = 0.5 * pow(10, -decimals);
  if (isnan(value))
    sheet_cell(sheet, "-");
  else
    sheet_cell(sheet, "%+.*f", decimals, fabs(value) < least ? 0.0 : value);
}

static void other_cells(cli_sheet *sheet, const cli_units *units, const eb_other_size *other) {
  const cli_unit *pressure = &units->pressure;
  duct_cell(sheet, "", other->duct, other->parallel);
  if (!*other->duct) {
    for (int i = 0; i < 3; i++)
      sheet_skip(sheet);
    return;
  }
  signed_cell(sheet, other->money, 2);
  signed_cell(sheet, unit_value(pressure, other->pressure_pa), pressure->decimals);
  signed_cell(sheet, other->sound_db, 1);
}

static void heads(cli_sheet *sheet, const cli_units *units, const char *money) {
  static const char *const which[] = {"smaller", "larger"};
  sheet_cell(sheet, "Sizes chosen");
  sheet_cell(sheet, "duct");
  sheet_cell(sheet, "%s", money);
  for (int i = 0; i < 2; i++) {
    sheet_cell(sheet, "%s", which[i]);
    sheet_cell(sheet, "%s", money);
    sheet_cell(sheet, "%s", units->pressure.name);
    sheet_cell(sheet, "dB");
  }
}

/* Neighbours that a limit rules out, under the table. */
static void limits_text(const eb_sizes *sizes, FILE *out) {
  for (size_t i = 0; i < sizes->n_runs; i++) {
    const eb_sized_run *run = &sizes->runs[i];
    const eb_other_size *others[] = {&run->smaller, &run->larger};
    for (int o = 0; o < 2; o++)
      if (*others[o]->against)
        fprintf(out, "  %s: %s is against the limit: %s\n", run->run, others[o]->duct,
                others[o]->against);
  }
}

static const char *money_of(const eb_sizes *sizes) {
  return *sizes->currency ? sizes->currency : "money";
}

cli_sheet *ducts_sizes_sheet(const cli_units *units, const eb_sizes *sizes) {
  cli_sheet *sheet = sheet_new("llrlrrrlrrr");
  heads(sheet, units, money_of(sizes));
  for (size_t i = 0; i < sizes->n_runs; i++) {
    const eb_sized_run *run = &sizes->runs[i];
    sheet_cell(sheet, "  %s", run->run);
    duct_cell(sheet, "", run->duct, run->parallel);
    sheet_cell(sheet, "%.2f", run->price);
    other_cells(sheet, units, &run->smaller);
    other_cells(sheet, units, &run->larger);
  }
  return sheet;
}

bool sizes_text(const cli_units *units, const eb_sizes *sizes, FILE *out) {
  if (!sizes)
    return true;
  bool good = sheet_finish(ducts_sizes_sheet(units, sizes), out);
  limits_text(sizes, out);
  fprintf(out, "  by %s: parts %.2f and electricity %.2f %s", sizes->method, sizes->parts_cost,
          sizes->energy_cost, money_of(sizes));
  if (isfinite(sizes->frozen_bound))
    fprintf(out, "; exact with neighbours frozen %.2f", sizes->frozen_bound);
  fputc('\n', out);
  return good;
}

/* ---- JSON ---- */

static json_t *other_json(const eb_other_size *other) {
  if (!*other->duct)
    return json_null();
  json_t *object = json_object();
  json_put_text(object, "duct", other->duct);
  json_put(object, "parallel", json_integer(other->parallel));
  json_put_number(object, "money", other->money);
  json_put_number(object, "pressure_pa", other->pressure_pa);
  json_put_number(object, "sound_db", other->sound_db);
  json_put_text(object, "against", *other->against ? other->against : NULL);
  return object;
}

json_t *sizes_json(const eb_sizes *sizes) {
  if (!sizes)
    return json_null();
  json_t *object = json_object(), *runs = json_array();
  json_put_text(object, "method", sizes->method);
  json_put_text(object, "currency", *sizes->currency ? sizes->currency : NULL);
  json_put_number(object, "parts_cost", sizes->parts_cost);
  json_put_number(object, "energy_cost", sizes->energy_cost);
  json_put_number(object, "frozen_bound", sizes->frozen_bound);
  json_put_number(object, "money_per_pa_supply", sizes->money_per_pa[0]);
  json_put_number(object, "money_per_pa_extract", sizes->money_per_pa[1]);
  for (size_t i = 0; i < sizes->n_runs; i++) {
    const eb_sized_run *run = &sizes->runs[i];
    json_t *one = json_object();
    json_put_text(one, "run", run->run);
    json_put_text(one, "duct", run->duct);
    json_put(one, "parallel", json_integer(run->parallel));
    json_put_number(one, "price", run->price);
    json_put(one, "smaller", other_json(&run->smaller));
    json_put(one, "larger", other_json(&run->larger));
    json_add(runs, one);
  }
  json_put(object, "runs", runs);
  return object;
}

/* ---- Into the house's file ---- */

static bool reads_again(const cli_run *run, const char *bytes, size_t length) {
  eb_context *context = eb_context_new(NULL);
  eb_house *house = NULL;
  eb_status status = context ? EB_OK : EB_E_MEMORY;
  for (size_t i = run->options->n_tables; !status && i-- > 0;)
    status = eb_tables_search(context, run->options->tables[i]);
  eb_read_options read = {.size = sizeof read};
  if (!status)
    status = eb_house_read(context, run->path, bytes, length, &read, &house);
  if (!status)
    eb_house_free(house);
  eb_context_free(context);
  return status == EB_OK;
}

static eb_status put_out(const cli_run *run, const char *path, const char *bytes, size_t length) {
  cli_output output;
  if (!reads_again(run, bytes, length)) {
    fprintf(stderr,
            "evenbreath: %s is not written: with the sizes chosen it would not read again, since "
            "one of them goes by no name of the tables\n",
            path);
    return EB_E_INPUT;
  }
  if (!output_open(&output))
    return EB_E_MEMORY;
  if (fwrite(bytes, 1, length, output.stream) != length) {
    output_drop(&output);
    return EB_E_MEMORY;
  }
  return output_close(&output, path) ? EB_OK : EB_E_FILE;
}

eb_status sizes_write(const cli_run *run, const char *path) {
  const eb_sizes *sizes = run->ducts->sizes;
  size_t count = sizes ? sizes->n_runs : 0, length = 0;
  const char *bytes = NULL;
  eb_written *changes = calloc(count + 1, sizeof *changes);
  if (!changes)
    return EB_E_MEMORY;
  for (size_t i = 0; i < count; i++)
    changes[i] = (eb_written){.run = sizes->runs[i].run,
                              .duct = sizes->runs[i].duct,
                              .parallel = sizes->runs[i].parallel};
  eb_status status = eb_house_write(run->context, run->house, changes, count, &bytes, &length);
  free(changes);
  return status ? status : put_out(run, path, bytes, length);
}
