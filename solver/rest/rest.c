/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a lure does in one water: attitude, speed and drag worked together. Speed is solved anew at
 * every angle that the search for the rest attitude looks at, so both agree when it ends. */
#include "moments/moments.h"
#include "rest/flow.h"

#include <gsl/gsl_math.h>

BlyState bly_state_of(double drift) {
    if (fabs(drift) <= BLY_SUSPEND_SPEED)
        return BLY_SUSPENDS;
    return drift < 0.0 ? BLY_FLOATS : BLY_SINKS;
}

typedef struct Search {
    BlyFlow *flow;
    double net_weight;
    BlyError *err;
} Search;

static bool drift_at(double t, void *user, BlyDrift *out) {
    Search *search = user;
    return flow_drift(search->flow, t, search->net_weight, out, search->err);
}

/* A lure let go level turns as F says, nose down where F is below zero, until it meets the first
 * rest on that way round. `rests` are sorted by distance from level. */
static size_t reached_from_level(const BlyRestPoint *rests, size_t count, double f_level) {
    size_t best = 0;
    double best_way = INFINITY;
    for (size_t i = 0; i < count; i++) {
        double way = f_level < 0.0 ? rests[i].angle : -rests[i].angle;
        if (fabs(rests[i].angle) < 1e-9)
            return i;
        if (way < 0.0)
            way += 2.0 * M_PI;
        if (way < best_way) {
            best = i;
            best_way = way;
        }
    }
    return best;
}

/* `guess` NAN: the whole circle. An error on the way to a guess is left to the whole circle. */
static bool find_rest(BlyFlow *flow, double guess, BlyOutcome *out, BlyError *err) {
    if (isfinite(guess) &&
        flow_rest_near(flow, &out->sums, guess, &out->nose_down, &out->stiffness, NULL)) {
        out->rest_count = 1;
        out->rests[0] = out->nose_down;
        return true;
    }
    Search search = {flow, out->sums.net_weight, err};
    BlyRestPoint rests[BLY_RESTS_MAX];
    BlyDrift level;
    out->nose_down = NAN;
    if (!bly_balance_rests(&out->sums, drift_at, &search, rests, &out->rest_count, err) ||
        !drift_at(0.0, &search, &level))
        return false;
    for (size_t i = 0; i < out->rest_count; i++)
        out->rests[i] = rests[i].angle;
    if (out->rest_count == 0)
        return true;
    WeightInWater weight = {out->sums.net_weight, out->sums.wx, out->sums.wz};
    double f_level = moments_turning(weight, 1.0, 0.0, level.drag_x, level.couple);
    size_t chosen = reached_from_level(rests, out->rest_count, f_level);
    out->nose_down = rests[chosen].angle;
    out->stiffness = rests[chosen].stiffness;
    return true;
}

/* Speed and drag at the rest attitude; a lure without one is taken as level. */
static bool find_drift(BlyFlow *flow, BlyOutcome *out, unsigned *drag_notes, BlyError *err) {
    double speed, force = out->sums.net_weight * BLY_GRAVITY;
    BlyDragResult result;
    if (!flow_turn(flow, isnan(out->nose_down) ? 0.0 : out->nose_down, err) ||
        !flow_speed(flow, out->sums.net_weight, &speed, err) ||
        !bly_drag_speed(&flow->set, flow->water, force, &result, err))
        return false;
    BlyFlowDrag drag = flow_drag(flow, speed);
    out->drag_centre = drag.centre;
    out->drag_area = drag.area;
    out->body_drag_share = drag.body_share;
    out->drift = result.speed;
    out->reynolds = result.reynolds;
    *drag_notes = result.speed == 0.0 ? 0u : result.notes;
    return true;
}

static unsigned drag_notes_as_ours(unsigned drag) {
    unsigned notes = 0;
    if (drag & (BLY_DRAG_NOTE_CRISIS | BLY_DRAG_NOTE_SLIM | BLY_DRAG_NOTE_SLANT))
        notes |= BLY_NOTE_BODY_DRAG_RANGE;
    if (drag & BLY_DRAG_NOTE_WIRE)
        notes |= BLY_NOTE_WIRE_DRAG_RANGE;
    if (drag & (BLY_DRAG_NOTE_PLATE_SLOW | BLY_DRAG_NOTE_PLATE_EDGE))
        notes |= BLY_NOTE_PLATE_DRAG_RANGE;
    if (drag & BLY_DRAG_NOTE_ZIGZAG)
        notes |= BLY_NOTE_FAST_RISE;
    return notes;
}

/* Heel is held with M arm cos t. A lure that is held neither way is not said to lie on its back. */
static unsigned roll_notes(const BlyOutcome *out) {
    static const double hair =
        1e-3; /* rad past a quarter turn: still upright on its nose or tail */
    if (fabs(out->roll_arm) <= BLY_ROLL_HOLDS)
        return BLY_NOTE_ROLL_NEUTRAL;
    double held = out->roll_arm * (isnan(out->nose_down) ? 1.0 : cos(out->nose_down));
    unsigned notes = held < 0.0 ? BLY_NOTE_ROLL_UNSTABLE : 0u;
    return fabs(out->nose_down) > M_PI_2 + hair ? notes | BLY_NOTE_UPSIDE_DOWN : notes;
}

static unsigned lure_notes(const BlyLure *lure, const BlyOutcome *out) {
    const BlyBodyFacts *facts = &lure->blank->facts;
    unsigned notes = roll_notes(out);
    if (out->rest_count == 0)
        notes |= BLY_NOTE_NO_REST;
    if (out->rest_count > 1)
        notes |= BLY_NOTE_MANY_RESTS;
    if (!isfinite(facts->expansion.value))
        notes |= BLY_NOTE_EXPANSION_UNKNOWN;
    else if (facts->expansion_origin == BLY_FROM_MEMORY)
        notes |= BLY_NOTE_EXPANSION_MEMORY;
    if (bly_lure_hooks_touch(lure))
        notes |= BLY_NOTE_HOOKS_TOUCH;
    return notes;
}

bool bly_rest_near(const BlyLure *lure, const BlyWater *water, double guess, BlyOutcome *out,
                   BlyError *err) {
    BlyFlow flow;
    unsigned drag_notes = 0;
    *out = (BlyOutcome){.water = *water};
    bly_balance_sums(lure, water, &out->sums);
    bool good = flow_init(&flow, lure, water, err) && find_rest(&flow, guess, out, err) &&
                find_drift(&flow, out, &drag_notes, err);
    flow_release(&flow);
    if (!good)
        return false;
    out->state = bly_state_of(out->drift);
    out->roll_arm = bly_balance_roll_arm(&out->sums, out->drag_centre.z);
    out->notes = drag_notes_as_ours(drag_notes) | lure_notes(lure, out);
    return true;
}

bool bly_rest_under_water(const BlyLure *lure, const BlyWater *water, BlyOutcome *out,
                          BlyError *err) {
    return bly_rest_near(lure, water, NAN, out, err);
}

bool bly_rest(const BlyLure *lure, const BlyWater *water, BlyOutcome *out, BlyError *err) {
    if (!bly_rest_under_water(lure, water, out, err))
        return false;
    if (out->state != BLY_FLOATS)
        return true;
    if (!bly_balance_float(lure, water, &out->surface, err))
        return false;
    out->has_surface = true;
    if (out->surface.film >= -out->sums.net_weight)
        out->notes |= BLY_NOTE_FILM;
    return true;
}

bool bly_rest_speed(const BlyLure *lure, const BlyWater *water, double nose_down, double net_weight,
                    double *speed, BlyError *err) {
    BlyFlow flow;
    BlyDragResult result = {0};
    bool good = flow_init(&flow, lure, water, err) && flow_turn(&flow, nose_down, err) &&
                bly_drag_speed(&flow.set, water, net_weight * BLY_GRAVITY, &result, err);
    flow_release(&flow);
    if (good)
        *speed = result.speed;
    return good;
}

bool bly_rest_net_weight(const BlyLure *lure, const BlyWater *water, double nose_down, double speed,
                         double *net_weight, BlyError *err) {
    BlyFlow flow;
    bool good = isfinite(speed) || bly_fail(err, BLY_E_RANGE, NULL, "a speed that is not a number");
    *net_weight = 0.0;
    good = flow_init(&flow, lure, water, err) && good && flow_turn(&flow, nose_down, err);
    if (good && speed != 0.0)
        *net_weight = 0.5 * water->density * speed * fabs(speed) / BLY_GRAVITY *
                      flow_drag(&flow, fabs(speed)).area;
    flow_release(&flow);
    return good;
}

bool bly_rest_drag_centre(const BlyLure *lure, const BlyWater *water, double nose_down,
                          double net_weight, BlyVec3 *out, BlyError *err) {
    BlyFlow flow;
    double speed;
    bool good = flow_init(&flow, lure, water, err) && flow_turn(&flow, nose_down, err) &&
                flow_speed(&flow, net_weight, &speed, err);
    if (good)
        *out = flow_drag(&flow, speed).centre;
    flow_release(&flow);
    return good;
}

bool bly_rest_hold(const BlyLure *lure, const BlyWater *water, double nose_down,
                   const double *speeds, size_t count, BlyHold *out, BlyError *err) {
    BlyFlow flow;
    bool good = flow_init(&flow, lure, water, err) && flow_turn(&flow, nose_down, err);
    for (size_t i = 0; good && i < count; i++) {
        BlyFlowDrag drag = flow_drag(&flow, speeds[i]);
        out[i] = (BlyHold){drag.area, drag.centre, flow.munk / drag.area * sin(2.0 * nose_down)};
        good = drag.area > 0.0 || bly_fail(err, BLY_E_RANGE, NULL, "a speed that is not positive");
    }
    flow_release(&flow);
    return good;
}
