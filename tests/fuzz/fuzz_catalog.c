/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Catalogs in JSON. Laws: a list that is refused leaves the catalog as it was; one that is taken
 * leaves it sound, and taking it a second time changes no record's mass. */
#include "fuzz/shelf.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    BlyCatalog shelf = {0};
    BlyError err = {0};
    fuzz_shelf_fill(&shelf);
    size_t parts = shelf.part_count, materials = shelf.material_count;
    double mass = bly_catalog_part(&shelf, "ring-a")->mass.value;
    if (bly_catalog_read_json(&shelf, (const char *)data, size, &err)) {
        mass = bly_catalog_part(&shelf, "ring-a")->mass.value;
        FUZZ_LAW(bly_catalog_read_json(&shelf, (const char *)data, size, &err));
    } else {
        FUZZ_LAW(err.code != BLY_OK && err.text[0] != '\0');
        FUZZ_LAW(shelf.part_count == parts && shelf.material_count == materials);
    }
    double after = bly_catalog_part(&shelf, "ring-a")->mass.value;
    FUZZ_LAW(after == mass || (isnan(after) && isnan(mass)));
    fuzz_shelf_sound(&shelf);
    bly_catalog_release(&shelf);
    return 0;
}
