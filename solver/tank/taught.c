/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What each reading taught. Formulas, with g a reading's slopes by the parameters and C the
 * covariance, both in standard deviations (docs/tank.md): the weight of a reading is h = g'Cg; by
 * itself it takes (a'g)^2 / (a'a (1 + g'g)) of the variance of a quantity that is a'z; what it
 * misses by against all else, in standard deviations of that difference, is miss / sqrt(1 - h). */
#include "tank/taught.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double too_far = 3.0, told_apart = 4.0; /* sigmas; chi-square */

bool solution_begin(Solution *solution, const Squares *s, BlyError *err) {
    size_t parameters = s->forward->parameter_count;
    solution->z = calloc(parameters + 1, sizeof(double));
    solution->slopes = calloc(s->count * parameters + 1, sizeof(double));
    solution->covariance = calloc(parameters * parameters + 1, sizeof(double));
    solution->predicted = calloc(s->count + 1, sizeof(double));
    if (solution->z && solution->slopes && solution->covariance && solution->predicted)
        return true;
    return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the corrections");
}

void solution_end(Solution *solution) {
    free(solution->z);
    free(solution->slopes);
    free(solution->covariance);
    free(solution->predicted);
    *solution = (Solution){0};
}

bool solution_find(Solution *solution, Squares *s, BlyError *err) {
    memset(solution->z, 0, s->forward->parameter_count * sizeof *solution->z);
    return squares_solve(s, solution->z, err) &&
           forward_try(s->forward, solution->z, LOOK_AFRESH, s->probes, s->count,
                       solution->predicted, err) &&
           squares_slopes(s, solution->z, solution->slopes, err) &&
           squares_covariance(s, solution->slopes, solution->covariance, err);
}

double solution_chi_square(const Solution *solution, const Squares *s) {
    double sum = 0.0;
    for (size_t i = 0; i < s->count; i++) {
        double miss = squares_miss(s, i, solution->predicted[i]);
        sum += s->use[i] ? miss * miss : 0.0;
    }
    for (size_t k = 0; k < s->forward->parameter_count; k++)
        sum += solution->z[k] * solution->z[k];
    return sum;
}

/* Slope of a quantity in z, times a reading's slopes; the quantity's own variance on the way. */
static double along(const Quantity *quantity, const double *row, double *variance) {
    double sum = 0.0;
    *variance = 0.0;
    for (size_t i = 0; i < quantity->pull_count; i++) {
        const Pull *pull = &quantity->pull[i];
        sum += pull->sigma * row[pull->parameter];
        *variance += pull->sigma * pull->sigma;
    }
    return sum;
}

static void by_itself(const double *row, const Quantities *quantities, BlyTaught *taught) {
    double sum = 1.0;
    taught->correction = -1;
    taught->alone = 0.0;
    for (size_t k = 0; k < quantities->parameter_count; k++)
        sum += row[k] * row[k];
    for (size_t q = 0; q < quantities->count; q++) {
        double variance, common = along(&quantities->at[q], row, &variance);
        double share = common * common / (variance * sum);
        if (share > taught->alone + 1e-12) {
            taught->alone = share;
            taught->correction = (int)q;
        }
    }
}

static void linear(const Solution *solution, const Squares *s, BlyTaught *taught) {
    size_t parameters = s->forward->parameter_count;
    for (size_t i = 0; i < s->count; i++) {
        const double *row = solution->slopes + i * parameters;
        double weight = squares_variance(row, solution->covariance, parameters);
        taught[i].weight = fmin(weight, 1.0);
        taught[i].contradiction =
            squares_miss(s, i, solution->predicted[i]) / sqrt(fmax(1.0 - weight, 1e-9));
        taught[i].expected = taught[i].slip = NAN;
        by_itself(row, s->forward->quantities, &taught[i]);
    }
}

/* The furthest that any reading still in use lies off the others. */
static double worst_left(const Solution *without, const Squares *s) {
    size_t parameters = s->forward->parameter_count;
    double worst = 0.0;
    for (size_t i = 0; i < s->count; i++) {
        if (!s->use[i])
            continue;
        double h =
            squares_variance(without->slopes + i * parameters, without->covariance, parameters);
        double miss = squares_miss(s, i, without->predicted[i]) / sqrt(fmax(1.0 - h, 1e-9));
        worst = fmax(worst, fabs(miss));
    }
    return worst;
}

/* Whether the reading, so many times as great, agrees with what is expected without it. `doubt2`:
 * the variance of that in the reading's own. Only told where it is known well enough to tell. */
static bool agrees(const Squares *s, size_t i, double times, double expected, double doubt2) {
    const Probe *probe = &s->probes[i];
    double grow = probe->kind == BLY_READ_DRIFT ? times * fabs(times) : times;
    double would = grow * s->read[i], wide = fmax(fabs(grow), 1.0);
    double doubt = s->sigma[i] * sqrt(wide * wide + doubt2);
    return fabs(probe_difference(probe, would, expected)) <= too_far * doubt &&
           too_far * doubt < fabs(probe_difference(probe, would, s->read[i]));
}

static double find_slip(const Squares *s, size_t i, double expected, double doubt2) {
    static const double slips[] = {10.0, 0.1, -1.0, BLY_OUNCE_IN_G, 1.0 / BLY_OUNCE_IN_G};
    BlyReadingKind kind = s->probes[i].kind;
    bool weighs = kind == BLY_READ_SCALE || kind == BLY_READ_IN_WATER;
    for (size_t k = 0; k < (weighs ? 5u : 3u); k++) {
        if (agrees(s, i, slips[k], expected, doubt2))
            return slips[k];
    }
    return NAN;
}

/* Works the whole anew without one reading: what the others say of it, and whether they agree among
 * themselves. Its covariance then does not know the reading either. */
static bool leave_out(Solution *without, Squares *s, size_t i, BlyTaught *taught, double *chi,
                      bool *settled, BlyError *err) {
    s->use[i] = false;
    bool good = solution_find(without, s, err);
    if (good) {
        size_t parameters = s->forward->parameter_count;
        double h =
            squares_variance(without->slopes + i * parameters, without->covariance, parameters);
        taught->contradiction = squares_miss(s, i, without->predicted[i]) / sqrt(1.0 + h);
        taught->expected = without->predicted[i];
        taught->slip = find_slip(s, i, taught->expected, h);
        *chi = solution_chi_square(without, s);
        *settled = worst_left(without, s) <= too_far;
    }
    s->use[i] = true;
    return good;
}

/* Of the readings that are too far off, those contradict whose absence settles the matter best;
 * several when that cannot be told apart. If no single one settles it, the furthest does. */
static void accuse(BlyTaught *taught, const double *chi, const bool *settled, size_t count) {
    double best = INFINITY, furthest = too_far;
    size_t furthest_at = count;
    for (size_t i = 0; i < count; i++) {
        if (!(fabs(taught[i].contradiction) > too_far))
            continue;
        if (settled[i])
            best = fmin(best, chi[i]);
        if (fabs(taught[i].contradiction) > furthest) {
            furthest = fabs(taught[i].contradiction);
            furthest_at = i;
        }
    }
    for (size_t i = 0; i < count; i++) {
        bool far = fabs(taught[i].contradiction) > too_far;
        taught[i].contradicts =
            far && (isfinite(best) ? settled[i] && chi[i] <= best + told_apart : i == furthest_at);
        if (!taught[i].contradicts)
            taught[i].expected = taught[i].slip = NAN;
    }
}

bool taught_find(const Solution *solution, Squares *s, BlyTaught *taught, BlyError *err) {
    double *chi = calloc(s->count + 1, sizeof *chi);
    bool *settled = calloc(s->count + 1, sizeof *settled);
    Solution without = {0};
    bool good = chi && settled;
    if (!good)
        good = bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the contradictions");
    good = good && solution_begin(&without, s, err);
    if (good)
        linear(solution, s, taught);
    for (size_t i = 0; good && i < s->count; i++) {
        if (fabs(taught[i].contradiction) > too_far)
            good = leave_out(&without, s, i, &taught[i], &chi[i], &settled[i], err);
    }
    if (good)
        accuse(taught, chi, settled, s->count);
    solution_end(&without);
    free(chi);
    free(settled);
    return good;
}
