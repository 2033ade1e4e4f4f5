/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Comma-separated values after RFC 4180, read in place: rows of fields, fields may be quoted, lines
 * end in LF or CR LF, a byte order mark is passed over, empty lines are skipped. */
#ifndef BALLASTRY_CSV_CSV_H
#define BALLASTRY_CSV_CSV_H

#include "ballastry/error.h"
#include "ballastry/units.h"

enum { CSV_COLUMNS_MAX = 32, CSV_UNIT_MOST = 24 /* bytes */ };

typedef struct Csv {
    char *text;     /* owned; fields are cut out of it */
    char *next;     /* where the next row begins */
    size_t line;    /* of that row, counted from 1 */
    char separator; /* a comma, unless set to another after csv_open */
} Csv;

typedef struct CsvRow {
    char *field[CSV_COLUMNS_MAX]; /* blanks around unquoted fields are cut off */
    size_t count;
    size_t line; /* where it begins */
} CsvRow;

/* Copies the text. A zero byte within it is BLY_E_SYNTAX. Release with csv_release. */
bool csv_open(Csv *csv, const char *text, size_t size, BlyError *err);
void csv_release(Csv *csv);

/* The next row; row->count is 0 at the end. Its fields live as long as csv. */
bool csv_next(Csv *csv, CsvRow *row, BlyError *err);

/* ---- as a spreadsheet writes it (spreadsheet.c) ---- */

/* A tab where the first line has one, else a semicolon where it has one, else a comma. */
void csv_find_separator(Csv *csv);
/* The next row that does not begin with #. */
bool csv_next_plain(Csv *csv, CsvRow *row, BlyError *err);
/* Cuts a unit off a heading, "width (in)", "width in mm", "width mm"; *unit stays where there is
 * none. `what` and `example` go into the error: "length", "width (in)". */
bool csv_cut_unit(const CsvRow *row, size_t at, BlyDimension dim, const char *what,
                  const char *example, char unit[CSV_UNIT_MOST], BlyError *err);
/* The first comma of a cell is its decimal sign. */
void csv_point(char *cell);

/* Fills err with a place "line 3, column 2" (column counted from 0 here) and returns false. */
bool csv_fail(BlyError *err, BlyCode code, const CsvRow *row, size_t column, const char *fmt, ...)
    BLY_PRINTF(5, 6);

#endif
