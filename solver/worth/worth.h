/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to measure next: of the readings that a maker can take at this stage the one that buys most
 * chance. docs/worth.md. */
#ifndef BALLASTRY_WORTH_WORTH_H
#define BALLASTRY_WORTH_WORTH_H

#include "build/build.h"
#include "trim/trim.h"

typedef enum WorthKind {
    WORTH_PIECE,   /* weigh the piece of `part` at `seat` */
    WORTH_FIVE,    /* weigh five of `part` together */
    WORTH_BLANK,   /* weigh the blank */
    WORTH_CUP,     /* push the blank under in a cup on the scale */
    WORTH_BALANCE, /* balance it on a knife edge */
    WORTH_GAUGE,   /* measure the sheet or strip `part` with a micrometer */
    WORTH_COAT,    /* weigh before and after coating */
    WORTH_WATER,   /* take the water's temperature */
    WORTH_LURE,    /* weigh the finished lure */
    WORTH_THREAD,  /* weigh it on a thread in the water */
    WORTH_KINDS
} WorthKind;

typedef struct WorthAct {
    WorthKind kind;
    int seat;            /* PIECE; else -1 */
    const BlyPart *part; /* PIECE, FIVE, GAUGE; else NULL; the catalog's */
    double minutes;
    double chance; /* after it, and the build's tests, never below that without it; NAN: not worked
                    * out, for it tells too little */
} WorthAct;

typedef struct Worth {
    WorthAct act[TRIM_KNOWN_MAX]; /* in the order of the table */
    size_t count;
    double now; /* the chance without, by the same lures */
    int tests;  /* after so many */
    bool made;  /* the lure is finished */
    int best;   /* of act; -1: none buys WORTH_LEAST, the tank test is next */
} Worth;
#define WORTH_LEAST 0.03

double worth_minutes(WorthKind kind); /* common practice, no source */

/* Works it out for a rig of a build with a target (else BLY_E_MISSING), at the stage that its
 * readings have reached. Errors as bly_reserve's. What `halt` left has a chance of NAN, as what is
 * not worked. */
bool worth_find(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *rig,
                const BlyReserveOptions *options, const TrimHalt *halt, Worth *out,
                BlyError *err) BLY_MUST_CHECK;

/* The readings as sums over inputs, one of *out an act; `acts` takes what they are. */
size_t worth_list(const BlyBuild *build, const BlyRig *rig, const BlyInput *inputs, size_t count,
                  TrimKnown out[TRIM_KNOWN_MAX], WorthAct acts[TRIM_KNOWN_MAX]);

#endif
