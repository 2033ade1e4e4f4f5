/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The surest rigs against the nominal best, on an example whose only trims add weight. Laws: in
 * order of chance, as the reserve of each says when worked out anew; lighter by design. */
#include "ballastry/catalog.h"
#include "ballastry/fit.h"
#include "build/build.h"
#include "fit/rank.h"
#include "lure/kit.h"
#include "support/raised.h"

#include <gsl/gsl_errno.h>

typedef struct Example {
    BlyCatalog catalog;
    BlyBuild *build;
} Example;

static void example_open(Example *x, const char *path) {
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    char *text = malloc(1 << 16);
    assert_non_null(text);
    size_t size = fread(text, 1, 1 << 16, file);
    (void)fclose(file);
    (void)gsl_set_error_handler_off();
    must(bly_catalog_shipped(&x->catalog, err));
    must(bly_build_read(text, size, &x->catalog, &x->build, err));
    free(text);
}

static void example_close(Example *x) {
    bly_build_free(x->build);
    bly_catalog_release(&x->catalog);
}

static void test_light_by_design(void **state) {
    (void)state;
    Example x;
    BlyFitResult plain, sure;
    BlyReserve *reserves, of_plain;
    const BlyFitOptions three = {.rigs = 3};
    example_open(&x, "examples/light-by-design.json");
    must(bly_fit(x.build, &x.catalog, &three, &plain, err));
    must(bly_fit_surest(x.build, &x.catalog, &three, &sure, &reserves, err));
    assert_true(plain.count == 3 && sure.count == 3 && sure.met && sure.surest);
    must(bly_reserve(x.build, &x.catalog, &plain.rigs[0].rig, NULL, &of_plain, err));
    /* Neutral on paper, against light on paper. */
    assert_close(plain.rigs[0].outcome[0].sums.net_weight, 0, 10e-6, 0);
    assert_true(sure.rigs[0].outcome[0].sums.net_weight < -50e-6);
    assert_true(reserves[0].chance[0] < of_plain.chance[0]);
    assert_true(reserves[0].chance[2] > of_plain.chance[2] + 0.08);
    for (size_t i = 0; i + 1 < sure.count; i++) /* closer than that is alike */
        assert_true(bly_reserve_chance(&reserves[i]) >
                    bly_reserve_chance(&reserves[i + 1]) - RANK_AS_GOOD - RANK_BY_DESIGN);
    /* What is nearest on paper is one of them, and told. */
    assert_in_range(sure.on_paper, 2, 3);
    const BlyFitRig *on_paper = &sure.rigs[sure.on_paper - 1];
    assert_int_equal(rig_order(&on_paper->rig, &plain.rigs[0].rig), 0);
    assert_close(on_paper->off, plain.rigs[0].off, 1e-12, 0);
    /* The judgement is that of the build's own target, not of the widened one. */
    for (size_t i = 0; i < sure.count; i++) {
        BlyJudgement again = bly_judge(&x.build->target, &sure.rigs[i].outcome[0]);
        assert_true(sure.rigs[i].met == again.met);
    }
    free(reserves);
    bly_fit_release(&plain);
    bly_fit_release(&sure);
    example_close(&x);
}

/* Give of a rig's loose parts, kg. */
static double gives(const BlyFitRig *rig) {
    double sum = 0;
    for (size_t s = 0; s < rig->rig.count; s++) {
        const BlyChosenPart *hook = &rig->rig.at[s].of[BLY_PART_HOOK],
                            *ring = &rig->rig.at[s].of[BLY_PART_RING];
        sum += hook->part ? hook->part->mass.give : 0;
        sum += ring->part ? ring->part->mass.give : 0;
    }
    return sum;
}

/* Margins prefer parts that are sure. */
static void test_margins(void **state) {
    (void)state;
    Example x;
    BlyFitResult plain, kept;
    const BlyFitOptions one = {.rigs = 1}, margins = {.rigs = 1, .margins = true};
    example_open(&x, "examples/light-by-design.json");
    must(bly_fit(x.build, &x.catalog, &one, &plain, err));
    must(bly_fit(x.build, &x.catalog, &margins, &kept, err));
    assert_true(gives(&kept.rigs[0]) <= gives(&plain.rigs[0]) + 1e-9);
    bly_fit_release(&plain);
    bly_fit_release(&kept);
    example_close(&x);
}

/* Halts at its n-th word about how sure the rigs are. */
typedef struct Halter {
    atomic_bool stop;
    int at, told, after;
} Halter;

static void count_ranks(void *context, const BlyFitProgress *progress) {
    Halter *halter = context;
    halter->after += atomic_load(&halter->stop);
    if (progress->stage == BLY_FIT_RANKS && ++halter->told == halter->at)
        atomic_store(&halter->stop, true);
}

/* From the first word to the last: it ends at once, at the latest with the next word, which stands
 * for no more than a few lures; a chance is told of all rigs or of none, and the rigs are true. */
static void test_halted(void **state) {
    (void)state;
    Example x;
    int with = 0, without = 0;
    bool halted = true;
    example_open(&x, "examples/light-by-design.json");
    for (int at = 1; halted; at += 1 + at / 3) {
        Halter halter = {.at = at};
        const BlyFitOptions options = {.rigs = 3,
                                       .stop = raised,
                                       .stop_context = &halter.stop,
                                       .progress = count_ranks,
                                       .progress_context = &halter};
        BlyFitResult result;
        BlyReserve *reserves;
        must(bly_fit_surest(x.build, &x.catalog, &options, &result, &reserves, err));
        halted = atomic_load(&halter.stop);
        assert_in_range(halter.after, 0, 1);
        assert_true(result.count > 0 && result.met && result.surest == (reserves != NULL));
        assert_true(!halted || (result.stopped && !result.proven && reserves == NULL));
        for (size_t i = 0; i < result.count; i++) {
            BlyJudgement again = bly_judge(&x.build->target, &result.rigs[i].outcome[0]);
            assert_true(result.rigs[i].met == again.met);
        }
        with += !halted;
        without += halted;
        free(reserves);
        bly_fit_release(&result);
    }
    assert_true(with == 1 && without > 5);
    example_close(&x);
}

static void test_refusals(void **state) {
    (void)state;
    Example x;
    BlyFitResult sure;
    BlyReserve *reserves;
    BlyError err = {0};
    const BlyFitOptions many = {.rigs = BLY_FIT_RIGS_MAX + 1}, two = {.rigs = 2};
    example_open(&x, "examples/light-by-design.json");
    assert_false(bly_fit_surest(x.build, &x.catalog, &many, &sure, &reserves, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    free(reserves);
    bly_fit_release(&sure);
    x.build->has_target = false;
    assert_false(bly_fit_surest(x.build, &x.catalog, &two, &sure, &reserves, &err));
    assert_int_equal(err.code, BLY_E_MISSING);
    free(reserves);
    bly_fit_release(&sure);
    x.build->has_target = true;
    example_close(&x);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_light_by_design),
        cmocka_unit_test(test_margins),
        cmocka_unit_test(test_halted),
        cmocka_unit_test(test_refusals),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
