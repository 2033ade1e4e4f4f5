/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A plain shape for a body of which only length, greatest width and height, volume and perhaps
 * the balance point were measured.
 *
 * Our own family: with w the share of the length, half-width^2 and half-height^2 both follow
 *
 *     g(w) = w^p (1 - w)^q / (its maximum, at w = p/(p + q))
 *
 * p = q = 1 is the spheroid, a small p a blunt nose, p = 2 a cone's point. The mean of g is the
 * fullness, its centroid the body's; both powers are found so that the body as built, curve and
 * all, has them exactly. When the ends alone cannot fill the volume the section turns from ellipse
 * towards box. */
#include "loft/loft_body.h"

#define PI 3.14159265358979323846

enum { SIDE_KNOTS = 20, KNOTS = 2 * SIDE_KNOTS + 1 };

/* Logarithms: p = scale times skew, q = scale over skew. Scale 0.2 to 6, skew 1/2 to 2. */
static const double scale_min = -1.609437912434100, scale_max = 1.791759469228055;
static const double skew_most = 0.693147180559945;
static const double full_ellipse = 0.8; /* fuller than this: the section helps */

typedef struct Family {
    double scale, skew;
    double want_fullness, want_centroid;
    Knot knot[KNOTS]; /* g on [0, 1], as curve LOFT_B2 */
} Family;

/* Knots crowd at an end the more the blunter it is. */
static double end_power(double p) {
    return fmin(8.0, fmax(2.0, 1.5 / p));
}

static void build_profile(Family *family) {
    double p = exp(family->scale + family->skew), q = exp(family->scale - family->skew);
    double top = p / (p + q), most = p * log(top) + q * log1p(-top);
    Knot *knot = family->knot;
    for (int i = 0; i <= SIDE_KNOTS; i++) {
        double part = (double)i / SIDE_KNOTS;
        double nose = top * pow(part, end_power(p)), tail = (1.0 - top) * pow(part, end_power(q));
        double at_nose = i == 0 ? 0.0 : exp(p * log(nose) + q * log1p(-nose) - most);
        double at_tail = i == 0 ? 0.0 : exp(q * log(tail) + p * log1p(-tail) - most);
        knot[i] = (Knot){.x = nose, .value = {i == SIDE_KNOTS ? 1.0 : at_nose}};
        if (i < SIDE_KNOTS)
            knot[KNOTS - 1 - i] = (Knot){.x = 1.0 - tail, .value = {at_tail}};
    }
    knots_steffen(knot, KNOTS, LOFT_B2);
}

/* Mean of g, and the place of its centroid, exactly for the cubics between the knots. */
static void measure(const Family *family, double *fullness, double *centroid) {
    double sum = 0.0, moment = 0.0;
    for (int i = 0; i + 1 < KNOTS; i++) {
        const Knot *a = &family->knot[i], *b = a + 1;
        double h = b->x - a->x, ya = a->value[LOFT_B2], yb = b->value[LOFT_B2];
        double ma = h * a->slope[LOFT_B2], mb = h * b->slope[LOFT_B2];
        double area = h * (0.5 * (ya + yb) + (ma - mb) / 12.0);
        sum += area;
        moment += area * a->x + h * h * (0.15 * ya + 0.35 * yb + ma / 30.0 - mb / 20.0);
    }
    *fullness = sum;
    *centroid = moment / sum;
}

static double fullness_miss(double scale, void *user) {
    Family *family = user;
    double fullness, centroid;
    family->scale = scale;
    build_profile(family);
    measure(family, &fullness, &centroid);
    return fullness - family->want_fullness;
}

/* The centroid of the profile with this skew and the wanted fullness. */
static double centroid_at(Family *family, double skew) {
    double fullness, centroid;
    family->skew = skew;
    double scale = bly_root(fullness_miss, family, scale_min, scale_max);
    (void)fullness_miss(scale, family);
    measure(family, &fullness, &centroid);
    return centroid;
}

static double centroid_miss(double skew, void *user) {
    Family *family = user;
    return centroid_at(family, skew) - family->want_centroid;
}

static double fullness_of(double scale, double skew) {
    Family family = {.skew = skew};
    return fullness_miss(scale, &family);
}

static double fullest_miss(double skew, void *user) {
    const Family *family = user;
    return fullness_of(scale_min, skew) - family->want_fullness;
}

/* The greatest skew at which the wanted fullness can still be had: a pointed tail costs volume. */
static double skew_limit(Family *family) {
    if (fullest_miss(skew_most, family) >= 0.0)
        return skew_most;
    return bly_root(fullest_miss, family, 0.0, skew_most);
}

typedef struct Ratio {
    double want;
} Ratio;

static double quarter_miss(double n, void *user) {
    const Ratio *ratio = user;
    return bly_oval_quarter(n) - ratio->want;
}

static bool check_size(const char *where, double size, BlyError *err) {
    if (size >= 1e-6 && size <= 2.0)
        return true;
    return bly_fail(err, BLY_E_RANGE, where, "%g mm, expected 0.001 to 2000 mm", 1e3 * size);
}

/* The exponent for the volume, and the fullness that the ends must then give. */
static bool share_out(const BlyPlainShape *plain, double *exponent, double *fullness,
                      BlyError *err) {
    double box = plain->length * plain->width * plain->height;
    double low = fullness_of(scale_max, 0.0), high = fullness_of(scale_min, 0.0);
    double least = PI / 4.0 * low * box, most = bly_oval_quarter(20.0) * high * box;
    if (!(plain->volume >= least && plain->volume <= most))
        return bly_fail(err, BLY_E_RANGE, "/volume",
                        "%.4g cm3 does not go with %g x %g x %g mm; %.4g to %.4g cm3 does",
                        1e6 * plain->volume, 1e3 * plain->length, 1e3 * plain->width,
                        1e3 * plain->height, 1e6 * least, 1e6 * most);
    *exponent = 2.0;
    *fullness = plain->volume / (PI / 4.0 * box);
    if (*fullness <= full_ellipse)
        return true;
    Ratio ratio = {fmin(bly_oval_quarter(20.0), plain->volume / (full_ellipse * box))};
    *exponent = bly_root(quarter_miss, &ratio, 2.0, 20.0);
    *fullness = plain->volume / (bly_oval_quarter(*exponent) * box);
    return true;
}

static bool find_profile(const BlyPlainShape *plain, Family *family, BlyError *err) {
    if (isnan(plain->centroid_x)) {
        (void)centroid_at(family, 0.0);
        return true;
    }
    double want = plain->centroid_x / plain->length, skew = skew_limit(family);
    double low = centroid_at(family, -skew), high = centroid_at(family, skew);
    if (!(want >= low && want <= high))
        return bly_fail(err, BLY_E_RANGE, "/centroid_x",
                        "%g mm does not go with the volume and the length; %.4g to %.4g mm does",
                        1e3 * plain->centroid_x, 1e3 * low * plain->length,
                        1e3 * high * plain->length);
    family->want_centroid = want;
    (void)centroid_at(family, bly_root(centroid_miss, family, -skew, skew));
    return true;
}

bool bly_body_from_plain(const BlyPlainShape *plain, BlyBody **out, BlyError *err) {
    if (!check_size("/length", plain->length, err) || !check_size("/width", plain->width, err) ||
        !check_size("/height", plain->height, err))
        return false;
    double exponent = 2.0, fullness = 0.0;
    if (!share_out(plain, &exponent, &fullness, err))
        return false;
    Family family = {.want_fullness = fullness};
    if (!find_profile(plain, &family, err))
        return false;
    double b2 = 0.25 * plain->width * plain->width, c2 = 0.25 * plain->height * plain->height;
    for (int i = 0; i < KNOTS; i++) {
        Knot *knot = &family.knot[i];
        double g = knot->value[LOFT_B2], slope = knot->slope[LOFT_B2] / plain->length;
        *knot = (Knot){.x = knot->x * plain->length,
                       .value = {b2 * g, c2 * g, 0.0, exponent},
                       .slope = {b2 * slope, c2 * slope, 0.0, 0.0}};
    }
    Loft *loft = NULL;
    if (!loft_new(family.knot, KNOTS, &loft, err))
        return false;
    loft_finish(loft);
    *out = &loft->body;
    return true;
}
