/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Stations: what is refused, and the monotone curve between them.
 *
 * M. Steffen, "A simple method for monotonic interpolation in one dimension", Astronomy and
 * Astrophysics 239 (1990) 443-450: the slope at a point is that of the parabola through it and its
 * neighbours, limited so that no new extreme appears (eq. 11), and at an end that of the end
 * parabola, limited likewise (eq. 24 to 26). GSL's gsl_interp_steffen takes the chord's slope at
 * the ends instead, which would flatten every round nose, and its evaluation keeps a shared
 * accelerator; hence these lines. */
#include "loft/loft_body.h"

#include <stdio.h>
#include <stdlib.h>

enum { STATIONS_MAX = 2000 };
static const double size_min = 1e-6, size_max = 2.0;

static double sign_of(double value) {
    return value > 0.0 ? 1.0 : value < 0.0 ? -1.0 : 0.0;
}

static double chord(const Knot *a, const Knot *b, int curve) {
    return (b->value[curve] - a->value[curve]) / (b->x - a->x);
}

static double middle_slope(const Knot *at, int curve) {
    double before = chord(at - 1, at, curve), after = chord(at, at + 1, curve);
    double h0 = at->x - at[-1].x, h1 = at[1].x - at->x;
    double parabola = (before * h1 + after * h0) / (h0 + h1);
    double least = fmin(fmin(fabs(before), fabs(after)), 0.5 * fabs(parabola));
    return (sign_of(before) + sign_of(after)) * least;
}

/* At an end: `near` is the chord next to it over the length h0, `next` the following one over h1.*/
static double end_slope(double near, double next, double h0, double h1) {
    double part = h0 / (h0 + h1);
    double parabola = near * (1.0 + part) - next * part;
    if (parabola * near <= 0.0)
        return 0.0;
    return fabs(parabola) > 2.0 * fabs(near) ? 2.0 * near : parabola;
}

void knots_steffen(Knot *knots, size_t count, int curve) {
    Knot *last = &knots[count - 1];
    if (count == 2) {
        knots[0].slope[curve] = last->slope[curve] = chord(knots, last, curve);
        return;
    }
    for (size_t i = 1; i + 1 < count; i++)
        knots[i].slope[curve] = middle_slope(&knots[i], curve);
    knots[0].slope[curve] =
        end_slope(chord(&knots[0], &knots[1], curve), chord(&knots[1], &knots[2], curve),
                  knots[1].x - knots[0].x, knots[2].x - knots[1].x);
    last->slope[curve] = end_slope(chord(last - 1, last, curve), chord(last - 2, last - 1, curve),
                                   last->x - last[-1].x, last[-1].x - last[-2].x);
}

static bool refuse(BlyError *err, size_t index, const char *what, const char *fmt, double value) {
    char where[64];
    (void)snprintf(where, sizeof where, "/stations/%zu/%s", index, what);
    return bly_fail(err, BLY_E_RANGE, where, "%g %s", value, fmt);
}

static bool check_size(double size, size_t index, bool end, const char *what, BlyError *err) {
    if (!isfinite(size) || size < 0.0 || size > size_max)
        return refuse(err, index, what, "mm, expected 0 to 2000 mm", 1e3 * size);
    if (size == 0.0 && !end)
        return refuse(err, index, what,
                      "mm between the ends would part the body in two; only the first and last "
                      "station may be 0",
                      0.0);
    if (size > 0.0 && size < size_min)
        return refuse(err, index, what, "mm is below 0.001 mm; write 0 for a tip", 1e3 * size);
    return true;
}

static bool check_station(const BlyStation *stations, size_t count, size_t i, BlyError *err) {
    const BlyStation *at = &stations[i];
    bool end = i == 0 || i + 1 == count;
    if (!isfinite(at->x) || fabs(at->x) > size_max)
        return refuse(err, i, "x", "mm, expected within 2000 mm of the nose", 1e3 * at->x);
    if (i > 0 && !(at->x - at[-1].x >= size_min))
        return refuse(err, i, "x", "mm, expected at least 0.001 mm behind the station before it",
                      1e3 * at->x);
    if (!check_size(at->width, i, end, "width", err) ||
        !check_size(at->height, i, end, "height", err))
        return false;
    if (!isfinite(at->centre) || fabs(at->centre) > size_max)
        return refuse(err, i, "centre", "mm, expected within 2000 mm of the axis",
                      1e3 * at->centre);
    if (!(at->exponent >= 1.2 && at->exponent <= 20.0))
        return refuse(err, i, "exponent", "as section exponent, expected 1.2 to 20 (2: an ellipse)",
                      at->exponent);
    return true;
}

static bool check_stations(const BlyStation *stations, size_t count, BlyError *err) {
    if (stations == NULL || count < 2 || count > STATIONS_MAX)
        return bly_fail(err, count < 2 ? BLY_E_MISSING : BLY_E_RANGE, "/stations",
                        "%zu stations, expected 2 to %d", count, STATIONS_MAX);
    double width = 0.0, height = 0.0;
    for (size_t i = 0; i < count; i++) {
        if (!check_station(stations, count, i, err))
            return false;
        width = fmax(width, stations[i].width);
        height = fmax(height, stations[i].height);
    }
    if (width == 0.0 || height == 0.0)
        return bly_fail(err, BLY_E_RANGE, "/stations", "no station has a %s above 0",
                        width == 0.0 ? "width" : "height");
    return true;
}

bool bly_body_from_stations(const BlyStation *stations, size_t count, BlyBody **out,
                            BlyError *err) {
    if (!check_stations(stations, count, err))
        return false;
    Knot *knots = calloc(count, sizeof *knots);
    if (knots == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for %zu stations", count);
    for (size_t i = 0; i < count; i++) {
        const BlyStation *at = &stations[i];
        knots[i] = (Knot){.x = at->x,
                          .value = {0.25 * at->width * at->width, 0.25 * at->height * at->height,
                                    at->centre, at->exponent}};
    }
    for (int curve = 0; curve < LOFT_CURVES; curve++)
        knots_steffen(knots, count, curve);
    Loft *loft = NULL;
    bool good = loft_new(knots, count, &loft, err);
    free(knots);
    if (!good)
        return false;
    loft_finish(loft);
    *out = &loft->body;
    return true;
}
