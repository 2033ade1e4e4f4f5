/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bands and reference points of one water; see frame.h and docs/fit.md. */
#include "fit/frame.h"
#include "numeric/roots.h"

#include <math.h>
#include <string.h>

static double world_x(BlyVec3 p, double t) {
    return p.x * cos(t) - p.z * sin(t);
}

double frame_weight(const Frame *frame, const Lump *lump) {
    return moments_weight(lump, frame->rho).net;
}

static double moment_about(const Frame *frame, const Lump *all, double t, double ref_x) {
    return moments_turning(moments_weight(all, frame->rho), cos(t), sin(t), ref_x, 0);
}

double frame_moment(const Frame *frame, const Lump *lump, int angle) {
    return moment_about(frame, lump, frame->angle[angle], frame->ref_x[angle]);
}

double frame_roll(const Frame *frame, const Lump *lump) {
    WeightInWater weight = moments_weight(lump, frame->rho);
    double t = frame->angle[AT_MIDDLE];
    if (frame->roll_afloat)
        return -moments_stiffness(weight, cos(t), sin(t));
    return weight.z - frame->ref_z * weight.net + frame->roll_least * lump->m;
}

/* The hull's displacement as a lump without mass. */
static Lump hull_lump(const Frame *frame) {
    return moments_of_volume(frame->hull_v, frame->hull_at);
}

double frame_blank_weight(const Frame *frame, const Lump *blank) {
    Lump hull = hull_lump(frame);
    return frame_weight(frame, blank) + frame_weight(frame, &hull);
}

double frame_blank_moment(const Frame *frame, const Lump *blank, int angle) {
    Lump hull = hull_lump(frame);
    double own = frame_moment(frame, blank, angle);
    return own + (frame->at_surface ? frame->hull_turn[angle] : frame_moment(frame, &hull, angle));
}

double frame_blank_roll(const Frame *frame, const Lump *blank) {
    Lump hull = hull_lump(frame);
    if (frame->roll_afloat)
        return frame_roll(frame, blank) - frame->roll_hull;
    return frame_roll(frame, blank) + frame_roll(frame, &hull);
}

static void set_angles(Frame *frame, const BlyTarget *target) {
    frame->has_attitude = isfinite(target->nose_low) && isfinite(target->nose_high);
    double low = frame->has_attitude ? target->nose_low : 0;
    double high = frame->has_attitude ? target->nose_high : 0;
    frame->angle[AT_LOW] = low;
    frame->angle[AT_MIDDLE] = (low + high) / 2;
    frame->angle[AT_HIGH] = high;
}

/* What is known of the lure that the frame is set from. */
typedef struct Anchor {
    const BlyLure *lure;
    const BlyOutcome *worked; /* NULL: nothing beside the lure */
    Lump all;                 /* all that it carries, the hull's displacement left out */
} Anchor;

static Anchor anchor_at(const BlyLure *lure, const BlyOutcome *worked) {
    return (Anchor){lure, worked, lump_of_items(lure->items, lure->count)};
}

/* ---- weight ---- */

static double within(double value, double low, double high) {
    return fmax(low, fmin(value, high));
}

/* Where the worked lure drifts; of one outside the band only the weight is of use that it would
 * want in the middle of it. */
static double drifts_at(const Anchor *a, const BlyTarget *target, const Frame *frame) {
    double angle = a->worked != NULL ? a->worked->nose_down : NAN;
    bool inside = angle >= target->nose_low && angle <= target->nose_high;
    bool any = target->state == BLY_FLOATS && isfinite(angle);
    return inside || any ? angle : frame->angle[AT_MIDDLE];
}

/* Drag is that of the attitude in which the lure drifts, at the surface or not. */
static bool drift_band(const Anchor *a, const BlyTarget *target, Frame *frame, BlyError *err) {
    const double speed[2] = {target->drift_low, target->drift_high};
    double limit[2] = {-INFINITY, INFINITY}, angle = drifts_at(a, target, frame);
    for (int i = 0; i < 2; i++) {
        double net;
        if (!isfinite(speed[i]))
            continue;
        if (!bly_rest_net_weight(a->lure, &frame->water, angle, speed[i], &net, err))
            return false;
        limit[i] = net * 1e3;
    }
    frame->n_low = limit[0];
    frame->n_high = limit[1];
    return true;
}

static void set_middle(Frame *frame, double low, double high) {
    bool bounded = isfinite(low) && isfinite(high);
    frame->n_middle = bounded ? (low + high) / 2 : NAN;
    frame->n_half = bounded ? (high - low) / 2 : 0.05;
    if (!(frame->n_half > 1e-6))
        frame->n_half = 1e-6;
}

static bool lies_upright(const BlyOutcome *worked) {
    return worked != NULL && worked->has_surface && fabs(worked->surface.heel) < 1e-3;
}

/* What is shown is told from weight in water: but what hangs in the air lifts nothing, so that
 * more is under water than weight says, as much as it was with the lure that was worked. */
static void shows_band(const Anchor *a, const BlyTarget *target, Frame *frame) {
    double whole = frame->rho * frame->hull_v, more = 0;
    if (lies_upright(a->worked))
        more = 1e3 * a->worked->sums.net_weight + whole * a->worked->surface.shows;
    if (isfinite(target->shows_high))
        frame->n_low = fmax(frame->n_low, more - whole * target->shows_high);
    if (isfinite(target->shows_low))
        frame->n_high = fmin(frame->n_high, more - whole * target->shows_low);
    double aim = frame->rho * a->lure->blank->hull_volume * 1e6; /* as rig_rework counts `off` */
    if (isfinite(target->shows_low) && isfinite(target->shows_high))
        set_middle(frame, -aim * target->shows_high, -aim * target->shows_low);
}

/* ---- moments under water ---- */

static double likely_net(const Anchor *a, const Frame *frame) {
    double net = isfinite(frame->n_middle) ? frame->n_middle
                 : isfinite(frame->n_low)  ? frame->n_low
                 : isfinite(frame->n_high) ? frame->n_high
                                           : 0;
    if (a->worked != NULL)
        net = within(1e3 * a->worked->sums.net_weight, frame->n_low - frame->n_half,
                     frame->n_high + frame->n_half);
    return net * 1e-3;
}

/* The flow's couple goes with the amount of weight in water, as drag's moment goes with weight: for
 * lures that drift the same way it shifts the point about which drag turns nothing. */
static bool under_water(const Anchor *a, Frame *frame, BlyError *err) {
    double net = likely_net(a, frame);
    for (int i = 0; i < ANGLES; i++) {
        double speed, t = frame->angle[i];
        BlyHold hold;
        if (!bly_rest_speed(a->lure, &frame->water, t, net, &speed, err))
            return false;
        speed = fmax(fabs(speed), 1e-6);
        if (!bly_rest_hold(a->lure, &frame->water, t, &speed, 1, &hold, err))
            return false;
        frame->ref_x[i] = 1e3 * (world_x(hold.centre, t) - copysign(hold.turn, net));
        if (i == AT_MIDDLE)
            frame->ref_z = hold.centre.z * 1e3;
    }
    return true;
}

/* ---- moments at the surface ---- */

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
        if (high - low < 1e-8)
            break;
    }
    double height = gsl_root_fsolver_root(&solver);
    if (status != GSL_SUCCESS)
        return bly_fail(err, BLY_E_INTERNAL, NULL,
                        "no waterline found for the body at the surface");
    *out = bly_body_cut(hull, (BlyPlane){s.up, height});
    return true;
}

/* A little more weight sinks the hull by a slice as wide as its waterplane: put at that plane's
 * centre it turns nothing. What the slice's place does not tell is the hull's own moment about
 * there. mm and g mm. */
static void turn_of_cut(const BlyCut *cut, double t, double lift, double *ref_x, double *turn) {
    double buoyancy = 1e3 * world_x(cut->centroid, t);
    *ref_x = cut->area > 0 ? 1e3 * world_x(cut->area_centroid, t) : buoyancy;
    *turn = -lift * (buoyancy - *ref_x);
}

/* Loops and hooks in the air: what the moment of the worked lure, which is none, lacks in the rows'
 * arithmetic. */
static double in_the_air(const Anchor *a, const Frame *frame, double scale) {
    if (!lies_upright(a->worked))
        return 0;
    double t = a->worked->surface.nose_down, ref_x, turn;
    BlyPlane plane = {bly_vec_up(t, 0), a->worked->surface.plane_height};
    BlyCut cut = bly_body_cut(a->lure->blank->hull, plane);
    if (!(cut.area > 0))
        return 0;
    turn_of_cut(&cut, t, frame->rho * cut.volume * scale, &ref_x, &turn);
    return -(moment_about(frame, &a->all, t, ref_x) + turn);
}

/* Share of the hull that is wet. */
static double likely_wet(const Anchor *a, const BlyTarget *target, const Frame *frame) {
    double net = isfinite(frame->n_middle) ? frame->n_middle : frame->n_high;
    double wet = 1 + net / (frame->rho * frame->hull_v);
    if (lies_upright(a->worked))
        wet = within(1 - a->worked->surface.shows, 1 - target->shows_high, 1 - target->shows_low);
    return within(wet, 0.02, 0.999);
}

/* Of the roll arm, asked under water, and the roll height only that is a row which the lure is
 * nearer to missing: mass times metacentric height is what the waterplane and the hull's buoyancy
 * do, less the moment of what it carries. */
static void choose_roll(const Anchor *a, const BlyTarget *target, Frame *frame) {
    double arm = frame_blank_roll(frame, &a->all);
    if (!(target->roll_arm_least > 0))
        return;
    frame->roll_afloat = true;
    frame->roll_afloat = frame_blank_roll(frame, &a->all) > arm;
}

/* Afloat: net weight is what the dry part would displace. */
static bool at_surface(const Anchor *a, const BlyTarget *target, Frame *frame, BlyError *err) {
    const BlyBody *hull = a->lure->blank->hull;
    double solid = bly_body_solid(hull)->volume, scale = frame->hull_v / solid; /* to cm3 */
    double wet = likely_wet(a, target, frame), air = in_the_air(a, frame, scale);
    frame->at_surface = true;
    for (int i = 0; i < ANGLES; i++) {
        BlyCut cut;
        double t = frame->angle[i], lift = frame->rho * wet * frame->hull_v;
        if (!cut_at(hull, t, wet * solid, &cut, err))
            return false;
        turn_of_cut(&cut, t, lift, &frame->ref_x[i], &frame->hull_turn[i]);
        frame->hull_turn[i] += air;
        if (i != AT_MIDDLE)
            continue;
        double high = 1e3 * bly_vec_dot(bly_vec_up(t, 0), cut.centroid);
        WeightInWater items = moments_weight(&a->all, frame->rho);
        frame->stiffness = frame->rho * cut.along * scale * 1e3 + lift * high +
                           moments_stiffness(items, cos(t), sin(t));
        frame->roll_hull = frame->rho * cut.across * scale * 1e3 + lift * high;
    }
    BlyVec3 drag;
    double net = isfinite(frame->n_middle) ? frame->n_middle : frame->n_high;
    if (!bly_rest_drag_centre(a->lure, &frame->water, frame->angle[AT_MIDDLE], net * 1e-3, &drag,
                              err))
        return false;
    frame->ref_z = 1e3 * (a->worked != NULL ? a->worked->drag_centre.z : drag.z);
    choose_roll(a, target, frame);
    return true;
}

/* ---- moments into angles ---- */

/* Of the worked lure. */
static double moment_here(const Anchor *a, const Frame *frame, int angle) {
    return frame_blank_moment(frame, &a->all, angle);
}

/* g mm/rad. Between the band's edges, or at the surface from the waterplane; from the middle to
 * where the worked lure rests, where that is far enough to say so. */
static void set_stiffness(const Anchor *a, Frame *frame) {
    double *t = frame->angle, k = frame->stiffness;
    double least = a->all.m * fmax(frame->roll_least, 0.5), wide = t[AT_HIGH] - t[AT_LOW];
    if (!frame->at_surface) {
        BlySums sums;
        bly_balance_sums(a->lure, &frame->water, &sums);
        WeightInWater weight = {sums.net_weight, sums.wx, sums.wz};
        k = moments_stiffness(weight, cos(t[AT_MIDDLE]), sin(t[AT_MIDDLE])) * 1e6;
        if (wide > 1e-2)
            k = (moment_here(a, frame, AT_HIGH) - moment_here(a, frame, AT_LOW)) / wide;
    }
    k = fmax(k, least);
    if (a->worked != NULL) {
        bool afloat = frame->at_surface && lies_upright(a->worked);
        double rests = afloat ? a->worked->surface.nose_down : a->worked->nose_down;
        double way = rests - t[AT_MIDDLE];
        double here = -moment_here(a, frame, AT_MIDDLE) / way;
        if ((afloat || !frame->at_surface) && fabs(way) > 0.1 * wide && here > k / 3 &&
            here < 3 * k)
            k = here;
    }
    frame->stiffness = k;
}

bool frame_make(const BlyBuild *build, const BlyLure *like, const BlyOutcome *worked,
                const BlyWaterFacts *water, Frame *out, BlyError *err) {
    memset(out, 0, sizeof *out);
    const BlyTarget *target = &build->target;
    if (!bly_water_at(water->temperature.value, water->salinity.value, &out->water, err))
        return false;
    const BlyBlank *blank = &build->blank;
    Anchor anchor = anchor_at(like, worked);
    out->rho = out->water.density * 1e-3;
    out->hull_v = blank->hull_volume * bly_blank_swelling(blank, out->water.temperature) * 1e6;
    out->hull_at = bly_vec_scale(blank->hull_centroid, 1e3);
    out->roll_least = target->roll_arm_least * 1e3;
    set_angles(out, target);
    if (!drift_band(&anchor, target, out, err))
        return false;
    set_middle(out, out->n_low, out->n_high);
    if (target->state == BLY_FLOATS)
        shows_band(&anchor, target, out);
    bool good = target->state == BLY_FLOATS ? at_surface(&anchor, target, out, err)
                                            : under_water(&anchor, out, err);
    set_stiffness(&anchor, out);
    return good;
}

static double edge_distance(double a, double b) {
    return isfinite(a) && isfinite(b) ? fabs(a - b) : 0;
}

double frame_distance(const Frame *a, const Frame *b) {
    double far = edge_distance(a->n_low, b->n_low) / b->n_half;
    far = fmax(far, edge_distance(a->n_high, b->n_high) / b->n_half);
    if (!b->has_attitude)
        return far;
    double half = (b->angle[AT_HIGH] - b->angle[AT_LOW]) / 2 * b->stiffness;
    double weight = fmax(fabs(b->n_low), fabs(b->n_high));
    if (!isfinite(weight))
        weight = b->n_half;
    if (b->at_surface)
        weight = b->rho * b->hull_v - (isfinite(b->n_middle) ? fabs(b->n_middle) : 0);
    for (int i = 0; i < ANGLES; i++) {
        double turn = (a->ref_x[i] - b->ref_x[i]) * weight - (a->hull_turn[i] - b->hull_turn[i]);
        far = fmax(far, fabs(turn) / fmax(half, 1e-9));
    }
    return far;
}
