/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plan for after the build, as a maker would write it. */
#include "report/sure.h"
#include "text/format.h"

#include <gsl/gsl_math.h>

enum { TRIMS_TOLD = 4 };
static const double least_used = 0.02;

/* "rise 60 cm in 3.2 s", "hang still". */
static void timed_words(const Report *r, double drift, char out[WORDS_MAX]) {
    double depth = r->system == BLY_INCH ? 0.6096 : 0.6, secs = depth / fmax(fabs(drift), 1e-9);
    const char *marks = r->system == BLY_INCH ? "2 ft" : "60 cm";
    if (secs > 120)
        (void)snprintf(out, WORDS_MAX, "hang still");
    else
        (void)bly_format(out, WORDS_MAX, "%s %s in %.*f s", drift < 0 ? "rise" : "sink", marks,
                         secs < 9.95 ? 1 : 0, secs);
}

static void text_expected(const Report *r, const BlyReserve *reserve) {
    char first[WORDS_MAX], last[WORDS_MAX], low[BLY_QUANTITY_MAX], high[BLY_QUANTITY_MAX];
    const double *drift = reserve->drift;
    if (!isnan(reserve->shows[0])) {
        bly_quantity_show(reserve->shows[0], BLY_DIM_RATIO, r->system, 0, low);
        bly_quantity_show(reserve->shows[2], BLY_DIM_RATIO, r->system, 0, high);
        (void)fprintf(r->out, "    in the tank: expect %s to %s to show", low, high);
    } else if (drift[0] * drift[2] > 0 && fabs(drift[0]) > 5e-3 && fabs(drift[2]) > 5e-3) {
        double depth = r->system == BLY_INCH ? 0.6096 : 0.6;
        double a = depth / fabs(drift[0]), b = depth / fabs(drift[2]);
        report_print(r->out, "    in the tank: expect it to %s %s in %.1f to %.1f s",
                     drift[0] < 0 ? "rise" : "sink", r->system == BLY_INCH ? "2 ft" : "60 cm",
                     fmin(a, b), fmax(a, b));
    } else {
        timed_words(r, drift[0], first);
        timed_words(r, drift[2], last);
        (void)fprintf(r->out, "    in the tank: it may %s, or %s, or lie between", first, last);
    }
    attitude_range_words(reserve->nose_down[0], reserve->nose_down[2], 0, first);
    (void)fprintf(r->out, "; %s\n", first);
}

/* "at keel, 48 mm from the nose, 16 mm behind the eye of belly". */
static void place_words(const Report *r, const BlyBuild *build, const BlyRig *rig,
                        const BlyTrim *trim, char out[WORDS_MAX]) {
    char place[BLY_QUANTITY_MAX], off[BLY_QUANTITY_MAX];
    const char *name = build->seats[trim->seat].name;
    int eye = -1, digits = r->system == BLY_INCH ? 2 : 0;
    if (trim->kind != BLY_TRIM_DOTS) {
        (void)snprintf(out, WORDS_MAX, "at %.32s", name);
        return;
    }
    for (size_t s = 0; s < build->seat_count; s++) {
        if (build->seats[s].kind == BLY_SEAT_HANGER && build->seats[s].side == BLY_AT_BELLY &&
            (eye < 0 || fabs(rig->at[s].x - trim->x) < fabs(rig->at[eye].x - trim->x)))
            eye = (int)s;
    }
    bly_quantity_show(trim->x, BLY_DIM_LENGTH, r->system, digits, place);
    if (eye < 0) {
        (void)snprintf(out, WORDS_MAX, "at %.32s, %.24s from the nose", name, place);
        return;
    }
    double behind = trim->x - rig->at[eye].x;
    bly_quantity_show(fabs(behind), BLY_DIM_LENGTH, r->system, digits, off);
    (void)snprintf(out, WORDS_MAX, "at %.32s, %.24s from the nose, %.24s %s the eye of %.32s", name,
                   place, off, behind < 0 ? "before" : "behind", build->seats[eye].name);
}

/* "2 to 5 dots", "0.05 to 0.2 mm of lip less". */
static void amount_words(const Report *r, const BlyTrim *trim, char out[WORDS_MAX]) {
    int low = trim->low, high = trim->high;
    const char *way = high < 0 ? " less" : "";
    if (high < 0) { /* what is taken off is told as an amount */
        int swap = -low;
        low = -high;
        high = swap;
    }
    if (trim->unit > 0.0) {
        char a[BLY_QUANTITY_MAX], b[BLY_QUANTITY_MAX];
        int digits = (trim->unit < 1e-3 ? 2 : 0) + (r->system == BLY_INCH ? 2 : 0);
        bly_quantity_show(low * trim->unit, BLY_DIM_LENGTH, r->system, digits, a);
        bly_quantity_show(high * trim->unit, BLY_DIM_LENGTH, r->system, digits, b);
        (void)snprintf(out, WORDS_MAX, "%s to %s of %s%s", a, b, bly_trim_words(trim->kind, false),
                       way);
    } else if (low == high) {
        (void)snprintf(out, WORDS_MAX, "%d %s%s", low, bly_trim_words(trim->kind, low != 1), way);
    } else {
        (void)snprintf(out, WORDS_MAX, "%d to %d %s%s", low, high, bly_trim_words(trim->kind, true),
                       way);
    }
}

/* What one step in the direction that is used does. */
static void effect_words(const Report *r, const BlyReserve *reserve, const BlyTrim *trim,
                         char out[WORDS_MAX]) {
    char mass[WORDS_MAX], speed[WORDS_MAX], each[BLY_QUANTITY_MAX];
    double sign = trim->middle < 0 ? -1 : 1, drift = sign * trim->drift;
    const char *what = "speeds it up by";
    if (trim->from * drift < 0)
        what = trim->from < 0 ? "slows its rise by" : "slows its sinking by";
    small_mass_words(sign * trim->net_weight, r->system, true, mass);
    small_speed_words(fabs(drift), r->system, false, speed);
    (void)snprintf(each, sizeof each, "each");
    if (trim->unit > 0.0)
        bly_quantity_show(trim->unit, BLY_DIM_LENGTH, r->system,
                          (trim->unit < 1e-3 ? 2 : 0) + (r->system == BLY_INCH ? 2 : 0), each);
    if (!isnan(reserve->shows[0]))
        (void)snprintf(out, WORDS_MAX, "%.20s: %.40s in water", each, mass);
    else
        (void)snprintf(out, WORDS_MAX, "%.20s: %.40s in water, %s %.20s", each, mass, what, speed);
}

static void text_trim(const Report *r, const BlyBuild *build, const BlyRig *rig,
                      const BlyReserve *reserve, const BlyTrim *trim) {
    char place[WORDS_MAX], amount[WORDS_MAX], effect[WORDS_MAX];
    place_words(r, build, rig, trim, place);
    amount_words(r, trim, amount);
    effect_words(r, reserve, trim, effect);
    (void)fprintf(r->out, "    %3.0f of 100 then want %s (%s) %s; %s\n",
                  floor(100 * trim->used + 0.5), amount, trim->part ? trim->part->id : "", place,
                  effect);
}

static bool is_told(const BlyReserve *reserve, size_t k) {
    return k < TRIMS_TOLD && reserve->trims[k].used >= least_used;
}

bool trims_hold_lead(const BlyReserve *reserve) {
    for (size_t k = 0; k < reserve->count; k++) {
        const BlyPart *part = reserve->trims[k].part;
        if (is_told(reserve, k) && part != NULL && part->lead)
            return true;
    }
    return false;
}

void text_reserve(const Report *r, const BlyBuild *build, const BlyRig *rig,
                  const BlyReserve *reserve) {
    (void)fprintf(r->out,
                  "    of 100 such lures %.0f meet the target as built, %.0f after one tank "
                  "test and the best trims\n",
                  floor(100 * reserve->chance_without + 0.5),
                  floor(100 * reserve->chance_with + 0.5));
    text_expected(r, reserve);
    for (size_t k = 0; k < reserve->count; k++) {
        if (is_told(reserve, k))
            text_trim(r, build, rig, reserve, &reserve->trims[k]);
    }
}
