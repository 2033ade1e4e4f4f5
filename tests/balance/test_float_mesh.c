/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The same lure afloat as stations and as a mesh, small and large: a large one is searched with a
 * stand-in and must come to the same rests. A mesh of an ellipsoid is the ellipsoid shrunk by some
 * 1 - cos(pi/n): sizes agree to that, angles to that over the metacentric heights. */
#include "ballastry/balance.h"
#include "lure/kit.h"
#include "support/meshes.h"

#include <gsl/gsl_errno.h>

static const double a = 0.045, b = 0.007, c = 0.0095;

static BlyBody *by_stations(void) {
    const BlyStation stations[] = {
        {0.0, 0.0, 0.0, 0.0, 2.0}, {a, 2.0 * b, 2.0 * c, 0.0, 2.0}, {2.0 * a, 0.0, 0.0, 0.0, 2.0}};
    BlyBody *body = NULL;
    assert_true(bly_body_from_stations(stations, 3, &body, NULL));
    return body;
}

static BlyBody *by_mesh(size_t rings, size_t around, bool large) {
    BlyMesh mesh = mesh_ellipsoid(a, b, c, bly_vec(a, 0.0, 0.0), rings, around);
    BlyBody *body = mesh_to_body(&mesh);
    assert_int_equal(bly_body_rough(body) != NULL, large);
    bly_mesh_release(&mesh);
    return body;
}

/* Wood of this density whose centre of mass lies off the middle. */
static BlyFloat afloat(const BlyBody *body, double density, double x, double z) {
    BlyBodyFacts facts = kit_facts(density);
    facts.balance.value = a + x;
    facts.balance_up.value = z;
    BlyBlank blank;
    BlyLure lure;
    BlyWater water;
    BlyFloat out;
    BlyError err = {0};
    BlyRig none = {0};
    if (!bly_blank_make(body, &facts, NULL, 0, NULL, NULL, &blank, &err) ||
        !bly_lure_make(&blank, NULL, &none, &lure, &err) ||
        !bly_water_at(15.0, 0.0, &water, &err) || !bly_balance_float(&lure, &water, &out, &err))
        fail_msg("%s: %s", err.where, err.text);
    bly_lure_release(&lure);
    bly_blank_release(&blank);
    return out;
}

static void compare(const BlyFloat *want, const BlyFloat *got, double off) {
    assert_close(got->nose_down, want->nose_down, 3.0 * off, 20.0 * off);
    assert_close(got->heel, want->heel, 3.0 * off, 20.0 * off);
    assert_close(got->shows, want->shows, 2.0 * off, 2.0 * off);
    assert_close(got->draft, want->draft, 2.0 * off * c, 20.0 * off);
    assert_close(got->roll_height, want->roll_height, 2.0 * off * c, 10.0 * off);
    assert_close(got->pitch_height, want->pitch_height, 0.0, 10.0 * off);
    assert_int_equal(got->upright_unstable, want->upright_unstable);
}

static void lures_float_alike(void **state) {
    (void)state;
    static const struct {
        double density, x, z;
    } cases[] = {
        {600.0, 0.0, -0.003},    /* level and stiff */
        {700.0, -0.004, -0.002}, /* nose-down */
        {850.0, 0.006, -0.001},  /* stern-down, little shows */
        {300.0, -0.001, -0.004}, /* high on the water */
        {600.0, 0.0, 0.0},       /* taller than wide: lies on its side */
        {800.0, -0.003, 0.002},  /* rolls over */
    };
    static const size_t sizes[][2] = {{30, 40}, {150, 100}};
    BlyBody *stations = by_stations();
    for (int s = 0; s < 2; s++) {
        BlyBody *mesh = by_mesh(sizes[s][0], sizes[s][1], s == 1);
        double off = 1.0 - cos(MESH_PI / (double)sizes[s][1]);
        for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
            BlyFloat want = afloat(stations, cases[i].density, cases[i].x, cases[i].z);
            BlyFloat got = afloat(mesh, cases[i].density, cases[i].x, cases[i].z);
            compare(&want, &got, off);
        }
        bly_body_free(mesh);
    }
    bly_body_free(stations);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(lures_float_alike)};
    (void)gsl_set_error_handler_off();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
