/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Works of the desk as the page wants them told. */
#include "bench/results.h"
#include "bench/route.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>

/* ---- rest ---- */

static bool put_shown(cJSON *o, const char *key, double si, BlyDimension dim, BlySystem system,
                      int digits) {
    char text[BLY_QUANTITY_MAX];
    bly_quantity_show(si, dim, system, digits, text);
    return put_text(o, key, text);
}

/* The figures as `rest` prints them. */
static cJSON *words_of(const BlyOutcome *o, BlySystem system) {
    bool inch = system == BLY_INCH;
    char water[WORDS_MAX], weight[WORDS_MAX], speed[WORDS_MAX];
    water_words(&o->water, system, water);
    small_mass_words(o->sums.net_weight, system, true, weight);
    speed_words(o->drift, system, speed);
    cJSON *w = cJSON_CreateObject();
    bool good = w != NULL && put_text(w, "water", water) && put_text(w, "net_weight", weight) &&
                put_text(w, "speed", speed) &&
                put_shown(w, "mass", o->sums.mass, BLY_DIM_MASS, system, inch ? 3 : 2) &&
                put_shown(w, "displaces", o->sums.volume, BLY_DIM_VOLUME, system, inch ? 3 : 2) &&
                put_shown(w, "roll_arm", o->roll_arm, BLY_DIM_LENGTH, system, inch ? 3 : 1);
    if (good && o->has_surface)
        good = put_shown(w, "shows", o->surface.shows, BLY_DIM_RATIO, system, 1) &&
               put_shown(w, "draft", o->surface.draft, BLY_DIM_LENGTH, system, inch ? 2 : 1) &&
               put_shown(w, "roll_height", o->surface.roll_height, BLY_DIM_LENGTH, system,
                         inch ? 3 : 1);
    return json_finished(w, good);
}

static bool put_motion(cJSON *o, const BlyOutcome *outcome) {
    char words[WORDS_MAX];
    bool afloat = outcome->has_surface; /* then all of it is told of the lure at the surface */
    attitude_words(afloat ? outcome->surface.nose_down : outcome->nose_down, words);
    return put_text(o, "attitude", words) &&
           put_text(o, "motion", afloat ? "floats" : drift_words(outcome->drift));
}

typedef struct JudgedText {
    const BlyBuild *build;
    const BlyOutcome *outcome;
    BlySystem system;
} JudgedText;

static void write_judged(FILE *out, void *context) {
    const JudgedText *t = context;
    const Report report = {out, t->system};
    BlyJudgement judgement = bly_judge(&t->build->target, t->outcome);
    text_judgement(&report, "", &t->build->target, t->outcome, &judgement);
}

/* Which figures are off, from what was wanted, as `rest` prints it. */
static bool put_verdict(cJSON *o, const BlyBuild *build, const BlyOutcome *outcome,
                        BlySystem system) {
    JudgedText text = {build, outcome, system};
    return !build->has_target || route_put_text(o, "verdict", write_judged, &text);
}

cJSON *rest_tree(const BlyBuild *build, const BlyRig *rig, const RestWork *w, BlySystem system) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(
        o, o != NULL && put_named(o, build, w) && put_tree(o, "parts", json_rig(build, rig)) &&
               put_rested(o, build, w) &&
               put_tree(o, "drawing", draw_lure(build, rig, &w->lure, &w->outcome)) &&
               put_tree(o, "words", words_of(&w->outcome, system)) && put_motion(o, &w->outcome) &&
               put_judged(o, build, w) && put_verdict(o, build, &w->outcome, system));
}

/* ---- how sure ---- */

typedef struct SureText {
    const BlyBuild *build;
    const SureWork *work;
    BlySystem system;
} SureText;

static void write_sure(FILE *out, void *context) {
    const SureText *t = context;
    const Report report = {out, t->system};
    sure_text(&report, t->build, &t->build->fitted, t->work, true);
}

/* [least, most] of a band; null where a side is open. */
static bool put_band(cJSON *o, const char *key, double low, double high, double times) {
    cJSON *list = cJSON_AddArrayToObject(o, key);
    const double ends[] = {low * times, high * times};
    bool good = list != NULL;
    for (int i = 0; good && i < 2; i++)
        good = put_last(list, isfinite(ends[i]) ? cJSON_CreateNumber(ends[i]) : cJSON_CreateNull());
    return good;
}

/* The bands of the target, in the units of "spread". */
static cJSON *wanted_of(const BlyTarget *t) {
    double low, high;
    bly_target_drift(t, &low, &high);
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL && put_band(o, "drift_mm_s", low, high, 1e3) &&
                put_band(o, "nose_down_deg", t->nose_low, t->nose_high, 180 / M_PI);
    if (good && t->state == BLY_FLOATS)
        good = put_band(o, "shows_percent", t->shows_low, t->shows_high, 100);
    return json_finished(o, good);
}

static bool put_next(cJSON *o, const BlyBuild *build, const SureWork *work, const Worth *worth) {
    return worth == NULL || work->reserve == NULL ||
           put_tree(o, "next_reading", json_worth(build, worth, work->reserve));
}

cJSON *sure_tree(const BlyBuild *build, const SureWork *work, const Worth *worth,
                 BlySystem system) {
    SureText text = {build, work, system};
    cJSON *o = cJSON_CreateObject();
    return json_finished(
        o, o != NULL && put_sure(o, build, work) &&
               (!build->has_target || put_tree(o, "wanted", wanted_of(&build->target))) &&
               put_next(o, build, work, worth) && route_put_text(o, "text", write_sure, &text));
}

/* ---- fit ---- */

bool put_rig_text(cJSON *o, const BlyBuild *build, const BlyRig *rig, BlyError *err) {
    char *text = NULL;
    bool good = bly_build_text_with_rig(build, rig, &text, err) && put_text(o, "build", text);
    free(text);
    return good;
}

cJSON *fit_tree(const BlyBuild *build, const FitWork *w, BlyError *err) {
    cJSON *o = json_fit(build, &w->result, w->reserves);
    cJSON *rigs = cJSON_GetObjectItemCaseSensitive(o, "rigs");
    bool good = rigs != NULL && (w->wished == NULL || put_wished(o, w->wished, w->result.count));
    for (size_t i = 0; good && i < w->result.count; i++)
        good = put_rig_text(cJSON_GetArrayItem(rigs, (int)i), build, &w->result.rigs[i].rig, err);
    return json_finished(o, good && (w->result.count == 0 || put_slips(o, &w->slips)));
}
