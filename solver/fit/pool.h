/* SPDX-License-Identifier: GPL-3.0-or-later */
/* All rigs worked through so far, in whatever round they came up, each once. */
#ifndef BALLASTRY_FIT_POOL_H
#define BALLASTRY_FIT_POOL_H

#include "fit/problem.h"

typedef struct Worked {
    BlyFitRig rig;
    Pick pick;
} Worked;

/* Zero is a valid empty one; it owns all. */
typedef struct Pool {
    Worked *at;
    size_t count, room;
} Pool;

void pool_release(Pool *pool);

/* Works a pick through and keeps it, unless the same rig is there. */
bool pool_add(Pool *pool, const Problem *p, const Pick *pick, BlyError *err) BLY_MUST_CHECK;

/* The best first: by merit, then by ids and cuts; a total order. */
void pool_sort(Pool *pool);
const BlyFitRig *pool_best(const Pool *pool); /* NULL: empty */

#endif
