/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Packed shares of poured heaps, as published. Near a wall, within half a piece's length, pieces
 * pack looser; in a narrow mould take the low end. */
#include "pour/inside.h"

#include <string.h>

static const char sphere_source[] =
    "taken as equal spheres: random loose 0.55 to 0.58 (university page on random packing), random "
    "close 0.637 to 0.64 (conference abstract, density limit for random close packing)";

/* In order of name. tests/pour/packing.csv holds the published rows that each range spans. */
static const BlyPacking table[] = {
    {"chickpea", "chickpeas, dry to damp", 0.5779, 0.6123, BLY_FROM_PUBLISHED,
     "Gurhan et al. 2009, Asian J. Chem. 21, 3270; Mengistu and Abera 2024 (abstracts)"},
    {"close", "equal balls, shaken down", 0.637, 0.64, BLY_FROM_PUBLISHED,
     "random close packing of equal spheres (conference abstract and university page)"},
    {"grain", "seeds of any round or lens shape, not measured", 0.4437, 0.7009, BLY_FROM_PUBLISHED,
     "span of the seeds in this table and of sugarbeet seed: Dursun et al. 2007, J. Stored Prod. "
     "Res. 43, 149 (abstracts)"},
    {"granulate", "round granulate or foam beads of about one size", 0.55, 0.64, BLY_FROM_MODEL,
     sphere_source},
    {"grass-pea", "grass peas", 0.629, 0.6576, BLY_FROM_PUBLISHED,
     "Zewdu and Solomon, CIGR Ejournal (abstract)"},
    {"green-pea", "green peas", 0.5798, 0.5925, BLY_FROM_PUBLISHED,
     "Ganjloo et al. 2018, Int. Food Res. J. 25, 1246 (abstract)"},
    {"lens", "lens-shaped pieces, poured", 0.68, 0.71, BLY_FROM_PUBLISHED,
     "oblate spheroids: Donev et al. 2004, Science 303, 990 (summaries)"},
    {"lentil", "lentils, dry to damp", 0.4437, 0.7009, BLY_FROM_PUBLISHED,
     "Isik 2007, Pakistan J. Biol. Sci. 10, 474; Isik and Izli 2016, J. Agric. Sci. 22, 307 "
     "(abstracts)"},
    {"loose", "equal balls, poured gently", 0.55, 0.58, BLY_FROM_PUBLISHED,
     "random loose packing of equal spheres (university page)"},
    {"microballoons",
     "hollow glass or fly-ash bubbles, as round granulate; mixed sizes pack closer", 0.55, 0.64,
     BLY_FROM_MODEL, sphere_source},
    {"pellets", "cut pellets, as long as thick", 0.58, 0.63, BLY_FROM_MEMORY,
     "cylinders, packed-bed texts, from memory"},
    {"rice", "milled long rice", 0.55, 0.62, BLY_FROM_MEMORY,
     "food engineering texts, from memory"},
    {"rods", "thin rods ten times as long as thick", 0.45, 0.55, BLY_FROM_MEMORY,
     "rod-packing texts, from memory"},
};

const BlyPacking *bly_packings(size_t *count) {
    *count = sizeof table / sizeof table[0];
    return table;
}

const BlyPacking *bly_packing_find(const char *name) {
    for (size_t i = 0; name != NULL && i < sizeof table / sizeof table[0]; i++) {
        if (strcmp(table[i].name, name) == 0)
            return &table[i];
    }
    return NULL;
}

BlyFigure bly_packing_figure(const BlyPacking *packing) {
    return (BlyFigure){(packing->low + packing->high) / 2, (packing->high - packing->low) / 2};
}
