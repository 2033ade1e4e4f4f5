/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "balance/refine.h"

#include <math.h>

enum { STEPS_MOST = 8 };

static const double reach = 0.02;  /* rad; a stand-in is not off by more */
static const double coarse = 1e-2; /* of the draft, as afloat_settle has it */

/* A last step that is short enough. */
typedef struct Enough {
    double turn, draft; /* rad; share of the volume */
} Enough;
static const Enough near_by = {1e-3, 1e-3}, at_it = {2e-6, 1e-5};

/* The energy near a settled pose, by turning it along its axes: level moments and their changes. */
typedef struct Slope {
    double l, c;       /* kg m */
    double ll, cc, lc; /* kg m/rad */
} Slope;

static Slope slope_at(const BlyAfloat *afloat, const BlyPose *pose) {
    return (Slope){.l = bly_vec_dot(pose->pull, pose->lengthwise),
                   .c = bly_vec_dot(pose->pull, pose->crosswise),
                   .ll = afloat_pitch_stiffness(afloat, pose),
                   .cc = afloat_roll_stiffness(afloat, pose),
                   .lc = afloat->density * pose->mixed};
}

/* How far to turn along either axis for the moments to be zero; false when that is no rest, but a
 * ridge or a saddle. */
static bool newton_step(const Slope *slope, bool pitch_only, double *l, double *c) {
    double whole = slope->ll * slope->cc - slope->lc * slope->lc;
    if (!(slope->ll > 0) || !(pitch_only || whole > 0))
        return false;
    *l =
        pitch_only ? -slope->l / slope->ll : -(slope->l * slope->cc - slope->c * slope->lc) / whole;
    *c = pitch_only ? 0 : -(slope->c * slope->ll - slope->l * slope->lc) / whole;
    return true;
}

static void turn(const Slope *slope, double l, double c, BlyPose *pose) {
    BlyVec3 aside =
        bly_vec_add(bly_vec_scale(pose->lengthwise, l), bly_vec_scale(pose->crosswise, c));
    BlyVec3 up = bly_vec_add(pose->up, aside);
    up = bly_vec_scale(up, 1 / bly_vec_norm(up));
    pose->height = afloat_follow(pose, up);
    pose->energy += (slope->l * l + slope->c * c) / 2;
    pose->moved = fmax(pose->moved, hypot(l, c));
    pose->up = up;
}

static bool refine(const BlyAfloat *afloat, const BlyPose *near, bool pitch_only, bool closely,
                   BlyPose *out) {
    const Enough enough = closely ? at_it : near_by;
    BlyPose pose = *near;
    for (int i = 0; i < STEPS_MOST; i++) {
        double l, c;
        if (!afloat_settle(afloat, pose.up, pose.height, coarse, &pose))
            return false;
        Slope slope = slope_at(afloat, &pose);
        if (!newton_step(&slope, pitch_only, &l, &c))
            return false;
        bool good = hypot(l, c) <= enough.turn && pose.moved <= enough.draft;
        turn(&slope, l, c, &pose);
        if (!(bly_vec_norm(bly_vec_sub(pose.up, near->up)) < reach))
            return false;
        if (good) {
            *out = pose;
            return true;
        }
    }
    return false;
}

bool refine_trim(const BlyAfloat *afloat, const BlyTrim *near, bool closely, BlyTrim *out) {
    if (!refine(afloat, &near->pose, true, closely, &out->pose))
        return false;
    out->angle = circle_wrap(atan2(out->pose.up.x, out->pose.up.z));
    return true;
}

bool refine_lean(const BlyAfloat *afloat, const BlyPose *near, bool closely, BlyPose *out) {
    return refine(afloat, near, false, closely, out);
}
