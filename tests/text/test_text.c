/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/check.h"
#include "text/text.h"

static void empty_text_is_an_empty_string(void **state) {
    (void)state;
    BlyText text = {0};
    assert_string_equal(bly_text_string(&text), "");
    assert_true(bly_text_good(&text, NULL));
    bly_text_append(&text, "");
    assert_string_equal(bly_text_string(&text), "");
    bly_text_release(&text);
    bly_text_release(&text);
    assert_null(text.bytes);
}

static void appends_in_order(void **state) {
    (void)state;
    BlyText text;
    bly_text_init(&text);
    bly_text_append(&text, "lip ");
    bly_text_appendf(&text, "%d x %.1f", 20, 25.0);
    bly_text_append_bytes(&text, " mm, thick", 3);
    bly_text_repeat(&text, '.', 4);
    bly_text_repeat(&text, '.', 0);
    assert_string_equal(bly_text_string(&text), "lip 20 x 25.0 mm....");
    assert_int_equal(text.length, strlen(text.bytes));
    bly_text_cut(&text, 3);
    assert_string_equal(bly_text_string(&text), "lip");
    bly_text_cut(&text, 100);
    assert_string_equal(bly_text_string(&text), "lip");
    bly_text_release(&text);
}

/* Against one snprintf into a large buffer. */
static void grows_past_every_room(void **state) {
    (void)state;
    static char want[100000];
    BlyText text = {0};
    size_t used = 0;
    for (int i = 0; i < 9000; i++) {
        used += (size_t)snprintf(want + used, sizeof want - used, "%d,", i);
        bly_text_appendf(&text, "%d,", i);
        assert_true(text.length < text.room);
    }
    assert_int_equal(text.length, used);
    assert_string_equal(bly_text_string(&text), want);
    bly_text_release(&text);
}

static void first_failure_is_remembered(void **state) {
    (void)state;
    BlyText text = {0};
    BlyError err = {0};
    bly_text_append(&text, "kept");
    bly_text_repeat(&text, ' ', BLY_TEXT_LIMIT);
    bly_text_append(&text, " not reached");
    bly_text_appendf(&text, "%d", 5);
    assert_string_equal(bly_text_string(&text), "kept");
    assert_false(bly_text_good(&text, &err));
    assert_int_equal(err.code, BLY_E_MEMORY);
    assert_string_equal(err.text, "no memory for a text of more than 4 bytes");
    assert_false(bly_text_good(&text, NULL));
    assert_null(bly_text_detach(&text));
    assert_true(bly_text_good(&text, NULL)); /* empty again */
    bly_text_append_bytes(&text, "x", SIZE_MAX);
    assert_false(bly_text_good(&text, NULL));
    bly_text_release(&text);
}

static void detached_bytes_belong_to_the_caller(void **state) {
    (void)state;
    BlyText text = {0};
    bly_text_append(&text, "mine");
    char *bytes = bly_text_detach(&text);
    assert_string_equal(bytes, "mine");
    assert_string_equal(bly_text_string(&text), "");
    free(bytes);
    bytes = bly_text_detach(&text);
    assert_string_equal(bytes, "");
    free(bytes);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(empty_text_is_an_empty_string),
        cmocka_unit_test(appends_in_order),
        cmocka_unit_test(grows_past_every_room),
        cmocka_unit_test(first_failure_is_remembered),
        cmocka_unit_test(detached_bytes_belong_to_the_caller),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
