/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Makers in the loop, a few of them; `make makers` has the whole table. Lures are drawn with fixed
 * seeds, so that each run is the same one. */
#include "ballastry/spread.h"
#include "ballastry/trim.h"
#include "support/maker_loop.h"
#include "support/shipped.h"

#include <gsl/gsl_cdf.h>

#define must(call) must_(call, #call)

static BlyError error;
static void must_(bool good, const char *what) {
    if (!good)
        fail_msg("%s: %s: %s", what, error.where, error.text);
}

/* What the whole table in docs/spread.md has, less what it may be off by; the goals are 0.70 after
 * one mend and 0.95 after two, three for bands of 6 mm/s, and docs/spread.md says why board-lip and
 * sinker-swap cannot have all of them. */
static const struct {
    const char *path;
    double after[LOOP_TESTS];
} builds[] = {{"examples/board-lip.json", {0.20, 0.80, 0.95}},
              {"examples/larch-minnow.json", {0.70, 0.90, 0.95}},
              {"examples/sinker-swap.json", {0.60, 0.60, 0.60}},
              {"examples/cedar-floater.json", {0.95, 0.95, 0.95}}};
enum { BUILDS = 4 };
#define FARTHER 0.03

/* Fewer successes of n than this come once in a thousand where each has the chance p: the binomial
 * law (GSL's distribution). */
static int bar(int n, double p) {
    int k = 0;
    while (gsl_cdf_binomial_P((unsigned)k, p, (unsigned)n) < 1e-3)
        k++;
    return k;
}

static void lures_get_on_target(void **state) {
    int asked = 0, held = 0, mends = 0, farther = 0;
    (void)state;
    /* of few makers the two between show nothing; the narrow band has 20 in any case */
    for (int i = 0; i < BUILDS; i += repeats(1, 3)) {
        LoopOrder order = {.catalog = &catalog,
                           .makers = repeats(20, i == 0 ? 20 : 3),
                           .seed = 1000,
                           .thread = true};
        LoopTally tally;
        BlyBuild *build = NULL;
        must(loop_build(builds[i].path, &catalog, false, &build, &error));
        order.build = build;
        must(loop_run(&order, &tally, &error));
        bly_build_free(build);
        print_message("%s: of %d makers on target %d, %d, %d, %d\n", builds[i].path, tally.makers,
                      tally.met[0], tally.met[1], tally.met[2], tally.met[3]);
        for (int k = 0; k < LOOP_TESTS; k++)
            assert_true(tally.met[k + 1] >= bar(tally.makers, builds[i].after[k]));
        assert_int_equal(tally.more_than_two, 0);
        asked += tally.asked[LOOP_NET];
        held += tally.held[LOOP_NET];
        mends += tally.mends;
        farther += tally.farther;
    }
    print_message("ranges hold %d of %d; worse %d of %d\n", held, asked, farther, mends);
    assert_true(mends > 0);
    assert_true(held >= bar(asked, 0.90));
    assert_true(mends - farther >= bar(mends, 1 - FARTHER));
}

/* The plan that `fit` prints is no promise that makers with its tools do not keep: they reach what
 * it foretells after one and two tests, within what the binomial law lets one in a thousand miss,
 * or more, by at most what docs/trim.md tells (it trims with fewer wires and hooks than there are).
 */
#define MORE_THAN_FORETOLD 0.2
static void makers_reach_what_is_foretold(void **state) {
    static const char *const own[] = {"examples/larch-minnow.json",
                                      "tests/makers/basswood-flat.json",
                                      "tests/makers/pine-minnow.json"};
    (void)state;
    for (int i = 0; i < 3; i += repeats(1, 2)) {
        LoopOrder order = {.catalog = &catalog, .makers = repeats(40, 4), .seed = 3000};
        LoopTally tally;
        BlyBuild *build = NULL;
        BlyReserve plan;
        must(loop_build(own[i], &catalog, false, &build, &error));
        must(bly_reserve(build, &catalog, &build->fitted, NULL, &plan, &error));
        order.build = build;
        must(loop_run(&order, &tally, &error));
        for (int k = 0; k <= 2; k++) {
            double n = tally.makers, reached = tally.met[k] / n, p = plan.chance[k];
            double three = 3 * sqrt(fmax(p * (1 - p), 0.05) / n);
            print_message("%s: %d tests: foretold %.2f, of %.0f makers %.2f\n", own[i], k, p, n,
                          reached);
            assert_true(tally.met[k] >= bar(tally.makers, p));
            assert_true(reached < p + three + (k > 0 ? MORE_THAN_FORETOLD : 0));
        }
        bly_build_free(build);
    }
}

/* Draws in standard deviations of what is told. */
typedef struct Scatter {
    int draws;
    double sum, squares;
} Scatter;

static void scatter_add(Scatter *scatter, double off) {
    scatter->draws++;
    scatter->sum += off;
    scatter->squares += off * off;
}

/* Of n draws of a normal law the standard deviation has one of 1 / sqrt(2 n), the mean one of
 * 1 / sqrt(n) (any handbook of statistics): three of each. */
static void scatters_as_told(const Scatter *scatter, const char *what) {
    double n = scatter->draws, mean = scatter->sum / n,
           sigma = sqrt(scatter->squares / n - mean * mean);
    print_message("%s: mean off by %.2f, standard deviation %.2f of what is told\n", what, mean,
                  sigma);
    assert_close(mean, 0, 3 / sqrt(n), 0);
    assert_close(sigma, 1, 3 / sqrt(2 * n), 0);
}

/* Real lures scatter as the build's tolerances have them: against the room spread, which draws its
 * own samples by its own stand-ins. */
static void real_lures_scatter_as_told(void **state) {
    enum { DRAWS = 100 };
    BlyBuild *build = NULL;
    BlySpread spread;
    gsl_rng *dice = gsl_rng_alloc(gsl_rng_mt19937);
    Scatter net = {0};
    (void)state;
    assert_non_null(dice);
    must(loop_build(builds[2].path, &catalog, false, &build, &error));
    must(bly_spread(build, &build->fitted, &build->water, 1, NULL, NULL, &spread, &error));
    const BlyRange *told = &spread.water[0].range[BLY_Q_NET_WEIGHT];
    for (int i = 0; i < DRAWS; i++) {
        RealLure lure;
        BlyOutcome is;
        gsl_rng_set(dice, 77 + (unsigned long)i);
        must(real_begin(build, dice, 1, &lure, &error));
        must(real_in_tank(&lure, &is, &error));
        scatter_add(&net, (is.sums.net_weight - told->nominal) / told->sigma);
        real_release(&lure);
    }
    scatters_as_told(&net, "net weight");
    gsl_rng_free(dice);
    bly_build_free(build);
}

/* What hands did not touch stays the very same lure, and a turn of wire weighs what a turn weighs,
 * 12 % more or less: the wire's own tolerance and the hand's, four standard deviations. */
static void hands_do_what_is_said(void **state) {
    BlyBuild *build = NULL;
    RealLure lure;
    BlyOutcome before, same, after;
    BlyRig rig;
    gsl_rng *dice = gsl_rng_alloc(gsl_rng_mt19937);
    (void)state;
    assert_non_null(dice);
    must(loop_build(builds[0].path, &catalog, false, &build, &error));
    must(real_begin(build, dice, 1, &lure, &error));
    must(real_in_tank(&lure, &before, &error));
    must(real_mend(&lure, &build->fitted, &build->fitted, &error));
    must(real_in_tank(&lure, &same, &error));
    assert_close(same.sums.net_weight, before.sums.net_weight, 1e-12, 0);
    assert_int_equal(rig_changes(&build->fitted, &build->fitted), 0);
    must(bly_rig_copy(&rig, &build->fitted, &error));
    int belly = bly_build_seat(build, "belly");
    must(bly_build_swap(build, &catalog, &rig, "belly", "wire", "tin-copper-wire-0.5", &error));
    rig.at[belly].count = 4;
    assert_int_equal(rig_changes(&build->fitted, &rig), 1);
    must(real_mend(&lure, &build->fitted, &rig, &error));
    must(real_in_tank(&lure, &after, &error));
    double turn = bly_wire_turn_mass(rig.at[belly].of[BLY_PART_WIRE].part,
                                     rig.at[belly].of[BLY_PART_HOOK].part);
    assert_close(after.sums.mass - before.sums.mass, 4 * turn, 0, 0.12);
    bly_rig_release(&rig);
    real_release(&lure);
    gsl_rng_free(dice);
    bly_build_free(build);
}

/* What tank comes to think of what was ground does not grind: a lure that is mended by nothing is
 * the very same. */
static void what_is_ground_stays(void **state) {
    BlyBuild *build = NULL;
    RealLure lure;
    BlyOutcome ground, later;
    BlyRig rig;
    gsl_rng *dice = gsl_rng_alloc(gsl_rng_mt19937);
    (void)state;
    assert_non_null(dice);
    must(loop_build(builds[0].path, &catalog, false, &build, &error));
    must(real_begin(build, dice, 1, &lure, &error));
    must(bly_rig_copy(&rig, &build->fitted, &error));
    BlyChoice *lip = &rig.at[bly_build_seat(build, "lip")];
    lip->filed = 0.10e-3;
    lip->filed_give = 0.02e-3;
    must(real_mend(&lure, &build->fitted, &rig, &error));
    must(real_in_tank(&lure, &ground, &error));
    lip->filed = 0.13e-3;
    must(real_mend(&lure, &rig, &rig, &error));
    must(real_in_tank(&lure, &later, &error));
    assert_close(later.sums.net_weight, ground.sums.net_weight, 1e-12, 0);
    bly_rig_release(&rig);
    real_release(&lure);
    gsl_rng_free(dice);
    bly_build_free(build);
}

/* 100 mg of copper wire of 1.75 g a metre, cut by a ruler: half a millimetre is 0.88 mg, 14 mg of a
 * metre 0.80 mg, both together 1.18 mg 95 times in 100, by squares added by hand. */
static void wire_is_cut_to_its_length(void **state) {
    const int draws = repeats(100, 25);
    BlyBuild *build = NULL;
    BlyRig rig;
    gsl_rng *dice = gsl_rng_alloc(gsl_rng_mt19937);
    Scatter wire = {0};
    (void)state;
    assert_non_null(dice);
    must(loop_build(builds[0].path, &catalog, false, &build, &error));
    must(bly_rig_copy(&rig, &build->fitted, &error));
    int belly = bly_build_seat(build, "belly");
    must(bly_build_swap(build, &catalog, &rig, "belly", "wire", "copper-wire-0.5", &error));
    rig.at[belly].count = 12;
    rig.at[belly].of[BLY_PART_WIRE].weighed = (BlyFigure){100e-6, 1.2e-6};
    for (int i = 0; i < draws; i++) {
        RealLure lure;
        BlyOutcome before, after;
        gsl_rng_set(dice, 99 + (unsigned long)i);
        must(real_begin(build, dice, 1, &lure, &error));
        must(real_in_tank(&lure, &before, &error));
        must(real_mend(&lure, &build->fitted, &rig, &error));
        must(real_in_tank(&lure, &after, &error));
        scatter_add(&wire,
                    (after.sums.mass - before.sums.mass - 100e-6) / (1.18e-6 / BLY_SIGMAS_95));
        real_release(&lure);
    }
    scatters_as_told(&wire, "wire");
    bly_rig_release(&rig);
    gsl_rng_free(dice);
    bly_build_free(build);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(real_lures_scatter_as_told),
        cmocka_unit_test(hands_do_what_is_said),
        cmocka_unit_test(what_is_ground_stays),
        cmocka_unit_test(wire_is_cut_to_its_length),
        cmocka_unit_test(lures_get_on_target),
        cmocka_unit_test(makers_reach_what_is_foretold),
    };
    return cmocka_run_group_tests(tests, load_shipped, drop_shipped);
}
