/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Makers with habits of their own, who make one lure after the other, read each in the tank and
 * keep it in a book. True lures and readings come from the rooms that make and rest a lure
 * (tests/tank/tank_bench.h). Lures and makers are invented. */
#ifndef BALLASTRY_TESTS_BOOK_MAKERS_H
#define BALLASTRY_TESTS_BOOK_MAKERS_H

#include "tank/tank_bench.h"
#include "desk/book.h"

enum { MAKER_LURES = 10, MAKER_READINGS = 4 };

typedef struct MakersRun {
    const char *words;
    BlyReadingKind kinds[MAKER_READINGS];
    BlyStage stages[MAKER_READINGS];
    size_t readings;
    int makers;
    unsigned long seed;
} MakersRun;

/* By how many lures the book holds. */
typedef struct MakersTold {
    int within[MAKER_LURES + 1];
    double square[MAKER_LURES + 1], width[MAKER_LURES + 1]; /* of the error; of the 90 % range */
    int lures[MAKER_LURES + 1];
} MakersTold;

/* Larch with a coat of epoxy; the wood floats, the hooks hang from it. */
static const char maker_build[] =
    "{\"ballastry\": 1, \"name\": \"minnow\", \"water\": {\"temperature\": \"12 C\"},"
    "\"body\": {\"stations\": ["
    "{\"x\": 0, \"width\": 0, \"height\": 0},"
    "{\"x\": 36, \"width\": 12, \"height\": 16},"
    "{\"x\": 85, \"width\": 3, \"height\": 4}],"
    "\"material\": \"larch\", \"coats\": [{\"material\": \"epoxy\", \"thickness\": \"0.25 mm\"}]},"
    "\"seats\": {\"tie\": {\"kind\": \"tie\", \"x\": 2, \"side\": \"nose\"},"
    "\"belly\": {\"kind\": \"hanger\", \"x\": 22, \"side\": \"belly\"},"
    "\"tail\": {\"kind\": \"hanger\", \"x\": 85, \"side\": \"tail\"}},"
    "\"fitted\": {\"tie\": {\"eye\": \"eye-small\"},"
    "\"belly\": {\"eye\": \"eye-small\", \"ring\": \"ring-2\", \"hook\": \"hook-4\"},"
    "\"tail\": {\"eye\": \"eye-small\", \"ring\": \"ring-2\", \"hook\": \"hook-8\"}},"
    "\"target\": {\"state\": \"suspend\"}}";

/* A maker's own: figures by correction, and masses of parts by id, in usual standard deviations; of
 * what differs from lure to lure, the share. */
typedef struct Maker {
    double habit[TRIAL_QUANTITIES], scatter[TRIAL_QUANTITIES];
    const char *ids[16];
    double off[16];
} Maker;

static inline bool maker_has_habit(BlyLearnKind kind) {
    return kind == BLY_LEARN_DENSITY || kind == BLY_LEARN_COAT || kind == BLY_LEARN_COAT_DENSITY ||
           kind == BLY_LEARN_DRAG;
}

/* Between a fifth and a half of the usual give is from lure to lure, the rest the maker's own. */
static inline void maker_draw(Maker *maker, const BlyTankResult *beginner, gsl_rng *rng) {
    *maker = (Maker){0};
    for (size_t i = 0; i < beginner->correction_count; i++) {
        maker->scatter[i] = 0.2 * pow(2.5, gsl_rng_uniform(rng));
        maker->habit[i] = gsl_ran_gaussian(rng, sqrt(1.0 - maker->scatter[i] * maker->scatter[i]));
    }
}

/* One of the maker's lures. What has no habit (volume, balance, the tank's thermometer) is drawn
 * anew. */
static inline void maker_lure(Maker *maker, const BlyBuild *build, const BlyTankResult *beginner,
                              gsl_rng *rng, double *values) {
    truth_draw(build, beginner->corrections, beginner->correction_count, rng, values);
    for (size_t i = 0; i < beginner->correction_count; i++) {
        const BlyCorrection *c = &beginner->corrections[i];
        if (c->kind == BLY_LEARN_PIECE)
            values[i] = truth_piece(build, c, rng, maker->ids, maker->off);
        else if (maker_has_habit(c->kind))
            values[i] =
                c->before.value + c->before.give / bench_sigma *
                                      (maker->habit[i] + gsl_ran_gaussian(rng, maker->scatter[i]));
        if (c->kind == BLY_LEARN_COAT || c->kind == BLY_LEARN_DRAG)
            values[i] = fmax(values[i], 0.2 * c->before.value);
    }
}

/* Reads the build with what the book says, looks what is forecast, then reads the lure and keeps
 * it.
 */
static inline void makers_lure(const MakersRun *run, Book *book, const BlyBuild *plain,
                               const BlyTankResult *beginner, const double *values, gsl_rng *rng,
                               MakersTold *told) {
    const BlyWaterFacts tank = {{18, 1}, {0, 0}};
    BlyCatalog shelf;
    BookHabits habits;
    BlyTankResult none, result;
    BlyForecast before, same;
    BlyReading readings[MAKER_READINGS];
    BookLure lure;
    Truth truth;
    BlyWater own;
    BlySums sums;
    size_t n = book->count;
    shelf_fill(&shelf);
    must(book_use(book, &shelf, &habits, err));
    BlyBuild *build = bench_build(&shelf, maker_build);
    truth_make(&truth, plain, &tank, beginner->corrections, values, beginner->correction_count);
    must(bly_tank_learn(build, NULL, 0, &tank, &none, err));
    must(bly_tank_forecast(build, &tank, &none, &before, &same, err));
    must(bly_water_at(12, 0, &own, err));
    bly_balance_sums(&truth.lure, &own, &sums);
    double off = sums.net_weight - before.outcome.sums.net_weight;
    told->within[n] += cover_band(sums.net_weight, before.net_weight);
    told->square[n] += off * off;
    told->width[n] += before.net_weight.high - before.net_weight.low;
    told->lures[n]++;
    for (size_t i = 0; i < run->readings; i++)
        readings[i] = truth_reading(&truth, run->kinds[i], run->stages[i], 0.6, rng);
    must(bly_tank_learn(build, readings, run->readings, &tank, &result, err));
    must(book_lure_of(build, &tank, &result, &lure, err));
    (void)snprintf(lure.name, sizeof lure.name, "minnow %zu", n);
    must(book_append(book, &lure, err));
    bly_tank_release(&none);
    bly_tank_release(&result);
    truth_release(&truth);
    bly_build_free(build);
    book_habits_release(&habits);
    bly_catalog_release(&shelf);
}

static inline void makers_run(const MakersRun *run, MakersTold *told) {
    const BlyWaterFacts tank = {{18, 1}, {0, 0}};
    BlyCatalog shelf;
    BlyTankResult beginner;
    double values[TRIAL_QUANTITIES];
    *told = (MakersTold){0};
    shelf_fill(&shelf);
    BlyBuild *plain = bench_build(&shelf, maker_build);
    must(bly_tank_learn(plain, NULL, 0, &tank, &beginner, err));
    assert_true(beginner.correction_count <= TRIAL_QUANTITIES);
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, run->seed);
    for (int m = 0; m < run->makers; m++) {
        Maker maker;
        Book book = {0};
        maker_draw(&maker, &beginner, rng);
        for (int l = 0; l <= MAKER_LURES; l++) {
            maker_lure(&maker, plain, &beginner, rng, values);
            makers_lure(run, &book, plain, &beginner, values, rng, told);
        }
        book_release(&book);
    }
    gsl_rng_free(rng);
    bly_tank_release(&beginner);
    bly_build_free(plain);
    bly_catalog_release(&shelf);
}

static inline void makers_print(const MakersRun *run, const MakersTold *told) {
    print_message("%s, %d makers\n", run->words, run->makers);
    for (int n = 0; n <= MAKER_LURES; n++)
        print_message(
            "  %2d lures: off by %6.1f mg (rms), range %6.1f mg wide, holds %5.1f of 100\n", n,
            1e6 * sqrt(told->square[n] / told->lures[n]), 1e6 * told->width[n] / told->lures[n],
            100.0 * told->within[n] / told->lures[n]);
}

#endif
