/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows and columns of text. Every cell is cut to its column. */
#ifndef BALLASTRY_SHEET_TABLE_H
#define BALLASTRY_SHEET_TABLE_H

#include "sheet/canvas.h"

typedef struct Column {
    const char *title;
    double width; /* mm, with the air to both sides */
    Anchor align;
} Column;

typedef struct Table {
    Canvas *canvas;
    const Column *columns;
    size_t count;
    double x; /* left edge */
} Table;

/* Height of a row, mm. */
extern const double bly_table_pitch;

double table_width(const Table *table);
/* `top` is the row's upper edge. A row has a fine line below it, the head a strong one. */
void table_head(const Table *table, double top);
void table_row(const Table *table, double top, const char *const *cells);

#endif
