/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of units against itself and against its page in docs. */
#include "support/check.h"
#include "decimal/decimal.h"
#include "units/unit_table.h"

static void every_unit_is_sound_and_cited(void **state) {
    (void)state;
    bool seen[BLY_DIM_COUNT] = {false};
    for (size_t i = 0; i < unit_count(); i++) {
        const BlyUnit *unit = unit_at(i);
        seen[unit->dim] = true;
        assert_true(unit->num > 0 && unit->num <= BLY_DECIMAL_FACTOR_MAX && unit->den > 0);
        bool cited = strncmp(unit->source, "SI Brochure", 11) == 0 ||
                     strncmp(unit->source, "NIST SP 811", 11) == 0 ||
                     strstr(unit->source, "in NIST SP 811") != NULL;
        assert_true(cited);
    }
    for (int dim = 0; dim < BLY_DIM_COUNT; dim++)
        assert_int_equal(seen[dim], dim != BLY_DIM_PRICE);
    assert_null(unit_at(unit_count()));
}

static void assert_spelling_finds(const char *spelling, const BlyUnit *unit) {
    char normal[BLY_SPELLING_MAX];
    assert_true(unit_spelling(spelling, strlen(spelling), normal));
    if (unit_find(normal, unit->dim) != unit)
        fail_msg("'%s' (as '%s') does not find %s", spelling, normal, unit->name);
}

/* No two units of one dimension share a spelling, and each spelling survives its own tidying. */
static void every_spelling_finds_its_unit(void **state) {
    (void)state;
    for (size_t i = 0; i < unit_count(); i++) {
        const BlyUnit *unit = unit_at(i);
        assert_spelling_finds(unit->name, unit);
        for (size_t k = 0; k < BLY_UNIT_ALIASES && unit->alias[k] != NULL; k++)
            assert_spelling_finds(unit->alias[k], unit);
    }
}

/* Each unit reads through the public door: "1 unit" gives its factor. */
static void every_unit_reads(void **state) {
    (void)state;
    for (size_t i = 0; i < unit_count(); i++) {
        const BlyUnit *unit = unit_at(i);
        char text[64];
        double si = NAN;
        (void)snprintf(text, sizeof text, "1 %s", unit->name);
        assert_true(bly_quantity_read(text, unit->dim, NULL, &si, NULL));
        double factor = (double)unit->num * pow(10.0, unit->power) / (double)unit->den;
        assert_close(si, (1.0 + unit->shift) * factor, 0.0, 1e-14);
    }
}

static char *slurp(const char *path) {
    FILE *file = fopen(path, "r");
    assert_non_null(file);
    char *text = calloc(1, 65536);
    assert_non_null(text);
    size_t got = fread(text, 1, 65535, file);
    assert_true(got > 0 && got < 65535);
    assert_int_equal(fclose(file), 0);
    return text;
}

static void every_unit_stands_in_the_docs(void **state) {
    (void)state;
    char *docs = slurp("docs/units.md");
    for (size_t i = 0; i < unit_count(); i++) {
        char entry[64];
        (void)snprintf(entry, sizeof entry, "`%s`", unit_at(i)->name);
        if (strstr(docs, entry) == NULL)
            fail_msg("docs/units.md does not list %s", entry);
    }
    free(docs);
}

static void long_spellings_are_refused(void **state) {
    (void)state;
    char out[BLY_SPELLING_MAX], longer[200];
    memset(longer, 'm', sizeof longer);
    assert_false(unit_spelling(longer, sizeof longer, out));
    assert_true(strlen(out) < BLY_SPELLING_MAX);
    assert_true(unit_spelling(longer, BLY_SPELLING_MAX - 1, out));
    assert_false(unit_spelling(longer, BLY_SPELLING_MAX, out));
}

static void nearest_spelling_follows_the_dimension(void **state) {
    (void)state;
    assert_string_equal(unit_near("mn", BLY_DIM_LENGTH), "mm");
    assert_string_equal(unit_near("mn", BLY_DIM_TIME), "min");
    assert_null(unit_near("furlong", BLY_DIM_LENGTH));
    assert_null(unit_near("x", BLY_DIM_PRICE));
}

/* Products are checked against 64-bit integers, the compiler's own arithmetic. */
static void decimals_multiply_exactly(void **state) {
    (void)state;
    for (uint64_t a = 0; a < 100000; a += 977) {
        for (uint64_t b = 1; b < 10000000; b = 7 * b + 3) {
            BlyDecimal d = bly_decimal_from(a);
            bly_decimal_times(&d, b, 0);
            assert_true(bly_decimal_value(&d) == (double)(a * b));
        }
    }
    BlyDecimal d = bly_decimal_from(BLY_DECIMAL_FACTOR_MAX);
    assert_true(bly_decimal_value(&d) == (double)BLY_DECIMAL_FACTOR_MAX);
    bly_decimal_times(&d, 1, -18);
    assert_close(bly_decimal_value(&d), 1.8446744073709551, 0.0, 1e-15);
}

static void numbers_print_with_few_digits(void **state) {
    (void)state;
    static const struct {
        double value;
        const char *want;
    } cases[] = {
        {0.0, "0"},
        {1.0, "1"},
        {-15.0, "-15"},
        {0.1, "0.1"},
        {1e14, "100000000000000"},
        {1e15, "1e15"},
        {123456.789, "123456.789"},
        {1e-5, "0.00001"},
        {1e-6, "1e-6"},
        {-1.5e-9, "-1.5e-9"},
        {1e22, "1e22"},
        {5e-324, "5e-324"},
        {0.1 + 0.2, "0.30000000000000004"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[BLY_NUMBER_MAX];
        bly_number_shortest(cases[i].value, text);
        assert_string_equal(text, cases[i].want);
    }
}

/* Against the C library's own printing and reading, each number of digits tried from one on. */
static void no_number_prints_with_fewer_digits(void **state) {
    (void)state;
    uint64_t seed = 12345;
    for (int i = 0; i < 20000; i++) {
        char text[BLY_NUMBER_MAX], few[40];
        seed = seed * 6364136223846793005u + 1442695040888963407u;
        double value = (double)(int64_t)seed * 1e-17;
        if (i % 3 == 0)
            value = round(value * 1e2) / 1e2;
        else if (i % 3 == 1)
            value = ldexp(value, (int)(seed >> 40) % 900 - 450);
        int digits = 1;
        while ((void)snprintf(few, sizeof few, "%.*e", digits - 1, value),
               strtod(few, NULL) != value)
            digits++;
        bly_number_shortest(value, text);
        assert_true(strtod(text, NULL) == value);
        int told = 0;
        for (const char *c = text; *c != '\0' && *c != 'e'; c++)
            told += *c >= '0' && *c <= '9' && (*c != '0' || told > 0);
        char *point = strchr(text, '.'), *exponent = strchr(text, 'e');
        if (point == NULL && exponent == NULL) /* zeros in front of the point are places */
            for (size_t n = strlen(text); n > 0 && text[n - 1] == '0'; n--)
                told--;
        assert_true(value == 0 || told <= digits);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_unit_is_sound_and_cited),
        cmocka_unit_test(every_spelling_finds_its_unit),
        cmocka_unit_test(every_unit_reads),
        cmocka_unit_test(every_unit_stands_in_the_docs),
        cmocka_unit_test(long_spellings_are_refused),
        cmocka_unit_test(nearest_spelling_follows_the_dimension),
        cmocka_unit_test(decimals_multiply_exactly),
        cmocka_unit_test(numbers_print_with_few_digits),
        cmocka_unit_test(no_number_prints_with_fewer_digits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
