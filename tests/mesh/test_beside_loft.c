/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The same body by stations and as a mesh of points on it. How far the two may differ is worked
 * out, not guessed: the mesh's facets stay within `gap` of the loft's surface, found by looking at
 * each facet's middle and the middles of its edges; a skin as thick holds gap times the surface. */
#include "loft/bodies.h"
#include "support/meshes.h"

typedef struct Copied {
    const BlyBody *loft;
    double x0, x1;
    size_t rings, around;
} Copied;

/* Points of the superellipse section at equal angles of (|cos|^(2/n), |sin|^(2/n)). */
static BlyVec3 ring_at(const void *user, size_t i, size_t j) {
    const Copied *copied = user;
    double t = PI * (double)(i + 1) / (double)(copied->rings + 1);
    double x = 0.5 * (copied->x0 + copied->x1) - 0.5 * (copied->x1 - copied->x0) * cos(t);
    double w = 2.0 * PI * (double)j / (double)copied->around;
    BlySection at;
    assert_true(bly_body_section(copied->loft, x, &at));
    double u = copysign(pow(fabs(sin(w)), 2.0 / at.exponent), sin(w));
    double v = copysign(pow(fabs(cos(w)), 2.0 / at.exponent), cos(w));
    if (j == 0 || 2 * j == copied->around)
        u = 0.0;
    return bly_vec(x, 0.5 * at.width * u, at.centre - 0.5 * at.height * v);
}

static BlyMesh copy_as_mesh(const BlyBody *loft, size_t rings, size_t around) {
    BlyBox box = bly_body_box(loft);
    Copied copied = {loft, box.low.x, box.high.x, rings, around};
    BlySection nose, tail;
    assert_true(bly_body_section(loft, box.low.x, &nose));
    assert_true(bly_body_section(loft, box.high.x, &tail));
    return mesh_rings(rings, around, bly_vec(box.low.x, 0.0, nose.centre),
                      bly_vec(box.high.x, 0.0, tail.centre), ring_at, &copied);
}

/* How far a point lies off the loft's surface at most: along y or along z, whichever is less,
 * counts as more than the true distance, and so does in a section square to x. */
static double off_surface(const BlyBody *loft, BlyVec3 p) {
    BlySection at;
    if (!bly_body_section(loft, p.x, &at))
        return 0.0;
    double b = 0.5 * at.width, c = 0.5 * at.height;
    if (!(b > 0.0 && c > 0.0))
        return 0.0;
    double r = pow(fabs(p.y) / b, at.exponent) + pow(fabs(p.z - at.centre) / c, at.exponent);
    double radius = hypot(p.y, p.z - at.centre);
    return fabs(radius / pow(r, 1.0 / at.exponent) - radius);
}

static double widest_gap(const BlyBody *loft, const BlyMesh *mesh) {
    double gap = 0.0;
    for (size_t i = 0; i < mesh->facet_count; i++) {
        BlyVec3 p[3], sum = {0};
        for (int k = 0; k < 3; k++) {
            p[k] = mesh->points[mesh->facets[i][k]];
            sum = bly_vec_add(sum, p[k]);
        }
        gap = fmax(gap, off_surface(loft, bly_vec_scale(sum, 1.0 / 3.0)));
        for (int k = 0; k < 3; k++)
            gap =
                fmax(gap, off_surface(loft, bly_vec_scale(bly_vec_add(p[k], p[(k + 1) % 3]), 0.5)));
    }
    return gap;
}

typedef struct Pair {
    BlyBody *loft, *mesh;
    double gap, skin; /* m, and m3: gap times the surface */
    double size;
} Pair;

static Pair make_pair(BlyBody *loft, size_t rings, size_t around) {
    BlyMesh mesh = copy_as_mesh(loft, rings, around);
    Pair pair = {.loft = loft, .mesh = mesh_to_body(&mesh), .gap = widest_gap(loft, &mesh)};
    pair.skin = pair.gap * bly_body_surface(loft)->area;
    BlyBox box = bly_body_box(loft);
    pair.size = bly_vec_norm(bly_vec_sub(box.high, box.low));
    bly_mesh_release(&mesh);
    return pair;
}

static void free_pair(Pair *pair) {
    bly_body_free(pair->loft);
    bly_body_free(pair->mesh);
}

static void same_solid(const Pair *pair) {
    const BlySolid *a = bly_body_solid(pair->loft), *b = bly_body_solid(pair->mesh);
    double off = pair->skin / a->volume;
    assert_close(b->volume, a->volume, pair->skin, 0.0);
    assert_vec_close(b->centroid, a->centroid, off * pair->size);
    assert_close(b->xx, a->xx, pair->skin * pair->size * pair->size, 0.0);
    assert_close(b->zz, a->zz, pair->skin * pair->size * pair->size, 0.0);
    assert_close(bly_body_plan(pair->mesh)->area, bly_body_plan(pair->loft)->area,
                 pair->gap * 2.0 * pair->size, 0.0);
    assert_close(bly_body_side(pair->mesh)->area, bly_body_side(pair->loft)->area,
                 pair->gap * 2.0 * pair->size, 0.0);
    /* a surface of flat facets: area to twice the share that the sizes are off by, and slopes */
    assert_close(bly_body_surface(pair->mesh)->area, bly_body_surface(pair->loft)->area, 0.0, 6e-3);
}

static void same_cuts(const Pair *pair) {
    BlyVec3 middle = bly_body_solid(pair->loft)->centroid;
    for (int i = 0; i < 60; i++) {
        BlyVec3 up = bly_vec_up(0.21 * i - 3.0, i % 3 == 0 ? 0.0 : 0.35 * i);
        BlyPlane plane = {up, bly_vec_dot(up, middle) + 0.004 * sin(0.9 * i)};
        BlyCut a = bly_body_cut(pair->loft, plane), b = bly_body_cut(pair->mesh, plane);
        assert_close(b.volume, a.volume, pair->skin, 1e-6);
        if (a.volume > 0.1 * bly_body_solid(pair->loft)->volume)
            assert_vec_close(b.centroid, a.centroid, 2.0 * pair->skin / a.volume * pair->size);
        assert_close(b.area, a.area, pair->gap * a.perimeter * 3.0, 1e-5);
    }
}

static void same_layers(const Pair *pair) {
    const double d = 3e-4;
    BlySolid a = bly_body_layer(pair->loft, 0.0, d), b = bly_body_layer(pair->mesh, 0.0, d);
    assert_close(b.volume, a.volume, 0.0, 6e-3); /* as the surface */
    BlyBody *one = make_coated(pair->loft, d), *other = make_coated(pair->mesh, d);
    assert_close(bly_body_solid(other)->volume, bly_body_solid(pair->mesh)->volume + b.volume, 0.0,
                 1e-10);
    BlyBox p = bly_body_box(one), q = bly_body_box(other);
    assert_close(q.high.y, p.high.y, pair->gap + 0.05 * d, 0.0);
    assert_close(q.high.z, p.high.z, pair->gap + 0.05 * d, 0.0);
    assert_close(q.low.z, p.low.z, pair->gap + 0.05 * d, 0.0);
    bly_body_free(one);
    bly_body_free(other);
}

/* The table's own share: half a degree of theta and a level of phi run straight, 1e-4 of the
 * section. Within a station of the ends a flat face is drawn out. */
static void same_sections(const Pair *pair) {
    BlyBox box = bly_body_box(pair->loft);
    for (int i = 1; i < 40; i++) {
        double x = box.low.x + (box.high.x - box.low.x) * i / 40.0;
        BlySection a, b;
        assert_true(bly_body_section(pair->loft, x, &a));
        assert_true(bly_body_section(pair->mesh, x, &b));
        double off = 2.0 * pair->gap + 2e-4 * a.height;
        assert_close(b.width, a.width, off, 0.0);
        assert_close(b.belly, a.belly, off, 0.0);
        assert_close(b.back, a.back, off, 0.0);
        assert_close(b.belly_slope, a.belly_slope, 0.02, 0.02);
        for (int k = 1; k < 8; k++) {
            double z = a.belly + (a.back - a.belly) * k / 8.0;
            assert_close(bly_body_half_width(pair->mesh, x, z),
                         bly_body_half_width(pair->loft, x, z), 2.0 * off, 0.0);
        }
    }
}

static double half_round(double s, const void *user) {
    (void)user;
    return s > 0.008 ? sqrt(fmax(0.0, 0.007 * 0.007 - (s - 0.008) * (s - 0.008))) : 0.007;
}

static void same_fittings(const Pair *pair) {
    BlySolid a, b;
    double la, lb;
    assert_true(bly_body_strip(pair->loft, BLY_BELLY, 0.028, 0.052, 0.008, 0.0005, &a, &la, NULL));
    assert_true(bly_body_strip(pair->mesh, BLY_BELLY, 0.028, 0.052, 0.008, 0.0005, &b, &lb, NULL));
    assert_close(lb, la, 2e-5, 0.0); /* 0.02 mm on 24 mm */
    assert_vec_close(b.centroid, a.centroid, 2.0 * pair->gap + 1e-5);
    assert_true(bly_body_strip(pair->loft, BLY_BACK, 0.03, 0.05, 0.006, 0.0005, &a, &la, NULL));
    assert_true(bly_body_strip(pair->mesh, BLY_BACK, 0.03, 0.05, 0.006, 0.0005, &b, &lb, NULL));
    assert_close(b.volume, a.volume, 0.0, 1e-3);
    assert_vec_close(b.centroid, a.centroid, 2.0 * pair->gap + 1e-5);
    BlySection at;
    assert_true(bly_body_section(pair->loft, 0.007, &at));
    BlyVec3 mouth = bly_vec(0.007, 0.0, at.belly), along = bly_vec(-sqrt(0.5), 0.0, -sqrt(0.5));
    BlyPlateSplit p =
        bly_body_split_plate(pair->loft, mouth, along, -0.007, 0.015, half_round, NULL);
    BlyPlateSplit q =
        bly_body_split_plate(pair->mesh, mouth, along, -0.007, 0.015, half_round, NULL);
    assert_close(q.inner.area, p.inner.area, 0.04 * (2.0 * pair->gap + 1e-5), 1e-3);
    assert_vec_close(q.outer.centroid, p.outer.centroid, 4.0 * pair->gap + 1e-5);
    for (int i = 0; i < 20; i++) {
        BlyVec3 d = bly_vec_up(0.3 * i, 0.7 * i);
        assert_close(bly_body_support(pair->mesh, d), bly_body_support(pair->loft, d),
                     pair->gap + 2e-6, 0.0);
        double seen = bly_body_seen(pair->loft, d).area;
        assert_close(bly_body_seen(pair->mesh, d).area, seen, pair->gap * 3.0 * pair->size,
                     2e-3); /* the loft's own error */
    }
}

/* An ellipsoid: stations and mesh also against the closed form, 4/3 pi abc. */
static void an_ellipsoid(void **state) {
    (void)state;
    Pair pair = make_pair(make_ellipsoid(0.045, 0.007, 0.0095, 0.001), 100, 80);
    assert_between(pair.gap, 1e-8, 1e-4);
    same_solid(&pair);
    double closed = 4.0 / 3.0 * PI * 0.045 * 0.007 * 0.0095;
    assert_close(bly_body_solid(pair.loft)->volume, closed, 0.0, 1e-10);
    assert_close(bly_body_solid(pair.mesh)->volume, closed, pair.skin, 0.0);
    same_cuts(&pair);
    same_layers(&pair);
    same_sections(&pair);
    same_fittings(&pair);
    free_pair(&pair);
}

/* The invented minnow has a flat tail of 3 by 6 mm, which the mesh leaves in a ring just ahead of
 * it; it is closed with a cone there. Its own body with a round tail has none of that. */
static BlyBody *round_minnow(double exponent) {
    const BlyStation stations[] = {
        {0.000, 0.0, 0.0, 0.0005, exponent},       {0.006, 0.0080, 0.0090, 0.0006, exponent},
        {0.020, 0.0130, 0.0165, 0.0015, exponent}, {0.034, 0.0140, 0.0190, 0.0018, exponent},
        {0.055, 0.0110, 0.0150, 0.0012, exponent}, {0.076, 0.0070, 0.0100, 0.0006, exponent},
        {0.090, 0.0, 0.0, 0.0010, exponent}};
    return make_body(stations, sizeof stations / sizeof stations[0]);
}

static void carved_bodies(void **state) {
    (void)state;
    static const double exponents[] = {2.0, 2.6, 3.5};
    for (int i = 0; i < 3; i++) {
        Pair pair = make_pair(round_minnow(exponents[i]), 120, 96);
        assert_between(pair.gap, 1e-8, 2e-4);
        same_solid(&pair);
        same_cuts(&pair);
        same_layers(&pair);
        same_sections(&pair);
        if (i < 2)
            same_fittings(&pair);
        free_pair(&pair);
    }
}

/* Four times the facets: a quarter of the error, as chords have it. */
static void finer_is_nearer(void **state) {
    (void)state;
    double off[2];
    for (int i = 0; i < 2; i++) {
        Pair pair = make_pair(make_ellipsoid(0.045, 0.007, 0.0095, 0.0), 40u << i, 32u << i);
        off[i] = bly_body_solid(pair.loft)->volume - bly_body_solid(pair.mesh)->volume;
        free_pair(&pair);
    }
    assert_between(off[0] / off[1], 3.7, 4.3);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_ellipsoid),
        cmocka_unit_test(carved_bodies),
        cmocka_unit_test(finer_is_nearer),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
