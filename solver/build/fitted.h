/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What reading and writing of "fitted" share. */
#ifndef BALLASTRY_BUILD_FITTED_H
#define BALLASTRY_BUILD_FITTED_H

#include "build/sections.h"

/* Fails with the nearest seat's name. */
bool build_unknown_seat(const BlyBuild *build, const BlyJson *field, BlyError *err);
const char *build_near_seat(const BlyBuild *build, const char *name);

/* The document in its canonical form; free(*text) by the caller. */
bool build_print(const cJSON *doc, char **text, BlyError *err) BLY_MUST_CHECK;

/* Puts value, owned from here on, in the place of the member that is there. False without memory.
 */
bool build_replace(cJSON *object, const char *key, cJSON *value) BLY_MUST_CHECK;

#endif
