/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The build with its figures set: against the build itself, and density times volume. Tied numbers:
 * against the correlations that they are given. Builds invented. */
#include "spread/bench.h"
#include "uncertain/uncertain.h"

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_statistics.h>

static const char *const files[] = {"tests/spread/suspender.json", "tests/spread/floater.json",
                                    "examples/glued-blank.json"};
enum { FILES = sizeof files / sizeof files[0] };

typedef struct Whole {
    Bench bench;
    BlyInput in[BLY_INPUTS_MAX];
    UncertainCase set;
} Whole;

static void whole_open(Whole *w, const char *file) {
    size_t count = 0;
    bench_open(&w->bench, file);
    BlyBuild *build = w->bench.build;
    must(bly_inputs_list(build, &build->fitted, &build->water, w->in, &count, err));
    w->set = (UncertainCase){build, &build->fitted, w->in, count, &build->blank};
}

/* Nothing moved: the build's own lure, item by item. */
static void nothing_moved(void **state) {
    (void)state;
    const double zero[BLY_INPUTS_MAX] = {0};
    for (int k = 0; k < FILES; k++) {
        Whole w;
        MovedLure moved;
        BlyLure own;
        whole_open(&w, files[k]);
        const BlyBuild *build = w.bench.build;
        must(moved_lure_make(&w.set, zero, &moved, err));
        must(bly_lure_make(&build->blank, build->seats, &build->fitted, &own, err));
        assert_int_equal(moved.lure.count, own.count);
        for (size_t i = 0; i < own.count; i++) {
            const BlyItem *a = &moved.lure.items[i], *b = &own.items[i];
            assert_close(a->mass, b->mass, 1e-15, 1e-12);
            assert_close(a->volume, b->volume, 1e-18, 1e-12);
            assert_close(bly_vec_norm(bly_vec_sub(a->at, b->at)), 0, 1e-12, 0);
        }
        bly_lure_release(&own);
        moved_lure_release(&moved);
        bench_close(&w.bench);
    }
}

/* What the copy holds of an input of the build; NAN: it is of a part, a seat or the water. */
static double held(const MovedBuild *moved, const BlyInput *input) {
    const BlyBodyFacts *facts = &moved->facts;
    switch (input->kind) {
    case BLY_IN_BODY_DENSITY:
        return facts->density.value;
    case BLY_IN_BODY_MASS:
        return facts->mass.value;
    case BLY_IN_VOLUME:
        return facts->volume_share.value;
    case BLY_IN_BALANCE:
        return facts->balance.value;
    case BLY_IN_BALANCE_UP:
        return facts->balance_up.value;
    case BLY_IN_SOAK:
        return facts->soak.value;
    case BLY_IN_EXPANSION:
        return facts->expansion.value;
    case BLY_IN_DRAG:
        return facts->drag_factor.value;
    case BLY_IN_MUNK:
        return facts->munk_factor.value;
    case BLY_IN_COAT_THICKNESS:
        return moved->coats[input->index].thickness.value;
    case BLY_IN_COAT_DENSITY:
        return moved->coats[input->index].density.value;
    case BLY_IN_INSET_DENSITY:
        return facts->insets[input->index].density.value;
    case BLY_IN_INSET_MASS:
        return facts->insets[input->index].mass.value;
    default:
        return NAN;
    }
}

/* Each figure set moves itself, no other, and nothing of the build. */
static void one_at_a_time(void **state) {
    (void)state;
    for (int k = 0; k < FILES; k++) {
        Whole w;
        MovedBuild moved;
        size_t set = 0;
        whole_open(&w, files[k]);
        must(moved_begin(w.bench.build, &w.bench.build->fitted, &moved, err));
        for (size_t i = 0; i < w.set.input_count; i++) {
            const BlyInput *input = &w.in[i];
            if (isnan(held(&moved, input)))
                continue;
            moved_set(&moved, input->kind, input->index, input->value + input->give);
            for (size_t j = 0; j < w.set.input_count; j++) {
                double want = w.in[j].value + (i == j ? input->give : 0.0);
                if (!isnan(held(&moved, &w.in[j])))
                    assert_close(held(&moved, &w.in[j]), want, 0, 1e-15);
            }
            moved_set(&moved, input->kind, input->index, input->value);
            set++;
        }
        assert_true(set >= 6);
        moved_end(&moved);
        size_t again = 0;
        BlyInput as_before[BLY_INPUTS_MAX];
        const BlyBuild *build = w.bench.build;
        must(bly_inputs_list(build, &build->fitted, &build->water, as_before, &again, err));
        assert_int_equal(again, w.set.input_count);
        for (size_t i = 0; i < again; i++)
            assert_true(as_before[i].value == w.in[i].value);
        bench_close(&w.bench);
    }
}

static double coats_weigh(const BlyLure *lure) {
    double mass = 0;
    for (size_t i = 0; i < lure->count; i++)
        mass += lure->items[i].kind == BLY_ITEM_COAT ? lure->items[i].mass : 0.0;
    return mass;
}

/* Mass is density times volume: a coat denser by a share weighs more by that share. */
static void denser_coat(void **state) {
    (void)state;
    Whole w;
    whole_open(&w, files[0]);
    bool looked = false;
    for (size_t i = 0; i < w.set.input_count; i++) {
        double u[BLY_INPUTS_MAX] = {0}, zero[BLY_INPUTS_MAX] = {0};
        MovedLure even, dense;
        if (w.in[i].kind != BLY_IN_COAT_DENSITY || w.bench.build->coat_count != 1)
            continue;
        u[i] = 2;
        must(moved_lure_make(&w.set, zero, &even, err));
        must(moved_lure_make(&w.set, u, &dense, err));
        double share = 2 * w.in[i].give / bench_give_sigma / w.in[i].value;
        assert_close(coats_weigh(&dense.lure) / coats_weigh(&even.lure), 1 + share, 1e-12, 0);
        moved_lure_release(&even);
        moved_lure_release(&dense);
        looked = true;
    }
    assert_true(looked);
    bench_close(&w.bench);
}

/* 20,000 tied numbers have the correlations that the build gives, each still of mean 0 and spread
 * 1: within 5 standard errors. An input that the ties do not name stays by itself. */
static void tied_numbers(void **state) {
    (void)state;
    enum { COUNT = 20000, INPUTS = 3 };
    static const double r = 0.8;
    char mass[] = "/body/mass", drag[] = "/learnt/drag_factor", *tied[] = {mass, drag};
    double tie[] = {1, r, r, 1}, factor[INPUTS * INPUTS];
    static double u[INPUTS][COUNT];
    BlyBuild build = {.tied = tied, .tied_count = 2, .tie = tie};
    const BlyInput in[INPUTS] = {{.kind = BLY_IN_BODY_MASS, .id = ""},
                                 {.kind = BLY_IN_MUNK, .id = ""},
                                 {.kind = BLY_IN_DRAG, .id = ""}};
    bool any = false;
    (void)gsl_set_error_handler_off();
    must(uncertain_ties(&build, in, INPUTS, factor, &any, err));
    assert_true(any);
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    assert_non_null(random);
    for (int i = 0; i < COUNT; i++) {
        double one[INPUTS];
        for (int k = 0; k < INPUTS; k++)
            one[k] = gsl_ran_gaussian(random, 1.0);
        uncertain_tie(factor, INPUTS, one);
        for (int k = 0; k < INPUTS; k++)
            u[k][i] = one[k];
    }
    gsl_rng_free(random);
    double error = 5 / sqrt(COUNT);
    assert_close(gsl_stats_correlation(u[0], 1, u[2], 1, COUNT), r, error * (1 - r * r), 0);
    assert_close(gsl_stats_correlation(u[0], 1, u[1], 1, COUNT), 0, error, 0);
    assert_close(gsl_stats_correlation(u[1], 1, u[2], 1, COUNT), 0, error, 0);
    for (int k = 0; k < INPUTS; k++) {
        assert_close(gsl_stats_mean(u[k], 1, COUNT), 0, error, 0);
        assert_close(gsl_stats_sd(u[k], 1, COUNT), 1, error, 0);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_moved),
        cmocka_unit_test(one_at_a_time),
        cmocka_unit_test(denser_coat),
        cmocka_unit_test(tied_numbers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
