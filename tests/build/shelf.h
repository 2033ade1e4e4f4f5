/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A shelf of invented parts and materials for the tests of build files: enough of each kind to fit
 * and not to fit each other. None of the figures is a claim about real parts. */
#ifndef BALLASTRY_TESTS_BUILD_SHELF_H
#define BALLASTRY_TESTS_BUILD_SHELF_H

#include "support/check.h"
#include "ballastry/parts.h"

typedef struct ShelfPart {
    BlyPartKind kind;
    char *id;
    double mass_g; /* per metre for wire */
    double wire, outer, length, shank, bore, passes, thickness, width, thinnest; /* mm; 0: none */
    double length_least, length_most;
    char *size;
} ShelfPart;

static inline double shelf_mm(double mm) {
    return mm > 0.0 ? mm * 1e-3 : NAN;
}

static inline void shelf_material(BlyCatalog *shelf, char *id, double density, double give) {
    BlyMaterial m = bly_material_blank();
    m.id = id;
    m.density = (BlyFigure){density, give};
    m.expansion = (BlyFigure){20e-6, 5e-6};
    m.expansion_origin = BLY_FROM_MEMORY;
    assert_true(bly_catalog_put_material(shelf, &m, NULL));
}

static inline void shelf_part(BlyCatalog *shelf, const ShelfPart *p) {
    BlyPart part = bly_part_blank(p->kind);
    part.id = p->id;
    part.material = (char *)(p->kind == BLY_PART_OUTLINE ? "" : "brass");
    if (p->mass_g > 0.0)
        part.mass = (BlyFigure){p->mass_g * 1e-3, p->mass_g * 5e-5};
    part.wire = shelf_mm(p->wire);
    part.outer = shelf_mm(p->outer);
    part.length = shelf_mm(p->length);
    part.shank = shelf_mm(p->shank);
    part.bore = shelf_mm(p->bore);
    part.passes = shelf_mm(p->passes);
    part.thickness = shelf_mm(p->thickness);
    part.width = shelf_mm(p->width);
    part.root_width = shelf_mm(p->width);
    part.thinnest = shelf_mm(p->thinnest);
    part.length_least = shelf_mm(p->length_least);
    part.length_most = shelf_mm(p->length_most);
    part.form = BLY_OUTLINE_TONGUE;
    part.size = p->size;
    part.size_rank = p->kind == BLY_PART_HOOK ? bly_hook_rank(p->size) : 0;
    part.style = (char *)(p->kind == BLY_PART_HOOK ? "treble" : "screw");
    assert_true(bly_catalog_put_part(shelf, &part, NULL));
}

static inline void shelf_fill(BlyCatalog *shelf) {
    static const ShelfPart parts[] = {
        {.kind = BLY_PART_EYE,
         .id = (char *)"eye-small",
         .mass_g = 0.12,
         .wire = 1.0,
         .outer = 4.2,
         .length = 5.0,
         .shank = 4.3,
         .bore = 2.2},
        {.kind = BLY_PART_RING,
         .id = (char *)"ring-2",
         .mass_g = 0.07,
         .wire = 0.6,
         .outer = 5.2,
         .passes = 1.2,
         .size = (char *)"2"},
        {.kind = BLY_PART_RING,
         .id = (char *)"ring-6",
         .mass_g = 0.4,
         .wire = 1.2,
         .outer = 9.5,
         .passes = 2.4,
         .size = (char *)"6"},
        {.kind = BLY_PART_HOOK,
         .id = (char *)"hook-8",
         .mass_g = 0.3,
         .wire = 0.8,
         .length = 15.5,
         .shank = 7.0,
         .bore = 1.5,
         .size = (char *)"8"},
        {.kind = BLY_PART_HOOK,
         .id = (char *)"hook-6",
         .mass_g = 0.5,
         .wire = 0.95,
         .length = 18.0,
         .shank = 8.0,
         .bore = 1.7,
         .size = (char *)"6"},
        {.kind = BLY_PART_HOOK,
         .id = (char *)"hook-4",
         .mass_g = 0.8,
         .wire = 1.1,
         .length = 21.5,
         .shank = 9.0,
         .bore = 2.0,
         .size = (char *)"4"},
        {.kind = BLY_PART_SNAP,
         .id = (char *)"snap-1",
         .mass_g = 0.07,
         .wire = 0.55,
         .length = 11.0,
         .bore = 2.0,
         .passes = 0.55},
        {.kind = BLY_PART_SHEET,
         .id = (char *)"sheet-brass-1.0",
         .thickness = 1.0,
         .thinnest = 0.7},
        {.kind = BLY_PART_SHEET,
         .id = (char *)"sheet-brass-2.0",
         .thickness = 2.0,
         .thinnest = 1.5},
        {.kind = BLY_PART_OUTLINE,
         .id = (char *)"outline-tongue",
         .width = 14.0,
         .length_least = 12.0,
         .length_most = 40.0},
        {.kind = BLY_PART_STRIP,
         .id = (char *)"strip-brass",
         .thickness = 0.3,
         .width = 5.0,
         .length = 100.0},
        {.kind = BLY_PART_DOT,
         .id = (char *)"dot-5",
         .mass_g = 0.03,
         .thickness = 0.3,
         .outer = 5.0},
        {.kind = BLY_PART_WIRE, .id = (char *)"wire-tin", .mass_g = 1.4, .wire = 0.5},
    };
    *shelf = (BlyCatalog){0};
    shelf_material(shelf, (char *)"larch", 590.0, 60.0);
    shelf_material(shelf, (char *)"brass", 8500.0, 50.0);
    shelf_material(shelf, (char *)"epoxy", 1150.0, 40.0);
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++)
        shelf_part(shelf, &parts[i]);
    bly_catalog_complete(shelf);
    bly_catalog_sort(shelf);
}

/* The group's set-up and tear-down: *state is the stocked shelf. */
static inline int shelf_stock(void **state) {
    static BlyCatalog shelf;
    shelf_fill(&shelf);
    *state = &shelf;
    return 0;
}

static inline int shelf_clear(void **state) {
    bly_catalog_release(*state);
    return 0;
}

#endif
