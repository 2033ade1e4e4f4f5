/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the water meets of a drifting lure, and what that does: drag, where it acts, and the couple
 * of the cross flow. */
#include "rest/flow.h"
#include "numeric/roots.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>

static const double least_speed = 1e-6, least_weight = 1e-13;

static double known(double factor) {
    return isfinite(factor) ? factor : 1.0;
}

/* Ideal flow about an ellipsoid of the hull's length, greatest width and height, brought to its
 * volume. */
static bool munk_volume(const BlyFlow *flow, double volume, double *out, BlyError *err) {
    BlyBox box = bly_body_box(flow->lure->blank->hull);
    double a = 0.5 * (box.high.x - box.low.x), b = 0.5 * (box.high.y - box.low.y),
           c = 0.5 * (box.high.z - box.low.z);
    double scale = cbrt(volume / (4.0 / 3.0 * M_PI * a * b * c));
    double semi[3] = {a * scale, b * scale, c * scale}, k[3];
    if (!bly_added_mass(semi, k, err))
        return false;
    *out = volume * (k[2] - k[0]) * known(flow->lure->blank->facts.munk_factor.value);
    return true;
}

/* Adds a wire to the piece of its diameter, at the common centre. */
static void add_wire(BlyFlow *flow, const BlyItem *item) {
    size_t i = 0;
    while (i < flow->set.count && (flow->item[i] || flow->pieces[i].size != item->face_size))
        i++;
    if (i == flow->set.count) {
        flow->pieces[i] =
            (BlyDragPiece){.kind = BLY_DRAG_WIRE, .size = item->face_size, .aspect = INFINITY};
        flow->at[i] = bly_vec(0, 0, 0);
        flow->item[i] = NULL;
        flow->set.count++;
    }
    double area = flow->pieces[i].area + item->face_area;
    BlyVec3 step = bly_vec_sub(item->face_at, flow->at[i]);
    flow->at[i] = bly_vec_add(flow->at[i], bly_vec_scale(step, item->face_area / area));
    flow->pieces[i].area = area;
}

static void add_plate(BlyFlow *flow, const BlyItem *item) {
    size_t i = flow->set.count++;
    flow->pieces[i] = (BlyDragPiece){
        .kind = BLY_DRAG_PLATE, .size = item->face_size, .aspect = item->face_aspect};
    flow->at[i] = item->face_at;
    flow->item[i] = item;
}

static bool reserve(BlyFlow *flow, BlyError *err) {
    size_t room = flow->lure->count + 1;
    flow->pieces = calloc(room, sizeof *flow->pieces);
    flow->at = calloc(room, sizeof *flow->at);
    flow->item = calloc(room, sizeof *flow->item);
    flow->shares = calloc(room, sizeof *flow->shares);
    if (flow->pieces && flow->at && flow->item && flow->shares)
        return true;
    return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the flow about the lure");
}

/* As the hull is met level and upright; between them flow_turn sets the share. Its lengths grow
 * with the cube root of its volume: swelling, volume share. */
static bool set_body(const BlyBlank *blank, double volume, BlyDragBody *body, BlyError *err) {
    const BlyBody *hull = blank->hull;
    double grow = cbrt(volume / bly_body_solid(hull)->volume), square = grow * grow;
    double surface = bly_body_surface(hull)->area * square;
    BlySides sides = bly_blank_sides(blank);
    BlyBox box = bly_body_box(hull);
    BlyDragAxis axis = {.surface = surface,
                        .seen_along = bly_blank_seen(blank, M_PI_2).area * square,
                        .seen_beside = sides.upright * square,
                        .length = (box.high.x - box.low.x) * grow,
                        .blunt = {sides.blunt[0], sides.blunt[1]}};
    return bly_drag_body(volume, surface, bly_blank_seen(blank, 0.0).area * square,
                         sides.level * square, body, err) &&
           bly_drag_end(&axis, body, err);
}

bool flow_init(BlyFlow *flow, const BlyLure *lure, const BlyWater *water, BlyError *err) {
    const BlyBlank *blank = lure->blank;
    double volume = blank->hull_volume * bly_blank_swelling(blank, water->temperature);
    *flow = (BlyFlow){.lure = lure, .water = water, .log_speed = NAN};
    if (!reserve(flow, err) || !munk_volume(flow, volume, &flow->munk, err) ||
        !set_body(blank, volume, &flow->set.body, err))
        return false;
    flow->set.factor = known(blank->facts.drag_factor.value);
    flow->set.pieces = flow->pieces;
    for (size_t i = 0; i < lure->count; i++) {
        const BlyItem *item = &lure->items[i];
        if (!(item->face_area > 0.0))
            continue;
        if (item->face == BLY_FACE_WIRE)
            add_wire(flow, item);
        else if (item->face == BLY_FACE_PLATE)
            add_plate(flow, item);
    }
    return true;
}

void flow_release(BlyFlow *flow) {
    free(flow->pieces);
    free(flow->at);
    free(flow->item);
    free(flow->shares);
    *flow = (BlyFlow){0};
}

bool flow_turn(BlyFlow *flow, double t, BlyError *err) {
    if (!isfinite(t))
        return bly_fail(err, BLY_E_RANGE, NULL, "an angle that is not a number");
    flow->seen = bly_blank_seen(flow->lure->blank, t);
    flow->set.body.end.share = gsl_pow_2(sin(t));
    BlyVec3 up = bly_vec_up(t, 0.0);
    for (size_t i = 0; i < flow->set.count; i++) {
        if (!flow->item[i])
            continue;
        double facing = fmin(fabs(bly_vec_dot(flow->item[i]->face_normal, up)), 1.0);
        flow->pieces[i].area = flow->item[i]->face_area * facing;
        flow->pieces[i].lean = acos(facing);
    }
    return true;
}

typedef struct Task {
    const BlyFlow *flow;
    double log_twice_force; /* ln of 2 N g / density */
} Task;

static double excess(double log_speed, void *user) {
    const Task *task = user;
    double area = bly_drag_area(&task->flow->set, task->flow->water, exp(log_speed), NULL);
    return 2.0 * log_speed + log(area) - task->log_twice_force;
}

/* Drag goes all but with the square of speed: the secant method takes this slope once, to begin. */
static double first_slope(double log_speed, void *user) {
    (void)log_speed, (void)user;
    return 1.8;
}

static void excess_and_slope(double log_speed, void *user, double *f, double *slope) {
    *f = excess(log_speed, user);
    *slope = first_slope(log_speed, user);
}

/* From the speed at the angle looked at before, three or four steps do. */
static bool speed_from_last(BlyFlow *flow, double net_weight, double *log_speed) {
    Task task = {flow, log(2.0 * fabs(net_weight) * BLY_GRAVITY / flow->water->density)};
    gsl_function_fdf function = {excess, first_slope, excess_and_slope, &task};
    gsl_root_fdfsolver solver;
    BlySolverRoom room;
    bool found = false;
    int status =
        bly_slope_begin(&solver, &room, gsl_root_fdfsolver_secant, &function, flow->log_speed);
    double last = flow->log_speed;
    for (int step = 0; status == GSL_SUCCESS && !found && step < 12; step++) {
        status = gsl_root_fdfsolver_iterate(&solver);
        *log_speed = gsl_root_fdfsolver_root(&solver);
        found = isfinite(*log_speed) && fabs(*log_speed - last) < 1e-9;
        last = *log_speed;
    }
    return found;
}

bool flow_speed(BlyFlow *flow, double net_weight, double *speed, BlyError *err) {
    *speed = least_speed;
    if (fabs(net_weight) < least_weight)
        return true;
    double log_speed;
    double crisis = 2e5 * flow->water->viscosity /
                    (flow->water->density * bly_drag_diameter(flow->set.body.volume));
    if (isnan(flow->log_speed) || !speed_from_last(flow, net_weight, &log_speed) ||
        log_speed > log(crisis)) {
        BlyDragResult result;
        if (!bly_drag_speed(&flow->set, flow->water, fabs(net_weight) * BLY_GRAVITY, &result, err))
            return false;
        log_speed = log(result.speed);
    }
    flow->log_speed = log_speed;
    *speed = fmax(exp(log_speed), least_speed);
    return true;
}

BlyFlowDrag flow_drag(BlyFlow *flow, double speed) {
    BlyFlowDrag drag = {.area = bly_drag_area(&flow->set, flow->water, speed, flow->shares)};
    BlyVec3 moment = bly_vec_scale(flow->seen.centroid, flow->shares[0]);
    for (size_t i = 0; i < flow->set.count; i++)
        moment = bly_vec_add(moment, bly_vec_scale(flow->at[i], flow->shares[i + 1]));
    drag.body_share = flow->shares[0] / drag.area;
    drag.centre = bly_vec_scale(moment, 1.0 / drag.area);
    return drag;
}

/* Munk's couple is 1/2 density v^2 V (k_across - k_along) sin 2t, towards level; the dynamic
 * pressure follows from N g = 1/2 density v^2 (sum of Cd A), whichever way the lure drifts. */
bool flow_drift(BlyFlow *flow, double t, double net_weight, BlyDrift *out, BlyError *err) {
    double speed;
    if (!flow_turn(flow, t, err) || !flow_speed(flow, net_weight, &speed, err))
        return false;
    BlyFlowDrag drag = flow_drag(flow, speed);
    out->drag_x = drag.centre.x * cos(t) - drag.centre.z * sin(t);
    out->couple = fabs(net_weight) * flow->munk / drag.area * sin(2.0 * t);
    return true;
}
