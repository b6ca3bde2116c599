/* tables_help.c - a folder of tables of a test's own, and how to ask for one */

#include "tables_help.h"

#include <check.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static bool start(tables_desk *desk, const eb_allocator *allocator, const char *folder) {
  desk->context = eb_context_new(allocator);
  if (desk->context == NULL || eb_tables_search(desk->context, folder) != EB_OK)
    return false;
  ebi_arena *arena = ebi_context_arena(desk->context);
  snprintf(desk->house, sizeof desk->house, "%.70s/house.yaml", folder);
  desk->reader = (ebi_reader){desk->context, arena, desk->house, NULL};
  return arena != NULL;
}

bool tables_desk_start(tables_desk *desk, const eb_allocator *allocator) {
  strcpy(desk->folder, "/tmp/eb-tables-XXXXXX");
  ck_assert_ptr_nonnull(mkdtemp(desk->folder));
  return start(desk, allocator, desk->folder);
}

bool tables_desk_shipped(tables_desk *desk, const eb_allocator *allocator) {
  char folder[1024];
  const char *source = getenv("srcdir");
  snprintf(folder, sizeof folder, "%s/tables", source ? source : ".");
  desk->folder[0] = '\0';
  return start(desk, allocator, folder);
}

/* The folder and what is in it, two folders deep. */
static void remove_all(const char *folder) {
  char path[512];
  DIR *list = opendir(folder);
  for (struct dirent *entry; list != NULL && (entry = readdir(list)) != NULL;) {
    snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
    if (strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0 && unlink(path) != 0)
      remove_all(path);
  }
  if (list != NULL)
    closedir(list);
  rmdir(folder);
}

void tables_desk_end(tables_desk *desk) {
  eb_context_free(desk->context);
  desk->context = NULL;
  if (desk->folder[0] != '\0')
    remove_all(desk->folder);
}

void tables_write(tables_desk *desk, const char *path, const char *text) {
  char full[256];
  const char *slash = strrchr(path, '/');
  if (slash != NULL) {
    snprintf(full, sizeof full, "%s/%.*s", desk->folder, (int)(slash - path), path);
    mkdir(full, 0777);
  }
  snprintf(full, sizeof full, "%s/%s", desk->folder, path);
  FILE *file = fopen(full, "w");
  ck_assert_ptr_nonnull(file);
  ck_assert_int_ge(fputs(text, file), 0);
  ck_assert_int_eq(fclose(file), 0);
}

void tables_remove(tables_desk *desk, const char *path) {
  char full[256];
  snprintf(full, sizeof full, "%s/%s", desk->folder, path);
  ck_assert_int_eq(unlink(full), 0);
}

ebi_yaml tables_value(const tables_desk *desk, const char *text) {
  return (ebi_yaml){
      .kind = EBI_YAML_SCALAR, .where = {desk->house, 3, 7}, .text = text, .length = strlen(text)};
}

const ebi_fitting *tables_fitting(tables_desk *desk, const char *name) {
  ebi_yaml value = tables_value(desk, name);
  return ebi_fitting_load(&desk->reader, &value);
}

const ebi_valve *tables_valve(tables_desk *desk, const char *name) {
  ebi_yaml value = tables_value(desk, name);
  return ebi_valve_load(&desk->reader, &value);
}

const ebi_unit *tables_unit(tables_desk *desk, const char *name) {
  ebi_yaml value = tables_value(desk, name);
  return ebi_unit_load(&desk->reader, &value);
}

ebi_run tables_duct(tables_desk *desk, const char *name) {
  ebi_yaml value = tables_value(desk, name);
  ebi_run run = {.name = "run"};
  ebi_duct_read(&desk->reader, &value, &run);
  return run;
}

bool tables_load(tables_desk *desk, const char *kind, const char *name) {
  ebi_yaml value = tables_value(desk, name);
  if (strcmp(kind, "ducts") == 0) {
    ebi_run run = tables_duct(desk, name);
    return run.sized || run.duct_family[0] != '\0';
  }
  if (strcmp(kind, "fittings") == 0)
    return tables_fitting(desk, name) != NULL;
  if (strcmp(kind, "valves") == 0)
    return tables_valve(desk, name) != NULL;
  if (strcmp(kind, "units") == 0)
    return tables_unit(desk, name) != NULL;
  if (strcmp(kind, "rules") == 0)
    return ebi_rules_load(&desk->reader, &value) != NULL;
  if (strcmp(kind, "climates") == 0)
    return ebi_climate_load(&desk->reader, &value) != NULL;
  ck_assert_str_eq(kind, "baselines");
  return ebi_baseline_load(&desk->reader, &value) != NULL;
}

const eb_diagnostic *tables_said(const tables_desk *desk, const char *code) {
  size_t count;
  const eb_diagnostic *all = eb_diagnostics(desk->context, &count);
  for (size_t i = 0; i < count; i++)
    if (strcmp(all[i].code, code) == 0)
      return &all[i];
  return NULL;
}

const ebi_yaml *tables_mapping(tables_desk *desk, const char *text) {
  ebi_document document = {0};
  eb_status status = ebi_document_parse(desk->context, desk->reader.arena, desk->house, text,
                                        strlen(text), &document);
  ck_assert_int_eq(status, EB_OK);
  return document.root;
}
