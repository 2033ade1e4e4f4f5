/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which columns a limit on the objective leaves standing.
 *
 * Each cut leaves a room: limit - floor. A column whose own increment is larger can be in no rig
 * within the limit, and without it the floors of the others rise, so the sieve is shaken until
 * nothing more falls through. */
#include "programme/internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

double *prog_sieve_least(const ProgSieve *sieve, size_t option) {
    return &sieve->least[option * sieve->cuts->count];
}

static double least_part(const ProgModel *model, const ProgCut *cut, const ProgColumn *column) {
    double value, slope;
    prog_cut_at(model, cut, column, &value, &slope);
    return slope < 0 ? value + slope * column->range : value;
}

static void find_rooms(ProgSieve *sieve) {
    size_t cuts = sieve->cut_count, groups = sieve->model->in->group_count;
    for (size_t g = 0; g < groups; g++) {
        sieve->group_count[g] = 0;
        for (size_t j = 0; j < cuts; j++) {
            sieve->group_least[g][j] = INFINITY;
            sieve->group_most[g][j] = -INFINITY;
        }
    }
    for (size_t i = 0; i < sieve->count; i++) {
        size_t g = sieve->group[i];
        const double *least = prog_sieve_least(sieve, i);
        sieve->group_count[g]++;
        for (size_t j = 0; j < cuts; j++) {
            if (least[j] < sieve->group_least[g][j])
                sieve->group_least[g][j] = least[j];
            if (least[j] > sieve->group_most[g][j])
                sieve->group_most[g][j] = least[j];
        }
    }
    for (size_t j = 0; j < cuts; j++) {
        double floor = sieve->cut[j]->constant;
        for (size_t g = 0; g < groups; g++)
            floor += sieve->group_least[g][j];
        sieve->floor[j] = floor;
        sieve->room[j] = (sieve->cut[j]->ray ? 0 : sieve->limit + PROG_EQUAL) + PROG_ROUND - floor;
    }
}

/* Drops what no longer fits; true when something fell. */
static bool shake(ProgSieve *sieve) {
    size_t cuts = sieve->cut_count, kept = 0;
    for (size_t i = 0; i < sieve->count; i++) {
        const double *least = prog_sieve_least(sieve, i);
        const double *base = sieve->group_least[sieve->group[i]];
        bool fits = true;
        for (size_t j = 0; fits && j < cuts; j++)
            fits = least[j] - base[j] <= sieve->room[j];
        if (!fits)
            continue;
        if (kept != i) {
            sieve->option[kept] = sieve->option[i];
            sieve->group[kept] = sieve->group[i];
            memmove(prog_sieve_least(sieve, kept), least, cuts * sizeof *least);
        }
        kept++;
    }
    bool fell = kept < sieve->count;
    sieve->count = kept;
    return fell;
}

/* First by cut 0 alone, which needs one sum per column; the other cuts are worked out for the rest.
 * False only without memory. */
static bool first_pass(ProgSieve *sieve) {
    const Programme *in = sieve->model->in;
    const ProgCut *cut = &sieve->cuts->cut[0];
    size_t total = sieve->model->column_count, at = 0;
    double *part = malloc(total * sizeof *part);
    sieve->option = malloc(total * sizeof *sieve->option);
    sieve->group = malloc(total * sizeof *sieve->group);
    if (part == NULL || sieve->option == NULL || sieve->group == NULL) {
        free(part);
        return false;
    }
    double least[PROG_GROUPS_MAX], floor = cut->constant;
    for (size_t g = 0; g < in->group_count; g++) {
        least[g] = INFINITY;
        for (size_t c = 0; c < in->groups[g].count; c++) {
            part[at] = least_part(sieve->model, cut, &in->groups[g].columns[c]);
            least[g] = fmin(least[g], part[at++]);
        }
        floor += least[g];
    }
    double room = prog_cut_reach(sieve->model, cut, sieve->limit + PROG_EQUAL) + PROG_ROUND - floor;
    at = 0;
    for (size_t g = 0; g < in->group_count; g++) {
        for (size_t c = 0; c < in->groups[g].count; c++, at++) {
            if (!(part[at] - least[g] <= room))
                continue;
            sieve->option[sieve->count] = (ProgOption){.column = (uint32_t)c, .line = -1};
            sieve->group[sieve->count++] = g;
        }
    }
    free(part);
    return true;
}

/* Puts a further cut to use: its part of every column that is left. */
static void add_cut(ProgSieve *sieve, const ProgCut *cut) {
    size_t j = sieve->cut_count++;
    sieve->cut[j] = cut;
    for (size_t i = 0; i < sieve->count; i++) {
        const ProgColumn *columns = sieve->model->in->groups[sieve->group[i]].columns;
        prog_sieve_least(sieve, i)[j] =
            least_part(sieve->model, cut, &columns[sieve->option[i].column]);
    }
}

/* Largest value of each feature, either way, and of the cost among what is left of a group. */
typedef struct Ends {
    double least[PROG_FEATURES_MAX], most[PROG_FEATURES_MAX], cost;
} Ends;

static void find_ends(const ProgSieve *sieve, Ends *ends) {
    const Programme *in = sieve->model->in;
    for (size_t g = 0; g < in->group_count; g++) {
        ends[g].cost = -INFINITY;
        for (size_t k = 0; k < in->feature_count; k++) {
            ends[g].least[k] = INFINITY;
            ends[g].most[k] = -INFINITY;
        }
    }
    for (size_t i = 0; i < sieve->count; i++) {
        Ends *end = &ends[sieve->group[i]];
        const ProgColumn *column = &in->groups[sieve->group[i]].columns[sieve->option[i].column];
        end->cost = column->cost > end->cost ? column->cost : end->cost;
        for (size_t k = 0; k < in->feature_count; k++) {
            double f = column->f[k];
            end->least[k] = f < end->least[k] ? f : end->least[k];
            end->most[k] = f > end->most[k] ? f : end->most[k];
        }
    }
}

/* Whether some combination of what is left could be above the limit by this cut. */
static bool may_bite(const ProgSieve *sieve, const Ends *ends, const ProgCut *cut) {
    double most = cut->constant;
    for (size_t g = 0; g < sieve->model->in->group_count; g++) {
        most += cut->ray ? 0 : ends[g].cost;
        for (size_t i = 0; i < cut->used_count; i++) {
            size_t k = cut->used[i];
            most += cut->q[k] * (cut->q[k] > 0 ? ends[g].most[k] : ends[g].least[k]);
        }
    }
    return !(most <= (cut->ray ? 0 : sieve->limit));
}

static void shake_all(ProgSieve *sieve) {
    do
        find_rooms(sieve);
    while (shake(sieve));
}

/* The sharpest first: mostly they leave little for the others to be worked out for, and of those
 * only what can still end a branch. False only without memory. */
static bool second_pass(ProgSieve *sieve) {
    const ProgCuts *cuts = sieve->cuts;
    size_t learnt = cuts->count - cuts->learnt;
    sieve->least = malloc((sieve->count + 1) * cuts->count * sizeof *sieve->least);
    if (sieve->least == NULL)
        return false;
    for (size_t j = 0; j < cuts->count; j++) {
        if (j < cuts->relaxed || j >= learnt)
            add_cut(sieve, &cuts->cut[j]);
    }
    shake_all(sieve);
    Ends ends[PROG_GROUPS_MAX];
    find_ends(sieve, ends);
    for (size_t j = cuts->relaxed; sieve->count > 0 && j < learnt; j++) {
        if (may_bite(sieve, ends, &cuts->cut[j]))
            add_cut(sieve, &cuts->cut[j]);
    }
    shake_all(sieve);
    return true;
}

bool prog_sieve(ProgSieve *sieve, const ProgModel *model, const ProgCuts *cuts, double limit) {
    sieve->model = model;
    sieve->cuts = cuts;
    sieve->limit = limit;
    return first_pass(sieve) && second_pass(sieve);
}

void prog_sieve_free(ProgSieve *sieve) {
    free(sieve->option);
    free(sieve->group);
    free(sieve->least);
    sieve->option = NULL;
    sieve->group = NULL;
    sieve->least = NULL;
}
