/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "catalog/list.h"

#include <stdio.h>
#include <string.h>

bool list_place(const CsvRow *row, size_t at, unsigned column, const char *name, ListLayout *layout,
                BlyError *err) {
    if (layout->at[column] != LIST_NOT_THERE)
        return csv_fail(err, BLY_E_CONFLICT, row, at, "column %s appears twice", name);
    layout->at[column] = at;
    return true;
}

const char *list_field(const CsvRow *row, const ListLayout *layout, unsigned column) {
    return layout->at[column] != LIST_NOT_THERE ? row->field[layout->at[column]] : "";
}

const char *list_amount(const CsvRow *row, const ListLayout *layout, unsigned column,
                        char out[LIST_CELL_MOST]) {
    (void)snprintf(out, LIST_CELL_MOST, "%s", list_field(row, layout, column));
    csv_point(out);
    return out;
}

bool list_refuse(BlyError *err, BlyCode code, const CsvRow *row, const ListLayout *layout,
                 unsigned column, const char *text) {
    size_t at = layout->at[column] != LIST_NOT_THERE ? layout->at[column] : 0;
    return csv_fail(err, code, row, at, "%s", text);
}

bool list_in_field(BlyError *err, const CsvRow *row, const ListLayout *layout, unsigned column) {
    char text[BLY_TEXT_MAX];
    if (err == NULL)
        return false;
    memcpy(text, err->text, sizeof text);
    return list_refuse(err, err->code, row, layout, column, text);
}

bool list_put(const CsvRow *row, const ListLayout *layout, unsigned id, const BlyPart *part,
              BlyCatalog *changed, BlyError *err) {
    if (bly_catalog_part(changed, part->id) != NULL)
        return csv_fail(err, BLY_E_CONFLICT, row,
                        layout->at[id] != LIST_NOT_THERE ? layout->at[id] : 0,
                        "%s appears twice in this list", part->id);
    return bly_catalog_put_part(changed, part, err) || list_in_field(err, row, layout, id);
}

static bool read_header(const ListKind *kind, const CsvRow *row, ListLayout *layout,
                        BlyError *err) {
    *layout = (ListLayout){.columns = row->count};
    for (size_t c = 0; c < LIST_COLUMNS_MAX; c++)
        layout->at[c] = LIST_NOT_THERE;
    for (size_t i = 0; i < row->count; i++) {
        if (!kind->heading(row, i, layout, err))
            return false;
    }
    return kind->header(row, layout, err);
}

static bool as_wide_as_the_header(const CsvRow *row, const ListLayout *layout, BlyError *err) {
    if (row->count == layout->columns)
        return true;
    return csv_fail(err, BLY_E_SYNTAX, row, row->count - 1,
                    "%zu columns here, the header has %zu%s", row->count, layout->columns,
                    row->count > layout->columns ? "; with decimal commas part the columns by ;"
                                                 : "");
}

static bool read_rows(const ListKind *kind, const BlyCatalog *base, Csv *csv, BlyCatalog *changed,
                      BlyError *err) {
    CsvRow row;
    ListLayout layout;
    csv_find_separator(csv);
    if (!csv_next_plain(csv, &row, err))
        return false;
    if (row.count == 0)
        return bly_fail(err, BLY_E_MISSING, "line 1, column 1", "%s", kind->empty);
    if (!read_header(kind, &row, &layout, err))
        return false;
    for (;;) {
        if (!csv_next_plain(csv, &row, err))
            return false;
        if (row.count == 0)
            return true;
        if (!as_wide_as_the_header(&row, &layout, err) ||
            !kind->row(base, &row, &layout, changed, err))
            return false;
    }
}

bool list_read(const ListKind *kind, BlyCatalog *into, const char *text, size_t size,
               BlyError *err) {
    Csv csv;
    if (!csv_open(&csv, text, size, err))
        return false;
    BlyCatalog changed = {0};
    bool good = read_rows(kind, into, &csv, &changed, err);
    for (size_t i = 0; good && i < changed.part_count; i++)
        good = bly_catalog_put_part(into, &changed.parts[i], err);
    bly_catalog_complete(into);
    bly_catalog_release(&changed);
    csv_release(&csv);
    return good;
}
