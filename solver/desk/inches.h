/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A fresh build's text in inches and degrees Fahrenheit. */
#ifndef BALLASTRY_DESK_INCHES_H
#define BALLASTRY_DESK_INCHES_H

#include "ballastry/error.h"

/* What starters and usual seats say, to the nearest 0.005 in (of the body and its coats 0.0005 in,
 * of speeds 0.05 in/s) in as few digits as do. Widths of seats are rounded up, so that a strip that
 * went in still does. What the maker said of the body (outline, mesh, readings, mass) keeps the
 * maker's words. *text is replaced and the old one freed; on failure it is as it was. */
bool text_in_inches(char **text, BlyError *err) BLY_MUST_CHECK;

#endif
