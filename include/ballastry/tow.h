/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a lure does that is drawn through still water on a line: how it lies, how hard it pulls, how
 * deep it runs. An estimate from published forces on plates, wires and slender bodies added up;
 * nothing here was checked against a lure on a line, and what is shown of it says so. Quasi-steady:
 * no wobble, no surface, no word on whether the run is steady. Formulas, ranges, sources:
 * docs/tow.md.
 *
 * SI, body axes; the lure is drawn towards -X. Nose-down angles are positive. */
#ifndef BALLASTRY_TOW_H
#define BALLASTRY_TOW_H

#include "ballastry/balance.h"

BLY_API_BEGIN

/* ---- what the model does not know ------------------------------------------------------------ */

typedef enum BlyTowFactor {
    BLY_TOW_PEAK,      /* share of a free plate's peak before its stall that a lip has */
    BLY_TOW_LIP,       /* on the lip's whole force */
    BLY_TOW_CENTRE,    /* added to the lip's centre of pressure, chords from its leading edge */
    BLY_TOW_POTENTIAL, /* on the body's force in ideal flow */
    BLY_TOW_CROSS,     /* on its cross flow */
    BLY_TOW_AXIAL,     /* on its friction */
    BLY_TOW_WIRE,      /* on hooks, rings, eyes */
    BLY_TOW_FACTORS
} BlyTowFactor;

typedef struct BlyTowModel {
    double by[BLY_TOW_FACTORS];
} BlyTowModel;

BlyTowModel bly_tow_nominal(void);
/* Within which bounds a factor lies, any value as likely as another. */
void bly_tow_bounds(BlyTowFactor factor, double *low, double *high);
/* "share of a plate's peak that the lip has". Never NULL. */
const char *bly_tow_factor_words(BlyTowFactor factor);

/* ---- forces ---------------------------------------------------------------------------------- */

/* Where the line pulls: the middle of the tie eye's loop, or the body's surface where the tie has
 * no eye; body axes. The first tie counts. BLY_E_MISSING when there is none. */
bool bly_tow_tie(const BlyLure *lure, const BlySeat *seats, size_t seat_count, const BlyRig *rig,
                 BlyVec3 *out, BlyError *err) BLY_MUST_CHECK;

/* A lure as the water meets it, made once. Owned by the caller, freed with bly_tow_free; borrows
 * nothing once made, never changes, may be shared by threads. */
typedef struct BlyTow BlyTow;
/* BLY_E_RANGE for a tie that is no place, BLY_E_MEMORY. */
bool bly_tow_make(const BlyLure *lure, BlyVec3 tie, const BlyWater *water, BlyTow **out,
                  BlyError *err) BLY_MUST_CHECK;
void bly_tow_free(BlyTow *tow);
/* kg, weight in water: positive sinks. */
double bly_tow_net_weight(const BlyTow *tow);

typedef enum BlyTowSource {
    BLY_TOW_BY_BODY,
    BLY_TOW_BY_LIP,
    BLY_TOW_BY_WIRE,
    BLY_TOW_SOURCES
} BlyTowSource;

typedef struct BlyTowForce {
    double drag[BLY_TOW_SOURCES]; /* N, along the flow */
    double up[BLY_TOW_SOURCES];   /* N, of the water's flow alone */
    double couple;                /* N m about the tie, nose-down positive, weight and lift in it */
} BlyTowForce;
/* At nose_down (rad) and speed (m/s, > 0). */
BlyTowForce bly_tow_force(const BlyTow *tow, const BlyTowModel *model, double nose_down,
                          double speed);

/* The same as sums, for a search over parts: at a given attitude and speed, about a given tie, what
 * a hull in the flow adds and what items add. The whole is the hull and all items of the lure,
 * those of its blank too. A lure runs between t1 and t2 where the couple is above 0 at t1 and below
 * at t2 (and at least once between); it dives where `down` is above 0. */
typedef struct BlyTowTerms {
    double couple; /* N m, nose-down */
    double drag;   /* N */
    double down;   /* N, weight in water less what the flow carries */
} BlyTowTerms;
bool bly_tow_hull_terms(const BlyBlank *blank, BlyVec3 tie, const BlyWater *water,
                        const BlyTowModel *model, double nose_down, double speed, BlyTowTerms *out,
                        BlyError *err) BLY_MUST_CHECK;
BlyTowTerms bly_tow_item_terms(const BlyItem *items, size_t count, BlyVec3 tie,
                               const BlyWater *water, const BlyTowModel *model, double nose_down,
                               double speed);

/* Force square to a flat plate of low aspect over 1/2 density speed^2 area, at an incidence (rad,
 * any). aspect: width^2/area; face_on: that coefficient at a right angle; peak: 0 to 1. */
double bly_tow_plate(double incidence, double aspect, double face_on, double peak);
/* Incidence at which such a plate stalls, rad. */
double bly_tow_plate_stall(double aspect);

/* ---- the line -------------------------------------------------------------------------------- */

typedef struct BlyTowLine {
    double length;   /* m from the lure to the rod's tip, > 0 */
    double diameter; /* m, > 0 */
    double rod;      /* m, the tip above the water, >= 0 */
    double density;  /* kg/m3 */
} BlyTowLine;
/* 30 m of 0.30 mm, the tip 1 m up, 1140 kg/m3. */
BlyTowLine bly_tow_line_usual(void);

enum { BLY_TOW_POINTS = 33 };
typedef struct BlyTowCurve {
    double depth;   /* m of the lure below the surface; 0 where it is at the surface */
    double wet;     /* m of line in the water */
    double tension; /* N, where the line leaves the water */
    /* The line in the water from the lure up: m ahead of the lure, m below the surface. */
    double ahead[BLY_TOW_POINTS], below[BLY_TOW_POINTS];
    size_t count;
} BlyTowCurve;
/* The line of a lure that pulls (N, > 0) on it at an angle `rise` (rad) above the way ahead,
 * trolled at a steady speed (m/s). Straight in the air. BLY_E_RANGE with the place ("/length"). */
bool bly_tow_line(const BlyTowLine *line, const BlyWater *water, double pull, double rise,
                  double speed, BlyTowCurve *out, BlyError *err) BLY_MUST_CHECK;

/* Deepest that a lure gets that is cast so far (m) and reeled in to a rod at the surface, without
 * its line's drag, which makes it less: length sin(rise) exp(-rise/tan(rise)). 0 for rise <= 0. */
double bly_tow_cast_most(double rise, double length);

/* ---- how it runs ----------------------------------------------------------------------------- */

typedef enum BlyTowState {
    BLY_TOW_DIVES,    /* pulls the line downwards */
    BLY_TOW_COMES_UP, /* weighs something in water, and is carried up */
    BLY_TOW_ON_TOP,   /* is lighter than water and not drawn under */
    BLY_TOW_NOWHERE,  /* no attitude within 80 degrees of the flow holds */
    BLY_TOW_STATES
} BlyTowState;
const char *bly_tow_state_words(BlyTowState state); /* "dives" */

/* Where a run leaves the ground that its formulas stand on: a set of bits. */
typedef enum BlyTowNote {
    BLY_TOW_NOTE_STALL = 1 << 0,   /* the lip is met about the angle at which plates stall */
    BLY_TOW_NOTE_ASPECT = 1 << 1,  /* a lip narrower or wider than plates measured */
    BLY_TOW_NOTE_STEEP = 1 << 2,   /* more than 20 degrees off the flow */
    BLY_TOW_NOTE_SHORT = 1 << 3,   /* body below 2 or above 40 diameters long */
    BLY_TOW_NOTE_SLOW = 1 << 4,    /* body's Re below 3e4 */
    BLY_TOW_NOTE_BLUNT = 1 << 5,   /* an end is cut off flat */
    BLY_TOW_NOTE_MANY = 1 << 6,    /* more than one attitude holds */
    BLY_TOW_NOTE_NO_LIP = 1 << 7,  /* nothing says whether it runs straight */
    BLY_TOW_NOTE_SHALLOW = 1 << 8, /* on top, or all but: waves and air are left out */
    BLY_TOW_NOTE_NO_HOLD = 1 << 9, /* the line rises by less than 3 degrees, either way */
    BLY_TOW_NOTE_WIRE = 1 << 10    /* wire outside the range of its measurements */
} BlyTowNote;
/* One line for one bit; NULL for anything else. Walk with for (bit = 1; words(bit); bit <<= 1). */
const char *bly_tow_note_words(unsigned bit);

typedef struct BlyTowRun {
    BlyTowState state;
    double speed;     /* m/s */
    double nose_down; /* rad; NAN, and all below 0 or NAN, where state is NOWHERE */
    double others[4]; /* rad, further attitudes that hold */
    size_t other_count;
    double stiffness;              /* N m/rad with which it holds, > 0 */
    double incidence;              /* rad, at which the first lip is met; NAN: no lip */
    double pull;                   /* N, at the lure */
    double rise;                   /* rad, of the line ahead of the lure */
    double drag;                   /* N */
    double down;                   /* N, weight in water with what the flow adds */
    double share[BLY_TOW_SOURCES]; /* of the drag; they add up to 1 */
    BlyTowCurve line;              /* as trolled */
    double cast_most;              /* m, bly_tow_cast_most with the line's length */
    double near_rod;               /* m of line left at which it comes up; INFINITY: not under */
    unsigned notes;
} BlyTowRun;

#define BLY_TOW_SLOWEST 0.02
#define BLY_TOW_FASTEST 6.0

/* How the lure runs at a speed (BLY_TOW_SLOWEST to BLY_TOW_FASTEST). Of several attitudes that hold
 * it has the one that it comes to from the fastest downwards, there the one nearest to the flow.
 * BLY_E_RANGE with the place for speed and line. */
bool bly_tow_run(const BlyTow *tow, const BlyTowModel *model, double speed, const BlyTowLine *line,
                 BlyTowRun *out, BlyError *err) BLY_MUST_CHECK;

/* The slowest speed (m/s) from which on a lure lighter than water is drawn under: 0 for one that is
 * not lighter, BLY_TOW_SLOWEST where it is so at that already, INFINITY where it never is. */
double bly_tow_draws_under(const BlyTow *tow, const BlyTowModel *model);

BLY_API_END

#endif
