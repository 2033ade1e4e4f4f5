/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A lure that porpoises or rolls over: what makers try, in their order, and what each would do to
 * this lure at rest, to its chance and on the line. None of them is promised to cure it
 * (docs/on-the-water.md). */
#ifndef BALLASTRY_DESK_CURES_H
#define BALLASTRY_DESK_CURES_H

#include "ballastry/spread.h"
#include "ballastry/tow_range.h"

typedef enum Saw { SAW_PORPOISES, SAW_ROLLS_OVER, SAW_KINDS } Saw;
/* "porpoises", "rolls-over"; false for anything else. */
bool saw_parse(const char *text, Saw *out);
const char *saw_words(Saw saw);

enum { CURES_MOST = 8 };

typedef struct CureDone {
    BlyTowLever change;
    bool
        possible; /* false: there is nothing to change, or it can't be built; all else is nothing */
    BlyOutcome rest;
    double chance; /* that the target is met in still water; NAN: no target */
    BlyTowEffect run;
} CureDone;

typedef struct CuresWork {
    Saw saw;
    BlyOutcome before;
    double chance_before, speed;
    CureDone at[CURES_MOST];
    size_t count;
} CuresWork;

/* Of the build as fitted; ask: line and speed (change_at). Needs a tie. */
bool cures_work(const BlyBuild *build, Saw saw, const BlyTowAsk *ask, CuresWork *out,
                BlyError *err) BLY_MUST_CHECK;

#endif
