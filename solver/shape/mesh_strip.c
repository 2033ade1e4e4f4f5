/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A strip on a mesh: as strip.c has it, with the section's outline as a polygon.
 *
 * Along an edge of the outline the turning q stands still, at a corner it jumps while the arc
 * stands still; the strip's edge is where arc + t/2 q reaches half its width. */
#include "shape/mesh.h"
#include "shape/numeric.h"

enum { NODES_ALONG = 16 };

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
    double z[MESH_LEVELS], half[MESH_LEVELS];
    Outline out = {.thickness = spec->thickness, .half_width = 0.5 * spec->width};
    mesh_outline(mesh, x, z, half);
    bool belly = spec->side == BLY_BELLY;
    double line = belly ? z[0] : z[MESH_LEVELS - 1];
    out.count = 1; /* the line itself: y = 0, e = 0 */
    for (int i = 0; i < MESH_LEVELS; i++) {
        int k = belly ? i : MESH_LEVELS - 1 - i;
        out.y[out.count] = half[k];
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

static double line_turn(const BlyBody *body, const BlyStripSpec *spec) {
    BlySection from, to;
    (void)bly_mesh_section(body, spec->x_from, &from);
    (void)bly_mesh_section(body, spec->x_to, &to);
    if (spec->side == BLY_BELLY)
        return atan(to.belly_slope) - atan(from.belly_slope);
    return atan(from.back_slope) - atan(to.back_slope);
}

bool bly_mesh_strip(const BlyBody *body, const BlyStripSpec *spec, BlySolid *out, double *length,
                    BlyError *err) {
    const MeshBody *mesh = bly_mesh_body(body);
    BlyRule along;
    if (!bly_rule_make(NODES_ALONG, &along, err))
        return false;
    bool belly = spec->side == BLY_BELLY;
    double way = belly ? 1.0 : -1.0, total = 0.0, x_sum = 0.0, z_sum = 0.0;
    for (size_t i = 0; i < along.count; i++) {
        /* ends double, as in strip.c */
        double r = along.at[i], span = spec->x_to - spec->x_from;
        double x = spec->x_from + span * r * r * (3.0 - 2.0 * r);
        BlySection at;
        (void)bly_mesh_section(body, x, &at);
        double slope = belly ? at.belly_slope : -at.back_slope; /* inwards positive */
        double step = hypot(1.0, slope), cosine = 1.0 / step, sine = slope / step;
        Outline outline = outline_at(mesh, spec, x, cosine);
        Walk walk;
        if (!walk_to_edge(&outline, &walk))
            return bly_fail(err, BLY_E_RANGE, "/width",
                            "a strip %g mm wide does not go around the body at x = %g mm",
                            1e3 * spec->width, 1e3 * x);
        double rise = mean_rise(&outline, &walk);
        double arc = span * along.weight[i] * 6.0 * r * (1.0 - r) * step;
        total += arc;
        x_sum += arc * (x - sine * rise);
        z_sum += arc * ((belly ? at.belly : at.back) + way * cosine * rise);
    }
    double line = total + 0.5 * spec->thickness * line_turn(body, spec);
    *out = (BlySolid){.volume = line * spec->width * spec->thickness,
                      .centroid = bly_vec(x_sum / total, 0.0, z_sum / total),
                      .xx = NAN,
                      .yy = NAN,
                      .zz = NAN,
                      .xz = NAN};
    if (length != NULL)
        *length = line;
    return true;
}
