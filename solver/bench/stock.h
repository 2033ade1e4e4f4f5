/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shelf holds the newest stock; requests and fits hold the one that they began with. */
#ifndef BALLASTRY_BENCH_STOCK_H
#define BALLASTRY_BENCH_STOCK_H

#include "bench/bench.h"

typedef struct Shelf Shelf;

/* Takes the first stock in every case; NULL without memory. */
Shelf *shelf_new(BenchStock *first) BLY_MUST_CHECK;
void shelf_free(Shelf *shelf);
void shelf_read_by(Shelf *shelf, BenchStocker read, void *context);

/* The newest, held; let it go. NULL is allowed to be let go. */
BenchStock *shelf_hold(Shelf *shelf);
void stock_hold(BenchStock *stock);
void stock_let_go(BenchStock *stock);
BenchStock *stock_new(void) BLY_MUST_CHECK; /* empty, held once; NULL without memory */

/* Reads another, held by the caller, which is not on the shelf yet: `box` as BenchStocker takes it.
 * NULL with err filled. */
BenchStock *shelf_read(Shelf *shelf, const Bench *bench, const char *box,
                       BlyError *err) BLY_MUST_CHECK;
/* From now on that is the newest. */
void shelf_put(Shelf *shelf, BenchStock *stock);

#endif
