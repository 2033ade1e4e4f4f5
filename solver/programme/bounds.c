/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bounds for parts of a programme that differ in which columns they allow: one relaxation of the
 * whole gives prices, and under any prices the least part of each group among the columns allowed
 * bounds what a part can cost (cut.c). */
#include "programme/internal.h"

#include <math.h>
#include <stdlib.h>

/* The least part of a group's columns, key by key; those of PROG_ANY_KEY count for all. */
static void least_parts(const ProgModel *model, const ProgCut *cut, const ProgGroup *group,
                        const size_t *key, size_t keys, double *least) {
    double any = INFINITY;
    for (size_t k = 0; k < keys; k++)
        least[k] = INFINITY;
    for (size_t c = 0; c < group->count; c++) {
        double value, slope;
        prog_cut_at(model, cut, &group->columns[c], &value, &slope);
        value = fmin(value, value + slope * group->columns[c].range);
        if (key[c] == PROG_ANY_KEY)
            any = fmin(any, value);
        else
            least[key[c]] = fmin(least[key[c]], value);
    }
    for (size_t k = 0; k < keys; k++)
        least[k] = fmin(least[k], any);
}

static void raise_bounds(const ProgModel *model, const ProgCut *cut, const size_t *const *key,
                         size_t keys, double *least, double *sum, double *bounds) {
    for (size_t k = 0; k < keys; k++)
        sum[k] = cut->constant;
    for (size_t g = 0; g < model->in->group_count; g++) {
        least_parts(model, cut, &model->in->groups[g], key[g], keys, least);
        for (size_t k = 0; k < keys; k++)
            sum[k] += least[k];
    }
    for (size_t k = 0; k < keys; k++)
        bounds[k] = fmax(bounds[k], sum[k]);
}

typedef struct Room {
    ProgModel model;
    ProgGuard guard;
    ProgCut cut;
    ProgPrices prices[PROG_PRICES_MAX];
} Room;

bool programme_bounds(const Programme *programme, const size_t *const *key, size_t keys,
                      double *bounds, BlyError *err) {
    const ProgOptions plain = {.best = 1};
    ProgStats stats = {0};
    size_t count = 0;
    if (!prog_check(programme, &plain, err))
        return false;
    Room *room = calloc(1, sizeof *room);
    double *least = malloc((keys + 1) * sizeof *least), *sum = malloc((keys + 1) * sizeof *sum);
    bool good = false;
    for (size_t k = 0; k < keys; k++)
        bounds[k] = -INFINITY;
    if (room == NULL || least == NULL || sum == NULL) {
        (void)bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the bounds");
    } else {
        prog_model_init(&room->model, programme);
        good = prog_relax(&room->model, &room->guard, room->prices, &count, &stats, err);
        for (size_t i = 0; good && i < count; i++) {
            prog_cut_from_prices(&room->model, &room->prices[i], &room->cut);
            raise_bounds(&room->model, &room->cut, key, keys, least, sum, bounds);
        }
    }
    free(room);
    free(least);
    free(sum);
    return good;
}
