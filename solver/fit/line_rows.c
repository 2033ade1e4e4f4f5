/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fit/line_rows.h"
#include "build/build.h"
#include "tow/tow.h"

#include <math.h>

static const double a_degree = 0.017453292519943295;

/* The lure about which the rows are made. */
typedef struct Taken {
    const BlyBuild *build;
    const BlyTowWish *wish;
    BlyTow *tow;
    BlyTowLine line;
    LineRows *rows;
} Taken;

static BlyTowTerms terms_at(const Taken *t, double angle, double speed) {
    BlyTowForce force = bly_tow_force(t->tow, &t->rows->model, angle, speed);
    BlyTowTerms terms = {force.couple, 0, bly_tow_net_weight(t->tow) * BLY_GRAVITY};
    for (int i = 0; i < BLY_TOW_SOURCES; i++) {
        terms.drag += force.drag[i];
        terms.down -= force.up[i];
    }
    return terms;
}

/* N m/rad with which the couple falls there, never nothing. */
static double stiffness_at(const Taken *t, double angle, double speed) {
    const double h = 0.5 * a_degree;
    BlyTowTerms here = terms_at(t, angle, speed);
    double fall = terms_at(t, angle - h, speed).couple - terms_at(t, angle + h, speed).couple;
    return fmax(fall / (2 * h), 1e-3 * fmax(here.drag, 1e-4));
}

static LineRow row_at(const Taken *t, double angle, double speed) {
    BlyTowTerms whole = terms_at(t, angle, speed);
    return (LineRow){.asked = true,
                     .angle = angle,
                     .speed = speed,
                     .low = -INFINITY,
                     .high = INFINITY,
                     .aim = NAN,
                     .along = whole.drag * cos(angle) - whole.down * sin(angle),
                     .up = -whole.drag * sin(angle) - whole.down * cos(angle)};
}

static void nose_rows(const Taken *t) {
    const BlyTowWish *wish = t->wish;
    const double edge[2] = {wish->nose_low, wish->nose_high};
    double half = isfinite(edge[0]) && isfinite(edge[1]) ? (edge[1] - edge[0]) / 2 : 5 * a_degree;
    for (int i = LINE_LOW; i <= LINE_HIGH; i++) {
        if (!isfinite(edge[i]))
            continue;
        LineRow *row = &t->rows->row[i];
        *row = row_at(t, edge[i], wish->speed);
        row->by_couple = 1;
        row->unit = fmax(half, 0.1 * a_degree) * stiffness_at(t, edge[i], wish->speed);
        *(i == LINE_LOW ? &row->low : &row->high) = 0;
    }
    if (isfinite(edge[0] + edge[1])) {
        double middle = (edge[0] + edge[1]) / 2;
        LineRow *row = &t->rows->row[LINE_MIDDLE];
        *row = row_at(t, middle, wish->speed);
        row->by_couple = 1;
        row->unit = fmax(half, 0.1 * a_degree) * stiffness_at(t, middle, wish->speed);
        row->aim = 0;
    }
}

static bool depth_of(const Taken *t, double drag, double down, double *out, BlyError *err) {
    BlyTowCurve curve;
    bool good = bly_tow_line(&t->line, &t->rows->water, hypot(drag, down), atan2(down, drag),
                             t->wish->speed, &curve, err);
    *out = curve.depth;
    return good;
}

/* What one more N m nose-down does to a figure that goes with the attitude (per rad). */
static double by_turning(const Taken *t, const LineRow *row, double per_rad) {
    return per_rad / stiffness_at(t, row->angle, row->speed);
}

/* At the surface: the line shall rise as steeply as its length and the rod's height ask. */
static void steep_row(const Taken *t, LineRow *row, BlyTowTerms here, BlyTowTerms turned,
                      double step) {
    double steep = asin(fmin(t->line.rod / t->line.length, 0.7)) + a_degree;
    row->by_down = 1;
    row->by_drag = -tan(steep);
    row->by_couple = by_turning(
        t, row, (turned.down - here.down - tan(steep) * (turned.drag - here.drag)) / step);
    row->base = -row->by_couple * here.couple;
    row->low = 0;
    row->unit = fmax(0.1 * here.drag, 1e-4);
}

static bool deep_row(const Taken *t, double angle, BlyError *err) {
    const double step = a_degree;
    const BlyTowWish *wish = t->wish;
    LineRow *row = &t->rows->row[LINE_DEEP];
    *row = row_at(t, angle, wish->speed);
    BlyTowTerms here = terms_at(t, angle, wish->speed),
                turned = terms_at(t, angle + step, wish->speed);
    double more = 0.02 * hypot(here.drag, here.down), depth, dragged, downed, tilted;
    if (!depth_of(t, here.drag, here.down, &depth, err) ||
        !depth_of(t, here.drag + more, here.down, &dragged, err) ||
        !depth_of(t, here.drag, here.down + more, &downed, err) ||
        !depth_of(t, turned.drag, turned.down, &tilted, err))
        return false;
    if (!(depth > 0)) {
        steep_row(t, row, here, turned, step);
        row->asked = wish->depth_low > 0;
        return true;
    }
    row->by_drag = (dragged - depth) / more;
    row->by_down = (downed - depth) / more;
    row->by_couple = by_turning(t, row, (tilted - depth) / step);
    row->base =
        depth - row->by_drag * here.drag - row->by_down * here.down - row->by_couple * here.couple;
    row->low = wish->depth_low;
    row->high = wish->depth_high;
    bool low = isfinite(row->low), high = isfinite(row->high);
    row->unit = low && high ? fmax((row->high - row->low) / 2, 0.01)
                            : tow_wish_room(low ? row->low : row->high);
    row->aim = low && high ? (row->low + row->high) / 2
               : low       ? row->low + row->unit
                           : row->high - row->unit;
    return true;
}

static void under_row(const Taken *t, double angle) {
    const double step = a_degree;
    LineRow *row = &t->rows->row[LINE_UNDER];
    *row = row_at(t, angle, t->wish->under_most);
    BlyTowTerms here = terms_at(t, angle, row->speed),
                turned = terms_at(t, angle + step, row->speed);
    row->by_down = 1;
    row->by_couple = by_turning(t, row, (turned.down - here.down) / step);
    row->base = -row->by_couple * here.couple;
    row->low = 0;
    row->unit = fmax(0.1 * here.drag, 1e-4);
}

/* Where the lure runs at a speed; the middle of the wish, or along the flow, where it lies nowhere.
 */
static bool runs_at(const Taken *t, double speed, double *angle, double *found, BlyError *err) {
    BlyTowRun run;
    if (!bly_tow_run(t->tow, &t->rows->model, speed, &t->line, &run, err))
        return false;
    double middle = (t->wish->nose_low + t->wish->nose_high) / 2;
    *found = run.nose_down;
    *angle = !isnan(run.nose_down) ? run.nose_down : isfinite(middle) ? middle : 0;
    return true;
}

static bool make_rows(const Taken *t, BlyError *err) {
    const BlyTowWish *wish = t->wish;
    double angle, under, ignored;
    if (!runs_at(t, wish->speed, &angle, &t->rows->nose_down, err))
        return false;
    nose_rows(t);
    if ((isfinite(wish->depth_low) || isfinite(wish->depth_high)) && !deep_row(t, angle, err))
        return false;
    if (isinf(wish->under_most))
        return true;
    if (!runs_at(t, wish->under_most, &under, &ignored, err))
        return false;
    under_row(t, under);
    return true;
}

static double counted(const LineRow *row, BlyTowTerms terms) {
    return row->by_couple * terms.couple + row->by_drag * terms.drag + row->by_down * terms.down;
}

static void add_items(const LineRows *rows, const BlyItem *items, size_t count,
                      double f[LINE_ROWS]) {
    for (int i = 0; i < LINE_ROWS; i++) {
        const LineRow *row = &rows->row[i];
        if (row->asked)
            f[i] += counted(row, bly_tow_item_terms(items, count, rows->tie, &rows->water,
                                                    &rows->model, row->angle, row->speed));
    }
}

/* Hull, blank and what is fitted for good. */
static bool add_fixed(const Taken *t, const bool *fixed, const BlyRig *like, BlyError *err) {
    const BlyBlank *blank = &t->build->blank;
    LineRows *rows = t->rows;
    double f[LINE_ROWS] = {0};
    for (int i = 0; i < LINE_ROWS; i++) {
        const LineRow *row = &rows->row[i];
        BlyTowTerms hull;
        if (!row->asked)
            continue;
        if (!bly_tow_hull_terms(blank, rows->tie, &rows->water, &rows->model, row->angle,
                                row->speed, &hull, err))
            return false;
        f[i] = counted(row, hull);
    }
    add_items(rows, blank->items, blank->item_count, f);
    for (size_t s = 0; s < t->build->seat_count; s++) {
        BlyItem items[BLY_CHOICE_ITEMS];
        size_t count;
        if (!fixed[s])
            continue;
        if (!bly_choice_items(blank, &t->build->seats[s], (int)s, &like->at[s], items, &count, err))
            return false;
        add_items(rows, items, count, f);
    }
    for (int i = 0; i < LINE_ROWS; i++)
        rows->row[i].base += f[i];
    return true;
}

bool line_rows_make(const BlyBuild *build, const BlyRig *like, const BlyLure *lure,
                    const bool *fixed, LineRows *out, BlyError *err) {
    *out = (LineRows){.on = build->has_tow_wish, .nose_down = NAN};
    if (!out->on)
        return true;
    Taken t = {.build = build, .wish = &build->tow_wish, .line = bly_tow_line_usual(), .rows = out};
    const BlyWaterFacts *facts = &build->target_waters[0];
    t.line.length = t.wish->length;
    t.line.diameter = t.wish->diameter;
    t.line.rod = t.wish->rod;
    out->model = bly_tow_model(build);
    bool good = bly_water_at(facts->temperature.value, facts->salinity.value, &out->water, err) &&
                bly_tow_tie(lure, build->seats, build->seat_count, like, &out->tie, err) &&
                bly_tow_make(lure, out->tie, &out->water, &t.tow, err) && make_rows(&t, err) &&
                add_fixed(&t, fixed, like, err);
    bly_tow_free(t.tow);
    return good;
}

/* An eye of another size holds the line elsewhere: the whole force then has another arm. */
static void add_tie(const LineRows *rows, const BlyItem *items, size_t count, double f[LINE_ROWS]) {
    for (size_t k = 0; k < count; k++) {
        if (items[k].kind != BLY_ITEM_PART || !items[k].part || items[k].part->kind != BLY_PART_EYE)
            continue;
        BlyVec3 moved = bly_vec_sub(items[k].at, rows->tie);
        for (int i = 0; i < LINE_ROWS; i++) {
            const LineRow *row = &rows->row[i];
            if (row->asked)
                f[i] -= row->by_couple * (moved.x * row->up - moved.z * row->along);
        }
        return; /* the loop comes before the shank */
    }
}

bool line_rows_choice(const LineRows *rows, const BlyBuild *build, int seat,
                      const BlyChoice *choice, double f[LINE_ROWS], BlyError *err) {
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count;
    for (int i = 0; i < LINE_ROWS; i++)
        f[i] = 0;
    if (!bly_choice_items(&build->blank, &build->seats[seat], seat, choice, items, &count, err))
        return false;
    add_items(rows, items, count, f);
    if (build->seats[seat].kind == BLY_SEAT_TIE)
        add_tie(rows, items, count, f);
    return true;
}

void line_rows_weight(const LineRows *rows, const Moments *lump, double f[LINE_ROWS]) {
    WeightInWater w = moments_weight(lump, rows->water.density * 1e-3);
    double net = 1e-3 * w.net, x = 1e-6 * w.x - net * rows->tie.x,
           z = 1e-6 * w.z - net * rows->tie.z;
    for (int i = 0; i < LINE_ROWS; i++) {
        const LineRow *row = &rows->row[i];
        BlyTowTerms terms = {-BLY_GRAVITY * (x * cos(row->angle) - z * sin(row->angle)), 0,
                             net * BLY_GRAVITY};
        f[i] = row->asked ? counted(row, terms) : 0;
    }
}

double line_rows_distance(const LineRows *a, const LineRows *b) {
    if (!b->on || isnan(a->nose_down) || isnan(b->nose_down))
        return 0;
    return fabs(a->nose_down - b->nose_down) / (5 * a_degree);
}
