/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the files of this room share; the public face is ballastry/drag.h. */
#ifndef BALLASTRY_SINK_DRAG_PARTS_H
#define BALLASTRY_SINK_DRAG_PARTS_H

#include "ballastry/drag.h"

/* Where the sphere curve turns down: below it, drag over speed never falls as speed rises. */
#define BLY_DRAG_CRISIS_RE 3.38e5

/* From this sphericity up a body is blended into the sphere. */
#define BLY_DRAG_ROUND_FROM 0.9

/* 0 up to `from`, 1 from `to` on, between them a cubic with level ends. */
double bly_drag_ease(double x, double from, double to);

/* Straight lines through a table whose x rises strictly; x is held to the table's ends. */
double bly_drag_table(const double x[], const double y[], size_t count, double at);

/* Hoelzer & Sommerfeld's formula as printed, singular slope and all. */
double bly_drag_hoelzer(const BlyDragBody *body, double reynolds);

/* Checks everything bly_drag_speed needs but the force. */
bool bly_drag_set_sound(const BlyDragSet *set, const BlyWater *water, BlyError *err);

/* bly_drag_area without the checks; speed > 0. */
double bly_drag_area_raw(const BlyDragSet *set, const BlyWater *water, double speed,
                         double *shares);

/* The bits for a body that moves at a speed (> 0) under a force of either sign. */
unsigned bly_drag_notes(const BlyDragSet *set, const BlyWater *water, double speed, double force);

#endif
