/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a new lure is to do, where the maker says no more of it than float, suspend or sink. */
#ifndef BALLASTRY_DESK_AIMS_H
#define BALLASTRY_DESK_AIMS_H

#include "ballastry/build.h"
#include "text/text.h"

/* "float", "suspend" or "sink"; anything else fails, naming `option`. */
bool aim_read(const char *word, const char *option, BlyState *out, BlyError *err) BLY_MUST_CHECK;

/* What the coated body without parts weighs for each cm3 that it displaces, in g. */
bool aim_weighs(const BlyBuild *build, double *out, BlyError *err) BLY_MUST_CHECK;

/* A "target" as JSON, without its name. `weighs` as above counts for what floats: the lighter, the
 * more of it is to show, by Archimedes' law, in steps of 5 %. */
void aim_put(BlyState state, bool lip, double weighs, BlyText *out);

/* The text of a starter with another state aimed at; the same where it has that one. `build` is as
 * read from a text; free(*text) by the caller. */
bool aim_text(const BlyBuild *build, BlyState state, char **text, BlyError *err) BLY_MUST_CHECK;

#endif
