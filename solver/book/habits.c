/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the lures of a book say of the next one, kind by kind and key by key. */
#include "book/evidence.h"
#include "book/pool.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* All that is pooled. A figure is worked with less its usual value, in usual standard deviations.
 */
typedef struct Work {
    const Book *book;
    size_t first; /* of the lures that count */
    BookHabits *out;
    double *middle, *sigma; /* a key, in its unit */
    PoolKey *keys;
    PoolLure *lures;
    size_t lure_count;
    size_t **key_of;                /* a lure, owned */
    double **weight, **pull;        /* the same */
    double *own_middle, *own_sigma; /* room for one lure's findings */
} Work;

int book_habit(const BookHabits *habits, const char *kind, const char *key) {
    for (size_t i = 0; habits != NULL && i < habits->count; i++) {
        if (strcmp(habits->at[i].kind, kind) == 0 && strcmp(habits->at[i].key, key) == 0)
            return (int)i;
    }
    return -1;
}

void book_habits_release(BookHabits *habits) {
    free(habits->at);
    free(habits->together);
    *habits = (BookHabits){0};
}

/* A finding that told something: what was known before was known half as well again, or not. */
static bool tells(const BookFinding *f) {
    static const double enough = 0.95; /* of the give before */
    return isnan(f->before.value) || f->value.give < enough * f->before.give;
}

/* The first that says one; else what the lure was taken for, else half of what was found. */
static BlyFigure usual_of(const BookFinding *f) {
    if (!isnan(f->usual.value))
        return f->usual;
    if (!isnan(f->before.value))
        return f->before;
    return (BlyFigure){f->value.value, fmax(0.5 * fabs(f->value.value), f->value.give)};
}

static bool meet(Work *w, const BookFinding *f, BlyError *err) {
    int known = book_habit(w->out, f->kind, f->key);
    if (known < 0) {
        BookHabit *at = realloc(w->out->at, (w->out->count + 1) * sizeof *at);
        if (at == NULL)
            return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for what the book says");
        w->out->at = at;
        known = (int)w->out->count;
        at[w->out->count++] =
            (BookHabit){.kind = f->kind, .key = f->key, .unit = f->unit, .usual = usual_of(f)};
    }
    BookHabit *habit = &w->out->at[known];
    if (strcmp(habit->unit, f->unit) != 0)
        return bly_fail(err, BLY_E_CONFLICT, NULL,
                        "%s of %s is in %s of one lure, in %s of another", f->kind, f->key,
                        habit->unit, f->unit);
    habit->lures += tells(f);
    return true;
}

/* Several findings of one lure are one lure. */
static bool meet_all(Work *w, BookUsual usual, void *context, BlyError *err) {
    for (size_t l = w->first; l < w->book->count; l++) {
        const BookLure *lure = &w->book->lures[l];
        for (size_t i = 0; i < lure->count; i++) {
            if (!meet(w, &lure->at[i], err))
                return false;
            BookHabit *habit = &w->out->at[book_habit(w->out, lure->at[i].kind, lure->at[i].key)];
            for (size_t j = 0; j < i; j++) {
                if (tells(&lure->at[i]) && tells(&lure->at[j]) &&
                    strcmp(lure->at[j].kind, habit->kind) == 0 &&
                    strcmp(lure->at[j].key, habit->key) == 0) {
                    habit->lures--;
                    break;
                }
            }
        }
    }
    for (size_t k = 0; k < w->out->count; k++) {
        BookHabit *habit = &w->out->at[k];
        BlyFigure today;
        if (usual != NULL && usual(context, habit->kind, habit->key, &today) && today.give > 0.0)
            habit->usual = today;
    }
    return true;
}

/* tau over its root mean square, log-normal: 95 of 100 within a factor of about 2.7 either way. */
static void spread_scatter(double share, PoolScatter *out) {
    static const double sigma = 0.5, reach = 3.0;
    enum { NODES = 25 };
    out->count = NODES;
    for (int i = 0; i < NODES; i++) {
        double t = reach * (2.0 * i / (NODES - 1) - 1.0);
        out->at[i] = share * exp(sigma * t - sigma * sigma);
        out->share[i] = exp(-0.5 * t * t);
    }
}

/* The usual give is the maker's own and what differs from lure to lure together. */
static void set_key(const BookHabit *habit, PoolKey *key, double *middle, double *sigma) {
    static const double unknown_share = 0.5;
    const BookKind *kind = book_kind(habit->kind);
    double give = habit->usual.give, share = kind != NULL ? kind->scatter : unknown_share;
    *middle = habit->usual.value;
    if (kind != NULL && isnan(share)) {
        double each = kind->each * habit->usual.value, whole = hypot(give, each);
        *sigma = whole / BLY_SIGMAS_95;
        key->sigma = give / whole;
        key->scatter = (PoolScatter){1, {each / whole}, {1.0}};
    } else {
        *sigma = give / BLY_SIGMAS_95;
        key->sigma = sqrt(1.0 - share * share);
        spread_scatter(share, &key->scatter);
    }
    key->mean = 0.0;
}

static bool take_lure(Work *w, size_t l, BlyError *err) {
    const BookLure *lure = &w->book->lures[w->first + l];
    size_t n = lure->count;
    w->key_of[l] = calloc(n + 1, sizeof **w->key_of);
    w->weight[l] = calloc(n * n + 1, sizeof **w->weight);
    w->pull[l] = calloc(n + 1, sizeof **w->pull);
    if (w->key_of[l] == NULL || w->weight[l] == NULL || w->pull[l] == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the lures of the book");
    for (size_t i = 0; i < n; i++) {
        size_t key = (size_t)book_habit(w->out, lure->at[i].kind, lure->at[i].key);
        w->key_of[l][i] = key;
        w->own_middle[i] = w->middle[key];
        w->own_sigma[i] = w->sigma[key];
    }
    w->lures[l] = (PoolLure){n, w->key_of[l], w->weight[l], w->pull[l]};
    return evidence_of(lure, w->own_middle, w->own_sigma, w->weight[l], w->pull[l], err);
}

static bool work_begin(Work *w, BlyError *err) {
    size_t keys = w->out->count, lures = w->book->count - w->first, most = 0;
    for (size_t l = w->first; l < w->book->count; l++)
        most = w->book->lures[l].count > most ? w->book->lures[l].count : most;
    w->lure_count = lures;
    w->middle = calloc(keys + 1, sizeof *w->middle);
    w->sigma = calloc(keys + 1, sizeof *w->sigma);
    w->keys = calloc(keys + 1, sizeof *w->keys);
    w->lures = calloc(lures + 1, sizeof *w->lures);
    w->key_of = calloc(lures + 1, sizeof *w->key_of);
    w->weight = calloc(lures + 1, sizeof *w->weight);
    w->pull = calloc(lures + 1, sizeof *w->pull);
    w->own_middle = calloc(most + 1, sizeof *w->own_middle);
    w->own_sigma = calloc(most + 1, sizeof *w->own_sigma);
    w->out->together = calloc(keys * keys + 1, sizeof *w->out->together);
    return (w->middle != NULL && w->sigma != NULL && w->keys != NULL && w->lures != NULL &&
            w->key_of != NULL && w->weight != NULL && w->pull != NULL && w->own_middle != NULL &&
            w->own_sigma != NULL && w->out->together != NULL) ||
           bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the lures of the book");
}

static void work_end(Work *w) {
    for (size_t l = 0; l < w->lure_count; l++) {
        if (w->key_of != NULL)
            free(w->key_of[l]);
        if (w->weight != NULL)
            free(w->weight[l]);
        if (w->pull != NULL)
            free(w->pull[l]);
    }
    free(w->middle);
    free(w->sigma);
    free(w->keys);
    free(w->lures);
    free(w->key_of);
    free(w->weight);
    free(w->pull);
    free(w->own_middle);
    free(w->own_sigma);
}

static void tell(Work *w, const double *mean, const double *scatter) {
    size_t keys = w->out->count;
    for (size_t k = 0; k < keys; k++) {
        BookHabit *habit = &w->out->at[k];
        double *row = w->out->together + k * keys;
        double variance = row[k], sigma = w->sigma[k];
        habit->own =
            (BlyFigure){w->middle[k] + sigma * mean[k], BLY_SIGMAS_95 * sigma * sqrt(variance)};
        habit->next =
            (BlyFigure){habit->own.value, BLY_SIGMAS_95 * sigma * sqrt(variance + scatter[k])};
        habit->scatter = sigma * sqrt(scatter[k]);
        habit->learnt = 1.0 - variance / (w->keys[k].sigma * w->keys[k].sigma);
        for (size_t j = 0; j < keys; j++)
            row[j] *= sigma * w->sigma[j];
    }
}

static bool pool(Work *w, BlyError *err) {
    size_t keys = w->out->count;
    double *mean = calloc(2 * keys + 1, sizeof *mean), *scatter = mean + keys;
    bool good = mean != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the book");
    for (size_t k = 0; good && k < keys; k++)
        set_key(&w->out->at[k], &w->keys[k], &w->middle[k], &w->sigma[k]);
    for (size_t l = 0; good && l < w->lure_count; l++)
        good = take_lure(w, l, err);
    const PoolProblem problem = {w->keys, keys, w->lures, w->lure_count};
    good = good && pool_solve(&problem, mean, w->out->together, scatter, err);
    if (good)
        tell(w, mean, scatter);
    free(mean);
    return good;
}

bool book_pool(const Book *book, BookUsual usual, void *context, BookHabits *out, BlyError *err) {
    *out = (BookHabits){0};
    if (!book->off)
        *out = (BookHabits){.seen = book->seen, .seen_count = book->seen_count};
    if (book->off || book->count == 0)
        return true;
    Work w = {.book = book, .out = out};
    w.first = book->count > BOOK_POOLED_MOST ? book->count - BOOK_POOLED_MOST : 0;
    bool good = meet_all(&w, usual, context, err) && work_begin(&w, err) &&
                (out->count == 0 || pool(&w, err));
    work_end(&w);
    if (!good)
        book_habits_release(out);
    return good;
}
