/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rigs by their chance, in stages: few lures tell which of them cannot come first. Every rig gets
 * the same lures, so that two are told apart by those alone on which they differ. */
#include "fit/rank.h"

#include <math.h>

const size_t rank_lures[RANK_STAGES] = {128, 256, 512, 1024, 2048};
static const double sure_sigmas = 2.0; /* of independent lures; Sobol points scatter less */

static int64_t nearness(const Ranked *one) {
    return rig_steps(rig_merit(&one->rig));
}

static bool nearer(const Ranked *a, const Ranked *b) {
    int64_t x = nearness(a), y = nearness(b);
    return x != y ? x < y : rig_order(&a->rig.rig, &b->rig.rig) < 0;
}

/* What is off as built, by design, must be that much surer, and so must what is not usual.
 */
static double handicap(const Ranked *one) {
    return one->unusual + (one->rig.met ? 0 : RANK_BY_DESIGN);
}

/* What one lure is worth, in lures. */
static double worth(const Ranked *one, size_t lure) {
    return trim_plan_met(one->plan, lure) - RANK_A_MEND * trim_plan_mends(one->plan, lure);
}

double rank_standing(const Ranked *one) {
    double chance =
        isnan(one->chance) ? -1.0 : one->chance - RANK_A_MEND * one->mends - handicap(one);
    return one->rig.binding >= BLY_REQ_TOW_ATTITUDE ? chance - 10.0 : chance;
}

size_t rank_leader(const RankedList *list, bool (*may)(const Ranked *one)) {
    double most = -INFINITY;
    size_t best = list->count;
    for (size_t i = 0; i < list->count; i++) {
        if (may(&list->at[i]))
            most = fmax(most, rank_standing(&list->at[i]));
    }
    for (size_t i = 0; i < list->count; i++) {
        const Ranked *one = &list->at[i];
        if (may(one) && rank_standing(one) > most - RANK_AS_GOOD + 1e-9 &&
            (best == list->count || nearer(one, &list->at[best])))
            best = i;
    }
    return best;
}

static void tell(const Problem *p, const RankedList *list) {
    fit_tell(p->options, &(BlyFitProgress){.stage = BLY_FIT_RANKS,
                                           .rigs = list->count,
                                           .met = list->at[0].rig.met,
                                           .off = list->at[0].rig.off,
                                           .gap = NAN});
}

static double mean_mends(const TrimPlan *plan) {
    size_t lures = trim_plan_looked(plan), mends = 0;
    for (size_t i = 0; i < lures; i++)
        mends += (size_t)trim_plan_mends(plan, i);
    return lures > 0 ? (double)mends / (double)lures : 0.0;
}

bool rank_look(const Problem *p, size_t lures, const RankedList *list, Ranked *one, BlyError *err) {
    enum { A_FEW = 128 };
    tell(p, list);
    if (one->plan == NULL &&
        !trim_plan_open(p->build, p->catalog, &one->rig.rig, NULL, &one->plan, err))
        return false;
    for (size_t n = trim_plan_looked(one->plan); n < lures && !fit_halted(p->options);) {
        n = n + A_FEW < lures ? n + A_FEW : lures;
        trim_plan_look(one->plan, n);
        tell(p, list);
    }
    one->chance = trim_plan_chance(one->plan);
    one->mends = mean_mends(one->plan);
    return true;
}

static bool not_out(const Ranked *one) {
    return !one->out;
}

/* By the lures that both were looked at by. */
static bool cannot_win(const Ranked *one, const Ranked *leader) {
    size_t lures = trim_plan_looked(one->plan);
    double gained = 0.0, squares = 0.0, n = (double)lures;
    for (size_t i = 0; i < lures; i++) {
        double more = worth(one, i) - worth(leader, i);
        gained += more;
        squares += more * more;
    }
    double needs = nearer(one, leader) ? -RANK_AS_GOOD : RANK_AS_GOOD;
    double more = gained / n - handicap(one) + handicap(leader);
    return more + sure_sigmas * sqrt(squares + 1.0) / n < needs ||
           rank_standing(one) < rank_standing(leader) - 5.0;
}

static void leave_behind(RankedList *list) {
    size_t best = rank_leader(list, not_out);
    for (size_t i = 0; i < list->count; i++) {
        if (i != best && !list->at[i].out)
            list->at[i].out = cannot_win(&list->at[i], &list->at[best]);
    }
}

bool rank_race(const Problem *p, bool whole, RankedList *list, bool *over, BlyError *err) {
    *over = false;
    for (int stage = whole ? RANK_STAGES - 1 : 0; stage < RANK_STAGES; stage++) {
        for (size_t i = 0; i < list->count; i++) {
            if (list->at[i].out)
                continue;
            *over = problem_over(p);
            if (*over)
                return true;
            if (!rank_look(p, rank_lures[stage], list, &list->at[i], err))
                return false;
        }
        leave_behind(list);
    }
    return true;
}
