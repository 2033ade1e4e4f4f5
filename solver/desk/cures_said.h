/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BALLASTRY_DESK_CURES_SAID_H
#define BALLASTRY_DESK_CURES_SAID_H

#include "desk/cures.h"
#include "report/report.h"

void text_cures(const Report *report, const CuresWork *work);
cJSON *json_cures(const CuresWork *work); /* docs/output.md */

#endif
