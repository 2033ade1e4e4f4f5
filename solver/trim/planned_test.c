/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A planned test: a look at the finished lure in the tank with the tools that the maker has, and
 * what that tells of weight, balance and drag. A watch tells weight by drag alone: what the drag
 * formula is off by it cannot tell from weight; a thread can, and so can a second look after a
 * known change. */
#include "trim/reserve.h"

#include "ballastry/tank.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>
#include <string.h>

/* trade practice, from memory: a stopwatch by hand over marks on a tape. */
static const double stopwatch = 0.2, tape = 5e-3;
static const double usual_depth = 0.6;
static const double patience = 120.0; /* s; what has not come or gone by then hangs still */
static const double least_drag = 0.1; /* factor: what a drag never is */
/* kg, from one known weight to the next: 2 mm of copper wire of 0.5 mm, 3 mg in water, and what
 * still looks as if it hung; ours. */
static const double known_row = 4e-6;

/* ---- before any reading ---- */

/* One lure as a state. */
static void state_of(const PlannedTest *task, const double *u, double state[BELIEF_STATES]) {
    const QuickLure *quick = task->quick;
    double sums[SUMS], hull;
    GripLoad load;
    quick_sums_at(&quick->sums, u, sums);
    quick_lure_load(quick, u, sums, 0, &load, &hull);
    memset(state, 0, BELIEF_STATES * sizeof *state);
    state[BELIEF_N] = load.net_weight;
    state[BELIEF_X] = load.wx;
    state[BELIEF_Z] = load.wz;
    state[BELIEF_DRAG] = load.drag;
    state[BELIEF_MUNK] = load.munk;
    if (task->at_surface) {
        quick_afloat_at(&quick->afloat[0], sums, load.density, hull, &state[BELIEF_SHOWS],
                        &state[BELIEF_NOSE]);
        if (isnan(state[BELIEF_NOSE]))
            state[BELIEF_NOSE] = 0.0;
    }
    for (size_t w = 1; w < quick->water_count; w++) {
        GripLoad there;
        quick_lure_load(quick, u, sums, w, &there, &hull);
        state[BELIEF_WATER + w - 1] = there.net_weight - load.net_weight;
    }
}

/* Slopes by each independent input, added as squares. */
static void make_prior(PlannedTest *task) {
    const QuickLure *quick = task->quick;
    Belief *prior = &task->prior;
    double u[BLY_INPUTS_MAX] = {0}, up[BELIEF_STATES], down[BELIEF_STATES] = {0};
    *prior = (Belief){.count = BELIEF_WATER + quick->water_count - 1};
    state_of(task, u, prior->mean);
    for (size_t i = 0; i < quick->set.input_count; i++) {
        double *to[2] = {up, down};
        for (int side = 0; side < 2; side++) {
            memset(u, 0, sizeof u);
            u[i] = side == 0 ? 1.0 : -1.0;
            quick_lure_tie(quick, u);
            quick_lure_clamp(quick, u);
            state_of(task, u, to[side]);
        }
        for (size_t k = 0; k < prior->count; k++)
            up[k] = 0.5 * (up[k] - down[k]);
        for (size_t a = 0; a < prior->count; a++) {
            for (size_t b = 0; b < prior->count; b++)
                prior->cov[a][b] += up[a] * up[b];
        }
    }
}

void planned_make(const QuickLure *quick, const BlyReserveOptions *options, unsigned tools,
                  PlannedTest *out) {
    const double nothing[BLY_INPUTS_MAX] = {0};
    const double *sums = quick->sums.at_zero;
    *out = (PlannedTest){.quick = quick,
                         .target = quick->target,
                         .at_surface = quick->at_surface,
                         .tools = tools,
                         .patience = patience,
                         .weights_step = known_row};
    out->depth = options->depth > 0.0 ? options->depth : usual_depth;
    out->timing_give = options->timing_give > 0.0 ? options->timing_give : stopwatch;
    double tilt = options->angle_give > 0.0 ? options->angle_give : bly_reading_give(BLY_READ_TILT);
    out->angle_sigma = tilt / BLY_SIGMAS_95;
    out->thread_sigma = bly_reading_give(BLY_READ_IN_WATER) / BLY_SIGMAS_95;
    out->shows_sigma = bly_reading_give(BLY_READ_SHOWS) / BLY_SIGMAS_95;
    bly_target_drift(quick->target, &out->drift_low, &out->drift_high);
    for (size_t w = 0; w < quick->water_count; w++) {
        double hull, angle;
        quick_lure_load(quick, nothing, sums, w, &out->load[w], &hull);
        quick_afloat_at(&quick->afloat[w], sums, out->load[w].density, hull, &out->shows[w],
                        &angle);
        if (w == 0)
            out->hull = hull;
    }
    Moments all = quick_sums_moments(sums);
    WeightInWater load = moments_weight(&all, out->load[0].density);
    out->mass = all.m;
    out->load_mass = load.net;
    out->load_x = load.x / load.net;
    out->load_z = load.z / load.net;
    make_prior(out);
}

/* ---- a reading ---- */

static bool has(const PlannedTest *task, BlyTool tool) {
    return (task->tools & 1u << tool) != 0;
}

static void read_drift(const PlannedTest *task, double drift, double noise, PlannedReading *out) {
    const BlyFigure depth = {task->depth, tape};
    double seconds = task->depth / fmax(fabs(drift), 1e-9);
    BlyFigure told = bly_reading_drift(depth, (BlyFigure){seconds, task->timing_give}, drift > 0);
    double seen = told.value + noise * told.give / BLY_SIGMAS_95;
    seconds = task->depth / fmax(fabs(seen), 1e-9);
    if (seconds > task->patience) {
        out->drift = 0.0;
        out->drift_sigma = task->depth / task->patience / sqrt(3.0);
        return;
    }
    told = bly_reading_drift(depth, (BlyFigure){seconds, task->timing_give}, seen > 0);
    out->drift = seen;
    out->drift_sigma = told.give / BLY_SIGMAS_95;
}

PlannedReading planned_read(const PlannedTest *task, const BlyOutcome *outcome,
                            const double noise[PLANNED_NOISES]) {
    PlannedReading out = {.drift = NAN, .nose_down = NAN, .shows = NAN, .in_water = NAN};
    bool surface = task->at_surface && outcome->has_surface;
    double nose = surface ? outcome->surface.nose_down : outcome->nose_down;
    if (has(task, BLY_TOOL_STOPWATCH))
        read_drift(task, outcome->drift, noise[0], &out);
    if (has(task, BLY_TOOL_PHOTO))
        out.nose_down = nose + noise[1] * task->angle_sigma;
    if (surface && has(task, BLY_TOOL_FLOAT_LINE))
        out.shows = outcome->surface.shows + noise[3] * task->shows_sigma;
    out.afloat = surface;
    double net = outcome->sums.net_weight;
    if (has(task, BLY_TOOL_THREAD))
        out.in_water = net + noise[2] * task->thread_sigma;
    else if (has(task, BLY_TOOL_WEIGHTS) && net < 0.0)
        out.in_water = task->weights_step * (floor(net / task->weights_step) + 0.5);
    return out;
}

/* ---- what it tells ---- */

GripLoad planned_load(const PlannedTest *task, const Belief *belief, size_t water) {
    GripLoad load = task->load[water];
    load.net_weight = belief->mean[BELIEF_N];
    if (water > 0)
        load.net_weight += belief->mean[BELIEF_WATER + water - 1];
    load.wx += belief->mean[BELIEF_X] - task->load[0].wx;
    load.wz += belief->mean[BELIEF_Z] - task->load[0].wz;
    load.drag = fmax(belief->mean[BELIEF_DRAG], least_drag);
    load.munk = belief->mean[BELIEF_MUNK];
    return load;
}

/* N is the drag factor times what a factor of 1 makes of the speed seen. */
static void learn_drift(const PlannedTest *task, const PlannedReading *reading, double nose,
                        Belief *belief) {
    const QuickGrip *grip = &task->quick->grip;
    double h[BELIEF_STATES] = {[BELIEF_N] = 1.0};
    GripLoad one = task->load[0];
    GripCell hold;
    one.drag = 1.0;
    double v = reading->drift, s = reading->drift_sigma;
    double held = quick_grip_weight(grip, &one, nose, v, &hold);
    double up = quick_grip_weight(grip, &one, nose, v + s, &hold);
    double down = quick_grip_weight(grip, &one, nose, v - s, &hold);
    double sigma = fmax(belief->mean[BELIEF_DRAG], least_drag) * 0.5 * (up - down);
    h[BELIEF_DRAG] = -held;
    belief_learn(belief, h, belief->mean[BELIEF_N] - belief->mean[BELIEF_DRAG] * held,
                 sigma * sigma);
}

/* F at an angle for the state as believed, and its slopes; docs/rest.md. */
static double turning(const Belief *belief, const GripCell *hold, double t,
                      double h[BELIEF_STATES]) {
    const double *s = belief->mean;
    double c = cos(t), e = sin(t), n = s[BELIEF_N], drag = fmax(s[BELIEF_DRAG], least_drag);
    double couple = s[BELIEF_MUNK] / drag * hold->turn;
    memset(h, 0, BELIEF_STATES * sizeof *h);
    h[BELIEF_N] = -hold->x * c + hold->z * e + copysign(couple, n);
    h[BELIEF_X] = c;
    h[BELIEF_Z] = -e;
    h[BELIEF_MUNK] = fabs(n) * hold->turn / drag;
    h[BELIEF_DRAG] = -fabs(n) * couple / drag;
    return (s[BELIEF_X] - n * hold->x) * c - (s[BELIEF_Z] - n * hold->z) * e + fabs(n) * couple;
}

/* F is 0 at the angle seen. */
static void learn_tilt(const PlannedTest *task, const PlannedReading *reading, Belief *belief) {
    const QuickGrip *grip = &task->quick->grip;
    double h[BELIEF_STATES], other[BELIEF_STATES], t = reading->nose_down;
    double more = t + task->angle_sigma;
    GripLoad load = planned_load(task, belief, 0);
    GripCell hold, hold_more;
    double v = isnan(reading->drift) ? quick_grip_rest(grip, &load).drift : reading->drift;
    (void)quick_grip_weight(grip, &load, t, v, &hold);
    (void)quick_grip_weight(grip, &load, more, v, &hold_more);
    double sigma = turning(belief, &hold_more, more, other);
    double off = turning(belief, &hold, t, h);
    sigma -= off;
    belief_learn(belief, h, off, sigma * sigma);
}

static void learn_straight(BeliefState which, double seen, double sigma, Belief *belief) {
    double h[BELIEF_STATES] = {0};
    h[which] = 1.0;
    belief_learn(belief, h, belief->mean[which] - seen, sigma * sigma);
}

/* What is straight first, for the others are straight only about what is believed. */
void planned_learn(const PlannedTest *task, const PlannedReading *reading, Belief *belief) {
    double weighed =
        has(task, BLY_TOOL_THREAD) ? task->thread_sigma : task->weights_step / sqrt(12);
    bool tilted = !isnan(reading->nose_down);
    if (!isnan(reading->in_water))
        learn_straight(BELIEF_N, reading->in_water, weighed, belief);
    if (!isnan(reading->shows))
        learn_straight(BELIEF_SHOWS, reading->shows, task->shows_sigma, belief);
    if (tilted && reading->afloat)
        learn_straight(BELIEF_NOSE, reading->nose_down, task->angle_sigma, belief);
    if (!isnan(reading->drift)) {
        GripLoad load = planned_load(task, belief, 0);
        bool seen = tilted && !reading->afloat;
        learn_drift(task, reading,
                    seen ? reading->nose_down
                         : quick_grip_rest(&task->quick->grip, &load).nose_down,
                    belief);
    }
    if (tilted && !reading->afloat)
        learn_tilt(task, reading, belief);
}
