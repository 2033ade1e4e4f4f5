/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings in, a corrected build out. */
#include "tank/forecast.h"
#include "tank/taught.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Widest that a lure's reading can be, also in words, and the give of common tools: docs/tank.md.
 */
static const struct {
    const char *words, *range;
    double low, high, give;
} kinds[BLY_READ_KINDS] = {
    [BLY_READ_SCALE] = {"scale", "0.001 g to 50 kg", 1e-6, 50.0, 0.02e-3},
    [BLY_READ_IN_WATER] = {"weight in water", "-50 to 50 kg", -50.0, 50.0, 0.02e-3},
    [BLY_READ_DRIFT] = {"drift", "10 m/s at most", -10.0, 10.0, NAN},
    [BLY_READ_TILT] = {"tilt", "-180 to 180 deg", -M_PI, M_PI, 2.0 * M_PI / 180.0},
    [BLY_READ_TILT_AFLOAT] = {"tilt afloat", "-180 to 180 deg", -M_PI, M_PI, 2.0 * M_PI / 180.0},
    [BLY_READ_SHOWS] = {"shows", "0 to 100 %", 0.0, 1.0, 0.015},
    [BLY_READ_BALANCE] = {"balance point", "-5 to 5 m", -5.0, 5.0, 0.5e-3},
};

const char *bly_reading_words(BlyReadingKind kind) {
    return (unsigned)kind < BLY_READ_KINDS ? kinds[kind].words : "";
}

double bly_reading_give(BlyReadingKind kind) {
    return (unsigned)kind < BLY_READ_KINDS ? kinds[kind].give : NAN;
}

BlyFigure bly_reading_drift(BlyFigure depth, BlyFigure seconds, bool sinks) {
    static const double never_still = 0.5e-3; /* m/s, water that has stood: from memory */
    double speed = depth.value / seconds.value;
    double give = speed * hypot(depth.give / depth.value, seconds.give / seconds.value);
    give = hypot(give, never_still);
    return (BlyFigure){sinks ? speed : -speed, give};
}

const char *bly_learn_words(BlyLearnKind kind) {
    static const char *const words[BLY_LEARN_KINDS] = {
        [BLY_LEARN_DENSITY] = "body density",
        [BLY_LEARN_MASS] = "body mass as weighed",
        [BLY_LEARN_VOLUME] = "volume factor",
        [BLY_LEARN_BALANCE] = "balance point",
        [BLY_LEARN_BALANCE_UP] = "height of balance",
        [BLY_LEARN_COAT] = "coat thickness",
        [BLY_LEARN_COAT_DENSITY] = "coat density",
        [BLY_LEARN_INSET_DENSITY] = "density of a piece",
        [BLY_LEARN_INSET_MASS] = "mass of a piece",
        [BLY_LEARN_SOAK] = "water taken up",
        [BLY_LEARN_EXPANSION] = "expansion",
        [BLY_LEARN_DRAG] = "drag factor",
        [BLY_LEARN_MUNK] = "Munk factor",
        [BLY_LEARN_PIECE] = "mass of part",
        [BLY_LEARN_TEMPERATURE] = "tank temperature",
        [BLY_LEARN_SALINITY] = "tank salinity",
    };
    return (unsigned)kind < BLY_LEARN_KINDS ? words[kind] : "";
}

BlyPartKind bly_tank_lacks(const BlyBuild *build, size_t seat) {
    static const BlyPartKind main_part[BLY_SEAT_KINDS] = {[BLY_SEAT_TIE] = BLY_PART_EYE,
                                                          [BLY_SEAT_HANGER] = BLY_PART_HOOK,
                                                          [BLY_SEAT_SLOT] = BLY_PART_SHEET,
                                                          [BLY_SEAT_PATCH] = BLY_PART_KINDS};
    const BlySeat *at = &build->seats[seat];
    BlyPartKind part = main_part[at->kind];
    bool open = part != BLY_PART_KINDS && (at->open & (1u << part)) && !at->may_stay_empty;
    return open && !build->fitted.at[seat].of[part].part ? part : BLY_PART_KINDS;
}

static bool check_readings(const BlyReading *readings, size_t count, BlyError *err) {
    char where[32];
    if (count > BLY_READINGS_MAX)
        return bly_fail(err, BLY_E_RANGE, NULL, "%zu readings; at most %d", count,
                        BLY_READINGS_MAX);
    for (size_t i = 0; i < count; i++) {
        const BlyReading *r = &readings[i];
        (void)snprintf(where, sizeof where, "reading %zu", i + 1);
        if ((unsigned)r->kind >= BLY_READ_KINDS || (unsigned)r->stage >= BLY_STAGES)
            return bly_fail(err, BLY_E_INTERNAL, where, "of a kind or stage that does not exist");
        if (!(r->value.value >= kinds[r->kind].low && r->value.value <= kinds[r->kind].high))
            return bly_fail(err, BLY_E_RANGE, where, "no lure reads so; expected %s",
                            kinds[r->kind].range);
        if (!(r->value.give > 0.0) || !isfinite(r->value.give))
            return bly_fail(err, BLY_E_RANGE, where, "a reading has a tolerance above 0");
    }
    return true;
}

bool bly_tank_unfinished(const BlyBuild *build, char *out, size_t room) {
    bool found = false;
    size_t length = 0;
    if (room > 0 && out != NULL)
        out[0] = '\0';
    for (size_t i = 0; i < build->seat_count; i++) {
        char one[128];
        BlyPartKind part = bly_tank_lacks(build, i);
        if (part == BLY_PART_KINDS)
            continue;
        int more =
            snprintf(one, sizeof one, "%s%.60s has no %s",
                     found ? ", " : "unfinished: ", build->seats[i].name, bly_part_kind_name(part));
        found = true;
        if (more > 0 && length + (size_t)more < room)
            length += (size_t)snprintf(out + length, room - length, "%s", one);
        else
            room = 0;
    }
    return found;
}

/* What the build as it is says of each reading. */
static bool say_before(Squares *s, const double *z, BlyTaught *taught, BlyError *err) {
    double *said = calloc(s->count + 1, sizeof *said);
    bool good = said != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the readings");
    good = good && forward_read(s->forward, z, LOOK_AFRESH, s->probes, s->count, said, err);
    for (size_t i = 0; good && i < s->count; i++) {
        char where[32];
        (void)snprintf(where, sizeof where, "reading %zu", i + 1);
        taught[i].before = said[i];
        if (!isfinite(said[i]))
            good = bly_fail(err, BLY_E_CONFLICT, where,
                            "by the build as it is the lure has no tilt of its own then%s",
                            bly_tank_unfinished(s->forward->build, NULL, 0)
                                ? "; seats are empty yet: fit or swap them first"
                                : "");
    }
    free(said);
    return good;
}

static void drifts_back(const Squares *s, BlyTaught *taught) {
    for (size_t i = 0; i < s->count; i++) {
        if (s->probes[i].kind != BLY_READ_DRIFT)
            continue;
        taught[i].before = drift_from_square(taught[i].before);
        taught[i].after = drift_from_square(taught[i].after);
        taught[i].expected = drift_from_square(taught[i].expected);
    }
}

/* Variance of a quantity, and before any reading. */
static double variance_of(const Quantity *quantity, const double *covariance, size_t parameters,
                          double *before) {
    double sum = *before = 0.0;
    for (size_t i = 0; i < quantity->pull_count; i++) {
        const Pull *a = &quantity->pull[i];
        *before += a->sigma * a->sigma;
        for (size_t j = 0; j < quantity->pull_count; j++) {
            const Pull *b = &quantity->pull[j];
            sum += a->sigma * b->sigma * covariance[a->parameter * parameters + b->parameter];
        }
    }
    return sum;
}

static void correct(const Quantities *quantities, const Solution *solution, BlyCorrection *out) {
    for (size_t q = 0; q < quantities->count; q++) {
        const Quantity *quantity = &quantities->at[q];
        double before, variance = variance_of(quantity, solution->covariance,
                                              quantities->parameter_count, &before);
        out[q] = (BlyCorrection){
            .kind = quantity->kind,
            .index = quantity->index,
            .part = quantity->part,
            .before = quantity->prior,
            .after = {quantity_value(quantity, solution->z), BLY_SIGMAS_95 * sqrt(variance)},
            .learnt = fmax(1.0 - variance / before, 0.0)};
    }
}

/* Slopes of a figure by the parameters, as the file will hold it. */
static bool row_of(Forward *m, const double *z, const Quantity *quantity, double *row,
                   BlyError *err) {
    const Probe bare = {BLY_READ_SCALE, BLY_STAGE_BLANK, true};
    if (quantity->kind == BLY_LEARN_DENSITY)
        return forward_slopes(m, z, NULL, &bare, 1, row, err);
    for (size_t i = 0; i < quantity->pull_count; i++)
        row[quantity->pull[i].parameter] = quantity->pull[i].sigma;
    return true;
}

static double product(const double *a, const double *covariance, const double *b, size_t n) {
    double sum = 0.0;
    for (size_t i = 0; i < n; i++) {
        for (size_t j = 0; a[i] != 0.0 && j < n; j++)
            sum += a[i] * covariance[i * n + j] * b[j];
    }
    return sum;
}

static void to_correlations(double *matrix, size_t count) {
    for (size_t a = 0; a < count; a++) {
        for (size_t b = 0; b < a; b++) {
            double both = sqrt(matrix[a * count + a] * matrix[b * count + b]);
            matrix[b * count + a] = matrix[a * count + b] /= both;
        }
    }
    for (size_t a = 0; a < count; a++)
        matrix[a * count + a] = 1.0;
}

static bool find_together(Forward *m, const Solution *solution, double *out, BlyError *err) {
    size_t count = m->quantities->count, n = m->parameter_count;
    double *rows = calloc(count * n + 1, sizeof *rows);
    bool good = rows != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the correlations");
    for (size_t q = 0; good && q < count; q++)
        good = row_of(m, solution->z, &m->quantities->at[q], rows + q * n, err);
    for (size_t a = 0; good && a < count; a++) {
        for (size_t b = 0; b <= a; b++)
            out[a * count + b] = product(rows + a * n, solution->covariance, rows + b * n, n);
    }
    if (good)
        to_correlations(out, count);
    free(rows);
    return good;
}

static bool keep(const Solution *solution, size_t count, BlyTankResult *out, BlyError *err) {
    out->parameter_count = count;
    out->parameters = calloc(count * (count + 1) + 1, sizeof *out->parameters);
    if (!out->parameters)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the corrections");
    memcpy(out->parameters, solution->z, count * sizeof *out->parameters);
    memcpy(out->parameters + count, solution->covariance, count * count * sizeof *out->parameters);
    return true;
}

static bool learn(Forward *m, const BlyReading *readings, size_t count, BlyTankResult *out,
                  BlyError *err) {
    Squares s = {0};
    Solution solution = {0};
    bool good = squares_begin(&s, m, readings, count, err) && solution_begin(&solution, &s, err) &&
                say_before(&s, solution.z, out->taught, err) &&
                forecast_body_mass(m, solution.z, NULL, &out->body_mass_before, err) &&
                squares_find_active(&s, solution.z, err) && solution_find(&solution, &s, err);
    out->settled = s.settled;
    good = good && taught_find(&solution, &s, out->taught, err) &&
           forecast_body_mass(m, solution.z, solution.covariance, &out->body_mass, err) &&
           find_together(m, &solution, out->together, err) &&
           keep(&solution, m->parameter_count, out, err);
    if (good) {
        out->chi_square = solution_chi_square(&solution, &s);
        out->chance = count > 0 ? gsl_cdf_chisq_Q(out->chi_square, (double)count) : 1.0;
        for (size_t i = 0; i < count; i++) {
            out->taught[i].after = solution.predicted[i];
            out->contradiction = out->contradiction || out->taught[i].contradicts;
        }
        drifts_back(&s, out->taught);
        correct(m->quantities, &solution, out->corrections);
    }
    solution_end(&solution);
    squares_end(&s);
    return good;
}

bool bly_tank_learn(const BlyBuild *build, const BlyReading *readings, size_t count,
                    const BlyWaterFacts *water, BlyTankResult *out, BlyError *err) {
    Quantities quantities = {0};
    Forward forward = {0};
    *out = (BlyTankResult){.reading_count = count};
    bool good =
        check_readings(readings, count, err) && quantities_of(build, water, &quantities, err);
    if (good) {
        out->correction_count = quantities.count;
        out->taught = calloc(count + 1, sizeof *out->taught);
        out->corrections = calloc(quantities.count + 1, sizeof *out->corrections);
        out->together = calloc(quantities.count * quantities.count + 1, sizeof *out->together);
        good = (out->taught && out->corrections && out->together) ||
               bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the corrections");
    }
    good = good && forward_begin(&forward, build, water, &quantities, err) &&
           learn(&forward, readings, count, out, err);
    forward_end(&forward);
    free(quantities.at);
    if (!good)
        bly_tank_release(out);
    return good;
}

bool bly_tank_forecast(const BlyBuild *build, const BlyWaterFacts *water,
                       const BlyTankResult *result, BlyForecast *before, BlyForecast *after,
                       BlyError *err) {
    Quantities quantities = {0};
    Forward forward = {0};
    bool good = quantities_of(build, water, &quantities, err);
    if (good && quantities.parameter_count != result->parameter_count)
        good = bly_fail(err, BLY_E_INTERNAL, NULL, "learnt from another build");
    double *nothing = calloc(quantities.parameter_count + 1, sizeof *nothing);
    if (good && !nothing)
        good = bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the forecast");
    good = good && forward_begin(&forward, build, water, &quantities, err) &&
           forecast_make(&forward, nothing, NULL, before, err) &&
           forecast_make(&forward, result->parameters, result->parameters + result->parameter_count,
                         after, err);
    forward_end(&forward);
    free(nothing);
    free(quantities.at);
    return good;
}

void bly_tank_release(BlyTankResult *result) {
    free(result->parameters);
    free(result->together);
    free(result->taught);
    free(result->corrections);
    *result = (BlyTankResult){0};
}
