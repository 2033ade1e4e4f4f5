/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sums of mass and volume with their first moments, and the moment that turns: closed forms of
 * plain statics (any textbook: centroid of a rod, theorem of Varignon, a couple, virtual work). */
#include "moments/moments.h"
#include "support/check.h"

static BlyItem point(double mass, double volume, BlyVec3 at) {
    return (BlyItem){.seat = -1, .mass = mass, .at = at, .volume = volume, .from = at, .to = at};
}

static Moments all_of(const BlyItem *items, size_t count) {
    Moments sum = {0};
    moments_add(&sum, items, count, moments_si);
    return sum;
}

/* A rod cut into a thousand points: m L/2 as one item has it, and v L/2 along its line. */
static void test_rod(void **state) {
    (void)state;
    enum { CELLS = 1000 };
    static BlyItem cells[CELLS];
    BlyVec3 from = bly_vec(0.01, -0.002, 0.004), to = bly_vec(0.09, 0.006, -0.012);
    for (int i = 0; i < CELLS; i++) {
        double share = (i + 0.5) / CELLS;
        BlyVec3 at = bly_vec_add(from, bly_vec_scale(bly_vec_sub(to, from), share));
        cells[i] = point(0.006 / CELLS, 0.7e-6 / CELLS, at);
    }
    BlyItem rod = {.mass = 0.006, .volume = 0.7e-6, .from = from, .to = to};
    rod.at = bly_vec_scale(bly_vec_add(from, to), 0.5);
    Moments fine = all_of(cells, CELLS), whole = all_of(&rod, 1);
    assert_close(whole.mx, 0.006 * 0.05, 0, 1e-15);
    assert_close(whole.vz, 0.7e-6 * -0.004, 0, 1e-15);
    assert_close(fine.m, whole.m, 0, 1e-12);
    assert_close(fine.mx, whole.mx, 0, 1e-12);
    assert_close(fine.my, whole.my, 0, 1e-12);
    assert_close(fine.mz, whole.mz, 0, 1e-12);
    assert_close(fine.v, whole.v, 0, 1e-12);
    assert_close(fine.vx, whole.vx, 0, 1e-12);
    assert_close(fine.vy, whole.vy, 0, 1e-12);
    assert_close(fine.vz, whole.vz, 0, 1e-12);
}

/* Two halves add up to the whole, what is taken off again leaves the rest, and k times is k items.
 */
static void test_adds_and_scales(void **state) {
    (void)state;
    const BlyItem items[] = {point(0.004, 0.2e-6, bly_vec(0.02, 0.001, 0.003)),
                             point(-0.001, 0, bly_vec(0.05, 0, -0.01)),
                             point(0.002, 0.5e-6, bly_vec(0.08, -0.002, -0.006))};
    Moments whole = all_of(items, 3), halves = moments_sum(all_of(items, 1), all_of(items + 1, 2));
    assert_close(halves.m, 0.005, 0, 1e-15);
    assert_close(halves.mx, 0.004 * 0.02 - 0.001 * 0.05 + 0.002 * 0.08, 0, 1e-15);
    assert_close(halves.my, 0.004 * 0.001 - 0.002 * 0.002, 1e-20, 0);
    assert_close(halves.mz, 0.004 * 0.003 + 0.001 * 0.01 - 0.002 * 0.006, 0, 1e-14);
    assert_close(halves.vx, 0.2e-6 * 0.02 + 0.5e-6 * 0.08, 0, 1e-15);
    assert_close(halves.vy, 0.2e-6 * 0.001 - 0.5e-6 * 0.002, 0, 1e-14);
    assert_close(whole.vz, halves.vz, 0, 1e-15);

    Moments rest = moments_sum(whole, moments_scaled(all_of(items + 2, 1), -1));
    assert_close(rest.m, 0.003, 0, 1e-15);
    assert_close(rest.v, 0.2e-6, 0, 1e-14);
    assert_close(rest.vy, 0.2e-6 * 0.001, 0, 1e-14);
    Moments thrice = {0}, scaled = moments_scaled(all_of(items, 3), 3);
    moments_add(&thrice, items, 3, (MomentUnits){3, 3, 1});
    assert_close(thrice.mz, scaled.mz, 0, 1e-14);
    assert_close(thrice.my, scaled.my, 1e-20, 1e-14);
    assert_close(thrice.v, 3 * 0.7e-6, 0, 1e-14);
}

/* 1 kg = 1e3 g, 1 m3 = 1e6 cm3, 1 m = 1e3 mm; of water of 1 g/cm3 the same weight either way. */
static void test_units(void **state) {
    (void)state;
    BlyItem item = point(0.012, 3e-6, bly_vec(0.04, 0.001, -0.007));
    Moments si = all_of(&item, 1), grams = {0};
    moments_add(&grams, &item, 1, moments_grams);
    assert_close(grams.m, 12, 0, 1e-15);
    assert_close(grams.mx, 480, 0, 1e-15);
    assert_close(grams.mz, -84, 0, 1e-15);
    assert_close(grams.v, 3, 0, 1e-15);
    assert_close(grams.vx, 120, 0, 1e-15);
    assert_close(grams.vy, 3, 0, 1e-15);
    WeightInWater a = moments_weight(&si, 1000), b = moments_weight(&grams, 1);
    assert_close(a.net, 0.009, 0, 1e-14);
    assert_close(b.net, 9, 0, 1e-14);
    assert_close(b.x * 1e-6, a.x, 0, 1e-14);
    assert_close(b.z * 1e-6, a.z, 0, 1e-14);
}

/* Potential energy over g of what stands in water, at nose-down t: sum of (m - rho v) Z. */
static double energy(const BlyItem *items, size_t count, double density, double t) {
    double sum = 0;
    for (size_t i = 0; i < count; i++)
        sum += (items[i].mass - density * items[i].volume) *
               bly_vec_dot(items[i].at, bly_vec_up(t, 0));
    return sum;
}

/* Virtual work: F is dE/dt and the stiffness d2E/dt2, by central differences. */
static void test_turning_is_the_slope_of_the_energy(void **state) {
    (void)state;
    const BlyItem items[] = {point(0.004, 5e-6, bly_vec(0.03, 0, 0.002)),
                             point(0.003, 0.4e-6, bly_vec(0.07, 0, -0.011)),
                             point(0.001, 3e-6, bly_vec(0.05, 0, 0.004))};
    const double density = 998.2, h = 1e-4;
    Moments all = all_of(items, 3);
    WeightInWater weight = moments_weight(&all, density);
    for (int i = 0; i < 24; i++) {
        double t = -3.1 + 0.27 * i;
        double more = energy(items, 3, density, t + h), less = energy(items, 3, density, t - h),
               here = energy(items, 3, density, t);
        double f = moments_turning(weight, cos(t), sin(t), 0, 0);
        assert_close(f, (more - less) / (2 * h), 1e-11, 0);
        assert_close(moments_stiffness(weight, cos(t), sin(t)), (more - 2 * here + less) / (h * h),
                     1e-9, 0);
    }
    double rests = atan2(-weight.x, -weight.z); /* tan t = wx / wz, and F rises there */
    assert_close(moments_turning(weight, cos(rests), sin(rests), 0, 0), 0, 1e-18, 0);
    assert_between(moments_stiffness(weight, cos(rests), sin(rests)), 1e-9, 1);
}

/* Weight and the force that carries it are a couple: the same about any origin, when the place of
 * the force moves along (Varignon); and a couple that is given counts as it is. */
static void test_no_origin(void **state) {
    (void)state;
    const double density = 1024, t = 0.4, couple = 2e-6;
    double first = 0;
    for (int k = 0; k < 3; k++) {
        BlyVec3 shift = bly_vec(0.13 * k, 0, -0.21 * k), drag = bly_vec(0.04, 0, 0.003);
        BlyItem items[2] = {point(0.009, 6e-6, bly_vec_add(bly_vec(0.05, 0, 0), shift)),
                            point(0.002, 0.3e-6, bly_vec_add(bly_vec(0.06, 0, -0.01), shift))};
        Moments all = all_of(items, 2);
        BlyVec3 held = bly_vec_add(drag, shift);
        double f = moments_turning(moments_weight(&all, density), cos(t), sin(t),
                                   held.x * cos(t) - held.z * sin(t), couple);
        if (k == 0)
            first = f;
        assert_close(f, first, 0, 1e-11);
    }
    assert_close(moments_turning((WeightInWater){0, 0, 0}, cos(t), sin(t), 0.3, couple), couple, 0,
                 0);
    /* 2 kg at 80 mm that are carried at 50 mm: heavy aft, 60 g m, nose up. */
    assert_close(moments_turning((WeightInWater){2, 2 * 0.08, 0}, 1, 0, 0.05, 0), 0.06, 0, 1e-14);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_rod),       cmocka_unit_test(test_adds_and_scales),
        cmocka_unit_test(test_units),     cmocka_unit_test(test_turning_is_the_slope_of_the_energy),
        cmocka_unit_test(test_no_origin),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
