/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Choices go by products of parts: eyes by rings by hooks, sheets by outlines by lengths. With
 * thousands of each that is more than can be looked at, and most of it tells a maker nothing new.
 */
#include "fit/fewer_parts.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { TRAITS = 24 };

/* A part's figures counted in steps that a maker cannot tell apart. */
typedef struct Standing {
    int64_t trait[TRAITS];
    double price; /* unknown costs nothing, as in choice_costs */
    size_t place; /* in the catalog's order */
} Standing;

static int64_t steps(double value, double step) {
    return isfinite(value) ? llround(value / step) : INT64_MIN;
}

static Standing stand(const BlyPart *p, size_t place) {
    const bool single = p->style != NULL && strcmp(p->style, "single") == 0;
    return (Standing){
        .trait = {steps(p->mass.value, 1e-5),
                  steps(p->density.value, 10.0),
                  steps(p->volume, 1e-9),
                  steps(p->wire, 1e-4),
                  steps(p->bore, 1e-4),
                  steps(p->passes, 1e-4),
                  steps(p->outer, 1e-3),
                  steps(p->length, 1e-3),
                  steps(p->shank, 1e-3),
                  steps(p->thickness, 1e-5),
                  steps(p->thinnest, 1e-5),
                  steps(p->width, 2e-4),
                  steps(p->root_width, 2e-4),
                  steps(p->root_length, 1e-3),
                  steps(p->length_least, 1e-3),
                  steps(p->length_most, 1e-3),
                  (int64_t)p->form,
                  p->size_rank,
                  64 * p->hook_rank_low + p->hook_rank_high,
                  64 * p->single_rank_low + p->single_rank_high,
                  single,
                  p->in_box > 0,
                  steps(p->in_box, 1.0),
                  p->kind == BLY_PART_OUTLINE ? steps(bly_outline_area(p, p->length_most), 1e-6)
                                              : 0},
        .price = isfinite(p->price) ? p->price : 0.0,
        .place = place,
    };
}

static int by_traits(const Standing *a, const Standing *b) {
    for (size_t i = 0; i < TRAITS; i++) {
        if (a->trait[i] != b->trait[i])
            return a->trait[i] < b->trait[i] ? -1 : 1;
    }
    return 0;
}

static int best_of_each_first(const void *pa, const void *pb) {
    const Standing *a = pa, *b = pb;
    int order = by_traits(a, b);
    if (order != 0)
        return order;
    if (a->price < b->price || a->price > b->price)
        return a->price < b->price ? -1 : 1;
    return a->place < b->place ? -1 : a->place > b->place;
}

static void mark_best(const BlyPart *const *parts, size_t count, Standing *all, bool *kept) {
    for (size_t i = 0; i < count; i++)
        all[i] = stand(parts[i], i);
    qsort(all, count, sizeof *all, best_of_each_first);
    for (size_t i = 0; i < count; i++)
        kept[all[i].place] = i == 0 || by_traits(&all[i], &all[i - 1]) != 0;
}

static bool leave_one_of_each(const BlyPart **parts, size_t *count, const BlyPart *stays,
                              BlyError *err) {
    Standing *all = malloc(*count * sizeof *all);
    bool *kept = calloc(*count, sizeof *kept);
    if (all == NULL || kept == NULL) {
        free(all);
        free(kept);
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for %zu parts", *count);
    }
    mark_best(parts, *count, all, kept);
    size_t left = 0;
    for (size_t i = 0; i < *count; i++) {
        if (kept[i] || parts[i] == stays)
            parts[left++] = parts[i];
    }
    *count = left;
    free(all);
    free(kept);
    return true;
}

bool fit_fewer_parts(const BlyBuild *build, const BlyCatalog *catalog, BlyPartKind kind,
                     const BlyPart *stays, const BlyPart ***out, size_t *count, BlyError *err) {
    if (!bly_limits_parts(&build->limits, catalog, kind, out, count, err))
        return false;
    if (*count <= FIT_PARTS_MOST || leave_one_of_each(*out, count, stays, err))
        return true;
    free(*out);
    *out = NULL;
    return false;
}
