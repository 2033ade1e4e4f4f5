/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether a lure can be mended at all, and what lies ready for it: craft, box, order of mending. */
#include "fit/mend_now.h"

#include <stdlib.h>

static bool check(const BlyBuild *build, const BlyFitOptions *options, BlyError *err) {
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

/* What the box holds few of, by what may change on the lure. */
static bool open_box(const BlyBuild *build, const BlyCatalog *catalog, FitBox *out, BlyError *err) {
    unsigned *open = calloc(build->seat_count + 1, sizeof *open);
    if (open == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the box");
    for (size_t s = 0; s < build->seat_count; s++)
        open[s] = bly_seat_mendable(&build->seats[s], &build->fitted.at[s], build->coat_count > 0);
    bool good = box_begin(build, catalog, open, out, err);
    free(open);
    return good;
}

bool mend_bench_open(const BlyBuild *build, const BlyCatalog *catalog, const BlyFitOptions *options,
                     bool by_scale, MendBench *out, BlyError *err) {
    if (!check(build, options, err) || !craft_begin(build, catalog, 0, &out->craft, err))
        return false;
    if (!open_box(build, catalog, &out->box, err)) {
        craft_end(&out->craft);
        return false;
    }
    out->bench = (Bench){.build = build,
                         .catalog = catalog,
                         .options = options,
                         .craft = &out->craft,
                         .box = &out->box,
                         .how = bly_practice_mending(bly_catalog_practice(catalog)),
                         .by_scale = by_scale,
                         .deadline = fit_deadline(options)};
    return true;
}

void mend_bench_close(MendBench *bench) {
    box_end(&bench->box);
    craft_end(&bench->craft);
}
