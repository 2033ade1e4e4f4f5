/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Results as text for people and as JSON for programs, both from the same structs. Nothing is
 * worked out here but the choice of words and digits. */
#ifndef BALLASTRY_REPORT_H
#define BALLASTRY_REPORT_H

#include "report/book.h"
#include "report/box.h"
#include "report/mend.h"
#include "report/pour.h"
#include "report/result.h"
#include "report/sure.h"
#include "report/tank.h"
#include "report/tow.h"
#include "report/water.h"
#include "report/wish.h"
#include "report/worth.h"

#endif
