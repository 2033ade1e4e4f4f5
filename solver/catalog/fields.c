/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "catalog/fields.h"

#include <math.h>
#include <string.h>

enum {
    EYE = 1u << BLY_PART_EYE,
    RING = 1u << BLY_PART_RING,
    HOOK = 1u << BLY_PART_HOOK,
    SNAP = 1u << BLY_PART_SNAP,
    SHEET = 1u << BLY_PART_SHEET,
    OUTLINE = 1u << BLY_PART_OUTLINE,
    STRIP = 1u << BLY_PART_STRIP,
    DOT = 1u << BLY_PART_DOT,
    WIRE = 1u << BLY_PART_WIRE,
    PIECES = EYE | RING | HOOK | SNAP | DOT
};

#define LENGTH(key, member, needed, allowed)                                                       \
    { key, BLY_DIM_LENGTH, "mm", offsetof(BlyPart, member), needed, (needed) | (allowed), false }

const CatalogField catalog_fields[] = {
    {"mass", BLY_DIM_MASS, "g", offsetof(BlyPart, mass.value), PIECES, PIECES, false},
    {"mass_per_m", BLY_DIM_MASS, "g", offsetof(BlyPart, mass.value), WIRE, WIRE, false},
    {"volume", BLY_DIM_VOLUME, "cm3", offsetof(BlyPart, volume), 0, PIECES, false},
    {"price", BLY_DIM_PRICE, NULL, offsetof(BlyPart, price), 0, ~0u, true},
    LENGTH("wire", wire, EYE | RING | HOOK | SNAP | WIRE, 0),
    LENGTH("outer", outer, EYE | RING | DOT, 0),
    LENGTH("length", length, EYE | HOOK | SNAP | STRIP, 0),
    LENGTH("shank", shank, HOOK, EYE),
    LENGTH("gape", gape, HOOK, 0),
    LENGTH("bore", bore, EYE | HOOK, SNAP | DOT),
    LENGTH("passes", passes, RING | SNAP, 0),
    LENGTH("thickness", thickness, SHEET | STRIP | DOT, 0),
    {"thickness_give", BLY_DIM_LENGTH, "mm", offsetof(BlyPart, thickness_give), 0, SHEET | STRIP,
     true},
    LENGTH("thinnest", thinnest, 0, SHEET),
    {"bending", BLY_DIM_STRESS, "MPa", offsetof(BlyPart, bending), 0, SHEET, false},
    LENGTH("width", width, STRIP, OUTLINE), /* an outline's: read_outline.c */
    LENGTH("root_width", root_width, 0, OUTLINE),
    LENGTH("root_length", root_length, 0, OUTLINE),
};
const size_t catalog_field_count = sizeof catalog_fields / sizeof catalog_fields[0];

double *catalog_field_of(BlyPart *part, const CatalogField *field) {
    return (double *)(void *)((char *)part + field->offset);
}

double catalog_field_value(const BlyPart *part, const CatalogField *field) {
    return *(const double *)(const void *)((const char *)part + field->offset);
}

const char *const catalog_give_words = "a tolerance lies between nothing and the whole value";

bool catalog_give_is_good(double value, double give) {
    return give >= 0 && give <= fabs(value);
}

bool catalog_give_read(const char *text, double value, BlyDimension dimension,
                       const char *bare_unit, double *give, BlyError *err) {
    double read;
    bool share = strchr(text, '%') != NULL;
    if (!bly_quantity_read(text, share ? BLY_DIM_RATIO : dimension, share ? NULL : bare_unit, &read,
                           err))
        return false;
    if (share)
        read *= fabs(value);
    if (!catalog_give_is_good(value, read))
        return bly_fail(err, BLY_E_RANGE, NULL, "%s, not \"%.40s\"", catalog_give_words, text);
    *give = read;
    return true;
}
