/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Nothing that was typed is lost, one draft a file, none after a save; and files that a build names
 * are found in the folder and nowhere else. */
#include "page/kit.h"

#include <dirent.h>

static const char *const one[][2] = {{"name", "one.json"}};
static const char *const no_file[][2] = {{"name", ""}};

static size_t files_ending(const char *end) {
    size_t count = 0;
    DIR *dir = opendir(folder);
    assert_non_null(dir);
    for (const struct dirent *entry; (entry = readdir(dir)) != NULL;) {
        size_t n = strlen(entry->d_name), m = strlen(end);
        count += n >= m && strcmp(entry->d_name + n - m, end) == 0;
    }
    (void)closedir(dir);
    return count;
}

static void keep(const char *text, const char *const name[][2]) {
    cJSON_Delete(post("/api/draft", text, name, 1, 200));
}

static void assert_draft_of_one(const char *want) {
    cJSON *opened = post("/api/open", NULL, one, 1, 200);
    const cJSON *draft = at(opened, "draft");
    if (want == NULL)
        assert_true(cJSON_IsNull(draft));
    else
        assert_string_equal(draft->valuestring, want);
    cJSON_Delete(opened);
}

static void test_a_draft_is_offered_again(void **state) {
    (void)state;
    put_disk("one.json", example);
    assert_draft_of_one(NULL);
    keep("half a thought {", one);
    keep("half a thought, later {", one);
    assert_int_equal(files_ending(".draft"), 1);
    assert_disk("one.json", example);
    assert_disk(".one.json.draft", "half a thought, later {");
    /* another start finds it: a crash or a closed tab has lost nothing */
    Bench again;
    assert_true(bench_start(&again, folder, NULL, BLY_METRIC, NULL));
    bench_release(&again);
    assert_draft_of_one("half a thought, later {");
    cJSON *list = post("/api/list", NULL, NULL, 0, 200);
    assert_int_equal(cJSON_GetArraySize(at(list, "drafts")), 1);
    assert_string_equal(cJSON_GetArrayItem(at(list, "drafts"), 0)->valuestring, "one.json");
    cJSON_Delete(list);
    cJSON_Delete(post("/api/draft-drop", NULL, one, 1, 200));
    assert_draft_of_one(NULL);
    assert_int_equal(files_ending(".draft"), 0);
}

static void test_a_draft_like_its_file_is_not_offered(void **state) {
    (void)state;
    put_disk("one.json", example);
    keep(example, one);
    assert_draft_of_one(NULL);
    cJSON_Delete(post("/api/draft-drop", NULL, one, 1, 200));
}

static void test_a_build_without_a_file_has_a_draft_too(void **state) {
    (void)state;
    cJSON_Delete(post("/api/draft-open", NULL, no_file, 1, 404));
    keep("never saved", no_file);
    cJSON *left = post("/api/draft-open", NULL, no_file, 1, 200);
    assert_string_equal(text_at(left, "build"), "never saved");
    cJSON_Delete(left);
    /* saved under a name at last */
    const char *const save[][2] = {{"name", "two.json"}, {"was", NULL}, {"draft", ""}};
    cJSON_Delete(post("/api/save", example, save, 3, 200));
    cJSON_Delete(post("/api/draft-open", NULL, no_file, 1, 404));
    assert_int_equal(files_ending(".draft"), 0);
}

static void test_a_save_drops_the_draft_and_a_refused_one_does_not(void **state) {
    (void)state;
    put_disk("one.json", example);
    keep("unsaved", one);
    const char *const wrong[][2] = {{"name", "one.json"}, {"was", "another text"}};
    cJSON_Delete(post("/api/save", example, wrong, 2, 409));
    assert_draft_of_one("unsaved");
    const char *const right[][2] = {{"name", "one.json"}, {"was", example}};
    cJSON_Delete(post("/api/save", example, right, 2, 200));
    assert_draft_of_one(NULL);
    assert_int_equal(files_ending(".draft"), 0);
}

static void test_drafts_stay_in_the_folder(void **state) {
    (void)state;
    static const char *const names[] = {"../x.json", "/tmp/x.json", "a/b.json", ".x.json", "x.txt"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        const char *const name[][2] = {{"name", names[i]}};
        cJSON_Delete(post("/api/draft", "x", name, 1, 422));
        cJSON_Delete(post("/api/draft-drop", NULL, name, 1, 422));
        cJSON_Delete(post("/api/draft-open", NULL, name, 1, 422));
    }
    /* a link laid where the draft would go is not written through */
    char outside[] = "/tmp/ballastry-outside-XXXXXX", path[256];
    int descriptor = mkstemp(outside);
    assert_true(descriptor >= 0);
    (void)close(descriptor);
    in_folder(".link.json.draft", path);
    assert_int_equal(symlink(outside, path), 0);
    const char *const link[][2] = {{"name", "link.json"}};
    cJSON_Delete(post("/api/draft", "x", link, 1, 404));
    char *text = file_text(outside);
    assert_string_equal(text, "");
    free(text);
    (void)unlink(path);
    (void)unlink(outside);
}

/* ---- files beside the build ---- */

static char *build_of_list(const char *name) {
    cJSON *doc = cJSON_Parse(example);
    cJSON *body = cJSON_GetObjectItemCaseSensitive(doc, "body");
    assert_true(cJSON_ReplaceItemInObjectCaseSensitive(body, "stations", cJSON_CreateString(name)));
    char *text = cJSON_PrintUnformatted(doc);
    cJSON_Delete(doc);
    return text;
}

static void rests(const char *name, int status) {
    char *text = build_of_list(name);
    cJSON *tree = post("/api/rest", text, NULL, 0, status);
    if (status != 200)
        assert_string_equal(text_at(at(tree, "error"), "where"), "/body/stations");
    cJSON_Delete(tree);
    free(text);
}

static void test_a_list_beside_the_build_is_read(void **state) {
    (void)state;
    static const char list[] = "x,diameter\n0,0\n20,14\n40,16\n70,3\n";
    char path[256];
    in_folder("lists", path);
    assert_int_equal(mkdir(path, 0700), 0);
    put_disk("calipers.csv", list);
    put_disk("lists/deeper.csv", list);
    rests("calipers.csv", 200);
    rests("lists/deeper.csv", 200);
    rests("none.csv", 422);
}

static void test_no_list_from_elsewhere_is_read(void **state) {
    (void)state;
    static const char list[] = "x,diameter\n0,0\n20,14\n40,16\n70,3\n";
    char elsewhere[] = "/tmp/ballastry-elsewhere-XXXXXX", path[300], place[300];
    assert_non_null(mkdtemp(elsewhere));
    (void)snprintf(place, sizeof place, "%s/list.csv", elsewhere);
    assert_true(bly_file_write(place, list, sizeof list - 1, BLY_KEEP_NOTHING, NULL));
    in_folder("link.csv", path);
    assert_int_equal(symlink(place, path), 0); /* a file that leads out */
    in_folder("out", path);
    assert_int_equal(symlink(elsewhere, path), 0); /* a folder that leads out */
    in_folder("pipe.csv", path);
    assert_int_equal(mkfifo(path, 0600), 0); /* would be waited for without end */
    const char *const names[] = {"link.csv", "out/list.csv",       "pipe.csv", "..",
                                 place,      "lists/../../x.csv",  "lists",    "lists//deeper.csv",
                                 "",         "./calipers.csv/../x"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++)
        rests(names[i], 422);
    (void)unlink(place);
    (void)rmdir(elsewhere);
}

/* Whatever an example names (caliper list, mesh, outline), the page finds it as the command does.
 */
static void test_every_example_opens(void **state) {
    (void)state;
    Bench shop;
    size_t count = 0;
    assert_true(bench_start(&shop, "examples", NULL, BLY_METRIC, NULL));
    shop.port = 4321;
    DIR *dir = opendir("examples");
    assert_non_null(dir);
    for (const struct dirent *entry; (entry = readdir(dir)) != NULL;) {
        char path[300];
        if (strlen(entry->d_name) < 5 || strstr(entry->d_name, ".json") == NULL)
            continue;
        (void)snprintf(path, sizeof path, "examples/%s", entry->d_name);
        char *build = file_text(path), *body = body_of(build, NULL, 0);
        BenchRequest request = good_request("/api/rest", body);
        request.token = shop.token;
        BenchReply reply;
        bench_answer(&shop, &request, &reply);
        if (reply.status != 200)
            fail_msg("%s: %d %s", path, reply.status, reply.bytes);
        bench_reply_release(&reply);
        free(body);
        free(build);
        count++;
    }
    (void)closedir(dir);
    assert_true(count >= 10);
    bench_release(&shop);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_draft_is_offered_again),
        cmocka_unit_test(test_a_draft_like_its_file_is_not_offered),
        cmocka_unit_test(test_a_build_without_a_file_has_a_draft_too),
        cmocka_unit_test(test_a_save_drops_the_draft_and_a_refused_one_does_not),
        cmocka_unit_test(test_drafts_stay_in_the_folder),
        cmocka_unit_test(test_a_list_beside_the_build_is_read),
        cmocka_unit_test(test_no_list_from_elsewhere_is_read),
        cmocka_unit_test(test_every_example_opens),
    };
    return cmocka_run_group_tests(tests, start, stop);
}
