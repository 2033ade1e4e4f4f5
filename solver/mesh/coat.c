/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The mesh with a layer all over it.
 *
 * Each point moves along its normal (the facets' normals, weighted by their angles there) so far
 * that its facets move by the layer's thickness on average; at a sharp edge that is a mitre, of at
 * most twice the thickness. A parallel surface rounds its edges instead: all moves are then scaled
 * alike, and the whole shifted, until volume and centroid are exactly the body's and its layer's
 * (layer.c). */
#include "mesh/mesh_body.h"

#include <stdlib.h>
#include <string.h>

static const double mitre_most = 2.0;

/* Of a facet at its corner k. */
static double corner_angle(const BlyMesh *mesh, size_t facet, int k) {
    BlyVec3 p = mesh_corner(mesh, facet, k);
    BlyVec3 u = bly_vec_sub(mesh_corner(mesh, facet, (k + 1) % 3), p);
    BlyVec3 v = bly_vec_sub(mesh_corner(mesh, facet, (k + 2) % 3), p);
    return atan2(bly_vec_norm(bly_vec_cross(u, v)), bly_vec_dot(u, v));
}

/* Facets' unit normals, weighted by the angle of each at the point. */
static void sum_normals(const BlyMesh *mesh, BlyVec3 *move) {
    for (size_t i = 0; i < mesh->facet_count; i++) {
        BlyVec3 n = mesh_area(mesh, i);
        double size = bly_vec_norm(n);
        if (!(size > 0.0))
            continue;
        for (int k = 0; k < 3; k++) {
            double angle = corner_angle(mesh, i, k);
            BlyVec3 *to = &move[mesh->facets[i][k]];
            *to = bly_vec_add(*to, bly_vec_scale(n, angle / size));
        }
    }
}

/* Sum of angles, and of angles times the cosine between the facet's normal and the point's. */
typedef struct Lean {
    double angle, cosine;
} Lean;

static void sum_leans(const BlyMesh *mesh, const BlyVec3 *normal, Lean *lean) {
    for (size_t i = 0; i < mesh->facet_count; i++) {
        BlyVec3 n = mesh_area(mesh, i);
        double size = bly_vec_norm(n);
        if (!(size > 0.0))
            continue;
        for (int k = 0; k < 3; k++) {
            uint32_t p = mesh->facets[i][k];
            double angle = corner_angle(mesh, i, k);
            lean[p].angle += angle;
            lean[p].cosine += angle * bly_vec_dot(n, normal[p]) / size;
        }
    }
}

static void unit_moves(const BlyMesh *mesh, BlyVec3 *move, Lean *lean) {
    sum_normals(mesh, move);
    for (size_t p = 0; p < mesh->point_count; p++) {
        double size = bly_vec_norm(move[p]);
        move[p] = size > 1e-9 ? bly_vec_scale(move[p], 1.0 / size) : (BlyVec3){0};
    }
    sum_leans(mesh, move, lean);
    for (size_t p = 0; p < mesh->point_count; p++) {
        double mitre = lean[p].cosine > 0.0 ? lean[p].angle / lean[p].cosine : mitre_most;
        move[p] = bly_vec_scale(move[p], fmin(mitre, mitre_most));
    }
}

static double triple(BlyVec3 a, BlyVec3 b, BlyVec3 c) {
    return bly_vec_dot(a, bly_vec_cross(b, c)) / 6.0;
}

/* The volume with all points moved by s times their move is a cubic of s. */
static void volume_cubic(const BlyMesh *mesh, const BlyVec3 *move, double c[4]) {
    c[0] = c[1] = c[2] = c[3] = 0.0;
    for (size_t i = 0; i < mesh->facet_count; i++) {
        const uint32_t *f = mesh->facets[i];
        BlyVec3 p = mesh->points[f[0]], q = mesh->points[f[1]], r = mesh->points[f[2]];
        BlyVec3 u = move[f[0]], v = move[f[1]], w = move[f[2]];
        c[0] += triple(p, q, r);
        c[1] += triple(u, q, r) + triple(p, v, r) + triple(p, q, w);
        c[2] += triple(u, v, r) + triple(u, q, w) + triple(p, v, w);
        c[3] += triple(u, v, w);
    }
}

bool mesh_moves_make(MeshBody *mesh, BlyError *err) {
    Lean *lean = calloc(mesh->mesh.point_count + 1, sizeof *lean);
    mesh->move = calloc(mesh->mesh.point_count + 1, sizeof *mesh->move);
    bool good = lean != NULL && mesh->move != NULL;
    if (good) {
        unit_moves(&mesh->mesh, mesh->move, lean);
        volume_cubic(&mesh->mesh, mesh->move, mesh->cubic);
    } else {
        (void)bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a mesh");
    }
    free(lean);
    return good;
}

/* The s at which the volume is `wanted`, from the thickness on, by Newton's method. */
static double find_scale(const double c[4], double wanted, double thickness) {
    double s = thickness;
    for (int i = 0; i < 50; i++) {
        double miss = c[0] + s * (c[1] + s * (c[2] + s * c[3])) - wanted;
        double slope = c[1] + s * (2.0 * c[2] + s * 3.0 * c[3]);
        if (!(slope > 0.0))
            return thickness;
        double step = miss / slope;
        s -= step;
        if (fabs(step) <= 1e-15 * thickness)
            break;
    }
    return s > 0.0 && s < 4.0 * thickness ? s : thickness;
}

/* Curvature of the parallel surface: H' = H + K d as integrals, each at the place moved along. */
static BlyCurvature parallel(const BlyCurvature *bend, double d) {
    BlyCurvature out = *bend;
    out.mean = bend->mean + bend->total * d;
    out.mean_moment = bly_vec_add(bend->mean_moment, bly_vec_scale(bend->total_moment, d));
    return out;
}

/* Points moved by s, then all shifted until the centroid is at `middle`. */
static void move_points(const MeshBody *mesh, double s, BlyVec3 middle, BlyVec3 *out) {
    size_t count = mesh->mesh.point_count;
    for (size_t p = 0; p < count; p++)
        out[p] = bly_vec_add(mesh->mesh.points[p], bly_vec_scale(mesh->move[p], s));
    BlyMesh moved = mesh->mesh;
    moved.points = out;
    BlyVec3 shift = bly_vec_sub(middle, mesh_solid(&moved).centroid);
    if (mesh->even)
        shift.y = 0.0;
    for (size_t p = 0; p < count; p++)
        out[p] = bly_vec_add(out[p], shift);
}

static bool grow(const MeshBody *mesh, double thickness, BlyBody **out, BlyError *err) {
    const BlyBody *body = &mesh->body;
    BlySolid layer = bly_body_layer(body, 0.0, thickness);
    double wanted = body->solid.volume + layer.volume;
    BlyVec3 moment = bly_vec_add(bly_vec_scale(body->solid.centroid, body->solid.volume),
                                 bly_vec_scale(layer.centroid, layer.volume));
    double s = thickness > 0.0 ? find_scale(mesh->cubic, wanted, thickness) : 0.0;
    BlyVec3 *points = calloc(mesh->mesh.point_count + 1, sizeof *points);
    if (points == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a layer");
    move_points(mesh, s, bly_vec_scale(moment, 1.0 / wanted), points);
    BlyCurvature bend = parallel(&body->curvature, thickness);
    return mesh_body_moved(mesh, points, &bend, out, err);
}

static bool copy_mesh(const BlyMesh *from, BlyMesh *to, BlyError *err) {
    if (!mesh_allocate(from->point_count, from->facet_count, to, err))
        return false;
    memcpy(to->points, from->points, from->point_count * sizeof *to->points);
    memcpy(to->facets, from->facets, from->facet_count * sizeof *to->facets);
    return true;
}

/* A body that was coated already has its moves to be found first. */
bool mesh_coated(const BlyBody *body, double thickness, BlyBody **out, BlyError *err) {
    const MeshBody *mesh = mesh_of(body);
    if (mesh->move != NULL)
        return grow(mesh, thickness, out, err);
    BlyMesh copy;
    BlyBody *bare = NULL;
    if (!copy_mesh(&mesh->mesh, &copy, err) || !mesh_body_make(&copy, &bare, err))
        return false;
    bool good = grow(mesh_of(bare), thickness, out, err);
    bly_body_free(bare);
    return good;
}
