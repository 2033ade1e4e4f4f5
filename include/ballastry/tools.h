/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a maker reads a lure with in the tank, and how often a maker is willing to look. */
#ifndef BALLASTRY_TOOLS_H
#define BALLASTRY_TOOLS_H

#include "ballastry/api.h"

BLY_API_BEGIN

/* Tank tests that are planned at most, and where a build is silent. */
enum { BLY_TESTS_MAX = 3, BLY_TESTS_USUAL = 2 };

typedef enum BlyTool {
    BLY_TOOL_STOPWATCH, /* and a marked depth: how fast it comes or goes */
    BLY_TOOL_PHOTO,     /* from the side: its angle */
    BLY_TOOL_THREAD,    /* from the scale to the lure under water: its weight there, without drag */
    BLY_TOOL_WEIGHTS,   /* a row of known ones, hung on what rises until it hangs still */
    BLY_TOOL_FLOAT_LINE, /* what shows of a lure that floats */
    BLY_TOOLS
} BlyTool;
const char *bly_tool_name(BlyTool tool); /* as builds have it: "float_line" */

/* What most makers have (common practice, no source): a watch, a telephone that takes pictures, a
 * float line. */
enum {
    BLY_TOOLS_USUAL = 1u << BLY_TOOL_STOPWATCH | 1u << BLY_TOOL_PHOTO | 1u << BLY_TOOL_FLOAT_LINE
};

BLY_API_END

#endif
