/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A blank as programs have it that use the library: made, asked, freed. */
#include "lure/blank.h"

#include <stdlib.h>

bool bly_blank_new(const BlyBody *bare, const BlyBodyFacts *facts, const BlyCoat *coats,
                   size_t coat_count, const BlySeat *seats, const BlyRig *fitted, BlyBlank **out,
                   BlyError *err) {
    *out = NULL;
    BlyBlank *blank = calloc(1, sizeof *blank);
    if (blank == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a blank");
    if (!bly_blank_make(bare, facts, coats, coat_count, seats, fitted, blank, err)) {
        free(blank);
        return false;
    }
    *out = blank;
    return true;
}

void bly_blank_free(BlyBlank *blank) {
    if (blank == NULL)
        return;
    bly_blank_release(blank);
    free(blank);
}

const BlyBody *bly_blank_hull(const BlyBlank *blank) {
    return blank->hull;
}

const BlyBodyFacts *bly_blank_facts(const BlyBlank *blank) {
    return &blank->facts;
}

const BlyItem *bly_blank_items(const BlyBlank *blank, size_t *count) {
    *count = blank->item_count;
    return blank->items;
}

double bly_blank_body_mass(const BlyBlank *blank) {
    return blank->body_mass;
}

double bly_blank_hull_volume(const BlyBlank *blank, BlyVec3 *centroid) {
    if (centroid != NULL)
        *centroid = blank->hull_centroid;
    return blank->hull_volume;
}
