/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The reading that buys most, of those that tell most. */
#include "worth/worth.h"

#include <math.h>

enum { WORKED_MOST = 5, LURES = 512 };
static const double as_good = 0.01; /* in chance: then the quicker one */

typedef struct Asked {
    const BlyBuild *build;
    const BlyRig *rig;
    Worth *out;
} Asked;

static size_t list(const void *context, const BlyInput *inputs, size_t count,
                   TrimKnown known[TRIM_KNOWN_MAX]) {
    const Asked *asked = context;
    return worth_list(asked->build, asked->rig, inputs, count, known, asked->out->act);
}

static void choose(Worth *w) {
    double most = -INFINITY;
    w->best = -1;
    for (size_t i = 0; i < w->count; i++)
        most = isnan(w->act[i].chance) ? most : fmax(most, w->act[i].chance);
    if (!(most - w->now >= WORTH_LEAST))
        return;
    for (size_t i = 0; i < w->count; i++) {
        if (w->act[i].chance >= most - as_good &&
            (w->best < 0 || w->act[i].minutes < w->act[w->best].minutes ||
             (w->act[i].minutes == w->act[w->best].minutes &&
              w->act[i].chance > w->act[w->best].chance)))
            w->best = (int)i;
    }
}

bool worth_find(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *rig,
                const BlyReserveOptions *options, const TrimHalt *halt, Worth *out, BlyError *err) {
    BlyReserveOptions asked = options ? *options : (BlyReserveOptions){0};
    const Asked context = {build, rig, out};
    double chance[TRIM_KNOWN_MAX];
    BlyStage reached;
    *out = (Worth){.best = -1, .tests = build->tests};
    out->made = build_reached(build, &reached) && reached == BLY_STAGE_COMPLETE;
    if (asked.samples == 0)
        asked.samples = LURES;
    if (!trim_knowing(build, catalog, rig, &asked, list, &context, WORKED_MOST, halt, &out->now,
                      chance, &out->count, err))
        return false;
    /* To know more costs nothing: what so few lures tell below that is their noise. */
    for (size_t i = 0; i < out->count; i++)
        out->act[i].chance = isnan(chance[i]) ? NAN : fmax(chance[i], out->now);
    choose(out);
    return true;
}
