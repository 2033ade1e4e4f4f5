/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whole runs: what the trade says of them, the law of drawing under, notes, refusals. */
#include "support/shipped.h"
#include "tow/lines.h"

/* The run of a diver of 88 mm (tests/tow/lines.h) at a speed, nominal. */
static BlyTowRun diver(double net_weight, double chord, double across, double deg, double speed) {
    Bench bench;
    BlyVec3 tie = open_diver(&bench, net_weight, chord, across, DEG(deg));
    BlyTow *tow = tow_of(&bench, tie);
    BlyTowModel model = bly_tow_nominal();
    BlyTowRun run = run_of(tow, &model, speed);
    assert_close(bly_tow_net_weight(tow), net_weight, 1e-7, 0);
    assert_close(run.share[0] + run.share[1] + run.share[2], 1, 1e-12, 0);
    bly_tow_free(tow);
    bench_close(&bench);
    return run;
}

/* All common practice, no source. */
static void what_the_trade_says_of_lips(void **state) {
    (void)state;
    BlyTowRun plain = diver(0, 10e-3, 15e-3, 40, 1);
    assert_int_equal(plain.state, BLY_TOW_DIVES);
    assert_between(plain.line.depth, 0.8, 4);
    assert_between(plain.nose_down, 0, DEG(30));
    BlyTowRun longer = diver(0, 15e-3, 15e-3, 40, 1), wider = diver(0, 10e-3, 19e-3, 40, 1),
              longest = diver(0, 20e-3, 15e-3, 20, 1), upright = diver(0, 10e-3, 15e-3, 85, 1);
    assert_true(longer.line.depth > 1.1 * plain.line.depth && longer.pull > plain.pull);
    assert_true(wider.line.depth > 1.05 * plain.line.depth && wider.pull > plain.pull);
    assert_true(longest.line.depth > 1.3 * plain.line.depth); /* flat and long dives deepest */
    assert_true(upright.line.depth < 0.3 * plain.line.depth); /* runs at the surface */
    assert_true(upright.cast_most < plain.cast_most && plain.cast_most < longest.cast_most);
    assert_true(plain.line.depth < plain.cast_most);
}

static void what_the_trade_says_of_speed_and_weight(void **state) {
    (void)state;
    double slow = diver(0, 10e-3, 15e-3, 40, 0.4).line.depth,
           fast = diver(0, 10e-3, 15e-3, 40, 2).line.depth;
    assert_between(fast / slow, 0.8, 1.6); /* hardly depends on speed, near neutral */
    double sinker_slow = diver(4e-3, 10e-3, 15e-3, 40, 0.4).line.depth,
           sinker_fast = diver(4e-3, 10e-3, 15e-3, 40, 1.5).line.depth;
    assert_true(sinker_fast < 0.9 * sinker_slow); /* a sinker comes up with speed */
    assert_true(sinker_slow > slow);
}

/* Forces go with the square of the speed, so a floater is drawn under from the root of its lift:
 * only Re and the attitude at the lower speed are left, some per cent. Dimensional analysis. */
static void drawn_under_as_the_root_of_the_lift(void **state) {
    (void)state;
    double from[2], lift[2] = {0.5e-3, 2e-3};
    for (int k = 0; k < 2; k++) {
        Bench bench;
        BlyVec3 tie = open_diver(&bench, -lift[k], 10e-3, 15e-3, DEG(40));
        BlyTow *tow = tow_of(&bench, tie);
        BlyTowModel model = bly_tow_nominal();
        from[k] = bly_tow_draws_under(tow, &model);
        BlyTowRun below = run_of(tow, &model, from[k] * 0.97),
                  above = run_of(tow, &model, from[k] * 1.03);
        assert_int_equal(below.state, BLY_TOW_ON_TOP);
        assert_int_equal(above.state, BLY_TOW_DIVES);
        assert_true(above.notes & BLY_TOW_NOTE_NO_HOLD);
        assert_true(below.notes & BLY_TOW_NOTE_SHALLOW);
        assert_close(below.line.depth, 0, 0, 0);
        assert_true(isinf(below.near_rod));
        bly_tow_free(tow);
        bench_close(&bench);
    }
    assert_close(from[1] / from[0], 2, 0, 0.15);
    Bench bench;
    BlyVec3 tie = open_diver(&bench, 1e-3, 10e-3, 15e-3, DEG(40));
    BlyTow *tow = tow_of(&bench, tie);
    BlyTowModel model = bly_tow_nominal();
    assert_close(bly_tow_draws_under(tow, &model), 0, 0, 0);
    bly_tow_free(tow);
    bench_close(&bench);
}

/* Geometry: it comes up where so much line is left that, straight at its rise, it ends at the rod.
 */
static void comes_up_near_the_rod(void **state) {
    (void)state;
    BlyTowRun run = diver(0, 10e-3, 15e-3, 40, 1);
    assert_close(run.near_rod, 1 / sin(run.rise), 1e-9, 0);
    BlyTowCurve curve;
    BlyTowLine line = bly_tow_line_usual();
    line.length = run.near_rod * 0.99;
    must(bly_tow_line(&line, &bench_tap, run.pull, run.rise, 1, &curve, err));
    assert_close(curve.depth, 0, 0, 0);
    line.length = run.near_rod * 1.05;
    must(bly_tow_line(&line, &bench_tap, run.pull, run.rise, 1, &curve, err));
    assert_true(curve.depth > 0);
}

static void notes_say_what_is_left(void **state) {
    (void)state;
    Bench bench;
    BlyBodyFacts facts = kit_facts(1010);
    bench_minnow(&bench, 0, &facts);
    BlyTow *tow = tow_of(&bench, bly_vec(20e-3, 0, 8e-3));
    BlyTowModel model = bly_tow_nominal();
    assert_true(run_of(tow, &model, 1).notes & BLY_TOW_NOTE_NO_LIP);
    assert_true(run_of(tow, &model, 0.2).notes & BLY_TOW_NOTE_SLOW);
    assert_false(run_of(tow, &model, 1).notes & BLY_TOW_NOTE_SLOW);
    bly_tow_free(tow);
    bench_close(&bench);
    assert_true(diver(0, 30e-3, 6e-3, 40, 1).notes & BLY_TOW_NOTE_ASPECT);
    assert_true(diver(0, 12e-3, 12e-3, 36, 1).notes & BLY_TOW_NOTE_STALL);
    assert_false(diver(0, 12e-3, 12e-3, 70, 1).notes & BLY_TOW_NOTE_STALL);
    int words = 0;
    for (unsigned bit = 1; bly_tow_note_words(bit); bit <<= 1)
        words++;
    assert_int_equal(words, 11);
    for (int i = 0; i < BLY_TOW_FACTORS; i++) {
        double low, high;
        bly_tow_bounds((BlyTowFactor)i, &low, &high);
        assert_true(low < high && strlen(bly_tow_factor_words((BlyTowFactor)i)) > 5);
        assert_between(model.by[i], low, high);
    }
}

static void speeds_out_of_range_are_refused(void **state) {
    (void)state;
    Bench bench;
    BlyVec3 tie = open_diver(&bench, 0, 10e-3, 15e-3, DEG(40));
    BlyTow *tow = tow_of(&bench, tie);
    BlyTowModel model = bly_tow_nominal();
    BlyTowLine line = bly_tow_line_usual();
    BlyTowRun run;
    BlyError err = {0};
    const double bad[] = {0, -1, 7, NAN, INFINITY};
    for (int i = 0; i < 5; i++) {
        assert_false(bly_tow_run(tow, &model, bad[i], &line, &run, &err));
        assert_string_equal(err.where, "/speed");
        assert_int_equal(err.code, BLY_E_RANGE);
    }
    BlyTow *none;
    assert_false(bly_tow_make(&bench.lure, bly_vec(NAN, 0, 0), &bench_tap, &none, &err));
    assert_null(none);
    bly_tow_free(NULL);
    bly_tow_free(tow);
    bench_close(&bench);
}

/* The line slides round the loop: its pull passes through the middle, half the outer diameter off
 * the surface (docs/lure.md). By hand, on a cylinder whose front face is at x 0. */
static void the_tie_is_the_middle_of_the_loop(void **state) {
    (void)state;
    BlyBodyFacts facts = kit_facts(700);
    BlyBody *body = kit_cylinder(0, 0.08, 0.02);
    BlyBlank blank = kit_blank(body, &facts);
    BlySeat seats[2] = {kit_seat(BLY_SEAT_HANGER, BLY_AT_BELLY, 0.03, 0.03),
                        kit_seat(BLY_SEAT_TIE, BLY_AT_NOSE, 0, 0)};
    BlyPart eye = kit_eye(), ring = kit_ring();
    BlyRig rig;
    must(bly_rig_init(&rig, 2, err));
    rig.at[0].x = 0.03;
    for (int k = 0; k < 2; k++) {
        rig.at[1].of[BLY_PART_EYE].part = k ? &eye : NULL;
        rig.at[1].of[BLY_PART_RING].part = k ? &ring : NULL;
        BlyLure lure;
        BlyVec3 tie;
        must(bly_lure_make(&blank, seats, &rig, &lure, err));
        must(bly_tow_tie(&lure, seats, 2, &rig, &tie, err));
        assert_close(tie.x, k ? -2.5e-3 : 0, 1e-9, 0);
        assert_close(tie.z, 0, 1e-9, 0);
        BlyError err = {0};
        assert_false(bly_tow_tie(&lure, seats, 1, &rig, &tie, &err));
        assert_int_equal(err.code, BLY_E_MISSING);
        bly_lure_release(&lure);
    }
    bly_rig_release(&rig);
    bly_blank_release(&blank);
    bly_body_free(body);
}

/* A lip of a build brings its width across and its area: A = width^2/area, the tongue's area with
 * its half-round end by hand. */
static void a_lip_in_its_slot(void **state) {
    (void)state;
    BlyBodyFacts facts = kit_facts(700);
    BlyBody *body = kit_cylinder(0, 0.08, 0.02);
    BlyBlank blank = kit_blank(body, &facts);
    BlySeat seat = kit_seat(BLY_SEAT_SLOT, BLY_AT_BELLY, 5e-3, 5e-3);
    seat.angle = DEG(90);
    seat.depth = 5e-3;
    BlyRig rig;
    must(bly_rig_init(&rig, 1, err));
    rig.at[0].x = 5e-3;
    rig.at[0].length = 25e-3;
    rig.at[0].of[BLY_PART_SHEET].part = bly_catalog_part(&catalog, "copper-1.0");
    rig.at[0].of[BLY_PART_OUTLINE].part = bly_catalog_part(&catalog, "tongue-15");
    BlyLure lure;
    must(bly_lure_make(&blank, &seat, &rig, &lure, err));
    double most = 0;
    for (size_t i = 0; i < lure.count; i++) {
        if (lure.items[i].face != BLY_FACE_PLATE)
            continue;
        most = lure.items[i].face_across;
        assert_close(lure.items[i].face_area, 15e-3 * 12.5e-3 + M_PI_2 * gsl_pow_2(7.5e-3), 0,
                     0.08); /* but what the round belly takes at the mouth */
    }
    assert_close(most, 15e-3, 1e-12, 0);
    bly_lure_release(&lure);
    bly_rig_release(&rig);
    bly_blank_release(&blank);
    bly_body_free(body);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_the_trade_says_of_lips),
        cmocka_unit_test(what_the_trade_says_of_speed_and_weight),
        cmocka_unit_test(drawn_under_as_the_root_of_the_lift),
        cmocka_unit_test(comes_up_near_the_rod),
        cmocka_unit_test(notes_say_what_is_left),
        cmocka_unit_test(speeds_out_of_range_are_refused),
        cmocka_unit_test(the_tie_is_the_middle_of_the_loop),
        cmocka_unit_test(a_lip_in_its_slot),
    };
    return cmocka_run_group_tests(tests, load_shipped, drop_shipped);
}
