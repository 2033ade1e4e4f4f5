/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The water window: where along a line of waters the lure's state, drift and attitude cross what is
 * wanted. A coarse walk brackets the crossings, Brent's method (GSL) finds them; where a quantity
 * turns back between two steps (water is densest at 4 C) its turning point is looked at, too. */
#include "ballastry/window.h"
#include "build/build.h"
#include "numeric/roots.h"

#include <gsl/gsl_math.h>
#include <string.h>

enum { STEPS = 24, LEVELS_MAX = 12, CROSSINGS_MAX = 64 };
static const double same_attitude = 5.0 * M_PI / 180.0;

typedef enum What { DRIFT, NOSE, SHOWS, ROLL, WHATS } What;

typedef struct Level {
    What what;
    double value;
} Level;

typedef struct Line {
    const BlyLure *lure;
    const BlyTarget *target; /* NULL: none */
    BlyOutcome own;          /* in the build's own water */
    Level level[LEVELS_MAX];
    size_t level_count;
    bool of_salinity;
    double fixed;
    BlyError *err;
    bool failed;
    Level looked_for;
    double sign;
    double crossing[CROSSINGS_MAX];
    size_t crossing_count;
} Line;

static double end_of(const Line *line) {
    return line->of_salinity ? BLY_WATER_SALTIEST : BLY_WATER_WARMEST;
}

static bool outcome_at(Line *line, double x, BlyOutcome *out) {
    BlyWater water;
    double t = line->of_salinity ? line->fixed : x, s = line->of_salinity ? x : line->fixed;
    bool surface = line->target && line->target->state == BLY_FLOATS;
    bool good = bly_water_at(t, s, &water, line->err) &&
                (surface ? bly_rest(line->lure, &water, out, line->err)
                         : bly_rest_under_water(line->lure, &water, out, line->err));
    line->failed = line->failed || !good;
    return good;
}

static double nose_of(const Line *line, const BlyOutcome *outcome) {
    bool surface = line->target && line->target->state == BLY_FLOATS && outcome->has_surface;
    return surface ? outcome->surface.nose_down : outcome->nose_down;
}

static double value_of(const Line *line, const BlyOutcome *outcome, What what) {
    switch (what) {
    case DRIFT:
        return outcome->drift;
    case NOSE:
        return nose_of(line, outcome);
    case SHOWS:
        return outcome->has_surface ? outcome->surface.shows : 0.0;
    case ROLL:
        return outcome->roll_arm;
    case WHATS:
        break;
    }
    return NAN;
}

static bool keeps(const Line *line, const BlyOutcome *outcome) {
    if (line->target)
        return bly_judge(line->target, outcome).met;
    double turned = remainder(outcome->nose_down - line->own.nose_down, 2.0 * M_PI);
    bool same =
        fabs(turned) <= same_attitude || (isnan(outcome->nose_down) && isnan(line->own.nose_down));
    return outcome->state == line->own.state && same;
}

/* ---- what is looked for ---- */

static void add_level(Line *line, What what, double value) {
    if (isfinite(value))
        line->level[line->level_count++] = (Level){what, value};
}

static void set_levels(Line *line) {
    const BlyTarget *t = line->target;
    line->level_count = 0;
    add_level(line, DRIFT, -BLY_SUSPEND_SPEED);
    add_level(line, DRIFT, BLY_SUSPEND_SPEED);
    if (!t) {
        add_level(line, NOSE, line->own.nose_down - same_attitude);
        add_level(line, NOSE, line->own.nose_down + same_attitude);
        return;
    }
    add_level(line, DRIFT, t->drift_low);
    add_level(line, DRIFT, t->drift_high);
    add_level(line, NOSE, t->nose_low);
    add_level(line, NOSE, t->nose_high);
    add_level(line, ROLL, t->roll_arm_least);
    if (t->state == BLY_FLOATS) {
        add_level(line, SHOWS, t->shows_low);
        add_level(line, SHOWS, t->shows_high);
    }
}

/* ---- crossings ---- */

static double above(double x, void *user) {
    Line *line = user;
    BlyOutcome outcome;
    if (!outcome_at(line, x, &outcome))
        return NAN;
    return line->sign * (value_of(line, &outcome, line->looked_for.what) - line->looked_for.value);
}

static void add_crossing(Line *line, double x) {
    if (line->crossing_count < CROSSINGS_MAX)
        line->crossing[line->crossing_count++] = x;
}

/* A jump (another attitude) counts as the crossing that it is. */
static bool find_root(Line *line, double low, double high) {
    gsl_root_fsolver solver;
    BlySolverRoom room;
    gsl_function f = {above, line};
    int status = bly_brent_begin(&solver, &room, &f, low, high);
    double x = 0.5 * (low + high);
    for (int i = 0; status == GSL_SUCCESS && i < 100; i++) {
        status = gsl_root_fsolver_iterate(&solver);
        x = gsl_root_fsolver_root(&solver);
        double left = gsl_root_fsolver_x_lower(&solver), right = gsl_root_fsolver_x_upper(&solver);
        if (right - left < 1e-6 * end_of(line))
            break;
    }
    if (line->failed)
        return false;
    if (status != GSL_SUCCESS)
        return bly_fail(line->err, BLY_E_INTERNAL, NULL, "no crossing found: %s",
                        gsl_strerror(status));
    add_crossing(line, x);
    return true;
}

/* All of one sign at three steps, the middle one nearest to the level: does it turn beyond it? */
static bool find_dip(Line *line, double low, double middle, double high) {
    gsl_min_fminimizer finder;
    BlySolverRoom room;
    gsl_function f = {above, line};
    double x = middle, least = INFINITY;
    int status = bly_least_begin(&finder, &room, &f, low, middle, high);
    for (int i = 0; status == GSL_SUCCESS && i < 30 && least > 0.0; i++) {
        status = gsl_min_fminimizer_iterate(&finder);
        x = gsl_min_fminimizer_x_minimum(&finder);
        least = gsl_min_fminimizer_f_minimum(&finder);
        double left = gsl_min_fminimizer_x_lower(&finder),
               right = gsl_min_fminimizer_x_upper(&finder);
        if (right - left < 1e-4 * end_of(line))
            break;
    }
    if (line->failed)
        return false;
    return !(least < 0.0) || (find_root(line, low, x) && find_root(line, x, high));
}

static bool find_crossings(Line *line, const double x[], const double value[]) {
    for (int i = 0; i < STEPS; i++) {
        double a = value[i] - line->looked_for.value, b = value[i + 1] - line->looked_for.value;
        double before = i > 0 ? value[i - 1] - line->looked_for.value : NAN;
        line->sign = 1.0;
        if (a == 0.0)
            add_crossing(line, x[i]);
        else if (a * b < 0.0 && !find_root(line, x[i], x[i + 1]))
            return false;
        line->sign = a < 0.0 ? -1.0 : 1.0;
        if (before * a > 0.0 && a * b > 0.0 && fabs(a) < fabs(before) && fabs(a) < fabs(b) &&
            !find_dip(line, x[i - 1], x[i], x[i + 1]))
            return false;
    }
    return true;
}

/* ---- spans ---- */

static void sort(double *values, size_t count) {
    for (size_t i = 1; i < count; i++) {
        double value = values[i];
        size_t at = i;
        for (; at > 0 && values[at - 1] > value; at--)
            values[at] = values[at - 1];
        values[at] = value;
    }
}

static bool add_span(Line *line, double from, double to, BlyWindowLine *out) {
    BlyOutcome middle;
    if (!outcome_at(line, 0.5 * (from + to), &middle))
        return false;
    bool kept = keeps(line, &middle);
    BlyWindowSpan *last = out->span_count > 0 ? &out->span[out->span_count - 1] : NULL;
    if (last && last->state == middle.state && last->keeps == kept) {
        last->to = to;
    } else if (out->span_count < BLY_WINDOW_SPANS_MAX) {
        out->span[out->span_count++] = (BlyWindowSpan){
            from, to, false, middle.state, kept, middle.drift, nose_of(line, &middle)};
    }
    return true;
}

static bool make_spans(Line *line, BlyWindowLine *out) {
    double end = end_of(line), from = 0.0;
    sort(line->crossing, line->crossing_count);
    for (size_t i = 0; i <= line->crossing_count; i++) {
        double to = i < line->crossing_count ? line->crossing[i] : end;
        if (to - from < 1e-5 * end && to < end)
            continue;
        if (!add_span(line, from, to, out))
            return false;
        from = to;
    }
    out->span[out->span_count - 1].to = end;
    out->span[out->span_count - 1].ends_at_range = true;
    for (size_t i = 0; i < out->span_count; i++) { /* merged spans have another middle */
        BlyOutcome middle;
        BlyWindowSpan *span = &out->span[i];
        if (!outcome_at(line, 0.5 * (span->from + span->to), &middle))
            return false;
        span->drift = middle.drift;
        span->nose_down = nose_of(line, &middle);
    }
    return true;
}

static void set_point(const Line *line, double x, const BlyOutcome *o, BlyWindowPoint *out) {
    *out = (BlyWindowPoint){x,   o->state,      o->sums.net_weight, o->drift, nose_of(line, o),
                            NAN, keeps(line, o)};
    if (line->target && line->target->state == BLY_FLOATS)
        out->shows = value_of(line, o, SHOWS);
}

static bool walk(Line *line, BlyWindowLine *out) {
    double x[STEPS + 1], value[WHATS][STEPS + 1];
    memset(out, 0, sizeof *out);
    out->fixed = line->fixed;
    line->crossing_count = 0;
    for (int i = 0; i <= STEPS; i++) {
        BlyOutcome outcome;
        x[i] = end_of(line) * i / STEPS;
        if (!outcome_at(line, x[i], &outcome))
            return false;
        for (int w = 0; w < WHATS; w++)
            value[w][i] = value_of(line, &outcome, (What)w);
        if (i % (STEPS / (BLY_WINDOW_POINTS - 1)) == 0)
            set_point(line, x[i], &outcome, &out->point[i / (STEPS / (BLY_WINDOW_POINTS - 1))]);
    }
    for (size_t k = 0; k < line->level_count; k++) {
        line->looked_for = line->level[k];
        if (!find_crossings(line, x, value[line->looked_for.what]))
            return false;
    }
    return make_spans(line, out);
}

static bool walk_all(Line *line, const BlyWaterFacts *own, BlyWindow *out) {
    double salinity[BLY_WINDOW_LINES] = {own->salinity.value, 0.0, 0.005, 0.010, 0.020, 0.035};
    for (int i = 0; i < BLY_WINDOW_LINES; i++) {
        if (i > 0 && fabs(salinity[i] - salinity[0]) < 1e-6)
            continue; /* the build's own water comes first */
        line->fixed = salinity[i];
        if (!walk(line, &out->temperature[out->line_count++]))
            return false;
    }
    line->of_salinity = true;
    line->fixed = own->temperature.value;
    return walk(line, &out->salinity);
}

bool bly_water_window(const BlyBuild *build, const BlyRig *rig, const BlyTarget *target,
                      BlyWindow *out, BlyError *err) {
    BlyLure lure;
    BlyWater water;
    memset(out, 0, sizeof *out);
    if (!bly_water_at(build->water.temperature.value, build->water.salinity.value, &water, err) ||
        !bly_lure_make(&build->blank, build->seats, rig, &lure, err))
        return false;
    Line line = {.lure = &lure, .target = target, .err = err};
    bool good = bly_rest_under_water(&lure, &water, &line.own, err);
    if (good) {
        set_levels(&line);
        out->of_target = target != NULL;
        out->notes =
            line.own.notes & (unsigned)(BLY_NOTE_EXPANSION_UNKNOWN | BLY_NOTE_EXPANSION_MEMORY);
        good = walk_all(&line, &build->water, out);
    }
    bly_lure_release(&lure);
    return good;
}
