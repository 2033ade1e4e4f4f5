/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plan for after the build, as a maker would write it. */
#include "report/lines.h"
#include "report/sure.h"
#include "text/format.h"

#include <gsl/gsl_math.h>
#include <string.h>

enum { TRIMS_TOLD = 4, ACTION_MAX = 2 * WORDS_MAX };
static const double least_used = 0.02;

static double marks_apart(const Report *r) {
    return r->system == BLY_INCH ? 0.6096 : 0.6;
}

static const char *marks_words(const Report *r) {
    return r->system == BLY_INCH ? "2 ft" : "60 cm";
}

/* "rising 60 cm in 3.2 s", "hanging still". */
static void timed_words(const Report *r, double drift, char out[WORDS_MAX]) {
    double secs = marks_apart(r) / fmax(fabs(drift), 1e-9);
    if (secs > 120)
        (void)snprintf(out, WORDS_MAX, "hanging still");
    else
        (void)bly_format(out, WORDS_MAX, "%s %s in %.*f s", drift < 0 ? "rising" : "sinking",
                         marks_words(r), secs < 9.95 ? 1 : 0, secs);
}

static void expected_words(const Report *r, const BlyReserve *reserve, char out[2 * WORDS_MAX]) {
    char first[WORDS_MAX], last[WORDS_MAX];
    const double *drift = reserve->drift;
    if (!isnan(reserve->shows[0])) {
        from_to_words(r, reserve->shows[0], reserve->shows[2], BLY_DIM_RATIO, 0, first);
        (void)snprintf(out, 2 * WORDS_MAX, "%s above water", first);
    } else if (drift[0] * drift[2] > 0 && fabs(drift[0]) > 5e-3 && fabs(drift[2]) > 5e-3) {
        double a = marks_apart(r) / fabs(drift[0]), b = marks_apart(r) / fabs(drift[2]);
        (void)bly_format(out, 2 * WORDS_MAX, "%s %s in %.1f to %.1f s",
                         drift[0] < 0 ? "rising" : "sinking", marks_words(r), fmin(a, b),
                         fmax(a, b));
    } else {
        timed_words(r, drift[0], first);
        timed_words(r, drift[2], last);
        (void)snprintf(out, 2 * WORDS_MAX, "from %.140s to %.140s", first, last);
    }
}

static void text_expected(const Report *r, const char *margin, const BlyReserve *reserve) {
    char moves[2 * WORDS_MAX], tilt[WORDS_MAX] = "any tilt", turned[WORDS_MAX] = "";
    expected_words(r, reserve, moves);
    if (!isnan(reserve->nose_down[0])) {
        attitude_range_words(reserve->nose_down[0], reserve->nose_down[2], 0, tilt);
        turned_words(reserve->turned, turned);
    }
    text_wrapped(r, (int)strlen(margin) + 2, "%sexpect in the tank: %s; %s%s", margin, moves, tilt,
                 turned);
}

/* ---- one trim ---- */

/* " at keel, 48 mm from the nose (16 mm behind the belly eye)". */
static void place_words(const Report *r, const BlyBuild *build, const BlyRig *rig,
                        const BlyTrim *trim, char out[WORDS_MAX]) {
    char place[BLY_QUANTITY_MAX], off[BLY_QUANTITY_MAX];
    const char *name = build->seats[trim->seat].name;
    int eye = -1, digits = r->system == BLY_INCH ? 2 : 0;
    if (trim->kind != BLY_TRIM_DOTS) {
        (void)snprintf(out, WORDS_MAX, "%.32s", name);
        return;
    }
    for (size_t s = 0; s < build->seat_count; s++) {
        if (build->seats[s].kind == BLY_SEAT_HANGER && build->seats[s].side == BLY_AT_BELLY &&
            (eye < 0 || fabs(rig->at[s].x - trim->x) < fabs(rig->at[eye].x - trim->x)))
            eye = (int)s;
    }
    bly_quantity_show(trim->x, BLY_DIM_LENGTH, r->system, digits, place);
    if (eye < 0) {
        (void)snprintf(out, WORDS_MAX, "%.32s, %.24s from the nose", name, place);
        return;
    }
    double behind = trim->x - rig->at[eye].x;
    bly_quantity_show(fabs(behind), BLY_DIM_LENGTH, r->system, digits, off);
    (void)snprintf(out, WORDS_MAX, "%.32s, %.24s from the nose (%.24s %s the %.32s eye)", name,
                   place, off, behind < 0 ? "before" : "behind", build->seats[eye].name);
}

static int unit_digits(const Report *r, const BlyTrim *trim) {
    int digits = trim->unit < 0.99e-4 ? 2 : trim->unit < 0.99e-3 ? 1 : 0;
    return digits + (r->system == BLY_INCH ? 2 : 0);
}

static int sign_of(const BlyTrim *trim) {
    return trim->middle < 0 ? -1 : 1;
}

/* "2 to 5", "0.05 to 0.20 mm": what is taken off is told as an amount; both ways: up to the more of
 * the two. */
static void amount_words(const Report *r, const BlyTrim *trim, bool *both, char out[WORDS_MAX]) {
    int low = trim->low, high = trim->high;
    *both = low < 0 && high > 0;
    if (high <= 0) {
        int swap = -low;
        low = -high;
        high = swap;
    }
    const char *up_to = *both ? "up to " : "";
    if (*both)
        low = high = high > -low ? high : -low;
    if (trim->unit > 0.0) {
        char range[WORDS_MAX];
        from_to_words(r, low * trim->unit, high * trim->unit, BLY_DIM_LENGTH, unit_digits(r, trim),
                      range);
        (void)snprintf(out, WORDS_MAX, "%s%.120s", up_to, range);
    } else if (low == high) {
        (void)snprintf(out, WORDS_MAX, "%s%d", up_to, low);
    } else {
        (void)snprintf(out, WORDS_MAX, "%d to %d", low, high);
    }
}

/* What the scale shows of it, in air: "60 mg to 410 mg". Nobody measures hundredths of a millimetre
 * on a curved plate, but everyone has the scale at hand. */
static void lighter_words(const Report *r, const BlyTrim *trim, char out[WORDS_MAX]) {
    static const double water = 1e3, step = 1e-5; /* kg/m3; kg, a scale's */
    char from[WORDS_MAX], to[WORDS_MAX];
    double density = trim->part != NULL ? trim->part->density.value : (double)NAN;
    double per_step = fabs(trim->net_weight) / (density > water ? 1.0 - water / density : 1.0);
    double low = step * fmax(rint(-trim->high * per_step / step), 1.0);
    double high = step * fmax(rint(-trim->low * per_step / step), 1.0);
    small_mass_words(low, r->system, false, from);
    small_mass_words(high, r->system, false, to);
    if (high > low)
        (void)snprintf(out, WORDS_MAX, "%.60s to %.60s", from, to);
    else
        (void)snprintf(out, WORDS_MAX, "%.60s", from);
}

/* What hands do: "cut 1 to 11 mm off the tungsten-tape-0.8x6 at keel". */
static void action_words(const Report *r, const BlyBuild *build, const BlyRig *rig,
                         const BlyTrim *trim, char out[ACTION_MAX]) {
    char amount[WORDS_MAX], place[WORDS_MAX], lighter[WORDS_MAX];
    const char *id = trim->part != NULL ? trim->part->id : "";
    bool both, off = sign_of(trim) < 0;
    amount_words(r, trim, &both, amount);
    place_words(r, build, rig, trim, place);
    const char *off_on = both ? "add or take off" : off ? "take off" : "add";
    const char *many = trim->high <= 1 && trim->low >= -1 ? "" : "s";
    switch (trim->kind) {
    case BLY_TRIM_STRIP:
        (void)snprintf(out, ACTION_MAX, "cut %.60s off the %.80s at %.120s", amount, id, place);
        return;
    case BLY_TRIM_TURNS:
        (void)snprintf(out, ACTION_MAX, "%s %.60s turn%s of %.80s on the %.60s hook",
                       both  ? "add or take off"
                       : off ? "take off"
                             : "wind",
                       amount, many, id, place);
        return;
    case BLY_TRIM_RING:
        (void)snprintf(out, ACTION_MAX, "swap the %.100s ring for a %.100s", place, id);
        return;
    case BLY_TRIM_EDGE:
        (void)snprintf(out, ACTION_MAX, "cut %s off the front edge of the lip", amount);
        return;
    case BLY_TRIM_LIP:
        lighter_words(r, trim, lighter);
        (void)snprintf(out, ACTION_MAX,
                       "file the back of the lip until it weighs %.120s less (%.100s)", lighter,
                       amount);
        return;
    case BLY_TRIM_HOOK:
        (void)snprintf(out, ACTION_MAX, "swap the %.60s hook for a %.80s, wire on its shank", place,
                       id);
        return;
    case BLY_TRIM_DOTS:
    case BLY_TRIM_KINDS:
        break;
    }
    (void)snprintf(out, ACTION_MAX, "%s %.60s %.80s at %.120s", off_on, amount, id, place);
}

/* How far from the middle of the band it drifts on lures that it is used on. */
static double off_target(const BlyTarget *t, const BlyTrim *trim) {
    double low = t->drift_low, high = t->drift_high;
    double middle = !isfinite(low) ? high : !isfinite(high) ? low : 0.5 * (low + high);
    return trim->from - (isfinite(middle) ? middle : 0);
}

static bool mends_speed(const BlyTarget *t, const BlyTrim *trim) {
    return off_target(t, trim) * sign_of(trim) * trim->drift < 0;
}

/* When it is wanted, as it shows in the tank. */
static const char *when_words(const BlyReserve *reserve, const BlyTarget *t, const BlyTrim *trim) {
    int sign = sign_of(trim);
    if (!isnan(reserve->shows[0]))
        return sign * trim->net_weight > 0 ? "if it rides too high" : "if it rides too low";
    if (!mends_speed(t, trim))
        return sign * trim->nose_down > 0 ? "if its nose is too high" : "if its nose is too low";
    bool heavy = off_target(t, trim) > 0;
    if (t->drift_low > 0)
        return heavy ? "if it sinks too fast" : "if it sinks too slowly";
    if (t->drift_high < 0)
        return heavy ? "if it rises too slowly" : "if it rises too fast";
    return heavy ? "if it sinks" : "if it rises";
}

/* What one step in the direction that is used does. */
static void effect_words(const Report *r, const BlyReserve *reserve, const BlyTarget *t,
                         const BlyTrim *trim, char out[WORDS_MAX]) {
    char mass[WORDS_MAX], speed[WORDS_MAX], each[BLY_QUANTITY_MAX];
    double sign = sign_of(trim), drift = sign * trim->drift, tilt = sign * trim->nose_down;
    small_mass_words(sign * trim->net_weight, r->system, true, mass);
    small_speed_words(fabs(drift), r->system, false, speed);
    (void)snprintf(each, sizeof each, "each");
    if (trim->unit > 0.0)
        bly_quantity_show(trim->unit, BLY_DIM_LENGTH, r->system, unit_digits(r, trim), each);
    if (!isnan(reserve->shows[0]))
        (void)snprintf(out, WORDS_MAX, "%.20s: %.40s in water", each, mass);
    else if (mends_speed(t, trim))
        (void)snprintf(out, WORDS_MAX, "%.20s: %.40s in water, %s %.20s %s", each, mass,
                       trim->from < 0 ? "rises" : "sinks", speed,
                       trim->from * drift < 0 ? "slower" : "faster");
    else
        (void)bly_format(out, WORDS_MAX, "%.20s: %.40s in water, nose %.1f deg %s", each, mass,
                         fabs(tilt) * 180 / M_PI, tilt > 0 ? "lower" : "higher");
}

static void text_trim(const Report *r, const char *margin, const BlyBuild *build, const BlyRig *rig,
                      const BlyReserve *reserve, const BlyTrim *trim, bool brief) {
    char action[ACTION_MAX], effect[WORDS_MAX];
    const char *when = when_words(reserve, &build->target, trim);
    action_words(r, build, rig, trim, action);
    effect_words(r, reserve, &build->target, trim, effect);
    if (brief)
        text_wrapped(r, (int)strlen(margin) + 2, "%s%s: %s", margin, when, action);
    else
        text_wrapped(r, (int)strlen(margin) + 2, "%s%s (in %.0f of 100): %s; %s", margin, when,
                     in_100(trim->used), action, effect);
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

const char *tests_words(int tests) {
    static const char *const words[BLY_TESTS_MAX + 1] = {
        "", " after one tank test", " after two tank tests", " after three tank tests"};
    return words[tests < 0 || tests > BLY_TESTS_MAX ? 0 : tests];
}

/* One test more than are planned is told of where the planned ones leave doubt and it is worth its
 * while; ours. */
static const double sure_enough = 0.90, worth_a_test = 0.05;

static void one_more_words(const BlyReserve *reserve, char out[WORDS_MAX]) {
    static const char *const next[BLY_TESTS_MAX + 1] = {NULL, "second", "third", NULL};
    const int tests = reserve->tests;
    out[0] = '\0';
    if (tests < 1 || tests >= reserve->worked || next[tests] == NULL)
        return;
    double now = reserve->chance[tests], then = reserve->chance[tests + 1];
    if (now < sure_enough && then >= now + worth_a_test)
        (void)snprintf(out, WORDS_MAX, "; a %s brings it to %s", next[tests],
                       share_text(then).words);
}

void text_chances(const Report *r, const char *margin, const BlyReserve *reserve) {
    static const char *const after[BLY_TESTS_MAX + 1] = {
        "right first time", "after one tank test and trimming", "after two", "after three"};
    char words[WORDS_MAX], more[WORDS_MAX];
    size_t length = 0;
    one_more_words(reserve, more);
    for (int k = 0; k <= reserve->worked && k <= reserve->tests; k++)
        length += (size_t)bly_format(words + length, sizeof words - length, "%s%s: %s%s",
                                     k > 0 ? "; " : "", after[k],
                                     share_text(reserve->chance[k]).words, k > 0 ? "" : " in 100");
    text_wrapped(r, (int)strlen(margin) + 2, "%s%s%s", margin, words, more);
}

/* Brief: of the trims for one sight in the tank, the most used. */
static bool is_first(const BlyReserve *reserve, const BlyTarget *t, size_t k) {
    const char *when = when_words(reserve, t, &reserve->trims[k]);
    for (size_t i = 0; i < k; i++) {
        if (strcmp(when_words(reserve, t, &reserve->trims[i]), when) == 0)
            return false;
    }
    return true;
}

void text_test(const Report *r, const char *margin, const BlyBuild *build, const BlyRig *rig,
               const BlyReserve *reserve, bool brief) {
    int told = 0;
    text_expected(r, margin, reserve);
    for (size_t k = 0; k < reserve->count && !(brief && told == 2); k++) {
        if (!is_told(reserve, k) || (brief && !is_first(reserve, &build->target, k)))
            continue;
        text_trim(r, margin, build, rig, reserve, &reserve->trims[k], brief);
        told++;
    }
}

void text_reserve(const Report *r, const char *margin, const BlyBuild *build, const BlyRig *rig,
                  const BlyReserve *reserve) {
    text_chances(r, margin, reserve);
    text_test(r, margin, build, rig, reserve, false);
}
