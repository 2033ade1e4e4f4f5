/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to do now to a finished lure, and what comes of it. */
#ifndef BALLASTRY_DESK_MEND_WORK_H
#define BALLASTRY_DESK_MEND_WORK_H

#include "ballastry/mend.h"
#include "report/report.h"

typedef struct MendWork {
    BlyMendPlan plan;
    BlySlips slips; /* of the lure as mended */
} MendWork;

/* Fails as bly_mend does. Release it in every case. */
bool mend_work(const BlyBuild *build, const BlyCatalog *catalog, const BlyFitOptions *options,
               MendWork *out, BlyError *err) BLY_MUST_CHECK;
void mend_work_release(MendWork *work);

#endif
