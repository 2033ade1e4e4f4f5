/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "csv/csv.h"
#include "text/format.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

bool csv_open(Csv *csv, const char *text, size_t size, BlyError *err) {
    static const char mark[] = "\xef\xbb\xbf";
    if (size >= 3 && memcmp(text, mark, 3) == 0) {
        text += 3;
        size -= 3;
    }
    if (size > 0 && memchr(text, '\0', size) != NULL)
        return bly_fail(err, BLY_E_SYNTAX, NULL,
                        "the list holds a zero byte: it is not a CSV text");
    char *copy = malloc(size + 1);
    if (copy == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory left for the list");
    if (size > 0)
        memcpy(copy, text, size);
    copy[size] = '\0';
    *csv = (Csv){copy, copy, 1, ','};
    return true;
}

void csv_release(Csv *csv) {
    free(csv->text);
    *csv = (Csv){0};
}

bool csv_fail(BlyError *err, BlyCode code, const CsvRow *row, size_t column, const char *fmt, ...) {
    char where[64], text[BLY_TEXT_MAX];
    (void)snprintf(where, sizeof where, "line %zu, column %zu", row->line, column + 1);
    va_list args;
    va_start(args, fmt);
    (void)bly_vformat(text, sizeof text, fmt, args);
    va_end(args);
    return bly_fail(err, code, where, "%s", text);
}

static void skip_empty_lines(Csv *csv) {
    for (;;) {
        size_t blanks = strspn(csv->next, " \t\r");
        if (csv->next[blanks] != '\n')
            return;
        csv->next += blanks + 1;
        csv->line++;
    }
}

/* What may stand around a field. */
static const char *blanks_of(const Csv *csv) {
    return csv->separator == '\t' ? " " : " \t";
}

/* Cuts one plain field at *at; leaves *at on the comma, line end or end of text. */
static char *plain_field(const Csv *csv, char **at) {
    const char ends[] = {csv->separator, '\n', '\0'};
    char *start = *at + strspn(*at, blanks_of(csv));
    char *end = start + strcspn(start, ends);
    *at = end;
    while (end > start && strchr(" \t\r", end[-1]) != NULL)
        end--;
    /* The caller overwrites the delimiter itself; blanks before it may be cut at once. */
    if (end < *at)
        *end = '\0';
    return start;
}

/* Cuts one quoted field; doubled quotes stand for one. NULL when the quote is never closed or text
 * follows it. */
static char *quoted_field(Csv *csv, char **at) {
    char *start = *at + strspn(*at, blanks_of(csv)) + 1, *write = start, *read = start;
    for (;; read++) {
        if (*read == '\0')
            return NULL;
        if (*read == '"') {
            if (read[1] != '"')
                break;
            read++;
        }
        if (*read == '\n')
            csv->line++;
        *write++ = *read;
    }
    read++;
    read += strspn(read, blanks_of(csv));
    read += strspn(read, "\r");
    if (*read != csv->separator && *read != '\n' && *read != '\0')
        return NULL;
    *write = '\0';
    *at = read;
    return start;
}

bool csv_next(Csv *csv, CsvRow *row, BlyError *err) {
    skip_empty_lines(csv);
    *row = (CsvRow){.line = csv->line};
    char *at = csv->next;
    if (at[strspn(at, " \t\r")] == '\0')
        return true;
    for (char end = csv->separator; end == csv->separator;) {
        if (row->count == CSV_COLUMNS_MAX)
            return csv_fail(err, BLY_E_SYNTAX, row, row->count, "more than %d columns",
                            CSV_COLUMNS_MAX);
        bool quoted = at[strspn(at, blanks_of(csv))] == '"';
        char *field = quoted ? quoted_field(csv, &at) : plain_field(csv, &at);
        if (field == NULL)
            return csv_fail(err, BLY_E_SYNTAX, row, row->count,
                            "a quoted field must end with a quote, then a comma or the line's end");
        row->field[row->count++] = field;
        end = *at;
        if (end != '\0')
            *at++ = '\0';
    }
    csv->next = at;
    csv->line++;
    return true;
}
