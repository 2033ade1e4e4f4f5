/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A body's surface as triangles: rings of points on true sections, joined.
 *
 * Along the body rings run like a cosine, so that round ends are smooth in the angle; around a
 * section points run like the superellipse's own angle. Both are made finer until the true surface
 * lies within the chord of the facets in the middle of every edge and every patch. */
#include "ballastry/facets.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>
#include <string.h>

enum { CORNERS_LEAST = 24, CORNERS_MOST = 2048, RINGS_MOST = 4096, DEPTH_MOST = 12 };

/* Sizes are 1 um at least, or 0 but for rounding. */
static const double nothing = 2e-7; /* m */

static double size_of(double size) {
    return size > nothing ? size : 0.0;
}

/* Between the places that are looked at the surface may lie off by a little more. */
static const double looked_at = 0.75;

static const double chord_least = 1e-6, chord_most = 1e-3;

typedef struct Rings {
    const BlyBody *body;
    double middle, half; /* of the body's length */
    double chord;
    size_t corners; /* around */
    double *angle;  /* of each ring; owned */
    size_t count;
} Rings;

/* The point of the surface at an angle along and an angle around. */
static BlyVec3 point_at(const Rings *rings, double along, double around) {
    BlySection s = {0};
    BlyBox box = bly_body_box(rings->body);
    double x = rings->middle - rings->half * cos(along);
    x = GSL_MIN_DBL(GSL_MAX_DBL(x, box.low.x), box.high.x);
    if (!bly_body_section(rings->body, x, &s))
        return bly_vec(x, 0.0, 0.0);
    double c = cos(around), z = sin(around), power = 2.0 / s.exponent;
    c = fabs(c) < 1e-12 ? 0.0 : c;
    z = fabs(z) < 1e-12 ? 0.0 : z;
    return bly_vec(x, copysign(pow(fabs(c), power), c) * 0.5 * size_of(s.width),
                   s.centre + copysign(pow(fabs(z), power), z) * 0.5 * size_of(s.height));
}

static double around_at(const Rings *rings, size_t corner) {
    return 2.0 * M_PI * (double)corner / (double)rings->corners;
}

/* Distance of a point from the line through two others. */
static double off_line(BlyVec3 p, BlyVec3 a, BlyVec3 b) {
    BlyVec3 ab = bly_vec_sub(b, a), ap = bly_vec_sub(p, a);
    double length = bly_vec_norm(ab);
    return length > 0.0 ? bly_vec_norm(bly_vec_cross(ab, ap)) / length : bly_vec_norm(ap);
}

static double off_plane(BlyVec3 p, BlyVec3 a, BlyVec3 b, BlyVec3 c) {
    BlyVec3 normal = bly_vec_cross(bly_vec_sub(b, a), bly_vec_sub(c, a));
    double size = bly_vec_norm(normal);
    return size > 0.0 ? fabs(bly_vec_dot(normal, bly_vec_sub(p, a))) / size : 0.0;
}

/* How far the true surface lies off the facets of one patch. */
static double patch_off(const Rings *rings, double along, double next, size_t corner) {
    double a = around_at(rings, corner), b = around_at(rings, corner + 1), middle = 0.5 * (a + b);
    double half = 0.5 * (along + next);
    BlyVec3 p = point_at(rings, along, a), q = point_at(rings, next, a);
    BlyVec3 r = point_at(rings, next, b), s = point_at(rings, along, b);
    BlyVec3 centre = point_at(rings, half, middle);
    double off = GSL_MAX_DBL(off_plane(centre, p, q, r), off_plane(centre, p, r, s));
    off = GSL_MAX_DBL(off, off_line(point_at(rings, half, a), p, q));
    return GSL_MAX_DBL(off, off_line(point_at(rings, next, middle), q, r));
}

/* Corners lie alike on all four quarters but for the heights of sloping middles: look at two. */
static bool ring_good(const Rings *rings, double along, double next) {
    for (size_t k = 0; k < rings->corners; k++) {
        double y = cos(around_at(rings, k));
        if (y > -1e-9 && patch_off(rings, along, next, k) > rings->chord)
            return false;
    }
    return true;
}

static bool add_ring(Rings *rings, double angle, BlyError *err) {
    if (rings->count == RINGS_MOST)
        return bly_fail(err, BLY_E_RANGE, "/chord", "needs more than %d rings; allow a larger one",
                        RINGS_MOST);
    rings->angle[rings->count++] = angle;
    return true;
}

/* Rings between two, until every patch is good. */
static bool refine(Rings *rings, double from, double to, int depth, BlyError *err) {
    double middle = 0.5 * (from + to);
    if (depth == 0 || ring_good(rings, from, to))
        return add_ring(rings, to, err);
    return refine(rings, from, middle, depth - 1, err) && refine(rings, middle, to, depth - 1, err);
}

/* The widest way that a straight edge between neighbouring corners cuts a section short. */
static double corner_off(const Rings *rings, double along) {
    double worst = 0.0;
    for (size_t k = 0; k < rings->corners; k++) {
        double a = around_at(rings, k), b = around_at(rings, k + 1);
        worst = GSL_MAX_DBL(worst, off_line(point_at(rings, along, 0.5 * (a + b)),
                                            point_at(rings, along, a), point_at(rings, along, b)));
    }
    return worst;
}

/* Corners around, so that they alone use up half of the chord. */
static bool choose_corners(Rings *rings, BlyError *err) {
    enum { LOOKS = 33 };
    double worst;
    for (rings->corners = CORNERS_LEAST;; rings->corners += 4 * (rings->corners / 16)) {
        worst = 0.0;
        for (int i = 0; i < LOOKS; i++)
            worst = GSL_MAX_DBL(worst, corner_off(rings, M_PI * i / (LOOKS - 1)));
        if (worst <= 0.5 * rings->chord)
            return true;
        if (rings->corners > CORNERS_MOST)
            return bly_fail(err, BLY_E_RANGE, "/chord",
                            "needs more than %d corners around; allow a larger one", CORNERS_MOST);
    }
}

static bool choose_rings(Rings *rings, BlyError *err) {
    enum { FIRST = 16 };
    if (!choose_corners(rings, err) || !add_ring(rings, 0.0, err))
        return false;
    for (int i = 0; i < FIRST; i++) {
        if (!refine(rings, M_PI * i / FIRST, M_PI * (i + 1) / FIRST, DEPTH_MOST, err))
            return false;
    }
    return true;
}

/* ---- the mesh ---- */

/* Points of an end that is a tip or an edge fall together; `same` says which number they share. */
static size_t first_like(const BlyMesh *mesh, size_t from, BlyVec3 p) {
    for (size_t i = from; i < mesh->point_count; i++) {
        if (bly_vec_norm(bly_vec_sub(mesh->points[i], p)) < 1e-10) /* m */
            return i;
    }
    return mesh->point_count;
}

static void add_facet(BlyMesh *mesh, uint32_t a, uint32_t b, uint32_t c) {
    if (a == b || b == c || c == a)
        return;
    uint32_t *facet = mesh->facets[mesh->facet_count++];
    facet[0] = a;
    facet[1] = b;
    facet[2] = c;
}

static void put_points(const Rings *rings, size_t ring, BlyMesh *mesh, uint32_t *number) {
    bool end = ring == 0 || ring + 1 == rings->count;
    size_t from = mesh->point_count;
    for (size_t k = 0; k < rings->corners; k++) {
        BlyVec3 p = point_at(rings, rings->angle[ring], around_at(rings, k));
        size_t at = end ? first_like(mesh, from, p) : mesh->point_count;
        if (at == mesh->point_count)
            mesh->points[mesh->point_count++] = p;
        number[k] = (uint32_t)at;
    }
}

/* An end face with size: a fan about its middle. */
static void put_face(const Rings *rings, size_t ring, BlyMesh *mesh, const uint32_t *number) {
    BlySection s;
    BlyBox box = bly_body_box(rings->body);
    double x = ring == 0 ? box.low.x : box.high.x;
    if (!bly_body_section(rings->body, x, &s) ||
        !(size_of(s.width) > 0.0 && size_of(s.height) > 0.0))
        return;
    uint32_t centre = (uint32_t)mesh->point_count;
    mesh->points[mesh->point_count++] = bly_vec(x, 0.0, s.centre);
    for (size_t k = 0; k < rings->corners; k++) {
        uint32_t a = number[k], b = number[(k + 1) % rings->corners];
        if (ring == 0)
            add_facet(mesh, centre, b, a);
        else
            add_facet(mesh, centre, a, b);
    }
}

/* Between two rings; the shorter diagonal would do no better, the same one throughout is simpler.
 */
static void join(const Rings *rings, BlyMesh *mesh, const uint32_t *one, const uint32_t *next) {
    for (size_t k = 0; k < rings->corners; k++) {
        size_t l = (k + 1) % rings->corners;
        add_facet(mesh, one[k], next[l], next[k]);
        add_facet(mesh, one[k], one[l], next[l]);
    }
}

static bool build(const Rings *rings, BlyMesh *out, BlyError *err) {
    size_t points = rings->count * rings->corners + 2, facets = 2 * points;
    if (facets > BLY_MESH_FACETS_MAX)
        return bly_fail(err, BLY_E_RANGE, "/chord", "needs %zu facets; allow a larger one", facets);
    uint32_t *number = calloc(2 * rings->corners, sizeof *number);
    out->points = calloc(points, sizeof *out->points);
    out->facets = calloc(facets, sizeof *out->facets);
    if (number == NULL || out->points == NULL || out->facets == NULL) {
        free(number);
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for %zu facets", facets);
    }
    for (size_t r = 0; r < rings->count; r++) {
        uint32_t *one = number + (r + 1) % 2 * rings->corners;
        uint32_t *next = number + r % 2 * rings->corners;
        put_points(rings, r, out, next);
        if (r > 0)
            join(rings, out, one, next);
        if (r == 0 || r + 1 == rings->count)
            put_face(rings, r, out, next);
    }
    free(number);
    return true;
}

static bool copy_mesh(const BlyMesh *mesh, BlyMesh *out, BlyError *err) {
    out->points = malloc(mesh->point_count * sizeof *out->points);
    out->facets = malloc(mesh->facet_count * sizeof *out->facets);
    if (out->points == NULL || out->facets == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for %zu facets", mesh->facet_count);
    memcpy(out->points, mesh->points, mesh->point_count * sizeof *out->points);
    memcpy(out->facets, mesh->facets, mesh->facet_count * sizeof *out->facets);
    out->point_count = mesh->point_count;
    out->facet_count = mesh->facet_count;
    return true;
}

static bool from_sections(const BlyBody *body, double chord, BlyMesh *out, BlyError *err) {
    BlyBox box = bly_body_box(body);
    Rings rings = {.body = body,
                   .middle = 0.5 * (box.low.x + box.high.x),
                   .half = 0.5 * (box.high.x - box.low.x),
                   .chord = looked_at * chord};
    rings.angle = calloc(RINGS_MOST, sizeof *rings.angle);
    bool good = rings.angle != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for rings");
    good = good && choose_rings(&rings, err) && build(&rings, out, err);
    free(rings.angle);
    return good;
}

bool bly_body_facets(const BlyBody *body, double chord, BlyMesh *out, BlyError *err) {
    const BlyMesh *mesh = bly_body_mesh_whole(body);
    *out = (BlyMesh){0};
    if (!(chord >= chord_least && chord <= chord_most))
        return bly_fail(err, BLY_E_RANGE, "/chord", "%g mm, expected 0.001 to 1 mm", 1e3 * chord);
    if (mesh != NULL ? copy_mesh(mesh, out, err) : from_sections(body, chord, out, err))
        return true;
    bly_mesh_release(out);
    return false;
}

double bly_mesh_volume(const BlyMesh *mesh) {
    double sum = 0.0;
    for (size_t f = 0; f < mesh->facet_count; f++) {
        const uint32_t *c = mesh->facets[f];
        sum +=
            bly_vec_dot(mesh->points[c[0]], bly_vec_cross(mesh->points[c[1]], mesh->points[c[2]]));
    }
    return sum / 6.0;
}
