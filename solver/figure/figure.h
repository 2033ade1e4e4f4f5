/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A lure as flat shapes, seen from one direction: what sheets, terminal and page draw.
 * Metres; x to the right and y upward, which for a side view are the world's X and Z. */
#ifndef BALLASTRY_FIGURE_H
#define BALLASTRY_FIGURE_H

#include "build/build.h"
#include "ballastry/rest.h"

typedef struct Pt {
    double x, y;
} Pt;

/* The lure that is seen; all borrowed. */
typedef struct FigureOf {
    const BlyBuild *build;
    const BlyRig *rig;
    const BlyLure *lure;
} FigureOf;

typedef enum ShapeKind {
    SHAPE_BODY,
    SHAPE_SLICE,  /* one section of the body, seen from the front */
    SHAPE_LIP,    /* what stands out of the body */
    SHAPE_HIDDEN, /* what is inside it: slot, shanks, pieces of the blank */
    SHAPE_METAL,  /* on the surface */
    SHAPE_WIRE,   /* eyes, rings, hooks: a line as thick as the wire */
    SHAPE_TURNS   /* wire around a shank */
} ShapeKind;

const char *bly_shape_name(ShapeKind kind); /* "body", "slice", "lip" .. */

typedef struct Shape {
    ShapeKind kind;
    int seat;      /* -1: the blank's own */
    int piece;     /* BlyPartKind of the part that it shows; -1: none, or not known */
    double stroke; /* m, how thick the line truly is; 0: a mere outline */
    bool closed;
    size_t first, count; /* in the figure's points */
} Shape;

typedef struct Figure {
    Pt *points; /* owned */
    size_t point_count, point_room;
    Shape *shapes; /* owned, what lies behind first */
    size_t shape_count, shape_room;
    bool failed; /* no memory: shapes are missing */
} Figure;

/* From where the lure is seen: turned nose-down by t and heeled by h (rad), as bly_vec_up. A body
 * seen from above is one heeled by -90 degrees, from below by 90. */
typedef struct Aspect {
    double t, h;
    bool front; /* seen from the nose, upright: t and h do not count; starboard lies to the left */
} Aspect;

/* How the lure lies: at the surface if it floats, else under water; level if it prefers nothing. */
Aspect bly_aspect_of(const BlyOutcome *outcome);

/* A point of the body as it is seen. */
Pt bly_aspect_point(Aspect aspect, BlyVec3 p);

/* What of the lure goes into a figure. */
typedef enum FigureParts {
    FIGURE_BARE = 0,        /* the bare body instead of the coated one */
    FIGURE_HULL = 1 << 0,   /* the coated body */
    FIGURE_LIP = 1 << 1,    /* lip and slot */
    FIGURE_METAL = 1 << 2,  /* strips and dots */
    FIGURE_EYES = 1 << 3,   /* loops and shanks */
    FIGURE_CHAINS = 1 << 4, /* what hangs, straight down */
    FIGURE_PIECES = 1 << 5, /* what the blank is glued of; not in a view of the whole */
    FIGURE_ALL = FIGURE_HULL | FIGURE_LIP | FIGURE_METAL | FIGURE_EYES | FIGURE_CHAINS
} FigureParts;

/* A figure is released by its owner; on failure it is empty. */
bool bly_figure_make(const FigureOf *of, Aspect aspect, unsigned parts, Figure *out,
                     BlyError *err) BLY_MUST_CHECK;
void bly_figure_release(Figure *figure);

/* Lowest and highest of all points, strokes counted; false when there are none. */
typedef struct Bounds {
    double left, right, low, high;
} Bounds;
bool bly_figure_bounds(const Figure *figure, Bounds *out);
/* The same of one seat's shapes; hidden ones do not count. */
bool bly_figure_seat_bounds(const Figure *figure, int seat, Bounds *out);
/* Where a line that names the seat may end: in the middle of its first piece of metal, at the lip's
 * lowest corner, else below or above all that sits there. */
bool bly_figure_seat_spot(const Figure *figure, int seat, bool above, Pt *out);

#endif
