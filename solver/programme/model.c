/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows as one-sided prices, and the figures that hold for every rig. */
#include "programme/internal.h"

#include <math.h>

static void add_side(ProgModel *model, size_t r, double sign, double bound) {
    if (isinf(bound))
        return;
    const ProgRow *row = &model->in->rows[r];
    ProgSide *side = &model->side[model->side_count++];
    side->row = r;
    side->feature = row->feature;
    side->margin = row->margin;
    side->sign = sign;
    side->constant = sign * (row->base - bound);
    side->elastic = row->elastic;
    side->unit = row->unit;
    side->slack = PROG_ROUND * fmax(1.0, fabs(bound));
}

double prog_side_over(const ProgSide *side, const double *sums) {
    double over = side->sign * sums[side->feature] + side->constant;
    return side->margin == PROG_NONE ? over : over + sums[side->margin];
}

/* Least and largest sum of every feature over all rigs. */
static void feature_spans(const ProgModel *model, double *least, double *most) {
    const Programme *in = model->in;
    for (size_t k = 0; k < in->feature_count; k++) {
        least[k] = most[k] = 0;
        for (size_t g = 0; g < in->group_count; g++) {
            double lo = INFINITY, hi = -INFINITY;
            for (size_t c = 0; c < in->groups[g].count; c++) {
                const ProgColumn *column = &in->groups[g].columns[c];
                double end =
                    column->range > 0 ? column->f[k] - column->range * column->g[k] : column->f[k];
                lo = fmin(lo, fmin(column->f[k], end));
                hi = fmax(hi, fmax(column->f[k], end));
            }
            least[k] += lo;
            most[k] += hi;
        }
    }
}

static double worst_cost(const Programme *in) {
    double worst = 0;
    for (size_t g = 0; g < in->group_count; g++) {
        double most = 0;
        for (size_t c = 0; c < in->groups[g].count; c++) {
            const ProgColumn *column = &in->groups[g].columns[c];
            most = fmax(most, column->cost + column->range * column->cost_slope);
        }
        worst += most;
    }
    return worst;
}

/* An upper bound on the objective of every rig: where the budget reaches it, all has been seen. */
static double worst_objective(const ProgModel *model) {
    const Programme *in = model->in;
    double least[PROG_FEATURES_MAX], most[PROG_FEATURES_MAX];
    feature_spans(model, least, most);
    double worst = worst_cost(in);
    for (size_t t = 0; t < in->target_count; t++) {
        const ProgTarget *target = &in->targets[t];
        double mid = target->base - target->centre;
        double off = fmax(fabs(mid + least[target->feature]), fabs(mid + most[target->feature]));
        worst += target->weight * off / target->unit;
    }
    double over[PROG_CLASSES_MAX] = {0};
    for (size_t s = 0; s < model->side_count; s++) {
        const ProgSide *side = &model->side[s];
        if (side->elastic == PROG_NONE)
            continue;
        double sum = side->constant +
                     fmax(side->sign * least[side->feature], side->sign * most[side->feature]);
        if (side->margin != PROG_NONE)
            sum += most[side->margin];
        over[side->elastic] = fmax(over[side->elastic], sum / side->unit);
    }
    for (size_t c = 0; c < in->class_count; c++)
        worst += in->class_weight[c] * over[c];
    return worst + 1.0;
}

/* Steps of 1e-8 are fine enough for prices and coarse enough for a double. */
#define GRID_UNIT 1e-8

static double cost_grid(const Programme *in) {
    uint64_t grid = 0;
    for (size_t g = 0; g < in->group_count; g++) {
        for (size_t c = 0; c < in->groups[g].count; c++) {
            double steps = in->groups[g].columns[c].cost / GRID_UNIT;
            if (steps > 1e12 || fabs(steps - floor(steps + 0.5)) > 1e-3)
                return 0;
            for (uint64_t a = (uint64_t)(steps + 0.5); a != 0;) {
                uint64_t rest = grid % a;
                grid = a;
                a = rest;
            }
        }
    }
    return (double)grid * GRID_UNIT < 1e-5 ? 0 : (double)grid * GRID_UNIT;
}

void prog_model_init(ProgModel *model, const Programme *in) {
    *model = (ProgModel){.in = in};
    for (size_t r = 0; r < in->row_count; r++) {
        add_side(model, r, 1.0, in->rows[r].hi);
        add_side(model, r, -1.0, in->rows[r].lo);
    }
    for (size_t g = 0; g < in->group_count; g++) {
        model->column_count += in->groups[g].count;
        for (size_t c = 0; c < in->groups[g].count; c++) {
            const ProgColumn *column = &in->groups[g].columns[c];
            model->any_delta = model->any_delta || column->range > 0;
            model->any_slope = model->any_slope || (column->range > 0 && column->cost_slope > 0);
        }
    }
    model->grid = cost_grid(in);
    model->worst = worst_objective(model);
}
