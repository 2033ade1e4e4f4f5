/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the routes of a lure on its line are asked. */
#ifndef BALLASTRY_BENCH_LINE_ASK_H
#define BALLASTRY_BENCH_LINE_ASK_H

#include "bench/route.h"
#include "tow/tow.h"

/* Speeds, line and rod of the request; where none is said and the target asks for the line: at its
 * speed, on its line. */
bool line_ask(const BlyJson *in, const BlyBuild *build, BlyTowAsk *ask,
              BlyError *err) BLY_MUST_CHECK;

#endif
