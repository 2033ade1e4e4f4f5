/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A run on the line, as JSON. */
#include "report/tow.h"

#include <gsl/gsl_math.h>

static const double to_degrees = 180 / M_PI, to_grams = 1e3 / BLY_GRAVITY;

static cJSON *json_range(const BlyTowRange *range, double scale) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o && put_number(o, "nominal", range->nominal * scale) &&
                                put_number(o, "low", range->low * scale) &&
                                put_number(o, "high", range->high * scale) &&
                                put_number(o, "said_low", range->said_low * scale) &&
                                put_number(o, "said_high", range->said_high * scale));
}

static const char *const state_keys[BLY_TOW_STATES] = {"dives", "comes_up", "on_top", "nowhere"};

static cJSON *json_states(const BlyTowAt *at) {
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL;
    for (int s = 0; good && s < BLY_TOW_STATES; s++)
        good = put_number(o, state_keys[s], at->share[s]);
    return json_finished(o, good);
}

static cJSON *json_drag(const BlyTowRun *run) {
    static const char *const keys[BLY_TOW_SOURCES] = {"body", "lip", "hooks_and_rings"};
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL;
    for (int i = 0; good && i < BLY_TOW_SOURCES; i++)
        good = put_number(o, keys[i], run->share[i]);
    return json_finished(o, good);
}

static cJSON *json_notes(unsigned notes) {
    cJSON *list = cJSON_CreateArray();
    bool good = list != NULL;
    for (unsigned bit = 1; good && bly_tow_note_words(bit); bit <<= 1) {
        if (notes & bit)
            good = put_last(list, cJSON_CreateString(bly_tow_note_words(bit)));
    }
    return json_finished(list, good);
}

static cJSON *json_curve(const BlyTowCurve *curve) {
    cJSON *list = cJSON_CreateArray();
    bool good = list != NULL;
    for (size_t i = 0; good && i < curve->count; i++) {
        cJSON *point = cJSON_CreateObject();
        good = put_last(
            list, json_finished(point, point && put_number(point, "ahead_m", curve->ahead[i]) &&
                                           put_number(point, "below_m", curve->below[i])));
    }
    return json_finished(list, good);
}

static cJSON *json_at(const BlyTowAt *at) {
    const BlyTowRun *run = &at->run;
    cJSON *o = cJSON_CreateObject();
    bool good = o && put_number(o, "speed_m_s", run->speed) &&
                put_text(o, "state", state_keys[run->state]) &&
                put_tree(o, "share_of_draws", json_states(at)) &&
                put_tree(o, "nose_down_range_deg", json_range(&at->nose_down, to_degrees)) &&
                put_tree(o, "pull_range_g", json_range(&at->pull, to_grams)) &&
                put_tree(o, "share_of_drag", json_drag(run)) &&
                put_number(o, "line_rises_deg", run->rise * to_degrees) &&
                put_number(o, "down_g", run->down * to_grams) &&
                put_number(o, "lip_incidence_deg", run->incidence * to_degrees) &&
                put_tree(o, "trolled_depth_range_m", json_range(&at->depth, 1)) &&
                put_tree(o, "cast_depth_most_range_m", json_range(&at->cast, 1)) &&
                put_tree(o, "comes_up_from_range_m", json_range(&at->near_rod, 1)) &&
                put_number(o, "pull_where_line_leaves_g", run->line.tension * to_grams) &&
                put_tree(o, "line_in_water", json_curve(&run->line)) &&
                put_tree(o, "notes", json_notes(run->notes));
    return json_finished(o, good);
}

static cJSON *json_line(const BlyTowLine *line) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o && put_number(o, "line_length_m", line->length) &&
                                put_number(o, "line_diameter_mm", line->diameter * 1e3) &&
                                put_number(o, "rod_height_m", line->rod));
}

cJSON *json_towed(const BlyTowed *towed) {
    cJSON *o = cJSON_CreateObject(), *list = cJSON_CreateArray();
    bool good = o && list;
    for (size_t i = 0; good && i < towed->count; i++)
        good = put_last(list, json_at(&towed->at[i]));
    if (!o) {
        cJSON_Delete(list);
        return NULL;
    }
    good = put_tree(o, "speeds", list) && good && put_text(o, "estimate", tow_estimate_words) &&
           put_tree(o, "line", json_line(&towed->line)) &&
           put_number(o, "draws", (double)towed->draws) &&
           put_number(o, "net_weight_g", towed->net_weight * 1e3) &&
           put_number(o, "share_lighter_than_water", towed->floats) &&
           put_tree(o, "draws_under_range_m_s", json_range(&towed->draws_under, 1));
    return json_finished(o, good);
}

static cJSON *json_change(const BlyTowChange *change, double scale) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o && put_number(o, "middle", change->middle * scale) &&
                                put_number(o, "low", change->low * scale) &&
                                put_number(o, "high", change->high * scale) &&
                                put_number(o, "share_more", change->more) &&
                                put_number(o, "share_less", change->less) &&
                                put_number(o, "sign", change->sign));
}

cJSON *json_tow_effect(const BlyTowEffect *effect) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o && put_tree(o, "depth_times_range", json_change(&effect->depth, 1)) &&
                                put_tree(o, "pull_times_range", json_change(&effect->pull, 1)) &&
                                put_tree(o, "nose_down_more_range_deg",
                                         json_change(&effect->nose_down, to_degrees)));
}

cJSON *json_tow_levers(const BlyTowEffect levers[BLY_TOW_LEVERS], double speed) {
    cJSON *list = cJSON_CreateArray();
    bool good = list != NULL;
    for (int i = 0; good && i < BLY_TOW_LEVERS; i++) {
        if (!levers[i].possible)
            continue;
        cJSON *o = json_tow_effect(&levers[i]);
        good = put_last(
            list, json_finished(o, o && put_number(o, "speed_m_s", speed) &&
                                       put_text(o, "change", bly_tow_lever_words((BlyTowLever)i))));
    }
    return json_finished(list, good);
}
