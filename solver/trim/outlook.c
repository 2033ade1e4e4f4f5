/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where in the target's bands a lure is believed to lie, how sure that is, and what more put on
 * does to it. */
#include "trim/reserve.h"

#include <gsl/gsl_math.h>
#include <string.h>

/* An open side: this far inside its edge is as good as any. */
static const double well_inside = 5.0 * M_PI / 180.0;
static const double well_shown = 0.05;      /* share */
static const double well_righting = 0.3e-3; /* m, of the roll arm */
static const double a_square = 0.002;       /* in lures: of a place, besides being missed or not */
static const double least_variance = 1e-6;

typedef struct Band {
    double low, high, inside;
} Band;

/* Where in its band a value lies: -1 and 1 are its edges. Of a one-sided band the edge is its own,
 * and 0 is `inside` away from it. */
static double place(double value, Band band) {
    if (isfinite(band.low) && isfinite(band.high))
        return (value - 0.5 * (band.low + band.high)) / fmax(0.5 * (band.high - band.low), 1e-12);
    if (isfinite(band.low))
        return (value - band.low) / band.inside - 1.0;
    if (isfinite(band.high))
        return (value - band.high) / band.inside + 1.0;
    return 0.0;
}

/* One place a value: its slope. */
static double place_slope(Band band) {
    if (isfinite(band.low) && isfinite(band.high))
        return 1.0 / fmax(0.5 * (band.high - band.low), 1e-12);
    return isfinite(band.low) || isfinite(band.high) ? 1.0 / band.inside : 0.0;
}

/* Speed times its amount is all but net weight. */
static double as_weight(double speed) {
    return isfinite(speed) ? speed * fabs(speed) : speed;
}

static Band drift_band(const PlannedTest *task) {
    double low = as_weight(task->drift_low), high = as_weight(task->drift_high);
    return (Band){low, high, 0.25 * fabs(isfinite(low) ? low : high) + 1e-4};
}

static Band shows_band(const PlannedTest *task) {
    return (Band){task->target->shows_low, task->target->shows_high, well_shown};
}

static Band nose_band(const PlannedTest *task) {
    return (Band){task->target->nose_low, task->target->nose_high, well_inside};
}

static Band roll_band(const PlannedTest *task) {
    return (Band){task->target->roll_arm_least, INFINITY, well_righting};
}

/* The middle, or what is well inside of an open band; as it is where it is inside already. */
static double aim(Band band, double now) {
    if (isfinite(band.low) && isfinite(band.high))
        return 0.5 * (band.low + band.high);
    if (isfinite(band.low))
        return fmax(now, band.low + band.inside);
    return isfinite(band.high) ? fmin(now, band.high - band.inside) : now;
}

/* ---- forms near the middle ---- */

/* The band's edges as net weights, in one water. */
static Band weight_band(const PlannedTest *task, const GripLoad *load, double nose) {
    GripCell hold;
    const QuickGrip *grip = &task->quick->grip;
    Band band = {task->drift_low, task->drift_high, 0.0};
    if (isfinite(band.low))
        band.low = quick_grip_weight(grip, load, nose, band.low, &hold);
    if (isfinite(band.high))
        band.high = quick_grip_weight(grip, load, nose, band.high, &hold);
    band.inside = 0.25 * fabs(isfinite(band.low) ? band.low : band.high) + 1e-8;
    return band;
}

/* Places of one water, and its share of the slopes. */
typedef struct Forms {
    double base[OUTLOOK_PLACES];
    double slope[OUTLOOK_PLACES][BELIEF_STATES];
} Forms;

static void add_to(double slope[BELIEF_STATES], size_t water, double by) {
    slope[BELIEF_N] += by;
    slope[BELIEF_WATER + water - 1] += by;
}

/* Roll arm: how far the weight in water hangs below what holds it. */
static void roll_form(const PlannedTest *task, const GripLoad *load, size_t water, double held_z,
                      Forms *out) {
    Band band = roll_band(task);
    double by = place_slope(band) / task->mass;
    out->base[2] = place((load->net_weight * held_z - load->wz) / task->mass, band);
    out->slope[2][BELIEF_Z] = -by;
    add_to(out->slope[2], water, by * held_z);
}

/* About the middle of the bands: the lure as it would lie and drift there. F = 0 gives the angle,
 * docs/rest.md; it rises there. */
static void nose_form(const PlannedTest *task, const GripLoad *load, double there, double t,
                      size_t water, Forms *out) {
    const QuickGrip *grip = &task->quick->grip;
    Band band = nose_band(task);
    GripCell hold;
    GripLoad middle = *load;
    middle.net_weight = there;
    double n = load->net_weight, c = cos(t), s = sin(t);
    (void)quick_grip_weight(grip, load, t, quick_grip_rest(grip, &middle).drift, &hold);
    double couple = load->munk / load->drag * hold.turn;
    double arm = -hold.x * c + hold.z * s + copysign(couple, there);
    double stiff = -(load->wx - there * hold.x) * s - (load->wz - there * hold.z) * c;
    double by = -place_slope(band) / fmax(stiff, 1e-9);
    out->base[1] = place(t, band) + by * (load->wx * c - load->wz * s + n * arm);
    add_to(out->slope[1], water, by * arm);
    out->slope[1][BELIEF_X] = by * c;
    out->slope[1][BELIEF_Z] = -by * s;
    out->slope[1][BELIEF_MUNK] = by * fabs(there) * hold.turn / load->drag;
    out->slope[1][BELIEF_DRAG] = -by * fabs(there) * couple / load->drag;
    roll_form(task, load, water, hold.z, out);
}

static void under_water(const PlannedTest *task, const Belief *belief, size_t water, Forms *out) {
    GripLoad load = planned_load(task, belief, water);
    double now = quick_grip_rest(&task->quick->grip, &load).nose_down;
    double t = aim(nose_band(task), isnan(now) ? 0.0 : now);
    t = fmin(fmax(t, -1.4), 1.4);
    Band weight = weight_band(task, &load, t);
    double there = aim(weight, load.net_weight), by = place_slope(weight);
    out->base[0] = place(load.net_weight, weight);
    add_to(out->slope[0], water, by);
    out->slope[0][BELIEF_DRAG] = -by * there / load.drag; /* the edges go with the drag */
    nose_form(task, &load, there, t, water, out);
}

static void at_surface(const PlannedTest *task, const Belief *belief, size_t water, Forms *out) {
    GripLoad load = planned_load(task, belief, water);
    double shows = belief->mean[BELIEF_SHOWS] + task->shows[water] - task->shows[0];
    out->base[0] = place(shows, shows_band(task));
    out->slope[0][BELIEF_SHOWS] = place_slope(shows_band(task));
    out->base[1] = place(belief->mean[BELIEF_NOSE], nose_band(task));
    out->slope[1][BELIEF_NOSE] = place_slope(nose_band(task));
    roll_form(task, &load, water, task->load_z, out);
}

static void find_edges(const PlannedTest *task, Outlook *out) {
    const Band bands[OUTLOOK_PLACES] = {task->at_surface ? shows_band(task) : drift_band(task),
                                        nose_band(task), roll_band(task)};
    for (int k = 0; k < OUTLOOK_PLACES; k++) {
        out->has_low[k] = isfinite(bands[k].low);
        out->has_high[k] = isfinite(bands[k].high);
        out->low[k] = INFINITY;
        out->high[k] = -INFINITY;
        out->least[k] = out->has_low[k] ? -INFINITY : 0.0;
        out->most[k] = out->has_high[k] ? INFINITY : 0.0;
    }
}

void outlook_make(const PlannedTest *task, const Belief *belief, Outlook *out) {
    size_t waters = task->quick->water_count - 1;
    *out = (Outlook){.task = task, .states = belief->count};
    find_edges(task, out);
    for (size_t w = 1; w <= waters; w++) {
        Forms forms = {.base = {0.0}};
        if (task->at_surface)
            at_surface(task, belief, w, &forms);
        else
            under_water(task, belief, w, &forms);
        for (int k = 0; k < OUTLOOK_PLACES; k++) {
            out->low[k] = fmin(out->low[k], forms.base[k]);
            out->high[k] = fmax(out->high[k], forms.base[k]);
            for (size_t i = 0; i < belief->count; i++)
                out->slope[k][i] += forms.slope[k][i] / (double)waters;
        }
    }
    for (int k = 0; k < OUTLOOK_PLACES; k++) {
        out->variance[k] = belief_variance(belief, out->slope[k]);
        out->middle[k] = 0.5 * (out->low[k] + out->high[k]);
    }
}

void outlook_move(const Outlook *outlook, const double change[BELIEF_STATES],
                  double by[OUTLOOK_PLACES]) {
    for (int k = 0; k < OUTLOOK_PLACES; k++) {
        by[k] = 0.0;
        for (size_t i = 0; i < outlook->states; i++)
            by[k] += outlook->slope[k][i] * change[i];
    }
}

double outlook_score(const Outlook *outlook, const double by[OUTLOOK_PLACES],
                     const double more_variance[OUTLOOK_PLACES]) {
    double met = 1.0;
    for (int k = 0; k < OUTLOOK_PLACES; k++) {
        double sigma = M_SQRT2 * sqrt(outlook->variance[k] + more_variance[k] + least_variance);
        double missed = 0.0;
        if (outlook->has_low[k])
            missed += 0.5 * erfc((1.0 + outlook->low[k] + by[k]) / sigma);
        if (outlook->has_high[k])
            missed += 0.5 * erfc((1.0 - outlook->high[k] - by[k]) / sigma);
        met *= fmax(1.0 - missed, 0.0);
    }
    return 1.0 - met + a_square * outlook_square(outlook, by, INFINITY);
}

void outlook_change(const PlannedTest *task, const Moments *add, double change[BELIEF_STATES]) {
    const QuickAfloat *afloat = &task->quick->afloat[0];
    double density = task->load[0].density;
    WeightInWater more = moments_weight(add, density);
    memset(change, 0, BELIEF_STATES * sizeof *change);
    change[BELIEF_N] = more.net;
    change[BELIEF_X] = more.x;
    change[BELIEF_Z] = more.z;
    for (size_t w = 1; w < task->quick->water_count; w++)
        change[BELIEF_WATER + w - 1] = -(task->load[w].density - density) * add->v;
    if (!task->at_surface)
        return;
    double load = task->load_mass + more.net, sinks = more.net / (density * task->hull);
    change[BELIEF_SHOWS] = -sinks;
    change[BELIEF_NOSE] = -afloat->slope[0] * sinks +
                          afloat->slope[1] * (more.x - task->load_x * more.net) / load +
                          afloat->slope[2] * (more.z - task->load_z * more.net) / load;
}

/* ---- of the nominal lure ---- */

void planned_missing(const PlannedTest *task, double *missing, double *half) {
    double whole = task->load[0].density * task->hull;
    GripLoad load = planned_load(task, &task->prior, 1);
    Band band = {-task->target->shows_high * whole, -task->target->shows_low * whole,
                 well_shown * whole};
    double now = -task->shows[1] * whole;
    if (!task->at_surface) {
        double nose = quick_grip_rest(&task->quick->grip, &load).nose_down;
        band = weight_band(task, &load, isnan(nose) ? 0.0 : nose);
        now = load.net_weight;
    }
    *missing = aim(band, now) - now;
    *half = isfinite(band.low) && isfinite(band.high) ? fmax(0.5 * (band.high - band.low), 1e-9)
                                                      : INFINITY;
}
