/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where a lure under water comes to rest: the whole circle is searched, for a lure with its
 * weight in the back rests upside down, which no look near level would show. */
#include "ballastry/balance.h"
#include "balance/circle.h"
#include "moments/moments.h"

#include <gsl/gsl_deriv.h>
#include <gsl/gsl_math.h>
#include <stdlib.h>

/* Near upright the drag centre of a long lure moves within a few degrees, and a rest may stand
 * close to where it ceases to be one. */
enum { PER_QUARTER = 16 };

/* Arms below this share of the lure's size are rounding: nothing holds the lure anywhere. */
static const double rounding = 1e-8;

typedef struct Turning {
    const BlySums *sums;
    BlyDriftAt at;
    void *user;
    bool failed;
} Turning;

/* The part of F that the drift makes. */
static double drift_part(double t, void *user) {
    Turning *turning = user;
    BlyDrift drift = {0, 0};
    if (turning->at == NULL)
        return 0;
    if (!turning->at(circle_wrap(t), turning->user, &drift) || !isfinite(drift.drag_x) ||
        !isfinite(drift.couple)) {
        turning->failed = true;
        return NAN;
    }
    WeightInWater net = {.net = turning->sums->net_weight};
    return moments_turning(net, cos(t), sin(t), drift.drag_x, drift.couple);
}

/* Of its first moments, without the force that carries it: that is in drift_part. */
static WeightInWater lever(const BlySums *sums) {
    return (WeightInWater){.x = sums->wx, .z = sums->wz};
}

static bool moment_at(double t, void *user, double *f, double *slope) {
    Turning *turning = user;
    *f = moments_turning(lever(turning->sums), cos(t), sin(t), 0, drift_part(t, user));
    *slope = NAN;
    return !turning->failed;
}

static double stiffness_at(double t, Turning *turning) {
    double still = moments_stiffness(lever(turning->sums), cos(t), sin(t));
    double drift = 0, uncertainty = 0;
    gsl_function part = {drift_part, turning};
    if (turning->at != NULL && gsl_deriv_central(&part, t, 1e-3, &drift, &uncertainty) != 0)
        turning->failed = true;
    return still + drift;
}

static int compare_rests(const void *a, const void *b) {
    return circle_compare(((const BlyRestPoint *)a)->angle, ((const BlyRestPoint *)b)->angle);
}

/* kg m below which a moment is rounding. */
static double moment_floor(const BlySums *sums) {
    double reach = bly_vec_norm(sums->gravity) + bly_vec_norm(sums->buoyancy);
    return rounding * fabs(sums->mass) * reach;
}

/* Without drift terms F is one wave: it rises through zero where (sin t, cos t) points against
 * (wx, wz). */
static void rest_in_closed_form(const BlySums *sums, BlyRestPoint *out, size_t *count) {
    double stiffness = hypot(sums->wx, sums->wz);
    if (!(stiffness > moment_floor(sums)))
        return;
    out[0] = (BlyRestPoint){circle_wrap(atan2(-sums->wx, -sums->wz)), stiffness};
    *count = 1;
}

static bool rest_in(Turning *turning, const BlyBracket *bracket, BlyRestPoint *out) {
    if (!circle_root(moment_at, turning, bracket, &out->angle) || isnan(out->angle))
        return false;
    out->stiffness = stiffness_at(out->angle, turning);
    return !turning->failed;
}

bool bly_balance_rests(const BlySums *sums, BlyDriftAt at, void *user,
                       BlyRestPoint out[BLY_RESTS_MAX], size_t *count, BlyError *err) {
    Turning turning = {sums, at, user, false};
    BlyRestPoint found[BLY_CIRCLE_MAX];
    BlyBrackets brackets;
    *count = 0;
    if (at == NULL) {
        rest_in_closed_form(sums, out, count);
        return true;
    }
    if (!circle_rising_plain(moment_at, &turning, PER_QUARTER, &brackets))
        return bly_fail(err, BLY_E_INTERNAL, NULL,
                        "what turns it under water cannot be worked out");
    if (!(brackets.largest > moment_floor(sums)))
        return true;
    if (brackets.more)
        return bly_fail(err, BLY_E_INTERNAL, NULL,
                        "what turns it under water jumps from one tilt to the next");
    for (size_t i = 0; i < brackets.count; i++) {
        if (!rest_in(&turning, &brackets.at[i], &found[i]))
            return bly_fail(err, BLY_E_INTERNAL, NULL,
                            "the tilt at rest near %.0f degrees cannot be worked out",
                            brackets.at[i].low * 180 / M_PI);
    }
    qsort(found, brackets.count, sizeof found[0], compare_rests);
    for (; *count < brackets.count && *count < BLY_RESTS_MAX; (*count)++)
        out[*count] = found[*count];
    return true;
}
