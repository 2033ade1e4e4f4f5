/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The room spread for the other rooms: a lure as a fast function of its inputs (the stand-ins,
 * quick_*.c), where samples come from, and what is looked at of an outcome. A sample is a vector u
 * of standard normal numbers, one an input (uncertain/uncertain.h). */
#ifndef BALLASTRY_SPREAD_SPREAD_H
#define BALLASTRY_SPREAD_SPREAD_H

#include "ballastry/spread.h"
#include "moments/moments.h"
#include "uncertain/uncertain.h"

/* ---- quick_sums.c: sums over the lure as a polynomial of u ---- */

/* Mass, hull's volume at the reference temperature, parts' volume, each with its moments; and how
 * the water's hold at the nominal rest differs from the nominal one: drag's place, ln of area. */
typedef enum QuickSum {
    SUM_M,
    SUM_MX,
    SUM_MZ,
    SUM_H,
    SUM_HX,
    SUM_HZ,
    SUM_P,
    SUM_PX,
    SUM_PZ,
    SUM_HOLD_X,
    SUM_HOLD_Z,
    SUM_HOLD_AREA,
    SUMS
} QuickSum;

typedef struct QuickCross {
    size_t a, b; /* inputs */
    double by[SUMS];
} QuickCross;

enum { CROSSES_MAX = 66 };

typedef struct QuickSums {
    size_t count; /* inputs */
    double at_zero[SUMS];
    double slope[BLY_INPUTS_MAX][SUMS], bend[BLY_INPUTS_MAX][SUMS]; /* of u and of u^2 */
    QuickCross cross[CROSSES_MAX];                                  /* of u_a u_b */
    size_t cross_count;
} QuickSums;

void quick_sums_at(const QuickSums *sums, const double *u, double out[SUMS]);
void quick_sums_of(const BlyLure *lure, double out[SUMS]); /* the hold is left 0 */
/* The sums without the hull: all mass, the parts' volume; and more put on. */
Moments quick_sums_moments(const double sums[SUMS]);
void quick_sums_add(double sums[SUMS], Moments more);

/* ---- quick_grip.c: what the water does to the lure, over angle and speed ---- */

enum { GRIP_ANGLES = 60, GRIP_LOADS = 20 }; /* 3 degrees apart over half a turn */

typedef struct GripCell {
    double log_w; /* ln of speed over kinematic viscosity, 1/m */
    double x, z;  /* m, where the drag acts */
    double turn;  /* m, couple of the whole ideal flow over |N|, for a drag factor of 1 */
} GripCell;

/* Over nose-down angle and ln q, q = |N| g / (drag factor density nu^2): by similarity one table
 * serves all waters, weights and drag factors. */
typedef struct QuickGrip {
    GripCell cell[GRIP_ANGLES][GRIP_LOADS];
    double cosine[2 * GRIP_ANGLES], sine[2 * GRIP_ANGLES]; /* of every node of the circle */
    double log_q_low, log_q_step;
} QuickGrip;

/* What is needed of one lure in one water. */
typedef struct GripLoad {
    double net_weight, wx, wz; /* kg, kg m */
    double drag, munk;         /* factors */
    double density, nu;        /* kg/m3, m2/s */
} GripLoad;
/* The same with more put on. */
GripLoad quick_grip_added(const GripLoad *load, const Moments *more);
typedef struct GripRest {
    double nose_down; /* NAN: none */
    double drift;
    double drag_z;
} GripRest;
/* Where a lure let go level comes to rest and how fast it drifts, as bly_rest. */
GripRest quick_grip_rest(const QuickGrip *grip, const GripLoad *load);
/* The other way round, for a lure seen to lie at nose_down and to drift at `drift` in the water and
 * with the factors of `load`: its net weight (kg); and where drag acts then and what the couple of
 * the whole ideal flow over |N| is, for a drag factor of 1. */
double quick_grip_weight(const QuickGrip *grip, const GripLoad *load, double nose_down,
                         double drift, GripCell *hold);

/* ---- quick_water.c: density and viscosity about one water ---- */

typedef struct QuickWater {
    double temperature, salinity;         /* nominal */
    double sigma_temperature, sigma_salt; /* per unit of u */
    double density[6], log_nu[6];         /* 1, dT, dS, dT^2, dT dS, dS^2 */
} QuickWater;

/* ---- quick_afloat.c: shows and attitude at the surface ---- */

typedef struct QuickAfloat {
    bool known; /* the nominal lure floats */
    double shows, nose_down;
    double wet_parts;         /* m3 of the parts that is under water */
    double parts;             /* m3 of the parts */
    double at[3];             /* nominal shows; x and z of the load that the hull carries */
    double slope[3], bend[3]; /* of the angle by these */
    double cosine;            /* of the nominal angle */
    /* kg m: mass times roll height plus the load's first moment up, at the nominal shows; it is the
     * hull's alone. Its change with shows. NAN: not looked at. */
    double righting, righting_slope, righting_bend;
} QuickAfloat;

/* density of the water; hull: its volume as swollen. */
void quick_afloat_at(const QuickAfloat *afloat, const double sums[SUMS], double density,
                     double hull, double *shows, double *nose_down);
/* Roll height (m) of a lure that shows so much; NAN where the nominal lure does not float. */
double quick_afloat_roll(const QuickAfloat *afloat, const double sums[SUMS], double density,
                         double shows);

/* ---- quick_lure.c: all of it ---- */

enum { QUICK_WATERS_MAX = BLY_SPREAD_WATERS_MAX + 1 }; /* a tank besides */

typedef struct QuickLure {
    UncertainCase set;
    BlyInput inputs[BLY_INPUTS_MAX];
    const BlyTarget *target; /* NULL: none */
    QuickSums sums;
    QuickGrip grip;
    BlyWaterFacts facts[QUICK_WATERS_MAX];
    QuickWater water[QUICK_WATERS_MAX];
    QuickAfloat afloat[QUICK_WATERS_MAX];
    size_t water_count;
    bool at_surface;                  /* attitude counts as it lies at the surface */
    bool by_afloat[QUICK_WATERS_MAX]; /* and the nominal lure does lie there */
    int input_of[BLY_INPUT_KINDS];    /* of those that occur once; -1: not there */
    double low[BLY_INPUTS_MAX], high[BLY_INPUTS_MAX]; /* of u */
    bool tied; /* some inputs hang together: u = factor times independent ones, lower triangle */
    double factor[BLY_INPUTS_MAX * BLY_INPUTS_MAX]; /* input_count squared */
} QuickLure;

/* Independent normal numbers, one an input, to u: as the build's ties have it. */
void quick_lure_tie(const QuickLure *quick, double *u);

/* Works the nominal outcomes out on the way (full physics), one a water. NULL on failure. Borrows
 * build, rig and target. Free with free(). */
QuickLure *quick_lure_make(const BlyBuild *build, const BlyRig *rig, const BlyWaterFacts *waters,
                           size_t count, const BlyTarget *target, BlyOutcome *nominal,
                           BlyError *err);

/* Weights and factors of one lure in one water, and its hull's volume there. */
void quick_lure_load(const QuickLure *quick, const double *u, const double sums[SUMS], size_t water,
                     GripLoad *out, double *hull);
/* One lure in one water. Only state, drift, nose_down, roll_arm, sums' net weight, has_surface and
 * the surface's shows, nose_down and roll_height are filled. */
void quick_lure_sample(const QuickLure *quick, const double *u, const double sums[SUMS],
                       size_t water, BlyOutcome *out);
/* u kept within what is possible. */
void quick_lure_clamp(const QuickLure *quick, double *u);
/* ---- full.c: what is looked at of an outcome, of either kind ---- */

/* The quantity as the attitude rule of docs/spread.md has it in that water: NAN for the attitude
 * afloat of a lure that does not float. */
double spread_quantity(const QuickLure *quick, size_t water, const BlyOutcome *outcome,
                       BlyQuantity quantity);
/* How far a quantity has moved; angles the short way round. */
double spread_moved(const QuickLure *quick, size_t water, const BlyOutcome *to,
                    const BlyOutcome *from, BlyQuantity quantity);
/* An angle so far off the nominal one (rad) is another way to rest, not a spread about it. */
#define SPREAD_TURNED 1.57079632679489662

/* ---- spread.c: the chance alone ---- */

/* That the build's target is met in every water of it, as built with this rig: bly_spread's chance
 * by the same lures, which is the one that is told everywhere. options: samples, source and seed;
 * NULL: the usual ones. NAN without a target. */
bool spread_chance(const BlyBuild *build, const BlyRig *rig, const BlySpreadOptions *options,
                   double *out, BlyError *err) BLY_MUST_CHECK;

/* ---- draw.c: where samples come from ---- */

typedef struct SpreadDraw SpreadDraw;
SpreadDraw *spread_draw_make(size_t dimensions, BlySource source, unsigned long seed,
                             BlyError *err);
void spread_draw_free(SpreadDraw *draw);
void spread_draw_next(SpreadDraw *draw, double *u);

#endif
