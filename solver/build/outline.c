/* SPDX-License-Identifier: GPL-3.0-or-later */
/* "outline": a body from its side and top outlines. The drawings are read, scaled and turned nose
 * first here; what they make is the outline room's. docs/format.md, docs/outline.md. */
#include "build/drawing.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { SECTIONS_MOST = 40 };
static const double usual_section = 2.0, board_section = 20.0;
static const double aspect_off = 0.05; /* what a traced section may differ from the outlines */

typedef struct Outline {
    BlyEdges *side, *top;
    bool known;     /* "length" is said */
    bool in_px;     /* of the side's drawing, or the top's */
    bool tail_left; /* the drawings look to the right */
    BlyHalf half;   /* of what is even about the centre line: `top`, or `side` of a turned body */
    const char *unfolded; /* which of them was found to be one; NULL: none, or said */
    double length;
    BlyWidthRule rule;
    double width;
    BlySectionPlace place[SECTIONS_MOST];
    size_t places;
    double section_miss, lean, aspect_miss; /* the worst of the traced sections */
    size_t traced;
    double aspect[SECTIONS_MOST]; /* of the traced ones, else NAN */
} Outline;

static const char *const nose_words[] = {"left", "right"};

/* Scales the trace and turns its nose to x = 0. */
static bool set_to_scale(const BlyJson *place, const Outline *o, Drawn *drawn, BlyError *err) {
    if (!drawn->sized && !o->known)
        return bly_json_refuse(place, BLY_E_MISSING, err,
                               "the drawing does not say how large it is; expected \"length\" in "
                               "\"outline\", or a drawing with a width in mm or in");
    BlyExtent box = bly_trace_extent(&drawn->trace);
    double drawn_length = box.x_high - box.x_low;
    double scale = o->known && drawn_length > 0.0 ? o->length / drawn_length : 1.0;
    double along = o->tail_left ? -scale : scale, nose = o->tail_left ? box.x_high : box.x_low;
    const BlyAffine map = {along, 0.0, 0.0, scale, -along * nose, 0.0};
    bly_trace_map(&drawn->trace, &map);
    return true;
}

/* The outline room speaks of "/side": the place in the file. */
static bool blame(const BlyJson *place, const BlyError *found, BlyError *err) {
    return bly_json_refuse(place, found->code, err, "%s", found->text);
}

static bool read_edges(const BlyJson *source, const char *key, const BlyBuildFiles *files,
                       Outline *o, BlyHalf half, BlyEdges **out, BlyError *err) {
    BlyJson place;
    Drawn drawn = {0};
    BlyError found = {0};
    bool unfolded = false;
    if (!bly_json_require(source, key, &place, err))
        return false;
    bool good = build_read_drawing(&place, files, &drawn, err) &&
                set_to_scale(&place, o, &drawn, err) &&
                ((bly_trace_unfold(&drawn.trace, key, half, &unfolded, &found) &&
                  bly_edges_make(&drawn.trace, key, out, &found)) ||
                 blame(&place, &found, err));
    bly_trace_release(&drawn.trace);
    o->in_px = o->in_px || drawn.in_px;
    if (unfolded && half == BLY_HALF_FOUND)
        o->unfolded = key;
    return good;
}

/* Only what is even about the centre line can be drawn by one half. */
static bool read_half(const BlyJson *source, Outline *o, BlyError *err) {
    BlyJson half;
    bool said = false;
    if (!build_member(source, "half", &half))
        return true;
    if (!bly_json_bool(&half, &said, err))
        return false;
    if (!build_has(source, "top") && !build_has(source, "turned"))
        return bly_json_refuse(&half, BLY_E_CONFLICT, err,
                               "one half stands for both in a \"top\" outline, or in the \"side\" "
                               "of a \"turned\" body; there is neither");
    o->half = said ? BLY_HALF_YES : BLY_HALF_NO;
    return true;
}

/* How wide the body is: one of four keys. */
static bool read_width(const BlyJson *source, Outline *o, BlyError *err) {
    static const char *const keys[] = {"top", "turned", "width", "board"};
    const Quantity share = {BLY_DIM_RATIO, NULL, 0.01, 100.0, false};
    BlyJson at[4], *one = NULL;
    for (int i = 0; i < 4; i++) {
        if (!build_member(source, keys[i], &at[i]))
            continue;
        if (one != NULL)
            return bly_json_refuse(&at[i], BLY_E_CONFLICT, err,
                                   "the width is said already; expected one of \"top\", "
                                   "\"turned\", \"width\" and \"board\"");
        one = &at[i];
    }
    bool turned = true;
    o->rule = BLY_WIDTH_DRAWN;
    if (one == NULL)
        return bly_json_refuse(source, BLY_E_MISSING, err,
                               "expected how wide it is: \"top\", \"turned\", \"width\" or "
                               "\"board\"");
    if (one == &at[1]) {
        o->rule = BLY_WIDTH_OF_HEIGHT;
        o->width = 1.0;
        return bly_json_bool(one, &turned, err) &&
               (turned ||
                bly_json_refuse(one, BLY_E_RANGE, err, "expected true, or no \"turned\""));
    }
    if (one == &at[2]) {
        bool of_height = build_in_percent(one);
        o->rule = of_height ? BLY_WIDTH_OF_HEIGHT : BLY_WIDTH_MOST;
        return build_quantity(one, of_height ? &share : &bly_solid_length, &o->width, err);
    }
    if (one == &at[3]) {
        o->rule = BLY_WIDTH_EVEN;
        return build_quantity(one, &bly_solid_length, &o->width, err);
    }
    return true;
}

/* A section drawn at this place: any size, only its shape counts. */
static bool trace_section(const BlyJson *shape, const BlyBuildFiles *files, Outline *o,
                          double *exponent, BlyError *err) {
    Drawn drawn = {0};
    BlyEdges *edges = NULL;
    BlySectionFit fit;
    BlyError found = {0};
    bool good = build_read_drawing(shape, files, &drawn, err);
    if (good && !drawn.sized) { /* units of an unknown size: to a size that edges take */
        BlyExtent box = bly_trace_extent(&drawn.trace);
        double scale = 0.01 / fmax(1e-30, fmax(box.x_high - box.x_low, box.y_high - box.y_low));
        const BlyAffine map = {scale, 0.0, 0.0, scale, 0.0, 0.0};
        bly_trace_map(&drawn.trace, &map);
    }
    good = good && ((bly_edges_make(&drawn.trace, "shape", &edges, &found) &&
                     bly_section_fit(edges, &fit, &found)) ||
                    blame(shape, &found, err));
    if (good) {
        *exponent = fit.exponent;
        o->aspect[o->places] = fit.aspect;
        o->section_miss = fmax(o->section_miss, fit.miss);
        o->lean = fabs(fit.lean) > fabs(o->lean) ? fit.lean : o->lean;
        o->traced++;
    }
    bly_edges_free(edges);
    bly_trace_release(&drawn.trace);
    return good;
}

static bool read_section(const BlyJson *item, const BlyBuildFiles *files, Outline *o,
                         BlyError *err) {
    static const char *const keys[] = {"x", "section", "shape"};
    BlyJson x, section, shape;
    BlySectionPlace *out = &o->place[o->places];
    if (!bly_json_object(item, keys, 3, err) || !bly_json_require(item, "x", &x, err) ||
        !build_quantity(&x, &bly_any_length, &out->x, err))
        return false;
    bool number = build_member(item, "section", &section);
    bool drawn = build_member(item, "shape", &shape);
    if (number && drawn)
        return bly_json_refuse(&shape, BLY_E_CONFLICT, err,
                               "there is a \"section\" already; expected one or the other");
    if (!number && !drawn)
        return bly_json_refuse(item, BLY_E_MISSING, err, "expected \"section\" or \"shape\"");
    if (o->places > 0 && !(out->x > out[-1].x))
        return bly_json_refuse(&x, BLY_E_RANGE, err, "expected a place behind the one before");
    o->aspect[o->places] = NAN;
    bool good = number ? bly_json_number(&section, bly_exponent_least, bly_exponent_most,
                                         &out->exponent, err)
                       : trace_section(&shape, files, o, &out->exponent, err);
    if (good)
        o->places++;
    return good;
}

static bool read_sections(const BlyJson *body, const BlyJson *source, const BlyBuildFiles *files,
                          Outline *o, BlyError *err) {
    BlyJson list, section;
    bool everywhere = build_member(body, "section", &section);
    if (!build_member(source, "sections", &list)) {
        o->places = 1;
        o->aspect[0] = NAN;
        o->place[0] =
            (BlySectionPlace){0.0, o->rule == BLY_WIDTH_EVEN ? board_section : usual_section};
        return !everywhere || bly_json_number(&section, bly_exponent_least, bly_exponent_most,
                                              &o->place[0].exponent, err);
    }
    if (everywhere)
        return bly_json_refuse(&section, BLY_E_CONFLICT, err,
                               "the outline has \"sections\"; expected one or the other");
    if (!bly_json_array(&list, 1, SECTIONS_MOST, err))
        return false;
    for (BlyJson item = bly_json_first(&list); item.node != NULL; bly_json_next(&item)) {
        if (!read_section(&item, files, o, err))
            return false;
    }
    return true;
}

static bool read_parts(const BlyJson *body, const BlyJson *source, const BlyBuildFiles *files,
                       Outline *o, BlyError *err) {
    static const char *const keys[] = {"side",   "top",  "turned",   "width", "board",
                                       "length", "nose", "sections", "half"};
    BlyJson length, nose;
    size_t which = 0;
    if (!bly_json_object(source, keys, sizeof keys / sizeof keys[0], err))
        return false;
    o->known = build_member(source, "length", &length);
    if (o->known && !build_quantity(&length, &bly_solid_length, &o->length, err))
        return false;
    if (build_member(source, "nose", &nose) && !bly_json_word(&nose, nose_words, 2, &which, err))
        return false;
    o->tail_left = which == 1;
    if (!read_width(source, o, err) || !read_half(source, o, err))
        return false;
    BlyHalf side = build_has(source, "turned") ? o->half : BLY_HALF_NO;
    return read_edges(source, "side", files, o, side, &o->side, err) &&
           (o->rule != BLY_WIDTH_DRAWN ||
            read_edges(source, "top", files, o, o->half, &o->top, err)) &&
           read_sections(body, source, files, o, err);
}

/* How much a traced section's breadth over height differs from what the outlines say there. */
static void compare_aspects(Outline *o, const BlyBody *body) {
    for (size_t i = 0; i < o->places; i++) {
        BlySection section;
        if (isnan(o->aspect[i]) || !bly_body_section(body, o->place[i].x, &section) ||
            !(section.height > 0.0))
            continue;
        double off = o->aspect[i] * section.height / section.width - 1.0;
        o->aspect_miss = fabs(off) > fabs(o->aspect_miss) ? off : o->aspect_miss;
    }
}

static bool say_all(const Outline *o, const BlyOutlineFit *fit, BlyBuild *build, BlyError *err) {
    double length = bly_body_box(build->shape).high.x;
    if (!build_say(build, err, "%zu stations meet the drawing to %.2g mm; it is %.4g mm long%s",
                   fit->stations, fmax(0.01, 1e3 * fit->miss), 1e3 * length,
                   o->known    ? ", as said"
                   : !o->in_px ? " by its own units"
                               : ", for nothing in the file says how large its units are: they "
                                 "are taken as px of 1/96 in (0.2646 mm); \"length\" in the "
                                 "outline (new --length) says otherwise"))
        return false;
    if (o->unfolded != NULL &&
        !build_say(build, err,
                   "one edge of the %s outline runs straight fore and aft: taken as the centre "
                   "line, and the other as one half of the body; say \"half\": false if it is "
                   "the whole",
                   o->unfolded))
        return false;
    if (fabs(fit->stretch - 1.0) > 1e-3 &&
        !build_say(build, err, "the top outline was drawn out by %.2g %% to the side's length",
                   100.0 * (fit->stretch - 1.0)))
        return false;
    if (fit->skew > 1e-4 &&
        !build_say(build, err,
                   "the top outline's middle strays by %.2g mm; the mean of both sides counts",
                   1e3 * fit->skew))
        return false;
    if (o->traced > 0 &&
        !build_say(build, err,
                   "traced sections differ from the nearest superellipse by up to %.2g %% of "
                   "their area, and lean by %.2g %% of their height",
                   100.0 * o->section_miss, 100.0 * o->lean))
        return false;
    return fabs(o->aspect_miss) <= aspect_off ||
           build_say(build, err,
                     "a traced section is %.2g %% broader for its height than the outlines "
                     "there; the outlines count",
                     100.0 * o->aspect_miss);
}

static bool look_for_crossing(const BlyEdges *edges, const char *where, BlyBuild *build,
                              BlyError *err) {
    double x = edges != NULL ? bly_edges_crossing(edges) : NAN;
    return isnan(x) ||
           bly_slip_add(&build->slips, err, where,
                        "the outline crosses itself some %.3g mm behind its nose: belly and back "
                        "change sides there, and the body is worked as if it were drawn without "
                        "the crossing; is a point out of order?",
                        1e3 * x);
}

static bool make(Outline *o, const BlyJson *source, BlyBuild *build, BlyError *err) {
    const BlyOutlineSpec spec = {o->side, o->top, o->rule, o->width, o->place, o->places};
    BlyOutlineFit fit;
    BlyError found = {0};
    if (!bly_body_from_outline(&spec, &build->shape, &fit, &found)) {
        BlyJson place = *source;
        if (found.where[0] == '/' && !build_member(source, found.where + 1, &place))
            place = *source;
        return blame(&place, &found, err);
    }
    compare_aspects(o, build->shape);
    /* The area of a traced section is right where it was taken; between two of them it is believed
     * to half of what the drawing and its superellipse have apart. */
    double *share = &build->facts.volume_share.give;
    *share = hypot(*share, 0.5 * o->section_miss);
    return look_for_crossing(o->side, "/body/outline/side", build, err) &&
           look_for_crossing(o->top, "/body/outline/top", build, err) &&
           say_all(o, &fit, build, err);
}

bool build_read_outline(const BlyJson *body, const BlyJson *source, const BlyBuildFiles *files,
                        BlyBuild *build, BlyError *err) {
    Outline *o = calloc(1, sizeof *o);
    if (o == NULL)
        return bly_json_refuse(source, BLY_E_MEMORY, err, "no memory for an outline");
    bool good = read_parts(body, source, files, o, err) && make(o, source, build, err);
    bly_edges_free(o->side);
    bly_edges_free(o->top);
    free(o);
    return good;
}
