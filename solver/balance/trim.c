/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "balance/trim.h"
#include "balance/refine.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>

enum { SAMPLES = 24 };

const double bly_trim_upright = 120 * M_PI / 180;

/* Draft during the search and at a root, as a share of volume; the error left is its square. */
static const double coarse = 1e-2, fine = 1e-5;

typedef struct Pitching {
    const BlyAfloat *afloat;
    double tolerance;
    BlyPose pose; /* the last one: where the next draft begins */
    bool begun;
} Pitching;

double trim_moment_floor(const BlyAfloat *afloat) {
    return 1e-6 * afloat->mass * afloat->size;
}

double trim_energy_floor(const BlyAfloat *afloat) {
    return 1e-6 * afloat->mass * afloat->size;
}

static bool moment_at(double t, void *user, double *f, double *slope) {
    Pitching *pitching = user;
    BlyVec3 up = bly_vec_up(t, 0), turn = bly_vec(cos(t), 0, -sin(t));
    double guess = pitching->begun ? afloat_follow(&pitching->pose, up) : NAN;
    if (!afloat_settle(pitching->afloat, up, guess, pitching->tolerance, &pitching->pose))
        return false;
    pitching->begun = true;
    *f = bly_vec_dot(turn, pitching->pose.pull);
    *slope = afloat_pitch_stiffness(pitching->afloat, &pitching->pose);
    return true;
}

static int compare_trims(const void *a, const void *b) {
    return circle_compare(((const BlyTrim *)a)->angle, ((const BlyTrim *)b)->angle);
}

static bool search_all(const BlyAfloat *afloat, BlyTrims *out, BlyError *err) {
    Pitching pitching = {.afloat = afloat, .tolerance = coarse};
    BlyBrackets brackets;
    double f, slope;
    out->count = 0;
    if (!circle_rising(moment_at, &pitching, SAMPLES, &brackets))
        return bly_fail(err, BLY_E_INTERNAL, NULL,
                        "what tips it at the surface cannot be worked out");
    pitching.tolerance = fine;
    bool neutral = brackets.largest <= trim_moment_floor(afloat);
    if (brackets.more && !neutral)
        return bly_fail(err, BLY_E_INTERNAL, NULL,
                        "what tips it at the surface jumps from one tilt to the next");
    for (size_t i = 0; !neutral && i < brackets.count; i++) {
        BlyTrim *trim = &out->at[out->count];
        if (!circle_root(moment_at, &pitching, &brackets.at[i], &trim->angle))
            return bly_fail(err, BLY_E_INTERNAL, NULL,
                            "the tilt at the surface near %.0f degrees cannot be worked out",
                            brackets.at[i].low * 180 / M_PI);
        trim->pose = pitching.pose;
        out->count += isnan(trim->angle) ? 0 : 1;
    }
    if (out->count == 0) {
        if (!moment_at(0, &pitching, &f, &slope))
            return bly_fail(err, BLY_E_INTERNAL, NULL, "the draft cannot be worked out");
        out->at[out->count++] = (BlyTrim){0, pitching.pose};
    }
    qsort(out->at, out->count, sizeof out->at[0], compare_trims);
    return true;
}

bool trim_near(const BlyAfloat *afloat, double guess, double reach, BlyTrim *out) {
    Pitching pitching = {.afloat = afloat, .tolerance = fine};
    BlyBracket bracket = {.low = guess - reach, .high = guess + reach, .slopes = true};
    if (!moment_at(bracket.low, &pitching, &bracket.f_low, &bracket.slope_low) ||
        !moment_at(bracket.high, &pitching, &bracket.f_high, &bracket.slope_high) ||
        !(bracket.f_low < 0 && bracket.f_high >= 0) ||
        !circle_root(moment_at, &pitching, &bracket, &out->angle) || isnan(out->angle))
        return false;
    out->pose = pitching.pose;
    return true;
}

/* One that may be shown is worked out closely; one with the back down is only weighed against it,
 * for which near by will do unless it hardly tells which way it rolls. */
static bool refine(const BlyAfloat *afloat, const BlyTrim *near, bool shown, BlyTrim *out) {
    static const double clear = 0.02;
    if (shown && fabs(near->angle) <= bly_trim_upright)
        return refine_trim(afloat, near, true, out);
    if (!refine_trim(afloat, near, false, out))
        return false;
    double roll = afloat_roll_stiffness(afloat, &out->pose);
    return !shown || fabs(roll) > clear * afloat->density * out->pose.across ||
           refine_trim(afloat, near, true, out);
}

static bool find_all(const BlyAfloat *afloat, bool shown, BlyTrims *out, BlyError *err);

/* Trims found with a stand-in, each worked out anew with the hull itself; false when one of them is
 * not there. */
static bool find_by_rough(const BlyAfloat *afloat, bool shown, BlyTrims *out) {
    BlyAfloat rough;
    BlyTrims near;
    if (!afloat_rough(afloat, &rough) || !find_all(&rough, false, &near, NULL))
        return false;
    out->count = near.count;
    for (size_t i = 0; i < near.count; i++) {
        if (!refine(afloat, &near.at[i], shown, &out->at[i]))
            return false;
    }
    qsort(out->at, out->count, sizeof out->at[0], compare_trims);
    return true;
}

/* `shown`: with the hull itself; else with a stand-in, for the next better one. */
static bool find_all(const BlyAfloat *afloat, bool shown, BlyTrims *out, BlyError *err) {
    return find_by_rough(afloat, shown, out) || search_all(afloat, out, err);
}

bool trim_all(const BlyAfloat *afloat, BlyTrims *out, BlyError *err) {
    return find_all(afloat, true, out, err);
}
