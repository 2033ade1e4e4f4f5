/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sums over a lure wholly under water. */
#include "ballastry/balance.h"

static BlyVec3 over(BlyVec3 sum, double total) {
    return total != 0 ? bly_vec_scale(sum, 1 / total) : bly_vec(0, 0, 0);
}

void bly_balance_sums(const BlyLure *lure, const BlyWater *water, BlySums *out) {
    const BlyBlank *blank = lure->blank;
    double volume = blank->hull_volume * bly_blank_swelling(blank, water->temperature);
    double mass = 0;
    BlyVec3 by_mass = bly_vec(0, 0, 0);
    BlyVec3 by_volume = bly_vec_scale(blank->hull_centroid, volume);
    for (size_t i = 0; i < lure->count; i++) {
        const BlyItem *item = &lure->items[i];
        BlyVec3 middle = bly_vec_scale(bly_vec_add(item->from, item->to), 0.5);
        mass += item->mass;
        volume += item->volume;
        by_mass = bly_vec_add(by_mass, bly_vec_scale(item->at, item->mass));
        by_volume = bly_vec_add(by_volume, bly_vec_scale(middle, item->volume));
    }
    out->mass = mass;
    out->volume = volume;
    out->gravity = over(by_mass, mass);
    out->buoyancy = over(by_volume, volume);
    out->net_weight = mass - water->density * volume;
    out->wx = by_mass.x - water->density * by_volume.x;
    out->wz = by_mass.z - water->density * by_volume.z;
}

double bly_balance_roll_arm(const BlySums *sums, double drag_z) {
    return (sums->net_weight * drag_z - sums->wz) / sums->mass;
}
