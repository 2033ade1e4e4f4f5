/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bench without a server: the same bytes as from bench_answer, and what is wrong of box and
 * book. */
#include "page/kit.h"
#include "alone/alone.h"

static const char asked[] = "{\"build\": %s}";

static char *question(void) {
    cJSON *text = cJSON_CreateString(example);
    char *quoted = cJSON_PrintUnformatted(text);
    size_t size = strlen(quoted) + sizeof asked;
    char *body = malloc(size);
    assert_non_null(body);
    (void)snprintf(body, size, asked, quoted);
    cJSON_free(quoted);
    cJSON_Delete(text);
    return body;
}

static void test_answers_as_the_bench(void **state) {
    (void)state;
    BlyError err = {0};
    Alone *alone = alone_new(folder, &err);
    assert_non_null(alone);
    char *body = question();
    static const char *const units[] = {NULL, "metric", "inch"};
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++) {
        BenchRequest request = good_request("/api/rest", body);
        BenchReply reply;
        request.units = units[i];
        bench_answer(&bench, &request, &reply);
        assert_int_equal(alone_ask(alone, "/api/rest", units[i], body, strlen(body)), 200);
        assert_string_equal(alone_type(alone), reply.type);
        assert_int_equal(alone_size(alone), reply.size);
        assert_memory_equal(alone_bytes(alone), reply.bytes, reply.size);
        bench_reply_release(&reply);
    }
    assert_int_equal(alone_ask(alone, "/api/none", NULL, "{}", 2), 404);
    assert_int_equal(alone_ask(alone, "/api/rest", "furlong", "{}", 2), 400);
    free(body);
    alone_free(alone);
}

static void test_bad_box_is_told(void **state) {
    (void)state;
    char path[256];
    BlyError err = {0};
    in_folder("box.csv", path);
    assert_true(bly_file_write(path, "part\nno-such-part\n", 18, BLY_KEEP_NOTHING, &err));
    assert_null(alone_new(folder, &err));
    assert_int_not_equal(err.code, BLY_OK);
    (void)remove(path);
}

static bool says(const Alone *alone, const char *words) {
    char *text = strndup(alone_bytes(alone), alone_size(alone));
    bool found = text != NULL && strstr(text, words) != NULL;
    free(text);
    return found;
}

static int asked_of(Alone *alone, const char *path, const char *body) {
    return alone_ask(alone, path, NULL, body, strlen(body));
}

static void test_box_and_book_are_kept(void **state) {
    (void)state;
    BlyError err = {0};
    char path[256];
    assert_int_equal(setenv("XDG_DATA_HOME", folder, 1), 0);
    Alone *alone = alone_new(folder, &err);
    assert_non_null(alone);
    assert_int_equal(
        asked_of(alone, "/api/box-put",
                 "{\"was\": null, \"line\": {\"id\": \"treble-8-fine\", \"count\": \"7\"}}"),
        200);
    assert_true(says(alone, "treble-8-fine"));
    assert_int_equal(asked_of(alone, "/api/book", "{}"), 200);
    assert_true(says(alone, "\"there\":false"));
    assert_int_equal(asked_of(alone, "/api/book-switch", "{\"off\": true}"), 200);
    assert_true(says(alone, "\"there\":true"));
    alone_free(alone);
    alone = alone_new(folder, &err);
    assert_non_null(alone);
    assert_int_equal(asked_of(alone, "/api/box", "{}"), 200);
    assert_true(says(alone, "treble-8-fine"));
    assert_int_equal(asked_of(alone, "/api/book", "{}"), 200);
    assert_true(says(alone, "\"there\":true"));
    assert_true(says(alone, "\"off\":true"));
    alone_free(alone);
    in_folder("box.csv", path);
    (void)remove(path);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_answers_as_the_bench),
        cmocka_unit_test(test_bad_box_is_told),
        cmocka_unit_test(test_box_and_book_are_kept),
    };
    return cmocka_run_group_tests(tests, start, stop);
}
