/* new.c - evenbreath new: a house file to begin with */

#include <string.h>

#include "command.h"
#include "findings.h"
#include "output.h"

/* Areas of rooms nobody has measured yet [m2]: invented, of the usual size. */
typedef struct plan_room {
  char name[48], use[32], area[32];
  int storey;
} plan_room;

enum { ROOMS_AT_MOST = 64 };

typedef struct house_plan {
  const char *name, *rules;
  int bedrooms, storeys;
  plan_room rooms[ROOMS_AT_MOST];
  size_t n_rooms;
} house_plan;

/* ---- Rooms ---- */

/* "bed-2" is a bedroom, "bath" a bathroom, "living" a living room. */
static void guess_use(plan_room *room) {
  size_t length = strcspn(room->name, "-_0123456789");
  length = length < sizeof room->use ? length : sizeof room->use - 1;
  memcpy(room->use, room->name, length);
  room->use[length] = '\0';
  if (strcmp(room->use, "bed") == 0)
    strcpy(room->use, "bedroom");
  if (strcmp(room->use, "bath") == 0)
    strcpy(room->use, "bathroom");
}

static bool upstairs(const char *use) {
  return strcmp(use, "bedroom") == 0 || strcmp(use, "bathroom") == 0 ||
         strcmp(use, "landing") == 0 || strcmp(use, "study") == 0;
}

static plan_room *add_room(house_plan *plan, const char *name, const char *area) {
  if (plan->n_rooms == ROOMS_AT_MOST)
    return NULL;
  plan_room *room = &plan->rooms[plan->n_rooms++];
  snprintf(room->name, sizeof room->name, "%s", name);
  snprintf(room->area, sizeof room->area, "%s", area);
  guess_use(room);
  return room;
}

/* NAME=AREA or NAME:USE=AREA */
static bool take_room(house_plan *plan, const char *text) {
  char name[48], use[32] = "", area[32];
  if (sscanf(text, "%47[^=:]:%31[^=]=%31[^\n]", name, use, area) != 3) {
    use[0] = '\0';
    if (sscanf(text, "%47[^=:]=%31[^\n]", name, area) != 2) {
      fprintf(stderr, "evenbreath new: --room takes NAME=AREA, as in kitchen=13.5m2, not \"%s\"\n",
              text);
      return false;
    }
  }
  plan_room *room = add_room(plan, name, area);
  if (!room) {
    fprintf(stderr, "evenbreath new: at most %d rooms\n", ROOMS_AT_MOST);
    return false;
  }
  if (*use)
    snprintf(room->use, sizeof room->use, "%s", use);
  return true;
}

static void usual_rooms(house_plan *plan) {
  static const char *const bed_areas[] = {"13 m2", "11 m2", "9 m2", "8 m2"};
  add_room(plan, "living", "20 m2");
  add_room(plan, "kitchen", "13 m2");
  add_room(plan, "wc", "2 m2");
  add_room(plan, "hall", "6 m2");
  for (int i = 0; i < plan->bedrooms; i++) {
    char name[16];
    snprintf(name, sizeof name, "bed-%d", i + 1);
    add_room(plan, name, bed_areas[i < 3 ? i : 3]);
  }
  add_room(plan, "bath", "5 m2");
  if (plan->storeys > 1)
    add_room(plan, "landing", "6 m2");
}

/* Bedrooms and baths above, the rest below. */
static void place_rooms(house_plan *plan) {
  for (size_t i = 0; i < plan->n_rooms; i++)
    plan->rooms[i].storey = plan->storeys > 1 && upstairs(plan->rooms[i].use) ? 1 : 0;
}

/* ---- The file ---- */

static void write_room(const plan_room *room, FILE *out) {
  bool bedroom = strcmp(room->use, "bedroom") == 0;
  bool main_bedroom = bedroom && strcmp(room->name, "bed-1") == 0;
  fprintf(out, "  %s: {use: %s, area: %s, height: 2.4 m, storey: %d%s}\n", room->name, room->use,
          room->area, room->storey,
          main_bedroom ? ", sleepers: 2" : (bedroom ? ", sleepers: 1" : ""));
}

/* Text in double quotes as YAML reads it. */
static void write_quoted(const char *text, FILE *out) {
  fputc('"', out);
  for (; *text; text++) {
    if (*text == '"' || *text == '\\')
      fputc('\\', out);
    fputc(*text, out);
  }
  fputc('"', out);
}

static void write_head(const house_plan *plan, FILE *out) {
  fputs("# A house for evenbreath. Every value carries its unit: 22 m2, 30 l/s or 108 m3/h, 85 %.\n"
        "# Check it with `evenbreath check`, plan its air with `evenbreath rates`.\n\n"
        "dwelling: ",
        out);
  write_quoted(plan->name, out);
  fprintf(out,
          "\nrules: %s      # `evenbreath tables rules` lists the others\n"
          "bedrooms: %d\n"
          "people: %d\n"
          "# floor_area: 92 m2       # inside, all floors, halls and stairs included; without it\n"
          "#                         # the rooms below are added up\n",
          plan->rules, plan->bedrooms, plan->bedrooms > 0 ? plan->bedrooms + 1 : 1);
}

static void write_rest(FILE *out) {
  fputs(
      "\n# Gaps under doors let the air pass; say what is there and it is judged.\n"
      "# doors:\n"
      "#   - {between: [bed-1, landing], width: 762 mm, undercut: 10 mm, floor_finish: laid}\n"
      "\n# For `evenbreath energy`: where the house stands and how it holds its heat.\n"
      "# site: {climate: nottingham, altitude: 60 m, indoor: 20 C}\n"
      "# envelope: {heat_loss: 78 W/K, gains: 320 W, leakage: 1.0 ach}\n"
      "# baseline: trickle-vents\n"
      "\n# For `evenbreath ducts`: the unit and the runs, as examples/alder-row.yaml shows them.\n"
      "# unit: generic-unit-a\n"
      "# ducts:\n"
      "#   supply:\n"
      "#     - {run: s-living, from: unit, to: living, duct: steel-125, length: 6 m, valve: "
      "supply-valve-125}\n",
      out);
}

static void write_house(const house_plan *plan, FILE *out) {
  write_head(plan, out);
  fputs("\n# One line a room. `use:` is a word of the rules, or several for one open space:\n"
        "# [living, kitchen]. An inner room says outside_wall: no, openable_window: no.\n"
        "rooms:\n",
        out);
  for (size_t i = 0; i < plan->n_rooms; i++)
    write_room(&plan->rooms[i], out);
  write_rest(out);
}

/* What is written must be a house that `rates` can plan. */
static int prove(const cli_output *house) {
  eb_context *context = eb_context_new(NULL);
  eb_house *read;
  const eb_rates *rates;
  eb_status status = context ? EB_OK : EB_E_MEMORY;
  if (!status)
    status = eb_house_read(context, "new house", house->bytes, house->length, NULL, &read);
  if (!status)
    status = eb_rates_plan(context, read, NULL, NULL, &rates);
  if (status && context)
    findings_text(context, stderr);
  eb_context_free(context);
  return exit_of(status);
}

static int write_plan(const house_plan *plan, const char *file) {
  cli_output house;
  if (!output_open(&house))
    return EXIT_FAULT;
  write_house(plan, house.stream);
  int status = fflush(house.stream) == 0 ? prove(&house) : EXIT_FAULT;
  if (status) {
    output_drop(&house);
    return status;
  }
  return output_close(&house, file) ? EXIT_DONE : EXIT_FILE;
}

static int run(const cli_options *options) {
  house_plan plan = {.name = options->name ? options->name : "My house",
                     .rules = options->rules ? options->rules : "england-2021",
                     .bedrooms = options->bedrooms,
                     .storeys = options->storeys};
  if (options->n_files > 0) {
    fprintf(stderr, "evenbreath new: \"%s\" is not an option; -o FILE names the file\n",
            options->files[0]);
    return EXIT_USAGE;
  }
  for (size_t i = 0; i < options->n_rooms; i++)
    if (!take_room(&plan, options->rooms[i]))
      return EXIT_USAGE;
  if (!plan.n_rooms)
    usual_rooms(&plan);
  place_rooms(&plan);
  return write_plan(&plan, options->output);
}

const cli_command command_new = {
    .name = "new",
    .files = "",
    .summary = "write a house file to begin with",
    .help = "Writes a house file to begin with: commented, and complete enough for `rates` at\n"
            "once. Without --room it holds usual rooms with usual areas; put the measured ones in.",
    .examples = "evenbreath new --bedrooms 2 --storeys 1 -o flat.yaml\n"
                "evenbreath new --room kitchen=13.5m2 --room snug:living=9m2 -o snug.yaml\n",
    .run = run,
};
