/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A fit that is watched and stopped: it says how far it is, ends soon, gives what it has, and
 * claims nothing that it did not prove. What is true of a rig is asked of `rest`. */
#include "support/raised.h"
#include "support/check.h"
#include "ballastry/fit.h"
#include "files/files.h"
#include "fit/candidates.h"
#include "support/shipped.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static BlyBuild *build; /* examples/light-by-design.json */

static int load(void **state) { /* one search, not one by stages */
    char *text = NULL;
    size_t size = 0;
    bool good = load_without_practice(state) == 0 &&
                bly_file_read("examples/light-by-design.json", 1 << 20, &text, &size, NULL);
    good = good && bly_build_read(text, size, &catalog, &build, NULL);
    free(text);
    return good ? 0 : -1;
}

static int unload(void **state) {
    bly_build_free(build);
    return drop_shipped(state);
}

/* Notes down what it is told, and stops when so many rigs are there. */
typedef struct Watcher {
    atomic_bool stop;
    size_t stop_at; /* rigs; 0: never */
    size_t told, rigs;
    unsigned stages; /* bits 1 << BlyFitStage */
    bool went_back, met_without_rig, wrong_off;
} Watcher;

static void note(void *context, const BlyFitProgress *p) {
    Watcher *w = context;
    if (p->stage == BLY_FIT_GATHERS)
        w->rigs = 0; /* another search */
    if (p->stage != BLY_FIT_RANKS) {
        w->went_back = w->went_back || p->rigs < w->rigs;
        w->rigs = p->rigs;
    }
    w->met_without_rig = w->met_without_rig || (p->met && p->rigs == 0);
    w->wrong_off = w->wrong_off || (isnan(p->off) != (p->rigs == 0));
    w->stages |= 1u << p->stage;
    w->told++;
    if (w->stop_at > 0 && w->rigs >= w->stop_at)
        atomic_store(&w->stop, true);
}

static BlyFitOptions watched(Watcher *watcher) {
    return (BlyFitOptions){.rigs = 3,
                           .stop = raised,
                           .stop_context = &watcher->stop,
                           .progress = note,
                           .progress_context = watcher};
}

static void assert_true_rigs(const BlyFitResult *result) {
    for (size_t i = 0; i < result->count; i++) {
        BlyLure lure;
        assert_true(bly_lure_make(&build->blank, build->seats, &result->rigs[i].rig, &lure, NULL));
        for (size_t w = 0; w < result->rigs[i].water_count; w++) {
            BlyOutcome outcome;
            BlyWater water = result->rigs[i].outcome[w].water;
            assert_true(bly_rest(&lure, &water, &outcome, NULL));
            assert_close(result->rigs[i].outcome[w].drift, outcome.drift, 0, 1e-12);
            assert_int_equal(result->rigs[i].judgement[w].met,
                             bly_judge(&build->target, &outcome).met);
        }
        bly_lure_release(&lure);
    }
}

static void test_watching_changes_nothing(void **state) {
    (void)state;
    Watcher watcher = {.told = 0};
    BlyFitOptions quiet = {.rigs = 3}, loud = watched(&watcher);
    BlyFitResult a, b;
    assert_true(bly_fit(build, &catalog, &quiet, &a, NULL));
    assert_true(bly_fit(build, &catalog, &loud, &b, NULL));
    assert_false(b.stopped);
    assert_int_equal(a.proven, b.proven);
    assert_close(a.gap, b.gap, 0, 0);
    assert_int_equal(a.count, b.count);
    for (size_t i = 0; i < a.count; i++)
        assert_close(a.rigs[i].off + a.rigs[i].cost, b.rigs[i].off + b.rigs[i].cost, 0, 0);
    assert_true(watcher.rigs > 0 && watcher.told > watcher.rigs);
    assert_false(watcher.went_back || watcher.met_without_rig || watcher.wrong_off);
    for (int stage = 0; stage < BLY_FIT_STAGES; stage++) {
        assert_true(strlen(bly_fit_stage_words((BlyFitStage)stage)) > 5);
        assert_int_equal((watcher.stages >> stage) & 1, stage != BLY_FIT_RANKS);
    }
    bly_fit_release(&a);
    bly_fit_release(&b);
}

static void test_stopped_before_it_began(void **state) {
    (void)state;
    Watcher watcher = {.stop = true};
    BlyFitOptions options = watched(&watcher);
    BlyFitResult result;
    assert_true(bly_fit(build, &catalog, &options, &result, NULL));
    assert_true(result.stopped);
    assert_false(result.proven || result.met);
    assert_int_equal(result.count, 1); /* there is a nearest miss all the same */
    assert_true(isnan(result.gap));
    bly_fit_release(&result);
}

static void test_stopped_midway(void **state) {
    (void)state;
    for (size_t rigs = 1; rigs <= 9; rigs += 4) {
        Watcher watcher = {.stop_at = rigs};
        BlyFitOptions options = watched(&watcher);
        BlyFitResult result;
        assert_true(bly_fit(build, &catalog, &options, &result, NULL));
        assert_true(result.stopped);
        assert_true(result.count >= 1 && result.count <= 3);
        assert_int_equal(watcher.rigs, rigs); /* not one more */
        assert_true_rigs(&result);
        bly_fit_release(&result);
    }
}

/* The other two ways to rank make several searches: they end too, with what there is. */
static void test_all_ranks_stop(void **state) {
    (void)state;
    BlyFitResult result;
    BlyReserve *reserves = NULL;
    Watcher first = {.stop_at = 4}, second = {.stop_at = 4};
    BlyFitOptions options = watched(&first);
    assert_true(bly_fit_surest(build, &catalog, &options, &result, &reserves, NULL));
    assert_true(result.stopped);
    assert_true(result.count >= 1);
    assert_null(reserves); /* how sure they are is not begun then */
    assert_int_equal((first.stages >> BLY_FIT_RANKS) & 1, 0);
    free(reserves);
    bly_fit_release(&result);
    options = watched(&second);
    assert_true(bly_fit_finished(build, &catalog, &options, &result, NULL));
    assert_true(result.stopped);
    assert_false(result.proven);
    bly_fit_release(&result);
}

/* Listing what goes to one seat may take long with a large catalog: it ends on the way. */
static void test_a_list_ends_where_it_is(void **state) {
    (void)state;
    atomic_bool yes = true, no = false;
    const BlyFitOptions stopped = {.stop = raised, .stop_context = &yes},
                        running = {.stop = raised, .stop_context = &no}, timed = {0};
    size_t open_seats = 0;
    for (size_t s = 0; s < build->seat_count; s++) {
        CandidateSet whole = {.options = &running, .deadline = INFINITY};
        CandidateSet flagged = {.options = &stopped, .deadline = INFINITY};
        CandidateSet late = {.options = &timed, .deadline = 0};
        unsigned open = build->seats[s].open;
        if (open == 0)
            continue;
        assert_true(candidates_of_seat(build, &catalog, (int)s, open, &whole, NULL));
        assert_true(candidates_of_seat(build, &catalog, (int)s, open, &flagged, NULL));
        assert_true(candidates_of_seat(build, &catalog, (int)s, open, &late, NULL));
        assert_true(whole.count > 20 && flagged.count <= 1 && late.count <= 1);
        candidates_release(&whole);
        candidates_release(&flagged);
        candidates_release(&late);
        open_seats++;
    }
    assert_true(open_seats > 1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_watching_changes_nothing),
        cmocka_unit_test(test_stopped_before_it_began),
        cmocka_unit_test(test_stopped_midway),
        cmocka_unit_test(test_all_ranks_stop),
        cmocka_unit_test(test_a_list_ends_where_it_is),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
