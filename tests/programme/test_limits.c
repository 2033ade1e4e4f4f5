/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where the choice programme ends early, has no answer, or refuses its input; and its buckets. */
#include "support/raised.h"
#include "support/check.h"
#include "support/brute.h"
#include "support/riddle.h"
#include "support/tackle.h"

#include <pthread.h>

/* A long way from a solution by any method: bare distances over many like columns. */
static void make_hard(Tackle *tackle, uint64_t seed) {
    TackleOptions bare = {.dead = 0};
    tackle_make(tackle, 60, seed, &bare);
    tackle_build(tackle);
}

static void a_time_limit_gives_the_best_so_far(void **state) {
    (void)state;
    Tackle tackle;
    make_hard(&tackle, 3);
    ProgOptions options = {.best = 1000, .time_limit_secs = 0.002, .exact_ties = true};
    options.visibly_different = true;
    ProgResult cut, full;
    assert_true(programme_solve(&tackle.programme, &options, &cut, NULL));
    assert_true(cut.out_of_time);
    assert_false(cut.proven);
    assert_true(isfinite(cut.bound) && cut.bound >= cut.relaxed - 1e-12);
    /* The bound is honest: the best of all, found without a limit, is not below it unless listed.
     */
    options = (ProgOptions){.best = 3};
    assert_true(programme_solve(&tackle.programme, &options, &full, NULL));
    assert_true(full.proven);
    bool listed = cut.count > 0 && cut.rigs[0].objective <= full.rigs[0].objective + 1e-7;
    assert_true(listed || full.rigs[0].objective >= cut.bound - 1e-7);
    programme_free(&cut);
    programme_free(&full);
    tackle_free(&tackle);
}

static void the_stop_flag_is_seen(void **state) {
    (void)state;
    Tackle tackle;
    make_hard(&tackle, 4);
    atomic_bool stop = true;
    ProgOptions options = {.best = 1000, .stop = raised, .stop_context = &stop, .exact_ties = true};
    options.visibly_different = true;
    ProgResult result;
    for (int method = PROG_AUTO; method <= PROG_TREE; method++) {
        options.method = (ProgMethod)method;
        assert_true(programme_solve(&tackle.programme, &options, &result, NULL));
        assert_true(result.out_of_time);
        assert_false(result.proven);
        programme_free(&result);
    }
    tackle_free(&tackle);
}

/* Whatever the cap, rigs at or below the bound are the true first ones. */
static void capped_bounds_are_honest(void **state) {
    (void)state;
    RiddleShape shape = {.groups = 6, .columns = 4, .waters = 2, .plates = 1, .dead = 0.5};
    for (uint64_t seed = 1; seed <= 12; seed++) {
        Riddle riddle;
        riddle_make(&riddle, &shape, seed);
        BruteRig truth[10];
        size_t count = brute_force(&riddle.programme, 10, false, truth);
        ProgOptions options = {.best = 10, .method = seed % 2 == 0 ? PROG_TREE : PROG_ENUMERATE};
        atomic_bool stop = true;
        options.stop = raised;
        options.stop_context = &stop;
        ProgResult result;
        assert_true(programme_solve(&riddle.programme, &options, &result, NULL));
        for (size_t i = 0; i < count; i++) {
            bool held =
                i < result.count && fabs(result.rigs[i].objective - truth[i].objective) < 2e-7;
            assert_true(held || truth[i].objective >= result.bound - 1e-7);
        }
        programme_free(&result);
        riddle_free(&riddle);
    }
}

typedef struct Patience {
    size_t calls, most;
    atomic_bool *stop;
} Patience;

/* Forbids nothing, and has the search stopped after so many questions: the same every time. */
static bool ask_so_often(void *context, size_t pair, size_t a, size_t b) {
    (void)pair;
    (void)a;
    (void)b;
    Patience *patience = context;
    if (++patience->calls >= patience->most)
        atomic_store(patience->stop, true);
    return false;
}

static void a_stopped_search_says_what_is_proven(void **state) {
    (void)state;
    RiddleShape shape = {.groups = 8, .columns = 12, .waters = 2, .plates = 1, .dead = 0};
    shape.pairs = true;
    size_t full_unproven = 0;
    for (uint64_t seed = 1; seed <= 10; seed++) {
        Riddle riddle;
        riddle_make(&riddle, &shape, seed);
        atomic_bool stop = false;
        Patience patience = {0, SIZE_MAX, &stop};
        riddle.programme.forbidden = ask_so_often;
        riddle.programme.forbidden_context = &patience;
        ProgOptions options = {
            .best = 2, .method = PROG_ENUMERATE, .stop = raised, .stop_context = &stop};
        ProgResult full, cut;
        assert_true(programme_solve(&riddle.programme, &options, &full, NULL));
        assert_true(full.proven);
        patience.most = patience.calls / 2 + 1;
        patience.calls = 0;
        assert_true(programme_solve(&riddle.programme, &options, &cut, NULL));
        for (size_t i = 0; i < full.count; i++) {
            bool held =
                i < cut.count && fabs(cut.rigs[i].objective - full.rigs[i].objective) < 2e-7;
            assert_true(held || full.rigs[i].objective >= cut.bound - 1e-7);
        }
        if (cut.count == options.best && cut.rigs[1].objective > cut.bound + 1e-6) {
            assert_false(cut.proven);
            full_unproven++;
        }
        programme_free(&full);
        programme_free(&cut);
        riddle_free(&riddle);
    }
    assert_true(full_unproven > 0);
}

/* Rigs above what is enough are of no interest; all below are found, in brute force's order. */
static void enough_is_enough(void **state) {
    (void)state;
    RiddleShape shape = {.groups = 5, .columns = 4, .waters = 2, .plates = 1, .dead = 0.5};
    for (uint64_t seed = 1; seed <= 24; seed++) {
        Riddle riddle;
        riddle_make(&riddle, &shape, seed);
        BruteRig truth[10];
        size_t count = brute_force(&riddle.programme, 10, false, truth), held = seed % 10;
        if (held + 1 >= count)
            held = count / 2;
        ProgOptions options = {.best = 10, .enough = truth[held].objective + 1e-6};
        ProgResult result;
        assert_true(programme_solve(&riddle.programme, &options, &result, NULL));
        assert_true(result.proven && result.count > held);
        assert_true(result.bound >= options.enough);
        for (size_t i = 0; i <= held; i++)
            assert_true(fabs(result.rigs[i].objective - truth[i].objective) < 2e-7);
        programme_free(&result);
        riddle_free(&riddle);
    }
}

/* However soon patience ends, there is a list, and what is not in it is not below the bound. */
static void patience_leaves_an_honest_bound(void **state) {
    (void)state;
    RiddleShape shape = {.groups = 8, .columns = 12, .waters = 2, .plates = 1, .dead = 0};
    size_t tired = 0;
    for (uint64_t seed = 1; seed <= 10; seed++) {
        Riddle riddle;
        riddle_make(&riddle, &shape, seed);
        ProgOptions options = {.best = 5};
        ProgResult full, cut;
        assert_true(programme_solve(&riddle.programme, &options, &full, NULL));
        assert_true(full.proven);
        options.patience = 1;
        assert_true(programme_solve(&riddle.programme, &options, &cut, NULL));
        assert_true(cut.count > 0 && !cut.out_of_time);
        for (size_t i = 0; i < full.count; i++) {
            bool held =
                i < cut.count && fabs(cut.rigs[i].objective - full.rigs[i].objective) < 2e-7;
            assert_true(held || full.rigs[i].objective >= cut.bound - 1e-7);
        }
        tired += !cut.proven;
        options = (ProgOptions){.best = 1, .method = PROG_RELAX};
        programme_free(&cut);
        assert_true(programme_solve(&riddle.programme, &options, &cut, NULL));
        assert_true(cut.count == 0 && !cut.proven && cut.relaxed <= full.rigs[0].objective + 1e-7);
        programme_free(&full);
        programme_free(&cut);
        riddle_free(&riddle);
    }
    assert_true(tired > 0);
}

/* Asked for more than there is: all of it, proven, at once. */
static void all_there_is_is_an_answer(void **state) {
    (void)state;
    RiddleShape shape = {.groups = 4, .columns = 3, .waters = 2, .plates = 1, .dead = 0.5};
    Riddle riddle;
    riddle_make(&riddle, &shape, 2);
    size_t rigs = 1, columns = 0;
    for (size_t g = 0; g < riddle.programme.group_count; g++) {
        rigs *= riddle.groups[g].count;
        columns += riddle.groups[g].count;
    }
    for (size_t c = 0; c < columns; c++) /* only the first group shows */
        riddle.columns[c].visible = c < riddle.groups[0].count ? (long)c : 0;
    ProgOptions options = {.best = PROG_BEST_MAX};
    ProgResult result;
    assert_true(programme_solve(&riddle.programme, &options, &result, NULL));
    assert_int_equal(result.count, rigs);
    assert_true(result.proven && isinf(result.bound) && !result.impossible);
    programme_free(&result);
    options.visibly_different = true;
    assert_true(programme_solve(&riddle.programme, &options, &result, NULL));
    assert_int_equal(result.count, riddle.groups[0].count);
    assert_true(result.proven && isinf(result.bound));
    programme_free(&result);
    riddle_free(&riddle);
}

typedef struct Worker {
    pthread_t thread;
    uint64_t seed;
    ProgMethod method;
    bool good;
    double objective[4];
} Worker;

static void *work(void *context) {
    Worker *worker = context;
    RiddleShape shape = {.groups = 6, .columns = 8, .waters = 3, .plates = 1, .dead = 0.5};
    worker->good = true;
    for (int round = 0; round < 5; round++) {
        Riddle riddle;
        riddle_make(&riddle, &shape, worker->seed);
        ProgOptions options = {.best = 4, .method = worker->method};
        ProgResult result;
        worker->good = worker->good &&
                       programme_solve(&riddle.programme, &options, &result, NULL) &&
                       result.count == 4;
        for (size_t i = 0; worker->good && i < 4; i++)
            worker->objective[i] = result.rigs[i].objective;
        programme_free(&result);
        riddle_free(&riddle);
    }
    return NULL;
}

/* GLPK keeps an environment per thread: several workers at once find what one finds alone. */
static void threads_do_not_meet(void **state) {
    (void)state;
    enum { WORKERS = 4 };
    Worker together[WORKERS] = {0}, alone[WORKERS] = {0};
    for (size_t i = 0; i < WORKERS; i++) {
        together[i].seed = alone[i].seed = 1 + i / 2;
        together[i].method = alone[i].method = i % 2 == 0 ? PROG_AUTO : PROG_TREE;
        assert_int_equal(pthread_create(&together[i].thread, NULL, work, &together[i]), 0);
    }
    for (size_t i = 0; i < WORKERS; i++) {
        assert_int_equal(pthread_join(together[i].thread, NULL), 0);
        (void)work(&alone[i]);
        assert_true(together[i].good && alone[i].good);
        assert_memory_equal(together[i].objective, alone[i].objective, sizeof alone[i].objective);
    }
}

/* One group of two columns and one hard row: small enough to say everything by hand. */
typedef struct Tiny {
    double f[2], g[2];
    ProgColumn columns[2];
    ProgGroup group;
    ProgRow row;
    ProgTarget target;
    double weight;
    Programme programme;
} Tiny;

static void make_tiny(Tiny *tiny) {
    *tiny = (Tiny){.f = {1, 2}, .g = {1, 1}, .weight = 10};
    tiny->columns[0] = (ProgColumn){.f = &tiny->f[0], .cost = 0.25};
    tiny->columns[1] = (ProgColumn){.f = &tiny->f[1], .cost = 0.5};
    tiny->group = (ProgGroup){tiny->columns, 2};
    tiny->row = (ProgRow){0, PROG_NONE, 0, 0, 3, PROG_NONE, 1};
    tiny->target = (ProgTarget){0, 0, 1.75, 0.5, 0.5, 1};
    tiny->programme = (Programme){.feature_count = 1,
                                  .groups = &tiny->group,
                                  .group_count = 1,
                                  .rows = &tiny->row,
                                  .row_count = 1,
                                  .targets = &tiny->target,
                                  .target_count = 1,
                                  .class_weight = &tiny->weight,
                                  .class_count = 1};
}

/* By hand: column 0 is 0.75 off, 0.25 beyond the dead zone, half a unit; column 1 is inside. */
static void a_tiny_programme_by_hand(void **state) {
    (void)state;
    Tiny tiny;
    make_tiny(&tiny);
    ProgOptions options = {.best = 5};
    ProgResult result;
    assert_true(programme_solve(&tiny.programme, &options, &result, NULL));
    assert_int_equal(result.count, 2);
    assert_true(result.proven);
    assert_true(isinf(result.bound));
    assert_int_equal(result.rigs[0].columns[0], 1);
    assert_close(result.rigs[0].objective, 0.5, 1e-12, 0);
    assert_close(result.rigs[0].distance, 0.5, 1e-12, 0);
    assert_close(result.rigs[1].objective, 0.75, 1e-12, 0);
    assert_close(result.rigs[1].deviation, 0.5, 1e-12, 0);
    assert_close(result.rigs[1].off[0], -0.75, 1e-12, 0);
    programme_free(&result);
    /* Column 1 filed by 0.25 is at the centre, and filing is free. */
    tiny.columns[1].range = 1;
    tiny.columns[1].g = &tiny.g[1];
    assert_true(programme_solve(&tiny.programme, &options, &result, NULL));
    assert_close(result.rigs[0].delta[0], 0.25, 1e-9, 0);
    assert_close(result.rigs[0].distance, 0, 1e-9, 0);
    programme_free(&result);
}

static void hard_rows_can_leave_nothing(void **state) {
    (void)state;
    Tiny tiny;
    make_tiny(&tiny);
    tiny.row.lo = 2.5; /* above both columns */
    ProgOptions options = {.best = 2};
    ProgResult result;
    for (int method = PROG_AUTO; method <= PROG_TREE; method++) {
        options.method = (ProgMethod)method;
        assert_true(programme_solve(&tiny.programme, &options, &result, NULL));
        assert_true(result.impossible && result.proven);
        assert_int_equal(result.count, 0);
        programme_free(&result);
    }
    /* Between the columns: a mixture would do, so only the enumeration can tell. */
    tiny.row.lo = 1.4;
    tiny.row.hi = 1.6;
    options.method = PROG_AUTO;
    assert_true(programme_solve(&tiny.programme, &options, &result, NULL));
    assert_true(result.impossible && result.proven);
    programme_free(&result);
    /* The same row with a price: both come back, each 0.4 off. */
    tiny.row.elastic = 0;
    assert_true(programme_solve(&tiny.programme, &options, &result, NULL));
    assert_int_equal(result.count, 2);
    assert_false(result.impossible || result.rigs[0].in_bands);
    assert_close(result.rigs[0].violation[0], 0.4, 1e-12, 0);
    assert_close(result.rigs[0].penalty, 4, 1e-9, 0);
    programme_free(&result);
}

static void refuse(const Tiny *tiny, const ProgOptions *options, BlyCode want) {
    ProgResult result;
    BlyError err = {0};
    assert_false(programme_solve(&tiny->programme, options, &result, &err));
    assert_int_equal(err.code, want);
    assert_true(err.text[0] != '\0');
    assert_null(result.rigs);
    programme_free(&result);
}

/* Each number once as it must not be. */
static void unsound_numbers_are_refused(void **state) {
    (void)state;
    const double bad[] = {NAN, INFINITY, -INFINITY};
    for (size_t i = 0; i < 3; i++) {
        Tiny tiny;
        double *places[] = {&tiny.f[0],
                            &tiny.g[1],
                            &tiny.columns[0].cost,
                            &tiny.columns[0].range,
                            &tiny.columns[1].cost_slope,
                            &tiny.row.base,
                            &tiny.target.base,
                            &tiny.target.centre,
                            &tiny.target.dead,
                            &tiny.target.unit,
                            &tiny.target.weight,
                            &tiny.weight};
        for (size_t k = 0; k < sizeof places / sizeof places[0]; k++) {
            make_tiny(&tiny);
            tiny.columns[1].range = 0.5;
            tiny.columns[1].g = &tiny.g[1];
            *places[k] = bad[i];
            refuse(&tiny, &(ProgOptions){.best = 1}, BLY_E_RANGE);
        }
        make_tiny(&tiny);
        refuse(&tiny, &(ProgOptions){.best = 1, .time_limit_secs = bad[i]}, BLY_E_RANGE);
    }
    Tiny tiny;
    double *positive[] = {&tiny.target.unit, &tiny.weight};
    double *not_negative[] = {&tiny.columns[0].cost, &tiny.columns[0].range, &tiny.target.dead,
                              &tiny.target.weight, &tiny.columns[0].cost_slope};
    for (size_t k = 0; k < 2; k++) {
        make_tiny(&tiny);
        *positive[k] = 0;
        refuse(&tiny, &(ProgOptions){.best = 1}, BLY_E_RANGE);
    }
    for (size_t k = 0; k < 5; k++) {
        make_tiny(&tiny);
        *not_negative[k] = -0.1;
        refuse(&tiny, &(ProgOptions){.best = 1}, BLY_E_RANGE);
    }
    make_tiny(&tiny);
    tiny.row.elastic = 0;
    tiny.row.unit = 0;
    refuse(&tiny, &(ProgOptions){.best = 1}, BLY_E_RANGE);
    make_tiny(&tiny);
    tiny.row.lo = NAN;
    refuse(&tiny, &(ProgOptions){.best = 1}, BLY_E_RANGE);
}

static void unsound_shapes_are_refused(void **state) {
    (void)state;
    Tiny tiny;
    make_tiny(&tiny);
    refuse(&tiny, &(ProgOptions){.best = 0}, BLY_E_RANGE);
    refuse(&tiny, &(ProgOptions){.best = PROG_BEST_MAX + 1}, BLY_E_RANGE);
    tiny.group.count = 0;
    refuse(&tiny, &(ProgOptions){.best = 1}, BLY_E_MISSING);
    make_tiny(&tiny);
    tiny.programme.group_count = 0;
    refuse(&tiny, &(ProgOptions){.best = 1}, BLY_E_RANGE);
    size_t *indices[] = {&tiny.row.feature, &tiny.row.margin, &tiny.row.elastic,
                         &tiny.target.feature};
    for (size_t k = 0; k < 4; k++) {
        make_tiny(&tiny);
        *indices[k] = 1;
        refuse(&tiny, &(ProgOptions){.best = 1}, BLY_E_UNKNOWN);
    }
    make_tiny(&tiny);
    ProgPair pair = {0, 1};
    tiny.programme.pairs = &pair;
    tiny.programme.pair_count = 1;
    refuse(&tiny, &(ProgOptions){.best = 1}, BLY_E_UNKNOWN);
}

static void buckets_keep_the_cheapest(void **state) {
    (void)state;
    const double mass[] = {1.004, 0.996, 1.01, 1.0, 1.006, 0.5};
    const double cost[] = {0.30, 0.20, 0.05, 0.20, 0.40, 1.0};
    const long look[] = {1, 1, 1, 2, 1, 1};
    ProgColumn columns[6] = {0};
    for (size_t i = 0; i < 6; i++)
        columns[i] = (ProgColumn){.f = &mass[i], .cost = cost[i], .visible = look[i]};
    ProgBuckets buckets;
    assert_true(programme_bucket(columns, 6, 0, 0.01, false, &buckets, NULL));
    assert_int_equal(buckets.count, 3); /* 0.50, 1.00, 1.01 g */
    const size_t kept[] = {5, 1, 2}, first[] = {0, 1, 4, 6}, equals[] = {5, 1, 3, 0, 2, 4};
    assert_memory_equal(buckets.kept, kept, sizeof kept);
    assert_memory_equal(buckets.first, first, sizeof first);
    assert_memory_equal(buckets.equals, equals, sizeof equals);
    programme_buckets_free(&buckets);
    assert_true(programme_bucket(columns, 6, 0, 0.01, true, &buckets, NULL));
    assert_int_equal(buckets.count, 4);
    programme_buckets_free(&buckets);
    columns[1].range = columns[3].range = 0.1; /* plates that may be filed stay apart */
    assert_true(programme_bucket(columns, 6, 0, 0.01, false, &buckets, NULL));
    assert_int_equal(buckets.count, 5);
    programme_buckets_free(&buckets);
    assert_true(programme_bucket(columns, 0, 0, 0.01, false, &buckets, NULL));
    assert_int_equal(buckets.count, 0);
    programme_buckets_free(&buckets);
    BlyError err = {0};
    assert_false(programme_bucket(columns, 6, 0, 0, false, &buckets, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    columns[0].cost = NAN;
    assert_false(programme_bucket(columns, 6, 0, 0.01, false, &buckets, &err));
    assert_null(buckets.kept);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_time_limit_gives_the_best_so_far),
        cmocka_unit_test(the_stop_flag_is_seen),
        cmocka_unit_test(capped_bounds_are_honest),
        cmocka_unit_test(a_stopped_search_says_what_is_proven),
        cmocka_unit_test(enough_is_enough),
        cmocka_unit_test(patience_leaves_an_honest_bound),
        cmocka_unit_test(all_there_is_is_an_answer),
        cmocka_unit_test(threads_do_not_meet),
        cmocka_unit_test(a_tiny_programme_by_hand),
        cmocka_unit_test(hard_rows_can_leave_nothing),
        cmocka_unit_test(unsound_numbers_are_refused),
        cmocka_unit_test(unsound_shapes_are_refused),
        cmocka_unit_test(buckets_keep_the_cheapest),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
