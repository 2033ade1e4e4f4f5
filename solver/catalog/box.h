/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the room catalog: a new part after one that is known. */
#ifndef BALLASTRY_CATALOG_BOX_H
#define BALLASTRY_CATALOG_BOX_H

#include "ballastry/catalog.h"

/* What a line of a box says of a part; texts are "" and numbers NAN where it is silent. */
typedef struct BoxWords {
    const char *size, *style, *grade, *material;
    double mass; /* kg a piece; of wire a metre */
} BoxWords;

/* A new part of this kind: the sizes of the part of *catalog that is most like what is said, all in
 * proportion until its mass is that of the scale; gauge, width and diameter as said. Its texts
 * `name` and `source` are written into the buffers; others are borrowed. The error has no place. */
enum { BOX_TEXT_MAX = 320 };
bool box_part_like(const BlyCatalog *catalog, BlyPartKind kind, const BoxWords *words, BlyPart *out,
                   char name[BOX_TEXT_MAX], char source[BOX_TEXT_MAX],
                   BlyError *err) BLY_MUST_CHECK;

/* The id of such a part, "box-treble-6-fine": one that is in neither of the two catalogs. */
enum { BOX_ID_MAX = 96 };
void box_part_id(const BlyCatalog *base, const BlyCatalog *own, BlyPartKind kind,
                 const BoxWords *words, char out[BOX_ID_MAX]);

#endif
