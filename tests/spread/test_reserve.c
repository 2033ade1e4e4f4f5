/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The trim reserve. A spheroid with dots at its belly and nothing else uncertain but its density
 * has chances in closed form; the search for trims is compared with trying them all. Dots, rings
 * and wire of the lures are invented or the catalog's. */
#include "spread/bench.h"
#include "spread/reserve.h"

#include <gsl/gsl_cdf.h>

static char dot_id[] = "dot", no_text[] = "";

typedef struct Plain {
    BlyBuild build;
    BlyCatalog catalog;
    BlySeat patch;
    double half, step; /* kg: half the target's band, a dot in water */
    double sigma;
} Plain;

/* Net weight `mean` with the give that makes `sigma` of it, kg; a dot of 6 mm and `dot` kg. */
static void plain_lure(Plain *p, double mean, double sigma, double dot) {
    memset(p, 0, sizeof *p);
    BlyWater water;
    must(bly_water_at(15, 0, &water, err));
    double v = plain_volume();
    plain_open(&p->build, water.density + mean / v);
    p->build.facts.density.give = SPREAD_GIVE_SIGMA * sigma / v;
    p->sigma = sigma;
    plain_make(&p->build);
    p->patch = kit_seat(BLY_SEAT_PATCH, BLY_AT_BELLY, 25e-3, 55e-3);
    p->build.seats = &p->patch;
    p->build.seat_count = 1;
    must(bly_rig_init(&p->build.fitted, 1, err));
    p->build.fitted.at[0] = bly_choice_empty(40e-3);
    p->build.has_target = true;
    p->build.target = (BlyTarget){.state = BLY_SUSPENDS,
                                  .drift_low = -12e-3,
                                  .drift_high = 12e-3,
                                  .nose_low = -INFINITY,
                                  .nose_high = INFINITY};
    p->build.target_waters = &p->build.water;
    p->build.target_water_count = 1;
    BlyPart part = bly_part_blank(BLY_PART_DOT);
    part.id = dot_id;
    part.name = part.material = part.source = part.size = part.style = part.grade = no_text;
    part.mass = (BlyFigure){dot, 0};
    part.density = (BlyFigure){8000, 0};
    part.volume = dot / 8000;
    part.volume_given = true;
    part.outer = 6e-3;
    part.thickness = 0.3e-3;
    must(bly_catalog_put_part(&p->catalog, &part, err));
    p->step = dot * (1 - water.density / 8000);
    BlyLure lure;
    must(bly_lure_make(&p->build.blank, &p->patch, &p->build.fitted, &lure, err));
    must(bly_rest_net_weight(&lure, &water, 0, 12e-3, &p->half, err));
    bly_lure_release(&lure);
}

static void plain_done(Plain *p) {
    bly_catalog_release(&p->catalog);
    bly_rig_release(&p->build.fitted);
    plain_close(&p->build);
}

/* Share of lures whose net weight lies within low..high. */
static double share(const Plain *p, double mean, double low, double high) {
    return gsl_cdf_gaussian_P(high - mean, p->sigma) - gsl_cdf_gaussian_P(low - mean, p->sigma);
}

static const BlyReserveOptions sharp = {.samples = 20000, .timing_give = 1e-6, .angle_give = 1e-6};

/* With a perfect reading and true dots of less than the band, every lure is mended that twelve dots
 * reach; dots cannot take off. So the lure that is neutral by design is met by half, the one that
 * is light by design by nearly all: the nominal best is not the surest. */
static void test_closed_form(void **state) {
    (void)state;
    double sigma = 45e-6;
    double mean[2] = {0, -1.8 * sigma};
    double with[2];
    for (int k = 0; k < 2; k++) {
        Plain p;
        BlyReserve r;
        plain_lure(&p, mean[k], sigma, 17e-6);
        assert_true(p.step < 2 * p.half);
        must(bly_reserve(&p.build, &p.catalog, &p.build.fitted, &sharp, &r, err));
        assert_close(r.chance_without, share(&p, mean[k], -p.half, p.half), 0.006, 0);
        assert_close(r.chance_with, share(&p, mean[k], -p.half - 12 * p.step, p.half), 0.012, 0);
        assert_int_equal(r.count, 1);
        assert_int_equal(r.trims[0].kind, BLY_TRIM_DOTS);
        assert_close(r.trims[0].net_weight, p.step, 0, 1e-6);
        assert_int_equal(r.trims[0].most, 12);
        assert_true(r.trims[0].low >= 1 && r.trims[0].high <= 12);
        with[k] = r.chance_with;
        plain_done(&p);
    }
    assert_true(with[0] < 0.65 && with[1] > 0.95);
}

/* Dots larger than the band jump over it: met are those that a whole number of dots brings in. */
static void test_steps_too_large(void **state) {
    (void)state;
    Plain p;
    BlyReserve r;
    double sigma = 60e-6, mean = -150e-6, sum = 0;
    plain_lure(&p, mean, sigma, 55e-6);
    assert_true(p.step > 2.2 * p.half);
    must(bly_reserve(&p.build, &p.catalog, &p.build.fitted, &sharp, &r, err));
    for (int n = 0; n <= 12; n++)
        sum += share(&p, mean, -p.half - n * p.step, p.half - n * p.step);
    assert_close(r.chance_with, sum, 0.015, 0);
    plain_done(&p);
}

/* The poorer the reading, the drag's guess and the dots, the less the trims mend. */
static void test_readings_and_gives(void **state) {
    (void)state;
    Plain p;
    BlyReserve r[4];
    plain_lure(&p, -108e-6, 60e-6, 17e-6);
    BlyReserveOptions rough = {.samples = 8000, .timing_give = 3.0};
    must(bly_reserve(&p.build, &p.catalog, &p.build.fitted, &sharp, &r[0], err));
    must(bly_reserve(&p.build, &p.catalog, &p.build.fitted, &rough, &r[1], err));
    p.build.facts.drag_factor.give = 0.4;
    bly_blank_release(&p.build.blank);
    plain_make(&p.build);
    must(bly_reserve(&p.build, &p.catalog, &p.build.fitted, &sharp, &r[2], err));
    p.build.facts.drag_factor.give = 0;
    p.catalog.parts[0].mass.give = 0.5 * p.catalog.parts[0].mass.value;
    bly_blank_release(&p.build.blank);
    plain_make(&p.build);
    must(bly_reserve(&p.build, &p.catalog, &p.build.fitted, &sharp, &r[3], err));
    for (int k = 1; k < 4; k++) {
        assert_true(r[k].chance_with < r[0].chance_with - 0.02);
        assert_true(r[k].chance_with > r[0].chance_without);
    }
    plain_done(&p);
}

/* A reading's scatter is the stopwatch's: sd of v = v^2 / depth times sd of the time. */
static void test_reading(void **state) {
    (void)state;
    Plain p;
    BlyOutcome nominal[2];
    plain_lure(&p, 0, 1e-6, 17e-6);
    BlyWaterFacts waters[2] = {p.build.water, p.build.water};
    SpreadModel *model =
        spread_model_make(&p.build, &p.build.fitted, waters, 2, &p.build.target, nominal, NULL);
    assert_non_null(model);
    TankTask task;
    const BlyReserveOptions usual = {0};
    tank_task_make(model, &usual, &task);
    BlyOutcome out = {.drift = -50e-3, .nose_down = 0.2};
    double plus[2] = {1, -1}, minus[2] = {-1, 1}, none[2] = {0, 0};
    assert_close(tank_read(&task, &out, none).drift, -50e-3, 1e-12, 0);
    double sd = 50e-3 * 50e-3 / 0.6 * 0.2 / SPREAD_GIVE_SIGMA;
    double d = tank_read(&task, &out, plus).drift - tank_read(&task, &out, minus).drift;
    assert_close(d, 2 * sd, 0, 1e-3);
    assert_close(tank_read(&task, &out, plus).nose_down, 0.2 - 2 * M_PI / 180 / SPREAD_GIVE_SIGMA,
                 1e-12, 0);
    out.drift = 4e-3; /* 150 s for 60 cm: taken to hang still */
    assert_close(tank_read(&task, &out, none).drift, 0, 0, 0);
    free(model);
    plain_done(&p);
}

typedef struct Tank {
    Bench bench;
    SpreadModel *model;
    TankTask task;
    TrimList *trims;
    TrimCombos combos;
} Tank;

static void tank_open(Tank *t, const char *file) {
    BlyOutcome nominal[MODEL_WATERS_MAX];
    bench_open(&t->bench, file);
    BlyBuild *build = t->bench.build;
    BlyWaterFacts waters[MODEL_WATERS_MAX] = {build->water};
    for (size_t w = 0; w < build->target_water_count; w++)
        waters[w + 1] = build->target_waters[w];
    t->model = spread_model_make(build, &build->fitted, waters, build->target_water_count + 1,
                                 &build->target, nominal, NULL);
    assert_non_null(t->model);
    const BlyReserveOptions usual = {0};
    tank_task_make(t->model, &usual, &t->task);
    TrimTask task = {
        build, &t->bench.catalog, &build->fitted, &usual, t->task.load[0].density, 0.2e-3, 15e-6};
    t->trims = malloc(sizeof *t->trims);
    assert_non_null(t->trims);
    must(trims_list(&task, t->trims, err));
    must(trim_combos_make(t->trims, task.density, &t->combos, err));
}

static void tank_close(Tank *t) {
    trim_combos_release(&t->combos);
    free(t->trims);
    free(t->model);
    bench_close(&t->bench);
}

/* There and back: what a sharp look at a lure tells is the lure, as far as its roll arm is known.
 */
static void test_belief(void **state) {
    (void)state;
    static const char *const files[] = {"tests/spread/suspender.json", "tests/spread/sinker.json"};
    for (int k = 0; k < 2; k++) {
        Tank t;
        tank_open(&t, files[k]);
        for (int i = -3; i <= 3; i++) {
            GripLoad load = t.task.load[0];
            load.net_weight += i * 40e-6;
            load.wx += i * 0.4e-6; /* 0.4 g mm */
            GripRest rest = spread_grip_rest(&t.model->grip, &load);
            TankReading reading = {rest.drift, rest.nose_down, NAN};
            TankBelief belief;
            tank_believe(&t.task, &reading, &belief);
            assert_close(belief.load[0].net_weight, load.net_weight, 0.3e-6, 0.005);
            GripRest again = spread_grip_rest(&t.model->grip, &belief.load[0]);
            assert_close(again.nose_down, rest.nose_down, 2e-3, 0);
            assert_close(again.drift, rest.drift, 1e-4, 0.005);
        }
        tank_close(&t);
    }
}

/* Brute force: no combination of trims is better than the one chosen, unless that is good enough.
 */
static void test_best_trim(void **state) {
    (void)state;
    static const char *const files[] = {"tests/spread/suspender.json", "tests/spread/sinker.json",
                                        "tests/spread/floater.json"};
    for (int k = 0; k < 3; k++) {
        Tank t;
        tank_open(&t, files[k]);
        assert_true(t.combos.count > 100);
        for (int i = 0; i < 25; i++) {
            TankReading reading = {60e-3 * sin(3.0 * i), 0.45 + 0.2 * sin(5.0 * i), NAN};
            TankBelief belief;
            if (k == 1)
                reading.drift += 0.25;
            if (k == 2)
                reading =
                    (TankReading){-0.35, -0.05 + 0.05 * sin(2.0 * i), 0.25 + 0.1 * sin(7.0 * i)};
            tank_believe(&t.task, &reading, &belief);
            const TrimCombo *chosen = trim_choose(t.trims, &t.combos, &t.task, &belief);
            double add[ADDS], least = INFINITY, worst;
            const double none[ADDS] = {0};
            (void)tank_score(&t.task, &belief, none, &worst);
            if (worst <= 0.6) { /* well inside: let be */
                assert_true(chosen->group[0] < 0);
                continue;
            }
            trim_combo_add(t.trims, chosen, add);
            double got = tank_score(&t.task, &belief, add, NULL) + (double)chosen->cost;
            for (size_t c = 0; c < t.combos.count; c++) {
                trim_combo_add(t.trims, &t.combos.at[c], add);
                least = fmin(least,
                             tank_score(&t.task, &belief, add, NULL) + (double)t.combos.at[c].cost);
            }
            assert_true(got <= fmax(least, 0.12) + 1e-9);
        }
        tank_close(&t);
    }
}

static const TrimGroup *group_of(const TrimList *trims, BlyTrimKind kind, int seat) {
    for (size_t g = 0; g < trims->count; g++) {
        if (trims->group[g].kind == kind && trims->group[g].seat == seat)
            return &trims->group[g];
    }
    return NULL;
}

/* Each trim adds what the lure with it weighs more, by the lure room. */
static void test_trims_of_a_lure(void **state) {
    (void)state;
    Tank t;
    tank_open(&t, "tests/spread/suspender.json");
    BlyBuild *build = t.bench.build;
    int tail = bly_build_seat(build, "tail"), keel = bly_build_seat(build, "keel"),
        lip = bly_build_seat(build, "lip");
    const TrimGroup *ring = group_of(t.trims, BLY_TRIM_RING, tail),
                    *strip = group_of(t.trims, BLY_TRIM_STRIP, keel),
                    *file = group_of(t.trims, BLY_TRIM_LIP, lip);
    assert_non_null(ring);
    assert_non_null(strip);
    assert_non_null(file);
    assert_non_null(group_of(t.trims, BLY_TRIM_TURNS, tail));
    assert_null(group_of(t.trims, BLY_TRIM_DOTS, keel)); /* a strip lies there */
    BlyRig rig;
    BlyLure lure;
    double even[SUMS], other[SUMS];
    must(bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, err));
    spread_sums_of(&lure, even);
    bly_lure_release(&lure);
    must(bly_rig_copy(&rig, &build->fitted, err));
    rig.at[tail].piece[BLY_PART_RING].part = ring->part;
    rig.at[keel].length -= 3e-3;
    must(bly_lure_make(&build->blank, build->seats, &rig, &lure, err));
    spread_sums_of(&lure, other);
    const TrimOption *shorter = &strip->option[2];
    assert_int_equal(shorter->steps, -3);
    assert_close(other[SUM_M] - even[SUM_M], ring->option[0].add[ADD_M] + shorter->add[ADD_M],
                 1e-12, 0);
    assert_close(other[SUM_MX] - even[SUM_MX], ring->option[0].add[ADD_MX] + shorter->add[ADD_MX],
                 1e-13, 0);
    assert_close(other[SUM_P] - even[SUM_P], ring->option[0].add[ADD_P] + shorter->add[ADD_P],
                 1e-15, 0);
    bly_lure_release(&lure);
    bly_rig_release(&rig);
    /* A twentieth of a millimetre off brass of 1.02 mm: that share of what stands out. */
    double outer = 0;
    must(bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, err));
    for (size_t i = 0; i < lure.count; i++) {
        if (lure.items[i].seat == lip && lure.items[i].volume > 0)
            outer = lure.items[i].mass;
    }
    bly_lure_release(&lure);
    assert_close(file->option[0].add[ADD_M], -outer * 0.05e-3 / file->part->thickness, 0, 1e-9);
    /* Every heavier ring that would be nearer is refused by its sizes. */
    const BlyPart *now = build->fitted.at[tail].piece[BLY_PART_RING].part;
    assert_true(ring->part->mass.value > now->mass.value);
    tank_close(&t);
}

static void test_whole_lures(void **state) {
    (void)state;
    Bench bench;
    BlyReserve a, b;
    bench_open(&bench, "tests/spread/suspender.json");
    BlyBuild *build = bench.build;
    must(bly_reserve(build, &bench.catalog, &build->fitted, NULL, &a, err));
    must(bly_reserve(build, &bench.catalog, &build->fitted, NULL, &b, err));
    assert_true(a.chance_with == b.chance_with && a.drift[0] == b.drift[0]);
    assert_true(a.chance_with > a.chance_without + 0.3);
    assert_true(a.drift[0] < a.drift[1] && a.drift[1] < a.drift[2]);
    /* The chance without trims is the spread's. */
    BlySpread *spread = malloc(sizeof *spread);
    must(bly_spread(build, &build->fitted, build->target_waters, build->target_water_count,
                    &build->target, NULL, spread, err));
    assert_close(a.chance_without, spread->chance, 0.02, 0);
    free(spread);
    BlyReserveOptions none = {.kinds = 1u << BLY_TRIM_DOTS}; /* no patch is free */
    must(bly_reserve(build, &bench.catalog, &build->fitted, &none, &b, err));
    assert_int_equal(b.count, 0);
    assert_close(b.chance_with, b.chance_without, 0, 0);
    BlyReserveOptions open = {.only_open = true}; /* every seat is fixed */
    must(bly_reserve(build, &bench.catalog, &build->fitted, &open, &b, err));
    assert_int_equal(b.count, 0);
    BlyError err = {0};
    BlyReserveOptions few = {.samples = 10};
    assert_false(bly_reserve(build, &bench.catalog, &build->fitted, &few, &b, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    build->has_target = false;
    assert_false(bly_reserve(build, &bench.catalog, &build->fitted, NULL, &b, &err));
    assert_int_equal(err.code, BLY_E_MISSING);
    bench_close(&bench);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_closed_form),
        cmocka_unit_test(test_steps_too_large),
        cmocka_unit_test(test_readings_and_gives),
        cmocka_unit_test(test_reading),
        cmocka_unit_test(test_belief),
        cmocka_unit_test(test_best_trim),
        cmocka_unit_test(test_trims_of_a_lure),
        cmocka_unit_test(test_whole_lures),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
