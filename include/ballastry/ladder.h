/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The weigh ladder: what the scale should read after each step of the work. */
#ifndef BALLASTRY_LADDER_H
#define BALLASTRY_LADDER_H

#include "ballastry/lure.h"

BLY_API_BEGIN

typedef enum BlyStep {
    BLY_STEP_BLANK,   /* the bare blank */
    BLY_STEP_CUT,     /* slot cut and eye holes drilled: lighter */
    BLY_STEP_MOUNTED, /* eyes and lip glued in */
    BLY_STEP_METAL,   /* strips and dots on the surface */
    BLY_STEP_COAT,    /* coats */
    BLY_STEP_HUNG,    /* rings, hooks, wire, snap */
    BLY_STEPS
} BlyStep;

typedef struct BlyRung {
    double adds;  /* kg, may be negative */
    double reads; /* kg on the scale afterwards */
    double give;  /* kg, half-width of `reads` that 95 of 100 keep, from the parts' own gives */
} BlyRung;

/* Adds up a lure's items step by step; the last rung reads the lure's dry mass (a leader and water
 * taken up are left out). Steps that add nothing keep the reading. */
void bly_ladder(const BlyLure *lure, BlyRung out[BLY_STEPS]);

const char *bly_step_words(BlyStep step); /* "slot cut and eye holes drilled" */

BLY_API_END

#endif
