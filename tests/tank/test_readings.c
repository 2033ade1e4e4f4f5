/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings as they are typed. Expected values by hand; 1 oz = 28.349523125 g, 1 in = 25.4 mm (NIST
 * SP 811, appendix B.8). Usual gives are those of docs/tank.md. */
#include "desk/readings.h"
#include "support/check.h"

static const double deg = 3.14159265358979323846 / 180;

static BlyReading good(const char *text, BlyReadingKind kind, bool rises) {
    const ReadingOption option = {"--reading", kind, rises};
    BlyReading reading;
    BlyError err = {0};
    if (!reading_parse(text, &option, BLY_STAGE_COATED, &reading, &err))
        fail_msg("\"%s\": %s", text, err.text);
    assert_int_equal(reading.kind, kind);
    return reading;
}

static void assert_read(const char *text, BlyReadingKind kind, double value, double give) {
    BlyReading reading = good(text, kind, false);
    assert_close(reading.value.value, value, 1e-15, 1e-12);
    assert_close(reading.value.give, give, 1e-15, 1e-9);
    assert_int_equal(reading.stage, BLY_STAGE_COATED);
}

/* The give is the tool's, or what the last digit stands for where that is more: half a unit of a
 * mass, one unit of the rest. */
static void test_gives(void **state) {
    (void)state;
    assert_read("14.20 g", BLY_READ_SCALE, 14.20e-3, 0.02e-3);
    assert_read("14.207 g", BLY_READ_SCALE, 14.207e-3, 0.02e-3);
    assert_read("14.2 g", BLY_READ_SCALE, 14.2e-3, 0.05e-3);
    assert_read("14 g", BLY_READ_SCALE, 14e-3, 0.5e-3);
    assert_read("14.2", BLY_READ_SCALE, 14.2e-3, 0.05e-3);
    assert_read("0.50 oz", BLY_READ_SCALE, 0.5 * 28.349523125e-3, 0.005 * 28.349523125e-3);
    assert_read("3/8 oz", BLY_READ_SCALE, 0.375 * 28.349523125e-3, 0.02e-3);
    assert_read("1 1/2 oz", BLY_READ_SCALE, 1.5 * 28.349523125e-3, 0.02e-3);
    assert_read("-0.30 g", BLY_READ_IN_WATER, -0.3e-3, 0.02e-3);
    assert_read("-0.3 g", BLY_READ_IN_WATER, -0.3e-3, 0.05e-3);
    assert_read("11 deg", BLY_READ_TILT, 11 * deg, 2 * deg);
    assert_read("-11 deg", BLY_READ_TILT_AFLOAT, -11 * deg, 2 * deg);
    assert_read("9 %", BLY_READ_SHOWS, 0.09, 0.015);
    assert_read("41.5 mm", BLY_READ_BALANCE, 41.5e-3, 0.5e-3);
    assert_read("41 mm", BLY_READ_BALANCE, 41e-3, 1e-3);
    assert_read("1.63 in", BLY_READ_BALANCE, 1.63 * 25.4e-3, 0.5e-3);
    assert_read("14.2 g +- 0.03 g", BLY_READ_SCALE, 14.2e-3, 0.03e-3);
    assert_read(" 14.2 g+-30 mg ", BLY_READ_SCALE, 14.2e-3, 0.03e-3);
}

static void test_stages(void **state) {
    (void)state;
    for (int i = 0; i < BLY_STAGES; i++) {
        char text[64];
        (void)snprintf(text, sizeof text, "12.10 g +- 0.05 g at %s", bly_stage_words[i]);
        BlyReading reading = good(text, BLY_READ_SCALE, false);
        assert_int_equal(reading.stage, i);
        assert_close(reading.value.give, 0.05e-3, 0, 1e-12);
    }
    assert_int_equal(good("12.1 g at blank", BLY_READ_SCALE, false).stage, BLY_STAGE_BLANK);
}

/* Speed d/t; gives of tape (5 mm), stopwatch and still water (0.5 mm/s) as squares. */
static void test_drift(void **state) {
    (void)state;
    BlyReading reading = good("60 cm in 5.2 s", BLY_READ_DRIFT, false);
    double speed = 0.6 / 5.2;
    double give = hypot(speed * hypot(5e-3 / 0.6, 0.2 / 5.2), 0.5e-3);
    assert_close(reading.value.value, speed, 0, 1e-12);
    assert_close(reading.value.give, give, 0, 1e-9);
    reading = good("2 ft in 9 s at complete", BLY_READ_DRIFT, true);
    speed = 0.6096 / 9;
    assert_close(reading.value.value, -speed, 0, 1e-12);
    assert_close(reading.value.give, hypot(speed * hypot(5e-3 / 0.6096, 1.0 / 9), 0.5e-3), 0, 1e-9);
    reading = good("60 cm in 5.2 s +- 0.5 s", BLY_READ_DRIFT, false);
    speed = 0.6 / 5.2;
    assert_close(reading.value.give, hypot(speed * hypot(5e-3 / 0.6, 0.5 / 5.2), 0.5e-3), 0, 1e-9);
}

static void refused(const char *text, BlyReadingKind kind, BlyCode code) {
    const ReadingOption option = {"--reading", kind, false};
    BlyReading reading;
    BlyError err = {0};
    if (reading_parse(text, &option, BLY_STAGE_COATED, &reading, &err))
        fail_msg("\"%s\" was read", text);
    if (err.code != code)
        fail_msg("\"%s\": %s", text, err.text);
    assert_string_equal(err.where, "--reading");
}

static void test_refusals(void **state) {
    (void)state;
    refused("", BLY_READ_SCALE, BLY_E_SYNTAX);
    refused("g", BLY_READ_SCALE, BLY_E_SYNTAX);
    refused("14.2 mm", BLY_READ_SCALE, BLY_E_UNIT);
    refused("14.2 g +- 1 mm", BLY_READ_SCALE, BLY_E_UNIT);
    refused("14.2 g +- 0 g", BLY_READ_SCALE, BLY_E_RANGE);
    refused("14.2 g +- -1 g", BLY_READ_SCALE, BLY_E_RANGE);
    refused("14.2 g at sea", BLY_READ_SCALE, BLY_E_UNKNOWN);
    refused("14.2 g at coated +- 1 g", BLY_READ_SCALE, BLY_E_SYNTAX);
    refused("14,2 g", BLY_READ_SCALE, BLY_E_SYNTAX);
    refused("115 mm/s", BLY_READ_DRIFT, BLY_E_SYNTAX);
    refused("0 cm in 5 s", BLY_READ_DRIFT, BLY_E_RANGE);
    refused("60 cm in 0 s", BLY_READ_DRIFT, BLY_E_RANGE);
    refused("60 cm in -5 s", BLY_READ_DRIFT, BLY_E_RANGE);
    refused("60 g in 5 s", BLY_READ_DRIFT, BLY_E_UNIT);
    refused("60 cm in 5 g", BLY_READ_DRIFT, BLY_E_UNIT);
    refused("11 g", BLY_READ_TILT, BLY_E_UNIT);
    char big[400];
    memset(big, '1', sizeof big - 1);
    big[sizeof big - 1] = '\0';
    refused(big, BLY_READ_SCALE, BLY_E_SYNTAX);
}

static void test_water(void **state) {
    (void)state;
    const BlyWaterFacts build = {{10, 0.5}, {0.01, 0.002}};
    BlyWaterFacts water = build;
    BlyError err = {0};
    assert_true(tank_water_parse(NULL, NULL, &water, &err));
    assert_close(water.temperature.give, 0.5, 0, 0);
    assert_true(tank_water_parse("64 F", "5 g/kg", &water, &err));
    assert_close(water.temperature.value, (64 - 32) / 1.8, 0, 1e-12);
    assert_close(water.temperature.give, 1, 0, 0);
    assert_close(water.salinity.value, 5e-3, 0, 1e-12);
    assert_close(water.salinity.give, 0.25e-3, 0, 1e-12);
    assert_true(tank_water_parse("18 C +- 0.2 C", "0 g/kg", &water, &err));
    assert_close(water.temperature.give, 0.2, 0, 1e-12);
    assert_true(water.salinity.give == 0.0);
    assert_false(tank_water_parse("50 C", NULL, &water, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    assert_false(tank_water_parse("warm", NULL, &water, &err));
    assert_string_equal(err.where, "--water");
    assert_false(tank_water_parse(NULL, "5 g", &water, &err));
    assert_string_equal(err.where, "--salt");
    assert_false(tank_water_parse("18 C at blank", NULL, &water, &err));
    BlyStage stage;
    assert_true(stage_parse("eyed", "--stage", &stage, &err) && stage == BLY_STAGE_EYED);
    assert_false(stage_parse("Eyed", "--stage", &stage, &err));
    assert_int_equal(err.code, BLY_E_UNKNOWN);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_gives), cmocka_unit_test(test_stages),
        cmocka_unit_test(test_drift), cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_water),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
