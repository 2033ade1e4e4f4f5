/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bench sheet as a flow of blocks down the pages: a block that does not fit begins a new one.
 */
#ifndef BALLASTRY_SHEET_BENCH_H
#define BALLASTRY_SHEET_BENCH_H

#include "sheet/pages.h"
#include "sheet/table.h"

typedef struct Bench {
    Pages *pages;
    Canvas *canvas; /* the page that is open; NULL without memory */
    const BlySheetFacts *facts, *after;
    const BlySheetFacts *shown; /* what the tables tell of: `after` if there is one */
    const BlySheetOrder *order;
    double left, right, top, bottom; /* where blocks may lie, mm */
    double width, height;            /* of the paper */
    double y;                        /* upper edge of what comes next */
    size_t page, page_count;         /* page_count: 0 while they are being counted */
} Bench;

/* Sees to it that `height` mm are free below y, on a new page if need be. False without memory. */
bool bly_bench_need(Bench *bench, double height);
/* A heading that keeps together with the `height` mm below it. */
bool bly_bench_heading(Bench *bench, const char *text, double height);
/* A paragraph over the whole width. */
void bly_bench_say(Bench *bench, TextStyle style, const char *text);
/* A table of rows that may go on on the next page, under its head again. */
typedef void (*BenchRow)(Bench *bench, const Table *table, double top, size_t row,
                         const void *user);
void bly_bench_table(Bench *bench, const char *heading, const Column *columns, size_t count,
                     size_t rows, double row_height, BenchRow put, const void *user);

/* The blocks. */
void bly_bench_doing(Bench *bench);     /* what it was made for, what it will do */
void bly_bench_life_size(Bench *bench); /* the drawing at 1:1, over as many pieces as it takes */
void bly_bench_seats(Bench *bench);
void bly_bench_blank(Bench *bench); /* the pieces of a glued blank */
void bly_bench_parts(Bench *bench);
void bly_bench_ladder(Bench *bench);
void bly_bench_templates(Bench *bench); /* lips and strips to cut out */
void bly_bench_cautions(Bench *bench);

#endif
