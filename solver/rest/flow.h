/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Private to the rest room: a lure as the water meets it that drifts straight up or down. */
#ifndef BALLASTRY_REST_FLOW_H
#define BALLASTRY_REST_FLOW_H

#include "ballastry/sink.h"
#include "ballastry/rest.h"
#include "lure/blank.h"

/* Made once for a lure in one water; turned to each angle that is looked at. Wires of one diameter
 * drag alike and turn with no angle: they are one piece at their common centre. */
typedef struct BlyFlow {
    const BlyLure *lure;
    const BlyWater *water;
    double munk; /* m3: volume times what added mass differs across and along, times its factor */
    double log_speed; /* where the next search for a speed begins; NAN: nowhere yet */
    BlyDragSet set;   /* as turned last */
    BlyArea seen;
    BlyDragPiece *pieces; /* owned; set.pieces */
    BlyVec3 *at;          /* owned: where each piece's drag acts */
    const BlyItem **item; /* owned: a plate's item, NULL for wires */
    double *shares;       /* owned: room for the body's and each piece's share */
} BlyFlow;

/* Release in every case. */
bool flow_init(BlyFlow *flow, const BlyLure *lure, const BlyWater *water,
               BlyError *err) BLY_MUST_CHECK;
void flow_release(BlyFlow *flow);

/* Turns the lure nose-down by t. */
bool flow_turn(BlyFlow *flow, double t, BlyError *err) BLY_MUST_CHECK;

/* As turned: the speed (m/s, > 0) at which drag carries this net weight (kg, either sign); no net
 * weight gives the least speed that is still worked with, a micrometre a second. */
bool flow_speed(BlyFlow *flow, double net_weight, double *speed, BlyError *err) BLY_MUST_CHECK;

/* As turned, at a speed: sum of Cd A (m2), the body's share of it, and where it acts (body axes).
 */
typedef struct BlyFlowDrag {
    double area;
    double body_share;
    BlyVec3 centre;
} BlyFlowDrag;
BlyFlowDrag flow_drag(BlyFlow *flow, double speed);

/* What the drift adds to the moment at angle t. */
bool flow_drift(BlyFlow *flow, double t, double net_weight, BlyDrift *out,
                BlyError *err) BLY_MUST_CHECK;

/* The stable rest attitude within 20 degrees of `guess` (rad); false when none is found there. */
bool flow_rest_near(BlyFlow *flow, const BlySums *sums, double guess, double *angle,
                    double *stiffness, BlyError *err) BLY_MUST_CHECK;

#endif
