/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bands and reference points of one water; see frame.h and docs/fit.md. */
#include "fit/frame.h"
#include "roots/roots.h"

#include <math.h>
#include <string.h>

static double world_x(BlyVec3 p, double t) {
    return p.x * cos(t) - p.z * sin(t);
}

double frame_weight(const Frame *frame, const Lump *lump) {
    return lump->m - frame->rho * lump->v;
}

double frame_moment(const Frame *frame, const Lump *lump, int angle) {
    double t = frame->angle[angle], rho = frame->rho;
    return (lump->mx - rho * lump->vx) * cos(t) - (lump->mz - rho * lump->vz) * sin(t) -
           frame->ref_x[angle] * frame_weight(frame, lump);
}

double frame_roll(const Frame *frame, const Lump *lump) {
    return (lump->mz - frame->rho * lump->vz) - frame->ref_z * frame_weight(frame, lump) +
           frame->roll_least * lump->m;
}

/* The hull's displacement as a lump without mass. At the surface its buoyancy acts at the
 * reference point and has no moment there. */
static Lump hull_lump(const Frame *frame) {
    double v = frame->hull_v;
    return (Lump){0, v, 0, 0, v * frame->hull_at.x, v * frame->hull_at.z};
}

double frame_blank_weight(const Frame *frame, const Lump *blank) {
    Lump hull = hull_lump(frame);
    return frame_weight(frame, blank) + frame_weight(frame, &hull);
}

double frame_blank_moment(const Frame *frame, const Lump *blank, int angle) {
    Lump hull = hull_lump(frame);
    double own = frame_moment(frame, blank, angle);
    return frame->at_surface ? own : own + frame_moment(frame, &hull, angle);
}

double frame_blank_roll(const Frame *frame, const Lump *blank) {
    Lump hull = hull_lump(frame);
    double own = frame_roll(frame, blank);
    return frame->at_surface ? own : own + frame_roll(frame, &hull);
}

static void set_angles(Frame *frame, const BlyTarget *target) {
    frame->has_attitude = isfinite(target->nose_low) && isfinite(target->nose_high);
    double low = frame->has_attitude ? target->nose_low : 0;
    double high = frame->has_attitude ? target->nose_high : 0;
    frame->angle[AT_LOW] = low;
    frame->angle[AT_MIDDLE] = (low + high) / 2;
    frame->angle[AT_HIGH] = high;
}

static void set_middle(Frame *frame) {
    bool bounded = isfinite(frame->n_low) && isfinite(frame->n_high);
    frame->n_middle = bounded ? (frame->n_low + frame->n_high) / 2 : NAN;
    frame->n_half = bounded ? (frame->n_high - frame->n_low) / 2 : 0.05;
    if (!(frame->n_half > 1e-6))
        frame->n_half = 1e-6;
}

static bool drift_band(const BlyLure *like, const BlyTarget *target, Frame *frame, BlyError *err) {
    const double speed[2] = {target->drift_low, target->drift_high};
    double limit[2] = {-INFINITY, INFINITY};
    for (int i = 0; i < 2; i++) {
        double net;
        if (!isfinite(speed[i]))
            continue;
        if (!bly_rest_net_weight(like, &frame->water, frame->angle[AT_MIDDLE], speed[i], &net, err))
            return false;
        limit[i] = net * 1e3;
    }
    frame->n_low = limit[0];
    frame->n_high = limit[1];
    return true;
}

static bool under_water(const BlyLure *like, const BlyTarget *target, Frame *frame, BlyError *err) {
    double net = isfinite(frame->n_middle) ? frame->n_middle * 1e-3 : 0;
    if (!isfinite(frame->n_middle) && isfinite(frame->n_low))
        net = frame->n_low * 1e-3;
    (void)target;
    for (int i = 0; i < ANGLES; i++) {
        BlyVec3 centre;
        if (!bly_rest_drag_centre(like, &frame->water, frame->angle[i], net, &centre, err))
            return false;
        frame->ref_x[i] = world_x(centre, frame->angle[i]) * 1e3;
        if (i == AT_MIDDLE)
            frame->ref_z = centre.z * 1e3;
    }
    return true;
}

typedef struct Sinking {
    const BlyBody *hull;
    BlyVec3 up;
    double volume;
} Sinking;

static double volume_off(double height, void *params) {
    const Sinking *s = params;
    BlyCut cut = bly_body_cut(s->hull, (BlyPlane){s->up, height});
    return cut.volume - s->volume;
}

/* The cut of the hull at angle t that leaves `volume` (m3) under water. */
static bool cut_at(const BlyBody *hull, double t, double volume, BlyCut *out, BlyError *err) {
    Sinking s = {hull, bly_vec_up(t, 0), volume};
    BlyBox box = bly_body_box(hull);
    double reach = bly_vec_norm(box.low) + bly_vec_norm(box.high);
    gsl_function f = {volume_off, &s};
    gsl_root_fsolver solver;
    BlySolverRoom room;
    int status = bly_brent_begin(&solver, &room, &f, -reach, reach);
    for (int i = 0; status == GSL_SUCCESS && i < 100; i++) {
        status = gsl_root_fsolver_iterate(&solver);
        double low = gsl_root_fsolver_x_lower(&solver), high = gsl_root_fsolver_x_upper(&solver);
        if (high - low < 1e-9)
            break;
    }
    double height = gsl_root_fsolver_root(&solver);
    if (status != GSL_SUCCESS)
        return bly_fail(err, BLY_E_INTERNAL, NULL,
                        "no waterline found for the body at the surface");
    *out = bly_body_cut(hull, (BlyPlane){s.up, height});
    return true;
}

/* Afloat with the wanted part showing: net weight is what the dry part would displace. */
static bool at_surface(const BlyLure *like, const BlyTarget *target, Frame *frame, BlyError *err) {
    double high_shows = fmin(target->shows_high, 0.999), low_shows = fmax(target->shows_low, 0);
    frame->at_surface = true;
    if (isfinite(target->shows_high))
        frame->n_low = fmax(frame->n_low, -frame->rho * frame->hull_v * high_shows);
    if (isfinite(target->shows_low))
        frame->n_high = fmin(frame->n_high, -frame->rho * frame->hull_v * low_shows);
    set_middle(frame);
    double net = isfinite(frame->n_middle) ? frame->n_middle : frame->n_high;
    double wet = 1 + net / (frame->rho * frame->hull_v);
    wet = fmin(fmax(wet, 0.02), 0.999);
    for (int i = 0; i < ANGLES; i++) {
        BlyCut cut;
        double volume = wet * bly_body_solid(like->blank->hull)->volume;
        if (!cut_at(like->blank->hull, frame->angle[i], volume, &cut, err))
            return false;
        frame->ref_x[i] = world_x(cut.centroid, frame->angle[i]) * 1e3;
        if (i == AT_MIDDLE)
            frame->ref_z = (cut.centroid.z + cut.across / cut.volume) * 1e3;
    }
    return true;
}

/* dF/dt at the middle angle: moments about the reference point turned by a quarter. */
static void set_stiffness(const BlyLure *like, Frame *frame) {
    BlySums sums;
    bly_balance_sums(like, &frame->water, &sums);
    double t = frame->angle[AT_MIDDLE];
    double k = -(sums.wx * sin(t) + sums.wz * cos(t)) * 1e6;
    double least = sums.mass * 1e3 * fmax(frame->roll_least, 0.5);
    frame->stiffness = fmax(k, least);
}

bool frame_make(const BlyBuild *build, const BlyLure *like, const BlyWaterFacts *water, Frame *out,
                BlyError *err) {
    memset(out, 0, sizeof *out);
    const BlyTarget *target = &build->target;
    if (!bly_water_at(water->temperature.value, water->salinity.value, &out->water, err))
        return false;
    const BlyBlank *blank = &build->blank;
    out->rho = out->water.density * 1e-3;
    out->hull_v = blank->hull_volume * bly_blank_swelling(blank, out->water.temperature) * 1e6;
    out->hull_at = bly_vec_scale(blank->hull_centroid, 1e3);
    out->roll_least = target->roll_arm_least * 1e3;
    set_angles(out, target);
    if (!drift_band(like, target, out, err))
        return false;
    set_middle(out);
    bool good = target->state == BLY_FLOATS ? at_surface(like, target, out, err)
                                            : under_water(like, target, out, err);
    set_stiffness(like, out);
    return good;
}

static double edge_distance(double a, double b) {
    return isfinite(a) && isfinite(b) ? fabs(a - b) : 0;
}

double frame_distance(const Frame *a, const Frame *b) {
    double far = edge_distance(a->n_low, b->n_low) / b->n_half;
    far = fmax(far, edge_distance(a->n_high, b->n_high) / b->n_half);
    if (b->has_attitude) {
        double half = (b->angle[AT_HIGH] - b->angle[AT_LOW]) / 2 * b->stiffness;
        double weight = fmax(fabs(b->n_low), fabs(b->n_high));
        if (!isfinite(weight))
            weight = b->n_half;
        for (int i = 0; i < ANGLES; i++)
            far = fmax(far, fabs(a->ref_x[i] - b->ref_x[i]) * weight / fmax(half, 1e-9));
    }
    return far;
}
