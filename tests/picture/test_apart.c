/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drawing in a process of its own: what comes back, and what its death leaves. Signals as POSIX
 * (signal.h) names them. */
#include "support/check.h"
#include "picture/apart.h"

#include <signal.h>
#include <unistd.h>

static pid_t here;

static bool three_words(const BlySheet *sheet, size_t first, BlyText *out, BlyError *err) {
    (void)sheet;
    (void)err;
    for (size_t i = 0; i < 20000; i++) /* more than a pipe holds */
        bly_text_appendf(out, "page %zu\n", first);
    return getpid() != here;
}

static bool refuses(const BlySheet *sheet, size_t first, BlyText *out, BlyError *err) {
    (void)sheet;
    (void)first;
    bly_text_append(out, "half");
    return bly_fail(err, BLY_E_RANGE, "/width", "should be larger");
}

static bool dies(const BlySheet *sheet, size_t first, BlyText *out, BlyError *err) {
    static const int signals[] = {SIGABRT, SIGTRAP, SIGSEGV, SIGKILL};
    (void)sheet;
    bly_text_append(out, "half");
    (void)raise(signals[first]);
    return bly_fail(err, BLY_E_INTERNAL, NULL, "still alive");
}

static bool finds_no_memory(const BlySheet *sheet, size_t first, BlyText *out, BlyError *err) {
    (void)sheet;
    (void)first;
    (void)err;
    bly_text_append(out, "half");
    out->failed = true;
    return true;
}

static void all_bytes_come_back(void **state) {
    (void)state;
    const BlySheet sheet = {0};
    BlyText out = {0};
    here = getpid();
    assert_true(picture_apart(three_words, &sheet, 7, &out, NULL));
    assert_int_equal(out.length, 20000 * strlen("page 7\n"));
    assert_string_equal(out.bytes + out.length - 14, "page 7\npage 7\n");
    bly_text_release(&out);
}

static void an_error_comes_back_as_it_was(void **state) {
    (void)state;
    const BlySheet sheet = {0};
    BlyText out = {0};
    BlyError err = {0};
    assert_false(picture_apart(refuses, &sheet, 0, &out, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    assert_string_equal(err.where, "/width");
    assert_string_equal(err.text, "should be larger");
    assert_int_equal(out.length, 0);
    err = (BlyError){0};
    assert_false(picture_apart(finds_no_memory, &sheet, 0, &out, &err));
    assert_int_equal(err.code, BLY_E_MEMORY);
    assert_int_equal(out.length, 0);
}

static void its_death_is_an_error(void **state) {
    (void)state;
    const BlySheet sheet = {0};
    for (size_t i = 0; i < 4; i++) {
        BlyText out = {0};
        BlyError err = {0};
        assert_false(picture_apart(dies, &sheet, i, &out, &err));
        assert_int_equal(err.code, BLY_E_INTERNAL);
        assert_non_null(strstr(err.text, "gave up"));
        bly_text_release(&out);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_bytes_come_back),
        cmocka_unit_test(an_error_comes_back_as_it_was),
        cmocka_unit_test(its_death_is_an_error),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
