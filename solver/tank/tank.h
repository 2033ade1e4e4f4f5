/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The room tank for the other rooms: how the scale's readings of one lure, stage after stage, go
 * together. */
#ifndef BALLASTRY_TANK_TANK_H
#define BALLASTRY_TANK_TANK_H

#include "ballastry/tank.h"

/* A reading of the scale with what the build said before it, which knew all readings before. kg;
 * gives of 95 of 100, both above 0. */
typedef struct TankStage {
    BlyFigure read, planned;
} TankStage;

/* Which of count (>= 2) readings in the order in which they were taken is the odd one, the last of
 * them being too far off: that without which the others agree best. Each later reading weighs what
 * the one before did and more. *sure: no other does about as well (chi-square within 4). */
size_t tank_odd_one(const TankStage *at, size_t count, bool *sure);

#endif
