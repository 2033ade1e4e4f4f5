/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the loft room: the loft, a body whose sections at constant x are superellipses.
 *
 * Half-width squared, half-height squared, centre and exponent are cubics of x on each panel, so
 * that round noses (squares linear in x) and cones (squares quadratic) are met exactly. */
#ifndef BALLASTRY_LOFT_LOFT_BODY_H
#define BALLASTRY_LOFT_LOFT_BODY_H

#include "ballastry/loft.h"
#include "shape/shape.h"
#include "numeric/numeric.h"
#include "oval/oval.h"

enum { LOFT_B2, LOFT_C2, LOFT_MID, LOFT_EXP, LOFT_CURVES }; /* half-width^2, half-height^2, ... */

/* Values and slopes of the four curves at one x; between knots they are cubics. */
typedef struct Knot {
    double x, value[LOFT_CURVES], slope[LOFT_CURVES];
} Knot;

typedef struct Panel {
    double x, length;
    double cubic[LOFT_CURVES][4]; /* powers of s = (X - x)/length, lowest first */
    bool tip_low, tip_high;       /* width or height goes to zero at this end */
    double volume, x_moment, z_moment;
} Panel;

/* The skin's vector area on rings around the body, for bly_body_seen and _blunt; see seen.c. */
enum { LOFT_RINGS = 32, LOFT_RING_NODES = 20 };
typedef struct Ring {
    double x;
    double z[LOFT_RING_NODES], y[LOFT_RING_NODES];
    double ax[LOFT_RING_NODES], ay[LOFT_RING_NODES], az[LOFT_RING_NODES]; /* area, m2 */
} Ring;

typedef struct Loft {
    BlyBody body; /* first: a BlyBody * is a Loft * */
    size_t count;
    Panel *panel;
    bool uniform; /* one exponent everywhere: `oval` serves all sections */
    BlyOval oval;
    BlyRule octant, coarse, cut, fine, finest; /* 5, 6, 10, 12 and 16 nodes */
    Ring ring[LOFT_RINGS];
} Loft;

/* The section at one place: half-width, half-height, centre, exponent, and their slopes by x.
 * b_slope and c_slope are half the slope of the square over b (c), infinite at a round tip. */
typedef struct Slice {
    double x, b, c, mid, n;
    double b_slope, c_slope, mid_slope, n_slope;
} Slice;

extern const BlyBodyKind loft_kind;

static inline const Loft *loft_of(const BlyBody *body) {
    return (const Loft *)body;
}
static inline double loft_start(const Loft *loft) {
    return loft->panel[0].x;
}
static inline double loft_end(const Loft *loft) {
    const Panel *last = &loft->panel[loft->count - 1];
    return last->x + last->length;
}

/* stations.c: slopes of Steffen's monotone cubic for one curve of the knots. */
void knots_steffen(Knot *knots, size_t count, int curve);

/* loft.c. loft_new builds panels and the solid; loft_finish the rest. Between the two a
 * maker may still scale or shift the panels. */
bool loft_new(const Knot *knots, size_t count, Loft **out, BlyError *err) BLY_MUST_CHECK;
void loft_finish(Loft *loft);
void loft_solid(Loft *loft);
void loft_free(BlyBody *body);
const Panel *loft_panel(const Loft *loft, double x);
double panel_curve(const Panel *panel, int curve, double s);
/* panel_middle leaves the slopes unset; panel_slice sets all. s in [0, 1]. */
Slice panel_middle(const Panel *panel, double s);
Slice panel_slice(const Panel *panel, double s);
bool loft_section(const BlyBody *body, double x, BlySection *out);
double loft_half_width(const BlyBody *body, double x, double z);

/* A substitution s(u) of [0, 1] whose ends are double where the panel has a tip, so that square
 * roots there become smooth. Returns s and sets *ds to ds/du. */
static inline double panel_map(const Panel *panel, double u, double *ds) {
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
void loft_skin(Loft *loft);
void loft_rings(Loft *loft);
BlyArea loft_seen(const BlyBody *body, BlyVec3 direction);
void loft_blunt(const BlyBody *body, BlyBluntSums *sums); /* seen.c */
BlyCut loft_cut(const BlyBody *body, BlyPlane plane);
double loft_support(const BlyBody *body, BlyVec3 direction);
bool loft_coated(const BlyBody *body, double thickness, BlyBody **out, BlyError *err);
bool loft_strip_at(const BlyBody *body, const BlyStripSpec *spec, BlyStripPoint *at);

#endif
