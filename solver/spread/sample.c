/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What many lures do: ranges, states, the chance of meeting the target, and how much of the spread
 * each input makes. */
#include "spread/spread.h"

#include <gsl/gsl_statistics.h>
#include <gsl/gsl_math.h>
#include <stdlib.h>
#include <string.h>

/* One quantity in one water over all samples. */
typedef struct Pile {
    double *value; /* off the nominal; NAN are left out */
    size_t count;
    double sum, square;
    double with_u[BLY_INPUTS_MAX]; /* sum of value times u; first water only */
} Pile;

typedef struct Tally {
    Pile pile[BLY_SPREAD_WATERS_MAX][BLY_QUANTITIES];
    size_t state[BLY_SPREAD_WATERS_MAX][3], met[BLY_SPREAD_WATERS_MAX];
    size_t met_all, miss[BLY_MISSES], total;
} Tally;

static bool tally_open(Tally *tally, size_t waters, size_t samples, BlyError *err) {
    memset(tally, 0, sizeof *tally);
    for (size_t w = 0; w < waters; w++) {
        for (int q = 0; q < BLY_QUANTITIES; q++) {
            tally->pile[w][q].value = malloc(samples * sizeof(double));
            if (!tally->pile[w][q].value)
                return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for %zu samples", samples);
        }
    }
    return true;
}

static void tally_close(Tally *tally) {
    for (size_t w = 0; w < BLY_SPREAD_WATERS_MAX; w++) {
        for (int q = 0; q < BLY_QUANTITIES; q++)
            free(tally->pile[w][q].value);
    }
}

/* Sums are taken about the nominal: nothing is lost to rounding, and angles stay whole. */
static void add_values(const SpreadModel *model, const BlyOutcome *outcome,
                       const BlyOutcome *nominal, const double *u, bool with_u, Pile *piles) {
    for (int q = 0; q < BLY_QUANTITIES; q++) {
        Pile *pile = &piles[q];
        double from = spread_quantity(model, nominal, (BlyQuantity)q);
        double d = spread_quantity(model, outcome, (BlyQuantity)q) - (isnan(from) ? 0.0 : from);
        if (isnan(d))
            continue;
        if (q == BLY_Q_NOSE_DOWN)
            d = remainder(d, 2.0 * M_PI);
        pile->value[pile->count++] = d;
        pile->sum += d;
        pile->square += d * d;
        for (size_t i = 0; with_u && i < model->set.input_count; i++)
            pile->with_u[i] += d * u[i];
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
static void add_sample(const SpreadModel *model, const BlyOutcome *nominal, const double *loose,
                       bool with_u, Tally *tally) {
    double sums[SUMS], u[BLY_INPUTS_MAX];
    unsigned missed = 0;
    memcpy(u, loose, model->set.input_count * sizeof *u);
    spread_model_tie(model, u);
    spread_model_clamp(model, u);
    spread_sums_at(&model->sums, u, sums);
    for (size_t w = 0; w < model->water_count; w++) {
        BlyOutcome outcome;
        spread_model_sample(model, u, sums, w, &outcome);
        add_values(model, &outcome, &nominal[w], model->tied ? loose : u, with_u && w == 0,
                   tally->pile[w]);
        tally->state[w][outcome.state]++;
        if (!model->target)
            continue;
        BlyJudgement judgement = bly_judge(model->target, &outcome);
        unsigned here = misses_of(&judgement);
        tally->met[w] += here == 0;
        missed |= here;
    }
    tally->total++;
    tally->met_all += missed == 0;
    for (int m = 0; m < BLY_MISSES; m++)
        tally->miss[m] += missed >> m & 1;
}

static BlyRange range_of(const Pile *pile, double nominal) {
    double from = isnan(nominal) ? 0.0 : nominal, n = (double)pile->count;
    BlyRange range = {nominal, NAN, NAN, NAN, BLY_BY_SAMPLING};
    if (pile->count < 20)
        return range;
    size_t low = (size_t)(0.05 * n), high = (size_t)(0.95 * n);
    range.low = from + gsl_stats_select(pile->value, 1, pile->count, low);
    range.high = from + gsl_stats_select(pile->value, 1, pile->count, high);
    double mean = pile->sum / n;
    range.sigma = sqrt(fmax(pile->square / n - mean * mean, 0.0));
    return range;
}

/* Inputs are independent and of unit spread: the square of a regression's slope is the variance
 * that its input makes. What is below the noise of sampling counts as nothing. */
static void find_shares(const SpreadModel *model, const Pile *pile, size_t looked_at,
                        double share[BLY_INPUTS_MAX]) {
    double all = 0.0, n = (double)looked_at;
    double noise = pile->square / (double)(pile->count + 1) / n;
    for (size_t i = 0; i < model->set.input_count; i++) {
        double slope = pile->with_u[i] / n;
        share[i] = slope * slope > 9.0 * noise ? slope * slope : 0.0;
        all += share[i];
    }
    for (size_t i = 0; i < model->set.input_count; i++)
        share[i] = all > 0.0 ? share[i] / all : 0.0;
}

static void conclude(const SpreadModel *model, const Tally *tally, size_t with_u, BlySpread *out) {
    double n = (double)tally->total;
    for (size_t w = 0; w < model->water_count; w++) {
        BlySpreadWater *water = &out->water[w];
        for (int q = 0; q < BLY_QUANTITIES; q++) {
            double nominal = spread_quantity(model, &water->nominal, (BlyQuantity)q);
            water->range[q] = range_of(&tally->pile[w][q], nominal);
        }
        for (int s = 0; s < 3; s++)
            water->state[s] = (double)tally->state[w][s] / n;
        water->chance = model->target ? (double)tally->met[w] / n : NAN;
    }
    for (int q = 0; q < BLY_QUANTITIES; q++)
        find_shares(model, &tally->pile[0][q], with_u, out->share[q]);
    out->samples = tally->total;
    out->chance = model->target ? (double)tally->met_all / n : NAN;
    for (int m = 0; m < BLY_MISSES; m++)
        out->miss[m] = model->target ? (double)tally->miss[m] / n : NAN;
}

bool spread_sample(const SpreadModel *model, const BlySpreadOptions *options, BlySpread *out,
                   BlyError *err) {
    enum { WITH_U = 8192 };
    double u[BLY_INPUTS_MAX];
    BlyOutcome nominal[BLY_SPREAD_WATERS_MAX];
    size_t samples = options->samples;
    for (size_t w = 0; w < model->water_count; w++)
        nominal[w] = out->water[w].nominal;
    SpreadDraw *draw =
        spread_draw_make(model->set.input_count, options->source, options->seed, err);
    if (!draw)
        return false;
    Tally *tally = malloc(sizeof *tally);
    bool good = tally ? tally_open(tally, model->water_count, samples, err)
                      : bly_fail(err, BLY_E_MEMORY, NULL, "no memory for samples");
    for (size_t i = 0; good && i < samples; i++) {
        spread_draw_next(draw, u);
        add_sample(model, nominal, u, i < WITH_U, tally);
    }
    if (good)
        conclude(model, tally, samples < WITH_U ? samples : WITH_U, out);
    if (tally)
        tally_close(tally);
    free(tally);
    spread_draw_free(draw);
    return good;
}
