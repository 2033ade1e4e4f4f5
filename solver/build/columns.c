/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "build/columns.h"

#include "text/near.h"
#include "text/quote.h"

#include <stdio.h>
#include <string.h>
#include <strings.h>

enum { CELL_MOST = 64, WORDS_MOST = 48 };

static bool find_word(const Columns *columns, const CsvRow *row, size_t at, int *out,
                      BlyError *err) {
    const char *known[WORDS_MOST], *word = row->field[at];
    size_t count = columns->word_count;
    for (size_t i = 0; i < count; i++) {
        known[i] = columns->words[i].word;
        if (strcasecmp(word, known[i]) == 0) {
            *out = columns->words[i].column;
            return true;
        }
    }
    char quoted[BLY_QUOTE_MAX];
    bly_quote(word, quoted);
    const char *near = bly_near(word, known, count);
    return csv_fail(err, BLY_E_UNKNOWN, row, at, "no column is called \"%s\"; %s%s%s", quoted,
                    near != NULL ? "did you mean \"" : "expected ",
                    near != NULL ? near : columns->expected, near != NULL ? "\"?" : "");
}

/* "diameter every 5 mm": the places follow each other in even steps from the nose. */
static bool cut_every(Columns *columns, const CsvRow *row, size_t at, BlyError *err) {
    char *heading = row->field[at], *every = strstr(heading, " every ");
    if (every == NULL)
        return true;
    BlyError deeper = {0};
    char *comma = strchr(every, ',');
    if (comma != NULL)
        *comma = '.';
    if (!bly_quantity_read(every + 7, BLY_DIM_LENGTH, "mm", &columns->every, &deeper))
        return csv_fail(err, deeper.code, row, at, "%s", deeper.text);
    if (!(columns->every > 0.0 && columns->every <= bly_any_length.high))
        return csv_fail(err, BLY_E_RANGE, row, at, "expected a step above 0 behind \"every\"");
    while (every > heading && every[-1] == ' ')
        every--;
    *every = '\0';
    return true;
}

static bool read_heading(Columns *columns, size_t at, BlyError *err) {
    const CsvRow *row = &columns->header;
    char unit[CSV_UNIT_MOST] = "mm";
    int column = 0;
    if (!cut_every(columns, row, at, err) ||
        !csv_cut_unit(row, at, BLY_DIM_LENGTH, "length", "width (in)", unit, err))
        return false;
    if (!find_word(columns, row, at, &column, err))
        return false;
    if (columns->at[column] >= 0)
        return csv_fail(err, BLY_E_CONFLICT, row, at, "there are two columns for the same");
    columns->at[column] = (int)at;
    memcpy(columns->unit[column], unit, sizeof unit);
    return true;
}

bool columns_open(Columns *columns, const char *text, size_t size, BlyError *err) {
    for (int i = 0; i < BLY_COLUMNS_MOST; i++)
        columns->at[i] = -1;
    if (!csv_open(&columns->csv, text, size, err))
        return false;
    csv_find_separator(&columns->csv);
    if (!csv_next_plain(&columns->csv, &columns->header, err))
        return false;
    columns->count = columns->header.count;
    if (columns->count == 0)
        return bly_fail(err, BLY_E_MISSING, NULL, "the list is empty");
    for (size_t i = 0; i < columns->count; i++) {
        if (!read_heading(columns, i, err))
            return false;
    }
    return true;
}

void columns_release(Columns *columns) {
    csv_release(&columns->csv);
}

bool columns_refuse(const Columns *columns, int column, BlyCode code, const char *text,
                    BlyError *err) {
    size_t at = column >= 0 ? (size_t)columns->at[column] : 0;
    return csv_fail(err, code, &columns->header, at, "%s", text);
}

bool columns_next(Columns *columns, CsvRow *row, BlyError *err) {
    if (!csv_next_plain(&columns->csv, row, err))
        return false;
    if (row->count == 0 || row->count == columns->count)
        return true;
    return csv_fail(err, BLY_E_SYNTAX, row, row->count - 1,
                    "has %zu cells, the header %zu; with decimal commas part the columns by ;",
                    row->count, columns->count);
}

bool columns_cell(const Columns *columns, const CsvRow *row, int column, const Quantity *what,
                  bool optional, double *si, BlyError *err) {
    if (!columns_has(columns, column))
        return true;
    size_t at = (size_t)columns->at[column];
    const char *field = row->field[at];
    bool length = what->dim == BLY_DIM_LENGTH;
    if (field[0] == '\0')
        return optional || csv_fail(err, BLY_E_MISSING, row, at, "is empty; expected a number");
    char cell[CELL_MOST];
    if (snprintf(cell, sizeof cell, "%s", field) >= (int)sizeof cell)
        return csv_fail(err, BLY_E_SYNTAX, row, at, "is too long for a number");
    csv_point(cell);
    double value;
    BlyError deeper = {0};
    if (!bly_quantity_read(cell, what->dim, length ? columns->unit[column] : NULL, &value, &deeper))
        return csv_fail(err, deeper.code, row, at, "%s", deeper.text);
    if (value < what->low || value > what->high)
        return csv_fail(err, BLY_E_RANGE, row, at, "is %s; expected %g to %g%s", cell,
                        length ? what->low * 1e3 : what->low,
                        length ? what->high * 1e3 : what->high, length ? " mm" : "");
    *si = value;
    return true;
}
