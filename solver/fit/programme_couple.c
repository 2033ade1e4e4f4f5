/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The last two groups of the enumeration taken together. For a partial rig, going through one group
 * and looking for partners in the other is most of the work, and nearly all of it in vain; a table
 * of all couples, in cells along the direction that the cuts leave least room in, is read only
 * where the partial rig can still be completed. */
#include "fit/programme_internal.h"

#include <math.h>
#include <stdlib.h>

enum { COUPLES_MAX = 400000, PER_CELL = 8 };

static bool fits(const ProgField *field, const double *room, size_t a, size_t b) {
    const double *x = &field->inc[a * field->width], *y = &field->inc[b * field->width];
    for (size_t j = 0; j < field->cut_count; j++) {
        if (x[j] + y[j] > room[j])
            return false;
    }
    return true;
}

static size_t cell_of(const ProgCouples *couples, double key) {
    double cell = (key - couples->from) * couples->per_cell;
    if (!(cell > 0))
        return 0;
    return cell >= (double)couples->cell_count ? couples->cell_count - 1 : (size_t)cell;
}

/* Couples in no order, with the ends of their keys. */
static void list_couples(ProgCouples *couples, const ProgField *field, const double *room,
                         const ProgSpan *a, const ProgSpan *b, const double *key, double *most) {
    for (size_t i = a->first; i < a->first + a->count; i++) {
        for (size_t j = b->first; j < b->first + b->count; j++) {
            if (!fits(field, room, i, j))
                continue;
            double sum = key[i] + key[j];
            couples->a[couples->count] = (uint32_t)i;
            couples->b[couples->count] = (uint32_t)j;
            couples->key[couples->count++] = sum;
            couples->from = fmin(couples->from, sum);
            *most = fmax(*most, sum);
        }
    }
}

/* Puts them into their cells, in the order in which they were listed. */
static bool sort_couples(ProgCouples *couples, const ProgField *field) {
    size_t n = couples->count;
    uint32_t *a = malloc(n * sizeof *a), *b = malloc(n * sizeof *b);
    double *key = malloc(n * sizeof *key);
    size_t *next = calloc(couples->cell_count + 1, sizeof *next);
    bool good = a != NULL && b != NULL && key != NULL && next != NULL;
    for (size_t i = 0; good && i < n; i++)
        couples->cell[cell_of(couples, couples->key[i]) + 1]++;
    for (size_t c = 0; good && c < couples->cell_count; c++) {
        couples->cell[c + 1] += couples->cell[c];
        next[c] = couples->cell[c];
    }
    for (size_t i = 0; good && i < n; i++) {
        size_t at = next[cell_of(couples, couples->key[i])]++;
        a[at] = couples->a[i];
        b[at] = couples->b[i];
        key[at] = couples->key[i];
        couples->part[at] =
            field->inc[couples->a[i] * field->width] + field->inc[couples->b[i] * field->width];
    }
    free(next);
    if (!good) {
        free(a);
        free(b);
        free(key);
        return false;
    }
    free(couples->a);
    free(couples->b);
    free(couples->key);
    couples->a = a;
    couples->b = b;
    couples->key = key;
    return true;
}

bool prog_couples_build(ProgCouples *couples, const ProgModel *model, const ProgField *field,
                        const double *room, size_t group_a, size_t group_b) {
    *couples = (ProgCouples){.from = INFINITY};
    const ProgSpan *a = &field->group[group_a], *b = &field->group[group_b];
    size_t groups[2] = {group_a, group_b}, most_couples = a->count * b->count;
    if (most_couples > COUPLES_MAX)
        return true;
    double *key = malloc(field->option_count * sizeof *key), most = -INFINITY;
    bool good = key != NULL;
    if (good && prog_window_fit(model, field, room, groups, 2, &couples->window, key)) {
        couples->a = malloc(most_couples * sizeof *couples->a);
        couples->b = malloc(most_couples * sizeof *couples->b);
        couples->key = malloc(most_couples * sizeof *couples->key);
        couples->part = malloc(most_couples * sizeof *couples->part);
        good = couples->a != NULL && couples->b != NULL && couples->key != NULL &&
               couples->part != NULL;
        if (good)
            list_couples(couples, field, room, a, b, key, &most);
        couples->cell_count = couples->count / PER_CELL + 1;
        couples->per_cell =
            most > couples->from ? (double)couples->cell_count / (most - couples->from) : 0;
        couples->cell = calloc(couples->cell_count + 1, sizeof *couples->cell);
        good =
            good && couples->cell != NULL && (couples->count == 0 || sort_couples(couples, field));
        couples->built = good;
    }
    free(key);
    if (!good)
        prog_couples_free(couples);
    return good;
}

void prog_couples_free(ProgCouples *couples) {
    free(couples->a);
    free(couples->b);
    free(couples->key);
    free(couples->part);
    free(couples->cell);
    *couples = (ProgCouples){0};
}

ProgSpan prog_couples_span(const ProgCouples *couples, double lo, double hi) {
    if (couples->count == 0 || !(lo <= hi))
        return (ProgSpan){0, 0};
    size_t first = couples->cell[cell_of(couples, lo)];
    return (ProgSpan){first, couples->cell[cell_of(couples, hi) + 1] - first};
}
