/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A lure held at some attitude at the surface: what weighs, what lifts, how stiffly it answers,
 * and how deep it sits. The quantity behind all of it is the potential energy
 *   E(up, height) = sum m (Z - height) + rho * integral over the wet volume of (height - Z) dV,
 * over g, with Z = up . p. Its derivative by height is rho V - M, by up the vector `pull`.
 * docs/balance.md derives the rest. */
#ifndef BALLASTRY_BALANCE_AFLOAT_H
#define BALLASTRY_BALANCE_AFLOAT_H

#include "ballastry/balance.h"
#include "lure/blank.h"

/* What does not depend on the attitude. Borrows the lure. */
typedef struct BlyAfloat {
    const BlyLure *lure;
    const BlyBody *hull;
    double density;    /* kg/m3, of the water */
    double hull_scale; /* true volume of the hull over what its cut gives: swelling, share */
    double mass;       /* kg */
    double volume;     /* m3, wholly under water, parts too */
    BlyVec3 by_mass;   /* kg m: sum of mass times place, what hangs at its hanging point */
    double drop;       /* kg m: sum of mass times how far it hangs below that point */
    BlyVec3 middle;    /* m, of the hull's box */
    double reach;      /* m, nothing lies farther from the middle */
    double size;       /* m, longest side of the hull's box: the yardstick for rounding */
} BlyAfloat;

/* A lure with the surface at up . p = height. */
typedef struct BlyPose {
    BlyVec3 up;
    double height;                 /* m */
    BlyCut cut;                    /* of the hull, not scaled */
    double volume;                 /* m3, wet, hull and parts */
    BlyVec3 pull;                  /* kg m: sum m p - rho sum v p, what hangs at its point */
    double energy;                 /* kg m */
    double lift_work;              /* kg m: the water's part of the energy */
    BlyVec3 lengthwise, crosswise; /* unit vectors in the surface, as in BlyCut */
    double area;                   /* m2, dV/dheight, parts too */
    double first_l, first_c;       /* m3, first moments of that about the origin */
    double along, across, mixed;   /* m4, second moments about its own centroid */
    double moved; /* how far the plane has been moved since it was cut: as a share of the wet
                   * volume or of what is left dry, or in rad */
} BlyPose;

/* Fails with BLY_E_RANGE when the lure sinks, or weighs nothing. */
bool afloat_start(const BlyLure *lure, const BlyWater *water, BlyAfloat *out, BlyError *err);

/* The same with a stand-in for the hull, for looking around; false when the hull is quick itself.
 * `out` may be `afloat`. */
bool afloat_rough(const BlyAfloat *afloat, BlyAfloat *out);

void afloat_pose(const BlyAfloat *afloat, BlyVec3 up, double height, BlyPose *out);

/* Sinks the lure at this attitude until weight equals buoyancy. `guess` is a height to begin
 * with, or NAN. After the last cut the rest of the way is gone by the derivatives: the weight
 * balances to about tolerance^2, both as a share of the wet volume or of what is left dry, if
 * that is less. */
bool afloat_settle(const BlyAfloat *afloat, BlyVec3 up, double guess, double tolerance,
                   BlyPose *out);

/* Where the surface would be at another attitude: it turns about its centroid. */
double afloat_follow(const BlyPose *pose, BlyVec3 up);

/* kg m/rad: second derivatives of the settled energy by pitch and by roll. Over the mass they are
 * the metacentric heights. */
double afloat_pitch_stiffness(const BlyAfloat *afloat, const BlyPose *pose);
double afloat_roll_stiffness(const BlyAfloat *afloat, const BlyPose *pose);

/* Centres as the lure lies, m: what hangs where it hangs. */
BlyVec3 afloat_gravity(const BlyAfloat *afloat, const BlyPose *pose);
BlyVec3 afloat_buoyancy(const BlyAfloat *afloat, const BlyPose *pose);

/* The hull's deepest point below the surface, m. */
double afloat_draft(const BlyAfloat *afloat, const BlyPose *pose);

#endif
