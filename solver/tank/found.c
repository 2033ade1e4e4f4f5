/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Each finding is a row of slopes by the least squares' parameters, which are independent and
 * standard before any reading: R R' before, R C R' after. */
#include "tank/found.h"
#include "tank/forward.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct Finder {
    const BlyBuild *build;
    Forward *forward;
    const double *z;
    double *rows; /* TANK_FOUND_MOST by parameters */
    TankFounds *out;
    BlyError *err;
} Finder;

void tank_found_release(TankFounds *found) {
    free(found->before);
    free(found->after);
    found->before = found->after = NULL;
}

static double *row_of(Finder *f) {
    return f->rows + f->out->count * f->forward->parameter_count;
}

static void pull_row(const Quantity *quantity, double *row) {
    for (size_t i = 0; i < quantity->pull_count; i++)
        row[quantity->pull[i].parameter] = quantity->pull[i].sigma;
}

/* The density that the scale's figure comes to. */
static bool density_at(Finder *f, const double *z, double *out) {
    const Probe bare = {BLY_READ_SCALE, BLY_STAGE_BLANK, true};
    StageLure stage;
    if (!forward_move(f->forward, z, f->err) || !stage_make(f->forward, &bare, &stage, f->err))
        return false;
    *out = stage.blank.body_density / f->build->filled.value;
    stage_release(&stage);
    return true;
}

static bool weighed_density(Finder *f) {
    static const double step = 0.25;
    size_t n = f->forward->parameter_count;
    double *row = row_of(f), *z = malloc((n + 1) * sizeof *z);
    double low = NAN, high = NAN, middle = NAN;
    bool good = z != NULL || bly_fail(f->err, BLY_E_MEMORY, NULL, "no memory for what was found");
    if (good) {
        memcpy(z, f->z, n * sizeof *z);
        good = density_at(f, z, &middle);
    }
    for (size_t i = 0; good && i < n; i++) {
        z[i] = f->z[i] + step;
        good = density_at(f, z, &high);
        z[i] = f->z[i] - step;
        good = good && density_at(f, z, &low);
        z[i] = f->z[i];
        row[i] = (high - low) / (2.0 * step);
    }
    free(z);
    if (!good)
        return false;
    f->out->at[f->out->count++] = (TankFound){FOUND_DENSITY, -1, {NAN, 0.0}, {middle, 0.0}};
    return true;
}

static void add(Finder *f, const Quantity *quantity, FoundKind kind, bool known, double scale) {
    double *row = row_of(f);
    pull_row(quantity, row);
    for (size_t i = 0; i < f->forward->parameter_count; i++)
        row[i] *= scale;
    f->out->at[f->out->count++] = (TankFound){kind,
                                              quantity->index,
                                              {known ? scale * quantity->prior.value : NAN, 0.0},
                                              {scale * quantity_value(quantity, f->z), 0.0}};
}

static bool take(Finder *f, const Quantity *quantity) {
    const BlyBuild *build = f->build;
    if (f->out->count == TANK_FOUND_MOST)
        return true;
    switch (quantity->kind) {
    case BLY_LEARN_DENSITY:
        add(f, quantity, FOUND_DENSITY, true, 1.0 / build->filled.value);
        break;
    case BLY_LEARN_MASS:
        return weighed_density(f);
    case BLY_LEARN_INSET_DENSITY:
        add(f, quantity, FOUND_PIECE_DENSITY, true, 1.0);
        break;
    case BLY_LEARN_COAT:
        add(f, quantity, FOUND_COAT, true, 1.0);
        break;
    case BLY_LEARN_COAT_DENSITY:
        add(f, quantity, FOUND_COAT_DENSITY, true, 1.0);
        break;
    case BLY_LEARN_DRAG:
        add(f, quantity, FOUND_DRAG, true, 1.0);
        break;
    case BLY_LEARN_PIECE:
        if (quantity->part == BLY_PART_HOOK) {
            const BlyChosenPart *hook = &build->fitted.at[quantity->index].of[BLY_PART_HOOK];
            add(f, quantity, FOUND_HOOK, isnan(hook->weighed.value), 1.0);
        }
        break;
    default:
        break;
    }
    return true;
}

static double product(const double *a, const double *covariance, const double *b, size_t n) {
    double sum = 0.0;
    for (size_t i = 0; i < n; i++) {
        if (covariance == NULL)
            sum += a[i] * b[i];
        for (size_t j = 0; covariance != NULL && a[i] != 0.0 && j < n; j++)
            sum += a[i] * covariance[i * n + j] * b[j];
    }
    return sum;
}

/* As in desk/learnt.c. */
static const double all_but_one = 1.0 - 1e-6;

/* Gives, and correlations a hair towards independence, so that hooks of one id, alike but for
 * themselves, stay such as figures can be. */
static void bind(Finder *f, const double *covariance, double *out) {
    size_t count = f->out->count, n = f->forward->parameter_count;
    for (size_t a = 0; a < count; a++) {
        for (size_t b = 0; b < count; b++)
            out[a * count + b] = product(f->rows + a * n, covariance, f->rows + b * n, n);
    }
    for (size_t a = 0; a < count; a++) {
        TankFound *found = &f->out->at[a];
        double give = BLY_SIGMAS_95 * sqrt(out[a * count + a]);
        if (covariance != NULL)
            found->after.give = give;
        else if (!isnan(found->before.value))
            found->before.give = give;
    }
    for (size_t a = 0; a < count; a++) {
        for (size_t b = 0; b < count; b++) {
            bool known = covariance != NULL ||
                         (!isnan(f->out->at[a].before.value) && !isnan(f->out->at[b].before.value));
            if (a != b)
                out[a * count + b] *=
                    known ? all_but_one / sqrt(out[a * count + a] * out[b * count + b]) : 0.0;
        }
    }
    for (size_t a = 0; a < count; a++)
        out[a * count + a] = 1.0;
}

static bool find(Finder *f, const Quantities *quantities, const double *covariance) {
    for (size_t i = 0; i < quantities->count; i++) {
        if (!take(f, &quantities->at[i]))
            return false;
    }
    size_t count = f->out->count;
    f->out->before = calloc(count * count + 1, sizeof *f->out->before);
    f->out->after = calloc(count * count + 1, sizeof *f->out->after);
    if (f->out->before == NULL || f->out->after == NULL)
        return bly_fail(f->err, BLY_E_MEMORY, NULL, "no memory for what was found");
    bind(f, NULL, f->out->before);
    bind(f, covariance, f->out->after);
    return true;
}

bool tank_found(const BlyBuild *build, const BlyWaterFacts *water, const BlyTankResult *result,
                TankFounds *out, BlyError *err) {
    Quantities quantities = {0};
    Forward forward = {0};
    *out = (TankFounds){0};
    bool good = quantities_of(build, water, &quantities, err);
    if (good && quantities.parameter_count != result->parameter_count)
        good = bly_fail(err, BLY_E_INTERNAL, NULL, "learnt from another build");
    double *rows = calloc(TANK_FOUND_MOST * (quantities.parameter_count + 1), sizeof *rows);
    if (good && rows == NULL)
        good = bly_fail(err, BLY_E_MEMORY, NULL, "no memory for what was found");
    good = good && forward_begin(&forward, build, water, &quantities, err);
    Finder finder = {build, &forward, result->parameters, rows, out, err};
    good = good && find(&finder, &quantities, result->parameters + result->parameter_count);
    forward_end(&forward);
    free(quantities.at);
    free(rows);
    if (!good)
        tank_found_release(out);
    return good;
}
