/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "moments/moments.h"

const MomentUnits moments_si = {1, 1, 1};
const MomentUnits moments_grams = {1e3, 1e6, 1e3};

void moments_add(Moments *to, const BlyItem *items, size_t count, MomentUnits units) {
    for (size_t i = 0; i < count; i++) {
        const BlyItem *item = &items[i];
        BlyVec3 middle = bly_vec_scale(bly_vec_add(item->from, item->to), 0.5);
        double m = item->mass * units.mass, v = item->volume * units.volume;
        to->m += m;
        to->v += v;
        to->mx += m * item->at.x * units.length;
        to->my += m * item->at.y * units.length;
        to->mz += m * item->at.z * units.length;
        to->vx += v * middle.x * units.length;
        to->vy += v * middle.y * units.length;
        to->vz += v * middle.z * units.length;
    }
}
