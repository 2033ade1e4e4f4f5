/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A strip on a mesh: as strip.c has it, with the section's outline as a polygon.
 *
 * Along an edge of the outline the turning q stands still, at a corner it jumps while the arc
 * stands still; the strip's edge is where arc + t/2 q reaches half its width. */
#include "mesh/mesh_body.h"

/* The section from the line that the strip lies on to its opposite, worked out corner by corner. */
typedef struct Outline {
    MeshPlace place;
    bool belly;
    double line, cosine; /* height of the line; of its slope */
    double thickness, half_width;
} Outline;

typedef struct Walk {
    BlyStripBend bend;
    double rise;
} Walk;

static Outline outline_at(const MeshBody *mesh, const BlyStripSpec *spec, double x, double cosine) {
    double half;
    Outline out = {.place = mesh_place(mesh, x),
                   .belly = spec->side == BLY_BELLY,
                   .cosine = cosine,
                   .thickness = spec->thickness,
                   .half_width = 0.5 * spec->width};
    mesh_level(&out.place, out.belly ? 0 : MESH_LEVELS - 1, &out.line, &half);
    return out;
}

/* y outward and e up from the line: the line itself, the levels, and the middle of the last. */
enum { CORNERS = MESH_LEVELS + 2 };
static void corner(const Outline *at, int i, double *y, double *e) {
    int level = i > MESH_LEVELS ? MESH_LEVELS - 1 : i - 1;
    double z;
    *y = *e = 0.0;
    if (i == 0)
        return;
    mesh_level(&at->place, at->belly ? level : MESH_LEVELS - 1 - level, &z, y);
    *e = fabs(z - at->line) * at->cosine;
    if (i > MESH_LEVELS)
        *y = 0.0;
}

/* From the angle `from` to `to`, by the shorter way. */
static double turn_between(double from, double to) {
    double turn = to - from, whole = 2.0 * acos(-1.0);
    return turn - whole * round(turn / whole);
}

/* False when the outline ends before the strip does. */
static bool walk_to_edge(const Outline *at, Walk *walk) {
    double heading = 0.0, half_t = 0.5 * at->thickness, y_before = 0.0, e_before = 0.0;
    *walk = (Walk){0};
    for (int i = 1; i < CORNERS; i++) {
        double y, e;
        corner(at, i, &y, &e);
        double dy = y - y_before, de = e - e_before, ds = hypot(dy, de);
        y_before = y;
        e_before = e;
        if (!(ds > 0.0))
            continue;
        double turn = turn_between(heading, atan2(de, dy));
        double left = at->half_width - walk->bend.arc - half_t * walk->bend.turn;
        if (half_t * turn >= left) { /* the edge comes to lie on this corner */
            walk->bend.turn += left / half_t;
            walk->bend.rise_turn += walk->rise * left / half_t;
            return true;
        }
        heading += turn;
        walk->bend.turn += turn;
        walk->bend.rise_turn += walk->rise * turn;
        double step = fmin(ds, left - half_t * turn), part = step / ds;
        walk->bend.rise_arc += step * (walk->rise + 0.5 * part * de);
        walk->bend.arc += step;
        walk->bend.y += part * dy;
        walk->rise += part * de;
        if (step < ds)
            return true;
    }
    return false;
}

bool mesh_strip_at(const BlyBody *body, const BlyStripSpec *spec, BlyStripPoint *at) {
    BlySection section;
    Walk walk;
    bool belly = spec->side == BLY_BELLY;
    (void)mesh_section(body, at->x, &section);
    at->z = belly ? section.belly : section.back;
    at->slope = belly ? section.belly_slope : -section.back_slope;
    Outline outline = outline_at(mesh_of(body), spec, at->x, 1.0 / hypot(1.0, at->slope));
    if (!walk_to_edge(&outline, &walk))
        return false;
    bly_strip_heights(&walk.bend, spec, at);
    return true;
}
