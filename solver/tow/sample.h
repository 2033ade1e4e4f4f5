/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the room: a build drawn again and again with its inputs and the model's moved. */
#ifndef BALLASTRY_TOW_SAMPLE_H
#define BALLASTRY_TOW_SAMPLE_H

#include "build/build.h"
#include "tow/tow.h"
#include "uncertain/uncertain.h"

/* One lure of the draws, as asked at one speed. */
typedef struct TowDrawn {
    BlyTowState state;
    double nose_down, pull, depth, cast, near_rod;
} TowDrawn;

typedef struct TowSample {
    size_t draws, speeds;
    TowDrawn *at;      /* owned: draws rows of speeds */
    double *under;     /* owned: speed that draws it under; NULL: not asked */
    bool *floats;      /* owned */
    double net_weight; /* kg, nominal */
    BlyTowRun nominal[BLY_TOW_SPEEDS_MAX];
    double nominal_under;
    bool possible; /* false: the lever has nothing to change, nothing is drawn */
} TowSample;

/* What is drawn: the lure with a rig, as it is (BLY_TOW_LEVERS) or with a lever pulled. Two samples
 * of one seed share all their draws: each input has its own, by its name. `guess` (rad, one a
 * speed; NULL: none) is where the nominal run is looked for first. Release in every case. */
typedef struct TowTask {
    const BlyBuild *build;
    const BlyRig *rig;
    const BlyTowAsk *ask;
    BlyTowLever lever;
    size_t speeds; /* the first so many of those asked */
    bool under;
    const BlyWaterFacts *water; /* NULL: the build's own */
} TowTask;
bool tow_sample_make(const TowTask *task, TowSample *out, BlyError *err) BLY_MUST_CHECK;
void tow_sample_release(TowSample *sample);

/* taught.c: the model's factors at these places of their distributions, each between 0 and 1; which
 * of them the build's `learnt` number `index` is. */
BlyTowModel tow_model_at(const BlyBuild *build, const double place[BLY_TOW_FACTORS]);
BlyTowFactor tow_taught_factor(int index);

/* The ranges that may be told of a sample of a plain lure (ranges.c). */
bool tow_conclude(const TowSample *sample, const BlyTowAsk *ask, BlyTowed *out,
                  BlyError *err) BLY_MUST_CHECK;

/* A run as bly_tow_run at the attitude given (rad; NAN: none), without looking for others. */
bool tow_run_at(const BlyTow *tow, const BlyTowModel *model, double speed, double angle,
                const BlyTowLine *line, BlyTowRun *out, BlyError *err) BLY_MUST_CHECK;

#endif
