/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Catalogs in JSON; the laws stand in shelf.h. */
#include "fuzz/shelf.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    fuzz_shelf_laws(bly_catalog_read_json, (const char *)data, size);
    return 0;
}
