/* SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV lists of weighed parts, and of a maker's box; the laws stand in shelf.h. */
#include "fuzz/shelf.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    fuzz_shelf_laws(bly_catalog_read_csv, (const char *)data, size);
    fuzz_shelf_laws(bly_catalog_read_box, (const char *)data, size);
    return 0;
}
