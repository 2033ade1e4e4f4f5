/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Forces on a drawn lure and their couple about the tie. Pieces do not shield one another. */
#include "tow/parts.h"

#include <gsl/gsl_math.h>

/* Friction of a streamlined body over its frontal area (Hoerner, Fluid-Dynamic Drag, from memory),
 * laminar; Re on the length. */
static double friction(const TowBody *body, double reynolds) {
    if (!(body->front > 0))
        return 0;
    double slender = body->length / body->diameter;
    return 1.328 / sqrt(reynolds) * (3 * slender + 4.5 / sqrt(slender) + 21 / (slender * slender));
}

TowAt tow_at(const BlyTow *tow, const BlyTowModel *model, double speed) {
    double per_metre = tow->water.density * speed / tow->water.viscosity;
    TowAt at = {.tow = tow,
                .model = model,
                .speed = speed,
                .pressure = 0.5 * tow->water.density * speed * speed};
    at.axial = tow->body.front * friction(&tow->body, per_metre * tow->body.length) *
               model->by[BLY_TOW_AXIAL];
    for (size_t i = 0; i < tow->wire_count; i++) {
        const TowWire *wire = &tow->wires[i];
        double part =
            wire->area * bly_drag_wire(per_metre * wire->diameter) * model->by[BLY_TOW_WIRE];
        at.wire += part;
        at.wire_moment = bly_vec_add(at.wire_moment, bly_vec_scale(wire->at, part));
    }
    for (size_t i = 0; i < tow->lip_count; i++)
        at.face_on[i] = bly_drag_plate(tow->lips[i].stubby, per_metre * tow->lips[i].size);
    return at;
}

typedef struct Frame {
    double cosine, sine; /* of the nose-down angle */
    BlyTowForce *sum;
} Frame;

/* A force fx, fz in body axes at x, z off the tie: nose-down is the way that lifts the tail. */
static void add(const Frame *frame, BlyTowSource source, double fx, double fz, double couple) {
    frame->sum->drag[source] += fx * frame->cosine - fz * frame->sine;
    frame->sum->up[source] += fx * frame->sine + fz * frame->cosine;
    frame->sum->couple += couple;
}

static void add_body(const TowAt *at, const Frame *frame) {
    const TowBody *body = &at->tow->body;
    double u = frame->cosine, w = -frame->sine;
    double axial = at->pressure * u * fabs(u) * at->axial;
    double cross = at->pressure * w * fabs(w) * at->model->by[BLY_TOW_CROSS];
    double ideal = 2 * at->pressure * u * w * at->model->by[BLY_TOW_POTENTIAL];
    double up = cross * body->cross[0] + ideal * body->potential[0];
    double couple = cross * body->cross[1] + ideal * body->potential[1] - axial * body->axis;
    add(frame, BLY_TOW_BY_BODY, axial, up, couple);
}

/* Joessel's centre of pressure; the edge that meets the flow leads. */
static void add_lip(const TowAt *at, const Frame *frame, size_t i, double nose_down) {
    const TowLip *lip = &at->tow->lips[i];
    const double *by = at->model->by;
    double incidence = lip->angle + nose_down;
    double force = at->pressure * lip->area * by[BLY_TOW_LIP] *
                   bly_tow_plate(incidence, lip->aspect, at->face_on[i], by[BLY_TOW_PEAK]);
    double centre = 0.195 + 0.305 * fabs(sin(incidence)) + by[BLY_TOW_CENTRE];
    double towards_tip = (0.5 - centre) * lip->chord * (cos(incidence) < 0 ? -1 : 1);
    double x = lip->middle.x - cos(lip->angle) * towards_tip;
    double z = lip->middle.z - sin(lip->angle) * towards_tip;
    double fx = force * sin(lip->angle), fz = -force * cos(lip->angle);
    add(frame, BLY_TOW_BY_LIP, fx, fz, x * fz - z * fx);
}

static void add_wires(const TowAt *at, const Frame *frame) {
    double fx = at->pressure * frame->cosine, fz = -at->pressure * frame->sine;
    add(frame, BLY_TOW_BY_WIRE, fx * at->wire, fz * at->wire,
        at->wire_moment.x * fz - at->wire_moment.z * fx);
}

BlyTowForce tow_force(const TowAt *at, double nose_down) {
    const BlyTow *tow = at->tow;
    BlyTowForce sum = {0};
    Frame frame = {cos(nose_down), sin(nose_down), &sum};
    sum.couple = -BLY_GRAVITY * (tow->moment_x * frame.cosine - tow->moment_z * frame.sine);
    add_body(at, &frame);
    for (size_t i = 0; i < tow->lip_count; i++)
        add_lip(at, &frame, i, nose_down);
    add_wires(at, &frame);
    return sum;
}

BlyTowForce bly_tow_force(const BlyTow *tow, const BlyTowModel *model, double nose_down,
                          double speed) {
    TowAt at = tow_at(tow, model, speed);
    return tow_force(&at, nose_down);
}
