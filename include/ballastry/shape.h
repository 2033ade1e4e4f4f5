/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The outside of a lure: volume, surface, what is seen of it, and what a plane cuts off.
 *
 * Body axes: x from the nose aft, y to starboard, z up; metres. A body is closed and fills its
 * outside; it knows nothing of mass, water or parts. A BlyBody is made by one of the bly_body_from_
 * constructors (ballastry/loft.h, mesh.h, outline.h), is never changed afterwards, may be shared by
 * threads, and is freed by its owner, or the last of them (bly_body_share), with bly_body_free. */
#ifndef BALLASTRY_SHAPE_H
#define BALLASTRY_SHAPE_H

#include "ballastry/error.h"
#include "ballastry/vec.h"

BLY_API_BEGIN

typedef struct BlyBody BlyBody;

/* Gives up one owner's hold; the last one frees it. */
void bly_body_free(BlyBody *body);
/* One more owner, who calls bly_body_free too. From any thread. */
void bly_body_share(BlyBody *body);

typedef struct BlyBox {
    BlyVec3 low, high;
} BlyBox;
BlyBox bly_body_box(const BlyBody *body);

typedef struct BlySolid {
    double volume;    /* m3 */
    BlyVec3 centroid; /* m */
    /* Second moments of volume about the centroid, m5: xx is the integral of (x - xc)^2 dV. */
    double xx, yy, zz, xz;
} BlySolid;

typedef struct BlyArea {
    double area;      /* m2 */
    BlyVec3 centroid; /* m */
} BlyArea;

/* Computed once when the body is made; these only look up. Pointers live as long as the body. */
const BlySolid *bly_body_solid(const BlyBody *body);
/* The body's material as if it were melted down: less than the solid where there are hollows or
 * infill (ballastry/mesh.h); then xx..xz may be NAN. */
const BlySolid *bly_body_material(const BlyBody *body);
const BlyArea *bly_body_surface(const BlyBody *body); /* the whole wetted skin, end faces too */
const BlyArea *bly_body_side(const BlyBody *body);    /* projected along y */
const BlyArea *bly_body_plan(const BlyBody *body);    /* projected along z */

/* What is seen along a direction (unit vector, either sign): projected area and the centroid of
 * the area seen, as a point of the body. A loft takes half the integral of |n.d|: exact for convex
 * bodies, a waisted one counts its overlap twice; about 1e-3, some 3 us. A mesh takes its true
 * silhouette; NAN when there is no memory. */
BlyArea bly_body_seen(const BlyBody *body, BlyVec3 direction);

/* How blunt the ends are that a flow along x meets, nose first: the mean of (n.x)^2 over the area
 * that faces x, each spot counted by what it shows along x. A flat face has 1, a half ball 1/2, a
 * cone sin^2 of its half angle. Some 1e-3 for a loft, exact for a mesh. */
void bly_body_blunt(const BlyBody *body, double out[2]);

/* A parallel layer on the skin between two distances (m, 0 <= from < to): its volume and
 * centroid. Second and third order terms count: volume = A d + M d^2 + G d^3 with M the integral of
 * mean curvature (edges of end faces included) and G = 4/3 pi. Valid while `to` is below the
 * least radius of curvature of any hollow. xx..xz are NAN. */
BlySolid bly_body_layer(const BlyBody *body, double from, double to);

/* The body with a layer of this thickness (m, 0 to 0.1) all over it: what the water sees. Its solid
 * volume and centroid agree with bly_body_solid + bly_body_layer to rounding; its outlines are the
 * parallel curves to about 5 % of the thickness. Fails with BLY_E_RANGE, where "/thickness". */
bool bly_body_coated(const BlyBody *body, double thickness, BlyBody **out,
                     BlyError *err) BLY_MUST_CHECK;

typedef struct BlySection {
    double width, height, centre, exponent; /* as BlyStation (ballastry/loft.h), at one x */
    double belly, back;                     /* m, lowest and highest z */
    double belly_slope, back_slope;         /* dz/dx */
} BlySection;

/* The section at x; false (and an empty section) when x is off the body by more than a nanometre.
 * At a round tip, where slopes are infinite, they are those of a point just inside: large, finite.
 */
bool bly_body_section(const BlyBody *body, double x, BlySection *out);

/* Half the width of the body at (x, z), m; 0 outside. Symmetric about y = 0. */
double bly_body_half_width(const BlyBody *body, double x, double z);

/* What is near a point of a body with hollows or infill, of the cell (some thousandths of the
 * body's length, docs/mesh.md) that it lies in: the share that lies within the outside, and the
 * share that material fills. Both 1 for a body that is solid throughout, wherever the point is. */
typedef struct BlyFilled {
    double within, filled;
} BlyFilled;
BlyFilled bly_body_filled(const BlyBody *body, BlyVec3 point);
bool bly_body_is_solid(const BlyBody *body); /* no hollows, no infill */

typedef enum BlySide { BLY_BELLY, BLY_BACK } BlySide;

/* A strip bent around the section and following the belly (or back) line from x_from to x_to,
 * `width` across and `thickness` outward. Width and length are measured along the bend at half
 * thickness, as sheet keeps its volume when bent: volume = *length x width x thickness. Gives its
 * volume, its true centroid (xx..xz are NAN) and its length along the line in *length (may be
 * NULL). Fails with BLY_E_RANGE and where "/x/0", "/x/1", "/width" (too wide to go around) or
 * "/thickness".
 */
bool bly_body_strip(const BlyBody *body, BlySide side, double x_from, double x_to, double width,
                    double thickness, BlySolid *out, double *length, BlyError *err) BLY_MUST_CHECK;

/* The same strip under a coat (m, 0 to 0.1): it lies on the skin, and the coat bulges over it. */
typedef struct BlyStripSpec {
    BlySide side;
    double x_from, x_to, width, thickness, coat;
} BlyStripSpec;

typedef struct BlyStripLaid {
    BlySolid metal; /* as bly_body_strip's */
    /* m: centroid of what lies between coat and coat + thickness off the skin, over the strip. By
     * the metal's own volume the coated lure displaces more there: the coat keeps its volume. */
    BlyVec3 bulge;
    double length;
} BlyStripLaid;

/* Fails as bly_body_strip, and with BLY_E_RANGE and where "/coat". */
bool bly_body_strip_coated(const BlyBody *body, const BlyStripSpec *spec, BlyStripLaid *out,
                           BlyError *err) BLY_MUST_CHECK;

/* The greatest value of direction.p on the body (m, for a unit vector): how far it reaches that
 * way. Good to about 1e-6 m for a loft, exact for a mesh. */
double bly_body_support(const BlyBody *body, BlyVec3 direction);

/* Points with up.p < height are under water; up is a unit vector. */
typedef struct BlyPlane {
    BlyVec3 up;
    double height; /* m */
} BlyPlane;

typedef struct BlyCut {
    double volume;    /* m3 below the plane */
    BlyVec3 centroid; /* m, of that volume; the body's centroid when empty */
    double area;      /* m2, waterplane */
    BlyVec3 area_centroid;
    /* Second moments of the waterplane about its centroid, m4: `along` for turning about the
     * plane's crosswise axis (pitch), `across` for turning about its lengthwise axis (roll),
     * and the mixed one. Lengthwise is the projection of body x onto the plane (of body z when
     * the plane is square to x). */
    double along, across, mixed;
    double perimeter; /* m, of the waterplane's edge; about 1e-2 is enough */
} BlyCut;

/* What the plane cuts off. Smooth in the plane's position: equilibrium is found by roots of it.
 * Within 1e-6 rad of square to x the slices are parallel to the plane. */
BlyCut bly_body_cut(const BlyBody *body, BlyPlane plane);

/* The part of a body between planes: x and z within [from, to], and so far from the middle plane on
 * either side that |y| is within `off`. Open ends are -INFINITY and INFINITY; of `off` 0 and
 * INFINITY. */
typedef struct BlyZone {
    double x[2], z[2], off[2];
} BlyZone;

/* Volume and centroid of the body within the zone; xx..xz are NAN, the centroid that of the body
 * when empty. As exact as the cut where the planes are parallel to each other (or there is one);
 * else by quadrature over the half-width, within 2e-5 of the body's volume. Fails with BLY_E_MEMORY
 * only. */
bool bly_body_zone(const BlyBody *body, const BlyZone *zone, BlySolid *out,
                   BlyError *err) BLY_MUST_CHECK;

/* A stand-in of nearly the same shape (1 % of its sizes, no more) that is cut much quicker, for
 * looking around before the body itself is asked; NULL for a body that is quick itself. It lives as
 * long as the body, and answers bly_body_cut, bly_body_solid and bly_body_box alone. */
const BlyBody *bly_body_rough(const BlyBody *body);

/* A flat plate of thickness t whose middle plane contains the y axis direction: from `mouth` it
 * runs along `along` (unit vector in the x-z plane) over s in [s_from, s_to], with half-width
 * half(s, user) at s. Splits it by the body's real surface. */
typedef struct BlyPlateSplit {
    BlyArea inner; /* face area within the body and its centroid */
    BlyArea outer; /* face area outside */
} BlyPlateSplit;
typedef double (*BlyHalfWidth)(double s, const void *user);
BlyPlateSplit bly_body_split_plate(const BlyBody *body, BlyVec3 mouth, BlyVec3 along, double s_from,
                                   double s_to, BlyHalfWidth half, const void *user);

BLY_API_END

#endif
