/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Elliptical arcs as cubics. From ends to centre: SVG 2, appendix B.2.4 and B.2.5 (radii out of
 * range). An arc of angle a of the unit circle is met by handles of length 4/3 tan(a/4) to about
 * 2 (a/4)^6 / 27 of the radius (from memory; measured in tests/svg): 1e-9 at a = 2 pi/32. */
#include "svg/arc.h"

#include <gsl/gsl_math.h>

static const double step_most = 2.0 * M_PI / 32.0;

typedef struct Centre {
    double cx, cy, rx, ry, cosine, sine; /* of the rotation */
    double from, turn;                   /* rad */
} Centre;

static void place(const Centre *c, double u, double v, double *x, double *y) {
    *x = c->cx + c->cosine * c->rx * u - c->sine * c->ry * v;
    *y = c->cy + c->sine * c->rx * u + c->cosine * c->ry * v;
}

/* The last point is set by the caller, so that strokes join exactly. */
static bool add_steps(const Centre *c, double x0, double y0, double x1, double y1, BlyTrace *out,
                      BlyError *err) {
    int steps = (int)fmax(1.0, ceil(fabs(c->turn) / step_most - 1e-9));
    double step = c->turn / steps, handle = 4.0 / 3.0 * tan(step / 4.0);
    BlyCubic piece = {{x0}, {y0}};
    for (int i = 0; i < steps; i++) {
        double a = c->from + step * i, b = c->from + step * (i + 1);
        place(c, cos(a) - handle * sin(a), sin(a) + handle * cos(a), &piece.x[1], &piece.y[1]);
        place(c, cos(b) + handle * sin(b), sin(b) - handle * cos(b), &piece.x[2], &piece.y[2]);
        place(c, cos(b), sin(b), &piece.x[3], &piece.y[3]);
        if (i + 1 == steps) {
            piece.x[3] = x1;
            piece.y[3] = y1;
        }
        if (!bly_trace_add(out, &piece, err))
            return false;
        piece.x[0] = piece.x[3];
        piece.y[0] = piece.y[3];
    }
    return true;
}

static Centre find_centre(const Arc *arc) {
    double angle = arc->rotation_deg * M_PI / 180.0;
    Centre c = {.rx = fabs(arc->rx), .ry = fabs(arc->ry), .cosine = cos(angle), .sine = sin(angle)};
    double dx = 0.5 * (arc->x0 - arc->x1), dy = 0.5 * (arc->y0 - arc->y1);
    double u = (c.cosine * dx + c.sine * dy) / c.rx, v = (c.cosine * dy - c.sine * dx) / c.ry;
    double reach = u * u + v * v; /* Lambda of B.2.5 */
    if (reach > 1.0) {
        c.rx *= sqrt(reach);
        c.ry *= sqrt(reach);
        u /= sqrt(reach);
        v /= sqrt(reach);
        reach = 1.0;
    }
    /* On the unit circle the chord runs from (u, v) to (-u, -v) about its middle; the centre lies
     * square to it. */
    double away = sqrt(1.0 / reach - 1.0) * (arc->large == arc->sweep ? -1.0 : 1.0);
    double mu = away * v, mv = -away * u;
    place(&c, mu, mv, &c.cx, &c.cy);
    c.cx += 0.5 * (arc->x0 + arc->x1);
    c.cy += 0.5 * (arc->y0 + arc->y1);
    c.from = atan2(v - mv, u - mu);
    c.turn = atan2(-v - mv, -u - mu) - c.from;
    if (arc->sweep && c.turn <= 0.0)
        c.turn += 2.0 * M_PI;
    if (!arc->sweep && c.turn >= 0.0)
        c.turn -= 2.0 * M_PI;
    return c;
}

bool arc_add(const Arc *arc, BlyTrace *out, BlyError *err) {
    if (arc->x0 == arc->x1 && arc->y0 == arc->y1)
        return true; /* B.2.5: left out */
    double apart = fabs(arc->x1 - arc->x0) + fabs(arc->y1 - arc->y0);
    bool flat = fmin(fabs(arc->rx), fabs(arc->ry)) <= 1e-12 * apart;
    bool one_place = apart <= 1e-100 * fmax(fabs(arc->rx), fabs(arc->ry)); /* squared it is 0 */
    if (flat || one_place)
        return bly_trace_line(out, arc->x0, arc->y0, arc->x1, arc->y1, err);
    Centre centre = find_centre(arc);
    return add_steps(&centre, arc->x0, arc->y0, arc->x1, arc->y1, out, err);
}

bool ellipse_add(double cx, double cy, double rx, double ry, BlyTrace *out, BlyError *err) {
    const Centre whole = {cx, cy, rx, ry, 1.0, 0.0, 0.0, 2.0 * M_PI};
    return add_steps(&whole, cx + rx, cy, cx + rx, cy, out, err);
}
