/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/maker_loop.h"

#include "ballastry/mend.h"
#include "desk/desk.h"
#include "files/files.h"
#include "support/maker_first.h"

#include <gsl/gsl_randist.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A lure this sure of its target goes to no further test. */
static const double sure_enough = 0.97;

/* A maker's tools, 95 of 100; docs/tank.md has where they come from. What takes longer than a
 * maker's patience is timed over as much depth as it makes of it. */
static const double depth = 0.6, tape_give = 5e-3, stopwatch_give = 0.2, never_still = 0.5e-3,
                    patience = 120, angle_give = 2 * 0.017453292519943295, thread_give = 0.01e-3,
                    line_give = 0.015;

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

bool loop_open(const char *path, const BlyCatalog *catalog, BlyBuild **out, BlyError *err) {
    char *text = NULL;
    size_t size;
    bool good = bly_file_read(path, (size_t)1 << 20, &text, &size, err) &&
                read_again(text, catalog, out, err);
    free(text);
    return good;
}

bool loop_build(const char *path, const BlyCatalog *catalog, bool on_paper, BlyBuild **out,
                BlyError *err) {
    const BlyFitOptions options = {.rigs = 1};
    BlyBuild *blank = NULL;
    FitWork fitted = {0};
    bool good =
        loop_open(path, catalog, &blank, err) &&
        fit_work(blank, catalog, on_paper ? FIT_ON_PAPER : FIT_SUREST, &options, &fitted, err);
    if (good && !fitted.result.met)
        good = bly_fail(err, BLY_E_CONFLICT, path, "no rig meets the target");
    good = good && with_rig(blank, &fitted.result.rigs[0].rig, out, err);
    fit_work_release(&fitted);
    bly_build_free(blank);
    return good;
}

/* ---- readings ---- */

static double noise(gsl_rng *dice, double give) {
    return gsl_ran_gaussian(dice, give / BLY_SIGMAS_95);
}

/* As good as the order has the tools. */
static double tool(const LoopOrder *order, double give) {
    return order->sharp ? 1e-3 * give : give;
}

static void put(TankWork *tank, BlyReadingKind kind, BlyFigure figure) {
    tank->readings[tank->count++] = (BlyReading){kind, figure, BLY_STAGE_COMPLETE};
}

/* By stopwatch over a marked depth; what all but hangs is looked at for as long as patience
 * lasts. */
static void time_it(const LoopOrder *order, gsl_rng *dice, const BlyOutcome *o, TankWork *tank) {
    double tape = tool(order, tape_give), stopwatch = tool(order, stopwatch_give);
    double speed = o->drift + noise(dice, tool(order, never_still)), way = depth;
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
    double float_line = tool(order, line_give), protractor = tool(order, angle_give),
           thread = tool(order, thread_give);
    if (target->state == BLY_FLOATS && o->has_surface) {
        double shows = o->surface.shows + noise(dice, float_line);
        put(tank, BLY_READ_SHOWS, (BlyFigure){fmin(fmax(shows, 0), 1), float_line});
        put(tank, BLY_READ_TILT_AFLOAT,
            (BlyFigure){o->surface.nose_down + noise(dice, protractor), protractor});
        return;
    }
    time_it(order, dice, o, tank);
    if (isfinite(o->nose_down))
        put(tank, BLY_READ_TILT, (BlyFigure){o->nose_down + noise(dice, protractor), protractor});
    if (order->thread)
        put(tank, BLY_READ_IN_WATER, (BlyFigure){o->sums.net_weight + noise(dice, thread), thread});
}

/* ---- the program's part ---- */

/* What it says; owned. */
typedef struct Said {
    bool does; /* anything */
    bool sure; /* there is no more to look at */
    BlyRig rig;
    char *text; /* of the build as mended */
} Said;

static bool finished_says(const LoopOrder *order, const BlyBuild *build, Said *said,
                          BlyError *err) {
    const BlyFitOptions options = {.rigs = 1};
    FitWork fitted = {0};
    bool good = fit_work(build, order->catalog, FIT_FINISHED, &options, &fitted, err);
    said->does = good && fitted.result.count > 0 && fitted.result.rigs[0].changes > 0;
    said->sure = !said->does;
    const BlyRig *rig = said->does ? &fitted.result.rigs[0].rig : &build->fitted;
    good = good && bly_rig_copy(&said->rig, rig, err) &&
           bly_build_text_with_rig(build, rig, &said->text, err);
    fit_work_release(&fitted);
    return good;
}

static bool mend_says(const LoopOrder *order, const BlyBuild *build, Said *said, BlyError *err) {
    BlyMendPlan plan;
    bool good = bly_mend(build, order->catalog, NULL, &plan, err);
    said->does = good && !plan.leaves;
    said->sure = good && plan.leaves && plan.chance_now >= sure_enough;
    good = good && bly_rig_copy(&said->rig, &plan.rig.rig, err) &&
           bly_mend_text(build, &plan, &said->text, err);
    bly_mend_release(&plan);
    return good;
}

/* ---- what is done, in short ---- */

static void tell_seat(const BlySeat *seat, const BlyChoice *from, const BlyChoice *to) {
    for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
        const BlyPart *was = from->of[kind].part, *is = to->of[kind].part;
        if (was != is)
            (void)printf(" %s %s %s;", seat->name, is != NULL ? "has" : "without",
                         is != NULL ? is->id : was->id);
    }
    if (to->count != from->count)
        (void)printf(" %s %+d;", seat->name, to->count - from->count);
    if (fabs(to->length - from->length) > 1e-9)
        (void)printf(" %s %+.1f mm;", seat->name, 1e3 * (to->length - from->length));
    if (to->filed != from->filed)
        (void)printf(" %s ground %.2f mm;", seat->name, 1e3 * (to->filed - from->filed));
}

static void tell_mend(const BlyBuild *build, const BlyRig *from, const BlyRig *to) {
    for (size_t s = 0; s < from->count; s++)
        tell_seat(&build->seats[s], &from->at[s], &to->at[s]);
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

static bool wound_none(const Loop *loop, size_t s) {
    const double a_trace = 2e-9; /* kg */
    return loop->lure.said.at[s].of[BLY_PART_WIRE].part != NULL && loop->lure.hands[s].piece > 0 &&
           loop->lure.hands[s].piece < a_trace;
}

/* Another hook that is too heavy by itself gets no wire, and the file is told so. */
static bool tell_bare(Loop *loop, BlyBuild **file, BlyError *err) {
    bool any = false;
    BlyRig bare;
    char *text = NULL;
    bool good = bly_rig_copy(&bare, &(*file)->fitted, err);
    for (size_t s = 0; good && s < bare.count; s++) {
        if (!wound_none(loop, s))
            continue;
        bare.at[s].of[BLY_PART_WIRE] = (BlyChosenPart){NULL, {NAN, 0}};
        bare.at[s].count = 0;
        any = true;
    }
    if (good && any) {
        BlyBuild *told = NULL;
        good = real_mend(&loop->lure, &(*file)->fitted, &bare, err) &&
               bly_build_text_with_rig(*file, &bare, &text, err) &&
               read_again(text, loop->order->catalog, &told, err);
        if (good) {
            bly_build_free(*file);
            *file = told;
        }
    }
    free(text);
    bly_rig_release(&bare);
    return good;
}

static bool do_it(Loop *loop, const Said *said, BlyError *err) {
    const BlyRig *rig = &said->rig;
    LoopTally *tally = loop->tally;
    BlyBuild *mended = NULL;
    double before = loop->off;
    bool met_before = loop->met;
    int changes = rig_changes(&loop->lure.said, rig);
    if (loop->order->tell)
        tell_mend(loop->file, &loop->lure.said, rig);
    if (!real_mend(&loop->lure, &loop->file->fitted, rig, err) ||
        !read_again(said->text, loop->order->catalog, &mended, err) ||
        !tell_bare(loop, &mended, err) || !real_judge(&loop->lure, &loop->met, &loop->off, err)) {
        bly_build_free(mended);
        return false;
    }
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
    Said said = {0};
    bool (*says)(const LoopOrder *, const BlyBuild *, Said *, BlyError *) =
        loop->order->way == LOOP_MEND ? mend_says : finished_says;
    bool good = learn(loop, err) && says(loop->order, loop->file, &said, err) &&
                (!said.does || do_it(loop, &said, err));
    loop->done = said.sure;
    bly_rig_release(&said.rig);
    free(said.text);
    return good;
}

static bool count_met(Loop *loop, int tests, BlyError *err) {
    RealMiss what;
    loop->tally->met[tests] += loop->met;
    if (loop->met)
        return true;
    if (!real_misses(&loop->lure, &what, err))
        return false;
    loop->tally->missed[tests][what]++;
    return true;
}

/* What is glued, and what the program knows of it. */
static bool glue(Loop *loop, BlyError *err) {
    const LoopOrder *order = loop->order;
    if (!real_begin(order->build, loop->dice, order->deft ? 1e-3 : 1, &loop->lure, err))
        return false;
    if (order->open == NULL)
        return with_rig(order->build, &order->build->fitted, &loop->file, err);
    return maker_first(order->open, order->catalog, order->sharp, &loop->lure, &loop->file,
                       &loop->tally->first, err);
}

static bool one_maker(const LoopOrder *order, gsl_rng *dice, int number, LoopTally *tally,
                      BlyError *err) {
    Loop loop = {.order = order, .dice = dice, .tally = tally};
    bool good = glue(&loop, err);
    if (good && loop.file == NULL) {
        tally->left++;
        tally->makers--;
        real_release(&loop.lure);
        return true;
    }
    good = good && real_judge(&loop.lure, &loop.met, &loop.off, err) && count_met(&loop, 0, err);
    if (order->tell)
        (void)printf("%4d  %s %6.2f", number, loop.met ? "on " : "off", loop.off);
    for (int k = 1; good && k <= LOOP_TESTS; k++) {
        good = (loop.done || test_once(&loop, err)) && count_met(&loop, k, err);
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
