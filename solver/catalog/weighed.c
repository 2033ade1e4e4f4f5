/* SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV lists of weighed parts: each row puts the scale's word in place of a part's mass. */
#include "ballastry/catalog.h"
#include "ballastry/units.h"
#include "catalog/csv.h"
#include "catalog/fields.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef enum Column { ID, MASS, GIVE, COUNT, NOTE, SOURCE, COLUMNS } Column;
static const char *const column_names[COLUMNS] = {
    [ID] = "id",       [MASS] = "mass", [GIVE] = "give",
    [COUNT] = "count", [NOTE] = "note", [SOURCE] = "source",
};
enum { NOT_THERE = CSV_COLUMNS_MAX, MOST_PIECES = 100000 };

/* Where each of our columns stands in this file. */
typedef struct Layout {
    size_t at[COLUMNS];
    size_t columns;
} Layout;

static Column column_of(const char *name) {
    for (int c = 0; c < COLUMNS; c++) {
        if (strcmp(column_names[c], name) == 0)
            return (Column)c;
    }
    return COLUMNS;
}

static bool read_header(const CsvRow *row, Layout *layout, BlyError *err) {
    for (int c = 0; c < COLUMNS; c++)
        layout->at[c] = NOT_THERE;
    layout->columns = row->count;
    if (row->count == 1 && strchr(row->field[0], ';') != NULL)
        return csv_fail(err, BLY_E_SYNTAX, row, 0, "columns are parted by commas, not semicolons");
    for (size_t i = 0; i < row->count; i++) {
        Column column = column_of(row->field[i]);
        if (column == COLUMNS)
            return csv_fail(err, BLY_E_UNKNOWN, row, i,
                            "no column \"%.40s\": id, mass, give, count, note and source are known",
                            row->field[i]);
        if (layout->at[column] != NOT_THERE)
            return csv_fail(err, BLY_E_CONFLICT, row, i, "column %s stands here twice",
                            column_names[column]);
        layout->at[column] = i;
    }
    if (layout->at[ID] == NOT_THERE || layout->at[MASS] == NOT_THERE)
        return csv_fail(err, BLY_E_MISSING, row, 0, "the header row must name the columns %s",
                        "id and mass");
    return true;
}

/* "" where the column is not there or the field is empty. */
static const char *field(const CsvRow *row, const Layout *layout, Column column) {
    return layout->at[column] != NOT_THERE ? row->field[layout->at[column]] : "";
}

/* Puts the row's place before an error that was found within one field. */
static bool in_field(BlyError *err, const CsvRow *row, const Layout *layout, Column column) {
    if (err == NULL)
        return false;
    char text[BLY_TEXT_MAX];
    memcpy(text, err->text, sizeof text);
    return csv_fail(err, err->code, row, layout->at[column], "%s", text);
}

static bool find_part(const BlyCatalog *catalog, const CsvRow *row, const Layout *layout,
                      const BlyPart **part, BlyError *err) {
    const char *id = field(row, layout, ID);
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
static bool read_count(const CsvRow *row, const Layout *layout, BlyPartKind kind, double *count,
                       BlyError *err) {
    const char *text = field(row, layout, COUNT);
    *count = 1;
    if (text[0] == '\0')
        return true;
    if (kind == BLY_PART_WIRE) {
        if (!bly_quantity_read(text, BLY_DIM_LENGTH, "m", count, err))
            return in_field(err, row, layout, COUNT);
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

static bool read_mass(const CsvRow *row, const Layout *layout, double count, BlyFigure *mass,
                      BlyError *err) {
    double total;
    if (!bly_quantity_read(field(row, layout, MASS), BLY_DIM_MASS, "g", &total, err))
        return in_field(err, row, layout, MASS);
    if (!(total > 0))
        return csv_fail(err, BLY_E_RANGE, row, layout->at[MASS],
                        "a part weighs something, not \"%.40s\"", field(row, layout, MASS));
    *mass = (BlyFigure){total / count, NAN};
    const char *give = field(row, layout, GIVE);
    if (give[0] != '\0' &&
        !catalog_give_read(give, mass->value, BLY_DIM_MASS, "g", &mass->give, err))
        return in_field(err, row, layout, GIVE);
    return true;
}

/* Adds the part with its new mass to `changed`. */
static bool read_row(const BlyCatalog *catalog, const CsvRow *row, const Layout *layout,
                     BlyCatalog *changed, BlyError *err) {
    if (row->count != layout->columns)
        return csv_fail(err, BLY_E_SYNTAX, row, row->count - 1,
                        "%zu columns here, the header has %zu", row->count, layout->columns);
    const BlyPart *old;
    double count;
    BlyFigure mass;
    if (!find_part(catalog, row, layout, &old, err) ||
        !read_count(row, layout, old->kind, &count, err) ||
        !read_mass(row, layout, count, &mass, err))
        return false;
    if (bly_catalog_part(changed, old->id) != NULL)
        return csv_fail(err, BLY_E_CONFLICT, row, layout->at[ID], "%s is in this list twice",
                        old->id);
    const char *source = field(row, layout, SOURCE), *note = field(row, layout, NOTE);
    char where_from[256];
    (void)snprintf(where_from, sizeof where_from, "%s%s%s",
                   source[0] != '\0' ? source : "the maker's own scale",
                   note[0] != '\0' ? "; " : "", note);
    BlyPart part = *old;
    part.origin = BLY_FROM_MEASURED;
    part.source = where_from;
    part.mass = mass;
    return bly_catalog_put_part(changed, &part, err);
}

static bool read_rows(const BlyCatalog *catalog, Csv *csv, BlyCatalog *changed, BlyError *err) {
    CsvRow row;
    Layout layout;
    if (!csv_next(csv, &row, err))
        return false;
    if (row.count == 0)
        return bly_fail(err, BLY_E_MISSING, "line 1, column 1",
                        "the list is empty: it begins with a header row such as id,mass");
    if (!read_header(&row, &layout, err))
        return false;
    for (;;) {
        if (!csv_next(csv, &row, err))
            return false;
        if (row.count == 0)
            return true;
        if (!read_row(catalog, &row, &layout, changed, err))
            return false;
    }
}

bool bly_catalog_read_csv(BlyCatalog *into, const char *text, size_t size, BlyError *err) {
    Csv csv;
    if (!csv_open(&csv, text, size, err))
        return false;
    BlyCatalog changed = {0};
    bool good = read_rows(into, &csv, &changed, err);
    for (size_t i = 0; good && i < changed.part_count; i++)
        good = bly_catalog_put_part(into, &changed.parts[i], err);
    bly_catalog_complete(into);
    bly_catalog_release(&changed);
    csv_release(&csv);
    return good;
}
