/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How much a slot takes, worked out apart from the saw: areas of planes along it. */
#include "ballastry/facets.h"

static double as_wide_as_it_is(double s, const void *user) {
    (void)s;
    (void)user;
    return INFINITY;
}

static BlyVec3 across_of(const BlySlot *slot) {
    return bly_vec(-slot->along.z, 0.0, slot->along.x);
}

double bly_slot_volume(const BlyBody *body, const BlySlot *slot) {
    BlyBox box = bly_body_box(body);
    double reach = bly_vec_norm(bly_vec_sub(box.high, box.low)), area[3];
    for (int k = 0; k < 3; k++) {
        BlyVec3 at = bly_vec_add(slot->mouth,
                                 bly_vec_scale(across_of(slot), 0.5 * (k - 1) * slot->thickness));
        area[k] =
            bly_body_split_plate(body, at, slot->along, -slot->depth, reach, as_wide_as_it_is, NULL)
                .inner.area;
    }
    return slot->thickness * (area[0] + 4.0 * area[1] + area[2]) / 6.0;
}

/* A point of a plane along the slot: how far it lies beyond the bottom, and to starboard. */
typedef struct Place {
    double beyond, y;
} Place;

/* The integral of max(beyond, 0) dy along a straight edge. */
static double under_edge(Place a, Place b) {
    double low = fmin(a.beyond, b.beyond), high = fmax(a.beyond, b.beyond);
    double mean = 0.5 * (low + high);
    if (high <= 0.0)
        return 0.0;
    if (low < 0.0)
        mean = 0.5 * high * high / (high - low);
    return mean * (b.y - a.y);
}

/* Green's theorem over the edges that the facets leave in the plane, cut off at the bottom. */
static double plane_area(const BlyMesh *mesh, const BlySlot *slot, double off) {
    BlyVec3 across = across_of(slot);
    double sum = 0.0;
    for (size_t f = 0; f < mesh->facet_count; f++) {
        Place end[2] = {{0.0, 0.0}, {0.0, 0.0}};
        bool crosses = false;
        for (int k = 0; k < 3; k++) {
            BlyVec3 a = mesh->points[mesh->facets[f][k]];
            BlyVec3 b = mesh->points[mesh->facets[f][(k + 1) % 3]];
            double ha = bly_vec_dot(across, bly_vec_sub(a, slot->mouth)) - off;
            double hb = bly_vec_dot(across, bly_vec_sub(b, slot->mouth)) - off;
            if ((ha > 0.0) == (hb > 0.0))
                continue;
            BlyVec3 p = bly_vec_add(a, bly_vec_scale(bly_vec_sub(b, a), ha / (ha - hb)));
            double s = bly_vec_dot(slot->along, bly_vec_sub(p, slot->mouth));
            end[ha > 0.0] = (Place){s + slot->depth, p.y};
            crosses = true;
        }
        if (crosses)
            sum += under_edge(end[0], end[1]);
    }
    return fabs(sum);
}

double bly_mesh_slot_volume(const BlyMesh *mesh, const BlySlot *slot) {
    double sum = 0.0;
    for (int i = 0; i < BLY_SLOT_PLANES; i++) {
        double off = ((i + 0.5) / BLY_SLOT_PLANES - 0.5) * slot->thickness;
        sum += plane_area(mesh, slot, off);
    }
    return sum * slot->thickness / BLY_SLOT_PLANES;
}
