/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the room spread: a build as a function of its inputs, exactly (vary) and fast
 * (model).
 *
 * A sample is a vector u of standard normal numbers, one an input: the input's value is nominal +
 * u give / 1.96, kept within what is possible. */
#ifndef BALLASTRY_SPREAD_SPREAD_H
#define BALLASTRY_SPREAD_SPREAD_H

#include "ballastry/spread.h"

/* Half-widths in standard deviations of a normal spread: 95 of 100, 90 of 100. */
#define SPREAD_GIVE_SIGMA 1.959963984540054
#define SPREAD_RANGE_SIGMA 1.6448536269514722

/* ---- vary.c: the build with its inputs set ---- */

/* A build, a rig and what is uncertain of them. */
typedef struct SpreadCase {
    const BlyBuild *build;
    const BlyRig *rig;
    const BlyInput *inputs;
    size_t input_count;
    const BlyBlank *like; /* a blank of the build, whose hull may be borrowed; NULL: none */
} SpreadCase;

/* One lure out of all that the inputs allow. */
typedef struct SpreadLure {
    BlyBodyFacts facts;
    BlyCoat *coats;   /* owned; material texts are the build's */
    BlyInset *insets; /* owned; texts are the build's */
    BlySeat *seats;   /* owned; names are the build's */
    BlyPart *parts;   /* owned copies of parts that are off; texts are the catalog's */
    size_t part_count;
    BlyRig rig, fitted;
    BlyBlank blank;
    BlyLure lure;
} SpreadLure;

/* u: input_count numbers. Release in every case. */
bool spread_lure_make(const SpreadCase *set, const double *u, SpreadLure *out,
                      BlyError *err) BLY_MUST_CHECK;
void spread_lure_release(SpreadLure *lure);

/* The water as these inputs have it. */
bool spread_water_at(const SpreadCase *set, const BlyWaterFacts *facts, const double *u,
                     BlyWater *out, BlyError *err) BLY_MUST_CHECK;

/* An input's value at u, within what is possible. */
double spread_value(const BlyInput *input, double u);

/* ---- sums.c: sums over the lure as a polynomial of u ---- */

/* Mass, hull's volume at the reference temperature, parts' volume, each with its moments; and how
 * the water's hold at the nominal rest differs from the nominal one: drag's place, ln of area. */
typedef enum SpreadSum {
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
} SpreadSum;

typedef struct SpreadCross {
    size_t a, b; /* inputs */
    double by[SUMS];
} SpreadCross;

enum { CROSSES_MAX = 66 };

typedef struct SpreadSums {
    size_t count; /* inputs */
    double at_zero[SUMS];
    double slope[BLY_INPUTS_MAX][SUMS], bend[BLY_INPUTS_MAX][SUMS]; /* of u and of u^2 */
    SpreadCross cross[CROSSES_MAX];                                 /* of u_a u_b */
    size_t cross_count;
} SpreadSums;

bool spread_sums_make(const SpreadCase *set, const BlyOutcome *nominal, SpreadSums *out,
                      BlyError *err) BLY_MUST_CHECK;
void spread_sums_at(const SpreadSums *sums, const double *u, double out[SUMS]);
void spread_sums_of(const BlyLure *lure, double out[SUMS]); /* the hold is left 0 */

/* ---- grip.c: what the water does to the lure, over angle and speed ---- */

enum { GRIP_ANGLES = 60, GRIP_LOADS = 20 }; /* 3 degrees apart over half a turn */

typedef struct GripCell {
    double log_w; /* ln of speed over kinematic viscosity, 1/m */
    double x, z;  /* m, where the drag acts */
    double turn;  /* m, couple of the whole ideal flow over |N|, for a drag factor of 1 */
} GripCell;

/* Over nose-down angle and ln q, q = |N| g / (drag factor density nu^2): by similarity one table
 * serves all waters, weights and drag factors. */
typedef struct SpreadGrip {
    GripCell cell[GRIP_ANGLES][GRIP_LOADS];
    double cosine[2 * GRIP_ANGLES], sine[2 * GRIP_ANGLES]; /* of every node of the circle */
    double log_q_low, log_q_step;
} SpreadGrip;

bool spread_grip_make(const BlyLure *lure, const BlyWater *water, SpreadGrip *out,
                      BlyError *err) BLY_MUST_CHECK;

/* What is needed of one lure in one water. */
typedef struct GripLoad {
    double net_weight, wx, wz; /* kg, kg m */
    double drag, munk;         /* factors */
    double density, nu;        /* kg/m3, m2/s */
} GripLoad;
typedef struct GripRest {
    double nose_down; /* NAN: none */
    double drift;
    double drag_z;
} GripRest;
/* Where a lure let go level comes to rest and how fast it drifts, as bly_rest. */
GripRest spread_grip_rest(const SpreadGrip *grip, const GripLoad *load);
/* The other way round, for a lure seen to lie at nose_down and to drift at `drift` in the water and
 * with the factors of `load`: its net weight (kg); and where drag acts then and what the couple of
 * the whole ideal flow over |N| is, for a drag factor of 1. */
double spread_grip_weight(const SpreadGrip *grip, const GripLoad *load, double nose_down,
                          double drift, GripCell *hold);

/* ---- near_water.c: density and viscosity about one water ---- */

typedef struct NearWater {
    double temperature, salinity;         /* nominal */
    double sigma_temperature, sigma_salt; /* per unit of u */
    double density[6], log_nu[6];         /* 1, dT, dS, dT^2, dT dS, dS^2 */
} NearWater;

bool spread_near_water(const BlyWaterFacts *facts, NearWater *out, BlyError *err) BLY_MUST_CHECK;
/* u of temperature and of salinity. */
void spread_near_water_at(const NearWater *near, double u_temperature, double u_salt,
                          double *temperature, double *density, double *nu);

/* ---- afloat.c: shows and attitude at the surface ---- */

typedef struct SpreadAfloat {
    bool known; /* the nominal lure floats */
    double shows, nose_down;
    double wet_parts;         /* m3 of the parts that is under water */
    double parts;             /* m3 of the parts */
    double at[3];             /* nominal shows; x and z of the load that the hull carries */
    double slope[3], bend[3]; /* of the angle by these */
} SpreadAfloat;

/* By the full physics with a little more mass, and with the load moved by a little; `steps`: mass
 * (kg), x and z (m). without_angle: leaves slope and bend 0. */
bool spread_afloat_make(const BlyLure *lure, const BlyWater *water, const BlyOutcome *nominal,
                        const double steps[3], bool without_angle, SpreadAfloat *out,
                        BlyError *err) BLY_MUST_CHECK;
/* density of the water; hull: its volume as swollen. */
void spread_afloat_at(const SpreadAfloat *afloat, const double sums[SUMS], double density,
                      double hull, double *shows, double *nose_down);

/* ---- model.c: all of it ---- */

enum { MODEL_WATERS_MAX = BLY_SPREAD_WATERS_MAX + 1 }; /* a tank besides */

typedef struct SpreadModel {
    SpreadCase set;
    BlyInput inputs[BLY_INPUTS_MAX];
    const BlyTarget *target; /* NULL: none */
    SpreadSums sums;
    SpreadGrip grip;
    BlyWaterFacts facts[MODEL_WATERS_MAX];
    NearWater water[MODEL_WATERS_MAX];
    SpreadAfloat afloat[MODEL_WATERS_MAX];
    size_t water_count;
    bool at_surface;               /* attitude counts as it lies at the surface */
    int input_of[BLY_INPUT_KINDS]; /* of those that occur once; -1: not there */
    double low[BLY_INPUTS_MAX], high[BLY_INPUTS_MAX]; /* of u */
    bool tied; /* some inputs hang together: u = factor times independent ones, lower triangle */
    double factor[BLY_INPUTS_MAX * BLY_INPUTS_MAX]; /* input_count squared */
} SpreadModel;

/* Independent normal numbers, one an input, to u: as the build's ties have it. */
void spread_model_tie(const SpreadModel *model, double *u);

/* Works the nominal outcomes out on the way (full physics), one a water. NULL on failure. Borrows
 * build, rig and target. Free with free(). */
SpreadModel *spread_model_make(const BlyBuild *build, const BlyRig *rig,
                               const BlyWaterFacts *waters, size_t count, const BlyTarget *target,
                               BlyOutcome *nominal, BlyError *err);

/* Weights and factors of one lure in one water, and its hull's volume there. */
void spread_model_load(const SpreadModel *model, const double *u, const double sums[SUMS],
                       size_t water, GripLoad *out, double *hull);
/* One lure in one water. Only state, drift, nose_down, roll_arm, sums' net weight, has_surface and
 * the surface's shows and nose_down are filled. */
void spread_model_sample(const SpreadModel *model, const double *u, const double sums[SUMS],
                         size_t water, BlyOutcome *out);
/* u kept within what is possible. */
void spread_model_clamp(const SpreadModel *model, double *u);
/* The same by full physics. */
bool spread_model_full(const SpreadModel *model, const double *u, size_t water, BlyOutcome *out,
                       BlyError *err) BLY_MUST_CHECK;
/* The quantity as the model's attitude rule has it. */
double spread_quantity(const SpreadModel *model, const BlyOutcome *outcome, BlyQuantity quantity);

/* ---- draw.c: where samples come from ---- */

typedef struct SpreadDraw SpreadDraw;
SpreadDraw *spread_draw_make(size_t dimensions, BlySource source, unsigned long seed,
                             BlyError *err);
void spread_draw_free(SpreadDraw *draw);
void spread_draw_next(SpreadDraw *draw, double *u);

/* ---- first_order.c, sample.c ---- */

/* Ranges and shares of one water by slopes of the full physics; `holds` says whether first order
 * is enough for each quantity. */
typedef struct FirstOrder {
    double nominal[BLY_QUANTITIES], sigma[BLY_QUANTITIES];
    double slope[BLY_QUANTITIES][BLY_INPUTS_MAX]; /* a unit of u */
    bool holds[BLY_QUANTITIES];
} FirstOrder;
bool spread_first_order(const SpreadModel *model, size_t water, const BlyOutcome *nominal,
                        FirstOrder *out, BlyError *err) BLY_MUST_CHECK;

/* Everything that samples say; fills ranges (all by sampling), state, chance, miss and the first
 * water's shares of `out`, whose nominal outcomes are there. */
bool spread_sample(const SpreadModel *model, const BlySpreadOptions *options, BlySpread *out,
                   BlyError *err) BLY_MUST_CHECK;

#endif
