/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Moves from trim to trim: what stays unknown of a hook once wire is wound on it, what counts as
 * nearer, and two trims that lead far off alone. Against sums by hand and brute force. */
#include "support/check.h"
#include "trim/choose.h"

#include <gsl/gsl_math.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <string.h>

static const double sigmas = 1.959963984540054; /* normal law, 95 of 100: tables */

/* A hook 0.2 g lighter that nobody weighed, 80 mg off 95 times in 100; and 0.1 g of wire on it. */
static void hook_group(TrimList *trims, TrimChange *at) {
    static const BlyPart hook = {.id = "hook"};
    memset(trims, 0, sizeof *trims);
    trims->count = 1;
    trims->group[0] = (TrimGroup){.kind = BLY_TRIM_HOOK, .part = &hook, .count = 2};
    trims->group[0].option[0] = (TrimOption){
        .add = {.m = -0.2e-3}, .steps = -1, .things = 1, .give_share = 0.4, .other = &hook};
    trims->group[0].option[1] = (TrimOption){.add = {.m = -0.1e-3},
                                             .steps = -1,
                                             .things = 2,
                                             .give_share = 0.14,
                                             .other = &hook,
                                             .by_scale = true};
    at[0].change[BELIEF_N] = -0.2e-3;
    at[1].change[BELIEF_N] = -0.1e-3;
}

/* Variances add; what a test has seen of the hook is not asked again by wire on its shank, known by
 * two readings of a hundredth of a gram: 14 mg. */
static void test_wire_on_a_hook_that_hangs(void **state) {
    static TrimList trims;
    static TrimChange at[2 * TRIM_OPTIONS_MAX];
    const TrimChooser chooser = {NULL, &trims, at};
    const TrimMoves bare = {{{0, 0, 0}}, 1}, wound = {{{0, 1, 0}}, 1};
    TrimState lure;
    Belief belief = {.count = 1};
    (void)state;
    hook_group(&trims, at);
    trim_state_begin(&lure);
    trim_move(&chooser, &bare, &lure, &belief);
    assert_close(lure.sigma[0], 80e-6 / sigmas, 1e-12, 0);
    assert_close(belief.cov[0][0], gsl_pow_2(80e-6 / sigmas), 1e-16, 0);
    belief.cov[0][0] = 0; /* a test tells all */
    trim_move(&chooser, &wound, &lure, &belief);
    assert_close(belief.cov[0][0], gsl_pow_2(14e-6 / sigmas), 1e-16, 0);
    assert_close(lure.sigma[0], hypot(80e-6, 14e-6) / sigmas, 1e-12, 0);
    assert_close(trim_state_share(&trims.group[0], &lure, 0, 0.5),
                 1 + 0.5 * hypot(80e-6, 14e-6) / sigmas / 0.1e-3, 1e-9, 0);
    /* Both at once, by the scale: whatever each weighs. */
    belief = (Belief){.count = 1};
    trim_state_begin(&lure);
    trim_move(&chooser, &wound, &lure, &belief);
    assert_close(lure.sigma[0], 14e-6 / sigmas, 1e-12, 0);
    assert_close(belief.mean[0], -0.1e-3, 1e-12, 0);
}

static Outlook both_sides(double drift, double nose, double roll, double sigma) {
    Outlook o = {.low = {drift, nose, roll}, .high = {drift, nose, roll}};
    for (int k = 0; k < OUTLOOK_PLACES; k++) {
        o.has_low[k] = o.has_high[k] = true;
        o.middle[k] = o.low[k];
        o.least[k] = -INFINITY;
        o.most[k] = INFINITY;
        o.variance[k] = sigma * sigma;
    }
    return o;
}

/* By the product of normal laws; and a lure that misses two things by a little is nearer than one
 * that misses one by far. */
static void test_nearer_counts(void **state) {
    const double none[OUTLOOK_PLACES] = {0}, by[OUTLOOK_PLACES] = {-5, 1.9, 0};
    Outlook far = both_sides(6, -0.7, 0, 0.05), close = both_sides(0.8, 0.8, 0, 0.2);
    (void)state;
    assert_true(outlook_score(&far, by, none) < outlook_score(&far, none, none));
    /* P(x < 1) of a normal law one standard deviation inside: 0.8413, tables; twice. */
    double square = 0.8 * 0.8 * 2;
    assert_close(outlook_score(&close, none, none) - 0.002 * square, 1 - 0.8413 * 0.8413, 1e-3, 0);
}

/* Quarters of a turn of 8 mg each, of a wire of 1.75 g a metre; a lure that lacks 21.3 mg, each mg
 * half a half-band. */
static void wire_group(TrimList *trims, TrimChange *at, const BlyPart *wire) {
    memset(trims, 0, sizeof *trims);
    trims->count = 1;
    trims->group[0] = (TrimGroup){
        .kind = BLY_TRIM_TURNS, .part = wire, .count = 6, .play = 4e-6, .give_share = 0.1};
    for (int i = 0; i < 6; i++) {
        double mass = 8e-6 * (i + 1);
        trims->group[0].option[i] =
            (TrimOption){.add = {.m = mass}, .steps = (i + 4) / 4, .things = 1, .give_share = 0.1};
        at[i].change[BELIEF_N] = mass;
    }
}

/* It is cut to what is lacking, by the sum: 21.3 mg, and then back by 1.3 mg. What it is off by is
 * half a millimetre and what a metre is off by, 14 mg, in proportion: squares added by hand. */
static void test_wire_is_cut(void **state) {
    static TrimList trims;
    static TrimChange at[TRIM_OPTIONS_MAX];
    const BlyPart wire = {.kind = BLY_PART_WIRE, .id = "wire", .mass = {1.75e-3, 0.1e-3}};
    const TrimChooser chooser = {NULL, &trims, at};
    Outlook lacks = both_sides(-0.5 * 21.3, 0, 0, 0.1), over = both_sides(0.5 * 1.3, 0, 0, 0.1);
    TrimState lure;
    Belief belief = {.count = 1};
    (void)state;
    wire_group(&trims, at, &wire);
    lacks.states = over.states = 1;
    lacks.slope[0][BELIEF_N] = over.slope[0][BELIEF_N] = 0.5e6;
    trim_state_begin(&lure);
    TrimMoves moves = trim_choose(&chooser, &lure, &lacks);
    assert_int_equal(moves.count, 1);
    trim_move(&chooser, &moves, &lure, &belief);
    assert_close(belief.mean[0], 21.3e-6, 1e-12, 0);
    double sigma = hypot(0.5e-3 * 1.75e-3, 21.3e-6 * 14e-6 / 1.75e-3) / sigmas;
    assert_close(belief.cov[0][0], sigma * sigma, 0, 1e-9);
    assert_close(trim_state_share(&trims.group[0], &lure, 0, 0) *
                     trims.group[0].option[moves.move[0].option].add.m,
                 21.3e-6, 1e-12, 0);
    moves = trim_choose(&chooser, &lure, &over);
    assert_int_equal(moves.count, 0); /* in its band as it is */
}

enum { GROUPS = 6, A_GROUP = 40, TRIALS = 200 };

/* A ray a group, a little bent: steps of one kind at one place. */
static size_t random_moves(gsl_rng *dice, Move *out) {
    size_t count = 0;
    for (short g = 0; g < GROUPS; g++) {
        double way[OUTLOOK_PLACES];
        for (int k = 0; k < OUTLOOK_PLACES; k++)
            way[k] = gsl_ran_gaussian(dice, 1);
        for (short i = 0; i < A_GROUP; i++) {
            Move *move = &out[count++];
            *move = (Move){.group = g, .option = i, .things = 1};
            for (int k = 0; k < OUTLOOK_PLACES; k++)
                move->by[k] = (i + 1) * (0.5 * way[k] + gsl_ran_gaussian(dice, 0.01));
        }
    }
    return count;
}

static double least_of_all(const Outlook *outlook, const Move *moves, size_t count) {
    double least = INFINITY;
    for (size_t i = 0; i < count; i++) {
        for (size_t k = i + 1; k < count; k++) {
            double by[OUTLOOK_PLACES];
            for (int j = 0; j < OUTLOOK_PLACES; j++)
                by[j] = moves[i].by[j] + moves[k].by[j];
            if (moves[i].group != moves[k].group)
                least = fmin(least, outlook_square(outlook, by, INFINITY));
        }
    }
    return least;
}

/* Every pair by brute force, of lures that are some 10 half-bands off: most within a fifth of one.
 */
static void test_pairs(void **state) {
    static Move moves[GROUPS * A_GROUP];
    gsl_rng *dice = gsl_rng_alloc(gsl_rng_mt19937);
    int near = 0;
    double worst = 0;
    (void)state;
    for (int trial = 0; trial < TRIALS; trial++) {
        size_t count = random_moves(dice, moves);
        Outlook outlook = both_sides(gsl_ran_gaussian(dice, 12), gsl_ran_gaussian(dice, 6),
                                     gsl_ran_gaussian(dice, 2), 0.1);
        Mix kept[PAIRS_KEPT];
        size_t pairs = pairs_far_off(&outlook, moves, count, kept);
        double found = INFINITY, least = least_of_all(&outlook, moves, count);
        assert_int_equal(pairs, PAIRS_KEPT);
        for (size_t i = 0; i < pairs; i++) {
            assert_true(kept[i].move[0]->group != kept[i].move[1]->group);
            found = fmin(found, kept[i].square);
        }
        near += sqrt(found) <= sqrt(least) + 0.2;
        worst = fmax(worst, sqrt(found) - sqrt(least));
    }
    print_message("of %d within 0.2 half-bands of the best of all pairs %d; at worst %.2f off\n",
                  TRIALS, near, worst);
    assert_true(near >= 0.7 * TRIALS);
    assert_true(worst < 2.5);
    gsl_rng_free(dice);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_wire_on_a_hook_that_hangs), cmocka_unit_test(test_wire_is_cut),
        cmocka_unit_test(test_nearer_counts), cmocka_unit_test(test_pairs)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
