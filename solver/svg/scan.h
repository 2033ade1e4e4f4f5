/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the svg room: numbers and separators as SVG's grammars have them. */
#ifndef BALLASTRY_SVG_SCAN_H
#define BALLASTRY_SVG_SCAN_H

#include "ballastry/error.h"

typedef struct Scan {
    const char *text; /* the whole of it, for offsets */
    const char *at;   /* what is read next */
    BlyError *err;
} Scan;

/* Fills scan->err with the offset reached and a piece of what stands there; returns false. */
bool scan_refuse(const Scan *scan, BlyCode code, const char *expected);

void scan_blanks(Scan *scan);
/* Blanks and at most one comma; returns whether there was a comma. */
bool scan_comma(Scan *scan);

/* Whether a number begins here. */
bool scan_number_begins(const Scan *scan);

/* "1.5", ".5", "-3e-2", "+1"; the next one may follow without a blank where its sign or point tells
 * it apart ("1.5.5-3e-2" is three). Beyond 1e9 is BLY_E_RANGE. */
bool scan_number(Scan *scan, double *out) BLY_MUST_CHECK;

/* One character, 0 or 1. */
bool scan_flag(Scan *scan, bool *out) BLY_MUST_CHECK;

#endif
