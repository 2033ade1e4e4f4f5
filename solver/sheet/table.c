/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sheet/table.h"

const double bly_table_pitch = 4.4;
static const double cell_air = 0.8;

double table_width(const Table *table) {
    double width = 0;
    for (size_t i = 0; i < table->count; i++)
        width += table->columns[i].width;
    return width;
}

static void cell(const Table *table, TextStyle style, const Column *column, double x,
                 double baseline, const char *text) {
    double at = x + cell_air;
    if (column->align == ANCHOR_END)
        at = x + column->width - cell_air;
    else if (column->align == ANCHOR_MIDDLE)
        at = x + 0.5 * column->width;
    (void)canvas_text(table->canvas, style, column->align, (Pt){at, baseline},
                      column->width - 2 * cell_air, text);
}

static void line_below(const Table *table, const char *look, double top) {
    double y = top + bly_table_pitch;
    canvas_line(table->canvas, look, 0, (Pt){table->x, y}, (Pt){table->x + table_width(table), y});
}

void table_head(const Table *table, double top) {
    double x = table->x;
    for (size_t i = 0; i < table->count; i++) {
        cell(table, TEXT_SMALL, &table->columns[i], x, top + 3.1, table->columns[i].title);
        x += table->columns[i].width;
    }
    line_below(table, "rule", top);
}

void table_row(const Table *table, double top, const char *const *cells) {
    double x = table->x;
    for (size_t i = 0; i < table->count; i++) {
        cell(table, TEXT_PLAIN, &table->columns[i], x, top + 3.2, cells[i]);
        x += table->columns[i].width;
    }
    line_below(table, "fine", top);
}
