/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plan for after the build, as JSON. */
#include "report/sure.h"

#include <gsl/gsl_math.h>

static cJSON *json_three(const double values[3], double scale) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o && put_number(o, "low", values[0] * scale) &&
                                put_number(o, "middle", values[1] * scale) &&
                                put_number(o, "high", values[2] * scale));
}

/* By the number of tank tests, each with trims after it. */
static cJSON *json_chances(const BlyReserve *reserve) {
    cJSON *list = cJSON_CreateArray();
    bool good = list != NULL;
    for (int k = 0; good && k <= reserve->worked; k++)
        good = put_last(list, json_number(reserve->chance[k]));
    return json_finished(list, good);
}

static cJSON *json_tools(unsigned tools) {
    cJSON *list = cJSON_CreateArray();
    bool good = list != NULL;
    for (int k = 0; good && k < BLY_TOOLS; k++) {
        cJSON *one = tools & 1u << k ? cJSON_CreateString(bly_tool_name((BlyTool)k)) : NULL;
        good = !(tools & 1u << k) || (one && cJSON_AddItemToArray(list, one));
    }
    return json_finished(list, good);
}

static bool put_steps(cJSON *o, const BlyTrim *trim) {
    return put_number(o, "least", trim->least) && put_number(o, "most", trim->most) &&
           put_number(o, "low", trim->low) && put_number(o, "middle", trim->middle) &&
           put_number(o, "high", trim->high) &&
           (trim->unit <= 0.0 || put_number(o, "step_mm", trim->unit * 1e3));
}

static cJSON *json_trim(const BlyBuild *build, const BlyTrim *trim) {
    static const char *const kinds[BLY_TRIM_KINDS] = {"dots",     "turns",    "strip", "ring",
                                                      "lip_edge", "lip_back", "hook"};
    cJSON *o = cJSON_CreateObject();
    bool good = o && put_text(o, "trim", kinds[trim->kind]) &&
                put_text(o, "seat", build->seats[trim->seat].name) &&
                put_text(o, "part", trim->part ? trim->part->id : "") &&
                put_number(o, "x_mm", trim->x * 1e3) && put_number(o, "share_used", trim->used) &&
                put_steps(o, trim) &&
                put_number(o, "net_weight_a_step_g", trim->net_weight * 1e3) &&
                put_number(o, "nose_down_a_step_deg", trim->nose_down * 180 / M_PI) &&
                put_number(o, "drift_a_step_mm_s", trim->drift * 1e3);
    return json_finished(o, good);
}

cJSON *json_reserve(const BlyBuild *build, const BlyReserve *reserve) {
    cJSON *o = cJSON_CreateObject(), *trims = cJSON_CreateArray();
    bool good =
        o && trims && put_tree(o, "chance_after_tests", json_chances(reserve)) &&
        put_number(o, "tests", reserve->tests) &&
        put_tree(o, "tools", json_tools(reserve->tools)) &&
        put_number(o, "share_left_alone", reserve->left_alone) &&
        put_tree(o, "drift_in_tank_range_mm_s", json_three(reserve->drift, 1e3)) &&
        put_tree(o, "nose_down_in_tank_range_deg", json_three(reserve->nose_down, 180 / M_PI)) &&
        put_number(o, "share_turned_over_in_tank", reserve->turned) &&
        put_number(o, "samples", (double)reserve->samples);
    if (good && !isnan(reserve->shows[0]))
        good = put_tree(o, "shows_in_tank_range_percent", json_three(reserve->shows, 100));
    for (size_t k = 0; good && k < reserve->count; k++) {
        cJSON *trim = json_trim(build, &reserve->trims[k]);
        good = trim && cJSON_AddItemToArray(trims, trim);
    }
    good = put_tree(o, "trims", trims) && good;
    return json_finished(o, good);
}
