/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What may be poured: each number within its bounds, none of them said twice. */
#include "pour/inside.h"

#include <math.h>
#include <stdio.h>

static const double g = 1e-3, ml = 1e-6, per_cm3 = 1e3, percent = 0.01;

bool pour_number(double value, const Bound *bound, const char *where, BlyError *err) {
    bool low_good = bound->above_low ? value > bound->low : value >= bound->low;
    if (low_good && value <= bound->high)
        return true;
    return bly_fail(err, BLY_E_RANGE, where, "%s is %g %s, expected %s%g to %g %s", bound->what,
                    value / bound->unit, bound->unit_name, bound->above_low ? "above " : "",
                    bound->low / bound->unit, bound->high / bound->unit, bound->unit_name);
}

bool pour_figure(BlyFigure figure, const Bound *bound, const char *where, BlyError *err) {
    if (!pour_number(figure.value, bound, where, err))
        return false;
    if (isfinite(figure.give) && figure.give >= 0)
        return true;
    return bly_fail(err, BLY_E_RANGE, where, "the tolerance of the %s is %g %s, expected 0 or more",
                    bound->what, figure.give / bound->unit, bound->unit_name);
}

/* The same for what may be left out: NaN means not given, its give then does not matter. */
static bool optional(BlyFigure figure, const Bound *bound, const char *where, BlyError *err) {
    return isnan(figure.value) || pour_figure(figure, bound, where, err);
}

static bool check_pieces(const BlyMould *mould, BlyError *err) {
    const Bound mass = {"mass of a piece", 0, 100, false, g, "g"};
    const Bound volume = {"volume of a piece", 0, 1, true, ml, "ml"};
    for (size_t i = 0; i < mould->piece_count; i++) {
        char where[64];
        (void)snprintf(where, sizeof where, "/mould/pieces/%zu/mass", i);
        if (!pour_figure(mould->pieces[i].mass, &mass, where, err))
            return false;
        (void)snprintf(where, sizeof where, "/mould/pieces/%zu/volume", i);
        if (!pour_figure(mould->pieces[i].volume, &volume, where, err))
            return false;
    }
    return true;
}

static bool check_mould(const BlyMould *mould, BlyError *err) {
    const Bound volume = {"volume of the mould", 0, 1, true, ml, "ml"};
    if (isnan(mould->volume.value))
        return bly_fail(err, BLY_E_MISSING, "/mould/volume",
                        "the mould's volume is unknown, expected a volume such as \"24 ml\"");
    if (!pour_figure(mould->volume, &volume, "/mould/volume", err) || !check_pieces(mould, err))
        return false;
    double pieces = 0;
    for (size_t i = 0; i < mould->piece_count; i++)
        pieces += mould->pieces[i].volume.value;
    if (mould->pieces_inside || pieces < mould->volume.value)
        return true;
    return bly_fail(err, BLY_E_RANGE, "/mould/pieces",
                    "the pieces take %g ml and leave no room in a mould of %g ml", pieces / ml,
                    mould->volume.value / ml);
}

static int amounts_given(const BlyFiller *filler) {
    return !isnan(filler->packed.value) + !isnan(filler->gap_water.value) +
           !isnan(filler->mass.value) + !isnan(filler->target);
}

BlyFillerBy pour_filler_by(const BlyFiller *filler) {
    if (!isnan(filler->packed.value))
        return BLY_FILLER_PACKED;
    if (!isnan(filler->gap_water.value))
        return BLY_FILLER_GAP_WATER;
    if (!isnan(filler->mass.value))
        return BLY_FILLER_MASS;
    return isnan(filler->target) ? BLY_FILLER_NONE : BLY_FILLER_TARGET;
}

static bool check_gap_water(const BlyFiller *filler, BlyError *err) {
    const Bound water = {"water in the gaps", 0, 1000, true, g, "g"};
    const Bound vessel = {"volume of the vessel", 0, 1, true, ml, "ml"};
    const Bound warmth = {"temperature of the water", 0, 40, false, 1, "C"};
    if (isnan(filler->gap_water.value))
        return true;
    if (filler->stirred)
        return bly_fail(err, BLY_E_CONFLICT, "/filler/gap_water",
                        "gap water tells how filler packs in the mould, not how much of it is "
                        "stirred into the resin");
    return pour_figure(filler->gap_water, &water, "/filler/gap_water", err) &&
           optional(filler->gap_vessel, &vessel, "/filler/gap_vessel", err) &&
           (isnan(filler->water_temperature) ||
            pour_number(filler->water_temperature, &warmth, "/filler/water_temperature", err));
}

static bool check_filler(const BlyFiller *filler, BlyError *err) {
    const Bound density = {"true density of the filler", 1, 25000, false, per_cm3, "g/cm3"};
    const Bound packed = {"packed share", 0, 0.999, false, percent, "%"};
    const Bound mass = {"mass of filler", 0, 1000, false, g, "g"};
    const Bound target = {"target density", 1, 25000, false, per_cm3, "g/cm3"};
    const Bound poured = {"packed share of a scoop", 0, 1, true, percent, "%"};
    if (amounts_given(filler) > 1)
        return bly_fail(err, BLY_E_CONFLICT, "/filler",
                        "the amount of filler is said twice, expected one of packed share, gap "
                        "water, mass and target density");
    if (amounts_given(filler) == 0)
        return true;
    if (isnan(filler->density.value))
        return bly_fail(err, BLY_E_MISSING, "/filler/density",
                        "the filler's true density is unknown, expected a density such as "
                        "\"0.2 g/cm3\" of its pieces, not of a scoop");
    return pour_figure(filler->density, &density, "/filler/density", err) &&
           optional(filler->packed, &packed, "/filler/packed", err) &&
           check_gap_water(filler, err) && optional(filler->mass, &mass, "/filler/mass", err) &&
           (isnan(filler->target) || pour_number(filler->target, &target, "/filler/target", err)) &&
           optional(filler->poured, &poured, "/filler/poured", err);
}

static bool check_resin(const BlyResin *resin, BlyError *err) {
    const Bound ratio = {"mix ratio", 0.01, 100, false, 1, "parts of A to one of B"};
    const Bound a = {"density of part A", 500, 5000, false, per_cm3, "g/cm3"};
    const Bound b = {"density of part B", 500, 5000, false, per_cm3, "g/cm3"};
    const Bound cured = {"cured density", 500, 5000, false, per_cm3, "g/cm3"};
    const Bound shrinkage = {"shrinkage", 0, 0.2, false, percent, "%"};
    return (isnan(resin->by_weight) ||
            pour_number(resin->by_weight, &ratio, "/resin/by_weight", err)) &&
           (isnan(resin->by_volume) ||
            pour_number(resin->by_volume, &ratio, "/resin/by_volume", err)) &&
           optional(resin->a_density, &a, "/resin/a_density", err) &&
           optional(resin->b_density, &b, "/resin/b_density", err) &&
           optional(resin->cured_density, &cured, "/resin/cured_density", err) &&
           optional(resin->shrinkage, &shrinkage, "/resin/shrinkage", err);
}

static bool check_bench(const BlyPourBench *bench, BlyError *err) {
    const Bound share = {"allowance", 0, 10, false, percent, "%"};
    const Bound volume = {"allowance", 0, 1, false, ml, "ml"};
    const Bound scale = {"half-width of the scale", 0, 1, false, g, "g"};
    if (!pour_number(bench->allowance_share, &share, "/bench/allowance_share", err) ||
        !pour_number(bench->allowance_volume, &volume, "/bench/allowance_volume", err) ||
        !pour_number(bench->scale_give, &scale, "/bench/scale_give", err))
        return false;
    if (bench->allowance_share > 0 && bench->allowance_volume > 0)
        return bly_fail(err, BLY_E_CONFLICT, "/bench/allowance_volume",
                        "the allowance is said twice, expected a share or a volume");
    return true;
}

bool pour_check(const BlyPour *pour, BlyError *err) {
    return check_mould(&pour->mould, err) && check_filler(&pour->filler, err) &&
           check_resin(&pour->resin, err) && check_bench(&pour->bench, err);
}
