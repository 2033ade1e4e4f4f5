/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Walking and typed values: each refusal by its code, pointer and text. */
#include "support/check.h"
#include "json/json.h"

static cJSON *tree;

/* A one-member document, so that every pointer is "/v". */
static BlyJson value_of(const char *json) {
    char text[512];
    BlyError err = {0};
    cJSON_Delete(tree);
    (void)snprintf(text, sizeof text, "{\"v\": %s}", json);
    tree = bly_json_parse(text, strlen(text), &err);
    if (tree == NULL)
        fail_msg("%s: %s", text, err.text);
    BlyJson root = bly_json_root(tree);
    return bly_json_member(&root, "v");
}

static int drop_tree(void **state) {
    (void)state;
    cJSON_Delete(tree);
    tree = NULL;
    return 0;
}

static void assert_refused(bool good, const BlyError *err, BlyCode code, const char *text) {
    assert_false(good);
    assert_string_equal(err->text, text);
    assert_int_equal(err->code, code);
    assert_string_equal(err->where, "/v");
}

/* RFC 6901, section 5: the document and pointers of its example. */
static void pointers_are_those_of_the_standard(void **state) {
    (void)state;
    static const struct {
        const char *key, *pointer;
    } cases[] = {
        {"foo", "/foo"}, {"", "/"},         {"a/b", "/a~1b"},  {"c%d", "/c%d"}, {"e^f", "/e^f"},
        {"g|h", "/g|h"}, {"i\\j", "/i\\j"}, {"k\"l", "/k\"l"}, {" ", "/ "},     {"m~n", "/m~0n"},
    };
    const char *text = "{\"foo\": [\"bar\", \"baz\"], \"\": 0, \"a/b\": 1, \"c%d\": 2, \"e^f\": 3, "
                       "\"g|h\": 4, \"i\\\\j\": 5, \"k\\\"l\": 6, \" \": 7, \"m~n\": 8}";
    cJSON_Delete(tree);
    tree = bly_json_parse(text, strlen(text), NULL);
    BlyJson root = bly_json_root(tree);
    assert_string_equal(root.where, "");
    size_t i = 0;
    for (BlyJson m = bly_json_first(&root); m.node != NULL; bly_json_next(&m), i++) {
        assert_string_equal(m.where, cases[i].pointer);
        assert_string_equal(bly_json_key(&m), cases[i].key);
        BlyJson same = bly_json_member(&root, cases[i].key);
        assert_ptr_equal(same.node, m.node);
        assert_string_equal(same.where, m.where);
    }
    assert_int_equal(i, 10);
    assert_int_equal(bly_json_count(&root), 10);
    BlyJson foo = bly_json_member(&root, "foo"), baz = bly_json_first(&foo);
    bly_json_next(&baz);
    assert_string_equal(baz.where, "/foo/1");
    assert_string_equal(baz.node->valuestring, "baz");
    assert_string_equal(bly_json_key(&baz), "");
}

static void long_and_hostile_pointers_stay_one_line(void **state) {
    (void)state;
    char key[400], deep[2000] = "";
    memset(key, '/', sizeof key - 1);
    key[sizeof key - 1] = '\0';
    BlyJson root = bly_json_root(NULL), member = bly_json_member(&root, key);
    assert_true(strlen(member.where) < BLY_WHERE_MAX);
    assert_string_equal(member.where + strlen(member.where) - 3, "...");
    BlyJson further = bly_json_member(&member, "further");
    assert_string_equal(further.where, member.where);
    member = bly_json_member(&root, "a\nb\x1b\xFF\x7F\xC2\xB0");
    assert_string_equal(member.where, "/a?b???\xC2\xB0");
    /* every length of pointer around the border, under the sanitizers */
    for (size_t n = 230; n < 270; n++) {
        memset(deep, 'a', n);
        deep[n] = '\0';
        member = bly_json_member(&root, deep);
        member = bly_json_member(&member, "b");
        assert_true(strlen(member.where) < BLY_WHERE_MAX);
    }
}

static void absent_members_are_null_or_missing(void **state) {
    (void)state;
    BlyJson v = value_of("{\"a\": 1}"), out = {0};
    BlyError err = {0};
    BlyJson b = bly_json_member(&v, "b");
    assert_null(b.node);
    assert_string_equal(b.where, "/v/b");
    assert_true(bly_json_require(&v, "a", &out, &err));
    assert_string_equal(out.where, "/v/a");
    assert_refused(bly_json_require(&v, "b", &out, &err), &err, BLY_E_MISSING, "\"b\" is missing");
    assert_string_equal(out.where, "/v/a");
    BlyJson a = bly_json_member(&v, "a");
    assert_null(bly_json_member(&a, "deeper").node); /* a number has no members */
    assert_null(bly_json_first(&a).node);
    assert_null(bly_json_first(&b).node);
    assert_int_equal(bly_json_count(&b), 0);
    BlyJson case_matters = bly_json_member(&v, "A");
    assert_null(case_matters.node);
}

static void unknown_keys_get_a_suggestion(void **state) {
    (void)state;
    static const char *const known[] = {"mass", "width", "height", "material"};
    BlyError err = {0};
    BlyJson v = value_of("{\"mass\": 1, \"material\": 2}");
    assert_true(bly_json_object(&v, known, 4, &err));
    v = value_of("{}");
    assert_true(bly_json_object(&v, known, 4, &err));
    v = value_of("{\"mass\": 1, \"wdth\": 2}");
    assert_false(bly_json_object(&v, known, 4, &err));
    assert_int_equal(err.code, BLY_E_UNKNOWN);
    assert_string_equal(err.where, "/v/wdth");
    assert_string_equal(err.text, "unknown key \"wdth\"; did you mean \"width\"?");
    v = value_of("{\"Mass\": 1}");
    assert_false(bly_json_object(&v, known, 4, &err));
    assert_string_equal(err.text, "unknown key \"Mass\"; did you mean \"mass\"?");
    v = value_of("{\"colour\": 2}");
    assert_false(bly_json_object(&v, known, 4, &err));
    assert_string_equal(err.text, "unknown key \"colour\"; known: mass, width, height, material");
    assert_true(bly_json_object(&v, NULL, 0, &err));
    v = value_of("[1]");
    assert_refused(bly_json_object(&v, NULL, 0, &err), &err, BLY_E_SYNTAX,
                   "expected an object { ... }");
    BlyJson absent = bly_json_member(&v, "x");
    assert_false(bly_json_object(&absent, NULL, 0, &err));
}

static void long_lists_of_words_are_cut(void **state) {
    (void)state;
    static const char *words[100];
    for (size_t i = 0; i < 100; i++)
        words[i] = "seven letters";
    BlyError err = {0};
    size_t index = 99;
    BlyJson v = value_of("\"x\"");
    assert_false(bly_json_word(&v, words, 100, &index, &err));
    assert_string_equal(err.text + strlen(err.text) - 3, "...");
    assert_true(strlen(err.text) < BLY_TEXT_MAX - 1);
}

static void arrays_have_a_length(void **state) {
    (void)state;
    BlyError err = {0};
    BlyJson v = value_of("[1, 2, 3]");
    assert_true(bly_json_array(&v, 3, 3, &err));
    assert_refused(bly_json_array(&v, 4, 9, &err), &err, BLY_E_RANGE,
                   "holds 3, expected at least 4");
    assert_refused(bly_json_array(&v, 0, 2, &err), &err, BLY_E_RANGE,
                   "holds 3, expected at most 2");
    v = value_of("{}");
    assert_refused(bly_json_array(&v, 0, 2, &err), &err, BLY_E_SYNTAX, "expected an array [ ... ]");
}

static void strings_are_one_printable_line(void **state) {
    (void)state;
    BlyError err = {0};
    const char *out = "untouched";
    BlyJson v = value_of("\"larch \\u00b0\"");
    assert_true(bly_json_string(&v, 8, &out, &err));
    assert_string_equal(out, "larch \xC2\xB0");
    out = "untouched";
    assert_refused(bly_json_string(&v, 7, &out, &err), &err, BLY_E_RANGE,
                   "the text has 8 bytes, at most 7 are allowed");
    v = value_of("\"\"");
    assert_refused(bly_json_string(&v, 7, &out, &err), &err, BLY_E_RANGE, "the text is empty");
    v = value_of("\"a\\nb\"");
    assert_refused(bly_json_string(&v, 7, &out, &err), &err, BLY_E_RANGE,
                   "the text holds a control character (code 10)");
    v = value_of("7");
    assert_refused(bly_json_string(&v, 7, &out, &err), &err, BLY_E_SYNTAX,
                   "expected a text, found a number");
    BlyJson absent = bly_json_member(&v, "x");
    assert_false(bly_json_string(&absent, 7, &out, &err));
    assert_int_equal(err.code, BLY_E_MISSING);
    assert_string_equal(err.text, "expected a text, found nothing");
    assert_string_equal(out, "untouched");
}

static void bools_are_bools(void **state) {
    (void)state;
    BlyError err = {0};
    bool out = false;
    BlyJson v = value_of("true");
    assert_true(bly_json_bool(&v, &out, &err) && out);
    v = value_of("false");
    assert_true(bly_json_bool(&v, &out, &err) && !out);
    static const char *const others[] = {"0", "\"true\"", "null"};
    static const char *const texts[] = {"expected true or false, found a number",
                                        "expected true or false, found a text",
                                        "expected true or false, found null"};
    for (size_t i = 0; i < 3; i++) {
        v = value_of(others[i]);
        assert_refused(bly_json_bool(&v, &out, &err), &err, BLY_E_SYNTAX, texts[i]);
    }
}

static void integers_are_whole_and_in_range(void **state) {
    (void)state;
    BlyError err = {0};
    int64_t out = 77;
    static const char *const whole[] = {"4", "4.0", "4e0", "0.4e1"};
    for (size_t i = 0; i < 4; i++) {
        BlyJson v = value_of(whole[i]);
        out = 0;
        assert_true(bly_json_integer(&v, 4, 4, &out, &err));
        assert_int_equal(out, 4);
    }
    BlyJson v = value_of("-3");
    assert_refused(bly_json_integer(&v, 0, 9, &out, &err), &err, BLY_E_RANGE,
                   "-3 lies outside 0 to 9");
    v = value_of("10");
    assert_refused(bly_json_integer(&v, 0, 9, &out, &err), &err, BLY_E_RANGE,
                   "10 lies outside 0 to 9");
    v = value_of("2.5");
    assert_refused(bly_json_integer(&v, 0, 9, &out, &err), &err, BLY_E_RANGE,
                   "expected a whole number");
    v = value_of("1e300");
    assert_refused(bly_json_integer(&v, 0, 9, &out, &err), &err, BLY_E_RANGE,
                   "expected a whole number");
    v = value_of("\"4\"");
    assert_refused(bly_json_integer(&v, 0, 9, &out, &err), &err, BLY_E_SYNTAX,
                   "expected a whole number, found a text");
    assert_int_equal(out, 4);
}

static void numbers_are_in_range(void **state) {
    (void)state;
    BlyError err = {0};
    double out = 77.0;
    BlyJson v = value_of("2.5");
    assert_true(bly_json_number(&v, 2.5, 8.0, &out, &err));
    assert_close(out, 2.5, 0.0, 0.0);
    assert_refused(bly_json_number(&v, 3.0, 8.0, &out, &err), &err, BLY_E_RANGE,
                   "2.5 lies outside 3 to 8");
    assert_refused(bly_json_number(&v, 1.0, 2.25, &out, &err), &err, BLY_E_RANGE,
                   "2.5 lies outside 1 to 2.25");
    v = value_of("[2.5]");
    assert_refused(bly_json_number(&v, 1.0, 8.0, &out, &err), &err, BLY_E_SYNTAX,
                   "expected a number, found an array");
    assert_close(out, 2.5, 0.0, 0.0);
}

static void quantities_are_texts_or_bare_numbers(void **state) {
    (void)state;
    BlyError err = {0};
    double si = 77.0;
    BlyJson v = value_of("\"3 1/2 in\"");
    assert_true(bly_json_quantity(&v, BLY_DIM_LENGTH, "mm", &si, &err));
    assert_close(si, 0.0889, 0.0, 3e-16); /* NIST SP 811, appendix B.8: 1 in = 25.4 mm exactly */
    v = value_of("88");
    assert_true(bly_json_quantity(&v, BLY_DIM_LENGTH, "mm", &si, &err));
    assert_true(si == 0.088);
    v = value_of("0.1");
    assert_true(bly_json_quantity(&v, BLY_DIM_LENGTH, "mm", &si, &err));
    assert_true(si == 1e-4);
    v = value_of("\"88\"");
    assert_true(bly_json_quantity(&v, BLY_DIM_LENGTH, "mm", &si, &err));
    si = 77.0;
    v = value_of("88");
    assert_refused(bly_json_quantity(&v, BLY_DIM_LENGTH, NULL, &si, &err), &err, BLY_E_UNIT,
                   "\"88\" has no unit; expected a length such as \"88 mm\"");
    v = value_of("\"3/8 oz\"");
    assert_refused(bly_json_quantity(&v, BLY_DIM_LENGTH, "mm", &si, &err), &err, BLY_E_UNIT,
                   "\"3/8 oz\" is a mass; expected a length such as \"88 mm\"");
    v = value_of("\"nan mm\"");
    assert_refused(bly_json_quantity(&v, BLY_DIM_LENGTH, "mm", &si, &err), &err, BLY_E_RANGE,
                   "\"nan mm\" is not a finite number");
    v = value_of("null");
    assert_refused(bly_json_quantity(&v, BLY_DIM_LENGTH, "mm", &si, &err), &err, BLY_E_SYNTAX,
                   "expected a length such as \"88 mm\", found null");
    v = value_of("{}");
    assert_refused(bly_json_quantity(&v, BLY_DIM_MASS, "g", &si, &err), &err, BLY_E_SYNTAX,
                   "expected a mass such as \"12.3 g\", found an object");
    assert_close(si, 77.0, 0.0, 0.0);
}

static void quantities_have_a_range(void **state) {
    (void)state;
    BlyError err = {0};
    double si = 77.0;
    BlyJson v = value_of("\"-5 mm\"");
    assert_refused(json_quantity_between(&v, BLY_DIM_LENGTH, "mm", 0.0, 0.5, &si, &err), &err,
                   BLY_E_RANGE, "-5 mm is out of range; expected 0 mm to 500 mm");
    assert_refused(json_quantity_between(&v, BLY_DIM_LENGTH, "mm", 0.0, INFINITY, &si, &err), &err,
                   BLY_E_RANGE, "-5 mm is out of range; expected at least 0 mm");
    assert_refused(json_quantity_between(&v, BLY_DIM_LENGTH, "mm", -INFINITY, -1.0, &si, &err),
                   &err, BLY_E_RANGE, "-5 mm is out of range; expected at most -1000 mm");
    assert_refused(json_quantity_between(&v, BLY_DIM_MASS, "g", 0.0, 1.0, &si, &err), &err,
                   BLY_E_UNIT, "\"-5 mm\" is a length; expected a mass such as \"12.3 g\"");
    assert_close(si, 77.0, 0.0, 0.0);
    assert_true(json_quantity_between(&v, BLY_DIM_LENGTH, "mm", -0.005, 0.0, &si, &err));
    assert_close(si, -0.005, 0.0, 0.0);
}

static void pairs_are_ordered(void **state) {
    (void)state;
    BlyError err = {0};
    double out[2] = {7.0, 8.0};
    BlyJson v = value_of("[\"-15 mm/s\", 15]");
    assert_true(bly_json_pair(&v, BLY_DIM_SPEED, "mm/s", out, &err));
    assert_close(out[0], -0.015, 0.0, 0.0);
    assert_close(out[1], 0.015, 0.0, 0.0);
    v = value_of("[2, 2]");
    assert_true(bly_json_pair(&v, BLY_DIM_LENGTH, "mm", out, &err));
    v = value_of("[null, 2]");
    assert_true(bly_json_pair(&v, BLY_DIM_LENGTH, "mm", out, &err));
    assert_true(out[0] == -INFINITY && out[1] == 0.002);
    v = value_of("[2, null]");
    assert_true(bly_json_pair(&v, BLY_DIM_LENGTH, "mm", out, &err));
    assert_true(out[0] == 0.002 && out[1] == INFINITY);
    v = value_of("[null, null]");
    assert_refused(bly_json_pair(&v, BLY_DIM_LENGTH, "mm", out, &err), &err, BLY_E_MISSING,
                   "one of low and high must be given");
    v = value_of("[3, 2]");
    assert_refused(bly_json_pair(&v, BLY_DIM_LENGTH, "mm", out, &err), &err, BLY_E_RANGE,
                   "low (3 mm) is above high (2 mm)");
    static const char *const others[] = {"[1]", "[1, 2, 3]", "5", "{\"a\": 1, \"b\": 2}", "[]"};
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        v = value_of(others[i]);
        assert_refused(bly_json_pair(&v, BLY_DIM_LENGTH, "mm", out, &err), &err, BLY_E_SYNTAX,
                       "expected [low, high], each a length such as \"88 mm\"");
    }
    v = value_of("[1, \"2 g\"]");
    assert_false(bly_json_pair(&v, BLY_DIM_LENGTH, "mm", out, &err));
    assert_string_equal(err.where, "/v/1");
    assert_true(out[0] == 0.002 && out[1] == INFINITY);
}

static void words_are_from_the_list(void **state) {
    (void)state;
    static const char *const states[] = {"float", "suspend", "sink"};
    BlyError err = {0};
    size_t index = 77;
    BlyJson v = value_of("\"sink\"");
    assert_true(bly_json_word(&v, states, 3, &index, &err));
    assert_int_equal(index, 2);
    v = value_of("\"flaot\"");
    assert_refused(bly_json_word(&v, states, 3, &index, &err), &err, BLY_E_UNKNOWN,
                   "unknown choice \"flaot\"; did you mean \"float\"?");
    v = value_of("\"hover\"");
    assert_refused(bly_json_word(&v, states, 3, &index, &err), &err, BLY_E_UNKNOWN,
                   "unknown choice \"hover\"; known: float, suspend, sink");
    v = value_of("true");
    assert_refused(bly_json_word(&v, states, 3, &index, &err), &err, BLY_E_SYNTAX,
                   "expected a word, found true");
    assert_int_equal(index, 2);
}

static void refusals_without_a_listener_are_safe(void **state) {
    (void)state;
    BlyJson v = value_of("[]");
    double si[2];
    assert_false(bly_json_object(&v, NULL, 0, NULL));
    assert_false(bly_json_quantity(&v, BLY_DIM_MASS, NULL, si, NULL));
    assert_false(bly_json_pair(&v, BLY_DIM_MASS, NULL, si, NULL));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_teardown(pointers_are_those_of_the_standard, drop_tree),
        cmocka_unit_test_teardown(long_and_hostile_pointers_stay_one_line, drop_tree),
        cmocka_unit_test_teardown(absent_members_are_null_or_missing, drop_tree),
        cmocka_unit_test_teardown(unknown_keys_get_a_suggestion, drop_tree),
        cmocka_unit_test_teardown(long_lists_of_words_are_cut, drop_tree),
        cmocka_unit_test_teardown(arrays_have_a_length, drop_tree),
        cmocka_unit_test_teardown(strings_are_one_printable_line, drop_tree),
        cmocka_unit_test_teardown(bools_are_bools, drop_tree),
        cmocka_unit_test_teardown(integers_are_whole_and_in_range, drop_tree),
        cmocka_unit_test_teardown(numbers_are_in_range, drop_tree),
        cmocka_unit_test_teardown(quantities_are_texts_or_bare_numbers, drop_tree),
        cmocka_unit_test_teardown(quantities_have_a_range, drop_tree),
        cmocka_unit_test_teardown(pairs_are_ordered, drop_tree),
        cmocka_unit_test_teardown(words_are_from_the_list, drop_tree),
        cmocka_unit_test_teardown(refusals_without_a_listener_are_safe, drop_tree),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
