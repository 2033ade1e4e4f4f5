/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The trim reserve. A spheroid with dots at its belly and nothing else uncertain but its density
 * has chances in closed form; the search for trims is compared with trying them all. Dots, rings
 * and wire of the lures are invented or the catalog's. */
#include "spread/bench.h"
#include "trim/reserve.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_math.h>

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
    p->build.facts.density.give = bench_give_sigma * sigma / v;
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
        assert_close(r.chance[0], share(&p, mean[k], -p.half, p.half), 0.006, 0);
        assert_close(r.chance[1], share(&p, mean[k], -p.half - 12 * p.step, p.half), 0.02, 0);
        assert_int_equal(r.count, 1);
        assert_int_equal(r.trims[0].kind, BLY_TRIM_DOTS);
        assert_close(r.trims[0].net_weight, p.step, 0, 1e-6);
        assert_int_equal(r.trims[0].most, 12);
        assert_true(r.trims[0].low >= 1 && r.trims[0].high <= 12);
        with[k] = r.chance[1];
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
    assert_close(r.chance[1], sum, 0.015, 0);
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
        assert_true(r[k].chance[1] < r[0].chance[1] - 0.02);
        assert_true(r[k].chance[1] > r[0].chance[0]);
    }
    plain_done(&p);
}

/* A reading's scatter is that of a stopwatch over a tape, as the room tank has it. */
static void test_reading(void **state) {
    (void)state;
    Plain p;
    BlyOutcome nominal[2];
    plain_lure(&p, 0, 1e-6, 17e-6);
    BlyWaterFacts waters[2] = {p.build.water, p.build.water};
    QuickLure *quick =
        quick_lure_make(&p.build, &p.build.fitted, waters, 2, &p.build.target, nominal, NULL);
    assert_non_null(quick);
    PlannedTest task;
    const BlyReserveOptions usual = {0};
    planned_make(quick, &usual, BLY_TOOLS_USUAL | 1u << BLY_TOOL_THREAD, &task);
    BlyOutcome out = {.drift = -50e-3, .nose_down = 0.2, .sums.net_weight = -80e-6};
    double plus[4] = {1, -1, 1, 0}, minus[4] = {-1, 1, -1, 0}, none[4] = {0};
    assert_close(planned_read(&task, &out, none).drift, -50e-3, 1e-12, 0);
    /* 0.2 s of 12, 5 mm of 600 and half a millimetre a second, as squares. */
    double give = hypot(50e-3 * hypot(0.2 / 12, 5.0 / 600), 0.5e-3);
    double d = planned_read(&task, &out, plus).drift - planned_read(&task, &out, minus).drift;
    assert_close(d, 2 * give / bench_give_sigma, 0, 1e-9);
    assert_close(planned_read(&task, &out, plus).nose_down, 0.2 - 2 * M_PI / 180 / bench_give_sigma,
                 1e-12, 0);
    assert_close(planned_read(&task, &out, plus).in_water, -80e-6 + 20e-6 / bench_give_sigma, 1e-12,
                 0);
    out.drift = 4e-3; /* 150 s for 60 cm: taken to hang still */
    assert_close(planned_read(&task, &out, none).drift, 0, 0, 0);
    /* A row of known weights, 4 mg apart: hung on what rises, and on nothing that sinks. */
    out.sums.net_weight = -79e-6;
    planned_make(quick, &usual, 1u << BLY_TOOL_WEIGHTS, &task);
    assert_close(planned_read(&task, &out, none).in_water, -78e-6, 1e-12, 0);
    out.sums.net_weight = 80e-6;
    assert_true(isnan(planned_read(&task, &out, none).in_water));
    assert_true(isnan(planned_read(&task, &out, none).drift));
    free(quick);
    plain_done(&p);
}

typedef struct Tank {
    Bench bench;
    QuickLure *quick;
    PlannedTest task;
    TrimList *trims;
    TrimChooser chooser;
} Tank;

static void tank_open(Tank *t, const char *file) {
    BlyOutcome nominal[QUICK_WATERS_MAX];
    bench_open(&t->bench, file);
    BlyBuild *build = t->bench.build;
    BlyWaterFacts waters[QUICK_WATERS_MAX] = {build->water};
    for (size_t w = 0; w < build->target_water_count; w++)
        waters[w + 1] = build->target_waters[w];
    t->quick = quick_lure_make(build, &build->fitted, waters, build->target_water_count + 1,
                               &build->target, nominal, NULL);
    assert_non_null(t->quick);
    const BlyReserveOptions usual = {0};
    planned_make(t->quick, &usual, BLY_TOOLS_USUAL, &t->task);
    TrimTask task = {
        build, &t->bench.catalog, &build->fitted, &usual, t->task.load[0].density, 0.2e-3, 15e-6,
        NULL};
    t->trims = malloc(sizeof *t->trims);
    assert_non_null(t->trims);
    must(trims_list(&task, t->trims, err));
    must(trim_chooser_make(&t->task, t->trims, &t->chooser, err));
}

static void tank_close(Tank *t) {
    trim_chooser_release(&t->chooser);
    free(t->trims);
    free(t->quick);
    bench_close(&t->bench);
}

/* There and back: what a sharp look at a lure tells is the lure, as far as its drag, couple and
 * roll arm are known. */
static void test_belief(void **state) {
    (void)state;
    static const char *const files[] = {"tests/spread/suspender.json", "tests/spread/sinker.json"};
    for (int k = 0; k < 2; k++) {
        Tank t;
        tank_open(&t, files[k]);
        t.task.angle_sigma = 1e-5;
        for (int i = -3; i <= 3; i++) {
            GripLoad load = t.task.load[0];
            load.net_weight += i * 40e-6;
            load.wx += i * 0.4e-6; /* 0.4 g mm */
            GripRest rest = quick_grip_rest(&t.quick->grip, &load);
            PlannedReading reading = {.drift = rest.drift,
                                      .drift_sigma = 1e-6,
                                      .nose_down = rest.nose_down,
                                      .shows = NAN,
                                      .in_water = NAN};
            Belief belief = t.task.prior;
            for (size_t a = 0; a < belief.count; a++) {
                for (int b = BELIEF_Z; b <= BELIEF_MUNK; b++)
                    belief.cov[a][b] = belief.cov[b][a] = 0;
            }
            planned_learn(&t.task, &reading, &belief);
            GripLoad seen = planned_load(&t.task, &belief, 0);
            assert_close(seen.net_weight, load.net_weight, 0.3e-6, 0.005);
            GripRest again = quick_grip_rest(&t.quick->grip, &seen);
            assert_close(again.nose_down, rest.nose_down, 2e-3, 0);
            assert_close(again.drift, rest.drift, 1e-4, 0.005);
        }
        tank_close(&t);
    }
}

/* Bayes' rule for normal laws in closed form: of a sum of two one reading, then another of one of
 * them alone. */
static void test_bayes(void **state) {
    (void)state;
    Belief b = {.count = 2, .mean = {10, 20}};
    b.cov[0][0] = 4;
    b.cov[1][1] = 9;
    double sum[BELIEF_STATES] = {1, 1}, first[BELIEF_STATES] = {1, 0};
    belief_learn(&b, sum, 30 - 36.0, 1); /* 36 is read where 30 was expected */
    assert_close(b.mean[0], 10 + 6 * 4 / 14.0, 1e-12, 0);
    assert_close(b.mean[1], 20 + 6 * 9 / 14.0, 1e-12, 0);
    assert_close(b.cov[0][0], 4 - 16 / 14.0, 1e-12, 0);
    assert_close(b.cov[0][1], -36 / 14.0, 1e-12, 0);
    assert_close(belief_variance(&b, sum), 13.0 / 14, 1e-12, 0);
    double v = b.cov[0][0], rest = 9 - 81 / 14.0 - gsl_pow_2(36 / 14.0) / v;
    belief_learn(&b, first, 0, 0); /* and is what was believed, for sure */
    assert_close(b.cov[0][0], 0, 1e-12, 0);
    assert_close(b.cov[1][1], rest, 1e-12, 0);
    double change[BELIEF_STATES] = {2, 0};
    belief_move(&b, change, 0.01);
    assert_close(b.cov[0][0], 0.04, 1e-12, 0);
}

/* What a mix does to the places, its cost and its score. */
static double score_of(const Tank *t, const Outlook *outlook, const TrimMoves *moves) {
    double by[OUTLOOK_PLACES] = {0}, variance[OUTLOOK_PLACES] = {0}, cost = 0;
    for (int i = 0; i < moves->count; i++) {
        const TrimGroup *group = &t->trims->group[moves->move[i].group];
        int option = moves->move[i].option;
        double one[OUTLOOK_PLACES], change[BELIEF_STATES];
        double own = group->option[option].give_share;
        double share = (own > 0 ? own : group->give_share) / BLY_SIGMAS_95;
        outlook_change(&t->task, &group->option[option].add, change);
        outlook_move(outlook, change, one);
        double cut = 1 + moves->move[i].more / group->option[option].add.m;
        for (int k = 0; k < OUTLOOK_PLACES; k++) {
            by[k] += cut * one[k];
            variance[k] += share * share * one[k] * one[k];
        }
        cost += 0.01 + 0.0005 * abs(group->option[option].steps);
    }
    return cost + outlook_score(outlook, by, variance);
}

/* Brute force over every mix of two and the chosen look at three. */
static double best_of_two(const Tank *t, const Outlook *outlook) {
    TrimMoves moves = {.count = 0};
    double least = score_of(t, outlook, &moves);
    for (size_t g = 0; g < t->trims->count; g++) {
        for (size_t i = 0; i < t->trims->group[g].count; i++) {
            moves = (TrimMoves){{{(short)g, (short)i, 0}}, 1};
            least = fmin(least, score_of(t, outlook, &moves));
            bool hook = t->trims->group[g].option[i].things > 1;
            for (size_t h = g + 1; h < t->trims->count && !hook; h++) {
                for (size_t k = 0; k < t->trims->group[h].count; k++) {
                    if (t->trims->group[h].option[k].things > 1)
                        continue;
                    moves = (TrimMoves){{{(short)g, (short)i, 0}, {(short)h, (short)k, 0}}, 2};
                    least = fmin(least, score_of(t, outlook, &moves));
                }
            }
        }
    }
    return least;
}

/* No single trim and no pair is better than what is chosen. */
static void test_best_trim(void **state) {
    (void)state;
    static const char *const files[] = {"tests/spread/suspender.json", "tests/spread/sinker.json",
                                        "tests/spread/floater.json"};
    for (int k = 0; k < 3; k++) {
        Tank t;
        tank_open(&t, files[k]);
        for (int i = 0; i < 12; i++) {
            PlannedReading reading = {.drift = 60e-3 * sin(3.0 * i),
                                      .nose_down = 0.45 + 0.2 * sin(5.0 * i),
                                      .shows = NAN,
                                      .in_water = NAN};
            reading.drift_sigma = 1e-3;
            if (k == 1)
                reading.drift += 0.25;
            if (k == 2) {
                reading.drift = -0.35;
                reading.nose_down = -0.05 + 0.05 * sin(2.0 * i);
                reading.shows = 0.25 + 0.1 * sin(7.0 * i);
                reading.afloat = true;
            }
            Belief belief = t.task.prior;
            Outlook outlook;
            TrimState bare;
            trim_state_begin(&bare);
            planned_learn(&t.task, &reading, &belief);
            outlook_make(&t.task, &belief, &outlook);
            TrimMoves chosen = trim_choose(&t.chooser, &bare, &outlook);
            assert_true(score_of(&t, &outlook, &chosen) <= best_of_two(&t, &outlook) + 0.02);
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

/* A hundredth of a millimetre off the back, where the edge is let be: that share of what stands
 * out, known by a gauge to 0.05 mm or by two readings of a scale, 14 mg. */
static void assert_ground(const Tank *t, int lip) {
    const BlyBuild *build = t->bench.build;
    const BlyReserveOptions back = {.kinds = 1u << BLY_TRIM_LIP};
    const TrimTask task = {
        build, &t->bench.catalog, &build->fitted, &back, t->task.load[0].density, 0.2e-3, 15e-6,
        NULL};
    TrimList *trims = malloc(sizeof *trims);
    assert_non_null(trims);
    must(trims_list(&task, trims, err));
    const TrimGroup *file = group_of(trims, BLY_TRIM_LIP, lip);
    assert_non_null(file);
    double outer = 0;
    BlyLure lure;
    must(bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, err));
    for (size_t i = 0; i < lure.count; i++) {
        if (lure.items[i].seat == lip && lure.items[i].volume > 0)
            outer = lure.items[i].mass;
    }
    bly_lure_release(&lure);
    assert_close(file->option[0].add.m, -outer * 0.01e-3 / file->part->thickness, 0, 1e-9);
    assert_close(file->option[1].give_share, fmin(2.5, 14e-6 / fabs(file->option[1].add.m)), 1e-12,
                 0);
    free(trims);
}

/* What could be trimmed if nothing lay over it; free. */
static TrimList *uncoated(const Tank *t) {
    BlyBuild *build = t->bench.build;
    const BlyReserveOptions usual = {0};
    const TrimTask task = {
        build, &t->bench.catalog, &build->fitted, &usual, t->task.load[0].density, 0.2e-3, 15e-6,
        NULL};
    TrimList *trims = malloc(sizeof *trims);
    size_t coats = build->coat_count;
    assert_non_null(trims);
    build->coat_count = 0;
    must(trims_list(&task, trims, err));
    build->coat_count = coats;
    return trims;
}

/* Wire on a hook that takes another's place is half a turn at least, as on one that stays: less
 * does not hold on a shank (common practice, no source). The bare hook is listed before it. */
static void assert_holds(const Tank *t, int seat) {
    const TrimGroup *hooks = group_of(t->trims, BLY_TRIM_HOOK, seat), *turns = NULL;
    double bare = NAN, least = INFINITY;
    for (size_t g = 0; g < t->trims->count; g++) {
        if (t->trims->group[g].kind == BLY_TRIM_TURNS && t->trims->group[g].seat == seat)
            turns = &t->trims->group[g];
    }
    assert_true(hooks != NULL && turns != NULL);
    for (size_t i = 0; i < hooks->count; i++) {
        const TrimOption *option = &hooks->option[i];
        double turn = bly_wire_turn_mass(turns->part, option->other);
        if (option->by_scale)
            least = fmin(least, (option->add.m - bare) / turn);
        else
            bare = option->add.m;
    }
    print_message("least wire on another hook: %.2f turn\n", least);
    assert_true(least >= 0.5 - 1e-9 && least < 1);
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
                    *edge = group_of(t.trims, BLY_TRIM_EDGE, lip);
    assert_non_null(ring);
    assert_null(group_of(t.trims, BLY_TRIM_STRIP, keel)); /* it lies under the coat */
    TrimList *bare = uncoated(&t);
    const TrimGroup *strip = group_of(bare, BLY_TRIM_STRIP, keel);
    assert_non_null(strip);
    assert_non_null(edge);
    assert_null(group_of(t.trims, BLY_TRIM_LIP, lip)); /* edges before faces */
    assert_non_null(group_of(t.trims, BLY_TRIM_TURNS, tail));
    assert_null(group_of(t.trims, BLY_TRIM_DOTS, keel)); /* a strip lies there */
    BlyRig rig;
    BlyLure lure;
    double even[SUMS], other[SUMS];
    must(bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, err));
    quick_sums_of(&lure, even);
    bly_lure_release(&lure);
    must(bly_rig_copy(&rig, &build->fitted, err));
    rig.at[tail].of[BLY_PART_RING].part = ring->part;
    rig.at[keel].length -= 3e-3;
    must(bly_lure_make(&build->blank, build->seats, &rig, &lure, err));
    quick_sums_of(&lure, other);
    const TrimOption *shorter = &strip->option[2];
    assert_int_equal(shorter->steps, -3);
    assert_close(other[SUM_M] - even[SUM_M], ring->option[0].add.m + shorter->add.m, 1e-12, 0);
    assert_close(other[SUM_MX] - even[SUM_MX], ring->option[0].add.mx + shorter->add.mx, 1e-13, 0);
    assert_close(other[SUM_P] - even[SUM_P], ring->option[0].add.v + shorter->add.v, 1e-15, 0);
    bly_lure_release(&lure);
    bly_rig_release(&rig);
    /* Half a millimetre off the edge: the lure room's lip that is so much shorter. */
    must(bly_rig_copy(&rig, &build->fitted, err));
    rig.at[lip].length -= 0.5e-3;
    must(bly_lure_make(&build->blank, build->seats, &rig, &lure, err));
    quick_sums_of(&lure, other);
    assert_int_equal(edge->option[0].steps, -1);
    assert_close(edge->option[0].add.m, other[SUM_M] - even[SUM_M], 1e-12, 0);
    assert_close(edge->option[0].add.vx, other[SUM_PX] - even[SUM_PX], 1e-15, 0);
    bly_lure_release(&lure);
    bly_rig_release(&rig);
    assert_ground(&t, lip);
    assert_holds(&t, tail);
    /* Every heavier ring that would be nearer is refused by its sizes. */
    const BlyPart *now = build->fitted.at[tail].of[BLY_PART_RING].part;
    assert_true(ring->part->mass.value > now->mass.value);
    free(bare);
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
    assert_true(a.chance[1] == b.chance[1] && a.drift[0] == b.drift[0]);
    assert_true(a.chance[1] > a.chance[0] + 0.3);
    assert_true(a.drift[0] < a.drift[1] && a.drift[1] < a.drift[2]);
    /* The chance without trims is the spread's. */
    BlySpread *spread = malloc(sizeof *spread);
    must(bly_spread(build, &build->fitted, build->target_waters, build->target_water_count,
                    &build->target, NULL, spread, err));
    assert_close(a.chance[0], spread->chance, 0.02, 0);
    free(spread);
    BlyReserveOptions none = {.kinds = 1u << BLY_TRIM_DOTS}; /* no patch is free */
    must(bly_reserve(build, &bench.catalog, &build->fitted, &none, &b, err));
    assert_int_equal(b.count, 0);
    assert_close(b.chance[1], b.chance[0], 0, 0);
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
        cmocka_unit_test(test_bayes),
        cmocka_unit_test(test_best_trim),
        cmocka_unit_test(test_trims_of_a_lure),
        cmocka_unit_test(test_whole_lures),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
