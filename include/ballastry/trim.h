/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Trim reserve: what can still be added to or taken off a finished lure, and the chance that it
 * meets its target as built and after one, two and three tank tests, the best trims after each.
 *
 * Ten milligrams drift a 12 g lure at 13 mm/s, and hooks of one size differ by more than that: no
 * choice of parts alone suspends a lure for sure. So the plan has stages, as makers work: build it
 * a little light, look at it in the tank, add what is missing, look again. docs/trim.md. */
#ifndef BALLASTRY_TRIM_H
#define BALLASTRY_TRIM_H

#include "ballastry/spread.h"

BLY_API_BEGIN

typedef enum BlyTrimKind {
    BLY_TRIM_DOTS,  /* at a patch that is empty or carries dots; a step is one dot */
    BLY_TRIM_TURNS, /* of wire on a hook's shank; one turn */
    BLY_TRIM_STRIP, /* cut shorter; a millimetre */
    BLY_TRIM_RING,  /* the next heavier ring in its place */
    BLY_TRIM_EDGE,  /* of the lip, cut back; half a millimetre (rule "mending") */
    BLY_TRIM_LIP,   /* of metal, ground thinner where its edge cannot be cut; a hundredth */
    BLY_TRIM_HOOK,  /* the next lighter hook in its place, and wire on it by the scale */
    BLY_TRIM_KINDS
} BlyTrimKind;
const char *bly_trim_words(BlyTrimKind kind, bool many); /* "dot", "dots"; "strip" */

/* One trim that is open to a rig, and how it is used over all samples. */
typedef struct BlyTrim {
    BlyTrimKind kind;
    int seat;
    const BlyPart *part;   /* dot, wire, strip, heavier ring, sheet */
    double x;              /* m, place: dots and strip; else the seat's */
    int least, most;       /* steps: below 0 takes off */
    double unit;           /* m a step of strip or lip; 0 of what is counted */
    double net_weight;     /* kg a step, in the tank's water */
    double nose_down;      /* rad a step */
    double from;           /* m/s: the middle drift in the tank of lures that it is used on */
    double drift;          /* m/s a step, from there */
    double used;           /* share of lures that it is used on */
    int low, middle, high; /* steps on 5, 50, 95 of 100 lures that it is used on */
} BlyTrim;

enum { BLY_TRIMS_MAX = 24 };

/* The plan: chance[k] is that the target is met in every water after k tank tests and the trims
 * after each; chance[0] as built, bly_spread's own where options.samples is 0: the others are then
 * told about it, from how many lures each test gains and loses. What else is told of trims and tank
 * is of the first test. */
typedef struct BlyReserve {
    BlyTrim trims[BLY_TRIMS_MAX]; /* the most used first */
    size_t count;
    double chance[BLY_TESTS_MAX + 1]; /* what lies beyond `worked` is NAN */
    int tests;                        /* that the maker is willing to make: the build's */
    int worked;                       /* tests that were worked out */
    unsigned tools;                   /* read with, bits 1 << BlyTool */
    double left_alone;                /* share of lures that need no trim after the first test */
    double drift[3];                  /* m/s in the tank as built: 5, 50 and 95 of 100 */
    /* rad; 5, 50 and 95 of 100 of those that lie within 90 degrees of the nominal attitude, of one
     * kind as in BlySpreadWater; NAN where the nominal lure prefers none. turned: the others'
     * share. */
    double nose_down[3], turned;
    double shows[3]; /* share; NAN unless the target is to float */
    BlyWater tank;
    size_t samples;
} BlyReserve;

/* After the tests that the maker is willing to make, as far as they were worked out. */
static inline double bly_reserve_chance(const BlyReserve *reserve) {
    return reserve->chance[reserve->tests < reserve->worked ? reserve->tests : reserve->worked];
}

typedef struct BlyReserveOptions {
    size_t samples; /* 100 to 100,000; 0: 2048 */
    unsigned long seed;
    unsigned kinds;     /* bits 1 << BlyTrimKind that are open; 0: all */
    bool finished;      /* only what may change on a finished lure: bly_seat_mendable */
    bool only_open;     /* only where the build leaves the kind of part open */
    int fewer;          /* works out so many tests less than BLY_TESTS_MAX */
    unsigned tools;     /* bits 1 << BlyTool; 0: the build's */
    double timing_give; /* s; 0: 0.2 (docs of the trade, from memory) */
    double angle_give;  /* rad; 0: 2 degrees (the same) */
    double depth;       /* m, over which it is timed; 0: 0.6 */
} BlyReserveOptions;

/* Works the reserve of a build with a rig out for its own target and waters; the tank holds the
 * build's own water. Parts to trim with come from the catalog within the build's limits. Needs a
 * target (BLY_E_MISSING). Other errors as bly_spread's. */
bool bly_reserve(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *rig,
                 const BlyReserveOptions *options, BlyReserve *out, BlyError *err) BLY_MUST_CHECK;

BLY_API_END

#endif
