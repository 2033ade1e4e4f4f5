/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to do now: of all single mends and pairs the one that is worth most over all lures that
 * this one may be. */
#include "ballastry/mend.h"
#include "fit/mend_cut.h"
#include "fit/mend_mix.h"
#include "fit/mend_now.h"
#include "fit/mend_sample.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { SAMPLES = 512, TRIED = 96, TRIED_EXCHANGES = 64, LOOKED_AT = 4000, THINGS_MOST = 2 };
/* Of the chance: what leaving more lures farther outside costs; what each thing to do does; what
 * being nearer is worth. A lure this sure is left alone. Ours. */
static const double for_farther = 0.3, for_a_thing = 0.02, for_nearness = 0.25, gain_least = 0.02,
                    sure_enough = 0.97;
/* Much of one thing is done less gladly: what each turn, dot, half a millimetre of edge or tenth of
 * a millimetre of back costs beyond so many. Ours. */
static const struct {
    double few, each;
} much[BLY_MENDS] = {[BLY_MEND_WIRE] = {4, 0.005},
                     [BLY_MEND_DOT] = {4, 0.005},
                     [BLY_MEND_EDGE] = {4, 0.005},
                     [BLY_MEND_BACK] = {1, 0.01}};

static bool exchanges(const MendList *mends, const Mix *mix) {
    for (int i = 0; i < mix->count; i++) {
        if (mend_is_exchange(mends->at[mix->mend[i]].kind))
            return true;
    }
    return false;
}

typedef struct Best {
    Mix mix; /* count 0: leave it */
    MendOdds odds;
    double worth;
} Best;

/* What is tried last must be surer than what is tried first by more than chances that count as
 * alike; what lies between, by its share of that. */
static double cost_of(const Bench *bench, const Mend *mend) {
    int last = 1;
    for (int kind = 0; kind < BLY_MENDS; kind++)
        last = bench->how.rung[kind] > last ? bench->how.rung[kind] : last;
    double late = last > 1 ? (bench->how.rung[mend->kind] - 1.0) / (last - 1) : 0;
    double more = fmax(0, mend->trouble - much[mend->kind].few);
    bool off = mend->kind == BLY_MEND_WIRE && mend->adds.m < 0;
    return mend->seats * (for_a_thing + late * bench->how.alike) +
           (off ? 0 : more * much[mend->kind].each);
}

static double worth_of(const Bench *bench, const MendList *mends, const Mix *mix,
                       const MendOdds *odds) {
    double worth = odds->chance - for_farther * odds->farther + for_nearness * odds->nearer;
    for (int i = 0; i < mix->count; i++)
        worth -= cost_of(bench, &mends->at[mix->mend[i]]);
    return worth;
}

/* ---- which are tried ---- */

static bool worth_a_try(const Bench *bench, const MendList *mends, const Mix *mix, int tried[2]) {
    bool other = exchanges(mends, mix);
    if (mix_things(mends, mix) > THINGS_MOST || tried[other] == (other ? TRIED_EXCHANGES : TRIED) ||
        !mends_in_box(bench, mends, mix->mend, mix->count))
        return false;
    tried[other]++;
    return true;
}

/* That the rig may be: hooks clear of each other, turns within their shank. */
static bool may_be(const Bench *bench, const MendList *mends, const Mix *mix) {
    BlyRig rig;
    MendCarries carries;
    if (!bly_rig_copy(&rig, &bench->build->fitted, NULL))
        return false;
    mix_apply(bench, mends, mix, &rig, &carries);
    bool good = mends_hang_together(bench, &rig);
    bly_rig_release(&rig);
    return good;
}

static void choose(const Bench *bench, const MendSamples *samples, const MendList *mends,
                   const Mix *mixes, size_t count, Best *best) {
    const Mix none = {.mend = {-1, -1, -1}};
    int tried[2] = {0};
    *best = (Best){.mix = none, .odds = mend_odds(bench, samples, mends, &none)};
    best->worth = worth_of(bench, mends, &none, &best->odds) + fmin(gain_least, best->odds.chance);
    if (best->odds.chance >= sure_enough)
        return;
    for (size_t i = 0; i < count && !fit_over(bench->options, bench->deadline); i++) {
        if (!worth_a_try(bench, mends, &mixes[i], tried))
            continue;
        MendOdds odds = mend_odds(bench, samples, mends, &mixes[i]);
        double worth = worth_of(bench, mends, &mixes[i], &odds);
        if (worth > best->worth && may_be(bench, mends, &mixes[i]))
            *best = (Best){mixes[i], odds, worth};
    }
}

/* A little more or less of the wire, where that is worth more. */
static bool cut_surest(const Bench *bench, const MendSamples *samples, MendList *mends, Best *best,
                       BlyError *err) {
    static const int halves[] = {-8, 8, -4, 4, -2, 2, -1, 1};
    for (size_t i = 0; i < sizeof halves / sizeof *halves; i++) {
        Mix mix;
        if (!mend_cut_longer(bench, halves[i], mends, &best->mix, &mix, err))
            return false;
        MendOdds odds = mend_odds(bench, samples, mends, &mix);
        double worth = worth_of(bench, mends, &mix, &odds);
        if (worth > best->worth && may_be(bench, mends, &mix))
            *best = (Best){mix, odds, worth};
    }
    return true;
}

static bool find(const Bench *bench, const MendSamples *samples, MendList *mends, Best *best,
                 BlyMendPlan *out, BlyError *err) {
    Mix *mixes = malloc(LOOKED_AT * sizeof *mixes);
    size_t count = 0;
    Problem frames = {.build = bench->build,
                      .catalog = bench->catalog,
                      .options = bench->options,
                      .water_count = bench->build->target_water_count};
    bool good = mixes != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the mends");
    good = good && mends_list(bench, mends, err) &&
           mends_likeliest(bench, mends, &frames, LOOKED_AT, mixes, &count, err);
    if (good) {
        choose(bench, samples, mends, mixes, count, best);
        good = best->mix.count == 0 || cut_surest(bench, samples, mends, best, err);
    }
    out->looked_at = count;
    free(mixes);
    return good;
}

/* ---- what comes of it ---- */

static bool work(const Bench *bench, const MendList *mends, const Mix *mix, BlyMendPlan *out,
                 MendCarries *carries, BlyError *err) {
    const BlyBuild *build = bench->build;
    BlyRig rig;
    if (!bly_rig_copy(&rig, &build->fitted, err))
        return false;
    mix_apply(bench, mends, mix, &rig, carries);
    bool good = rig_rework(build, &rig, &out->rig, err);
    out->rig.changes = good ? mix->count : 0;
    out->exchanges = exchanges(mends, mix);
    bly_rig_release(&rig);
    return good;
}

static bool plan(const Bench *bench, BlyMendPlan *out, BlyError *err) {
    MendSamples samples = {0};
    MendList mends = {0};
    MendCarries carries;
    Best best;
    bool good = mend_samples_make(bench, SAMPLES, &samples, err) &&
                find(bench, &samples, &mends, &best, out, err) &&
                work(bench, &mends, &best.mix, out, &carries, err);
    if (good)
        out->farther = best.odds.farther;
    mends_release(&mends);
    mend_samples_release(&samples);
    if (!good || !rig_finish(bench->build, &out->rig, err))
        return false;
    out->ties = build_ties_carry(bench->build, carries.at, (size_t)carries.count, err);
    return out->ties != NULL && mend_foretell(bench, out, err);
}

bool bly_mend_text(const BlyBuild *build, const BlyMendPlan *plan, char **text, BlyError *err) {
    return build_text_mended(build, &plan->rig.rig, plan->ties, text, err);
}

bool bly_mend(const BlyBuild *build, const BlyCatalog *catalog, const BlyFitOptions *options,
              BlyMendPlan *out, BlyError *err) {
    const BlyFitOptions usual = {0};
    MendBench place;
    *out = (BlyMendPlan){.chance = NAN};
    options = options != NULL ? options : &usual;
    if (!mend_bench_open(build, catalog, options, true, &place, err))
        return false;
    place.bench.how.at_once = THINGS_MOST;
    bool good = plan(&place.bench, out, err);
    mend_bench_close(&place);
    if (!good)
        bly_mend_release(out);
    return good;
}

void bly_mend_release(BlyMendPlan *plan) {
    fit_rig_release(&plan->rig);
    build_ties_free(plan->ties);
    plan->ties = NULL;
}
