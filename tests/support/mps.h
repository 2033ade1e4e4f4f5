/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A choice programme written for other solvers. */
#ifndef BALLASTRY_TESTS_MPS_H
#define BALLASTRY_TESTS_MPS_H

#include "programme/programme.h"

/* Writes the programme as a free MPS file: a whole number of 0 or 1 for each column, one a group;
 * a column that may be filed has a length besides; what a class or target pays is a number of its
 * own. Forbidden pairs are left out, so its best rig costs no more than ours. False when the file
 * cannot be written. */
bool mps_write(const Programme *programme, const char *path);

#endif
