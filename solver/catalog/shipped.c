/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The catalog that is built into the library: the files of catalog/ as bytes, written by the
 * Makefile into shipped_catalog.inc. */
#include "ballastry/catalog.h"
#include "catalog/read.h"

typedef struct Shipped {
    const char *path;
    const unsigned char *bytes;
    size_t size;
} Shipped;

#include "shipped_catalog.inc"

bool bly_catalog_shipped(BlyCatalog *out, BlyError *err) {
    *out = (BlyCatalog){0};
    for (size_t i = 0; i < sizeof shipped / sizeof shipped[0]; i++) {
        const char *text = (const char *)shipped[i].bytes;
        if (!catalog_read_records(out, NULL, NULL, text, shipped[i].size, err)) {
            bly_error_prefix(err, shipped[i].path);
            bly_catalog_release(out);
            return false;
        }
    }
    bly_catalog_complete(out);
    bly_catalog_sort(out);
    return true;
}
