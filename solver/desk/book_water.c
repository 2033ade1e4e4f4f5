/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the water taught of a lure on its line, and what was seen there, put into the book by shape.
 */
#include "desk/book.h"
#include "desk/from_water.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct Keeping {
    BookLure lure;
    bool further; /* the build knows of earlier readings of this lure */
    BookSeen seen[WATER_SAW_MOST];
    size_t seen_count;
    BookKept kept;
} Keeping;

/* The line's findings stand by themselves, so that a tank test of the lure leaves them alone. */
static bool keep_findings(Book *book, Keeping *k, bool *unchanged, BlyError *err) {
    BookLure *there = book_find(book, k->lure.name);
    if (there != NULL && book_same(there, &k->lure)) {
        k->kept = BOOK_THERE;
        return true;
    }
    *unchanged = false;
    k->kept = there == NULL ? BOOK_ADDED : k->further ? BOOK_RENEWED : BOOK_REPLACED;
    if (there != NULL && k->further)
        return book_renew(there, &k->lure, err);
    if (there != NULL)
        (void)book_forget_lure(book, k->lure.name);
    return book_append(book, &k->lure, err);
}

static bool keep(Book *book, void *context, bool *unchanged, BlyError *err) {
    Keeping *k = context;
    *unchanged = true;
    k->kept = BOOK_OFF;
    if (book->off)
        return true;
    k->kept = BOOK_ADDED;
    if (k->lure.count > 0 && !keep_findings(book, k, unchanged, err))
        return false;
    for (size_t i = 0; i < k->seen_count; i++) {
        bool there;
        if (!book_see(book, &k->seen[i], &there, err))
            return false;
        *unchanged = *unchanged && there;
    }
    return true;
}

/* Index of the correlation of figures a > b in the three of a lesson. */
static size_t tie_at(size_t a, size_t b) {
    return a == 1 ? 0 : 1 + b;
}

static bool take_findings(const BlyBuild *build, const WaterWork *work, BookLure *out,
                          BlyError *err) {
    static const char *const kinds[BLY_TOW_LEARNT] = {BOOK_LIP, BOOK_WIRE, BOOK_LIP_CENTRE};
    const BlyTowLesson *lesson = &work->lesson;
    size_t kept[BLY_TOW_LEARNT], n = 0;
    for (size_t i = 0; work->count > 0 && i < BLY_TOW_LEARNT; i++) {
        if (lesson->corrections[i].learnt >= 0.01)
            kept[n++] = i;
    }
    if (!book_lure_begin(out, n, true, err))
        return false;
    for (size_t a = 0; a < n; a++) {
        const BlyTowCorrection *c = &lesson->corrections[kept[a]];
        BookFinding *f = &out->at[a];
        (void)snprintf(f->kind, sizeof f->kind, "%s", kinds[kept[a]]);
        (void)snprintf(f->unit, sizeof f->unit, "%s", book_kind(f->kind)->unit);
        build_shape_key(build, f->key);
        f->value = c->after;
        f->before = c->before;
        f->usual = water_usual(kept[a]);
        for (size_t b = 0; b < a; b++) {
            size_t tie = tie_at(kept[a], kept[b]);
            out->together[a * n + b] = out->together[b * n + a] = lesson->together[tie];
            out->before[a * n + b] = out->before[b * n + a] =
                build->tow_learnt.any ? build->tow_learnt.r[tie] : 0;
        }
    }
    return true;
}

static void take_words(const BlyBuild *build, const char *name, const WaterWork *work, Keeping *k) {
    for (size_t i = 0; i < work->saw_count; i++) {
        BookSeen *seen = &k->seen[k->seen_count++];
        build_shape_key(build, seen->shape);
        (void)snprintf(seen->build, sizeof seen->build, "%.*s", BOOK_NAME_MAX - 1, name);
        (void)snprintf(seen->words, sizeof seen->words, "%s%s%.140s", work->on,
                       work->on[0] != '\0' ? ": " : "", work->saw[i]);
    }
}

bool book_keep_water(const char *path, const BlyBuild *build, const WaterWork *work, BookKept *kept,
                     char name[BOOK_NAME_MAX], BlyError *err) {
    Keeping k = {.further = build->tow_learnt.any && !build->tow_learnt.by_book};
    const char *lure = build->lure != NULL ? build->lure : build->name;
    bool good = take_findings(build, work, &k.lure, err);
    *kept = BOOK_NOT_ASKED;
    (void)snprintf(name, BOOK_NAME_MAX, "%.*s, on the line", BOOK_NAME_MAX - 14, lure);
    (void)snprintf(k.lure.name, BOOK_NAME_MAX, "%s", name);
    (void)snprintf(k.lure.build, BOOK_NAME_MAX, "%.*s", BOOK_NAME_MAX - 1, build->name);
    (void)snprintf(k.lure.date, BOOK_DATE_MAX, "%s", work->on);
    if (k.lure.date[0] == '\0')
        (void)desk_today(k.lure.date);
    water_readings_said(work, k.lure.readings, sizeof k.lure.readings);
    take_words(build, lure, work, &k);
    if (good && k.lure.count + k.seen_count > 0) {
        good = book_change(path, keep, &k, err);
        *kept = k.kept;
    }
    book_lure_release(&k.lure);
    return good;
}
