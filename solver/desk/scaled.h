/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A starter at another size. */
#ifndef BALLASTRY_DESK_SCALED_H
#define BALLASTRY_DESK_SCALED_H

#include "ballastry/catalog.h"
#include "desk/starters.h"

/* As said; NULL: as the starter has it. Without a width a body grows as its length does; a turned
 * one stays round where only one of width and height is said. */
typedef struct ScaledWords {
    const char *length, *width, *height; /* greatest of each */
    const char *material, *mass;         /* the id; the bare blank on the scale */
} ScaledWords;

/* The build's text: stations, seats and the lip's sizes grow with the body, tie and tail keep their
 * distance from the ends, hooks are the nearest that are larger in proportion, a speed that is
 * aimed at goes with the root of the length, as that of falling bodies does, and what a floater
 * shows with how light its body is (Archimedes' law; steps of 5 %). A patch takes the catalog's
 * narrowest strip where the body is wide enough for it. Body to 0.1 mm, seats to half a millimetre.
 * free(*text) by the caller. err->where names the option. The text is not read back: seats may not
 * fit a body drawn out of all proportion. */
bool starter_scaled(const Starter *starter, const char *name, const ScaledWords *words,
                    const BlyCatalog *catalog, char **text, BlyError *err) BLY_MUST_CHECK;

#endif
