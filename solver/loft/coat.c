/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The loft with a layer all over it.
 *
 * Its side and plan outlines are the parallel curves of the body's: from the point of the outline
 * at w, with slope angle p, to (w - d sin p, f(w) + d cos p); around an end face, an edge or a
 * point it is an arc of radius d. Both are sampled at common places x and joined by cubics in the
 * squares with their true slopes: for a square S = f^2 the parallel one has the slope S' + 2 d sin
 * p, finite even at a round tip. A parallel surface of an ellipsoid is not quite one of
 * superellipses; so at the end all sections are scaled alike, and the whole shifted, until volume
 * and centroid are exactly the body's and its layer's. */
#include "loft/loft_body.h"

#include <stdlib.h>

typedef enum Outline { PLAN, BACK, BELLY, OUTLINES } Outline;

/* A point of an outline: how far out (from the axis, or up for the back, down for the belly), and
 * sine and cosine of its slope angle. `square` is set for a curve that ends in a point here. */
typedef struct OutlinePoint {
    double out, sine, cosine;
} OutlinePoint;

typedef struct Parallel {
    const Loft *loft;
    double thickness, start, end;
    Outline outline;
    double x; /* of the point looked for on the parallel curve */
} Parallel;

static OutlinePoint outline_at(const Parallel *in, double x) {
    const Panel *panel = loft_panel(in->loft, x);
    double s = fmin(1.0, fmax(0.0, (x - panel->x) / panel->length));
    int curve = in->outline == PLAN ? LOFT_B2 : LOFT_C2;
    double side = in->outline == PLAN ? 0.0 : in->outline == BACK ? 1.0 : -1.0;
    const double *c = panel->cubic[curve], *m = panel->cubic[LOFT_MID];
    double square = fmax(0.0, panel_curve(panel, curve, s)), reach = sqrt(square);
    double square_slope = (c[1] + s * (2.0 * c[2] + s * 3.0 * c[3])) / panel->length;
    double mid_slope = side * (m[1] + s * (2.0 * m[2] + s * 3.0 * m[3])) / panel->length;
    double rise = square_slope + 2.0 * reach * mid_slope, run = 2.0 * reach;
    if (run == 0.0 && rise == 0.0) { /* a sharp point: the square starts like (k x)^2 */
        double k = sqrt(fmax(0.0, c[2] + 3.0 * s * c[3])) / panel->length;
        rise = (x > in->start + 0.5 * (in->end - in->start) ? -k : k) + mid_slope;
        run = 1.0;
    }
    double norm = hypot(rise, run);
    return (OutlinePoint){side * panel_curve(panel, LOFT_MID, s) + reach, rise / norm, run / norm};
}

static double miss(double at, void *user) {
    const Parallel *in = user;
    return at - in->thickness * outline_at(in, at).sine - in->x;
}

/* The parallel curve at in->x: how far out it lies, and its slope. */
static void parallel_at(const Parallel *in, double *out, double *slope) {
    double d = in->thickness, x = in->x;
    double low = fmax(in->start, x - d), high = fmin(in->end, x + d), corner = NAN;
    if (low == in->start && miss(low, (void *)in) >= 0.0)
        corner = in->start;
    else if (high == in->end && miss(high, (void *)in) <= 0.0)
        corner = in->end;
    if (isnan(corner)) {
        double at = bly_root(miss, (void *)in, low, high);
        OutlinePoint point = outline_at(in, at);
        *out = point.out + d * point.cosine;
        *slope = point.sine / point.cosine;
        return;
    }
    double height = sqrt(fmax(0.0, (d - (x - corner)) * (d + (x - corner))));
    *out = outline_at(in, corner).out + height;
    *slope = (corner - x) / height;
}

/* Where the parallel curve leaves the arc around an end. */
static double arc_end(Parallel *in, Outline outline, double end) {
    in->outline = outline;
    return end - in->thickness * outline_at(in, end).sine;
}

typedef struct Places {
    size_t count;
    double *x;
} Places;

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Places on the arcs around one end: the very end, and as far in as one of the arcs reaches. A
 * round tip has none. */
static void add_end_places(Parallel *in, double end, Places *places) {
    static const double cosine[] = {1.0, 0.98, 0.92, 0.8, 0.6, 0.3, 0.0, -0.3, -0.6, -0.8};
    double away = end == in->start ? -1.0 : 1.0, d = in->thickness, reach = 1.0;
    for (Outline k = PLAN; k < OUTLINES; k++) {
        double place = arc_end(in, k, end);
        places->x[places->count++] = place;
        reach = fmin(reach, away * (place - end) / d);
    }
    for (size_t i = 0; i < sizeof cosine / sizeof cosine[0]; i++) {
        if (i == 0 || cosine[i] > reach)
            places->x[places->count++] = end + away * d * cosine[i];
    }
}

/* Sorts the places and drops those that lie so close to another that they add nothing. */
static void thin_out(Places *places, double least) {
    qsort(places->x, places->count, sizeof *places->x, by_size);
    size_t kept = 1;
    double last = places->x[places->count - 1];
    for (size_t i = 1; i + 1 < places->count; i++) {
        if (places->x[i] - places->x[kept - 1] >= least && last - places->x[i] >= least)
            places->x[kept++] = places->x[i];
    }
    places->x[kept++] = last;
    places->count = kept;
}

/* Sines of the three slope angles at x. */
static void sines_at(Parallel *in, double x, double sine[OUTLINES]) {
    for (in->outline = PLAN; in->outline < OUTLINES; in->outline++)
        sine[in->outline] = outline_at(in, x).sine;
}

enum { PIECES_MAX = 8 };

/* One panel's places, at its start and, where its outlines turn by much, in between. */
static void add_panel_places(Parallel *in, const Panel *panel, Places *places) {
    double low[OUTLINES], high[OUTLINES], ds, turn = 0.0;
    sines_at(in, panel->x, low);
    sines_at(in, panel->x + panel->length, high);
    for (int k = PLAN; k < OUTLINES; k++)
        turn = fmax(turn, fabs(high[k] - low[k]));
    int pieces = (int)fmin(PIECES_MAX, 1.0 + floor(turn / 0.2));
    for (int i = 0; i < pieces; i++) {
        double part = panel_map(panel, (double)i / pieces, &ds);
        double x = panel->x + part * panel->length;
        sines_at(in, x, low);
        double sine = (low[PLAN] + low[BACK] + low[BELLY]) / OUTLINES;
        places->x[places->count++] = x - in->thickness * sine;
    }
}

static bool find_places(Parallel *in, Places *places, BlyError *err) {
    const Loft *loft = in->loft;
    places->count = 0;
    places->x = calloc(loft->count * PIECES_MAX + 40, sizeof *places->x);
    if (places->x == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a layer");
    add_end_places(in, in->start, places);
    add_end_places(in, in->end, places);
    for (size_t i = 0; i < loft->count; i++)
        add_panel_places(in, &loft->panel[i], places);
    thin_out(places, 0.02 * in->thickness);
    return true;
}

/* One knot of the outer body. At the two ends the squares' slopes are infinite (a face) or a limit
 * (a tip: slope of the body's square, and 2 d). */
static Knot outer_knot(Parallel *in, double x) {
    double out[OUTLINES], slope[OUTLINES];
    in->x = x;
    for (in->outline = PLAN; in->outline < OUTLINES; in->outline++)
        parallel_at(in, &out[in->outline], &slope[in->outline]);
    double half = fmax(0.0, 0.5 * (out[BACK] + out[BELLY]));
    const Panel *panel = loft_panel(in->loft, x);
    double s = fmin(1.0, fmax(0.0, (x - panel->x) / panel->length));
    return (Knot){.x = x,
                  .value = {out[PLAN] * out[PLAN], half * half, 0.5 * (out[BACK] - out[BELLY]),
                            panel_curve(panel, LOFT_EXP, s)},
                  .slope = {2.0 * out[PLAN] * slope[PLAN], half * (slope[BACK] + slope[BELLY])}};
}

static void mend_end(const Parallel *in, Knot *knot, const Knot *next) {
    bool nose = knot->x < next->x;
    const Panel *panel = &in->loft->panel[nose ? 0 : in->loft->count - 1];
    for (int curve = LOFT_B2; curve <= LOFT_C2; curve++) {
        const double *c = panel->cubic[curve];
        double chord = (next->value[curve] - knot->value[curve]) / (next->x - knot->x);
        bool tip = panel_curve(panel, curve, nose ? 0.0 : 1.0) <= 1e-15 * fabs(c[0] + c[1]);
        double slope = (nose ? c[1] : c[1] + 2.0 * c[2] + 3.0 * c[3]) / panel->length;
        double ideal = slope + (nose ? 2.0 : -2.0) * in->thickness;
        knot->slope[curve] = tip ? ideal : 2.0 * chord;
        if (tip)
            knot->value[curve] = 0.0;
    }
}

/* A cubic stays above 0 when its inner Bezier ordinates do. */
static void keep_positive(Knot *knots, size_t count) {
    for (size_t i = 0; i < count; i++) {
        for (int curve = LOFT_B2; curve <= LOFT_C2; curve++) {
            double value = knots[i].value[curve], *slope = &knots[i].slope[curve];
            if (i + 1 < count)
                *slope = fmax(*slope, -2.9 * value / (knots[i + 1].x - knots[i].x));
            if (i > 0)
                *slope = fmin(*slope, 2.9 * value / (knots[i].x - knots[i - 1].x));
        }
    }
}

static bool outer_knots(Parallel *in, Knot **out, size_t *count, BlyError *err) {
    Places places;
    if (!find_places(in, &places, err))
        return false;
    size_t n = places.count;
    Knot *knots = calloc(n, sizeof *knots);
    if (knots == NULL) {
        free(places.x);
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a layer");
    }
    for (size_t i = 0; i < n; i++)
        knots[i] = outer_knot(in, places.x[i]);
    free(places.x);
    mend_end(in, &knots[0], &knots[1]);
    mend_end(in, &knots[n - 1], &knots[n - 2]);
    keep_positive(knots, n);
    knots_steffen(knots, n, LOFT_MID);
    knots_steffen(knots, n, LOFT_EXP);
    *out = knots;
    *count = n;
    return true;
}

/* Scales the sections' areas by a factor that runs straight along the body, so that volume and
 * lengthwise centroid come to what is wanted (to first order; what is left goes into match()).
 * Width and height share it so that both grow by about the same length. */
static void stretch_knots(Knot *knots, size_t count, const BlySolid *now, double volume, double x) {
    double level = volume / now->volume, most[2] = {0.0, 0.0};
    double tilt = volume * (x - now->centroid.x) / now->xx;
    for (size_t i = 0; i < count; i++) {
        most[LOFT_B2] = fmax(most[LOFT_B2], sqrt(knots[i].value[LOFT_B2]));
        most[LOFT_C2] = fmax(most[LOFT_C2], sqrt(knots[i].value[LOFT_C2]));
    }
    for (int curve = LOFT_B2; curve <= LOFT_C2; curve++) {
        double share = 2.0 * (1.0 - most[curve] / (most[LOFT_B2] + most[LOFT_C2]));
        for (size_t i = 0; i < count; i++) {
            double factor = fmax(0.5, level + tilt * (knots[i].x - now->centroid.x));
            double scale = pow(factor, share), bend = scale * share * tilt / factor;
            knots[i].slope[curve] = scale * knots[i].slope[curve] + bend * knots[i].value[curve];
            knots[i].value[curve] *= scale;
        }
    }
}

/* Scales all sections alike and shifts the whole, so that volume and centroid are exact. */
static void match(Loft *loft, double volume, BlyVec3 centroid) {
    double scale = volume / loft->body.solid.volume;
    BlyVec3 shift = bly_vec_sub(centroid, loft->body.solid.centroid);
    for (size_t i = 0; i < loft->count; i++) {
        Panel *panel = &loft->panel[i];
        panel->x += shift.x;
        panel->cubic[LOFT_MID][0] += shift.z;
        for (int k = 0; k < 4; k++) {
            panel->cubic[LOFT_B2][k] *= scale;
            panel->cubic[LOFT_C2][k] *= scale;
        }
    }
    loft_solid(loft);
}

/* The loft through the knots with this volume and centroid. */
static bool matched_loft(Knot *knots, size_t count, double volume, BlyVec3 centroid, Loft **out,
                         BlyError *err) {
    Loft *first = NULL;
    if (!loft_new(knots, count, &first, err))
        return false;
    stretch_knots(knots, count, &first->body.solid, volume, centroid.x);
    loft_free(&first->body);
    if (!loft_new(knots, count, out, err))
        return false;
    match(*out, volume, centroid);
    return true;
}

static bool copy_loft(const Loft *loft, BlyBody **out, BlyError *err) {
    Loft *copy = malloc(sizeof *copy);
    Panel *panel = calloc(loft->count, sizeof *panel);
    if (copy == NULL || panel == NULL) {
        free(copy);
        free(panel);
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory to copy a body");
    }
    *copy = *loft;
    for (size_t i = 0; i < loft->count; i++)
        panel[i] = loft->panel[i];
    copy->panel = panel;
    *out = &copy->body;
    return true;
}

bool loft_coated(const BlyBody *body, double thickness, BlyBody **out, BlyError *err) {
    const Loft *loft = loft_of(body);
    if (thickness < 1e-9)
        return copy_loft(loft, out, err);
    Parallel in = {
        .loft = loft, .thickness = thickness, .start = loft_start(loft), .end = loft_end(loft)};
    Knot *knots = NULL;
    size_t count = 0;
    if (!outer_knots(&in, &knots, &count, err))
        return false;
    BlySolid layer = bly_body_layer(body, 0.0, thickness);
    double volume = body->solid.volume + layer.volume;
    BlyVec3 moment = bly_vec_add(bly_vec_scale(body->solid.centroid, body->solid.volume),
                                 bly_vec_scale(layer.centroid, layer.volume));
    Loft *outer = NULL;
    bool good =
        matched_loft(knots, count, volume, bly_vec_scale(moment, 1.0 / volume), &outer, err);
    free(knots);
    if (!good)
        return false;
    loft_finish(outer);
    *out = &outer->body;
    return true;
}
