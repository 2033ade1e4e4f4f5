/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/check.h"
#include "json/json.h"

static void assert_prints(const char *json, const char *want) {
    cJSON *tree = bly_json_parse(json, strlen(json), NULL);
    assert_non_null(tree);
    BlyText out = {0};
    assert_true(bly_json_print(tree, &out, NULL));
    assert_string_equal(bly_text_string(&out), want);
    bly_text_release(&out);
    cJSON_Delete(tree);
}

static void layout_is_the_one_documented(void **state) {
    (void)state;
    assert_prints("{}", "{}\n");
    assert_prints("[]", "[]\n");
    assert_prints("null", "null\n");
    assert_prints("\"x\"", "\"x\"\n");
    assert_prints("[1,2]", "[\n  1,\n  2\n]\n");
    assert_prints("{\"z\":1,\"a\":[true,null,\"t\"],\"e\":{},\"f\":[]}",
                  "{\n  \"z\": 1,\n  \"a\": [true, null, \"t\"],\n  \"e\": {},\n  \"f\": []\n}\n");
    assert_prints(
        "{\"body\":{\"stations\":[{\"x\":\"0 mm\",\"width\":0},{\"x\":\"9 mm\",\"width\":8}]"
        "}}",
        "{\n"
        "  \"body\": {\n"
        "    \"stations\": [\n"
        "      { \"x\": \"0 mm\", \"width\": 0 },\n"
        "      { \"x\": \"9 mm\", \"width\": 8 }\n"
        "    ]\n"
        "  }\n"
        "}\n");
}

/* On one line: the same but for blanks and newlines outside of texts (RFC 8259, section 2). */
static void one_line_is_the_same(void **state) {
    (void)state;
    static const char *const documents[] = {
        "{}",
        "[]",
        "null",
        "\" a \\n\\\" b \"",
        "[1,[2,[3,[]]],{}]",
        "{\"a b\":[1.5,true,null,\" t \"],\"e\":{\"x\":{\"y\":[{},[{\"z\":-1e-300}]]}}}"};
    for (size_t i = 0; i < sizeof documents / sizeof documents[0]; i++) {
        cJSON *tree = bly_json_parse(documents[i], strlen(documents[i]), NULL);
        BlyText line = {0}, lines = {0};
        assert_non_null(tree);
        assert_true(bly_json_print(tree, &lines, NULL));
        assert_true(bly_json_print_line(tree, &line, NULL));
        char stripped[200];
        size_t used = 0;
        bool text = false;
        for (const char *c = bly_text_string(&lines); *c != '\0'; c++) {
            text = (*c == '"' && c[-(c > lines.bytes)] != '\\') ? !text : text;
            if (text || strchr(" \n", *c) == NULL)
                stripped[used++] = *c;
        }
        stripped[used] = '\0';
        assert_int_equal(line.bytes[line.length - 1], '\n');
        line.bytes[line.length - 1] = '\0';
        assert_string_equal(line.bytes, stripped);
        bly_text_release(&line);
        bly_text_release(&lines);
        cJSON_Delete(tree);
    }
}

static void long_members_take_a_line_each(void **state) {
    (void)state;
    char json[300], word[91];
    memset(word, 'w', sizeof word - 1);
    word[sizeof word - 1] = '\0';
    (void)snprintf(json, sizeof json, "{\"a\": [\"%s\", 1]}", word);
    char want[300];
    (void)snprintf(want, sizeof want, "{\n  \"a\": [\n    \"%s\",\n    1\n  ]\n}\n", word);
    assert_prints(json, want);
}

static void strings_are_escaped(void **state) {
    (void)state;
    assert_prints("\"\\\" \\\\ \\/ \\n \\t \\r \\u0001 \\u007f \\u00b0\"",
                  "\"\\\" \\\\ / \\n \\t \\u000d \\u0001 \\u007f \xC2\xB0\"\n");
    BlyText out = {0};
    bly_json_print_string("a\xFF\xC0\xAF"
                          "b",
                          &out);
    assert_string_equal(bly_text_string(&out), "\"a\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD"
                                               "b\"");
    bly_text_release(&out);
}

/* 0.1+0.2 is where cJSON's own printer loses a digit. */
static void numbers_read_back_as_the_same_double(void **state) {
    (void)state;
    static const double values[] = {0.0,
                                    -0.0,
                                    0.1 + 0.2,
                                    1.0 / 3.0,
                                    1e21,
                                    -1.5e-9,
                                    5e-324,
                                    1.7976931348623157e308,
                                    9007199254740993.0,
                                    88.0,
                                    1e15};
    for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {
        cJSON *tree = cJSON_CreateNumber(values[i]);
        BlyText out = {0};
        assert_true(bly_json_print(tree, &out, NULL));
        cJSON *back = bly_json_parse(out.bytes, out.length, NULL);
        assert_non_null(back);
        assert_true(back->valuedouble == values[i]);
        cJSON_Delete(back);
        cJSON_Delete(tree);
        bly_text_release(&out);
    }
    assert_prints("0.30000000000000004", "0.30000000000000004\n");
    assert_prints("[88.0]", "[\n  88\n]\n");
}

/* Law: what is printed parses, equals the tree (cJSON's own comparison), and prints the same. */
static void printing_is_a_fixed_point(void **state) {
    (void)state;
    static const char long_list[] =
        "{\"long\": [\"01234567890123456789012345678901234567890123456789\", \"0123456789\", "
        "\"0123456789012345678901234567890123\"]}";
    static const char *const texts[] = {
        "{\"a\": [[1, 2], [3, [4, {\"b\": \"c\"}]]], \"d\": {\"e\": {\"f\": null}}, \"g\": []}",
        "[[[[[[]]]]]]",
        long_list,
        "[{\"\": -0.5}, \"\\u001f\\\\\", true, false]",
    };
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        cJSON *tree = bly_json_parse(texts[i], strlen(texts[i]), NULL);
        BlyText once = {0}, twice = {0};
        assert_true(bly_json_print(tree, &once, NULL));
        cJSON *back = bly_json_parse(once.bytes, once.length, NULL);
        assert_true(cJSON_Compare(tree, back, 1));
        assert_true(bly_json_print(back, &twice, NULL));
        assert_string_equal(once.bytes, twice.bytes);
        bly_text_release(&once);
        bly_text_release(&twice);
        cJSON_Delete(back);
        cJSON_Delete(tree);
    }
}

static void assert_not_printed(cJSON *tree, const char *where, const char *why) {
    BlyText out = {0};
    BlyError err = {0};
    bly_text_append(&out, "before");
    assert_false(bly_json_print(tree, &out, &err));
    assert_int_equal(err.code, BLY_E_INTERNAL);
    assert_string_equal(err.where, where);
    assert_string_equal(err.text, why);
    assert_string_equal(bly_text_string(&out), "before");
    bly_text_release(&out);
    cJSON_Delete(tree);
}

static void what_is_no_json_is_not_printed(void **state) {
    (void)state;
    static const double bad[] = {NAN, INFINITY, -INFINITY};
    for (size_t i = 0; i < 3; i++) {
        cJSON *tree = cJSON_CreateObject(), *inner = cJSON_AddArrayToObject(tree, "a");
        assert_true(cJSON_AddItemToArray(inner, cJSON_CreateNumber(1.0)));
        assert_true(cJSON_AddItemToArray(inner, cJSON_CreateNumber(bad[i])));
        assert_not_printed(tree, "/a/1", "a number that is not finite");
    }
    cJSON *tree = cJSON_CreateObject();
    assert_non_null(cJSON_AddRawToObject(tree, "r", "}{"));
    assert_not_printed(tree, "/r", "a node of no JSON kind");
    BlyText out = {0};
    BlyError err = {0};
    assert_false(bly_json_print(NULL, &out, &err));
    assert_int_equal(err.code, BLY_E_MEMORY);
    assert_string_equal(bly_text_string(&out), "");
    bly_text_release(&out);
}

static void a_failed_text_is_told(void **state) {
    (void)state;
    BlyText out = {0};
    BlyError err = {0};
    bly_text_repeat(&out, ' ', BLY_TEXT_LIMIT);
    cJSON *tree = cJSON_CreateTrue();
    assert_false(bly_json_print(tree, &out, &err));
    assert_int_equal(err.code, BLY_E_MEMORY);
    cJSON_Delete(tree);
    bly_text_release(&out);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(layout_is_the_one_documented),
        cmocka_unit_test(one_line_is_the_same),
        cmocka_unit_test(long_members_take_a_line_each),
        cmocka_unit_test(strings_are_escaped),
        cmocka_unit_test(numbers_read_back_as_the_same_double),
        cmocka_unit_test(printing_is_a_fixed_point),
        cmocka_unit_test(what_is_no_json_is_not_printed),
        cmocka_unit_test(a_failed_text_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
