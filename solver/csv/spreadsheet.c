/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lists as spreadsheets write them: other separators, units in headings, decimal commas, remarks.
 */
#include "csv/csv.h"

#include <stdio.h>
#include <string.h>
#include <strings.h>

/* Spreadsheets write semicolons wherever the comma is the decimal sign, and tabs on the clipboard.
 */
void csv_find_separator(Csv *csv) {
    const char *text = csv->text;
    while (*text == '#' || *text == '\n' || *text == '\r' || *text == ' ') {
        if (*text == '#')
            text += strcspn(text, "\n");
        else
            text++;
    }
    size_t length = strcspn(text, "\n");
    if (memchr(text, '\t', length) != NULL)
        csv->separator = '\t';
    else
        csv->separator = memchr(text, ';', length) != NULL ? ';' : ',';
}

bool csv_next_plain(Csv *csv, CsvRow *row, BlyError *err) {
    do {
        if (!csv_next(csv, row, err))
            return false;
    } while (row->count > 0 && row->field[0][0] == '#');
    return true;
}

static bool is_unit(const char *unit, BlyDimension dim) {
    char probe[CSV_UNIT_MOST + 2];
    double ignored;
    (void)snprintf(probe, sizeof probe, "1 %s", unit);
    return bly_quantity_read(probe, dim, NULL, &ignored, NULL);
}

static void cut_blanks(char *heading, char *end) {
    while (end > heading && end[-1] == ' ')
        end--;
    *end = '\0';
}

/* "width mm" or "width in mm". */
static void cut_last_word(char *heading, BlyDimension dim, char *unit) {
    char *blank = strrchr(heading, ' ');
    if (blank == NULL || strlen(blank + 1) >= CSV_UNIT_MOST || !is_unit(blank + 1, dim))
        return;
    (void)snprintf(unit, CSV_UNIT_MOST, "%s", blank + 1);
    cut_blanks(heading, blank);
    size_t length = strlen(heading);
    if (length > 3 && strcasecmp(heading + length - 3, " in") == 0)
        cut_blanks(heading, heading + length - 3);
}

bool csv_cut_unit(const CsvRow *row, size_t at, BlyDimension dim, const char *what,
                  const char *example, char unit[CSV_UNIT_MOST], BlyError *err) {
    char *heading = row->field[at], *open = strpbrk(heading, "([");
    if (open == NULL) {
        cut_last_word(heading, dim, unit);
        return true;
    }
    size_t length = strcspn(open + 1, ")]");
    if (open[1 + length] == '\0' || open[2 + length] != '\0' || length == 0 ||
        length >= CSV_UNIT_MOST)
        return csv_fail(err, BLY_E_SYNTAX, row, at, "expected a unit in brackets, \"%s\"", example);
    memcpy(unit, open + 1, length);
    unit[length] = '\0';
    if (!is_unit(unit, dim))
        return csv_fail(err, BLY_E_UNIT, row, at, "\"%s\" is not a unit of %s", unit, what);
    cut_blanks(heading, open);
    return true;
}

void csv_point(char *cell) {
    char *comma = strchr(cell, ',');
    if (comma != NULL)
        *comma = '.';
}
