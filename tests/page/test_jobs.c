/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Fits as jobs: what comes out is what `fit` finds, they can be watched and stopped, and many
 * things go on at once. Under SANITIZE=thread the same tests look for races. */
#include "page/kit.h"
#include "bench/jobs.h"

#include <math.h>
#include <pthread.h>
#include <stdatomic.h>
#include <time.h>

static char *minnow; /* examples/larch-minnow.json: takes a while */
static char *quick;  /* examples/light-by-design.json: a tenth of it */

static int start_jobs(void **state) {
    if (start(state) != 0)
        return -1;
    minnow = file_text("examples/larch-minnow.json");
    quick = file_text("examples/light-by-design.json");
    return 0;
}

static int stop_jobs(void **state) {
    free(minnow);
    free(quick);
    return stop(state);
}

static cJSON *order(const char *build, const char *page) {
    cJSON *o = cJSON_CreateObject();
    (void)cJSON_AddStringToObject(o, "build", build);
    (void)cJSON_AddStringToObject(o, "page", page);
    (void)cJSON_AddNumberToObject(o, "seconds", 600); /* however busy the machine is */
    return o;
}

static double begin(cJSON *body) {
    cJSON *tree = post_tree("/api/fit-start", body, 200);
    double job = number_at(tree, "job");
    cJSON_Delete(tree);
    return job;
}

static cJSON *of_job(const char *route, double job, int wait_ms, int status) {
    cJSON *o = cJSON_CreateObject();
    (void)cJSON_AddNumberToObject(o, "job", job);
    if (wait_ms > 0)
        (void)cJSON_AddNumberToObject(o, "wait_ms", wait_ms);
    return post_tree(route, o, status);
}

static bool is_state(const cJSON *view, const char *state) {
    return strcmp(text_at(view, "state"), state) == 0;
}

/* Looks until it is over; what it tells on the way never goes back. */
static cJSON *until_over(double job) {
    double rigs = 0, seconds = 0;
    for (;;) {
        cJSON *view = of_job("/api/fit-look", job, 20, 200);
        assert_true(number_at(view, "rigs") >= rigs);
        assert_true(number_at(view, "seconds") >= seconds);
        assert_true(text_at(view, "stage")[0] != '\0' || is_state(view, "running"));
        rigs = number_at(view, "rigs");
        seconds = number_at(view, "seconds");
        if (!is_state(view, "running"))
            return view;
        cJSON_Delete(view);
    }
}

/* What it found does by `rest` what it says, and so says `fit` of the same build. */
static void test_a_job_finds_what_fit_finds(void **state) {
    (void)state;
    cJSON *view = until_over(begin(order(quick, "a page")));
    assert_true(is_state(view, "done"));
    assert_true(number_at(view, "rigs") > 0);
    const cJSON *answer = at(view, "answer");
    assert_true(cJSON_IsTrue(at(answer, "met")));
    assert_true(cJSON_IsTrue(at(answer, "complete")));
    BlyBuild *build;
    BlyFitResult result;
    const BlyFitOptions options = {.rigs = 5};
    assert_true(bly_build_read(quick, strlen(quick), bench.catalog, &build, NULL));
    BlyReserve *reserves = NULL;
    assert_true(bly_fit_surest(build, bench.catalog, &options, &result, &reserves, NULL));
    cJSON *said = json_fit(build, &result, reserves);
    const cJSON *theirs, *rigs = at(answer, "rigs");
    int i = 0;
    assert_int_equal(cJSON_GetArraySize(rigs), result.count);
    cJSON_ArrayForEach(theirs, at(said, "rigs")) {
        const cJSON *ours = cJSON_GetArrayItem(rigs, i++);
        assert_true(cJSON_Compare(at(ours, "parts"), at(theirs, "parts"), true));
        assert_true(cJSON_Compare(at(ours, "waters"), at(theirs, "waters"), true));
    }
    cJSON *rest = post("/api/rest", text_at(cJSON_GetArrayItem(rigs, 0), "build"), NULL, 0, 200);
    assert_int_equal(cJSON_IsTrue(at(at(rest, "target"), "met")), result.rigs[0].met);
    cJSON_Delete(rest);
    cJSON_Delete(said);
    free(reserves);
    bly_fit_release(&result);
    bly_build_free(build);
    cJSON_Delete(view);
}

static void test_ranks_are_the_command_s(void **state) {
    (void)state;
    char *finished = file_text("examples/finished-minnow.json");
    static const char *const ranks[] = {"on-paper", "finished"};
    for (int i = 0; i < 2; i++) {
        cJSON *body = order(i == 0 ? quick : finished, "a page");
        (void)cJSON_AddStringToObject(body, "rank", ranks[i]);
        (void)cJSON_AddNumberToObject(body, "rigs", 2);
        cJSON *view = until_over(begin(body));
        assert_true(is_state(view, "done"));
        int rigs = cJSON_GetArraySize(at(at(view, "answer"), "rigs"));
        assert_in_range(rigs, 1, 2);
        cJSON_Delete(view);
    }
    free(finished);
}

/* Tells it to stop and looks until it has, however busy the machine is. */
static cJSON *stopped(double job) {
    cJSON_Delete(of_job("/api/fit-stop", job, 0, 200));
    return until_over(job);
}

/* Stopped at once: it says so, and claims nothing that it did not prove. */
static void test_a_stopped_job_says_so(void **state) {
    (void)state;
    double job = begin(order(minnow, "a page"));
    cJSON *view = stopped(job);
    assert_true(is_state(view, "stopped"));
    const cJSON *answer = at(view, "answer");
    assert_true(cJSON_IsTrue(at(answer, "stopped")));
    assert_true(cJSON_IsFalse(at(answer, "proven")));
    cJSON_Delete(view);
    cJSON_Delete(of_job("/api/fit-stop", job, 0, 200)); /* once more does no harm */
}

/* Stopped between its rigs: what was worked through by then is given, each rig true by `rest`. */
static void test_a_job_stopped_midway_gives_the_best_so_far(void **state) {
    (void)state;
    bool midway = false;
    for (int attempt = 0; attempt < 20 && !midway; attempt++) {
        double job = begin(order(minnow, "a page"));
        cJSON *view = of_job("/api/fit-look", job, 1, 200);
        while (is_state(view, "running") && number_at(view, "rigs") < 1) {
            cJSON_Delete(view);
            view = of_job("/api/fit-look", job, 1, 200);
        }
        cJSON_Delete(view);
        view = stopped(job);
        const cJSON *answer = at(view, "answer"), *rig;
        midway = is_state(view, "stopped");
        if (midway)
            assert_true(cJSON_GetArraySize(at(answer, "rigs")) > 0);
        cJSON_ArrayForEach(rig, at(answer, "rigs")) {
            cJSON *rest = post("/api/rest", text_at(rig, "build"), NULL, 0, 200);
            assert_true(cJSON_Compare(at(rest, "parts"), at(rig, "parts"), true));
            cJSON_Delete(rest);
        }
        cJSON_Delete(view);
    }
    assert_true(midway);
}

static void test_a_time_limit_stops_a_job(void **state) {
    (void)state;
    cJSON *body = order(quick, "a page");
    cJSON_DeleteItemFromObjectCaseSensitive(body, "seconds");
    (void)cJSON_AddNumberToObject(body, "seconds", 0.001);
    cJSON *view = until_over(begin(body));
    assert_true(is_state(view, "stopped"));
    assert_true(cJSON_IsFalse(at(at(view, "answer"), "proven")));
    cJSON_Delete(view);
}

/* The second order of a page ends the first; another page's goes on. */
static void test_a_page_has_one_job(void **state) {
    (void)state;
    double first = begin(order(minnow, "page one"));
    double other = begin(order(quick, "page two"));
    double second = begin(order(quick, "page one"));
    cJSON *view = until_over(first);
    assert_true(is_state(view, "stopped"));
    cJSON_Delete(view);
    view = until_over(second);
    assert_true(is_state(view, "done"));
    cJSON_Delete(view);
    view = until_over(other);
    assert_true(is_state(view, "done"));
    cJSON_Delete(view);
}

static void test_there_are_only_so_many_jobs(void **state) {
    (void)state;
    double jobs[4];
    char page[16];
    for (int i = 0; i < 4; i++) {
        (void)snprintf(page, sizeof page, "p%d", i);
        jobs[i] = begin(order(minnow, page));
    }
    cJSON_Delete(post_tree("/api/fit-start", order(quick, "p4"), 429));
    for (int i = 0; i < 4; i++)
        cJSON_Delete(stopped(jobs[i]));
    /* sixteen are remembered, the first is forgotten */
    double last = 0;
    for (int i = 0; i < 16; i++) {
        last = begin(order(quick, "again"));
        cJSON_Delete(stopped(last));
    }
    cJSON_Delete(of_job("/api/fit-look", jobs[0], 0, 404));
    cJSON_Delete(of_job("/api/fit-look", last, 0, 200));
    cJSON_Delete(of_job("/api/fit-look", last + 1, 0, 404));
    cJSON_Delete(of_job("/api/fit-stop", last + 1, 0, 404));
}

/* What fit refuses is told by the job, with the place in the build. */
static void test_a_job_that_cannot_be_done_says_why(void **state) {
    (void)state;
    char *build = file_text("tests/cli/no-target.json");
    cJSON *view = until_over(begin(order(build, "a page")));
    assert_true(is_state(view, "failed"));
    assert_string_equal(text_at(at(view, "error"), "where"), "/target");
    cJSON_Delete(view);
    free(build);
}

static void test_orders_are_checked(void **state) {
    (void)state;
    static const struct {
        const char *key;
        double number;
        const char *text;
    } wrong[] = {{"page", 0, ""},      {"page", 3, NULL},      {"rank", 0, "cheapest"},
                 {"rigs", 0, NULL},    {"rigs", 51, NULL},     {"rigs", 1.5, NULL},
                 {"seconds", 0, NULL}, {"seconds", 601, NULL}, {"seconds", 0, "a while"},
                 {"minutes", 1, NULL}};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        cJSON *body = order(quick, "a page");
        cJSON_DeleteItemFromObjectCaseSensitive(body, wrong[i].key);
        (void)cJSON_AddItemToObject(body, wrong[i].key,
                                    wrong[i].text != NULL ? cJSON_CreateString(wrong[i].text)
                                                          : cJSON_CreateNumber(wrong[i].number));
        cJSON_Delete(post_tree("/api/fit-start", body, 422));
    }
}

/* ---- at once ---- */

/* cmocka's checks are for the main thread alone: these count what went wrong. */
typedef struct Asker {
    pthread_t thread;
    const char *route;
    char *body;
    const BenchReply *expected;
    int most, asked, wrong;
    atomic_bool *end;
} Asker;

static void *keep_asking(void *context) {
    Asker *asker = context;
    while (asker->asked < 3 || (!atomic_load(asker->end) && asker->asked < asker->most)) {
        const BenchRequest request = good_request(asker->route, asker->body);
        BenchReply reply;
        bench_answer(&bench, &request, &reply);
        asker->wrong += reply.status != 200 || reply.size != asker->expected->size ||
                        memcmp(reply.bytes, asker->expected->bytes, reply.size) != 0;
        asker->asked++;
        bench_reply_release(&reply);
    }
    return NULL;
}

/* Two fits, and pages that change things, draw sheets and ask how sure it is all the while: every
 * answer is byte for byte what it is when it is asked alone. */
static void test_fits_and_all_else_at_once(void **state) {
    (void)state;
    enum { ASKERS = 5 };
    static const char *const wanted[ASKERS] = {"/api/rest", "/api/rest", "/api/sheet", "/api/sheet",
                                               "/api/sure"};
    atomic_bool end = false;
    Asker askers[ASKERS];
    BenchReply alone[ASKERS];
    char *body = body_of(example, NULL, 0);
    for (int i = 0; i < ASKERS; i++) {
        const BenchRequest request = good_request(wanted[i], body);
        bench_answer(&bench, &request, &alone[i]);
        assert_int_equal(alone[i].status, 200);
    }
    cJSON *quiet = until_over(begin(order(quick, "alone")));
    double jobs[2] = {begin(order(quick, "one")), begin(order(quick, "two"))};
    for (int i = 0; i < ASKERS; i++) {
        askers[i] = (Asker){.route = wanted[i],
                            .body = body,
                            .expected = &alone[i],
                            .most = i < 2 ? 200 : 3,
                            .end = &end};
        assert_int_equal(pthread_create(&askers[i].thread, NULL, keep_asking, &askers[i]), 0);
    }
    for (int i = 0; i < 2; i++) {
        cJSON *view = until_over(jobs[i]);
        assert_true(is_state(view, "done"));
        assert_true(cJSON_Compare(at(view, "answer"), at(quiet, "answer"), true));
        cJSON_Delete(view);
    }
    atomic_store(&end, true);
    for (int i = 0; i < ASKERS; i++) {
        assert_int_equal(pthread_join(askers[i].thread, NULL), 0);
        assert_int_equal(askers[i].wrong, 0);
        bench_reply_release(&alone[i]);
    }
    cJSON_Delete(quiet);
    free(body);
}

/* A bench that ends takes its fits with it. */
static void test_the_end_stops_fits(void **state) {
    (void)state;
    Bench other;
    assert_true(bench_start(&other, folder, NULL, BLY_METRIC, NULL));
    other.port = 4321;
    cJSON *tree = order(minnow, "a page");
    char *body = cJSON_PrintUnformatted(tree);
    cJSON_Delete(tree);
    BenchRequest request = good_request("/api/fit-start", body);
    request.token = other.token;
    BenchReply reply;
    bench_answer(&other, &request, &reply);
    assert_int_equal(reply.status, 200);
    bench_reply_release(&reply);
    free(body);
    JobView view = {.state = JOB_RUNS};
    jobs_close(other.jobs);
    while (view.state == JOB_RUNS) {
        const struct timespec little = {.tv_nsec = 1000000};
        (void)nanosleep(&little, NULL);
        assert_true(jobs_look(other.jobs, 1, 0, &view, NULL)); /* its only one */
    }
    assert_int_equal(view.state, JOB_STOPPED); /* before it was through */
    cJSON_Delete(view.answer);
    bench_release(&other);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_job_finds_what_fit_finds),
        cmocka_unit_test(test_ranks_are_the_command_s),
        cmocka_unit_test(test_a_stopped_job_says_so),
        cmocka_unit_test(test_a_job_stopped_midway_gives_the_best_so_far),
        cmocka_unit_test(test_a_time_limit_stops_a_job),
        cmocka_unit_test(test_a_page_has_one_job),
        cmocka_unit_test(test_there_are_only_so_many_jobs),
        cmocka_unit_test(test_a_job_that_cannot_be_done_says_why),
        cmocka_unit_test(test_orders_are_checked),
        cmocka_unit_test(test_fits_and_all_else_at_once),
        cmocka_unit_test(test_the_end_stops_fits),
    };
    return cmocka_run_group_tests(tests, start_jobs, stop_jobs);
}
