/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/maker_loop.h"

#include "ballastry/mend.h"
#include "desk/desk.h"
#include "files/files.h"

#include <gsl/gsl_randist.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A maker's tools, 95 of 100; docs/tank.md has where they come from. What takes longer than a
 * maker's patience is timed over as much depth as it makes of it. */
static const double depth = 0.6, tape = 5e-3, stopwatch = 0.2, never_still = 0.5e-3, patience = 120,
                    protractor = 2 * 0.017453292519943295, thread_give = 0.01e-3,
                    float_line = 0.015;

static bool read_again(const char *text, const BlyCatalog *catalog, BlyBuild **out, BlyError *err) {
    return bly_build_read(text, strlen(text), catalog, out, err);
}

static bool with_rig(const BlyBuild *build, const BlyRig *rig, BlyBuild **out, BlyError *err) {
    char *text = NULL;
    bool good = bly_build_text_with_rig(build, rig, &text, err) &&
                read_again(text, build->catalog, out, err);
    free(text);
    return good;
}

bool loop_build(const char *path, const BlyCatalog *catalog, BlyBuild **out, BlyError *err) {
    const BlyFitOptions options = {.rigs = 1};
    char *text = NULL;
    size_t size;
    BlyBuild *blank = NULL;
    FitWork fitted = {0};
    bool good = bly_file_read(path, (size_t)1 << 20, &text, &size, err) &&
                read_again(text, catalog, &blank, err) &&
                fit_work(blank, catalog, FIT_SUREST, &options, &fitted, err);
    if (good && !fitted.result.met)
        good = bly_fail(err, BLY_E_CONFLICT, path, "no rig meets the target");
    good = good && with_rig(blank, &fitted.result.rigs[0].rig, out, err);
    fit_work_release(&fitted);
    bly_build_free(blank);
    free(text);
    return good;
}

/* ---- readings ---- */

static double noise(gsl_rng *dice, double give) {
    return gsl_ran_gaussian(dice, give / BLY_SIGMAS_95);
}

static void put(TankWork *tank, BlyReadingKind kind, BlyFigure figure) {
    tank->readings[tank->count++] = (BlyReading){kind, figure, BLY_STAGE_COMPLETE};
}

/* By stopwatch over a marked depth; what all but hangs is looked at for as long as patience
 * lasts. */
static void time_it(gsl_rng *dice, const BlyOutcome *o, TankWork *tank) {
    double speed = o->drift + noise(dice, never_still), way = depth;
    double seconds = depth / fmax(fabs(speed), 1e-9);
    if (seconds > patience) {
        seconds = patience;
        way = fmax(fabs(speed) * patience + noise(dice, tape), 1e-3);
    } else {
        seconds = fmax(seconds + noise(dice, stopwatch), 0.1);
    }
    put(tank, BLY_READ_DRIFT,
        bly_reading_drift((BlyFigure){way, tape}, (BlyFigure){seconds, stopwatch}, speed > 0));
}

static void read_lure(const LoopOrder *order, gsl_rng *dice, const BlyOutcome *o, TankWork *tank) {
    const BlyTarget *target = &order->build->target;
    tank->count = 0;
    tank->water = order->build->water;
    if (target->state == BLY_FLOATS && o->has_surface) {
        double shows = o->surface.shows + noise(dice, float_line);
        put(tank, BLY_READ_SHOWS, (BlyFigure){fmin(fmax(shows, 0), 1), float_line});
        put(tank, BLY_READ_TILT_AFLOAT,
            (BlyFigure){o->surface.nose_down + noise(dice, protractor), protractor});
        return;
    }
    time_it(dice, o, tank);
    if (isfinite(o->nose_down))
        put(tank, BLY_READ_TILT, (BlyFigure){o->nose_down + noise(dice, protractor), protractor});
    if (order->thread)
        put(tank, BLY_READ_IN_WATER,
            (BlyFigure){o->sums.net_weight + noise(dice, thread_give), thread_give});
}

/* ---- the program's part ---- */

static bool finished_says(const LoopOrder *order, const BlyBuild *build, BlyRig *rig, bool *does,
                          BlyError *err) {
    const BlyFitOptions options = {.rigs = 1};
    FitWork fitted = {0};
    bool good = fit_work(build, order->catalog, FIT_FINISHED, &options, &fitted, err);
    *does = good && fitted.result.count > 0 && fitted.result.rigs[0].changes > 0;
    good = good && bly_rig_copy(rig, *does ? &fitted.result.rigs[0].rig : &build->fitted, err);
    fit_work_release(&fitted);
    return good;
}

static bool mend_says(const LoopOrder *order, const BlyBuild *build, BlyRig *rig, bool *does,
                      BlyError *err) {
    BlyMendPlan plan;
    bool good = bly_mend(build, order->catalog, NULL, &plan, err);
    *does = good && !plan.leaves;
    good = good && bly_rig_copy(rig, &plan.rig.rig, err);
    bly_mend_release(&plan);
    return good;
}

/* ---- the loop ---- */

typedef struct Loop {
    const LoopOrder *order;
    gsl_rng *dice;
    RealLure lure;
    BlyBuild *file; /* what the program has been told; owned */
    LoopTally *tally;
    bool met, done;
    double off;
} Loop;

static void hold(LoopTally *tally, LoopFigure figure, double value, BlyBand90 band) {
    if (isnan(value) || isnan(band.low))
        return;
    tally->asked[figure]++;
    tally->held[figure] += value >= band.low && value <= band.high;
}

static bool hold_all(Loop *loop, const BlyForecast *after, BlyError *err) {
    BlyOutcome is;
    if (!real_in_own_water(&loop->lure, &is, err))
        return false;
    hold(loop->tally, LOOP_NET, is.sums.net_weight, after->net_weight);
    hold(loop->tally, LOOP_DRIFT, is.drift, after->drift);
    hold(loop->tally, LOOP_NOSE, is.nose_down, after->nose_down);
    if (is.has_surface)
        hold(loop->tally, LOOP_SHOWS, is.surface.shows, after->shows);
    return true;
}

/* Looks once, again where the readings are said to contradict, and believes them the third time. */
static bool look(Loop *loop, TankWork *tank, BlyError *err) {
    BlyOutcome is;
    bool good = real_in_tank(&loop->lure, &is, err);
    for (int again = 0; good && again < 3; again++) {
        tank_work_release(tank);
        *tank = (TankWork){0};
        read_lure(loop->order, loop->dice, &is, tank);
        good = tank_work(loop->file, tank, err);
        if (!good || !tank_refused(tank, false))
            break;
        loop->tally->refused++;
    }
    return good;
}

static bool learn(Loop *loop, BlyError *err) {
    TankWork tank = {0};
    char *text = NULL;
    BlyBuild *corrected = NULL;
    bool good = look(loop, &tank, err) && hold_all(loop, &tank.after, err) &&
                learnt_text(loop->file, &tank.result, NULL, &text, err) &&
                read_again(text, loop->order->catalog, &corrected, err);
    tank_work_release(&tank);
    free(text);
    if (!good)
        return false;
    bly_build_free(loop->file);
    loop->file = corrected;
    return true;
}

static bool do_it(Loop *loop, const BlyRig *rig, BlyError *err) {
    LoopTally *tally = loop->tally;
    BlyBuild *mended = NULL;
    double before = loop->off;
    bool met_before = loop->met;
    int changes = rig_changes(&loop->lure.said, rig);
    if (!real_mend(&loop->lure, rig, err) ||
        !real_judge(&loop->lure, &loop->met, &loop->off, err) ||
        !with_rig(loop->file, rig, &mended, err))
        return false;
    bly_build_free(loop->file);
    loop->file = mended;
    tally->mends++;
    tally->changes += changes;
    tally->more_than_two += changes > 2;
    tally->changes_most = changes > tally->changes_most ? changes : tally->changes_most;
    tally->farther += !loop->met && (met_before || loop->off > before);
    return true;
}

static bool test_once(Loop *loop, BlyError *err) {
    BlyRig rig = {0};
    bool does = false;
    bool (*says)(const LoopOrder *, const BlyBuild *, BlyRig *, bool *, BlyError *) =
        loop->order->way == LOOP_MEND ? mend_says : finished_says;
    bool good = learn(loop, err) && says(loop->order, loop->file, &rig, &does, err) &&
                (!does || do_it(loop, &rig, err));
    loop->done = !does;
    bly_rig_release(&rig);
    return good;
}

static bool one_maker(const LoopOrder *order, gsl_rng *dice, int number, LoopTally *tally,
                      BlyError *err) {
    Loop loop = {.order = order, .dice = dice, .tally = tally};
    bool good = with_rig(order->build, &order->build->fitted, &loop.file, err) &&
                real_begin(order->build, dice, &loop.lure, err) &&
                real_judge(&loop.lure, &loop.met, &loop.off, err);
    tally->met[0] += loop.met;
    if (order->tell)
        (void)printf("%4d  %s %6.2f", number, loop.met ? "on " : "off", loop.off);
    for (int k = 1; good && k <= LOOP_TESTS; k++) {
        good = loop.done || test_once(&loop, err);
        tally->met[k] += loop.met;
        if (order->tell)
            (void)printf("  %s %6.2f%s", loop.met ? "on " : "off", loop.off,
                         loop.done ? " stays" : "");
    }
    if (order->tell)
        (void)printf("\n");
    real_release(&loop.lure);
    bly_build_free(loop.file);
    return good;
}

bool loop_run(const LoopOrder *order, LoopTally *out, BlyError *err) {
    gsl_rng *dice = gsl_rng_alloc(gsl_rng_mt19937);
    bool good = dice != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the dice");
    *out = (LoopTally){.makers = order->makers};
    for (int i = 0; good && i < order->makers; i++) {
        gsl_rng_set(dice, order->seed + (unsigned long)i);
        good = one_maker(order, dice, i, out, err);
    }
    if (dice != NULL)
        gsl_rng_free(dice);
    return good;
}
