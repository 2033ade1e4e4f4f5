/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How sure a result is: every input of a build with its give, what they do together to net weight,
 * drift and attitude, the chance that the target is met, and which input to mend first.
 *
 * A give is a half-width that 95 of 100 pieces keep, 1.96 standard deviations of a normal spread.
 * Ranges are 90 % ranges: 5 of 100 lures lie below, 5 above. Same input, same numbers: every random
 * choice has a fixed seed. Formulas, sources and measurements: docs/spread.md. */
#ifndef BALLASTRY_SPREAD_H
#define BALLASTRY_SPREAD_H

#include "ballastry/build.h"

typedef enum BlyInputKind {
    BLY_IN_BODY_DENSITY,
    BLY_IN_BODY_MASS, /* the scale's */
    BLY_IN_VOLUME,    /* share of the shape's */
    BLY_IN_BALANCE,
    BLY_IN_BALANCE_UP,
    BLY_IN_SOAK,
    BLY_IN_EXPANSION,
    BLY_IN_COAT_THICKNESS,
    BLY_IN_COAT_DENSITY,
    BLY_IN_INSET_DENSITY,  /* of a piece glued into the blank */
    BLY_IN_INSET_MASS,     /* the scale that weighed it */
    BLY_IN_PART_MASS,      /* what the catalog says of a part: shared by all pieces of one id */
    BLY_IN_PART_THICKNESS, /* sheet or strip, by id */
    BLY_IN_PART_DENSITY,
    BLY_IN_PIECE_MASS, /* from hook to hook of one id, each seat by itself */
    BLY_IN_WEIGHED,    /* the scale that weighed this very piece */
    BLY_IN_LOAD,       /* leader at the tie */
    BLY_IN_DRAG,
    BLY_IN_MUNK,
    BLY_IN_TEMPERATURE, /* one thermometer for all waters */
    BLY_IN_SALINITY,
    BLY_INPUT_KINDS
} BlyInputKind;

/* One uncertain input. Texts are static, or borrowed from the catalog and the build. */
typedef struct BlyInput {
    BlyInputKind kind;
    const char *id; /* part, coat material or name of a blank's piece; "" where there is none */
    int seat;       /* -1: not of one seat */
    int index;      /* coat, or piece of the blank; -1: of neither */
    int part_kind;  /* BlyPartKind of BLY_IN_WEIGHED and BLY_IN_PIECE_MASS, else -1 */
    double value;   /* SI; deg C for the first water's temperature */
    double give;    /* > 0 */
} BlyInput;
/* "body density", "coat thickness"; and what the maker can do: "weigh the blank". Never NULL. */
const char *bly_input_words(BlyInputKind kind);
const char *bly_input_advice(BlyInputKind kind);

enum { BLY_INPUT_NAME_MAX = 128 };
/* The name by which the build's ties speak of an input; "" where they cannot. */
void bly_input_name(const BlyBuild *build, const BlyInput *input, char out[BLY_INPUT_NAME_MAX]);

enum { BLY_INPUTS_MAX = 64, BLY_SPREAD_WATERS_MAX = BLY_TARGET_WATERS_MAX };

/* All inputs of a build with a rig whose give is above 0, the body's first, then coats, pieces of
 * the blank, parts seat by seat, drag, water; at most BLY_INPUTS_MAX, else BLY_E_RANGE. A hook that
 * was not weighed has besides its catalog's give +-5 % from piece to piece (docs/spread.md). */
bool bly_inputs_list(const BlyBuild *build, const BlyRig *rig, const BlyWaterFacts *water,
                     BlyInput out[BLY_INPUTS_MAX], size_t *count, BlyError *err) BLY_MUST_CHECK;

typedef enum BlyQuantity {
    BLY_Q_NET_WEIGHT, /* kg */
    BLY_Q_DRIFT,      /* m/s */
    BLY_Q_NOSE_DOWN,  /* rad; at the surface for a lure that is to float (else: that does) */
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
    double chance;   /* that the target is met in this water; NAN without a target */
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

#endif
