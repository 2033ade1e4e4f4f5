/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Mends singly and several at once: weighed by the linear rows of the frames, the likeliest worked
 * through the full physics (mend_search.c); how sure each is, and the order (mend_rank.c). */
#ifndef BALLASTRY_FIT_MEND_SEARCH_H
#define BALLASTRY_FIT_MEND_SEARCH_H

#include "fit/mends.h"

enum { MENDS_AT_ONCE = 3 };

/* Some mends at once, by place in the list; the rest -1. None: the lure as it is. */
typedef struct Mix {
    int mend[MENDS_AT_ONCE];
    int count;
    double off; /* by the linear rows, with the trouble: lower is better */
} Mix;

typedef struct Mended {
    Mix mix;
    BlyFitRig rig; /* owned */
    double chance; /* that ranks: as mended or after trims; NAN: not worked out */
} Mended;

typedef struct MendedList {
    Mended *at; /* owned */
    size_t count, room;
    bool met, stopped;
} MendedList;
void mended_release(MendedList *list);

/* Works the likeliest mixes of each look through. `problem` lends its frames. */
bool mends_work(const Bench *bench, const MendList *mends, Problem *problem, MendedList *out,
                BlyError *err) BLY_MUST_CHECK;

/* The `most` likeliest single mends and pairs by the linear rows about the lure as it is, the best
 * first, a few of each look; *count of them. Wires are cut to what suits best, and such lengths put
 * into the list. */
bool mends_likeliest(const Bench *bench, MendList *mends, Problem *problem, size_t most, Mix *out,
                     size_t *count, BlyError *err) BLY_MUST_CHECK;

/* Hooks that hang clear of each other as the lure is stay so, and all fits its seat. */
bool mends_hang_together(const Bench *bench, const BlyRig *rig);

/* Works out chances and puts all in order; rigs that are no better than with one thing less are
 * dropped, and so is a second of one look. */
bool mends_rank(const Bench *bench, const MendList *mends, size_t wanted, MendedList *list,
                BlyError *err) BLY_MUST_CHECK;

#endif
