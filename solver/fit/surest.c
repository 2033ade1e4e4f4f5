/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The surest rigs: by the chance to meet the target after the tests that the maker is willing to
 * make, and the best trims after each. Two searches make the rigs: for the target, and for all that
 * trims can bring into it. */
#include "fit/rank.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { A_LOOK = 2, USUAL = 5 /* rigs, where it is not said */ };
static const size_t patience = 400000; /* nodes of a choice that chances rank afterwards */
static const double fair = 0.5;        /* of what misses as built: the chance that is an answer */

typedef struct Ranking {
    size_t wanted;
    bool whole;
    BlyReserve *reserves; /* owned until it is handed over; NULL: nothing was ranked */
} Ranking;

static void list_end(RankedList *list) {
    for (size_t i = 0; i < list->count; i++) {
        trim_plan_free(list->at[i].plan);
        fit_rig_release(&list->at[i].rig);
    }
    free(list->at);
    *list = (RankedList){0};
}

/* ---- the rigs that trims can bring into the target ---- */

/* The drift at which the lure weighs `more` kg more than it does at `drift`. */
static bool shift_drift(const BlyLure *lure, const BlyWater *water, double nose, double more,
                        double *drift, BlyError *err) {
    double net;
    if (!isfinite(*drift))
        return true;
    return bly_rest_net_weight(lure, water, nose, *drift, &net, err) &&
           bly_rest_speed(lure, water, nose, net + more, drift, err);
}

/* The band of all lures that trims of such a rig can bring into the target's; in water the room is
 * that of the plan. */
static bool widen(const BlyBuild *build, const BlyRig *rig, double add, double take_off,
                  BlyTarget *target, BlyError *err) {
    BlyLure lure;
    BlyWater water;
    const BlyWaterFacts *facts = &build->target_waters[0];
    if (!bly_water_at(facts->temperature.value, facts->salinity.value, &water, err) ||
        !bly_lure_make(&build->blank, build->seats, rig, &lure, err))
        return false;
    double nose = isfinite(target->nose_low) && isfinite(target->nose_high)
                      ? (target->nose_low + target->nose_high) / 2
                      : 0;
    bool good = true;
    if (target->state == BLY_FLOATS &&
        (isfinite(target->shows_low) || isfinite(target->shows_high))) {
        double whole = water.density * build->blank.hull_volume;
        target->shows_high = fmin(target->shows_high + add / whole, 1);
        target->shows_low = fmax(target->shows_low - take_off / whole, 0);
    } else {
        good = shift_drift(&lure, &water, nose, -add, &target->drift_low, err) &&
               shift_drift(&lure, &water, nose, take_off, &target->drift_high, err);
    }
    bly_lure_release(&lure);
    return good;
}

static bool within(const BlyTarget *target, const BlyFitRig *rig) {
    bool met = true;
    for (size_t w = 0; w < rig->water_count; w++)
        met = met && bly_judge(target, &rig->outcome[w]).met;
    return met;
}

static void take_counts(const BlyFitResult *from, BlyFitResult *out) {
    out->stopped = out->stopped || from->stopped;
    out->rounds += from->rounds;
    out->nodes += from->nodes;
}

/* What the caller is told of the second search: the rigs of the first are there, too. */
typedef struct Telling {
    const BlyFitOptions *to;
    const RankedList *list;
} Telling;

static void tell_of_both(void *context, const BlyFitProgress *progress) {
    const Telling *telling = context;
    const BlyFitRig *first = &telling->list->at[0].rig;
    BlyFitProgress both = *progress;
    both.rigs += telling->list->count;
    both.met = both.met || first->met;
    both.off = first->off;
    both.gap = NAN;
    fit_tell(telling->to, &both);
}

/* About the first of the list, which was looked at; *light: empty where nothing can be trimmed, or
 * no lure that meets the target comes of it. */
static bool search_wider(const Problem *p, const RankedList *list, BlyFitResult *light,
                         BlyError *err) {
    const Ranked *about = &list->at[0];
    Telling telling = {p->options, list};
    BlyBuild widened = *p->build; /* borrows everything */
    BlyFitOptions options = *p->options;
    Problem wider = *p; /* the same */
    double add, take_off;
    options.margins = true;
    options.progress = tell_of_both;
    options.progress_context = &telling;
    wider.build = &widened;
    wider.options = &options;
    wider.patience = patience;
    wider.a_look = A_LOOK;
    wider.ranked = true;
    trim_plan_room(about->plan, &add, &take_off);
    if (!(add > 0 || take_off > 0))
        return true;
    if (!widen(p->build, &about->rig.rig, add, take_off, &widened.target, err))
        return false;
    if (!about->rig.met && !within(&widened.target, &about->rig))
        return true;
    return fit_search(&wider, &about->rig, FIT_TRY_WIDER, light, err);
}

/* ---- the list ---- */

static bool listed_already(const RankedList *list, const BlyRig *rig) {
    for (size_t i = 0; i < list->count; i++) {
        if (rig_order(&list->at[i].rig.rig, rig) == 0)
            return true;
    }
    return false;
}

/* Takes rigs over as the build's own target judges them, each once. */
static bool take_all(const Problem *p, BlyFitResult *from, RankedList *to, BlyError *err) {
    for (size_t i = 0; i < from->count && to->count < to->room; i++) {
        BlyFitRig *rig = &from->rigs[i];
        Ranked *one = &to->at[to->count];
        if (listed_already(to, &rig->rig))
            continue;
        *one = (Ranked){.chance = NAN};
        if (!rig_rework(p->build, &rig->rig, &one->rig, err))
            return false;
        to->count++;
        one->rig.cost = rig->cost;
        one->rig.changes = rig->changes;
        one->rig.pieces = rig->pieces;
        one->rig.price = rig->price;
        one->unusual = craft_rare_chance(&p->craft, &one->rig.rig);
        if (p->hooks_cost)
            one->unusual += p->craft.rules->share_chance * rig_hooks_above(p, &one->rig);
    }
    return true;
}

static bool undecided(const Ranked *one) {
    return !one->listed && !one->passed;
}

static bool is_listed(const Ranked *one) {
    return one->listed;
}

static bool seen(const RankedList *list, const Ranked *one) {
    for (size_t i = 0; i < list->count; i++) {
        if (list->at[i].listed && fit_looks_alike(&list->at[i].rig.rig, &one->rig.rig))
            return true;
    }
    return false;
}

/* The first of each look, the winner before all. What is nearest on paper, the first of the list,
 * is one of them, in place of the last where need be. How many. */
static size_t choose(RankedList *list, size_t wanted, bool on_paper) {
    size_t count = 0, last = 0, next;
    while (count < wanted && (next = rank_leader(list, undecided)) < list->count) {
        Ranked *one = &list->at[next];
        one->passed = seen(list, one);
        one->listed = !one->passed;
        count += one->listed;
        last = one->listed ? next : last;
    }
    if (!on_paper || list->at[0].listed || wanted < 2)
        return count;
    list->at[last].listed = count < wanted;
    list->at[0].listed = true;
    return count < wanted ? count + 1 : count;
}

/* Chance is what ranks: half-bands do not bound it, nothing is proven of it. What meets the target
 * after its tests alone: what stands in the way of a rig on paper is no answer then. */
static void hand_over(BlyFitRig *rigs, size_t count, int nearest, bool on_paper,
                      BlyFitResult *out) {
    for (size_t i = 0; i < out->count; i++)
        fit_rig_release(&out->rigs[i]);
    free(out->rigs);
    out->rigs = rigs;
    out->count = count;
    out->on_paper = nearest;
    out->surest = out->met = true;
    out->proven = false;
    out->complete = out->complete && !out->stopped;
    out->gap = NAN;
    if (!on_paper)
        out->light[0] = out->craft[0] = out->allows.key[0] = out->missing[0] = '\0';
}

/* Not all were looked at: none is given, as some would be ranked and some not. */
static void let_go(BlyFitRig *rigs, size_t given, Ranking *ranking) {
    for (size_t i = 0; i < given; i++)
        fit_rig_release(&rigs[i]);
    free(rigs);
    free(ranking->reserves);
    ranking->reserves = NULL;
}

/* The rigs stay as the search found them, by nearness: how sure they are was not found out. */
static bool halt(BlyFitResult *out) {
    out->stopped = true;
    out->complete = out->proven = false;
    out->gap = NAN;
    return true;
}

/* The chosen ones each with its whole plan. */
static bool look_whole(const Problem *p, RankedList *list, BlyError *err) {
    bool good = true;
    for (size_t i = 0; good && i < list->count && !fit_halted(p->options); i++)
        good = !list->at[i].listed ||
               rank_look(p, rank_lures[RANK_STAGES - 1], list, &list->at[i], err);
    return good;
}

/* The chosen ones in order. Where it is halted meanwhile, `out` stays as it was. */
static bool give(const Problem *p, RankedList *list, size_t count, bool on_paper, Ranking *ranking,
                 BlyFitResult *out, BlyError *err) {
    BlyFitRig *rigs = calloc(count + 1, sizeof *rigs);
    size_t given = 0, next;
    ranking->reserves = calloc(count + 1, sizeof *ranking->reserves);
    bool good = (rigs != NULL && ranking->reserves != NULL) ||
                bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the rigs");
    int nearest = on_paper && !list->at[0].listed ? (int)count + 1 : 0;
    while (good && !fit_halted(p->options) && (next = rank_leader(list, is_listed)) < list->count) {
        Ranked *one = &list->at[next];
        if (on_paper && next == 0)
            nearest = (int)given + 1;
        good = trim_plan_reserve(one->plan, p->build, &ranking->reserves[given], err) &&
               problem_finish(p, &one->rig, err);
        rigs[given++] = one->rig;
        one->rig = (BlyFitRig){0};
        one->listed = false;
    }
    if (good && given == count)
        hand_over(rigs, given, nearest, on_paper, out);
    else
        let_go(rigs, given, ranking);
    return good && (given == count || halt(out));
}

/* No other can then be surer by what counts, and none is nearer. */
static bool is_sure(const Problem *p, const RankedList *list, bool *sure, BlyError *err) {
    Ranked *first = &list->at[0];
    *sure = true;
    for (int stage = 0; stage < RANK_STAGES && *sure; stage++) {
        if (!rank_look(p, rank_lures[stage], list, first, err))
            return false;
        *sure = rank_standing(first) > 1.0 - RANK_AS_GOOD + 1e-9 && !fit_halted(p->options);
    }
    return true;
}

static bool rank_list(const Problem *p, RankedList *list, Ranking *ranking, BlyFitResult *out,
                      BlyError *err) {
    BlyFitResult light = {0};
    const bool on_paper = out->met;
    bool sure = false, over = problem_over(p), good = true;
    if (!over && on_paper)
        good = is_sure(p, list, &sure, err);
    else if (!over)
        good = rank_look(p, rank_lures[0], list, &list->at[0], err);
    over = over || fit_halted(p->options);
    if (good && !over && !sure) {
        good = search_wider(p, list, &light, err);
        if (good && light.met)
            good = take_all(p, &light, list, err);
        take_counts(&light, out);
    }
    bool race = !over && (sure ? ranking->whole : on_paper || list->count > 1);
    good = good && (!race || rank_race(p, ranking->whole, list, &over, err));
    bly_fit_release(&light);
    if (!good)
        return false;
    if (over || light.stopped)
        out->stopped = true;
    size_t best = rank_leader(list, undecided);
    if (fit_halted(p->options))
        return halt(out);
    bool others = list->count > 1 || build_is_glued(p->build); /* there may be no others */
    if (!on_paper && !(list->at[best].chance >= fair && others))
        return true;
    size_t count = choose(list, ranking->wanted, on_paper);
    return look_whole(p, list, err) && give(p, list, count, on_paper, ranking, out, err);
}

/* A FitRanker. */
static bool rank_surest(void *context, const Problem *p, BlyFitResult *out, BlyError *err) {
    RankedList list = {.room = FIT_RANKED_MOST + BLY_FIT_RIGS_MAX};
    BlyFitResult nearest = {.rigs = out->rigs, .count = out->met ? out->count : 1};
    if (!out->met && (out->stopped || problem_over(p) || out->impossible[0] != '\0' ||
                      out->rigs[0].binding >= BLY_REQ_TOW_ATTITUDE))
        return true;
    list.at = calloc(list.room, sizeof *list.at);
    bool good = (list.at != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the rigs")) &&
                take_all(p, &nearest, &list, err) && rank_list(p, &list, context, out, err);
    list_end(&list);
    return good;
}

/* Of several searches the caller hears how many rigs were worked through at most. */
typedef struct Rising {
    const BlyFitOptions *to;
    size_t rigs;
} Rising;

static void tell_rising(void *context, const BlyFitProgress *progress) {
    Rising *rising = context;
    BlyFitProgress told = *progress;
    rising->rigs = told.rigs > rising->rigs ? told.rigs : rising->rigs;
    told.rigs = rising->rigs;
    fit_tell(rising->to, &told);
}

/* The first so many; what is nearest on paper stays among them, in place of the last, unless one
 * alone is asked for. */
static void shorten(BlyFitResult *out, size_t wanted, BlyReserve *reserves) {
    if (out->count <= wanted)
        return;
    if (out->on_paper > (int)wanted && wanted > 1) {
        size_t from = (size_t)out->on_paper - 1, to = wanted - 1;
        BlyFitRig last = out->rigs[to];
        out->rigs[to] = out->rigs[from];
        out->rigs[from] = last;
        reserves[to] = reserves[from];
        out->on_paper = (int)wanted;
    } else if (out->on_paper > (int)wanted) {
        out->on_paper = (int)wanted + 1;
    }
    while (out->count > wanted)
        fit_rig_release(&out->rigs[--out->count]);
}

bool fit_by_chance(const BlyBuild *build, const BlyCatalog *catalog, const BlyFitOptions *options,
                   bool whole, BlyFitResult *out, BlyReserve **reserves, BlyError *err) {
    const size_t wanted = options->rigs == 0 ? USUAL : options->rigs;
    Ranking ranking = {.wanted = wanted < USUAL ? USUAL : wanted, .whole = whole};
    const FitRanker ranker = {rank_surest, &ranking};
    Rising rising = {options, 0};
    BlyFitOptions told = *options;
    told.rigs = ranking.wanted; /* the first is the same, however few are asked for */
    told.progress = tell_rising;
    told.progress_context = &rising;
    bool good = fit_staged(build, catalog, &told, &ranker, out, err);
    shorten(out, wanted, ranking.reserves);
    *reserves = ranking.reserves;
    return good;
}

bool bly_fit_surest(const BlyBuild *build, const BlyCatalog *catalog, const BlyFitOptions *options,
                    BlyFitResult *out, BlyReserve **reserves, BlyError *err) {
    return fit_by_chance(build, catalog, options, false, out, reserves, err);
}
