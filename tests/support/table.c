/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "table.h"
#include "check.h"

struct Table {
    char ***cell; /* [row][column]; row 0 is the header */
    size_t rows, columns;
};

static char *read_field(FILE *file, int *end) {
    size_t used = 0, room = 64;
    char *text = malloc(room);
    assert_non_null(text);
    int quoted = 0, c;
    while ((c = fgetc(file)) != EOF) {
        if (c == '"') {
            int next = quoted ? fgetc(file) : EOF;
            if (next != '"') { /* two quotes in a quoted field are one (RFC 4180) */
                quoted = !quoted;
                if (next != EOF)
                    (void)ungetc(next, file);
                continue;
            }
        }
        if (!quoted && (c == ',' || c == '\n'))
            break;
        if (c == '\r')
            continue;
        if (used + 2 > room) {
            room *= 2;
            text = realloc(text, room);
            assert_non_null(text);
        }
        text[used++] = (char)c;
    }
    text[used] = '\0';
    *end = c;
    return text;
}

static char **read_row(FILE *file, size_t *count) {
    char **row = NULL;
    size_t n = 0;
    int end = ',';
    while (end == ',') {
        char *field = read_field(file, &end);
        if (end == EOF && n == 0 && field[0] == '\0') {
            free(field);
            break;
        }
        row = realloc(row, (n + 1) * sizeof *row);
        assert_non_null(row);
        row[n++] = field;
    }
    *count = n;
    return row;
}

Table *table_read(const char *path) {
    FILE *file = fopen(path, "r");
    if (file == NULL)
        fail_msg("cannot open %s", path);
    Table *table = calloc(1, sizeof *table);
    assert_non_null(table);
    size_t count = 0;
    char **row;
    while ((row = read_row(file, &count)) != NULL) {
        if (table->rows == 0)
            table->columns = count;
        else if (count != table->columns)
            fail_msg("%s: row %zu has %zu fields, the header has %zu", path, table->rows + 1, count,
                     table->columns);
        table->cell = realloc(table->cell, (table->rows + 1) * sizeof *table->cell);
        assert_non_null(table->cell);
        table->cell[table->rows++] = row;
    }
    (void)fclose(file);
    if (table->rows < 2)
        fail_msg("%s: no rows", path);
    return table;
}

void table_free(Table *table) {
    for (size_t r = 0; r < table->rows; r++) {
        for (size_t c = 0; c < table->columns; c++)
            free(table->cell[r][c]);
        free(table->cell[r]);
    }
    free(table->cell);
    free(table);
}

size_t table_rows(const Table *table) {
    return table->rows - 1;
}

const char *table_text(const Table *table, size_t row, const char *column) {
    for (size_t c = 0; c < table->columns; c++) {
        if (strcmp(table->cell[0][c], column) == 0)
            return table->cell[row + 1][c];
    }
    fail_msg("no column %s", column);
    return "";
}

double table_number(const Table *table, size_t row, const char *column) {
    const char *text = table_text(table, row, column);
    char *end;
    double value = strtod(text, &end);
    if (end == text || *end != '\0')
        fail_msg("row %zu, column %s: '%s' is not a number", row + 2, column, text);
    return value;
}
