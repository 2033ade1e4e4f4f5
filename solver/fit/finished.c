/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A finished lure: what a maker would still do to it, the surest first. */
#include "fit/mend_now.h"
#include "fit/mend_search.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Hands the list's rigs over. */
static bool give(const Bench *bench, MendedList *list, BlyFitResult *out, BlyError *err) {
    out->rigs = calloc(list->count + 1, sizeof *out->rigs);
    if (out->rigs == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the rigs");
    const BlyBuild *build = bench->build;
    bool good = true;
    for (size_t i = 0; good && i < list->count; i++) {
        out->rigs[out->count] = list->at[i].rig;
        memset(&list->at[i].rig, 0, sizeof list->at[i].rig);
        good = rig_finish(build, &out->rigs[out->count++], err);
    }
    out->met = list->met;
    out->stopped = list->stopped || fit_over(bench->options, bench->deadline);
    out->complete = !out->stopped;
    return good;
}

static bool mend(const Bench *bench, size_t wanted, BlyFitResult *out, BlyError *err) {
    const BlyBuild *build = bench->build;
    MendList mends = {0};
    MendedList list = {0};
    Problem frames = {.build = build,
                      .catalog = bench->catalog,
                      .options = bench->options,
                      .water_count = build->target_water_count};
    fit_tell(bench->options, &(BlyFitProgress){.stage = BLY_FIT_GATHERS, .off = NAN, .gap = NAN});
    bool good = mends_list(bench, &mends, err) && mends_work(bench, &mends, &frames, &list, err);
    list.stopped = list.stopped || fit_over(bench->options, bench->deadline);
    if (good) {
        out->columns = mends.count;
        out->nodes = list.count;
        problem_impossible(&frames, out->impossible, sizeof out->impossible);
        good = mends_rank(bench, &mends, wanted, &list, err) && give(bench, &list, out, err);
    }
    mends_release(&mends);
    mended_release(&list);
    return good;
}

bool bly_fit_finished(const BlyBuild *build, const BlyCatalog *catalog,
                      const BlyFitOptions *options, BlyFitResult *out, BlyError *err) {
    MendBench place;
    *out = (BlyFitResult){
        .finished = true, .surest = options->by_reserve, .complete = true, .gap = NAN};
    if (!mend_bench_open(build, catalog, options, false, &place, err))
        return false;
    bool good = mend(&place.bench, options->rigs == 0 ? 5 : options->rigs, out, err);
    mend_bench_close(&place);
    if (!good)
        bly_fit_release(out);
    return good;
}
