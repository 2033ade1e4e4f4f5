/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Options of a group sorted along one direction in feature space, so that a partial rig looks only
 * at those that lie between what its cuts leave open.
 *
 * Any direction is right: for cut j, slope s and the least of (increment - s key) over the group,
 * every option has increment >= s key + least, so room for the increment is room for the key. The
 * direction of the sharpest cuts leaves the narrowest window; where the lip may be filed that is
 * the one which filing leaves alone. */
#include "fit/programme_internal.h"

#include <math.h>
#include <stdlib.h>

enum { WINDOW_FROM = 8, DIRECTIONS = 6 };

typedef struct Keyed {
    double key;
    uint32_t option;
} Keyed;

static int by_key(const void *a, const void *b) {
    const Keyed *x = a, *y = b;
    if (x->key < y->key || x->key > y->key)
        return x->key < y->key ? -1 : 1;
    return x->option < y->option ? -1 : x->option > y->option;
}

static double key_of(const ProgCut *cut, const ProgColumn *column) {
    double key = 0;
    for (size_t i = 0; i < cut->used_count; i++)
        key += cut->q[cut->used[i]] * column->f[cut->used[i]];
    return key;
}

/* Keeps the edges that bind first when half the room is used. */
static void keep_edge(ProgEdge *edges, double *bite, size_t *count, ProgEdge edge, double at) {
    if (*count == PROG_EDGES && bite[PROG_EDGES - 1] <= at)
        return;
    size_t i = *count < PROG_EDGES ? (*count)++ : PROG_EDGES - 1;
    for (; i > 0 && bite[i - 1] > at; i--) {
        bite[i] = bite[i - 1];
        edges[i] = edges[i - 1];
    }
    bite[i] = at;
    edges[i] = edge;
}

typedef struct Spread {
    double mean, square, least, most;
} Spread;

static Spread spread_of(const double *key, size_t n) {
    Spread spread = {0, 0, INFINITY, -INFINITY};
    for (size_t i = 0; i < n; i++) {
        spread.mean += key[i] / (double)n;
        spread.least = fmin(spread.least, key[i]);
        spread.most = fmax(spread.most, key[i]);
    }
    for (size_t i = 0; i < n; i++)
        spread.square += (key[i] - spread.mean) * (key[i] - spread.mean);
    return spread;
}

/* Fits the window along `key` and returns its width as a share of the keys' spread. */
static double fit_window(const ProgField *field, const double *room, size_t g, const double *key,
                         ProgWindow *window) {
    const ProgSpan *span = &field->group[g];
    Spread spread = spread_of(key, span->count);
    double hi_bite[PROG_EDGES], lo_bite[PROG_EDGES];
    window->hi_count = window->lo_count = 0;
    if (!(spread.square > 1e-18))
        return INFINITY;
    for (size_t j = 0; j < field->cut_count; j++) {
        const double *inc = &field->inc[span->first * field->width + j];
        double slope = 0, least = INFINITY, most = 0;
        for (size_t i = 0; i < span->count; i++) {
            slope += inc[i * field->width] * (key[i] - spread.mean);
            most = fmax(most, inc[i * field->width]);
        }
        slope /= spread.square;
        if (fabs(slope) * (spread.most - spread.least) < 0.2 * most || !isfinite(room[j]))
            continue;
        for (size_t i = 0; i < span->count; i++)
            least = fmin(least, inc[i * field->width] - slope * key[i]);
        ProgEdge edge = {j, 1 / slope, least};
        double at = (0.5 * room[j] - least) / slope;
        if (slope > 0)
            keep_edge(window->hi, hi_bite, &window->hi_count, edge, at);
        else
            keep_edge(window->lo, lo_bite, &window->lo_count, edge, -at);
    }
    if (window->hi_count == 0 || window->lo_count == 0)
        return INFINITY;
    return (hi_bite[0] + lo_bite[0]) / (spread.most - spread.least);
}

static void sort_by_key(ProgWindows *windows, const ProgField *field, size_t g, const double *key,
                        Keyed *sorted) {
    for (size_t l = 0; l < field->look_span[g].count; l++) {
        const ProgLook *look = &field->look[field->look_span[g].first + l];
        for (size_t i = 0; i < look->count; i++)
            sorted[i] =
                (Keyed){key[look->first - field->group[g].first + i], (uint32_t)(look->first + i)};
        qsort(sorted, look->count, sizeof *sorted, by_key);
        for (size_t i = 0; i < look->count; i++) {
            windows->option[look->first + i] = sorted[i].option;
            windows->key[look->first + i] = sorted[i].key;
        }
    }
}

static bool opposite_seen(const ProgField *field, size_t j) {
    for (size_t i = 0; i < j; i++) {
        double dot = 0, a = 0, b = 0;
        for (size_t k = 0; k < PROG_FEATURES_MAX; k++) {
            dot += field->cut[i]->q[k] * field->cut[j]->q[k];
            a += field->cut[i]->q[k] * field->cut[i]->q[k];
            b += field->cut[j]->q[k] * field->cut[j]->q[k];
        }
        if (dot * dot > 0.9999 * a * b)
            return true;
    }
    return false;
}

static void open_window(ProgWindows *windows, const ProgModel *model, const ProgField *field,
                        const double *room, size_t g, double *key, Keyed *sorted) {
    const ProgSpan *span = &field->group[g];
    const ProgColumn *columns = model->in->groups[g].columns;
    double best_share = INFINITY;
    size_t best = 0, tried = 0;
    for (size_t j = 0; j < field->cut_count && tried < DIRECTIONS; j++) {
        if (opposite_seen(field, j))
            continue;
        tried++;
        for (size_t i = 0; i < span->count; i++)
            key[i] = key_of(field->cut[j], &columns[field->option[span->first + i].column]);
        ProgWindow window;
        double share = fit_window(field, room, g, key, &window);
        if (share < best_share) {
            best_share = share;
            best = j;
            windows->window[g] = window;
        }
    }
    if (!(best_share < 1))
        return;
    windows->window[g].open = true;
    for (size_t i = 0; i < span->count; i++)
        key[i] = key_of(field->cut[best], &columns[field->option[span->first + i].column]);
    sort_by_key(windows, field, g, key, sorted);
}

bool prog_windows_init(ProgWindows *windows, const ProgModel *model, const ProgField *field,
                       const double *room) {
    *windows = (ProgWindows){0};
    windows->option = malloc(field->option_count * sizeof *windows->option);
    windows->key = malloc(field->option_count * sizeof *windows->key);
    windows->part = malloc(field->option_count * sizeof *windows->part);
    double *key = malloc(field->option_count * sizeof *key);
    Keyed *sorted = malloc(field->option_count * sizeof *sorted);
    bool good = windows->option != NULL && windows->key != NULL && windows->part != NULL &&
                key != NULL && sorted != NULL;
    for (size_t i = 0; good && i < field->option_count; i++)
        windows->part[i] = field->inc[i * field->width];
    for (size_t g = 0; good && g < model->in->group_count; g++) {
        if (field->group[g].count >= WINDOW_FROM)
            open_window(windows, model, field, room, g, key, sorted);
    }
    free(key);
    free(sorted);
    if (!good)
        prog_windows_free(windows);
    return good;
}

void prog_windows_free(ProgWindows *windows) {
    free(windows->option);
    free(windows->key);
    free(windows->part);
    *windows = (ProgWindows){0};
}

/* First place whose value is above x. */
static size_t above(const double *sorted, size_t n, double x) {
    size_t from = 0;
    while (n > 0) {
        size_t half = n / 2;
        if (sorted[from + half] <= x) {
            from += half + 1;
            n -= half + 1;
        } else {
            n = half;
        }
    }
    return from;
}

ProgSpan prog_window_span(const ProgWindows *windows, size_t g, const ProgLook *look,
                          const double *base, const double *room, bool *by_window) {
    ProgSpan span = {look->first,
                     above(&windows->part[look->first], look->count, room[0] - base[0])};
    const ProgWindow *window = &windows->window[g];
    *by_window = false;
    if (!window->open || span.count < WINDOW_FROM)
        return span;
    double lo = -INFINITY, hi = INFINITY;
    for (size_t i = 0; i < window->hi_count; i++) {
        const ProgEdge *edge = &window->hi[i];
        double at = (room[edge->cut] - base[edge->cut] - edge->least) * edge->inverse;
        hi = at < hi ? at : hi;
    }
    for (size_t i = 0; i < window->lo_count; i++) {
        const ProgEdge *edge = &window->lo[i];
        double at = (room[edge->cut] - base[edge->cut] - edge->least) * edge->inverse;
        lo = at > lo ? at : lo;
    }
    /* Rounding of the division only: the cuts themselves are checked for every option. */
    double slack = 1e-12 * (fabs(lo) + fabs(hi));
    const double *key = &windows->key[look->first];
    size_t to = above(key, look->count, hi + slack);
    size_t from = above(key, to, lo - slack);
    while (from > 0 && key[from - 1] >= lo - slack)
        from--;
    if (to - from >= span.count)
        return span;
    *by_window = true;
    return (ProgSpan){look->first + from, to - from};
}
