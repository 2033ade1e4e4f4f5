/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the outline room: cubic Bezier curves, one coordinate over t in [0, 1], and strokes.
 */
#ifndef BALLASTRY_OUTLINE_CUBIC_H
#define BALLASTRY_OUTLINE_CUBIC_H

#include "ballastry/outline.h"

double cubic_at(const double p[4], double t);

/* Where it turns back, within (0, 1), rising; returns how many, 0 to 2. */
int cubic_turns(const double p[4], double turn[2]);

void cubic_range(const double p[4], double *low, double *high);

enum { STROKES_MOST = 400 };

/* Adds the straight lines that make loops of loose strokes; *one tells whether there is only one
 * loop in all. */
bool trace_chain(BlyTrace *trace, bool *one, BlyError *err) BLY_MUST_CHECK;

#endif
