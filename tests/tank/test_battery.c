/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whatever is read of whatever build, there is an answer, and a true one.
 *
 * True lures are drawn from the gives of every shipped example and of some builds that `new` and
 * `fit --write` made (tests/tank/builds), worked by the rooms lure and rest, and read with tools'
 * errors: honest readings, those of lures far off, one ten times or a tenth of what it was, some
 * that contradict each other, and any figure at all. Each build gets TANK_TRIALS (default 1) honest
 * sets and as many of the others; CPU time is printed, never asserted.
 *
 * What holds the solver to account is none of its own figures: no sum of squares may exceed that of
 * the true lure, and the truth lies within the gives as often as a normal law says. */
#include "tank/tank_bench.h"

#include "support/beside.h"
#include "support/shipped.h"

#include <stdlib.h>
#include <time.h>

static const char *const builds[] = {"examples/board-lip.json",
                                     "examples/caliper-stick.json",
                                     "examples/cast-mix.json",
                                     "examples/cedar-floater.json",
                                     "examples/finished-minnow.json",
                                     "examples/glued-blank.json",
                                     "examples/larch-minnow.json",
                                     "examples/light-by-design.json",
                                     "examples/mesh-minnow.json",
                                     "examples/sinker-swap.json",
                                     "examples/too-light.json",
                                     "examples/traced-minnow.json",
                                     "tests/tank/builds/flat-floats.json",
                                     "tests/tank/builds/measured-minnow.json",
                                     "tests/tank/builds/minnow-suspends.json",
                                     "tests/tank/builds/small-measured.json",
                                     "tests/tank/builds/stick-sinks.json"};
enum { BUILDS = sizeof builds / sizeof builds[0], READINGS = 5, QUANTITIES = 64, IDS = 16 };

static const BlyWaterFacts cool = {{16, 1}, {0, 0}};

typedef struct Bout {
    const BlyBuild *build;
    BlyCorrection what[QUANTITIES];
    size_t quantities;
    gsl_rng *rng;
    double values[QUANTITIES];
    double drawn; /* sum of squares of the normal numbers that made the lure */
    Truth truth;
    BlyReading readings[READINGS];
    double exact[READINGS];
    size_t count;
} Bout;

/* Counts over all builds. */
typedef struct Tally {
    int learnt, within;                  /* quantities learnt of; those within their give */
    int forecasts, held;                 /* net weights, within their 90 % */
    int honest, contradicted, unsettled; /* honest sets of readings */
    int tenfold, named, explained;       /* readings off by ten; found, and the slip told */
} Tally;

static BlyBuild *read_build(const char *path) {
    size_t size;
    char *text = NULL;
    BlyBuild *build = NULL;
    BlyError err = {0};
    BlyBuildFiles files = beside_files(path);
    if (!bly_file_read(path, (size_t)1 << 20, &text, &size, &err) ||
        !bly_build_read_with(text, size, &catalog, &files, &build, &err))
        fail_msg("%s: %s: %s", path, err.where, err.text);
    free(text);
    return build;
}

/* An answer of the kind that ends with 0 or 3: a result, or a refusal with words. The forecast
 * takes most of the time: `after` may be NULL. */
static bool learn(const Bout *b, const BlyReading *readings, size_t count, BlyTankResult *out,
                  BlyForecast *after) {
    BlyError err = {0};
    BlyForecast before;
    bool found = bly_tank_learn(b->build, readings, count, &cool, out, &err);
    if (!found) {
        assert_true(bly_code_of_input(err.code));
        assert_true(err.text[0] != '\0');
        return false;
    }
    if (after && !bly_tank_forecast(b->build, &cool, out, &before, after, &err))
        fail_msg("%s: no forecast: %s", b->build->name, err.text);
    assert_true(isfinite(out->chi_square) && out->chance >= 0 && out->chance <= 1);
    for (size_t i = 0; i < out->correction_count; i++) {
        assert_true(isfinite(out->corrections[i].after.value));
        assert_true(out->corrections[i].after.give >= 0);
    }
    bool accused = false;
    for (size_t i = 0; i < count; i++)
        accused = accused || out->taught[i].contradicts;
    assert_true(accused == out->contradiction);
    return true;
}

static double normal(Bout *b, double times) {
    double n = times * gsl_ran_gaussian(b->rng, 1.0);
    b->drawn += n * n;
    return n;
}

/* What the catalog says of an id is off for all its pieces alike, hooks by 5 % from each other
 * besides (docs/uncertain.md); a piece that was weighed is off by itself. */
static double draw_piece(Bout *b, const BlyCorrection *c, double times, const char *ids[IDS],
                         double off[IDS]) {
    const BlyChosenPart *piece = &b->build->fitted.at[c->index].of[c->part];
    double all = c->before.give / c->before.value / bench_sigma;
    if (!isnan(piece->weighed.value))
        return c->before.value * (1 + all * normal(b, times));
    double own = piece->part->kind == BLY_PART_HOOK ? 0.05 / bench_sigma : 0;
    size_t i = 0;
    while (ids[i] && strcmp(ids[i], piece->part->id) != 0)
        i++;
    assert_true(i < IDS - 1);
    if (!ids[i]) {
        ids[i] = piece->part->id;
        off[i] = sqrt(all * all - own * own) * normal(b, times);
    }
    return c->before.value * (1 + off[i] + (own > 0 ? own * normal(b, times) : 0));
}

/* A lure whose figures lie `times` as far off as the gives say; false when there is no such lure.
 */
static bool draw_lure(Bout *b, double times) {
    const char *ids[IDS] = {NULL};
    double off[IDS] = {0};
    b->drawn = 0;
    for (size_t i = 0; i < b->quantities; i++) {
        const BlyCorrection *c = &b->what[i];
        bool share = c->kind == BLY_LEARN_MUNK || c->kind == BLY_LEARN_SOAK;
        if (c->kind == BLY_LEARN_PIECE) {
            b->values[i] = draw_piece(b, c, times, ids, off);
            continue;
        }
        double before = b->drawn;
        do {
            b->drawn = before;
            b->values[i] = c->before.value + c->before.give / bench_sigma * normal(b, times);
        } while (share && (b->values[i] < 0 || b->values[i] > 1));
    }
    return truth_try(&b->truth, b->build, &cool, b->what, b->values, b->quantities);
}

static bool read_lure(Bout *b, BlyReadingKind kind, BlyStage stage) {
    BlyReading *r = &b->readings[b->count];
    double exact = truth_reads(&b->truth, kind, stage);
    if (!isfinite(exact))
        return false;
    *r = truth_reading(&b->truth, kind, stage, 0.6, b->rng);
    if (kind == BLY_READ_SHOWS)
        r->value.value = fmin(fmax(r->value.value, 0), 1);
    if (kind == BLY_READ_TILT || kind == BLY_READ_TILT_AFLOAT)
        r->value.value = remainder(r->value.value, 2 * M_PI);
    b->exact[b->count++] = exact;
    return true;
}

/* One to four different things, mostly of the lure as it is. */
static void read_some(Bout *b) {
    size_t wanted = 1 + gsl_rng_uniform_int(b->rng, 4);
    bool done[BLY_READ_KINDS] = {false};
    b->count = 0;
    for (int tries = 0; b->count < wanted && tries < 20; tries++) {
        BlyReadingKind kind = (BlyReadingKind)gsl_rng_uniform_int(b->rng, BLY_READ_KINDS);
        bool bare = gsl_rng_uniform(b->rng) < 0.2;
        if (!done[kind])
            done[kind] = read_lure(b, kind, bare ? BLY_STAGE_BLANK : BLY_STAGE_COMPLETE);
    }
}

static double squared(double v) {
    return v * fabs(v);
}

/* The sum of squares at the true lure: what the solver must not exceed. */
static double true_sum(const Bout *b) {
    double sum = b->drawn;
    for (size_t i = 0; i < b->count; i++) {
        const BlyReading *r = &b->readings[i];
        double sigma = r->value.give / bench_sigma, off = r->value.value - b->exact[i];
        if (r->kind == BLY_READ_TILT || r->kind == BLY_READ_TILT_AFLOAT)
            off = remainder(off, 2 * M_PI);
        if (r->kind == BLY_READ_DRIFT) {
            off = squared(r->value.value) - squared(b->exact[i]);
            sigma = hypot(2 * r->value.value * sigma, sigma * sigma);
        }
        sum += off * off / sigma / sigma;
    }
    return sum;
}

static void count_within(const Bout *b, const BlyTankResult *result, const BlyForecast *after,
                         Tally *tally) {
    BlySums sums;
    BlyWater own;
    for (size_t i = 0; i < b->quantities; i++) {
        const BlyCorrection *c = &result->corrections[i];
        if (c->learnt < 0.02 || c->kind == BLY_LEARN_MUNK || c->kind == BLY_LEARN_SOAK)
            continue;
        tally->learnt++;
        tally->within += fabs(c->after.value - b->values[i]) <= c->after.give;
    }
    for (size_t i = 0; i < b->build->seat_count; i++) {
        if (b->build->seats[i].load.value > 0)
            return; /* a leader, which is not on the true lure */
    }
    must(
        bly_water_at(b->build->water.temperature.value, b->build->water.salinity.value, &own, err));
    bly_balance_sums(&b->truth.lure, &own, &sums);
    tally->forecasts++;
    tally->held += cover_band(sums.net_weight, after->net_weight);
}

static void honest(Bout *b, Tally *tally) {
    BlyTankResult result;
    BlyForecast after;
    if (draw_lure(b, 1)) {
        read_some(b);
        if (learn(b, b->readings, b->count, &result, &after)) {
            tally->honest++;
            tally->contradicted += result.contradiction;
            tally->unsettled += !result.settled;
            if (result.chi_square > true_sum(b) + 0.05)
                fail_msg("%s: a sum of %.4f where the true lure has %.4f", b->build->name,
                         result.chi_square, true_sum(b));
            count_within(b, &result, &after, tally);
        }
        bly_tank_release(&result);
    }
    truth_release(&b->truth);
}

/* Three times as far off as the gives: rare, but then not never. */
static void far_off(Bout *b) {
    BlyTankResult result;
    if (draw_lure(b, 3)) {
        read_some(b);
        (void)learn(b, b->readings, b->count, &result, NULL);
        bly_tank_release(&result);
    }
    truth_release(&b->truth);
}

/* Ten times, or a tenth: of the readings that a decimal can change and that are known well enough
 * to tell. The give stays what was written. */
static void off_by_ten(Bout *b, Tally *tally) {
    BlyTankResult result;
    if (draw_lure(b, 1)) {
        double times = gsl_rng_uniform(b->rng) < 0.5 ? 10 : 0.1;
        b->count = 0;
        (void)(read_lure(b, BLY_READ_SCALE, BLY_STAGE_COMPLETE) &&
               read_lure(b, BLY_READ_BALANCE, BLY_STAGE_COMPLETE) &&
               read_lure(b, BLY_READ_IN_WATER, BLY_STAGE_COMPLETE));
        size_t wrong = gsl_rng_uniform_int(b->rng, 2);
        b->readings[wrong].value.value *= times;
        if (learn(b, b->readings, b->count, &result, NULL)) {
            tally->tenfold++;
            tally->named += result.taught[wrong].contradicts;
            tally->explained += fabs(result.taught[wrong].slip * times - 1) < 1e-9;
        }
        bly_tank_release(&result);
    }
    truth_release(&b->truth);
}

/* Two scales a tenth apart; and what sinks and rises. */
static void contradictory(const Bout *b) {
    BlyTankResult none, result;
    must(bly_tank_learn(b->build, NULL, 0, &cool, &none, err));
    double mass = 2 * none.body_mass.value;
    bly_tank_release(&none);
    const BlyReading scales[] = {{BLY_READ_SCALE, {mass, 0.02e-3}, BLY_STAGE_COMPLETE},
                                 {BLY_READ_SCALE, {1.1 * mass, 0.02e-3}, BLY_STAGE_COMPLETE}};
    const BlyReading ways[] = {{BLY_READ_DRIFT, {0.12, 4e-3}, BLY_STAGE_COMPLETE},
                               {BLY_READ_DRIFT, {-0.12, 4e-3}, BLY_STAGE_COMPLETE}};
    assert_true(learn(b, scales, 2, &result, NULL) && result.contradiction);
    bly_tank_release(&result);
    assert_true(learn(b, ways, 2, &result, NULL) && result.contradiction);
    bly_tank_release(&result);
}

/* Any figure that is not refused out of hand. */
static void anything(Bout *b) {
    static const struct {
        BlyReadingKind kind;
        double low, high, give;
    } any[] = {{BLY_READ_SCALE, 1e-4, 0.2, 2e-5},     {BLY_READ_IN_WATER, -0.05, 0.05, 2e-5},
               {BLY_READ_DRIFT, -1, 1, 5e-3},         {BLY_READ_TILT, -3, 3, 0.035},
               {BLY_READ_TILT_AFLOAT, -3, 3, 0.035},  {BLY_READ_SHOWS, 0, 1, 0.015},
               {BLY_READ_BALANCE, -0.05, 0.2, 0.5e-3}};
    BlyTankResult result;
    BlyForecast after;
    size_t count = 1 + gsl_rng_uniform_int(b->rng, 3);
    for (size_t i = 0; i < count; i++) {
        size_t k = gsl_rng_uniform_int(b->rng, sizeof any / sizeof any[0]);
        double value = any[k].low + (any[k].high - any[k].low) * gsl_rng_uniform(b->rng);
        BlyStage stage = (BlyStage)gsl_rng_uniform_int(b->rng, BLY_STAGES);
        b->readings[i] = (BlyReading){any[k].kind, {value, any[k].give}, stage};
    }
    (void)learn(b, b->readings, count, &result, &after);
    bly_tank_release(&result);
}

static void fight(const char *path, int trials, unsigned long seed, Tally *tally) {
    Bout bout = {.build = read_build(path), .rng = gsl_rng_alloc(gsl_rng_mt19937)};
    BlyTankResult none;
    clock_t from = clock();
    gsl_rng_set(bout.rng, seed);
    must(bly_tank_learn(bout.build, NULL, 0, &cool, &none, err));
    assert_true(none.correction_count <= QUANTITIES);
    bout.quantities = none.correction_count;
    for (size_t i = 0; i < bout.quantities; i++)
        bout.what[i] = none.corrections[i];
    bly_tank_release(&none);
    contradictory(&bout);
    for (int i = 0; i < trials; i++) {
        honest(&bout, tally);
        switch (gsl_rng_uniform_int(bout.rng, 3)) {
        case 0:
            far_off(&bout);
            break;
        case 1:
            off_by_ten(&bout, tally);
            break;
        default:
            anything(&bout);
        }
    }
    print_message("  %-34s %.2f s of CPU an answer\n", bout.build->name,
                  (double)(clock() - from) / CLOCKS_PER_SEC / (2 * trials + 2));
    gsl_rng_free(bout.rng);
    bly_build_free((BlyBuild *)bout.build);
}

/* Shares within some three standard deviations of a count, as if what one lure taught were one. */
static void between(const char *words, int part, int of, double low, double high) {
    double share = of > 0 ? (double)part / of : high;
    print_message("  %-40s %d of %d\n", words, part, of);
    if (share < low || share > high)
        fail_msg("%s: %d of %d", words, part, of);
}

static void always_an_answer(void **state) {
    (void)state;
    const char *said = getenv("TANK_TRIALS");
    int trials = said ? atoi(said) : 1;
    Tally tally = {0};
    for (size_t i = 0; i < BUILDS; i += (size_t)repeats(1, 3))
        fight(builds[i], trials, 71 + i, &tally);
    double slack = 3 / sqrt(tally.honest);
    between("honest readings that contradict", tally.contradicted, tally.honest, 0,
            0.02 + 0.14 * slack);
    between("honest readings that did not settle", tally.unsettled, tally.honest, 0,
            0.02 + 0.14 * slack);
    between("figures learnt of, within their gives", tally.within, tally.learnt,
            0.95 - 0.22 * slack, 1);
    between("net weights within their 90 % range", tally.held, tally.forecasts, 0.9 - 0.3 * slack,
            1 - 1e-9 + 0.3 * slack);
    between("readings off by ten that are named", tally.named, tally.tenfold, 1, 1);
    between("of those, the slip told", tally.explained, tally.tenfold, 0.9, 1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(always_an_answer),
    };
    return cmocka_run_group_tests(tests, load_shipped, drop_shipped);
}
