/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The room uncertain for the other rooms: a build with its inputs moved.
 *
 * A sample is a vector u of standard normal numbers, one an input: the input's value is nominal +
 * u give / 1.96, kept within what is possible. */
#ifndef BALLASTRY_UNCERTAIN_UNCERTAIN_H
#define BALLASTRY_UNCERTAIN_UNCERTAIN_H

#include "ballastry/uncertain.h"
#include "build/build.h"

/* A build, a rig and what is uncertain of them. All borrowed. */
typedef struct UncertainCase {
    const BlyBuild *build;
    const BlyRig *rig;
    const BlyInput *inputs;
    size_t input_count;
    const BlyBlank *like; /* a blank of the build, whose hull may be borrowed; NULL: none */
} UncertainCase;

/* ---- value.c ---- */

/* An input's value at u, within what is possible. */
double uncertain_value(const BlyInput *input, double u);
/* u at the ends of what is possible. */
void uncertain_reach(const BlyInput *input, double *low, double *high);
/* The water as these inputs have it. */
bool uncertain_water(const UncertainCase *set, const BlyWaterFacts *facts, const double *u,
                     BlyWater *out, BlyError *err) BLY_MUST_CHECK;

/* ---- ties.c ---- */

/* How count inputs hang together: the lower Cholesky factor of their correlations, count squared;
 * the identity when *any is false. Inputs that bly_input_name has no name for are tied to none. */
bool uncertain_ties(const BlyBuild *build, const BlyInput *inputs, size_t count, double *factor,
                    bool *any, BlyError *err) BLY_MUST_CHECK;
/* Independent normal numbers, one an input, to tied ones. */
void uncertain_tie(const double *factor, size_t count, double *u);

/* ---- moved.c: the build with its figures set ---- */

/* Texts are the build's. A patch whose strip fills it reaches a millimetre further. */
typedef struct MovedBuild {
    BlyBodyFacts facts; /* insets: those below */
    BlyCoat *coats;     /* owned */
    BlyInset *insets;   /* owned */
    BlySeat *seats;     /* owned */
    BlyRig fitted;      /* owned: what the build says is mounted */
} MovedBuild;

/* rig: what will be mounted, which may be the build's own. End in every case. */
bool moved_begin(const BlyBuild *build, const BlyRig *rig, MovedBuild *out,
                 BlyError *err) BLY_MUST_CHECK;
void moved_end(MovedBuild *moved);
/* Sets a figure of the body, of coat or piece `index` or of the leader at seat `index`; those of
 * parts and of the water are not the build's and are left. */
void moved_set(MovedBuild *moved, BlyInputKind kind, int index, double value);

/* ---- lure.c ---- */

/* One lure out of all that the inputs allow. */
typedef struct MovedLure {
    MovedBuild build;
    BlyPart *parts; /* owned copies of parts that are off; texts are the catalog's */
    size_t part_count;
    BlyRig rig;
    BlyBlank blank;
    BlyLure lure;
} MovedLure;

/* u: input_count numbers. Release in every case. */
bool moved_lure_make(const UncertainCase *set, const double *u, MovedLure *out,
                     BlyError *err) BLY_MUST_CHECK;
/* The same, quicker: another coat takes the hull of set->like, which must be there, as it stands,
 * grown (bly_blank_about). */
bool moved_lure_about(const UncertainCase *set, const double *u, MovedLure *out,
                      BlyError *err) BLY_MUST_CHECK;
void moved_lure_release(MovedLure *lure);

#endif
