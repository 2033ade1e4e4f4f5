/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/cures.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "build/build.h"
#include "spread/spread.h"
#include "tow/tow.h"

/* Common practice, no source: in the order in which makers try them. */
static const struct {
    const char *key, *words;
    BlyTowLever tries[CURES_MOST];
    size_t count;
} saws[SAW_KINDS] = {
    [SAW_PORPOISES] = {"porpoises",
                       "porpoises: dips and rises as it is drawn",
                       {BLY_TOW_LIP_SHORTER, BLY_TOW_LIP_NARROWER, BLY_TOW_TIE_FORWARD,
                        BLY_TOW_METAL_FORWARD, BLY_TOW_REAR_HOOK_LARGER, BLY_TOW_LINE_LONGER},
                       6},
    [SAW_ROLLS_OVER] = {"rolls-over",
                        "rolls over when drawn fast",
                        {BLY_TOW_METAL_MORE, BLY_TOW_LIP_STEEPER, BLY_TOW_LIP_NARROWER},
                        3},
};

bool saw_parse(const char *text, Saw *out) {
    for (int i = 0; i < SAW_KINDS; i++) {
        if (strcmp(text, saws[i].key) == 0) {
            *out = (Saw)i;
            return true;
        }
    }
    return false;
}

const char *saw_words(Saw saw) {
    return saws[saw].words;
}

static bool rest_of(const BlyBuild *build, const BlyRig *rig, BlyOutcome *out, double *chance,
                    BlyError *err) {
    BlyLure lure = {0};
    BlyWater water;
    bool good =
        bly_water_at(build->water.temperature.value, build->water.salinity.value, &water, err) &&
        bly_lure_make(&build->blank, build->seats, rig, &lure, err) &&
        bly_rest(&lure, &water, out, err) && spread_chance(build, rig, NULL, chance, err);
    bly_lure_release(&lure);
    return good;
}

/* A change that makes no lure, such as a lip too steep for its slot, is not possible. */
static bool try_one(const BlyBuild *build, const BlyTowAsk *ask, CureDone *cure, BlyError *err) {
    size_t seats = build->seat_count;
    BlyBuild moved = *build; /* borrows everything else */
    BlyRig rig = {0};
    BlySeat *copies = calloc(seats + 1, sizeof *copies);
    BlyPart *parts = calloc(seats + 1, sizeof *parts);
    bool good = (copies && parts) || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a change");
    good = good && bly_rig_copy(&rig, &build->fitted, err);
    if (good) {
        memcpy(copies, build->seats, seats * sizeof *copies);
        moved.seats = copies;
        TowRigged on = {copies, &rig, {0, 0, 0}, ask->line, parts};
        BlyError why = {0};
        cure->possible =
            tow_lever_pull(cure->change, build, &build->fitted, &on) &&
            rest_of(&moved, &rig, &cure->rest, &cure->chance, &why) &&
            bly_tow_effects(build, &build->fitted, ask, &cure->change, 1, &cure->run, &why) &&
            cure->run.possible;
        if (why.code == BLY_E_MEMORY) {
            *err = why;
            good = false;
        }
    }
    bly_rig_release(&rig);
    free(copies);
    free(parts);
    return good;
}

bool cures_work(const BlyBuild *build, Saw saw, const BlyTowAsk *ask, CuresWork *out,
                BlyError *err) {
    *out = (CuresWork){.saw = saw, .count = saws[saw].count, .speed = ask->speeds[ask->change_at]};
    bool good = rest_of(build, &build->fitted, &out->before, &out->chance_before, err);
    for (size_t i = 0; good && i < out->count; i++) {
        out->at[i].change = saws[saw].tries[i];
        good = try_one(build, ask, &out->at[i], err);
    }
    return good;
}
