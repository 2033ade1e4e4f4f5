/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/check.h"
#include "text/near.h"
#include "text/quote.h"

static void distances_of_known_pairs(void **state) {
    (void)state;
    static const struct {
        const char *a, *b;
        int distance;
        const char *source;
    } pairs[] = {
        {"", "", 0, "definition"},
        {"hook", "hook", 0, "definition"},
        {"", "abc", 3, "definition: all letters put in"},
        {"kitten", "sitting", 3, "the usual textbook pair"},
        {"Saturday", "Sunday", 3, "Wagner and Fischer's problem, textbook pair"},
        {"ca", "abc", 3, "optimal string alignment, where full Damerau gives 2"},
        {"hoko", "hook", 1, "one swap of neighbours"},
        {"a", "b", 1, "definition: one change"},
    };
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        assert_int_equal(bly_edit_distance(pairs[i].a, pairs[i].b), pairs[i].distance);
        assert_int_equal(bly_edit_distance(pairs[i].b, pairs[i].a), pairs[i].distance);
    }
}

static void distance_is_a_bound_between_lengths(void **state) {
    (void)state;
    static const char *const words[] = {"tie", "belly", "tail", "lip", "keel", "ring", "hook", "x"};
    const size_t n = sizeof words / sizeof words[0];
    for (size_t i = 0; i < n; i++) {
        for (size_t j = 0; j < n; j++) {
            int d = bly_edit_distance(words[i], words[j]);
            int a = (int)strlen(words[i]), b = (int)strlen(words[j]);
            assert_true(d >= abs(a - b) && d <= (a > b ? a : b));
            assert_true((d == 0) == (i == j));
        }
    }
    char longer[BLY_NEAR_MAX + 1];
    memset(longer, 'a', BLY_NEAR_MAX);
    longer[BLY_NEAR_MAX] = '\0';
    assert_int_equal(bly_edit_distance(longer, "a"), BLY_NEAR_MAX);
    assert_int_equal(bly_edit_distance("a", longer), BLY_NEAR_MAX);
}

static void near_words_are_offered_and_far_ones_not(void **state) {
    (void)state;
    static const char *const keys[] = {"name", "water", "body", "seats", "fitted", "target", "x"};
    const size_t n = sizeof keys / sizeof keys[0];
    assert_string_equal(bly_near("watter", keys, n), "water");
    assert_string_equal(bly_near("waetr", keys, n), "water");
    assert_string_equal(bly_near("Body", keys, n), "body");
    assert_string_equal(bly_near("fited", keys, n), "fitted");
    assert_null(bly_near("colour", keys, n));
    assert_null(bly_near("y", keys, n));
    assert_null(bly_near("", keys, n));
    assert_null(bly_near("name", keys, 0));
    static const char *const equal[] = {"bad", "bat"};
    assert_string_equal(bly_near("bax", equal, 2), "bad"); /* the first of equals */
}

/* RFC 3629, section 4 (syntax) and section 10 (overlong forms, surrogates). */
static void utf8_is_told_from_bytes(void **state) {
    (void)state;
    static const struct {
        const char *text;
        size_t length;
    } cases[] = {
        {"", 0},
        {"a", 1},
        {"\xC2\xB0", 2},
        {"\xE2\x82\xAC", 3},
        {"\xF0\x9F\x90\x9F", 4},
        {"\xF4\x8F\xBF\xBF", 4},
        {"\x80", 0},                 /* a continuation alone */
        {"\xC0\xAF", 0},             /* overlong */
        {"\xC1\xBF", 0},             /* overlong */
        {"\xE0\x80\xAF", 0},         /* overlong */
        {"\xF0\x80\x80\xAF", 0},     /* overlong */
        {"\xED\xA0\x80", 0},         /* surrogate */
        {"\xED\xBF\xBF", 0},         /* surrogate */
        {"\xF4\x90\x80\x80", 0},     /* above U+10FFFF */
        {"\xF8\x88\x80\x80\x80", 0}, /* five bytes */
        {"\xFF", 0},
        {"\xE2\x82", 0}, /* cut short */
        {"\xC2", 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        assert_int_equal(bly_utf8_length(cases[i].text), cases[i].length);
}

static void quotes_are_one_printable_line(void **state) {
    (void)state;
    char out[BLY_QUOTE_MAX];
    bly_quote("plain text", out);
    assert_string_equal(out, "plain text");
    bly_quote("a\nb\tc\x1b\x7f", out);
    assert_string_equal(out, "a?b?c??");
    bly_quote("10 \xC2\xB0"
              "C \xE2\x82",
              out);
    assert_string_equal(out, "10 \xC2\xB0"
                             "C ??");
    bly_quote("\xC2\x9B", out); /* a control character beyond ASCII */
    assert_string_equal(out, "?");
    char longer[500];
    for (size_t i = 0; i + 2 < sizeof longer; i += 2)
        memcpy(longer + i, "\xC2\xB5", 3);
    bly_quote(longer, out);
    size_t n = strlen(out);
    assert_true(n < BLY_QUOTE_MAX && n > BLY_QUOTE_MAX - 8);
    assert_string_equal(out + n - 3, "...");
    assert_int_equal((n - 3) % 2, 0); /* no character is cut in two */
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(distances_of_known_pairs),
        cmocka_unit_test(distance_is_a_bound_between_lengths),
        cmocka_unit_test(near_words_are_offered_and_far_ones_not),
        cmocka_unit_test(utf8_is_told_from_bytes),
        cmocka_unit_test(quotes_are_one_printable_line),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
