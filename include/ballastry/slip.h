/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What may be meant but seldom is: a slip of the pen, a wrong unit, a part that its own sizes do
 * not bear out. Nothing here refuses anything; a line says what was found and where, what is usual,
 * and what to write if it is a slip. Thresholds and where they come from: docs/slip.md.
 *
 * A build carries those of its body and its seats; bly_build_slips adds those of a rig. */
#ifndef BALLASTRY_SLIP_H
#define BALLASTRY_SLIP_H

#include "ballastry/loft.h"
#include "ballastry/lure.h"

BLY_API_BEGIN

typedef struct BlySlip {
    char where[128]; /* JSON Pointer, "minnow.csv, line 5", or a seat's part: "belly.hook" */
    char text[BLY_TEXT_MAX]; /* one line: no capital at the start, no full stop at the end */
} BlySlip;

/* Zero is a valid empty list; it owns `at`. */
typedef struct BlySlips {
    BlySlip *at;
    size_t count;
} BlySlips;

void bly_slips_release(BlySlips *slips);
bool bly_slips_hold(const BlySlips *slips, const BlySlip *slip); /* the same words */

/* Appends one, unless it is there already. Like all that follow it fails for want of memory alone,
 * with the list as it was or longer. */
bool bly_slip_add(BlySlips *to, BlyError *err, const char *where, const char *fmt, ...)
    BLY_PRINTF(4, 5) BLY_MUST_CHECK;

/* A size far above or below that of both neighbours, an end that flares out. file: the list that
 * they stand in, with a line number each; NULL: the build itself. */
bool bly_slip_stations(BlySlips *to, const BlyStation *station, size_t count, const char *file,
                       const size_t *line, BlyError *err) BLY_MUST_CHECK;

/* Where the body's sizes come from. */
typedef struct BlySlipSource {
    const char *where; /* "/body/stations" */
    double unit;       /* m, of a mesh's numbers; NAN: no mesh */
    double filled;     /* share of the outer volume that is material */
    bool told;         /* a station was sliped: one slip is said once */
} BlySlipSource;

/* Length, proportions, density: against what is usual, and against the material that was named.
 * `material`: its id, "" when it has none. */
bool bly_slip_body(BlySlips *to, const BlyBlank *blank, const BlySlipSource *source,
                   const char *material, BlyError *err) BLY_MUST_CHECK;
bool bly_slip_coats(BlySlips *to, const BlyCoat *coat, size_t count, BlyError *err) BLY_MUST_CHECK;
bool bly_slip_pieces(BlySlips *to, const BlyBodyFacts *facts, BlyError *err) BLY_MUST_CHECK;
/* A band of the target that nobody can hit; `narrowest` in `unit`, as the ends. An open end is an
 * infinite one. `bare`: what a bare number is in the file. */
bool bly_slip_band(BlySlips *to, const char *where, double low, double high, double narrowest,
                   const char *unit, const char *bare, BlyError *err) BLY_MUST_CHECK;
bool bly_slip_water(BlySlips *to, double salinity, const char *where, BlyError *err) BLY_MUST_CHECK;

/* A hanger under the lip, or in its slot; a slot that saws the body through; lengths, widths and
 * angles of a wrong unit; a leader that outweighs the lure. */
bool bly_slip_seats(BlySlips *to, const BlyBlank *blank, const BlySeat *seats, size_t count,
                    BlyError *err) BLY_MUST_CHECK;

/* What sits on the seats: parts that bly_part_check finds something about, weighed pieces far off
 * their sizes, eyes too thick for the wood, holes and slots that leave no body. */
bool bly_slip_rig(BlySlips *to, const BlyBlank *blank, const BlySeat *seats, const BlyRig *rig,
                  const BlyCatalog *catalog, BlyError *err) BLY_MUST_CHECK;

BLY_API_END

#endif
