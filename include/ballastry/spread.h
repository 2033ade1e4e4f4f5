/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How sure a result is: what the uncertain inputs of a build do together to net weight, drift and
 * attitude, the chance that the target is met, and which input to mend first.
 *
 * Ranges are 90 % ranges: 5 of 100 lures lie below, 5 above. Same input, same numbers: every random
 * choice has a fixed seed. Formulas, sources and measurements: docs/spread.md. */
#ifndef BALLASTRY_SPREAD_H
#define BALLASTRY_SPREAD_H

#include "ballastry/uncertain.h"

BLY_API_BEGIN

enum { BLY_SPREAD_WATERS_MAX = BLY_TARGET_WATERS_MAX };

typedef enum BlyQuantity {
    BLY_Q_NET_WEIGHT, /* kg */
    BLY_Q_DRIFT,      /* m/s */
    BLY_Q_NOSE_DOWN,  /* rad; see BlySpreadWater.afloat */
    BLY_Q_SHOWS,      /* share; NAN where it does not float */
    BLY_QUANTITIES
} BlyQuantity;

typedef enum BlyMethod {
    BLY_BY_FIRST_ORDER, /* slopes of the full physics times gives, added as squares */
    BLY_BY_SAMPLING
} BlyMethod;

typedef struct BlyRange {
    double nominal, low, high; /* 5 and 95 of 100 */
    double sigma;              /* standard deviation, by the same method */
    BlyMethod method;
} BlyRange;

typedef enum BlySource { BLY_SOURCE_SOBOL, BLY_SOURCE_RANDOM } BlySource;

typedef struct BlySpreadOptions {
    size_t samples;     /* 100 to 10,000,000; 0: 16384 */
    BlySource source;   /* Sobol points with a seeded shift; or pseudo-random */
    unsigned long seed; /* 0 is a seed like any other */
    bool sample_all;    /* no first order: every range by sampling. Cheap, for ranking many rigs */
} BlySpreadOptions;

/* What can be missed, as bits of a sample and as shares of all. */
typedef enum BlyMiss {
    BLY_MISS_DRIFT,
    BLY_MISS_SHOWS,
    BLY_MISS_NOSE,
    BLY_MISS_ROLL,
    BLY_MISSES
} BlyMiss;

typedef struct BlySpreadWater {
    BlyWater water;
    BlyOutcome nominal; /* full physics */
    BlyRange range[BLY_QUANTITIES];
    double state[3]; /* share of samples by BlyState */
    /* The attitude is of one kind. afloat: as the lure lies at the surface, of the samples that
     * float (for a lure that is to float, or without a target does, and whose nominal one does).
     * Else as it moves or hangs under water, of all samples, floaters on their way up too. Of these
     * `turned` is the share that rests more than 90 degrees away from the nominal attitude, the
     * short way round, or nowhere: the range is of the others. no_attitude: none is preferred (the
     * nominal one has none, or it lies outside its own range); low and high of the range are NAN.
     */
    bool afloat, no_attitude;
    double turned;
    double chance; /* that the target is met in this water; NAN without a target */
} BlySpreadWater;

typedef struct BlySpread {
    BlyInput inputs[BLY_INPUTS_MAX];
    size_t input_count;
    /* Share of the first water's variance that comes from each input; each row adds up to 1, or is
     * 0 all over where nothing varies. */
    double share[BLY_QUANTITIES][BLY_INPUTS_MAX];
    BlyQuantity matters; /* what misses the target most often; without a target the net weight */
    size_t order[BLY_INPUTS_MAX]; /* inputs by their share in that, largest first */
    BlySpreadWater water[BLY_SPREAD_WATERS_MAX];
    size_t water_count;
    bool has_target;
    double chance;           /* that the target is met in every water */
    double miss[BLY_MISSES]; /* share of samples that miss each requirement in some water */
    size_t samples;
} BlySpread;

/* Works the spread out. `target` may be NULL. waters: 1 to BLY_SPREAD_WATERS_MAX; their gives are
 * taken as one thermometer's and one refractometer's. Where first order does not hold (a range's
 * end is off by more than a tenth of its half-width, or its middle has moved by that much) the
 * range comes from the samples, and says so. The chance always does. Errors: those of lure and
 * rest, memory, BLY_E_RANGE for options. */
bool bly_spread(const BlyBuild *build, const BlyRig *rig, const BlyWaterFacts *waters, size_t count,
                const BlyTarget *target, const BlySpreadOptions *options, BlySpread *out,
                BlyError *err) BLY_MUST_CHECK;

/* Two rigs of one build side by side, as a swap leaves body, coat, water and every part that stays
 * the very same: each sample draws those once for both. */
typedef struct BlySwapRange {
    BlyRange before, after, change; /* change: after less before, angles the short way round */
    double more;  /* share of samples in which it grows: heavier, faster down, more nose-down */
    double apart; /* share of samples that are in `change`: of the attitude without those that turn
                     over; of what shows those that float with both rigs */
} BlySwapRange;

typedef struct BlySwapSpread {
    BlySwapRange range[BLY_QUANTITIES]; /* in the build's own water; all by sampling */
    bool afloat;                        /* the attitude is that at the surface, with both rigs */
    bool has_target;
    /* That the target is met in all its waters, bly_spread's for each rig; else NAN. */
    double chance_before, chance_after;
    /* Share of lures that miss before and meet after; the other way. Their difference is that of
     * the chances. */
    double mended, spoilt;
    size_t samples;
} BlySwapSpread;

/* Works the two out by the same draws. options may be NULL; sample_all is not asked. Errors as
 * bly_spread. */
bool bly_spread_swap(const BlyBuild *build, const BlyRig *before, const BlyRig *after,
                     const BlySpreadOptions *options, BlySwapSpread *out,
                     BlyError *err) BLY_MUST_CHECK;

BLY_API_END

#endif
