/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A strip on a mesh: as strip.c has it, with the section's outline as a polygon.
 *
 * Along an edge of the outline the turning q stands still, at a corner it jumps while the arc
 * stands still; the strip's edge is where arc + t/2 q reaches half its width. */
#include "shape/mesh.h"

/* y outward and e up from the line, from the line to its opposite. */
typedef struct Outline {
    double y[MESH_LEVELS + 2], e[MESH_LEVELS + 2];
    int count;
    double thickness, half_width;
} Outline;

typedef struct Walk {
    double arc, rise_arc, rise_turn, turn, y, rise; /* int e ds, int e dq */
} Walk;

static Outline outline_at(const MeshBody *mesh, const BlyStripSpec *spec, double x, double cosine) {
    MeshOutline section;
    const double *z = section.z;
    Outline out = {.thickness = spec->thickness, .half_width = 0.5 * spec->width};
    mesh_outline(mesh, x, &section);
    bool belly = spec->side == BLY_BELLY;
    double line = belly ? z[0] : z[MESH_LEVELS - 1];
    out.count = 1; /* the line itself: y = 0, e = 0 */
    for (int i = 0; i < MESH_LEVELS; i++) {
        int k = belly ? i : MESH_LEVELS - 1 - i;
        out.y[out.count] = section.half[k];
        out.e[out.count++] = fabs(z[k] - line) * cosine;
    }
    out.y[out.count] = 0.0;
    out.e[out.count] = out.e[out.count - 1];
    out.count++;
    return out;
}

/* From the angle `from` to `to`, by the shorter way. */
static double turn_between(double from, double to) {
    double turn = to - from, whole = 2.0 * acos(-1.0);
    return turn - whole * round(turn / whole);
}

/* False when the outline ends before the strip does. */
static bool walk_to_edge(const Outline *at, Walk *walk) {
    double heading = 0.0, half_t = 0.5 * at->thickness;
    *walk = (Walk){0};
    for (int i = 0; i + 1 < at->count; i++) {
        double dy = at->y[i + 1] - at->y[i], de = at->e[i + 1] - at->e[i], ds = hypot(dy, de);
        if (!(ds > 0.0))
            continue;
        double turn = turn_between(heading, atan2(de, dy));
        double left = at->half_width - walk->arc - half_t * walk->turn;
        if (half_t * turn >= left) { /* the edge comes to lie on this corner */
            walk->turn += left / half_t;
            walk->rise_turn += walk->rise * left / half_t;
            return true;
        }
        heading += turn;
        walk->turn += turn;
        walk->rise_turn += walk->rise * turn;
        double step = fmin(ds, left - half_t * turn), part = step / ds;
        walk->rise_arc += step * (walk->rise + 0.5 * part * de);
        walk->arc += step;
        walk->y += part * dy;
        walk->rise += part * de;
        if (step < ds)
            return true;
    }
    return false;
}

static double mean_rise(const Outline *at, const Walk *walk) {
    double t = at->thickness;
    double moment = t * walk->rise_arc + 0.5 * t * t * (walk->rise_turn - walk->y) -
                    t * t * t / 3.0 * sin(walk->turn);
    return moment / (t * at->half_width);
}

bool bly_mesh_strip_at(const BlyBody *body, const BlyStripSpec *spec, BlyStripPoint *at) {
    BlySection section;
    Walk walk;
    bool belly = spec->side == BLY_BELLY;
    (void)bly_mesh_section(body, at->x, &section);
    at->z = belly ? section.belly : section.back;
    at->slope = belly ? section.belly_slope : -section.back_slope;
    Outline outline = outline_at(bly_mesh_body(body), spec, at->x, 1.0 / hypot(1.0, at->slope));
    if (!walk_to_edge(&outline, &walk))
        return false;
    at->rise = mean_rise(&outline, &walk);
    return true;
}
