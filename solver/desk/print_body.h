/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The body of a build as an STL file, for those who print or mill it. */
#ifndef BALLASTRY_DESK_PRINT_BODY_H
#define BALLASTRY_DESK_PRINT_BODY_H

#include "ballastry/stl.h"
#include "build/build.h"

typedef struct PrintOrder {
    double chord;    /* m, how far the facets may lie off the true surface */
    double slot_gap; /* m, how wide a lip slot is sawn; NAN: as the fitted sheet is thick, else as
                      * the seat's gap */
    bool whole;      /* no slots */
    BlyStlKind kind;
} PrintOrder;

PrintOrder print_order(void); /* the usual one: binary, finer than any printer's layer */

typedef struct PrintedBody {
    char *bytes; /* the file, in mm, nose at x = 0; owned */
    size_t size, facets, slots;
    double volume, slot_volume; /* m3, of the body with its slots; of what they took */
    bool of_mesh;               /* the body's own triangles: no chord counts */
} PrintedBody;

/* The bare body with the lip slots of `rig`. The file is read back before it is handed over: it
 * must be closed, and its volume that of the body less the slots' within chord times surface.
 * Fails with BLY_E_RANGE (where "/chord"), BLY_E_MISSING (where: the seat; how wide or where a slot
 * is is not known), BLY_E_CONFLICT (a slot that misses the body or cuts it in two), BLY_E_INTERNAL
 * (the check), BLY_E_MEMORY. Release in every case. */
bool print_body(const BlyBuild *build, const BlyRig *rig, const PrintOrder *order, PrintedBody *out,
                BlyError *err) BLY_MUST_CHECK;
void print_body_release(PrintedBody *printed);

#endif
