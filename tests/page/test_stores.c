/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The maker's box, and files that come, go and get other names, by the routes. What a weighed part
 * does to a lure is a sum: closed form. */
#include "page/kit.h"

static cJSON *put_line(const char *was, const char *id, const char *mass, int status) {
    cJSON *o = cJSON_CreateObject(), *line = cJSON_AddObjectToObject(o, "line");
    (void)cJSON_AddItemToObject(o, "was",
                                was != NULL ? cJSON_CreateString(was) : cJSON_CreateNull());
    (void)cJSON_AddStringToObject(line, "id", id);
    (void)cJSON_AddStringToObject(line, "mass", mass);
    return post_tree("/api/box-put", o, status);
}

static double lure_mass(void) {
    cJSON *rest = post("/api/rest", example, NULL, 0, 200);
    double mass = number_at(at(rest, "outcome"), "mass_g");
    cJSON_Delete(rest);
    return mass;
}

static bool there(const char *name) {
    char path[256];
    in_folder(name, path);
    return access(path, F_OK) == 0;
}

/* The lure has one such hook: it gains the difference between the box and the catalog. */
static void test_what_is_weighed_counts_from_then_on(void **state) {
    (void)state;
    double before = lure_mass();
    const BlyPart *hook = bly_catalog_part(bench.catalog, "treble-6-medium");
    double catalog = hook->mass.value * 1e3;
    cJSON_Delete(put_line(NULL, "treble-6-medium", "0.6 g", 200));
    assert_disk("box.csv", "id,mass\ntreble-6-medium,0.6 g\n");
    double gain = lure_mass() - before;
    assert_close(gain, 0.6 - catalog, 1e-6, 0);
    cJSON_Delete(put_line(NULL, "ring-3", "0.1 g", 409)); /* it is there now */
    cJSON_Delete(put_line("id,mass\n", "ring-3", "0.1 g", 409));
    cJSON *refused = put_line("id,mass\ntreble-6-medium,0.6 g\n", "no-such-part", "1 g", 422);
    assert_non_null(strstr(text_at(at(refused, "error"), "where"), "line 3"));
    cJSON_Delete(refused);
    assert_disk("box.csv", "id,mass\ntreble-6-medium,0.6 g\n");
    assert_close(lure_mass() - before, gain, 1e-9, 0);
}

/* A search goes on with the parts that it began with. */
static void test_a_search_keeps_its_parts(void **state) {
    (void)state;
    char *build = file_text("examples/larch-minnow.json");
    cJSON *order = cJSON_CreateObject();
    (void)cJSON_AddStringToObject(order, "build", build);
    (void)cJSON_AddStringToObject(order, "page", "p");
    cJSON *begun = post_tree("/api/fit-start", order, 200);
    double job = number_at(begun, "job");
    cJSON_Delete(begun);
    for (int i = 0; i < 3; i++) {
        char was[80], text[80];
        (void)snprintf(was, sizeof was, "id,mass\ntreble-6-medium,0.%d g\n", i == 0 ? 6 : 60 + i);
        (void)snprintf(text, sizeof text, "id,mass\ntreble-6-medium,0.%d g\n", 61 + i);
        const char *const pairs[][2] = {{"was", was}, {"text", text}};
        cJSON_Delete(post("/api/box-save", NULL, pairs, 2, 200));
    }
    for (bool over = false; !over;) {
        cJSON *look = cJSON_CreateObject();
        (void)cJSON_AddNumberToObject(look, "job", job);
        (void)cJSON_AddNumberToObject(look, "wait_ms", 2000);
        cJSON *view = post_tree("/api/fit-look", look, 200);
        over = strcmp(text_at(view, "state"), "running") != 0;
        if (over)
            assert_string_equal(text_at(view, "state"), "done");
        cJSON_Delete(view);
    }
    free(build);
}

static cJSON *bring(const char *name, const char *base64, int status) {
    const char *const pairs[][2] = {{"name", name}, {"base64", base64}};
    return post("/api/import",
                "{\"ballastry\":1,\"name\":\"s\",\"body\":{\"stations\":\"list.csv\","
                "\"material\":\"larch\"},\"seats\":{}}",
                pairs, 2, status);
}

/* Base64 by RFC 4648: "x,diameter\n0,0\n20,14\n60,3\n", and its test vector "Zm9v" for "foo". */
static void test_only_what_reads_well_comes_in(void **state) {
    (void)state;
    static const char list[] = "eCxkaWFtZXRlcgowLDAKMjAsMTQKNjAsMwo=";
    cJSON *refused = bring("list.csv", "Zm9v", 422);
    assert_string_equal(text_at(at(refused, "error"), "where"), "/body/stations");
    cJSON_Delete(refused);
    cJSON_Delete(bring("list.csv", "Zm9", 422));
    cJSON_Delete(bring("list.csv", "Zm9*", 422));
    cJSON_Delete(bring("other.csv", list, 422)); /* the build names another */
    static const char *const names[] = {"../list.csv", "/tmp/list.csv", ".list.csv", "a\\list.csv",
                                        "box.csv",     "list.json",     "list",      ""};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++)
        cJSON_Delete(bring(names[i], list, 422));
    assert_false(there("list.csv"));
    cJSON_Delete(bring("list.csv", list, 200));
    assert_disk("list.csv", "x,diameter\n0,0\n20,14\n60,3\n");
    put_disk("list.csv", "x,diameter\n0,0\n30,14\n60,3\n");
    cJSON_Delete(bring("list.csv", list, 409));
    assert_disk("list.csv", "x,diameter\n0,0\n30,14\n60,3\n");
}

static void named(const char *path, const char *name, const char *to, const char *was, int status) {
    const char *const pairs[][2] = {{"name", name}, {"was", was}, {"to", to}};
    cJSON_Delete(post(path, NULL, pairs, to != NULL ? 3 : 2, status));
}

static void test_names_change_and_files_go_without_loss(void **state) {
    (void)state;
    put_disk("one.json", "{}");
    put_disk("two.json", "{ }");
    named("/api/rename", "one.json", "two.json", "{}", 409);
    named("/api/rename", "one.json", "../one.json", "{}", 422);
    named("/api/rename", "one.json", "three.json", "{ }", 409);
    named("/api/rename", "none.json", "three.json", "{}", 409);
    assert_disk("one.json", "{}");
    assert_disk("two.json", "{ }");
    named("/api/rename", "one.json", "three.json", "{}", 200);
    assert_disk("three.json", "{}");
    assert_false(there("one.json"));
    named("/api/delete", "three.json", NULL, "{ }", 409);
    named("/api/delete", "../three.json", NULL, "{}", 422);
    assert_true(there("three.json"));
    named("/api/delete", "three.json", NULL, "{}", 200);
    assert_false(there("three.json"));
    assert_disk("three.json~", "{}");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_what_is_weighed_counts_from_then_on),
        cmocka_unit_test(test_a_search_keeps_its_parts),
        cmocka_unit_test(test_only_what_reads_well_comes_in),
        cmocka_unit_test(test_names_change_and_files_go_without_loss),
    };
    return cmocka_run_group_tests(tests, start, stop);
}
