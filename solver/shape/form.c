/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plain solids and their columns. Across a circle the nodes are Chebyshev's of the second kind,
 * whose weight is the circle's own chord, so that volumes and first moments come out exactly;
 * along the others they are Gauss's. */
#include "ballastry/form.h"
#include "numeric/numeric.h"

#include <gsl/gsl_math.h>

enum { ACROSS = 48, PANELS = 4, NODES = 8 };

double bly_form_volume(const BlyForm *form) {
    BlyVec3 size = bly_vec_sub(form->to, form->from);
    switch (form->kind) {
    case BLY_FORM_BALL:
        return 4.0 / 3.0 * M_PI * gsl_pow_3(form->radius);
    case BLY_FORM_ROD:
        return M_PI * gsl_pow_2(form->radius) * bly_vec_norm(size);
    case BLY_FORM_BOX:
        break;
    }
    return size.x * size.y * size.z;
}

static BlyForm hollow_of(const BlyForm *form) {
    BlyForm hollow = *form;
    hollow.radius = form->bore;
    hollow.bore = 0.0;
    return hollow;
}

double bly_form_hollow(const BlyForm *form) {
    BlyForm hollow = hollow_of(form);
    return form->bore > 0.0 ? bly_form_volume(&hollow) : 0.0;
}

BlyVec3 bly_form_centre(const BlyForm *form) {
    return form->kind == BLY_FORM_BALL ? form->from
                                       : bly_vec_scale(bly_vec_add(form->from, form->to), 0.5);
}

static bool across(const BlyForm *form) {
    return form->from.y != form->to.y;
}

static bool in_rod(const BlyForm *rod, double x, double z, double *low, double *high) {
    double dx = x - rod->from.x, dz = z - rod->from.z, half = rod->radius;
    double lx = rod->to.x - rod->from.x, lz = rod->to.z - rod->from.z, length = hypot(lx, lz);
    if (across(rod)) {
        *low = GSL_MIN_DBL(rod->from.y, rod->to.y);
        *high = GSL_MAX_DBL(rod->from.y, rod->to.y);
        return hypot(dx, dz) <= half;
    }
    double along = (dx * lx + dz * lz) / length, off = (dz * lx - dx * lz) / length;
    if (along < 0.0 || along > length || fabs(off) > half)
        return false;
    half = sqrt(half * half - off * off);
    *low = rod->from.y - half;
    *high = rod->from.y + half;
    return true;
}

static bool in_ball(const BlyForm *ball, double x, double z, double *low, double *high) {
    double off = hypot(x - ball->from.x, z - ball->from.z);
    if (off > ball->radius)
        return false;
    double half = sqrt(ball->radius * ball->radius - off * off);
    *low = ball->from.y - half;
    *high = ball->from.y + half;
    return true;
}

bool bly_form_column(const BlyForm *form, bool hollow, double x, double z, double *low,
                     double *high) {
    BlyForm inner = hollow_of(form);
    if (hollow && !(form->bore > 0.0))
        return false;
    switch (form->kind) {
    case BLY_FORM_BALL:
        return in_ball(hollow ? &inner : form, x, z, low, high);
    case BLY_FORM_ROD:
        return in_rod(hollow ? &inner : form, x, z, low, high);
    case BLY_FORM_BOX:
        break;
    }
    *low = form->from.y;
    *high = form->to.y;
    return x >= form->from.x && x <= form->to.x && z >= form->from.z && z <= form->to.z;
}

bool bly_form_holds(const BlyForm *form, BlyVec3 point) {
    double low, high;
    return bly_form_column(form, false, point.x, point.z, &low, &high) && point.y >= low &&
           point.y <= high;
}

/* Nodes along a line, 0 to 1, in equal panels. */
typedef struct Line {
    double at[PANELS * NODES], weight[PANELS * NODES];
} Line;
enum { ALONG = PANELS * NODES };

static bool make_line(Line *line, BlyError *err) {
    BlyRule rule;
    if (!bly_rule_make(NODES, &rule, err))
        return false;
    for (int p = 0; p < PANELS; p++) {
        for (size_t i = 0; i < NODES; i++) {
            line->at[p * NODES + (int)i] = (p + rule.at[i]) / PANELS;
            line->weight[p * NODES + (int)i] = rule.weight[i] / PANELS;
        }
    }
    return true;
}

/* Node k of a circle: its place across, the half chord there, and the weight of a function times
 * that half chord. */
static double chord(double radius, int k, double *half, double *weight) {
    double angle = M_PI * (k + 1) / (ACROSS + 1);
    *half = radius * sin(angle);
    *weight = M_PI / (ACROSS + 1) * gsl_pow_2(*half);
    return radius * cos(angle);
}

typedef struct Visitor {
    BlyColumnVisit visit;
    void *user;
} Visitor;

/* Lengthwise: columns are chords of the circle. */
static void rod_columns(const BlyForm *rod, const Line *line, const Visitor *v) {
    double lx = rod->to.x - rod->from.x, lz = rod->to.z - rod->from.z, length = hypot(lx, lz);
    for (int k = 0; k < ACROSS; k++) {
        double half, weight, off = chord(rod->radius, k, &half, &weight);
        for (int i = 0; i < ALONG; i++) {
            double x = rod->from.x + line->at[i] * lx - off * lz / length;
            double z = rod->from.z + line->at[i] * lz + off * lx / length;
            v->visit(x, z, rod->from.y - half, rod->from.y + half,
                     weight / half * line->weight[i] * length, v->user);
        }
    }
}

/* On end: columns stand on the circle. */
static void disc_columns(const BlyForm *disc, const Line *line, const Visitor *v) {
    double low = GSL_MIN_DBL(disc->from.y, disc->to.y),
           high = GSL_MAX_DBL(disc->from.y, disc->to.y);
    for (int k = 0; k < ACROSS; k++) {
        double half, weight, off = chord(disc->radius, k, &half, &weight);
        for (int i = 0; i < ALONG; i++)
            v->visit(disc->from.x + off, disc->from.z + half * (2.0 * line->at[i] - 1.0), low, high,
                     2.0 * weight * line->weight[i], v->user);
    }
}

static void ball_columns(const BlyForm *ball, const Line *line, const Visitor *v) {
    for (int i = 0; i < ALONG; i++) {
        double x = ball->radius * (2.0 * line->at[i] - 1.0);
        double slice = sqrt(ball->radius * ball->radius - x * x);
        for (int k = 0; k < ACROSS; k++) {
            double half, weight, off = chord(slice, k, &half, &weight);
            v->visit(ball->from.x + x, ball->from.z + off, ball->from.y - half, ball->from.y + half,
                     2.0 * ball->radius * line->weight[i] * weight / half, v->user);
        }
    }
}

static void box_columns(const BlyForm *box, const Line *line, const Visitor *v) {
    BlyVec3 size = bly_vec_sub(box->to, box->from);
    for (int i = 0; i < ALONG; i++) {
        for (int k = 0; k < ALONG; k++)
            v->visit(box->from.x + line->at[i] * size.x, box->from.z + line->at[k] * size.z,
                     box->from.y, box->to.y, line->weight[i] * line->weight[k] * size.x * size.z,
                     v->user);
    }
}

bool bly_form_columns(const BlyForm *form, BlyColumnVisit visit, void *user, BlyError *err) {
    const Visitor v = {visit, user};
    Line line;
    if (!make_line(&line, err))
        return false;
    if (form->kind == BLY_FORM_BALL)
        ball_columns(form, &line, &v);
    else if (form->kind == BLY_FORM_BOX)
        box_columns(form, &line, &v);
    else if (across(form))
        disc_columns(form, &line, &v);
    else
        rod_columns(form, &line, &v);
    return true;
}
