/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The maker's box: what lies in it, what a rig takes out of it, what has to be bought. */
#ifndef BALLASTRY_REPORT_BOX_H
#define BALLASTRY_REPORT_BOX_H

#include "report/result.h"

/* One line with the parts of a rig that are neither fitted nor in the box; nothing without a box.
 */
void text_to_buy(const Report *report, const BlyBuild *build, const BlyRig *rig);
bool put_to_buy(cJSON *object, const BlyBuild *build, const BlyRig *rig); /* "to_buy", the same */

/* Everything in the box; `takes` (NULL: no rig) is what a rig takes, by part of the catalog, which
 * also names what has to be bought for it. */
void text_box(const Report *report, const BlyCatalog *catalog, const double *takes);
cJSON *json_box(const BlyCatalog *catalog, const double *takes);

#endif
