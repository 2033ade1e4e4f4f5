/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bench's request function, without sockets. Status codes: RFC 9110 (403, 404, 405, 413, 415,
 * 409, 422). That the page's figures are the program's: the same rooms called by hand. */
#include "page/kit.h"

/* A page of another site reaches this port by its own name (DNS rebinding) or from its own origin.
 */
static void test_foreign_pages_are_turned_away(void **state) {
    (void)state;
    static const char *const hosts[] = {NULL,
                                        "",
                                        "bench.example",
                                        "bench.example:4321",
                                        "127.0.0.1",
                                        "127.0.0.1:4322",
                                        "127.0.0.1:4321.example"};
    static const char *const origins[] = {NULL,
                                          "null",
                                          "http://bench.example",
                                          "https://127.0.0.1:4321",
                                          "http://127.0.0.1:4322",
                                          "http://127.0.0.1:4321.example",
                                          "http://localhost:4321"};
    for (size_t i = 0; i < sizeof hosts / sizeof hosts[0]; i++) {
        BenchRequest request = good_request("/api/catalog", "{}");
        request.host = hosts[i];
        refused(&request, 403);
        request.method = "GET";
        request.path = "/";
        refused(&request, 403);
    }
    for (size_t i = 0; i < sizeof origins / sizeof origins[0]; i++) {
        BenchRequest request = good_request("/api/catalog", "{}");
        request.origin = origins[i];
        refused(&request, 403);
    }
}

static void test_own_names_are_let_in(void **state) {
    (void)state;
    static const char *const own[][2] = {{"127.0.0.1:4321", "http://127.0.0.1:4321"},
                                         {"localhost:4321", "http://localhost:4321"},
                                         {"[::1]:4321", "http://[::1]:4321"}};
    for (size_t i = 0; i < sizeof own / sizeof own[0]; i++) {
        BenchRequest request = good_request("/api/list", "{}");
        request.host = own[i][0];
        request.origin = own[i][1];
        refused(&request, 200);
    }
}

static void test_token_is_asked(void **state) {
    (void)state;
    char wrong[BENCH_TOKEN_LENGTH + 1], longer[BENCH_TOKEN_LENGTH + 2];
    (void)snprintf(wrong, sizeof wrong, "%s", bench.token);
    wrong[BENCH_TOKEN_LENGTH - 1] = wrong[BENCH_TOKEN_LENGTH - 1] == '0' ? '1' : '0';
    (void)snprintf(longer, sizeof longer, "%s0", bench.token);
    const char *const tokens[] = {NULL, "", wrong, longer};
    for (size_t i = 0; i < sizeof tokens / sizeof tokens[0]; i++) {
        BenchRequest request = good_request("/api/list", "{}");
        request.token = tokens[i];
        refused(&request, 403);
    }
}

static void test_two_starts_differ_in_token(void **state) {
    (void)state;
    Bench other;
    assert_true(bench_start(&other, folder, NULL, BLY_METRIC, NULL));
    assert_int_equal(strlen(other.token), BENCH_TOKEN_LENGTH);
    assert_string_not_equal(other.token, bench.token);
    bench_release(&other);
}

static void test_methods_types_and_sizes(void **state) {
    (void)state;
    BenchRequest request = good_request("/api/list", "{}");
    request.method = "DELETE";
    refused(&request, 405);
    request = good_request("/api/list", "{}");
    request.method = "GET"; /* routes take POST alone */
    refused(&request, 404);
    request = good_request("/api/list", "{}");
    request.type = "text/plain"; /* what a foreign form could send without being asked */
    refused(&request, 415);
    request.type = NULL;
    refused(&request, 415);
    request = good_request("/api/list", "{}");
    request.size = (size_t)BENCH_BODY_MAX + 1;
    refused(&request, 413);
    request = good_request("/api/nothing", "{}");
    refused(&request, 404);
}

static void test_malformed_bodies(void **state) {
    (void)state;
    static const char *const bodies[] = {
        "", "{", "[]", "3", "null", "{\"a\":1,\"a\":2}", "{\"build\":\"\xff\"}", "{} {}"};
    for (size_t i = 0; i < sizeof bodies / sizeof bodies[0]; i++) {
        const BenchRequest request = good_request("/api/rest", bodies[i]);
        refused(&request, 400);
    }
    static const char *const wrong[] = {"{}", "{\"build\":3}", "{\"build\":\"\"}",
                                        "{\"build\":\"{}\"}", "{\"build\":\"[1]\"}"};
    static const char *const paths[] = {"/api/rest", "/api/sure",      "/api/swap",
                                        "/api/save", "/api/fit-start", "/api/sheet"};
    for (size_t p = 0; p < sizeof paths / sizeof paths[0]; p++) {
        for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
            const BenchRequest request = good_request(paths[p], wrong[i]);
            refused(&request, 422);
        }
    }
}

static void test_page_is_served(void **state) {
    (void)state;
    static const char *const pages[][2] = {
        {"/", "text/html; charset=utf-8"},
        {"/looks.css", "text/css; charset=utf-8"},
        {"/bench.js", "text/javascript; charset=utf-8"},
    };
    for (size_t i = 0; i < sizeof pages / sizeof pages[0]; i++) {
        BenchRequest request = good_request(pages[i][0], "");
        BenchReply reply;
        request.method = "GET";
        request.token = request.origin = NULL;
        bench_answer(&bench, &request, &reply);
        assert_int_equal(reply.status, 200);
        assert_string_equal(reply.type, pages[i][1]);
        assert_true(reply.size > 500);
        bench_reply_release(&reply);
    }
    static const char *const none[] = {"/../Makefile", "/page/index.html", "//",
                                       "/etc/passwd",  "/%2e%2e/Makefile", ""};
    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++) {
        BenchRequest request = good_request(none[i], "");
        request.method = "GET";
        refused(&request, strchr(none[i], '%') != NULL ? 400 : 404);
    }
}

static void test_rest_gives_the_program_s_figures(void **state) {
    (void)state;
    BlyBuild *build;
    BlyWater water;
    BlyLure lure = {0};
    BlyOutcome outcome;
    BlyError err = {0};
    assert_true(bly_build_read(example, strlen(example), bench.catalog, &build, &err));
    assert_true(
        bly_water_at(build->water.temperature.value, build->water.salinity.value, &water, &err));
    assert_true(bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, &err));
    assert_true(bly_rest(&lure, &water, &outcome, &err));
    cJSON *expected = json_outcome(&outcome);
    cJSON *tree = post("/api/rest", example, NULL, 0, 200);
    assert_true(cJSON_Compare(cJSON_GetObjectItemCaseSensitive(tree, "outcome"), expected, true));
    assert_int_equal(
        cJSON_GetArraySize(cJSON_GetObjectItemCaseSensitive(tree, "influence_of_100_mg")),
        build->seat_count);
    cJSON_Delete(expected);
    cJSON_Delete(tree);
    bly_lure_release(&lure);
    bly_build_free(build);
}

/* Another part at a seat, and the build that comes back holds it; taking it back is no change. */
static void test_swap_there_and_back(void **state) {
    (void)state;
    static const char *const there[][2] = {{"seat", "belly"}, {"kind", "hook"}, {"id", "none"}};
    cJSON *tree = post("/api/swap", example, there, 3, 200);
    const cJSON *before = cJSON_GetObjectItemCaseSensitive(
        cJSON_GetObjectItemCaseSensitive(tree, "before"), "outcome");
    const cJSON *after = cJSON_GetObjectItemCaseSensitive(
        cJSON_GetObjectItemCaseSensitive(tree, "after"), "outcome");
    assert_true(number_at(after, "mass_g") < number_at(before, "mass_g"));
    cJSON *again = post("/api/rest", text_at(tree, "build"), NULL, 0, 200);
    assert_true(cJSON_Compare(cJSON_GetObjectItemCaseSensitive(again, "outcome"), after, true));
    cJSON_Delete(again);
    cJSON_Delete(tree);
    static const char *const wrong[][2] = {{"seat", "belly"}, {"kind", "hook"}, {"id", "no-such"}};
    cJSON_Delete(post("/api/swap", example, wrong, 3, 422));
    static const char *const nowhere[][2] = {{"seat", "no"}, {"kind", "hook"}, {"id", "none"}};
    cJSON_Delete(post("/api/swap", example, nowhere, 3, 422));
}

static void test_catalog_lists_every_record(void **state) {
    (void)state;
    cJSON *tree = post("/api/catalog", NULL, NULL, 0, 200);
    assert_int_equal(cJSON_GetArraySize(cJSON_GetObjectItemCaseSensitive(tree, "parts")),
                     bench.catalog->part_count);
    assert_int_equal(cJSON_GetArraySize(cJSON_GetObjectItemCaseSensitive(tree, "materials")),
                     bench.catalog->material_count);
    cJSON_Delete(tree);
}

static void test_save_open_and_save_again(void **state) {
    (void)state;
    const char *const fresh[][2] = {{"name", "one.json"}, {"was", NULL}};
    cJSON *saved = post("/api/save", example, fresh, 2, 200);
    const char *text = text_at(saved, "build");
    assert_disk("one.json", text);
    const char *const name[][2] = {{"name", "one.json"}};
    cJSON *opened = post("/api/open", NULL, name, 1, 200);
    assert_string_equal(text_at(opened, "build"), text);
    cJSON_Delete(opened);
    /* a new file must not be there yet; an old one must be as it was read */
    cJSON_Delete(post("/api/save", example, fresh, 2, 409));
    const char *const second[][2] = {{"name", "one.json"}, {"was", text}};
    cJSON_Delete(post("/api/save", example, second, 2, 200));
    assert_disk("one.json~", text);
    put_disk("one.json", "{\"another\": \"tab\"}\n");
    cJSON_Delete(post("/api/save", example, second, 2, 409));
    assert_disk("one.json", "{\"another\": \"tab\"}\n");
    const char *const gone[][2] = {{"name", "gone.json"}, {"was", text}};
    cJSON_Delete(post("/api/save", example, gone, 2, 409));
    /* what does not read is not written */
    const char *const broken[][2] = {{"name", "broken.json"}, {"was", NULL}};
    cJSON_Delete(post("/api/save", "{", broken, 2, 422));
    char path[256];
    in_folder("broken.json", path);
    assert_int_not_equal(access(path, F_OK), 0);
    cJSON_Delete(saved);
}

static void test_nothing_outside_the_folder(void **state) {
    (void)state;
    static const char *const names[] = {
        "",          "../x.json",        "/etc/x.json", "a/b.json",   "..\\x.json", ".hidden.json",
        "notes.txt", "x.json/../y.json", ".json",       "line\n.json"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        const char *const open[][2] = {{"name", names[i]}};
        const char *const save[][2] = {{"name", names[i]}, {"was", NULL}};
        cJSON_Delete(post("/api/open", NULL, open, 1, 422));
        cJSON_Delete(post("/api/save", example, save, 2, 422));
    }
}

/* A link in the folder that leads out of it is neither read, nor listed, nor written through. */
static void test_links_are_not_followed(void **state) {
    (void)state;
    char outside[] = "/tmp/ballastry-outside-XXXXXX", path[256];
    int descriptor = mkstemp(outside);
    assert_true(descriptor >= 0);
    assert_int_equal(write(descriptor, "secret", 6), 6);
    (void)close(descriptor);
    in_folder("link.json", path);
    assert_int_equal(symlink(outside, path), 0);
    const char *const open[][2] = {{"name", "link.json"}};
    const char *const save[][2] = {{"name", "link.json"}, {"was", "secret"}};
    cJSON_Delete(post("/api/open", NULL, open, 1, 404));
    cJSON_Delete(post("/api/save", example, save, 2, 404));
    cJSON *list = post("/api/list", NULL, NULL, 0, 200);
    const cJSON *file;
    cJSON_ArrayForEach(file, cJSON_GetObjectItemCaseSensitive(list, "files")) {
        assert_string_not_equal(file->valuestring, "link.json");
    }
    cJSON_Delete(list);
    char *text;
    size_t size;
    assert_true(bly_file_read(outside, 100, &text, &size, NULL));
    assert_string_equal(text, "secret");
    free(text);
    (void)unlink(outside);
}

/* Where the line of docs/bench.md's table begins that is about a route. */
static size_t line_of(const char *docs, const char *route) {
    char start_of_line[64];
    (void)snprintf(start_of_line, sizeof start_of_line, "\n| `%s` |", route);
    const char *line = strstr(docs, start_of_line);
    if (line == NULL)
        fail_msg("docs/bench.md has no line about %s", route);
    return line == NULL ? 0 : (size_t)(line - docs) + 1;
}

static void told_in(const char *docs, const char *route, const char *member) {
    char quoted[64];
    (void)snprintf(quoted, sizeof quoted, "`%s`", member);
    size_t line = line_of(docs, route), length = strcspn(docs + line, "\n");
    const char *found = strstr(docs + line, quoted);
    if (found == NULL || found > docs + line + length)
        fail_msg("docs/bench.md does not say that %s takes %s", route, member);
}

/* The program's own table, the page about it and the schema speak of the same routes, and of the
 * same members of their requests. */
static void test_docs_and_schema_know_every_route(void **state) {
    (void)state;
    char *docs = file_text("docs/bench.md"), *text = file_text("docs/bench.schema.json");
    cJSON *schema = cJSON_Parse(text);
    const cJSON *requests = at(at(at(schema, "$defs"), "requests"), "$defs");
    const char *path, *const *members;
    size_t count = 0;
    for (; bench_route(count, &path, &members); count++) {
        const char *route = path + strlen("/api/");
        const cJSON *properties = at(at(requests, route), "properties");
        int i = 0;
        for (; members[i] != NULL; i++) {
            told_in(docs, route, members[i]);
            (void)at(properties, members[i]);
        }
        assert_int_equal(cJSON_GetArraySize(properties), i);
        (void)line_of(docs, route);
    }
    assert_int_equal(cJSON_GetArraySize(requests), count);
    cJSON_Delete(schema);
    free(text);
    free(docs);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_foreign_pages_are_turned_away),
        cmocka_unit_test(test_own_names_are_let_in),
        cmocka_unit_test(test_token_is_asked),
        cmocka_unit_test(test_two_starts_differ_in_token),
        cmocka_unit_test(test_methods_types_and_sizes),
        cmocka_unit_test(test_malformed_bodies),
        cmocka_unit_test(test_page_is_served),
        cmocka_unit_test(test_rest_gives_the_program_s_figures),
        cmocka_unit_test(test_swap_there_and_back),
        cmocka_unit_test(test_catalog_lists_every_record),
        cmocka_unit_test(test_save_open_and_save_again),
        cmocka_unit_test(test_nothing_outside_the_folder),
        cmocka_unit_test(test_links_are_not_followed),
        cmocka_unit_test(test_docs_and_schema_know_every_route),
    };
    return cmocka_run_group_tests(tests, start, stop);
}
