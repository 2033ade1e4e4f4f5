/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/brute.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static double total(const Programme *p, const size_t *column, const double *delta, size_t k) {
    double sum = 0;
    for (size_t g = 0; g < p->group_count; g++) {
        const ProgColumn *c = &p->groups[g].columns[column[g]];
        sum += c->f[k] - (c->range > 0 ? delta[g] * c->g[k] : 0);
    }
    return sum;
}

static bool pairs_hold(const Programme *p, const size_t *column) {
    for (size_t i = 0; i < p->pair_count; i++) {
        if (p->forbidden(p->forbidden_context, i, column[p->pairs[i].group_a],
                         column[p->pairs[i].group_b]))
            return false;
    }
    return true;
}

double brute_objective(const Programme *p, const size_t *column, const double *delta, double *cost,
                       double *distance) {
    double paid = 0, priced = 0, far = 0, worst[PROG_CLASSES_MAX] = {0};
    for (size_t g = 0; g < p->group_count; g++) {
        const ProgColumn *c = &p->groups[g].columns[column[g]];
        priced += c->cost + (c->range > 0 ? delta[g] * c->cost_slope : 0);
    }
    for (size_t t = 0; t < p->target_count; t++) {
        const ProgTarget *target = &p->targets[t];
        double off = fabs(target->base + total(p, column, delta, target->feature) - target->centre);
        far += target->weight * off / target->unit;
        if (off > target->dead)
            paid += target->weight * (off - target->dead) / target->unit;
    }
    for (size_t r = 0; r < p->row_count; r++) {
        const ProgRow *row = &p->rows[r];
        double value = row->base + total(p, column, delta, row->feature);
        double margin = row->margin != PROG_NONE ? total(p, column, delta, row->margin) : 0;
        double over = fmax(value + margin - row->hi, row->lo - (value - margin));
        if (row->elastic == PROG_NONE) {
            if (over > 1e-8)
                return INFINITY;
        } else if (over / row->unit > worst[row->elastic]) {
            worst[row->elastic] = over / row->unit;
        }
    }
    for (size_t c = 0; c < p->class_count; c++)
        paid += p->class_weight[c] * worst[c];
    if (cost != NULL)
        *cost = priced;
    if (distance != NULL)
        *distance = far;
    return paid + priced;
}

/* ---- corners ---- */

typedef struct Line { /* a x + b y = c */
    double a, b, c;
} Line;

typedef struct Corners {
    Line line[600];
    size_t count;
} Corners;

static void add_line(Corners *corners, double a, double b, double c) {
    if ((fabs(a) < 1e-14 && fabs(b) < 1e-14) || corners->count == 600)
        return;
    corners->line[corners->count++] = (Line){a, b, c};
}

/* Value of feature k as p + a x + b y over the two open deltas. */
static Line spread_out(const Programme *p, const size_t *column, const size_t *open, size_t k) {
    double zero[PROG_GROUPS_MAX] = {0};
    Line line = {0, 0, total(p, column, zero, k)};
    line.a = -p->groups[open[0]].columns[column[open[0]]].g[k];
    if (open[1] != open[0])
        line.b = -p->groups[open[1]].columns[column[open[1]]].g[k];
    return line;
}

/* Each side of each row as over / unit = c + a x + b y. */
static size_t sides_of(const Programme *p, const size_t *column, const size_t *open, Line *sides,
                       size_t *classes) {
    size_t n = 0;
    for (size_t r = 0; r < p->row_count; r++) {
        const ProgRow *row = &p->rows[r];
        Line v = spread_out(p, column, open, row->feature), m = {0, 0, 0};
        if (row->margin != PROG_NONE)
            m = spread_out(p, column, open, row->margin);
        double unit = row->elastic == PROG_NONE ? 1 : row->unit;
        if (!isinf(row->hi)) {
            sides[n] = (Line){(v.a + m.a) / unit, (v.b + m.b) / unit,
                              (row->base + v.c + m.c - row->hi) / unit};
            classes[n++] = row->elastic;
        }
        if (!isinf(row->lo)) {
            sides[n] = (Line){(m.a - v.a) / unit, (m.b - v.b) / unit,
                              (row->lo - row->base - v.c + m.c) / unit};
            classes[n++] = row->elastic;
        }
    }
    return n;
}

static void find_lines(const Programme *p, const size_t *column, const size_t *open,
                       Corners *corners) {
    corners->count = 0;
    double range_x = p->groups[open[0]].columns[column[open[0]]].range;
    double range_y = p->groups[open[1]].columns[column[open[1]]].range;
    add_line(corners, 1, 0, 0);
    add_line(corners, 1, 0, range_x);
    add_line(corners, 0, 1, 0);
    add_line(corners, 0, 1, range_y);
    for (size_t t = 0; t < p->target_count; t++) {
        const ProgTarget *target = &p->targets[t];
        Line v = spread_out(p, column, open, target->feature);
        double mid = target->centre - target->base - v.c;
        add_line(corners, v.a, v.b, mid);
        add_line(corners, v.a, v.b, mid - target->dead);
        add_line(corners, v.a, v.b, mid + target->dead);
    }
    Line sides[2 * PROG_ROWS_MAX];
    size_t classes[2 * PROG_ROWS_MAX], n = sides_of(p, column, open, sides, classes);
    for (size_t i = 0; i < n; i++) {
        add_line(corners, sides[i].a, sides[i].b, -sides[i].c);
        for (size_t j = 0; j < i; j++) {
            if (classes[i] == classes[j] && classes[i] != PROG_NONE)
                add_line(corners, sides[i].a - sides[j].a, sides[i].b - sides[j].b,
                         sides[j].c - sides[i].c);
        }
    }
}

static int steps(double a, double b) {
    double x = floor(a / 1e-7 + 0.5), y = floor(b / 1e-7 + 0.5);
    return (x > y) - (x < y);
}

static void try_corner(const Programme *p, const size_t *open, double x, double y, BruteRig *rig) {
    double range_x = p->groups[open[0]].columns[rig->column[open[0]]].range;
    double range_y = p->groups[open[1]].columns[rig->column[open[1]]].range;
    if (!(x >= -1e-9 && x <= range_x + 1e-9 && y >= -1e-9 && y <= range_y + 1e-9))
        return;
    BruteRig tried = *rig;
    tried.delta[open[1]] = fmin(fmax(y, 0), range_y);
    tried.delta[open[0]] = fmin(fmax(x, 0), range_x);
    tried.objective = brute_objective(p, tried.column, tried.delta, &tried.cost, &tried.distance);
    double better = rig->objective - tried.objective;
    if (isinf(tried.objective))
        return;
    if (isinf(rig->objective) || better > 1e-10 ||
        (better > -1e-10 && tried.distance < rig->distance - 1e-9))
        *rig = tried;
}

static void best_deltas(const Programme *p, Corners *corners, BruteRig *rig) {
    size_t open[2] = {0, 0}, count = 0;
    for (size_t g = 0; g < p->group_count; g++) {
        rig->delta[g] = 0;
        if (p->groups[g].columns[rig->column[g]].range > 0 && count < 2)
            open[count++] = g;
    }
    rig->objective = INFINITY;
    if (count == 0) {
        rig->objective = brute_objective(p, rig->column, rig->delta, &rig->cost, &rig->distance);
        return;
    }
    if (count == 1)
        open[1] = open[0];
    find_lines(p, rig->column, open, corners);
    for (size_t i = 0; i < corners->count; i++) {
        const Line *l = &corners->line[i];
        if (count == 1) {
            if (fabs(l->a) > 1e-14)
                try_corner(p, open, l->c / l->a, l->c / l->a, rig);
            continue;
        }
        for (size_t j = 0; j < i; j++) {
            const Line *m = &corners->line[j];
            double det = l->a * m->b - l->b * m->a;
            if (fabs(det) > 1e-12)
                try_corner(p, open, (l->c * m->b - m->c * l->b) / det,
                           (l->a * m->c - m->a * l->c) / det, rig);
        }
    }
}

/* ---- the list ---- */

static int order(const Programme *p, const BruteRig *a, const BruteRig *b) {
    int by = steps(a->objective, b->objective);
    by = by != 0 ? by : steps(a->cost, b->cost);
    by = by != 0 ? by : steps(a->distance, b->distance);
    for (size_t g = 0; by == 0 && g < p->group_count; g++)
        by = (a->column[g] > b->column[g]) - (a->column[g] < b->column[g]);
    return by;
}

static bool look_alike(const Programme *p, const BruteRig *a, const BruteRig *b) {
    for (size_t g = 0; g < p->group_count; g++) {
        if (p->groups[g].columns[a->column[g]].visible !=
            p->groups[g].columns[b->column[g]].visible)
            return false;
    }
    return true;
}

static size_t enter(const Programme *p, size_t best, bool visibly, BruteRig *rigs, size_t count,
                    const BruteRig *rig) {
    for (size_t i = 0; visibly && i < count; i++) {
        if (!look_alike(p, &rigs[i], rig))
            continue;
        if (order(p, rig, &rigs[i]) >= 0)
            return count;
        memmove(&rigs[i], &rigs[i + 1], (count - i - 1) * sizeof *rigs);
        count--;
        break;
    }
    size_t at = count;
    while (at > 0 && order(p, rig, &rigs[at - 1]) < 0)
        at--;
    if (at == best)
        return count;
    if (count < best)
        count++;
    memmove(&rigs[at + 1], &rigs[at], (count - at - 1) * sizeof *rigs);
    rigs[at] = *rig;
    return count;
}

size_t brute_force(const Programme *p, size_t best, bool visibly, BruteRig *rigs) {
    Corners *corners = malloc(sizeof *corners);
    if (corners == NULL)
        abort();
    BruteRig rig = {0};
    size_t count = 0;
    for (;;) {
        if (pairs_hold(p, rig.column)) {
            best_deltas(p, corners, &rig);
            if (!isinf(rig.objective))
                count = enter(p, best, visibly, rigs, count, &rig);
        }
        size_t g = 0;
        while (g < p->group_count && ++rig.column[g] == p->groups[g].count)
            rig.column[g++] = 0;
        if (g == p->group_count)
            break;
    }
    free(corners);
    return count;
}
