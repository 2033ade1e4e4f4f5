/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The best trims after a tank test: all single trims and all pairs of two groups, in order of the
 * weight that they add, looked at from the weight that is missing outwards. */
#include "spread/reserve.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>
#include <string.h>

enum { COMBOS_MOST = 8000 };
/* A lure within this share of every half-band is let be. In squares of half-bands: a trim that is
 * good enough; what a trim, and a step of it, must better. */
static const double let_be = 0.6, content = 0.12, a_trim = 0.02, a_step = 0.001;

void trim_combo_add(const TrimList *trims, const TrimCombo *combo, double add[ADDS]) {
    memset(add, 0, ADDS * sizeof *add);
    for (int k = 0; k < 2 && combo->group[k] >= 0; k++) {
        const TrimOption *option = &trims->group[combo->group[k]].option[combo->option[k]];
        for (int i = 0; i < ADDS; i++)
            add[i] += option->add[i];
    }
}

static void put(const TrimList *trims, double density, TrimCombo combo, TrimCombos *out) {
    double add[ADDS], steps = 0.0;
    if (out->count == COMBOS_MOST)
        return;
    trim_combo_add(trims, &combo, add);
    combo.net_weight = add[ADD_M] - density * add[ADD_P];
    for (int k = 0; k < 2 && combo.group[k] >= 0; k++)
        steps += a_trim + a_step * abs(trims->group[combo.group[k]].option[combo.option[k]].steps);
    combo.cost = (float)steps;
    out->at[out->count++] = combo;
}

static int by_weight(const void *pa, const void *pb) {
    const TrimCombo *a = pa, *b = pb;
    if (a->net_weight != b->net_weight)
        return a->net_weight < b->net_weight ? -1 : 1;
    for (int k = 0; k < 2; k++) { /* the same bytes on every machine */
        if (a->group[k] != b->group[k])
            return a->group[k] - b->group[k];
        if (a->option[k] != b->option[k])
            return a->option[k] - b->option[k];
    }
    return 0;
}

bool trim_combos_make(const TrimList *trims, double density, TrimCombos *out, BlyError *err) {
    out->count = 0;
    out->at = malloc(COMBOS_MOST * sizeof *out->at);
    if (!out->at)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for trims");
    put(trims, density, (TrimCombo){.group = {-1, -1}}, out);
    for (size_t g = 0; g < trims->count; g++) {
        for (size_t i = 0; i < trims->group[g].count; i++)
            put(trims, density, (TrimCombo){.group = {(short)g, -1}, .option = {(short)i, 0}}, out);
    }
    for (size_t g = 0; g < trims->count; g++) {
        for (size_t h = g + 1; h < trims->count; h++) {
            for (size_t i = 0; i < trims->group[g].count; i++) {
                for (size_t j = 0; j < trims->group[h].count; j++)
                    put(trims, density,
                        (TrimCombo){.group = {(short)g, (short)h}, .option = {(short)i, (short)j}},
                        out);
            }
        }
    }
    qsort(out->at, out->count, sizeof *out->at, by_weight);
    return true;
}

void trim_combos_release(TrimCombos *combos) {
    free(combos->at);
    *combos = (TrimCombos){0};
}

static size_t first_not_below(const TrimCombos *combos, double net_weight) {
    size_t low = 0, high = combos->count;
    while (low < high) {
        size_t middle = (low + high) / 2;
        if (combos->at[middle].net_weight < net_weight)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

typedef struct Best {
    const TrimCombo *combo;
    double score;
} Best;

static void look(const TrimList *trims, const TrimCombo *combo, const TankTask *task,
                 const TankBelief *belief, Best *best) {
    double add[ADDS];
    if (combo->cost >= best->score)
        return;
    trim_combo_add(trims, combo, add);
    double score = tank_score(task, belief, add, NULL) + (double)combo->cost;
    if (score < best->score)
        *best = (Best){combo, score};
}

const TrimCombo *trim_choose(const TrimList *trims, const TrimCombos *combos, const TankTask *task,
                             const TankBelief *belief) {
    static const TrimCombo nothing = {.group = {-1, -1}};
    const double none[ADDS] = {0};
    double missing, half, worst;
    Best best = {&nothing, tank_score(task, belief, none, &worst)};
    if (worst <= let_be)
        return &nothing;
    tank_missing(task, belief, &missing, &half);
    size_t up = first_not_below(combos, missing), down = up;
    /* The nearer of both sides first; weight alone makes what lies farther worse than the best. */
    while (up < combos->count || down > 0) {
        double above = up < combos->count ? combos->at[up].net_weight - missing : INFINITY;
        double below = down > 0 ? missing - combos->at[down - 1].net_weight : INFINITY;
        double off = fmin(above, below) / half;
        if (off * off > best.score)
            break;
        look(trims, above <= below ? &combos->at[up++] : &combos->at[--down], task, belief, &best);
        if (best.score <= content)
            break;
    }
    return best.combo;
}
