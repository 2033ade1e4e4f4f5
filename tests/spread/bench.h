/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Builds for the tests of spread: read from files (all invented), or a plain spheroid whose answers
 * have closed forms. */
#ifndef BALLASTRY_TESTS_SPREAD_BENCH_H
#define BALLASTRY_TESTS_SPREAD_BENCH_H

#include "ballastry/catalog.h"
#include "lure/kit.h"
#include "spread/spread.h"

#include <gsl/gsl_errno.h>

/* 95 of 100 of a normal law: the 0.975 quantile of any table, held against GSL's in
 * test_closed_form.c. The room's own figure is not used here: it is what is tested. */
static const double bench_give_sigma = 1.959963984540054;

typedef struct Bench {
    BlyCatalog catalog;
    BlyBuild *build;
} Bench;

static inline void bench_open(Bench *bench, const char *path) {
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    char *text = malloc(1 << 16);
    assert_non_null(text);
    size_t size = fread(text, 1, 1 << 16, file);
    (void)fclose(file);
    (void)gsl_set_error_handler_off();
    must(bly_catalog_shipped(&bench->catalog, err));
    must(bly_build_read(text, size, &bench->catalog, &bench->build, err));
    free(text);
}

static inline void bench_close(Bench *bench) {
    bly_build_free(bench->build);
    bly_catalog_release(&bench->catalog);
}

/* A spheroid of 80 x 20 mm, balanced 2 mm below its middle; nothing is uncertain. Release with
 * plain_close. */
static inline void plain_open(BlyBuild *build, double density) {
    static char name[] = "plain";
    (void)gsl_set_error_handler_off();
    *build = (BlyBuild){.name = name};
    build->shape = kit_ellipsoid(0, 80e-3, 20e-3, 20e-3);
    build->facts = kit_facts(density);
    build->facts.balance.value = 40e-3;
    build->facts.balance_up.value = -2e-3;
    build->water = (BlyWaterFacts){{15.0, 0.0}, {0.0, 0.0}};
}

static inline double plain_volume(void) {
    return M_PI / 6 * 80e-3 * 20e-3 * 20e-3;
}

/* Call once the facts are as wanted. */
static inline void plain_make(BlyBuild *build) {
    must(bly_blank_make(build->shape, &build->facts, NULL, 0, NULL, NULL, &build->blank, err));
}

static inline void plain_close(BlyBuild *build) {
    bly_blank_release(&build->blank);
    bly_body_free(build->shape);
}

/* Big enough to be kept off the stack. */
static inline BlySpread *spread_of(const BlyBuild *build, const BlyTarget *target,
                                   const BlySpreadOptions *options) {
    BlySpread *spread = malloc(sizeof *spread);
    assert_non_null(spread);
    must(bly_spread(build, &build->fitted, &build->water, 1, target, options, spread, err));
    return spread;
}

#endif
