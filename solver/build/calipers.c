/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A caliper list: a table of places and sizes as a spreadsheet writes it, read into stations. Its
 * columns are told by their headings, its units by the headings or the cells. docs/format.md. */
#include "build/sections.h"
#include "catalog/csv.h"
#include "text/near.h"
#include "text/quote.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

typedef enum Heading { POSITION, DIAMETER, WIDTH, HEIGHT, CENTRE, SECTION, HEADINGS } Heading;

static const struct {
    const char *word;
    Heading heading;
} heading_words[] = {
    {"position", POSITION}, {"x", POSITION},    {"from nose", POSITION},
    {"diameter", DIAMETER}, {"width", WIDTH},   {"height", HEIGHT},
    {"centre", CENTRE},     {"center", CENTRE}, {"section", SECTION},
};
enum { HEADING_WORDS = sizeof heading_words / sizeof heading_words[0] };

enum { UNIT_MOST = 16, CELL_MOST = 64, NAME_MOST = 200 /* bytes */ };

typedef struct Column {
    int at; /* -1: the list has none */
    char unit[UNIT_MOST];
} Column;

typedef struct List {
    Csv csv;
    Column column[HEADINGS];
    size_t columns; /* in the header */
    double section; /* where the list has none */
    BlyStation station[BLY_STATIONS_MOST];
    size_t line[BLY_STATIONS_MOST];
    size_t count;
} List;

/* A semicolon parts the columns where the header has one, as spreadsheets write it wherever the
 * comma is the decimal sign. */
static char separator_of(const char *text) {
    while (*text == '#' || *text == '\n' || *text == '\r' || *text == ' ') {
        if (*text == '#')
            text += strcspn(text, "\n");
        else
            text++;
    }
    size_t length = strcspn(text, "\n");
    return memchr(text, ';', length) != NULL ? ';' : ',';
}

/* The next row that is no remark. */
static bool next_row(List *list, CsvRow *row, BlyError *err) {
    do {
        if (!csv_next(&list->csv, row, err))
            return false;
    } while (row->count > 0 && row->field[0][0] == '#');
    return true;
}

static const char *nearest_heading(const char *word) {
    const char *known[HEADING_WORDS];
    for (size_t i = 0; i < HEADING_WORDS; i++)
        known[i] = heading_words[i].word;
    return bly_near(word, known, HEADING_WORDS);
}

static bool find_heading(const CsvRow *row, size_t at, const char *word, Heading *out,
                         BlyError *err) {
    for (size_t i = 0; i < HEADING_WORDS; i++) {
        if (strcasecmp(word, heading_words[i].word) == 0) {
            *out = heading_words[i].heading;
            return true;
        }
    }
    char quoted[BLY_QUOTE_MAX];
    bly_quote(word, quoted);
    const char *near = nearest_heading(word);
    return csv_fail(err, BLY_E_UNKNOWN, row, at, "no column is called \"%s\"; %s%s%s", quoted,
                    near != NULL ? "did you mean \"" : "expected position, diameter, or width and ",
                    near != NULL ? near : "height, centre, section", near != NULL ? "\"?" : "");
}

/* Cuts "(in)" or "[in]" off a heading and checks that it is a length's unit. */
static bool cut_unit(const CsvRow *row, size_t at, char *heading, char unit[UNIT_MOST],
                     BlyError *err) {
    char *open = strpbrk(heading, "([");
    (void)snprintf(unit, UNIT_MOST, "mm");
    if (open == NULL)
        return true;
    size_t length = strcspn(open + 1, ")]");
    char quoted[BLY_QUOTE_MAX], probe[UNIT_MOST + 2];
    bly_quote(open + 1, quoted);
    if (open[1 + length] == '\0' || open[2 + length] != '\0' || length == 0 || length >= UNIT_MOST)
        return csv_fail(err, BLY_E_SYNTAX, row, at, "expected a unit in brackets, \"width (in)\"");
    memcpy(unit, open + 1, length);
    unit[length] = '\0';
    (void)snprintf(probe, sizeof probe, "1 %s", unit);
    double ignored;
    if (!bly_quantity_read(probe, BLY_DIM_LENGTH, NULL, &ignored, NULL))
        return csv_fail(err, BLY_E_UNIT, row, at, "\"%s\" is no unit of length", unit);
    while (open > heading && open[-1] == ' ')
        open--;
    *open = '\0';
    return true;
}

static bool check_columns(const List *list, const CsvRow *row, BlyError *err) {
    const Column *c = list->column;
    bool turned = c[DIAMETER].at >= 0, wide = c[WIDTH].at >= 0, high = c[HEIGHT].at >= 0;
    if (c[POSITION].at < 0)
        return csv_fail(err, BLY_E_MISSING, row, 0, "no column is called \"position\"");
    if (turned && (wide || high))
        return csv_fail(err, BLY_E_CONFLICT, row, (size_t)c[DIAMETER].at,
                        "there is a diameter and a width or height; expected one or the other");
    if (!turned && !(wide && high))
        return csv_fail(err, BLY_E_MISSING, row, 0,
                        "expected a column \"diameter\", or \"width\" and \"height\"");
    return true;
}

static bool read_header(List *list, BlyError *err) {
    CsvRow row;
    for (size_t i = 0; i < HEADINGS; i++)
        list->column[i].at = -1;
    if (!next_row(list, &row, err))
        return false;
    if (row.count == 0)
        return bly_fail(err, BLY_E_MISSING, NULL, "the list is empty");
    for (size_t i = 0; i < row.count; i++) {
        char unit[UNIT_MOST];
        Heading heading = POSITION;
        if (!cut_unit(&row, i, row.field[i], unit, err) ||
            !find_heading(&row, i, row.field[i], &heading, err))
            return false;
        Column *column = &list->column[heading];
        if (column->at >= 0)
            return csv_fail(err, BLY_E_CONFLICT, &row, i, "there are two columns for the same");
        column->at = (int)i;
        memcpy(column->unit, unit, sizeof unit);
    }
    list->columns = row.count;
    return check_columns(list, &row, err);
}

/* One number of the list. A comma between digits is the decimal sign. */
static bool read_cell(const List *list, const CsvRow *row, Heading heading, const Quantity *what,
                      double *si, BlyError *err) {
    const Column *column = &list->column[heading];
    if (column->at < 0)
        return true;
    size_t at = (size_t)column->at;
    bool optional = heading == CENTRE || heading == SECTION;
    const char *field = row->field[at];
    if (field[0] == '\0')
        return optional || csv_fail(err, BLY_E_MISSING, row, at, "is empty; expected a number");
    char cell[CELL_MOST];
    if (snprintf(cell, sizeof cell, "%s", field) >= (int)sizeof cell)
        return csv_fail(err, BLY_E_SYNTAX, row, at, "is too long for a number");
    char *comma = strchr(cell, ',');
    if (comma != NULL)
        *comma = '.';
    double value;
    BlyError deeper = {0};
    if (!bly_quantity_read(cell, what->dim, heading == SECTION ? NULL : column->unit, &value,
                           &deeper))
        return csv_fail(err, deeper.code, row, at, "%s", deeper.text);
    if (value < what->low || value > what->high)
        return csv_fail(err, BLY_E_RANGE, row, at, "is %s; expected %g to %g%s", cell,
                        what->dim == BLY_DIM_LENGTH ? what->low * 1e3 : what->low,
                        what->dim == BLY_DIM_LENGTH ? what->high * 1e3 : what->high,
                        what->dim == BLY_DIM_LENGTH ? " mm" : "");
    *si = value;
    return true;
}

static bool read_row(List *list, const CsvRow *row, BlyError *err) {
    const Quantity exponent = {BLY_DIM_RATIO, NULL, bly_exponent_least, bly_exponent_most, false};
    if (row->count != list->columns)
        return csv_fail(err, BLY_E_SYNTAX, row, row->count - 1,
                        "has %zu cells, the header %zu; with decimal commas part the columns by ;",
                        row->count, list->columns);
    if (list->count == BLY_STATIONS_MOST)
        return csv_fail(err, BLY_E_RANGE, row, 0, "expected at most %d stations",
                        BLY_STATIONS_MOST);
    list->line[list->count] = row->line;
    BlyStation *out = &list->station[list->count++];
    *out = (BlyStation){.exponent = list->section};
    bool turned = list->column[DIAMETER].at >= 0;
    if (!read_cell(list, row, POSITION, &bly_any_length, &out->x, err) ||
        !read_cell(list, row, turned ? DIAMETER : WIDTH, &bly_some_length, &out->width, err) ||
        !read_cell(list, row, turned ? DIAMETER : HEIGHT, &bly_some_length, &out->height, err))
        return false;
    return read_cell(list, row, CENTRE, &bly_any_length, &out->centre, err) &&
           read_cell(list, row, SECTION, &exponent, &out->exponent, err);
}

static bool read_list(List *list, BlyError *err) {
    list->csv.separator = separator_of(list->csv.text);
    if (!read_header(list, err))
        return false;
    CsvRow row;
    for (;;) {
        if (!next_row(list, &row, err))
            return false;
        if (row.count == 0)
            break;
        if (!read_row(list, &row, err))
            return false;
    }
    return list->count >= BLY_STATIONS_LEAST ||
           bly_fail(err, BLY_E_RANGE, NULL, "expected at least %d stations; there are %zu",
                    BLY_STATIONS_LEAST, list->count);
}

/* The shape room speaks of "/stations/2/x": the line of that station. */
static void name_line(const List *list, BlyError *err) {
    static const char prefix[] = "/stations/";
    size_t length = sizeof prefix - 1;
    if (strncmp(err->where, prefix, length) != 0) {
        err->where[0] = '\0';
        return;
    }
    size_t index = strtoul(err->where + length, NULL, 10);
    if (index < list->count)
        (void)snprintf(err->where, sizeof err->where, "line %zu", list->line[index]);
}

/* The place of an error becomes the file's name in the build; the line goes into its text. */
static bool blame(const BlyJson *name, const char *file, const BlyError *found, BlyError *err) {
    char quoted[BLY_QUOTE_MAX];
    bly_quote(file, quoted);
    return bly_json_refuse(name, found->code, err, "%s%s%s: %s", quoted,
                           found->where[0] != '\0' ? ", " : "", found->where, found->text);
}

static bool make(List *list, const char *text, size_t size, BlyBody **body, BlyError *err) {
    if (!csv_open(&list->csv, text, size, err))
        return false;
    bool good = read_list(list, err);
    csv_release(&list->csv);
    if (!good)
        return false;
    good = bly_body_from_stations(list->station, list->count, body, err);
    if (!good)
        name_line(list, err);
    return good;
}

static bool fetch(const BlyJson *name, const BlyBuildFiles *files, const char **file, char **text,
                  size_t *size, BlyError *err) {
    if (!bly_json_string(name, NAME_MOST, file, err))
        return false;
    if (files == NULL) {
        char quoted[BLY_QUOTE_MAX];
        bly_quote(*file, quoted);
        return bly_json_refuse(name, BLY_E_MISSING, err, "the file \"%s\" is not at hand", quoted);
    }
    if (files->read(files->context, *file, text, size, err))
        return true;
    if (err != NULL && err->code != BLY_E_IO)
        bly_error_prefix(err, name->where);
    return false;
}

bool bly_build_read_calipers(const BlyJson *name, double section, const BlyBuildFiles *files,
                             BlyBuild *build, BlyError *err) {
    const char *file;
    char *text = NULL;
    size_t size = 0;
    if (!fetch(name, files, &file, &text, &size, err))
        return false;
    List *list = calloc(1, sizeof *list);
    if (list == NULL) {
        free(text);
        return bly_json_refuse(name, BLY_E_MEMORY, err, "no memory for the list");
    }
    list->section = section;
    BlyError found = {0};
    bool good = make(list, text, size, &build->shape, &found);
    free(list);
    free(text);
    return good || blame(name, file, &found, err);
}
