/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How sure it is, as JSON. */
#include "report/sure.h"

#include <gsl/gsl_math.h>

static const struct {
    const char *key, *range; /* as in an outcome; of its range */
    double scale;
} quantity[BLY_QUANTITIES] = {
    [BLY_Q_NET_WEIGHT] = {"net_weight_g", "net_weight_range_g", 1e3},
    [BLY_Q_DRIFT] = {"drift_mm_s", "drift_range_mm_s", 1e3},
    [BLY_Q_NOSE_DOWN] = {"nose_down_deg", "nose_down_range_deg", 180 / M_PI},
    [BLY_Q_SHOWS] = {"shows_percent", "shows_range_percent", 100},
};

static cJSON *json_range(const BlyRange *range, double scale) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(
        o,
        o && put_number(o, "nominal", range->nominal * scale) &&
            put_number(o, "low", range->low * scale) &&
            put_number(o, "high", range->high * scale) &&
            put_number(o, "sigma", range->sigma * scale) &&
            put_text(o, "method", range->method == BLY_BY_SAMPLING ? "sampling" : "first order"));
}

/* Of which kind the range of nose_down is. */
static const char *attitude_key(const BlySpreadWater *water) {
    return water->no_attitude ? "none preferred" : water->afloat ? "afloat" : "under water";
}

static cJSON *json_spread_water(const BlySpreadWater *water, bool has_target) {
    cJSON *o = cJSON_CreateObject();
    bool good = o && put_number(o, "temperature_c", water->water.temperature) &&
                put_number(o, "salinity_g_kg", water->water.salinity * 1e3) &&
                put_text(o, "attitude", attitude_key(water)) &&
                put_number(o, "share_turned_over", water->turned);
    for (int q = 0; good && q < BLY_QUANTITIES; q++) {
        if (!isnan(water->range[q].low))
            good = put_tree(o, quantity[q].range, json_range(&water->range[q], quantity[q].scale));
    }
    cJSON *states = cJSON_CreateObject();
    bool filled = states && put_number(states, "float", water->state[BLY_FLOATS]) &&
                  put_number(states, "suspend", water->state[BLY_SUSPENDS]) &&
                  put_number(states, "sink", water->state[BLY_SINKS]);
    good = put_tree(o, "share_of_states", json_finished(states, filled)) && good;
    return json_finished(o, good && (!has_target || put_number(o, "chance", water->chance)));
}

static cJSON *json_input(const BlyBuild *build, const BlySpread *spread, size_t i) {
    const BlyInput *input = &spread->inputs[i];
    cJSON *o = cJSON_CreateObject();
    bool good = o && put_text(o, "what", bly_input_words(input->kind)) &&
                (input->id[0] == '\0' || put_text(o, "id", input->id)) &&
                (input->seat < 0 || put_text(o, "seat", build->seats[input->seat].name)) &&
                put_number(o, "share_of_net_weight", spread->share[BLY_Q_NET_WEIGHT][i]) &&
                put_number(o, "share_of_drift", spread->share[BLY_Q_DRIFT][i]) &&
                put_number(o, "share_of_nose_down", spread->share[BLY_Q_NOSE_DOWN][i]) &&
                put_text(o, "advice", bly_input_advice(input->kind));
    return json_finished(o, good);
}

static cJSON *json_misses(const BlySpread *spread) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o && put_number(o, "drift", spread->miss[BLY_MISS_DRIFT]) &&
                                put_number(o, "shows", spread->miss[BLY_MISS_SHOWS]) &&
                                put_number(o, "nose_down", spread->miss[BLY_MISS_NOSE]) &&
                                put_number(o, "roll_arm", spread->miss[BLY_MISS_ROLL]));
}

cJSON *json_spread(const BlyBuild *build, const BlySpread *spread, const BlySpread *in_target) {
    const BlySpread *judged = in_target ? in_target : spread;
    cJSON *o = cJSON_CreateObject(), *waters = cJSON_CreateArray(), *inputs = cJSON_CreateArray();
    bool good = o && waters && inputs &&
                put_last(waters, json_spread_water(&spread->water[0], spread->has_target));
    for (size_t w = 0; good && in_target && w < in_target->water_count; w++)
        good = put_last(waters, json_spread_water(&in_target->water[w], true));
    for (size_t k = 0; good && k < judged->input_count; k++)
        good = put_last(inputs, json_input(build, judged, judged->order[k]));
    good = good && put_text(o, "matters", quantity[judged->matters].key) &&
           put_number(o, "samples", (double)judged->samples);
    if (good && judged->has_target)
        good = put_number(o, "chance", judged->chance) &&
               put_tree(o, "share_missed_by", json_misses(judged));
    good = put_tree(o, "waters", waters) && good;
    good = put_tree(o, "inputs", inputs) && good;
    return json_finished(o, good);
}

/* ---- the water window ---- */

static const char *state_key(BlyState state) {
    return state == BLY_FLOATS ? "float" : state == BLY_SUSPENDS ? "suspend" : "sink";
}

static cJSON *json_span(const BlyWindowSpan *span, bool salt) {
    double scale = salt ? 1e3 : 1;
    cJSON *o = cJSON_CreateObject();
    return json_finished(
        o, o && put_number(o, salt ? "from_g_kg" : "from_c", span->from * scale) &&
               put_number(o, salt ? "to_g_kg" : "to_c", span->to * scale) &&
               put_text(o, "state", state_key(span->state)) && put_bool(o, "keeps", span->keeps) &&
               put_number(o, "middle_drift_mm_s", span->drift * 1e3) &&
               put_number(o, "middle_nose_down_deg", span->nose_down * 180 / M_PI));
}

static cJSON *json_window_point(const BlyWindowPoint *point, bool salt) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(
        o,
        o &&
            put_number(o, salt ? "salinity_g_kg" : "temperature_c", point->at * (salt ? 1e3 : 1)) &&
            put_text(o, "state", state_key(point->state)) && put_bool(o, "keeps", point->keeps) &&
            put_number(o, "net_weight_g", point->net_weight * 1e3) &&
            put_number(o, "drift_mm_s", point->drift * 1e3) &&
            put_number(o, "nose_down_deg", point->nose_down * 180 / M_PI) &&
            (isnan(point->shows) || put_number(o, "shows_percent", point->shows * 100)));
}

static cJSON *json_line(const BlyWindowLine *line, bool salt) {
    cJSON *o = cJSON_CreateObject(), *spans = cJSON_CreateArray(), *points = cJSON_CreateArray();
    bool good =
        o && spans && points &&
        put_number(o, salt ? "temperature_c" : "salinity_g_kg", line->fixed * (salt ? 1 : 1e3));
    for (size_t i = 0; good && i < line->span_count; i++)
        good = put_last(spans, json_span(&line->span[i], salt));
    for (int p = 0; good && p < BLY_WINDOW_POINTS; p++)
        good = put_last(points, json_window_point(&line->point[p], salt));
    good = put_tree(o, "spans", spans) && good;
    good = put_tree(o, "points", points) && good;
    return json_finished(o, good);
}

cJSON *json_window(const BlyWindow *window) {
    cJSON *o = cJSON_CreateObject(), *lines = cJSON_CreateArray();
    bool good = o && lines &&
                put_text(o, "keeps",
                         window->of_target ? "meets the target"
                                           : "state as in its own water, attitude within 5 deg");
    for (size_t l = 0; good && l < window->line_count; l++)
        good = put_last(lines, json_line(&window->temperature[l], false));
    good = put_tree(o, "over_temperature", lines) && good;
    good = good && put_tree(o, "over_salinity", json_line(&window->salinity, true));
    return json_finished(
        o,
        good && put_bool(o, "expansion_known", !(window->notes & BLY_NOTE_EXPANSION_UNKNOWN)) &&
            put_bool(o, "expansion_from_memory", (window->notes & BLY_NOTE_EXPANSION_MEMORY) != 0));
}
