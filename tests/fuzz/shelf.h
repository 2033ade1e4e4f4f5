/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A small catalog of invented parts, and whether a catalog is sound. */
#ifndef BALLASTRY_TESTS_FUZZ_SHELF_H
#define BALLASTRY_TESTS_FUZZ_SHELF_H

#include "ballastry/catalog.h"
#include "fuzz/fuzz.h"

#include <math.h>
#include <string.h>

static inline void fuzz_shelf_fill(BlyCatalog *shelf) {
    static const char text[] =
        "{ \"ballastry_catalog\": 1, \"materials\": ["
        " { \"id\": \"steel\", \"name\": \"steel\", \"density\": \"7.85 g/cm3\", \"give\": \"1 %\","
        " \"origin\": \"practice\", \"source\": \"invented\" } ], \"parts\": ["
        " { \"kind\": \"ring\", \"id\": \"ring-a\", \"name\": \"ring a\", \"size\": \"4\", "
        "\"material\": \"steel\","
        " \"mass\": \"0.2 g\", \"wire\": \"0.5 mm\", \"outer\": \"6 mm\", \"passes\": \"1 mm\","
        " \"origin\": \"practice\", \"source\": \"invented\" } ] }";
    BlyError err = {0};
    if (!bly_catalog_read_json(shelf, text, sizeof text - 1, &err)) {
        (void)fprintf(stderr, "%s: %s\n", err.where, err.text);
        abort();
    }
}

/* Every record is found under its own name, and weighs something finite or nothing known. */
static inline void fuzz_shelf_sound(const BlyCatalog *shelf) {
    for (size_t i = 0; i < shelf->part_count; i++) {
        const BlyPart *part = &shelf->parts[i];
        FUZZ_LAW(bly_catalog_part(shelf, part->id) == part);
        FUZZ_LAW(!isinf(part->mass.value) && !(part->mass.value < 0) && !(part->mass.give < 0));
    }
    for (size_t i = 0; i < shelf->material_count; i++)
        FUZZ_LAW(bly_catalog_material(shelf, shelf->materials[i].id) == &shelf->materials[i]);
    (void)bly_catalog_check(shelf, NULL, NULL);
}

typedef bool (*FuzzRead)(BlyCatalog *catalog, const char *text, size_t size, BlyError *err);

/* A list that is refused leaves the catalog as it was; one that is taken leaves it sound, and
 * taking it a second time changes no record's mass. */
static inline void fuzz_shelf_laws(FuzzRead read, const char *text, size_t size) {
    BlyCatalog shelf = {0};
    BlyError err = {0};
    fuzz_shelf_fill(&shelf);
    size_t parts = shelf.part_count, materials = shelf.material_count;
    double mass = bly_catalog_part(&shelf, "ring-a")->mass.value;
    if (read(&shelf, text, size, &err)) {
        mass = bly_catalog_part(&shelf, "ring-a")->mass.value;
        FUZZ_LAW(read(&shelf, text, size, &err));
    } else {
        FUZZ_LAW(err.code != BLY_OK && err.text[0] != '\0');
        FUZZ_LAW(shelf.part_count == parts && shelf.material_count == materials);
    }
    double after = bly_catalog_part(&shelf, "ring-a")->mass.value;
    FUZZ_LAW(after == mass || (isnan(after) && isnan(mass)));
    fuzz_shelf_sound(&shelf);
    bly_catalog_release(&shelf);
}

#endif
