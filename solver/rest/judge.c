/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How an outcome stands to what the maker wants. */
#include "ballastry/rest.h"

#include <gsl/gsl_math.h>

/* How far outside a band; NAN counts as outside by `lost`, unless nothing is asked. */
static double outside(double value, double low, double high, double lost) {
    if (isnan(value))
        return isinf(low) && isinf(high) ? 0.0 : lost;
    return fmax(fmax(low - value, value - high), 0.0);
}

/* -1 at the low edge, 1 at the high one; 0 in a band that is open or has no width. */
static double place(double value, double low, double high) {
    double half = 0.5 * (high - low);
    if (!isfinite(half) || !(half > 0.0) || isnan(value))
        return 0.0;
    return (value - 0.5 * (low + high)) / half;
}

/* A side of the drift band that the maker leaves open is closed by the state. */
void bly_target_drift(const BlyTarget *target, double *low, double *high) {
    *low = target->drift_low;
    *high = target->drift_high;
    if (target->state == BLY_FLOATS && isinf(*high))
        *high = -BLY_SUSPEND_SPEED;
    if (target->state == BLY_SINKS && isinf(*low))
        *low = BLY_SUSPEND_SPEED;
    if (target->state == BLY_SUSPENDS && isinf(*low))
        *low = -BLY_SUSPEND_SPEED;
    if (target->state == BLY_SUSPENDS && isinf(*high))
        *high = BLY_SUSPEND_SPEED;
}

/* The roll arm, and of what floats the roll height, for weight hung low under water does not keep a
 * narrow body upright that rides high. Where no roll arm is asked it may lie on its side. */
static double roll_off(const BlyTarget *target, const BlyOutcome *outcome) {
    double off = fmax(target->roll_arm_least - outcome->roll_arm, 0.0);
    bool afloat = target->state == BLY_FLOATS && outcome->has_surface;
    if (afloat && target->roll_arm_least > 0.0 && outcome->surface.roll_height < -BLY_ROLL_HOLDS)
        off = fmax(off, -outcome->surface.roll_height);
    return off;
}

BlyJudgement bly_judge(const BlyTarget *target, const BlyOutcome *outcome) {
    BlyJudgement judgement = {0};
    double low, high;
    bly_target_drift(target, &low, &high);
    judgement.drift_off = outside(outcome->drift, low, high, INFINITY);
    judgement.drift_place = place(outcome->drift, low, high);
    if (target->state == BLY_FLOATS) {
        double shows = outcome->has_surface ? outcome->surface.shows : 0.0;
        judgement.shows_off = outside(shows, target->shows_low, target->shows_high, 1.0);
        judgement.shows_place = place(shows, target->shows_low, target->shows_high);
    }
    bool surface = target->state == BLY_FLOATS && outcome->has_surface;
    double nose = surface ? outcome->surface.nose_down : outcome->nose_down;
    judgement.nose_off = outside(nose, target->nose_low, target->nose_high, M_PI);
    judgement.nose_place = place(nose, target->nose_low, target->nose_high);
    judgement.roll_off = roll_off(target, outcome);
    judgement.met = judgement.drift_off <= 0.0 && judgement.shows_off <= 0.0 &&
                    judgement.nose_off <= 0.0 && judgement.roll_off <= 0.0;
    return judgement;
}
