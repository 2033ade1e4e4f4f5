/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a plane cuts off a loft.
 *
 * At each x the plane is a straight line across the section: with d(x) = height - up.x x - up.z mid
 * and q(x) the section's reach along (up.y, up.z), the section is wet for d >= q, dry for d <= -q
 * and crossed between. Every panel is parted where d - q or d + q changes its sign; whole wet
 * panels are looked up, the other pieces integrated. Where a crossing starts the chord grows like a
 * square root, so x runs like a cosine between the two places (on the piece's ends or, estimated,
 * beyond them) where q^2 - d^2 vanishes: the integrals then converge fast and stay smooth in the
 * plane's position. When the plane is square to x the slices are parallel to it: cut_square.c. */
#include "loft/cut.h"

enum { MARKS_MAX = 32, PROBES = 5 }; /* probes at u = 0, 1/4, 1/2, 3/4, 1 of a panel */

static Probe probe_at(const Cutter *cut, const Panel *panel, double s) {
    Slice at = panel_middle(panel, s);
    const BlyPlane *plane = &cut->plane;
    Probe probe = {.s = s};
    probe.d = plane->height - plane->up.x * at.x - plane->up.z * at.mid;
    probe.q = bly_oval_support(at.n, at.b, at.c, plane->up.y, plane->up.z);
    probe.side = fabs(plane->up.y) * at.b;
    probe.top = fabs(plane->up.z) * at.c;
    return probe;
}

/* Where the plane's line stands on the section: at its highest or lowest point (REACH), or at
 * one of its four vertices, where a superellipse is flat or sharp. */
typedef enum Stand { REACH, TOP, SIDE } Stand;

/* For REACH: above 0 where the section is wholly wet (sign -1), or at least partly wet (+1). */
static double margin(const Probe *probe, Stand stand, double sign) {
    return probe->d + sign * (stand == REACH ? probe->q : stand == TOP ? probe->top : probe->side);
}

typedef struct Search {
    const Cutter *cut;
    const Panel *panel;
    Stand stand;
    double sign;
} Search;

static double margin_at(double u, void *user) {
    const Search *search = user;
    double ds;
    Probe probe = probe_at(search->cut, search->panel, panel_map(search->panel, u, &ds));
    return margin(&probe, search->stand, search->sign);
}

/* The places on one panel where it must be parted, as u of panel_map, rising; `sharp` where the
 * integrand is not smooth, `root` where a crossing begins or ends. */
typedef struct Marks {
    size_t count;
    double u[MARKS_MAX];
    bool root[MARKS_MAX], sharp[MARKS_MAX];
} Marks;

static void add_mark(Marks *marks, double u, Stand stand) {
    if (marks->count == MARKS_MAX)
        return;
    size_t i = marks->count++;
    for (; i > 0 && marks->u[i - 1] > u; i--) {
        marks->u[i] = marks->u[i - 1];
        marks->root[i] = marks->root[i - 1];
        marks->sharp[i] = marks->sharp[i - 1];
    }
    marks->u[i] = u;
    marks->root[i] = stand == REACH;
    marks->sharp[i] = true;
}

static void mark_between(Marks *marks, Search *search, double ua, double ya, double ub, double yb) {
    if ((ya > 0.0) != (yb > 0.0))
        add_mark(marks, bly_root(margin_at, search, ua, ub), search->stand);
}

/* When a margin keeps its sign at three neighbouring probes but bends back towards zero, it may
 * still touch the other side in between. Follows the vertex of ever narrower parabolas to its
 * turning point (it may lie a little off the panel) and marks the two roots beside it. */
static bool mark_touch(Marks *marks, Search *search, double u, const double y[3]) {
    const double h = 1.0 / (PROBES - 1);
    bool wet = y[1] > 0.0;
    double bend = y[0] - 2.0 * y[1] + y[2], tilt = y[2] - y[0];
    if (bend == 0.0 || (bend > 0.0) != wet)
        return false;
    double vertex = -0.5 * tilt / bend, least = y[1] - 0.125 * tilt * tilt / bend;
    if (fabs(vertex) > 1.2 || fabs(least) > 0.25 * fabs(bend))
        return false;
    double at = u + vertex * h, step = 0.1 * h;
    for (int i = 0; i < 4; i++) {
        double mid = margin_at(at, search);
        if ((mid > 0.0) != wet) {
            if (!(at > u - h && at < u + h))
                return false;
            mark_between(marks, search, u - h, y[0], at, mid);
            mark_between(marks, search, at, mid, u + h, y[2]);
            return true;
        }
        double low = margin_at(at - step, search), high = margin_at(at + step, search);
        bend = low - 2.0 * mid + high;
        double move = bend != 0.0 ? 0.5 * step * (high - low) / bend : 0.0;
        if (fabs(move) > h)
            return false;
        at -= move;
        step *= 0.2;
    }
    return false;
}

/* Roots of one margin from its values at the probes. */
static void mark_roots(Marks *marks, Search *search, const Probe probe[PROBES], bool touches) {
    const double h = 1.0 / (PROBES - 1);
    double y[PROBES];
    for (int i = 0; i < PROBES; i++)
        y[i] = margin(&probe[i], search->stand, search->sign);
    for (int i = 0; i + 1 < PROBES; i++)
        mark_between(marks, search, h * i, y[i], h * (i + 1), y[i + 1]);
    for (int i = 1; touches && i + 1 < PROBES; i++) {
        bool wet = y[i] > 0.0;
        if ((y[i - 1] > 0.0) == wet && (y[i + 1] > 0.0) == wet &&
            mark_touch(marks, search, h * i, &y[i - 1]))
            return;
    }
}

/* Adds one slice with the weight dx. Wet: the whole section; else what lies below the line. */
static void add_slice(Cutter *cut, const Slice *at, const Probe *probe, bool wet, double dx) {
    const Loft *loft = cut->loft;
    if (wet) {
        double quarter = loft->uniform ? loft->oval.quarter : bly_oval_quarter(at->n);
        double volume = 4.0 * quarter * at->b * at->c * dx;
        cut_add_volume(cut, volume, volume * at->x, 0.0, volume * at->mid);
        return;
    }
    BlyOval own;
    if (!loft->uniform)
        bly_oval_init(&own, at->n);
    BlyVec3 up = cut->plane.up;
    BlyBelow below = bly_oval_below(loft->uniform ? &loft->oval : &own, at->b, at->c, up.y, up.z,
                                    probe->d, probe->q);
    double volume = below.area * dx;
    cut_add_volume(cut, volume, volume * at->x, below.y * dx, below.z * dx + volume * at->mid);
    Chord chord = cut_chord(cut, at, &below);
    cut_add_chord(cut, &chord, dx / cut->sine);
}

/* Where q^2 - d^2 vanishes at or beyond the ends of a crossed piece, as a share of the piece: at
 * most 6 lengths off, where it no longer matters. From the parabola through three probes. */
static void find_branch_points(const Probe *a, const Probe *m, const Probe *b, double *low,
                               double *high) {
    double ga = (a->q - a->d) * (a->q + a->d), gm = (m->q - m->d) * (m->q + m->d);
    double gb = (b->q - b->d) * (b->q + b->d);
    double p = (m->s - a->s) / (b->s - a->s);
    double first = (gm - ga) / p, second = ((gb - gm) / (1.0 - p) - first);
    /* g(r) = ga + first r + second r (r - p) */
    double slope = first - second * p, root = slope * slope - 4.0 * second * ga;
    double near = -HUGE_VAL, far = HUGE_VAL;
    if (root >= 0.0) {
        double half = -0.5 * (slope + copysign(sqrt(root), slope));
        double r[2] = {second != 0.0 ? half / second : HUGE_VAL, half != 0.0 ? ga / half : 0.0};
        for (int i = 0; i < 2; i++) {
            if (r[i] <= 0.5)
                near = fmax(near, fmin(r[i], 0.0));
            else
                far = fmin(far, fmax(r[i], 1.0));
        }
    }
    *low = fmax(near, -6.0);
    *high = fmin(far, 7.0);
}

typedef struct Piece {
    Probe a, b;
    bool sharp_a, sharp_b, wet;
} Piece;

/* Few nodes do where nothing happens near; many at a tip and where a superellipse is sharp. */
static const BlyRule *rule_for(const Loft *loft, const Panel *panel, const Piece *piece, double low,
                               double high) {
    if (panel->tip_low || panel->tip_high)
        return &loft->finest;
    if (!loft->oval.ellipse && (piece->sharp_a || piece->sharp_b))
        return &loft->finest;
    return low > -0.7 || high < 1.7 ? &loft->cut : &loft->coarse;
}

static void add_piece(Cutter *cut, const Panel *panel, const Piece *piece) {
    double from = piece->a.s, span = piece->b.s - from, low = -6.0, high = 7.0;
    if (!piece->wet) {
        Probe middle = probe_at(cut, panel, from + 0.5 * span);
        find_branch_points(&piece->a, &middle, &piece->b, &low, &high);
    }
    if ((piece->sharp_a && !piece->wet) || (panel->tip_low && from == 0.0))
        low = 0.0;
    if ((piece->sharp_b && !piece->wet) || (panel->tip_high && piece->b.s == 1.0))
        high = 1.0;
    double centre = 0.5 * (low + high), radius = 0.5 * (high - low);
    double t0 = acos(fmin(1.0, centre / radius)), t1 = acos(fmax(-1.0, (centre - 1.0) / radius));
    const BlyRule *rule = rule_for(cut->loft, panel, piece, low, high);
    for (size_t i = 0; i < rule->count; i++) {
        double t = t0 + (t1 - t0) * rule->at[i];
        double s = from + span * (centre - radius * cos(t));
        double dx = (t1 - t0) * rule->weight[i] * radius * sin(t) * span * panel->length;
        Slice at = panel_middle(panel, s);
        Probe probe = {.s = s};
        if (!piece->wet) {
            probe = probe_at(cut, panel, s);
            if (fabs(probe.d) >= probe.q)
                continue; /* rounding next to a root: the slice is empty or full to 1e-8 */
        }
        add_slice(cut, &at, &probe, piece->wet, dx);
    }
}

static void touch_at(Cutter *cut, const Panel *panel, double s) {
    Slice at = panel_middle(panel, s);
    Probe probe = probe_at(cut, panel, s);
    if (probe.q > 0.0)
        cut_touch(cut, &at, &probe);
}

static const double one_place = 1e-9; /* u of marks that are one but for rounding */

/* Where the highest or lowest point is a vertex, one place is marked twice: as a root by either. */
static void share_roots(Marks *marks) {
    for (size_t i = 1; i < marks->count; i++) {
        if (marks->u[i] - marks->u[i - 1] <= one_place)
            marks->root[i] = marks->root[i - 1] = marks->root[i] || marks->root[i - 1];
    }
    for (size_t i = marks->count; i-- > 1;) {
        if (marks->u[i] - marks->u[i - 1] <= one_place)
            marks->root[i - 1] = marks->root[i];
    }
}

static void add_parted_panel(Cutter *cut, const Panel *panel, const Marks *marks) {
    for (size_t i = 0; i + 1 < marks->count; i++) {
        double ua = marks->u[i], ub = marks->u[i + 1], ds;
        if (!(ub - ua > 1e-14))
            continue;
        Probe middle = probe_at(cut, panel, panel_map(panel, 0.5 * (ua + ub), &ds));
        if (margin(&middle, REACH, 1.0) <= 0.0)
            continue;
        Piece piece = {.a = probe_at(cut, panel, panel_map(panel, ua, &ds)),
                       .b = probe_at(cut, panel, panel_map(panel, ub, &ds)),
                       .sharp_a = marks->sharp[i],
                       .sharp_b = marks->sharp[i + 1],
                       .wet = margin(&middle, REACH, -1.0) >= 0.0};
        bool edge = !piece.wet && ub - ua > one_place;
        if (marks->root[i] && edge)
            touch_at(cut, panel, piece.a.s);
        add_piece(cut, panel, &piece);
        if (marks->root[i + 1] && edge) {
            touch_at(cut, panel, piece.b.s);
            cut->open = false;
        }
    }
}

static void cut_panel(Cutter *cut, const Panel *panel, const Probe probe[PROBES]) {
    Marks marks = {.count = 2, .u = {0.0, 1.0}};
    Search search = {cut, panel, REACH, -1.0};
    mark_roots(&marks, &search, probe, true);
    search.sign = 1.0;
    mark_roots(&marks, &search, probe, true);
    const Probe *middle = &probe[PROBES / 2];
    if (marks.count == 2 && margin(middle, REACH, 1.0) <= 0.0)
        return;
    if (marks.count == 2 && margin(middle, REACH, -1.0) >= 0.0) {
        cut_add_volume(cut, panel->volume, panel->x_moment, 0.0, panel->z_moment);
        return;
    }
    if (!cut->loft->uniform || !cut->loft->oval.ellipse) {
        for (search.stand = TOP; search.stand <= SIDE; search.stand++) {
            for (search.sign = -1.0; search.sign < 2.0; search.sign += 2.0)
                mark_roots(&marks, &search, probe, false);
        }
        share_roots(&marks);
    }
    add_parted_panel(cut, panel, &marks);
}

BlyCut loft_cut(const BlyBody *body, BlyPlane plane) {
    const Loft *loft = loft_of(body);
    Cutter cut = {.loft = loft, .plane = plane, .sine = hypot(plane.up.y, plane.up.z)};
    if (cut.sine < SQUARE_SINE)
        return loft_cut_square(loft, plane);
    const Panel *last = &loft->panel[loft->count - 1];
    Probe probe[PROBES], *end = &probe[PROBES - 1];
    *end = probe_at(&cut, &loft->panel[0], 0.0);
    if (fabs(end->d) < end->q)
        touch_at(&cut, &loft->panel[0], 0.0);
    for (size_t i = 0; i < loft->count; i++) {
        const Panel *panel = &loft->panel[i];
        double ds;
        probe[0] = *end;
        for (int k = 1; k < PROBES - 1; k++)
            probe[k] = probe_at(&cut, panel, panel_map(panel, k / (PROBES - 1.0), &ds));
        *end = probe_at(&cut, panel, 1.0);
        cut_panel(&cut, panel, probe);
    }
    if (fabs(end->d) < end->q)
        touch_at(&cut, last, 1.0);
    return cut_result(&cut);
}
