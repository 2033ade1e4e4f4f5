/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The book as a record: lures added, renewed and forgotten. */
#include "book/evidence.h"
#include "book/seen.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void book_lure_release(BookLure *lure) {
    free(lure->at);
    free(lure->together);
    free(lure->before);
    *lure = (BookLure){0};
}

void book_release(Book *book) {
    for (size_t i = 0; i < book->count; i++)
        book_lure_release(&book->lures[i]);
    free(book->lures);
    free(book->seen);
    *book = (Book){0};
}

static double *identity(size_t count) {
    double *matrix = calloc(count * count + 1, sizeof *matrix);
    for (size_t i = 0; matrix != NULL && i < count; i++)
        matrix[i * count + i] = 1.0;
    return matrix;
}

bool book_lure_begin(BookLure *lure, size_t count, bool tied, BlyError *err) {
    lure->at = calloc(count + 1, sizeof *lure->at);
    lure->count = count;
    lure->together = tied ? identity(count) : NULL;
    lure->before = tied ? identity(count) : NULL;
    return (lure->at != NULL && (!tied || (lure->together != NULL && lure->before != NULL))) ||
           bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a lure of the book");
}

BookLure *book_find(const Book *book, const char *name) {
    for (size_t i = 0; i < book->count; i++) {
        if (strcmp(book->lures[i].name, name) == 0)
            return &book->lures[i];
    }
    return NULL;
}

bool book_append(Book *book, BookLure *lure, BlyError *err) {
    BookLure *more = NULL;
    if (book->count < BOOK_LURES_MAX && book_find(book, lure->name) == NULL)
        more = realloc(book->lures, (book->count + 1) * sizeof *more);
    if (more == NULL) {
        bool there = book_find(book, lure->name) != NULL;
        bool full = book->count >= BOOK_LURES_MAX;
        (void)bly_fail(err,
                       there  ? BLY_E_CONFLICT
                       : full ? BLY_E_RANGE
                              : BLY_E_MEMORY,
                       NULL,
                       there  ? "a lure named %.100s is already in the book"
                       : full ? "the book is full; %.100s does not go in"
                              : "no memory for %.100s in the book",
                       lure->name);
        book_lure_release(lure);
        return false;
    }
    book->lures = more;
    book->lures[book->count++] = *lure;
    *lure = (BookLure){0};
    return true;
}

static bool alike(const BookFinding *a, const BookFinding *b) {
    return strcmp(a->kind, b->kind) == 0 && strcmp(a->key, b->key) == 0 &&
           strcmp(a->unit, b->unit) == 0;
}

/* The finding of `lure` that stands for the one at `index` of `later`: the n-th of its kind and
 * key for the n-th; -1: none. */
static int stands_for(const BookLure *lure, const BookLure *later, size_t index) {
    size_t before = 0;
    for (size_t i = 0; i < index; i++)
        before += alike(&later->at[i], &later->at[index]);
    for (size_t i = 0; i < lure->count; i++) {
        if (alike(&lure->at[i], &later->at[index]) && before-- == 0)
            return (int)i;
    }
    return -1;
}

bool book_renew(BookLure *lure, BookLure *later, BlyError *err) {
    size_t n = later->count;
    double *before = identity(n);
    int *from = calloc(n + 1, sizeof *from);
    if (before == NULL || from == NULL) {
        free(before);
        free(from);
        book_lure_release(later);
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a lure of the book");
    }
    for (size_t i = 0; i < n; i++) {
        from[i] = stands_for(lure, later, i);
        if (from[i] < 0)
            continue;
        later->at[i].before = lure->at[from[i]].before;
        later->at[i].usual = lure->at[from[i]].usual;
    }
    for (size_t i = 0; i < n; i++) {
        for (size_t j = 0; j < n; j++) {
            bool old = from[i] >= 0 && from[j] >= 0, new = from[i] < 0 && from[j] < 0;
            if (i != j && old && lure->before != NULL)
                before[i * n + j] = lure->before[(size_t)from[i] * lure->count + (size_t)from[j]];
            else if (i != j && new && later->before != NULL)
                before[i * n + j] = later->before[i * n + j];
        }
    }
    free(from);
    free(later->before);
    later->before = before;
    (void)snprintf(later->name, sizeof later->name, "%s", lure->name);
    book_lure_release(lure);
    *lure = *later;
    *later = (BookLure){0};
    return true;
}

bool book_same(const BookLure *a, const BookLure *b) {
    return a->readings[0] != '\0' && strcmp(a->readings, b->readings) == 0 &&
           strcmp(a->build, b->build) == 0;
}

size_t book_forget_lure(Book *book, const char *name) {
    BookLure *lure = book_find(book, name);
    size_t words = seen_forget(book, NULL, name);
    if (lure == NULL)
        return words;
    size_t at = (size_t)(lure - book->lures);
    book_lure_release(lure);
    memmove(lure, lure + 1, (book->count - at - 1) * sizeof *lure);
    book->count--;
    return 1 + words;
}

static void drop(double *matrix, size_t count, const bool *gone) {
    size_t to = 0;
    for (size_t i = 0; matrix != NULL && i < count; i++) {
        for (size_t j = 0; j < count; j++) {
            if (!gone[i] && !gone[j])
                matrix[to++] = matrix[i * count + j];
        }
    }
}

/* What is left of a normal law without some of its figures is the rest of its numbers. */
static size_t forget_in(BookLure *lure, const char *kind, const char *key) {
    bool gone[BOOK_FINDINGS_MAX] = {false};
    size_t left = 0;
    for (size_t i = 0; i < lure->count && i < BOOK_FINDINGS_MAX; i++)
        gone[i] = strcmp(lure->at[i].kind, kind) == 0 && strcmp(lure->at[i].key, key) == 0;
    drop(lure->together, lure->count, gone);
    drop(lure->before, lure->count, gone);
    for (size_t i = 0; i < lure->count; i++) {
        if (!gone[i])
            lure->at[left++] = lure->at[i];
    }
    size_t dropped = lure->count - left;
    lure->count = left;
    return dropped;
}

size_t book_forget_figure(Book *book, const char *kind, const char *key) {
    size_t dropped = strcmp(kind, "seen") == 0 ? seen_forget(book, key, NULL) : 0;
    for (size_t i = 0; i < book->count; i++)
        dropped += forget_in(&book->lures[i], kind, key);
    for (size_t i = book->count; i-- > 0;) {
        if (book->lures[i].count == 0)
            (void)book_forget_lure(book, book->lures[i].name);
    }
    return dropped;
}

static bool check_finding(const BookFinding *f, size_t index, BlyError *err) {
    const char *wrong = NULL;
    char where[64];
    const BookKind *kind = book_kind(f->kind);
    if (!isfinite(f->value.value) || !(f->value.give > 0.0) || !isfinite(f->value.give))
        wrong = "give";
    else if (!isnan(f->before.value) && !(f->before.give > 0.0 && isfinite(f->before.give)))
        wrong = "before/give";
    else if (!isnan(f->usual.value) && !(f->usual.give > 0.0 && isfinite(f->usual.give)))
        wrong = "usual/give";
    if (wrong != NULL) {
        (void)snprintf(where, sizeof where, "/findings/%zu/%s", index, wrong);
        return bly_fail(err, BLY_E_RANGE, where, "expected a figure with a tolerance above 0");
    }
    if (kind == NULL || strcmp(kind->unit, f->unit) == 0)
        return true;
    (void)snprintf(where, sizeof where, "/findings/%zu/unit", index);
    return bly_fail(err, BLY_E_UNIT, where, "a finding of the kind %s is in %s", f->kind,
                    kind->unit);
}

bool book_lure_check(const BookLure *lure, BlyError *err) {
    for (size_t i = 0; i < lure->count; i++) {
        if (!check_finding(&lure->at[i], i, err))
            return false;
    }
    return evidence_possible(lure, err);
}
