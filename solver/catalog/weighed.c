/* SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV lists of weighed parts: each row puts the scale's word in place of a part's mass. */
#include "ballastry/catalog.h"
#include "ballastry/units.h"
#include "catalog/fields.h"
#include "catalog/list.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

typedef enum Column { ID, MASS, GIVE, COUNT, NOTE, SOURCE, COLUMNS } Column;
static const char *const column_names[COLUMNS] = {
    [ID] = "id",       [MASS] = "mass", [GIVE] = "give",
    [COUNT] = "count", [NOTE] = "note", [SOURCE] = "source",
};
/* What else makers call them, in any case. */
static const struct {
    const char *word;
    Column column;
} other_names[] = {
    {"part", ID},      {"weight", MASS}, {"pieces", COUNT}, {"number", COUNT},
    {"length", COUNT}, {"notes", NOTE},  {"remark", NOTE},
};
enum { MOST_PIECES = 100000 };

static Column column_of(const char *name) {
    for (int c = 0; c < COLUMNS; c++) {
        if (strcasecmp(column_names[c], name) == 0)
            return (Column)c;
    }
    for (size_t i = 0; i < sizeof other_names / sizeof other_names[0]; i++) {
        if (strcasecmp(other_names[i].word, name) == 0)
            return other_names[i].column;
    }
    return COLUMNS;
}

/* "Mass (g)", "Give (mg)", "Length (m)": of wire, which is counted by the metre. */
static bool read_heading(const CsvRow *row, size_t i, ListLayout *layout, BlyError *err) {
    bool length =
        strncasecmp(row->field[i], "length", 6) == 0 || strncasecmp(row->field[i], "count", 5) == 0;
    char unit[CSV_UNIT_MOST] = "";
    if (!csv_cut_unit(row, i, length ? BLY_DIM_LENGTH : BLY_DIM_MASS, length ? "length" : "mass",
                      "mass (g)", unit, err))
        return false;
    Column column = column_of(row->field[i]);
    if (column == COLUMNS)
        return csv_fail(err, BLY_E_UNKNOWN, row, i,
                        "no column \"%.40s\": id, mass, give, count, note and source are known",
                        row->field[i]);
    if (unit[0] != '\0')
        memcpy(layout->unit[column], unit, sizeof unit);
    return list_place(row, i, column, column_names[column], layout, err);
}

static bool check_header(const CsvRow *row, ListLayout *layout, BlyError *err) {
    static const struct {
        Column column;
        const char *unit;
    } usual[] = {{MASS, "g"}, {GIVE, "g"}, {COUNT, "m"}};
    for (size_t i = 0; i < sizeof usual / sizeof usual[0]; i++) {
        if (layout->unit[usual[i].column][0] == '\0')
            (void)snprintf(layout->unit[usual[i].column], CSV_UNIT_MOST, "%s", usual[i].unit);
    }
    if (layout->at[ID] == LIST_NOT_THERE || layout->at[MASS] == LIST_NOT_THERE)
        return csv_fail(err, BLY_E_MISSING, row, 0,
                        "the header row must name the columns id and mass");
    return true;
}

static bool find_part(const BlyCatalog *catalog, const CsvRow *row, const ListLayout *layout,
                      const BlyPart **part, BlyError *err) {
    const char *id = list_field(row, layout, ID);
    *part = bly_catalog_part(catalog, id);
    if (*part == NULL) {
        const char *near = bly_catalog_nearest_part(catalog, id);
        return csv_fail(err, BLY_E_UNKNOWN, row, layout->at[ID], "no part \"%.60s\"%s%s%s", id,
                        near != NULL ? "; did you mean \"" : "", near != NULL ? near : "",
                        near != NULL ? "\"?" : "");
    }
    BlyPartKind kind = (*part)->kind;
    if (kind == BLY_PART_SHEET || kind == BLY_PART_STRIP || kind == BLY_PART_OUTLINE)
        return csv_fail(err, BLY_E_CONFLICT, row, layout->at[ID],
                        "%s is cut to size and has no mass of its own: give its thickness in a "
                        "JSON catalog",
                        id);
    return true;
}

/* Pieces, or metres of wire, that lay on the scale together. */
static bool read_count(const CsvRow *row, const ListLayout *layout, BlyPartKind kind, double *count,
                       BlyError *err) {
    char cell[LIST_CELL_MOST];
    const char *text = list_amount(row, layout, COUNT, cell);
    *count = 1;
    if (text[0] == '\0')
        return true;
    if (kind == BLY_PART_WIRE) {
        if (!bly_quantity_read(text, BLY_DIM_LENGTH, layout->unit[COUNT], count, err))
            return list_in_field(err, row, layout, COUNT);
        return *count > 0 || csv_fail(err, BLY_E_RANGE, row, layout->at[COUNT],
                                      "no wire on the scale: \"%.40s\"", text);
    }
    char *end;
    long pieces = strtol(text, &end, 10);
    if (end == text || *end != '\0' || pieces < 1 || pieces > MOST_PIECES)
        return csv_fail(err, BLY_E_RANGE, row, layout->at[COUNT],
                        "a count of pieces from 1 to %d, not \"%.40s\"", MOST_PIECES, text);
    *count = (double)pieces;
    return true;
}

/* Where the list is silent, the usual give of a weighed part, but no less than how it is written.
 */
static bool read_mass(const CsvRow *row, const ListLayout *layout, BlyPartKind kind, double count,
                      BlyFigure *mass, BlyError *err) {
    double total;
    char cell[LIST_CELL_MOST];
    const char *text = list_amount(row, layout, MASS, cell), *unit = layout->unit[MASS];
    if (!bly_quantity_read(text, BLY_DIM_MASS, unit, &total, err))
        return list_in_field(err, row, layout, MASS);
    if (!(total > 0))
        return csv_fail(err, BLY_E_RANGE, row, layout->at[MASS],
                        "a part weighs something, not \"%.40s\"", list_field(row, layout, MASS));
    double usual = bly_origin_give(BLY_FROM_MEASURED, kind) * total;
    double written = 0.5 * bly_quantity_last_digit(text, BLY_DIM_MASS, unit);
    *mass = (BlyFigure){total / count, fmax(usual, written) / count};
    const char *give = list_amount(row, layout, GIVE, cell);
    if (give[0] != '\0' &&
        !catalog_give_read(give, mass->value, BLY_DIM_MASS, layout->unit[GIVE], &mass->give, err))
        return list_in_field(err, row, layout, GIVE);
    return true;
}

/* Adds the part with its new mass to `changed`. */
static bool read_row(const BlyCatalog *catalog, const CsvRow *row, const ListLayout *layout,
                     BlyCatalog *changed, BlyError *err) {
    const BlyPart *old;
    double count;
    BlyFigure mass;
    if (!find_part(catalog, row, layout, &old, err) ||
        !read_count(row, layout, old->kind, &count, err) ||
        !read_mass(row, layout, old->kind, count, &mass, err))
        return false;
    const char *source = list_field(row, layout, SOURCE), *note = list_field(row, layout, NOTE);
    char where_from[256];
    (void)snprintf(where_from, sizeof where_from, "%s%s%s",
                   source[0] != '\0' ? source : "the maker's own scale",
                   note[0] != '\0' ? "; " : "", note);
    BlyPart part = *old;
    part.origin = BLY_FROM_MEASURED;
    part.source = where_from;
    part.mass = mass;
    return list_put(row, layout, ID, &part, changed, err);
}

bool bly_catalog_read_csv(BlyCatalog *into, const char *text, size_t size, BlyError *err) {
    static const ListKind weighed = {
        "the list is empty: it begins with a header row such as id,mass", read_heading,
        check_header, read_row};
    return list_read(&weighed, into, text, size, err);
}
