/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the tank room: the quantities that may be corrected, and the forward model: what a
 * lure would read with them moved. */
#ifndef BALLASTRY_TANK_FORWARD_H
#define BALLASTRY_TANK_FORWARD_H

#include "ballastry/tank.h"
#include "uncertain/uncertain.h"

/* How far one parameter moves a quantity: by `sigma` a standard deviation. */
typedef struct Pull {
    size_t parameter;
    double sigma;
} Pull;

enum { PULLS_MAX = 64 };

/* A quantity of the build or the tank that may be corrected. The parameters are independent
 * standard normals; most move one quantity alone, but what the catalog says of a part moves all
 * pieces of it, and what an earlier tank test has tied moves together. */
typedef struct Quantity {
    BlyLearnKind kind;
    BlyInputKind input; /* what of the build it moves; of a piece WEIGHED */
    int index;
    BlyPartKind part;
    BlyFigure prior;
    double low, high; /* the value is kept within */
    Pull pull[PULLS_MAX];
    size_t pull_count;
} Quantity;

typedef struct Quantities {
    Quantity *at; /* owned */
    size_t count, parameter_count;
} Quantities;

/* All that has a give; free(out->at) by the caller. */
bool quantities_of(const BlyBuild *build, const BlyWaterFacts *tank, Quantities *out,
                   BlyError *err) BLY_MUST_CHECK;

double quantity_value(const Quantity *quantity, const double *z);
/* Range of a parameter that its quantity allows. */
void quantities_range(const Quantities *quantities, size_t parameter, double *low, double *high);

/* What is read: a reading of the tank, or a figure of the finished lure in its own water. */
typedef struct Probe {
    BlyReadingKind kind;
    BlyStage stage;
    bool in_tank; /* in the tank's water and without a leader */
} Probe;

enum { HULLS = 4 };

/* Rest attitudes, by in_tank and stage; NAN (of what floats: nose_down): not known. */
typedef struct ForwardRests {
    double under_water[2][BLY_STAGES];
    BlyFloat afloat[2][BLY_STAGES];
} ForwardRests;

/* AFRESH looks the whole circle over and keeps the attitudes that it finds; NEAR looks near those
 * kept last, and keeps none: several times as quick, and the same whatever was looked at between.
 */
typedef enum Look { LOOK_AFRESH, LOOK_NEAR } Look;

typedef struct Forward {
    const BlyBuild *build;
    const BlyWaterFacts *tank;
    const Quantities *quantities;
    size_t parameter_count;
    MovedBuild moved;
    BlyRig early_rig; /* owned: what is fitted, without what lies on the coat's surface */
    BlyWater water, own_water;
    /* Hulls of coats' thicknesses met lately; owned. */
    BlyBlank bare, hull[HULLS];
    size_t hull_count, hull_next;
    const BlyBlank *about; /* of these or the build's own: other thicknesses are worked from it */
    double more_coat;      /* m, on the outermost coat, to look how a reading goes with the hull */
    /* What a metre of coat does to a reading by the hull's true shape that it does not by the
     * stand-in's, of the finished stages by in_tank; 0 where not looked. */
    double by_shape[2][BLY_STAGES][BLY_READ_KINDS];
    ForwardRests rests;
} Forward;

/* The build, the quantities and the tank must outlive the forward model. Release in every case. */
bool forward_begin(Forward *forward, const BlyBuild *build, const BlyWaterFacts *tank,
                   const Quantities *quantities, BlyError *err) BLY_MUST_CHECK;
void forward_end(Forward *forward);

/* Moves the build and the tank's water by z; the hull stays. */
bool forward_move(Forward *forward, const double *z, BlyError *err) BLY_MUST_CHECK;

/* Makes the hull of the coat that z calls for: what is read there is then exact. A hull costs more
 * than all else together; elsewhere that one stands in, grown (bly_blank_about). */
bool forward_settle(Forward *forward, const double *z, BlyError *err) BLY_MUST_CHECK;
/* The same, and how these probes go with the hull's true shape: then the stand-in is exact to first
 * order, too. Looks afresh. */
bool forward_settle_for(Forward *forward, const double *z, const Probe *probes, size_t count,
                        BlyError *err) BLY_MUST_CHECK;
/* m, how far z's coat is from the one settled for. */
double forward_unsettled(Forward *forward, const double *z);

/* What the probes would read with the parameters moved by z (one for each parameter). Drift comes
 * as v |v|, m2/s2, which goes all but straight with net weight. An attitude that does not exist, or
 * shows of what sinks, is continued smoothly where that makes sense, else NAN. */
bool forward_read(Forward *forward, const double *z, Look look, const Probe *probes, size_t count,
                  double *out, BlyError *err) BLY_MUST_CHECK;
/* The same where z may be what no lure can be: then all are NAN, and only memory is an error. */
bool forward_try(Forward *forward, const double *z, Look look, const Probe *probes, size_t count,
                 double *out, BlyError *err) BLY_MUST_CHECK;

/* The full outcome of the finished lure in its own water. */
bool forward_outcome(Forward *forward, const double *z, BlyOutcome *out,
                     BlyError *err) BLY_MUST_CHECK;

/* Derivatives of the probes by z, count rows of parameter_count. `active` may be NULL for all;
 * columns of the others are 0. Central differences; one-sided at the end of a range, and where the
 * other side jumps to another attitude or does not exist. */
bool forward_slopes(Forward *forward, const double *z, const bool *active, const Probe *probes,
                    size_t count, double *out, BlyError *err) BLY_MUST_CHECK;

/* a less b, of angles the short way round. */
double probe_difference(const Probe *probe, double a, double b);

/* v |v| and back. */
double drift_signed_square(double v);
double drift_from_square(double y);

/* The lure as it is at a stage. */
typedef struct StageLure {
    BlyBlank blank;  /* own items, hull borrowed from the forward model */
    double made_for; /* m, the coat that the hull was made for */
    BlyLure lure;
    BlyOutcome outcome; /* under water, once rested */
    BlyFloat surface;   /* once floated */
    bool rested, floated;
} StageLure;
double stage_coat(const Forward *forward); /* m, all coats together */
bool stage_make(Forward *forward, const Probe *probe, StageLure *out, BlyError *err) BLY_MUST_CHECK;
void stage_release(StageLure *stage);

#endif
