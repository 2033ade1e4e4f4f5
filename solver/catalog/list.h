/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the room catalog: lists of parts as CSV. A header row says where each of a list's own
 * columns stands, each further row is one part; what the columns mean is the list's. */
#ifndef BALLASTRY_CATALOG_LIST_H
#define BALLASTRY_CATALOG_LIST_H

#include "ballastry/catalog.h"
#include "csv/csv.h"

enum { LIST_COLUMNS_MAX = 16, LIST_NOT_THERE = CSV_COLUMNS_MAX, LIST_CELL_MOST = 80 };

typedef struct ListLayout {
    size_t at[LIST_COLUMNS_MAX];                /* in this file; LIST_NOT_THERE: nowhere */
    char unit[LIST_COLUMNS_MAX][CSV_UNIT_MOST]; /* of bare numbers */
    size_t columns;                             /* of the file */
} ListLayout;

typedef struct ListKind {
    const char *empty; /* said of a list without a row */
    /* One heading: cuts its unit off and calls list_place. */
    bool (*heading)(const CsvRow *row, size_t at, ListLayout *layout, BlyError *err);
    /* Once all are placed: whether those are there that must be; units where none was said. */
    bool (*header)(const CsvRow *row, ListLayout *layout, BlyError *err);
    /* Puts the part of a row, with what the row says of it, into `changed`: by list_put. */
    bool (*row)(const BlyCatalog *base, const CsvRow *row, const ListLayout *layout,
                BlyCatalog *changed, BlyError *err);
} ListKind;

/* Reads a list; its parts join those of `into` or take their place, all or, on failure, none. */
bool list_read(const ListKind *kind, BlyCatalog *into, const char *text, size_t size,
               BlyError *err) BLY_MUST_CHECK;

/* That the field `at` of the header is the list's column, once: `name` is what it is called. */
bool list_place(const CsvRow *row, size_t at, unsigned column, const char *name, ListLayout *layout,
                BlyError *err) BLY_MUST_CHECK;
/* "" where the column is not there or the field is empty. */
const char *list_field(const CsvRow *row, const ListLayout *layout, unsigned column);
/* The same as a number with a point. */
const char *list_amount(const CsvRow *row, const ListLayout *layout, unsigned column,
                        char out[LIST_CELL_MOST]);
/* An error at a field, at the row's first where the column is not there. Returns false. */
bool list_refuse(BlyError *err, BlyCode code, const CsvRow *row, const ListLayout *layout,
                 unsigned column, const char *text);
/* Puts the field's place before an error that was found within it. Returns false. */
bool list_in_field(BlyError *err, const CsvRow *row, const ListLayout *layout, unsigned column);
/* A part that the list names for the first time. */
bool list_put(const CsvRow *row, const ListLayout *layout, unsigned id, const BlyPart *part,
              BlyCatalog *changed, BlyError *err) BLY_MUST_CHECK;

#endif
