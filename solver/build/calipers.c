/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A caliper list: a table of places and sizes, read into stations. docs/format.md. */
#include "ballastry/loft.h"
#include "build/columns.h"
#include "build/sections.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef enum Heading { POSITION, DIAMETER, WIDTH, HEIGHT, CENTRE, SECTION } Heading;

static const ColumnWord words[] = {
    {"position", POSITION},      {"x", POSITION},         {"from nose", POSITION},
    {"from the nose", POSITION}, {"distance", POSITION},  {"place", POSITION},
    {"station", POSITION},       {"diameter", DIAMETER},  {"dia", DIAMETER},
    {"dia.", DIAMETER},          {"width", WIDTH},        {"breadth", WIDTH},
    {"height", HEIGHT},          {"depth", HEIGHT},       {"centre", CENTRE},
    {"center", CENTRE},          {"middle", CENTRE},      {"centre line", CENTRE},
    {"section", SECTION},        {"center line", CENTRE},
};

enum { NAME_MOST = 200 /* bytes */ };

typedef struct List {
    Columns columns;
    double section; /* where the list has none */
    BlyStation station[BLY_STATIONS_MOST];
    size_t line[BLY_STATIONS_MOST];
    size_t count;
} List;

static bool check_columns(const Columns *c, BlyError *err) {
    bool turned = columns_has(c, DIAMETER), wide = columns_has(c, WIDTH),
         high = columns_has(c, HEIGHT), placed = columns_has(c, POSITION);
    if (!placed && !(c->every > 0.0))
        return columns_refuse(c, -1, BLY_E_MISSING,
                              "no column is called \"position\", nor does one say \"every\"", err);
    if (placed && c->every > 0.0)
        return columns_refuse(c, POSITION, BLY_E_CONFLICT,
                              "there are positions and an \"every\"; expected one or the other",
                              err);
    if (turned && (wide || high))
        return columns_refuse(
            c, DIAMETER, BLY_E_CONFLICT,
            "there is a diameter and a width or height; expected one or the other", err);
    return turned || (wide && high) ||
           columns_refuse(c, -1, BLY_E_MISSING,
                          "expected a column \"diameter\", or \"width\" and \"height\"", err);
}

static bool read_row(List *list, const CsvRow *row, BlyError *err) {
    const Quantity exponent = {BLY_DIM_RATIO, NULL, bly_exponent_least, bly_exponent_most, false};
    const Columns *c = &list->columns;
    if (list->count == BLY_STATIONS_MOST)
        return csv_fail(err, BLY_E_RANGE, row, 0, "expected at most %d stations",
                        BLY_STATIONS_MOST);
    list->line[list->count] = row->line;
    BlyStation *out = &list->station[list->count];
    bool turned = columns_has(c, DIAMETER);
    *out = (BlyStation){.x = c->every * (double)list->count++, .exponent = list->section};
    if (!columns_cell(c, row, POSITION, &bly_any_length, false, &out->x, err) ||
        !columns_cell(c, row, turned ? DIAMETER : WIDTH, &bly_some_length, false, &out->width,
                      err) ||
        !columns_cell(c, row, turned ? DIAMETER : HEIGHT, &bly_some_length, false, &out->height,
                      err))
        return false;
    return columns_cell(c, row, CENTRE, &bly_any_length, true, &out->centre, err) &&
           columns_cell(c, row, SECTION, &exponent, true, &out->exponent, err);
}

static bool read_list(List *list, const char *text, size_t size, BlyError *err) {
    list->columns.words = words;
    list->columns.word_count = sizeof words / sizeof words[0];
    list->columns.expected = "position, diameter, or width and height, centre, section";
    if (!columns_open(&list->columns, text, size, err) || !check_columns(&list->columns, err))
        return false;
    CsvRow row;
    for (;;) {
        if (!columns_next(&list->columns, &row, err))
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

/* The loft room speaks of "/stations/2/x": the line of that station. */
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

static bool make(List *list, const char *text, size_t size, const char *file, BlyBuild *build,
                 BlyError *err) {
    bool good = read_list(list, text, size, err);
    columns_release(&list->columns);
    if (!good)
        return false;
    if (!bly_body_from_stations(list->station, list->count, &build->shape, err)) {
        name_line(list, err);
        return false;
    }
    return bly_slip_stations(&build->slips, list->station, list->count, file, list->line, err);
}

bool build_read_calipers(const BlyJson *name, double section, const BlyBuildFiles *files,
                         BlyBuild *build, BlyError *err) {
    const char *file;
    char *text = NULL;
    size_t size = 0;
    if (!bly_json_string(name, NAME_MOST, &file, err) ||
        !build_fetch(name, file, files, &text, &size, err))
        return false;
    List *list = calloc(1, sizeof *list);
    if (list == NULL) {
        free(text);
        return bly_json_refuse(name, BLY_E_MEMORY, err, "no memory for the list");
    }
    list->section = section;
    BlyError found = {0};
    bool good = make(list, text, size, file, build, &found);
    free(list);
    free(text);
    return good || build_blame_file(name, file, &found, err);
}
