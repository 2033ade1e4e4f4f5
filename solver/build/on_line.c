/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a build says of the lure on a line: what is wanted, what was learnt, what was seen. */
#include "build/sections.h"

#include <math.h>
#include <stdlib.h>

/* No bare numbers: a line in metres and a body in millimetres invite the mistake. */
static const Quantity draw = {BLY_DIM_SPEED, NULL, 0.05, 5, false};
static const Quantity tilt = {BLY_DIM_ANGLE, "deg", -1.3962634015954636, 1.3962634015954636, false};
static const Quantity depth = {BLY_DIM_LENGTH, NULL, 0, 100, false};
static const Quantity reach = {BLY_DIM_LENGTH, NULL, 0.5, 1000, false};
static const Quantity thread = {BLY_DIM_LENGTH, NULL, 2e-5, 5e-3, false};
static const Quantity rod_tip = {BLY_DIM_LENGTH, NULL, 0, 20, false};

static bool opt_band(const BlyJson *object, const char *key, const Quantity *what, double *low,
                     double *high, BlyError *err) {
    BlyJson band;
    *low = -INFINITY;
    *high = INFINITY;
    return !build_member(object, key, &band) || build_band(&band, what, low, high, err);
}

static bool has_tie(const BlyBuild *build) {
    for (size_t i = 0; i < build->seat_count; i++) {
        if (build->seats[i].kind == BLY_SEAT_TIE)
            return true;
    }
    return false;
}

bool build_read_tow_wish(const BlyJson *target, BlyBuild *build, BlyError *err) {
    static const char *const keys[] = {"speed", "nose_down", "depth", "draws_under", "line"};
    static const char *const of_line[] = {"length", "diameter", "rod"};
    BlyTowWish *out = &build->tow_wish;
    BlyJson tow, speed, line;
    if (!build_member(target, "tow", &tow))
        return true;
    *out = (BlyTowWish){
        .under_most = INFINITY, .length = 30, .diameter = 0.3e-3, .rod = 1}; /* the usual line */
    if (!bly_json_object(&tow, keys, sizeof keys / sizeof keys[0], err) ||
        !bly_json_require(&tow, "speed", &speed, err) ||
        !build_quantity(&speed, &draw, &out->speed, err) ||
        !opt_band(&tow, "nose_down", &tilt, &out->nose_low, &out->nose_high, err) ||
        !opt_band(&tow, "depth", &depth, &out->depth_low, &out->depth_high, err) ||
        !build_opt_quantity(&tow, "draws_under", &draw, &out->under_most, err))
        return false;
    if (build_member(&tow, "line", &line) &&
        (!bly_json_object(&line, of_line, 3, err) ||
         !build_opt_quantity(&line, "length", &reach, &out->length, err) ||
         !build_opt_quantity(&line, "diameter", &thread, &out->diameter, err) ||
         !build_opt_quantity(&line, "rod", &rod_tip, &out->rod, err)))
        return false;
    if (!build_has(&tow, "nose_down") && !build_has(&tow, "depth") && isinf(out->under_most))
        return bly_json_refuse(&tow, BLY_E_MISSING, err,
                               "asks for nothing: expected nose_down, depth or draws_under");
    if (!has_tie(build))
        return bly_json_refuse(&tow, BLY_E_CONFLICT, err,
                               "no line tie is among the seats: nothing says where the line pulls");
    build->has_tow_wish = true;
    return true;
}

const BlyTowWish *bly_build_tow_wish(const BlyBuild *build) {
    return build->has_tow_wish ? &build->tow_wish : NULL;
}

/* ---- lists of words ---- */

/* What it holds is the build's to free, also where it fails. */
static bool read_words(const BlyJson *list, size_t most, char ***out, size_t *count,
                       BlyError *err) {
    if (!bly_json_array(list, 0, most, err))
        return false;
    *out = calloc(bly_json_count(list) + 1, sizeof **out);
    if (*out == NULL)
        return bly_json_refuse(list, BLY_E_MEMORY, err, "no memory for what was seen");
    for (BlyJson item = bly_json_first(list); item.node != NULL; bly_json_next(&item)) {
        const char *text;
        if (!bly_json_string(&item, BUILD_SEEN_LONGEST, &text, err))
            return false;
        (*out)[*count] = build_copy(text, err);
        if ((*out)[*count] == NULL)
            return false;
        (*count)++;
    }
    return true;
}

/* ---- what the water taught ---- */

static const char *const factor_keys[BUILD_TOW_FACTORS] = {"lip_factor", "wire_factor",
                                                           "lip_centre"};
static const Quantity factor_ranges[BUILD_TOW_FACTORS] = {{BLY_DIM_RATIO, NULL, 0.1, 5, false},
                                                          {BLY_DIM_RATIO, NULL, 0.1, 5, false},
                                                          {BLY_DIM_RATIO, NULL, -0.5, 0.5, false}};

const char *build_tow_factor_key(int factor) {
    return factor_keys[factor];
}

/* Correlations row by row below the diagonal: [[b with a], [c with a, c with b]]. */
static bool read_rows(const BlyJson *ties, double r[BUILD_TOW_TIES], BlyError *err) {
    static const Quantity correlation = {BLY_DIM_RATIO, NULL, -0.999, 0.999, false};
    int at = 0;
    if (!bly_json_array(ties, BUILD_TOW_FACTORS - 1, BUILD_TOW_FACTORS - 1, err))
        return false;
    for (BlyJson row = bly_json_first(ties); row.node != NULL; bly_json_next(&row)) {
        size_t length = (size_t)row.index + 1;
        if (!bly_json_array(&row, length, length, err))
            return false;
        for (BlyJson item = bly_json_first(&row); item.node != NULL; bly_json_next(&item)) {
            if (!build_quantity(&item, &correlation, &r[at++], err))
                return false;
        }
    }
    double whole = 1 - r[0] * r[0] - r[1] * r[1] - r[2] * r[2] + 2 * r[0] * r[1] * r[2];
    return whole > 0 || bly_json_refuse(ties, BLY_E_CONFLICT, err,
                                        "no figures can depend on each other like this");
}

bool build_read_tow_learnt(const BlyJson *learnt, BlyBuild *build, BlyError *err) {
    static const char *const keys[] = {"lip_factor", "wire_factor", "lip_centre", "ties", "read"};
    BuildTowLearnt *out = &build->tow_learnt;
    BlyJson tow, ties, read;
    *out = (BuildTowLearnt){.by = {{1, 0}, {1, 0}, {0, 0}}};
    if (!build_member(learnt, "tow", &tow))
        return true;
    if (!bly_json_object(&tow, keys, 5, err))
        return false;
    for (int i = 0; i < BUILD_TOW_FACTORS; i++) {
        const Give silent = {0.05, 0};
        if (!build_opt_figure(&tow, factor_keys[i], &factor_ranges[i], silent, &out->by[i], err))
            return false;
        out->any = out->any || out->by[i].give > 0;
    }
    return (!build_member(&tow, "ties", &ties) || read_rows(&ties, out->r, err)) &&
           (!build_member(&tow, "read", &read) ||
            read_words(&read, BUILD_TOW_READ_MOST, &out->read, &out->read_count, err));
}

/* ---- what was seen ---- */

bool build_read_seen(const BlyJson *root, BlyBuild *build, BlyError *err) {
    BlyJson list;
    if (!build_member(root, "seen", &list))
        return true;
    build->has_seen = true;
    return read_words(&list, BUILD_SEEN_MOST, &build->seen, &build->seen_count, err);
}
