/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to do now: of all trims and pairs of trims the one after which the lure is surest on target;
 * where none does it, what bly_fit_finished would exchange. */
#include "ballastry/mend.h"
#include "fit/mend_now.h"
#include "fit/mend_sample.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { SAMPLES = 512, LIKELIEST = 96 };
/* Of the chance: what leaving more lures farther outside costs; what each thing to do does, and one
 * that cannot be taken back; what being nearer is worth where the chance is low. A lure this sure
 * is left alone; below this a trim does not do it, and an exchange must gain so much on it. Ours.
 */
static const double for_farther = 0.5, for_a_thing = 0.02, for_good = 0.02, for_nearness = 0.2,
                    sure_enough = 0.95, hopeless = 0.02, far = 0.2, exchange_gain = 0.15;

static bool is_trim(BlyMend kind) {
    return kind == BLY_MEND_WIRE || kind == BLY_MEND_DOT || kind == BLY_MEND_STRIP ||
           kind == BLY_MEND_EDGE || kind == BLY_MEND_BACK;
}

static void keep_trims(MendList *list) {
    size_t kept = 0;
    for (size_t i = 0; i < list->count; i++) {
        if (is_trim(list->at[i].kind))
            list->at[kept++] = list->at[i];
    }
    list->count = kept;
}

typedef struct Best {
    Mix mix; /* count 0: leave it */
    MendOdds odds;
    double worth;
} Best;

static double worth_of(const MendList *mends, const Mix *mix, const MendOdds *odds) {
    double worth = odds->chance - for_farther * odds->farther + for_nearness * odds->near;
    for (int i = 0; i < mix->count; i++) {
        BlyMend kind = mends->at[mix->mend[i]].kind;
        worth -= for_a_thing;
        worth -= kind == BLY_MEND_EDGE || kind == BLY_MEND_BACK ? for_good : 0;
    }
    return worth;
}

static void choose(const Bench *bench, const MendSamples *samples, const MendList *mends,
                   const Mix *mixes, size_t count, Best *best) {
    const Mix none = {.mend = {-1, -1, -1}};
    *best = (Best){.mix = none, .odds = mend_odds(bench, samples, mends, &none)};
    best->worth = worth_of(mends, &none, &best->odds) + fmin(bench->how.gain, best->odds.chance);
    if (best->odds.chance >= sure_enough)
        return;
    for (size_t i = 0; i < count && !fit_over(bench->options, bench->deadline); i++) {
        if (!mends_in_box(bench, mends, mixes[i].mend, mixes[i].count))
            continue;
        MendOdds odds = mend_odds(bench, samples, mends, &mixes[i]);
        double worth = worth_of(mends, &mixes[i], &odds);
        if (worth > best->worth)
            *best = (Best){mixes[i], odds, worth};
    }
}

static bool trims(const Bench *bench, const MendSamples *samples, MendList *mends, Best *best,
                  BlyMendPlan *out, BlyError *err) {
    Mix mixes[LIKELIEST];
    size_t count = 0;
    Problem frames = {.build = bench->build,
                      .catalog = bench->catalog,
                      .options = bench->options,
                      .water_count = bench->build->target_water_count};
    if (!mends_list(bench, mends, err))
        return false;
    keep_trims(mends);
    if (!mends_likeliest(bench, mends, &frames, LIKELIEST, mixes, &count, err))
        return false;
    choose(bench, samples, mends, mixes, count, best);
    out->looked_at = count;
    return true;
}

static bool work(const Bench *bench, const MendList *mends, const Mix *mix, BlyMendPlan *out,
                 BlyError *err) {
    const BlyBuild *build = bench->build;
    BlyRig rig;
    if (!bly_rig_copy(&rig, &build->fitted, err))
        return false;
    for (int i = 0; i < mix->count; i++)
        mend_apply(build, &mends->at[mix->mend[i]], &rig);
    bool good = rig_rework(build, &rig, &out->rig, err);
    out->rig.changes = good ? mix->count : 0;
    bly_rig_release(&rig);
    return good;
}

/* That the lure meets its target after one more test and the trims that are left then. */
static bool after_next(const Bench *bench, const BlyRig *rig, double *chance, BlyError *err) {
    const BlyReserveOptions options = {
        .samples = SAMPLES, .finished = true, .fewer = BLY_TESTS_MAX - 1};
    BlyReserve reserve;
    bool good = bly_reserve(bench->build, bench->catalog, rig, &options, &reserve, err);
    *chance = good ? fmax(reserve.chance[1], reserve.chance[0]) : NAN;
    return good;
}

/* Some part is another one then: where that is surer, now or after the next test, than what trims
 * do. */
static bool exchange(const Bench *bench, BlyMendPlan *out, BlyError *err) {
    BlyFitOptions options = *bench->options;
    BlyFitResult found;
    double trimmed, exchanged;
    options.rigs = 1;
    options.by_reserve = true;
    bool good = after_next(bench, &out->rig.rig, &trimmed, err);
    if (!good)
        return false;
    good = bly_fit_finished(bench->build, bench->catalog, &options, &found, err);
    if (good && found.met && found.count > 0 && found.rigs[0].changes > 0) {
        good = after_next(bench, &found.rigs[0].rig, &exchanged, err);
        if (good && exchanged > trimmed + exchange_gain) {
            fit_rig_release(&out->rig);
            out->rig = found.rigs[0];
            memset(&found.rigs[0], 0, sizeof found.rigs[0]);
            out->exchanges = true;
            out->looked_at += found.columns;
        }
    }
    bly_fit_release(&found);
    return good;
}

static bool plan(const Bench *bench, BlyMendPlan *out, BlyError *err) {
    MendSamples samples = {0};
    MendList mends = {0};
    Best best;
    bool good = mend_samples_make(bench, SAMPLES, &samples, err) &&
                trims(bench, &samples, &mends, &best, out, err) &&
                work(bench, &mends, &best.mix, out, err);
    if (good) {
        out->farther = best.odds.farther;
        if (best.odds.chance < hopeless || best.odds.near < far)
            good = exchange(bench, out, err);
    }
    mends_release(&mends);
    mend_samples_release(&samples);
    return good && rig_finish(bench->build, &out->rig, err) && mend_foretell(bench, out, err);
}

bool bly_mend(const BlyBuild *build, const BlyCatalog *catalog, const BlyFitOptions *options,
              BlyMendPlan *out, BlyError *err) {
    const BlyFitOptions usual = {0};
    Craft craft;
    FitBox box;
    *out = (BlyMendPlan){.chance = NAN};
    options = options != NULL ? options : &usual;
    if (!mend_check(build, options, err) || !craft_begin(build, catalog, 0, &craft, err))
        return false;
    if (!mend_open_box(build, catalog, &box, err)) {
        craft_end(&craft);
        return false;
    }
    Bench bench = {.build = build,
                   .catalog = catalog,
                   .options = options,
                   .craft = &craft,
                   .box = &box,
                   .how = bly_practice_mending(bly_catalog_practice(catalog)),
                   .by_scale = true,
                   .deadline = fit_deadline(options)};
    bench.how.at_once = 2;
    bool good = plan(&bench, out, err);
    box_end(&box);
    craft_end(&craft);
    if (!good)
        bly_mend_release(out);
    return good;
}

void bly_mend_release(BlyMendPlan *plan) {
    fit_rig_release(&plan->rig);
}
