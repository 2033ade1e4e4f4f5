/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A lure as it really is, on the bench of a maker who does not know it so well: the build's own
 * tolerances drawn once and kept, whatever is done to it afterwards with the tolerance of hands.
 * Worked by the full physics. */
#ifndef BALLASTRY_TESTS_SUPPORT_REAL_LURE_H
#define BALLASTRY_TESTS_SUPPORT_REAL_LURE_H

#include "ballastry/tank.h"
#include "uncertain/uncertain.h"

#include <gsl/gsl_rng.h>

enum { REAL_DRAWS_MAX = 256, REAL_SEATS_MAX = 16 };

/* What was drawn of one input, in standard deviations of its tolerance. */
typedef struct RealDraw {
    BlyInput input;
    double u;
} RealDraw;

/* What hands did at a seat that the plan does not know. */
typedef struct RealHands {
    double length, x; /* m, off what was said */
    double filed;     /* m: ground off in truth */
    double turn;      /* share that a turn of wire is heavier */
    double metre;     /* kg that its metre, weighed once, is heavier than it was taken for */
    BlyPart wire;     /* the catalog's, as it was wound */
    double piece;     /* kg: what was put on till the scale showed it; 0: by count or length */
} RealHands;

typedef struct RealLure {
    const BlyBuild *build; /* as glued; borrowed, with its catalog */
    gsl_rng *dice;         /* borrowed */
    double hand;           /* what hands and scale are off by, as a share of the usual */
    RealDraw draw[REAL_DRAWS_MAX];
    size_t draw_count;
    RealHands hands[REAL_SEATS_MAX];
    BlyRig said; /* what is mounted, as it was meant; owned */
    BlyRig rig;  /* what is mounted; owned */
} RealLure;

/* The build as it is fitted, made by hand. False only without memory, or with more than the above
 * has room for. Release it in every case. */
bool real_begin(const BlyBuild *build, gsl_rng *dice, double hand, RealLure *out,
                BlyError *err) BLY_MUST_CHECK;
void real_release(RealLure *lure);

/* Another rig is glued from the start: what was drawn of parts stays. */
bool real_takes(RealLure *lure, const BlyRig *rig, BlyError *err) BLY_MUST_CHECK;
/* kg: the bare blank; what there is of one kind of part at a seat. */
bool real_blank(RealLure *lure, double *mass, BlyError *err) BLY_MUST_CHECK;
bool real_piece(RealLure *lure, int seat, BlyPartKind kind, double *mass,
                BlyError *err) BLY_MUST_CHECK;

/* Does by hand what turns the rig that is said to be mounted, as the file has it (`now`), into this
 * one. Where the file says what turns, dots or a strip then weigh, they are put on until the scale
 * shows what the seat shall weigh more than before, another hook on it or not. */
bool real_mend(RealLure *lure, const BlyRig *now, const BlyRig *to, BlyError *err) BLY_MUST_CHECK;
/* Things done by that: each thing at each seat is one. */
int rig_changes(const BlyRig *from, const BlyRig *to);

/* What it does in the tank, which holds the build's own water as the thermometer has it; and in
 * just that water. */
bool real_in_tank(RealLure *lure, BlyOutcome *out, BlyError *err) BLY_MUST_CHECK;
bool real_in_own_water(RealLure *lure, BlyOutcome *out, BlyError *err) BLY_MUST_CHECK;
/* How it stands to the target: met in every water, and how far outside the bands it lies, the worst
 * of drift (as v |v|, all but weight), what shows and angle, in half-bands; open bands in those of
 * 10 mm/s, 4 % and 10 degrees. */
bool real_judge(RealLure *lure, bool *met, double *off, BlyError *err) BLY_MUST_CHECK;
/* What is farthest outside of a lure that misses its target. */
typedef enum RealMiss { REAL_DRIFT_OFF, REAL_NOSE_OFF, REAL_SHOWS_OFF, REAL_MISSES } RealMiss;
bool real_misses(RealLure *lure, RealMiss *what, BlyError *err) BLY_MUST_CHECK;

#endif
