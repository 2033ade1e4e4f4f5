/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A table as a spreadsheet writes it, whose columns are told by their headings in plain words:
 * caliper lists and outlines by points. Every cell is a length but where the caller says
 * otherwise. docs/format.md, "Tables". */
#ifndef BALLASTRY_BUILD_COLUMNS_H
#define BALLASTRY_BUILD_COLUMNS_H

#include "build/value.h"
#include "csv/csv.h"

enum { BLY_COLUMNS_MOST = 8 };

typedef struct ColumnWord {
    const char *word; /* a heading, in any case */
    int column;       /* which column it names, below BLY_COLUMNS_MOST */
} ColumnWord;

typedef struct Columns {
    Csv csv;
    const ColumnWord *words;
    size_t word_count;
    const char *expected; /* "position and diameter", for headings that nobody knows */
    int at[BLY_COLUMNS_MOST];
    char unit[BLY_COLUMNS_MOST][CSV_UNIT_MOST];
    double every; /* m, of "diameter every 5 mm"; 0 without */
    size_t count; /* cells of the header */
    CsvRow header;
} Columns;

/* Copies the text and reads its header: words, word_count and expected are set by the caller. The
 * separator is a tab where the header has one, else a semicolon where it has one, else a comma.
 * Release with columns_release, also after a failure. Errors: "line 1, column 2". */
bool columns_open(Columns *columns, const char *text, size_t size, BlyError *err) BLY_MUST_CHECK;
void columns_release(Columns *columns);

static inline bool columns_has(const Columns *columns, int column) {
    return columns->at[column] >= 0;
}

/* Refuses at a column's heading (below 0: at the first), returns false. */
bool columns_refuse(const Columns *columns, int column, BlyCode code, const char *text,
                    BlyError *err);

/* The next row that is no remark; row->count is 0 at the end. */
bool columns_next(Columns *columns, CsvRow *row, BlyError *err) BLY_MUST_CHECK;

/* One cell. A comma between digits is the decimal sign. An empty cell is refused unless optional;
 * it and a column that the table has not leave *si as it is. */
bool columns_cell(const Columns *columns, const CsvRow *row, int column, const Quantity *what,
                  bool optional, double *si, BlyError *err) BLY_MUST_CHECK;

#endif
