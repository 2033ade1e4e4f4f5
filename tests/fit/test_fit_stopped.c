/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A fit cut short at each of its looks in turn, held against the whole search of the same build:
 * what is listed is true by `rest`, what is called proven is the whole search's list, and the best
 * rig there is lies within the printed gap. The distance is worked out here by the rule of
 * docs/fit.md. The builds are shipped examples, invented; the check is one way against another. */
#include "support/raised.h"
#include "support/check.h"
#include "support/shipped.h"
#include "ballastry/fit.h"
#include "build/build.h"
#include "files/files.h"

#include <math.h>
#include <stdlib.h>

static BlyBuild *read_build(const char *path) {
    char *text = NULL;
    size_t size = 0;
    BlyBuild *build = NULL;
    assert_true(bly_file_read(path, 1 << 20, &text, &size, NULL));
    assert_true(bly_build_read(text, size, &catalog, &build, NULL));
    free(text);
    return build;
}

/* Has the fit stopped at its n-th word: at the same place every time. */
typedef struct Stopper {
    atomic_bool stop;
    int told, at; /* at 0: never */
} Stopper;

static void count_words(void *context, const BlyFitProgress *progress) {
    Stopper *stopper = context;
    assert_true(progress->gap >= 0 || isnan(progress->gap));
    assert_true(progress->met || isnan(progress->gap) || progress->stage >= BLY_FIT_FINISHES);
    if (++stopper->told == stopper->at)
        atomic_store(&stopper->stop, true);
}

typedef bool (*Fit)(const BlyBuild *build, const BlyCatalog *parts, const BlyFitOptions *options,
                    BlyFitResult *out, BlyError *err);

static void fit_until(Fit fit, const BlyBuild *build, int at, BlyFitResult *out) {
    Stopper stopper = {.at = at};
    const BlyFitOptions options = {.rigs = 4,
                                   .stop = raised,
                                   .stop_context = &stopper.stop,
                                   .progress = count_words,
                                   .progress_context = &stopper};
    BlyError err = {0};
    if (!fit(build, &catalog, &options, out, &err))
        fail_msg("%s: %s", err.where, err.text);
}

static double beyond(double value, double low, double high) {
    return fmax(0, fabs(value - (low + high) / 2) / ((high - low) / 2) - 0.25);
}

/* What a rig is by the full physics: whether it meets the target, and how far off it is. */
static bool work_through(const BlyBuild *build, const BlyFitRig *rig, double *off) {
    const BlyTarget *t = &build->target;
    BlyLure lure;
    bool met = true;
    *off = 0;
    assert_true(bly_lure_make(&build->blank, build->seats, &rig->rig, &lure, NULL));
    for (size_t w = 0; w < build->target_water_count; w++) {
        BlyOutcome o;
        BlyWater water = rig->outcome[w].water;
        double low, high;
        assert_true(bly_rest(&lure, &water, &o, NULL));
        assert_true(bly_rest_net_weight(&lure, &water, o.nose_down, t->drift_low, &low, NULL));
        assert_true(bly_rest_net_weight(&lure, &water, o.nose_down, t->drift_high, &high, NULL));
        *off += (beyond(o.sums.net_weight, low, high) +
                 beyond(o.nose_down, t->nose_low, t->nose_high)) /
                (double)build->target_water_count;
        met = met && bly_judge(t, &o).met;
    }
    bly_lure_release(&lure);
    return met;
}

static void assert_true_rigs(const BlyBuild *build, const BlyFitResult *result) {
    for (size_t i = 0; i < result->count; i++) {
        const BlyFitRig *rig = &result->rigs[i];
        double off;
        assert_int_equal(work_through(build, rig, &off), result->met);
        assert_close(rig->off, off, 1e-9, 1e-9);
        assert_int_equal(rig->binding == BLY_REQ_NONE, result->met); /* a miss is named */
        assert_true(rig->cost >= result->cost_least - 1e-12);
    }
}

static double merit(const BlyFitResult *result, size_t i) {
    return result->rigs[i].off + result->rigs[i].cost;
}

static void assert_same_list(const BlyFitResult *a, const BlyFitResult *b) {
    assert_int_equal(a->met, b->met);
    assert_int_equal(a->count, b->count);
    for (size_t i = 0; i < a->count; i++)
        assert_close(merit(a, i), merit(b, i), 0, 0);
}

/* How often a search was stopped, and what was found then. */
typedef struct Tally {
    int stops, met, missed, none; /* by what was listed */
    int better;                   /* the whole search found a better rig than the stopped one */
} Tally;

static void assert_honest(const BlyFitResult *cut, const BlyFitResult *full, Tally *tally) {
    if (cut->proven || !cut->stopped) {
        assert_same_list(cut, full);
        assert_true(cut->gap <= 0 || !cut->proven);
        return;
    }
    assert_int_equal(isfinite(cut->gap), cut->met);
    tally->met += cut->met;
    tally->missed += !cut->met && cut->count > 0;
    tally->none += cut->count == 0;
    assert_true(cut->missing[0] == '\0');
    if (!cut->met)
        return;
    assert_true(full->met);
    for (size_t i = 0; i < full->count; i++)
        assert_true(merit(full, i) >= merit(cut, 0) - cut->gap - 1e-9);
    tally->better += merit(full, 0) < merit(cut, 0) - 1e-9;
}

static Tally stop_everywhere(Fit fit, const char *path) {
    BlyBuild *build = read_build(path);
    BlyFitResult full, cut;
    Tally tally = {0};
    fit_until(fit, build, 0, &full);
    assert_true(full.complete && !full.stopped);
    bool stopped = true;
    /* later words are much alike */
    for (int at = 1; stopped; at += 1 + at / repeats(16, 8)) {
        fit_until(fit, build, at, &cut);
        stopped = cut.stopped;
        tally.stops += stopped;
        assert_true_rigs(build, &cut);
        assert_honest(&cut, &full, &tally);
        bly_fit_release(&cut);
    }
    print_message("%s: %d stops, %d met, %d missed, %d without a rig, %d not the best yet\n", path,
                  tally.stops, tally.met, tally.missed, tally.none, tally.better);
    bly_fit_release(&full);
    bly_build_free(build);
    return tally;
}

/* Bands are set anew twice, and polishing goes on from there. */
static void test_what_is_said_holds_across_rounds(void **state) {
    (void)state;
    Tally tally = stop_everywhere(bly_fit, "examples/sinker-swap.json");
    assert_true(tally.stops > repeats(20, 12) && tally.better > 0);
    tally = stop_everywhere(bly_fit, "examples/light-by-design.json");
    assert_true(tally.met > repeats(20, 10) && tally.missed > 0 && tally.none == 0);
}

static void test_a_miss_is_no_bound(void **state) {
    (void)state;
    Tally tally = stop_everywhere(bly_fit, "examples/too-light.json");
    assert_true(tally.missed > 5 && tally.met == 0);
}

/* Mends and the surest are ranked by a chance, which half-bands do not bound. */
static void test_mends_claim_nothing(void **state) {
    (void)state;
    BlyBuild *build = read_build("examples/sinker-swap.json");
    BlyFitResult full, cut;
    fit_until(bly_fit_finished, build, 0, &full);
    assert_true(full.complete && !full.stopped && full.met && isnan(full.gap));
    int stops = 0;
    bool ended = false;
    for (int at = 1; at < 3000; at += 1 + at / repeats(8, 3)) {
        fit_until(bly_fit_finished, build, at, &cut);
        bool stopped = cut.stopped;
        stops += stopped;
        assert_true_rigs(build, &cut);
        assert_true(!cut.proven && isnan(cut.gap));
        if (!stopped)
            assert_int_equal(cut.count, full.count);
        bly_fit_release(&cut);
        ended = !stopped;
        if (ended)
            break;
    }
    assert_true(stops > 2 && ended);
    bly_fit_release(&full);
    bly_build_free(build);
}

static void test_the_surest_claim_nothing(void **state) {
    (void)state;
    BlyBuild *build = read_build("examples/light-by-design.json");
    for (int at = 1; at < 40; at += 9) {
        Stopper stopper = {.at = at};
        BlyFitOptions options = {.rigs = 2,
                                 .stop = raised,
                                 .stop_context = &stopper.stop,
                                 .progress = count_words,
                                 .progress_context = &stopper};
        BlyFitResult result;
        BlyReserve *reserves = NULL;
        assert_true(bly_fit_surest(build, &catalog, &options, &result, &reserves, NULL));
        assert_true(result.stopped && !result.proven && isnan(result.gap));
        free(reserves);
        bly_fit_release(&result);
    }
    bly_build_free(build);
}

/* Whenever time is up: the moment is the machine's, what is said then holds all the same. */
static void test_time_is_kept_in_every_stage(void **state) {
    (void)state;
    BlyBuild *build = read_build("examples/light-by-design.json");
    BlyFitResult full, cut;
    Tally tally = {0};
    fit_until(bly_fit, build, 0, &full);
    for (double secs = 1e-9; secs < 10; secs *= secs < 1e-4 ? 1e5 : 1.3) {
        const BlyFitOptions options = {.rigs = 4, .time_limit_secs = secs};
        assert_true(bly_fit(build, &catalog, &options, &cut, NULL));
        tally.stops += cut.stopped;
        bool whole = !cut.stopped;
        assert_true_rigs(build, &cut);
        assert_honest(&cut, &full, &tally);
        bly_fit_release(&cut);
        if (whole)
            break;
    }
    assert_true(tally.stops > 0 && tally.none == 0); /* 1 ns is too short, and still has a miss */
    bly_fit_release(&full);
    bly_build_free(build);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_what_is_said_holds_across_rounds),
        cmocka_unit_test(test_a_miss_is_no_bound),
        cmocka_unit_test(test_mends_claim_nothing),
        cmocka_unit_test(test_the_surest_claim_nothing),
        cmocka_unit_test(test_time_is_kept_in_every_stage),
    };
    return cmocka_run_group_tests(tests, load_without_practice, drop_shipped);
}
