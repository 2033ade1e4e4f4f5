/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The routes that work a build out: rest, fit and swap, by the same functions as the commands. */
#include "bench/route.h"
#include "report/report.h"

#include <stdlib.h>
#include <string.h>

static const double extra_kg = 1e-4; /* as in `rest`: influence of 0.1 g */
static const double fit_limit_secs = 10;

bool route_text(const BlyJson *in, const char *key, const char **out, BlyError *err) {
    BlyJson at;
    if (!bly_json_require(in, key, &at, err))
        return false;
    if (!cJSON_IsString(at.node))
        return bly_json_refuse(&at, BLY_E_SYNTAX, err, "should be a text");
    *out = at.node->valuestring;
    return true;
}

/* Places in the build are pointers into the build, not into the request. */
bool route_build(const Bench *bench, const BlyJson *in, BlyBuild **out, BlyError *err) {
    const char *text;
    *out = NULL;
    return route_text(in, "build", &text, err) &&
           bly_build_read(text, strlen(text), &bench->catalog, out, err);
}

static cJSON *finished(cJSON *tree, bool good) {
    if (good)
        return tree;
    cJSON_Delete(tree);
    return NULL;
}

/* One rig in the build's own water: what it does and how it lies. */
static cJSON *rest_of(const BlyBuild *build, const BlyRig *rig, BlyError *err) {
    BlyWater water;
    BlyLure lure = {0};
    BlyOutcome outcome;
    BlyInfluence *influence = calloc(build->seat_count + 1, sizeof *influence);
    cJSON *o = cJSON_CreateObject();
    bool good =
        influence != NULL && o != NULL &&
        bly_water_at(build->water.temperature.value, build->water.salinity.value, &water, err) &&
        bly_lure_make(&build->blank, build->seats, rig, &lure, err) &&
        bly_rest(&lure, &water, &outcome, err) &&
        bly_rest_influence(&lure, build->seats, build->seat_count, rig, &water, extra_kg, influence,
                           err) &&
        put_text(o, "name", build->name) && put_tree(o, "parts", json_rig(build, rig)) &&
        put_tree(o, "outcome", json_outcome(&outcome)) &&
        put_tree(o, "ladder", json_ladder(&lure)) &&
        put_tree(o, "influence_of_0.1_g", json_influence(build, influence, build->seat_count)) &&
        put_tree(o, "drawing", draw_lure(build, rig, &lure, &outcome));
    if (good) {
        char words[WORDS_MAX];
        attitude_words(outcome.has_surface ? outcome.surface.nose_down : outcome.nose_down, words);
        good = put_text(o, "attitude", words) && put_text(o, "motion", drift_words(outcome.drift));
    }
    if (good && build->has_target) {
        BlyJudgement judgement = bly_judge(&build->target, &outcome);
        good = put_tree(o, "target", json_judgement(&build->target, &judgement));
    }
    bly_lure_release(&lure);
    free(influence);
    return finished(o, good);
}

cJSON *route_rest(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)status;
    BlyBuild *build;
    if (!route_build(bench, in, &build, err))
        return NULL;
    cJSON *o = rest_of(build, &build->fitted, err);
    bly_build_free(build);
    return o;
}

static bool put_rig_text(cJSON *o, const BlyBuild *build, const BlyRig *rig, BlyError *err) {
    char *text = NULL;
    bool good = bly_build_text_with_rig(build, rig, &text, err) && put_text(o, "build", text);
    free(text);
    return good;
}

/* json_fit's answer, with the build as each rig would leave it. */
static cJSON *fit_answer(const BlyBuild *build, const BlyFitResult *result, BlyError *err) {
    cJSON *o = json_fit(build, result, NULL);
    cJSON *rigs = cJSON_GetObjectItemCaseSensitive(o, "rigs");
    bool good = rigs != NULL;
    for (size_t i = 0; good && i < result->count; i++)
        good = put_rig_text(cJSON_GetArrayItem(rigs, (int)i), build, &result->rigs[i].rig, err);
    return finished(o, good);
}

cJSON *route_fit(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)status;
    BlyBuild *build;
    if (!route_build(bench, in, &build, err))
        return NULL;
    BlyFitOptions options = {.rigs = 5, .time_limit_secs = fit_limit_secs};
    BlyFitResult result = {0};
    cJSON *o = bly_fit(build, &bench->catalog, &options, &result, err)
                   ? fit_answer(build, &result, err)
                   : NULL;
    bly_fit_release(&result);
    bly_build_free(build);
    return o;
}

cJSON *route_swap(const Bench *bench, const BlyJson *in, int *status, BlyError *err) {
    (void)status;
    const char *seat, *kind, *id;
    BlyBuild *build;
    if (!route_text(in, "seat", &seat, err) || !route_text(in, "kind", &kind, err) ||
        !route_text(in, "id", &id, err) || !route_build(bench, in, &build, err))
        return NULL;
    BlyRig rig = {0};
    cJSON *o = cJSON_CreateObject();
    bool good = o != NULL && bly_rig_copy(&rig, &build->fitted, err) &&
                bly_build_swap(build, &bench->catalog, &rig, seat, kind, id, err) &&
                put_tree(o, "before", rest_of(build, &build->fitted, err)) &&
                put_tree(o, "after", rest_of(build, &rig, err)) &&
                put_rig_text(o, build, &rig, err);
    bly_rig_release(&rig);
    bly_build_free(build);
    return finished(o, good);
}
