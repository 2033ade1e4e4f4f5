/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A mix as one material: laws, limits, Turner's bound on the expansion, and sampling. */
#include "support/check.h"
#include "pour/bench.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_statistics.h>

static BlyMix start(void) {
    return (BlyMix){{1050, 10},        {200, 20},      {0.40, 0.02},
                    BLY_MIX_BY_VOLUME, {70e-6, 20e-6}, {10e-6, 5e-6}};
}

static BlyFigure density(const BlyMix *mix) {
    BlyFigure d = {0};
    assert_true(bly_mix_figures(mix, &d, NULL, NULL));
    return d;
}

static BlyFigure expansion(const BlyMix *mix) {
    BlyFigure e = {0};
    assert_true(bly_mix_figures(mix, NULL, &e, NULL));
    return e;
}

/* The trade's worked figure: 41 % by volume and 12 % by mass are the same mix of 0.70. */
static void by_volume_and_by_mass_are_one_mix(void **state) {
    (void)state;
    BlyMix mix = start();
    mix.share = sure(0.35 / 0.85);
    assert_close(density(&mix).value, 700, 0, 1e-12);
    double by_volume = expansion(&mix).value;
    mix.by = BLY_MIX_BY_MASS;
    mix.share = sure(0.35 / 0.85 * 0.2 / 0.7);
    assert_close(density(&mix).value, 700, 0, 1e-12);
    assert_close(expansion(&mix).value, by_volume, 0, 1e-12);
}

static void the_ends_are_resin_and_filler(void **state) {
    (void)state;
    for (int by = BLY_MIX_BY_VOLUME; by <= BLY_MIX_BY_MASS; by++) {
        BlyMix mix = start();
        mix.by = (BlyMixBy)by;
        mix.share = sure(0);
        mix.filler_expansion = sure(NAN); /* not there, not asked for */
        assert_close(density(&mix).value, 1050, 0, 1e-12);
        assert_close(density(&mix).give, 10, 0, 1e-12);
        assert_close(expansion(&mix).value, 70e-6, 0, 1e-12);
        assert_close(expansion(&mix).give, 20e-6, 0, 1e-12);
        mix = start();
        mix.by = (BlyMixBy)by;
        mix.share = sure(1);
        assert_close(density(&mix).value, 200, 0, 1e-12);
        assert_close(expansion(&mix).value, 10e-6, 0, 1e-12);
    }
}

/* Turner 1946, J. Res. NBS 37, 239 (formula from memory): alpha = sum v K alpha / sum v K. A
 * filler half as stiff to twice as stiff lies within the give, whatever its share. */
static void give_of_expansion_covers_unlike_stiffness(void **state) {
    (void)state;
    for (int i = 1; i < 100; i++) {
        BlyMix mix = start();
        mix.share = sure(i / 100.0);
        mix.resin_expansion.give = mix.filler_expansion.give = 0;
        BlyFigure e = expansion(&mix);
        for (double stiff = 0.5; stiff <= 2; stiff += 0.25) {
            double v = mix.share.value;
            double turner = (v * stiff * 10e-6 + (1 - v) * 70e-6) / (v * stiff + 1 - v);
            assert_between(turner, e.value - e.give, e.value + e.give);
        }
        assert_true(e.value - e.give >= 10e-6 && e.value + e.give <= 70e-6);
    }
}

static void what_is_not_known_stays_unknown(void **state) {
    (void)state;
    BlyMix mix = start();
    mix.filler_expansion = sure(NAN);
    assert_true(isnan(expansion(&mix).value));
    mix = start();
    mix.resin_expansion = sure(NAN);
    assert_true(isnan(expansion(&mix).value));
}

/* First order against 100,000 draws of the volumes themselves, both ways of telling the share. */
static void gives_agree_with_sampling(void **state) {
    (void)state;
    enum { DRAWS = 100000 };
    double *rho = malloc(DRAWS * sizeof *rho), *alpha = malloc(DRAWS * sizeof *alpha);
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    assert_true(rho != NULL && alpha != NULL && rng != NULL);
    double z95 = gsl_cdf_ugaussian_Pinv(0.975);
    for (int by = BLY_MIX_BY_VOLUME; by <= BLY_MIX_BY_MASS; by++) {
        BlyMix mix = start();
        mix.by = (BlyMixBy)by;
        mix.filler_density.give = 10;
        if (by == BLY_MIX_BY_MASS)
            mix.share = (BlyFigure){0.12, 0.005};
        gsl_rng_set(rng, 7);
        for (int i = 0; i < DRAWS; i++) {
            double r = 1050 + gsl_ran_gaussian(rng, 10 / z95);
            double f = 200 + gsl_ran_gaussian(rng, 10 / z95);
            double s = mix.share.value + gsl_ran_gaussian(rng, mix.share.give / z95);
            double solid = by == BLY_MIX_BY_MASS ? s / f : s; /* volumes in some batch */
            double liquid = by == BLY_MIX_BY_MASS ? (1 - s) / r : 1 - s;
            rho[i] = (solid * f + liquid * r) / (solid + liquid);
            double ar = 70e-6 + gsl_ran_gaussian(rng, 20e-6 / z95);
            double af = 10e-6 + gsl_ran_gaussian(rng, 5e-6 / z95);
            alpha[i] = (solid * af + liquid * ar) / (solid + liquid);
        }
        assert_close(density(&mix).give, z95 * gsl_stats_sd(rho, 1, DRAWS), 0, 0.02);
        BlyFigure e = expansion(&mix);
        mix.resin_expansion.give = mix.filler_expansion.give = mix.share.give = 0;
        mix.resin_density.give = mix.filler_density.give = 0;
        double model = expansion(&mix).give; /* what is left is the unlike stiffness */
        assert_close(sqrt(e.give * e.give - model * model), z95 * gsl_stats_sd(alpha, 1, DRAWS), 0,
                     0.02);
    }
    gsl_rng_free(rng);
    free(rho);
    free(alpha);
}

/* By mass, the share by volume hangs on the densities: a filler twice as dense takes half the
 * room. Against the slope of the definition by a small step, one density at a time. */
static void expansion_by_mass_feels_the_densities(void **state) {
    (void)state;
    for (int which = 0; which < 2; which++) {
        BlyMix mix = start();
        mix.by = BLY_MIX_BY_MASS;
        mix.share = sure(0.12);
        mix.resin_expansion.give = mix.filler_expansion.give = 0;
        mix.resin_density.give = mix.filler_density.give = 0;
        double model = expansion(&mix).give, before = expansion(&mix).value;
        BlyFigure *moved = which ? &mix.filler_density : &mix.resin_density;
        BlyMix other = mix;
        (which ? &other.filler_density : &other.resin_density)->value *= 1 + 1e-6;
        double slope = (expansion(&other).value - before) / (1e-6 * moved->value);
        moved->give = 0.1 * moved->value;
        double give = expansion(&mix).give;
        assert_close(sqrt(give * give - model * model), fabs(slope) * moved->give, 0, 1e-4);
    }
}

static void expect(const BlyMix *mix, const char *where) {
    BlyError err = {0};
    BlyFigure d = {-1, -1};
    assert_false(bly_mix_figures(mix, &d, NULL, &err));
    assert_int_equal(err.code, BLY_E_RANGE);
    assert_string_equal(err.where, where);
    assert_close(d.value, -1, 0, 0);
}

static void bad_figures_are_named(void **state) {
    (void)state;
    const double bad[] = {NAN, INFINITY, -INFINITY, -1};
    for (int i = 0; i < 4; i++) {
        BlyMix mix = start();
        mix.resin_density.value = bad[i];
        expect(&mix, "/resin/density");
        mix = start();
        mix.filler_density.value = bad[i];
        expect(&mix, "/filler/density");
        mix = start();
        mix.share.value = bad[i];
        expect(&mix, "/share");
        mix = start();
        mix.share.give = bad[i];
        expect(&mix, "/share");
        mix = start();
        mix.resin_expansion.value = isnan(bad[i]) ? 1 : bad[i];
        expect(&mix, "/resin/expansion");
        mix = start();
        mix.filler_expansion.give = bad[i];
        expect(&mix, "/filler/expansion");
    }
    BlyMix mix = start();
    mix.share.value = 1.01;
    expect(&mix, "/share");
    assert_true(isnan(bly_mix_share(1000, 1000, 900)));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(by_volume_and_by_mass_are_one_mix),
        cmocka_unit_test(the_ends_are_resin_and_filler),
        cmocka_unit_test(give_of_expansion_covers_unlike_stiffness),
        cmocka_unit_test(what_is_not_known_stays_unknown),
        cmocka_unit_test(gives_agree_with_sampling),
        cmocka_unit_test(expansion_by_mass_feels_the_densities),
        cmocka_unit_test(bad_figures_are_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
