/* SPDX-License-Identifier: GPL-3.0-or-later */
/* "Did you mean": the id most like a wanted one. An id that holds the wanted text counts as one
 * slip of the pen; otherwise slips are counted by Levenshtein's distance (insert, drop, change). */
#include "ballastry/parts.h"

#include <string.h>

enum { LONGEST = 64 };

/* Distance, or `enough` as soon as it cannot be less. */
static size_t slips(const char *a, size_t a_len, const char *b, size_t b_len, size_t enough) {
    size_t row[LONGEST + 1];
    for (size_t j = 0; j <= b_len; j++)
        row[j] = j;
    for (size_t i = 1; i <= a_len; i++) {
        size_t diagonal = row[0], least = i;
        row[0] = i;
        for (size_t j = 1; j <= b_len; j++) {
            size_t change = diagonal + (a[i - 1] != b[j - 1] ? 1 : 0);
            diagonal = row[j];
            size_t other = (row[j] < row[j - 1] ? row[j] : row[j - 1]) + 1;
            row[j] = change < other ? change : other;
            least = row[j] < least ? row[j] : least;
        }
        if (least >= enough)
            return enough;
    }
    return row[b_len];
}

typedef struct Best {
    const char *wanted;
    size_t length;
    const char *id;
    size_t score;
} Best;

static Best best_start(const char *wanted) {
    size_t length = wanted != NULL ? strnlen(wanted, LONGEST + 1) : 0;
    return (Best){wanted, length, NULL, length / 3 + 2};
}

static void consider(Best *best, const char *id) {
    size_t length = strnlen(id, LONGEST + 1), score;
    if (length > LONGEST)
        return;
    if (best->length >= 3 && strstr(id, best->wanted) != NULL)
        score = 1;
    else
        score = slips(best->wanted, best->length, id, length, best->score + 1);
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
    if (best.length == 0 || best.length > LONGEST)
        return NULL;
    for (size_t i = 0; i < catalog->part_count; i++)
        consider(&best, catalog->parts[i].id);
    return best.id;
}

const char *bly_catalog_nearest_material(const BlyCatalog *catalog, const char *id) {
    Best best = best_start(id);
    if (best.length == 0 || best.length > LONGEST)
        return NULL;
    for (size_t i = 0; i < catalog->material_count; i++)
        consider(&best, catalog->materials[i].id);
    return best.id;
}
