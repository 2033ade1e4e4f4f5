/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One water of the target as rows of the programme: bands and reference points, in grams and
 * millimetres, for a fixed drag and draft. Where a rig has been worked through, the rows are set so
 * that they give that rig what the full physics gave it, and are right to first order near it. */
#ifndef BALLASTRY_FIT_FRAME_H
#define BALLASTRY_FIT_FRAME_H

#include "fit/candidates.h"

enum { AT_LOW, AT_MIDDLE, AT_HIGH, ANGLES };

typedef struct Frame {
    BlyWater water;
    double rho;              /* g/cm3 */
    double hull_v;           /* cm3, swollen or shrunk to this water's temperature */
    BlyVec3 hull_at;         /* mm */
    bool at_surface;         /* hull's buoyancy acts at the reference point */
    double n_low, n_high;    /* g, net weight that keeps the bands; may be infinite */
    double n_middle, n_half; /* g, what `off` is counted from; NAN middle: nothing to aim at */
    bool has_attitude;       /* the angle band is bounded */
    double angle[ANGLES];    /* rad */
    double ref_x[ANGLES]; /* mm, world X where a little weight turns nothing: the drag centre, less
                           * the arm of the flow's couple, or the centre of the waterplane */
    double hull_turn[ANGLES]; /* g mm, the hull's own moment about there; under water it is left to
                               * hull_at */
    double ref_z;             /* mm, body axes: the drag centre's */
    double stiffness;         /* g mm/rad, for turning moments into angles */
    double roll_least;        /* mm */
    bool roll_afloat;         /* the roll height binds before the roll arm */
    double roll_hull;         /* g mm, what the hull does against rolling at the surface */
} Frame;

/* Sets the frame of one water from the lure as it is taken to come out; `worked` is what the full
 * physics says of it in that water, NULL where nobody asked. */
bool frame_make(const BlyBuild *build, const BlyLure *like, const BlyOutcome *worked,
                const BlyWaterFacts *water, Frame *out, BlyError *err) BLY_MUST_CHECK;

/* Weight in water (g), moment at one of the three angles (g mm) and roll row (g mm, <= 0 is good)
 * that a lump adds. */
double frame_weight(const Frame *frame, const Lump *lump);
double frame_moment(const Frame *frame, const Lump *lump, int angle);
double frame_roll(const Frame *frame, const Lump *lump);

/* The same for the blank with its hull. */
double frame_blank_weight(const Frame *frame, const Lump *blank);
double frame_blank_moment(const Frame *frame, const Lump *blank, int angle);
double frame_blank_roll(const Frame *frame, const Lump *blank);

/* How far two frames of the same water lie apart, in half-bands. */
double frame_distance(const Frame *a, const Frame *b);

#endif
