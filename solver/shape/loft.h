/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the shape room: the loft, a body whose sections at constant x are superellipses.
 *
 * Half-width squared, half-height squared, centre and exponent are cubics of x on each panel, so
 * that round noses (squares linear in x) and cones (squares quadratic) are met exactly. */
#ifndef BALLASTRY_SHAPE_LOFT_H
#define BALLASTRY_SHAPE_LOFT_H

#include "shape/body.h"
#include "shape/numeric.h"
#include "shape/oval.h"

enum { BLY_B2, BLY_C2, BLY_MID, BLY_EXP, BLY_CURVES }; /* half-width^2, half-height^2, ... */

/* Values and slopes of the four curves at one x; between knots they are cubics. */
typedef struct BlyKnot {
    double x, value[BLY_CURVES], slope[BLY_CURVES];
} BlyKnot;

typedef struct BlyPanel {
    double x, length;
    double cubic[BLY_CURVES][4]; /* powers of s = (X - x)/length, lowest first */
    bool tip_low, tip_high;      /* width or height goes to zero at this end */
    double volume, x_moment, z_moment;
} BlyPanel;

/* The skin's vector area on rings around the body, for bly_body_seen; see seen.c. */
enum { BLY_RINGS = 32, BLY_RING_NODES = 20 };
typedef struct BlyRing {
    double x;
    double z[BLY_RING_NODES], y[BLY_RING_NODES];
    double ax[BLY_RING_NODES], ay[BLY_RING_NODES], az[BLY_RING_NODES]; /* area, m2 */
} BlyRing;

typedef struct BlyLoft {
    BlyBody body; /* first: a BlyBody * is a BlyLoft * */
    size_t count;
    BlyPanel *panel;
    bool uniform; /* one exponent everywhere: `oval` serves all sections */
    BlyOval oval;
    BlyRule octant, coarse, cut, fine, finest; /* 5, 6, 10, 12 and 16 nodes */
    BlyRing ring[BLY_RINGS];
} BlyLoft;

/* The section at one place: half-width, half-height, centre, exponent, and their slopes by x.
 * b_slope and c_slope are half the slope of the square over b (c), infinite at a round tip. */
typedef struct BlySlice {
    double x, b, c, mid, n;
    double b_slope, c_slope, mid_slope, n_slope;
} BlySlice;

extern const BlyBodyKind bly_loft_kind;

static inline const BlyLoft *bly_loft(const BlyBody *body) {
    return (const BlyLoft *)body;
}
static inline double bly_loft_start(const BlyLoft *loft) {
    return loft->panel[0].x;
}
static inline double bly_loft_end(const BlyLoft *loft) {
    const BlyPanel *last = &loft->panel[loft->count - 1];
    return last->x + last->length;
}

/* stations.c: slopes of Steffen's monotone cubic for one curve of the knots. */
void bly_knots_steffen(BlyKnot *knots, size_t count, int curve);

/* loft.c. bly_loft_new builds panels and the solid; bly_loft_finish the rest. Between the two a
 * maker may still scale or shift the panels. */
bool bly_loft_new(const BlyKnot *knots, size_t count, BlyLoft **out, BlyError *err) BLY_MUST_CHECK;
void bly_loft_finish(BlyLoft *loft);
void bly_loft_solid(BlyLoft *loft);
void bly_loft_free(BlyBody *body);
const BlyPanel *bly_loft_panel(const BlyLoft *loft, double x);
double bly_panel_curve(const BlyPanel *panel, int curve, double s);
/* bly_panel_middle leaves the slopes unset; bly_panel_slice sets all. s in [0, 1]. */
BlySlice bly_panel_middle(const BlyPanel *panel, double s);
BlySlice bly_panel_slice(const BlyPanel *panel, double s);
bool bly_loft_section(const BlyBody *body, double x, BlySection *out);
double bly_loft_half_width(const BlyBody *body, double x, double z);

/* A substitution s(u) of [0, 1] whose ends are double where the panel has a tip, so that square
 * roots there become smooth. Returns s and sets *ds to ds/du. */
static inline double bly_panel_map(const BlyPanel *panel, double u, double *ds) {
    if (panel->tip_low && panel->tip_high) {
        *ds = 6.0 * u * (1.0 - u);
        return u * u * (3.0 - 2.0 * u);
    }
    if (panel->tip_low) {
        *ds = 2.0 * u;
        return u * u;
    }
    if (panel->tip_high) {
        *ds = 2.0 * (1.0 - u);
        return 1.0 - (1.0 - u) * (1.0 - u);
    }
    *ds = 1.0;
    return u;
}

/* The rest of the loft's table, one idea per file. */
void bly_loft_skin(BlyLoft *loft);
void bly_loft_rings(BlyLoft *loft);
BlyArea bly_loft_seen(const BlyBody *body, BlyVec3 direction);
BlyCut bly_loft_cut(const BlyBody *body, BlyPlane plane);
double bly_loft_support(const BlyBody *body, BlyVec3 direction);
bool bly_loft_coated(const BlyBody *body, double thickness, BlyBody **out, BlyError *err);
bool bly_loft_strip_at(const BlyBody *body, const BlyStripSpec *spec, BlyStripPoint *at);

#endif
