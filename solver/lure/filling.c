/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a slot, a shank or a piece really takes out of a body with hollows or infill: the wall, the
 * infill's share, or air. */
#include "lure/items.h"

double filling_at(const BlyBody *body, BlyVec3 point) {
    if (bly_body_is_solid(body))
        return 1.0;
    BlyFilled at = bly_body_filled(body, point);
    double mean = bly_body_material(body)->volume / bly_body_solid(body)->volume;
    /* A cell that lies outside altogether: the point is in the skin, by a hair. */
    return (at.within > 0.0 ? at.filled / at.within : 1.0) / mean;
}

void filling_add(BlyFilling *filling, const BlyBody *body, BlyVec3 point, double weight) {
    double filled = weight * filling_at(body, point);
    filling->volume += weight;
    filling->moment = bly_vec_add(filling->moment, bly_vec_scale(point, weight));
    filling->filled += filled;
    filling->filled_moment = bly_vec_add(filling->filled_moment, bly_vec_scale(point, filled));
}

double filling_share(const BlyFilling *filling, BlyVec3 *off) {
    *off = bly_vec(0.0, 0.0, 0.0);
    if (!(filling->volume > 0.0))
        return 1.0;
    if (filling->filled > 0.0)
        *off = bly_vec_sub(bly_vec_scale(filling->filled_moment, 1.0 / filling->filled),
                           bly_vec_scale(filling->moment, 1.0 / filling->volume));
    return filling->filled / filling->volume;
}

enum { ALONG = 96, AROUND = 4 };

BlyFilling filling_of_rod(const BlyBody *body, BlyVec3 from, BlyVec3 to, double radius) {
    BlyFilling sum = {0};
    BlyVec3 axis = bly_vec_sub(to, from), side = bly_vec(0.0, 1.0, 0.0);
    BlyVec3 up = bly_vec_cross(axis, side);
    up = bly_vec_scale(up, 1.0 / fmax(bly_vec_norm(up), 1e-12));
    double r = radius * sqrt(0.5); /* half the section lies within, half beyond */
    for (int i = 0; i < ALONG && !bly_body_is_solid(body); i++) {
        BlyVec3 at = bly_vec_add(from, bly_vec_scale(axis, (i + 0.5) / ALONG));
        for (int k = 0; k < AROUND; k++) {
            BlyVec3 off = bly_vec_scale(k % 2 == 0 ? side : up, k < 2 ? r : -r);
            filling_add(&sum, body, bly_vec_add(at, off), 1.0);
        }
    }
    return sum;
}
