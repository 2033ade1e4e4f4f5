/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which columns a budget leaves standing, and by how much each eats into every cut's room.
 *
 * For a limit on the objective each cut leaves a room: limit - floor. A column whose own increment
 * is larger can be in no rig within the limit, and without it the floors of the others rise, so the
 * sieve is repeated until nothing more falls through. */
#include "fit/programme_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Work of one build. `least` holds each option's least part of every cut. */
typedef struct Sieve {
    const ProgModel *model;
    const ProgCuts *cuts;
    double limit;
    ProgOption *option;
    size_t *group; /* of each option */
    double *least; /* option_count * cuts->count */
    size_t count;
    double group_least[PROG_GROUPS_MAX][PROG_CUTS_MAX];
    double group_most[PROG_GROUPS_MAX][PROG_CUTS_MAX];
    size_t group_count[PROG_GROUPS_MAX];
    double floor[PROG_CUTS_MAX], room[PROG_CUTS_MAX];
} Sieve;

static double least_part(const ProgModel *model, const ProgCut *cut, const ProgColumn *column) {
    double value, slope;
    prog_cut_at(model, cut, column, &value, &slope);
    return slope < 0 ? value + slope * column->range : value;
}

static void find_rooms(Sieve *sieve) {
    size_t cuts = sieve->cuts->count, groups = sieve->model->in->group_count;
    for (size_t g = 0; g < groups; g++) {
        sieve->group_count[g] = 0;
        for (size_t j = 0; j < cuts; j++) {
            sieve->group_least[g][j] = INFINITY;
            sieve->group_most[g][j] = -INFINITY;
        }
    }
    for (size_t i = 0; i < sieve->count; i++) {
        size_t g = sieve->group[i];
        const double *least = &sieve->least[i * cuts];
        sieve->group_count[g]++;
        for (size_t j = 0; j < cuts; j++) {
            if (least[j] < sieve->group_least[g][j])
                sieve->group_least[g][j] = least[j];
            if (least[j] > sieve->group_most[g][j])
                sieve->group_most[g][j] = least[j];
        }
    }
    for (size_t j = 0; j < cuts; j++) {
        double floor = sieve->cuts->cut[j].constant;
        for (size_t g = 0; g < groups; g++)
            floor += sieve->group_least[g][j];
        sieve->floor[j] = floor;
        sieve->room[j] =
            (sieve->cuts->cut[j].ray ? 0 : sieve->limit + PROG_EQUAL) + PROG_ROUND - floor;
    }
}

/* Drops what no longer fits; true when something fell. */
static bool shake(Sieve *sieve) {
    size_t cuts = sieve->cuts->count, kept = 0;
    for (size_t i = 0; i < sieve->count; i++) {
        const double *least = &sieve->least[i * cuts];
        const double *base = sieve->group_least[sieve->group[i]];
        bool fits = true;
        for (size_t j = 0; fits && j < cuts; j++)
            fits = least[j] - base[j] <= sieve->room[j];
        if (!fits)
            continue;
        if (kept != i) {
            sieve->option[kept] = sieve->option[i];
            sieve->group[kept] = sieve->group[i];
            memmove(&sieve->least[kept * cuts], least, cuts * sizeof *least);
        }
        kept++;
    }
    bool fell = kept < sieve->count;
    sieve->count = kept;
    return fell;
}

/* First by cut 0 alone, which needs one sum per column; the other cuts are worked out for the rest.
 * False only without memory. */
static bool first_pass(Sieve *sieve) {
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

static bool second_pass(Sieve *sieve) {
    size_t cuts = sieve->cuts->count;
    sieve->least = malloc((sieve->count + 1) * cuts * sizeof *sieve->least);
    if (sieve->least == NULL)
        return false;
    for (size_t i = 0; i < sieve->count; i++) {
        const ProgColumn *column =
            &sieve->model->in->groups[sieve->group[i]].columns[sieve->option[i].column];
        for (size_t j = 0; j < cuts; j++)
            sieve->least[i * cuts + j] = least_part(sieve->model, &sieve->cuts->cut[j], column);
    }
    do
        find_rooms(sieve);
    while (shake(sieve));
    return true;
}

typedef struct Sharp {
    size_t cut;
    double spread, ratio;
} Sharp;

/* Whether two cuts see every option alike, but for scale: then the sharper one does the work. */
static bool alike(const Sieve *sieve, const Sharp *a, const Sharp *b) {
    size_t cuts = sieve->cuts->count;
    double x = 1 / a->spread, y = 1 / b->spread;
    for (size_t i = 0; i < sieve->count; i++) {
        const double *least = &sieve->least[i * cuts];
        const double *base = sieve->group_least[sieve->group[i]];
        if (fabs((least[a->cut] - base[a->cut]) * x - (least[b->cut] - base[b->cut]) * y) > 0.03)
            return false;
    }
    return true;
}

/* The cuts that can still end a branch, the sharpest first: how little of the full spread the room
 * allows. Cut 0 stays in front, since the options are sorted by it. */
static size_t sort_cuts(const Sieve *sieve, Sharp *sharp) {
    size_t count = 0;
    for (size_t j = 0; j < sieve->cuts->count; j++) {
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
static void choose_cuts(const Sieve *sieve, ProgField *field, size_t *chosen) {
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
        const ProgCut *cut = &sieve->cuts->cut[chosen[j]];
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

static int by_long(const void *a, const void *b) {
    long x = *(const long *)a, y = *(const long *)b;
    return (x > y) - (x < y);
}

/* Numbers the visible keys among a group's options from 0; all 0 unless they matter. */
static bool number_looks(const ProgColumn *columns, const ProgOption *option, size_t count,
                         bool by_look, Sorted *sorted) {
    for (size_t i = 0; i < count; i++)
        sorted[i].look = 0;
    if (!by_look)
        return true;
    long *keys = malloc(count * sizeof *keys);
    if (keys == NULL)
        return false;
    for (size_t i = 0; i < count; i++)
        keys[i] = columns[option[i].column].visible;
    qsort(keys, count, sizeof *keys, by_long);
    size_t unlike = 0;
    for (size_t i = 0; i < count; i++) {
        if (i == 0 || keys[i] != keys[unlike - 1])
            keys[unlike++] = keys[i];
    }
    for (size_t i = 0; i < count; i++) {
        const long *key =
            bsearch(&columns[option[i].column].visible, keys, unlike, sizeof *keys, by_long);
        sorted[i].look = (uint32_t)(key - keys);
    }
    free(keys);
    return true;
}

static void pack_line(const Sieve *sieve, ProgField *field, const ProgColumn *column,
                      ProgOption *option) {
    double *slope = &field->slope[field->line_count * field->width], value;
    for (size_t j = 0; j < field->cut_count; j++)
        prog_cut_at(sieve->model, field->cut[j], column, &value, &slope[j]);
    field->range[field->line_count] = column->range;
    option->line = (int32_t)field->line_count++;
}

static void pack_option(const Sieve *sieve, ProgField *field, const size_t *chosen, size_t g,
                        const Sorted *sorted) {
    size_t cuts = sieve->cuts->count, to = field->option_count++;
    const double *least = &sieve->least[sorted->from * cuts];
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

static bool pack_group(const Sieve *sieve, ProgField *field, const size_t *chosen, size_t g,
                       size_t from, bool by_look) {
    size_t count = sieve->group_count[g], cuts = sieve->cuts->count;
    Sorted *sorted = malloc((count + 1) * sizeof *sorted);
    if (sorted == NULL || !number_looks(sieve->model->in->groups[g].columns, &sieve->option[from],
                                        count, by_look, sorted)) {
        free(sorted);
        return false;
    }
    for (size_t i = 0; i < count; i++) {
        sorted[i].part = sieve->least[(from + i) * cuts];
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

static bool pack(const Sieve *sieve, ProgField *field, bool by_look) {
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
    *field = (ProgField){0};
    Sieve *sieve = calloc(1, sizeof *sieve);
    if (sieve == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the search");
    sieve->model = model;
    sieve->cuts = cuts;
    sieve->limit = limit;
    bool good = first_pass(sieve) && second_pass(sieve);
    for (size_t g = 0; good && g < model->in->group_count; g++)
        field->empty = field->empty || sieve->group_count[g] == 0;
    for (size_t j = 0; good && j < cuts->count; j++)
        field->empty = field->empty || sieve->room[j] < 0;
    if (good && !field->empty)
        good = pack(sieve, field, by_look);
    free(sieve->option);
    free(sieve->group);
    free(sieve->least);
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
