/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is JSON and what is not, by the grammar of RFC 8259; the place in each refusal was counted
 * by hand. cJSON alone takes several of the refused texts. */
#include "support/check.h"
#include "json/json.h"

static cJSON *parse(const char *text, BlyError *err) {
    return bly_json_parse(text, strlen(text), err);
}

static void texts_of_the_grammar_are_read(void **state) {
    (void)state;
    static const char *const good[] = {
        "{}",
        "[]",
        "null", /* any value may stand alone (section 2) */
        "true",
        " \t\r\n false \n",
        "\"\"",
        "0",
        "-0",
        "-1.5e+3",
        "1E-2",
        "10.25",
        "[1, 2, 3]",
        "{\"a\": {\"b\": [null, true, \"x\"]}}",
        "{\"\": 1}",                               /* an empty key is a key */
        "[\"\\\" \\\\ \\/ \\b \\f \\n \\r \\t\"]", /* section 7, every escape */
        "[\"\\u00e9\\uD83D\\uDC1F\"]",             /* section 7, the pair of escapes */
        "[\"\xC2\xB0 \xF0\x9F\x90\x9F \x7F\"]",
        "\xEF\xBB\xBF{\"a\": 1}", /* section 8.1: a byte order mark may be ignored */
        "[123456789012345678901234567890123456789012345678901234567890]",
        "{\"a\": 1, \"A\": 2}", /* case tells keys apart */
        "{\"a\": {\"x\": 1}, \"b\": {\"x\": 1}}",
    };
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++) {
        BlyError err = {0};
        cJSON *tree = parse(good[i], &err);
        if (tree == NULL)
            fail_msg("%s: refused, %s: %s", good[i], err.where, err.text);
        cJSON_Delete(tree);
    }
}

static void values_arrive_in_the_tree(void **state) {
    (void)state;
    cJSON *tree = parse("{\"a\": [1.5e3, \"\\u00b0\\ud83d\\udc1f\", false, null]}", NULL);
    assert_non_null(tree);
    const cJSON *a = cJSON_GetObjectItemCaseSensitive(tree, "a");
    assert_close(cJSON_GetArrayItem(a, 0)->valuedouble, 1500.0, 0.0, 0.0);
    assert_string_equal(cJSON_GetArrayItem(a, 1)->valuestring, "\xC2\xB0\xF0\x9F\x90\x9F");
    assert_true(cJSON_IsFalse(cJSON_GetArrayItem(a, 2)));
    assert_true(cJSON_IsNull(cJSON_GetArrayItem(a, 3)));
    cJSON_Delete(tree);
}

static void other_texts_are_refused_with_their_place(void **state) {
    (void)state;
    static const struct {
        const char *text, *where, *why;
    } bad[] = {
        {"", "line 1, column 1", "the text is empty"},
        {" \n ", "line 2, column 2", "the text is empty"},
        {"{} {}", "line 1, column 4", "text after the end of the document"},
        {"{}x", "line 1, column 3", "text after the end of the document"},
        {"[1] // why", "line 1, column 5", "text after the end of the document"},
        {"{\"a\": 1", "line 1, column 8", "the text ends where ',' or '}' is expected"},
        {"[1, 2", "line 1, column 6", "the text ends where ',' or ']' is expected"},
        {"[1, 2}", "line 1, column 6", "expected ',' or ']'"},
        {"{\"a\" 1}", "line 1, column 6", "expected ':' after the key"},
        {"{\"a\": }", "line 1, column 7",
         "a value is missing before '}'; is there a comma too many?"},
        {"{\"a\":", "line 1, column 6", "the text ends where a value is expected"},
        {"{a: 1}", "line 1, column 2", "expected a key in double quotes"},
        {"{'a': 1}", "line 1, column 2", "expected a key in double quotes"},
        {"{1: 1}", "line 1, column 2", "expected a key in double quotes"},
        {"{\"a\": 1,}", "line 1, column 9",
         "a key is missing before '}'; is there a comma too many?"},
        {"[1, ]", "line 1, column 5", "a value is missing before ']'; is there a comma too many?"},
        {"[, 1]", "line 1, column 2",
         "expected a value: a text in quotes, a number, true, false, null, { or ["},
        {"{\n  \"a\": 'x'\n}", "line 2, column 8", "a text stands in double quotes"},
        {"{\n  // note\n}", "line 2, column 3", "expected a key in double quotes"},
        {"[ // note\n]", "line 1, column 3", "JSON has no comments"},
        {"[# note\n]", "line 1, column 2", "JSON has no comments"},
        {"[NaN]", "line 1, column 2",
         "expected a value: a text in quotes, a number, true, false, null, { or ["},
        {"[Infinity]", "line 1, column 2",
         "expected a value: a text in quotes, a number, true, false, null, { or ["},
        {"[-Infinity]", "line 1, column 3", "a digit is missing in this number"},
        {"[True]", "line 1, column 2",
         "expected a value: a text in quotes, a number, true, false, null, { or ["},
        {"[nul]", "line 1, column 2",
         "expected a value: a text in quotes, a number, true, false, null, { or ["},
        {"[truer]", "line 1, column 6", "expected ',' or ']'"},
        {"[+1]", "line 1, column 2", "a number begins with a digit or a minus"},
        {"[.5]", "line 1, column 2", "a number begins with a digit or a minus"},
        {"[5.]", "line 1, column 4", "a digit is missing in this number"},
        {"[-]", "line 1, column 3", "a digit is missing in this number"},
        {"[1e]", "line 1, column 4", "a digit is missing in this number"},
        {"[1e+]", "line 1, column 5", "a digit is missing in this number"},
        {"[01]", "line 1, column 2", "a number has no zero in front"},
        {"[-01]", "line 1, column 3", "a number has no zero in front"},
        {"[0x10]", "line 1, column 3", "expected ',' or ']'"},
        {"[1 2]", "line 1, column 4", "expected ',' or ']'"},
        {"[1234567890123456789012345678901234567890123456789012345678901]", "line 1, column 2",
         "a number of more than 60 characters"},
        {"[\"abc]", "line 1, column 2", "this text in quotes has no end"},
        {"[\"abc\n\"]", "line 1, column 2", "this text in quotes has no end"},
        {"[\"a\tb\"]", "line 1, column 4",
         "a control character (code 9) in a text; write \\n or \\u0009"},
        {"[\"\\x\"]", "line 1, column 4", "a backslash is followed by one of \" \\ / b f n r t u"},
        {"[\"\\", "line 1, column 4", "a backslash is followed by one of \" \\ / b f n r t u"},
        {"[\"\\u12g4\"]", "line 1, column 5", "four hexadecimal digits belong after \\u"},
        {"[\"\\u12", "line 1, column 5", "four hexadecimal digits belong after \\u"},
        {"[\"\\u0000\"]", "line 1, column 9", "a text cannot hold the character NUL"},
        {"[\"\\ud800\"]", "line 1, column 9", "half a character in \\u: the other half is missing"},
        {"[\"\\udc00\"]", "line 1, column 9", "half a character in \\u: the other half is missing"},
        {"[\"\\ud800\\u0041\"]", "line 1, column 15",
         "half a character in \\u: the other half is missing"},
        {"[\"caf\xE9\"]", "line 1, column 6", "a byte that is not UTF-8 (e9)"},
        {"[\"\xC0\xAF\"]", "line 1, column 3", "a byte that is not UTF-8 (c0)"},
        {"[\"\xED\xA0\x80\"]", "line 1, column 3", "a byte that is not UTF-8 (ed)"},
        {"{\"\xC2\xB0\": \xFF}", "line 1, column 7",
         "expected a value: a text in quotes, a number, true, false, null, { or ["},
        {"\xEF\xBB\xBF", "line 1, column 1", "the text is empty"},
        {"[1,\n 2,\n 3,,\n]", "line 3, column 4",
         "expected a value: a text in quotes, a number, true, false, null, { or ["},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        BlyError err = {0};
        cJSON *tree = parse(bad[i].text, &err);
        if (tree != NULL)
            fail_msg("%s: was taken", bad[i].text);
        assert_int_equal(err.code, BLY_E_SYNTAX);
        assert_string_equal(err.text, bad[i].why);
        assert_string_equal(err.where, bad[i].where);
        assert_null(parse(bad[i].text, NULL));
    }
}

static void nul_bytes_are_refused(void **state) {
    (void)state;
    BlyError err = {0};
    assert_null(bly_json_parse("{}\0{}", 5, &err));
    assert_string_equal(err.text, "text after the end of the document");
    assert_null(bly_json_parse("[\"a\0b\"]", 7, &err));
    assert_string_equal(err.text, "a control character (code 0) in a text; write \\n or \\u0000");
    assert_null(bly_json_parse("[\0]", 3, &err));
    assert_int_equal(err.code, BLY_E_SYNTAX);
}

/* Only `length` bytes are looked at. */
static void length_ends_the_text(void **state) {
    (void)state;
    cJSON *tree = bly_json_parse("[1]garbage", 3, NULL);
    assert_non_null(tree);
    cJSON_Delete(tree);
    BlyError err = {0};
    assert_null(bly_json_parse("[1]", 2, &err));
    assert_string_equal(err.text, "the text ends where ',' or ']' is expected");
}

static void doubled_keys_are_named_by_pointer(void **state) {
    (void)state;
    static const struct {
        const char *text, *where;
    } doubled[] = {
        {"{\"a\": 1, \"a\": 1}", "/a"},
        {"{\"b\": 1, \"z\": 1, \"a\": 2, \"z\": 3, \"a\": 4}", "/z"}, /* the first to come again */
        {"{\"body\": {\"mass\": \"1 g\", \"mass\": \"2 g\"}}", "/body/mass"},
        {"[{\"x\": 0}, {\"x\": 0, \"y\": 1, \"x\": 0}]", "/1/x"},
        {"{\"a\": 1, \"\\u0061\": 2}", "/a"}, /* spelled differently, the same key */
        {"{\"a/b~c\": {\"\": 1, \"\": 2}}", "/a~1b~0c/"},
    };
    for (size_t i = 0; i < sizeof doubled / sizeof doubled[0]; i++) {
        BlyError err = {0};
        assert_null(parse(doubled[i].text, &err));
        assert_int_equal(err.code, BLY_E_CONFLICT);
        assert_string_equal(err.where, doubled[i].where);
        assert_string_equal(err.text, "this key appears twice");
    }
}

static void numbers_beyond_a_double_are_refused(void **state) {
    (void)state;
    BlyError err = {0};
    assert_null(parse("{\"a\": [0, 1e999]}", &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    assert_string_equal(err.where, "/a/1");
    assert_string_equal(err.text, "is too large a number");
    assert_null(parse("-1e400", &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    cJSON *tree = parse("[1.7976931348623157e308, 5e-324, 1e-999]", &err);
    assert_non_null(tree);
    cJSON_Delete(tree);
}

static void nesting_is_limited(void **state) {
    (void)state;
    char text[400];
    for (int depth = 63; depth <= 66; depth++) {
        memset(text, '[', (size_t)depth);
        memset(text + depth, ']', (size_t)depth);
        BlyError err = {0};
        cJSON *tree = bly_json_parse(text, 2 * (size_t)depth, &err);
        assert_int_equal(tree != NULL, depth <= BLY_JSON_DEPTH_MAX);
        if (tree == NULL) {
            assert_string_equal(err.text, "nested deeper than 64");
            assert_string_equal(err.where, "line 1, column 65");
        }
        cJSON_Delete(tree);
    }
    memset(text, '[', sizeof text);
    assert_null(bly_json_parse(text, sizeof text, NULL));
}

static void size_is_limited(void **state) {
    (void)state;
    BlyError err = {0};
    assert_null(bly_json_parse("[]", (size_t)BLY_JSON_SIZE_MAX + 1, &err)); /* refused unread */
    assert_int_equal(err.code, BLY_E_RANGE);
    assert_string_equal(err.text, "a document of more than 67108864 bytes");
}

static int allocations_left;
static void *failing_malloc(size_t size) {
    return allocations_left-- > 0 ? malloc(size) : NULL;
}

/* cJSON's allocator fails at the n-th call, for every n until the document is read. */
static void no_memory_is_told_and_leaks_nothing(void **state) {
    (void)state;
    const char *text = "{\"a\": [1, \"two\", {\"b\": null}], \"c\": true}";
    cJSON_Hooks hooks = {.malloc_fn = failing_malloc, .free_fn = free};
    cJSON_InitHooks(&hooks);
    cJSON *tree = NULL;
    int failures = 0;
    for (int n = 0; tree == NULL && n < 100; n++) {
        BlyError err = {0};
        allocations_left = n;
        tree = parse(text, &err);
        if (tree == NULL) {
            assert_int_equal(err.code, BLY_E_MEMORY);
            failures++;
        }
    }
    assert_non_null(tree);
    assert_true(failures > 5);
    cJSON_Delete(tree);
    cJSON_InitHooks(NULL);
}

/* Any text of these bits is taken or refused with a place, and the sanitizers look on. */
static void random_texts_never_break_the_reader(void **state) {
    (void)state;
    static const char *const bits[] = {"{",    "}", "[",  "]",      "\"",   ":",   ",",
                                       "1",    "-", "e",  "true",   "null", "\\u", "d8",
                                       "\xC3", " ", "\n", "\"a\":", ".",    "0"};
    const size_t count = sizeof bits / sizeof bits[0];
    uint32_t seed = 7;
    int taken = 0;
    for (int i = 0; i < 30000; i++) {
        char text[128] = "";
        for (int k = 0; k < 1 + i % 12; k++) {
            seed = seed * 1664525U + 1013904223U;
            strncat(text, bits[(seed >> 16) % count], 8);
        }
        BlyError err = {0};
        cJSON *tree = parse(text, &err);
        assert_true(tree != NULL || err.text[0] != '\0');
        taken += tree != NULL;
        cJSON_Delete(tree);
    }
    assert_true(taken > 100);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(texts_of_the_grammar_are_read),
        cmocka_unit_test(values_arrive_in_the_tree),
        cmocka_unit_test(other_texts_are_refused_with_their_place),
        cmocka_unit_test(nul_bytes_are_refused),
        cmocka_unit_test(length_ends_the_text),
        cmocka_unit_test(doubled_keys_are_named_by_pointer),
        cmocka_unit_test(numbers_beyond_a_double_are_refused),
        cmocka_unit_test(nesting_is_limited),
        cmocka_unit_test(size_is_limited),
        cmocka_unit_test(no_memory_is_told_and_leaks_nothing),
        cmocka_unit_test(random_texts_never_break_the_reader),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
