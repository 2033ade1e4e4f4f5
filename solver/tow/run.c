/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A whole run: attitude, pull, and the line that follows from both. */
#include "tow/parts.h"
#include "tow/sample.h"

#include <gsl/gsl_math.h>

static double sum_of(const double by[BLY_TOW_SOURCES]) {
    return by[BLY_TOW_BY_BODY] + by[BLY_TOW_BY_LIP] + by[BLY_TOW_BY_WIRE];
}

/* N, weight in water less what the flow carries. */
static double down_force(const TowAt *at, const BlyTowForce *force) {
    return at->tow->net_weight * BLY_GRAVITY - sum_of(force->up);
}

static void others(const TowAt *at, BlyTowRun *run) {
    TowRoots roots = tow_roots(at);
    for (size_t i = 0; i < roots.count; i++) {
        if (fabs(roots.angle[i] - run->nose_down) > 1e-6 && run->other_count < 4)
            run->others[run->other_count++] = roots.angle[i];
    }
}

static BlyTowState state_of(const BlyTow *tow, double down) {
    if (down > 0)
        return BLY_TOW_DIVES;
    return tow->net_weight < 0 ? BLY_TOW_ON_TOP : BLY_TOW_COMES_UP;
}

static void pulls(const TowAt *at, BlyTowRun *run) {
    BlyTowForce force = tow_force(at, run->nose_down);
    run->drag = sum_of(force.drag);
    run->down = down_force(at, &force);
    run->pull = hypot(run->drag, run->down);
    run->rise = atan2(run->down, run->drag);
    run->state = state_of(at->tow, run->down);
    run->stiffness = tow_stiffness(at, run->nose_down);
    for (int i = 0; i < BLY_TOW_SOURCES; i++)
        run->share[i] = force.drag[i] / run->drag;
}

static bool speed_sound(double speed, BlyError *err) {
    return (speed >= BLY_TOW_SLOWEST && speed <= BLY_TOW_FASTEST) ||
           bly_fail(err, BLY_E_RANGE, "/speed", "got %g m/s, expected %g to %g", speed,
                    BLY_TOW_SLOWEST, BLY_TOW_FASTEST);
}

bool tow_run_at(const BlyTow *tow, const BlyTowModel *model, double speed, double angle,
                const BlyTowLine *line, BlyTowRun *out, BlyError *err) {
    TowAt at = tow_at(tow, model, speed);
    *out = (BlyTowRun){.speed = speed,
                       .nose_down = angle,
                       .incidence = NAN,
                       .state = BLY_TOW_NOWHERE,
                       .rise = NAN,
                       .near_rod = INFINITY};
    if (!isnan(angle)) {
        pulls(&at, out);
        if (tow->lip_count > 0)
            out->incidence = tow->lips[0].angle + angle;
        out->cast_most = bly_tow_cast_most(out->rise, line->length);
        if (out->rise > 0)
            out->near_rod = line->rod / sin(out->rise);
    }
    return bly_tow_line(line, &tow->water, out->pull, out->rise, speed, &out->line, err);
}

bool bly_tow_run(const BlyTow *tow, const BlyTowModel *model, double speed, const BlyTowLine *line,
                 BlyTowRun *out, BlyError *err) {
    BlyTowRun run;
    if (!speed_sound(speed, err) ||
        !tow_run_at(tow, model, speed, tow_followed(tow, model, speed), line, &run, err))
        return false;
    TowAt at = tow_at(tow, model, speed);
    if (!isnan(run.nose_down))
        others(&at, &run);
    run.notes = tow_notes(&at, &run);
    *out = run;
    return true;
}

/* N with which it goes down at a speed, at the attitude followed from `angle`. */
static double down_at(const BlyTow *tow, const BlyTowModel *model, double speed, double *angle) {
    TowAt at = tow_at(tow, model, speed);
    double next = isnan(*angle) ? NAN : tow_root_near(&at, *angle);
    if (isnan(next)) {
        TowRoots roots = tow_roots(&at);
        next = roots.count > 0 ? roots.angle[0] : NAN;
    }
    *angle = next;
    if (isnan(next))
        return -HUGE_VAL; /* what lies nowhere holds nothing down */
    BlyTowForce force = tow_force(&at, next);
    return down_force(&at, &force);
}

static double halved(const BlyTow *tow, const BlyTowModel *model, double low, double high,
                     double angle) {
    while (high / low > 1 + 1e-6) {
        double half = sqrt(low * high), there = angle;
        if (down_at(tow, model, half, &there) > 0) {
            high = half;
            angle = there;
        } else {
            low = half;
        }
    }
    return sqrt(low * high);
}

/* From fast to slow, as a run is followed; of several speeds where it goes under the slowest. */
double bly_tow_draws_under(const BlyTow *tow, const BlyTowModel *model) {
    double angle = NAN, speed = BLY_TOW_FASTEST, found = INFINITY;
    if (tow->net_weight >= 0)
        return 0;
    bool under = down_at(tow, model, speed, &angle) > 0;
    while (speed > BLY_TOW_SLOWEST) {
        double slower = fmax(speed * 0.8, BLY_TOW_SLOWEST), before = angle;
        bool still = down_at(tow, model, slower, &angle) > 0;
        if (under && !still)
            found = halved(tow, model, slower, speed, before);
        under = still;
        speed = slower;
    }
    return under ? speed : found;
}
