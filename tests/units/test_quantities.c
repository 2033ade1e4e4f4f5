/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table quantities.csv: text, and either the SI value with its source or the refusal. Expected
 * values are exact rational arithmetic on the defining factors, done outside this program and
 * rounded to the nearest double; `rel` is 2.3e-16 where we claim one rounding (that is one unit in
 * the last place), and half the last printed digit where a handbook prints seven. */
#include "support/check.h"
#include "support/table.h"
#include "ballastry/units.h"

#define TABLE "tests/units/quantities.csv"

static const struct {
    const char *name;
    BlyDimension dim;
} dimension_names[] = {
    {"length", BLY_DIM_LENGTH},
    {"mass", BLY_DIM_MASS},
    {"volume", BLY_DIM_VOLUME},
    {"area", BLY_DIM_AREA},
    {"density", BLY_DIM_DENSITY},
    {"temperature", BLY_DIM_TEMPERATURE},
    {"temperature_step", BLY_DIM_TEMPERATURE_STEP},
    {"speed", BLY_DIM_SPEED},
    {"angle", BLY_DIM_ANGLE},
    {"time", BLY_DIM_TIME},
    {"salinity", BLY_DIM_SALINITY},
    {"ratio", BLY_DIM_RATIO},
    {"expansion", BLY_DIM_EXPANSION},
    {"area_mass", BLY_DIM_AREA_MASS},
    {"stress", BLY_DIM_STRESS},
    {"price", BLY_DIM_PRICE},
};

static BlyDimension dimension_of(const char *name) {
    for (size_t i = 0; i < sizeof dimension_names / sizeof dimension_names[0]; i++) {
        if (strcmp(dimension_names[i].name, name) == 0)
            return dimension_names[i].dim;
    }
    fail_msg("no dimension %s", name);
    return BLY_DIM_COUNT;
}

static bool is_refusal(const Table *table, size_t row) {
    return table_text(table, row, "refused")[0] != '\0';
}

static bool read_row_text(const Table *table, size_t row, double *si, BlyError *err) {
    const char *bare = table_text(table, row, "bare");
    return bly_quantity_read(table_text(table, row, "text"),
                             dimension_of(table_text(table, row, "dimension")),
                             bare[0] != '\0' ? bare : NULL, si, err);
}

static void accepted_texts_have_their_value(void **state) {
    (void)state;
    Table *table = table_read(TABLE);
    size_t accepted = 0;
    for (size_t row = 0; row < table_rows(table); row++) {
        if (is_refusal(table, row))
            continue;
        double si = NAN;
        BlyError err = {0};
        if (!read_row_text(table, row, &si, &err))
            fail_msg("row %zu: refused: %s: %s", row + 2, err.where, err.text);
        double want = table_number(table, row, "si"), rel = table_number(table, row, "rel");
        if (!(fabs(si - want) <= rel * fabs(want)))
            fail_msg("row %zu: '%s' is %.17g, want %.17g", row + 2, table_text(table, row, "text"),
                     si, want);
        assert_int_equal(err.code, BLY_OK);
        assert_true(table_text(table, row, "source")[0] != '\0');
        accepted++;
    }
    assert_true(accepted >= 150);
    table_free(table);
}

static void refused_texts_say_why_and_leave_the_value(void **state) {
    (void)state;
    Table *table = table_read(TABLE);
    size_t refused = 0;
    for (size_t row = 0; row < table_rows(table); row++) {
        if (!is_refusal(table, row))
            continue;
        double si = -77.0;
        BlyError err = {0};
        if (read_row_text(table, row, &si, &err))
            fail_msg("row %zu: '%s' was accepted", row + 2, table_text(table, row, "text"));
        assert_true(si == -77.0);
        char said[BLY_WHERE_MAX + 64];
        (void)snprintf(said, sizeof said, "%s at %s", bly_code_words(err.code), err.where);
        assert_string_equal(said, table_text(table, row, "refused"));
        assert_string_equal(err.text, table_text(table, row, "error"));
        assert_false(read_row_text(table, row, &si, NULL));
        refused++;
    }
    assert_true(5 * refused >= table_rows(table));
    table_free(table);
}

/* A quantity of one dimension is never taken for another, unless the unit belongs to both. */
static void nothing_reads_in_a_foreign_dimension(void **state) {
    (void)state;
    static const struct {
        const char *text;
        BlyDimension also;
    } own[BLY_DIM_COUNT] = {
        [BLY_DIM_LENGTH] = {"2 mm", BLY_DIM_LENGTH},
        [BLY_DIM_MASS] = {"2 oz", BLY_DIM_MASS},
        [BLY_DIM_VOLUME] = {"2 fl oz", BLY_DIM_VOLUME},
        [BLY_DIM_AREA] = {"2 in2", BLY_DIM_AREA},
        [BLY_DIM_DENSITY] = {"2 g/cm3", BLY_DIM_DENSITY},
        [BLY_DIM_TEMPERATURE] = {"2 C", BLY_DIM_TEMPERATURE_STEP},
        [BLY_DIM_TEMPERATURE_STEP] = {"2 F", BLY_DIM_TEMPERATURE},
        [BLY_DIM_SPEED] = {"2 s/ft", BLY_DIM_SPEED},
        [BLY_DIM_ANGLE] = {"2 deg", BLY_DIM_ANGLE},
        [BLY_DIM_TIME] = {"2 min", BLY_DIM_TIME},
        [BLY_DIM_SALINITY] = {"2 g/kg", BLY_DIM_SALINITY},
        [BLY_DIM_RATIO] = {"2 %", BLY_DIM_SALINITY},
        [BLY_DIM_EXPANSION] = {"2 ppm/K", BLY_DIM_EXPANSION},
        [BLY_DIM_AREA_MASS] = {"2 oz/ft2", BLY_DIM_AREA_MASS},
        [BLY_DIM_STRESS] = {"2 MPa", BLY_DIM_STRESS},
        [BLY_DIM_PRICE] = {"2", BLY_DIM_RATIO},
    };
    for (int from = 0; from < BLY_DIM_COUNT; from++) {
        for (int to = 0; to < BLY_DIM_COUNT; to++) {
            double si = -77.0;
            BlyError err = {0};
            bool good = bly_quantity_read(own[from].text, (BlyDimension)to, NULL, &si, &err);
            assert_int_equal(good, to == from || to == (int)own[from].also);
            if (!good) {
                assert_int_equal(err.code, BLY_E_UNIT);
                assert_non_null(strstr(err.text, bly_dimension_words((BlyDimension)to)));
            }
        }
    }
}

static void hostile_texts_are_quoted_safely(void **state) {
    (void)state;
    double si = -77.0;
    BlyError err = {0};
    assert_false(bly_quantity_read("5 m\x1b[31m\nm", BLY_DIM_LENGTH, NULL, &si, &err));
    assert_string_equal(err.text, "\"5 m?[31m?m\" has an unknown unit \"m?[31m?m\"; expected a "
                                  "length such as \"88 mm\"");
    assert_false(bly_quantity_read("5 \xff\xfe", BLY_DIM_LENGTH, NULL, &si, &err));
    assert_string_equal(err.text, "\"5 ??\" has an unknown unit \"??\"; expected a length such as "
                                  "\"88 mm\"");
    char longer[4096];
    memset(longer, '9', sizeof longer);
    longer[sizeof longer - 1] = '\0';
    assert_false(bly_quantity_read(longer, BLY_DIM_LENGTH, "mm", &si, &err));
    assert_non_null(strstr(err.text, "...\" is too large a number"));
    assert_false(bly_quantity_read("5", BLY_DIM_LENGTH, "furlong", &si, &err));
    assert_int_equal(err.code, BLY_E_INTERNAL);
    assert_true(si == -77.0);
}

/* No text of a few bytes over this alphabet crashes or yields something that is not finite; the
 * sanitizers look on. */
static void random_texts_never_break_the_reader(void **state) {
    (void)state;
    static const char *const bits[] = {"1",   "2",        "0",  ".",  "/",   "-",  " ",
                                       "e",   "mm",       "in", "ft", "s",   "oz", ",",
                                       "deg", "\xC2\xBD", "C",  "%",  "per", "+",  "\xff"};
    const size_t count = sizeof bits / sizeof bits[0];
    uint32_t seed = 20260101;
    int accepted = 0;
    for (int i = 0; i < 40000; i++) {
        char text[64] = "";
        int parts = 1 + i % 8;
        for (int k = 0; k < parts; k++) {
            seed = seed * 1664525U + 1013904223U;
            strncat(text, bits[(seed >> 16) % count], 4);
        }
        double si = NAN;
        if (bly_quantity_read(text, (BlyDimension)(i / 8 % BLY_DIM_COUNT), NULL, &si, NULL)) {
            assert_true(isfinite(si));
            accepted++;
        }
    }
    assert_true(accepted > 100);
}

/* What the last digit that was written stands for; by hand, 1 oz = 28.349523125 g (NIST SP 811,
 * appendix B.8). Half of it is what rounding leaves of a mass. */
static void the_last_digit(void **state) {
    (void)state;
    static const struct {
        const char *text;
        BlyDimension dim;
        double one;
    } cases[] = {
        {"14.2 g", BLY_DIM_MASS, 0.1e-3},
        {"14.20 g", BLY_DIM_MASS, 0.01e-3},
        {"14 g", BLY_DIM_MASS, 1e-3},
        {"14.2", BLY_DIM_MASS, 0.1e-3},
        {" -.5g", BLY_DIM_MASS, 0.1e-3},
        {"530 mg", BLY_DIM_MASS, 1e-6},
        {"0.3 oz", BLY_DIM_MASS, 2.8349523125e-3},
        {"3/8 oz", BLY_DIM_MASS, 0},
        {"1 1/2 oz", BLY_DIM_MASS, 0},
        {"1.5e-2 kg", BLY_DIM_MASS, 0},
        {"g", BLY_DIM_MASS, 0},
        {"14.2 mm", BLY_DIM_MASS, 0},
        {"", BLY_DIM_MASS, 0},
        {"8 s", BLY_DIM_TIME, 1},
        {"54 F", BLY_DIM_TEMPERATURE, 5.0 / 9},
        {"12.5 C", BLY_DIM_TEMPERATURE, 0.1},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        double one = bly_quantity_last_digit(cases[i].text, cases[i].dim, "g");
        if (cases[i].dim != BLY_DIM_MASS)
            one = bly_quantity_last_digit(cases[i].text, cases[i].dim, NULL);
        else
            assert_close(bly_mass_give_least(cases[i].text), cases[i].one / 2, 1e-18, 1e-12);
        assert_close(one, cases[i].one, 1e-18, 1e-12);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(accepted_texts_have_their_value),
        cmocka_unit_test(refused_texts_say_why_and_leave_the_value),
        cmocka_unit_test(nothing_reads_in_a_foreign_dimension),
        cmocka_unit_test(hostile_texts_are_quoted_safely),
        cmocka_unit_test(random_texts_never_break_the_reader),
        cmocka_unit_test(the_last_digit),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
