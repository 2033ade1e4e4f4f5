/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Columns that weigh the same are one choice to the programme and a list to the maker. */
#include "programme/programme.h"

#include <math.h>
#include <stdlib.h>

typedef struct Place {
    double step; /* number of the bucket */
    int64_t look;
    double cost;
    size_t column;
    bool alone; /* may be filed: never shares a bucket */
} Place;

static int by_bucket(const Place *a, const Place *b) {
    if (a->step < b->step || a->step > b->step)
        return a->step < b->step ? -1 : 1;
    if (a->look != b->look)
        return a->look < b->look ? -1 : 1;
    return (int)a->alone - (int)b->alone;
}

static int compare(const void *left, const void *right) {
    const Place *a = left, *b = right;
    int order = by_bucket(a, b);
    if (order != 0)
        return order;
    if (a->cost < b->cost || a->cost > b->cost)
        return a->cost < b->cost ? -1 : 1;
    return a->column < b->column ? -1 : a->column > b->column;
}

static bool fill_places(const ProgColumn *columns, size_t count, size_t feature, double step,
                        bool by_visible, Place *places, BlyError *err) {
    for (size_t c = 0; c < count; c++) {
        double number = floor(columns[c].f[feature] / step + 0.5);
        if (!isfinite(number) || !isfinite(columns[c].cost))
            return bly_fail(err, BLY_E_RANGE, NULL, "column %zu cannot be put in a bucket", c);
        places[c] = (Place){number, by_visible ? columns[c].visible : 0, columns[c].cost, c,
                            columns[c].range > 0};
    }
    return true;
}

bool programme_bucket(const ProgColumn *columns, size_t count, size_t feature, double step,
                      bool by_visible, ProgBuckets *buckets, BlyError *err) {
    *buckets = (ProgBuckets){0};
    if (!isfinite(step) || step <= 0)
        return bly_fail(err, BLY_E_RANGE, NULL, "a bucket's width must be above 0");
    Place *places = malloc((count + 1) * sizeof *places);
    buckets->kept = malloc((count + 1) * sizeof *buckets->kept);
    buckets->first = malloc((count + 1) * sizeof *buckets->first);
    buckets->equals = malloc((count + 1) * sizeof *buckets->equals);
    bool good = places != NULL && buckets->kept != NULL && buckets->first != NULL &&
                buckets->equals != NULL;
    if (!good)
        (void)bly_fail(err, BLY_E_MEMORY, NULL, "no memory for %zu columns", count);
    good = good && fill_places(columns, count, feature, step, by_visible, places, err);
    if (good) {
        qsort(places, count, sizeof *places, compare);
        for (size_t i = 0; i < count; i++) {
            if (i == 0 || places[i].alone || by_bucket(&places[i - 1], &places[i]) != 0) {
                buckets->first[buckets->count] = i;
                buckets->kept[buckets->count++] = places[i].column;
            }
            buckets->equals[i] = places[i].column;
        }
        buckets->first[buckets->count] = count;
    }
    free(places);
    if (!good)
        programme_buckets_free(buckets);
    return good;
}

void programme_buckets_free(ProgBuckets *buckets) {
    free(buckets->kept);
    free(buckets->first);
    free(buckets->equals);
    *buckets = (ProgBuckets){0};
}
