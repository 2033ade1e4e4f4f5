/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/answers.h"
#include "report/sure.h"

#include <math.h>
#include <stdlib.h>

static const double extra_kg = 1e-4; /* as in `rest`: influence of 0.1 g */

static cJSON *finished(cJSON *tree, bool good) {
    if (good)
        return tree;
    cJSON_Delete(tree);
    return NULL;
}

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
    return finished(w, good);
}

static bool put_motion(cJSON *o, const BlyOutcome *outcome) {
    char words[WORDS_MAX];
    attitude_words(outcome->has_surface ? outcome->surface.nose_down : outcome->nose_down, words);
    return put_text(o, "attitude", words) && put_text(o, "motion", drift_words(outcome->drift));
}

static bool put_target(cJSON *o, const BlyBuild *build, const BlyOutcome *outcome) {
    if (!build->has_target)
        return true;
    BlyJudgement judgement = bly_judge(&build->target, outcome);
    return put_tree(o, "target", json_judgement(&build->target, &judgement));
}

cJSON *answer_rest(const BlyBuild *build, const BlyRig *rig, BlySystem system, BlyError *err) {
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
        put_text(o, "name", build->name) && put_said(o, build) &&
        put_tree(o, "parts", json_rig(build, rig)) &&
        put_tree(o, "outcome", json_outcome(&outcome)) &&
        put_tree(o, "ladder", json_ladder(&lure)) &&
        put_tree(o, "influence_of_0.1_g", json_influence(build, influence, build->seat_count)) &&
        put_tree(o, "drawing", draw_lure(build, rig, &lure, &outcome)) &&
        put_tree(o, "words", words_of(&outcome, system)) && put_motion(o, &outcome) &&
        put_target(o, build, &outcome);
    bly_lure_release(&lure);
    free(influence);
    return finished(o, good);
}

/* ---- how sure ---- */

static bool spreads(const BlyBuild *build, BlySpread out[2], BlyError *err) {
    const BlySpreadOptions quick = {.sample_all = true};
    const BlyTarget *target = build->has_target ? &build->target : NULL;
    return bly_spread(build, &build->fitted, &build->water, 1, target, NULL, &out[0], err) &&
           (target == NULL || bly_spread(build, &build->fitted, build->target_waters,
                                         build->target_water_count, target, &quick, &out[1], err));
}

static bool put_sure_text(cJSON *o, const BlyBuild *build, const BlySpread *spread,
                          const BlySpread *in_target, const BlyReserve *reserve, BlySystem system) {
    BlyText text = {0};
    Report report = {.out = report_collect(&text), .system = system};
    if (report.out == NULL)
        return false;
    text_spread(&report, build, spread, in_target);
    if (build->has_target) {
        (void)fprintf(report.out, "\nhow it can still be trimmed\n");
        text_reserve(&report, build, &build->fitted, reserve);
    }
    bool good =
        fclose(report.out) == 0 && !text.failed && put_text(o, "text", bly_text_string(&text));
    bly_text_release(&text);
    return good;
}

cJSON *answer_sure(const BlyBuild *build, const BlyCatalog *catalog, BlySystem system,
                   BlyError *err) {
    BlySpread *spread = calloc(2, sizeof *spread);
    BlyReserve *reserve = calloc(1, sizeof *reserve);
    cJSON *o = cJSON_CreateObject();
    bool good =
        spread != NULL && reserve != NULL && o != NULL && spreads(build, spread, err) &&
        (!build->has_target || bly_reserve(build, catalog, &build->fitted, NULL, reserve, err));
    const BlySpread *in_target = build->has_target && good ? &spread[1] : NULL;
    good = good && put_tree(o, "spread", json_spread(build, &spread[0], in_target)) &&
           (!build->has_target || put_tree(o, "reserve", json_reserve(build, reserve))) &&
           put_sure_text(o, build, &spread[0], in_target, reserve, system);
    free(spread);
    free(reserve);
    return finished(o, good);
}

/* ---- fit ---- */

bool put_rig_text(cJSON *o, const BlyBuild *build, const BlyRig *rig, BlyError *err) {
    char *text = NULL;
    bool good = bly_build_text_with_rig(build, rig, &text, err) && put_text(o, "build", text);
    free(text);
    return good;
}

bool answer_reserves(const BlyBuild *build, const BlyCatalog *catalog, const BlyFitResult *result,
                     BlyReserve **out, BlyError *err) {
    *out = NULL;
    if (!result->met)
        return true;
    *out = calloc(result->count + 1, sizeof **out);
    if (*out == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the reserves");
    for (size_t i = 0; i < result->count; i++) {
        if (!bly_reserve(build, catalog, &result->rigs[i].rig, NULL, &(*out)[i], err)) {
            free(*out);
            *out = NULL;
            return false;
        }
    }
    return true;
}

cJSON *answer_fit(const BlyBuild *build, const BlyFitResult *result, const BlyReserve *reserves,
                  BlyError *err) {
    cJSON *o = json_fit(build, result, reserves);
    cJSON *rigs = cJSON_GetObjectItemCaseSensitive(o, "rigs");
    bool good = rigs != NULL;
    for (size_t i = 0; good && i < result->count; i++)
        good = put_rig_text(cJSON_GetArrayItem(rigs, (int)i), build, &result->rigs[i].rig, err);
    return finished(o, good);
}
