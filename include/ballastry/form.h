/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plain solids that lie in a blank: balls, rods, tubes, discs and boxes, hollow or not. SI, body
 * axes. */
#ifndef BALLASTRY_FORM_H
#define BALLASTRY_FORM_H

#include "ballastry/error.h"
#include "ballastry/vec.h"

BLY_API_BEGIN

typedef enum BlyFormKind {
    BLY_FORM_BALL, /* about `from`, of `radius` */
    BLY_FORM_ROD,  /* round, from `from` to `to`: both at one y, or in line along y */
    BLY_FORM_BOX   /* along the axes, from the corner `from` (least) to `to` (greatest) */
} BlyFormKind;

typedef struct BlyForm {
    BlyFormKind kind;
    BlyVec3 from, to;
    double radius;
    double bore; /* radius of the hollow inside, 0: none; a box has none */
} BlyForm;

double bly_form_volume(const BlyForm *form); /* m3, of its outside: the hollow counts */
double bly_form_hollow(const BlyForm *form); /* m3 of the hollow */
BlyVec3 bly_form_centre(const BlyForm *form);

/* Where the line across the lure through (x, z) is in the solid (hollow: in its hollow):
 * low <= y <= high. False when it misses it. */
bool bly_form_column(const BlyForm *form, bool hollow, double x, double z, double *low,
                     double *high);
bool bly_form_holds(const BlyForm *form, BlyVec3 point);

/* Parts the solid into columns across the lure, some 1500: calls visit with the middle line of each
 * and its ground (m2). The columns' volumes add up to the solid's, and their moments to its
 * moments, to rounding. Fails with BLY_E_MEMORY only. */
typedef void (*BlyColumnVisit)(double x, double z, double low, double high, double ground,
                               void *user);
bool bly_form_columns(const BlyForm *form, BlyColumnVisit visit, void *user,
                      BlyError *err) BLY_MUST_CHECK;

BLY_API_END

#endif
