/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the room spread: trims as lists of options, one tank test of a sample, and the search
 * for the best trims after it. */
#ifndef BALLASTRY_SPREAD_RESERVE_H
#define BALLASTRY_SPREAD_RESERVE_H

#include "ballastry/reserve.h"
#include "spread/spread.h"

enum { TRIM_OPTIONS_MAX = 64, TRIM_GROUPS_MAX = BLY_TRIMS_MAX };

/* What a trim adds to the sums SUM_M, MX, MZ, P, PX, PZ of the lure. */
enum { ADD_M, ADD_MX, ADD_MZ, ADD_P, ADD_PX, ADD_PZ, ADDS };

typedef struct TrimOption {
    double add[ADDS];
    int steps;
    double x;
} TrimOption;

/* Options of one group exclude one another; those of different groups add up (what hangs acts at
 * one point). Doing nothing is not listed. */
typedef struct TrimGroup {
    BlyTrimKind kind;
    int seat;
    const BlyPart *part;
    double give_share; /* of what a step adds, 95 of 100 */
    TrimOption option[TRIM_OPTIONS_MAX];
    size_t count;
} TrimGroup;

typedef struct TrimList {
    TrimGroup group[TRIM_GROUPS_MAX];
    size_t count;
} TrimList;

/* need: net weight (kg) by which the far end of the spread misses the middle of the target: dots
 * and wire are chosen to reach that with the smallest step. Where that step is above `half`, half
 * the target's band, finer ones go beside them. */
typedef struct TrimTask {
    const BlyBuild *build;
    const BlyCatalog *catalog;
    const BlyRig *rig;
    const BlyReserveOptions *options;
    double density; /* of the tank's water */
    double need, half;
} TrimTask;
double trims_unit(BlyTrimKind kind); /* m a step of what is measured, else 0 */
bool trims_list(const TrimTask *task, TrimList *out, BlyError *err) BLY_MUST_CHECK;

/* ---- tank_test.c ---- */

/* Water 0 of the model is the tank, those after it are the target's. */
typedef struct TankTask {
    const SpreadModel *model;
    const BlyTarget *target;
    double drift_low, drift_high; /* effective */
    bool at_surface;
    GripLoad load[BLY_SPREAD_WATERS_MAX + 1]; /* nominal, by water */
    double shows[BLY_SPREAD_WATERS_MAX + 1];  /* nominal */
    double mass;                              /* kg */
    double hull, load_mass, load_x, load_z;   /* m3, kg, m: at the surface, in the tank */
    double timing_sigma, angle_sigma, shows_sigma, depth, patience;
} TankTask;

typedef struct TankReading {
    double drift; /* m/s; 0: hung still */
    double nose_down;
    double shows;
} TankReading;

void tank_task_make(const SpreadModel *model, const BlyReserveOptions *options, TankTask *out);
/* Of a sample in the tank; noise: two standard normal numbers. */
TankReading tank_read(const TankTask *task, const BlyOutcome *outcome, const double noise[2]);

/* What the maker takes the lure for after the reading: loads in each water. */
typedef struct TankBelief {
    GripLoad load[BLY_SPREAD_WATERS_MAX + 1];
    double shows, nose_down; /* at the surface, in the tank */
} TankBelief;
void tank_believe(const TankTask *task, const TankReading *reading, TankBelief *out);

/* How far from the middle of its bands the lure is believed to lie once `add` is on: a sum of
 * squares over waters, drift (or shows), angle and roll arm, each 1 at an edge. *worst (may be
 * NULL) takes the largest of them, not squared. */
double tank_score(const TankTask *task, const TankBelief *belief, const double add[ADDS],
                  double *worst);
/* Net weight (kg in the tank) that is believed to be missing to the middle, and half the band. */
void tank_missing(const TankTask *task, const TankBelief *belief, double *missing, double *half);

/* ---- choose_trim.c ---- */

typedef struct TrimCombo {
    double net_weight;         /* kg added in the tank */
    short group[2], option[2]; /* -1: none */
    float cost;
} TrimCombo;
typedef struct TrimCombos {
    TrimCombo *at; /* owned, by net weight */
    size_t count;
} TrimCombos;
bool trim_combos_make(const TrimList *trims, double density, TrimCombos *out,
                      BlyError *err) BLY_MUST_CHECK;
void trim_combos_release(TrimCombos *combos);
void trim_combo_add(const TrimList *trims, const TrimCombo *combo, double add[ADDS]);
/* The best combo by score and cost. */
const TrimCombo *trim_choose(const TrimList *trims, const TrimCombos *combos, const TankTask *task,
                             const TankBelief *belief);

#endif
