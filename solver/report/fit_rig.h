/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One rig of a fit as text; private to this room. */
#ifndef BALLASTRY_REPORT_FIT_RIG_H
#define BALLASTRY_REPORT_FIT_RIG_H

#include "report/box.h"
#include "report/lines.h"
#include "report/sure.h"
#include "report/wish.h"

typedef struct FitShown {
    const BlyFitResult *result;
    const BlyReserve *reserves; /* one a rig, or NULL */
    const BlyTowWished *wished; /* one a rig, where the target asks for the line; else NULL */
    unsigned common;            /* notes of all rigs, told once */
    bool full;
} FitShown;

unsigned fit_rig_notes(const BlyFitRig *rig);
/* The rig with what it does and what to do after the tank test; each line ends. */
void text_rig_found(const Report *report, const BlyBuild *build, const FitShown *shown,
                    size_t index);
/* The same in two lines: chance and what it does, then what differs from the first rig. */
void text_rig_beside(const Report *report, const BlyBuild *build, const FitShown *shown,
                     size_t index);

#endif
