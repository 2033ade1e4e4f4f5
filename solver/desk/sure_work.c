/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How sure a build's figures are, and how it can still be trimmed. */
#include "desk/work.h"

#include <stdlib.h>

bool spread_work(const BlyBuild *build, const BlyRig *rig, SureWork *w, BlyError *err) {
    const BlySpreadOptions quick = {.sample_all = true};
    const BlyTarget *target = build->has_target ? &build->target : NULL;
    *w = (SureWork){.spread = calloc(2, sizeof *w->spread), .spread_count = target != NULL ? 2 : 1};
    if (w->spread == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the spread");
    return bly_spread(build, rig, &build->water, 1, target, NULL, &w->spread[0], err) &&
           (target == NULL ||
            bly_spread(build, rig, build->target_waters, build->target_water_count, target, &quick,
                       &w->spread[1], err));
}

bool sure_work(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *rig, SureWork *w,
               BlyError *err) {
    if (!spread_work(build, rig, w, err))
        return false;
    if (!build->has_target)
        return true;
    w->reserve = calloc(1, sizeof *w->reserve);
    if (w->reserve == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the reserve");
    return bly_reserve(build, catalog, rig, NULL, w->reserve, err);
}

bool worth_work(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *rig,
                const TrimHalt *halt, Worth **out, BlyError *err) {
    *out = NULL;
    if (!build->has_target)
        return true;
    *out = calloc(1, sizeof **out);
    if (*out == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for what to measure next");
    return worth_find(build, catalog, rig, NULL, halt, *out, err);
}

void sure_work_release(SureWork *w) {
    free(w->spread);
    free(w->reserve);
    *w = (SureWork){0};
}

static const BlySpread *in_target(const SureWork *w) {
    return w->spread_count > 1 ? &w->spread[1] : NULL;
}

void sure_text(const Report *report, const BlyBuild *build, const BlyRig *rig, const SureWork *w,
               bool trims) {
    text_spread(report, build, &w->spread[0], in_target(w), w->reserve != NULL);
    if (w->reserve == NULL)
        return;
    if (trims)
        text_reserve(report, "  ", build, rig, w->reserve);
    else
        text_chances(report, "  ", w->reserve);
}

bool put_sure(cJSON *o, const BlyBuild *build, const SureWork *w) {
    return put_tree(o, "spread", json_spread(build, &w->spread[0], in_target(w))) &&
           (w->reserve == NULL || put_tree(o, "reserve", json_reserve(build, w->reserve)));
}
