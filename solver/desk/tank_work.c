/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What readings teach, and what to measure next of the lure as it then is. */
#include "desk/desk.h"
#include "desk/tank.h"
#include "desk/work.h"

#include <stdlib.h>
#include <string.h>

bool tank_work(const BlyBuild *build, TankWork *w, BlyError *err) {
    return bly_tank_learn(build, w->readings, w->count, &w->water, &w->result, err) &&
           bly_tank_forecast(build, &w->water, &w->result, &w->before, &w->after, err) &&
           bly_build_slips(build, &build->fitted, &w->slips, err);
}

static bool is_whole(const BlyBuild *build) {
    bool whole = true;
    for (size_t s = 0; s < build->seat_count; s++)
        whole = whole && bly_tank_lacks(build, s) == BLY_PART_KINDS;
    return whole;
}

bool tank_next(const BlyBuild *build, const BlyCatalog *catalog, const BlyBuildFiles *files,
               TankWork *w, BlyError *err) {
    const LearntNotes notes = {w->readings, w->count, &w->water, NULL};
    char *text = NULL;
    BlyBuild *corrected = NULL;
    if (!build->has_target || !is_whole(build))
        return true;
    w->reserve = calloc(1, sizeof *w->reserve);
    if (w->reserve == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the reserve");
    bool good = learnt_text(build, &w->result, &notes, &text, err) &&
                bly_build_read_with(text, strlen(text), catalog, files, &corrected, err) &&
                bly_reserve(corrected, catalog, &corrected->fitted, NULL, w->reserve, err) &&
                worth_work(corrected, catalog, &corrected->fitted, NULL, &w->worth, err);
    bly_build_free(corrected);
    free(text);
    return good;
}

void tank_work_release(TankWork *w) {
    free(w->worth);
    free(w->reserve);
    bly_tank_release(&w->result);
    bly_slips_release(&w->slips);
}

TankReport tank_report(const BlyBuild *build, const TankWork *w, const char *file, bool anyway) {
    return (TankReport){build,     w->readings, &w->water, &w->result, &w->before, &w->after,
                        &w->slips, file,        anyway,    w->worth,   w->reserve};
}

bool tank_refused(const TankWork *w, bool anyway) {
    return w->result.contradiction && !anyway;
}
