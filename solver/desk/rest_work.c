/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a build does with one rig, and with another in its place. */
#include "desk/towing.h"
#include "desk/work.h"

#include <stdlib.h>

static bool find_influence(const BlyBuild *build, const BlyRig *rig, RestWork *w, BlyError *err) {
    w->influence = calloc(build->seat_count + 1, sizeof *w->influence);
    if (w->influence == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the table of influence");
    return bly_rest_influence(&w->lure, build->seats, build->seat_count, rig, &w->outcome.water,
                              REST_EXTRA, w->influence, err);
}

static bool find_window(const BlyBuild *build, const BlyRig *rig, RestWork *w, BlyError *err) {
    w->window = calloc(1, sizeof *w->window);
    if (w->window == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the water window");
    return bly_water_window(build, rig, build->has_target ? &build->target : NULL, w->window, err);
}

static bool find_tow(const BlyBuild *build, const BlyRig *rig, RestWork *w, BlyError *err) {
    BlyTowAsk ask = bly_tow_usual();
    tow_ask_of(build, &ask);
    w->towed = calloc(1, sizeof *w->towed);
    if (w->towed == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the lure on the line");
    return bly_towed(build, rig, &ask, w->towed, err);
}

static bool find_line(const BlyBuild *build, const BlyRig *rig, RestWork *w, BlyError *err) {
    if (!build->has_tow_wish)
        return true;
    w->line = calloc(1, sizeof *w->line);
    if (w->line == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the lure on the line");
    return bly_tow_judge_lure(build, rig, &w->lure, &w->outcome.water, w->line, err);
}

bool rest_work(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *rig, unsigned parts,
               RestWork *w, BlyError *err) {
    BlyWater water;
    *w = (RestWork){.leader = {.seat = -1}};
    return bly_water_at(build->water.temperature.value, build->water.salinity.value, &water, err) &&
           bly_lure_make(&build->blank, build->seats, rig, &w->lure, err) &&
           bly_rest(&w->lure, &water, &w->outcome, err) && find_line(build, rig, w, err) &&
           (!(parts & REST_INFLUENCE) || find_influence(build, rig, w, err)) &&
           (!(parts & REST_LEADER) || bly_rest_leader(&w->lure, &water, &w->leader, err)) &&
           (!(parts & REST_SURE) || sure_work(build, catalog, rig, &w->sure, err)) &&
           (!(parts & REST_WORTH) || worth_work(build, catalog, rig, NULL, &w->worth, err)) &&
           (!(parts & REST_WATERS) || find_window(build, rig, w, err)) &&
           (!(parts & REST_TOW) || find_tow(build, rig, w, err)) &&
           (!(parts & REST_SLIPS) || (bly_build_slips(build, rig, &w->slips, err) &&
                                      bly_practice_judge(build, rig, &w->craft, err)));
}

void rest_work_release(RestWork *w) {
    bly_lure_release(&w->lure);
    free(w->influence);
    free(w->window);
    free(w->towed);
    free(w->line);
    free(w->worth);
    sure_work_release(&w->sure);
    bly_slips_release(&w->slips);
    bly_breaches_release(&w->craft);
}

bool put_named(cJSON *o, const BlyBuild *build, const RestWork *w) {
    return put_text(o, "name", build->name) && put_said(o, build) && put_slips(o, &w->slips) &&
           put_craft(o, build, &w->craft);
}

bool put_rested(cJSON *o, const BlyBuild *build, const RestWork *w) {
    return put_tree(o, "outcome", json_outcome(&w->outcome)) &&
           put_tree(o, "ladder", json_ladder(build, &w->lure)) &&
           put_tree(o, "influence_of_100_mg",
                    json_influence(build, w->influence, build->seat_count));
}

bool put_judged(cJSON *o, const BlyBuild *build, const RestWork *w) {
    if (!build->has_target)
        return true;
    BlyJudgement judgement = bly_judge(&build->target, &w->outcome);
    return put_tree(o, "target", json_judgement(&build->target, &w->outcome, &judgement)) &&
           (w->line == NULL || put_tree(o, "target_on_line", json_tow_verdict(w->line)));
}

bool swap_work(const BlyBuild *build, const BlyCatalog *catalog, const BlyRig *rig, unsigned parts,
               SwapWork *out, BlyError *err) {
    *out = (SwapWork){0};
    return rest_work(build, catalog, &build->fitted, parts, &out->before, err) &&
           rest_work(build, catalog, rig, parts, &out->after, err) &&
           bly_spread_swap(build, &build->fitted, rig, NULL, &out->sure, err);
}

void swap_work_release(SwapWork *work) {
    rest_work_release(&work->before);
    rest_work_release(&work->after);
}
