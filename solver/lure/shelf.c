/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Hulls of one body under coats of other thicknesses. How sure a result is, is asked again and
 * again with the coat a little off either way; each such hull is made once. */
#include "lure/items.h"

#include <stdlib.h>

enum { KEPT = 4 };

struct BlyHullShelf {
    size_t count;
    struct {
        double thickness;
        BlyBody *hull;
        BlySeenTable *seen;
    } at[KEPT];
};

BlyHullShelf *bly_shelf_make(BlyError *err) {
    BlyHullShelf *shelf = calloc(1, sizeof *shelf);
    if (shelf == NULL)
        (void)bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a body's hulls");
    return shelf;
}

void bly_shelf_free(BlyHullShelf *shelf) {
    for (size_t i = 0; shelf != NULL && i < shelf->count; i++) {
        bly_body_free(shelf->at[i].hull);
        bly_seen_free(shelf->at[i].seen);
    }
    free(shelf);
}

bool bly_shelf_find(const BlyHullShelf *shelf, double thickness, BlyBody **hull,
                    BlySeenTable **seen) {
    for (size_t i = 0; shelf != NULL && i < shelf->count; i++) {
        if (shelf->at[i].thickness == thickness) {
            *hull = shelf->at[i].hull;
            *seen = shelf->at[i].seen;
            return true;
        }
    }
    return false;
}

bool bly_shelf_keep(BlyHullShelf *shelf, double thickness, BlyBody *hull, BlySeenTable *seen) {
    if (shelf == NULL || shelf->count == KEPT)
        return false;
    shelf->at[shelf->count].thickness = thickness;
    shelf->at[shelf->count].hull = hull;
    shelf->at[shelf->count++].seen = seen;
    return true;
}
