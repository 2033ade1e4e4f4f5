/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Laws that hold whatever the drag formulas say: mirrors, scale, and more mass. */
#include "rest/bench.h"

#include <gsl/gsl_errno.h>

static const double L = 90e-3;

/* A body that is alike neither fore and aft nor up and down, and lumps with faces: mirrored by
 * sx (about its middle) and sz, scaled by k. */
static void odd_lure(Bench *bench, double sx, double sz, double k, double density) {
    const double x[7] = {0, 8e-3, 20e-3, 35e-3, 60e-3, 80e-3, L};
    const double w[7] = {0, 8e-3, 11e-3, 13e-3, 11e-3, 5e-3, 0};
    const double h[7] = {0, 10e-3, 16e-3, 17e-3, 12e-3, 6e-3, 0};
    const double c[7] = {0, 0.4e-3, 1e-3, 1.2e-3, 0.5e-3, 0.8e-3, 1e-3};
    BlyStation stations[7];
    for (int i = 0; i < 7; i++) {
        int from = sx > 0 ? i : 6 - i;
        double at = sx > 0 ? x[i] : L - x[from];
        stations[i] = (BlyStation){k * at, k * w[from], k * h[from], k * sz * c[from], 2.2};
    }
    BlyBody *body = NULL;
    must(bly_body_from_stations(stations, 7, &body, err));
    BlyBodyFacts facts = kit_facts(density);
    facts.munk_factor.value = 0.6;
    bench_open(bench, body, &facts);
    const double lump[3][4] = {/* g, mm, mm, wire mm2 */
                               {0.9, 28, -11, 40},
                               {0.7, 93, 0, 35},
                               {1.1, 45, -8, 0}};
    double middle = k * L / 2, area = k * k * 1e-6;
    for (int i = 0; i < 3; i++) {
        BlyVec3 at =
            bly_vec(middle + sx * (k * lump[i][1] * 1e-3 - middle), 0, sz * k * lump[i][2] * 1e-3);
        BlyItem *item = bench_add(bench, k * k * k * lump[i][0] * 1e-3, 7850, at);
        if (lump[i][3] > 0)
            bench_wire(item, k * 0.9e-3, area * lump[i][3]);
    }
    BlyVec3 at = bly_vec(middle + sx * (k * -2e-3 - middle), 0, sz * k * -12e-3);
    BlyItem *lip = bench_add(bench, k * k * k * 0.5e-3, 1200, at);
    bench_plate(lip, k * 12e-3, 0.6, at);
    lip->face_normal.x *= sx;
    lip->face_normal.z *= sz;
}

/* Swapping nose and tail turns the angle round; swapping belly and back lays it on its back: a
 * point (x, -z) at pi - t lies where (x, z) at t did, mirrored. The speed stays. The heavy one
 * stands at 63 degrees, where the centroid of what is seen of it is good to some 6e-6 m. */
static void test_mirrors(void **state) {
    (void)state;
    const double densities[] = {790, 850, 950};
    for (int i = 0; i < 3; i++) {
        Bench lure, backward, inverted;
        odd_lure(&lure, 1, 1, 1, densities[i]);
        odd_lure(&backward, -1, 1, 1, densities[i]);
        odd_lure(&inverted, 1, -1, 1, densities[i]);
        BlyOutcome a = bench_rest(&lure, &bench_tap), b = bench_rest(&backward, &bench_tap),
                   c = bench_rest(&inverted, &bench_tap);
        double close = fabs(a.nose_down) < 1.05 ? 1e-6 : 1e-4;
        assert_close(b.nose_down, -a.nose_down, close, 0);
        assert_close(b.drift, a.drift, 0, close);
        assert_close(b.roll_arm, a.roll_arm, close / 100, 0);
        assert_int_equal(b.rest_count, a.rest_count);
        assert_int_equal(c.rest_count, a.rest_count);
        bool found = false; /* on its back it is one of the rests, if not the one from level */
        for (size_t r = 0; r < c.rest_count; r++)
            found = found || fabs(remainder(c.rests[r] - (M_PI - a.nose_down), 2 * M_PI)) < close;
        assert_true(found);
        must(bly_rest_near(&inverted.lure, &bench_tap, M_PI - a.nose_down, &c, err));
        assert_close(remainder(c.nose_down - (M_PI - a.nose_down), 2 * M_PI), 0, close, 0);
        assert_close(c.roll_arm, -a.roll_arm, close / 100, 0);
        assert_close(c.drift, a.drift, 0, close);
        bench_close(&lure);
        bench_close(&backward);
        bench_close(&inverted);
    }
}

/* Lengths times k: masses k^3, angles alike, speeds sqrt(k) as long as drag coefficients are. They
 * are exactly when the viscosity goes with k^1.5, for then Reynolds numbers stay (Froude and
 * Reynolds similarity, dimensional analysis). */
static void test_scale(void **state) {
    (void)state;
    for (double k = 0.3; k < 4; k *= 1.9) {
        const double densities[] = {800, 900};
        for (int i = 0; i < 2; i++) {
            Bench one, scaled;
            BlyWater thick = bench_tap;
            thick.viscosity *= pow(k, 1.5);
            odd_lure(&one, 1, 1, 1, densities[i]);
            odd_lure(&scaled, 1, 1, k, densities[i]);
            BlyOutcome a = bench_rest(&one, &bench_tap), b = bench_rest(&scaled, &thick);
            assert_close(b.sums.mass, a.sums.mass * k * k * k, 0, 1e-9);
            assert_close(b.sums.net_weight, a.sums.net_weight * k * k * k, 0, 1e-7);
            assert_close(b.nose_down, a.nose_down, 1e-6, 0);
            assert_close(b.drift, a.drift * sqrt(k), 0, 1e-6);
            assert_close(b.reynolds, a.reynolds, 0, 1e-6);
            assert_close(b.roll_arm, a.roll_arm * k, 0, 1e-6);
            if (a.has_surface && b.has_surface)
                assert_close(b.surface.shows, a.surface.shows, 1e-4, 0);
            /* In the same water coefficients change, friction's along the body most: sqrt(k) within
             * a sixth. */
            b = bench_rest(&scaled, &bench_tap);
            assert_close(b.drift, a.drift * sqrt(k), 0, 0.16);
            bench_close(&one);
            bench_close(&scaled);
        }
    }
}

/* More mass, put where drag acts so that the attitude turns but little, never makes a lure rise
 * faster: from a floater to a sinker in steps. */
static void test_more_mass_never_rises_faster(void **state) {
    (void)state;
    Bench bench;
    odd_lure(&bench, 1, 1, 1, 750);
    bench.blank.facts.munk_factor.value = 0;
    BlyOutcome out;
    must(bly_rest(&bench.lure, &bench_tap, &out, err));
    double last = -INFINITY, angle = out.nose_down;
    for (int i = 0; i < 60; i++) {
        must(bly_rest(&bench.lure, &bench_tap, &out, err));
        assert_true(out.drift > last);
        assert_close(out.nose_down, angle, 0.05, 0); /* the body's share of drag falls with speed */
        last = out.drift;
        angle = out.nose_down;
        BlyItem *lump = i == 0 ? bench_add(&bench, 0, 0, out.drag_centre)
                               : &bench.lure.items[bench.lure.count - 1];
        lump->mass += 60e-6;
    }
    assert_true(last > 0.05);
    bench_close(&bench);
}

/* At any given attitude: more net weight is more speed, whatever the lure. */
static void test_speed_rises_with_weight(void **state) {
    (void)state;
    Bench bench;
    odd_lure(&bench, 1, 1, 1, 850);
    for (double t = -1.5; t < 1.6; t += 0.5) {
        double last = -INFINITY, speed;
        for (double w = -3e-3; w < 3e-3; w += 50e-6) {
            must(bly_rest_speed(&bench.lure, &bench_tap, t, w, &speed, err));
            assert_true(speed > last);
            last = speed;
        }
    }
    bench_close(&bench);
}

/* Small weights make small differences: no jumps of attitude or speed through net weight zero. */
static void test_smooth_through_zero(void **state) {
    (void)state;
    double last_angle = NAN, last_speed = NAN;
    for (int i = -40; i <= 40; i++) {
        Bench bench;
        BlyBodyFacts facts = kit_facts(bench_minnow_density(i * 1e-6));
        facts.munk_factor.value = 1;
        bench_minnow(&bench, 0, &facts);
        BlyOutcome out;
        must(bly_rest(&bench.lure, &bench_tap, &out, err));
        if (!isnan(last_angle)) {
            assert_close(out.nose_down, last_angle, 2e-3, 0);
            assert_between(out.drift - last_speed, 0, 5e-3);
        }
        last_angle = out.nose_down;
        last_speed = out.drift;
        bench_close(&bench);
    }
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_mirrors),
        cmocka_unit_test(test_scale),
        cmocka_unit_test(test_more_mass_never_rises_faster),
        cmocka_unit_test(test_speed_rises_with_weight),
        cmocka_unit_test(test_smooth_through_zero),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
