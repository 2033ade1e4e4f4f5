/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Builds, true lures drawn from their tolerances, and what a tank would read of them. The true
 * readings come from the rooms that make and rest a lure, not from the tank room's own model. The
 * lures are invented. */
#ifndef BALLASTRY_TESTS_TANK_BENCH_H
#define BALLASTRY_TESTS_TANK_BENCH_H

#include "build/shelf.h"
#include "lure/kit.h"
#include "ballastry/tank.h"
#include "build/build.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>

static const double bench_sigma = 1.959963984540054, bench_ninety = 1.6448536269514722;

static inline BlyBuild *bench_build(const BlyCatalog *shelf, const char *text) {
    BlyBuild *build = NULL;
    must(bly_build_read(text, strlen(text), shelf, &build, err));
    return build;
}

/* The lure that the bench really holds. */
typedef struct Truth {
    const BlyBuild *build;
    BlyBodyFacts facts;
    BlyCoat coats[4];
    BlyInset insets[BLY_INSETS_MAX];
    BlyRig rig;
    BlyWater tank;
    BlyBlank blank, bare;
    BlyLure lure;
} Truth;

static inline void truth_set(Truth *t, const BlyCorrection *c, double value, double *temperature,
                             double *salinity) {
    switch (c->kind) {
    case BLY_LEARN_DENSITY:
        t->facts.density.value = value;
        break;
    case BLY_LEARN_MASS:
        t->facts.mass.value = value;
        break;
    case BLY_LEARN_VOLUME:
        t->facts.volume_share.value = value;
        break;
    case BLY_LEARN_BALANCE:
        t->facts.balance.value = value;
        break;
    case BLY_LEARN_BALANCE_UP:
        t->facts.balance_up.value = value;
        break;
    case BLY_LEARN_COAT:
        t->coats[c->index].thickness.value = value;
        break;
    case BLY_LEARN_COAT_DENSITY:
        t->coats[c->index].density.value = value;
        break;
    case BLY_LEARN_INSET_DENSITY:
        t->insets[c->index].density.value = value;
        break;
    case BLY_LEARN_INSET_MASS:
        t->insets[c->index].mass.value = value;
        break;
    case BLY_LEARN_SOAK:
        t->facts.soak.value = value;
        break;
    case BLY_LEARN_EXPANSION:
        t->facts.expansion.value = value;
        break;
    case BLY_LEARN_DRAG:
        t->facts.drag_factor.value = value;
        break;
    case BLY_LEARN_MUNK:
        t->facts.munk_factor.value = value;
        break;
    case BLY_LEARN_PIECE:
        t->rig.at[c->index].of[c->part].weighed = (BlyFigure){value, 0};
        break;
    case BLY_LEARN_TEMPERATURE:
        *temperature = value;
        break;
    case BLY_LEARN_SALINITY:
        *salinity = value;
        break;
    case BLY_LEARN_KINDS:
        break;
    }
}

/* Makes the lure of these values, one for each correction; false when there can be none. Release in
 * every case. */
static inline bool truth_try(Truth *t, const BlyBuild *build, const BlyWaterFacts *tank,
                             const BlyCorrection *corrections, const double *values, size_t count) {
    double temperature = tank->temperature.value, salinity = tank->salinity.value;
    *t = (Truth){.build = build, .facts = build->facts};
    assert_true(build->coat_count <= 4);
    for (size_t i = 0; i < build->coat_count; i++)
        t->coats[i] = build->coats[i];
    for (size_t i = 0; i < build->facts.inset_count; i++)
        t->insets[i] = build->facts.insets[i];
    t->facts.insets = t->insets;
    must(bly_rig_copy(&t->rig, &build->fitted, err));
    for (size_t i = 0; i < count; i++)
        truth_set(t, &corrections[i], values[i], &temperature, &salinity);
    must(bly_water_at(temperature, salinity, &t->tank, err));
    return bly_blank_make(build->shape, &t->facts, t->coats, build->coat_count, build->seats,
                          &t->rig, &t->blank, NULL) &&
           bly_lure_make(&t->blank, build->seats, &t->rig, &t->lure, NULL);
}

static inline void truth_make(Truth *t, const BlyBuild *build, const BlyWaterFacts *tank,
                              const BlyCorrection *corrections, const double *values,
                              size_t count) {
    assert_true(truth_try(t, build, tank, corrections, values, count));
}

static inline void truth_release(Truth *t) {
    bly_lure_release(&t->lure);
    bly_blank_release(&t->blank);
    bly_blank_release(&t->bare);
    bly_rig_release(&t->rig);
}

/* Mass of a fitted piece: what the catalog says of its id is off for all of that id alike; hooks
 * differ from each other besides, by 5 % (docs/uncertain.md). */
static inline double truth_piece(const BlyBuild *build, const BlyCorrection *c, gsl_rng *rng,
                                 const char *ids[16], double off[16]) {
    const BlyPart *part = build->fitted.at[c->index].of[c->part].part;
    size_t i = 0;
    while (ids[i] && strcmp(ids[i], part->id) != 0)
        i++;
    assert_true(i < 15);
    if (!ids[i]) {
        ids[i] = part->id;
        off[i] = gsl_ran_gaussian(rng, part->mass.give / part->mass.value / bench_sigma);
    }
    double own = part->kind == BLY_PART_HOOK ? gsl_ran_gaussian(rng, 0.05 / bench_sigma) : 0;
    return c->before.value * (1 + off[i] + own);
}

/* True values drawn from the tolerances, within what a build file allows. */
static inline void truth_draw(const BlyBuild *build, const BlyCorrection *corrections, size_t count,
                              gsl_rng *rng, double *values) {
    const char *ids[16] = {NULL};
    double off[16] = {0};
    for (size_t i = 0; i < count; i++) {
        const BlyCorrection *c = &corrections[i];
        bool munk = c->kind == BLY_LEARN_MUNK;
        if (c->kind == BLY_LEARN_PIECE) {
            values[i] = truth_piece(build, c, rng, ids, off);
            continue;
        }
        do
            values[i] = c->before.value + gsl_ran_gaussian(rng, c->before.give / bench_sigma);
        while ((munk || c->kind == BLY_LEARN_SOAK) && (values[i] < 0 || values[i] > 1));
    }
}

/* What an exact tool reads of the finished lure without a leader, or of the bare blank. */
static inline double truth_reads(Truth *t, BlyReadingKind kind, BlyStage stage) {
    BlySums sums;
    BlyOutcome outcome;
    BlyFloat rest;
    BlyLure bare = {0};
    const BlyLure *lure = &t->lure;
    assert_true(stage == BLY_STAGE_COMPLETE || stage == BLY_STAGE_BLANK);
    if (stage == BLY_STAGE_BLANK) {
        if (!t->bare.hull) {
            BlyBodyFacts facts = t->facts;
            facts.mass.value = NAN;
            facts.density.value = t->blank.body_density;
            must(bly_blank_make(t->build->shape, &facts, NULL, 0, NULL, NULL, &t->bare, err));
        }
        bare = (BlyLure){&t->bare, t->bare.items, t->bare.item_count};
        lure = &bare;
    }
    bly_balance_sums(lure, &t->tank, &sums);
    switch (kind) {
    case BLY_READ_SCALE:
        return sums.mass;
    case BLY_READ_IN_WATER:
        return sums.net_weight;
    case BLY_READ_BALANCE:
        return sums.gravity.x - bly_body_box(lure->blank->hull).low.x;
    case BLY_READ_DRIFT:
    case BLY_READ_TILT:
        must(bly_rest_near(lure, &t->tank, NAN, &outcome, err));
        return kind == BLY_READ_DRIFT ? outcome.drift : outcome.nose_down;
    case BLY_READ_TILT_AFLOAT:
    case BLY_READ_SHOWS:
        if (!(sums.net_weight < 0))
            return NAN;
        must(bly_balance_float(lure, &t->tank, &rest, err));
        return kind == BLY_READ_SHOWS ? rest.shows : rest.nose_down;
    case BLY_READ_KINDS:
        break;
    }
    return NAN;
}

/* A reading with its tool's error. A stopwatch over `depth`; others by their usual give. */
static inline BlyReading truth_reading(Truth *t, BlyReadingKind kind, BlyStage stage, double depth,
                                       gsl_rng *rng) {
    double exact = truth_reads(t, kind, stage);
    BlyReading r = {kind, {exact, bly_reading_give(kind)}, stage};
    if (kind == BLY_READ_DRIFT) {
        double seconds = depth / fabs(exact) + gsl_ran_gaussian(rng, 0.2 / bench_sigma);
        r.value = bly_reading_drift((BlyFigure){depth, 0}, (BlyFigure){fmax(seconds, 0.1), 0.2},
                                    exact > 0);
        r.value.value += gsl_ran_gaussian(rng, 0.5e-3 / bench_sigma); /* the water moves */
    } else {
        r.value.value += gsl_ran_gaussian(rng, r.value.give / bench_sigma);
    }
    return r;
}

/* A cast minnow that sinks slowly, on the shelf of tests/build, with or without a coat. */
#define BENCH_MINNOW(density, coats)                                                               \
    "{\"ballastry\": 1, \"name\": \"minnow\", \"water\": {\"temperature\": \"12 C\"},"             \
    "\"body\": {\"stations\": ["                                                                   \
    "{\"x\": 0, \"width\": 0, \"height\": 0},"                                                     \
    "{\"x\": 36, \"width\": 12, \"height\": 16},"                                                  \
    "{\"x\": 85, \"width\": 3, \"height\": 4}],"                                                   \
    "\"material\": {\"density\": \"" density "\", \"give\": \"5 %\"}" coats "},"                   \
    "\"seats\": {\"tie\": {\"kind\": \"tie\", \"x\": 2, \"side\": \"nose\"},"                      \
    "\"belly\": {\"kind\": \"hanger\", \"x\": 22, \"side\": \"belly\"},"                           \
    "\"tail\": {\"kind\": \"hanger\", \"x\": 85, \"side\": \"tail\"}},"                            \
    "\"fitted\": {\"tie\": {\"eye\": \"eye-small\"},"                                              \
    "\"belly\": {\"eye\": \"eye-small\", \"ring\": \"ring-2\", \"hook\": \"hook-4\"},"             \
    "\"tail\": {\"eye\": \"eye-small\", \"ring\": \"ring-2\", \"hook\": \"hook-8\"}},"             \
    "\"target\": {\"state\": \"suspend\"}}"

static const char bench_coated[] = BENCH_MINNOW(
    "0.845 g/cm3", ", \"coats\": [{\"material\": \"epoxy\", \"thickness\": \"0.25 mm\"}]");
static const char bench_uncoated[] = BENCH_MINNOW("0.87 g/cm3", "");

/* A blank that floats, with nothing on it. */
static const char bench_blank[] =
    "{\"ballastry\": 1, \"name\": \"blank\", \"water\": {\"temperature\": \"12 C\"},"
    "\"body\": {\"stations\": ["
    "{\"x\": 0, \"width\": 0, \"height\": 0},"
    "{\"x\": 40, \"width\": 12, \"height\": 16},"
    "{\"x\": 80, \"width\": 0, \"height\": 0}],"
    "\"material\": {\"density\": \"0.7 g/cm3\", \"give\": \"6 %\"},"
    "\"balance\": {\"value\": \"38 mm\", \"give\": \"1 mm\"}, \"balance_up\": \"-1 mm\"}}";

/* Trials: a true lure, its readings, and whether what was learnt holds the truth within its 90 %.
 */
typedef struct Trials {
    const char *text;
    const BlyReadingKind *kinds;
    const BlyStage *stages;
    size_t count; /* of readings */
    int trials;
    unsigned long seed;
    bool forecast; /* looked at, too: takes time */
} Trials;

enum { TRIAL_QUANTITIES = 32 };

typedef struct Cover {
    size_t quantities;
    BlyCorrection what[TRIAL_QUANTITIES];
    int within[TRIAL_QUANTITIES];
    double learnt[TRIAL_QUANTITIES]; /* mean */
    int net_weight, drift, nose_down, body_mass, contradictions;
    double chi_square; /* mean, a reading */
    int unlikely;      /* chance below 10 % */
} Cover;

static inline bool cover_band(double value, BlyBand90 band) {
    return value >= band.low && value <= band.high;
}

static inline void cover_trial(Cover *cover, const Trials *run, const BlyBuild *build,
                               const BlyWaterFacts *tank, const BlyWater *own, gsl_rng *rng) {
    double values[TRIAL_QUANTITIES];
    BlyReading readings[8];
    BlyTankResult result;
    BlyOutcome outcome;
    Truth truth;
    truth_draw(build, cover->what, cover->quantities, rng, values);
    truth_make(&truth, build, tank, cover->what, values, cover->quantities);
    for (size_t i = 0; i < run->count; i++)
        readings[i] = truth_reading(&truth, run->kinds[i], run->stages[i], 0.6, rng);
    must(bly_tank_learn(build, readings, run->count, tank, &result, err));
    for (size_t i = 0; i < cover->quantities; i++) {
        BlyFigure after = result.corrections[i].after;
        cover->within[i] +=
            fabs(after.value - values[i]) <= bench_ninety * after.give / bench_sigma;
        cover->learnt[i] += result.corrections[i].learnt / run->trials;
    }
    if (run->forecast) {
        BlyForecast before, after;
        must(bly_tank_forecast(build, tank, &result, &before, &after, err));
        must(bly_rest_near(&truth.lure, own, NAN, &outcome, err));
        cover->net_weight += cover_band(outcome.sums.net_weight, after.net_weight);
        cover->drift += cover_band(outcome.drift, after.drift);
        cover->nose_down += cover_band(outcome.nose_down, after.nose_down);
    }
    cover->body_mass += fabs(result.body_mass.value - truth.blank.body_mass) <=
                        bench_ninety * result.body_mass.give / bench_sigma;
    cover->chi_square += result.chi_square / (double)run->count / run->trials;
    cover->unlikely += result.chance < 0.1;
    cover->contradictions += result.contradiction;
    bly_tank_release(&result);
    truth_release(&truth);
}

static inline void cover_run(const BlyCatalog *shelf, const Trials *run, Cover *cover) {
    BlyBuild *build = bench_build(shelf, run->text);
    const BlyWaterFacts tank = {{18, 1}, {0, 0}};
    BlyTankResult none;
    *cover = (Cover){0};
    must(bly_tank_learn(build, NULL, 0, &tank, &none, err));
    assert_true(none.correction_count <= TRIAL_QUANTITIES);
    cover->quantities = none.correction_count;
    for (size_t i = 0; i < none.correction_count; i++)
        cover->what[i] = none.corrections[i];
    BlyWater own;
    must(bly_water_at(build->water.temperature.value, build->water.salinity.value, &own, err));
    bly_tank_release(&none);
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, run->seed);
    for (int k = 0; k < run->trials; k++)
        cover_trial(cover, run, build, &tank, &own, rng);
    gsl_rng_free(rng);
    bly_build_free(build);
}

/* Of `trials` within 90 % ranges between low and high shares must hold. Every count and how much
 * was learnt is printed. The Munk factor's true values end at 0 and 1, so that its range holds
 * more. */
static inline void cover_check(const Cover *cover, const Trials *run, double low, double high) {
    double n = run->trials;
    int faults = 0;
    for (size_t i = 0; i < cover->quantities; i++) {
        double share = cover->within[i] / n;
        bool munk = cover->what[i].kind == BLY_LEARN_MUNK;
        bool good = share >= low && (share <= high || munk);
        if (cover->learnt[i] >= 0.02)
            print_message("  %-20s learnt %3.0f %%, held in %.1f of 100%s\n",
                          bly_learn_words(cover->what[i].kind), 100 * cover->learnt[i], 100 * share,
                          good ? "" : " FAULT");
        faults += !good && cover->learnt[i] >= 0.02;
    }
    const struct {
        const char *words;
        int within;
    } more[] = {{"body mass", cover->body_mass},
                {"net weight", cover->net_weight},
                {"drift", cover->drift},
                {"nose-down", cover->nose_down}};
    for (size_t i = 0; i < (run->forecast ? 4 : 1); i++) {
        double share = more[i].within / n;
        bool good = share >= low && share <= high;
        print_message("  %-20s held in %.1f of 100%s\n", more[i].words, 100 * share,
                      good ? "" : " FAULT");
        faults += !good;
    }
    print_message("  chi-square %.3f a reading, unlikely %.1f of 100, contradictions %d\n",
                  cover->chi_square, 100 * cover->unlikely / n, cover->contradictions);
    assert_int_equal(faults, 0);
    /* Chi-square of n readings over n: mean 1, and below 10 % chance in 10 of 100. */
    double deviation = sqrt(2.0 / (n * (double)run->count));
    assert_close(cover->chi_square, 1, 3.5 * deviation, 0);
    assert_close(cover->unlikely / n, 0.1, 3.5 * sqrt(0.09 / n), 0);
    assert_true(cover->contradictions <= 0.02 * n);
}

static inline int bench_stock(void **state) {
    static BlyCatalog shelf;
    (void)gsl_set_error_handler_off();
    shelf_fill(&shelf);
    *state = &shelf;
    return 0;
}

static inline int bench_clear(void **state) {
    bly_catalog_release(*state);
    return 0;
}

#endif
