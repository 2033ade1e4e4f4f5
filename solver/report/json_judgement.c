/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How an outcome stands to its target, as JSON: what is missed, by how much, and what was wanted.
 */
#include "report/result.h"

#include <gsl/gsl_math.h>

/* What is missed: of what, its unit, and SI times this. */
typedef struct Missed {
    const char *what, *unit;
    double times, is, low, high, off;
} Missed;

static bool put_in(cJSON *o, const char *key, const Missed *m, double si) {
    char name[32];
    (void)snprintf(name, sizeof name, "%s_%s", key, m->unit);
    return put_number(o, name, si * m->times);
}

static bool put_miss(cJSON *list, const Missed *m) {
    if (m->off == 0) /* not a number: missed, and it is not known by how much */
        return true;
    cJSON *o = cJSON_CreateObject();
    return put_last(list, o) && put_text(o, "what", m->what) && put_in(o, "is", m, m->is) &&
           put_in(o, "low", m, m->low) && put_in(o, "high", m, m->high) &&
           put_in(o, "off", m, m->off);
}

static bool put_misses(cJSON *o, const BlyTarget *t, const BlyOutcome *oc, const BlyJudgement *j) {
    bool afloat = t->state == BLY_FLOATS && oc->has_surface;
    double lies = afloat ? oc->surface.nose_down : oc->nose_down;
    double shows = afloat ? oc->surface.shows : 0, low, high;
    double arm_off = fmax(t->roll_arm_least - oc->roll_arm, 0.0), height = oc->surface.roll_height;
    bool rolls = afloat && t->roll_arm_least > 0 && height < -BLY_ROLL_HOLDS;
    bly_target_drift(t, &low, &high);
    const Missed all[] = {
        {"drift", "mm_s", 1e3, oc->drift, low, high, j->drift_off},
        {"shows", "percent", 100, shows, t->shows_low, t->shows_high, j->shows_off},
        {"nose_down", "deg", 180 / M_PI, lies, t->nose_low, t->nose_high, j->nose_off},
        {"roll_arm", "mm", 1e3, oc->roll_arm, t->roll_arm_least, INFINITY, arm_off},
        {"roll_height", "mm", 1e3, height, 0, INFINITY, rolls ? -height : 0},
    };
    cJSON *list = cJSON_AddArrayToObject(o, "misses");
    bool good = list != NULL;
    for (size_t i = 0; good && i < sizeof all / sizeof all[0]; i++)
        good = put_miss(list, &all[i]);
    return good;
}

cJSON *json_judgement(const BlyTarget *target, const BlyOutcome *outcome, const BlyJudgement *j) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(o, o != NULL && put_bool(o, "met", j->met) &&
                                put_number(o, "drift_off_mm_s", j->drift_off * 1e3) &&
                                put_number(o, "shows_off_percent", j->shows_off * 100) &&
                                put_number(o, "nose_down_off_deg", j->nose_off * 180 / M_PI) &&
                                put_number(o, "roll_arm_off_mm", j->roll_off * 1e3) &&
                                put_misses(o, target, outcome, j));
}
