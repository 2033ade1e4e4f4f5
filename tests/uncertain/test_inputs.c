/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which inputs are uncertain, and a build with its inputs set. The gives are the build's and the
 * catalog's own; that pieces of one id share them is this project's rule (docs/uncertain.md). */
#include "spread/bench.h"

static const BlyInput *find(const BlyInput *inputs, size_t count, BlyInputKind kind, const char *id,
                            int seat) {
    for (size_t i = 0; i < count; i++) {
        if (inputs[i].kind == kind && strcmp(inputs[i].id, id) == 0 && inputs[i].seat == seat)
            return &inputs[i];
    }
    return NULL;
}

static size_t count_of(const BlyInput *inputs, size_t count, BlyInputKind kind) {
    size_t found = 0;
    for (size_t i = 0; i < count; i++)
        found += inputs[i].kind == kind;
    return found;
}

static void test_list(void **state) {
    (void)state;
    Bench bench;
    BlyInput in[BLY_INPUTS_MAX];
    size_t n = 0;
    bench_open(&bench, "tests/spread/suspender.json");
    BlyBuild *build = bench.build;
    must(bly_inputs_list(build, &build->fitted, &build->water, in, &n, err));
    /* The scale overrides the density. */
    assert_non_null(find(in, n, BLY_IN_BODY_MASS, "", -1));
    assert_null(find(in, n, BLY_IN_BODY_DENSITY, "", -1));
    assert_close(find(in, n, BLY_IN_BODY_MASS, "", -1)->give, 0.02e-3, 1e-12, 0);
    assert_close(find(in, n, BLY_IN_VOLUME, "", -1)->give, 0.002, 1e-12, 0);
    /* Not given: the centroid, uneven by 0.5 % of the length. */
    BlyBox box = bly_body_box(build->shape);
    assert_close(find(in, n, BLY_IN_BALANCE, "", -1)->give, 0.005 * (box.high.x - box.low.x), 1e-12,
                 0);
    /* Three eyes of one id: one input. Two hooks of one id, one of them weighed: the catalog's give
     * and the piece's for the other, the scale's for this one. */
    assert_int_equal(count_of(in, n, BLY_IN_PART_MASS), 3); /* eye, ring, hook */
    assert_int_equal(count_of(in, n, BLY_IN_PIECE_MASS), 1);
    int belly = bly_build_seat(build, "belly"), tail = bly_build_seat(build, "tail");
    assert_close(find(in, n, BLY_IN_WEIGHED, "treble-4-stout", belly)->value, 1.06e-3, 1e-12, 0);
    const BlyPart *hook = bly_catalog_part(&bench.catalog, "treble-4-stout");
    const BlyInput *piece = find(in, n, BLY_IN_PIECE_MASS, "treble-4-stout", tail);
    assert_non_null(piece);
    assert_close(piece->give, 0.05 * hook->mass.value, 1e-12, 0);
    assert_close(find(in, n, BLY_IN_PART_MASS, "treble-4-stout", -1)->give, hook->mass.give, 0,
                 1e-9);
    assert_non_null(find(in, n, BLY_IN_PART_THICKNESS, "brass-18ga", -1));
    assert_non_null(find(in, n, BLY_IN_PART_DENSITY, "tungsten-tape-0.5x10", -1));
    assert_null(find(in, n, BLY_IN_PART_MASS, "square-15", -1)); /* an outline weighs nothing */
    assert_int_equal(count_of(in, n, BLY_IN_COAT_THICKNESS), 1);
    assert_non_null(find(in, n, BLY_IN_TEMPERATURE, "", -1));
    assert_null(find(in, n, BLY_IN_SALINITY, "", -1)); /* fresh is fresh */
    for (size_t i = 0; i < n; i++) {
        assert_true(in[i].give > 0);
        assert_true(strlen(bly_input_words(in[i].kind)) > 0);
        assert_true(strlen(bly_input_advice(in[i].kind)) > 0);
    }
    bench_close(&bench);
}

/* Weighed with hooks and all: what hung there counts, and a heavier hook means a lighter body. */
static void test_weighed_complete(void **state) {
    (void)state;
    Bench bench;
    bench_open(&bench, "tests/spread/suspender.json");
    BlyBuild *build = bench.build;
    build->facts.stage = BLY_STAGE_COMPLETE;
    build->facts.mass = (BlyFigure){11.7e-3, 0.02e-3};
    BlyRig bare;
    must(bly_rig_init(&bare, build->fitted.count, err));
    BlyInput in[BLY_INPUTS_MAX];
    size_t n = 0;
    must(bly_inputs_list(build, &bare, &build->water, in, &n, err));
    const BlyInput *hook = find(in, n, BLY_IN_PART_MASS, "treble-4-stout", -1);
    assert_non_null(hook);
    UncertainCase set = {build, &bare, in, n, &build->blank};
    MovedLure even, heavy;
    double u[BLY_INPUTS_MAX] = {0};
    must(moved_lure_make(&set, u, &even, err));
    u[hook - in] = 1;
    must(moved_lure_make(&set, u, &heavy, err));
    /* Only the unweighed one of the two is off; what slots took out changes by a hair. */
    assert_close(heavy.blank.body_mass - even.blank.body_mass, -hook->give / bench_give_sigma, 0,
                 0.01);
    moved_lure_release(&even);
    moved_lure_release(&heavy);
    bly_rig_release(&bare);
    bench_close(&bench);
}

/* A heavier hook of the same wire displaces more; a thicker sheet too; a denser strip does not. */
static void test_values(void **state) {
    (void)state;
    Bench bench;
    BlyInput in[BLY_INPUTS_MAX];
    size_t n = 0;
    bench_open(&bench, "tests/spread/suspender.json");
    BlyBuild *build = bench.build;
    must(bly_inputs_list(build, &build->fitted, &build->water, in, &n, err));
    UncertainCase set = {build, &build->fitted, in, n, &build->blank};
    static const struct {
        BlyInputKind kind;
        const char *id;
        bool displaces;
    } cases[] = {{BLY_IN_PART_MASS, "ring-3", true},
                 {BLY_IN_PART_THICKNESS, "brass-18ga", true},
                 {BLY_IN_PART_DENSITY, "tungsten-tape-0.5x10", false}};
    double zero[BLY_INPUTS_MAX] = {0}, even[SUMS], off[SUMS];
    MovedLure lure;
    must(moved_lure_make(&set, zero, &lure, err));
    quick_sums_of(&lure.lure, even);
    moved_lure_release(&lure);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        double u[BLY_INPUTS_MAX] = {0};
        const BlyInput *input = find(in, n, cases[i].kind, cases[i].id, -1);
        assert_non_null(input);
        u[input - in] = 2;
        must(moved_lure_make(&set, u, &lure, err));
        quick_sums_of(&lure.lure, off);
        moved_lure_release(&lure);
        const BlyPart *part = bly_catalog_part(&bench.catalog, cases[i].id);
        double mass = off[SUM_M] - even[SUM_M], volume = off[SUM_P] - even[SUM_P];
        assert_true(mass > 1e-6);
        if (cases[i].kind == BLY_IN_PART_MASS) { /* two rings */
            assert_close(mass, 2 * 2 * input->give / bench_give_sigma, 0, 1e-6);
            assert_close(volume, mass / part->density.value, 0, 1e-6);
        } else if (cases[i].displaces) {
            assert_true(volume > 0.1 * mass / part->density.value);
        } else {
            assert_close(volume, 0, 1e-15, 0);
        }
    }
    bench_close(&bench);
}

static void test_limits(void **state) {
    (void)state;
    BlyInput coat = {.kind = BLY_IN_COAT_THICKNESS, .value = 0.1e-3, .give = 0.1e-3};
    assert_close(uncertain_value(&coat, -5), 0, 0, 0);
    assert_close(uncertain_value(&coat, bench_give_sigma), 0.2e-3, 1e-15, 0);
    BlyInput munk = {.kind = BLY_IN_MUNK, .value = 0.5, .give = 0.5};
    assert_close(uncertain_value(&munk, 4), 1, 0, 0);
    BlyInput water = {.kind = BLY_IN_TEMPERATURE, .value = 39, .give = 1};
    assert_close(uncertain_value(&water, 4), 40, 0, 0);
}

/* More pieces than the list holds are refused in words, not cut off. */
static void test_too_many(void **state) {
    (void)state;
    enum { SEATS = 40 };
    BlyBuild build;
    plain_open(&build, 900);
    static char ids[SEATS][16];
    static BlyPart hooks[SEATS];
    BlySeat seats[SEATS];
    must(bly_rig_init(&build.fitted, SEATS, err));
    for (int i = 0; i < SEATS; i++) {
        (void)snprintf(ids[i], sizeof ids[i], "h%d", i);
        hooks[i] = kit_hook(0.4e-3);
        hooks[i].id = ids[i];
        seats[i] = kit_seat(BLY_SEAT_HANGER, BLY_AT_BELLY, 30e-3, 30e-3);
        build.fitted.at[i].of[BLY_PART_HOOK].part = &hooks[i];
    }
    build.seats = seats;
    build.seat_count = SEATS;
    BlyInput in[BLY_INPUTS_MAX];
    size_t n = 0;
    BlyError err = {0};
    assert_false(bly_inputs_list(&build, &build.fitted, &build.water, in, &n, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    assert_int_equal(n, BLY_INPUTS_MAX);
    bly_rig_release(&build.fitted);
    plain_close(&build);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_list),     cmocka_unit_test(test_weighed_complete),
        cmocka_unit_test(test_values),   cmocka_unit_test(test_limits),
        cmocka_unit_test(test_too_many),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
