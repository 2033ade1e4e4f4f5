/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Attitude, pull and forces against closed forms and laws. */
#include "ballastry/sink.h"
#include "support/meshes.h"
#include "tow/lines.h"

/* A plate alone, its tie square off its face at a share of the chord: the pull is the plate's own
 * force, which passes through the tie where Joessel's law (1870; its inverse seen in a rudder
 * sheet) puts the centre of pressure there: sin = (share - 0.195)/0.305. */
static void plate_alone(void **state) {
    (void)state;
    static const double share[] = {0.35, 0.42, 0.47};
    for (int i = 0; i < 3; i++) {
        Bench bench;
        open_speck(&bench);
        double angle = DEG(40), chord = 20e-3;
        add_lip(&bench, chord, chord, angle, bly_vec(0, 0, 0));
        BlyVec3 tie = bly_vec(-cos(angle) * (0.5 - share[i]) * chord - sin(angle) * 30e-3, 0,
                              -sin(angle) * (0.5 - share[i]) * chord + cos(angle) * 30e-3);
        BlyTow *tow = tow_of(&bench, tie);
        BlyTowModel model = without_body();
        BlyTowRun run = run_of(tow, &model, 1.3);
        double incidence = asin((share[i] - 0.195) / 0.305);
        assert_close(run.incidence, incidence, 1e-9, 0);
        double re = bench_tap.density * 1.3 * chord / bench_tap.viscosity;
        double force = 0.5 * bench_tap.density * 1.69 * chord * chord *
                       bly_tow_plate(incidence, 1, bly_drag_plate(1, re), 0.25);
        assert_close(run.pull, force, 0, 1e-9);
        assert_close(run.rise, M_PI_2 - incidence, 1e-9, 0);
        assert_close(run.share[BLY_TOW_BY_LIP], 1, 1e-12, 0);
        bly_tow_free(tow);
        bench_close(&bench);
    }
}

/* A kite turned over: a plate with a weight at its middle. At a chosen incidence force and weight
 * have a resultant; with the tie anywhere on its line of action, upstream, the kite flies so.
 * Statics of three forces. */
static void kite(void **state) {
    (void)state;
    for (double incidence = DEG(20); incidence < DEG(80); incidence += DEG(12)) {
        Bench bench;
        open_speck(&bench);
        double chord = 30e-3, mass = 2e-3, speed = 0.9, weight = mass * BLY_GRAVITY;
        add_lip(&bench, chord, chord, 0, bly_vec(0, 0, 0))->mass = mass;
        double re = bench_tap.density * speed * chord / bench_tap.viscosity;
        double force = 0.5 * bench_tap.density * speed * speed * chord * chord *
                       bly_tow_plate(incidence, 1, bly_drag_plate(1, re), 0.25);
        /* The plate lies along x with its normal downwards; nose-down by the incidence. In body
         * axes the weight has (-sin, -cos), the force (0, -1) at `ahead` of the middle. */
        double ahead = (0.5 - 0.195 - 0.305 * sin(incidence)) * chord;
        double fx = -weight * sin(incidence), fz = -weight * cos(incidence) - force;
        double couple = ahead * force;    /* nose-down about the middle: x fz - z fx */
        double x = couple / fz, h = 0.05; /* where the resultant crosses the plate, and on it */
        BlyVec3 tie = bly_vec(x - h * fx / hypot(fx, fz), 0, -h * fz / hypot(fx, fz));
        BlyTow *tow = tow_of(&bench, tie);
        BlyTowModel model = without_body();
        BlyTowForce there = bly_tow_force(tow, &model, incidence, speed);
        assert_close(there.couple, 0, 1e-9, 0);
        assert_close(there.drag[BLY_TOW_BY_LIP], force * sin(incidence), 0, 1e-9);
        assert_close(there.up[BLY_TOW_BY_LIP], -force * cos(incidence), 0, 1e-9);
        BlyTowRun run = run_of(tow, &model, speed);
        double off = fabs(run.nose_down - incidence);
        for (size_t i = 0; i < run.other_count; i++)
            off = fmin(off, fabs(run.others[i] - incidence));
        assert_close(off, 0, 1e-8, 0);
        bly_tow_free(tow);
        bench_close(&bench);
    }
}

/* A lump that drags: tan(rise) = weight/drag, whatever holds it; it trails in line with the pull.
 */
static void lump_with_drag(void **state) {
    (void)state;
    Bench bench;
    open_speck(&bench);
    BlyItem *lump = bench_add(&bench, 20e-3, 0, bly_vec(0.05, 0, -0.02));
    bench_wire(lump, 2e-3, 50e-6);
    BlyTow *tow = tow_of(&bench, bly_vec(0, 0, 0));
    BlyTowModel model = without_body();
    BlyTowRun run = run_of(tow, &model, 0.7);
    double re = bench_tap.density * 0.7 * 2e-3 / bench_tap.viscosity;
    double drag = 0.5 * bench_tap.density * 0.49 * 50e-6 * bly_drag_wire(re);
    double weight = 20e-3 * BLY_GRAVITY;
    assert_close(run.rise, atan2(weight, drag), 1e-9, 0);
    assert_close(run.pull, hypot(weight, drag), 0, 1e-9);
    assert_close(run.nose_down, atan2(0.02, 0.05) - run.rise, 1e-9, 0);
    assert_int_equal(run.state, BLY_TOW_DIVES);
    bly_tow_free(tow);
    bench_close(&bench);
}

/* Ideal flow about a spheroid: its force is completed behind the place where the room lets it end;
 * then Munk's couple (1924, NACA report 184) must come out with Lamb's k (1918, R&M 623: 0.918 and
 * 0.045 at 6.01 : 1). Area of a section: 4 A s (1 - s), s = x/L. */
static void munk_against_lamb(void **state) {
    (void)state;
    double length = 120e-3, wide = length / 6.01, most = M_PI_4 * wide * wide, k = 0.918 - 0.045;
    BlyBodyFacts facts = kit_facts(bench_tap.density);
    Bench bench;
    bench_open(&bench, kit_ellipsoid(0, length, wide, wide), &facts);
    double tie_x = 0.3 * length, t = DEG(3), speed = 1.5;
    BlyTow *tow = tow_of(&bench, bly_vec(tie_x, 0, 0));
    BlyTowModel model = without_body();
    model.by[BLY_TOW_POTENTIAL] = 1;
    BlyTowForce force = bly_tow_force(tow, &model, t, speed);
    double q = 0.5 * bench_tap.density * speed * speed;
    double normal = force.up[0] * cos(t) - force.drag[0] * sin(t); /* across the axis */
    double at_cut = normal / (-2 * q * sin(t) * cos(t)) / k;       /* section's area there */
    double s = (1 + sqrt(1 - at_cut / most)) / 2;
    assert_between(s, 0.86, 0.92); /* 0.378 + 0.527 for a fall steepest at the end */
    double behind = 4 * most * length * ((1.0 / 2 - 1.0 / 3) - (s * s / 2 - s * s * s / 3));
    double rest = -2 * q * sin(t) * cos(t) * k * (-at_cut * (s * length - tie_x) - behind);
    double munk = bly_munk_couple(&bench_tap, most * length * 2 / 3, speed, 0.045, 0.918, t);
    assert_close(force.couple + rest, munk, 0, 4e-3); /* Lamb's figures have three places */
    bly_tow_free(tow);
    bench_close(&bench);
}

/* Two spheroids' breadth of the same body: what a section drags across goes with b sqrt(b/h), by
 * the strips' sum in closed form: the mean chord of an ellipse is pi/4. */
static void cross_flow_in_closed_form(void **state) {
    (void)state;
    double length = 0.1, wide = 0.012, high = 0.018, t = DEG(25), speed = 0.8;
    BlyBodyFacts facts = kit_facts(bench_tap.density);
    Bench bench;
    bench_open(&bench, kit_ellipsoid(0, length, wide, high), &facts);
    BlyTow *tow = tow_of(&bench, bly_vec(0.02, 0, 0));
    BlyTowModel model = without_body();
    model.by[BLY_TOW_CROSS] = 1;
    BlyTowForce force = bly_tow_force(tow, &model, t, speed);
    double w = speed * sin(t), slender = length / sqrt(wide * high);
    double eta = 0.638 + (0.663 - 0.638) * (slender - 6) / 2; /* Jorgensen, table of the room */
    double normal =
        -0.5 * bench_tap.density * w * w * eta * 1.2 * sqrt(wide / high) * M_PI_4 * wide * length;
    assert_close(force.up[0], normal * cos(t), 0, 2e-3);
    assert_close(force.drag[0], -normal * sin(t), 0, 2e-3);
    assert_close(force.couple, normal * 0.03, 0, 2e-3); /* acts in the middle */
    bly_tow_free(tow);
    bench_close(&bench);
}

/* Turned upside down in every part a weightless lure does the same upside down. */
static void mirror_symmetry(void **state) {
    (void)state;
    Bench bench[2];
    BlyTow *tow[2];
    for (int k = 0; k < 2; k++) {
        double s = k ? -1 : 1;
        BlyBodyFacts facts = kit_facts(bench_tap.density);
        bench_open(&bench[k], kit_ellipsoid(0, 0.09, 0.012, 0.017), &facts);
        add_lip(&bench[k], 14e-3, 10e-3, k ? M_PI - DEG(40) : DEG(40), bly_vec(1e-3, 0, -s * 8e-3))
            ->face_normal = bly_vec(sin(DEG(40)), 0, -s * cos(DEG(40)));
        BlyItem *hook = bench_add(&bench[k], 0, 0, bly_vec(0.03, 0, -s * 0.012));
        bench_wire(hook, 1e-3, 40e-6);
        tow[k] = tow_of(&bench[k], bly_vec(-2e-3, 0, s * 1e-3));
    }
    BlyTowModel model = bly_tow_nominal();
    for (double t = DEG(-70); t < DEG(75); t += DEG(9)) {
        BlyTowForce up = bly_tow_force(tow[0], &model, t, 1),
                    down = bly_tow_force(tow[1], &model, -t, 1);
        double size = fabs(up.couple) + 1e-6;
        assert_close(up.couple, -down.couple, 1e-9 * size, 0);
        for (int i = 0; i < BLY_TOW_SOURCES; i++) {
            assert_close(up.drag[i], down.drag[i], 1e-12, 1e-9);
            assert_close(up.up[i], -down.up[i], 1e-12, 1e-9);
        }
    }
    for (int k = 0; k < 2; k++) {
        bly_tow_free(tow[k]);
        bench_close(&bench[k]);
    }
}

/* Without weight only Re is left: all forces go with the square of the speed. The few tenths of a
 * degree are those of the wire's and the plate's Cd. */
static void weightless_it_lies_alike_at_all_speeds(void **state) {
    (void)state;
    BlyBodyFacts facts = kit_facts(bench_tap.density);
    Bench bench;
    bench_open(&bench, kit_ellipsoid(0, 0.09, 0.012, 0.017), &facts);
    add_lip(&bench, 14e-3, 10e-3, DEG(40), bly_vec(1e-3, 0, -8e-3));
    bench_wire(bench_add(&bench, 0, 0, bly_vec(0.03, 0, -0.012)), 1e-3, 40e-6);
    bench_wire(bench_add(&bench, 0, 0, bly_vec(0.09, 0, 0)), 1e-3, 40e-6);
    BlyTow *tow = tow_of(&bench, bly_vec(-2e-3, 0, 1e-3));
    BlyTowModel model = bly_tow_nominal();
    BlyTowRun slow = run_of(tow, &model, 0.6), fast = run_of(tow, &model, 2.4);
    assert_close(slow.nose_down, fast.nose_down, DEG(0.5), 0);
    assert_between(fast.pull / slow.pull, 12.5, 16.5);
    model.by[BLY_TOW_WIRE] = model.by[BLY_TOW_AXIAL] = 0; /* but 20.4/Re of the plate */
    slow = run_of(tow, &model, 0.6), fast = run_of(tow, &model, 2.4);
    assert_close(slow.nose_down, fast.nose_down, DEG(0.05), 0);
    assert_close(fast.pull / slow.pull, 16, 0, 5e-3);
    bly_tow_free(tow);
    bench_close(&bench);
}

/* So slow that the water does nothing the tie is a pendulum's pivot: the couple is that of weights
 * less lifts at their arms, -g sum(m - rho v)(x cos t - z sin t), in closed form over the pieces
 * (statics). Its change with the angle at rest is what swings it back. */
static void drawn_slowly_it_is_a_pendulum_about_the_tie(void **state) {
    (void)state;
    Bench bench;
    BlyVec3 tie = open_diver(&bench, 1.5e-3, 10e-3, 15e-3, DEG(40));
    BlyTow *tow = tow_of(&bench, tie);
    BlyTowModel model = bly_tow_nominal();
    const BlySolid *solid = bly_body_solid(bench.body);
    double wx = -bench_tap.density * solid->volume * (solid->centroid.x - tie.x),
           wz = -bench_tap.density * solid->volume * (solid->centroid.z - tie.z);
    for (size_t i = 0; i < bench.lure.count; i++) {
        const BlyItem *item = &bench.lure.items[i];
        double net = item->mass - bench_tap.density * item->volume;
        wx += net * (item->at.x - tie.x);
        wz += net * (item->at.z - tie.z);
    }
    for (double t = DEG(-60); t < DEG(65); t += DEG(15)) {
        double couple = bly_tow_force(tow, &model, t, 1e-5).couple;
        double pendulum = -BLY_GRAVITY * (wx * cos(t) - wz * sin(t));
        assert_close(couple, pendulum, 1e-6 * BLY_GRAVITY * hypot(wx, wz), 0);
    }
    bly_tow_free(tow);
    bench_close(&bench);
}

/* Stations and a mesh of one ellipsoid. */
static void mesh_and_stations_alike(void **state) {
    (void)state;
    BlyMesh mesh = mesh_ellipsoid(0.045, 0.006, 0.0085, bly_vec(0.045, 0, 0), 120, 96);
    BlyBody *of_mesh = NULL;
    must(bly_body_from_mesh(&mesh, NULL, &of_mesh, NULL, err));
    BlyTowRun run[2];
    for (int k = 0; k < 2; k++) {
        BlyBodyFacts facts = kit_facts(950);
        Bench bench;
        bench_open(&bench, k ? of_mesh : kit_ellipsoid(0, 0.09, 0.012, 0.017), &facts);
        add_lip(&bench, 14e-3, 10e-3, DEG(40), bly_vec(1e-3, 0, -8e-3));
        bench_wire(bench_add(&bench, 0.6e-3, 7850, bly_vec(0.03, 0, -0.012)), 1e-3, 40e-6);
        BlyTow *tow = tow_of(&bench, bly_vec(-2e-3, 0, 0));
        BlyTowModel model = bly_tow_nominal();
        run[k] = run_of(tow, &model, 1);
        bly_tow_free(tow);
        bench_close(&bench);
    }
    assert_close(run[1].nose_down, run[0].nose_down, DEG(0.1), 0);
    assert_close(run[1].pull, run[0].pull, 0, 5e-3);
    assert_close(run[1].line.depth, run[0].line.depth, 0, 0.01);
    bly_mesh_release(&mesh);
}

/* Hoerner's streamlined body end on, from memory: laminar friction times its form over the frontal
 * area. A slim body comes to the friction of its skin alone: Blasius' 1.328/sqrt(Re) on some 3 l/d
 * times the front. */
static void end_on(void **state) {
    (void)state;
    double length = 0.2, wide = 0.01, speed = 0.5;
    BlyBodyFacts facts = kit_facts(bench_tap.density);
    Bench bench;
    bench_open(&bench, kit_ellipsoid(0, length, wide, wide), &facts);
    BlyTow *tow = tow_of(&bench, bly_vec(0, 0, 0));
    BlyTowModel model = bly_tow_nominal();
    model.by[BLY_TOW_AXIAL] = 1;
    double drag = bly_tow_force(tow, &model, 0, speed).drag[BLY_TOW_BY_BODY];
    double skin = 1.328 / sqrt(bench_tap.density * speed * length / bench_tap.viscosity) * 0.5 *
                  bench_tap.density * speed * speed * bly_body_surface(bench.body)->area;
    assert_between(drag / skin, 0.95, 1.0);
    bly_tow_free(tow);
    bench_close(&bench);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(plate_alone),
        cmocka_unit_test(kite),
        cmocka_unit_test(lump_with_drag),
        cmocka_unit_test(munk_against_lamb),
        cmocka_unit_test(cross_flow_in_closed_form),
        cmocka_unit_test(mirror_symmetry),
        cmocka_unit_test(weightless_it_lies_alike_at_all_speeds),
        cmocka_unit_test(drawn_slowly_it_is_a_pendulum_about_the_tie),
        cmocka_unit_test(mesh_and_stations_alike),
        cmocka_unit_test(end_on),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
