/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Points and directions in body axes: x from the nose aft, y to starboard, z up. */
#ifndef BALLASTRY_VEC_H
#define BALLASTRY_VEC_H

#include <math.h>

typedef struct BlyVec3 {
    double x, y, z;
} BlyVec3;

static inline BlyVec3 bly_vec(double x, double y, double z) {
    BlyVec3 v = {x, y, z}; /* no compound literal: C++ reads this too */
    return v;
}
static inline BlyVec3 bly_vec_add(BlyVec3 a, BlyVec3 b) {
    return bly_vec(a.x + b.x, a.y + b.y, a.z + b.z);
}
static inline BlyVec3 bly_vec_sub(BlyVec3 a, BlyVec3 b) {
    return bly_vec(a.x - b.x, a.y - b.y, a.z - b.z);
}
static inline BlyVec3 bly_vec_scale(BlyVec3 a, double k) {
    return bly_vec(a.x * k, a.y * k, a.z * k);
}
static inline double bly_vec_dot(BlyVec3 a, BlyVec3 b) {
    return a.x * b.x + a.y * b.y + a.z * b.z;
}
static inline BlyVec3 bly_vec_cross(BlyVec3 a, BlyVec3 b) {
    return bly_vec(a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x);
}
static inline double bly_vec_norm(BlyVec3 a) {
    return sqrt(bly_vec_dot(a, a));
}

/* The upward vertical of the world, seen in body axes, for a lure that is nose-down by t (rad)
 * and then heeled by h (rad, starboard side down positive). At t the point (x, z) lies at height
 * Z = x sin t + z cos t, as in docs/physics.md. */
static inline BlyVec3 bly_vec_up(double t, double h) {
    return bly_vec(sin(t), -cos(t) * sin(h), cos(t) * cos(h));
}

#endif
