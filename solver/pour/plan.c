/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From the mould to the scale: how much goes in, and the blank that comes out.
 * The mould is full when the resin has set: the sprue feeds what the resin loses in curing. */
#include "ballastry/water.h"
#include "pour/inside.h"

#include <math.h>

static const double room_temperature = 20; /* deg C, of gap water when nothing is said */

BlyPour bly_pour_blank(void) {
    const BlyFigure unknown = {NAN, 0};
    return (BlyPour){
        .mould = {.volume = unknown},
        .filler = {unknown, false, unknown, unknown, unknown, NAN, unknown, NAN, unknown},
        .resin = {BLY_RESIN_OTHER, NAN, NAN, unknown, unknown, unknown, unknown},
    };
}

bool bly_pour_water_volume(double mass, double temperature, double *out, BlyError *err) {
    const Bound weight = {"mass of water", 0, 1000, true, 1e-3, "g"};
    const Bound warmth = {"temperature of the water", 0, 40, false, 1, "C"};
    if (!pour_number(mass, &weight, "/mass", err) ||
        !pour_number(temperature, &warmth, "/temperature", err))
        return false;
    *out = mass / bly_water_fresh_density(temperature);
    return true;
}

double bly_mix_share(double resin_density, double filler_density, double target) {
    if (resin_density == filler_density)
        return NAN;
    return (resin_density - target) / (resin_density - filler_density);
}

bool pour_heap_known(const BlyFiller *filler) {
    bool by_heap = !isnan(filler->gap_water.value) || filler->packed.value > 0;
    return !isnan(filler->poured.value) || (by_heap && !filler->stirred);
}

static void set(Setup *setup, BlyPourInput input, BlyFigure figure) {
    bool known = !isnan(figure.value);
    setup->x[input] = known ? figure.value : 0;
    setup->give[input] = known ? figure.give : 0;
}

static void set_pieces(Setup *setup, const BlyMould *mould) {
    BlyFigure mass = {0}, volume = {0};
    for (size_t i = 0; i < mould->piece_count; i++) {
        const BlyEmbedded *piece = &mould->pieces[i];
        mass.value += piece->mass.value;
        mass.give = hypot(mass.give, piece->mass.give);
        volume.value += piece->volume.value;
        volume.give = hypot(volume.give, piece->volume.give);
    }
    set(setup, BLY_POUR_PIECES_MASS, mass);
    set(setup, BLY_POUR_PIECES_VOLUME, volume);
}

static void set_filler(Setup *setup, const BlyFiller *filler) {
    setup->by = pour_filler_by(filler);
    setup->stirred = filler->stirred;
    if (setup->by == BLY_FILLER_NONE)
        return;
    set(setup, BLY_POUR_FILLER_DENSITY, filler->density);
    if (setup->by == BLY_FILLER_PACKED)
        set(setup, BLY_POUR_FILLER_AMOUNT, filler->packed);
    if (setup->by == BLY_FILLER_MASS)
        set(setup, BLY_POUR_FILLER_AMOUNT, filler->mass);
    if (setup->by != BLY_FILLER_GAP_WATER)
        return;
    set(setup, BLY_POUR_FILLER_AMOUNT, filler->gap_water);
    set(setup, BLY_POUR_GAP_VESSEL, filler->gap_vessel);
    setup->own_vessel = !isnan(filler->gap_vessel.value);
    bool told = !isnan(filler->water_temperature);
    setup->water_density =
        bly_water_fresh_density(told ? filler->water_temperature : room_temperature);
}

static void set_resin(Setup *setup, const BlyResin *resin) {
    if (setup->resin.cured_given) {
        set(setup, BLY_POUR_CURED_DENSITY, resin->cured_density);
        return;
    }
    set(setup, BLY_POUR_A_DENSITY, resin->a_density);
    set(setup, BLY_POUR_B_DENSITY, resin->b_density);
    set(setup, BLY_POUR_SHRINKAGE, resin->shrinkage);
}

static double free_volume(const Setup *setup, const double *x) {
    double pieces = setup->pieces_inside ? 0 : x[BLY_POUR_PIECES_VOLUME];
    return x[BLY_POUR_MOULD_VOLUME] - pieces;
}

/* What is mixed or filled in all: stirred filler goes into cup and sprue, too. */
static double batch_volume(const Setup *setup, const BlyPourBench *bench) {
    double free_room = free_volume(setup, setup->x);
    if (!setup->stirred)
        return free_room;
    return free_room * (1 + bench->allowance_share) + bench->allowance_volume;
}

/* Turns a target into the mass of filler that makes it. */
static bool aim(Setup *setup, const BlyPour *pour, BlyError *err) {
    double free_room = free_volume(setup, setup->x);
    double volume = free_room + setup->x[BLY_POUR_PIECES_VOLUME];
    double resin = setup->resin.cured, filler = setup->x[BLY_POUR_FILLER_DENSITY];
    double pieces = setup->x[BLY_POUR_PIECES_MASS];
    double wanted = (pour->filler.target * volume - pieces) / free_room;
    if (wanted < resin && filler >= resin)
        return bly_fail(err, BLY_E_RANGE, "/filler/density",
                        "filler of %g g/cm3 is not lighter than resin of %g g/cm3, so it cannot "
                        "bring the blank down to %g g/cm3",
                        filler / 1e3, resin / 1e3, pour->filler.target / 1e3);
    double share = wanted == resin ? 0 : bly_mix_share(resin, filler, wanted);
    if (!(share >= 0 && share < 1))
        return bly_fail(err, BLY_E_RANGE, "/filler/target",
                        "a blank of %g g/cm3 cannot be made; with this filler, resin and these "
                        "pieces it lies between %.4g and %.4g g/cm3",
                        pour->filler.target / 1e3,
                        (fmin(resin, filler) * free_room + pieces) / volume / 1e3,
                        (fmax(resin, filler) * free_room + pieces) / volume / 1e3);
    setup->by = BLY_FILLER_MASS;
    setup->x[BLY_POUR_FILLER_AMOUNT] = share * filler * batch_volume(setup, &pour->bench);
    setup->give[BLY_POUR_FILLER_AMOUNT] = pour->bench.scale_give;
    return true;
}

/* Share of filler in a volume, taken at its word. */
static double share_in(const Setup *setup, const double *x, double volume) {
    double amount = x[BLY_POUR_FILLER_AMOUNT];
    switch (setup->by) {
    case BLY_FILLER_PACKED:
        return amount;
    case BLY_FILLER_GAP_WATER:
        return 1 - amount / setup->water_density /
                       (setup->own_vessel ? x[BLY_POUR_GAP_VESSEL] : volume);
    case BLY_FILLER_MASS:
        return amount / x[BLY_POUR_FILLER_DENSITY] / volume;
    default:
        return 0;
    }
}

/* Stirred: the share that the weighed-out masses have when the densities are other than planned. */
static double share_stirred(const Setup *setup, const double *x, double cured) {
    double amount = x[BLY_POUR_FILLER_AMOUNT];
    double to_resin = setup->by == BLY_FILLER_PACKED
                          ? amount / (1 - amount) * setup->recipe_density_ratio
                          : amount / setup->recipe_resin;
    double filler = to_resin / x[BLY_POUR_FILLER_DENSITY];
    return filler / (filler + 1 / cured);
}

Blank pour_outcome(const Setup *setup, const double *x) {
    Blank out = {.free_volume = free_volume(setup, x)};
    double cured = pour_cured(&setup->resin, x);
    out.volume = out.free_volume + x[BLY_POUR_PIECES_VOLUME];
    if (setup->by != BLY_FILLER_NONE)
        out.share =
            setup->stirred ? share_stirred(setup, x, cured) : share_in(setup, x, out.free_volume);
    out.mix_density = out.share * x[BLY_POUR_FILLER_DENSITY] + (1 - out.share) * cured;
    out.mass = out.mix_density * out.free_volume + x[BLY_POUR_PIECES_MASS];
    out.density = out.mass / out.volume;
    return out;
}

/* Fixes the recipe of a stirred mix and sees that there is room for the filler. */
static bool fix_recipe(Setup *setup, double batch, BlyError *err) {
    double share = share_in(setup, setup->x, batch);
    if (setup->by == BLY_FILLER_GAP_WATER && !(share >= 0))
        return bly_fail(err, BLY_E_RANGE, "/filler/gap_water",
                        "the gaps took more water than the empty vessel holds");
    if (!(share < 1))
        return bly_fail(err, BLY_E_RANGE, "/filler/mass",
                        "the filler alone takes %g ml and leaves no room for resin in %g ml",
                        share * batch * 1e6, batch * 1e6);
    setup->recipe_density_ratio = setup->x[BLY_POUR_FILLER_DENSITY] / setup->resin.cured;
    setup->recipe_resin = (1 - share) * batch * setup->resin.cured;
    return true;
}

static void plan_resin(const Setup *setup, BlyPourPlan *out, double resin_mass, double scale) {
    const Resin *resin = &setup->resin;
    pour_split(resin, resin_mass, &out->a, &out->b);
    out->by_weight = resin->by_weight;
    out->by_volume = resin->by_volume;
    out->swap_weighed = resin->by_volume / resin->by_weight - 1;
    out->swap_measured = resin->by_weight / resin->by_volume - 1;
    out->scale_error = scale > 0 ? hypot(scale / out->a.mass, scale / out->b.mass) : NAN;
    out->liquid_density = resin->liquid;
    out->cured_density = resin->cured;
    out->shrinkage = resin->shrinkage;
}

/* The liquid's density, or the best that is known of it. */
static double liquid(const Setup *setup) {
    return isnan(setup->resin.liquid) ? setup->resin.cured : setup->resin.liquid;
}

/* How much of a scoop is solid; what was found in the mould holds for a scoop, too. */
static double scoop_share(const BlyPour *pour, double share) {
    if (!isnan(pour->filler.poured.value))
        return pour->filler.poured.value;
    return pour_heap_known(&pour->filler) ? share : BLY_POUR_SCOOP;
}

static void plan_amounts(const BlyPour *pour, const Setup *setup, const Blank *blank, double batch,
                         BlyPourPlan *out) {
    const BlyPourBench *bench = &pour->bench;
    double in_blank = blank->free_volume * (1 - blank->share) * setup->resin.cured;
    double resin_mass = setup->recipe_resin;
    if (!setup->stirred)
        resin_mass =
            in_blank * (1 + bench->allowance_share) + bench->allowance_volume * liquid(setup);
    plan_resin(setup, out, resin_mass, bench->scale_give);
    out->filler.volume = blank->share * batch;
    out->filler.mass = out->filler.volume * setup->x[BLY_POUR_FILLER_DENSITY];
    out->filler_scoop = out->filler.volume / scoop_share(pour, blank->share);
    out->left_over =
        setup->stirred ? (batch - blank->free_volume) * blank->mix_density : resin_mass - in_blank;
}

static void plan_blank(const BlyPour *pour, const Setup *setup, const Blank *blank,
                       BlyPourPlan *out) {
    double filler = setup->x[BLY_POUR_FILLER_DENSITY], cured = setup->resin.cured;
    out->filler_by = pour_filler_by(&pour->filler);
    out->share_by_volume = blank->share;
    out->share_by_mass = blank->share * filler / blank->mix_density;
    out->mix_density = blank->mix_density;
    out->lightest_density = setup->by == BLY_FILLER_NONE
                                ? NAN
                                : BLY_POUR_FULLEST * filler + (1 - BLY_POUR_FULLEST) * cured;
    out->filler_lift = (liquid(setup) - filler) * blank->share * blank->free_volume;
    double around = liquid(setup);
    if (setup->stirred)
        around += blank->share * (filler - around);
    for (size_t i = 0; i < pour->mould.piece_count; i++) {
        const BlyEmbedded *piece = &pour->mould.pieces[i];
        out->pieces_lift += fmax(0, around * piece->volume.value - piece->mass.value);
    }
    out->free_volume = blank->free_volume;
    out->blank_volume = blank->volume;
    double shrinkage = setup->resin.shrinkage;
    out->sink_volume = /* liquid that goes in beyond the room there is */
        blank->free_volume * (1 - blank->share) * shrinkage / (1 - shrinkage);
}

bool bly_pour_plan(const BlyPour *pour, BlyPourPlan *out, BlyError *err) {
    Setup setup = {.pieces_inside = pour->mould.pieces_inside};
    if (!pour_check(pour, err) || !pour_resin(&pour->resin, &setup.resin, err))
        return false;
    set(&setup, BLY_POUR_MOULD_VOLUME, pour->mould.volume);
    set_pieces(&setup, &pour->mould);
    set_filler(&setup, &pour->filler);
    set_resin(&setup, &pour->resin);
    if (setup.by == BLY_FILLER_TARGET && !aim(&setup, pour, err))
        return false;
    double batch = batch_volume(&setup, &pour->bench);
    if (!fix_recipe(&setup, batch, err))
        return false;
    Blank blank = pour_outcome(&setup, setup.x);
    BlyPourPlan plan = {0};
    plan_amounts(pour, &setup, &blank, batch, &plan);
    plan_blank(pour, &setup, &blank, &plan);
    pour_spread(&setup, &plan);
    plan.notes |= pour_notes(pour, &setup, &plan);
    *out = plan;
    return true;
}
