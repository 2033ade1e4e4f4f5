/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sums over a lure wholly under water. */
#include "ballastry/balance.h"
#include "lure/blank.h"
#include "moments/moments.h"

static BlyVec3 over(BlyVec3 sum, double total) {
    return total != 0 ? bly_vec_scale(sum, 1 / total) : bly_vec(0, 0, 0);
}

void bly_balance_sums(const BlyLure *lure, const BlyWater *water, BlySums *out) {
    const BlyBlank *blank = lure->blank;
    double hull = blank->hull_volume * bly_blank_swelling(blank, water->temperature);
    Moments all = moments_of_volume(hull, blank->hull_centroid);
    moments_add(&all, lure->items, lure->count, moments_si);
    WeightInWater weight = moments_weight(&all, water->density);
    out->mass = all.m;
    out->volume = all.v;
    out->gravity = over(bly_vec(all.mx, all.my, all.mz), all.m);
    out->buoyancy = over(bly_vec(all.vx, all.vy, all.vz), all.v);
    out->net_weight = weight.net;
    out->wx = weight.x;
    out->wz = weight.z;
}

double bly_balance_roll_arm(const BlySums *sums, double drag_z) {
    return (sums->net_weight * drag_z - sums->wz) / sums->mass;
}
