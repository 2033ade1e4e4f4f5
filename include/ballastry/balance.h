/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Masses, centres, rest attitude under water and at the surface, stability. */
#ifndef BALLASTRY_BALANCE_H
#define BALLASTRY_BALANCE_H

#include "ballastry/lure.h"
#include "ballastry/water.h"

BLY_API_BEGIN

/* Sums over a lure wholly under water. */
typedef struct BlySums {
    double mass;       /* kg */
    BlyVec3 gravity;   /* m, centre of gravity (what hangs acts at its hanging point) */
    double volume;     /* m3 displaced */
    BlyVec3 buoyancy;  /* m, centre of buoyancy */
    double net_weight; /* kg, mass less displaced water; positive sinks */
    double wx, wz;     /* kg m: sums of weight in water times x, times z, about the origin */
} BlySums;
void bly_balance_sums(const BlyLure *lure, const BlyWater *water, BlySums *out);

/* Roll arm, m: how far gravity lies below buoyancy, (sum w z - N z_drag) / -M. With N not zero it
 * depends on the origin unless the drag centre's height is its reference. At nose-down angle t
 * heel has the stiffness M arm cos t: positive is stable in roll while |t| < 90 degrees, beyond
 * that (back down) the sign turns. */
double bly_balance_roll_arm(const BlySums *sums, double drag_z);

/* What the drift adds to the moment at angle t (rad): where the drag acts, in world axes turned
 * with t about the origin (X = x cos t - z sin t), and the couple of the cross flow. */
typedef struct BlyDrift {
    double drag_x; /* m */
    double couple; /* kg m (moment over g), positive turns the nose up */
} BlyDrift;
typedef bool (*BlyDriftAt)(double t, void *user, BlyDrift *out);

typedef struct BlyRestPoint {
    double angle;     /* rad nose-down, -pi to pi */
    double stiffness; /* kg m/rad, dF/dt there, > 0 */
} BlyRestPoint;
enum { BLY_RESTS_MAX = 8 };

/* All stable rest attitudes under water over the whole circle: where
 * F(t) = sum w X(t) - N drag_x(t) + couple(t) is zero and rises. Sorted by |angle|, of two alike
 * the nose-down one first; beyond BLY_RESTS_MAX those farthest from level are left out. `at` may
 * be NULL for "no drift terms" (only sound when N is 0): then the answer is the closed form
 * tan t = wx / wz. None found (F zero everywhere, within 1e-8 of mass times size): *count 0. */
bool bly_balance_rests(const BlySums *sums, BlyDriftAt at, void *user,
                       BlyRestPoint out[BLY_RESTS_MAX], size_t *count,
                       BlyError *err) BLY_MUST_CHECK;

/* A lure at the surface, as it rests.
 *
 * Of the trims at heel 0 that are stable in pitch (within 120 degrees of level) the one of least
 * potential energy is its upright position; of two alike, the one nearest to level. If that is
 * stable in roll too, or neutral, it is the answer. If not, it rolls over, and the answer is the
 * rest of least potential energy over trim and heel. */
typedef struct BlyFloat {
    double nose_down;    /* rad, -120 to 120 degrees */
    double heel;         /* rad, 0 to pi; 0 upright, near pi: floats belly up. Only a lure that
                          * is not alike on both sides may have a negative one */
    double draft;        /* m, deepest point of hull below the water */
    double plane_height; /* m: up . p = plane_height is the water surface, up by bly_vec_up */
    double shows;        /* share of body and coat above the water, 0 to 1 */
    double shows_whole;  /* share of the whole lure's volume above the water */
    double roll_height; /* m, transverse metacentric height GM; 0 within rounding is neutral. Of the
                         * upright position, so negative when it rolls over */
    double pitch_height;   /* m, longitudinal metacentric height GM, of the same position */
    bool upright_unstable; /* it rolled over to `heel` */
    bool roll_neutral;     /* a round body of one material: stays as it is put */
    bool may_turn_over;    /* upright is stable, but back down it rests with less energy: a wave
                            * or a cast can turn it over */
    double film;           /* kg that surface tension could carry: edge length times tension / g */
    BlyVec3 gravity, buoyancy; /* m, as it lies: hanging parts where they hang */
} BlyFloat;

/* Fails with BLY_E_RANGE when the lure sinks (weight is not below full buoyancy) or weighs
 * nothing. Formulas and sources: docs/balance.md. */
bool bly_balance_float(const BlyLure *lure, const BlyWater *water, BlyFloat *out,
                       BlyError *err) BLY_MUST_CHECK;

/* The same, for a lure that differs little from one that lies at `guess` (rad nose-down), quicker:
 * the trim within 0.1 rad of there if there is just one and it is stable in roll (whether some
 * other has less energy is not asked, and may_turn_over stays false), else as bly_balance_float. */
bool bly_balance_float_near(const BlyLure *lure, const BlyWater *water, double guess, BlyFloat *out,
                            BlyError *err) BLY_MUST_CHECK;

/* The same for a lure that differs little from one that lies as `rest` says, leaning or rolled over
 * too; of one that leans roll_height and pitch_height are those of `rest`. */
bool bly_balance_float_about(const BlyLure *lure, const BlyWater *water, const BlyFloat *rest,
                             BlyFloat *out, BlyError *err) BLY_MUST_CHECK;

/* Surface tension of fresh water, N/m; NAN below -25 C and above the critical point. IAPWS
 * R1-76(2014), equation 1. */
double bly_surface_tension(double temperature);

BLY_API_END

#endif
