/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Outlines of lips: the four forms by their sizes, and a maker's own by points, by path data, or
 * out of a drawing at life size. */
#include "catalog/read.h"
#include "svg/svg.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>
#include <string.h>

enum { POINTS_MOST = 400, SAMPLES = 128, PATH_MOST = 20000, NAME_MOST = 200 };

static const double size_least = 1e-3, size_most = 0.5; /* m */
/* Of the width: a lip that hangs to one side steers, and is a slip of the pen. */
static const double lopsided = 0.03;

static bool read_lengths(const BlyJson *at, BlyPart *part, BlyError *err) {
    BlyJson lengths;
    double ends[2];
    if (!bly_json_require(at, "lengths", &lengths, err) ||
        !bly_json_pair(&lengths, BLY_DIM_LENGTH, "mm", ends, err))
        return false;
    if (!(ends[0] > 0 && isfinite(ends[1])))
        return bly_json_refuse(&lengths, BLY_E_RANGE, err,
                               "expected a least and a greatest length, both above 0");
    part->length_least = ends[0];
    part->length_most = ends[1];
    if (isnan(part->width))
        return bly_json_refuse(at, BLY_E_MISSING, err, "an outline needs a \"width\"");
    if (part->form == BLY_OUTLINE_FLARED && isnan(part->root_width))
        return bly_json_refuse(at, BLY_E_MISSING, err, "a flared outline needs a root_width");
    if (part->form == BLY_OUTLINE_ROUND && isnan(part->root_width + part->root_length))
        return bly_json_refuse(at, BLY_E_MISSING, err,
                               "a round outline needs a root_width and a root_length");
    return true;
}

/* ---- a maker's own ---- */

static bool no_memory(const BlyJson *at, BlyError *err) {
    return bly_json_refuse(at, BLY_E_MEMORY, err, "no memory for an outline");
}

static bool make_room(const BlyJson *at, size_t count, BlyPart *part, BlyError *err) {
    part->drawn = calloc(count, 2 * sizeof *part->drawn);
    part->drawn_count = count;
    return part->drawn != NULL || no_memory(at, err);
}

/* [[s, width], ..] from the slot end on, straight between. */
static bool read_points(const BlyJson *list, BlyPart *part, BlyError *err) {
    if (!bly_json_array(list, 2, POINTS_MOST, err) ||
        !make_room(list, bly_json_count(list), part, err))
        return false;
    double before = -1;
    for (BlyJson at = bly_json_first(list); at.node != NULL; bly_json_next(&at)) {
        double *to = part->drawn + 2 * at.index, pair[2];
        BlyJson x = bly_json_first(&at), width = x;
        if (!bly_json_array(&at, 2, 2, err))
            return false;
        x = width = bly_json_first(&at);
        bly_json_next(&width);
        if (!bly_json_quantity(&x, BLY_DIM_LENGTH, "mm", &pair[0], err) ||
            !bly_json_quantity(&width, BLY_DIM_LENGTH, "mm", &pair[1], err))
            return false;
        if (pair[1] < 0)
            return bly_json_refuse(&width, BLY_E_RANGE, err, "expected a width of 0 or more");
        if (at.index == 0 ? pair[0] != 0 : !(pair[0] > before))
            return bly_json_refuse(&x, BLY_E_RANGE, err,
                                   at.index == 0 ? "the first point is the slot end: 0"
                                                 : "points go from the slot end outwards");
        before = to[0] = pair[0];
        to[1] = pair[1] / 2;
    }
    return true;
}

/* So that s runs to the right; y is upward. */
static bool read_turn(const BlyJson *object, BlyAffine *turn, BlyError *err) {
    static const char *const words[] = {"left", "right", "bottom", "top"};
    static const BlyAffine turns[] = {
        {1, 0, 0, 1, 0, 0}, {-1, 0, 0, 1, 0, 0}, {0, 1, 1, 0, 0, 0}, {0, 1, -1, 0, 0, 0}};
    BlyJson slot = bly_json_member(object, "slot");
    size_t index = 0;
    if (slot.node != NULL && !bly_json_word(&slot, words, 4, &index, err))
        return false;
    *turn = turns[index];
    return true;
}

/* Half-widths between the two edges, closer together at the ends, which are round as a rule. */
static bool sample(const BlyJson *at, const BlyEdges *edges, BlyPart *part, BlyError *err) {
    BlyExtent box = bly_edges_extent(edges);
    double length = box.x_high - box.x_low, wide = box.y_high - box.y_low, low_centre = INFINITY,
           high_centre = -INFINITY;
    if (!make_room(at, SAMPLES + 1, part, err))
        return false;
    for (size_t i = 0; i <= SAMPLES; i++) {
        double low, high, s = length * (1 - cos(M_PI * (double)i / SAMPLES)) / 2;
        s = i == SAMPLES ? length : s;
        bly_edges_at(edges, box.x_low + s, &low, &high);
        part->drawn[2 * i] = s;
        part->drawn[2 * i + 1] = (high - low) / 2;
        if (high - low > 0.1 * wide) {
            low_centre = fmin(low_centre, (low + high) / 2);
            high_centre = fmax(high_centre, (low + high) / 2);
        }
    }
    if (high_centre - low_centre > lopsided * wide)
        return bly_json_refuse(at, BLY_E_CONFLICT, err,
                               "is lopsided: its middle wanders by %.1f mm; is the slot end on the "
                               "left, or \"slot\" another side?",
                               1e3 * (high_centre - low_centre));
    return true;
}

/* `trace`: metres, y upward. */
static bool take_trace(const BlyJson *object, const BlyJson *at, BlyTrace *trace, BlyPart *part,
                       BlyError *err) {
    BlyAffine turn;
    BlyEdges *edges = NULL;
    BlyError found = {0};
    if (!read_turn(object, &turn, err))
        return false;
    bly_trace_map(trace, &turn);
    if (!bly_edges_make(trace, "outline", &edges, &found))
        return bly_json_refuse(at, found.code, err, "%s", found.text);
    bool good = sample(at, edges, part, err);
    bly_edges_free(edges);
    return good;
}

/* Path data as in SVG, in millimetres, y downward. */
static bool read_path(const BlyJson *object, const BlyJson *at, BlyPart *part, BlyError *err) {
    static const BlyAffine metres = {1e-3, 0, 0, -1e-3, 0, 0};
    const char *data;
    BlyTrace trace = {0};
    BlyError found = {0};
    if (!bly_json_string(at, PATH_MOST, &data, err))
        return false;
    bool good = bly_path_read(data, &trace, &found);
    if (good) {
        bly_trace_map(&trace, &metres);
        good = take_trace(object, at, &trace, part, err);
    } else {
        (void)bly_json_refuse(at, found.code, err, "%s: %s", found.where, found.text);
    }
    bly_trace_release(&trace);
    return good;
}

static bool take_drawing(const BlyJson *object, const BlyJson *at, const char *text, size_t size,
                         const char *id, BlyPart *part, BlyError *err) {
    static const BlyAffine metres = {1e-3, 0, 0, 1e-3, 0, 0};
    BlyDrawing drawing;
    BlyError found = {0};
    bool good = bly_svg_read(text, size, id, &drawing, &found);
    if (!good)
        (void)bly_json_refuse(at, found.code, err, "%s%s%s", found.where,
                              found.where[0] != '\0' ? ": " : "", found.text);
    else if (!drawing.sized)
        good = bly_json_refuse(at, BLY_E_MISSING, err,
                               "the drawing does not say how large it is; give its width and "
                               "height in mm");
    if (good) {
        bly_trace_map(&drawing.trace, &metres);
        good = take_trace(object, at, &drawing.trace, part, err);
    }
    bly_drawing_release(&drawing);
    return good;
}

/* "lip.svg" or "lip.svg#spade". */
static bool read_drawing(const BlyJson *object, const BlyJson *at, const BlyCatalogFiles *files,
                         BlyPart *part, BlyError *err) {
    const char *words;
    char name[NAME_MOST + 1], *text = NULL;
    size_t size = 0;
    BlyError found = {0};
    if (!bly_json_string(at, NAME_MOST, &words, err))
        return false;
    memcpy(name, words, strlen(words) + 1);
    char *hash = strrchr(name, '#');
    if (hash != NULL)
        *hash = '\0';
    if (files == NULL)
        return bly_json_refuse(at, BLY_E_MISSING, err,
                               "no files can be read here; give the outline as \"path\" or "
                               "\"points\"");
    if (!files->read(files->context, name, &text, &size, &found))
        return bly_json_refuse(at, found.code, err, "%s%s%s", found.where,
                               found.where[0] != '\0' ? ": " : "", found.text);
    bool good = take_drawing(object, at, text, size, hash != NULL ? hash + 1 : NULL, part, err);
    free(text);
    return good;
}

/* One of the three says it; a shorter lip is cut at the slot end. */
static bool read_drawn(const BlyJson *object, const BlyCatalogFiles *files, BlyPart *part,
                       BlyError *err) {
    BlyJson points = bly_json_member(object, "points"), path = bly_json_member(object, "path"),
            drawing = bly_json_member(object, "drawing"),
            least = bly_json_member(object, "shortest");
    int ways = (points.node != NULL) + (path.node != NULL) + (drawing.node != NULL);
    if (ways != 1)
        return bly_json_refuse(object, BLY_E_MISSING, err,
                               "a drawn outline has one of \"points\", \"path\" and \"drawing\"");
    bool sized = !isnan(part->width) || !isnan(part->root_width) || !isnan(part->root_length);
    if (sized || bly_json_member(object, "lengths").node != NULL)
        return bly_json_refuse(object, BLY_E_CONFLICT, err,
                               "a drawn outline has its own width and length");
    bool good = points.node != NULL ? read_points(&points, part, err)
                : path.node != NULL ? read_path(object, &path, part, err)
                                    : read_drawing(object, &drawing, files, part, err);
    if (!good)
        return false;
    double half = 0;
    for (size_t i = 0; i < part->drawn_count; i++)
        half = fmax(half, part->drawn[2 * i + 1]);
    part->width = 2 * half;
    part->length_least = part->length_most = part->drawn[2 * part->drawn_count - 2];
    if (!(part->width >= size_least && part->length_most >= size_least &&
          fmax(part->width, part->length_most) <= size_most))
        return bly_json_refuse(object, BLY_E_RANGE, err,
                               "is %.4g mm long and %.4g mm wide; a lip has 1 to 500 mm",
                               1e3 * part->length_most, 1e3 * part->width);
    if (least.node == NULL)
        return true;
    if (!bly_json_quantity(&least, BLY_DIM_LENGTH, "mm", &part->length_least, err))
        return false;
    return (part->length_least > 0 && part->length_least <= part->length_most) ||
           bly_json_refuse(&least, BLY_E_RANGE, err, "expected a length above 0 and up to %.4g mm",
                           1e3 * part->length_most);
}

bool catalog_read_outline(const BlyJson *at, const BlyCatalogFiles *files, BlyPart *part,
                          BlyError *err) {
    const char *words[BLY_OUTLINE_FORMS];
    for (int i = 0; i < BLY_OUTLINE_FORMS; i++)
        words[i] = bly_outline_form_name((BlyOutlineForm)i);
    BlyJson form;
    size_t index;
    if (!bly_json_require(at, "form", &form, err) ||
        !bly_json_word(&form, words, BLY_OUTLINE_FORMS, &index, err))
        return false;
    part->form = (BlyOutlineForm)index;
    return part->form == BLY_OUTLINE_DRAWN ? read_drawn(at, files, part, err)
                                           : read_lengths(at, part, err);
}
