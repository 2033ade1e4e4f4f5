/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A finished lure: what a maker would still do to it, the surest first. */
#include "fit/mend_now.h"
#include "fit/mend_search.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

bool mend_check(const BlyBuild *build, const BlyFitOptions *options, BlyError *err) {
    if (!build->has_target)
        return bly_fail(err, BLY_E_MISSING, "/target", "fit needs to know what is wanted");
    if (options->rigs > BLY_FIT_RIGS_MAX)
        return bly_fail(err, BLY_E_RANGE, NULL, "at most %d rigs", BLY_FIT_RIGS_MAX);
    if (build->target_water_count == 0 || build->target_water_count > BLY_FIT_WATERS_MAX)
        return bly_fail(err, BLY_E_RANGE, "/target/water", "between 1 and %d waters",
                        BLY_FIT_WATERS_MAX);
    char lacks[BLY_TEXT_MAX / 2];
    if (bly_tank_unfinished(build, lacks, sizeof lacks))
        return bly_fail(err, BLY_E_MISSING, "/seats",
                        "%s; `swap` says what hangs on it, `fit` has it chosen", lacks);
    for (size_t s = 0; s < build->seat_count; s++) {
        if (bly_seat_mendable(&build->seats[s], &build->fitted.at[s], build->coat_count > 0) != 0)
            return true;
    }
    return bly_fail(err, BLY_E_MISSING, "/seats",
                    "nothing may change on this lure: name under \"open\" of a seat what may");
}

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

/* What the box holds few of, by what may change on the lure. */
bool mend_open_box(const BlyBuild *build, const BlyCatalog *catalog, FitBox *out, BlyError *err) {
    unsigned *open = calloc(build->seat_count + 1, sizeof *open);
    if (open == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the box");
    for (size_t s = 0; s < build->seat_count; s++)
        open[s] = bly_seat_mendable(&build->seats[s], &build->fitted.at[s], build->coat_count > 0);
    bool good = box_begin(build, catalog, open, out, err);
    free(open);
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
    Craft craft;
    FitBox box;
    *out = (BlyFitResult){
        .finished = true, .surest = options->by_reserve, .complete = true, .gap = NAN};
    if (!mend_check(build, options, err) || !craft_begin(build, catalog, 0, &craft, err))
        return false;
    if (!mend_open_box(build, catalog, &box, err)) {
        craft_end(&craft);
        return false;
    }
    const Bench bench = {.build = build,
                         .catalog = catalog,
                         .options = options,
                         .craft = &craft,
                         .box = &box,
                         .how = bly_practice_mending(bly_catalog_practice(catalog)),
                         .deadline = fit_deadline(options)};
    bool good = mend(&bench, options->rigs == 0 ? 5 : options->rigs, out, err);
    box_end(&box);
    craft_end(&craft);
    if (!good)
        bly_fit_release(out);
    return good;
}
