/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to say beside a pour: cautions of the trade and doubts about the figures. The maker's data
 * sheet goes before all of them. Sources of the limits: docs/pour.md. */
#include "pour/inside.h"

#include <math.h>

static const struct {
    BlyPourNote note;
    const char *words;
} notes[BLY_POUR_NOTE_COUNT] = {
    {BLY_POUR_DATA_SHEET, "The maker's data sheet goes before anything said here: ratio, pot life, "
                          "layer depth, temperature and protection."},
    {BLY_POUR_POT_LIFE, "Pot life runs from the first touch of the two parts and is shorter in a "
                        "deep cup and in a warm room: have mould, filler and clamps ready first."},
    {BLY_POUR_SKIN, "Wear gloves and eye protection: repeated skin contact with uncured resin can "
                    "cause a lasting allergy."},
    {BLY_POUR_VAPOUR, "Work with fresh air moving away from you; warm resin gives off more."},
    {BLY_POUR_DUST, "Wear a dust mask when handling light powders and when sanding or turning "
                    "cured resin."},
    {BLY_POUR_HEAT, "More than 100 g of resin in one cup can overheat; 100 g of epoxy in a pot has "
                    "been seen to pass 200 C. Pour in steps or use a slow system, and do not leave "
                    "the leftover cup alone."},
    {BLY_POUR_SMALL, "Less than 100 g of resin: small errors of the ratio count and the cure can "
                     "stay weak. Weigh to 0.1 g or finer, or mix more than you need."},
    {BLY_POUR_SCALE, "This scale alone can put the mix ratio off by more than 5 %: use a finer one "
                     "or mix more."},
    {BLY_POUR_MOISTURE, "Urethane foams on moisture: dry filler, pieces and mould, and close the "
                        "bottles at once."},
    {BLY_POUR_DRY, "The filler was wetted for the gap reading: use fresh filler, or dry it to "
                   "constant mass before the pour."},
    {BLY_POUR_SWAP, "By weight and by volume are different ratios for this resin: never weigh out "
                    "the ratio by volume, never measure the ratio by weight in cups."},
    {BLY_POUR_DISAGREE, "The ratios by weight and by volume do not fit the two densities within "
                        "5 %: go by weight, and check the densities."},
    {BLY_POUR_FLOATS, "The filler floats in the liquid resin: hold it down, or keep it stirred and "
                      "turn the mould until the resin has set."},
    {BLY_POUR_SETTLES, "The filler is heavier than the liquid resin and settles."},
    {BLY_POUR_PIECES_FLOAT, "Embedded pieces float in the mix: fix them to the mould."},
    {BLY_POUR_LOOSE, "Less filler than a loose heap: it does not fill the mould and gathers on one "
                     "side, so the blank will not balance as one density. Stir it in, or fill up."},
    {BLY_POUR_THICK, "More than 40 % of filler by volume stirs up to a thick cream that does not "
                     "run through a narrow gate and keeps air."},
    {BLY_POUR_TOO_FULL,
     "More filler than loose round pieces of one size can be packed (about "
     "64 % by volume); only flat, long or mixed sizes go beyond. Measure yours."},
    {BLY_POUR_SCOOP_GUESSED, "The scooped volume takes 62 % of a scoop as solid, from memory: go "
                             "by weight."},
    {BLY_POUR_LIGHTER_CURED, "The cured density is below the liquid's: a resin that foams, or one "
                             "of the figures is misread."},
    {BLY_POUR_ROUGH, "The tolerances are so wide that the range is not even on both sides: take it "
                     "as rough."},
    {BLY_POUR_LIQUID_UNKNOWN, "The liquid density is unknown: no volumes are given, and lift is "
                              "by the cured density, a little too much."},
};

const char *bly_pour_note_words(BlyPourNote note) {
    for (int i = 0; i < BLY_POUR_NOTE_COUNT; i++) {
        if (notes[i].note == note)
            return notes[i].words;
    }
    return "";
}

const char *bly_pour_input_words(BlyPourInput input) {
    static const char *const words[BLY_POUR_INPUTS] = {
        [BLY_POUR_MOULD_VOLUME] = "volume of the mould",
        [BLY_POUR_PIECES_MASS] = "mass of the embedded pieces",
        [BLY_POUR_PIECES_VOLUME] = "volume of the embedded pieces",
        [BLY_POUR_FILLER_DENSITY] = "true density of the filler",
        [BLY_POUR_FILLER_AMOUNT] = "amount of filler",
        [BLY_POUR_GAP_VESSEL] = "volume of the vessel for the gap reading",
        [BLY_POUR_A_DENSITY] = "density of part A",
        [BLY_POUR_B_DENSITY] = "density of part B",
        [BLY_POUR_CURED_DENSITY] = "density of the cured resin",
        [BLY_POUR_SHRINKAGE] = "shrinkage in curing",
    };
    return (unsigned)input < BLY_POUR_INPUTS ? words[input] : "";
}

static unsigned when(bool holds, BlyPourNote note) {
    return holds ? (unsigned)note : 0;
}

static unsigned resin_notes(const BlyPour *pour, const Setup *setup, const BlyPourPlan *plan) {
    double resin = plan->a.mass + plan->b.mass;
    return when(resin > BLY_POUR_HEAT_MASS, BLY_POUR_HEAT) |
           when(resin < BLY_POUR_SMALL_MASS, BLY_POUR_SMALL) |
           when(plan->scale_error > BLY_POUR_RATIO_KEEP, BLY_POUR_SCALE) |
           when(pour->resin.kind == BLY_RESIN_URETHANE, BLY_POUR_MOISTURE) |
           when(fmax(fabs(plan->swap_weighed), fabs(plan->swap_measured)) > BLY_POUR_RATIO_KEEP,
                BLY_POUR_SWAP) |
           when(setup->resin.disagree, BLY_POUR_DISAGREE) |
           when(plan->shrinkage < 0, BLY_POUR_LIGHTER_CURED) |
           when(isnan(plan->liquid_density), BLY_POUR_LIQUID_UNKNOWN);
}

static unsigned filler_notes(const BlyPour *pour, const BlyPourPlan *plan) {
    double share = plan->share_by_volume;
    if (share <= 0)
        return 0;
    return when(plan->filler_lift > 0, BLY_POUR_FLOATS) |
           when(plan->filler_lift < 0, BLY_POUR_SETTLES) |
           when(plan->filler_by == BLY_FILLER_GAP_WATER, BLY_POUR_DRY) |
           when(!pour->filler.stirred && share < BLY_POUR_LOOSEST, BLY_POUR_LOOSE) |
           when(pour->filler.stirred && share > BLY_POUR_CREAM, BLY_POUR_THICK) |
           when(share > BLY_POUR_FULLEST, BLY_POUR_TOO_FULL) |
           when(!pour_heap_known(&pour->filler), BLY_POUR_SCOOP_GUESSED);
}

unsigned pour_notes(const BlyPour *pour, const Setup *setup, const BlyPourPlan *plan) {
    return BLY_POUR_DATA_SHEET | BLY_POUR_POT_LIFE | BLY_POUR_SKIN | BLY_POUR_VAPOUR |
           BLY_POUR_DUST | resin_notes(pour, setup, plan) | filler_notes(pour, plan) |
           when(plan->pieces_lift > 0, BLY_POUR_PIECES_FLOAT);
}
