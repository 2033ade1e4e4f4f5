/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Exhaustive enumeration as a competitor: the seats in two halves, each half's choices listed and
 * the second one sorted by weight in water; for each choice of the first a sweep over those of the
 * second that bring the whole into its band, the angle and roll rows looked at, the ten cheapest
 * kept. Dearer pairs than the tenth are skipped at once. Written here, plainly, with nothing from
 * solver/fit; both get the same columns: tie, three hangers and an unfiled lip (with strips, wraps
 * and filing it does not end).
 *
 *   bench_middle [secs a search at most] [n:instances ...]
 *
 * Prints rows of a Markdown table: n, columns, pairs in the band, seconds, times ours (least), same
 * best. */
#include "bench/timing.h"
#include "support/tackle.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { SEATS = 5, HALF = 2, BEST = 10, MOST = 64 };

static void *room_for(size_t count, size_t size) {
    void *room = malloc(count * size + 1);
    if (room == NULL)
        abort();
    return room;
}

/* One choice at each seat of a half. */
typedef struct Half {
    float net, cost;
    unsigned short column[SEATS - HALF];
} Half;

typedef struct Middle {
    const Programme *p;
    const ProgGroup *seat[SEATS];
    double best[BEST]; /* ascending */
    double pairs, until;
    bool ended;
} Middle;

static int by_net(const void *a, const void *b) {
    float x = ((const Half *)a)->net, y = ((const Half *)b)->net;
    return (x > y) - (x < y);
}

static Half *list_half(const Middle *m, size_t from, size_t to, size_t *count) {
    *count = 1;
    for (size_t s = from; s < to; s++)
        *count *= m->seat[s]->count;
    Half *list = room_for(*count, sizeof *list);
    for (size_t i = 0; i < *count; i++) {
        size_t rest = i;
        double net = 0, cost = 0;
        for (size_t s = from; s < to; s++) {
            size_t column = rest % m->seat[s]->count;
            rest /= m->seat[s]->count;
            list[i].column[s - from] = (unsigned short)column;
            net += m->seat[s]->columns[column].f[TACKLE_NET];
            cost += m->seat[s]->columns[column].cost;
        }
        list[i].net = (float)net;
        list[i].cost = (float)cost;
    }
    return list;
}

/* The objective of a rig inside all its bands, INFINITY of another. */
static double objective(const Middle *m, const Half *left, const Half *right) {
    const double *f[SEATS];
    double sum[TACKLE_FEATURES] = {0}, z = 0;
    for (size_t s = 0; s < SEATS; s++) {
        const ProgColumn *c =
            &m->seat[s]->columns[s < HALF ? left->column[s] : right->column[s - HALF]];
        f[s] = c->f;
        z += c->cost;
    }
    for (size_t k = 0; k < TACKLE_FEATURES; k++)
        sum[k] = f[0][k] + f[1][k] + f[2][k] + f[3][k] + f[4][k];
    for (size_t r = 0; r < m->p->row_count; r++) {
        const ProgRow *row = &m->p->rows[r];
        double value = row->base + sum[row->feature];
        double margin = row->margin != PROG_NONE ? sum[row->margin] : 0;
        if (value + margin > row->hi + 1e-9 || value - margin < row->lo - 1e-9)
            return INFINITY;
    }
    for (size_t t = 0; t < m->p->target_count; t++) {
        const ProgTarget *target = &m->p->targets[t];
        double off = fabs(target->base + sum[target->feature] - target->centre) - target->dead;
        z += target->weight * fmax(off, 0) / target->unit;
    }
    return z;
}

static void keep(Middle *m, double z) {
    size_t i = BEST - 1;
    if (!(z < m->best[i]))
        return;
    for (; i > 0 && m->best[i - 1] > z; i--)
        m->best[i] = m->best[i - 1];
    m->best[i] = z;
}

static void sweep(Middle *m, const Half *left, const Half *right, size_t right_count) {
    const ProgRow *band = &m->p->rows[0];
    const float slack = 1e-4F;
    float low = (float)(band->lo - band->base) - left->net - slack,
          high = (float)(band->hi - band->base) - left->net + slack;
    size_t a = 0, b = right_count;
    while (a < b) { /* the first that is not too light */
        size_t middle = (a + b) / 2;
        if (right[middle].net < low)
            a = middle + 1;
        else
            b = middle;
    }
    size_t first = a;
    for (; a < right_count && right[a].net <= high; a++) {
        if (left->cost + right[a].cost < (float)m->best[BEST - 1] + slack)
            keep(m, objective(m, left, &right[a]));
    }
    m->pairs += (double)(a - first);
}

static void search(Middle *m) {
    size_t left_count, right_count;
    Half *left = list_half(m, 0, HALF, &left_count);
    Half *right = list_half(m, HALF, SEATS, &right_count);
    qsort(right, right_count, sizeof *right, by_net);
    m->ended = true;
    for (size_t i = 0; i < BEST; i++)
        m->best[i] = INFINITY;
    for (size_t i = 0; i < left_count; i++) {
        sweep(m, &left[i], right, right_count);
        if (i % 64 == 0 && cpu_secs() > m->until) {
            m->ended = false;
            break;
        }
    }
    free(left);
    free(right);
}

/* Leaves tie, hangers and an unfiled lip (tackle.c's order of groups); in all behind them "nothing"
 * alone is left. The first two hangers are one half: so the halves are nearest in size. */
static void plain(Tackle *tackle, Middle *m) {
    static const size_t order[SEATS] = {1, 2, 3, 0, 4};
    m->p = &tackle->programme;
    for (size_t s = 0; s < SEATS; s++)
        m->seat[s] = &tackle->groups[order[s]];
    for (size_t g = SEATS; g < tackle->programme.group_count; g++)
        tackle->groups[g].count = 1;
    for (size_t i = 0; i < m->seat[4]->count; i++)
        tackle->columns[m->seat[4]->columns - tackle->columns + (ptrdiff_t)i].range = 0;
}

typedef struct Sums {
    double secs[MOST], ratio[MOST], pairs, columns;
    size_t same, ended, count;
} Sums;

static void one(size_t n, size_t seed, double most, Sums *sums) {
    Tackle tackle;
    TackleOptions usual = {.dead = 0.5};
    ProgOptions options = {.best = BEST};
    ProgResult result;
    BlyError err = {0};
    Middle m = {.p = NULL};
    tackle_make(&tackle, n, seed, &usual);
    tackle_build(&tackle);
    plain(&tackle, &m);
    double start = cpu_secs(), ours = INFINITY;
    for (int run = 0; run < 3; run++) {
        start = cpu_secs();
        if (!programme_solve(&tackle.programme, &options, &result, &err))
            exit(1);
        ours = fmin(ours, cpu_secs() - start);
        if (run < 2)
            programme_free(&result);
    }
    start = cpu_secs();
    m.until = start + most;
    search(&m);
    double theirs = cpu_secs() - start;
    bool same = m.ended && result.count > 0;
    for (size_t i = 0; same && i < result.count && result.rigs[i].in_bands; i++)
        same = fabs(result.rigs[i].objective - m.best[i]) < 1e-6;
    sums->secs[sums->count] = theirs;
    sums->ratio[sums->count++] = theirs / ours;
    sums->same += same;
    sums->ended += m.ended;
    sums->pairs += m.pairs;
    for (size_t s = 0; s < SEATS; s++)
        sums->columns += (double)m.seat[s]->count;
    programme_free(&result);
    tackle_free(&tackle);
}

int main(int argc, char **argv) {
    double most = argc > 1 ? strtod(argv[1], NULL) : 20;
    static char *usual[] = {"10:15", "50:5", "200:3"};
    char **sizes = argc > 2 ? argv + 2 : usual;
    for (int i = 0; i < (argc > 2 ? argc - 2 : 3); i++) {
        char *end = NULL;
        size_t n = strtoul(sizes[i], &end, 10);
        size_t instances = *end == ':' ? strtoul(end + 1, NULL, 10) : 3;
        Sums sums = {.count = 0};
        for (size_t seed = 1; seed <= instances && seed <= MOST; seed++)
            one(n, seed, most, &sums);
        double secs = median(sums.secs, sums.count), ratio = median(sums.ratio, sums.count);
        printf("| %zu | %.0f | %.3g | %.3g | %s%.0f (%.0f) | %zu of %zu ended, %zu the same |\n", n,
               sums.columns / (double)sums.count, sums.pairs / (double)sums.count, secs,
               sums.ended == sums.count ? "" : "over ", ratio, sums.ratio[0], sums.ended,
               sums.count, sums.same);
        (void)fflush(stdout);
    }
    return 0;
}
