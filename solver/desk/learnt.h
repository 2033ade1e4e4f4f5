/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a tank taught, written into a build. */
#ifndef BALLASTRY_DESK_LEARNT_H
#define BALLASTRY_DESK_LEARNT_H

#include "ballastry/tank.h"

/* Whether a correction is worth writing: something was learnt of it, or it moved. */
bool learnt_worth(const BlyCorrection *correction);

/* The build's text with the corrections in it, all else as it was; free(*text) by the caller. */
bool learnt_text(const BlyBuild *build, const BlyTankResult *result, char **text,
                 BlyError *err) BLY_MUST_CHECK;

#endif
