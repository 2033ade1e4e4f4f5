/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Draws to ranges and to what a change does. */
#include "tow/sample.h"

#include <math.h>
#include <stdlib.h>

BlyTowAsk bly_tow_usual(void) {
    return (BlyTowAsk){.speeds = {0.5, 1, 1.5},
                       .speed_count = 3,
                       .change_at = 1,
                       .line = bly_tow_line_usual(),
                       .draws = 0};
}

static bool ask_sound(const BlyTowAsk *ask, BlyError *err) {
    if (ask->speed_count < 1 || ask->speed_count > BLY_TOW_SPEEDS_MAX)
        return bly_fail(err, BLY_E_RANGE, "/speed", "got %zu speeds, expected 1 to %d",
                        ask->speed_count, BLY_TOW_SPEEDS_MAX);
    if (ask->change_at >= ask->speed_count)
        return bly_fail(err, BLY_E_RANGE, "/change_at", "got %zu, expected one of %zu speeds",
                        ask->change_at, ask->speed_count);
    if (ask->draws != 0 && (ask->draws < 20 || ask->draws > 10000))
        return bly_fail(err, BLY_E_RANGE, "/draws", "got %zu, expected 20 to 10000", ask->draws);
    return true;
}

static int compare(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* The value below which a share of them lies; puts them in order. */
static double quantile(double *values, size_t count, double share) {
    if (count == 0)
        return NAN;
    qsort(values, count, sizeof *values, compare);
    return values[(size_t)(share * (double)(count - 1) + 0.5)];
}

typedef enum Width { A_THIRD, FIVE_DEGREES, HALF_AGAIN } Width;

static BlyTowRange range_of(double *values, size_t count, double nominal, Width width) {
    BlyTowRange range = {.nominal = nominal,
                         .low = quantile(values, count, 0.05),
                         .high = quantile(values, count, 0.95)};
    double from = nominal * 2 / 3, to = nominal * 4 / 3, five = 5 * 0.017453292519943295;
    if (width == FIVE_DEGREES) {
        from = nominal - five;
        to = nominal + five;
    } else if (width == HALF_AGAIN) {
        from = nominal / 1.5;
        to = nominal * 1.5;
    }
    range.said_low = fmin(range.low, from); /* fmin and fmax leave out what is no number */
    range.said_high = fmax(range.high, to);
    return range;
}

typedef double (*Figure)(const TowDrawn *drawn);
static double nose_of(const TowDrawn *drawn) {
    return drawn->nose_down;
}
static double pull_of(const TowDrawn *drawn) {
    return drawn->pull;
}
static double depth_of(const TowDrawn *drawn) {
    return drawn->depth;
}
static double cast_of(const TowDrawn *drawn) {
    return drawn->cast;
}
static double near_of(const TowDrawn *drawn) {
    return drawn->near_rod;
}

static BlyTowRange range_at(const TowSample *sample, size_t speed, Figure figure, double nominal,
                            Width width, double *room) {
    size_t count = 0;
    for (size_t k = 0; k < sample->draws; k++) {
        const TowDrawn *drawn = &sample->at[k * sample->speeds + speed];
        if (drawn->state != BLY_TOW_NOWHERE)
            room[count++] = figure(drawn);
    }
    return range_of(room, count, nominal, width);
}

static void conclude(const TowSample *sample, size_t s, double *room, BlyTowAt *out) {
    const BlyTowRun *run = &sample->nominal[s];
    *out = (BlyTowAt){.run = *run};
    for (size_t k = 0; k < sample->draws; k++)
        out->share[sample->at[k * sample->speeds + s].state] += 1.0 / (double)sample->draws;
    bool lies = run->state != BLY_TOW_NOWHERE;
    out->nose_down = range_at(sample, s, nose_of, run->nose_down, FIVE_DEGREES, room);
    out->pull = range_at(sample, s, pull_of, lies ? run->pull : NAN, A_THIRD, room);
    out->depth = range_at(sample, s, depth_of, lies ? run->line.depth : NAN, A_THIRD, room);
    out->cast = range_at(sample, s, cast_of, lies ? run->cast_most : NAN, A_THIRD, room);
    out->near_rod = range_at(sample, s, near_of, run->near_rod, A_THIRD, room);
}

static void conclude_under(const TowSample *sample, double *room, BlyTowed *out) {
    for (size_t k = 0; k < sample->draws; k++) {
        room[k] = sample->under[k];
        out->floats += sample->floats[k] ? 1.0 / (double)sample->draws : 0;
    }
    out->draws_under = range_of(room, sample->draws, sample->nominal_under, HALF_AGAIN);
}

bool tow_conclude(const TowSample *sample, const BlyTowAsk *ask, BlyTowed *out, BlyError *err) {
    double *room = calloc(sample->draws + 1, sizeof *room);
    if (!room)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for draws of the lure");
    *out = (BlyTowed){.count = ask->speed_count,
                      .net_weight = sample->net_weight,
                      .line = ask->line,
                      .draws = sample->draws};
    for (size_t s = 0; s < out->count; s++)
        conclude(sample, s, room, &out->at[s]);
    conclude_under(sample, room, out);
    free(room);
    return true;
}

bool bly_towed(const BlyBuild *build, const BlyRig *rig, const BlyTowAsk *ask, BlyTowed *out,
               BlyError *err) {
    if (!ask_sound(ask, err))
        return false;
    TowTask task = {build, rig, ask, BLY_TOW_LEVERS, ask->speed_count, true, NULL};
    TowSample sample;
    bool done = tow_sample_make(&task, &sample, err) && tow_conclude(&sample, ask, out, err);
    tow_sample_release(&sample);
    return done;
}

/* The same at the one speed where changes are looked at. */
static BlyTowAsk ask_for_change(const BlyTowAsk *ask) {
    BlyTowAsk one = *ask;
    one.speeds[0] = ask->speeds[ask->change_at];
    one.speed_count = 1;
    one.change_at = 0;
    return one;
}

/* Factors, or differences; worth: what the middle must have moved by for a sign. */
static BlyTowChange change_of(const TowSample *from, const TowSample *to, Figure figure,
                              bool factor, double worth, double *room) {
    BlyTowChange change = {0};
    size_t count = 0;
    for (size_t k = 0; k < from->draws; k++) {
        double a = figure(&from->at[k * from->speeds]), b = figure(&to->at[k * to->speeds]);
        change.more += b > a ? 1.0 / (double)from->draws : 0;
        change.less += b < a ? 1.0 / (double)from->draws : 0;
        if (factor ? a > 0 : isfinite(a) && isfinite(b))
            room[count++] = factor ? b / a : b - a;
    }
    change.low = quantile(room, count, 0.05);
    change.high = quantile(room, count, 0.95);
    change.middle = quantile(room, count, 0.5);
    double moved = fabs(change.middle - (factor ? 1 : 0));
    if (!(moved < worth)) /* none was down before: whatever it is now is worth telling */
        change.sign = change.more >= 0.95 ? 1 : change.less >= 0.95 ? -1 : 0;
    return change;
}

static bool effect_of(const TowSample *from, const TowSample *to, BlyTowEffect *out,
                      BlyError *err) {
    *out = (BlyTowEffect){.possible = to->possible};
    if (!to->possible)
        return true;
    double *room = calloc(from->draws, sizeof *room);
    if (!room)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for draws of the lure");
    out->depth = change_of(from, to, depth_of, true, 0.02, room);
    out->pull = change_of(from, to, pull_of, true, 0.02, room);
    out->nose_down = change_of(from, to, nose_of, false, 0.5 * 0.017453292519943295, room);
    free(room);
    return true;
}

bool bly_tow_compare(const BlyBuild *build, const BlyRig *from, const BlyRig *to,
                     const BlyTowAsk *ask, BlyTowEffect *out, BlyError *err) {
    if (!ask_sound(ask, err))
        return false;
    BlyTowAsk one = ask_for_change(ask);
    TowTask task[2] = {{build, from, &one, BLY_TOW_LEVERS, 1, false, NULL},
                       {build, to, &one, BLY_TOW_LEVERS, 1, false, NULL}};
    TowSample sample[2] = {{0}, {0}};
    bool done = tow_sample_make(&task[0], &sample[0], err) &&
                tow_sample_make(&task[1], &sample[1], err) &&
                effect_of(&sample[0], &sample[1], out, err);
    tow_sample_release(&sample[0]);
    tow_sample_release(&sample[1]);
    return done;
}

bool bly_tow_effects(const BlyBuild *build, const BlyRig *rig, const BlyTowAsk *ask,
                     const BlyTowLever *levers, size_t count, BlyTowEffect *out, BlyError *err) {
    if (!ask_sound(ask, err))
        return false;
    BlyTowAsk one = ask_for_change(ask);
    TowTask plain = {build, rig, &one, BLY_TOW_LEVERS, 1, false, NULL};
    TowSample from;
    bool done = tow_sample_make(&plain, &from, err);
    for (size_t i = 0; i < count && done; i++) {
        TowTask task = plain;
        TowSample to;
        task.lever = levers[i];
        done = tow_sample_make(&task, &to, err) && effect_of(&from, &to, &out[i], err);
        tow_sample_release(&to);
    }
    tow_sample_release(&from);
    return done;
}

bool bly_tow_levers(const BlyBuild *build, const BlyRig *rig, const BlyTowAsk *ask,
                    BlyTowEffect out[BLY_TOW_LEVERS], BlyError *err) {
    BlyTowLever levers[BLY_TOW_LEVERS];
    for (int i = 0; i < BLY_TOW_LEVERS; i++)
        levers[i] = (BlyTowLever)i;
    return bly_tow_effects(build, rig, ask, levers, BLY_TOW_LEVERS, out, err);
}
