/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Memory that runs out at the n-th request of the JSON library while a route answers: the answer is
 * the whole one or a 500, never half of it, and the next request is answered as ever. */
#include "page/kit.h"

static long requests_left = -1; /* requests that still succeed; -1: all */

static void *short_malloc(size_t size) {
    if (requests_left == 0)
        return NULL;
    if (requests_left > 0)
        requests_left--;
    return malloc(size);
}

static int start_short(void **state) {
    cJSON_Hooks hooks = {short_malloc, free};
    cJSON_InitHooks(&hooks);
    return start(state);
}

static int stop_short(void **state) {
    cJSON_InitHooks(NULL);
    return stop(state);
}

static BenchReply answer(const char *route, const char *body) {
    const BenchRequest request = good_request(route, body);
    BenchReply reply;
    bench_answer(&bench, &request, &reply);
    return reply;
}

/* The requests of the fuzzer's seeds, but for those that start threads. */
static void survives(const char *seed) {
    char path[128];
    (void)snprintf(path, sizeof path, "tests/fuzz/requests/%s", seed);
    char *text = file_text(path), *route = text + strlen("POST ");
    char *body = strstr(text, "\n\n");
    assert_non_null(body);
    body += 2;
    route[strcspn(route, "\n")] = '\0';
    BenchReply good = answer(route, body);
    assert_int_equal(good.status, 200);
    long tries = 0, failed = 0;
    for (long most = 0;; most += 1 + most / 2) {
        requests_left = most;
        BenchReply reply = answer(route, body);
        bool enough = requests_left > 0;
        requests_left = -1;
        assert_true(reply.status == 200 || reply.status == 500);
        if (reply.status == 200) {
            assert_int_equal(reply.size, good.size);
            assert_memory_equal(reply.bytes, good.bytes, good.size);
        }
        tries++;
        failed += reply.status == 500;
        bench_reply_release(&reply);
        if (enough)
            break;
    }
    if (failed == 0)
        fail_msg("%s: never ran out of memory in %ld tries", seed, tries);
    BenchReply again = answer(route, body);
    assert_int_equal(again.status, 200);
    bench_reply_release(&again);
    bench_reply_release(&good);
    free(text);
}

static void test_answers_are_whole_or_refused(void **state) {
    (void)state;
    static const char list[] = "x,diameter\n0,0\n20,14\n60,3\n";
    put_disk("there.json", example);
    put_disk("list.csv", list);
    static const char *const seeds[] = {
        "rest",  "along",      "beside", "swap", "pour", "catalog", "bodies", "list", "open",
        "draft", "draft-drop", "mend",   "sure", "box",  "book",    "import", "tank"};
    for (size_t i = 0; i < sizeof seeds / sizeof seeds[0]; i++)
        survives(seeds[i]);
}

/* A save that runs out of memory leaves the file as it was, or writes all of it. */
static void test_a_save_is_whole_or_not_at_all(void **state) {
    (void)state;
    const char *const pairs[][2] = {{"name", "kept.json"}, {"was", example}};
    char *body = body_of(example, pairs, 2);
    for (long most = 0;; most += 1 + most / 2) {
        put_disk("kept.json", example);
        requests_left = most;
        BenchReply reply = answer("/api/save", body);
        bool enough = requests_left > 0;
        requests_left = -1;
        char path[256];
        in_folder("kept.json", path);
        char *text = file_text(path);
        cJSON *written = cJSON_Parse(text), *meant = cJSON_Parse(example);
        assert_true(cJSON_Compare(written, meant, true));
        cJSON_Delete(written);
        cJSON_Delete(meant);
        free(text);
        bench_reply_release(&reply);
        if (enough)
            break;
    }
    free(body);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_answers_are_whole_or_refused),
        cmocka_unit_test(test_a_save_is_whole_or_not_at_all),
    };
    return cmocka_run_group_tests(tests, start_short, stop_short);
}
