/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bench sheet as a flow of blocks down the pages: a block that does not fit begins a new one.
 */
#ifndef BALLASTRY_SHEET_FLOW_H
#define BALLASTRY_SHEET_FLOW_H

#include "sheet/pages.h"
#include "sheet/table.h"

typedef struct Flow {
    Pages *pages;
    Canvas *canvas; /* the page that is open; NULL without memory */
    const BlySheetFacts *facts, *after;
    const BlySheetFacts *shown; /* what the tables tell of: `after` if there is one */
    const BlySheetOrder *order;
    double left, right, top, bottom; /* where blocks may lie, mm */
    double width, height;            /* of the paper */
    double y;                        /* upper edge of what comes next */
    size_t page, page_count;         /* page_count: 0 while they are being counted */
} Flow;

/* Sees to it that `height` mm are free below y, on a new page if need be. False without memory. */
bool flow_need(Flow *flow, double height);
/* A heading that keeps together with the `height` mm below it. */
bool flow_heading(Flow *flow, const char *text, double height);
/* A paragraph over the whole width. */
void flow_say(Flow *flow, TextStyle style, const char *text);
/* A table of rows that may go on on the next page, under its head again. */
typedef void (*FlowRow)(Flow *flow, const Table *table, double top, size_t row, const void *user);
void flow_table(Flow *flow, const char *heading, const Column *columns, size_t count, size_t rows,
                double row_height, FlowRow put, const void *user);

/* The blocks. */
void block_doing(Flow *flow);     /* what it was made for, what it will do */
void block_life_size(Flow *flow); /* the drawing at 1:1, over as many pieces as it takes */
void block_seats(Flow *flow);
void block_blank(Flow *flow); /* the pieces of a glued blank */
void block_parts(Flow *flow);
void block_ladder(Flow *flow);
void block_templates(Flow *flow); /* lips and strips to cut out */
void block_cautions(Flow *flow);

#endif
