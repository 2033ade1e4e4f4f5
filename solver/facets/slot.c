/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A slot sawn into a mesh: the facets are parted along the slot's three planes, those within it go,
 * and plane walls close what they leave. */
#include "facets/slot.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>
#include <string.h>

static void saw_release(Saw *saw) {
    bly_mesh_release(&saw->mesh);
    free(saw->made);
    saw->made = NULL;
}

/* ---- planes ---- */

/* A plane that runs through a corner would leave it open on which side that lies: it moves by a
 * little, further each time, until it keeps clear of all. */
static bool keep_clear(const BlyMesh *mesh, Cutting *plane, BlyError *err) {
    static const double clear = 5e-8, most = 2e-6; /* m */
    double height = plane->height;
    for (int i = 0; i < 40; i++) {
        double shift = most * (i + 1) / 40 * (i % 2 == 0 ? 1.0 : -1.0);
        double nearest = INFINITY;
        for (size_t p = 0; p < mesh->point_count; p++)
            nearest = GSL_MIN_DBL(nearest, fabs(saw_beyond(plane, mesh->points[p])));
        if (nearest > clear)
            return true;
        plane->height = height + shift;
    }
    return bly_fail(err, BLY_E_INTERNAL, NULL,
                    "no plane of the slot keeps clear of the mesh's corners");
}

static bool set_planes(Saw *saw, const BlySlot *slot, BlyError *err) {
    BlyVec3 across = bly_vec(-slot->along.z, 0.0, slot->along.x);
    double at = bly_vec_dot(across, slot->mouth), half = 0.5 * slot->thickness;
    saw->plane[FRONT] = (Cutting){across, at + half};
    saw->plane[BACK] = (Cutting){bly_vec_scale(across, -1.0), half - at};
    saw->plane[BOTTOM] = (Cutting){bly_vec_scale(slot->along, -1.0),
                                   slot->depth - bly_vec_dot(slot->along, slot->mouth)};
    for (int k = 0; k < PLANES; k++) {
        if (!keep_clear(&saw->mesh, &saw->plane[k], err))
            return false;
    }
    return true;
}

/* ---- taking out what lies within, and closing ---- */

static bool within(const Saw *saw, const uint32_t *corner) {
    BlyVec3 sum = bly_vec_add(bly_vec_add(saw->mesh.points[corner[0]], saw->mesh.points[corner[1]]),
                              saw->mesh.points[corner[2]]);
    BlyVec3 middle = bly_vec_scale(sum, 1.0 / 3.0);
    for (int k = 0; k < PLANES; k++) {
        if (saw_beyond(&saw->plane[k], middle) > 0.0)
            return false;
    }
    return true;
}

/* Rims of the walls under way. */
typedef struct Rims {
    WallEdge *edge[PLANES]; /* owned */
    size_t count[PLANES];
} Rims;

/* The facets within go to the end of the list; *kept stay. Their edges that lie on a plane of the
 * slot on both ends are rims: those that run inside the slot have been made by no plane. */
static void sort_out(Saw *saw, size_t *kept) {
    BlyMesh *mesh = &saw->mesh;
    *kept = mesh->facet_count;
    for (size_t f = 0; f < *kept;) {
        if (!within(saw, mesh->facets[f])) {
            f++;
            continue;
        }
        uint32_t last[3];
        (*kept)--;
        memcpy(last, mesh->facets[*kept], sizeof last);
        memcpy(mesh->facets[*kept], mesh->facets[f], sizeof last);
        memcpy(mesh->facets[f], last, sizeof last);
    }
}

static void add_rim(Rims *rims, int which, uint32_t from, uint32_t to) {
    rims->edge[which][rims->count[which]++] = (WallEdge){from, to};
}

static void find_rims(const Saw *saw, size_t kept, Rims *rims) {
    for (size_t f = kept; f < saw->mesh.facet_count; f++) {
        const uint32_t *corner = saw->mesh.facets[f];
        for (int k = 0; k < 3; k++) {
            uint32_t a = corner[k], b = corner[(k + 1) % 3];
            for (int plane = 0; plane < PLANES; plane++) {
                if (saw->made[a] & saw->made[b] & (1 << plane))
                    add_rim(rims, plane, a, b);
            }
        }
    }
}

/* ---- the corners at the bottom, where a wall and the bottom meet ---- */

static bool begins(const Rims *rims, int which, uint32_t point) {
    for (size_t i = 0; i < rims->count[which]; i++) {
        if (rims->edge[which][i].from == point)
            return true;
    }
    return false;
}

/* Points of one wall that lie on the bottom too, from port to starboard. */
static size_t find_joints(const Saw *saw, const Rims *rims, int wall, uint32_t *joint) {
    size_t count = 0;
    for (size_t i = 0; i < rims->count[wall]; i++) {
        const WallEdge *edge = &rims->edge[wall][i];
        uint32_t at = (saw->made[edge->from] & (1 << BOTTOM)) ? edge->from : edge->to;
        if (!(saw->made[at] & (1 << BOTTOM)))
            continue;
        size_t k = count++;
        for (; k > 0 && saw->mesh.points[joint[k - 1]].y > saw->mesh.points[at].y; k--)
            joint[k] = joint[k - 1];
        joint[k] = at;
    }
    return count;
}

/* Between each two of them the material begins and ends: there the corner runs. */
static bool add_corners(const Saw *saw, Rims *rims, int wall, BlyError *err) {
    uint32_t *joint = calloc(rims->count[wall] + 1, sizeof *joint);
    if (joint == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the slot");
    size_t count = find_joints(saw, rims, wall, joint);
    bool good = count >= 2 && count % 2 == 0;
    if (!good)
        (void)bly_fail(err, BLY_E_CONFLICT, NULL, "the slot cuts the body in two");
    for (size_t i = 0; good && i < count; i += 2) {
        bool onward = !begins(rims, wall, joint[i]);
        uint32_t from = joint[onward ? i : i + 1], to = joint[onward ? i + 1 : i];
        add_rim(rims, wall, from, to);
        add_rim(rims, BOTTOM, to, from);
    }
    free(joint);
    return good;
}

static bool close_up(Saw *saw, size_t kept, Rims *rims, BlyError *err) {
    size_t rim = 0;
    for (int k = 0; k < PLANES; k++)
        rim += rims->count[k];
    if (!add_corners(saw, rims, FRONT, err) || !add_corners(saw, rims, BACK, err) ||
        !saw_need(saw, 0, kept + 6 * rim + 12, err))
        return false;
    saw->mesh.facet_count = kept;
    for (int k = 0; k < PLANES; k++) {
        BlyVec3 normal = bly_vec_scale(saw->plane[k].normal, -1.0);
        if (!wall_fill(&saw->mesh, rims->edge[k], rims->count[k], normal, err))
            return false;
    }
    return true;
}

static bool take_out(Saw *saw, BlyError *err) {
    size_t kept;
    Rims rims = {0};
    sort_out(saw, &kept);
    size_t removed = saw->mesh.facet_count - kept;
    if (removed == 0)
        return bly_fail(err, BLY_E_CONFLICT, NULL, "the slot misses the body");
    if (kept == 0)
        return bly_fail(err, BLY_E_CONFLICT, NULL, "the slot takes the whole body");
    bool good = true;
    for (int k = 0; k < PLANES; k++) {
        rims.edge[k] = calloc(6 * removed + 2, sizeof *rims.edge[k]);
        good = good && rims.edge[k] != NULL;
    }
    if (good) {
        find_rims(saw, kept, &rims);
        good = close_up(saw, kept, &rims, err);
    } else {
        (void)bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the slot");
    }
    for (int k = 0; k < PLANES; k++)
        free(rims.edge[k]);
    return good;
}

/* ---- all of it ---- */

/* Leaves out points that no facet has any more. */
static bool drop_points(Saw *saw, BlyError *err) {
    BlyMesh *mesh = &saw->mesh;
    uint32_t *number = calloc(mesh->point_count + 1, sizeof *number);
    if (number == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the slot");
    for (size_t f = 0; f < mesh->facet_count; f++) {
        for (int k = 0; k < 3; k++)
            number[mesh->facets[f][k]] = 1;
    }
    size_t kept = 0;
    for (size_t p = 0; p < mesh->point_count; p++) {
        if (number[p] == 0)
            continue;
        mesh->points[kept] = mesh->points[p];
        number[p] = (uint32_t)kept++;
    }
    for (size_t f = 0; f < mesh->facet_count; f++) {
        for (int k = 0; k < 3; k++)
            mesh->facets[f][k] = number[mesh->facets[f][k]];
    }
    mesh->point_count = kept;
    free(number);
    return true;
}

static bool check_closed(const BlyMesh *mesh, BlyError *err) {
    BlyMeshCheck check;
    if (!bly_mesh_pair(mesh, NULL, &check, err))
        return false;
    if (check.first == BLY_MESH_CLOSED)
        return true;
    return bly_fail(err, BLY_E_INTERNAL, NULL,
                    "the body with its slot is not closed: %zu open, %zu turned, %zu crowded edges",
                    check.open, check.turned, check.crowded);
}

static bool begin(Saw *saw, const BlyMesh *mesh, BlyError *err) {
    if (!saw_need(saw, mesh->point_count, mesh->facet_count, err))
        return false;
    memcpy(saw->mesh.points, mesh->points, mesh->point_count * sizeof *mesh->points);
    memcpy(saw->mesh.facets, mesh->facets, mesh->facet_count * sizeof *mesh->facets);
    memset(saw->made, 0, mesh->point_count);
    saw->mesh.point_count = mesh->point_count;
    saw->mesh.facet_count = mesh->facet_count;
    return true;
}

bool bly_mesh_slot(const BlyMesh *mesh, const BlySlot *slot, BlyMesh *out, BlyError *err) {
    Saw saw = {0};
    bool good = begin(&saw, mesh, err) && set_planes(&saw, slot, err);
    for (int k = 0; good && k < PLANES; k++)
        good = saw_part(&saw, k, err);
    good = good && take_out(&saw, err) && drop_points(&saw, err) && check_closed(&saw.mesh, err);
    *out = good ? saw.mesh : (BlyMesh){0};
    if (good)
        saw.mesh = (BlyMesh){0};
    saw_release(&saw);
    return good;
}
