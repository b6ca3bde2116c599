/* balance_truth.c - houses that were built otherwise than they were drawn */

#include "balance_truth.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

const char *const fault_names[FAULT_COUNT] = {"none",       "crushed",          "capped",
                                              "wrong side", "swapped readings", "m3/h",
                                              "cfm",        "hood leak",        "frost"};

/* ---- Random numbers: splitmix64 (Steele, Lea, Flood 2014) ---- */

static double unit(truth *house) {
  uint64_t z = house->state += 0x9e3779b97f4a7c15u;
  z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
  z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
  return ((double)((z ^ (z >> 31)) >> 11) + 0.5) / 9007199254740992.0;
}

double truth_uniform(truth *house, double low, double high) {
  return low + (high - low) * unit(house);
}

double truth_normal(truth *house, double mean, double deviation) {
  double radius = sqrt(-2.0 * log(unit(house)));
  return mean + deviation * radius * cos(6.283185307179586 * unit(house));
}

/* ---- A house ---- */

#define TUBE_BORE 0.063 /* m */
#define TRUNK_BORE 0.125
#define MAIN_BORE 0.16

/* Friction per metre at a flow [l/s], Swamee and Jain's formula: the library solves Colebrook's. */
static double friction(double bore, double roughness, double flow) {
  double area = 0.7853981633974483 * bore * bore, velocity = flow * 1e-3 / area;
  double reynolds = velocity * bore / 1.5e-5;
  double inside = roughness / (3.7 * bore) + 5.74 / pow(reynolds, 0.9);
  double f = 0.25 / (log10(inside) * log10(inside));
  return f / bore * 0.6 * velocity * velocity;
}

static double velocity_pressure(double bore, double flow) {
  double area = 0.7853981633974483 * bore * bore, velocity = flow * 1e-3 / area;
  return 0.6 * velocity * velocity;
}

static void draw_terminal(truth *house, truth_terminal *t, int box) {
  memset(t, 0, sizeof *t);
  t->box = box;
  t->design = 0.1 * round(10.0 * truth_uniform(house, 4.0, 14.0));
  t->tubes = t->design > 9.0 ? 2.0 : 1.0;
  t->length = 0.1 * round(10.0 * truth_uniform(house, 4.0, 16.0));
  t->coefficient = 0.1 * round(10.0 * truth_uniform(house, 0.5, 2.5));
  t->catalogue = truth_uniform(house, 3.2, 4.6);
}

/* Built from what was drawn. Pressures of the drawing hold at the design flow. */
static void build_terminal(truth *house, truth_terminal *t) {
  double q = t->design / t->tubes;
  t->exponent = truth_uniform(house, 1.75, 1.95);
  double tube = friction(TUBE_BORE, 1e-4, q) * t->length * truth_uniform(house, 0.7, 1.3);
  double fittings =
      velocity_pressure(TUBE_BORE, q) * t->coefficient * truth_uniform(house, 0.7, 1.3);
  t->tube = tube / pow(t->design, t->exponent);
  t->fittings = fittings / (t->design * t->design);
  t->valve_exponent = truth_uniform(house, 0.46, 0.53);
  t->shape = truth_uniform(house, 0.95, 1.25);
  t->most = t->catalogue * (1.0 + truth_normal(house, 0.0, 0.10));
}

static void draw_side(truth *house, truth_side *side, int count, double total) {
  double sum = 0.0;
  side->n_terminals = count;
  side->n_boxes = house->radial ? 1 : 2;
  for (int i = 0; i < count; i++) {
    draw_terminal(house, &side->terminal[i], i % side->n_boxes);
    sum += side->terminal[i].design;
  }
  double factor = total > 0.0 ? total / sum : 1.0, scaled = 0.0;
  for (int i = 0; i < count; i++) {
    truth_terminal *t = &side->terminal[i];
    t->design = 0.1 * round(10.0 * t->design * factor);
    if (total > 0.0 && i == count - 1)
      t->design = 0.1 * round(10.0 * (total - scaled));
    scaled += t->design;
    t->tubes = t->design > 9.0 ? 2.0 : 1.0;
    build_terminal(house, t);
  }
}

static double side_total(const truth_side *side) {
  double sum = 0.0;
  for (int i = 0; i < side->n_terminals; i++)
    sum += side->terminal[i].design;
  return sum;
}

static void build_ducts(truth *house, truth_side *side) {
  double total = side_total(side);
  side->exponent = truth_uniform(house, 1.8, 2.0);
  side->main_length = 0.1 * round(10.0 * truth_uniform(house, 2.0, 5.0));
  side->main = friction(MAIN_BORE, 9e-5, total) * side->main_length *
               truth_uniform(house, 0.7, 1.3) / pow(total, side->exponent);
  for (int b = 0; b < side->n_boxes; b++) {
    double flow = 0.0;
    for (int i = 0; i < side->n_terminals; i++)
      flow += side->terminal[i].box == b ? side->terminal[i].design : 0.0;
    side->trunk_length[b] = 0.1 * round(10.0 * truth_uniform(house, 2.0, 9.0));
    double drawn = (friction(TRUNK_BORE, 9e-5, flow) * side->trunk_length[b] +
                    1.5 * velocity_pressure(TRUNK_BORE, flow));
    side->trunk[b] = drawn * truth_uniform(house, 0.7, 1.3) / pow(flow, side->exponent);
    if (house->radial) /* the one box hangs on the common duct */
      side->trunk[b] = 1e-6;
    side->leak[b] = truth_uniform(house, 0.01, 0.06);
  }
}

static void build_fan(truth *house, truth_side *side) {
  side->offset = truth_uniform(house, 2.0, 10.0);
  side->rise = truth_uniform(house, 250.0, 450.0);
  side->linear = truth_uniform(house, 0.0, 0.5);
  side->square = truth_uniform(house, 0.02, 0.05);
  side->drawn_rise = side->rise * (1.0 + truth_normal(house, 0.0, 0.06));
}

void truth_draw(truth *house, uint64_t seed, bool radial, double noise, double bias, fault f) {
  memset(house, 0, sizeof *house);
  house->state = seed * 2654435761u + 12345u;
  house->radial = radial;
  int supply = 4 + (int)truth_uniform(house, 0.0, 5.0),
      extract = 3 + (int)truth_uniform(house, 0.0, 4.0);
  draw_side(house, &house->side[SUPPLY], supply, 0.0);
  draw_side(house, &house->side[EXTRACT], extract, side_total(&house->side[SUPPLY]));
  for (int s = 0; s < SIDES; s++) {
    build_ducts(house, &house->side[s]);
    build_fan(house, &house->side[s]);
    house->gain[s] = exp(truth_normal(house, 0.0, bias));
  }
  house->envelope = truth_uniform(house, 60.0, 150.0) / pow(50.0, 0.65);
  house->noise = noise;
  house->hood = 0.02;
  house->fault = f;
  house->faulty = (int)truth_uniform(house, 0.0, supply);
  house->other = (house->faulty + 1 + (int)truth_uniform(house, 0.0, supply - 1)) % supply;
  truth_terminal *t = &house->side[SUPPLY].terminal[house->faulty];
  if (f == FAULT_CRUSHED) {
    t->tube *= 8.0;
    t->fittings *= 8.0;
  }
  t->capped = f == FAULT_CAPPED;
}

/* ---- As it was drawn ---- */

static void write_rooms(const truth *house, FILE *out) {
  static const char *const names[SIDES] = {"supply", "extract"};
  fprintf(out, "rooms:\n");
  for (int s = 0; s < SIDES; s++)
    for (int i = 0; i < house->side[s].n_terminals; i++)
      fprintf(out, "  %c%d: {use: %s, area: 12 m2, height: 2.5 m, storey: %d, %s: %.1f l/s}\n",
              "se"[s], i, s == SUPPLY ? "bedroom" : "bathroom", house->side[s].terminal[i].box,
              names[s], house->side[s].terminal[i].design);
}

/* The sheet has the shape of the fan and its rise but for the error of the test stand. */
static void write_curve(const truth_side *side, FILE *out) {
  fprintf(out, "{curves: [{speed: 100 %%, columns: [l/s, Pa], points: [");
  double a = side->linear, b = side->square;
  double most = (a + sqrt(a * a + 4.0 * b * side->drawn_rise)) / (2.0 * b);
  for (int i = 0; i <= 10; i++) {
    double q = 0.098 * i * most, p = side->drawn_rise + a * q - b * q * q;
    fprintf(out, "%s[%.2f, %.1f]", i ? ", " : "", q, p);
  }
  fprintf(out, "]}]}");
}

static void write_valves(const truth *house, FILE *out) {
  fprintf(out, "valves:\n");
  for (int s = 0; s < SIDES; s++)
    for (int i = 0; i < house->side[s].n_terminals; i++) {
      fprintf(out, "  v%c%d: {loss: {columns: [\"%%\", l/s/Pa^0.5], points: [", "se"[s], i);
      for (int k = 1; k <= 10; k++)
        fprintf(out, "%s[%d, %.4f]", k > 1 ? ", " : "", 10 * k,
                house->side[s].terminal[i].catalogue * pow((0.1 * k + 0.03) / 1.03, 1.1));
      fprintf(out, "]}}\n");
    }
}

/* From the unit outwards on the supply side, towards it on the other. */
static void write_run(int s, const char *run, const char *inner, const char *outer, int bore,
                      double length, const char *rest, FILE *out) {
  fprintf(
      out,
      "    - {run: %s, from: %s, to: %s, duct: {bore: %d mm, roughness: %s}, length: %.1f m%s}\n",
      run, s == SUPPLY ? inner : outer, s == SUPPLY ? outer : inner, bore,
      bore > 100 ? "0.09 mm" : "0.1 mm", length, rest);
}

static void write_side(const truth *house, int s, FILE *out) {
  const truth_side *side = &house->side[s];
  char c = "se"[s], run[16], box[16], hub[16], rest[96];
  snprintf(hub, sizeof hub, "%c%s", c, house->radial ? "b0" : "hub");
  snprintf(run, sizeof run, "%c-main", c);
  write_run(s, run, "unit", hub, 160, side->main_length, "", out);
  for (int b = 0; !house->radial && b < side->n_boxes; b++) {
    snprintf(run, sizeof run, "%c-trunk%d", c, b);
    snprintf(box, sizeof box, "%cb%d", c, b);
    write_run(s, run, hub, box, 125, side->trunk_length[b], ", fittings: [{coefficient: 1.5}]",
              out);
  }
  for (int i = 0; i < side->n_terminals; i++) {
    const truth_terminal *t = &side->terminal[i];
    char room[16];
    snprintf(box, sizeof box, "%cb%d", c, t->box);
    snprintf(room, sizeof room, "%c%d", c, i);
    snprintf(run, sizeof run, "r%c%d", c, i);
    snprintf(rest, sizeof rest, ", parallel: %.0f, fittings: [{coefficient: %.1f}], valve: v%c%d",
             t->tubes, t->coefficient, c, i);
    write_run(s, run, box, room, 63, t->length, rest, out);
  }
}

void truth_write_house(const truth *house, FILE *out) {
  fprintf(out,
          "dwelling: a house by chance\nrules: by-chance\nfloor_area: 120 m2\nvolume: 300 m3\n"
          "envelope: {leakage: %.3f ach}\n",
          house->envelope * pow(50.0, 0.65) * 3.6 / 300.0);
  write_rooms(house, out);
  fprintf(out, "unit:\n  name: a unit by chance\n  fans:\n    supply: ");
  write_curve(&house->side[SUPPLY], out);
  fprintf(out, "\n    extract: ");
  write_curve(&house->side[EXTRACT], out);
  fprintf(out, "\n");
  write_valves(house, out);
  fprintf(out, "ducts:\n  supply:\n");
  write_side(house, SUPPLY, out);
  fprintf(out, "  extract:\n");
  write_side(house, EXTRACT, out);
  fprintf(out, "junctions:\n");
  for (int s = 0; s < SIDES; s++)
    for (int b = 0; b < house->side[s].n_boxes; b++)
      fprintf(out, "  %cb%d: {kind: box}\n", "se"[s], b);
  if (!house->radial)
    fprintf(out, "  shub: {kind: box}\n  ehub: {kind: box}\n");
}

/* ---- What flows ----
 *
 * Newton's method on the pressures of the house and, on each side, of hub and boxes, whose
 * conductances are those of the power laws. */

typedef struct flowing {
  double flow, slope; /* l/s, and by Pa */
} flowing;

#define LEAST_PA 1e-4

/* Of a tube and its valve at the pressure between box and room; Newton's steps on ln q. */
static flowing through_terminal(const truth_terminal *t, double opening, double hood, double dp) {
  if (t->capped)
    return (flowing){0.0, 1e-9};
  double at = fmax(dp, LEAST_PA), ln_q = log(t->design), by_ln = 2.0;
  double k = t->most * pow((fmax(opening, 0.0) + 0.03) / 1.03, t->shape);
  for (int i = 0; i < 40; i++) {
    double q = exp(ln_q), tube = t->tube * exp(t->exponent * ln_q);
    double square = (t->fittings + hood) * q * q;
    double valve = exp((ln_q - log(k)) / t->valve_exponent), drop = tube + square + valve;
    by_ln = (t->exponent * tube + 2.0 * square + valve / t->valve_exponent) / drop;
    double step = log(at / drop) / by_ln;
    ln_q += step;
    if (fabs(step) < 1e-10)
      break;
  }
  double q = exp(ln_q), slope = q / (by_ln * at);
  return dp >= LEAST_PA ? (flowing){q, slope} : (flowing){slope * dp, slope};
}

/* dp = c q^n both ways, straight near rest. */
static flowing through_duct(double c, double n, double dp) {
  double at = fmax(fabs(dp), LEAST_PA), q = pow(at / c, 1.0 / n), slope = q / (n * at);
  double flow = fabs(dp) >= LEAST_PA ? q : slope * fabs(dp);
  return (flowing){dp < 0.0 ? -flow : flow, slope};
}

/* What fan and common duct leave for the hub, and its slope. Air that is pushed back through the
 * fan meets its losses alone. */
static double left_for_hub(const truth_side *side, double speed, double q, double *slope) {
  double way = fmax(fabs(q), 1e-9), back = q < 0.0 ? -1.0 : 1.0;
  double main = side->main * pow(way, side->exponent);
  double linear = q < 0.0 ? 0.0 : side->linear * speed;
  *slope = linear - 2.0 * side->square * way - side->exponent * main / way;
  return side->rise * speed * speed + linear * q - back * (side->square * q * q + main);
}

/* Of fan and common duct into the hub at its pressure. */
static flowing through_fan(const truth_side *side, double speed, double wind, double hub) {
  double low = -400.0, high = 400.0, q = 50.0, slope = -1.0;
  for (int i = 0; i < 200; i++) {
    double lack = left_for_hub(side, speed, q, &slope) + wind - hub;
    if (lack > 0.0)
      low = q;
    else
      high = q;
    double next = slope < 0.0 ? q - lack / slope : high;
    if (!(next > low && next < high))
      next = 0.5 * (low + high);
    if (fabs(next - q) < 1e-11)
      break;
    q = next;
  }
  return (flowing){q, -1.0 / fmin(slope, -1e-3)};
}

enum { HOUSE, NODES_MOST = 1 + SIDES * (1 + BOXES_MOST) };

typedef struct network {
  double lack[NODES_MOST], slope[NODES_MOST][NODES_MOST]; /* air in, and by each pressure */
  int count;
} network;

/* Air from a to b; -1: outdoors. */
static void add(network *n, int a, int b, flowing f) {
  int ends[2] = {a, b};
  for (int i = 0; i < 2; i++) {
    if (ends[i] < 0)
      continue;
    n->lack[ends[i]] += i == 0 ? -f.flow : f.flow;
    n->slope[ends[i]][ends[i]] -= f.slope;
    if (ends[1 - i] >= 0)
      n->slope[ends[i]][ends[1 - i]] += f.slope;
  }
}

/* On the extract side all pressures are taken with their sign turned, so that air always goes from
 * fan to room in the sums; towards the house it is air out. */
static void add_side(network *n, truth *house, const truth_setting *setting, int s, int hood,
                     const double *x, double *flow) {
  const truth_side *side = &house->side[s];
  int hub = 1 + s * (1 + BOXES_MOST);
  double sign = s == SUPPLY ? 1.0 : -1.0;
  double speed = fmax(setting->signal[s] - side->offset, 0.0) / (100.0 - side->offset);
  if (house->fault == FAULT_FROST && s == SUPPLY)
    speed *= 0.5;
  flowing fan = through_fan(side, speed, s == SUPPLY ? house->wind : 0.0, x[hub]);
  n->lack[hub] += fan.flow;
  n->slope[hub][hub] -= fan.slope;
  for (int b = 0; b < side->n_boxes; b++) {
    int box = hub + 1 + b;
    add(n, hub, box, through_duct(side->trunk[b], side->exponent, x[hub] - x[box]));
    add(n, box, -1, through_duct(pow(side->leak[b], -1.0 / 0.65), 1.0 / 0.65, x[box]));
  }
  for (int i = 0; i < side->n_terminals; i++) {
    int box = hub + 1 + side->terminal[i].box;
    flowing f = through_terminal(&side->terminal[i], setting->opening[s][i],
                                 i == hood ? house->hood : 0.0, x[box] - sign * x[HOUSE]);
    flow[i] = f.flow;
    n->lack[box] -= f.flow;
    n->slope[box][box] -= f.slope;
    n->slope[box][HOUSE] += sign * f.slope;
    n->lack[HOUSE] += sign * f.flow;
    n->slope[HOUSE][box] += sign * f.slope;
    n->slope[HOUSE][HOUSE] -= f.slope;
  }
  for (int b = side->n_boxes; b < BOXES_MOST; b++) /* not built */
    n->slope[hub + 1 + b][hub + 1 + b] = -1.0;
}

static double look(network *n, truth *house, const truth_setting *setting, int hood_side,
                   int hood_terminal, const double *x, double flow[SIDES][TERMINALS_MOST]) {
  memset(n, 0, sizeof *n);
  n->count = NODES_MOST;
  for (int s = 0; s < SIDES; s++)
    add_side(n, house, setting, s, hood_side == s ? hood_terminal : -1, x, flow[s]);
  add(n, HOUSE, -1, through_duct(pow(house->envelope, -1.0 / 0.65), 1.0 / 0.65, x[HOUSE]));
  double sum = 0.0;
  for (int i = 0; i < n->count; i++)
    sum += n->lack[i] * n->lack[i];
  return sum;
}

/* Gauss's elimination with pivots. */
static void eliminate(network *n, double *step) {
  int count = n->count;
  for (int c = 0; c < count; c++) {
    int pivot = c;
    for (int r = c + 1; r < count; r++)
      if (fabs(n->slope[r][c]) > fabs(n->slope[pivot][c]))
        pivot = r;
    for (int k = 0; k < count; k++) {
      double kept = n->slope[c][k];
      n->slope[c][k] = n->slope[pivot][k];
      n->slope[pivot][k] = kept;
    }
    double kept = n->lack[c];
    n->lack[c] = n->lack[pivot];
    n->lack[pivot] = kept;
    for (int r = c + 1; r < count; r++) {
      double by = n->slope[r][c] / n->slope[c][c];
      for (int k = c; k < count; k++)
        n->slope[r][k] -= by * n->slope[c][k];
      n->lack[r] -= by * n->lack[c];
    }
  }
  for (int r = count; r-- > 0;) {
    step[r] = n->lack[r];
    for (int k = r + 1; k < count; k++)
      step[r] -= n->slope[r][k] * step[k];
    step[r] /= n->slope[r][r];
  }
}

void truth_flows(truth *house, const truth_setting *setting, int hood_side, int hood_terminal,
                 double flow[SIDES][TERMINALS_MOST]) {
  double x[NODES_MOST] = {0.0};
  network n;
  for (int s = 0; s < SIDES; s++) {
    x[1 + s * (1 + BOXES_MOST)] = 40.0;
    for (int b = 0; b < house->side[s].n_boxes; b++)
      x[2 + s * (1 + BOXES_MOST) + b] = 30.0;
  }
  double norm = look(&n, house, setting, hood_side, hood_terminal, x, flow);
  for (int i = 0; i < 200 && norm > 1e-16; i++) {
    double step[NODES_MOST], next[NODES_MOST], share = 1.0, after = norm;
    eliminate(&n, step);
    for (int half = 0; half < 12; half++, share *= 0.5) {
      for (int k = 0; k < n.count; k++)
        next[k] = x[k] - share * step[k];
      after = look(&n, house, setting, hood_side, hood_terminal, next, flow);
      if (after < norm || half == 11)
        break;
    }
    memcpy(x, next, sizeof x);
    norm = after;
  }
  if (!(norm < 1e-4)) { /* no figure is better than a wrong one */
    fprintf(stderr, "balance_truth: the house was not solved, %.2g l/s are left\n", sqrt(norm));
    exit(6);
  }
  if (house->fault == FAULT_WRONG_SIDE) { /* it draws about what it should blow */
    double *wrong = &flow[SUPPLY][house->faulty];
    *wrong = -*wrong;
  }
}

/* ---- Reading and setting ---- */

double truth_read(truth *house, const truth_setting *setting, int side, int terminal) {
  double flow[SIDES][TERMINALS_MOST];
  house->wind = 0.8 * house->wind + 1.2 * truth_normal(house, 0.0, 1.0);
  truth_flows(house, setting, side, terminal, flow);
  double q =
      flow[side][terminal] * house->gain[side] * (1.0 + truth_normal(house, 0.0, house->noise));
  q += truth_normal(house, 0.0, 0.05);
  return 0.1 * round(10.0 * q);
}

double truth_hand(truth *house, double asked) {
  double set = round(200.0 * (asked + truth_normal(house, 0.0, 0.006))) / 200.0;
  set += truth_normal(house, -0.005, 0.004);
  return fmin(fmax(set, 0.0), 1.0);
}
