/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings on the line to corrections of the model: least squares about what build and model allow
 * (Gauss and Newton's steps, damped after Levenberg and Marquardt). */
#include "ballastry/tow_learn.h"
#include "tow/sample.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* What no reading's own give holds, for the model leaves it out: the line's drag and the wobble.
 * One standard deviation: shares of depth, pull, speed; radians. With what the model's factors make
 * (some 0.11 of a depth or pull, 1.7 degrees, 0.08 of a speed) it is what a forecast is told by at
 * the least (tow_range.h): of 100 readings 90 within a third, 5 degrees, a factor of 1.5. A lesson
 * that doubted the model less than the forecast does would call fair readings contradictions. */
static const double left_out[BLY_TOW_READ_KINDS] = {0.17, 0.17, 0.044, 0.23};
static const double unlikely = 3e-3;

enum { FREE_MOST = BLY_INPUTS_MAX + BLY_TOW_FACTORS, TRIES = 40 };

/* All that may move, each a standard normal number: inputs of the build, then the model's. */
typedef struct Lesson {
    const BlyBuild *build;
    const BlyTowReading *readings;
    size_t count, input_count, free;
    BlyInput inputs[BLY_INPUTS_MAX];
    double ties[BLY_INPUTS_MAX * BLY_INPUTS_MAX];
    bool tied;
    double middle[BLY_TOW_FACTORS], spread[BLY_TOW_FACTORS]; /* the model's, one s. d. */
    double mix[BLY_TOW_LEARNT][BLY_TOW_LEARNT]; /* Cholesky factor of what was learnt before */
} Lesson;

const char *bly_tow_read_words(BlyTowReadKind kind) {
    static const char *const words[BLY_TOW_READ_KINDS] = {"trolled depth", "pull", "attitude",
                                                          "draws under from"};
    return words[kind];
}

double bly_tow_read_give(BlyTowReadKind kind, double value) {
    switch (kind) {
    case BLY_TOW_READ_DEPTH:
        return 0.1 * fabs(value) + 0.1;
    case BLY_TOW_READ_PULL:
        return 0.1 * fabs(value) + 0.02;
    case BLY_TOW_READ_NOSE:
        return 4 * M_PI / 180;
    default:
        return 0.2 * fabs(value);
    }
}

const char *bly_tow_learnt_key(int correction) {
    return build_tow_factor_key(correction);
}

static bool sound(const BlyTowReading *reading, size_t index, BlyError *err) {
    static const double low[] = {0, 0, -80 * M_PI / 180, BLY_TOW_SLOWEST},
                        high[] = {100, 100, 80 * M_PI / 180, BLY_TOW_FASTEST};
    char where[BLY_WHERE_MAX];
    (void)snprintf(where, sizeof where, "reading %zu", index + 1);
    bool good = reading->kind < BLY_TOW_READ_KINDS && reading->value.value >= low[reading->kind] &&
                reading->value.value <= high[reading->kind] && reading->value.give > 0;
    return good || bly_fail(err, BLY_E_RANGE, where, "%g is out of range", reading->value.value);
}

static void set_model(Lesson *l) {
    const BuildTowLearnt *learnt = &l->build->tow_learnt;
    BlyTowModel model = bly_tow_model(l->build);
    for (int i = 0; i < BLY_TOW_FACTORS; i++) {
        double low, high;
        bly_tow_bounds((BlyTowFactor)i, &low, &high);
        l->middle[i] = model.by[i];
        l->spread[i] = (high - low) / sqrt(12); /* any value as likely as another */
    }
    const double *r = learnt->r;
    double b = sqrt(fmax(1 - r[0] * r[0], 1e-12)), c = (r[2] - r[1] * r[0]) / b;
    const double mix[3][3] = {
        {1, 0, 0}, {r[0], b, 0}, {r[1], c, sqrt(fmax(1 - r[1] * r[1] - c * c, 0))}};
    memcpy(l->mix, mix, sizeof mix);
    for (int i = 0; i < BLY_TOW_LEARNT; i++) {
        if (learnt->by[i].give > 0)
            l->spread[tow_taught_factor(i)] = learnt->by[i].give / 1.96;
    }
}

static BlyTowModel model_at(const Lesson *l, const double *z) {
    static const double least[BLY_TOW_FACTORS] = {0, 0.1, -0.4, 0, 0.1, 0.2, 0.1},
                        most[BLY_TOW_FACTORS] = {1, 4, 0.4, 3, 3, 8, 4};
    BlyTowModel model;
    double u[BLY_TOW_FACTORS];
    memcpy(u, z + l->input_count, sizeof u);
    for (int i = BLY_TOW_LEARNT - 1; i >= 0; i--) {
        double sum = 0;
        for (int k = 0; k <= i; k++)
            sum += l->mix[i][k] * z[l->input_count + (size_t)tow_taught_factor(k)];
        u[tow_taught_factor(i)] = sum;
    }
    for (int i = 0; i < BLY_TOW_FACTORS; i++)
        model.by[i] = fmin(fmax(l->middle[i] + l->spread[i] * u[i], least[i]), most[i]);
    return model;
}

/* Below 0 where the line does not get under: so that there is a way down to it. */
static double depth_of(const BlyTowRun *run, const BlyTowLine *line) {
    double over = line->length * sin(run->rise) - line->rod;
    return run->line.depth > 0 ? run->line.depth : fmin(over, 0);
}

static bool read_off(const BlyTow *tow, const BlyTowModel *model, const BlyTowReading *reading,
                     double *out, BlyError *err) {
    BlyTowRun run;
    if (reading->kind == BLY_TOW_READ_UNDER) {
        *out = fmin(bly_tow_draws_under(tow, model), 2 * BLY_TOW_FASTEST);
        return true;
    }
    if (!bly_tow_run(tow, model, reading->speed, &reading->line, &run, err))
        return false;
    if (run.state == BLY_TOW_NOWHERE)
        return bly_fail(err, BLY_E_CONFLICT, "/seats",
                        "the lure finds no way to run at that speed: nothing to compare with");
    *out = reading->kind == BLY_TOW_READ_DEPTH  ? depth_of(&run, &reading->line)
           : reading->kind == BLY_TOW_READ_PULL ? run.line.tension
                                                : run.nose_down;
    return true;
}

static bool predict(const Lesson *l, const double *z, double *out, BlyError *err) {
    double u[BLY_INPUTS_MAX];
    UncertainCase set = {l->build, &l->build->fitted, l->inputs, l->input_count, &l->build->blank};
    MovedLure moved;
    BlyWater water;
    BlyVec3 tie;
    BlyTow *tow = NULL;
    BlyTowModel model = model_at(l, z);
    memcpy(u, z, l->input_count * sizeof *u);
    if (l->tied)
        uncertain_tie(l->ties, l->input_count, u);
    bool good =
        moved_lure_about(&set, u, &moved, err) &&
        uncertain_water(&set, &l->build->water, u, &water, err) &&
        bly_tow_tie(&moved.lure, moved.build.seats, l->build->seat_count, &moved.rig, &tie, err) &&
        bly_tow_make(&moved.lure, tie, &water, &tow, err);
    for (size_t i = 0; good && i < l->count; i++)
        good = read_off(tow, &model, &l->readings[i], &out[i], err);
    bly_tow_free(tow);
    moved_lure_release(&moved);
    return good;
}

static double doubt_of(const BlyTowReading *reading) {
    double own = reading->value.give / 1.96;
    double share = reading->kind == BLY_TOW_READ_NOSE ? 1 : fabs(reading->value.value);
    return hypot(own, left_out[reading->kind] * share);
}

static double sum_of(const Lesson *l, const double *z, const double *said) {
    double sum = 0;
    for (size_t i = 0; i < l->free; i++)
        sum += z[i] * z[i];
    for (size_t i = 0; i < l->count; i++)
        sum += gsl_pow_2((l->readings[i].value.value - said[i]) / doubt_of(&l->readings[i]));
    return sum;
}

/* Slopes of the readings in their doubts: count rows of `free`. */
static bool slopes(const Lesson *l, const double *z, const double *said, double *out,
                   BlyError *err) {
    const double step = 0.1;
    double moved[FREE_MOST], there[BLY_TOW_READINGS_MAX];
    memcpy(moved, z, l->free * sizeof *moved);
    for (size_t k = 0; k < l->free; k++) {
        moved[k] = z[k] + step;
        if (!predict(l, moved, there, err))
            return false;
        for (size_t i = 0; i < l->count; i++)
            out[i * l->free + k] = (there[i] - said[i]) / step / doubt_of(&l->readings[i]);
        moved[k] = z[k];
    }
    return true;
}

/* 1 + damping + G'G, as its Cholesky factor. */
static bool normal_matrix(const Lesson *l, const double *g, double damping, gsl_matrix *out,
                          BlyError *err) {
    for (size_t a = 0; a < l->free; a++) {
        for (size_t b = 0; b < l->free; b++) {
            double sum = a == b ? 1 + damping : 0;
            for (size_t i = 0; i < l->count; i++)
                sum += g[i * l->free + a] * g[i * l->free + b];
            gsl_matrix_set(out, a, b, sum);
        }
    }
    return gsl_linalg_cholesky_decomp1(out) == 0 ||
           bly_fail(err, BLY_E_INTERNAL, NULL, "the readings' equations have no solution");
}

/* Room for one search. */
typedef struct Search {
    double z[FREE_MOST], said[BLY_TOW_READINGS_MAX], sum;
    double *g;          /* owned: slopes */
    gsl_matrix *matrix; /* owned */
} Search;

static bool step_from(const Lesson *l, Search *s, double damping, double *next, BlyError *err) {
    double right[FREE_MOST];
    for (size_t k = 0; k < l->free; k++) {
        right[k] = -s->z[k];
        for (size_t i = 0; i < l->count; i++)
            right[k] += s->g[i * l->free + k] * (l->readings[i].value.value - s->said[i]) /
                        doubt_of(&l->readings[i]);
    }
    gsl_vector_view x = gsl_vector_view_array(right, l->free);
    if (!normal_matrix(l, s->g, damping, s->matrix, err))
        return false;
    (void)gsl_linalg_cholesky_svx(s->matrix, &x.vector);
    for (size_t k = 0; k < l->free; k++)
        next[k] = s->z[k] + right[k];
    return true;
}

static bool search(const Lesson *l, Search *s, BlyError *err) {
    double damping = 0, next[FREE_MOST], said[BLY_TOW_READINGS_MAX];
    bool fresh = false;
    for (int i = 0; i < TRIES; i++) {
        if (!fresh && !slopes(l, s->z, s->said, s->g, err))
            return false;
        fresh = true;
        if (!step_from(l, s, damping, next, err) || !predict(l, next, said, err))
            return false;
        double sum = sum_of(l, next, said), fell = s->sum - sum;
        if (!(fell > 0)) {
            if (damping > 1e6 || fell > -1e-9 * (1 + s->sum))
                break;
            damping = damping > 0 ? 4 * damping : 1;
            continue;
        }
        memcpy(s->z, next, sizeof next);
        memcpy(s->said, said, sizeof said);
        s->sum = sum;
        damping = damping > 0.05 ? damping / 4 : 0;
        fresh = false;
        if (fell < 1e-6 * (1 + sum))
            break;
    }
    return slopes(l, s->z, s->said, s->g, err) && normal_matrix(l, s->g, 0, s->matrix, err) &&
           (gsl_linalg_cholesky_invert(s->matrix) == 0 ||
            bly_fail(err, BLY_E_INTERNAL, NULL, "the readings' equations have no solution"));
}

/* Covariance of two of the three as corrected, over their spreads. */
static double covariance(const Lesson *l, const gsl_matrix *c, int a, int b) {
    double sum = 0;
    for (int i = 0; i <= a; i++) {
        for (int k = 0; k <= b; k++)
            sum += l->mix[a][i] * l->mix[b][k] *
                   gsl_matrix_get(c, l->input_count + (size_t)tow_taught_factor(i),
                                  l->input_count + (size_t)tow_taught_factor(k));
    }
    return sum;
}

static void conclude(const Lesson *l, const Search *s, BlyTowLesson *out) {
    static const int pairs[3][2] = {{1, 0}, {2, 0}, {2, 1}};
    BlyTowModel model = model_at(l, s->z);
    double left[BLY_TOW_LEARNT];
    memcpy(out->after, s->said, sizeof out->after);
    out->chi_square = s->sum;
    out->chance = gsl_cdf_chisq_Q(s->sum, (double)l->count);
    out->contradiction = out->chance < unlikely;
    for (int i = 0; i < BLY_TOW_LEARNT; i++) {
        BlyTowFactor factor = tow_taught_factor(i);
        double low, high, spread = l->spread[factor];
        bly_tow_bounds(factor, &low, &high);
        left[i] = covariance(l, s->matrix, i, i);
        out->corrections[i] =
            (BlyTowCorrection){.factor = factor,
                               .before = {l->middle[factor], 1.96 * spread},
                               .after = {model.by[factor], 1.96 * spread * sqrt(left[i])},
                               .learnt = fmin(fmax(1 - left[i], 0), 1),
                               .beyond = model.by[factor] < low || model.by[factor] > high};
    }
    for (int p = 0; p < 3; p++)
        out->together[p] = covariance(l, s->matrix, pairs[p][0], pairs[p][1]) /
                           sqrt(left[pairs[p][0]] * left[pairs[p][1]]);
}

static bool learn(Lesson *l, Search *s, BlyTowLesson *out, BlyError *err) {
    const BlyBuild *build = l->build;
    if (!bly_inputs_list(build, &build->fitted, &build->water, l->inputs, &l->input_count, err) ||
        !uncertain_ties(build, l->inputs, l->input_count, l->ties, &l->tied, err))
        return false;
    l->free = l->input_count + BLY_TOW_FACTORS;
    set_model(l);
    s->g = calloc(l->count * l->free + 1, sizeof *s->g);
    s->matrix = gsl_matrix_calloc(l->free, l->free);
    if (!s->g || !s->matrix)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the readings");
    if (!predict(l, s->z, s->said, err))
        return false;
    memcpy(out->before, s->said, sizeof out->before);
    s->sum = sum_of(l, s->z, s->said);
    if (!search(l, s, err))
        return false;
    conclude(l, s, out);
    return true;
}

bool bly_tow_learn(const BlyBuild *build, const BlyTowReading *readings, size_t count,
                   BlyTowLesson *out, BlyError *err) {
    *out = (BlyTowLesson){.count = count};
    if (count < 1 || count > BLY_TOW_READINGS_MAX)
        return bly_fail(err, BLY_E_RANGE, NULL, "got %zu readings, expected 1 to %d", count,
                        BLY_TOW_READINGS_MAX);
    for (size_t i = 0; i < count; i++) {
        if (!sound(&readings[i], i, err))
            return false;
    }
    Lesson *lesson = calloc(1, sizeof *lesson);
    Search *room = calloc(1, sizeof *room);
    bool good = (lesson && room) || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the readings");
    if (good) {
        lesson->build = build;
        lesson->readings = readings;
        lesson->count = count;
        good = learn(lesson, room, out, err);
    }
    if (room) {
        free(room->g);
        gsl_matrix_free(room->matrix);
    }
    free(room);
    free(lesson);
    return good;
}
