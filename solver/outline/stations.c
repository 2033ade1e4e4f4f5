/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Stations for the loft out of drawn edges. The loft's curve goes through the squares of width and
 * height, so round ends are straight there and want few stations; its extremes lie at stations, so
 * there is one wherever height, width or centre turns; and where the loft built so far strays from
 * the drawing an interval is halved. */
#include "ballastry/loft.h"
#include "outline/cubic.h"

#include <gsl/gsl_math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { STATIONS_MOST = 400, FIRST = 12, SAMPLES = 400, ROUNDS = 24, PROBES = 3, PROBES_MOST = 5 };
static const double near_enough = 1e-5;  /* m */
static const double apart_least = 4e-6;  /* m, between stations */
static const double size_least = 1e-6;   /* m, as of stations */
static const double stretch_most = 0.03; /* of the length */

typedef struct Sizes {
    double height, half, centre; /* half: half the width */
} Sizes;

typedef struct Work {
    const BlyOutlineSpec *spec;
    BlyExtent side, top;
    double length, height; /* height: the greatest */
    double x[STATIONS_MOST];
    size_t count;
    BlyStation station[STATIONS_MOST];
} Work;

static double half_width(const Work *work, double x, double height) {
    const BlyOutlineSpec *spec = work->spec;
    double low, high;
    switch (spec->rule) {
    case BLY_WIDTH_OF_HEIGHT:
        return 0.5 * spec->width * height;
    case BLY_WIDTH_MOST:
        return 0.5 * spec->width * height / work->height;
    case BLY_WIDTH_EVEN:
        return 0.5 * spec->width;
    case BLY_WIDTH_DRAWN:
        break;
    }
    bly_edges_at(spec->top,
                 work->top.x_low + x / work->length * (work->top.x_high - work->top.x_low), &low,
                 &high);
    return 0.5 * (high - low);
}

/* At x from the nose. */
static Sizes sizes_at(const Work *work, double x) {
    double low, high, middle = 0.5 * (work->side.y_low + work->side.y_high);
    double at = x >= work->length ? work->side.x_high : work->side.x_low + x;
    bly_edges_at(work->spec->side, at, &low, &high);
    return (Sizes){high - low, half_width(work, fmin(x, work->length), high - low),
                   0.5 * (low + high) - middle};
}

static double exponent_at(const BlyOutlineSpec *spec, double x) {
    const BlySectionPlace *place = spec->section;
    size_t last = spec->section_count - 1, i = 0;
    if (x <= place[0].x)
        return place[0].exponent;
    if (x >= place[last].x)
        return place[last].exponent;
    while (place[i + 1].x < x)
        i++;
    double part = (x - place[i].x) / (place[i + 1].x - place[i].x);
    return place[i].exponent + part * (place[i + 1].exponent - place[i].exponent);
}

static void add_place(Work *work, double x) {
    size_t at = work->count;
    if (work->count == STATIONS_MOST || !(x >= 0.0 && x <= work->length))
        return;
    while (at > 0 && work->x[at - 1] > x)
        at--;
    if ((at > 0 && x - work->x[at - 1] < apart_least) ||
        (at < work->count && work->x[at] - x < apart_least))
        return;
    memmove(&work->x[at + 1], &work->x[at], (work->count - at) * sizeof work->x[0]);
    work->x[at] = x;
    work->count++;
}

static double spread_out(const Work *work, double part) {
    return 0.5 * work->length * (1.0 - cos(M_PI * part));
}

/* The vertex of the parabola through three samples, where the middle one is the extreme. */
static void add_turn(Work *work, const double x[3], double a, double b, double c) {
    double left = x[1] - x[0], right = x[2] - x[1];
    bool turns = (b - a) * (c - b) < 0.0 && fmin(fabs(b - a), fabs(c - b)) > 1e-9 * work->length;
    if (!turns)
        return;
    double up = (b - a) / left, down = (c - b) / right;
    double bend = (down - up) / (left + right);
    double vertex = 0.5 * (x[0] + x[1]) - 0.5 * up / bend;
    add_place(work, fmin(fmax(vertex, x[0]), x[2]));
}

static void first_places(Work *work) {
    Sizes sizes[3];
    double x[3];
    add_place(work, 0.0); /* the ends first: what comes too near to them gives way */
    add_place(work, work->length);
    for (int i = 1; i < FIRST; i++)
        add_place(work, spread_out(work, (double)i / FIRST));
    for (size_t i = 0; i < work->spec->section_count; i++)
        add_place(work, work->spec->section[i].x);
    for (int i = 0; i <= SAMPLES; i++) {
        memmove(x, x + 1, 2 * sizeof x[0]);
        memmove(sizes, sizes + 1, 2 * sizeof sizes[0]);
        x[2] = spread_out(work, (double)i / SAMPLES);
        sizes[2] = sizes_at(work, x[2]);
        if (i < 2)
            continue;
        add_turn(work, x, sizes[0].height, sizes[1].height, sizes[2].height);
        add_turn(work, x, sizes[0].half, sizes[1].half, sizes[2].half);
        add_turn(work, x, sizes[0].centre, sizes[1].centre, sizes[2].centre);
    }
}

static double size_of(double size, bool end) {
    if (size < size_least)
        return end ? 0.0 : size_least;
    return size;
}

static void fill_stations(Work *work, bool sections) {
    for (size_t i = 0; i < work->count; i++) {
        bool end = i == 0 || i + 1 == work->count;
        Sizes at = sizes_at(work, work->x[i]);
        work->station[i] =
            (BlyStation){.x = work->x[i],
                         .width = size_of(2.0 * at.half, end),
                         .height = size_of(at.height, end),
                         .centre = at.centre,
                         .exponent = sections ? exponent_at(work->spec, work->x[i]) : 2.0};
    }
}

static double off(double got, double next, double h, double want) {
    return fabs(got - want) / hypot(1.0, (next - got) / h);
}

/* How far the loft lies off the drawing at one x, square to its edges; h is a small step. */
static double miss_at(const Work *work, const BlyBody *body, double x, double h) {
    BlySection got, next;
    Sizes want = sizes_at(work, x);
    if (!bly_body_section(body, x, &got) || !bly_body_section(body, x + h, &next))
        return HUGE_VAL;
    double back = off(got.back, next.back, h, want.centre + 0.5 * want.height);
    double belly = off(got.belly, next.belly, h, want.centre - 0.5 * want.height);
    return fmax(fmax(back, belly), off(0.5 * got.width, 0.5 * next.width, h, want.half));
}

static double worst_between(const Work *work, const BlyBody *body, size_t i, int probes) {
    double worst = 0.0;
    for (int k = 1; k <= probes; k++) {
        double whole = work->x[i + 1] - work->x[i], x = work->x[i] + whole * k / (probes + 1);
        worst = fmax(worst, miss_at(work, body, x, 1e-3 * whole));
    }
    return worst;
}

/* Halves every interval that strays; the outer ones nearer to the end, where round ends bend. */
static bool refine(Work *work, const BlyBody *body) {
    double wanted[STATIONS_MOST];
    size_t count = 0;
    for (size_t i = 0; i + 1 < work->count; i++) {
        double part = i == 0 ? 0.25 : i + 2 == work->count ? 0.75 : 0.5;
        if (worst_between(work, body, i, PROBES) > near_enough)
            wanted[count++] = work->x[i] + part * (work->x[i + 1] - work->x[i]);
    }
    size_t before = work->count;
    for (size_t k = 0; k < count; k++)
        add_place(work, wanted[k]);
    return work->count > before;
}

/* The loft room speaks of stations that nobody has written. */
static bool place_at_side(BlyError *err) {
    if (err != NULL && err->code != BLY_E_MEMORY)
        (void)snprintf(err->where, sizeof err->where, "/side");
    return false;
}

static bool place_stations(Work *work, BlyOutlineFit *fit, BlyError *err) {
    BlyBody *body = NULL;
    bool more = true;
    for (int round = 0; more && round < ROUNDS; round++) {
        fill_stations(work, false);
        bly_body_free(body);
        body = NULL;
        if (!bly_body_from_stations(work->station, work->count, &body, err))
            return place_at_side(err);
        more = refine(work, body);
    }
    fill_stations(work, false);
    bly_body_free(body);
    body = NULL;
    if (!bly_body_from_stations(work->station, work->count, &body, err))
        return place_at_side(err);
    fit->stations = work->count;
    fit->miss = 0.0;
    for (size_t i = 0; i + 1 < work->count; i++)
        fit->miss = fmax(fit->miss, worst_between(work, body, i, PROBES_MOST));
    bly_body_free(body);
    return true;
}

static bool check_top(Work *work, BlyOutlineFit *fit, BlyError *err) {
    enum { STEPS = 64 };
    if (work->spec->rule != BLY_WIDTH_DRAWN)
        return true;
    work->top = bly_edges_extent(work->spec->top);
    double length = work->top.x_high - work->top.x_low, mean = 0.0, mid[STEPS];
    fit->stretch = work->length / length;
    if (fabs(fit->stretch - 1.0) > stretch_most)
        return bly_fail(err, BLY_E_RANGE, "/top",
                        "is %.4g mm long, the side %.4g mm; expected the same to 3 %%",
                        1e3 * length, 1e3 * work->length);
    for (int i = 0; i < STEPS; i++) {
        double low, high;
        bly_edges_at(work->spec->top, work->top.x_low + length * (i + 0.5) / STEPS, &low, &high);
        mid[i] = 0.5 * (low + high);
        mean += mid[i] / STEPS;
    }
    for (int i = 0; i < STEPS; i++)
        fit->skew = fmax(fit->skew, fabs(mid[i] - mean));
    return true;
}

static bool check_width(const Work *work, BlyError *err) {
    const BlyOutlineSpec *spec = work->spec;
    double most = spec->rule == BLY_WIDTH_OF_HEIGHT ? 1e3 : 2.0;
    if (spec->rule == BLY_WIDTH_DRAWN || (spec->width > 0.0 && spec->width <= most))
        return true;
    return bly_fail(err, BLY_E_RANGE, "/width", "%g cannot be a width", spec->width);
}

bool bly_body_from_outline(const BlyOutlineSpec *spec, BlyBody **out, BlyOutlineFit *fit,
                           BlyError *err) {
    BlyOutlineFit found = {.stretch = 1.0};
    Work *work = calloc(1, sizeof *work);
    if (work == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for an outline's stations");
    work->spec = spec;
    work->side = bly_edges_extent(spec->side);
    work->length = work->side.x_high - work->side.x_low;
    for (int i = 0; i <= SAMPLES; i++) {
        double low, high, x = spread_out(work, (double)i / SAMPLES);
        bly_edges_at(spec->side, work->side.x_low + x, &low, &high);
        work->height = fmax(work->height, high - low);
    }
    bool good = check_width(work, err) && check_top(work, &found, err);
    if (good) {
        first_places(work);
        good = place_stations(work, &found, err);
    }
    fill_stations(work, true);
    good = good &&
           (bly_body_from_stations(work->station, work->count, out, err) || place_at_side(err));
    if (good && fit != NULL)
        *fit = found;
    free(work);
    return good;
}
