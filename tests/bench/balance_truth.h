/* balance_truth.h - houses that were built otherwise than they were drawn
 *
 * A generator for the balance on site. Its houses share nothing with the library's
 * model but the physics: power laws instead of friction by Reynolds number, valves
 * with an exponent of their own, leaking boxes, a fan with an offset, a house pressure
 * that couples both sides, a hood that stands in the way, wind, a hand that is not
 * sure and a valve that moves when it is locked. All figures are invented. */

#ifndef BALANCE_TRUTH_H
#define BALANCE_TRUTH_H

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

enum { SUPPLY, EXTRACT, SIDES };
enum { BOXES_MOST = 2, TERMINALS_MOST = 10 };

typedef enum fault {
  FAULT_NONE,
  FAULT_CRUSHED,     /* one tube takes eight times its pressure */
  FAULT_CAPPED,      /* a cap left on */
  FAULT_WRONG_SIDE,  /* a tube on the other side of the unit */
  FAULT_SWAPPED,     /* two readings exchanged */
  FAULT_CUBIC_METRES, /* one number in m3/h */
  FAULT_CUBIC_FEET,  /* one in cfm */
  FAULT_HOOD_LEAK,   /* 15 % short in one reading */
  FAULT_FROST,       /* the supply fan at half its speed */
  FAULT_COUNT
} fault;

extern const char *const fault_names[FAULT_COUNT];

/* Flows in l/s, pressures in Pa; Pa per (l/s)^n. */
typedef struct truth_terminal {
  int box;
  double design;
  double tube, exponent, fittings;        /* m = tube q^exponent + fittings q^2 */
  double valve_exponent, most, shape;     /* q = most ((s + 0.03)/1.03)^shape dp^valve_exponent */
  double length, tubes, coefficient, catalogue; /* as drawn */
  bool capped;
} truth_terminal;

typedef struct truth_side {
  int n_terminals, n_boxes;
  truth_terminal terminal[TERMINALS_MOST];
  double trunk[BOXES_MOST], leak[BOXES_MOST], exponent;
  double rise, linear, square, offset;    /* of the fan */
  double drawn_rise;        /* as on its sheet */
  double main_length, trunk_length[BOXES_MOST];
  double main;                            /* Pa/(l/s)^exponent of the common duct */
} truth_side;

typedef struct truth {
  truth_side side[SIDES];
  double envelope;                        /* l/s at 1 Pa^0.65 */
  double gain[SIDES];                     /* of the instrument */
  double noise;                           /* standard deviation of a reading, share */
  double hood;                            /* Pa/(l/s)^2 */
  double wind;                            /* Pa, now */
  fault fault;
  int faulty, other;                      /* terminals of the supply side */
  bool radial;
  uint64_t state;                         /* of the random numbers */
} truth;

/* What stands: openings 0..1 of the travel, signals 0..100. */
typedef struct truth_setting {
  double opening[SIDES][TERMINALS_MOST];
  double signal[SIDES];
} truth_setting;

void truth_draw(truth *house, uint64_t seed, bool radial, double noise, double bias, fault fault);

/* The house as drawn, for the program to read. */
void truth_write_house(const truth *house, FILE *out);

/* Flows of all terminals in truth; `hood_side`, `hood_terminal`: where one stands, -1 nowhere. */
void truth_flows(truth *house, const truth_setting *setting, int hood_side, int hood_terminal,
                 double flow[SIDES][TERMINALS_MOST]);

/* One reading with everything that goes wrong with one. */
double truth_read(truth *house, const truth_setting *setting, int side, int terminal);

/* Sets a valve as a hand does; `locked` moves it a little more. */
double truth_hand(truth *house, double asked);

double truth_uniform(truth *house, double low, double high);
double truth_normal(truth *house, double mean, double deviation);

#endif
