/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Printing: what is printed exactly reads back as the very same double; what is shown is readable.
 */
#include "support/check.h"
#include "ballastry/units.h"
#include "support/comma.h"
#include "decimal/decimal.h"

static uint64_t random_state = 88172645463325252U;

/* Marsaglia (2003), "Xorshift RNGs", J. Stat. Softw. 8(14): a fixed sequence. */
static uint64_t random_bits(void) {
    random_state ^= random_state << 13;
    random_state ^= random_state >> 7;
    random_state ^= random_state << 17;
    return random_state;
}

/* A double of every size between 1e-12 and 1e6 and either sign, all bits of it random. */
static double random_value(void) {
    double mantissa = 1.0 + (double)(random_bits() >> 12) * 0x1p-52;
    double size = ldexp(mantissa, (int)(random_bits() % 60) - 40);
    return random_bits() % 2 == 0 ? size : -size;
}

static void assert_reads_back(double si, BlyDimension dim, BlySystem system) {
    char text[BLY_QUANTITY_MAX];
    double back = NAN;
    BlyError err = {0};
    bly_quantity_exact(si, dim, system, text);
    if (!bly_quantity_read(text, dim, NULL, &back, &err))
        fail_msg("%.17g printed as '%s': %s", si, text, err.text);
    if (!(back == si))
        fail_msg("%.17g printed as '%s' reads as %.17g", si, text, back);
}

static void random_values_read_back_exactly(void **state) {
    (void)state;
    for (int i = 0; i < 15000; i++) {
        BlyDimension dim = (BlyDimension)(i % BLY_DIM_COUNT);
        double si = random_value();
        if (dim == BLY_DIM_TEMPERATURE)
            si = fmod(si, 273.0);
        assert_reads_back(si, dim, BLY_METRIC);
        assert_reads_back(si, dim, BLY_INCH);
    }
}

static void border_values_read_back_exactly(void **state) {
    (void)state;
    static const double border[] = {
        0.0,       5e-324,    2.2250738585072014e-308, 1.7976931348623157e308,
        1.0 / 3.0, 0.1 + 0.2, 9007199254740993.0,      1e22,
        1e23,      -1e-5,     123456789.125,           -0.0};
    for (size_t i = 0; i < sizeof border / sizeof border[0]; i++) {
        for (int dim = 0; dim < BLY_DIM_COUNT; dim++) {
            if (dim == BLY_DIM_TEMPERATURE && border[i] < -273.15)
                continue;
            assert_reads_back(border[i], (BlyDimension)dim, BLY_METRIC);
            assert_reads_back(border[i], (BlyDimension)dim, BLY_INCH);
        }
    }
}

/* A maker's own figure is printed as it was typed, not with seventeen digits. */
static void figures_come_back_as_typed(void **state) {
    (void)state;
    static const struct {
        BlyDimension dim;
        BlySystem system;
        const char *text;
    } typed[] = {
        {BLY_DIM_LENGTH, BLY_METRIC, "88 mm"},
        {BLY_DIM_LENGTH, BLY_METRIC, "0.1 mm"},
        {BLY_DIM_LENGTH, BLY_INCH, "3.5 in"},
        {BLY_DIM_LENGTH, BLY_INCH, "0.0625 in"},
        {BLY_DIM_MASS, BLY_METRIC, "12.3 g"},
        {BLY_DIM_MASS, BLY_METRIC, "0.03 g"},
        {BLY_DIM_MASS, BLY_INCH, "0.375 oz"},
        {BLY_DIM_VOLUME, BLY_METRIC, "13.9 cm3"},
        {BLY_DIM_VOLUME, BLY_INCH, "0.85 in3"},
        {BLY_DIM_AREA, BLY_METRIC, "6.3 cm2"},
        {BLY_DIM_AREA, BLY_INCH, "1.1 in2"},
        {BLY_DIM_DENSITY, BLY_METRIC, "0.55 g/cm3"},
        {BLY_DIM_DENSITY, BLY_INCH, "35.3 lb/ft3"},
        {BLY_DIM_TEMPERATURE, BLY_METRIC, "-2.5 C"},
        {BLY_DIM_TEMPERATURE, BLY_INCH, "54 F"},
        {BLY_DIM_TEMPERATURE_STEP, BLY_METRIC, "2 C"},
        {BLY_DIM_TEMPERATURE_STEP, BLY_INCH, "4 F"},
        {BLY_DIM_SPEED, BLY_METRIC, "-15 mm/s"},
        {BLY_DIM_SPEED, BLY_INCH, "3.7 in/s"},
        {BLY_DIM_ANGLE, BLY_METRIC, "40 deg"},
        {BLY_DIM_ANGLE, BLY_INCH, "12.7 deg"},
        {BLY_DIM_TIME, BLY_METRIC, "5.2 s"},
        {BLY_DIM_SALINITY, BLY_METRIC, "35.165 g/kg"},
        {BLY_DIM_RATIO, BLY_METRIC, "8 %"},
        {BLY_DIM_EXPANSION, BLY_METRIC, "60 ppm/K"},
        {BLY_DIM_EXPANSION, BLY_INCH, "33 ppm/F"},
        {BLY_DIM_AREA_MASS, BLY_METRIC, "0.155 g/cm2"},
        {BLY_DIM_AREA_MASS, BLY_INCH, "5.1 oz/ft2"},
        {BLY_DIM_STRESS, BLY_METRIC, "350 MPa"},
        {BLY_DIM_STRESS, BLY_INCH, "13.5 ksi"},
        {BLY_DIM_PRICE, BLY_METRIC, "2.5"},
        {BLY_DIM_LENGTH, BLY_METRIC, "1e20 mm"},
        {BLY_DIM_LENGTH, BLY_METRIC, "1.5e-9 mm"},
        {BLY_DIM_LENGTH, BLY_METRIC, "0 mm"},
    };
    for (size_t i = 0; i < sizeof typed / sizeof typed[0]; i++) {
        double si = NAN;
        char text[BLY_QUANTITY_MAX];
        assert_true(bly_quantity_read(typed[i].text, typed[i].dim, NULL, &si, NULL));
        bly_quantity_exact(si, typed[i].dim, typed[i].system, text);
        assert_string_equal(text, typed[i].text);
    }
}

/* Hundredths of every metric and inch unit survive with their own digits. */
static void short_figures_stay_short(void **state) {
    (void)state;
    static const struct {
        BlyDimension dim;
        BlySystem system;
        const char *unit;
    } usual[] = {
        {BLY_DIM_LENGTH, BLY_METRIC, "mm"}, {BLY_DIM_LENGTH, BLY_INCH, "in"},
        {BLY_DIM_MASS, BLY_METRIC, "g"},    {BLY_DIM_MASS, BLY_INCH, "oz"},
        {BLY_DIM_ANGLE, BLY_METRIC, "deg"}, {BLY_DIM_SPEED, BLY_METRIC, "mm/s"},
    };
    for (int n = 1; n < 1500; n += 7) {
        for (size_t i = 0; i < sizeof usual / sizeof usual[0]; i++) {
            char number[BLY_NUMBER_MAX], typed[BLY_QUANTITY_MAX], text[BLY_QUANTITY_MAX];
            double si = NAN;
            bly_number_digits(n / 100.0, 6, number);
            (void)snprintf(typed, sizeof typed, "%s %s", number, usual[i].unit);
            assert_true(bly_quantity_read(typed, usual[i].dim, NULL, &si, NULL));
            bly_quantity_exact(si, usual[i].dim, usual[i].system, text);
            assert_string_equal(text, typed);
        }
    }
}

static void unknown_values_say_so(void **state) {
    (void)state;
    char text[BLY_QUANTITY_MAX];
    bly_quantity_show(NAN, BLY_DIM_MASS, BLY_METRIC, 2, text);
    assert_string_equal(text, "unknown");
    bly_quantity_show(INFINITY, BLY_DIM_SPEED, BLY_INCH, -1, text);
    assert_string_equal(text, "unknown");
    bly_quantity_exact(NAN, BLY_DIM_MASS, BLY_METRIC, text);
    assert_string_equal(text, "unknown");
}

static void shown_values_are_readable(void **state) {
    (void)state;
    static const struct {
        double si;
        BlyDimension dim;
        BlySystem system;
        int digits;
        const char *want;
    } shown[] = {
        {0.088, BLY_DIM_LENGTH, BLY_METRIC, -1, "88 mm"},
        {0.08804, BLY_DIM_LENGTH, BLY_METRIC, -1, "88 mm"},
        {0.08806, BLY_DIM_LENGTH, BLY_METRIC, 1, "88.1 mm"},
        {0.0889, BLY_DIM_LENGTH, BLY_INCH, -1, "3.5 in"},
        {0.0889, BLY_DIM_LENGTH, BLY_INCH, 3, "3.500 in"},
        {0.0123456, BLY_DIM_MASS, BLY_METRIC, -1, "12.35 g"},
        {0.1234567, BLY_DIM_MASS, BLY_METRIC, -1, "123.5 g"},
        {12.34567, BLY_DIM_MASS, BLY_METRIC, -1, "12346 g"},
        {3.21e-6, BLY_DIM_MASS, BLY_METRIC, -1, "0.0032 g"},
        {1e-12, BLY_DIM_MASS, BLY_METRIC, -1, "0 g"},
        {-1e-12, BLY_DIM_MASS, BLY_METRIC, -1, "0 g"},
        {-0.000004, BLY_DIM_MASS, BLY_METRIC, 2, "0.00 g"},
        {-0.0, BLY_DIM_MASS, BLY_METRIC, -1, "0 g"},
        {-0.00005, BLY_DIM_MASS, BLY_METRIC, 1, "-0.1 g"},
        {550.0, BLY_DIM_DENSITY, BLY_METRIC, -1, "0.55 g/cm3"},
        {550.0, BLY_DIM_DENSITY, BLY_INCH, -1, "34.3 lb/ft3"},
        {12.2222, BLY_DIM_TEMPERATURE, BLY_INCH, -1, "54 F"},
        {-0.02, BLY_DIM_TEMPERATURE, BLY_METRIC, 1, "0.0 C"},
        {-0.015, BLY_DIM_SPEED, BLY_METRIC, 1, "-1.5 cm/s"},
        {0.0762, BLY_DIM_SPEED, BLY_INCH, -1, "4 s/ft"},
        {-0.04064, BLY_DIM_SPEED, BLY_INCH, 1, "-7.5 s/ft"},
        {0.4572, BLY_DIM_SPEED, BLY_INCH, -1, "1.5 ft/s"},
        {0.3048, BLY_DIM_SPEED, BLY_INCH, -1, "1 ft/s"},
        {0.0, BLY_DIM_SPEED, BLY_INCH, -1, "0 ft/s"},
        {5e-324, BLY_DIM_SPEED, BLY_INCH, -1, "0 m/s"},
        {0.6981317, BLY_DIM_ANGLE, BLY_METRIC, -1, "40 deg"},
        {0.08, BLY_DIM_RATIO, BLY_METRIC, -1, "8 %"},
        {60e-6, BLY_DIM_EXPANSION, BLY_METRIC, -1, "60 ppm/K"},
        {1.55, BLY_DIM_AREA_MASS, BLY_METRIC, -1, "0.155 g/cm2"},
        {205e6, BLY_DIM_STRESS, BLY_METRIC, -1, "205 MPa"},
        {2.5, BLY_DIM_PRICE, BLY_METRIC, 2, "2.50"},
        {1e20, BLY_DIM_LENGTH, BLY_METRIC, 2, "1e23 mm"},
        {1.0 / 3.0, BLY_DIM_TIME, BLY_METRIC, 40, "0.333333333333 s"},
    };
    for (size_t i = 0; i < sizeof shown / sizeof shown[0]; i++) {
        char text[BLY_QUANTITY_MAX];
        bly_quantity_show(shown[i].si, shown[i].dim, shown[i].system, shown[i].digits, text);
        assert_string_equal(text, shown[i].want);
    }
}

static void wrong_dimensions_have_words_too(void **state) {
    (void)state;
    char text[BLY_QUANTITY_MAX];
    assert_string_equal(bly_dimension_words(BLY_DIM_LENGTH), "a length such as \"88 mm\"");
    assert_string_equal(bly_dimension_words((BlyDimension)99), "a quantity");
    bly_quantity_exact(2.5, (BlyDimension)99, BLY_METRIC, text);
    assert_string_equal(text, "2.5");
}

/* Numbers are read and printed with a point whatever the locale says. */
static void comma_locales_change_nothing(void **state) {
    if (!comma_begin())
        skip();
    figures_come_back_as_typed(state);
    shown_values_are_readable(state);
    border_values_read_back_exactly(state);
    comma_end();
}

/* The law: it reads back within the hair, and no shorter number of the unit would. */
static void within_a_hair(void **state) {
    (void)state;
    char text[BLY_QUANTITY_MAX];
    static const struct {
        double si, within;
        BlyDimension dim;
        BlySystem system;
        const char *text;
    } rows[] = {
        {0.030000000000000002, 1e-9, BLY_DIM_LENGTH, BLY_METRIC, "30 mm"},
        {0.024 + 4e-18, 1e-9, BLY_DIM_LENGTH, BLY_METRIC, "24 mm"},
        {0.018000000000000002, 1e-9, BLY_DIM_LENGTH, BLY_METRIC, "18 mm"},
        {0.02212932911056378, 1e-4, BLY_DIM_LENGTH, BLY_METRIC, "22.1 mm"},
        {0.02212932911056378, 5e-6, BLY_DIM_LENGTH, BLY_METRIC, "22.13 mm"},
        {-0.0123456, 1e-4, BLY_DIM_LENGTH, BLY_METRIC, "-12.3 mm"},
        {0.00560546, 2e-6, BLY_DIM_MASS, BLY_METRIC, "5.605 g"},
        {0.0254, 1e-9, BLY_DIM_LENGTH, BLY_INCH, "1 in"},
        {0.0, 1e-9, BLY_DIM_LENGTH, BLY_METRIC, "0 mm"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        double back;
        bly_quantity_within(rows[i].si, rows[i].within, rows[i].dim, rows[i].system, text);
        assert_string_equal(text, rows[i].text);
        assert_true(bly_quantity_read(text, rows[i].dim, NULL, &back, NULL));
        assert_true(fabs(back - rows[i].si) <= rows[i].within);
    }
    char exact[BLY_QUANTITY_MAX];
    bly_quantity_within(0.1 / 3, 0.0, BLY_DIM_LENGTH, BLY_METRIC, text);
    bly_quantity_exact(0.1 / 3, BLY_DIM_LENGTH, BLY_METRIC, exact);
    assert_string_equal(text, exact);
    bly_quantity_within(INFINITY, 1.0, BLY_DIM_LENGTH, BLY_METRIC, text);
    assert_string_equal(text, "unknown");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(within_a_hair),
        cmocka_unit_test(random_values_read_back_exactly),
        cmocka_unit_test(border_values_read_back_exactly),
        cmocka_unit_test(figures_come_back_as_typed),
        cmocka_unit_test(short_figures_stay_short),
        cmocka_unit_test(unknown_values_say_so),
        cmocka_unit_test(shown_values_are_readable),
        cmocka_unit_test(wrong_dimensions_have_words_too),
        cmocka_unit_test(comma_locales_change_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
