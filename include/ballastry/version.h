/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which version this is, and what a program does before it asks anything of the library. */
#ifndef BALLASTRY_VERSION_H
#define BALLASTRY_VERSION_H

#include "ballastry/api.h"

#define BLY_VERSION_MAJOR 0
#define BLY_VERSION_MINOR 1
#define BLY_VERSION_PATCH 0
#define BLY_VERSION "0.1.0"
/* To compare: #if BLY_VERSION_NUMBER >= 10203 asks for 1.2.3 or later. */
#define BLY_VERSION_NUMBER (BLY_VERSION_MAJOR * 10000 + BLY_VERSION_MINOR * 100 + BLY_VERSION_PATCH)

BLY_API_BEGIN

/* The version of the library that is linked; BLY_VERSION is that of the headers. Below 1.0.0 a new
 * minor version may change records, so the two must agree in it. Never NULL. */
const char *bly_version(void);
int bly_version_number(void);

/* Once, before anything else and before there are threads: from then on the scientific library
 * (GSL) reports its errors to the library, which looks at each, in place of ending the program. It
 * holds for the whole process, and is not undone. May be called again. */
void bly_begin(void);

BLY_API_END

#endif
