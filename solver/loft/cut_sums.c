/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From a cut's sums to its result; and the cut square to x.
 *
 * Axes in the plane: e1 is the projection of x, e2 = up x e1. A point of the plane at x has the
 * lengthwise coordinate (x - height up.x)/sine. */
#include "loft/cut.h"

Chord cut_chord(const Cutter *cut, const Slice *at, const BlyBelow *below) {
    BlyVec3 up = cut->plane.up;
    double y = up.z / cut->sine, z = -up.y / cut->sine; /* along the chord: up x (1, 0, 0) */
    double one = y * below->y1 + z * (at->mid + below->z1);
    double two = y * below->y2 + z * (at->mid + below->z2);
    return (Chord){.along = (at->x - cut->plane.height * up.x) / cut->sine,
                   .from = fmin(one, two),
                   .to = fmax(one, two)};
}

static void grow_edge(Cutter *cut, const Chord *chord) {
    if (cut->open) {
        double step = chord->along - cut->last.along;
        cut->perimeter += hypot(step, chord->from - cut->last.from);
        cut->perimeter += hypot(step, chord->to - cut->last.to);
    }
    cut->open = true;
    cut->last = *chord;
}

void cut_add_chord(Cutter *cut, const Chord *chord, double step) {
    double length = chord->to - chord->from, middle = 0.5 * (chord->from + chord->to);
    double area = length * step;
    cut->area += area;
    cut->along += area * chord->along;
    cut->across += area * middle;
    cut->along_along += area * chord->along * chord->along;
    cut->along_across += area * chord->along * middle;
    cut->across_across += area * (middle * middle + length * length / 12.0);
    grow_edge(cut, chord);
}

/* On an end face the chord is an edge itself. At a root of the crossing it is a point, or nearly: a
 * hair's depth into a box is half as wide as the box. */
void cut_touch(Cutter *cut, const Slice *at, const Probe *probe) {
    BlyVec3 up = cut->plane.up;
    BlyOval oval;
    bly_oval_init(&oval, at->n);
    double inside = probe->q * (1.0 - 1e-12);
    double d = fmin(inside, fmax(-inside, probe->d));
    BlyBelow below = bly_oval_below(&oval, at->b, at->c, up.y, up.z, d, probe->q);
    Chord chord = cut_chord(cut, at, &below);
    cut->perimeter += chord.to - chord.from;
    grow_edge(cut, &chord);
}

BlyCut cut_result(const Cutter *cut) {
    BlyVec3 up = cut->plane.up, nowhere = cut->loft->body.solid.centroid;
    BlyCut out = {.volume = cut->volume, .centroid = nowhere, .area_centroid = nowhere};
    if (cut->volume > 0.0)
        out.centroid = bly_vec_scale(bly_vec(cut->x, cut->y, cut->z), 1.0 / cut->volume);
    if (!(cut->area > 0.0))
        return out;
    BlyVec3 e1 = bly_vec_scale(bly_vec_sub(bly_vec(1.0, 0.0, 0.0), bly_vec_scale(up, up.x)),
                               1.0 / cut->sine);
    BlyVec3 e2 = bly_vec_cross(up, e1);
    double along = cut->along / cut->area, across = cut->across / cut->area;
    out.area = cut->area;
    out.area_centroid =
        bly_vec_add(bly_vec_scale(up, cut->plane.height),
                    bly_vec_add(bly_vec_scale(e1, along), bly_vec_scale(e2, across)));
    out.along = cut->along_along - cut->area * along * along;
    out.across = cut->across_across - cut->area * across * across;
    out.mixed = cut->along_across - cut->area * along * across;
    out.perimeter = cut->perimeter;
    return out;
}

/* Volume and first moments of the loft before x. */
static void add_before(Cutter *cut, double x) {
    const Loft *loft = cut->loft;
    for (size_t i = 0; i < loft->count && loft->panel[i].x < x; i++) {
        const Panel *panel = &loft->panel[i];
        double part = (x - panel->x) / panel->length;
        if (part >= 1.0) {
            cut_add_volume(cut, panel->volume, panel->x_moment, 0.0, panel->z_moment);
            continue;
        }
        /* s = part r^2 (3 - 2 r): smooth at a tip on either end of the panel */
        for (size_t k = 0; k < loft->fine.count; k++) {
            double r = loft->fine.at[k];
            Slice at = panel_middle(panel, part * r * r * (3.0 - 2.0 * r));
            double dx = part * 6.0 * r * (1.0 - r) * loft->fine.weight[k] * panel->length;
            double volume = 4.0 * bly_oval_quarter(at.n) * at.b * at.c * dx;
            cut_add_volume(cut, volume, volume * at.x, 0.0, volume * at.mid);
        }
    }
}

static double girth(const Slice *at) {
    enum { STEPS = 64 };
    double sum = 0.0, y0 = 0.0, z0 = at->c;
    for (int i = 1; i <= STEPS; i++) {
        double u, v, du, dv;
        bly_oval_point(at->n, 3.14159265358979323846 * i / STEPS, &u, &v, &du, &dv);
        sum += hypot(at->b * u - y0, at->c * v - z0);
        y0 = at->b * u;
        z0 = at->c * v;
    }
    return 2.0 * sum;
}

/* The plane meets the x axis at one section. Its tilt, if any, moves volume across the section's
 * middle to first order, which shifts y and z. */
BlyCut loft_cut_square(const Loft *loft, BlyPlane plane) {
    double start = loft_start(loft), end = loft_end(loft);
    double x = plane.height / plane.up.x;
    for (int i = 0; i < 3 && x > start && x < end; i++) {
        const Panel *panel = loft_panel(loft, x);
        double mid = panel_curve(panel, LOFT_MID, (x - panel->x) / panel->length);
        x = (plane.height - plane.up.z * mid) / plane.up.x;
    }
    Cutter cut = {.loft = loft, .plane = plane, .sine = 1.0};
    add_before(&cut, x);
    const BlySolid *whole = &loft->body.solid;
    if (plane.up.x < 0.0) {
        cut.volume = whole->volume - cut.volume;
        cut.x = whole->volume * whole->centroid.x - cut.x;
        cut.z = whole->volume * whole->centroid.z - cut.z;
    }
    BlyCut out = {.volume = fmax(0.0, cut.volume),
                  .centroid = whole->centroid,
                  .area_centroid = whole->centroid};
    if (x > start && x < end) {
        const Panel *panel = loft_panel(loft, x);
        Slice at = panel_middle(panel, (x - panel->x) / panel->length);
        double inner = 4.0 * bly_oval_square(at.n) * at.b * at.c;
        out.area = 4.0 * bly_oval_quarter(at.n) * at.b * at.c;
        out.area_centroid = bly_vec(x, 0.0, at.mid);
        out.along = inner * at.c * at.c;
        out.across = inner * at.b * at.b;
        out.perimeter = girth(&at);
        cut.y -= plane.up.y / fabs(plane.up.x) * out.across;
        cut.z -= plane.up.z / fabs(plane.up.x) * out.along;
    }
    if (cut.volume > 0.0)
        out.centroid = bly_vec_scale(bly_vec(cut.x, cut.y, cut.z), 1.0 / cut.volume);
    return out;
}
