/* SPDX-License-Identifier: GPL-3.0-or-later */
/* "Did you mean": the id most like a wanted one. An id that holds the wanted text counts as one
 * slip of the pen; otherwise slips are the edits that make one out of the other. */
#include "ballastry/parts.h"
#include "text/near.h"

#include <string.h>

typedef struct Best {
    const char *wanted;
    size_t length;
    const char *id;
    size_t score;
} Best;

static Best best_start(const char *wanted) {
    size_t length = wanted != NULL ? strnlen(wanted, BLY_NEAR_MAX + 1) : 0;
    return (Best){wanted, length, NULL, length / 3 + 2};
}

static void consider(Best *best, const char *id) {
    size_t length = strnlen(id, BLY_NEAR_MAX + 1), score;
    if (length > BLY_NEAR_MAX)
        return;
    if (best->length >= 3 && strstr(id, best->wanted) != NULL)
        score = 1;
    else
        score = (size_t)bly_edit_distance(best->wanted, id);
    if (score > best->score || (best->id == NULL && score == best->score))
        return;
    if (score == best->score) { /* the shorter, then the first by name: order must not matter */
        size_t held = strlen(best->id);
        if (length > held || (length == held && strcmp(id, best->id) > 0))
            return;
    }
    best->id = id;
    best->score = score;
}

const char *bly_catalog_nearest_part(const BlyCatalog *catalog, const char *id) {
    Best best = best_start(id);
    if (best.length == 0 || best.length > BLY_NEAR_MAX)
        return NULL;
    for (size_t i = 0; i < catalog->part_count; i++)
        consider(&best, catalog->parts[i].id);
    return best.id;
}

const char *bly_catalog_nearest_material(const BlyCatalog *catalog, const char *id) {
    Best best = best_start(id);
    if (best.length == 0 || best.length > BLY_NEAR_MAX)
        return NULL;
    for (size_t i = 0; i < catalog->material_count; i++)
        consider(&best, catalog->materials[i].id);
    return best.id;
}
