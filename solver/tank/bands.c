/* SPDX-License-Identifier: GPL-3.0-or-later */
/* 90 % ranges of what is read. The covariance is split into independent ways (the columns of its
 * Cholesky factor); a step of one standard deviation along each gives slope and bend. As a rule the
 * ends are those of the full forward model where first order puts the 5th and the 95th of 100
 * lures; where the bends across that way count, or tell that there is a turning point, the range is
 * counted out of samples. */
#include "tank/bands.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_math.h>
#include <gsl/gsl_qrng.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>
#include <stdlib.h>

enum { SAMPLES = 512, SOBOL_MOST = 40 };
static const double bent = 0.1;   /* of the half-range, by which the bends may move the middle */
static const double curled = 0.3; /* of sigma, by which they may widen it */

typedef struct Bands {
    Forward *forward;
    const double *z;
    const Probe *probes;
    size_t count, parameters;
    double *factor;       /* parameters x parameters, lower: columns are the ways */
    double *slope, *bend; /* count x parameters, along each way */
    double *at;           /* room for one z */
    double middle[BANDS_MAX], up[BANDS_MAX], down[BANDS_MAX];
    Probe counted[BANDS_MAX]; /* to be counted out of samples, and which of the probes each is */
    size_t counted_as[BANDS_MAX], counted_count;
} Bands;

static bool begin(Bands *b, const double *covariance, BlyError *err) {
    size_t n = b->parameters;
    b->factor = calloc(n * n + 1, sizeof(double));
    b->slope = calloc(b->count * n + 1, sizeof(double));
    b->bend = calloc(b->count * n + 1, sizeof(double));
    b->at = calloc(n + 1, sizeof(double));
    if (!b->factor || !b->slope || !b->bend || !b->at)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the ranges");
    for (size_t i = 0; i < n * n; i++)
        b->factor[i] = covariance ? covariance[i] : (i % (n + 1) == 0 ? 1.0 : 0.0);
    if (!covariance || n == 0)
        return true;
    gsl_matrix_view matrix = gsl_matrix_view_array(b->factor, n, n);
    if (gsl_linalg_cholesky_decomp1(&matrix.matrix) != GSL_SUCCESS)
        return bly_fail(err, BLY_E_INTERNAL, NULL, "a covariance that is none");
    for (size_t row = 0; row < n; row++) {
        for (size_t column = row + 1; column < n; column++)
            b->factor[row * n + column] = 0.0;
    }
    return true;
}

static void end(Bands *b) {
    free(b->factor);
    free(b->slope);
    free(b->bend);
    free(b->at);
}

/* Reads at z + sum of u times the ways. */
static bool read_at(Bands *b, const double *u, const Probe *probes, size_t count, double *out,
                    BlyError *err) {
    for (size_t i = 0; i < b->parameters; i++) {
        b->at[i] = b->z[i];
        for (size_t j = 0; j <= i; j++)
            b->at[i] += b->factor[i * b->parameters + j] * u[j];
    }
    return forward_try(b->forward, b->at, LOOK_NEAR, probes, count, out, err);
}

static bool look_along(Bands *b, double *u, BlyError *err) {
    if (!read_at(b, u, b->probes, b->count, b->middle, err))
        return false;
    for (size_t j = 0; j < b->parameters; j++) {
        u[j] = 1.0;
        bool good = read_at(b, u, b->probes, b->count, b->up, err);
        u[j] = -1.0;
        good = good && read_at(b, u, b->probes, b->count, b->down, err);
        u[j] = 0.0;
        if (!good)
            return false;
        for (size_t i = 0; i < b->count; i++) {
            double up = probe_difference(&b->probes[i], b->up[i], b->middle[i]);
            double down = probe_difference(&b->probes[i], b->down[i], b->middle[i]);
            if (!isfinite(up) || !isfinite(down)) { /* no such lure on that side */
                up = isfinite(up) ? up : -down;
                down = -up;
            }
            b->slope[i * b->parameters + j] = 0.5 * (up - down);
            b->bend[i * b->parameters + j] = 0.5 * (up + down);
        }
    }
    return true;
}

/* The ends along the way of steepest change, and whether bends across it count. */
static bool steepest(Bands *b, size_t i, double sigma, double *u, BlyBand90 *out, bool *straight,
                     BlyError *err) {
    const double *slope = b->slope + i * b->parameters, *bend = b->bend + i * b->parameters;
    double ends[2], sum = 0.0, square = 0.0;
    for (int side = 0; side < 2; side++) {
        double step = (side ? BLY_SIGMAS_90 : -BLY_SIGMAS_90) / (sigma > 0.0 ? sigma : 1.0);
        for (size_t j = 0; j < b->parameters; j++)
            u[j] = step * slope[j];
        if (!read_at(b, u, &b->probes[i], 1, &ends[side], err))
            return false;
        ends[side] = probe_difference(&b->probes[i], ends[side], b->middle[i]);
    }
    for (size_t j = 0; j < b->parameters; j++) {
        u[j] = 0.0;
        sum += bend[j];
        square += 2.0 * bend[j] * bend[j];
    }
    double own = 0.5 * (ends[0] + ends[1]) / (BLY_SIGMAS_90 * BLY_SIGMAS_90);
    bool rising = ends[1] >= 0.0 && ends[0] <= 0.0;
    *straight = rising && fabs(sum - own) <= bent * BLY_SIGMAS_90 * sigma &&
                square <= curled * curled * sigma * sigma;
    *out = (BlyBand90){b->middle[i] + ends[0], b->middle[i] + ends[1]};
    return true;
}

/* Standard normal numbers: Sobol's points, beyond their dimensions seeded ones. */
typedef struct Draw {
    gsl_qrng *sobol;
    gsl_rng *random;
    size_t even, size;
} Draw;

static bool draw_begin(Draw *draw, size_t size, BlyError *err) {
    draw->size = size;
    draw->even = size < SOBOL_MOST ? size : SOBOL_MOST;
    draw->random = gsl_rng_alloc(gsl_rng_mt19937);
    draw->sobol = draw->even > 0 ? gsl_qrng_alloc(gsl_qrng_sobol, (unsigned)draw->even) : NULL;
    return draw->random && (draw->sobol || draw->even == 0)
               ? true
               : bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the samples");
}

static void draw_next(Draw *draw, double *u) {
    if (draw->even > 0)
        (void)gsl_qrng_get(draw->sobol, u);
    for (size_t j = 0; j < draw->size; j++) {
        double share = j < draw->even ? u[j] : gsl_rng_uniform_pos(draw->random);
        u[j] = gsl_cdf_ugaussian_Pinv(share);
    }
}

static void draw_end(Draw *draw) {
    if (draw->sobol)
        gsl_qrng_free(draw->sobol);
    if (draw->random)
        gsl_rng_free(draw->random);
}

/* One set of samples serves all probes that want to be counted out. */
static bool sample(Bands *b, double *u, double *samples, size_t *counts, BlyError *err) {
    Draw draw = {0};
    double found[BANDS_MAX];
    bool good = draw_begin(&draw, b->parameters, err);
    for (int s = 0; good && s < SAMPLES; s++) {
        draw_next(&draw, u);
        good = read_at(b, u, b->counted, b->counted_count, found, err);
        for (size_t i = 0; good && i < b->counted_count; i++) {
            double off = probe_difference(&b->counted[i], found[i], b->middle[b->counted_as[i]]);
            if (isfinite(off))
                samples[i * SAMPLES + counts[i]++] = off;
        }
    }
    draw_end(&draw);
    for (size_t j = 0; j < b->parameters; j++)
        u[j] = 0.0;
    return good;
}

/* Samples that have no such reading are left out. */
static bool count_out(Bands *b, double *u, BlyBand90 *out, BlyError *err) {
    double *samples = calloc(BANDS_MAX * SAMPLES, sizeof *samples);
    size_t counts[BANDS_MAX] = {0};
    bool good = samples != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the samples");
    good = good && sample(b, u, samples, counts, err);
    for (size_t i = 0; good && i < b->counted_count; i++) {
        double *own = samples + i * SAMPLES, middle = b->middle[b->counted_as[i]];
        size_t n = counts[i];
        if (n < SAMPLES / 2)
            continue;
        gsl_sort(own, 1, n);
        out[b->counted_as[i]] =
            (BlyBand90){middle + gsl_stats_quantile_from_sorted_data(own, 1, n, 0.05),
                        middle + gsl_stats_quantile_from_sorted_data(own, 1, n, 0.95)};
    }
    free(samples);
    return good;
}

static bool band_of(Bands *b, size_t i, double *u, BlyBand90 *out, double *sigma, BlyError *err) {
    double variance = 0.0;
    bool straight = true;
    for (size_t j = 0; j < b->parameters; j++)
        variance += gsl_pow_2(b->slope[i * b->parameters + j]);
    *sigma = sqrt(variance);
    *out = (BlyBand90){NAN, NAN};
    if (!isfinite(b->middle[i]))
        return true;
    if (isfinite(variance) && !steepest(b, i, *sigma, u, out, &straight, err))
        return false;
    if (!straight || !isfinite(out->low + out->high)) {
        b->counted_as[b->counted_count] = i;
        b->counted[b->counted_count++] = b->probes[i];
    }
    return true;
}

bool bands_find(Forward *forward, const double *z, const double *covariance, const Probe *probes,
                size_t count, BlyBand90 *out, double *sigma, BlyError *err) {
    Bands b = {.forward = forward,
               .z = z,
               .probes = probes,
               .count = count,
               .parameters = forward->parameter_count};
    double *u = calloc(b.parameters + 1, sizeof *u), one;
    bool good = u != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the ranges");
    good = good && begin(&b, covariance, err) && look_along(&b, u, err);
    for (size_t i = 0; good && i < count; i++)
        good = band_of(&b, i, u, &out[i], sigma ? &sigma[i] : &one, err);
    good = good && (b.counted_count == 0 || count_out(&b, u, out, err));
    end(&b);
    free(u);
    return good;
}
