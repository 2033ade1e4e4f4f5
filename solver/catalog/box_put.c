/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One line of a box changed or added, byte for byte as it was elsewhere. */
#include "catalog/catalog.h"
#include "csv/csv.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

enum { CELLS = 10, ID = 0 };

/* In the order of BoxLine; what else a list may call the column (box.c). */
static const char *const names[CELLS][3] = {
    {"id", "part"},
    {"kind", "type"},
    {"size", "gauge"},
    {"style"},
    {"grade"},
    {"material", "metal"},
    {"mass", "weight"},
    {"weighed"},
    {"count", "pieces", "number"},
    {"note", "notes", "remark"},
};

typedef struct Put {
    const char *cell[CELLS];
    size_t column[CELLS]; /* in the list; NOWHERE: it has none */
    size_t columns, more; /* that there were, and that are added */
    char separator;
    BlyText *out;
} Put;
static const size_t NOWHERE = CSV_COLUMNS_MAX;

static void take_cells(const BoxLine *line, Put *put) {
    const char *const cells[CELLS] = {line->id,    line->kind,     line->size, line->style,
                                      line->grade, line->material, line->mass, line->weighed,
                                      line->count, line->note};
    memcpy(put->cell, cells, sizeof cells);
}

/* A heading may have its unit behind it: "mass (g)". */
static bool is_heading(const char *heading, const char *name) {
    size_t length = strlen(name);
    return strncasecmp(heading, name, length) == 0 &&
           (heading[length] == '\0' || heading[length] == ' ' || heading[length] == '(');
}

static void find_columns(const CsvRow *header, Put *put) {
    put->columns = header->count;
    for (size_t c = 0; c < CELLS; c++) {
        put->column[c] = NOWHERE;
        for (size_t i = 0; i < header->count; i++) {
            for (size_t n = 0; n < 3 && names[c][n] != NULL; n++) {
                if (is_heading(header->field[i], names[c][n]))
                    put->column[c] = i;
            }
        }
        if (put->column[c] == NOWHERE && put->cell[c] != NULL && put->cell[c][0] != '\0')
            put->column[c] = put->columns + put->more++;
    }
}

static void put_cell(Put *put, size_t column, const char *cell) {
    if (column > 0)
        bly_text_append_bytes(put->out, &put->separator, 1);
    const char needs[] = {put->separator, '"', '#', '\0'};
    bool quoted = strpbrk(cell, needs) != NULL;
    for (const char *p = cell; quoted && *p != '\0'; p++) {
        if (p == cell)
            bly_text_append_bytes(put->out, "\"", 1);
        bly_text_append_bytes(put->out, *p == '"' ? "\"\"" : p, *p == '"' ? 2 : 1);
    }
    if (quoted)
        bly_text_append_bytes(put->out, "\"", 1);
    else
        bly_text_append_bytes(put->out, cell, strlen(cell));
}

/* The row, or a new one (NULL), with what is asked for in its cells. */
static void put_row(Put *put, const CsvRow *row) {
    for (size_t i = 0; i < put->columns + put->more; i++) {
        const char *cell = row != NULL && i < row->count ? row->field[i] : "";
        for (size_t c = 0; c < CELLS; c++) {
            if (put->column[c] == i && put->cell[c] != NULL)
                cell = put->cell[c];
        }
        put_cell(put, i, cell);
    }
    bly_text_append_bytes(put->out, "\n", 1);
}

/* The bytes of a row as they stand, with empty cells for the new columns. */
static void put_as_is(Put *put, const char *bytes, size_t size, size_t more) {
    size_t line = size;
    while (line > 0 && (bytes[line - 1] == '\n' || bytes[line - 1] == '\r'))
        line--;
    bly_text_append_bytes(put->out, bytes, line);
    for (size_t i = 0; i < more; i++)
        bly_text_append_bytes(put->out, &put->separator, 1);
    if (line == size)
        bly_text_append_bytes(put->out, "\n", 1);
    bly_text_append_bytes(put->out, bytes + line, size - line);
}

static void put_header(Put *put, const char *bytes, size_t size) {
    size_t line = size;
    while (line > 0 && (bytes[line - 1] == '\n' || bytes[line - 1] == '\r'))
        line--;
    bly_text_append_bytes(put->out, bytes, line);
    for (size_t i = 0; i < put->more; i++) {
        for (size_t c = 0; c < CELLS; c++) {
            if (put->column[c] == put->columns + i)
                put_cell(put, put->columns + i, names[c][0]);
        }
    }
    bly_text_append_bytes(put->out, line < size ? bytes + line : "\n",
                          line < size ? size - line : 1);
}

static bool one_line(const Put *put, BlyError *err) {
    for (size_t c = 0; c < CELLS; c++) {
        if (put->cell[c] != NULL && strpbrk(put->cell[c], "\n\r") != NULL)
            return bly_fail(err, BLY_E_SYNTAX, names[c][0], "should be one line");
    }
    return true;
}

/* Rows from the header on; *done: the line was there. */
static bool put_rows(Csv *csv, const char *text, Put *put, bool *done, BlyError *err) {
    CsvRow row;
    bool header = true;
    for (;;) {
        size_t from = (size_t)(csv->next - csv->text);
        if (!csv_next(csv, &row, err))
            return false;
        size_t to =
            row.count > 0 ? (size_t)(csv->next - csv->text) : from + strlen(csv->text + from);
        const char *bytes = text + from;
        if (row.count == 0) {
            bly_text_append_bytes(put->out, bytes, to - from);
            return true;
        }
        const char *id = put->column[ID] < row.count ? row.field[put->column[ID]] : "";
        if (row.field[0][0] == '#') {
            put_as_is(put, bytes, to - from, 0);
        } else if (header) {
            find_columns(&row, put);
            put_header(put, bytes, to - from);
            header = false;
        } else if (put->cell[ID] != NULL && put->cell[ID][0] != '\0' &&
                   strcmp(id, put->cell[ID]) == 0) {
            put_row(put, &row);
            *done = true;
        } else {
            put_as_is(put, bytes, to - from, put->more);
        }
    }
}

/* A list of its own: the columns that are asked for. */
static void begin_list(Put *put) {
    put->separator = ',';
    for (size_t c = 0; c < CELLS; c++) {
        bool asked = put->cell[c] != NULL && put->cell[c][0] != '\0';
        put->column[c] = asked ? put->more++ : NOWHERE;
        if (asked)
            put_cell(put, put->column[c], names[c][0]);
    }
    bly_text_append_bytes(put->out, "\n", 1);
}

static bool is_blank(const char *text, size_t size) {
    for (size_t i = 0; i < size; i++) {
        if (strchr(" \t\r\n", text[i]) == NULL)
            return false;
    }
    return true;
}

bool box_put_line(const char *text, size_t size, const BoxLine *line, BlyText *out, BlyError *err) {
    Put put = {.out = out};
    Csv csv;
    bool done = false;
    take_cells(line, &put);
    if (!one_line(&put, err))
        return false;
    if (is_blank(text, size)) {
        begin_list(&put);
        put_row(&put, NULL);
        return bly_text_good(out, err);
    }
    if (!csv_open(&csv, text, size, err))
        return false;
    csv_find_separator(&csv);
    put.separator = csv.separator;
    size_t mark = size - strlen(csv.text); /* a byte order mark was passed over */
    bly_text_append_bytes(out, text, mark);
    bool good = put_rows(&csv, text + mark, &put, &done, err);
    csv_release(&csv);
    if (good && !done)
        put_row(&put, NULL);
    return good && bly_text_good(out, err);
}
