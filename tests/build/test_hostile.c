/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Text that means harm. Nothing is expected but an answer: good or an error, no abort, no leak
 * (run with SANITIZE=address,undefined), and the same answer twice. */
#include "build/files.h"
#include "build/shelf.h"
#include "build/build.h"

#include <gsl/gsl_errno.h>

static bool try_text(const BlyCatalog *shelf, const char *text, size_t size) {
    BlyBuild *one = NULL, *two = NULL;
    BlyError first = {0}, second = {0};
    bool good = bly_build_read(text, size, shelf, &one, &first);
    assert_int_equal(bly_build_read(text, size, shelf, &two, &second), good);
    if (!good) {
        assert_null(one);
        assert_int_not_equal(first.code, BLY_OK);
        assert_int_equal(first.code, second.code);
        assert_string_equal(first.where, second.where);
        assert_string_equal(first.text, second.text);
        assert_true(strlen(first.text) > 0 && strchr(first.text, '\n') == NULL);
        assert_true(bly_code_of_input(first.code));
    }
    bly_build_free(one);
    bly_build_free(two);
    return good;
}

static void ten_megabytes_of_brackets(void **state) {
    static const char openers[] = "[{";
    size_t size = 10u << 20;
    char *text = malloc(size);
    assert_non_null(text);
    for (size_t i = 0; i < sizeof openers - 1; i++) {
        memset(text, openers[i], size);
        assert_false(try_text(*state, text, size));
    }
    for (size_t i = 0; i + 5 <= size; i += 5)
        memcpy(text + i, "{\"a\":", 5);
    assert_false(try_text(*state, text, size));
    free(text);
}

/* Every beginning of a good file is broken JSON, whichever byte it stops at. */
static void every_beginning(void **state) {
    size_t size;
    char *text = file_bytes("tests/build/good/everything.json", &size);
    while (size > 0 && text[size - 1] != '}')
        size--;
    assert_true(try_text(*state, text, size));
    for (size_t cut = 0; cut < size; cut += 7)
        assert_false(try_text(*state, text, cut));
    free(text);
}

/* Each number of the file replaced by a monster. */
static void monstrous_numbers(void **state) {
    static const char *const monsters[] = {
        "1e308",     "-1e308",     "1e-320", "-0", "1e999", "\"1e308 mm\"", "\"-1e308 g\"",
        "\"1e999\"", "\"1/0 mm\"", "null",   "[]", "{}",    "false"};
    size_t size;
    char *text = file_bytes("tests/build/good/everything.json", &size);
    char *changed = malloc(size + 64);
    assert_non_null(changed);
    for (const char *at = strchr(text, ':'); at != NULL; at = strchr(at + 1, ':')) {
        size_t head = (size_t)(at - text) + 2;
        const char *rest = text + head + strcspn(text + head, ",}]\n");
        if (text[head] == '{' || text[head] == '[')
            continue;
        for (size_t m = 0; m < sizeof monsters / sizeof monsters[0]; m++) {
            int length =
                snprintf(changed, size + 64, "%.*s%s%s", (int)head, text, monsters[m], rest);
            assert_true(length > 0);
            (void)try_text(*state, changed, (size_t)length);
        }
    }
    free(changed);
    free(text);
}

/* Bytes flipped by a small congruential generator (Numerical Recipes, 3rd ed., 7.1), fixed seed. */
static void flipped_bytes(void **state) {
    size_t size;
    char *text = file_bytes("tests/build/good/everything.json", &size);
    uint32_t seed = 12345;
    for (int round = 0; round < 300; round++) {
        seed = seed * 1664525u + 1013904223u;
        size_t at = (seed >> 8) % size;
        char old = text[at];
        text[at] = (char)(seed >> 3);
        (void)try_text(*state, text, size);
        text[at] = old;
    }
    free(text);
}

static void a_zero_byte_ends_nothing(void **state) {
    static const char text[] = "{ \"ballastry\": 1, \"name\": \"a\0b\" }";
    assert_false(try_text(*state, text, sizeof text - 1));
    static const char behind[] = "{ \"ballastry\": 1 }\0 {}";
    assert_false(try_text(*state, behind, sizeof behind - 1));
}

int main(void) {
    (void)gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ten_megabytes_of_brackets), cmocka_unit_test(every_beginning),
        cmocka_unit_test(monstrous_numbers),         cmocka_unit_test(flipped_bytes),
        cmocka_unit_test(a_zero_byte_ends_nothing),
    };
    return cmocka_run_group_tests(tests, shelf_stock, shelf_clear);
}
