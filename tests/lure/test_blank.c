/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The body with its coats: closed forms of spheres and cylinders, and the mass that a later
 * weighing gives back. */
#include "lure/kit.h"

#include <gsl/gsl_sf_ellint.h>

static const double R = 8e-3; /* m */

static BlyCoat coat(double density, double thickness) {
    return (BlyCoat){.density = {density, 0}, .thickness = {thickness, 0}};
}

static double ball(double radius) {
    return 4.0 / 3.0 * M_PI * radius * radius * radius;
}

/* Closed form: coats on a sphere are shells, one on the other. Area times thickness would miss
 * the second by 10 %. */
static void test_coats_are_shells(void **state) {
    (void)state;
    BlyBody *body = kit_ellipsoid(0, 2 * R, 2 * R, 2 * R);
    BlyBodyFacts facts = kit_facts(600);
    BlyCoat coats[3] = {coat(1200, 0.3e-3), coat(900, 0), coat(1500, 0.8e-3)};
    BlyBlank blank;
    must(bly_blank_make(body, &facts, coats, 3, NULL, NULL, &blank, err));
    assert_int_equal(blank.item_count, 3);
    assert_close(blank.body_mass, 600 * ball(R), 0, 1e-6);
    assert_close(blank.hull_volume, ball(R + 1.1e-3), 0, 1e-5);
    assert_close(blank.items[1].mass, 1200 * (ball(R + 0.3e-3) - ball(R)), 0, 1e-5);
    assert_close(blank.items[2].mass, 1500 * (ball(R + 1.1e-3) - ball(R + 0.3e-3)), 0, 1e-5);
    assert_close(blank.items[2].at.x, R, 1e-8, 0);
    assert_int_equal(blank.items[2].kind, BLY_ITEM_COAT);
    bly_blank_release(&blank);
    bly_body_free(body);
}

static void test_gives(void **state) {
    (void)state;
    BlyBody *body = kit_ellipsoid(0, 2 * R, 2 * R, 2 * R);
    BlyBodyFacts facts = kit_facts(600);
    facts.density.give = 60;
    BlyCoat layer = {.density = {1200, 24}, .thickness = {0.2e-3, 0.05e-3}};
    BlyBlank blank;
    must(bly_blank_make(body, &facts, &layer, 1, NULL, NULL, &blank, err));
    assert_close(blank.items[0].mass_give, 0.1 * blank.body_mass, 0, 1e-9);
    /* 2 % of density and a quarter of the thickness, as squares. */
    assert_close(blank.items[1].mass_give, blank.items[1].mass * hypot(0.02, 0.25), 0, 1e-9);
    bly_blank_release(&blank);
    facts.mass = (BlyFigure){1.5e-3, 0.02e-3};
    must(bly_blank_make(body, &facts, &layer, 1, NULL, NULL, &blank, err));
    assert_close(blank.items[0].mass, 1.5e-3, 0, 1e-12);
    assert_close(blank.items[0].mass_give, 0.02e-3, 0, 1e-12);
    assert_close(blank.body_density, 1.5e-3 / ball(R), 0, 1e-6);
    bly_blank_release(&blank);
    bly_body_free(body);
}

/* The short way gives what the long way gives, on the hull of another. */
static void test_like_another(void **state) {
    (void)state;
    BlyBody *body = kit_ellipsoid(0, 2 * R, 2 * R, 3 * R);
    BlyBodyFacts facts = kit_facts(600);
    BlyCoat layer = coat(1200, 0.3e-3);
    BlyBlank first, quick, full;
    must(bly_blank_make(body, &facts, &layer, 1, NULL, NULL, &first, err));
    for (int turn = 0; turn < 3; turn++) { /* the thicker coat twice: made, and lent again */
        int thicker = turn > 0;
        facts.density.value = 700;
        facts.volume_share.value = 1.02;
        layer.thickness.value = 0.3e-3 + thicker * 0.1e-3;
        must(bly_blank_like(&first, body, &facts, &layer, 1, NULL, NULL, &quick, err));
        must(bly_blank_make(body, &facts, &layer, 1, NULL, NULL, &full, err));
        assert_true(quick.hull_borrowed);
        assert_int_equal(quick.hull == first.hull, !thicker);
        assert_close(quick.body_mass, full.body_mass, 0, 1e-15);
        assert_close(quick.hull_volume, full.hull_volume, 0, 1e-15);
        assert_close(quick.items[1].mass, full.items[1].mass, 0, 1e-15);
        assert_close(bly_blank_seen(&quick, 0.3).area, bly_blank_seen(&full, 0.3).area, 0, 1e-15);
        bly_blank_release(&quick);
        bly_blank_release(&full);
    }
    bly_blank_release(&first);
    bly_body_free(body);
}

static void test_balance_volume_and_soak(void **state) {
    (void)state;
    BlyBody *body = kit_cylinder(5e-3, 40e-3, 16e-3);
    BlyBodyFacts facts = kit_facts(500);
    facts.balance.value = 18e-3; /* from the nose, which is at 5 mm */
    facts.balance_up.value = -1e-3;
    facts.volume_share.value = 1.02;
    facts.soak = (BlyFigure){0.1, 0.02};
    BlyBlank blank = kit_blank(body, &facts);
    double volume = M_PI * 64e-6 * 40e-3;
    assert_close(blank.body_mass, 500 * 1.02 * volume, 0, 1e-6);
    assert_close(blank.hull_volume, 1.02 * volume, 0, 1e-6);
    assert_close(blank.items[0].at.x, 23e-3, 1e-12, 0);
    assert_close(blank.items[0].at.z, -1e-3, 1e-12, 0);
    assert_int_equal(blank.items[1].kind, BLY_ITEM_SOAK);
    assert_close(blank.items[1].mass, 0.1 * blank.body_mass, 0, 1e-12);
    assert_close(blank.items[1].mass_give, 0.02 * blank.body_mass, 0, 1e-12);
    assert_close(blank.items[1].at.x, 25e-3, 1e-8, 0);
    bly_blank_release(&blank);
    bly_body_free(body);
}

/* Volume swells with three times the linear expansion: closed form, first order. */
static void test_swelling(void **state) {
    (void)state;
    BlyBody *body = kit_cylinder(0, 40e-3, 16e-3);
    BlyBodyFacts facts = kit_facts(500);
    BlyBlank blank = kit_blank(body, &facts);
    assert_true(bly_blank_swelling(&blank, 4) == 1.0);
    bly_blank_release(&blank);
    facts.expansion.value = 70e-6;
    blank = kit_blank(body, &facts);
    assert_true(bly_blank_swelling(&blank, 20) == 1.0);
    assert_close(bly_blank_swelling(&blank, 8), 1 - 3 * 70e-6 * 12, 1e-15, 0);
    bly_blank_release(&blank);
    bly_body_free(body);
}

/* The table against the body itself, between its nodes, over more than the circle. A cylinder's end
 * faces make corners at level and upright. */
static void test_seen_table(void **state) {
    (void)state;
    BlyBody *bodies[2] = {kit_cylinder(0, 80e-3, 16e-3), kit_ellipsoid(0, 80e-3, 12e-3, 18e-3)};
    for (int b = 0; b < 2; b++) {
        BlyBodyFacts facts = kit_facts(500);
        BlyBlank blank = kit_blank(bodies[b], &facts);
        for (double t = -4.0; t < 7.0; t += 0.0537) {
            BlyArea table = bly_blank_seen(&blank, t);
            BlyArea body = bly_body_seen(blank.hull, bly_vec_up(t, 0));
            assert_close(table.area, body.area, 0, 5e-4);
            assert_close(table.centroid.x, body.centroid.x, 2e-6, 0);
            assert_close(table.centroid.z, body.centroid.z, 2e-6, 0);
        }
        bly_blank_release(&blank);
        bly_body_free(bodies[b]);
    }
}

/* The mean of what is seen from all sides square to z, and to x. An ellipsoid shows
 * pi sqrt((bc dx)^2 + (ca dy)^2 + (ab dz)^2), whose mean over a circle is a complete elliptic
 * integral (GSL's); a cylinder its side by |cos| and an end by |sin|, each 2/pi in the mean. */
static double circle_mean(double p, double q) {
    double more = fmax(p, q), less = fmin(p, q);
    return 2 / M_PI * more *
           gsl_sf_ellint_Ecomp(sqrt(1 - less * less / (more * more)), GSL_PREC_DOUBLE);
}

static void test_sides(void **state) {
    (void)state;
    const double half[3][3] = {{40e-3, 6e-3, 9e-3}, {15e-3, 15e-3, 15e-3}, {60e-3, 5e-3, 6e-3}};
    for (int i = 0; i < 3; i++) {
        double a = half[i][0], b = half[i][1], c = half[i][2];
        BlyBody *body = kit_ellipsoid(2e-3, 2 * a, 2 * b, 2 * c);
        BlyBodyFacts facts = kit_facts(500);
        BlyBlank blank = kit_blank(body, &facts);
        BlySides sides = bly_blank_sides(&blank);
        assert_close(sides.level, circle_mean(M_PI * b * c, M_PI * c * a), 0, 2e-3);
        assert_close(sides.upright, circle_mean(M_PI * c * a, M_PI * a * b), 0, 1e-3);
        bly_blank_release(&blank);
        bly_body_free(body);
    }
    double length = 80e-3, d = 16e-3;
    BlyBody *body = kit_cylinder(5e-3, length, d);
    BlyBodyFacts facts = kit_facts(500);
    BlyBlank blank = kit_blank(body, &facts);
    BlySides sides = bly_blank_sides(&blank);
    assert_close(sides.level, 2 / M_PI * (d * length + M_PI / 4 * d * d), 0, 1e-4);
    assert_close(sides.upright, d * length, 0, 1e-4);
    assert_close(sides.blunt[0], 1, 1e-12, 0);
    bly_blank_release(&blank);
    bly_body_free(body);
}

/* A lure of known density, weighed at each stage: hand-made sums of what is on it by then. */
static void test_weighed_at_each_stage(void **state) {
    (void)state;
    BlyBody *body = kit_cylinder(0, 80e-3, 16e-3);
    BlyPart eye = kit_eye(), ring = kit_ring(), hook = kit_hook(0.6e-3);
    BlyPart strip = kit_part(BLY_PART_STRIP, NAN);
    strip.width = 6e-3, strip.thickness = 0.2e-3, strip.length = 0.1;
    BlySeat seats[2] = {kit_seat(BLY_SEAT_HANGER, BLY_AT_BELLY, 30e-3, 30e-3),
                        kit_seat(BLY_SEAT_PATCH, BLY_AT_BELLY, 40e-3, 70e-3)};
    BlyRig rig;
    must(bly_rig_init(&rig, 2, err));
    rig.at[0].x = 30e-3;
    rig.at[0].of[BLY_PART_EYE].part = &eye;
    rig.at[0].of[BLY_PART_RING].part = &ring;
    rig.at[0].of[BLY_PART_HOOK].part = &hook;
    rig.at[1].x = 45e-3;
    rig.at[1].of[BLY_PART_STRIP].part = &strip;
    rig.at[1].of[BLY_PART_STRIP].weighed.value = 0.3e-3;
    rig.at[1].length = 20e-3;
    rig.at[1].count = 1;
    BlyCoat layer = coat(1100, 0.2e-3);
    double volume = M_PI * 64e-6 * 80e-3, density = 520;
    /* A coated cylinder, edges rounded: A t + pi (pi R + L) t^2 + 4/3 pi t^3 (Steiner). */
    double t = 0.2e-3, area = 2 * M_PI * 8e-3 * 88e-3;
    double shell = area * t + M_PI * (M_PI * 8e-3 + 80e-3) * t * t + 4.0 / 3.0 * M_PI * t * t * t;
    double cut = density * (volume - 0.25e-3 / 7850);
    double scale[BLY_STAGES] = {
        [BLY_STAGE_BLANK] = density * volume,
        [BLY_STAGE_CUT] = cut,
        [BLY_STAGE_EYED] = cut + 0.4e-3,
        [BLY_STAGE_COATED] = cut + 0.4e-3 + 1100 * shell + 0.3e-3,
        [BLY_STAGE_COMPLETE] = cut + 0.4e-3 + 1100 * shell + 0.3e-3 + 0.7e-3,
    };
    for (int stage = 0; stage < BLY_STAGES; stage++) {
        BlyBodyFacts facts = kit_facts(NAN);
        facts.mass.value = scale[stage];
        facts.stage = (BlyStage)stage;
        BlyBlank blank;
        must(bly_blank_make(body, &facts, &layer, 1, seats, &rig, &blank, err));
        assert_close(blank.body_density, density, 0, 1e-5);
        assert_close(blank.body_mass, density * volume, 0, 1e-5);
        BlyLure lure;
        must(bly_lure_make(&blank, seats, &rig, &lure, err));
        double mass = 0;
        for (size_t i = 0; i < lure.count; i++)
            mass += lure.items[i].mass;
        assert_close(mass, scale[BLY_STAGE_COMPLETE], 0, 1e-5);
        bly_lure_release(&lure);
        bly_blank_release(&blank);
    }
    bly_rig_release(&rig);
    bly_body_free(body);
}

static void refused(const BlyBody *body, const BlyBodyFacts *facts, const BlyCoat *coats,
                    size_t count, BlyCode code, const char *where) {
    BlyBlank blank;
    BlyError err = {0};
    assert_false(bly_blank_make(body, facts, coats, count, NULL, NULL, &blank, &err));
    assert_int_equal(err.code, code);
    assert_string_equal(err.where, where);
    assert_null(blank.items);
}

static void test_refusals(void **state) {
    (void)state;
    BlyBody *body = kit_cylinder(0, 80e-3, 16e-3);
    const double bad[] = {NAN, INFINITY, -1, 0, 1e9};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        BlyBodyFacts facts = kit_facts(bad[i]);
        refused(body, &facts, NULL, 0, BLY_E_RANGE, "/density");
        facts = kit_facts(500);
        facts.volume_share.value = bad[i];
        refused(body, &facts, NULL, 0, BLY_E_RANGE, "/volume_share");
        facts = kit_facts(500);
        BlyCoat layer = coat(bad[i], 1e-3);
        refused(body, &facts, &layer, 1, BLY_E_RANGE, "/coats");
        if (bad[i] != 0) {
            layer = coat(1100, bad[i]);
            refused(body, &facts, &layer, 1, BLY_E_RANGE, "/coats");
            facts.soak.value = bad[i];
            if (!isnan(bad[i]))
                refused(body, &facts, NULL, 0, BLY_E_RANGE, "/soak");
            facts.soak.value = 0;
        }
        facts.mass.value = bad[i];
        if (!isnan(bad[i]))
            refused(body, &facts, NULL, 0, BLY_E_RANGE, "/mass");
    }
    /* Osmium, the densest metal, 22.59 g/cm3 (CRC Handbook, from memory) is a density; a sixth more
     * is none. A coat is said to be 20 mm at most. */
    BlyBodyFacts facts = kit_facts(22590);
    BlyBlank dense;
    must(bly_blank_make(body, &facts, NULL, 0, NULL, NULL, &dense, err));
    bly_blank_release(&dense);
    facts = kit_facts(22590 * 7.0 / 6);
    refused(body, &facts, NULL, 0, BLY_E_RANGE, "/density");
    facts = kit_facts(500);
    BlyCoat thick = coat(1100, 21e-3), heavy = coat(22590 * 7.0 / 6, 1e-3);
    refused(body, &facts, &thick, 1, BLY_E_RANGE, "/coats");
    refused(body, &facts, &heavy, 1, BLY_E_RANGE, "/coats");
    /* 50 kg in 16 cm3. */
    facts = kit_facts(NAN);
    facts.mass.value = 50;
    refused(body, &facts, NULL, 0, BLY_E_RANGE, "/mass");
    /* Coated, but lighter than the coat alone. */
    facts.mass.value = 0.5e-3;
    facts.stage = BLY_STAGE_COATED;
    BlyCoat layer = coat(1100, 0.3e-3);
    refused(body, &facts, &layer, 1, BLY_E_CONFLICT, "/mass");
    bly_body_free(body);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_coats_are_shells),
        cmocka_unit_test(test_gives),
        cmocka_unit_test(test_like_another),
        cmocka_unit_test(test_balance_volume_and_soak),
        cmocka_unit_test(test_swelling),
        cmocka_unit_test(test_seen_table),
        cmocka_unit_test(test_sides),
        cmocka_unit_test(test_weighed_at_each_stage),
        cmocka_unit_test(test_refusals),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
