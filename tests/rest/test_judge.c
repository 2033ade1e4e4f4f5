/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How an outcome stands to a target, worked by hand; and the table of influence against lures that
 * were made heavier. */
#include "rest/bench.h"

#include <gsl/gsl_errno.h>

static BlyTarget open_target(BlyState wanted) {
    return (BlyTarget){.state = wanted,
                       .drift_low = -INFINITY,
                       .drift_high = INFINITY,
                       .shows_low = -INFINITY,
                       .shows_high = INFINITY,
                       .nose_low = -INFINITY,
                       .nose_high = INFINITY,
                       .roll_arm_least = -INFINITY};
}

static void test_bands(void **state) {
    (void)state;
    BlyTarget target = open_target(BLY_SUSPENDS);
    target.drift_low = -0.015, target.drift_high = 0.015;
    target.nose_low = 0.1, target.nose_high = 0.3;
    target.roll_arm_least = 1e-3;
    BlyOutcome out = {.drift = 0.0075, .nose_down = 0.25, .roll_arm = 2e-3};
    BlyJudgement j = bly_judge(&target, &out);
    assert_true(j.met);
    assert_close(j.drift_place, 0.5, 1e-12, 0);
    assert_close(j.nose_place, 0.5, 1e-12, 0);
    assert_true(j.drift_off == 0 && j.nose_off == 0 && j.roll_off == 0 && j.shows_off == 0);
    out.drift = -0.02;
    out.nose_down = 0.35;
    out.roll_arm = 0.4e-3;
    j = bly_judge(&target, &out);
    assert_false(j.met);
    assert_close(j.drift_off, 0.005, 1e-12, 0);
    assert_close(j.drift_place, -4.0 / 3.0, 1e-12, 0);
    assert_close(j.nose_off, 0.05, 1e-12, 0);
    assert_close(j.roll_off, 0.6e-3, 1e-12, 0);
    out.nose_down = NAN; /* no attitude cannot be in a band, but meets none asked */
    j = bly_judge(&target, &out);
    assert_close(j.nose_off, M_PI, 1e-12, 0);
    target.nose_low = -INFINITY, target.nose_high = INFINITY;
    j = bly_judge(&target, &out);
    assert_true(j.nose_off == 0);
}

/* A side that is left open is closed by the state: suspends within 6 mm/s, sinks beyond it. */
static void test_state_closes_open_sides(void **state) {
    (void)state;
    const struct {
        BlyState wanted;
        double drift, off;
    } cases[] = {
        {BLY_SUSPENDS, 0.005, 0}, {BLY_SUSPENDS, 0.010, 0.004}, {BLY_SUSPENDS, -0.008, 0.002},
        {BLY_SINKS, 0.1, 0},      {BLY_SINKS, 0.002, 0.004},    {BLY_FLOATS, -0.2, 0},
        {BLY_FLOATS, 0.0, 0.006},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        BlyTarget target = open_target(cases[i].wanted);
        BlyOutcome out = {.drift = cases[i].drift};
        BlyJudgement j = bly_judge(&target, &out);
        assert_close(j.drift_off, cases[i].off, 1e-12, 0);
        double place = cases[i].wanted == BLY_SUSPENDS ? cases[i].drift / 0.006 : 0;
        assert_close(j.drift_place, place, 1e-12, 0); /* a band open at one side has no middle */
    }
}

/* At the surface the angle there counts, not the one under water. */
static void test_floaters(void **state) {
    (void)state;
    BlyTarget target = open_target(BLY_FLOATS);
    target.shows_low = 0.08, target.shows_high = 0.16;
    target.nose_low = -0.1, target.nose_high = 0.1;
    BlyOutcome out = {.drift = -0.2, .nose_down = 1.0, .has_surface = true};
    out.surface.shows = 0.10;
    out.surface.nose_down = 0.05;
    BlyJudgement j = bly_judge(&target, &out);
    assert_true(j.met);
    assert_close(j.shows_place, -0.5, 1e-12, 0);
    assert_close(j.nose_place, 0.5, 1e-12, 0);
    out.surface.shows = 0.2;
    assert_close(bly_judge(&target, &out).shows_off, 0.04, 1e-12, 0);
    out.has_surface = false; /* a sinker shows nothing */
    assert_close(bly_judge(&target, &out).shows_off, 0.08, 1e-12, 0);
}

/* Metacentric height below zero: a floating body does not stay upright, any text on the stability
 * of ships. Of weight that hangs below the buoyancy under water that says nothing. */
static void test_floaters_stay_upright(void **state) {
    (void)state;
    BlyTarget target = open_target(BLY_FLOATS);
    target.roll_arm_least = 0.5e-3;
    BlyOutcome out = {.drift = -0.2, .roll_arm = 2.6e-3, .has_surface = true};
    out.surface.roll_height = 0.4e-3;
    assert_true(bly_judge(&target, &out).met);
    out.surface.roll_height = -0.2e-3;
    assert_false(bly_judge(&target, &out).met);
    assert_close(bly_judge(&target, &out).roll_off, 0.2e-3, 1e-12, 0);
    target.roll_arm_least = 0; /* it may lie on its side */
    assert_true(bly_judge(&target, &out).met);
    target.roll_arm_least = 0.5e-3;
    target.state = BLY_SUSPENDS; /* of a lure that shall not float the surface does not matter */
    target.drift_low = -0.3;
    assert_true(bly_judge(&target, &out).met);
}

typedef struct Rigged {
    BlyBody *body;
    BlyBlank blank;
    BlyPart eye, ring, hook;
    BlySeat seats[3];
    BlyRig rig;
} Rigged;

static void rigged_open(Rigged *r) {
    r->body = kit_ellipsoid(0, 90e-3, 14e-3, 18e-3);
    BlyBodyFacts facts = kit_facts(830);
    r->blank = kit_blank(r->body, &facts);
    r->eye = kit_eye(), r->ring = kit_ring(), r->hook = kit_hook(0.8e-3);
    r->seats[0] = kit_seat(BLY_SEAT_HANGER, BLY_AT_BELLY, 30e-3, 30e-3);
    r->seats[1] = kit_seat(BLY_SEAT_HANGER, BLY_AT_TAIL, 90e-3, 90e-3);
    r->seats[2] = kit_seat(BLY_SEAT_PATCH, BLY_AT_BELLY, 40e-3, 60e-3);
    must(bly_rig_init(&r->rig, 3, err));
    for (int i = 0; i < 2; i++) {
        r->rig.at[i].x = r->seats[i].x_from;
        r->rig.at[i].of[BLY_PART_EYE].part = &r->eye;
        r->rig.at[i].of[BLY_PART_RING].part = &r->ring;
        r->rig.at[i].of[BLY_PART_HOOK].part = &r->hook;
    }
    r->rig.at[2].x = 50e-3;
}

static BlyOutcome rigged_rest(const Rigged *r) {
    BlyLure lure;
    BlyOutcome out;
    must(bly_lure_make(&r->blank, r->seats, &r->rig, &lure, err));
    must(bly_rest(&lure, &bench_tap, &out, err));
    bly_lure_release(&lure);
    return out;
}

/* 0.05 g more hook at the belly, both ways, as a maker would weigh it: the hook's record made
 * heavier, its volume with it. */
static void test_influence(void **state) {
    (void)state;
    Rigged r;
    rigged_open(&r);
    BlyLure lure;
    BlyInfluence table[3];
    must(bly_lure_make(&r.blank, r.seats, &r.rig, &lure, err));
    const double extra = 0.05e-3;
    must(bly_rest_influence(&lure, r.seats, 3, &r.rig, &bench_tap, extra, table, err));
    bly_lure_release(&lure);
    for (int i = 0; i < 2; i++) {
        BlyPart heavier = kit_hook(0.8e-3 + extra), lighter = kit_hook(0.8e-3 - extra);
        /* The wire's face stays: influence adds mass, not drag. */
        heavier.wire *= heavier.volume / r.hook.volume;
        lighter.wire *= lighter.volume / r.hook.volume;
        r.rig.at[i].of[BLY_PART_HOOK].part = &heavier;
        BlyOutcome more = rigged_rest(&r);
        r.rig.at[i].of[BLY_PART_HOOK].part = &lighter;
        BlyOutcome less = rigged_rest(&r);
        r.rig.at[i].of[BLY_PART_HOOK].part = &r.hook;
        assert_int_equal(table[i].seat, i);
        assert_close(table[i].net_weight, extra * (1 - bench_tap.density / 7850), 0, 1e-9);
        assert_close(table[i].nose_down, 0.5 * (more.nose_down - less.nose_down), 1e-9, 0.02);
        assert_close(table[i].drift, 0.5 * (more.drift - less.drift), 1e-9, 0.02);
    }
    assert_true(table[0].nose_down > 0 && table[1].nose_down < 0);
    /* The empty patch takes metal of 8 g/cm3 on the belly line. */
    assert_close(table[2].net_weight, extra * (1 - bench_tap.density / 8000), 0, 1e-9);
    r.rig.at[2].x = 95e-3;
    must(bly_lure_make(&r.blank, r.seats, &r.rig, &lure, err));
    BlyError err = {0};
    assert_false(bly_rest_influence(&lure, r.seats, 3, &r.rig, &bench_tap, extra, table, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    bly_lure_release(&lure);
    bly_rig_release(&r.rig);
    bly_blank_release(&r.blank);
    bly_body_free(r.body);
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_bands),     cmocka_unit_test(test_state_closes_open_sides),
        cmocka_unit_test(test_floaters),  cmocka_unit_test(test_floaters_stay_upright),
        cmocka_unit_test(test_influence),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
