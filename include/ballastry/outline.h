/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A body from its drawn outlines: what is seen from the side, what is seen from above, and what its
 * sections look like. Knows nothing of drawings' formats, files or units: docs/outline.md.
 *
 * A trace is a list of cubic Bezier curves in any order and direction; straight lines and points
 * on a line are cubics too. Coordinates are metres once a trace is used for a body: x from the
 * nose aft, y upward (from the side) or across (from above, about any line). */
#ifndef BALLASTRY_OUTLINE_H
#define BALLASTRY_OUTLINE_H

#include "ballastry/shape.h"

BLY_API_BEGIN

typedef struct BlyCubic {
    double x[4], y[4]; /* end, two handles, end */
} BlyCubic;

/* Zeroed is empty. Its owner releases it. */
typedef struct BlyTrace {
    BlyCubic *cubic;
    size_t count, room;
} BlyTrace;

enum { BLY_TRACE_MOST = 50000 };

void bly_trace_release(BlyTrace *trace);
/* Appends a copy. Fails with BLY_E_MEMORY, BLY_E_RANGE (more than BLY_TRACE_MOST). */
bool bly_trace_add(BlyTrace *trace, const BlyCubic *cubic, BlyError *err) BLY_MUST_CHECK;
bool bly_trace_line(BlyTrace *trace, double x0, double y0, double x1, double y1,
                    BlyError *err) BLY_MUST_CHECK;
/* Appends all of `more`. */
bool bly_trace_join(BlyTrace *trace, const BlyTrace *more, BlyError *err) BLY_MUST_CHECK;
/* x' = a x + c y + e, y' = b x + d y + f, as SVG's matrix(a b c d e f). */
typedef struct BlyAffine {
    double a, b, c, d, e, f;
} BlyAffine;
void bly_trace_map(BlyTrace *trace, const BlyAffine *by);
/* What maps a trace by `first` and then by `then`. */
BlyAffine bly_affine_after(const BlyAffine *then, const BlyAffine *first);

/* The smallest upright box around the curves themselves, not their handles. An empty trace: zeros.
 */
typedef struct BlyExtent {
    double x_low, x_high, y_low, y_high;
} BlyExtent;
BlyExtent bly_trace_extent(const BlyTrace *trace);

/* A smooth stroke through points (2 to BLY_TRACE_MOST; equal neighbours count once), appended as
 * cubics: Akima's curve over the chords' length (GSL), broken where the way turns by more than 60
 * degrees, so that corners stay corners. closed: the last point goes on to the first. Fails with
 * BLY_E_RANGE (fewer than two different points, not finite), BLY_E_MEMORY. */
bool bly_trace_points(BlyTrace *trace, const double *x, const double *y, size_t count, bool closed,
                      BlyError *err) BLY_MUST_CHECK;

/* The lower and upper edge of a trace at any x: the outermost of all its crossings. Loose strokes
 * are put together first: each end goes on, by a straight line, to the nearest end that is left. */
typedef struct BlyEdges BlyEdges;

/* Copies what it needs; free with bly_edges_free. `what` names the outline in errors, "side". Fails
 * with BLY_E_RANGE and where /WHAT: nothing drawn, no length or no height, beyond 2 m, open between
 * its ends (only one edge at some x), or folded: where one closed stroke turns back on itself by
 * more than 1 % of the area (a fork, a hook), since a body of sections cannot follow. */
bool bly_edges_make(const BlyTrace *trace, const char *what, BlyEdges **out,
                    BlyError *err) BLY_MUST_CHECK;
void bly_edges_free(BlyEdges *edges);
BlyExtent bly_edges_extent(const BlyEdges *edges);
/* m behind the outline's first x: where one closed loop crosses itself, so that belly and back
 * change sides, to 1/256 of its length; NAN where it does not. Loops within that length are not
 * seen. */
double bly_edges_crossing(const BlyEdges *edges);
/* x is moved onto the outline. At an end with a flat face: the face. */
void bly_edges_at(const BlyEdges *edges, double x, double *low, double *high);
/* Area between the edges, m2, and its centroid (may be NULL): quadrature, 1e-9 on smooth edges. */
double bly_edges_area(const BlyEdges *edges, double *x, double *y);

/* Whether a trace is one half of an outline, drawn from the centre line. */
typedef enum BlyHalf {
    BLY_HALF_FOUND, /* where one edge runs straight fore and aft, as the centre line does, and the
                     * other does not */
    BLY_HALF_YES,
    BLY_HALF_NO
} BlyHalf;

/* Adds to a half its mirror image in the centre line: that of its edges (the lower one, if both)
 * which runs straight fore and aft within 0.5 % of the half's height, 2 % with BLY_HALF_YES. The
 * line that closes an open stroke counts, so one that begins and ends on the centre line is a half.
 * *unfolded tells whether it was one. Fails as bly_edges_make does; with BLY_HALF_YES also
 * (BLY_E_RANGE, where /WHAT) when neither edge is straight. */
bool bly_trace_unfold(BlyTrace *trace, const char *what, BlyHalf half, bool *unfolded,
                      BlyError *err) BLY_MUST_CHECK;

/* How wide the body is where nothing is drawn from above. */
typedef enum BlyWidthRule {
    BLY_WIDTH_DRAWN,     /* by `top` */
    BLY_WIDTH_OF_HEIGHT, /* height times `width`; 1 is turned */
    BLY_WIDTH_MOST,      /* in proportion to the height, `width` (m) at the greatest */
    BLY_WIDTH_EVEN       /* `width` (m) everywhere: cut from a board */
} BlyWidthRule;

typedef struct BlySectionPlace {
    double x; /* m */
    double exponent;
} BlySectionPlace;

typedef struct BlyOutlineSpec {
    const BlyEdges *side;
    const BlyEdges *top; /* with BLY_WIDTH_DRAWN, else NULL */
    BlyWidthRule rule;
    double width;
    /* Sections by place, x rising, at least one; straight between them, even beyond. */
    const BlySectionPlace *section;
    size_t section_count;
} BlyOutlineSpec;

typedef struct BlyOutlineFit {
    size_t stations;
    double miss;    /* m, greatest distance of belly, back or half-width from the drawing */
    double stretch; /* by how much `top` had to be drawn out lengthwise, 1: not at all */
    double skew;    /* m, how far the middle of `top` strays from a straight line fore and aft */
} BlyOutlineFit;

/* A body through stations that are chosen so that belly, back and half-width lie within 0.01 mm of
 * the drawing wherever they can (fit->miss says how near they are); at most 400. Its x = 0 is the
 * outline's nose, its z = 0 halfway between lowest belly and highest back. A top outline that is
 * not as long as the side's is drawn out to it, by 3 % at most; of an uneven one the mean of both
 * sides counts. Fails with BLY_E_RANGE and where "/top", "/side" or "/width". */
bool bly_body_from_outline(const BlyOutlineSpec *spec, BlyBody **out, BlyOutlineFit *fit,
                           BlyError *err) BLY_MUST_CHECK;

/* The superellipse that has the area and the sides' proportion of a drawn section (any size and
 * unit, y across, up to you which way round). */
typedef struct BlySectionFit {
    double exponent;
    double miss; /* area between drawing and superellipse over the drawing's: 0 is a perfect fit */
    double lean; /* how far its centroid lies above its middle, over its height */
    double aspect; /* breadth over height */
} BlySectionFit;

/* Fails with BLY_E_RANGE when no exponent from 1.2 to 20 has the area. */
bool bly_section_fit(const BlyEdges *section, BlySectionFit *out, BlyError *err) BLY_MUST_CHECK;

BLY_API_END

#endif
