/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The rest attitude: moment sums worked by hand, and each trap that an independent check of these
 * formulas found. */
#include "rest/bench.h"

#include <gsl/gsl_errno.h>

static double deg(double rad) {
    return rad * 180 / M_PI;
}

/* Ellipsoid with two lumps and no drag pieces. Its drag centre is its middle, so by hand, about
 * that: F = sum w (x cos t - z sin t) = 0, tan t = sum w x / sum w z, w the weight in water. */
static void test_moments_by_hand(void **state) {
    (void)state;
    Bench bench;
    BlyBodyFacts facts = kit_facts(900);
    bench_open(&bench, kit_ellipsoid(0, 100e-3, 14e-3, 20e-3), &facts);
    bench_add(&bench, 1.0e-3, 0, bly_vec(35e-3, 0, -10e-3));
    bench_add(&bench, 0.5e-3, 0, bly_vec(60e-3, 0, -9e-3));
    BlyOutcome out = bench_rest(&bench, &bench_tap);
    double x = 1.0 * -15 + 0.5 * 10, z = 1.0 * -10 + 0.5 * -9; /* g mm about the middle */
    assert_close(out.nose_down, atan2(-x, -z), 1e-6, 0);
    assert_close(deg(out.nose_down), 34.592, 1e-3, 0); /* x -10, z -14.5: atan(0.689655) */
    assert_close(out.stiffness, 1e-6 * hypot(x, z), 0, 1e-4);
    assert_int_equal(out.rest_count, 1);
    assert_close(out.roll_arm, 14.5e-6 / out.sums.mass, 0, 1e-5);
    bench_close(&bench);
}

/* The moment at the reported attitude, summed anew from the items and the reported drag centre, is
 * zero; and restoring on both sides. */
static double moment(const Bench *bench, const BlyOutcome *out, double t, BlyVec3 drag,
                     double couple) {
    double f = couple, rho = out->water.density;
    const BlyBlank *blank = &bench->blank;
    double c = cos(t), s = sin(t);
    f -= rho * blank->hull_volume * (blank->hull_centroid.x * c - blank->hull_centroid.z * s);
    for (size_t i = 0; i < bench->lure.count; i++) {
        const BlyItem *item = &bench->lure.items[i];
        f += (item->mass - rho * item->volume) * (item->at.x * c - item->at.z * s);
    }
    return f - out->sums.net_weight * (drag.x * c - drag.z * s);
}

static void test_moment_is_zero_and_restoring(void **state) {
    (void)state;
    const double weights[] = {-2e-3, -50e-6, 30e-6, 1e-3};
    for (int i = 0; i < 4; i++) {
        Bench bench;
        BlyBodyFacts facts = kit_facts(bench_minnow_density(weights[i]));
        bench_minnow(&bench, 0, &facts);
        BlyOutcome out = bench_rest(&bench, &bench_tap);
        assert_close(moment(&bench, &out, out.nose_down, out.drag_centre, 0), 0, 1e-12, 0);
        for (int side = -1; side <= 1; side += 2) {
            double t = out.nose_down + side * 0.05;
            BlyVec3 drag;
            must(bly_rest_drag_centre(&bench.lure, &bench_tap, t, out.sums.net_weight, &drag, err));
            assert_true(side * moment(&bench, &out, t, drag, 0) > 0);
            assert_close(side * moment(&bench, &out, t, drag, 0), 0.05 * out.stiffness, 0, 0.15);
        }
        bench_close(&bench);
    }
}

/* Trap: without the drag term F depends on where x is counted from. */
static void test_origin_does_not_matter(void **state) {
    (void)state;
    Bench here, there;
    BlyBodyFacts facts = kit_facts(bench_minnow_density(0.8e-3));
    facts.munk_factor.value = 0.7;
    bench_minnow(&here, 0, &facts);
    bench_minnow(&there, 0.137, &facts);
    BlyOutcome a = bench_rest(&here, &bench_tap), b = bench_rest(&there, &bench_tap);
    assert_close(b.nose_down, a.nose_down, 1e-7, 0);
    assert_close(b.drift, a.drift, 0, 1e-7);
    assert_close(b.drag_centre.x, a.drag_centre.x + 0.137, 1e-8, 0);
    assert_close(b.roll_arm, a.roll_arm, 1e-9, 0);
    assert_close(b.stiffness, a.stiffness, 0, 1e-4);
    bench_close(&here);
    bench_close(&there);
}

/* Trap: a weightless lip of 2 cm2 alone moves the drag centre by millimetres and turns a sinking
 * lure by degrees. */
static void test_lip_moves_the_drag_centre(void **state) {
    (void)state;
    Bench plain, lipped;
    BlyBodyFacts facts = kit_facts(bench_minnow_density(0.5e-3));
    bench_minnow(&plain, 0, &facts);
    bench_minnow(&lipped, 0, &facts);
    BlyItem *lip = bench_add(&lipped, 0, 0, bly_vec(0, 0, -12e-3));
    bench_plate(lip, 14e-3, 0.6, lip->at);
    BlyVec3 a, b;
    must(bly_rest_drag_centre(&plain.lure, &bench_tap, 0, 0.5e-3, &a, err));
    must(bly_rest_drag_centre(&lipped.lure, &bench_tap, 0, 0.5e-3, &b, err));
    assert_between(a.x - b.x, 5e-3, 9e-3);
    BlyOutcome without = bench_rest(&plain, &bench_tap), with = bench_rest(&lipped, &bench_tap);
    assert_between(deg(without.nose_down - with.nose_down), 2, 20);
    assert_true(fabs(with.drift) < fabs(without.drift));
    /* Rising, it turns the other way. */
    plain.lure.items[0].mass -= 1e-3;
    lipped.lure.items[0].mass -= 1e-3;
    without = bench_rest(&plain, &bench_tap), with = bench_rest(&lipped, &bench_tap);
    assert_true(with.nose_down > without.nose_down);
    bench_close(&plain);
    bench_close(&lipped);
}

/* Each hook drags at its eye: 3/4 of hook wire at the tail draws the centre there. Brute force over
 * the pieces with their published coefficients is drag's own test; here only the place counts. */
static void test_hook_drags_at_its_eye(void **state) {
    (void)state;
    Bench bench;
    BlyBodyFacts facts = kit_facts(1100);
    bench_open(&bench, kit_ellipsoid(0, 60e-3, 10e-3, 10e-3), &facts);
    BlyVec3 before, after;
    must(bly_rest_drag_centre(&bench.lure, &bench_tap, 0, 1e-3, &before, err));
    BlyItem *hook = bench_add(&bench, 0, 0, bly_vec(65e-3, 0, -2e-3));
    bench_wire(hook, 1e-3, 100e-6);
    hook->hangs = true, hook->hang_to = 30e-3; /* however long the chain */
    must(bly_rest_drag_centre(&bench.lure, &bench_tap, 0, 1e-3, &after, err));
    assert_close(before.x, 30e-3, 1e-6, 0);
    /* The centre lies on the line from the body's to the eye. */
    double share = (after.x - before.x) / (65e-3 - before.x);
    assert_between(share, 0.1, 0.5);
    assert_close(after.z, share * -2e-3, 1e-8, 0);
    bench_close(&bench);
}

/* Trap: under water a chain acts at its eye, however long it is. */
static void test_chain_acts_at_the_eye(void **state) {
    (void)state;
    BlyBody *body = kit_ellipsoid(0, 90e-3, 14e-3, 18e-3);
    BlyBodyFacts facts = kit_facts(920);
    BlyBlank blank = kit_blank(body, &facts);
    BlyPart eye = kit_eye(), ring = kit_ring(), hook = kit_hook(1.5e-3);
    BlySeat seat = kit_seat(BLY_SEAT_HANGER, BLY_AT_BELLY, 30e-3, 30e-3);
    BlyRig rig;
    must(bly_rig_init(&rig, 1, err));
    rig.at[0].x = 30e-3;
    rig.at[0].of[BLY_PART_EYE].part = &eye;
    rig.at[0].of[BLY_PART_RING].part = &ring;
    rig.at[0].of[BLY_PART_HOOK].part = &hook;
    double angle[3];
    for (int i = 0; i < 3; i++) {
        BlyLure lure;
        BlyOutcome out;
        if (i == 1)
            ring.outer += 5e-3, hook.length += 20e-3;
        if (i == 2)
            eye.outer += 5e-3; /* but a longer eye lowers it */
        must(bly_lure_make(&blank, &seat, &rig, &lure, err));
        must(bly_rest(&lure, &bench_tap, &out, err));
        angle[i] = out.nose_down;
        bly_lure_release(&lure);
    }
    assert_close(angle[1], angle[0], 1e-12, 0);
    assert_true(fabs(angle[2]) < fabs(angle[0]) - 0.01);
    bly_rig_release(&rig);
    bly_blank_release(&blank);
    bly_body_free(body);
}

/* Trap: the Munk couple turns a drifting body towards level, up or down alike, and may halve the
 * angle. At rest it is 1/2 rho v^2 V (k_z - k_x) sin 2t, checked against the moment of the rest
 * with Lamb's spheroid of 6 : 1 from his table (k 0.045 along, 0.918 across; printed to 0.0025). */
static void test_munk_turns_towards_level(void **state) {
    (void)state;
    for (int way = -1; way <= 1; way += 2) {
        double angle[3];
        for (int i = 0; i < 3; i++) {
            Bench bench;
            double volume = M_PI / 6 * 96e-3 * 16e-3 * 16e-3;
            BlyBodyFacts facts = kit_facts(bench_tap.density + (way * 2.0e-3 - 1e-3) / volume);
            facts.munk_factor.value = 0.5 * i;
            bench_open(&bench, kit_ellipsoid(0, 96e-3, 16e-3, 16e-3), &facts);
            bench_add(&bench, 1e-3, 0, bly_vec(45e-3, 0, -5e-3));
            BlyOutcome out = bench_rest(&bench, &bench_tap);
            angle[i] = out.nose_down;
            double munk = 0.5 * bench_tap.density * out.drift * out.drift * volume *
                          (0.918 - 0.045) * sin(2 * out.nose_down) / 9.80665;
            double rest = moment(&bench, &out, out.nose_down, out.drag_centre, 0);
            assert_close(rest, -0.5 * i * munk, 1e-10, 5e-3);
            bench_close(&bench);
        }
        assert_true(angle[0] > angle[1] && angle[1] > angle[2] && angle[2] > 0);
        assert_true(angle[2] < 0.5 * angle[0]);
    }
}

/* Trap: weight in the back rests upside down, which no look near level shows. */
static void test_upside_down(void **state) {
    (void)state;
    Bench bench;
    BlyBodyFacts facts = kit_facts(850);
    bench_open(&bench, kit_ellipsoid(0, 90e-3, 14e-3, 18e-3), &facts);
    bench_add(&bench, 2e-3, 11340, bly_vec(44e-3, 0, 8e-3));
    BlyOutcome out = bench_rest(&bench, &bench_tap);
    assert_true(fabs(deg(out.nose_down)) > 150);
    assert_true(out.notes & BLY_NOTE_UPSIDE_DOWN);
    assert_true(out.roll_arm < 0);
    bench_close(&bench);
    /* Sinking fast, the Munk couple holds it level the wrong way up as well as on its back. */
    facts = kit_facts(1100);
    facts.munk_factor.value = 1;
    bench_open(&bench, kit_ellipsoid(0, 90e-3, 14e-3, 18e-3), &facts);
    bench_add(&bench, 0.2e-3, 11340, bly_vec(44e-3, 0, 8e-3));
    out = bench_rest(&bench, &bench_tap);
    assert_int_equal(out.rest_count, 2);
    assert_true(out.notes & BLY_NOTE_MANY_RESTS);
    assert_true(fabs(deg(out.nose_down)) < 30); /* reached from level */
    assert_true(fabs(deg(out.rests[1])) > 150);
    assert_true(out.notes & BLY_NOTE_ROLL_UNSTABLE);
    bench_close(&bench);
}

/* Heavy in the tail and turned by nothing else, it stands on its tail: 90 degrees nose-up. */
static void test_stands_on_its_tail(void **state) {
    (void)state;
    Bench bench;
    BlyBodyFacts facts = kit_facts(700);
    bench_open(&bench, kit_ellipsoid(0, 90e-3, 14e-3, 18e-3), &facts);
    bench_add(&bench, 3e-3, 0, bly_vec(85e-3, 0, 0));
    BlyOutcome out = bench_rest(&bench, &bench_tap);
    assert_close(deg(out.nose_down), -90, 0.01, 0);
    bench_close(&bench);
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_moments_by_hand),
        cmocka_unit_test(test_moment_is_zero_and_restoring),
        cmocka_unit_test(test_origin_does_not_matter),
        cmocka_unit_test(test_lip_moves_the_drag_centre),
        cmocka_unit_test(test_hook_drags_at_its_eye),
        cmocka_unit_test(test_chain_acts_at_the_eye),
        cmocka_unit_test(test_munk_turns_towards_level),
        cmocka_unit_test(test_upside_down),
        cmocka_unit_test(test_stands_on_its_tail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
