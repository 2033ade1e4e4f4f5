/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Makers in the loop: a lure glued as the program says, looked at in the tank with a maker's tools,
 * told to the program, mended as it then says, looked at again. */
#ifndef BALLASTRY_TESTS_SUPPORT_MAKER_LOOP_H
#define BALLASTRY_TESTS_SUPPORT_MAKER_LOOP_H

#include "support/real_lure.h"

enum { LOOP_TESTS = 3, LOOP_FIGURES = 4 };
typedef enum LoopFigure { LOOP_NET, LOOP_DRIFT, LOOP_NOSE, LOOP_SHOWS } LoopFigure;

/* How the program is asked what to do. */
typedef enum LoopWay {
    LOOP_MEND,     /* what `mend` says */
    LOOP_FINISHED, /* fit --finished, its first way to mend it */
    LOOP_WAYS
} LoopWay;

typedef struct LoopOrder {
    const BlyBuild *build; /* with its rig; borrowed */
    const BlyBuild *open; /* not NULL: each maker first reads what `fit` ends in saying, and the rig
                           * is chosen for that; the build before any rig is; borrowed */
    const BlyCatalog *catalog;
    LoopWay way;
    bool thread; /* the lure is weighed on a thread in the water, too */
    bool sharp;  /* readings a thousand times as good: what hands alone leave */
    bool deft;   /* hands and scale a thousand times as good: what readings alone leave */
    int makers;
    unsigned long seed;
    bool tell; /* every lure on standard output */
} LoopOrder;

typedef struct LoopTally {
    int makers;
    int met[LOOP_TESTS + 1]; /* lures on target as built, and after so many tests and mends */
    int mends, changes, changes_most;
    int farther; /* mends after which the lure was further outside than before */
    int more_than_two;
    int asked[LOOP_FIGURES], held[LOOP_FIGURES]; /* 90 % ranges of what it does now */
    int missed[LOOP_TESTS + 1][REAL_MISSES];     /* lures off target then, by what is worst */
    int first;                                   /* readings before the glue */
    int left;    /* blanks that were weighed and left, since the program said that nothing fits;
                  * not among the makers */
    int refused; /* tests whose readings were said to contradict */
} LoopTally;

bool loop_run(const LoopOrder *order, LoopTally *out, BlyError *err) BLY_MUST_CHECK;

/* The build as its file has it; and with the first rig of `fit`, or of `fit --on-paper`;
 * bly_build_free. */
bool loop_open(const char *path, const BlyCatalog *catalog, BlyBuild **out,
               BlyError *err) BLY_MUST_CHECK;
bool loop_build(const char *path, const BlyCatalog *catalog, bool on_paper, BlyBuild **out,
                BlyError *err) BLY_MUST_CHECK;

#endif
