/* parts.h - what the files of the order list share
 *
 * Every run adds what it is made of (parts_runs.c), every place where runs meet
 * what stands there (parts_joints.c). Equal parts are one line (parts_lines.c),
 * with the runs and junctions they go to. At the end lengths become pieces and
 * quantities cost money (parts_finish.c). */

#ifndef EBI_PARTS_H
#define EBI_PARTS_H

#include "design/ducts.h"
#include "design/parts_price.h"

/* Kinds, in the order they are listed in. */
#define EBI_PART_KINDS(ROW)                                                                        \
  ROW(EBI_PART_UNIT, "unit")                                                                       \
  ROW(EBI_PART_DUCT, "duct")                                                                       \
  ROW(EBI_PART_BEND, "bend")                                                                       \
  ROW(EBI_PART_TEE, "tee")                                                                         \
  ROW(EBI_PART_REDUCER, "reducer")                                                                 \
  ROW(EBI_PART_COUPLING, "coupling")                                                               \
  ROW(EBI_PART_BOX, "box")                                                                         \
  ROW(EBI_PART_SILENCER, "silencer")                                                               \
  ROW(EBI_PART_FITTING, "fitting")                                                                 \
  ROW(EBI_PART_END, "outside end")                                                                 \
  ROW(EBI_PART_VALVE, "valve")                                                                     \
  ROW(EBI_PART_FRAME, "valve frame")                                                               \
  ROW(EBI_PART_RESTRICTOR, "restrictor")                                                           \
  ROW(EBI_PART_INSULATION, "insulation")                                                           \
  ROW(EBI_PART_FIXING, "fixing")                                                                   \
  ROW(EBI_PART_OTHER, "other")

typedef enum ebi_part_kind {
#define ROW(name, word) name,
  EBI_PART_KINDS(ROW)
#undef ROW
} ebi_part_kind;

/* A part that is wanted somewhere. */
typedef struct ebi_wanted {
  ebi_part_kind kind;
  const char *item;
  const char *short_item; /* without its family, a second name for a price; or NULL */
  double quantity;        /* pieces, or m where it is sold by length */
  const char *where;      /* run or junction */
  const ebi_run *run;     /* it is a length of, or NULL */
  ebi_price price;        /* the default one, each or per m */
  double piece;           /* m of a piece of duct as sold, 0 by the metre */
} ebi_wanted;

/* How much of a line goes to a run or junction. */
typedef struct ebi_place {
  const char *name;
  double amount;
  const ebi_run *run;
} ebi_place;

/* A line of the order while it grows. */
typedef struct ebi_part_line {
  ebi_part_kind kind;
  const char *item, *short_item;
  double quantity; /* before waste */
  ebi_price price;
  double piece;
  ebi_place *places;
  size_t n_places, places_capacity;
} ebi_part_line;

typedef struct ebi_order {
  ebi_ducts_job job; /* context, house, ledger, scratch, arena of the result and the sides */
  ebi_part_line *lines;
  size_t n_lines, lines_capacity;
  ebi_names names; /* of the lines */
  bool no_memory;
  bool bends_left_out; /* of tubes that are bent by hand */
  bool spigot_unknown;
  double waste;
} ebi_order;

/* ---- Lines ---- */

/* Adds to the line of that part, or begins it. */
void ebi_order_add(ebi_order *order, const ebi_wanted *wanted);

/* Whole pieces that a length is cut from. */
double ebi_part_pieces(double length, double piece);

/* True for what is sold by length. */
bool ebi_part_by_length(ebi_part_kind kind);

/* ---- Names (parts_names.c) ---- */

/* What something is joined by: `count` openings of one size and kind of duct. */
typedef struct ebi_mouth {
  const char *family; /* "" for a spigot, a valve, a duct of the house's own measures */
  const char *size;   /* "125", "204x60" */
  double bore;        /* m; 0 where it is not round */
  double area;        /* m2 of one */
  int count;
  const ebi_duct_size *duct; /* or NULL */
} ebi_mouth;

ebi_mouth ebi_mouth_of_run(ebi_order *order, const ebi_side_run *run);
ebi_mouth ebi_mouth_round(ebi_order *order, double bore);

/* "PREFIX-steel-160-125"; with a family to each where they are several. */
const char *ebi_part_name(ebi_order *order, const char *prefix, const ebi_mouth *mouths,
                          size_t count);

/* The same without families. */
const char *ebi_part_short_name(ebi_order *order, const char *prefix, const ebi_mouth *mouths,
                                size_t count);

/* "steel-160", "160 mm". */
const char *ebi_mouth_text(ebi_order *order, const ebi_mouth *mouth);

/* Formats in the scratch; "" where memory ran out, which is remembered. */
#if defined __GNUC__
__attribute__((format(printf, 2, 3)))
#endif
const char *
ebi_order_text(ebi_order *order, const char *format, ...);

/* ---- What is wanted ---- */

/* False for tubes of a coil and flexible duct, which are bent by hand. */
bool ebi_duct_is_rigid(const ebi_duct_size *duct);

/* Duct, fittings, valve, insulation and fixings of a run. */
void ebi_order_run(ebi_order *order, const ebi_side_run *run);

/* Tees, boxes, reducers and couplings of a meeting. */
eb_status ebi_order_meeting(ebi_order *order, const ebi_side *side, ebi_meeting *meeting);

typedef enum ebi_joint {
  EBI_JOINT_RUNS, /* two runs: a coupling where they are alike */
  EBI_JOINT_PLUG, /* a run with a spigot or a tee's port: nothing where they are alike */
  EBI_JOINT_VALVE /* likewise; a tube gets a box behind its valve */
} ebi_joint;

/* What joins two mouths of different size or number; `inlet` is the one towards the unit, or
 * the valve. */
void ebi_order_join(ebi_order *order, ebi_joint joint, const char *where, const ebi_mouth *inlet,
                    const ebi_mouth *outlet);

/* ---- The end ---- */

/* Pieces, prices and totals into a result; its account in the ledger. */
eb_status ebi_order_finish(ebi_order *order, eb_parts *parts);

/* What is to be known about a finished list. */
void ebi_order_notes(ebi_order *order, const eb_parts *parts);

#endif
