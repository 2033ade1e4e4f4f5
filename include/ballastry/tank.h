/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Learning from readings: what a scale, a knife edge and a tank say of a lure corrects its build.
 *
 * Weighted least squares. Every quantity that the build gives with a tolerance is free to move and
 * is held by that tolerance; every reading pulls with its own. A give is the half-width that 95 of
 * 100 keep and is taken as 1.96 standard deviations of a normal law. docs/tank.md says more. */
#ifndef BALLASTRY_TANK_H
#define BALLASTRY_TANK_H

#include "ballastry/uncertain.h"

BLY_API_BEGIN

typedef enum BlyReadingKind {
    BLY_READ_SCALE,       /* kg, in air; water taken up and a leader are not on it */
    BLY_READ_IN_WATER,    /* kg, positive sinks; a floater is pushed under */
    BLY_READ_DRIFT,       /* m/s, positive down, steady */
    BLY_READ_TILT,        /* rad nose-down, drifting under water */
    BLY_READ_TILT_AFLOAT, /* rad nose-down, at the surface */
    BLY_READ_SHOWS,       /* share of body and coat above the water */
    BLY_READ_BALANCE,     /* m from the nose, where it balances in air on a knife edge */
    BLY_READ_KINDS
} BlyReadingKind;
const char *bly_reading_words(BlyReadingKind kind); /* "weight in water" */

/* One reading, of the lure as it is at `stage`: BLANK and CUT are the bare body in the water (cut
 * slots and holes full of it), EYED has eyes and lip, COATED the coats and surface metal, COMPLETE
 * all that hangs. No stage has the leader on. */
typedef struct BlyReading {
    BlyReadingKind kind;
    BlyFigure value; /* give above 0 */
    BlyStage stage;
} BlyReading;

/* What to expect of common tools, in the reading's own unit, half-width of 95 of 100: 0.02 g, 0.02
 * g, NAN (bly_reading_drift), 2 degrees, 2 degrees, 1.5 % of the hull, 0.5 mm. From memory. */
double bly_reading_give(BlyReadingKind kind);

/* Drift (m/s, positive down) from a depth (m, > 0; give 0 is allowed) and a time (s, > 0). Its give
 * holds half a millimetre a second for water that is never quite still, too. */
BlyFigure bly_reading_drift(BlyFigure depth, BlyFigure seconds, bool sinks);

typedef enum BlyLearnKind {
    BLY_LEARN_DENSITY, /* kg/m3 of the body, of a build that gives no mass */
    BLY_LEARN_MASS,    /* kg, body.mass: the scale's figure at the build's own stage */
    BLY_LEARN_VOLUME,  /* factor on the shape's volume */
    BLY_LEARN_BALANCE, /* m from the nose, centre of mass of the bare body */
    BLY_LEARN_BALANCE_UP,
    BLY_LEARN_COAT,          /* m, thickness of coat `index` */
    BLY_LEARN_COAT_DENSITY,  /* kg/m3, of coat `index` */
    BLY_LEARN_INSET_DENSITY, /* kg/m3, of the blank's piece `index` */
    BLY_LEARN_INSET_MASS,    /* kg, of the blank's piece `index` */
    BLY_LEARN_SOAK,
    BLY_LEARN_EXPANSION,
    BLY_LEARN_DRAG,
    BLY_LEARN_MUNK,
    BLY_LEARN_PIECE,       /* kg, what the part of kind `part` at seat `index` weighs */
    BLY_LEARN_TEMPERATURE, /* deg C of the tank; not part of the build */
    BLY_LEARN_SALINITY,    /* kg/kg of the tank; not part of the build */
    BLY_LEARN_KINDS
} BlyLearnKind;
const char *bly_learn_words(BlyLearnKind kind); /* "body density" */

/* One quantity that was free to move. Gives are half-widths of 95 of 100, before from the build,
 * after from what is left of it. */
typedef struct BlyCorrection {
    BlyLearnKind kind;
    int index;        /* coat, piece of the blank or seat; -1 for the others */
    BlyPartKind part; /* PIECE only */
    BlyFigure before, after;
    double learnt; /* share of its variance that the readings took away, 0 to 1 */
} BlyCorrection;

/* The ounce is 28.349523125 g exactly: international yard and pound agreement, 1959. */
#define BLY_OUNCE_IN_G 28.349523125

/* What one reading did. */
typedef struct BlyTaught {
    double before, after; /* what the build says it should be, as it was and corrected */
    double weight;  /* 0 to 1: share of `after` that follows the reading rather than the rest */
    int correction; /* the quantity that it tells most about by itself; -1: none */
    double alone;   /* share of that quantity's variance that it takes away by itself */
    double contradiction; /* how far it lies off what all else says, in standard deviations of that
                           * difference; signed, read less expected */
    bool contradicts;     /* more than 3, and leaving it out settles it */
    double expected;      /* of those: what all else says it should have been, worked anew; NAN */
    double slip;          /* of those: 10, 0.1 or -1 when so many times the reading would agree with
                           * all else: a decimal, or a way, that slipped; of a mass also
                           * BLY_OUNCE_IN_G or its inverse: ounces said in place of grams, or grams
                           * in place of ounces; else NAN */
} BlyTaught;

typedef struct BlyBand90 {
    double low, high; /* 90 of 100 */
} BlyBand90;

/* What the build does in its own water, with its leader, as `rest` says it, and how sure that is
 * from the build's and the readings' tolerances: the full physics where first order puts the 5th
 * and the 95th of 100 lures. The range of a quantity that does not apply is NAN. */
typedef struct BlyForecast {
    BlyOutcome outcome;
    BlyBand90 net_weight, nose_down, drift, shows;
} BlyForecast;

typedef struct BlyTankResult {
    BlyTaught *taught; /* one for each reading */
    size_t reading_count;
    BlyCorrection *corrections; /* all that was free, in a fixed order */
    size_t correction_count;
    BlyFigure body_mass_before, body_mass; /* kg, dry bare body, whatever was free */
    double chi_square;  /* readings and corrections, each in its standard deviations, squared */
    double chance;      /* of one at least as large by accident; 1 without readings */
    bool contradiction; /* some reading contradicts */
    bool settled;     /* the search ended at a least sum; else the corrections are the best found */
    double *together; /* correction_count squared: correlations of the corrected figures, for the
                       * density those of the body's mass */
    /* The least squares' free parameters, in standard deviations of what the build gave: where they
     * came out, and behind them their covariance, parameter_count squared. */
    double *parameters;
    size_t parameter_count;
} BlyTankResult;

enum { BLY_READINGS_MAX = 64 };

/* What a seat that is open still wants before the lure is finished: of a tie the eye, of a hanger
 * the hook, of a slot the sheet; BLY_PART_KINDS: nothing. */
BlyPartKind bly_tank_lacks(const BlyBuild *build, size_t seat);
/* "unfinished: belly has no hook, lip has no sheet", as many seats as go into `room` bytes; false:
 * nothing lacks, and out is empty. */
bool bly_tank_unfinished(const BlyBuild *build, char *out, size_t room);

/* Learns. `water` is the tank's. Without readings nothing is corrected. Readings that contradict
 * each other are no error. Errors: a reading or give out of range (BLY_E_RANGE, where
 * "reading 2"), a stage that the build has nothing for, as hooks that are not fitted, is none
 * (bly_tank_lacks tells of it); no rest attitude in the build as it is where a reading needs one
 * (BLY_E_CONFLICT); memory. The search for the corrections always ends. Release the result in every
 * case. */
bool bly_tank_learn(const BlyBuild *build, const BlyReading *readings, size_t count,
                    const BlyWaterFacts *water, BlyTankResult *out, BlyError *err) BLY_MUST_CHECK;
void bly_tank_release(BlyTankResult *result);

/* What the finished lure does as the build was and as it is corrected. `result` of the same build
 * and water. */
bool bly_tank_forecast(const BlyBuild *build, const BlyWaterFacts *water,
                       const BlyTankResult *result, BlyForecast *before, BlyForecast *after,
                       BlyError *err) BLY_MUST_CHECK;

BLY_API_END

#endif
