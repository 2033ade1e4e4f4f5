/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What many lures do: ranges, states, the chance of meeting the target, and how much of the spread
 * each input makes. */
#include "spread/ranges.h"

#include <gsl/gsl_statistics.h>
#include <gsl/gsl_math.h>
#include <stdlib.h>
#include <string.h>

/* One quantity in one water over all samples. */
typedef struct Series {
    double *value; /* off the nominal; NAN are left out */
    size_t count;
    double square;
    double with_u[BLY_INPUTS_MAX]; /* sum of value times u; first water only */
} Series;

typedef struct Statistics {
    Series series[BLY_SPREAD_WATERS_MAX][BLY_QUANTITIES];
    size_t state[BLY_SPREAD_WATERS_MAX][3], met[BLY_SPREAD_WATERS_MAX];
    size_t turned[BLY_SPREAD_WATERS_MAX]; /* away from the nominal attitude */
    size_t met_all, miss[BLY_MISSES], total;
} Statistics;

static bool statistics_open(Statistics *stats, size_t waters, size_t samples, BlyError *err) {
    memset(stats, 0, sizeof *stats);
    for (size_t w = 0; w < waters; w++) {
        for (int q = 0; q < BLY_QUANTITIES; q++) {
            stats->series[w][q].value = malloc(samples * sizeof(double));
            if (!stats->series[w][q].value)
                return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for %zu samples", samples);
        }
    }
    return true;
}

static void statistics_close(Statistics *stats) {
    for (size_t w = 0; w < BLY_SPREAD_WATERS_MAX; w++) {
        for (int q = 0; q < BLY_QUANTITIES; q++)
            free(stats->series[w][q].value);
    }
}

/* Whether it rests another way than the nominal one, or nowhere. A lure that does not float has no
 * attitude afloat to compare. */
static bool is_turned(const QuickLure *quick, size_t water, const BlyOutcome *outcome, double d) {
    bool compared = outcome->has_surface || !quick->by_afloat[water];
    return compared && !(fabs(d) <= SPREAD_TURNED);
}

/* Sums are taken about the nominal: nothing is lost to rounding, and angles stay whole. */
static void add_values(const QuickLure *quick, size_t water, const BlyOutcome *outcome,
                       const BlyOutcome *nominal, const double *u, bool with_u, Statistics *stats) {
    for (int q = 0; q < BLY_QUANTITIES; q++) {
        Series *series = &stats->series[water][q];
        bool known =
            q == BLY_Q_NOSE_DOWN || !isnan(spread_quantity(quick, water, nominal, (BlyQuantity)q));
        double d = known ? spread_moved(quick, water, outcome, nominal, (BlyQuantity)q)
                         : spread_quantity(quick, water, outcome, (BlyQuantity)q);
        if (q == BLY_Q_NOSE_DOWN && is_turned(quick, water, outcome, d)) {
            stats->turned[water]++;
            continue;
        }
        if (isnan(d))
            continue;
        series->value[series->count++] = d;
        series->square += d * d;
        for (size_t i = 0; with_u && i < quick->set.input_count; i++)
            series->with_u[i] += d * u[i];
    }
}

static unsigned misses_of(const BlyJudgement *judgement) {
    return (unsigned)(judgement->drift_off > 0.0) << BLY_MISS_DRIFT |
           (unsigned)(judgement->shows_off > 0.0) << BLY_MISS_SHOWS |
           (unsigned)(judgement->nose_off > 0.0) << BLY_MISS_NOSE |
           (unsigned)(judgement->roll_off > 0.0) << BLY_MISS_ROLL;
}

/* `loose`: independent numbers, which the shares speak of; what comes of them is tied and possible.
 */
static void add_sample(const QuickLure *quick, const BlyOutcome *nominal, const double *loose,
                       bool with_u, Statistics *stats) {
    double sums[SUMS], u[BLY_INPUTS_MAX];
    unsigned missed = 0;
    memcpy(u, loose, quick->set.input_count * sizeof *u);
    quick_lure_tie(quick, u);
    quick_lure_clamp(quick, u);
    quick_sums_at(&quick->sums, u, sums);
    for (size_t w = 0; w < quick->water_count; w++) {
        BlyOutcome outcome;
        quick_lure_sample(quick, u, sums, w, &outcome);
        add_values(quick, w, &outcome, &nominal[w], quick->tied ? loose : u, with_u && w == 0,
                   stats);
        stats->state[w][outcome.state]++;
        if (!quick->target)
            continue;
        BlyJudgement judgement = bly_judge(quick->target, &outcome);
        unsigned here = misses_of(&judgement);
        stats->met[w] += here == 0;
        missed |= here;
    }
    stats->total++;
    stats->met_all += missed == 0;
    for (int m = 0; m < BLY_MISSES; m++)
        stats->miss[m] += missed >> m & 1;
}

static BlyRange range_of(double *value, size_t count, double nominal) {
    double from = isnan(nominal) ? 0.0 : nominal, n = (double)count;
    BlyRange range = {nominal, NAN, NAN, NAN, BLY_BY_SAMPLING};
    if (count < 20)
        return range;
    size_t low = (size_t)(0.05 * n), high = (size_t)(0.95 * n);
    range.low = from + gsl_stats_select(value, 1, count, low);
    range.high = from + gsl_stats_select(value, 1, count, high);
    range.sigma = gsl_stats_sd(value, 1, count);
    return range;
}

/* Inputs are independent and of unit spread: the square of a regression's slope is the variance
 * that its input makes. What is below the noise of sampling counts as nothing. */
static void find_shares(const QuickLure *quick, const Series *series, size_t looked_at,
                        double share[BLY_INPUTS_MAX]) {
    double all = 0.0, n = (double)looked_at;
    double noise = series->square / (double)(series->count + 1) / n;
    for (size_t i = 0; i < quick->set.input_count; i++) {
        double slope = series->with_u[i] / n;
        share[i] = slope * slope > 9.0 * noise ? slope * slope : 0.0;
        all += share[i];
    }
    for (size_t i = 0; i < quick->set.input_count; i++)
        share[i] = all > 0.0 ? share[i] / all : 0.0;
}

void spread_conclude_attitude(double *off, size_t count, size_t turned, BlySpreadWater *out) {
    BlyRange *range = &out->range[BLY_Q_NOSE_DOWN];
    double nominal = range->nominal, all = (double)(count + turned);
    *range = range_of(off, count, nominal);
    out->turned = all > 0 ? (double)turned / all : 0.0;
    /* the stand-ins are off the full physics by so much at most (docs/spread.md) */
    double spare = fmax(0.06 * (range->high - range->low), 1e-2);
    out->no_attitude = !(nominal >= range->low - spare && nominal <= range->high + spare);
    range->low = out->no_attitude ? NAN : fmin(range->low, nominal);
    range->high = out->no_attitude ? NAN : fmax(range->high, nominal);
    if (out->no_attitude)
        range->sigma = NAN;
}

static void conclude(const QuickLure *quick, const Statistics *stats, size_t with_u,
                     BlySpread *out) {
    double n = (double)stats->total;
    for (size_t w = 0; w < quick->water_count; w++) {
        BlySpreadWater *water = &out->water[w];
        const Series *series = stats->series[w];
        for (int q = 0; q < BLY_QUANTITIES; q++) {
            double nominal = spread_quantity(quick, w, &water->nominal, (BlyQuantity)q);
            water->range[q] = (BlyRange){.nominal = nominal};
            if (q != BLY_Q_NOSE_DOWN)
                water->range[q] = range_of(series[q].value, series[q].count, nominal);
        }
        water->afloat = quick->by_afloat[w];
        spread_conclude_attitude(series[BLY_Q_NOSE_DOWN].value, series[BLY_Q_NOSE_DOWN].count,
                                 stats->turned[w], water);
        for (int s = 0; s < 3; s++)
            water->state[s] = (double)stats->state[w][s] / n;
        water->chance = quick->target ? (double)stats->met[w] / n : NAN;
    }
    for (int q = 0; q < BLY_QUANTITIES; q++)
        find_shares(quick, &stats->series[0][q], with_u, out->share[q]);
    out->samples = stats->total;
    out->chance = quick->target ? (double)stats->met_all / n : NAN;
    for (int m = 0; m < BLY_MISSES; m++)
        out->miss[m] = quick->target ? (double)stats->miss[m] / n : NAN;
}

bool spread_sample(const QuickLure *quick, const BlySpreadOptions *options, BlySpread *out,
                   BlyError *err) {
    enum { WITH_U = 8192 };
    double u[BLY_INPUTS_MAX];
    BlyOutcome nominal[BLY_SPREAD_WATERS_MAX];
    size_t samples = options->samples;
    for (size_t w = 0; w < quick->water_count; w++)
        nominal[w] = out->water[w].nominal;
    SpreadDraw *draw =
        spread_draw_make(quick->set.input_count, options->source, options->seed, err);
    if (!draw)
        return false;
    Statistics *stats = malloc(sizeof *stats);
    bool good = stats ? statistics_open(stats, quick->water_count, samples, err)
                      : bly_fail(err, BLY_E_MEMORY, NULL, "no memory for samples");
    for (size_t i = 0; good && i < samples; i++) {
        spread_draw_next(draw, u);
        add_sample(quick, nominal, u, i < WITH_U, stats);
    }
    if (good)
        conclude(quick, stats, samples < WITH_U ? samples : WITH_U, out);
    if (stats)
        statistics_close(stats);
    free(stats);
    spread_draw_free(draw);
    return good;
}
