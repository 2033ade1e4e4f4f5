/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A lure at the surface: which of its rests it takes, and what is to be seen of it there. */
#include "ballastry/balance.h"
#include "balance/refine.h"

#include <gsl/gsl_math.h>

/* A roll height below this share of the hull's size is none: no maker could build it. */
static const double roll_rounding = 2e-6;

/* rad, or share of the volume. */
static const double next_to_nothing = 1e-7;

/* rad: a level lure's trim comes out within this. */
static const double angle_rounding = 1e-9;

/* Which end of the circle a trim belongs to. */
static bool is_upright(const BlyTrim *trim) {
    return fabs(trim->angle) <= bly_trim_upright;
}

/* The trim of least energy that is upright; failing that, of all. They come nearest to level
 * first, so that of two alike the more level one stays. */
static const BlyTrim *upright_of(const BlyAfloat *afloat, const BlyTrims *trims) {
    const BlyTrim *best = NULL;
    for (size_t i = 0; i < trims->count; i++) {
        const BlyTrim *trim = &trims->at[i];
        if (best != NULL && is_upright(best) && !is_upright(trim))
            break;
        if (best == NULL || trim->pose.energy < best->pose.energy - trim_energy_floor(afloat))
            best = trim;
    }
    return best;
}

static bool turns_over(const BlyAfloat *afloat, const BlyTrims *trims, const BlyPose *upright) {
    for (size_t i = 0; i < trims->count; i++) {
        const BlyTrim *trim = &trims->at[i];
        if (!is_upright(trim) && afloat_roll_stiffness(afloat, &trim->pose) > 0 &&
            trim->pose.energy < upright->energy - trim_energy_floor(afloat))
            return true;
    }
    return false;
}

/* Angles by which bly_vec_up gives this direction, heel 0 to pi if the sides are alike. */
static void angles_of(BlyVec3 up, bool sides_alike, BlyFloat *out) {
    out->nose_down = asin(fmax(-1, fmin(1, up.x)));
    out->heel = hypot(up.y, up.z) < 1e-9 ? 0 : atan2(-up.y, up.z);
    if (sides_alike)
        out->heel = fabs(out->heel);
}

/* Cut afresh, unless the last step to the rest, which is made without a cut, was next to nothing.
 * All figures are of such a pose. */
static BlyPose cut_at(const BlyAfloat *afloat, const BlyPose *settled) {
    BlyPose pose = *settled;
    if (settled->moved > next_to_nothing)
        afloat_pose(afloat, settled->up, settled->height, &pose);
    return pose;
}

static void look_at(const BlyAfloat *afloat, const BlyWater *water, const BlyPose *pose,
                    BlyFloat *out) {
    out->draft = afloat_draft(afloat, pose);
    out->plane_height = pose->height;
    out->shows = 1 - pose->cut.volume / bly_body_solid(afloat->hull)->volume;
    out->shows_whole = 1 - pose->volume / afloat->volume;
    out->film = bly_surface_tension(water->temperature) * pose->cut.perimeter / BLY_GRAVITY;
    out->gravity = afloat_gravity(afloat, pose);
    out->buoyancy = afloat_buoyancy(afloat, pose);
}

/* Heights of a trim, and whether the lure stays upright in it. */
static BlyFloat heights_of(const BlyAfloat *afloat, const BlyTrim *trim, const BlyPose *pose,
                           bool *sides_alike) {
    *sides_alike = fabs(pose->pull.y) <= trim_moment_floor(afloat);
    BlyFloat found = {.nose_down = trim->angle};
    found.roll_height = afloat_roll_stiffness(afloat, pose) / afloat->mass;
    found.pitch_height = afloat_pitch_stiffness(afloat, pose) / afloat->mass;
    found.upright_unstable = !is_upright(trim) || found.roll_height < -roll_rounding * afloat->size;
    found.roll_neutral = *sides_alike && fabs(found.roll_height) <= roll_rounding * afloat->size;
    return found;
}

static void round_level(BlyFloat *found) {
    if (fabs(found->nose_down) < angle_rounding)
        found->nose_down = 0; /* level is level, not a hair to one end by chance */
}

bool bly_balance_float(const BlyLure *lure, const BlyWater *water, BlyFloat *out, BlyError *err) {
    BlyAfloat afloat;
    BlyTrims trims;
    if (!afloat_start(lure, water, &afloat, err) || !trim_all(&afloat, &trims, err))
        return false;
    const BlyTrim *upright = upright_of(&afloat, &trims);
    BlyPose pose = cut_at(&afloat, &upright->pose), leaning;
    bool sides_alike;
    BlyFloat found = heights_of(&afloat, upright, &pose, &sides_alike);
    bool stays = !found.upright_unstable && sides_alike;
    if (stays) {
        found.may_turn_over = turns_over(&afloat, &trims, &pose);
    } else {
        if (!(found.upright_unstable ? lean_lowest(&afloat, &trims, &leaning, err)
                                     : lean_from(&afloat, &pose, &leaning, err)))
            return false;
        pose = cut_at(&afloat, &leaning);
        angles_of(pose.up, sides_alike, &found);
    }
    round_level(&found);
    look_at(&afloat, water, &pose, &found);
    *out = found;
    return true;
}

bool bly_balance_float_near(const BlyLure *lure, const BlyWater *water, double guess, BlyFloat *out,
                            BlyError *err) {
    static const double reach = 0.1; /* rad */
    BlyAfloat afloat;
    BlyTrim trim;
    bool sides_alike;
    if (!isfinite(guess) || fabs(guess) > bly_trim_upright ||
        !afloat_start(lure, water, &afloat, NULL) || !trim_near(&afloat, guess, reach, &trim))
        return bly_balance_float(lure, water, out, err);
    BlyPose pose = cut_at(&afloat, &trim.pose);
    BlyFloat found = heights_of(&afloat, &trim, &pose, &sides_alike);
    if (found.upright_unstable || !sides_alike)
        return bly_balance_float(lure, water, out, err);
    round_level(&found);
    look_at(&afloat, water, &pose, &found);
    *out = found;
    return true;
}

bool bly_balance_float_about(const BlyLure *lure, const BlyWater *water, const BlyFloat *rest,
                             BlyFloat *out, BlyError *err) {
    BlyAfloat afloat;
    BlyPose near = {.up = bly_vec_up(rest->nose_down, rest->heel), .height = rest->plane_height};
    BlyPose leaning;
    if (rest->heel == 0.0 && !rest->upright_unstable)
        return bly_balance_float_near(lure, water, rest->nose_down, out, err);
    if (!afloat_start(lure, water, &afloat, NULL) || !refine_lean(&afloat, &near, true, &leaning))
        return bly_balance_float(lure, water, out, err);
    BlyPose pose = cut_at(&afloat, &leaning);
    BlyFloat found = *rest;
    angles_of(pose.up, rest->heel >= 0.0, &found);
    round_level(&found);
    look_at(&afloat, water, &pose, &found);
    *out = found;
    return true;
}
