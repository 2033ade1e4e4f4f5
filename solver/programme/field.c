/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a sieve left standing, packed for the search: by how much each column eats into every cut's
 * room, and which cuts are worth a sum in every node. */
#include "programme/internal.h"

#include <math.h>
#include <stdlib.h>

typedef struct Sharp {
    size_t cut;
    double spread, ratio;
} Sharp;

/* Whether two cuts see every option alike, but for scale: then the sharper one does the work. */
static bool alike(const ProgSieve *sieve, const Sharp *a, const Sharp *b) {
    double x = 1 / a->spread, y = 1 / b->spread;
    for (size_t i = 0; i < sieve->count; i++) {
        const double *least = prog_sieve_least(sieve, i);
        const double *base = sieve->group_least[sieve->group[i]];
        if (fabs((least[a->cut] - base[a->cut]) * x - (least[b->cut] - base[b->cut]) * y) > 0.03)
            return false;
    }
    return true;
}

/* The cuts that can still end a branch, the sharpest first: how little of the full spread the room
 * allows. Cut 0 stays in front, since the options are sorted by it. */
static size_t sort_cuts(const ProgSieve *sieve, Sharp *sharp) {
    size_t count = 0;
    for (size_t j = 0; j < sieve->cut_count; j++) {
        double spread = 0;
        for (size_t g = 0; g < sieve->model->in->group_count; g++)
            spread += sieve->group_most[g][j] - sieve->group_least[g][j];
        if (j > 0 && sieve->room[j] >= spread)
            continue;
        Sharp cut = {j, spread, j == 0 ? -INFINITY : sieve->room[j] / spread};
        size_t at = count++;
        for (; at > 0 && sharp[at - 1].ratio > cut.ratio; at--)
            sharp[at] = sharp[at - 1];
        sharp[at] = cut;
    }
    return count;
}

/* Every cut costs a sum per node, and waters a few hundredths apart repeat each other. */
static void choose_cuts(const ProgSieve *sieve, ProgField *field, size_t *chosen) {
    Sharp sharp[PROG_CUTS_MAX];
    size_t sorted = sort_cuts(sieve, sharp), count = 0;
    for (size_t j = 0; j < sorted; j++) {
        bool repeated = false;
        for (size_t i = 1; i < count && !repeated; i++)
            repeated = alike(sieve, &sharp[i], &sharp[j]);
        if (!repeated)
            sharp[count++] = sharp[j];
    }
    field->cut_count = count;
    field->width = (count + 3) & ~(size_t)3;
    for (size_t j = 0; j < count; j++) {
        chosen[j] = sharp[j].cut;
        const ProgCut *cut = sieve->cut[chosen[j]];
        field->cut[j] = cut;
        field->ray[j] = cut->ray;
        field->floor[j] = sieve->floor[chosen[j]];
        field->ray_room[j] = sieve->room[chosen[j]];
    }
}

/* ---- packing ---- */

typedef struct Sorted {
    uint32_t look;
    double part;
    uint32_t column;
    size_t from;
} Sorted;

static int by_look_then_part(const void *a, const void *b) {
    const Sorted *x = a, *y = b;
    if (x->look != y->look)
        return x->look < y->look ? -1 : 1;
    if (x->part < y->part || x->part > y->part)
        return x->part < y->part ? -1 : 1;
    return x->column < y->column ? -1 : x->column > y->column;
}

static int by_look_key(const void *a, const void *b) {
    int64_t x = *(const int64_t *)a, y = *(const int64_t *)b;
    return (x > y) - (x < y);
}

/* Numbers the visible keys among a group's options from 0; all 0 unless they matter. */
static bool number_looks(const ProgColumn *columns, const ProgOption *option, size_t count,
                         bool by_look, Sorted *sorted) {
    for (size_t i = 0; i < count; i++)
        sorted[i].look = 0;
    if (!by_look)
        return true;
    int64_t *keys = malloc(count * sizeof *keys);
    if (keys == NULL)
        return false;
    for (size_t i = 0; i < count; i++)
        keys[i] = columns[option[i].column].visible;
    qsort(keys, count, sizeof *keys, by_look_key);
    size_t unlike = 0;
    for (size_t i = 0; i < count; i++) {
        if (i == 0 || keys[i] != keys[unlike - 1])
            keys[unlike++] = keys[i];
    }
    for (size_t i = 0; i < count; i++) {
        const int64_t *key =
            bsearch(&columns[option[i].column].visible, keys, unlike, sizeof *keys, by_look_key);
        sorted[i].look = (uint32_t)(key - keys);
    }
    free(keys);
    return true;
}

static void pack_line(const ProgSieve *sieve, ProgField *field, const ProgColumn *column,
                      ProgOption *option) {
    double *slope = &field->slope[field->line_count * field->width], value;
    for (size_t j = 0; j < field->cut_count; j++)
        prog_cut_at(sieve->model, field->cut[j], column, &value, &slope[j]);
    field->range[field->line_count] = column->range;
    option->line = (int32_t)field->line_count++;
}

static void pack_option(const ProgSieve *sieve, ProgField *field, const size_t *chosen, size_t g,
                        const Sorted *sorted) {
    size_t to = field->option_count++;
    const double *least = prog_sieve_least(sieve, sorted->from);
    ProgOption *option = &field->option[to];
    *option = sieve->option[sorted->from];
    option->look = sorted->look;
    for (size_t j = 0; j < field->cut_count; j++)
        field->inc[to * field->width + j] =
            fmax(0, least[chosen[j]] - sieve->group_least[g][chosen[j]]);
    const ProgColumn *column = &sieve->model->in->groups[g].columns[option->column];
    if (column->range > 0)
        pack_line(sieve, field, column, option);
    /* Looks come one after the other; each keeps the least of every increment. */
    double *look_inc;
    ProgSpan *span = &field->look_span[g];
    if (span->count == 0 || option[-1].look != option->look) {
        field->look[field->look_count] = (ProgLook){.first = to, .count = 0};
        look_inc = &field->look_inc[field->look_count * field->width];
        for (size_t j = 0; j < field->cut_count; j++)
            look_inc[j] = INFINITY;
        field->look_count++;
        span->count++;
    }
    field->look[field->look_count - 1].count++;
    look_inc = &field->look_inc[(field->look_count - 1) * field->width];
    for (size_t j = 0; j < field->cut_count; j++)
        look_inc[j] = fmin(look_inc[j], field->inc[to * field->width + j]);
}

static bool pack_group(const ProgSieve *sieve, ProgField *field, const size_t *chosen, size_t g,
                       size_t from, bool by_look) {
    size_t count = sieve->group_count[g];
    Sorted *sorted = malloc((count + 1) * sizeof *sorted);
    if (sorted == NULL || !number_looks(sieve->model->in->groups[g].columns, &sieve->option[from],
                                        count, by_look, sorted)) {
        free(sorted);
        return false;
    }
    for (size_t i = 0; i < count; i++) {
        sorted[i].part = prog_sieve_least(sieve, from + i)[0];
        sorted[i].column = sieve->option[from + i].column;
        sorted[i].from = from + i;
    }
    qsort(sorted, count, sizeof *sorted, by_look_then_part);
    field->group[g] = (ProgSpan){field->option_count, count};
    field->look_span[g] = (ProgSpan){field->look_count, 0};
    for (size_t i = 0; i < count; i++)
        pack_option(sieve, field, chosen, g, &sorted[i]);
    free(sorted);
    return true;
}

static bool pack(const ProgSieve *sieve, ProgField *field, bool by_look) {
    size_t chosen[PROG_CUTS_MAX], n = sieve->count;
    choose_cuts(sieve, field, chosen);
    size_t width = field->width, lines = 0;
    for (size_t i = 0; i < n; i++) {
        const ProgColumn *columns = sieve->model->in->groups[sieve->group[i]].columns;
        lines += columns[sieve->option[i].column].range > 0;
    }
    field->option = malloc(n * sizeof *field->option);
    field->inc = calloc(n * width, sizeof *field->inc);
    field->slope = calloc((lines + 1) * width, sizeof *field->slope);
    field->range = calloc(lines + 1, sizeof *field->range);
    field->look = malloc(n * sizeof *field->look);
    field->look_inc = calloc(n * width, sizeof *field->look_inc);
    if (field->option == NULL || field->inc == NULL || field->slope == NULL ||
        field->range == NULL || field->look == NULL || field->look_inc == NULL)
        return false;
    size_t from = 0;
    for (size_t g = 0; g < sieve->model->in->group_count; g++) {
        if (!pack_group(sieve, field, chosen, g, from, by_look))
            return false;
        from += sieve->group_count[g];
    }
    return true;
}

bool prog_field_build(ProgField *field, const ProgModel *model, const ProgCuts *cuts, double limit,
                      bool by_look, BlyError *err) {
    *field = (ProgField){.known_cuts = cuts->count};
    ProgSieve *sieve = calloc(1, sizeof *sieve);
    bool good = sieve != NULL && prog_sieve(sieve, model, cuts, limit);
    for (size_t g = 0; good && g < model->in->group_count; g++)
        field->empty = field->empty || sieve->group_count[g] == 0;
    for (size_t j = 0; good && j < sieve->cut_count; j++)
        field->empty = field->empty || sieve->room[j] < 0;
    if (good && !field->empty)
        good = pack(sieve, field, by_look);
    if (sieve != NULL)
        prog_sieve_free(sieve);
    free(sieve);
    if (good)
        return true;
    prog_field_free(field);
    return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the search");
}

void prog_field_free(ProgField *field) {
    free(field->option);
    free(field->inc);
    free(field->slope);
    free(field->range);
    free(field->look);
    free(field->look_inc);
    *field = (ProgField){0};
}
