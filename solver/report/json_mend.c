/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to do now, as a JSON tree. */
#include "report/mend.h"

#include <gsl/gsl_math.h>

static const double deg = 180 / M_PI;

static bool put_band(cJSON *to, const char *key, BlyBand90 band, double times) {
    cJSON *o = cJSON_AddObjectToObject(to, key);
    return o != NULL && put_number(o, "low", band.low * times) &&
           put_number(o, "high", band.high * times);
}

static bool put_steps(cJSON *to, const Report *r, const BlyBuild *build, const BlyMendPlan *p) {
    char steps[MEND_STEPS_MAX][MEND_WORDS_MAX];
    size_t count = mend_steps(build, &p->rig.rig, r->system, steps);
    cJSON *list = cJSON_AddArrayToObject(to, "do");
    bool good = list != NULL;
    for (size_t i = 0; good && i < count; i++)
        good = put_last(list, cJSON_CreateString(steps[i]));
    return good;
}

static bool put_how(cJSON *to, const Report *r, const BlyBuild *build, const BlyMendPlan *p) {
    char how[MEND_HOW_MAX][2 * WORDS_MAX];
    size_t count = p->leaves ? 0 : mend_how(r, build, p, how);
    cJSON *list = cJSON_AddArrayToObject(to, "how");
    bool good = list != NULL;
    for (size_t i = 0; good && i < count; i++)
        good = put_last(list, cJSON_CreateString(how[i]));
    return good;
}

static bool put_side(cJSON *to, const char *key, const BlyBuild *build, const BlyMendStep *step) {
    bool floats = build->target.state == BLY_FLOATS;
    if (!isfinite(step->edge))
        return true;
    cJSON *o = cJSON_AddObjectToObject(to, key);
    bool good = o != NULL && (floats ? put_number(o, "shows_percent", 100 * step->edge)
                                     : put_number(o, "drift_mm_s", 1e3 * step->edge));
    if (!good || !step->known)
        return good;
    return put_text(o, "mend", bly_mend_id(step->kind)) &&
           put_text(o, "seat", build->seats[step->seat].name) &&
           put_text(o, "part", step->part != NULL ? step->part->id : "") &&
           put_number(o, "count", step->count) && put_number(o, "off_mm", 1e3 * step->length) &&
           put_number(o, "net_weight_g", 1e3 * step->net_weight);
}

static bool put_next(cJSON *to, const BlyMendPlan *p) {
    cJSON *o = cJSON_AddObjectToObject(to, "next_test");
    return o != NULL && put_tree(o, "outcome", json_outcome(&p->tank)) &&
           put_band(o, "net_weight_range_g", p->net_weight, 1e3) &&
           put_band(o, "drift_range_mm_s", p->drift, 1e3) &&
           put_band(o, "nose_down_range_deg", p->nose_down, deg) &&
           put_band(o, "shows_range_percent", p->shows, 100);
}

static bool put_waters(cJSON *to, const BlyBuild *build, const BlyMendPlan *p) {
    cJSON *list = cJSON_AddArrayToObject(to, "waters");
    bool good = list != NULL;
    for (size_t w = 0; good && w < p->rig.water_count; w++) {
        cJSON *o = cJSON_CreateObject();
        good = put_last(list, o) && put_tree(o, "outcome", json_outcome(&p->rig.outcome[w])) &&
               put_tree(o, "target",
                        json_judgement(&build->target, &p->rig.outcome[w], &p->rig.judgement[w]));
    }
    return good;
}

cJSON *json_mend(const Report *r, const BlyBuild *build, const BlyMendPlan *p) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(
        o, o != NULL && put_text(o, "name", build->name) && put_bool(o, "leave", p->leaves) &&
               put_bool(o, "exchanges", p->exchanges) && put_steps(o, r, build, p) &&
               put_how(o, r, build, p) && put_number(o, "chance_now", p->chance_now) &&
               put_number(o, "chance_after", p->chance) &&
               put_number(o, "mass_now_g", 1e3 * p->mass_now) &&
               put_number(o, "mass_g", 1e3 * p->mass) &&
               put_tree(o, "parts", json_rig(build, &p->rig.rig)) && put_waters(o, build, p) &&
               put_next(o, p) && put_side(o, "too_heavy", build, &p->too_heavy) &&
               put_side(o, "too_light", build, &p->too_light));
}
