/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The examples of RFC 4180, section 2, points 1 to 7. */
#include "csv/csv.h"
#include "support/check.h"

static void rows_are(const char *text, const char *const rows[][4], size_t count) {
    Csv csv;
    CsvRow row;
    BlyError err = {0};
    assert_true(csv_open(&csv, text, strlen(text), &err));
    for (size_t i = 0; i < count; i++) {
        assert_true(csv_next(&csv, &row, &err));
        for (size_t k = 0; k < 3; k++)
            assert_string_equal(row.field[k], rows[i][k]);
        assert_int_equal(row.count, 3);
    }
    assert_true(csv_next(&csv, &row, &err));
    assert_int_equal(row.count, 0);
    csv_release(&csv);
}

static void the_standards_examples(void **state) {
    (void)state;
    static const char *const plain[][4] = {{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}};
    rows_are("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", plain, 2);
    rows_are("aaa,bbb,ccc\r\nzzz,yyy,xxx", plain, 2); /* the last line may lack its end */
    rows_are("\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx", plain, 2);
    static const char *const quoted[][4] = {{"aaa", "b\"bb", "ccc"}};
    rows_are("\"aaa\",\"b\"\"bb\",\"ccc\"", quoted, 1);
    static const char *const comma[][4] = {{"aaa", "b,bb", "ccc"}};
    rows_are("\"aaa\",\"b,bb\",\"ccc\"", comma, 1);
}

static void what_spreadsheets_write(void **state) {
    (void)state;
    static const struct {
        const char *text;
        char separator;
    } tries[] = {{"a;b;c\n1,5;2;3\n", ';'}, {"a\tb;c\n", '\t'}, {"# a;b\na,b,c\n", ','}};
    for (size_t i = 0; i < sizeof tries / sizeof tries[0]; i++) {
        Csv csv;
        assert_true(csv_open(&csv, tries[i].text, strlen(tries[i].text), NULL));
        csv_find_separator(&csv);
        assert_int_equal(csv.separator, tries[i].separator);
        csv_release(&csv);
    }
}

static void a_zero_byte_is_refused(void **state) {
    (void)state;
    Csv csv;
    BlyError err = {0};
    assert_false(csv_open(&csv, "a,b\0c\n", 6, &err));
    assert_int_equal(err.code, BLY_E_SYNTAX);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_standards_examples),
        cmocka_unit_test(what_spreadsheets_write),
        cmocka_unit_test(a_zero_byte_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
