/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Options of a group sorted along one direction in feature space, so that a partial rig looks only
 * at those that lie between what its cuts leave open.
 *
 * Any direction is right: for cut j, slope s and the least of (increment - s key) over the group,
 * every option has increment >= s key + least, so room for the increment is room for the key. The
 * direction of the sharpest cuts leaves the narrowest window; where the lip may be filed that is
 * the one which filing leaves alone. */
#include "programme/internal.h"

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

static Spread spread_of(const ProgSpan *span, const double *key) {
    Spread spread = {0, 0, INFINITY, -INFINITY};
    for (size_t i = span->first; i < span->first + span->count; i++) {
        spread.mean += key[i] / (double)span->count;
        spread.least = fmin(spread.least, key[i]);
        spread.most = fmax(spread.most, key[i]);
    }
    for (size_t i = span->first; i < span->first + span->count; i++)
        spread.square += (key[i] - spread.mean) * (key[i] - spread.mean);
    return spread;
}

/* The edge of cut j along the key, by least squares; false when the cut hardly depends on it. */
static bool fit_edge(const ProgField *field, const ProgSpan *span, const Spread *spread,
                     const double *key, size_t j, double *slope, double *least) {
    double pull = 0, most = 0;
    for (size_t i = span->first; i < span->first + span->count; i++) {
        double inc = field->inc[i * field->width + j];
        pull += inc * (key[i] - spread->mean);
        most = inc > most ? inc : most;
    }
    *slope = pull / spread->square;
    if (fabs(*slope) * (spread->most - spread->least) < 0.2 * most)
        return false;
    *least = INFINITY;
    for (size_t i = span->first; i < span->first + span->count; i++) {
        double rest = field->inc[i * field->width + j] - *slope * key[i];
        *least = rest < *least ? rest : *least;
    }
    return true;
}

/* Fits the window along `key` and returns its width as a share of the keys' spread. */
static double fit_window(const ProgField *field, const double *room, size_t g, const double *key,
                         ProgWindow *window) {
    const ProgSpan *span = &field->group[g];
    Spread spread = spread_of(span, key);
    double hi_bite[PROG_EDGES], lo_bite[PROG_EDGES];
    *window = (ProgWindow){0};
    if (!(spread.square > 1e-18))
        return INFINITY;
    for (size_t j = 0; j < field->cut_count; j++) {
        double slope, least;
        if (!isfinite(room[j]) || !fit_edge(field, span, &spread, key, j, &slope, &least))
            continue;
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

static void fill_keys(const ProgModel *model, const ProgField *field, size_t g, size_t cut,
                      double *key) {
    const ProgSpan *span = &field->group[g];
    const ProgColumn *columns = model->in->groups[g].columns;
    for (size_t i = span->first; i < span->first + span->count; i++)
        key[i] = key_of(field->cut[cut], &columns[field->option[i].column]);
}

/* The narrowest window of a group, and its options' keys. False when no direction narrows it. */
static bool find_window(const ProgModel *model, const ProgField *field, const double *room,
                        size_t g, ProgWindow *window, double *key) {
    double best_share = INFINITY;
    size_t best = 0, tried = 0;
    for (size_t j = 0; j < field->cut_count && tried < DIRECTIONS; j++) {
        if (opposite_seen(field, j))
            continue;
        tried++;
        fill_keys(model, field, g, j, key);
        ProgWindow trial;
        double share = fit_window(field, room, g, key, &trial);
        if (share < best_share) {
            best_share = share;
            best = j;
            *window = trial;
        }
    }
    if (!(best_share < 1))
        return false;
    fill_keys(model, field, g, best, key);
    return true;
}

/* Between which keys a partial rig leaves room. */
static void find_edges(const ProgWindow *window, const double *base, const double *room, double *lo,
                       double *hi) {
    *lo = -INFINITY;
    *hi = INFINITY;
    for (size_t i = 0; i < window->hi_count; i++) {
        const ProgEdge *edge = &window->hi[i];
        double at = (room[edge->cut] - base[edge->cut] - edge->least) * edge->inverse;
        *hi = at < *hi ? at : *hi;
    }
    for (size_t i = 0; i < window->lo_count; i++) {
        const ProgEdge *edge = &window->lo[i];
        double at = (room[edge->cut] - base[edge->cut] - edge->least) * edge->inverse;
        *lo = at > *lo ? at : *lo;
    }
    /* Rounding of the products only: the cuts themselves are checked for every option. */
    double slack = 1e-11 * (1 + fabs(*lo) + fabs(*hi));
    *lo -= slack;
    *hi += slack;
}

static void open_window(ProgWindows *windows, const ProgModel *model, const ProgField *field,
                        const double *room, size_t g, double *key, Keyed *sorted) {
    ProgWindow *window = &windows->window[g];
    window->open = find_window(model, field, room, g, window, key);
    for (size_t l = 0; window->open && l < field->look_span[g].count; l++) {
        const ProgLook *look = &field->look[field->look_span[g].first + l];
        for (size_t i = 0; i < look->count; i++)
            sorted[i] = (Keyed){key[look->first + i], (uint32_t)(look->first + i)};
        qsort(sorted, look->count, sizeof *sorted, by_key);
        for (size_t i = 0; i < look->count; i++) {
            windows->option[look->first + i] = sorted[i].option;
            windows->key[look->first + i] = sorted[i].key;
        }
    }
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
    double lo, hi;
    find_edges(window, base, room, &lo, &hi);
    const double *key = &windows->key[look->first];
    size_t to = above(key, look->count, hi), from = above(key, to, lo);
    if (to - from >= span.count)
        return span;
    *by_window = true;
    return (ProgSpan){look->first + from, to - from};
}
