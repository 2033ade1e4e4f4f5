/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The lure as it lies, as shapes for the page to paint: the sheet's own figure, in mm, x to the
 * right from the nose's side, y down. Afloat y = 0 is the water's surface. */
#include "bench/draw.h"
#include "bench/results.h"
#include "json/json.h"
#include "figure/figure.h"

#include <gsl/gsl_math.h>

enum { PLACES = 60 }; /* of the profile, less one */

static const double mm = 1e3;

/* A hundredth of a millimetre is finer than any screen. */
double draw_length(double metres) {
    double rounded = round(metres * mm * 100) / 100;
    return rounded == 0 ? 0 : rounded;
}

static cJSON *pair(double x, double y) {
    const double at[2] = {draw_length(x), draw_length(y)};
    return cJSON_CreateDoubleArray(at, 2);
}

/* ---- as it lies ---- */

static cJSON *spot(const Lie *lie, Pt p) {
    return pair(p.x, lie->level - p.y);
}

cJSON *draw_spot(const Lie *lie, BlyVec3 p) {
    return spot(lie, bly_aspect_point(lie->aspect, p));
}

static const char *piece_name(const Shape *shape) {
    return shape->piece >= 0 ? bly_part_kind_name((BlyPartKind)shape->piece) : "";
}

static cJSON *shape_tree(const BlyBuild *build, const Figure *figure, const Shape *shape,
                         const Lie *lie) {
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL && put_text(o, "kind", bly_shape_name(shape->kind)) &&
                put_text(o, "seat", shape->seat >= 0 ? build->seats[shape->seat].name : "") &&
                put_text(o, "piece", piece_name(shape)) &&
                put_number(o, "stroke", draw_length(shape->stroke)) &&
                put_bool(o, "closed", shape->closed);
    cJSON *points = good ? cJSON_AddArrayToObject(o, "points") : NULL;
    good = points != NULL;
    for (size_t i = 0; good && i < shape->count; i++)
        good = put_last(points, spot(lie, figure->points[shape->first + i]));
    return json_finished(o, good);
}

static cJSON *shapes(const BlyBuild *build, const Figure *figure, const Lie *lie) {
    cJSON *list = cJSON_CreateArray();
    bool good = list != NULL;
    for (size_t i = 0; good && i < figure->shape_count; i++) {
        const Shape *shape = &figure->shapes[i]; /* slices are sections once more, finer */
        if (shape->count > 0 && shape->kind != SHAPE_SLICE)
            good = put_last(list, shape_tree(build, figure, shape, lie));
    }
    return json_finished(list, good);
}

static cJSON *box_of(const Figure *figure, const Lie *lie) {
    Bounds b;
    if (!bly_figure_bounds(figure, &b))
        return cJSON_CreateArray();
    const double sides[4] = {draw_length(b.left), draw_length(lie->level - b.high),
                             draw_length(b.right), draw_length(lie->level - b.low)};
    return cJSON_CreateDoubleArray(sides, 4);
}

static cJSON *seat_spots(const BlyBuild *build, const BlyRig *rig, const Lie *lie) {
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL;
    for (size_t i = 0; good && i < build->seat_count; i++) {
        const BlySeat *seat = &build->seats[i]; /* an empty one is shown in the middle */
        bool empty = bly_choice_is_empty(&rig->at[i]);
        double x = empty ? 0.5 * (seat->x_from + seat->x_to) : rig->at[i].x;
        BlyVec3 p = bly_seat_surface(&build->blank, seat, x);
        if (isfinite(p.x) && isfinite(p.z))
            good = put_tree(o, build->seats[i].name, draw_spot(lie, p));
    }
    return json_finished(o, good);
}

static cJSON *centres(const BlyOutcome *outcome, const Lie *lie) {
    cJSON *o = cJSON_CreateObject();
    bool afloat = outcome->has_surface; /* there the hull lifts with what is under water alone */
    BlyVec3 buoyancy = afloat ? outcome->surface.buoyancy : outcome->sums.buoyancy;
    BlyVec3 gravity = afloat ? outcome->surface.gravity : outcome->sums.gravity;
    return json_finished(o, o != NULL && put_tree(o, "gravity", draw_spot(lie, gravity)) &&
                                put_tree(o, "buoyancy", draw_spot(lie, buoyancy)));
}

/* From ahead, heeled as it lies; its middle stands at the height of the centre of gravity's place
 * along the body. What hangs is left out, it would hide the body; so is metal on the surface. */
static void turn_end(Figure *figure, Aspect aspect, double x) {
    for (size_t i = 0; i < figure->point_count; i++) {
        double starboard = -figure->points[i].x, up = figure->points[i].y;
        figure->points[i].x = -(starboard * cos(aspect.h) + up * sin(aspect.h));
        figure->points[i].y =
            x * sin(aspect.t) + (up * cos(aspect.h) - starboard * sin(aspect.h)) * cos(aspect.t);
    }
}

static cJSON *end_view(const FigureOf *of, const BlyOutcome *outcome, const Lie *lie) {
    enum { SHOWN = FIGURE_HULL | FIGURE_LIP | FIGURE_EYES };
    Figure figure;
    if (!bly_figure_make(of, (Aspect){.front = true}, SHOWN, &figure, NULL))
        return NULL;
    turn_end(&figure, lie->aspect, outcome->sums.gravity.x);
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL && put_tree(o, "box", box_of(&figure, lie)) &&
                put_tree(o, "shapes", shapes(of->build, &figure, lie));
    bly_figure_release(&figure);
    return json_finished(o, good);
}

cJSON *draw_lure(const BlyBuild *build, const BlyRig *rig, const BlyLure *lure,
                 const BlyOutcome *outcome) {
    const FigureOf of = {build, rig, lure};
    const Lie lie = {bly_aspect_of(outcome),
                     outcome->has_surface ? outcome->surface.plane_height : 0};
    Figure figure;
    if (!bly_figure_make(&of, lie.aspect, FIGURE_ALL, &figure, NULL))
        return NULL;
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL && put_bool(o, "afloat", outcome->has_surface) &&
                put_number(o, "nose_down_deg", lie.aspect.t * 180 / M_PI) &&
                put_number(o, "heel_deg", lie.aspect.h * 180 / M_PI) &&
                put_tree(o, "box", box_of(&figure, &lie)) &&
                put_tree(o, "shapes", shapes(build, &figure, &lie)) &&
                put_tree(o, "end", end_view(&of, outcome, &lie)) &&
                put_tree(o, "seats", seat_spots(build, rig, &lie)) &&
                put_tree(o, "centres", centres(outcome, &lie)) &&
                put_tree(o, "sits", draw_sits(build, rig)) &&
                put_tree(o, "swings", draw_swings(build, lure, &lie)) &&
                put_wanted(o, build, outcome);
    bly_figure_release(&figure);
    return json_finished(o, good);
}

cJSON *draw_towed(const BlyBuild *build, const BlyRig *rig, const BlyLure *lure,
                  const BlyTowRun *run) {
    const FigureOf of = {build, rig, lure};
    Lie lie = {{.t = run->nose_down}, 0};
    BlyVec3 tie;
    Figure figure;
    if (run->state == BLY_TOW_NOWHERE ||
        !bly_tow_tie(lure, build->seats, build->seat_count, rig, &tie, NULL))
        return cJSON_CreateNull();
    if (!bly_figure_make(&of, lie.aspect, FIGURE_ALL & ~(unsigned)FIGURE_CHAINS, &figure, NULL))
        return NULL;
    lie.level = bly_aspect_point(lie.aspect, tie).y;
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL && put_number(o, "nose_down_deg", run->nose_down * 180 / M_PI) &&
                put_number(o, "line_rises_deg", run->rise * 180 / M_PI) &&
                put_tree(o, "tie", draw_spot(&lie, tie)) &&
                put_tree(o, "box", box_of(&figure, &lie)) &&
                put_tree(o, "shapes", shapes(build, &figure, &lie));
    bly_figure_release(&figure);
    return json_finished(o, good);
}

/* ---- level and upright ---- */

static cJSON *profile(const BlyBody *body) {
    BlyBox box = bly_body_box(body);
    cJSON *list = cJSON_CreateArray();
    bool good = list != NULL;
    for (int i = 0; good && i <= PLACES; i++) {
        double share = 0.5 - 0.5 * cos(M_PI * i / PLACES); /* close together at round ends */
        double x = box.low.x + share * (box.high.x - box.low.x);
        BlySection s;
        cJSON *o = cJSON_CreateObject();
        good = o != NULL && bly_body_section(body, x, &s) && put_number(o, "x", draw_length(x)) &&
               put_number(o, "back", draw_length(s.back)) &&
               put_number(o, "belly", draw_length(s.belly)) &&
               put_number(o, "half_width", draw_length(s.width / 2));
        good = put_last(list, json_finished(o, good));
    }
    return json_finished(list, good);
}

/* A length of the file, null where there is none. */
static bool put_length(cJSON *o, const char *key, const BlyJson *station, const char *name) {
    double metres = NAN;
    BlyJson at = bly_json_member(station, name);
    if (at.node != NULL && !bly_json_quantity(&at, BLY_DIM_LENGTH, "mm", &metres, NULL))
        metres = NAN;
    return put_number(o, key, metres * mm);
}

static cJSON *stations(const cJSON *doc) {
    BlyJson root = bly_json_root(doc), body = bly_json_member(&root, "body");
    BlyJson list = bly_json_member(&body, "stations");
    if (!cJSON_IsArray(list.node))
        return cJSON_CreateNull();
    cJSON *out = cJSON_CreateArray();
    bool good = out != NULL;
    for (BlyJson s = bly_json_first(&list); good && s.node != NULL; bly_json_next(&s)) {
        bool round_one = bly_json_member(&s, "diameter").node != NULL;
        cJSON *o = cJSON_CreateObject();
        good = o != NULL && put_length(o, "x", &s, "x") &&
               put_length(o, "width", &s, round_one ? "diameter" : "width") &&
               put_length(o, "height", &s, round_one ? "diameter" : "height") &&
               put_length(o, "centre", &s, "centre");
        good = put_last(out, json_finished(o, good));
    }
    return json_finished(out, good);
}

static cJSON *seat_places(const BlyBuild *build) {
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL;
    for (size_t i = 0; good && i < build->seat_count; i++) {
        const BlySeat *seat = &build->seats[i];
        cJSON *one = cJSON_CreateObject();
        good = put_tree(o, seat->name, one) &&
               put_text(one, "kind", bly_seat_kind_name(seat->kind)) &&
               put_text(one, "side", bly_seat_side_name(seat->side)) &&
               put_tree(one, "x", pair(seat->x_from, seat->x_to));
    }
    return json_finished(o, good);
}

cJSON *draw_body(const BlyBuild *build, const cJSON *doc) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o != NULL && put_tree(o, "profile", profile(build->shape)) &&
                                put_tree(o, "stations", stations(doc)) &&
                                put_tree(o, "seats", seat_places(build)));
}
