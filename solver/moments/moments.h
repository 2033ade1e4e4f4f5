/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The central sums of the tool, and the moment that turns a lure.
 *
 * Everything that balance, spread and fit know of a lure beside its hull is what it weighs, what it
 * displaces, and the first moments of both about the body's origin. They are additive: a lure's are
 * those of its parts, a change's the difference. F(t), whose zeros are the attitudes of rest, is
 * linear in them. docs/balance.md derives it. */
#ifndef BALLASTRY_MOMENTS_MOMENTS_H
#define BALLASTRY_MOMENTS_MOMENTS_H

#include "ballastry/lure.h"

/* In SI: kg, m3, kg m, m4, body axes. fit has them in g, cm3, g mm, cm3 mm. Zero is nothing. */
typedef struct Moments {
    double m;          /* mass */
    double v;          /* volume displaced */
    double mx, my, mz; /* first moments of mass; what hangs acts at its hanging point */
    double vx, vy, vz; /* first moments of volume */
} Moments;

static inline Moments moments_sum(Moments a, Moments b) {
    return (Moments){.m = a.m + b.m,
                     .v = a.v + b.v,
                     .mx = a.mx + b.mx,
                     .my = a.my + b.my,
                     .mz = a.mz + b.mz,
                     .vx = a.vx + b.vx,
                     .vy = a.vy + b.vy,
                     .vz = a.vz + b.vz};
}

static inline Moments moments_scaled(Moments a, double k) {
    return (Moments){.m = a.m * k,
                     .v = a.v * k,
                     .mx = a.mx * k,
                     .my = a.my * k,
                     .mz = a.mz * k,
                     .vx = a.vx * k,
                     .vy = a.vy * k,
                     .vz = a.vz * k};
}

/* A volume that weighs nothing: a hull in the water. */
static inline Moments moments_of_volume(double volume, BlyVec3 middle) {
    return (Moments){
        .v = volume, .vx = middle.x * volume, .vy = middle.y * volume, .vz = middle.z * volume};
}

/* So many units a kg, a m3 and a m; {k, k, 1} counts k times what is there. */
typedef struct MomentUnits {
    double mass, volume, length;
} MomentUnits;
extern const MomentUnits moments_si;    /* 1, 1, 1 */
extern const MomentUnits moments_grams; /* g, cm3, mm */

/* Adds items: each one's mass where it acts, its volume in the middle of its line. */
void moments_add(Moments *to, const BlyItem *items, size_t count, MomentUnits units);

/* What is left of them in water. */
typedef struct WeightInWater {
    double net;  /* mass less displaced water, positive sinks */
    double x, z; /* its first moments */
} WeightInWater;

static inline WeightInWater moments_weight(const Moments *all, double density) {
    return (WeightInWater){all->m - density * all->v, all->mx - density * all->vx,
                           all->mz - density * all->vz};
}

/* F: the moment over g that turns a lure nose-up, which lies nose-down by an angle with this
 * cosine and sine: of its weight in water about the origin, of the force that carries that weight
 * and acts at world X `held` (m; drag, or the waterplane), and of a couple. It is the derivative by
 * the angle of the potential energy: the lure rests where F is zero and rises. */
static inline double moments_turning(WeightInWater weight, double cosine, double sine, double held,
                                     double couple) {
    return weight.x * cosine - weight.z * sine - weight.net * held + couple;
}

/* dF/dt of the weight alone, for a force and a couple that stay as they are. */
static inline double moments_stiffness(WeightInWater weight, double cosine, double sine) {
    return -weight.x * sine - weight.z * cosine;
}

#endif
