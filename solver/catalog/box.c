/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A maker's box as CSV: what lies in it, how many, weighed or not. A known id says how many; a line
 * with kind and mass is a part of the maker's own. docs/catalog.md. */
#include "catalog/box.h"
#include "catalog/fields.h"
#include "catalog/list.h"
#include "ballastry/units.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

typedef enum Column {
    ID,
    KIND,
    SIZE,
    STYLE,
    GRADE,
    MATERIAL,
    MASS,
    GIVE,
    COUNT,
    WEIGHED,
    NAME,
    NOTE,
    SOURCE,
    COLUMNS
} Column;
static const struct {
    const char *word;
    Column column;
} headings[] = {
    {"id", ID},           {"part", ID},       {"kind", KIND},    {"type", KIND},
    {"size", SIZE},       {"gauge", SIZE},    {"style", STYLE},  {"grade", GRADE},
    {"mass", MASS},       {"weight", MASS},   {"give", GIVE},    {"material", MATERIAL},
    {"metal", MATERIAL},  {"count", COUNT},   {"pieces", COUNT}, {"number", COUNT},
    {"weighed", WEIGHED}, {"name", NAME},     {"note", NOTE},    {"notes", NOTE},
    {"remark", NOTE},     {"source", SOURCE},
};
enum { HEADINGS = sizeof headings / sizeof headings[0], MOST_PIECES = 1000000 };

/* What makers call a kind besides its own name, and the style that comes with it. */
static const struct {
    const char *word;
    BlyPartKind kind;
    const char *style;
} kind_words[] = {
    {"treble", BLY_PART_HOOK, "treble"},
    {"single", BLY_PART_HOOK, "single"},
    {"treble hook", BLY_PART_HOOK, "treble"},
    {"single hook", BLY_PART_HOOK, "single"},
    {"screw eye", BLY_PART_EYE, "screw"},
    {"twisted eye", BLY_PART_EYE, "twisted"},
    {"split ring", BLY_PART_RING, ""},
    {"plate", BLY_PART_SHEET, ""},
    {"tape", BLY_PART_STRIP, ""},
    {"foil", BLY_PART_STRIP, ""},
    {"washer", BLY_PART_DOT, ""},
};

/* ---- header ---- */

static bool read_heading(const CsvRow *row, size_t i, ListLayout *layout, BlyError *err) {
    char unit[CSV_UNIT_MOST] = "";
    bool mass =
        strncasecmp(row->field[i], "mass", 4) == 0 || strncasecmp(row->field[i], "weight", 6) == 0;
    if (mass && strcasecmp(row->field[i], "weighed") != 0 &&
        !csv_cut_unit(row, i, BLY_DIM_MASS, "mass", "mass (g)", unit, err))
        return false;
    size_t h = 0;
    while (h < HEADINGS && strcasecmp(headings[h].word, row->field[i]) != 0)
        h++;
    if (h == HEADINGS)
        return csv_fail(err, BLY_E_UNKNOWN, row, i,
                        "no column \"%.40s\": id, kind, size, style, grade, material, mass, give, "
                        "count, weighed, name, note and source are known",
                        row->field[i]);
    if (unit[0] != '\0')
        memcpy(layout->unit[MASS], unit, sizeof unit);
    return list_place(row, i, headings[h].column, headings[h].word, layout, err);
}

static bool check_header(const CsvRow *row, ListLayout *layout, BlyError *err) {
    if (layout->unit[MASS][0] == '\0')
        (void)snprintf(layout->unit[MASS], CSV_UNIT_MOST, "g");
    if (layout->at[ID] == LIST_NOT_THERE && layout->at[KIND] == LIST_NOT_THERE)
        return csv_fail(err, BLY_E_MISSING, row, 0,
                        "the header row must name the column id, or kind with size and mass");
    return true;
}

/* ---- one row ---- */

/* Pieces, or metres of wire; INFINITY where the line is silent. */
static bool read_count(const CsvRow *row, const ListLayout *layout, BlyPartKind kind, double *count,
                       BlyError *err) {
    char cell[LIST_CELL_MOST], *end;
    const char *text = list_amount(row, layout, COUNT, cell);
    *count = INFINITY;
    if (text[0] == '\0')
        return true;
    if (kind == BLY_PART_WIRE || kind == BLY_PART_STRIP) {
        if (!bly_quantity_read(text, BLY_DIM_LENGTH, "m", count, err))
            return list_in_field(err, row, layout, COUNT);
        return *count >= 0 ||
               list_refuse(err, BLY_E_RANGE, row, layout, COUNT, "is less than nothing");
    }
    long pieces = strtol(text, &end, 10);
    if (end == text || *end != '\0' || pieces < 0 || pieces > MOST_PIECES)
        return csv_fail(err, BLY_E_RANGE, row, layout->at[COUNT],
                        "a count of pieces from 0 to %d, not \"%.40s\"", MOST_PIECES, text);
    *count = (double)pieces;
    return true;
}

/* How many lay on the scale together: one where the line is silent; 0 for "no". */
static bool read_weighed(const CsvRow *row, const ListLayout *layout, double *pieces,
                         BlyError *err) {
    char *end;
    const char *text = list_field(row, layout, WEIGHED);
    *pieces = 1;
    if (text[0] == '\0' || strcasecmp(text, "yes") == 0)
        return true;
    *pieces = 0;
    if (strcasecmp(text, "no") == 0)
        return true;
    long n = strtol(text, &end, 10);
    if (end == text || *end != '\0' || n < 1 || n > MOST_PIECES)
        return csv_fail(err, BLY_E_RANGE, row, layout->at[WEIGHED],
                        "how many lay on the scale together, or no, not \"%.40s\"", text);
    *pieces = (double)n;
    return true;
}

/* Of one piece; NAN where the line is silent. */
static bool read_mass(const CsvRow *row, const ListLayout *layout, BlyPart *part, BlyFigure *mass,
                      BlyError *err) {
    double total, pieces;
    char cell[LIST_CELL_MOST];
    const char *text = list_amount(row, layout, MASS, cell);
    *mass = (BlyFigure){NAN, NAN};
    if (!read_weighed(row, layout, &pieces, err))
        return false;
    if (text[0] == '\0')
        return true;
    if (part->kind == BLY_PART_SHEET || part->kind == BLY_PART_STRIP ||
        part->kind == BLY_PART_OUTLINE)
        return list_refuse(
            err, BLY_E_CONFLICT, row, layout, MASS,
            "what is cut to size has no mass of its own: give its gauge as the size");
    if (!bly_quantity_read(text, BLY_DIM_MASS, layout->unit[MASS], &total, err))
        return list_in_field(err, row, layout, MASS);
    if (!(total > 0))
        return list_refuse(err, BLY_E_RANGE, row, layout, MASS, "a part weighs something");
    double together = fmax(pieces, 1);
    part->origin = pieces > 0 ? BLY_FROM_MEASURED : BLY_FROM_MEMORY;
    double usual = bly_origin_give(part->origin, part->kind) * total;
    double written = 0.5 * bly_quantity_last_digit(text, BLY_DIM_MASS, layout->unit[MASS]);
    *mass = (BlyFigure){total / together, fmax(usual, written) / together};
    const char *give = list_amount(row, layout, GIVE, cell);
    if (give[0] != '\0' &&
        !catalog_give_read(give, mass->value, BLY_DIM_MASS, layout->unit[MASS], &mass->give, err))
        return list_in_field(err, row, layout, GIVE);
    return true;
}

static bool read_kind(const CsvRow *row, const ListLayout *layout, BlyPartKind *kind,
                      const char **style, BlyError *err) {
    const char *text = list_field(row, layout, KIND);
    *style = list_field(row, layout, STYLE);
    for (int i = 0; i < BLY_PART_KINDS; i++) {
        if (strcasecmp(text, bly_part_kind_name((BlyPartKind)i)) == 0) {
            *kind = (BlyPartKind)i;
            if (*kind == BLY_PART_HOOK && (*style)[0] == '\0')
                *style = "treble";
            return *kind != BLY_PART_OUTLINE ||
                   list_refuse(err, BLY_E_CONFLICT, row, layout, KIND,
                               "outlines are drawn, they lie in no box: a JSON catalog has them");
        }
    }
    for (size_t i = 0; i < sizeof kind_words / sizeof kind_words[0]; i++) {
        if (strcasecmp(text, kind_words[i].word) == 0) {
            *kind = kind_words[i].kind;
            *style = kind_words[i].style[0] != '\0' ? kind_words[i].style : *style;
            return true;
        }
    }
    return list_refuse(
        err, BLY_E_UNKNOWN, row, layout, KIND,
        text[0] != '\0'
            ? "no such kind; eye, ring, hook, snap, sheet, strip, dot and wire are"
            : "an id that is known, or a kind: eye, ring, hook, snap, sheet, strip, dot, "
              "wire");
}

static bool unknown_id(const BlyCatalog *catalog, const CsvRow *row, const ListLayout *layout,
                       const char *id, BlyError *err) {
    const char *near = bly_catalog_nearest_part(catalog, id);
    return csv_fail(err, BLY_E_UNKNOWN, row, layout->at[ID],
                    "no part \"%.60s\"%s%s%s; with kind, size and mass it becomes a new one", id,
                    near != NULL ? "; did you mean \"" : "", near != NULL ? near : "",
                    near != NULL ? "\"" : "");
}

/* The texts that a part borrows until it is put. */
typedef struct Texts {
    char id[BOX_ID_MAX], name[BOX_TEXT_MAX], source[2 * BOX_TEXT_MAX], like[BOX_TEXT_MAX];
} Texts;

static bool check_words(const BlyCatalog *base, const CsvRow *row, const ListLayout *layout,
                        BlyPartKind kind, const BoxWords *w, BlyError *err) {
    bool cut = kind == BLY_PART_SHEET || kind == BLY_PART_STRIP;
    if (cut && (w->material[0] == '\0' || w->size[0] == '\0'))
        return list_refuse(err, BLY_E_MISSING, row, layout, KIND,
                           "a new sheet or strip needs its material and its gauge as the size");
    if (!cut && isnan(w->mass))
        return list_refuse(err, BLY_E_MISSING, row, layout,
                           layout->at[MASS] != LIST_NOT_THERE ? MASS : KIND,
                           "a part that is in no catalog needs its mass");
    if (kind == BLY_PART_HOOK && w->size[0] == '\0')
        return list_refuse(err, BLY_E_MISSING, row, layout, KIND, "a new hook needs its size");
    if (w->material[0] == '\0' || bly_catalog_material(base, w->material) != NULL)
        return true;
    const char *near = bly_catalog_nearest_material(base, w->material);
    return csv_fail(err, BLY_E_UNKNOWN, row, layout->at[MATERIAL], "no material \"%.40s\"%s%s%s",
                    w->material, near != NULL ? "; did you mean \"" : "", near != NULL ? near : "",
                    near != NULL ? "\"?" : "");
}

/* A line that names no part that is known: one of the maker's own. */
static bool new_part(const BlyCatalog *base, const BlyCatalog *own, const CsvRow *row,
                     const ListLayout *layout, Texts *texts, BlyPart *part, BlyError *err) {
    BlyPartKind kind = BLY_PART_HOOK;
    BlyFigure mass;
    char size[LIST_CELL_MOST];
    BoxWords w = {list_amount(row, layout, SIZE, size), "", list_field(row, layout, GRADE),
                  list_field(row, layout, MATERIAL), NAN};
    if (!read_kind(row, layout, &kind, &w.style, err))
        return false;
    BlyPart plain = bly_part_blank(kind);
    if (!read_mass(row, layout, &plain, &mass, err))
        return false;
    w.mass = mass.value;
    if (!check_words(base, row, layout, kind, &w, err))
        return false;
    if (!box_part_like(base, kind, &w, part, texts->name, texts->like, err))
        return list_in_field(err, row, layout, layout->at[SIZE] != LIST_NOT_THERE ? SIZE : KIND);
    if (isfinite(mass.value)) {
        part->mass = mass;
        part->origin = plain.origin;
    }
    const char *id = list_field(row, layout, ID);
    if (id[0] != '\0')
        (void)snprintf(texts->id, BOX_ID_MAX, "%s", id);
    else
        box_part_id(base, own, kind, &w, texts->id);
    part->id = texts->id;
    return true;
}

static void tell_source(const CsvRow *row, const ListLayout *layout, bool weighed, Texts *texts,
                        BlyPart *part) {
    const char *source = list_field(row, layout, SOURCE), *note = list_field(row, layout, NOTE);
    const char *plain = weighed ? "the maker's own scale" : "as the maker's list has it";
    (void)snprintf(texts->source, sizeof texts->source, "%.150s%s%.150s%s%.200s",
                   source[0] != '\0' ? source : plain, note[0] != '\0' ? "; " : "", note,
                   texts->like[0] != '\0' ? "; " : "", texts->like);
    part->source = texts->source;
}

/* Adds the part with what the line says of it to `changed`. */
static bool read_row(const BlyCatalog *base, const CsvRow *row, const ListLayout *layout,
                     BlyCatalog *changed, BlyError *err) {
    Texts texts = {0};
    const char *id = list_field(row, layout, ID);
    const BlyPart *known = id[0] != '\0' ? bly_catalog_part(base, id) : NULL;
    BlyPart part;
    BlyFigure mass = {NAN, NAN};
    if (known != NULL) {
        part = *known;
        if (!read_mass(row, layout, &part, &mass, err))
            return false;
        if (isfinite(mass.value)) {
            part.mass = mass;
            tell_source(row, layout, part.origin == BLY_FROM_MEASURED, &texts, &part);
        }
    } else if (id[0] != '\0' && list_field(row, layout, KIND)[0] == '\0') {
        return unknown_id(base, row, layout, id, err);
    } else {
        if (!new_part(base, changed, row, layout, &texts, &part, err))
            return false;
        tell_source(row, layout, part.origin == BLY_FROM_MEASURED, &texts, &part);
        if (list_field(row, layout, NAME)[0] != '\0')
            part.name = row->field[layout->at[NAME]];
    }
    return read_count(row, layout, part.kind, &part.in_box, err) &&
           list_put(row, layout, ID, &part, changed, err);
}

bool bly_catalog_read_box(BlyCatalog *into, const char *text, size_t size, BlyError *err) {
    static const ListKind box = {
        "the box is empty: its list begins with a header row such as id,count", read_heading,
        check_header, read_row};
    bool good = list_read(&box, into, text, size, err);
    bly_catalog_sort(into);
    return good;
}
