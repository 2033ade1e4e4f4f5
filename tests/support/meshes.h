/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Meshes of bodies with closed forms, for the tests of shape, stl and build. All face outward. The
 * caller releases them. */
#ifndef BALLASTRY_TESTS_MESHES_H
#define BALLASTRY_TESTS_MESHES_H

#include "ballastry/mesh.h"
#include "support/check.h"

#define MESH_PI 3.14159265358979323846

static inline BlyMesh mesh_room(size_t points, size_t facets) {
    BlyMesh mesh = {.points = calloc(points, sizeof *mesh.points),
                    .facets = calloc(facets, sizeof *mesh.facets)};
    assert_non_null(mesh.points);
    assert_non_null(mesh.facets);
    return mesh;
}

static inline uint32_t mesh_point(BlyMesh *mesh, double x, double y, double z) {
    mesh->points[mesh->point_count] = bly_vec(x, y, z);
    return (uint32_t)mesh->point_count++;
}

static inline void mesh_facet(BlyMesh *mesh, uint32_t a, uint32_t b, uint32_t c) {
    uint32_t *to = mesh->facets[mesh->facet_count++];
    to[0] = a;
    to[1] = b;
    to[2] = c;
}

/* Rings of `around` points at x = place(i), between a first and a last point on the axis at x0 and
 * x1 (0: flat ends have their middle there). Point j of ring i comes from at(i, j). */
typedef BlyVec3 (*MeshRing)(const void *user, size_t ring, size_t place);
static inline BlyMesh mesh_rings(size_t rings, size_t around, BlyVec3 nose, BlyVec3 tail,
                                 MeshRing at, const void *user) {
    BlyMesh mesh = mesh_room(rings * around + 2, 2 * rings * around);
    uint32_t n = (uint32_t)around;
    for (size_t i = 0; i < rings; i++) {
        for (size_t j = 0; j < around; j++) {
            BlyVec3 p = at(user, i, j);
            (void)mesh_point(&mesh, p.x, p.y, p.z);
        }
    }
    uint32_t first = mesh_point(&mesh, nose.x, nose.y, nose.z);
    uint32_t last = mesh_point(&mesh, tail.x, tail.y, tail.z);
    for (uint32_t j = 0; j < n; j++) {
        uint32_t k = (j + 1) % n, end = (uint32_t)(rings - 1) * n;
        mesh_facet(&mesh, first, k, j);
        mesh_facet(&mesh, last, end + j, end + k);
        for (uint32_t i = 0; i + 1 < (uint32_t)rings; i++) {
            uint32_t a = i * n + j, b = i * n + k, c = a + n, d = b + n;
            mesh_facet(&mesh, a, b, d);
            mesh_facet(&mesh, a, d, c);
        }
    }
    return mesh;
}

typedef struct MeshEllipsoid {
    double a, b, c;
    BlyVec3 middle;
    size_t rings, around;
} MeshEllipsoid;

static inline BlyVec3 mesh_ellipsoid_at(const void *user, size_t i, size_t j) {
    const MeshEllipsoid *e = user;
    double t = MESH_PI * (double)(i + 1) / (double)(e->rings + 1);
    double w = 2.0 * MESH_PI * (double)j / (double)e->around;
    return bly_vec(e->middle.x - e->a * cos(t), e->middle.y + e->b * sin(t) * sin(w),
                   e->middle.z - e->c * sin(t) * cos(w));
}

/* Semi-axes a, b, c; points on the ellipsoid. */
static inline BlyMesh mesh_ellipsoid(double a, double b, double c, BlyVec3 middle, size_t rings,
                                     size_t around) {
    MeshEllipsoid e = {a, b, c, middle, rings, around};
    return mesh_rings(rings, around, bly_vec(middle.x - a, middle.y, middle.z),
                      bly_vec(middle.x + a, middle.y, middle.z), mesh_ellipsoid_at, &e);
}

/* How far the facets of such an ellipsoid stay inside it, as a share of its axes: the ellipsoid
 * shrunk to this share lies within the mesh. The affine map to the unit sphere keeps facets flat;
 * there it is the least distance of a facet's plane from the middle. */
static inline double mesh_ellipsoid_least(const BlyMesh *mesh, double a, double b, double c,
                                          BlyVec3 middle) {
    double least = 1.0;
    for (size_t i = 0; i < mesh->facet_count; i++) {
        BlyVec3 p[3];
        for (int k = 0; k < 3; k++) {
            BlyVec3 q = bly_vec_sub(mesh->points[mesh->facets[i][k]], middle);
            p[k] = bly_vec(q.x / a, q.y / b, q.z / c);
        }
        BlyVec3 n = bly_vec_cross(bly_vec_sub(p[1], p[0]), bly_vec_sub(p[2], p[0]));
        least = fmin(least, bly_vec_dot(n, p[0]) / bly_vec_norm(n));
    }
    return least;
}

/* A box from low to high, twelve facets. */
static inline BlyMesh mesh_brick(BlyVec3 low, BlyVec3 high) {
    BlyMesh mesh = mesh_room(8, 12);
    for (int i = 0; i < 8; i++)
        (void)mesh_point(&mesh, i & 1 ? high.x : low.x, i & 2 ? high.y : low.y,
                         i & 4 ? high.z : low.z);
    static const uint32_t face[6][4] = {{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4},
                                        {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}};
    for (int i = 0; i < 6; i++) {
        mesh_facet(&mesh, face[i][0], face[i][1], face[i][2]);
        mesh_facet(&mesh, face[i][0], face[i][2], face[i][3]);
    }
    return mesh;
}

typedef struct MeshTurned {
    double length, r0, r1;
    size_t around;
} MeshTurned;

static inline BlyVec3 mesh_turned_at(const void *user, size_t i, size_t j) {
    const MeshTurned *t = user;
    double w = 2.0 * MESH_PI * (double)j / (double)t->around, r = i == 0 ? t->r0 : t->r1;
    return bly_vec(i == 0 ? 0.0 : t->length, r * sin(w), -r * cos(w));
}

/* A frustum with a regular polygon of `around` corners as its section; radii to the corners. */
static inline BlyMesh mesh_frustum(double length, double r0, double r1, size_t around) {
    MeshTurned t = {length, r0, r1, around};
    return mesh_rings(2, around, bly_vec(0.0, 0.0, 0.0), bly_vec(length, 0.0, 0.0), mesh_turned_at,
                      &t);
}

/* Adds the facets of `part` to `mesh`, turned inside out or not; releases the part. */
static inline void mesh_join(BlyMesh *mesh, BlyMesh *part, bool inside_out) {
    BlyMesh both =
        mesh_room(mesh->point_count + part->point_count, mesh->facet_count + part->facet_count);
    const BlyMesh *from[2] = {mesh, part};
    for (int m = 0; m < 2; m++) {
        uint32_t base = (uint32_t)both.point_count;
        for (size_t p = 0; p < from[m]->point_count; p++)
            both.points[both.point_count++] = from[m]->points[p];
        for (size_t i = 0; i < from[m]->facet_count; i++) {
            const uint32_t *f = from[m]->facets[i];
            bool turn = m == 1 && inside_out;
            mesh_facet(&both, base + f[0], base + f[turn ? 2 : 1], base + f[turn ? 1 : 2]);
        }
    }
    bly_mesh_release(mesh);
    bly_mesh_release(part);
    *mesh = both;
}

static inline BlyBody *mesh_to_body(const BlyMesh *mesh) {
    BlyError err = {0};
    BlyBody *body = NULL;
    if (!bly_body_from_mesh(mesh, NULL, &body, NULL, &err))
        print_error("%s: %s\n", err.where, err.text);
    assert_non_null(body);
    return body;
}

#endif
