/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shipped packed shares against the published rows beside this file. */
#include "support/check.h"
#include "support/table.h"
#include "pour/bench.h"

static void each_range_spans_its_published_rows_and_no_more(void **state) {
    (void)state;
    Table *rows = table_read("tests/pour/packing.csv");
    assert_true(table_rows(rows) >= 15);
    size_t count = 0, met = 0;
    const BlyPacking *table = bly_packings(&count);
    for (size_t i = 0; i < count; i++) {
        double low = 1, high = 0;
        for (size_t r = 0; r < table_rows(rows); r++) {
            if (strcmp(table_text(rows, r, "name"), table[i].name) != 0)
                continue;
            low = fmin(low, table_number(rows, r, "low"));
            high = fmax(high, table_number(rows, r, "high"));
        }
        if (low > high || strcmp(table[i].name, "grain") == 0)
            continue; /* spans other rows: see below */
        assert_close(table[i].low, low, 1e-12, 0);
        assert_close(table[i].high, high, 1e-12, 0);
        met++;
    }
    assert_int_equal(met, count - 3);
    table_free(rows);
}

/* Granulate and bubbles are taken as equal spheres from loosest to closest; grain spans seeds. */
static void borrowed_ranges_span_what_they_borrow(void **state) {
    (void)state;
    const BlyPacking *loose = bly_packing_find("loose"), *close = bly_packing_find("close");
    const char *names[] = {"granulate", "microballoons"};
    for (int i = 0; i < 2; i++) {
        const BlyPacking *p = bly_packing_find(names[i]);
        assert_non_null(p);
        assert_close(p->low, loose->low, 0, 0);
        assert_close(p->high, close->high, 0, 0);
        assert_int_equal(p->origin, BLY_FROM_MODEL);
    }
    const BlyPacking *grain = bly_packing_find("grain");
    const char *seeds[] = {"chickpea", "grass-pea", "green-pea", "lentil"};
    for (int i = 0; i < 4; i++) {
        assert_true(bly_packing_find(seeds[i])->low >= grain->low);
        assert_true(bly_packing_find(seeds[i])->high <= grain->high);
    }
}

static void every_record_is_whole_and_found(void **state) {
    (void)state;
    size_t count = 0;
    const BlyPacking *table = bly_packings(&count);
    for (size_t i = 0; i < count; i++) {
        assert_ptr_equal(bly_packing_find(table[i].name), &table[i]);
        assert_true(strlen(table[i].words) > 5 && strlen(table[i].source) > 10);
        assert_between(table[i].low, 0.4, table[i].high);
        assert_between(table[i].high, table[i].low, 0.7405); /* densest spheres, pi/sqrt(18) */
        assert_true(i == 0 || strcmp(table[i - 1].name, table[i].name) < 0);
        BlyFigure f = bly_packing_figure(&table[i]);
        assert_close(f.value - f.give, table[i].low, 1e-12, 0);
        assert_close(f.value + f.give, table[i].high, 1e-12, 0);
    }
    assert_null(bly_packing_find("porridge"));
    assert_null(bly_packing_find(NULL));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_range_spans_its_published_rows_and_no_more),
        cmocka_unit_test(borrowed_ranges_span_what_they_borrow),
        cmocka_unit_test(every_record_is_whole_and_found),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
