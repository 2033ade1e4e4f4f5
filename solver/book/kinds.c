/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Kinds of findings that are known, and the keys by which lures are alike. */
#include "book/book.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Which share of the usual give is from lure to lure: our guess, docs/book.md; a book's own lures
 * soon say better. Hooks: what differs from piece to piece is said by the room uncertain. */
const BookKind book_kinds[] = {
    {BOOK_DENSITY, "g/cm3", 1e3, 0.35, 0.0, "density"},
    {BOOK_COAT, "mm", 1e-3, 0.35, 0.0, "thickness of coats"},
    {BOOK_COAT_DENSITY, "g/cm3", 1e3, 0.35, 0.0, "density of coats"},
    {BOOK_HOOK, "g", 1e-3, NAN, 0.05, "mass of hooks"},
    {BOOK_DRAG, "1", 1.0, 0.35, 0.0, "drag factor of bodies"},
    {BOOK_LIP, "1", 1.0, 0.35, 0.0, "force on lips"},
    {BOOK_WIRE, "1", 1.0, 0.35, 0.0, "drag of hooks and rings"},
    {BOOK_LIP_CENTRE, "chords", 1.0, 0.35, 0.0, "where on lips the force acts"},
};
const size_t book_kind_count = sizeof book_kinds / sizeof book_kinds[0];

const BookKind *book_kind(const char *name) {
    for (size_t i = 0; i < book_kind_count; i++) {
        if (strcmp(book_kinds[i].name, name) == 0)
            return &book_kinds[i];
    }
    return NULL;
}

void book_coat_key(const char *material, const char *way, char out[BOOK_KEY_MAX]) {
    bool said = way != NULL && way[0] != '\0';
    (void)snprintf(out, BOOK_KEY_MAX, "%.60s%s%.32s", material, said ? ", " : "", said ? way : "");
}

/* Bounds between which lures of one kind lie, rather than through the middle of any. */
void book_shape_key(double length, double width, double height, char out[BOOK_KEY_MAX]) {
    static const double slender = 5.5, stout = 3.5, flat = 0.75, deep = 1.35;
    double fineness = length / sqrt(width * height), section = height / width;
    (void)snprintf(out, BOOK_KEY_MAX, "%s %s",
                   fineness > slender ? "slender"
                   : fineness < stout ? "stout"
                                      : "medium",
                   section > deep   ? "deep"
                   : section < flat ? "flat"
                                    : "round");
}
