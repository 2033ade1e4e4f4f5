/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The exact worth of one rig. With all columns fixed it is a sum; with one plate that may be filed
 * it is the least of a convex, piecewise linear function of the thickness, found by meeting
 * tangents: each meeting point is either the least or lies on a piece not seen before, so it ends
 * after as many steps as there are pieces, at the exact corner. */
#include "programme/internal.h"

#include <math.h>
#include <string.h>

/* All that a rig pays, as functions of the one delta x. */
typedef struct Slice {
    double cost, cost_slope;
    size_t target_count;
    double off[PROG_TARGETS_MAX], off_slope[PROG_TARGETS_MAX]; /* weight / unit (sum - centre) */
    double dead[PROG_TARGETS_MAX];                             /* weight / unit dead */
    size_t side_count;
    double over[PROG_SIDES_MAX], over_slope[PROG_SIDES_MAX]; /* weight / unit violation */
    size_t elastic[PROG_SIDES_MAX], side[PROG_SIDES_MAX];
    size_t class_count;
    bool distance; /* count the whole distance to the centres instead, and nothing else */
} Slice;

static double dot_column(const ProgColumn *column, size_t k, double delta) {
    return delta > 0 ? column->f[k] - delta * column->g[k] : column->f[k];
}

void prog_sums(const ProgModel *model, const ProgEntry *entry, double *sums) {
    const Programme *in = model->in;
    for (size_t k = 0; k < in->feature_count; k++)
        sums[k] = 0;
    for (size_t g = 0; g < in->group_count; g++) {
        const ProgColumn *column = &in->groups[g].columns[entry->column[g]];
        for (size_t k = 0; k < in->feature_count; k++)
            sums[k] += dot_column(column, k, entry->delta[g]);
    }
}

/* The value at x and a slope that belongs to x (any, where two pieces meet). */
static double slice_at(const Slice *slice, double x, double *slope) {
    double value = 0, rise = 0;
    for (size_t t = 0; t < slice->target_count; t++) {
        double off = slice->off[t] + x * slice->off_slope[t];
        double over = fabs(off) - (slice->distance ? 0 : slice->dead[t]);
        if (over > 0) {
            value += over;
            rise += off > 0 ? slice->off_slope[t] : -slice->off_slope[t];
        }
    }
    *slope = rise;
    if (slice->distance)
        return value;
    double most[PROG_CLASSES_MAX] = {0}, most_slope[PROG_CLASSES_MAX] = {0};
    for (size_t s = 0; s < slice->side_count; s++) {
        double over = slice->over[s] + x * slice->over_slope[s];
        if (over > most[slice->elastic[s]]) {
            most[slice->elastic[s]] = over;
            most_slope[slice->elastic[s]] = slice->over_slope[s];
        }
    }
    for (size_t c = 0; c < slice->class_count; c++) {
        value += most[c];
        rise += most_slope[c];
    }
    *slope = rise + slice->cost_slope;
    return value + slice->cost + x * slice->cost_slope;
}

/* A place of the least value in [lo, hi]. */
static double slice_least(const Slice *slice, double lo, double hi) {
    double lo_slope, hi_slope;
    double lo_value = slice_at(slice, lo, &lo_slope);
    if (lo_slope >= 0 || !(hi > lo))
        return lo;
    double hi_value = slice_at(slice, hi, &hi_slope);
    if (hi_slope <= 0)
        return hi;
    for (int step = 0; step < 200; step++) {
        double x = (hi_value - lo_value + lo_slope * lo - hi_slope * hi) / (lo_slope - hi_slope);
        x = fmin(fmax(x, lo), hi);
        double tangent = lo_value + lo_slope * (x - lo), slope;
        double value = slice_at(slice, x, &slope);
        if (value - tangent <= 1e-13 * (1 + fabs(value)) || slope == 0)
            return x;
        if (slope < 0) {
            lo = x, lo_value = value, lo_slope = slope;
        } else {
            hi = x, hi_value = value, hi_slope = slope;
        }
    }
    return lo_value <= hi_value ? lo : hi;
}

/* From `x` outside towards the flat bottom at `level`: the tangent's step never jumps over it. */
static double walk_to_level(const Slice *slice, double x, double inside, double level) {
    for (int step = 0; step < 200; step++) {
        double slope, value = slice_at(slice, x, &slope);
        if (value <= level || slope == 0)
            return x;
        double next = x - (value - level) / slope;
        if ((inside - next) * (inside - x) <= 0)
            return inside;
        if (!(fabs(next - x) > 1e-14 * (1 + fabs(x))))
            return next;
        x = next;
    }
    return inside;
}

/* Among the deltas of least value: the one nearest to the targets' centres, then the smallest. */
static double slice_best(const Slice *slice, double lo, double hi) {
    double x = slice_least(slice, lo, hi), slope;
    double level = slice_at(slice, x, &slope);
    level += 1e-13 * (1 + fabs(level));
    double from = walk_to_level(slice, lo, x, level);
    if (slice->cost_slope > 0)
        return from;
    double to = walk_to_level(slice, hi, x, level);
    Slice far = *slice;
    far.distance = true;
    x = slice_least(&far, from, to);
    level = slice_at(&far, x, &slope);
    return walk_to_level(&far, from, x, level + 1e-13 * (1 + fabs(level)));
}

/* Fills the slice for sums at delta 0 and `g` lost per unit (NULL: fixed). Hard sides narrow
 * [0, *hi] to [*lo, *hi] instead; false when nothing is left. */
static bool slice_fill(const ProgModel *model, const double *sums, const double *g, Slice *slice,
                       double *lo, double *hi) {
    const Programme *in = model->in;
    slice->target_count = in->target_count;
    slice->class_count = in->class_count;
    slice->distance = false;
    for (size_t t = 0; t < in->target_count; t++) {
        const ProgTarget *target = &in->targets[t];
        double price = target->weight / target->unit;
        slice->off[t] = price * (target->base - target->centre + sums[target->feature]);
        slice->off_slope[t] = g != NULL ? -price * g[target->feature] : 0;
        slice->dead[t] = price * target->dead;
    }
    slice->side_count = 0;
    for (size_t s = 0; s < model->side_count; s++) {
        const ProgSide *side = &model->side[s];
        double over = prog_side_over(side, sums), slope = 0;
        if (g != NULL)
            slope =
                -side->sign * g[side->feature] - (side->margin != PROG_NONE ? g[side->margin] : 0);
        if (side->elastic == PROG_NONE) {
            over -= side->slack;
            if (slope > 0)
                *hi = fmin(*hi, -over / slope);
            else if (slope < 0)
                *lo = fmax(*lo, -over / slope);
            else if (over > 0)
                return false;
            continue;
        }
        double price = in->class_weight[side->elastic] / side->unit;
        slice->over[slice->side_count] = price * over;
        slice->over_slope[slice->side_count] = price * slope;
        slice->side[slice->side_count] = s;
        slice->elastic[slice->side_count++] = side->elastic;
    }
    return *lo <= *hi;
}

/* The parts of the objective at the entry's final deltas. */
static void break_down(const ProgModel *model, ProgEntry *entry) {
    const Programme *in = model->in;
    double sums[PROG_FEATURES_MAX], over[PROG_CLASSES_MAX] = {0};
    prog_sums(model, entry, sums);
    entry->cost = entry->deviation = entry->penalty = entry->distance = 0;
    for (size_t g = 0; g < in->group_count; g++) {
        const ProgColumn *column = &in->groups[g].columns[entry->column[g]];
        entry->cost += column->cost + entry->delta[g] * column->cost_slope;
    }
    for (size_t t = 0; t < in->target_count; t++) {
        const ProgTarget *target = &in->targets[t];
        double off = fabs(target->base - target->centre + sums[target->feature]);
        double price = target->weight / target->unit;
        entry->distance += price * off;
        entry->deviation += price * fmax(0, off - target->dead);
    }
    for (size_t s = 0; s < model->side_count; s++) {
        const ProgSide *side = &model->side[s];
        if (side->elastic != PROG_NONE)
            over[side->elastic] =
                fmax(over[side->elastic], prog_side_over(side, sums) / side->unit);
    }
    for (size_t c = 0; c < in->class_count; c++)
        entry->penalty += in->class_weight[c] * over[c];
    entry->objective = entry->cost + entry->deviation + entry->penalty;
}

static bool hard_sides_hold(const ProgModel *model, const ProgEntry *entry, double slack_factor) {
    double sums[PROG_FEATURES_MAX];
    prog_sums(model, entry, sums);
    for (size_t s = 0; s < model->side_count; s++) {
        const ProgSide *side = &model->side[s];
        if (side->elastic == PROG_NONE && prog_side_over(side, sums) > slack_factor * side->slack)
            return false;
    }
    return true;
}

static bool value_many(const ProgModel *model, ProgGuard *guard, double limit, ProgEntry *entry) {
    /* GLPK keeps its rows to 1e-7, so hard rows are held to that here. */
    const double slack_factor = 100;
    double nearest[PROG_GROUPS_MAX];
    if (!prog_value_many(model, guard, entry, nearest) ||
        !hard_sides_hold(model, entry, slack_factor))
        return false;
    break_down(model, entry);
    ProgEntry other = *entry;
    memcpy(other.delta, nearest, model->in->group_count * sizeof *nearest);
    break_down(model, &other);
    if (other.objective <= entry->objective + 0.1 * PROG_EQUAL &&
        hard_sides_hold(model, &other, slack_factor))
        *entry = other;
    return entry->objective <= limit;
}

/* A rig's sums with all plates as they are bought, and the last of its plates. */
typedef struct Unfiled {
    double sums[PROG_FEATURES_MAX], cost;
    const ProgColumn *plate; /* NULL without one */
    size_t group, plates;
} Unfiled;

static void sum_unfiled(const Programme *in, const size_t *column, Unfiled *rig) {
    *rig = (Unfiled){.plates = 0};
    for (size_t g = 0; g < in->group_count; g++) {
        const ProgColumn *chosen = &in->groups[g].columns[column[g]];
        for (size_t k = 0; k < in->feature_count; k++)
            rig->sums[k] += chosen->f[k];
        rig->cost += chosen->cost;
        if (chosen->range > 0) {
            rig->plate = chosen;
            rig->group = g;
            rig->plates++;
        }
    }
}

/* The slice of a rig with at most one plate, over the deltas that hard sides leave. */
static bool slice_of_rig(const ProgModel *model, const Unfiled *rig, Slice *slice, double *lo,
                         double *hi) {
    const ProgColumn *plate = rig->plate;
    slice->cost = rig->cost;
    slice->cost_slope = plate != NULL ? plate->cost_slope : 0;
    *lo = 0;
    *hi = plate != NULL ? plate->range : 0;
    return slice_fill(model, rig->sums, plate != NULL ? plate->g : NULL, slice, lo, hi);
}

bool prog_value(const ProgModel *model, ProgGuard *guard, double limit, ProgEntry *entry) {
    Unfiled rig;
    sum_unfiled(model->in, entry->column, &rig);
    for (size_t g = 0; g < model->in->group_count; g++)
        entry->delta[g] = 0;
    if (rig.plates > 1)
        return value_many(model, guard, limit, entry);
    Slice slice;
    double lo, hi, slope;
    if (!slice_of_rig(model, &rig, &slice, &lo, &hi))
        return false;
    double x = slice_least(&slice, lo, hi);
    if (slice_at(&slice, x, &slope) > limit)
        return false;
    if (rig.plate != NULL)
        entry->delta[rig.group] = slice_best(&slice, lo, hi);
    break_down(model, entry);
    return entry->objective <= limit;
}

/* ---- the prices that a rig pays ---- */

/* Two pieces of a slice meet where they are equal to this. */
#define MEET 1e-9

/* What each target charges on the piece that begins at x (way 1) or ends there (way -1). Returns
 * the sum of their slopes. */
static double charge_targets(const ProgModel *model, const Slice *slice, double x, double way,
                             ProgPrices *prices) {
    double rise = 0;
    for (size_t t = 0; t < slice->target_count; t++) {
        const ProgTarget *target = &model->in->targets[t];
        double off = slice->off[t] + x * slice->off_slope[t], slope = slice->off_slope[t];
        double over = fabs(off) - slice->dead[t];
        bool meets = fabs(over) <= MEET, centre = meets && slice->dead[t] <= MEET;
        double sign = (centre ? way * slope : off) > 0 ? 1 : -1;
        if (meets ? !(way * sign * slope > 0) : over < 0)
            continue;
        prices->target[t] = sign * target->weight / target->unit;
        rise += sign * slope;
    }
    return rise;
}

/* The same for the sides: a class charges for its worst, of equals for the one that matters next.
 */
static double charge_sides(const ProgModel *model, const Slice *slice, double x, double way,
                           ProgPrices *prices) {
    double rise = 0;
    for (size_t c = 0; c < slice->class_count; c++) {
        double most = 0, slope = 0;
        size_t worst = PROG_NONE;
        for (size_t i = 0; i < slice->side_count; i++) {
            double over = slice->over[i] + x * slice->over_slope[i];
            bool steeper = way * slice->over_slope[i] > way * slope;
            if (slice->elastic[i] != c || over < most - MEET || (over <= most + MEET && !steeper))
                continue;
            most = fmax(most, over);
            slope = slice->over_slope[i];
            worst = slice->side[i];
        }
        if (worst != PROG_NONE)
            prices->side[worst] = model->in->class_weight[c] / model->side[worst].unit;
        rise += slope;
    }
    return rise;
}

static double piece_prices(const ProgModel *model, const Slice *slice, double x, double way,
                           ProgPrices *prices) {
    *prices = (ProgPrices){0};
    return slice->cost_slope + charge_targets(model, slice, x, way, prices) +
           charge_sides(model, slice, x, way, prices);
}

static void mix_prices(const ProgPrices *a, const ProgPrices *b, double share, ProgPrices *out) {
    for (size_t s = 0; s < PROG_SIDES_MAX; s++)
        out->side[s] = (1 - share) * a->side[s] + share * b->side[s];
    for (size_t t = 0; t < PROG_TARGETS_MAX; t++)
        out->target[t] = (1 - share) * a->target[t] + share * b->target[t];
}

bool prog_value_prices(const ProgModel *model, const size_t *column, ProgPrices *prices) {
    Unfiled rig;
    sum_unfiled(model->in, column, &rig);
    Slice slice;
    double lo, hi;
    if (rig.plates > 1 || !slice_of_rig(model, &rig, &slice, &lo, &hi))
        return false;
    double x = slice_least(&slice, lo, hi);
    ProgPrices before, after;
    double falls = piece_prices(model, &slice, x, -1, &before);
    double rises = piece_prices(model, &slice, x, 1, &after);
    if (x <= lo)
        *prices = after;
    else if (x >= hi || !(falls < rises))
        *prices = before;
    else /* at a corner: so that filing costs nothing and saves nothing */
        mix_prices(&before, &after, fmin(fmax(falls / (falls - rises), 0), 1), prices);
    return true;
}
