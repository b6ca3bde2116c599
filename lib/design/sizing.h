/* sizing.h - what the files that choose the sizes of ducts share
 *
 * Each side is a tree of runs from the unit to its terminals, in series with its runs
 * outdoors (sizing_tree.c). A run has its sizes with what each costs and whether the
 * limits let it (sizing_sizes.c); a Pa has a price (sizing_money.c). Pressures come from
 * the design flows and the same elements the network is built of (sizing_drop.c); round
 * loops the flows are found first (sizing_loops.c). Sizes are found by least life-cycle
 * cost (sizing_search.c) or by a handbook's way (sizing_methods.c), quiet enough (sizing_quiet.c),
 * and written down with what their neighbours would have cost (sizing_result.c, sizing_explain.c).
 */

#ifndef EBI_SIZING_H
#define EBI_SIZING_H

#include "design/ducts.h"
#include "numeric/choose.h"

typedef enum ebi_run_place { EBI_PLACE_MAIN, EBI_PLACE_BRANCH, EBI_PLACE_TERMINAL } ebi_run_place;

/* One thing that a run may be made of. */
typedef struct ebi_size {
  const ebi_duct_size *duct;
  int tubes;
  double area;  /* m2, of all tubes */
  double price; /* of what is bought for the run */
  bool allowed; /* by velocity and the fittings' bores */
} ebi_size;

enum { EBI_DESIGN_FLOW, EBI_BOOST_FLOW, EBI_FLOWS };

/* A run as an edge of its side's tree. */
typedef struct ebi_size_edge {
  size_t run;             /* of the side */
  size_t near_end;        /* towards the unit, numbered as the ends of a side are */
  size_t parent;          /* an earlier edge, EBI_NONE at the unit */
  size_t terminal;        /* of the side, EBI_NONE: none */
  bool outside;           /* between unit and outdoors */
  bool chord;             /* it closes a loop */
  double flow[EBI_FLOWS]; /* ref, in the direction of the air */
  ebi_run_place place;
  ebi_run copy;    /* what the side points to: the run with a size */
  bool open;       /* its size is to be chosen */
  ebi_size *sizes; /* by area */
  size_t n_sizes;
  size_t size;     /* that it has now */
  size_t too_loud; /* sizes below it are, in: */
  const char *loud_room;
  double needs; /* Pa from the unit to what lies beyond it, in the last evaluation */
} ebi_size_edge;

typedef struct ebi_sizing_side {
  ebi_side *side;
  ebi_size_edge *edges; /* the runs outdoors first; each after its parent */
  size_t n_edges;
  size_t n_open;
  size_t *edge_of; /* by run of the side */
  bool looped;
  double flow[EBI_FLOWS]; /* ref, of the fan */
  double per_pa;          /* money, present value */
  double most_pa;         /* HUGE_VAL: any */
  double available_pa;    /* of the fan at boost */
  double asked_pa;        /* of it at boost by the sizes chosen */
  size_t n_regained;      /* runs sized by static regain */
  double bound;           /* cost of the exact optimum with neighbours frozen */
  double pressure, cost;  /* of the sizes chosen: Pa, and money with the electricity */
  ebi_element *elements;  /* room for those of one run */
} ebi_sizing_side;

/* What electricity costs over the years. */
typedef struct ebi_sizing_money {
  double per_joule, years, interest, hours; /* h/day */
  double joules_per_watt;                   /* present value of a watt for those hours, in J */
  bool price_assumed, efficiency_assumed;
} ebi_sizing_money;

struct ebi_sizer {
  ebi_ducts_job *job;
  const ebi_sizing *given;
  eb_sizing method;
  double velocity[3]; /* most, by ebi_run_place; HUGE_VAL: any */
  double friction;    /* Pa/m, of equal friction */
  ebi_sizing_money money;
  ebi_sizing_side side[EBI_SIDES];
  const eb_sizes *sizes; /* in the result */
  eb_sized_run *sized;   /* its runs */
};

const char *ebi_sizing_method_name(eb_sizing method);

/* Sizes of all runs that have none; nothing where each has one. */
eb_status ebi_ducts_size(ebi_ducts_job *job);

/* Sound of other sizes and all other findings of a finished result. */
eb_status ebi_ducts_size_findings(ebi_ducts_job *job);

/* ---- The tree ---- */

eb_status ebi_sizing_tree(ebi_sizer *sizer, ebi_sizing_side *s);

/* Puts a size into the side, with the meetings it changes. */
void ebi_sizing_put(ebi_sizing_side *s, size_t edge, size_t size);

/* ---- Sizes ---- */

eb_status ebi_sizing_sizes(ebi_sizer *sizer, ebi_sizing_side *s);

/* Which of them the limits allow; warns where none is. */
void ebi_sizing_allow(ebi_sizer *sizer, ebi_sizing_side *s);

/* Of an edge with one of its sizes, at the design flow [m/s]. */
double ebi_sizing_velocity(const ebi_sizing_side *s, size_t edge, size_t size);

/* The nearest size that is allowed, up (+1) or down (-1); EBI_NONE: none. */
size_t ebi_sizing_next(const ebi_size_edge *edge, size_t size, int step);

/* False where a fitting of the run is made for another bore. */
bool ebi_sizing_fits(const ebi_run *run, const ebi_duct_size *duct);

/* Where the house says how sizes are chosen, else where it begins. */
ebi_where ebi_sizing_where(const ebi_sizer *sizer);

/* What the method calls a place: "main", "branch", "terminal". */
const char *ebi_place_name(ebi_run_place place);

/* ---- Pressures ---- */

/* Of a run as it stands with the losses where it meets the one before it, valve and room [Pa]. */
double ebi_sizing_drop(const ebi_sizing_side *s, size_t edge, int flows);

/* Of what stands between a run and its room. */
double ebi_sizing_terminal_drop(const ebi_sizing_side *s, const ebi_size_edge *edge, int flows);

/* Of the side as it stands [Pa], from spigot to spigot. */
eb_status ebi_sizing_pressure(ebi_sizing_side *s, int flows, double *pressure);

/* Of a looped side: flows of its runs and what the fan must raise. */
eb_status ebi_sizing_solve_loops(ebi_sizing_side *s, int flows, double *pressure);

/* The share of friction in a metre [Pa/m]. */
double ebi_sizing_friction(const ebi_sizing_side *s, size_t edge);

/* ---- Money ---- */

void ebi_sizing_money_start(ebi_sizer *sizer);

/* What a Pa costs at the pressure the side has, and what the fan can at boost. */
eb_status ebi_sizing_price_pa(ebi_sizer *sizer, ebi_sizing_side *s, double pressure);

/* ---- Choosing ---- */

/* Price of the open runs as they stand. */
double ebi_sizing_price(const ebi_sizing_side *s);

/* True where no run is larger than the one before it, or larger ones may be. */
bool ebi_sizing_falls(const ebi_sizer *sizer, const ebi_sizing_side *s, size_t edge);

/* By the method asked for. */
eb_status ebi_sizing_choose(ebi_sizer *sizer, ebi_sizing_side *s);

/* Again with larger sizes while the air in the ducts is too loud in a room. */
eb_status ebi_sizing_quieten(ebi_sizer *sizer, ebi_sizing_side *s);

eb_status ebi_sizing_search(ebi_sizer *sizer, ebi_sizing_side *s);
eb_status ebi_sizing_by_velocity(ebi_sizer *sizer, ebi_sizing_side *s);
eb_status ebi_sizing_by_friction(ebi_sizer *sizer, ebi_sizing_side *s);
eb_status ebi_sizing_by_regain(ebi_sizer *sizer, ebi_sizing_side *s);

/* Where a handbook's way could not be gone. */
void ebi_sizing_say_method(const ebi_sizer *sizer, const ebi_sizing_side *s);

/* ---- Result ---- */

eb_status ebi_sizing_result(ebi_sizer *sizer);
void ebi_sizing_explain(const ebi_sizer *sizer);

#endif
