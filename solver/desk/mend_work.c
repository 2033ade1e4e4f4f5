/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/mend_work.h"

bool mend_work(const BlyBuild *build, const BlyCatalog *catalog, const BlyFitOptions *options,
               MendWork *w, BlyError *err) {
    *w = (MendWork){0};
    return bly_mend(build, catalog, options, &w->plan, err) &&
           bly_build_slips(build, &w->plan.rig.rig, &w->slips, err);
}

void mend_work_release(MendWork *w) {
    bly_mend_release(&w->plan);
    bly_slips_release(&w->slips);
}
