/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What of a body lies between planes, and plain solids as columns: closed forms of caps, slices and
 * wedges (any book of geometry), and laws. */
#include "ballastry/form.h"
#include "lure/kit.h"

static const double A = 40e-3, B = 8e-3, C = 10e-3; /* half axes, m */

static BlyZone everything(void) {
    return (BlyZone){{-INFINITY, INFINITY}, {-INFINITY, INFINITY}, {0, INFINITY}};
}

static BlySolid part(const BlyBody *body, BlyZone zone) {
    BlySolid out;
    must(bly_body_zone(body, &zone, &out, err));
    return out;
}

/* Cap of the unit ball above z = c: pi (2 - 3 c + c^3)/3, first moment pi (1 - c^2)^2/4; an
 * ellipsoid is the ball stretched. */
static double cap(double c) {
    return M_PI * (2 - 3 * c + c * c * c) / 3;
}
static double cap_moment(double c) {
    return M_PI * (1 - c * c) * (1 - c * c) / 4;
}

static void layers_of_an_ellipsoid_are_caps(void **state) {
    (void)state;
    BlyBody *body = kit_ellipsoid(0, 2 * A, 2 * B, 2 * C);
    for (int i = -9; i <= 9; i += 2) {
        double c = i / 10.0, abc = A * B * C;
        BlyZone low = everything(), aft = everything(), cheeks = everything();
        low.z[1] = -c * C;
        aft.x[0] = A + c * A;
        BlySolid below = part(body, low), behind = part(body, aft);
        assert_close(below.volume, abc * cap(c), 0, 1e-8);
        assert_close(below.centroid.z, -C * cap_moment(c) / cap(c), 1e-10, 0);
        assert_close(below.centroid.x, A, 1e-10, 0);
        assert_close(behind.volume, abc * cap(c), 0, 1e-8);
        assert_close(behind.centroid.x, A + A * cap_moment(c) / cap(c), 1e-9, 0);
        if (c <= 0)
            continue;
        cheeks.off[0] = c * B; /* two caps, one on either side */
        BlySolid sides = part(body, cheeks);
        assert_close(sides.volume, 2 * abc * cap(c), 0, 1e-8);
        assert_close(sides.centroid.y, 0, 1e-12, 0);
    }
    bly_body_free(body);
}

/* Planes that cross: an eighth, a quarter; below and above, before and behind add up to the whole
 * at any planes, for ellipse and rounded box. */
static void crossing_planes(void **state) {
    (void)state;
    BlyBody *body = kit_ellipsoid(0, 2 * A, 2 * B, 2 * C);
    double whole = bly_body_solid(body)->volume;
    BlyZone zone = everything();
    zone.x[1] = A;
    zone.z[1] = 0;
    BlySolid quarter = part(body, zone);
    assert_close(quarter.volume, whole / 4, 2e-5 * whole, 0);
    assert_close(quarter.centroid.x, A - 3.0 / 8 * A, 1e-5 * A, 0);
    assert_close(quarter.centroid.z, -3.0 / 8 * C, 1e-5 * C, 0);
    zone.off[0] = 0.3 * B;
    zone.z[1] = INFINITY; /* halves of two caps */
    assert_close(part(body, zone).volume, A * B * C * cap(0.3), 2e-5 * whole, 0);
    bly_body_free(body);
    const BlyStation stations[] = {{0, 4e-3, 6e-3, 1e-3, 3},
                                   {20e-3, 12e-3, 15e-3, 0, 2.6},
                                   {55e-3, 10e-3, 9e-3, -1e-3, 4},
                                   {80e-3, 0, 0, 0, 2}};
    must(bly_body_from_stations(stations, 4, &body, err));
    whole = bly_body_solid(body)->volume;
    for (int i = 0; i < 5; i++) {
        double sum = 0, x = 12e-3 * (i + 1), z = -4e-3 + 2e-3 * i;
        for (int k = 0; k < 4; k++) {
            zone = everything();
            zone.x[k % 2] = x;
            zone.z[k / 2] = z;
            sum += part(body, zone).volume;
        }
        assert_close(sum, whole, 2e-5 * whole, 0);
    }
    bly_body_free(body);
}

typedef struct Total {
    double volume;
    BlyVec3 moment;
} Total;

static void count(double x, double z, double low, double high, double ground, void *user) {
    Total *total = user;
    double volume = ground * (high - low);
    total->volume += volume;
    total->moment =
        bly_vec_add(total->moment, bly_vec_scale(bly_vec(x, 0.5 * (low + high), z), volume));
}

/* Volumes: 4/3 pi r^3, pi r^2 l, a b c; the columns have the same, and the middle. */
static void columns_add_up(void **state) {
    (void)state;
    const struct {
        BlyForm form;
        double volume, hollow;
    } forms[] = {
        {{BLY_FORM_BALL, {30e-3, 1e-3, -4e-3}, {0, 0, 0}, 3e-3, 2e-3},
         4.0 / 3 * M_PI * 27e-9,
         4.0 / 3 * M_PI * 8e-9},
        {{BLY_FORM_ROD, {5e-3, 2e-3, -1e-3}, {45e-3, 2e-3, 29e-3}, 2e-3, 0},
         M_PI * 4e-6 * 50e-3,
         0},
        {{BLY_FORM_ROD, {5e-3, -2e-3, 1e-3}, {5e-3, 4e-3, 1e-3}, 5e-3, 1e-3},
         M_PI * 25e-6 * 6e-3,
         M_PI * 1e-6 * 6e-3},
        {{BLY_FORM_BOX, {1e-3, -2e-3, -3e-3}, {11e-3, 2e-3, 4e-3}, 0, 0}, 280e-9, 0},
    };
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
        Total total = {0};
        must(bly_form_columns(&forms[i].form, count, &total, err));
        BlyVec3 centre = bly_form_centre(&forms[i].form);
        BlyVec3 mean = bly_vec_scale(total.moment, 1 / total.volume);
        assert_close(bly_form_volume(&forms[i].form), forms[i].volume, 0, 1e-14);
        assert_close(bly_form_hollow(&forms[i].form), forms[i].hollow, 0, 1e-14);
        assert_close(total.volume, forms[i].volume, 0, 1e-12);
        assert_close(bly_vec_norm(bly_vec_sub(mean, centre)), 0, 1e-14, 0);
    }
}

/* Each column is where the solid says that it is. */
static void columns_lie_in_the_solid(double x, double z, double low, double high, double ground,
                                     void *user) {
    const BlyForm *form = user;
    double a, b;
    assert_true(ground > 0);
    assert_true(bly_form_column(form, false, x, z, &a, &b));
    assert_close(a, low, 1e-15, 1e-9);
    assert_close(b, high, 1e-15, 1e-9);
    assert_true(bly_form_holds(form, bly_vec(x, 0.5 * (low + high), z)));
    assert_false(bly_form_holds(form, bly_vec(x, high + 1e-6, z)));
}

static void columns_agree_with_the_solid(void **state) {
    (void)state;
    BlyForm forms[] = {
        {BLY_FORM_BALL, {30e-3, 1e-3, -4e-3}, {0, 0, 0}, 3e-3, 0},
        {BLY_FORM_ROD, {5e-3, 2e-3, -1e-3}, {45e-3, 2e-3, 29e-3}, 2e-3, 0},
        {BLY_FORM_ROD, {5e-3, -2e-3, 1e-3}, {5e-3, 4e-3, 1e-3}, 5e-3, 1e-3},
        {BLY_FORM_BOX, {1e-3, -2e-3, -3e-3}, {11e-3, 2e-3, 4e-3}, 0, 0},
    };
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++)
        must(bly_form_columns(&forms[i], columns_lie_in_the_solid, &forms[i], err));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(layers_of_an_ellipsoid_are_caps),
        cmocka_unit_test(crossing_planes),
        cmocka_unit_test(columns_add_up),
        cmocka_unit_test(columns_agree_with_the_solid),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
