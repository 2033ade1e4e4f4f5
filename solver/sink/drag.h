/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the sink room: what its files share of the drag formulas. */
#ifndef BALLASTRY_SINK_DRAG_H
#define BALLASTRY_SINK_DRAG_H

#include "ballastry/sink.h"

/* Where the sphere curve turns down: below it, drag over speed never falls as speed rises. */
#define DRAG_CRISIS_RE 3.38e5

/* From this sphericity up a body is blended into the sphere. */
#define DRAG_ROUND_FROM 0.9

/* The same for what it drags end on, which has no singular slope to hide. */
#define DRAG_END_ROUND_FROM 0.95

/* 0 up to `from`, 1 from `to` on, between them a cubic with level ends. */
double drag_ease(double x, double from, double to);

/* Straight lines through a table whose x rises strictly; x is held to the table's ends. */
double drag_table(const double x[], const double y[], size_t count, double at);

/* Hoelzer & Sommerfeld's formula as printed, singular slope and all. */
double drag_hoelzer(const BlyDragBody *body, double reynolds);

/* The Cd of that formula that is left at great Re. */
double drag_newton(double sphericity, double crosswise);

/* Checks everything bly_drag_speed needs but the force. */
bool drag_set_sound(const BlyDragSet *set, const BlyWater *water, BlyError *err);

/* bly_drag_area without the checks; speed > 0. */
double drag_area_raw(const BlyDragSet *set, const BlyWater *water, double speed, double *shares);

/* The bits for a body that moves at a speed (> 0) under a force of either sign. */
unsigned drag_notes(const BlyDragSet *set, const BlyWater *water, double speed, double force);

#endif
