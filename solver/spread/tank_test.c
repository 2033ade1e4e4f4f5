/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One look at the finished lure in the tank, as a maker has it: a stopwatch over a marked depth and
 * a photograph from the side (or the float line); and what that tells of weight and balance. */
#include "spread/reserve.h"

#include <gsl/gsl_math.h>

/* trade practice, from memory: a stopwatch by hand, an angle off a photograph; a float line read
 * against marks is our own guess. */
static const double stopwatch = 0.2, protractor = 2.0 * M_PI / 180.0, float_line = 0.02;
static const double usual_depth = 0.6;
static const double patience = 120.0; /* s; what has not come or gone by then hangs still */
/* An open side: this far inside its edge is as good as any, in angle. */
static const double well_inside = 5.0 * M_PI / 180.0;
static const double well_righting = 0.3e-3; /* m, of the roll arm */

enum { PLACES = 3 };

void tank_task_make(const SpreadModel *model, const BlyReserveOptions *options, TankTask *out) {
    const double nothing[BLY_INPUTS_MAX] = {0};
    const double *sums = model->sums.at_zero;
    *out = (TankTask){.model = model, .target = model->target, .at_surface = model->at_surface};
    out->depth = options->depth > 0.0 ? options->depth : usual_depth;
    out->patience = patience;
    out->timing_sigma =
        (options->timing_give > 0.0 ? options->timing_give : stopwatch) / SPREAD_GIVE_SIGMA;
    out->angle_sigma =
        (options->angle_give > 0.0 ? options->angle_give : protractor) / SPREAD_GIVE_SIGMA;
    out->shows_sigma = float_line / SPREAD_GIVE_SIGMA;
    bly_target_drift(model->target, &out->drift_low, &out->drift_high);
    for (size_t w = 0; w < model->water_count; w++) {
        double hull, angle;
        spread_model_load(model, nothing, sums, w, &out->load[w], &hull);
        spread_afloat_at(&model->afloat[w], sums, out->load[w].density, hull, &out->shows[w],
                         &angle);
        if (w == 0)
            out->hull = hull;
    }
    double density = out->load[0].density;
    out->mass = sums[SUM_M];
    out->load_mass = sums[SUM_M] - density * sums[SUM_P];
    out->load_x = (sums[SUM_MX] - density * sums[SUM_PX]) / out->load_mass;
    out->load_z = (sums[SUM_MZ] - density * sums[SUM_PZ]) / out->load_mass;
}

TankReading tank_read(const TankTask *task, const BlyOutcome *outcome, const double noise[2]) {
    TankReading reading = {.shows = NAN};
    bool surface = task->at_surface && outcome->has_surface;
    double seconds = task->depth / fmax(fabs(outcome->drift), 1e-9);
    double nose = surface ? outcome->surface.nose_down : outcome->nose_down;
    reading.nose_down = (isnan(nose) ? 0.0 : nose) + noise[1] * task->angle_sigma;
    if (surface)
        reading.shows = outcome->surface.shows + noise[0] * task->shows_sigma;
    seconds += noise[0] * task->timing_sigma;
    reading.drift = copysign(task->depth / fmax(seconds, 0.05), outcome->drift);
    if (seconds > task->patience)
        reading.drift = 0.0;
    return reading;
}

/* F = 0 at the angle seen says where the weight lies along the lure, for the roll arm that is
 * believed. */
static double balance_seen(const GripLoad *load, const GripCell *hold, double nose_down) {
    double t = fmin(fmax(nose_down, -1.4), 1.4), n = load->net_weight;
    double up = (load->wz - n * hold->z) * sin(t) - fabs(n) * load->munk / load->drag * hold->turn;
    return n * hold->x + up / cos(t);
}

void tank_believe(const TankTask *task, const TankReading *reading, TankBelief *out) {
    const GripLoad *nominal = &task->load[0];
    GripLoad seen = *nominal;
    GripCell hold;
    out->shows = reading->shows;
    out->nose_down = reading->nose_down;
    seen.net_weight =
        spread_grip_weight(&task->model->grip, nominal, reading->nose_down, reading->drift, &hold);
    seen.wx = balance_seen(&seen, &hold, reading->nose_down);
    for (size_t w = 0; w < task->model->water_count; w++) {
        out->load[w] = task->load[w];
        out->load[w].net_weight += seen.net_weight - nominal->net_weight;
        out->load[w].wx += seen.wx - nominal->wx;
    }
}

/* Where in its band a value lies: -1 and 1 are its edges. Of a one-sided band, 0 is `inside` away
 * from the edge and beyond. */
static double place(double value, double low, double high, double inside) {
    if (isfinite(low) && isfinite(high))
        return (value - 0.5 * (low + high)) / fmax(0.5 * (high - low), 1e-12);
    if (isfinite(low))
        return fmin((value - low) / inside - 1.0, 0.0);
    if (isfinite(high))
        return fmax((value - high) / inside + 1.0, 0.0);
    return 0.0;
}

/* Speed times its amount is all but net weight. */
static double as_weight(double speed) {
    return isfinite(speed) ? speed * fabs(speed) : speed;
}

static double drift_place(const TankTask *task, double drift) {
    double low = as_weight(task->drift_low), high = as_weight(task->drift_high);
    double edge = isfinite(low) ? low : high;
    return place(as_weight(drift), low, high, 0.25 * fabs(edge) + 1e-4);
}

/* The lure in one water, as believed, with `add` on. */
static GripLoad with_added(const TankBelief *belief, size_t water, const double add[ADDS]) {
    GripLoad load = belief->load[water];
    load.net_weight += add[ADD_M] - load.density * add[ADD_P];
    load.wx += add[ADD_MX] - load.density * add[ADD_PX];
    load.wz += add[ADD_MZ] - load.density * add[ADD_PZ];
    return load;
}

static double roll_place(const TankTask *task, const GripLoad *load, const GripRest *rest,
                         double added_mass) {
    double mass = task->mass + added_mass;
    double arm = (load->net_weight * rest->drag_z - load->wz) / mass;
    return place(arm, task->target->roll_arm_least, INFINITY, well_righting);
}

/* Drift, angle and roll arm in one water of the target. */
static void places_under_water(const TankTask *task, const GripLoad *load, double added_mass,
                               double out[PLACES]) {
    GripRest rest = spread_grip_rest(&task->model->grip, load);
    out[0] = drift_place(task, rest.drift);
    out[1] = isnan(rest.nose_down) ? 10.0
                                   : place(rest.nose_down, task->target->nose_low,
                                           task->target->nose_high, well_inside);
    out[2] = roll_place(task, load, &rest, added_mass);
}

/* What shows, angle at the surface and roll arm. */
static void places_at_surface(const TankTask *task, const TankBelief *belief, size_t water,
                              const double add[ADDS], double out[PLACES]) {
    const BlyTarget *target = task->target;
    const SpreadAfloat *afloat = &task->model->afloat[0];
    double density = task->load[0].density;
    double more = add[ADD_M] - density * add[ADD_P], load = task->load_mass + more;
    double sinks = more / (density * task->hull);
    double dx = (add[ADD_MX] - density * add[ADD_PX] - task->load_x * more) / load;
    double dz = (add[ADD_MZ] - density * add[ADD_PZ] - task->load_z * more) / load;
    double angle = belief->nose_down - afloat->slope[0] * sinks + afloat->slope[1] * dx +
                   afloat->slope[2] * dz;
    double shows = belief->shows - sinks + task->shows[water] - task->shows[0];
    GripLoad under = with_added(belief, water, add);
    GripRest rest = {.drag_z = task->load_z};
    out[0] = place(shows, target->shows_low, target->shows_high, 0.05);
    out[1] = place(angle, target->nose_low, target->nose_high, well_inside);
    out[2] = roll_place(task, &under, &rest, add[ADD_M]);
}

double tank_score(const TankTask *task, const TankBelief *belief, const double add[ADDS],
                  double *worst) {
    double score = 0.0, largest = 0.0, at[PLACES];
    for (size_t w = 1; w < task->model->water_count; w++) {
        GripLoad load = with_added(belief, w, add);
        if (task->at_surface && isfinite(belief->shows))
            places_at_surface(task, belief, w, add, at);
        else
            places_under_water(task, &load, add[ADD_M], at);
        for (int k = 0; k < PLACES; k++) {
            score += at[k] * at[k];
            largest = fmax(largest, fabs(at[k]));
        }
    }
    if (worst)
        *worst = largest;
    return score;
}

/* Net weights at the edges of the band in the first water of the target, at the angle seen. */
static void weight_band(const TankTask *task, const TankBelief *belief, double *low, double *high) {
    GripCell hold;
    const SpreadGrip *grip = &task->model->grip;
    *low = task->drift_low;
    *high = task->drift_high;
    if (isfinite(*low))
        *low = spread_grip_weight(grip, &task->load[1], belief->nose_down, *low, &hold);
    if (isfinite(*high))
        *high = spread_grip_weight(grip, &task->load[1], belief->nose_down, *high, &hold);
}

void tank_missing(const TankTask *task, const TankBelief *belief, double *missing, double *half) {
    const BlyTarget *target = task->target;
    double low, high, now = belief->load[1].net_weight;
    if (task->at_surface && isfinite(belief->shows)) {
        double whole = task->load[0].density * task->hull;
        low = -target->shows_high * whole;
        high = -target->shows_low * whole;
        now = -(belief->shows + task->shows[1] - task->shows[0]) * whole;
    } else {
        weight_band(task, belief, &low, &high);
    }
    if (isfinite(low) && isfinite(high)) {
        *missing = 0.5 * (low + high) - now;
        *half = fmax(0.5 * (high - low), 1e-9);
        return;
    }
    *half = INFINITY; /* one-sided: every amount may be looked at */
    *missing = isfinite(low) ? fmax(1.25 * low - now, 0.0)
                             : (isfinite(high) ? fmin(1.25 * high - now, 0.0) : 0.0);
}
