/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The short way to a rest attitude against the long one: the same equation, so the same answer; and
 * the lure with and without its leader. */
#include "rest/bench.h"

#include <gsl/gsl_errno.h>

static const double milligrams[] = {-900, -60, -3, 4, 150, 1200};
enum { WEIGHTS = sizeof milligrams / sizeof milligrams[0] };

static void same(const BlyOutcome *near, const BlyOutcome *full) {
    assert_close(near->nose_down, full->nose_down, 1e-7, 0);
    assert_close(near->drift, full->drift, 0, 1e-6);
    assert_close(near->stiffness, full->stiffness, 1e-12, 1e-4);
    assert_close(near->roll_arm, full->roll_arm, 1e-9, 0);
}

static void test_from_a_guess(void **state) {
    (void)state;
    for (int i = 0; i < WEIGHTS; i++) {
        BlyBodyFacts facts = kit_facts(bench_minnow_density(1e-6 * milligrams[i]));
        facts.munk_factor.value = 0.5;
        Bench bench;
        bench_minnow(&bench, 0, &facts);
        BlyOutcome full = bench_rest(&bench, &bench_tap), near;
        for (double off = -0.1; off < 0.11; off += 0.05) {
            must(bly_rest_near(&bench.lure, &bench_tap, full.nose_down + off, &near, err));
            same(&near, &full);
            assert_int_equal(near.rest_count, 1);
            assert_false(near.has_surface);
        }
        bench_close(&bench);
    }
}

/* A guess on the other side of the circle, an unstable one, or none: the whole circle is searched
 * and nothing else can come out. */
static void test_a_bad_guess(void **state) {
    (void)state;
    BlyBodyFacts facts = kit_facts(bench_minnow_density(150e-6));
    Bench bench;
    bench_minnow(&bench, 0, &facts);
    BlyOutcome full = bench_rest(&bench, &bench_tap), near;
    const double bad[] = {full.nose_down + M_PI, full.nose_down + 1.5, NAN, INFINITY};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        must(bly_rest_near(&bench.lure, &bench_tap, bad[i], &near, err));
        same(&near, &full);
    }
    bench_close(&bench);
}

/* A leader is a weight at the tie that displaces nothing: taken off, the lure is the one without.
 */
static void test_leader(void **state) {
    (void)state;
    BlyBodyFacts facts = kit_facts(bench_minnow_density(150e-6));
    Bench bench;
    bench_minnow(&bench, 0, &facts);
    BlyInfluence leader;
    must(bly_rest_leader(&bench.lure, &bench_tap, &leader, err));
    assert_int_equal(leader.seat, -1);
    assert_true(leader.net_weight == 0.0 && leader.drift == 0.0);
    BlyOutcome without = bench_rest(&bench, &bench_tap);
    BlyItem *load = bench_add(&bench, 20e-6, 0, bly_vec(0, 0, 0));
    load->kind = BLY_ITEM_LOAD;
    load->seat = 4;
    BlyOutcome with_it = bench_rest(&bench, &bench_tap);
    must(bly_rest_leader(&bench.lure, &bench_tap, &leader, err));
    assert_int_equal(leader.seat, 4);
    assert_close(leader.net_weight, 20e-6, 1e-15, 0);
    assert_close(leader.nose_down, with_it.nose_down - without.nose_down, 1e-9, 0);
    assert_close(leader.drift, with_it.drift - without.drift, 1e-9, 0);
    assert_true(leader.nose_down > 0); /* it hangs at the nose */
    bench_close(&bench);
}

int main(void) {
    (void)gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_from_a_guess),
        cmocka_unit_test(test_a_bad_guess),
        cmocka_unit_test(test_leader),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
