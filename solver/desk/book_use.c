/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The book's word in place of the catalog's. */
#include "desk/book.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* A coat's key is its material, and maybe a comma and the way. */
static const BlyMaterial *material_of(const BlyCatalog *catalog, const char *key) {
    char id[BOOK_KEY_MAX];
    (void)snprintf(id, sizeof id, "%.*s", (int)strcspn(key, ","), key);
    return bly_catalog_material(catalog, id);
}

static bool usual_figure(void *context, const char *kind, const char *key, BlyFigure *out) {
    const BlyCatalog *catalog = context;
    const BookKind *known = book_kind(kind);
    BlyFigure figure = {NAN, 0.0};
    if (strcmp(kind, BOOK_DENSITY) == 0 || strcmp(kind, BOOK_COAT_DENSITY) == 0) {
        const BlyMaterial *material = material_of(catalog, key);
        if (material != NULL)
            figure = material->density;
    } else if (strcmp(kind, BOOK_HOOK) == 0) {
        const BlyPart *part = bly_catalog_part(catalog, key);
        if (part != NULL && part->kind == BLY_PART_HOOK)
            figure = part->mass;
    }
    if (!isfinite(figure.value) || !(figure.give > 0.0))
        return false;
    *out = (BlyFigure){figure.value / known->si, figure.give / known->si};
    return true;
}

/* A heavier copy is more of the same metal. */
static void set_hook(BlyCatalog *catalog, const BookHabit *habit) {
    for (size_t i = 0; i < catalog->part_count; i++) {
        BlyPart *part = &catalog->parts[i];
        if (strcmp(part->id, habit->key) != 0 || part->kind != BLY_PART_HOOK)
            continue;
        double factor = 1e-3 * habit->own.value / part->mass.value;
        part->mass = (BlyFigure){1e-3 * habit->own.value, 1e-3 * habit->own.give};
        part->origin =
            BLY_FROM_MEASURED; /* of the tank's lures: sizes are held to it as to a scale */
        if (!part->volume_given)
            part->volume *= factor;
    }
}

bool book_use(const Book *book, BlyCatalog *catalog, BookHabits *habits, BlyError *err) {
    if (!book_pool(book, usual_figure, catalog, habits, err))
        return false;
    catalog->habits = habits->count + habits->seen_count > 0 ? habits : NULL;
    for (size_t i = 0; i < habits->count; i++) {
        if (strcmp(habits->at[i].kind, BOOK_HOOK) == 0)
            set_hook(catalog, &habits->at[i]);
    }
    return true;
}
