/* SPDX-License-Identifier: GPL-3.0-or-later */
/* In which waters a lure keeps doing what it should: along temperature at a few salinities, and
 * along salinity at its own temperature. Edges are roots of the full physics. docs/window.md. */
#ifndef BALLASTRY_WINDOW_H
#define BALLASTRY_WINDOW_H

#include "ballastry/build.h"

BLY_API_BEGIN

enum { BLY_WINDOW_LINES = 6, BLY_WINDOW_SPANS_MAX = 16, BLY_WINDOW_POINTS = 9 };

/* A stretch of a line in which state and `keeps` do not change. */
typedef struct BlyWindowSpan {
    double from, to;    /* deg C, or kg/kg on the line of salinities */
    bool ends_at_range; /* `to` is the end of what was looked at, not a crossing */
    BlyState state;
    bool keeps; /* meets the target; without one: state as in the build's own water, and attitude
                   within 5 degrees of it */
    double drift, nose_down; /* in its middle */
} BlyWindowSpan;

typedef struct BlyWindowPoint {
    double at;
    BlyState state;
    double net_weight, drift, nose_down;
    double shows; /* NAN unless the target is to float */
    bool keeps;
} BlyWindowPoint;

typedef struct BlyWindowLine {
    double fixed; /* salinity, kg/kg, of a line over temperature; temperature of the other */
    BlyWindowSpan span[BLY_WINDOW_SPANS_MAX];
    size_t span_count;
    BlyWindowPoint point[BLY_WINDOW_POINTS]; /* equal steps over the range */
} BlyWindowLine;

typedef struct BlyWindow {
    BlyWindowLine temperature[BLY_WINDOW_LINES]; /* 0 to 40 C: own, then 0, 5, 10, 20, 35 g/kg */
    size_t line_count;                           /* the own one is left out where it is another's */
    BlyWindowLine salinity;                      /* 0 to 42 g/kg at the build's own temperature */
    bool of_target;                              /* what `keeps` means */
    unsigned notes; /* BLY_NOTE_EXPANSION_UNKNOWN, BLY_NOTE_EXPANSION_MEMORY */
} BlyWindow;

/* Works the window of a build with a rig out. target may be NULL. More than BLY_WINDOW_SPANS_MAX
 * spans on a line: the last one is then cut to the range's end (a lure that indifferent flips at
 * every degree). Errors: of lure and rest. */
bool bly_water_window(const BlyBuild *build, const BlyRig *rig, const BlyTarget *target,
                      BlyWindow *out, BlyError *err) BLY_MUST_CHECK;

BLY_API_END

#endif
