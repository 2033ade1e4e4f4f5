/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a lure does in one water: the full physics, balance and drag worked together. Every result
 * that a person sees comes from here. */
#ifndef BALLASTRY_REST_H
#define BALLASTRY_REST_H

#include "ballastry/balance.h"

BLY_API_BEGIN

typedef enum BlyState { BLY_FLOATS, BLY_SUSPENDS, BLY_SINKS } BlyState;

/* Things to say beside a result; words by bly_note_words. */
typedef enum BlyNote {
    BLY_NOTE_BODY_DRAG_RANGE = 1 << 0, /* outside the body's drag correlation */
    BLY_NOTE_WIRE_DRAG_RANGE = 1 << 1,
    BLY_NOTE_PLATE_DRAG_RANGE = 1 << 2,
    BLY_NOTE_NO_REST = 1 << 3,     /* indifferent: no attitude is preferred */
    BLY_NOTE_MANY_RESTS = 1 << 4,  /* more than one stable attitude */
    BLY_NOTE_UPSIDE_DOWN = 1 << 5, /* rests on its back */
    BLY_NOTE_ROLL_UNSTABLE = 1 << 6,
    BLY_NOTE_ROLL_NEUTRAL = 1 << 7,
    BLY_NOTE_FILM = 1 << 8,              /* surface tension can decide */
    BLY_NOTE_EXPANSION_UNKNOWN = 1 << 9, /* body's swelling with temperature not known */
    BLY_NOTE_EXPANSION_MEMORY = 1 << 10,
    BLY_NOTE_HOOKS_TOUCH = 1 << 11,
    BLY_NOTE_FAST_RISE = 1 << 12 /* a light body rising fast may zigzag slower */
} BlyNote;
const char *bly_note_words(BlyNote note); /* one sentence, never NULL */

typedef struct BlyOutcome {
    BlyWater water;
    BlyState state; /* by bly_state_of */
    BlySums sums;
    double roll_arm;   /* m */
    double nose_down;  /* rad, rest attitude under water: the first that a lure let go level turns
                        * to; NAN when there is none (speed and drag are then those of level) */
    double stiffness;  /* kg m/rad */
    size_t rest_count; /* stable attitudes found */
    double rests[BLY_RESTS_MAX];
    BlyVec3 drag_centre; /* m, body axes, at rest attitude */
    double drift;     /* m/s, positive down; for a floater the speed at which it rises from depth */
    double drag_area; /* m2, sum of Cd A at that speed, drag factor included; of a lure that stands
                       * still, at 1 micrometre a second */
    double body_drag_share; /* of drag_area */
    double reynolds;        /* on the equal-volume diameter */
    bool has_surface;       /* state is FLOATS and `surface` is filled */
    BlyFloat surface;
    unsigned notes; /* BlyNote bits */
} BlyOutcome;

/* Suspends up to this speed, m/s (trade: slower than 50 s a foot). */
#define BLY_SUSPEND_SPEED 0.006
BlyState bly_state_of(double drift);

/* A roll arm, or a roll height at the surface, up to this (m) holds a lure neither way: a tenth of
 * the least that a target asks for by default; ours. */
#define BLY_ROLL_HOLDS 5e-5

/* The whole answer for one lure in one water. Attitude and speed agree with each other: speed is
 * solved at every angle that is looked at. Formulas and ranges: docs/rest.md. The library never
 * prints; programs that use it call bly_begin (version.h) once, where they start. */
bool bly_rest(const BlyLure *lure, const BlyWater *water, BlyOutcome *out,
              BlyError *err) BLY_MUST_CHECK;

/* The answer without the surface (has_surface is false), for a lure that differs little from one
 * that rests at `guess` (rad): the stable attitude near there, and the whole circle only where none
 * is found within 20 degrees (then, or with a NAN, as bly_rest). rest_count counts what was looked
 * at. Some five times as fast as bly_rest. */
bool bly_rest_near(const BlyLure *lure, const BlyWater *water, double guess, BlyOutcome *out,
                   BlyError *err) BLY_MUST_CHECK;

/* The same without the surface: has_surface stays false, whatever the state. Much faster for a
 * lure that floats. */
bool bly_rest_under_water(const BlyLure *lure, const BlyWater *water, BlyOutcome *out,
                          BlyError *err) BLY_MUST_CHECK;

/* What the water does to a lure that lies nose-down (rad) and drifts at some speed, either way. */
typedef struct BlyHold {
    double area;    /* m2, sum of Cd A, drag factor included */
    BlyVec3 centre; /* m, body axes, where the drag acts */
    double turn;    /* m, couple of the cross flow over the net weight's amount; nose up positive */
} BlyHold;
/* One for each of `count` speeds (m/s, > 0). */
bool bly_rest_hold(const BlyLure *lure, const BlyWater *water, double nose_down,
                   const double *speeds, size_t count, BlyHold *out, BlyError *err) BLY_MUST_CHECK;

/* Speed at a given attitude for a given net weight (kg), and back: the net weight at which the
 * lure drifts at `speed` (m/s) at that attitude. fit turns speed bands into weight bands by it. */
bool bly_rest_speed(const BlyLure *lure, const BlyWater *water, double nose_down, double net_weight,
                    double *speed, BlyError *err) BLY_MUST_CHECK;
bool bly_rest_net_weight(const BlyLure *lure, const BlyWater *water, double nose_down, double speed,
                         double *net_weight, BlyError *err) BLY_MUST_CHECK;
/* Drag centre (m, body axes) at an attitude and net weight. */
bool bly_rest_drag_centre(const BlyLure *lure, const BlyWater *water, double nose_down,
                          double net_weight, BlyVec3 *out, BlyError *err) BLY_MUST_CHECK;

/* What the maker wants. Bands may be open (-INFINITY, INFINITY). */
typedef struct BlyTarget {
    BlyState state;
    double drift_low, drift_high; /* m/s */
    double shows_low, shows_high; /* share, FLOATS only */
    double nose_low, nose_high;   /* rad */
    double roll_arm_least;        /* m */
} BlyTarget;

/* How one outcome stands to a target: for each requirement how far it lies outside (0: inside),
 * in its own unit, and where in the band it lies (-1 low edge, 0 middle, 1 high edge; 0 if open).
 * A side of the drift band that is left open is closed by the state: SUSPENDS within
 * BLY_SUSPEND_SPEED, SINKS and FLOATS beyond it. FLOATS is judged by the attitude at the surface,
 * and what does not float shows nothing; where a roll arm is asked it must stay upright there, too
 * (roll height not below zero, of which roll_off then tells). No rest attitude is pi outside any
 * band that is asked. */
typedef struct BlyJudgement {
    bool met;
    double drift_off, shows_off, nose_off, roll_off;
    double drift_place, shows_place, nose_place;
} BlyJudgement;
/* The drift band (m/s) that is judged by: a side that the target leaves open is closed by its
 * state.
 */
void bly_target_drift(const BlyTarget *target, double *low, double *high);
BlyJudgement bly_judge(const BlyTarget *target, const BlyOutcome *outcome);

/* What `extra` kg (> 0) more of what is on each seat does: half the difference of the full physics
 * with that much more and less. It acts where that acts now (chains: at their hanging point),
 * displaces water as that does outside the hull, and adds no drag. An empty seat: at its eye or on
 * the body, of metal (8 g/cm3). `out` has room for seat_count. */
typedef struct BlyInfluence {
    int seat;
    double net_weight; /* kg */
    double nose_down;  /* rad */
    double drift;      /* m/s */
} BlyInfluence;
bool bly_rest_influence(const BlyLure *lure, const BlySeat *seats, size_t seat_count,
                        const BlyRig *rig, const BlyWater *water, double extra, BlyInfluence *out,
                        BlyError *err) BLY_MUST_CHECK;

/* What the leaders at the ties do: the lure as it is less the lure without them, `seat` the first
 * such tie. With no leader seat is -1 and the rest 0. */
bool bly_rest_leader(const BlyLure *lure, const BlyWater *water, BlyInfluence *out,
                     BlyError *err) BLY_MUST_CHECK;

BLY_API_END

#endif
