/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a tank test found of a lure that may be the maker's habit: of its wood, coats, hooks and
 * drag; for the book. */
#ifndef BALLASTRY_TANK_FOUND_H
#define BALLASTRY_TANK_FOUND_H

#include "ballastry/tank.h"

typedef enum FoundKind {
    FOUND_DENSITY,       /* kg/m3 of the body's own material, as solid */
    FOUND_PIECE_DENSITY, /* kg/m3 of the blank's piece `index` */
    FOUND_COAT,          /* m */
    FOUND_COAT_DENSITY,  /* kg/m3 */
    FOUND_HOOK,          /* kg, of the hook at seat `index` */
    FOUND_DRAG
} FoundKind;

typedef struct TankFound {
    FoundKind kind;
    int index;               /* coat, piece or seat; -1 */
    BlyFigure before, after; /* before.value NAN: it was weighed, nothing else was known of it */
} TankFound;

enum { TANK_FOUND_MOST = 64 };

typedef struct TankFounds {
    TankFound at[TANK_FOUND_MOST];
    size_t count;
    double *before, *after; /* count squared, correlations; of what has no before, none. Owned */
} TankFounds;

/* `result` of the same build and water. A body that was weighed has a density all the same, out of
 * its mass and volume. Errors as bly_tank_forecast. Release in every case. */
bool tank_found(const BlyBuild *build, const BlyWaterFacts *water, const BlyTankResult *result,
                TankFounds *out, BlyError *err) BLY_MUST_CHECK;
void tank_found_release(TankFounds *found);

#endif
