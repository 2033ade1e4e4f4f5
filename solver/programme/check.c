/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Nothing unsound reaches the solver: GLPK calls a programme with NaN optimal. */
#include "programme/internal.h"

#include <math.h>

static bool bad_number(BlyError *err, const char *what, size_t i) {
    return bly_fail(err, BLY_E_RANGE, NULL, "%s %zu of the programme is not a usable number", what,
                    i);
}

static bool all_finite(const double *x, size_t n) {
    for (size_t i = 0; i < n; i++) {
        if (!isfinite(x[i]))
            return false;
    }
    return true;
}

static bool positive(double x) {
    return isfinite(x) && x > 0;
}

static bool not_negative(double x) {
    return isfinite(x) && x >= 0;
}

static bool check_sizes(const Programme *in, const ProgOptions *options, BlyError *err) {
    if (in->group_count < 1 || in->group_count > PROG_GROUPS_MAX || in->feature_count < 1 ||
        in->feature_count > PROG_FEATURES_MAX || in->row_count > PROG_ROWS_MAX ||
        in->target_count > PROG_TARGETS_MAX || in->class_count > PROG_CLASSES_MAX ||
        in->pair_count > PROG_PAIRS_MAX)
        return bly_fail(err, BLY_E_RANGE, NULL, "the programme is empty or too large");
    if (options->best < 1 || options->best > PROG_BEST_MAX)
        return bly_fail(err, BLY_E_RANGE, NULL, "1 to %d rigs can be asked for, not %zu",
                        (int)PROG_BEST_MAX, options->best);
    if (!not_negative(options->time_limit_secs))
        return bly_fail(err, BLY_E_RANGE, NULL, "the time limit is not a usable number");
    return true;
}

static bool check_column(const ProgColumn *column, size_t feature_count) {
    if (column->f == NULL || !all_finite(column->f, feature_count) || !not_negative(column->cost) ||
        !not_negative(column->range) || !not_negative(column->cost_slope))
        return false;
    return column->range <= 0 || (column->g != NULL && all_finite(column->g, feature_count));
}

static bool check_groups(const Programme *in, BlyError *err) {
    for (size_t g = 0; g < in->group_count; g++) {
        const ProgGroup *group = &in->groups[g];
        if (group->count == 0)
            return bly_fail(err, BLY_E_MISSING, NULL, "group %zu has nothing to choose from", g);
        if (group->count > UINT32_MAX / 2)
            return bly_fail(err, BLY_E_RANGE, NULL, "group %zu is too large", g);
        for (size_t c = 0; c < group->count; c++) {
            if (!check_column(&group->columns[c], in->feature_count))
                return bly_fail(err, BLY_E_RANGE, NULL,
                                "column %zu of group %zu holds a number that is not usable", c, g);
        }
    }
    return true;
}

static bool check_row(const Programme *in, size_t r, BlyError *err) {
    const ProgRow *row = &in->rows[r];
    if (row->feature >= in->feature_count ||
        (row->margin != PROG_NONE && row->margin >= in->feature_count) ||
        (row->elastic != PROG_NONE && row->elastic >= in->class_count))
        return bly_fail(err, BLY_E_UNKNOWN, NULL, "row %zu names what the programme does not have",
                        r);
    if (!isfinite(row->base) || isnan(row->lo) || isnan(row->hi) ||
        (isinf(row->lo) && row->lo > 0) || (isinf(row->hi) && row->hi < 0) ||
        (row->elastic != PROG_NONE && !positive(row->unit)))
        return bad_number(err, "row", r);
    return true;
}

static bool check_target(const Programme *in, size_t t, BlyError *err) {
    const ProgTarget *target = &in->targets[t];
    if (target->feature >= in->feature_count)
        return bly_fail(err, BLY_E_UNKNOWN, NULL,
                        "target %zu names what the programme does not have", t);
    if (!isfinite(target->base) || !isfinite(target->centre) || !not_negative(target->dead) ||
        !positive(target->unit) || !not_negative(target->weight))
        return bad_number(err, "target", t);
    return true;
}

static bool check_pairs(const Programme *in, BlyError *err) {
    for (size_t i = 0; i < in->pair_count; i++) {
        const ProgPair *pair = &in->pairs[i];
        if (pair->group_a >= in->group_count || pair->group_b >= in->group_count ||
            pair->group_a == pair->group_b || in->forbidden == NULL)
            return bly_fail(err, BLY_E_UNKNOWN, NULL,
                            "pair %zu names what the programme does not have", i);
    }
    return true;
}

bool prog_check(const Programme *in, const ProgOptions *options, BlyError *err) {
    if (!check_sizes(in, options, err) || !check_groups(in, err))
        return false;
    for (size_t r = 0; r < in->row_count; r++) {
        if (!check_row(in, r, err))
            return false;
    }
    for (size_t t = 0; t < in->target_count; t++) {
        if (!check_target(in, t, err))
            return false;
    }
    for (size_t c = 0; c < in->class_count; c++) {
        if (!positive(in->class_weight[c]))
            return bad_number(err, "class", c);
    }
    return check_pairs(in, err);
}
