/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "balance/afloat.h"

#include "balance/bar.h"
#include "moments/moments.h"

enum { STEPS_MAX = 80 };

static double far_from(const BlyItem *item, BlyVec3 middle) {
    double from = bly_vec_norm(bly_vec_sub(item->from, middle));
    double to = bly_vec_norm(bly_vec_sub(item->to, middle));
    double hang = item->hangs ? fmax(fabs(item->hang_from), fabs(item->hang_to)) : 0;
    return fmax(from, to) + hang + bar_thickness(item);
}

static void add_items(const BlyLure *lure, double hull, BlyAfloat *out) {
    Moments all = moments_of_volume(hull, lure->blank->hull_centroid);
    moments_add(&all, lure->items, lure->count, moments_si);
    out->mass = all.m;
    out->volume = all.v;
    out->by_mass = bly_vec(all.mx, all.my, all.mz);
    for (size_t i = 0; i < lure->count; i++) {
        const BlyItem *item = &lure->items[i];
        if (item->hangs)
            out->drop += item->mass * (item->hang_from + item->hang_to) / 2;
        if (item->volume != 0)
            out->reach = fmax(out->reach, far_from(item, out->middle));
    }
}

bool afloat_start(const BlyLure *lure, const BlyWater *water, BlyAfloat *out, BlyError *err) {
    const BlyBlank *blank = lure->blank;
    const BlyBody *hull = blank->hull;
    BlyBox box = bly_body_box(hull);
    BlyVec3 sides = bly_vec_sub(box.high, box.low);
    double volume = blank->hull_volume * bly_blank_swelling(blank, water->temperature);
    *out = (BlyAfloat){.lure = lure, .hull = hull, .density = water->density};
    out->hull_scale = volume / bly_body_solid(hull)->volume;
    out->middle = bly_vec_scale(bly_vec_add(box.low, box.high), 0.5);
    out->reach = bly_vec_norm(sides) / 2;
    out->size = fmax(sides.x, fmax(sides.y, sides.z));
    add_items(lure, volume, out);
    if (!(out->mass > 0))
        return bly_fail(err, BLY_E_RANGE, NULL, "the lure weighs nothing");
    if (!(out->mass < out->density * out->volume))
        return bly_fail(err, BLY_E_RANGE, NULL,
                        "the lure sinks: it weighs %.3f g and displaces %.3f g of water",
                        out->mass * 1e3, out->density * out->volume * 1e3);
    return true;
}

bool afloat_rough(const BlyAfloat *afloat, BlyAfloat *out) {
    const BlyBody *rough = bly_body_rough(afloat->hull);
    if (rough == NULL)
        return false;
    double scale = bly_body_solid(afloat->hull)->volume / bly_body_solid(rough)->volume;
    *out = *afloat;
    out->hull = rough;
    out->hull_scale *= scale;
    return true;
}

/* Axes in the surface: lengthwise is body x seen on it, or body z when it lies square to x. */
static void lay_axes(BlyPose *pose) {
    BlyVec3 x = bly_vec(1, 0, 0), z = bly_vec(0, 0, 1);
    BlyVec3 flat = bly_vec_sub(x, bly_vec_scale(pose->up, pose->up.x));
    if (bly_vec_norm(flat) < 1e-9)
        flat = bly_vec_sub(z, bly_vec_scale(pose->up, pose->up.z));
    pose->lengthwise = bly_vec_scale(flat, 1 / bly_vec_norm(flat));
    pose->crosswise = bly_vec_cross(pose->up, pose->lengthwise);
}

static void add_hull(const BlyAfloat *afloat, BlyPose *pose) {
    const BlyCut *cut = &pose->cut;
    double scale = afloat->hull_scale;
    double volume = scale * cut->volume, area = scale * cut->area;
    double l = bly_vec_dot(pose->lengthwise, cut->area_centroid);
    double c = bly_vec_dot(pose->crosswise, cut->area_centroid);
    double depth = pose->height - bly_vec_dot(pose->up, cut->centroid);
    pose->volume += volume;
    pose->pull = bly_vec_sub(pose->pull, bly_vec_scale(cut->centroid, afloat->density * volume));
    pose->lift_work += afloat->density * volume * depth;
    pose->area += area;
    pose->first_l += area * l;
    pose->first_c += area * c;
    pose->along += scale * cut->along + area * l * l;
    pose->across += scale * cut->across + area * c * c;
    pose->mixed += scale * cut->mixed + area * l * c;
}

/* Adds one displacing item. What hangs is a bar along the vertical, acting at its point. */
static void add_bar(const BlyAfloat *afloat, const BlyItem *item, BlyPose *pose) {
    double depth_a = pose->height - bly_vec_dot(pose->up, item->from);
    double depth_b = pose->height - bly_vec_dot(pose->up, item->to);
    if (item->hangs) {
        depth_a += item->hang_from;
        depth_b += item->hang_to;
    }
    BlyBarWet wet = bar_wet(depth_a, depth_b, bar_thickness(item));
    BlyVec3 lift =
        bly_vec_add(bly_vec_scale(item->from, wet.share_a), bly_vec_scale(item->to, wet.share_b));
    double la = bly_vec_dot(pose->lengthwise, item->from);
    double lb = bly_vec_dot(pose->lengthwise, item->to);
    double ca = bly_vec_dot(pose->crosswise, item->from);
    double cb = bly_vec_dot(pose->crosswise, item->to);
    double v = item->volume;
    pose->volume += v * (wet.share_a + wet.share_b);
    pose->pull = bly_vec_sub(pose->pull, bly_vec_scale(lift, afloat->density * v));
    pose->lift_work += afloat->density * v * wet.work;
    pose->area += v * (wet.aa + 2 * wet.ab + wet.bb);
    pose->first_l += v * ((wet.aa + wet.ab) * la + (wet.ab + wet.bb) * lb);
    pose->first_c += v * ((wet.aa + wet.ab) * ca + (wet.ab + wet.bb) * cb);
    pose->along += v * (wet.aa * la * la + 2 * wet.ab * la * lb + wet.bb * lb * lb);
    pose->across += v * (wet.aa * ca * ca + 2 * wet.ab * ca * cb + wet.bb * cb * cb);
    pose->mixed += v * (wet.aa * la * ca + wet.ab * (la * cb + lb * ca) + wet.bb * lb * cb);
}

/* From the origin to the centroid of what the surface cuts. */
static void centre_moments(BlyPose *pose) {
    if (!(pose->area > 0))
        return;
    pose->along -= pose->first_l * pose->first_l / pose->area;
    pose->across -= pose->first_c * pose->first_c / pose->area;
    pose->mixed -= pose->first_l * pose->first_c / pose->area;
}

void afloat_pose(const BlyAfloat *afloat, BlyVec3 up, double height, BlyPose *out) {
    const BlyLure *lure = afloat->lure;
    *out = (BlyPose){.up = up, .height = height, .pull = afloat->by_mass};
    out->cut = bly_body_cut(afloat->hull, (BlyPlane){up, height});
    lay_axes(out);
    add_hull(afloat, out);
    for (size_t i = 0; i < lure->count; i++) {
        if (lure->items[i].volume != 0)
            add_bar(afloat, &lure->items[i], out);
    }
    centre_moments(out);
    out->energy =
        bly_vec_dot(up, afloat->by_mass) - afloat->drop - afloat->mass * height + out->lift_work;
}

/* The last small step to balance, by the derivatives that are at hand. */
static void step_to_balance(const BlyAfloat *afloat, BlyPose *pose) {
    double missing = afloat->mass / afloat->density - pose->volume;
    if (!(pose->area > 0))
        return;
    double step = missing / pose->area;
    double rho = afloat->density;
    BlyVec3 first = bly_vec_add(bly_vec_add(bly_vec_scale(pose->lengthwise, pose->first_l),
                                            bly_vec_scale(pose->crosswise, pose->first_c)),
                                bly_vec_scale(pose->up, pose->height * pose->area));
    pose->pull = bly_vec_sub(pose->pull, bly_vec_scale(first, rho * step));
    pose->energy -= rho * missing * step / 2;
    pose->lift_work += rho * (pose->volume + missing / 2) * step;
    pose->height += step;
    pose->volume += missing;
}

/* GSL's bracketing solvers know no derivative and its Newton no bracket; here the derivative is
 * free and the bracket certain, and each step costs a cut of the hull. */
bool afloat_settle(const BlyAfloat *afloat, BlyVec3 up, double guess, double tolerance,
                   BlyPose *out) {
    double wanted = afloat->mass / afloat->density;
    double least = fmin(wanted, afloat->volume - wanted);
    double low = bly_vec_dot(up, afloat->middle) - afloat->reach;
    double high = low + 2 * afloat->reach;
    double height = guess > low && guess < high ? guess : (low + high) / 2;
    for (int step = 0; step < STEPS_MAX; step++) {
        afloat_pose(afloat, up, height, out);
        double missing = wanted - out->volume;
        if (fabs(missing) <= tolerance * least || high - low < 1e-13 * afloat->size) {
            out->moved = fabs(missing) / least;
            step_to_balance(afloat, out);
            return true;
        }
        if (missing > 0)
            low = height;
        else
            high = height;
        double next = height + missing / out->area;
        height = next > low && next < high ? next : (low + high) / 2;
    }
    return false;
}

double afloat_follow(const BlyPose *pose, BlyVec3 up) {
    BlyVec3 about = bly_vec_scale(pose->up, pose->height);
    if (pose->area > 0) {
        BlyVec3 off = bly_vec_add(bly_vec_scale(pose->lengthwise, pose->first_l / pose->area),
                                  bly_vec_scale(pose->crosswise, pose->first_c / pose->area));
        about = bly_vec_add(about, off);
    }
    return bly_vec_dot(up, about);
}

double afloat_pitch_stiffness(const BlyAfloat *afloat, const BlyPose *pose) {
    return afloat->density * pose->along - bly_vec_dot(pose->up, pose->pull);
}

double afloat_roll_stiffness(const BlyAfloat *afloat, const BlyPose *pose) {
    return afloat->density * pose->across - bly_vec_dot(pose->up, pose->pull);
}

BlyVec3 afloat_gravity(const BlyAfloat *afloat, const BlyPose *pose) {
    BlyVec3 sum = bly_vec_sub(afloat->by_mass, bly_vec_scale(pose->up, afloat->drop));
    return bly_vec_scale(sum, 1 / afloat->mass);
}

/* In the level from the lines of action; in height from the work, which knows true depths. */
BlyVec3 afloat_buoyancy(const BlyAfloat *afloat, const BlyPose *pose) {
    double lift = afloat->density * pose->volume;
    BlyVec3 centre = bly_vec_scale(bly_vec_sub(afloat->by_mass, pose->pull), 1 / lift);
    double height = pose->height - pose->lift_work / lift;
    return bly_vec_add(centre, bly_vec_scale(pose->up, height - bly_vec_dot(pose->up, centre)));
}

double afloat_draft(const BlyAfloat *afloat, const BlyPose *pose) {
    return pose->height + bly_body_support(afloat->hull, bly_vec_scale(pose->up, -1));
}
