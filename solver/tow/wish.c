/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a target asks of the drawn lure, and what comes of it. */
#include "ballastry/tow_wish.h"
#include "tow/sample.h"

#include <math.h>
#include <stdlib.h>

static BlyTowLine line_of(const BlyTowWish *wish) {
    BlyTowLine line = bly_tow_line_usual();
    line.length = wish->length;
    line.diameter = wish->diameter;
    line.rod = wish->rod;
    return line;
}

/* How far a value lies beyond a band, with the sign of the side; INFINITY for no value. */
static double beyond(double value, double low, double high) {
    if (isnan(value))
        return INFINITY;
    return value < low ? value - low : value > high ? value - high : 0;
}

static bool asks_nose(const BlyTowWish *wish) {
    return isfinite(wish->nose_low) || isfinite(wish->nose_high);
}

static bool asks_depth(const BlyTowWish *wish) {
    return isfinite(wish->depth_low) || isfinite(wish->depth_high);
}

static void hold_against(const BlyTowWish *wish, BlyTowVerdict *v) {
    const BlyTowRun *run = &v->run;
    bool lies = run->state != BLY_TOW_NOWHERE;
    if (asks_nose(wish))
        v->nose_off = beyond(run->nose_down, wish->nose_low, wish->nose_high);
    if (asks_depth(wish))
        v->depth_off = beyond(lies ? run->line.depth : NAN, wish->depth_low, wish->depth_high);
    if (isfinite(wish->under_most))
        v->under_off = fmax(0, v->draws_under - wish->under_most);
    v->met = v->nose_off == 0 && v->depth_off == 0 && v->under_off == 0;
}

bool bly_tow_judge_lure(const BlyBuild *build, const BlyRig *rig, const BlyLure *lure,
                        const BlyWater *water, BlyTowVerdict *out, BlyError *err) {
    const BlyTowWish *wish = bly_build_tow_wish(build);
    if (wish == NULL)
        return bly_fail(err, BLY_E_MISSING, "/target/tow", "nothing is asked of the drawn lure");
    BlyTow *tow = NULL;
    BlyVec3 tie;
    BlyTowModel model = bly_tow_model(build);
    BlyTowLine line = line_of(wish);
    *out = (BlyTowVerdict){.draws_under = NAN};
    bool good = bly_tow_tie(lure, build->seats, build->seat_count, rig, &tie, err) &&
                bly_tow_make(lure, tie, water, &tow, err) &&
                bly_tow_run(tow, &model, wish->speed, &line, &out->run, err);
    if (good && isfinite(wish->under_most))
        out->draws_under = bly_tow_draws_under(tow, &model);
    if (good)
        hold_against(wish, out);
    bly_tow_free(tow);
    return good;
}

bool bly_tow_judge(const BlyBuild *build, const BlyRig *rig, const BlyWaterFacts *facts,
                   BlyTowVerdict *out, BlyError *err) {
    BlyLure lure = {0};
    BlyWater water;
    bool good = bly_water_at(facts->temperature.value, facts->salinity.value, &water, err) &&
                bly_lure_make(&build->blank, build->seats, rig, &lure, err) &&
                bly_tow_judge_lure(build, rig, &lure, &water, out, err);
    bly_lure_release(&lure);
    return good;
}

static const double dead = 0.25; /* of a half-band about its middle: there nothing is better */

/* From the middle of a band, less the quarter about it. A band with one end has no middle: there
 * the aim lies inside by `room`, what the model itself is unsure of, and beyond it all is well;
 * else what is asked would be kept by a hair, as built by one lure of two. */
static double off_of(double value, double low, double high, double room) {
    if (isfinite(low) && isfinite(high))
        return fmax(0, fabs(value - (low + high) / 2) / fmax((high - low) / 2, 1e-6) - dead);
    double short_of = isfinite(low) ? low + room - value : value - (high - room);
    return isfinite(low) || isfinite(high) ? fmax(0, short_of / room - dead) : 0;
}

double tow_wish_room(double edge) {
    static const double share = 1.0 / 3, least = 0.05; /* m, or m/s */
    return fmax(share * fabs(edge), least);
}

double bly_tow_verdict_off(const BlyTowWish *wish, const BlyTowVerdict *v) {
    static const double five_degrees = 5 * 0.017453292519943295, most = 10;
    double end = isfinite(wish->depth_low) ? wish->depth_low : wish->depth_high;
    double nose = off_of(v->run.nose_down, wish->nose_low, wish->nose_high, five_degrees);
    double depth = off_of(v->run.line.depth, wish->depth_low, wish->depth_high, tow_wish_room(end));
    double under =
        off_of(v->draws_under, -INFINITY, wish->under_most, tow_wish_room(wish->under_most));
    if (v->run.state == BLY_TOW_NOWHERE)
        nose = depth = most;
    return fmin(nose, most) + fmin(depth, most) + fmin(under, most);
}

/* ---- draws ---- */

static bool keeps(double value, double low, double high) {
    return value >= low && value <= high; /* NAN does not */
}

static void count(const TowSample *sample, const BlyTowWish *wish, BlyTowWished *out) {
    double one = 1.0 / (double)sample->draws;
    for (size_t k = 0; k < sample->draws; k++) {
        const TowDrawn *drawn = &sample->at[k * sample->speeds];
        bool lies = drawn->state != BLY_TOW_NOWHERE;
        bool nose = !asks_nose(wish) || keeps(drawn->nose_down, wish->nose_low, wish->nose_high);
        bool depth =
            !asks_depth(wish) || (lies && keeps(drawn->depth, wish->depth_low, wish->depth_high));
        bool under = !isfinite(wish->under_most) || sample->under[k] <= wish->under_most;
        out->nose_down += nose ? one : 0;
        out->depth += depth ? one : 0;
        out->draws_under += under ? one : 0;
        out->met += nose && depth && under ? one : 0;
    }
    out->nose_down = asks_nose(wish) ? out->nose_down : NAN;
    out->depth = asks_depth(wish) ? out->depth : NAN;
    out->draws_under = isfinite(wish->under_most) ? out->draws_under : NAN;
}

bool bly_tow_wished(const BlyBuild *build, const BlyRig *rig, BlyTowWished *out, BlyError *err) {
    const BlyTowWish *wish = bly_build_tow_wish(build);
    *out = (BlyTowWished){.met = 0};
    if (wish == NULL)
        return bly_fail(err, BLY_E_MISSING, "/target/tow", "nothing is asked of the drawn lure");
    const BlyTowAsk ask = {.speeds = {wish->speed}, .speed_count = 1, .line = line_of(wish)};
    const BlyWaterFacts *water = &build->target_waters[0];
    const TowTask task = {build, rig, &ask, BLY_TOW_LEVERS, 1, true, water};
    TowSample sample;
    bool good = bly_tow_judge(build, rig, water, &out->verdict, err) &&
                tow_sample_make(&task, &sample, err);
    if (!good)
        return false;
    good = tow_conclude(&sample, &ask, &out->towed, err);
    if (good)
        count(&sample, wish, out);
    tow_sample_release(&sample);
    return good;
}
