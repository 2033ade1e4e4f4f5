/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a target asks of the drawn lure, as JSON. */
#include "report/wish.h"

#include <gsl/gsl_math.h>

#include "report/tow.h"

static const double to_degrees = 180 / M_PI;

/* How far off; what is off by any amount (it lies nowhere) is null. */
cJSON *json_tow_verdict(const BlyTowVerdict *v) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o && put_bool(o, "met", v->met) &&
                                put_number(o, "nose_down_off_deg", v->nose_off * to_degrees) &&
                                put_number(o, "depth_off_m", v->depth_off) &&
                                put_number(o, "draws_under_off_m_s", v->under_off) &&
                                put_number(o, "draws_under_m_s", v->draws_under));
}

cJSON *json_wished(const BlyTowWished *w) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o && put_tree(o, "target", json_tow_verdict(&w->verdict)) &&
                                put_number(o, "share_met", w->met) &&
                                put_number(o, "share_nose_down", w->nose_down) &&
                                put_number(o, "share_depth", w->depth) &&
                                put_number(o, "share_draws_under", w->draws_under) &&
                                put_tree(o, "tow", json_towed(&w->towed)));
}

bool put_wished(cJSON *fit, const BlyTowWished *wished, size_t count) {
    cJSON *rigs = cJSON_GetObjectItemCaseSensitive(fit, "rigs");
    bool good = rigs != NULL;
    for (size_t i = 0; good && i < count; i++)
        good = put_tree(cJSON_GetArrayItem(rigs, (int)i), "on_line", json_wished(&wished[i]));
    return good;
}
