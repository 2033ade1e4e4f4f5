/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sizes of a part as the catalog's files name them: one table for the reader, which fills
 * them, and for the check, which misses them. */
#ifndef BALLASTRY_CATALOG_FIELDS_H
#define BALLASTRY_CATALOG_FIELDS_H

#include "ballastry/parts.h"
#include "ballastry/units.h"

typedef struct CatalogField {
    const char *key;
    BlyDimension dimension;
    const char *bare_unit; /* of a bare number; NULL: refused or, for a price, none */
    size_t offset;         /* of the double within BlyPart */
    unsigned needed;       /* bits of kinds that must have it */
    unsigned allowed;      /* bits of kinds that may have it */
    bool may_be_zero;
} CatalogField;

extern const CatalogField catalog_fields[];
extern const size_t catalog_field_count;

/* The bit of a kind in `needed` and `allowed`. */
static inline unsigned catalog_bit(BlyPartKind kind) {
    return 1u << (unsigned)kind;
}

double *catalog_field_of(BlyPart *part, const CatalogField *field);
double catalog_field_value(const BlyPart *part, const CatalogField *field);

/* Whether a give suits its value, and what to say when it does not. */
bool catalog_give_is_good(double value, double give);
extern const char *const catalog_give_words;

/* Reads a give: "0.02 g", or "5 %" of the value. 0 up to the value itself. */
bool catalog_give_read(const char *text, double value, BlyDimension dimension,
                       const char *bare_unit, double *give, BlyError *err) BLY_MUST_CHECK;

#endif
