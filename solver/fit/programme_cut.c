/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lower bounds by prices (Lagrange). For prices y >= 0 on the sides and signed prices on the
 * targets
 *
 *   objective >= cost + sum y (violation) + sum y_t (sum_t - centre_t) - sum |y_t| dead_t
 *
 * as long as the sides of a class together charge no more than its weight, and a target no more
 * than weight / unit. The right-hand side is linear in the columns, so its least value is a sum
 * over groups. Nothing here trusts the solver: poor prices make a weak bound, never a wrong one. */
#include "fit/programme_internal.h"

#include <math.h>

/* Brings prices within what the model can charge. */
static void clip_prices(const ProgModel *model, ProgPrices *prices) {
    const Programme *in = model->in;
    double charged[PROG_CLASSES_MAX] = {0};
    for (size_t s = 0; s < model->side_count; s++) {
        const ProgSide *side = &model->side[s];
        double y = prices->side[s];
        prices->side[s] = isfinite(y) && y > 0 ? y : 0;
        if (side->elastic != PROG_NONE)
            charged[side->elastic] += prices->side[s] * side->unit;
    }
    for (size_t s = 0; s < model->side_count; s++) {
        size_t elastic = model->side[s].elastic;
        if (elastic != PROG_NONE && charged[elastic] > in->class_weight[elastic])
            prices->side[s] *= in->class_weight[elastic] / charged[elastic];
    }
    for (size_t t = 0; t < in->target_count; t++) {
        double most = in->targets[t].weight / in->targets[t].unit, y = prices->target[t];
        prices->target[t] = isfinite(y) ? fmin(fmax(y, -most), most) : 0;
    }
}

static void add_side(const ProgSide *side, double price, ProgCut *cut) {
    cut->constant += price * side->constant;
    cut->q[side->feature] += price * side->sign;
    if (side->margin != PROG_NONE)
        cut->q[side->margin] += price;
}

void prog_cut_from_prices(const ProgModel *model, const ProgPrices *wanted, ProgCut *cut) {
    ProgPrices prices = *wanted;
    clip_prices(model, &prices);
    *cut = (ProgCut){0};
    for (size_t s = 0; s < model->side_count; s++) {
        if (prices.side[s] > 0)
            add_side(&model->side[s], prices.side[s], cut);
    }
    for (size_t t = 0; t < model->in->target_count; t++) {
        const ProgTarget *target = &model->in->targets[t];
        cut->constant += prices.target[t] * (target->base - target->centre) -
                         fabs(prices.target[t]) * target->dead;
        cut->q[target->feature] += prices.target[t];
    }
}

static ProgCut *next_cut(ProgCuts *cuts) {
    if (cuts->count == PROG_CUTS_MAX)
        return NULL;
    ProgCut *cut = &cuts->cut[cuts->count++];
    *cut = (ProgCut){0};
    return cut;
}

static void add_target_cut(const ProgModel *model, size_t t, double direction, ProgCuts *cuts) {
    const ProgTarget *target = &model->in->targets[t];
    ProgCut *cut = target->weight > 0 ? next_cut(cuts) : NULL;
    if (cut == NULL)
        return;
    ProgPrices prices = {0};
    prices.target[t] = direction * target->weight / target->unit;
    prog_cut_from_prices(model, &prices, cut);
}

static void add_side_cut(const ProgModel *model, size_t s, ProgCuts *cuts) {
    const ProgSide *side = &model->side[s];
    ProgCut *cut = next_cut(cuts);
    if (cut == NULL)
        return;
    cut->ray = side->elastic == PROG_NONE;
    add_side(side, cut->ray ? 1.0 : model->in->class_weight[side->elastic] / side->unit, cut);
    if (cut->ray)
        cut->constant -= side->slack;
}

void prog_cuts_plain(const ProgModel *model, const ProgPrices *relaxed, ProgCuts *cuts) {
    ProgCut hard = {.ray = true};
    size_t hard_sides = 0;
    for (size_t s = 0; s < model->side_count; s++) {
        const ProgSide *side = &model->side[s];
        if (side->elastic != PROG_NONE || !(relaxed->side[s] > 0) || !isfinite(relaxed->side[s]))
            continue;
        add_side(side, relaxed->side[s], &hard);
        hard.constant -= relaxed->side[s] * side->slack;
        hard_sides++;
    }
    if (hard_sides > 1 && cuts->count < PROG_CUTS_MAX)
        cuts->cut[cuts->count++] = hard;
    for (size_t t = 0; t < model->in->target_count; t++) {
        add_target_cut(model, t, 1.0, cuts);
        add_target_cut(model, t, -1.0, cuts);
    }
    for (size_t s = 0; s < model->side_count; s++)
        add_side_cut(model, s, cuts);
}

void prog_cut_at(const ProgModel *model, const ProgCut *cut, const ProgColumn *column,
                 double *value, double *slope) {
    size_t n = model->in->feature_count;
    double sum = cut->ray ? 0 : column->cost;
    for (size_t k = 0; k < n; k++)
        sum += cut->q[k] * column->f[k];
    *value = sum;
    *slope = 0;
    if (column->range > 0) {
        double rise = cut->ray ? 0 : column->cost_slope;
        for (size_t k = 0; k < n; k++)
            rise -= cut->q[k] * column->g[k];
        *slope = rise;
    }
}

double prog_cut_floor(const ProgModel *model, const ProgCut *cut) {
    double floor = cut->constant;
    for (size_t g = 0; g < model->in->group_count; g++) {
        const ProgGroup *group = &model->in->groups[g];
        double least = INFINITY;
        for (size_t c = 0; c < group->count; c++) {
            double value, slope;
            prog_cut_at(model, cut, &group->columns[c], &value, &slope);
            least = fmin(least, fmin(value, value + slope * group->columns[c].range));
        }
        floor += least;
    }
    return floor;
}
