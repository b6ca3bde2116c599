/* balance_bench.c - rounds, readings and moves until a house is balanced, by model and by hand
 *
 *   balance_bench [-h HOUSES] [-l branched|radial] [-n NOISE] [-b BIAS] [-f FAULT] [-t TABLES]
 *
 * 200 houses, both layouts, noise of 2, 3 and 5 %, bias of 0 and 3 % where nothing else is said;
 * a fault by its number, at 2 % and without bias. TABLES has rules/by-chance.yaml.
 *
 * Houses by chance (balance_truth.c) are balanced twice with the same instrument: by
 * what `balance` advises after each full round, and by proportional balancing as the
 * textbook has it. Told are rounds, readings and valve moves until each is declared
 * done, and whether the house is truly within 10 % at each terminal and 5 % in both
 * totals then. Not part of make check. */

#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "balance_truth.h"
#include "evenbreath.h"

#define ROUNDS_MOST 8
#define ROUNDS_OF_A_FAULT 2 /* it is not mended: what matters is that it is named, not passed */
#define READINGS_MOST 5
#define ROOM 0.10
#define SYSTEM 0.05

typedef struct outcome {
  bool declared, cannot, good, suspect, named;
  int rounds, readings, moves;
} outcome;

static double seconds_advising;
static long advices;

static double now(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* ---- In truth ---- */

static bool truly_good(truth *house, const truth_setting *setting) {
  double flow[SIDES][TERMINALS_MOST], wind = house->wind;
  bool good = true;
  house->wind = 0.0;
  truth_flows(house, setting, -1, -1, flow);
  house->wind = wind;
  for (int s = 0; s < SIDES; s++) {
    double total = 0.0, design = 0.0;
    for (int i = 0; i < house->side[s].n_terminals; i++) {
      double wanted = house->side[s].terminal[i].design;
      good = good && fabs(flow[s][i] / wanted - 1.0) <= ROOM;
      total += flow[s][i];
      design += wanted;
    }
    good = good && fabs(total / design - 1.0) <= SYSTEM;
  }
  return good;
}

/* ---- Is what it says of itself true? ---- */

/* Over all rounds of a setting. */
typedef struct calibration {
  double squares, total_squares; /* of (found - true)/stated deviation */
  long flows, totals;
  double promised[10]; /* sums of stated probabilities, by tenths */
  long rounds[10], kept[10];
} calibration;

static calibration calibrated;

static int run_number(const char *run, int *side) {
  *side = run[1] == 's' ? SUPPLY : EXTRACT;
  return atoi(run + 2);
}

static void note_calibration(truth *house, const eb_balance *advice, const truth_setting *stands) {
  double flow[SIDES][TERMINALS_MOST], wind = house->wind, sum[SIDES] = {0.0};
  house->wind = 0.0;
  truth_flows(house, stands, -1, -1, flow);
  house->wind = wind;
  for (size_t i = 0; i < advice->n_terminals; i++) {
    const eb_balance_terminal *t = &advice->terminals[i];
    int s, number = run_number(t->run, &s);
    double off = (1e3 * t->now_m3_s - flow[s][number]) / (1e3 * t->now_error_m3_s / 1.96);
    calibrated.squares += off * off;
    calibrated.flows++;
    sum[s] += 1e3 * t->now_m3_s - flow[s][number];
  }
  int tenth = (int)fmin(10.0 * advice->status.probability, 9.0);
  calibrated.promised[tenth] += advice->status.probability;
  calibrated.rounds[tenth]++;
  calibrated.kept[tenth] += truly_good(house, stands);
  for (int s = 0; s < SIDES; s++) {
    calibrated.total_squares += sum[s] * sum[s];
    calibrated.totals++;
  }
}

static void report_calibration(void) {
  const calibration *c = &calibrated;
  printf("  flows as found are off by %.2f of their stated deviations (rms); totals by %.2f l/s\n"
         "  probability said / kept:",
         sqrt(c->squares / (double)c->flows), sqrt(c->total_squares / (double)c->totals));
  for (int i = 0; i < 10; i++)
    if (c->rounds[i] > 0)
      printf(" %.0f/%.0f %% (%ld)", 100.0 * c->promised[i] / (double)c->rounds[i],
             100.0 * (double)c->kept[i] / (double)c->rounds[i], c->rounds[i]);
  printf("\n");
  calibrated = (calibration){0};
}

/* ---- By model ---- */

/* All rounds so far, as the file that would be typed. */
typedef struct visit {
  char *text;
  size_t length, room;
} visit;

static void append(visit *v, const char *format, ...) __attribute__((format(printf, 2, 3)));
static void append(visit *v, const char *format, ...) {
  if (v->room - v->length < 512) {
    v->room = 2 * v->room + 4096;
    v->text = realloc(v->text, v->room);
    if (v->text == NULL)
      exit(6);
  }
  va_list arguments;
  va_start(arguments, format);
  v->length += (size_t)vsnprintf(v->text + v->length, v->room - v->length, format, arguments);
  va_end(arguments);
}

static void begin_visit(visit *v, const truth *house, double bias) {
  append(
      v,
      "house: house.yaml\ninstrument: {name: a hood, bias: %.3f %%, repeat: %.3f %%, floor: 0.12 "
      "l/s, drop: %.1f Pa at 20 l/s}\nrounds:\n",
      196.0 * bias, 196.0 * house->noise, house->hood * 400.0);
}

/* A slip of a person who reads is made once, in the first round. */
static void slip(const truth *house, double read[SIDES][TERMINALS_MOST]) {
  double *first = &read[SUPPLY][house->faulty], *other = &read[SUPPLY][house->other], kept = *first;
  if (house->fault == FAULT_SWAPPED) {
    *first = *other;
    *other = kept;
  }
  if (house->fault == FAULT_CUBIC_METRES)
    *first *= 3.6;
  if (house->fault == FAULT_CUBIC_FEET)
    *first *= 2.11888;
  if (house->fault == FAULT_HOOD_LEAK)
    *first *= 0.85;
}

static bool is_slip(fault f) {
  return f == FAULT_SWAPPED || f == FAULT_CUBIC_METRES || f == FAULT_CUBIC_FEET ||
         f == FAULT_HOOD_LEAK;
}

/* So often each terminal; all that was read is written. Returns how many readings. */
static int read_round(visit *v, truth *house, const truth_setting *asked,
                      const truth_setting *stands, bool first, int times) {
  double read[READINGS_MOST][SIDES][TERMINALS_MOST];
  int count = 0;
  append(v, "  - level: normal\n    fans: {supply: %.0f %%, extract: %.0f %%}\n    valves: {",
         asked->signal[SUPPLY], asked->signal[EXTRACT]);
  for (int s = 0; s < SIDES; s++)
    for (int i = 0; i < house->side[s].n_terminals; i++) {
      append(v, "%sr%c%d: %.3f %%", count++ ? ", " : "", "se"[s], i,
             100.0 * asked -> opening[s][i]);
      for (int n = 0; n < times; n++)
        read[n][s][i] = truth_read(house, stands, s, i);
    }
  for (int n = 0; first && n < times; n++)
    slip(house, read[n]);
  append(v, "}\n    flows: {");
  count = 0;
  for (int s = 0; s < SIDES; s++)
    for (int i = 0; i < house->side[s].n_terminals; i++) {
      append(v, "%sr%c%d: [", count++ ? ", " : "", "se"[s], i);
      for (int n = 0; n < times; n++)
        append(v, "%s%.1f l/s", n ? ", " : "", read[n][s][i]);
      append(v, "]");
    }
  append(v, "}\n");
  return count * times;
}

/* A valve that need not move is not touched. */
static int take_advice(truth *house, const eb_balance *advice, truth_setting *asked,
                       truth_setting *stands) {
  int moves = 0;
  for (size_t i = 0; i < advice->n_terminals; i++) {
    const eb_balance_terminal *t = &advice->terminals[i];
    int s, number = run_number(t->run, &s);
    double opening = t->next_opening / 100.0;
    bool first = advice->status.verdict == EB_VERDICT_FIRST_SETTINGS;
    if (!first && !t->move)
      continue;
    asked->opening[s][number] = opening;
    stands->opening[s][number] = truth_hand(house, opening);
    moves++;
  }
  for (size_t l = 0; l < advice->n_levels; l++)
    if (strcmp(advice->levels[l].name, "normal") == 0) {
      asked->signal[SUPPLY] = stands->signal[SUPPLY] = 100.0 * advice->levels[l].supply_signal;
      asked->signal[EXTRACT] = stands->signal[EXTRACT] = 100.0 * advice->levels[l].extract_signal;
    }
  return moves;
}

static void complain(eb_context *context, const char *what) {
  size_t count;
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  fprintf(stderr, "%s\n", what);
  for (size_t i = 0; i < count; i++)
    if (all[i].severity == EB_ERROR)
      fprintf(stderr, "  %s:%d: %s\n", all[i].file, all[i].line, all[i].message);
}

static eb_status advise(eb_context *context, const eb_house *house, const eb_rates *rates,
                        const visit *v, const eb_balance **advice) {
  eb_readings *readings = NULL;
  eb_status status = EB_OK;
  if (v != NULL)
    status = eb_readings_read(context, house, "visit.yaml", v->text, v->length, &readings);
  double start = now();
  if (status == EB_OK)
    status = eb_balance_advise(context, house, rates, readings, NULL, NULL, advice);
  seconds_advising += now() - start;
  advices++;
  return status;
}

static void note_suspects(const truth *house, const eb_balance *advice, outcome *out) {
  out->suspect = out->suspect || advice->n_suspects > 0;
  if (advice->n_suspects == 0)
    return;
  char run[16], other[16];
  snprintf(run, sizeof run, "rs%d", house->faulty);
  snprintf(other, sizeof other, "rs%d", house->other);
  const eb_suspect *first = &advice->suspects[0];
  bool place = strcmp(first->run, run) == 0 ||
               (house->fault == FAULT_SWAPPED &&
                (strcmp(first->run, other) == 0 || strcmp(first->other, run) == 0));
  if (house->fault == FAULT_FROST)
    place = strcmp(first->run, "supply fan") == 0;
  out->named = out->named || place;
}

static outcome by_model(truth *house, double bias, const char *rules) {
  outcome out = {0};
  bool mended = house->fault == FAULT_NONE || is_slip(house->fault);
  int rounds_most = mended ? ROUNDS_MOST : ROUNDS_OF_A_FAULT;
  visit v = {0}, text = {0};
  truth_setting asked = {0}, stands = {0};
  int times = 1; /* the first round, before the program knows the instrument */
  eb_context *context = eb_context_new(NULL);
  eb_house *drawn = NULL;
  const eb_rates *rates = NULL;
  const eb_balance *advice = NULL;
  FILE *file = open_memstream(&text.text, &text.length);
  truth_write_house(house, file);
  fclose(file);
  eb_status status = eb_tables_search(context, rules);
  if (status == EB_OK)
    status = eb_house_read(context, "house.yaml", text.text, text.length, NULL, &drawn);
  if (status == EB_OK)
    status = eb_rates_plan(context, drawn, NULL, NULL, &rates);
  if (status == EB_OK)
    status = advise(context, drawn, rates, NULL, &advice);
  if (status == EB_OK)
    (void)take_advice(house, advice, &asked, &stands);
  begin_visit(&v, house, bias);
  while (status == EB_OK && out.rounds < rounds_most && !out.declared) {
    out.readings += read_round(&v, house, &asked, &stands, out.rounds == 0, times);
    out.rounds++;
    eb_balance_free(advice);
    advice = NULL;
    status = advise(context, drawn, rates, &v, &advice);
    if (status != EB_OK)
      break;
    note_calibration(house, advice, &stands);
    if (house->fault == FAULT_NONE || out.rounds <= ROUNDS_OF_A_FAULT)
      note_suspects(house, advice, &out);
    times = (int)fmin((double)advice->readings_each, READINGS_MOST);
    out.cannot = advice->status.verdict == EB_VERDICT_CANNOT_BE_DECLARED;
    out.declared = advice->status.verdict == EB_VERDICT_DONE;
    if (out.declared || out.cannot)
      break;
    out.moves += take_advice(house, advice, &asked, &stands);
  }
  if (status != EB_OK)
    complain(context, eb_status_text(status));
  out.good = truly_good(house, &stands);
  eb_context_free(context);
  free(v.text);
  free(text.text);
  return out;
}

/* ---- By hand: proportional balancing ---- */

/* Reads a terminal over its design. */
static double ratio(truth *house, const truth_setting *stands, int s, int i, outcome *out) {
  out->readings++;
  return truth_read(house, stands, s, i) / house->side[s].terminal[i].design;
}

static void sort_by_ratio(int *order, const double *ratios, int count) {
  for (int i = 0; i < count; i++)
    order[i] = i;
  for (int i = 1; i < count; i++) {
    int moving = order[i], at = i;
    for (; at > 0 && ratios[order[at - 1]] > ratios[moving]; at--)
      order[at] = order[at - 1];
    order[at] = moving;
  }
}

/* Throttles a terminal to the reference's ratio; each try reads both anew. */
static void match(truth *house, truth_setting *stands, int s, int i, int reference, double within,
                  int tries, outcome *out) {
  for (int n = 0; n < tries; n++) {
    double own = ratio(house, stands, s, i, out), wanted = ratio(house, stands, s, reference, out);
    if (fabs(own / wanted - 1.0) <= within || !(own > 0.0))
      return;
    double next = stands->opening[s][i] * pow(wanted / own, 1.3);
    stands->opening[s][i] = truth_hand(house, fmin(fmax(next, 0.02), 1.0));
    out->moves++;
  }
}

static double side_ratio(truth *house, const truth_setting *stands, int s, double *ratios,
                         outcome *out) {
  double total = 0.0, design = 0.0;
  for (int i = 0; i < house->side[s].n_terminals; i++) {
    ratios[i] = ratio(house, stands, s, i, out);
    total += ratios[i] * house->side[s].terminal[i].design;
    design += house->side[s].terminal[i].design;
  }
  return total / design;
}

static bool all_read_good(truth *house, const truth_setting *stands, outcome *out) {
  bool good = true;
  for (int s = 0; s < SIDES; s++) {
    double ratios[TERMINALS_MOST];
    double total = side_ratio(house, stands, s, ratios, out);
    good = good && fabs(total - 1.0) <= SYSTEM;
    for (int i = 0; i < house->side[s].n_terminals; i++)
      good = good && fabs(ratios[i] - 1.0) <= ROOM;
  }
  return good;
}

static outcome by_hand(truth *house, double within, int tries) {
  outcome out = {0};
  truth_setting stands = {.signal = {70.0, 70.0}};
  for (int s = 0; s < SIDES; s++)
    for (int i = 0; i < TERMINALS_MOST; i++)
      stands.opening[s][i] = 1.0;
  while (out.rounds < 6 && !out.declared) {
    out.rounds++;
    for (int s = 0; s < SIDES; s++) {
      double ratios[TERMINALS_MOST];
      int order[TERMINALS_MOST], count = house->side[s].n_terminals;
      (void)side_ratio(house, &stands, s, ratios, &out);
      sort_by_ratio(order, ratios, count);
      for (int i = 1; i < count; i++)
        match(house, &stands, s, order[i], order[0], within, tries, &out);
    }
    for (int turn = 0; turn < 2; turn++)
      for (int s = 0; s < SIDES; s++) {
        double ratios[TERMINALS_MOST], total = side_ratio(house, &stands, s, ratios, &out);
        stands.signal[s] = fmin(100.0, round(stands.signal[s] / fmax(total, 0.3)));
      }
    out.declared = all_read_good(house, &stands, &out);
  }
  out.good = truly_good(house, &stands);
  return out;
}

/* ---- Tables ---- */

static int by_value(const void *a, const void *b) {
  return *(const int *)a - *(const int *)b;
}

static int quantile(int *values, int count, double share) {
  if (count == 0)
    return 0;
  qsort(values, (size_t)count, sizeof *values, by_value);
  int at = (int)(share * (count - 1) + 0.5);
  return values[at];
}

static void report(const char *what, const outcome *outcomes, int count) {
  int *rounds = malloc((size_t)count * sizeof *rounds),
      *readings = malloc((size_t)count * sizeof *rounds),
      *moves = malloc((size_t)count * sizeof *rounds);
  int declared = 0, good = 0, cannot = 0, in_all = 0, suspects = 0, named = 0;
  if (rounds == NULL || readings == NULL || moves == NULL)
    exit(6);
  for (int i = 0; i < count; i++) {
    suspects += outcomes[i].suspect;
    named += outcomes[i].named;
    cannot += outcomes[i].cannot;
    in_all += outcomes[i].good;
    if (!outcomes[i].declared)
      continue;
    rounds[declared] = outcomes[i].rounds;
    readings[declared] = outcomes[i].readings;
    moves[declared++] = outcomes[i].moves;
    good += outcomes[i].good;
  }
  printf("  %-24s done %3d of %3d, truly %5.1f %%; rounds %d / %d, readings %3d / %3d, moves %2d / "
         "%2d (median / 90 %%); cannot be declared %d; good in the end %d; suspects in %d, first "
         "right %d\n",
         what, declared, count, declared ? 100.0 * good / declared : 0.0,
         quantile(rounds, declared, 0.5), quantile(rounds, declared, 0.9),
         quantile(readings, declared, 0.5), quantile(readings, declared, 0.9),
         quantile(moves, declared, 0.5), quantile(moves, declared, 0.9), cannot, in_all, suspects,
         named);
  fflush(stdout);
  free(rounds);
  free(readings);
  free(moves);
}

static void compare(int houses, bool radial, double noise, double bias, fault f,
                    const char *rules) {
  outcome *outcomes = calloc((size_t)houses, sizeof *outcomes);
  if (outcomes == NULL)
    exit(6);
  printf("%s, noise %.0f %%, bias %.0f %%, fault: %s\n", radial ? "radial" : "branched",
         100.0 * noise, 100.0 * bias, fault_names[f]);
  for (int i = 0; i < houses; i++) {
    truth house;
    truth_draw(&house, (uint64_t)i + 1, radial, noise, bias, f);
    outcomes[i] = by_model(&house, bias, rules);
  }
  report("by model", outcomes, houses);
  report_calibration();
  static const struct {
    const char *what;
    double within;
    int tries;
  } hands[] = {{"proportional, 4 %, 3 tries", 0.04, 3}, {"proportional, 7 %, 2 tries", 0.07, 2}};
  for (int h = 0; f == FAULT_NONE && h < 2; h++) {
    for (int i = 0; i < houses; i++) {
      truth house;
      truth_draw(&house, (uint64_t)i + 1, radial, noise, bias, f);
      outcomes[i] = by_hand(&house, hands[h].within, hands[h].tries);
    }
    report(hands[h].what, outcomes, houses);
  }
  free(outcomes);
}

/* What is asked for on the command line; -1: all of it. */
typedef struct wish {
  int houses, fault, radial;
  double noise, bias;
  const char *rules;
} wish;

static wish wished(int argc, char **argv) {
  wish w = {200, FAULT_NONE, -1, -1.0, -1.0, "tests/bench/tables"};
  int option;
  while ((option = getopt(argc, argv, "h:f:l:n:b:t:")) != -1) {
    if (option == 'h')
      w.houses = atoi(optarg);
    else if (option == 'f')
      w.fault = atoi(optarg);
    else if (option == 'l')
      w.radial = strcmp(optarg, "radial") == 0;
    else if (option == 'n')
      w.noise = 0.01 * atof(optarg);
    else if (option == 'b')
      w.bias = 0.01 * atof(optarg);
    else if (option == 't')
      w.rules = optarg;
    else
      exit(2);
  }
  return w;
}

static bool among(double asked, double value) {
  return asked < 0.0 || fabs(asked - value) < 1e-9;
}

int main(int argc, char **argv) {
  static const double noises[] = {0.02, 0.03, 0.05}, biases[] = {0.0, 0.03};
  wish w = wished(argc, argv);
  bool sound = w.fault == FAULT_NONE;
  for (int radial = 0; radial < 2; radial++) {
    if (w.radial >= 0 && w.radial != radial)
      continue;
    for (int n = 0; n < 3; n++)
      for (int b = 0; b < 2; b++)
        if (among(sound ? w.noise : fmax(w.noise, 0.02), noises[n]) &&
            among(sound ? w.bias : fmax(w.bias, 0.0), biases[b]))
          compare(w.houses, radial != 0, noises[n], biases[b], (fault)w.fault, w.rules);
  }
  printf("%ld calls of eb_balance_advise, %.1f ms each in the mean\n", advices,
         1e3 * seconds_advising / (double)advices);
  return 0;
}
