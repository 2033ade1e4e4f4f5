/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A large mesh is searched with stand-ins: it must come to the very rests, and the very figures,
 * that a search with the mesh itself comes to. The same body with its stand-in taken away is what
 * it is compared with. */
#include "ballastry/balance.h"
#include "balance/afloat.h"
#include "shape/shape.h"
#include "lure/kit.h"
#include "support/meshes.h"

#include <gsl/gsl_errno.h>

static const double a = 0.045, b = 0.007, c = 0.0095;

typedef struct Shape {
    size_t rings, around;
    double lump; /* m, added to starboard alone */
    double fat;  /* how much fuller the forward half is */
} Shape;

static BlyVec3 shape_at(const void *user, size_t i, size_t j) {
    const Shape *shape = user;
    double t = MESH_PI * (double)(i + 1) / (double)(shape->rings + 1);
    double w = 2.0 * MESH_PI * (double)j / (double)shape->around;
    double grow = 1.0 + shape->fat * cos(t), y = b * grow * sin(t) * sin(w);
    double lump = y > 0.0 ? shape->lump * pow(sin(t) * sin(w), 2.0) : 0.0;
    return bly_vec(a - a * cos(t), y + lump, -c * grow * sin(t) * cos(w));
}

static BlyMesh mesh_of(const Shape *shape) {
    return mesh_rings(shape->rings, shape->around, bly_vec(0.0, 0.0, 0.0),
                      bly_vec(2.0 * a, 0.0, 0.0), shape_at, shape);
}

/* With a hollow: an ellipsoid turned inside out, off the middle. */
static BlyMesh with_hollow(const BlyMesh *outer) {
    BlyMesh inner = mesh_ellipsoid(0.3 * a, 0.5 * b, 0.4 * c, bly_vec(a, 0.0, 0.001), 30, 24);
    BlyMesh both =
        mesh_room(outer->point_count + inner.point_count, outer->facet_count + inner.facet_count);
    for (size_t p = 0; p < outer->point_count; p++)
        (void)mesh_point(&both, outer->points[p].x, outer->points[p].y, outer->points[p].z);
    uint32_t first = (uint32_t)both.point_count;
    for (size_t p = 0; p < inner.point_count; p++)
        (void)mesh_point(&both, inner.points[p].x, inner.points[p].y, inner.points[p].z);
    for (size_t i = 0; i < outer->facet_count; i++)
        mesh_facet(&both, outer->facets[i][0], outer->facets[i][1], outer->facets[i][2]);
    for (size_t i = 0; i < inner.facet_count; i++)
        mesh_facet(&both, first + inner.facets[i][0], first + inner.facets[i][2],
                   first + inner.facets[i][1]);
    bly_mesh_release(&inner);
    return both;
}

/* The law that the weight's and the lift's moments cancel, by a cut of the mesh itself where the
 * lure is said to rest: by how many rad the attitude is off. Weight and lift agree to 1e-9. */
static double off_balance(const BlyLure *lure, const BlyWater *water, const BlyFloat *at) {
    BlyAfloat afloat;
    BlyPose pose;
    assert_true(afloat_start(lure, water, &afloat, NULL));
    afloat_pose(&afloat, bly_vec_up(at->nose_down, at->heel), at->plane_height, &pose);
    assert_close(pose.volume * afloat.density, afloat.mass, 0.0, 1e-9);
    double ll = afloat_pitch_stiffness(&afloat, &pose);
    double cc = afloat_roll_stiffness(&afloat, &pose), lc = afloat.density * pose.mixed;
    double pitch = bly_vec_dot(pose.pull, pose.lengthwise);
    double roll = bly_vec_dot(pose.pull, pose.crosswise), whole = fabs(ll * cc - lc * lc);
    return fmax(fabs(pitch * cc - roll * lc), fabs(roll * ll - pitch * lc)) / whole;
}

typedef struct Wood {
    double density, x, z; /* its centre of mass lies off the middle; z NAN: where it is found */
} Wood;

/* `plain`: with the stand-in taken from the hull. */
static BlyFloat afloat(const BlyBody *body, const Wood *wood, bool plain) {
    BlyBodyFacts facts = kit_facts(wood->density);
    facts.balance.value = isnan(wood->z) ? NAN : a + wood->x;
    facts.balance_up.value = wood->z;
    BlyBlank blank;
    BlyLure lure;
    BlyWater water;
    BlyFloat out;
    BlyError err = {0};
    BlyRig none = {0};
    if (!bly_blank_make(body, &facts, NULL, 0, NULL, NULL, &blank, &err) ||
        !bly_lure_make(&blank, NULL, &none, &lure, &err) || !bly_water_at(15.0, 0.0, &water, &err))
        fail_msg("%s: %s", err.where, err.text);
    BlyBody *rough = blank.hull->rough;
    assert_non_null(rough);
    blank.hull->rough = plain ? NULL : rough;
    if (!bly_balance_float(&lure, &water, &out, &err))
        fail_msg("%s: %s", err.where, err.text);
    blank.hull->rough = rough;
    assert_close(off_balance(&lure, &water, &out), 0.0, plain ? 1e-7 : 1e-9, 0.0);
    bly_lure_release(&lure);
    bly_blank_release(&blank);
    return out;
}

/* The search with the mesh itself ends within 1e-7 rad of a rest, the one with a stand-in within
 * 1e-9 (off_balance), with figures of a cut at most 1e-7 away. */
static void compare(const BlyFloat *got, const BlyFloat *want) {
    assert_close(got->nose_down, want->nose_down, 2e-7, 0.0);
    assert_close(got->heel, want->heel, 2e-7, 0.0);
    assert_close(got->draft, want->draft, 1e-9, 0.0);
    assert_close(got->plane_height, want->plane_height, 1e-9, 0.0);
    assert_close(got->shows, want->shows, 1e-7, 0.0);
    assert_close(got->shows_whole, want->shows_whole, 1e-7, 0.0);
    assert_close(got->roll_height, want->roll_height, 1e-8, 1e-6);
    assert_close(got->pitch_height, want->pitch_height, 1e-8, 1e-6);
    assert_close(got->film, want->film, 0.0, 1e-6);
    assert_close(bly_vec_norm(bly_vec_sub(got->buoyancy, want->buoyancy)), 0.0, 1e-8, 0.0);
    assert_close(bly_vec_norm(bly_vec_sub(got->gravity, want->gravity)), 0.0, 1e-8, 0.0);
    assert_int_equal(got->upright_unstable, want->upright_unstable);
    assert_int_equal(got->roll_neutral, want->roll_neutral);
    assert_int_equal(got->may_turn_over, want->may_turn_over);
}

static void with_and_without(const BlyMesh *mesh, const BlyMeshFill *fill, bool even) {
    static const Wood woods[] = {
        {600.0, 0.0, -0.003},    /* level and stiff */
        {700.0, -0.004, -0.002}, /* nose-down */
        {930.0, 0.006, -0.001},  /* stern-down, little shows */
        {300.0, -0.001, -0.004}, /* high on the water */
        {600.0, 0.0, 0.0},       /* taller than wide: lies on its side */
        {800.0, -0.003, 0.002},  /* rolls over */
        {500.0, 0.0, NAN},       /* of one material */
    };
    BlyBody *body = NULL;
    BlyError err = {0};
    BlyMeshFacts facts;
    if (!bly_body_from_mesh(mesh, fill, &body, &facts, &err))
        fail_msg("%s", err.text);
    assert_int_equal(facts.even, even);
    for (size_t i = 0; i < sizeof woods / sizeof woods[0]; i++) {
        BlyFloat got = afloat(body, &woods[i], false), want = afloat(body, &woods[i], true);
        compare(&got, &want);
    }
    bly_body_free(body);
}

static void even_meshes(void **state) {
    (void)state;
    static const Shape shapes[] = {{50, 40, 0.0, 0.0}, {150, 80, 0.0, 0.3}, {300, 120, 0.0, 0.2}};
    for (size_t i = 0; i < sizeof shapes / sizeof shapes[0]; i++) {
        BlyMesh mesh = mesh_of(&shapes[i]);
        with_and_without(&mesh, NULL, true);
        bly_mesh_release(&mesh);
    }
}

static void uneven_meshes(void **state) {
    (void)state;
    static const Shape shapes[] = {
        {50, 40, 0.001, 0.0}, {150, 80, 0.002, 0.3}, {300, 120, 0.0005, -0.2}};
    for (size_t i = 0; i < sizeof shapes / sizeof shapes[0]; i++) {
        BlyMesh mesh = mesh_of(&shapes[i]);
        with_and_without(&mesh, NULL, false);
        bly_mesh_release(&mesh);
    }
}

static void hollow_and_filled(void **state) {
    (void)state;
    const Shape shape = {100, 60, 0.0, 0.2};
    const BlyMeshFill fill = {0.0012, 0.3};
    BlyMesh mesh = mesh_of(&shape), hollow = with_hollow(&mesh);
    with_and_without(&hollow, NULL, true);
    with_and_without(&mesh, &fill, true);
    bly_mesh_release(&hollow);
    bly_mesh_release(&mesh);
}

/* Two hulls side by side: their sections' chords say nothing of the gap, and how they roll hangs on
 * it. There is no stand-in for such a body. */
static void no_stand_in_for_two_hulls(void **state) {
    (void)state;
    BlyMesh one = mesh_ellipsoid(a, b, c, bly_vec(a, 0.02, 0.0), 60, 40);
    BlyMesh other = mesh_ellipsoid(a, b, c, bly_vec(a, -0.02, 0.0), 60, 40);
    BlyMesh both = mesh_room(2 * one.point_count, 2 * one.facet_count);
    for (size_t p = 0; p < 2 * one.point_count; p++) {
        const BlyMesh *from = p < one.point_count ? &one : &other;
        BlyVec3 at = from->points[p % one.point_count];
        (void)mesh_point(&both, at.x, at.y, at.z);
    }
    uint32_t first = (uint32_t)one.point_count;
    for (size_t i = 0; i < one.facet_count; i++) {
        const uint32_t *f = one.facets[i];
        mesh_facet(&both, f[0], f[1], f[2]);
        mesh_facet(&both, first + f[0], first + f[1], first + f[2]);
    }
    BlyBody *body = mesh_to_body(&both);
    assert_null(bly_body_rough(body));
    bly_body_free(body);
    bly_mesh_release(&both);
    bly_mesh_release(&other);
    bly_mesh_release(&one);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(even_meshes), cmocka_unit_test(uneven_meshes),
        cmocka_unit_test(hollow_and_filled), cmocka_unit_test(no_stand_in_for_two_hulls)};
    (void)gsl_set_error_handler_off();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
