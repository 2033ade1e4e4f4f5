/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A tank test's findings, put into the book. */
#include "desk/book.h"
#include "desk/today.h"
#include "tank/found.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool finished(const BlyBuild *build, const TankWork *work) {
    bool read = false;
    for (size_t i = 0; i < work->count; i++)
        read = read || work->readings[i].stage == BLY_STAGE_COMPLETE;
    for (size_t s = 0; s < build->seat_count; s++)
        read = read && bly_tank_lacks(build, s) == BLY_PART_KINDS;
    return read;
}

static void key_of(const BlyBuild *build, const TankFound *found, BookFinding *out) {
    static const char *const kinds[] = {
        [FOUND_DENSITY] = BOOK_DENSITY, [FOUND_PIECE_DENSITY] = BOOK_DENSITY,
        [FOUND_COAT] = BOOK_COAT,       [FOUND_COAT_DENSITY] = BOOK_COAT_DENSITY,
        [FOUND_HOOK] = BOOK_HOOK,       [FOUND_DRAG] = BOOK_DRAG};
    size_t index = found->index >= 0 ? (size_t)found->index : 0;
    (void)snprintf(out->kind, sizeof out->kind, "%s", kinds[found->kind]);
    (void)snprintf(out->unit, sizeof out->unit, "%s", book_kind(out->kind)->unit);
    if (found->kind == FOUND_DENSITY)
        build_body_key(build, out->key);
    else if (found->kind == FOUND_PIECE_DENSITY)
        build_piece_key(build, index, out->key);
    else if (found->kind == FOUND_COAT || found->kind == FOUND_COAT_DENSITY)
        build_coat_key(build, index, out->key);
    else if (found->kind == FOUND_HOOK)
        (void)snprintf(out->key, sizeof out->key, "%.90s",
                       build->fitted.at[index].of[BLY_PART_HOOK].part->id);
    else
        build_shape_key(build, out->key);
}

static BlyFigure in_unit(BlyFigure figure, double si) {
    return (BlyFigure){figure.value / si, figure.give / si};
}

/* What it would be taken for without any book, kept with the first lure: once the book speaks, the
 * build no longer says it. */
static BlyFigure usual_of(const BlyBuild *build, const TankFound *found, const BookFinding *f) {
    const BlyCatalog *catalog = build->catalog;
    int habit = book_habit(catalog->habits, f->kind, f->key);
    BlyFigure unknown = {NAN, 0.0};
    double si = book_kind(f->kind)->si;
    if (habit >= 0)
        return catalog->habits->at[habit].usual;
    if (found->kind == FOUND_HOOK)
        return in_unit(build->fitted.at[found->index].of[BLY_PART_HOOK].part->mass, si);
    if (found->kind == FOUND_DENSITY || found->kind == FOUND_PIECE_DENSITY) {
        const BlyMaterial *material = bly_catalog_material(catalog, f->key);
        BlyFigure own = found->kind == FOUND_DENSITY ? build->facts.density : unknown;
        return material != NULL                        ? in_unit(material->density, si)
               : isnan(own.value) || !(own.give > 0.0) ? f->before
                                                       : in_unit(own, si * build->filled.value);
    }
    if (found->kind == FOUND_COAT_DENSITY) {
        char id[BOOK_KEY_MAX];
        (void)snprintf(id, sizeof id, "%.*s", (int)strcspn(f->key, ","), f->key);
        const BlyMaterial *material = bly_catalog_material(catalog, id);
        return material != NULL ? in_unit(material->density, si) : f->before;
    }
    return f->before;
}

/* What has no key, since it is written out, is not kept. */
static bool take(const BlyBuild *build, const TankFounds *found, BookLure *out, BlyError *err) {
    size_t kept[TANK_FOUND_MOST], n = 0;
    BookFinding at[TANK_FOUND_MOST];
    for (size_t i = 0; i < found->count; i++) {
        BookFinding f = {0};
        key_of(build, &found->at[i], &f);
        double si = book_kind(f.kind)->si;
        f.value = in_unit(found->at[i].after, si);
        f.before = in_unit(found->at[i].before, si);
        f.usual = usual_of(build, &found->at[i], &f);
        if (f.usual.give <= 0.0)
            f.usual.value = NAN;
        if (f.key[0] == '\0' || !(f.value.give > 0.0))
            continue;
        at[n] = f;
        kept[n++] = i;
    }
    if (!book_lure_begin(out, n, true, err))
        return false;
    for (size_t a = 0; a < n; a++) {
        out->at[a] = at[a];
        for (size_t b = 0; b < n; b++) {
            out->together[a * n + b] = found->after[kept[a] * found->count + kept[b]];
            out->before[a * n + b] = found->before[kept[a] * found->count + kept[b]];
        }
    }
    return true;
}

bool book_lure_of(const BlyBuild *build, const BlyWaterFacts *water, const BlyTankResult *result,
                  BookLure *out, BlyError *err) {
    TankFounds found = {0};
    *out = (BookLure){0};
    bool good = tank_found(build, water, result, &found, err) && take(build, &found, out, err);
    tank_found_release(&found);
    if (!good)
        book_lure_release(out);
    return good;
}

/* "scale 12.80 g at complete; weight in water .." */
static void tell_readings(const TankWork *work, char out[BOOK_READINGS_MAX]) {
    const Report metric = {.system = BLY_METRIC};
    size_t length = 0;
    out[0] = '\0';
    for (size_t i = 0; i < work->count && length < BOOK_READINGS_MAX; i++) {
        const BlyReading *r = &work->readings[i];
        char figure[BLY_QUANTITY_MAX];
        tank_reading_figure(&metric, r->kind, r->value.value, figure);
        int more =
            snprintf(out + length, BOOK_READINGS_MAX - length, "%s%s %s at %s", i > 0 ? "; " : "",
                     bly_reading_words(r->kind), figure, bly_stage_words[r->stage]);
        length += more > 0 ? (size_t)more : 0;
    }
}

typedef struct Keeping {
    const BlyBuild *build;
    BookLure lure;
    const char *said; /* --lure */
    bool further;     /* the build was corrected by a tank test before */
    BookKept kept;
    char *name;
} Keeping;

/* "larch minnow", "larch minnow 2" .. */
static void new_name(const Book *book, const char *base, char out[BOOK_NAME_MAX]) {
    (void)snprintf(out, BOOK_NAME_MAX, "%.*s", BOOK_NAME_MAX - 8, base);
    for (int i = 2; book_find(book, out) != NULL && i <= BOOK_LURES_MAX; i++)
        (void)snprintf(out, BOOK_NAME_MAX, "%.*s %d", BOOK_NAME_MAX - 8, base, i);
}

static const BookLure *same_one(const Book *book, const BookLure *lure) {
    for (size_t i = 0; i < book->count; i++) {
        if (book_same(&book->lures[i], lure))
            return &book->lures[i];
    }
    return NULL;
}

static void name_it(Keeping *k, const char *name, BookKept kept) {
    (void)snprintf(k->name, BOOK_NAME_MAX, "%.*s", BOOK_NAME_MAX - 1, name);
    k->kept = kept;
}

static bool keep(Book *book, void *context, bool *unchanged, BlyError *err) {
    Keeping *k = context;
    const char *base = k->said != NULL          ? k->said
                       : k->build->lure != NULL ? k->build->lure
                                                : k->build->name;
    const BookLure *same = k->said == NULL ? same_one(book, &k->lure) : NULL;
    BookLure *there = book_find(book, base);
    *unchanged = book->off || same != NULL || (k->further && there == NULL);
    if (*unchanged) {
        name_it(k, same != NULL ? same->name : base,
                book->off      ? BOOK_OFF
                : same != NULL ? BOOK_THERE
                               : BOOK_UNKNOWN);
        return true;
    }
    if (k->further) {
        name_it(k, there->name, BOOK_RENEWED);
        return book_renew(there, &k->lure, err);
    }
    bool replaced = k->said != NULL && there != NULL;
    if (replaced)
        (void)book_forget_lure(book, base);
    new_name(book, base, k->lure.name);
    name_it(k, k->lure.name, replaced ? BOOK_REPLACED : BOOK_ADDED);
    return book_append(book, &k->lure, err);
}

bool book_keep(const char *path, const BlyBuild *build, const TankWork *work, const char *lure,
               bool goes_on, BookKept *kept, char name[BOOK_NAME_MAX], BlyError *err) {
    Keeping k = {.build = build, .said = lure, .name = name};
    k.further = build->lure != NULL || (build->tied_count > 0 && !build->tied_by_book);
    name[0] = '\0';
    *kept = BOOK_UNFINISHED;
    if (!goes_on && !finished(build, work))
        return true;
    if (!book_lure_of(build, &work->water, &work->result, &k.lure, err))
        return false;
    (void)snprintf(k.lure.build, sizeof k.lure.build, "%.*s", BOOK_NAME_MAX - 1, build->name);
    (void)desk_today(k.lure.date);
    tell_readings(work, k.lure.readings);
    bool nothing = k.lure.count == 0, good = nothing || book_change(path, keep, &k, err);
    *kept = nothing ? BOOK_UNFINISHED : k.kept;
    book_lure_release(&k.lure);
    return good;
}
