/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drag in still water, and the steady speed that a net weight gives.
 *
 * Published drag correlations for a compact body, for wire and for plates; their sum over a lure;
 * the speed at which that sum carries a given weight; and the added mass that turns a drifting
 * body broadside. Everything is SI. Nothing is allocated that outlives a call, nothing is kept:
 * all functions may be called by several threads at once. Formulas, ranges and measured
 * deviations: docs/sink.md.
 *
 * Reynolds number Re = density * speed * size / viscosity. The formulas answer for every Re > 0
 * and return NAN for anything else; the _known functions say where they are backed by published
 * data. */
#ifndef BALLASTRY_SINK_H
#define BALLASTRY_SINK_H

#include "ballastry/error.h"
#include "ballastry/water.h"

BLY_API_BEGIN

/* ---- coefficients ---------------------------------------------------------------------------- */

/* Cd of a smooth sphere on its section area, Re on its diameter: the standard drag curve of Clift,
 * Grace & Weber 1978, Table 5.2, all ranges. Exact at and below each join; within 2 % of Re above a
 * join it eases into the next range, so that the curve is continuous. Re * Cd rises up to the drag
 * crisis (3.38e5). */
double bly_drag_sphere(double reynolds);

/* True up to Re = 2e5. Beyond it roughness and turbulence decide when the crisis comes. */
bool bly_drag_sphere_known(double reynolds);

/* A body as a flow along its axis meets it, and how much of that there is. */
typedef struct BlyDragEnd {
    double share; /* 0 (broadside, the rest is not looked at) to 1 (along the axis): cos^2 of the
                   * angle between flow and axis */
    double crosswise; /* as in BlyDragBody, for the flow along the axis */
    double lengthwise;
    double pressure; /* Cd that is left at great Re, on the section of the sphere */
} BlyDragEnd;

/* The outside of a body as the drag formula wants it. All dimensionless numbers are > 0. */
typedef struct BlyDragBody {
    double volume;     /* m3 */
    double sphericity; /* surface of the sphere of equal volume over the body's; at most 1 */
    double crosswise;  /* section of that sphere over the area seen along the flow */
    double lengthwise; /* that section over (half the surface less the mean area seen beside) */
    BlyDragEnd end;    /* all 0: the flow is met as crosswise and lengthwise say */
} BlyDragBody;

/* Fills *out from volume (m3), surface (m2), the area seen along the flow (m2) and the mean of the
 * areas seen from all sides square to the flow (m2; for a body of revolution moving along its axis
 * its side view). Sphericity is clamped at 1. BLY_E_RANGE with the place ("/surface") when a
 * figure is not positive, or half the surface does not exceed the area beside. */
bool bly_drag_body(double volume, double surface, double seen_along, double seen_beside,
                   BlyDragBody *out, BlyError *err) BLY_MUST_CHECK;

/* What a flow along the body's axis meets. */
typedef struct BlyDragAxis {
    double surface;     /* m2, the whole */
    double seen_along;  /* m2 */
    double seen_beside; /* m2, mean of the areas seen from all sides square to the axis */
    double length;      /* m */
    double blunt[2];    /* of nose and tail, 0 to 1: bly_body_blunt */
} BlyDragAxis;

/* Fills body->end but for its share, which becomes 0. The pressure is that of a streamlined body
 * below its drag crisis, 0.44 d/l on the area seen along, d that area's diameter (Hoerner 1965,
 * chapter 3, ellipsoids; at most Hoelzer & Sommerfeld's), as far as its ends are round, and theirs
 * as far as they are blunt: of each end none up to 1/2 (a half ball), all of it at 1 (flat); the
 * mean of both ends counts, for a lure drifts either way. BLY_E_RANGE with the place. */
bool bly_drag_end(const BlyDragAxis *axis, BlyDragBody *body, BlyError *err) BLY_MUST_CHECK;

/* Diameter of the sphere of that volume, m. */
double bly_drag_diameter(double volume);

/* Cd of a body on the section of the sphere of equal volume, Re on that sphere's diameter:
 * Hoelzer & Sommerfeld 2008, Powder Technology 184, 361-365. From sphericity 0.9 to 1 it is blended
 * into bly_drag_sphere, because the formula has a vertical slope at 1 and misses the sphere there
 * by up to 14 %. Sphericity above 1 counts as 1. With a share of end-on flow s the sum
 * (1 - s) Cd(broadside) + s Cd(end on): Sanjeevi & Padding 2017, J. Fluid Mech. 820, R1, for
 * prolate spheroids up to Re 2000. End on only the pressure differs; the blend into the sphere runs
 * from sphericity 0.95. NAN when a number is not positive. */
double bly_drag_body_cd(const BlyDragBody *body, double reynolds);

/* Cd of endless round wire square to the flow, on diameter times length: Cheng 2013, J. Hydraul.
 * Eng. 139, 602-611. */
double bly_drag_wire(double reynolds);
bool bly_drag_wire_known(double reynolds); /* 0.01 to 2e5 */

/* What free ends leave of it, 0.525 to 1; aspect = length over diameter, >= 1, INFINITY for no
 * ends. DNV-RP-C205 table; aspect 1 from a data book. NAN outside. */
double bly_drag_wire_ends(double aspect);

/* Cd of a thin rectangular plate or disc face on, on its area: the published coefficients over
 * aspect (long over short side, >= 1, INFINITY for no ends), plus the disc's creeping-flow
 * 20.4/Re; Re on the short side. */
double bly_drag_plate(double aspect, double reynolds);
bool bly_drag_plate_known(double reynolds); /* above 1000 */

/* What leaning leaves of Cd *on the area still seen*: lean is the angle (rad, 0 to pi/2) by which
 * the plate or wire is turned out of square to the flow. Plate: Duchemin's law (from memory).
 * Wire: the cross-flow principle, cos^2 (from memory). NAN outside. */
double bly_drag_plate_lean(double lean);
double bly_drag_wire_lean(double lean);

/* ---- a lure's drag --------------------------------------------------------------------------- */

typedef enum BlyDragKind { BLY_DRAG_PLATE, BLY_DRAG_WIRE } BlyDragKind;

/* A lip, or a stretch of hook or ring wire. */
typedef struct BlyDragPiece {
    BlyDragKind kind;
    double area;   /* m2 seen along the flow, >= 0 */
    double size;   /* m: short side of a plate, diameter of wire; > 0 */
    double aspect; /* plate: long over short side; wire: length over diameter; >= 1 or INFINITY */
    double lean;   /* rad, 0 to pi/2: 0 is face on, or square to the flow */
} BlyDragPiece;

/* Pieces do not shield one another. The caller owns the pieces. */
typedef struct BlyDragSet {
    BlyDragBody body;
    const BlyDragPiece *pieces; /* may be NULL when count is 0 */
    size_t count;
    double factor; /* > 0; 1 until a tank test says otherwise */
} BlyDragSet;

/* Where a result leaves the ground that published data cover: a set of bits. */
typedef enum BlyDragNote {
    BLY_DRAG_NOTE_CRISIS = 1 << 0,     /* body: Re above 2e5 */
    BLY_DRAG_NOTE_ROUND = 1 << 1,      /* body: blended between the body's formula and the sphere */
    BLY_DRAG_NOTE_SLIM = 1 << 2,       /* body: sphericity below 0.5, not checked */
    BLY_DRAG_NOTE_ZIGZAG = 1 << 3,     /* a light body rising: measured speeds are lower */
    BLY_DRAG_NOTE_WIRE = 1 << 4,       /* wire: Re outside 0.01 to 2e5 */
    BLY_DRAG_NOTE_PLATE_SLOW = 1 << 5, /* plate: Re below 1000 */
    BLY_DRAG_NOTE_PLATE_EDGE = 1 << 6, /* plate: leaning by more than 60 deg */
    BLY_DRAG_NOTE_SLANT = 1 << 7       /* body: neither broadside nor end on (shares of 0.25 to 0.9)
                                          above Re 2000, where the law between was not checked */
} BlyDragNote;

/* One line for one bit, without capital or full stop; NULL for anything else. Walk the bits with
 * for (unsigned bit = 1; bly_drag_note_words(bit); bit <<= 1). */
const char *bly_drag_note_words(unsigned bit);

/* Drag over dynamic pressure at a speed (m/s, either sign, not 0): sum of Cd * area, m2, times the
 * factor. `shares`, if not NULL, takes count + 1 numbers that add up to it: the body's first, then
 * each piece's. NAN (and shares untouched) when the set, the water or the speed is not sound. */
double bly_drag_area(const BlyDragSet *set, const BlyWater *water, double speed, double *shares);

typedef struct BlyDragResult {
    double speed;    /* m/s, sign of the force */
    double reynolds; /* of the body, on the diameter of the sphere of equal volume */
    double cd;       /* of the body alone, on that sphere's section, without the factor */
    double area;     /* m2: bly_drag_area at that speed; NAN when still */
    unsigned notes;  /* BlyDragNote bits */
} BlyDragResult;

/* The steady speed at which drag carries a force (N, net weight: positive down; at most 1e6 either
 * way): force = 1/2 density speed |speed| area. No force, or less than 1e-15 N, gives speed 0, Re 0
 * and cd NAN. Where the drag crisis allows several speeds it takes the lowest, which a body
 * gathering way meets first. BLY_E_RANGE with the place ("/pieces/2/size", "/force") for unsound
 * input; *out is touched on success alone. */
bool bly_drag_speed(const BlyDragSet *set, const BlyWater *water, double force, BlyDragResult *out,
                    BlyError *err) BLY_MUST_CHECK;

/* ---- added mass ------------------------------------------------------------------------------ */

/* Added mass of an ellipsoid in ideal flow as a part of the displaced mass, for motion along each
 * of its axes. semi: half axes, m, > 0, longest at most 1e6 times the shortest; any order, k[i]
 * belongs to semi[i]. Sphere 0.5, each. Lamb, Hydrodynamics (1932), art 114 and 115, with the
 * integrals in Carlson's form. BLY_E_RANGE for unsound axes. */
bool bly_added_mass(const double semi[3], double k[3], BlyError *err) BLY_MUST_CHECK;

/* Munk's couple, N m, on a body that moves at an angle (rad) to its long axis: positive turns it
 * broadside to the flow. volume m3; k_along, k_across: added mass along and across. Ideal flow:
 * an upper bound. Munk 1924, NACA report 184. */
double bly_munk_couple(const BlyWater *water, double volume, double speed, double k_along,
                       double k_across, double angle);

BLY_API_END

#endif
