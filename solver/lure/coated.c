/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Hulls of one body under coats of other thicknesses. How sure a result is, is asked again and
 * again with the coat a little off either way; each such hull is made once. */
#include "lure/items.h"

#include <stdlib.h>

enum { KEPT = 4 };

struct BlyCoatedHulls {
    size_t count;
    struct {
        double thickness;
        BlyBody *hull;
        BlySeenTable *seen;
    } at[KEPT];
};

BlyCoatedHulls *coated_make(BlyError *err) {
    BlyCoatedHulls *hulls = calloc(1, sizeof *hulls);
    if (hulls == NULL)
        (void)bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a body's hulls");
    return hulls;
}

void coated_free(BlyCoatedHulls *hulls) {
    for (size_t i = 0; hulls != NULL && i < hulls->count; i++) {
        bly_body_free(hulls->at[i].hull);
        seen_free(hulls->at[i].seen);
    }
    free(hulls);
}

bool coated_find(const BlyCoatedHulls *hulls, double thickness, BlyBody **hull,
                 BlySeenTable **seen) {
    for (size_t i = 0; hulls != NULL && i < hulls->count; i++) {
        if (hulls->at[i].thickness == thickness) {
            *hull = hulls->at[i].hull;
            *seen = hulls->at[i].seen;
            return true;
        }
    }
    return false;
}

bool coated_keep(BlyCoatedHulls *hulls, double thickness, BlyBody *hull, BlySeenTable *seen) {
    if (hulls == NULL || hulls->count == KEPT)
        return false;
    hulls->at[hulls->count].thickness = thickness;
    hulls->at[hulls->count].hull = hull;
    hulls->at[hulls->count++].seen = seen;
    return true;
}
