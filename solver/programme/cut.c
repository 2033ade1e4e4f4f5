/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lower bounds by prices (Lagrange). For prices y >= 0 on the sides and signed prices on the
 * targets
 *
 *   objective >= cost + sum y (violation) + sum y_t (sum_t - centre_t) - sum |y_t| dead_t
 *
 * as long as the sides of a class together charge no more than its weight, and a target no more
 * than weight / unit. The right-hand side is linear in the columns, so its least value is a sum
 * over groups. Nothing here trusts the solver: poor prices make a weak bound, never a wrong one. */
#include "programme/internal.h"

#include <math.h>

/* Brings prices within what the model can charge, and notes what shares of it they ask for. */
static void clip_prices(const ProgModel *model, ProgPrices *prices, ProgCut *cut) {
    const Programme *in = model->in;
    double charged[PROG_CLASSES_MAX] = {0}, share = 0;
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
        if (most > 0)
            share = fmax(share, fabs(prices->target[t]) / most);
    }
    cut->target_charge = share;
    for (size_t c = 0; c < in->class_count; c++) {
        share = fmax(share, fmin(charged[c] / in->class_weight[c], 1));
        cut->misses = cut->misses || charged[c] >= (1 - 1e-6) * in->class_weight[c];
    }
    cut->charge = model->any_slope ? 1 : share;
}

static void finish(ProgCut *cut) {
    cut->used_count = 0;
    for (size_t k = 0; k < PROG_FEATURES_MAX; k++) {
        if (cut->q[k] < 0 || cut->q[k] > 0)
            cut->used[cut->used_count++] = k;
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
    *cut = (ProgCut){0};
    clip_prices(model, &prices, cut);
    for (size_t s = 0; s < model->side_count; s++) {
        if (!(prices.side[s] > 0))
            continue;
        add_side(&model->side[s], prices.side[s], cut);
        if (model->side[s].elastic == PROG_NONE)
            cut->constant -= prices.side[s] * model->side[s].slack;
    }
    for (size_t t = 0; t < model->in->target_count; t++) {
        const ProgTarget *target = &model->in->targets[t];
        cut->constant += prices.target[t] * (target->base - target->centre) -
                         fabs(prices.target[t]) * target->dead;
        cut->dead += fabs(prices.target[t]) * target->dead;
        cut->q[target->feature] += prices.target[t];
    }
    finish(cut);
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
    cut->charge = 1;
    add_side(side, cut->ray ? 1.0 : model->in->class_weight[side->elastic] / side->unit, cut);
    if (cut->ray)
        cut->constant -= side->slack;
    finish(cut);
}

/* ---- combinations that filing leaves alone ---- */

/* One resource at its full price: a target in one direction, or a side. */
typedef struct Pull {
    size_t target, side; /* PROG_NONE for the other */
    double price;
    double slope; /* what the plate's filing changes, per unit of delta, at the full price */
} Pull;

static size_t list_pulls(const ProgModel *model, const ProgColumn *plate, Pull *pulls) {
    size_t n = 0;
    for (size_t t = 0; t < model->in->target_count; t++) {
        const ProgTarget *target = &model->in->targets[t];
        double price = target->weight / target->unit;
        pulls[n++] = (Pull){t, PROG_NONE, price, -price * plate->g[target->feature]};
        pulls[n++] = (Pull){t, PROG_NONE, -price, price * plate->g[target->feature]};
    }
    for (size_t s = 0; s < model->side_count; s++) {
        const ProgSide *side = &model->side[s];
        double price =
            side->elastic == PROG_NONE ? 1 : model->in->class_weight[side->elastic] / side->unit;
        double lost = side->sign * plate->g[side->feature];
        if (side->margin != PROG_NONE)
            lost += plate->g[side->margin];
        pulls[n++] = (Pull){PROG_NONE, s, price, -price * lost};
    }
    return n;
}

/* Whether both can be asked for at full price, and pull the plate opposite ways. */
static bool go_together(const ProgModel *model, const Pull *a, const Pull *b) {
    if (!(a->slope * b->slope < 0) || (a->target != PROG_NONE) != (b->target != PROG_NONE))
        return false;
    if (a->target != PROG_NONE)
        return a->target != b->target;
    size_t x = model->side[a->side].elastic, y = model->side[b->side].elastic;
    return x != y && x != PROG_NONE && y != PROG_NONE;
}

static void ask(ProgPrices *prices, const Pull *pull, double scale) {
    if (pull->target != PROG_NONE)
        prices->target[pull->target] = scale * pull->price;
    else
        prices->side[pull->side] = scale * pull->price;
}

const ProgColumn *prog_likely_plate(const ProgModel *model, const ProgCut *cut, size_t g) {
    const ProgColumn *likely = NULL;
    double least = INFINITY;
    for (size_t c = 0; c < model->in->groups[g].count; c++) {
        const ProgColumn *column = &model->in->groups[g].columns[c];
        double value, slope;
        prog_cut_at(model, cut, column, &value, &slope);
        value = fmin(value, value + slope * column->range);
        if (column->range > 0 && value < least) {
            likely = column;
            least = value;
        }
    }
    return likely;
}

void prog_cuts_neutral(const ProgModel *model, ProgCuts *cuts) {
    Pull pulls[2 * PROG_TARGETS_MAX + PROG_SIDES_MAX];
    for (size_t g = 0; model->any_delta && g < model->in->group_count; g++) {
        const ProgColumn *plate = prog_likely_plate(model, &cuts->cut[0], g);
        size_t n = plate != NULL ? list_pulls(model, plate, pulls) : 0;
        for (size_t i = 0; i < n; i++) {
            for (size_t j = 0; j < i; j++) {
                ProgCut *cut = go_together(model, &pulls[i], &pulls[j]) ? next_cut(cuts) : NULL;
                if (cut == NULL)
                    continue;
                double a = fabs(pulls[i].slope), b = fabs(pulls[j].slope);
                ProgPrices prices = {0};
                ask(&prices, &pulls[i], fmin(1, b / a));
                ask(&prices, &pulls[j], fmin(1, a / b));
                prog_cut_from_prices(model, &prices, cut);
            }
        }
    }
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
    finish(&hard);
    if (hard_sides > 1 && cuts->count < PROG_CUTS_MAX)
        cuts->cut[cuts->count++] = hard;
    for (size_t t = 0; t < model->in->target_count; t++) {
        add_target_cut(model, t, 1.0, cuts);
        add_target_cut(model, t, -1.0, cuts);
    }
    for (size_t s = 0; s < model->side_count; s++)
        add_side_cut(model, s, cuts);
}

/* How many may be learnt before they are put to use. */
enum { LEARN_AT_ONCE = 8 };

bool prog_cuts_learn(const ProgModel *model, size_t known, const size_t *column, double limit,
                     ProgCuts *cuts) {
    if (cuts->count == PROG_CUTS_MAX || cuts->count - known >= LEARN_AT_ONCE)
        return false;
    for (size_t j = known; j < cuts->count; j++) {
        if (prog_cut_of_rig(model, &cuts->cut[j], column) > limit)
            return false;
    }
    ProgPrices prices;
    if (!prog_value_prices(model, column, &prices))
        return false;
    ProgCut *cut = &cuts->cut[cuts->count];
    prog_cut_from_prices(model, &prices, cut);
    bool sharp = prog_cut_of_rig(model, cut, column) > limit;
    cuts->count += sharp;
    cuts->learnt += sharp;
    return sharp;
}

void prog_cut_at(const ProgModel *model, const ProgCut *cut, const ProgColumn *column,
                 double *value, double *slope) {
    (void)model;
    double sum = cut->ray ? 0 : column->cost;
    for (size_t i = 0; i < cut->used_count; i++)
        sum += cut->q[cut->used[i]] * column->f[cut->used[i]];
    *value = sum;
    *slope = 0;
    if (column->range > 0) {
        double rise = cut->ray ? 0 : column->cost_slope;
        for (size_t i = 0; i < cut->used_count; i++)
            rise -= cut->q[cut->used[i]] * column->g[cut->used[i]];
        *slope = rise;
    }
}

double prog_cut_of_rig(const ProgModel *model, const ProgCut *cut, const size_t *column) {
    double bound = cut->constant;
    for (size_t g = 0; g < model->in->group_count; g++) {
        const ProgColumn *chosen = &model->in->groups[g].columns[column[g]];
        double value, slope;
        prog_cut_at(model, cut, chosen, &value, &slope);
        bound += slope < 0 ? value + slope * chosen->range : value;
    }
    return bound;
}

double prog_cut_reach(const ProgModel *model, const ProgCut *cut, double limit) {
    if (!(model->grid > 0) || cut->charge >= 1 || !isfinite(limit))
        return limit;
    double step = model->grid * floor(limit / model->grid + 1e-6);
    return step + cut->charge * fmax(0, limit - step);
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
