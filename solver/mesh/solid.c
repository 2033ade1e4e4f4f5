/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the facets of a closed mesh add up to.
 *
 * By the divergence theorem the volume is the sum of the cones from the facets to any one point,
 * with sign; so are the moments. Over the tetrahedron 0, a, b, c of volume V
 *
 *     int x dV = V S/4,   int x_i x_j dV = V (S_i S_j + a_i a_j + b_i b_j + c_i c_j)/20,  S =
 * a+b+c.
 *
 * Curvature of a polyhedron sits in its edges and corners: an edge of length L between facets that
 * turn by q (outwards positive) holds L q/2 of the integral of mean curvature, a corner 2 pi less
 * the angles around it of that of the total curvature. */
#include "mesh/mesh_body.h"

#include <stdlib.h>

#define PI 3.14159265358979323846

static BlyVec3 some_point(const BlyMesh *mesh) {
    BlyBox box = mesh_box(mesh);
    return bly_vec_scale(bly_vec_add(box.low, box.high), 0.5);
}

BlySolid mesh_solid(const BlyMesh *mesh) {
    BlyVec3 o = some_point(mesh), first = {0};
    double volume = 0.0, xx = 0.0, yy = 0.0, zz = 0.0, xz = 0.0;
    for (size_t i = 0; i < mesh->facet_count; i++) {
        BlyVec3 a = bly_vec_sub(mesh_corner(mesh, i, 0), o);
        BlyVec3 b = bly_vec_sub(mesh_corner(mesh, i, 1), o);
        BlyVec3 c = bly_vec_sub(mesh_corner(mesh, i, 2), o);
        BlyVec3 s = bly_vec_add(a, bly_vec_add(b, c));
        double v = bly_vec_dot(a, bly_vec_cross(b, c)) / 6.0, w = v / 20.0;
        volume += v;
        first = bly_vec_add(first, bly_vec_scale(s, 0.25 * v));
        xx += w * (s.x * s.x + a.x * a.x + b.x * b.x + c.x * c.x);
        yy += w * (s.y * s.y + a.y * a.y + b.y * b.y + c.y * c.y);
        zz += w * (s.z * s.z + a.z * a.z + b.z * b.z + c.z * c.z);
        xz += w * (s.x * s.z + a.x * a.z + b.x * b.z + c.x * c.z);
    }
    if (volume == 0.0)
        return (BlySolid){.centroid = o};
    BlyVec3 m = bly_vec_scale(first, 1.0 / volume);
    return (BlySolid){.volume = volume,
                      .centroid = bly_vec_add(o, m),
                      .xx = xx - volume * m.x * m.x,
                      .yy = yy - volume * m.y * m.y,
                      .zz = zz - volume * m.z * m.z,
                      .xz = xz - volume * m.x * m.z};
}

BlyArea mesh_surface(const BlyMesh *mesh) {
    double area = 0.0;
    BlyVec3 sum = {0};
    for (size_t i = 0; i < mesh->facet_count; i++) {
        double one = bly_vec_norm(mesh_area(mesh, i));
        BlyVec3 s = bly_vec_add(mesh_corner(mesh, i, 0),
                                bly_vec_add(mesh_corner(mesh, i, 1), mesh_corner(mesh, i, 2)));
        area += one;
        sum = bly_vec_add(sum, bly_vec_scale(s, one / 3.0));
    }
    return (BlyArea){area, area > 0.0 ? bly_vec_scale(sum, 1.0 / area) : some_point(mesh)};
}

/* The angle at corner k. */
static double corner_angle(const BlyMesh *mesh, size_t facet, int k) {
    BlyVec3 p = mesh_corner(mesh, facet, k);
    BlyVec3 u = bly_vec_sub(mesh_corner(mesh, facet, (k + 1) % 3), p);
    BlyVec3 v = bly_vec_sub(mesh_corner(mesh, facet, (k + 2) % 3), p);
    return atan2(bly_vec_norm(bly_vec_cross(u, v)), bly_vec_dot(u, v));
}

/* How far the facets turn at the edge k of facet i, towards `g` beyond it. */
static double edge_turn(const BlyMesh *mesh, size_t i, int k, size_t g) {
    BlyVec3 a = mesh_corner(mesh, i, k), b = mesh_corner(mesh, i, (k + 1) % 3);
    BlyVec3 along = bly_vec_sub(b, a), n = mesh_area(mesh, i), m = mesh_area(mesh, g);
    double length = bly_vec_norm(along);
    if (!(length > 0.0))
        return 0.0;
    double sine = bly_vec_dot(bly_vec_cross(n, m), along) / length;
    return sine == 0.0 ? 0.0 : atan2(sine, bly_vec_dot(n, m));
}

static void add_edges(const BlyMesh *mesh, const uint32_t (*across)[3], size_t i,
                      BlyCurvature *sum) {
    for (int k = 0; k < 3; k++) {
        size_t g = across[i][k];
        if (g <= i)
            continue; /* each edge once */
        BlyVec3 a = mesh_corner(mesh, i, k), b = mesh_corner(mesh, i, (k + 1) % 3);
        double part = 0.5 * bly_vec_norm(bly_vec_sub(b, a)) * edge_turn(mesh, i, k, g);
        sum->mean += part;
        sum->mean_moment =
            bly_vec_add(sum->mean_moment, bly_vec_scale(bly_vec_add(a, b), 0.5 * part));
    }
}

/* Every point belongs to some facet. The total is 4 pi for each shell without a hole through it. */
BlyCurvature mesh_curvature(const BlyMesh *mesh, const uint32_t (*across)[3]) {
    BlyCurvature out = {0};
    double total = 0.0;
    for (size_t i = 0; i < mesh->facet_count; i++) {
        add_edges(mesh, across, i, &out);
        for (int k = 0; k < 3; k++) {
            double angle = corner_angle(mesh, i, k);
            BlyVec3 p = mesh_corner(mesh, i, k);
            total -= angle;
            out.total_moment = bly_vec_sub(out.total_moment, bly_vec_scale(p, angle));
        }
    }
    for (size_t p = 0; p < mesh->point_count; p++) {
        total += 2.0 * PI;
        out.total_moment = bly_vec_add(out.total_moment, bly_vec_scale(mesh->points[p], 2.0 * PI));
    }
    out.total = total;
    return out;
}

void mesh_blunt(const BlyBody *body, BlyBluntSums *sums) {
    const MeshBody *mesh = mesh_of(body);
    for (size_t i = 0; i < mesh->mesh.facet_count; i++)
        bly_blunt_add(sums, mesh->area[i].x, mesh->area[i].y, mesh->area[i].z);
}
