/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What commands and page share: a maker's words in, the jobs of the tool worked through, their
 * results told. Files, sockets and exit statuses are theirs. */
#ifndef BALLASTRY_DESK_H
#define BALLASTRY_DESK_H

#include "desk/aims.h"
#include "desk/book.h"
#include "desk/box.h"
#include "desk/cures.h"
#include "desk/cures_said.h"
#include "desk/from_water.h"
#include "desk/inches.h"
#include "desk/learnt.h"
#include "desk/mend_work.h"
#include "desk/pour.h"
#include "desk/print_body.h"
#include "desk/readings.h"
#include "desk/scaled.h"
#include "desk/stages.h"
#include "desk/starters.h"
#include "desk/tank.h"
#include "desk/towing.h"
#include "desk/work.h"
#include "desk/today.h"

#endif
