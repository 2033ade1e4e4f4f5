/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is said beside a result: each note where it belongs and not beside it; swelling with
 * temperature; the water's skin. */
#include "rest/bench.h"

#include <gsl/gsl_errno.h>

static void test_words(void **state) {
    (void)state;
    for (unsigned bit = 1; bit <= BLY_NOTE_FAST_RISE; bit <<= 1) {
        const char *words = bly_note_words((BlyNote)bit);
        assert_in_range(strlen(words), 21, 72); /* one line of 80 columns, behind "  note: " */
        assert_string_not_equal(words, bly_note_words((BlyNote)0));
    }
    assert_non_null(bly_note_words((BlyNote)(1 << 30)));
}

/* Closed form: N = M - rho V (1 + 3 alpha dT); resin of 70e-6/K cooled from 20 to 4 C loses more
 * volume than the water gains density, and sinks. */
static void test_swelling(void **state) {
    (void)state;
    BlyWater cold = {.temperature = 4, .density = 999.975, .viscosity = 1.567e-3};
    double volume = M_PI / 6 * 88e-3 * 13e-3 * 17e-3;
    for (int known = 0; known < 2; known++) {
        BlyBodyFacts facts = kit_facts(bench_minnow_density(0));
        facts.expansion.value = known ? 70e-6 : NAN;
        Bench bench;
        bench_minnow(&bench, 0, &facts);
        BlyOutcome warm = bench_rest(&bench, &bench_tap), out = bench_rest(&bench, &cold);
        double hung = 1.5e-3 / 7850 + 1.2e-3 / 11340;
        double swell = known ? 1 - 3 * 70e-6 * 16 : 1;
        double want = bench_tap.density * (volume + hung) - 999.975 * (volume * swell + hung);
        assert_close(out.sums.net_weight - warm.sums.net_weight, want, 1e-11, 1e-6);
        assert_true((out.drift > 0) == known);
        assert_int_equal(!!(out.notes & BLY_NOTE_EXPANSION_UNKNOWN), !known);
        assert_false(out.notes & BLY_NOTE_EXPANSION_MEMORY);
        bench.blank.facts.expansion_origin = BLY_FROM_MEMORY;
        out = bench_rest(&bench, &cold);
        assert_int_equal(!!(out.notes & BLY_NOTE_EXPANSION_MEMORY), known);
        bench_close(&bench);
    }
}

/* The water's skin pulls with some 0.073 N/m along the edge of the waterplane: an 88 mm lure that
 * floats by 0.1 g may as well hang in it, one that floats by 3 g does not. */
static void test_film(void **state) {
    (void)state;
    const double reserve[] = {0.1e-3, 3e-3};
    for (int i = 0; i < 2; i++) {
        Bench bench;
        BlyBodyFacts facts = kit_facts(bench_minnow_density(-reserve[i]));
        bench_minnow(&bench, 0, &facts);
        BlyOutcome out = bench_rest(&bench, &bench_tap);
        assert_int_equal(out.state, BLY_FLOATS);
        assert_true(out.has_surface);
        assert_between(out.surface.film, 0.05e-3, 1.6e-3);
        assert_int_equal(!!(out.notes & BLY_NOTE_FILM), i == 0);
        bench_close(&bench);
    }
    Bench bench;
    BlyBodyFacts facts = kit_facts(bench_minnow_density(0.1e-3));
    bench_minnow(&bench, 0, &facts);
    BlyOutcome out = bench_rest(&bench, &bench_tap);
    assert_false(out.has_surface);
    assert_false(out.notes & BLY_NOTE_FILM);
    bench_close(&bench);
}

static void test_roll(void **state) {
    (void)state;
    const struct {
        double z;
        unsigned note;
    } cases[] = {{-8e-3, 0}, {0, BLY_NOTE_ROLL_NEUTRAL}, {8e-3, 0}};
    for (int i = 0; i < 3; i++) {
        Bench bench;
        BlyBodyFacts facts = kit_facts(900);
        bench_open(&bench, kit_ellipsoid(0, 90e-3, 14e-3, 18e-3), &facts);
        bench_add(&bench, 1e-3, 0, bly_vec(45e-3, 0, cases[i].z));
        BlyOutcome out = bench_rest(&bench, &bench_tap);
        unsigned roll = BLY_NOTE_ROLL_NEUTRAL | BLY_NOTE_ROLL_UNSTABLE;
        /* The last one lies on its back, and there it is held. */
        assert_int_equal(out.notes & roll, cases[i].note);
        assert_int_equal(!!(out.notes & BLY_NOTE_UPSIDE_DOWN), i == 2);
        bench_close(&bench);
    }
}

static void test_drag_ranges(void **state) {
    (void)state;
    Bench bench;
    BlyBodyFacts facts = kit_facts(bench_minnow_density(20e-6));
    bench_minnow(&bench, 0, &facts);
    BlyOutcome out = bench_rest(&bench, &bench_tap);
    assert_false(out.notes & (BLY_NOTE_PLATE_DRAG_RANGE | BLY_NOTE_FAST_RISE));
    BlyItem *lip = bench_add(&bench, 0, 0, bly_vec(0, 0, -10e-3));
    bench_plate(lip, 12e-3, 0.6, lip->at); /* 12 mm at some 10 mm/s: Re 120, data from 1000 */
    out = bench_rest(&bench, &bench_tap);
    assert_true(out.notes & BLY_NOTE_PLATE_DRAG_RANGE);
    bench_close(&bench);
}

static void test_hooks_touch(void **state) {
    (void)state;
    Bench bench;
    BlyBodyFacts facts = kit_facts(900);
    BlyPart hook = kit_hook(0.6e-3);
    bench_open(&bench, kit_ellipsoid(0, 90e-3, 14e-3, 18e-3), &facts);
    for (int i = 0; i < 2; i++) {
        BlyItem *item = bench_add(&bench, 0.6e-3, 7850, bly_vec(20e-3 + i * 60e-3, 0, -9e-3));
        item->part = &hook;
        item->hangs = true, item->hang_to = 20e-3;
    }
    BlyOutcome out = bench_rest(&bench, &bench_tap);
    assert_false(out.notes & BLY_NOTE_HOOKS_TOUCH);
    bench.lure.items[2].at.x = 48.2e-3; /* 28.2 apart; hypot(20, 6.9) + 6 + 1 is 28.16 */
    out = bench_rest(&bench, &bench_tap);
    assert_false(out.notes & BLY_NOTE_HOOKS_TOUCH);
    bench.lure.items[2].at.x = 48.1e-3;
    out = bench_rest(&bench, &bench_tap);
    assert_true(out.notes & BLY_NOTE_HOOKS_TOUCH);
    bench_close(&bench);
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_words),       cmocka_unit_test(test_swelling),
        cmocka_unit_test(test_film),        cmocka_unit_test(test_roll),
        cmocka_unit_test(test_drag_ranges), cmocka_unit_test(test_hooks_touch),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
