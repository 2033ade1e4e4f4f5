/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Catalog JSON to records, without the finishing touches of bly_catalog_read_json. */
#ifndef BALLASTRY_CATALOG_READ_H
#define BALLASTRY_CATALOG_READ_H

#include "ballastry/catalog.h"
#include "ballastry/rules.h"
#include "json/json.h"

#include <stdint.h>

/* Adds the file's records to *out. Materials are looked up in *out, then in *base (may be NULL).
 * An id that stands in *out already is a doubled one. On failure *out holds part of the file. */
bool catalog_read_records(BlyCatalog *out, const BlyCatalog *base, const BlyCatalogFiles *files,
                          const char *text, size_t size, BlyError *err) BLY_MUST_CHECK;

/* Where a material may stand: in the file itself, or (may be NULL) in the catalog that it joins;
 * and the files that a part may name (may be NULL). */
typedef struct CatalogShelves {
    const BlyCatalog *own, *base;
    const BlyCatalogFiles *files;
} CatalogShelves;

/* What an outline has of its own. part->drawn is the caller's to free, also after a failure. */
bool catalog_read_outline(const BlyJson *at, const BlyCatalogFiles *files, BlyPart *part,
                          BlyError *err) BLY_MUST_CHECK;

/* One part, complete; its texts are borrowed from the tree, part->drawn is the caller's to free,
 * also after a failure. */
bool catalog_read_part(const BlyJson *at, CatalogShelves shelves, BlyPart *part,
                       BlyError *err) BLY_MUST_CHECK;

/* The file's rules: each takes the place of its like in *into or, where that has none, in *base. */
bool catalog_read_rules(const BlyJson *root, const BlyCatalog *base, BlyCatalog *into,
                        BlyError *err) BLY_MUST_CHECK;

/* A text of the tree or of a table for a record's field: the catalog copies it, nobody writes. */
static inline char *catalog_borrow(const char *text) {
    return (char *)(uintptr_t)text;
}

/* Helpers that materials and parts share. */
bool catalog_read_text(const BlyJson *object, const char *key, size_t most, char **out,
                       BlyError *err) BLY_MUST_CHECK; /* required */
bool catalog_read_origin(const BlyJson *object, const char *key, BlyOrigin *out,
                         BlyError *err) BLY_MUST_CHECK; /* required */
bool catalog_read_give(const BlyJson *at, double value, BlyDimension dimension,
                       const char *bare_unit, double *give, BlyError *err) BLY_MUST_CHECK;
const BlyMaterial *catalog_find_material(CatalogShelves shelves, const char *id);

enum { CATALOG_ID_MOST = 64, CATALOG_NAME_MOST = 120, CATALOG_SOURCE_MOST = 300 };

#endif
