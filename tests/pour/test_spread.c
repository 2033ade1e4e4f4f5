/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The blank's range against sampling with GSL: each input drawn from a normal law whose 95 % lies
 * within its give, the blank worked out anew by formulas written here, not by the room's. */
#include "support/check.h"
#include "pour/bench.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_statistics.h>

enum { DRAWS = 200000 };

typedef struct Truth {
    BlyPour pour;
    double resin_mass, filler_mass; /* weighed out, stirred recipes */
} Truth;

typedef struct Drawn {
    double mass, density;
} Drawn;

static double draw(gsl_rng *rng, BlyFigure f) {
    double z95 = gsl_cdf_ugaussian_Pinv(0.975);
    return f.value + gsl_ran_gaussian(rng, f.give / z95);
}

/* Cured resin of two parts whose masses, not densities, the scale fixes. */
static double draw_cured(gsl_rng *rng, const BlyResin *r, double by_weight) {
    if (!isnan(r->cured_density.value))
        return draw(rng, r->cured_density);
    double a = draw(rng, r->a_density), b = draw(rng, r->b_density);
    double liquid_volume = by_weight / a + 1 / b; /* of by_weight + 1 kg */
    return (by_weight + 1) / (liquid_volume * (1 - draw(rng, r->shrinkage)));
}

static double draw_solid(gsl_rng *rng, const Truth *t, double room, double filler, double cured) {
    const BlyFiller *f = &t->pour.filler;
    if (f->stirred) {
        double solid = t->filler_mass / filler, liquid = t->resin_mass / cured;
        return room * solid / (solid + liquid);
    }
    if (!isnan(f->packed.value))
        return room * draw(rng, f->packed);
    if (!isnan(f->mass.value))
        return draw(rng, f->mass) / filler;
    double gap = draw(rng, f->gap_water) / 998.2067; /* 20 C, Tanaka 2001, Table 1 */
    if (isnan(f->gap_vessel.value))
        return room - gap;
    return room * (1 - gap / draw(rng, f->gap_vessel));
}

static Drawn draw_blank(gsl_rng *rng, const Truth *t, double by_weight) {
    const BlyPour *p = &t->pour;
    double mould = draw(rng, p->mould.volume), pieces = 0, pieces_mass = 0;
    for (size_t i = 0; i < p->mould.piece_count; i++) {
        pieces += draw(rng, p->mould.pieces[i].volume);
        pieces_mass += draw(rng, p->mould.pieces[i].mass);
    }
    double filler = draw(rng, p->filler.density);
    double cured = draw_cured(rng, &p->resin, by_weight);
    double room = p->mould.pieces_inside ? mould : mould - pieces;
    double solid = draw_solid(rng, t, room, filler, cured);
    double mass = pieces_mass + solid * filler + (room - solid) * cured;
    return (Drawn){mass, mass / (room + pieces)};
}

/* 95 % half-widths by sampling agree with the plan's within `rel`; sampling error of a standard
 * deviation from DRAWS draws is 1/sqrt(2 DRAWS) = 0.16 %. */
static void compare(const BlyPour *pour, double rel) {
    Truth truth = {.pour = *pour};
    BlyPourPlan plan = {0};
    BlyError err = {0};
    if (!bly_pour_plan(pour, &plan, &err))
        fail_msg("%s: %s", err.where, err.text);
    truth.resin_mass = plan.a.mass + plan.b.mass;
    truth.filler_mass = plan.filler.mass;
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    double *mass = malloc(DRAWS * sizeof *mass), *density = malloc(DRAWS * sizeof *density);
    assert_true(rng != NULL && mass != NULL && density != NULL);
    gsl_rng_set(rng, 20);
    int inside = 0;
    for (int i = 0; i < DRAWS; i++) {
        Drawn d = draw_blank(rng, &truth, plan.by_weight);
        mass[i] = d.mass;
        density[i] = d.density;
        inside += fabs(d.density - plan.density.value) <= plan.density.give;
    }
    double z95 = gsl_cdf_ugaussian_Pinv(0.975);
    assert_close(plan.density.give, z95 * gsl_stats_sd(density, 1, DRAWS), 0, rel);
    assert_close(plan.mass.give, z95 * gsl_stats_sd(mass, 1, DRAWS), 0, rel);
    assert_close(plan.density.value, gsl_stats_mean(density, 1, DRAWS), 0.02 * plan.density.give,
                 0);
    assert_close((double)inside / DRAWS, 0.95, 0.005, 0);
    double sum = 0;
    for (int i = 0; i < BLY_POUR_INPUTS; i++)
        sum += plan.influence[i];
    assert_close(sum, 1, 1e-9, 0);
    assert_false(plan.notes & BLY_POUR_ROUGH);
    free(mass);
    free(density);
    gsl_rng_free(rng);
}

static BlyPour start(void) {
    BlyPour pour = packed_pour(60, 200, NAN);
    pour.mould.volume.give = 0.6 * ML;
    pour.filler.density.give = 20;
    pour.resin.a_density.give = 15;
    pour.resin.b_density.give = 20;
    pour.resin.shrinkage = (BlyFigure){0.02, 0.01};
    return pour;
}

static void packed_share_with_pieces(void **state) {
    (void)state;
    const BlyEmbedded pieces[] = {{{0.004, 0.0001}, {5 * ML, 0.2 * ML}},
                                  {{0.009, 0.0002}, {3 * ML, 0.1 * ML}}};
    BlyPour pour = start();
    pour.filler.packed = (BlyFigure){0.595, 0.045};
    pour.mould.pieces = pieces;
    pour.mould.piece_count = 2;
    compare(&pour, 0.01);
    pour.mould.pieces_inside = true;
    compare(&pour, 0.01);
}

static void gap_water_in_mould_and_in_cup(void **state) {
    (void)state;
    BlyPour pour = start();
    pour.filler.gap_water = (BlyFigure){0.025, 0.0005};
    compare(&pour, 0.01);
    pour.filler.gap_water = (BlyFigure){0.042, 0.0005};
    pour.filler.gap_vessel = (BlyFigure){100 * ML, 1 * ML};
    compare(&pour, 0.01);
}

static void mass_of_filler_with_a_cured_density(void **state) {
    (void)state;
    BlyPour pour = start();
    pour.filler.mass = (BlyFigure){0.0070, 0.0001};
    pour.filler.density.give = 10;
    pour.resin.shrinkage = sure(NAN);
    pour.resin.cured_density = (BlyFigure){1070, 15};
    compare(&pour, 0.02); /* the filler's volume bends with its density */
}

/* Stirred: what is weighed stays, so a filler lighter than thought takes more room. */
static void stirred_to_a_target(void **state) {
    (void)state;
    BlyPour pour = start();
    pour.filler.stirred = true;
    pour.filler.target = 750;
    pour.filler.density.give = 10;
    compare(&pour, 0.02);
}

/* One input at a time, in closed form: packed share p of filler f in resin r, density
 * p f + (1 - p) r, slopes p, 1 - p and f - r. */
static void influence_is_the_share_of_variance(void **state) {
    (void)state;
    BlyPour pour = packed_pour(60, 200, 0.6);
    pour.filler.packed.give = 0.02;
    pour.filler.density.give = 30;
    pour.resin.cured_density = (BlyFigure){1050, 10};
    pour.mould.volume.give = 3 * ML; /* changes the mass, not the density */
    BlyPourPlan p = {0};
    assert_true(bly_pour_plan(&pour, &p, NULL));
    double packed = 850 * 0.02, filler = 0.6 * 30, resin = 0.4 * 10;
    double all = packed * packed + filler * filler + resin * resin;
    assert_close(p.density.give, sqrt(all), 0, 1e-6);
    assert_close(p.influence[BLY_POUR_FILLER_AMOUNT], packed * packed / all, 1e-6, 0);
    assert_close(p.influence[BLY_POUR_FILLER_DENSITY], filler * filler / all, 1e-6, 0);
    assert_close(p.influence[BLY_POUR_CURED_DENSITY], resin * resin / all, 1e-6, 0);
    assert_close(p.influence[BLY_POUR_MOULD_VOLUME], 0, 1e-9, 0);
    assert_close(p.mass.give, hypot(60 * ML * sqrt(all), 3 * ML * p.density.value), 0, 1e-6);
}

/* Both ratios and one density: the other part's density moves along, so that a give of 1 % is 1 %
 * of the resin and not less. */
static void a_density_that_follows_moves_along(void **state) {
    (void)state;
    BlyPour pour = plain_pour(100);
    pour.resin.by_weight = 3.5;
    pour.resin.by_volume = 3;
    pour.resin.a_density = (BlyFigure){1160, 11.6};
    pour.resin.b_density = sure(NAN);
    BlyPourPlan p = {0};
    assert_true(bly_pour_plan(&pour, &p, NULL));
    assert_close(p.density.give / p.density.value, 0.01, 1e-8, 0);
    pour.resin.a_density = sure(NAN);
    pour.resin.b_density = (BlyFigure){960, 9.6};
    assert_true(bly_pour_plan(&pour, &p, NULL));
    assert_close(p.density.give / p.density.value, 0.01, 1e-8, 0);
}

/* Closed form: pieces of mass M add their own gives as squares (3, 4: 5), volume as it is. */
static void pieces_vary_each_by_itself(void **state) {
    (void)state;
    const BlyEmbedded pieces[] = {{{0.004, 0.0003}, sure(5 * ML)}, {{0.009, 0.0004}, sure(3 * ML)}};
    BlyPour pour = packed_pour(60, 200, 0.6);
    pour.mould.pieces = pieces;
    pour.mould.piece_count = 2;
    BlyPourPlan p = {0};
    assert_true(bly_pour_plan(&pour, &p, NULL));
    assert_close(p.mass.give, 0.0005, 0, 1e-6);
    assert_close(p.density.give, 0.0005 / (60 * ML), 0, 1e-6);
}

/* A target's filler is weighed: 0.05 g more of it, dry in the mould, brings 0.05 g and takes the
 * place of 0.05/0.2 ml of resin of 1.05 g/cm3. */
static void a_target_carries_the_give_of_the_scale(void **state) {
    (void)state;
    BlyPour pour = packed_pour(60, 200, NAN);
    pour.filler.target = 550;
    pour.bench.scale_give = 5e-5;
    BlyPourPlan p = {0};
    assert_true(bly_pour_plan(&pour, &p, NULL));
    assert_close(p.mass.give, 5e-5 * (1050.0 / 200 - 1), 0, 1e-6);
    assert_close(p.influence[BLY_POUR_FILLER_AMOUNT], 1, 1e-9, 0);
}

static void no_give_no_range_and_too_much_is_said(void **state) {
    (void)state;
    BlyPour pour = packed_pour(60, 200, 0.6);
    BlyPourPlan p = {0};
    assert_true(bly_pour_plan(&pour, &p, NULL));
    assert_close(p.density.give, 0, 0, 0);
    assert_close(p.mass.give, 0, 0, 0);
    for (int i = 0; i < BLY_POUR_INPUTS; i++)
        assert_close(p.influence[i], 0, 0, 0);
    assert_false(p.notes & BLY_POUR_ROUGH);
    pour.filler.packed = sure(NAN);
    pour.filler.mass = sure(0.0072);
    /* Closed form: the blank goes with 1/f, whose ends at f +- u f lie 2 u/(1 - u^2) of the slope's
     * range off to one side: 0.16 at u = 0.08, 0.24 at 0.12, on either side of a fifth. */
    pour.filler.density.give = 0.08 * 200;
    assert_true(bly_pour_plan(&pour, &p, NULL));
    assert_false(p.notes & BLY_POUR_ROUGH);
    pour.filler.density.give = 0.12 * 200;
    assert_true(bly_pour_plan(&pour, &p, NULL));
    assert_true(p.notes & BLY_POUR_ROUGH);
    pour.filler.density.give = 150; /* 50 to 350 kg/m3: the mass takes from 144 to 21 ml */
    assert_true(bly_pour_plan(&pour, &p, NULL));
    assert_true(p.notes & BLY_POUR_ROUGH);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(packed_share_with_pieces),
        cmocka_unit_test(gap_water_in_mould_and_in_cup),
        cmocka_unit_test(mass_of_filler_with_a_cured_density),
        cmocka_unit_test(stirred_to_a_target),
        cmocka_unit_test(influence_is_the_share_of_variance),
        cmocka_unit_test(a_density_that_follows_moves_along),
        cmocka_unit_test(pieces_vary_each_by_itself),
        cmocka_unit_test(a_target_carries_the_give_of_the_scale),
        cmocka_unit_test(no_give_no_range_and_too_much_is_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
