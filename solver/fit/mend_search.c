/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which mends, singly and together, are worth the full physics. */
#include "fit/mend_search.h"
#include "fit/mend_cut.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Of each look so many are worked through; of all so many, afloat each costs ten times as much. */
enum { KEPT = 3, WORKS_MOST = 700, WORKS_AFLOAT = 150, SEEDS = 60, NO_CLASS = MEND_CLASSES_MAX };
/* Half-bands: what lies farther out by the linear rows is not worked through while others are;
 * what a turn, a dot, half a millimetre weighs against a half-band; what a rung does. */
static const double far_out = 4, a_bit = 0.004;

void mended_release(MendedList *list) {
    for (size_t i = 0; i < list->count; i++)
        fit_rig_release(&list->at[i].rig);
    free(list->at);
    memset(list, 0, sizeof *list);
}

static double from_middle(double value, double middle, double half) {
    return fmax(0, fabs(value - middle) / half - FIT_DEAD_ZONE);
}

/* Distance from the middle of weight's band, or beyond the edge of one that is open. */
static double weight_off(const Frame *frame, double net) {
    if (isfinite(frame->n_middle))
        return from_middle(net, frame->n_middle, frame->n_half);
    return fmax(0, fmax(frame->n_low - net, net - frame->n_high)) / frame->n_half;
}

static double frame_off(const Frame *frame, const Lump *all) {
    double off = weight_off(frame, frame_blank_weight(frame, all));
    double half = (frame->angle[AT_HIGH] - frame->angle[AT_LOW]) / 2 * frame->stiffness;
    if (frame->has_attitude && half > 0)
        off += from_middle(frame_blank_moment(frame, all, AT_MIDDLE), 0, half);
    if (frame_blank_roll(frame, all) > 0)
        off += 1;
    return off;
}

typedef struct Search {
    const Bench *bench;
    const MendList *mends;
    Problem *problem;
    Lump fitted;                             /* the whole lure as it is */
    Mix (*best)[MEND_CLASSES_MAX + 1][KEPT]; /* by the two classes; owned */
    Mix seed[SEEDS];                         /* the best pairs, for a third */
    int seeds;
} Search;

static double mix_off(const Search *s, const Mix *mix) {
    double off = 0, trouble = 0;
    Lump all = s->fitted;
    for (int i = 0; i < mix->count; i++) {
        all = moments_sum(all, s->mends->at[mix->mend[i]].adds);
        trouble += s->mends->at[mix->mend[i]].trouble;
    }
    for (size_t w = 0; w < s->problem->water_count; w++)
        off += frame_off(&s->problem->frame[w], &all);
    return off / (double)s->problem->water_count + a_bit * trouble;
}

/* The best few, in order; false when it is none of them. */
static bool keep(Mix *list, int most, const Mix *mix) {
    int at = most;
    while (at > 0 && (list[at - 1].count == 0 || mix->off < list[at - 1].off))
        at--;
    if (at == most)
        return false;
    memmove(&list[at + 1], &list[at], (size_t)(most - at - 1) * sizeof *list);
    list[at] = *mix;
    return true;
}

static bool goes_with(const Search *s, const Mix *mix, int next) {
    int all[MENDS_AT_ONCE];
    for (int i = 0; i < mix->count; i++) {
        all[i] = mix->mend[i];
        if (mends_exclude(&s->mends->at[mix->mend[i]], &s->mends->at[next]))
            return false;
    }
    all[mix->count] = next;
    return mends_in_box(s->bench, s->mends, all, mix->count + 1);
}

static Mix with(const Search *s, const Mix *mix, int next) {
    Mix more = *mix;
    more.mend[more.count++] = next;
    more.off = mix_off(s, &more);
    return more;
}

static void weigh_pairs(Search *s) {
    const MendList *m = s->mends;
    const Mix none = {.mend = {-1, -1, -1}};
    for (size_t i = 0; i < m->count; i++) {
        Mix one = with(s, &none, (int)i);
        (void)keep(s->best[m->at[i].class][NO_CLASS], KEPT, &one);
        for (size_t j = i + 1; j < m->count && s->bench->how.at_once > 1; j++) {
            if (!goes_with(s, &one, (int)j))
                continue;
            Mix two = with(s, &one, (int)j);
            int a = m->at[i].class, b = m->at[j].class;
            (void)keep(s->best[a < b ? a : b][a < b ? b : a], KEPT, &two);
            (void)keep(s->seed, SEEDS, &two);
        }
        if (i % 64 == 0 && fit_over(s->bench->options, s->bench->deadline))
            return;
    }
}

/* ---- worked through ---- */

static int seats_changed(const BlyBuild *build, const Mix *mix, const MendList *mends) {
    unsigned long long seats = 0;
    int count = 0;
    for (int i = 0; i < mix->count; i++) {
        const Mend *mend = &mends->at[mix->mend[i]];
        for (int k = 0; k < mend->seats; k++)
            seats |= 1ULL << mend->seat[k];
    }
    for (size_t s = 0; s < build->seat_count; s++)
        count += ((seats >> s) & 1) != 0;
    return count;
}

/* Cost, pieces and price are those of what is new. */
static bool account(const Bench *bench, BlyFitRig *rig, BlyError *err) {
    const BlyBuild *build = bench->build;
    bool good = true;
    rig->cost = rig->price = 0;
    for (size_t s = 0; good && s < build->seat_count; s++) {
        CandidateSet set = {.seat = (int)s, .boxed = bly_catalog_has_box(bench->catalog)};
        good = candidates_add(&set, build, &rig->rig.at[s], NULL, err);
        if (good && set.at[0].changed) {
            rig->cost += set.at[0].cost;
            rig->pieces += set.at[0].pieces;
            rig->price += bly_choice_is_empty(&rig->rig.at[s]) ? 0 : set.at[0].price;
            rig->changes++;
        }
        candidates_release(&set);
    }
    return good;
}

bool mends_hang_together(const Bench *bench, const BlyRig *rig) {
    const BlyBuild *build = bench->build;
    BlyLure lure = {0};
    for (size_t s = 0; s < build->seat_count; s++) {
        if (!bly_choice_fits(&build->seats[s], &rig->at[s], NULL))
            return false;
    }
    bool clear = bly_lure_make(&build->blank, build->seats, rig, &lure, NULL) &&
                 !bly_lure_hooks_touch(&lure);
    bly_lure_release(&lure);
    if (clear)
        return true;
    clear = bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, NULL) &&
            !bly_lure_hooks_touch(&lure);
    bly_lure_release(&lure);
    return !clear;
}

static bool list_grow(MendedList *list, BlyError *err) {
    if (list->count < list->room)
        return true;
    size_t room = list->room == 0 ? 64 : 2 * list->room;
    Mended *at = realloc(list->at, room * sizeof *at);
    if (at == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for %zu rigs", room);
    list->at = at;
    list->room = room;
    return true;
}

static void tell(const Search *s, const MendedList *list, double off) {
    const BlyFitProgress progress = {
        .stage = BLY_FIT_WORKS, .rigs = list->count, .met = list->met, .off = off, .gap = NAN};
    fit_tell(s->bench->options, &progress);
}

static bool work(Search *s, const Mix *mix, MendedList *out, BlyError *err) {
    const BlyBuild *build = s->bench->build;
    BlyRig rig;
    if (build->limits.changes_most >= 0 &&
        seats_changed(build, mix, s->mends) > build->limits.changes_most)
        return true;
    if (!list_grow(out, err) || !bly_rig_copy(&rig, &build->fitted, err))
        return false;
    for (int i = 0; i < mix->count; i++)
        mend_apply(build, &s->mends->at[mix->mend[i]], &rig);
    bool good = true;
    if (mix->count == 0 || mends_hang_together(s->bench, &rig)) {
        Mended *one = &out->at[out->count];
        *one = (Mended){.mix = *mix, .chance = NAN};
        good = rig_rework(build, &rig, &one->rig, err);
        if (good) {
            out->count++;
            one->rig.chance = NAN;
            out->met = out->met || one->rig.met;
            tell(s, out, one->rig.off);
            good = account(s->bench, &one->rig, err);
        }
    }
    bly_rig_release(&rig);
    return good;
}

static int by_off(const void *pa, const void *pb) {
    const Mix *a = pa, *b = pb;
    int64_t x = rig_steps(a->off), y = rig_steps(b->off);
    if (x != y)
        return x < y ? -1 : 1;
    if (a->count != b->count)
        return a->count - b->count;
    for (int i = 0; i < a->count; i++) {
        if (a->mend[i] != b->mend[i])
            return a->mend[i] - b->mend[i];
    }
    return 0;
}

static bool work_best(Search *s, Mix *mixes, size_t count, MendedList *out, BlyError *err) {
    bool afloat = s->bench->build->target.state == BLY_FLOATS, good = true;
    size_t most = afloat ? WORKS_AFLOAT : WORKS_MOST;
    qsort(mixes, count, sizeof *mixes, by_off);
    for (size_t i = 0; good && i < count && i < most; i++) {
        if (i > 0 && fit_over(s->bench->options, s->bench->deadline)) {
            out->stopped = true;
            break;
        }
        if (mixes[i].off > far_out && i >= KEPT && mixes[i].count > 1)
            continue;
        good = work(s, &mixes[i], out, err);
    }
    return good;
}

/* All that were kept; free(*out). */
static bool gather(const Search *s, Mix **out, size_t *count, BlyError *err) {
    size_t room = (size_t)(s->mends->classes + 1) * (MEND_CLASSES_MAX + 1) * KEPT;
    *count = 0;
    *out = malloc(room * sizeof **out);
    if (*out == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the mends");
    for (int a = 0; a < s->mends->classes; a++) {
        for (int b = 0; b <= NO_CLASS; b++) {
            for (int k = 0; k < KEPT; k++) {
                if (s->best[a][b][k].count > 0)
                    (*out)[(*count)++] = s->best[a][b][k];
            }
        }
    }
    return true;
}

static bool work_pairs(Search *s, MendedList *out, BlyError *err) {
    Mix *mixes = NULL;
    size_t count;
    bool good = gather(s, &mixes, &count, err) && work_best(s, mixes, count, out, err);
    free(mixes);
    return good;
}

/* A third thing beside the best pairs, where one or two do not do it. */
static bool work_threes(Search *s, MendedList *out, BlyError *err) {
    Mix best[SEEDS] = {0};
    for (int i = 0; i < SEEDS && s->bench->how.at_once > 2; i++) {
        Mix mine[1] = {0};
        for (size_t j = 0; s->seed[i].count == 2 && j < s->mends->count; j++) {
            if (!goes_with(s, &s->seed[i], (int)j))
                continue;
            Mix three = with(s, &s->seed[i], (int)j);
            (void)keep(mine, 1, &three);
        }
        if (mine[0].count > 0)
            (void)keep(best, SEEDS, &mine[0]);
    }
    size_t count = 0;
    while (count < SEEDS && best[count].count > 0)
        count++;
    return work_best(s, best, count, out, err);
}

/* About the best so far, where that tells more than the lure as it is. */
static bool frames_about(Search *s, const MendedList *list, BlyError *err) {
    const BlyFitRig *best = &list->at[0].rig;
    for (size_t i = 1; i < list->count; i++) {
        const BlyFitRig *rig = &list->at[i].rig;
        if (rig->met != best->met ? rig->met : rig->off < best->off)
            best = rig;
    }
    return problem_frames(s->problem, &best->rig, best->outcome, err);
}

static bool look(Search *s, MendedList *out, BlyError *err) {
    memset(s->best, 0, (size_t)(MEND_CLASSES_MAX + 1) * sizeof *s->best);
    memset(s->seed, 0, sizeof s->seed);
    weigh_pairs(s);
    return work_pairs(s, out, err);
}

/* Room for the best, the lure as it is, and the frames about it; free(s->best). */
static bool search_begin(const Bench *bench, const MendList *mends, Problem *problem, Search *s,
                         BlyError *err) {
    BlyLure lure = {0};
    *s = (Search){.bench = bench, .mends = mends, .problem = problem};
    s->best = calloc(MEND_CLASSES_MAX + 1, sizeof *s->best);
    bool good = s->best != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the mends");
    good = good && bly_lure_make(&bench->build->blank, bench->build->seats, &bench->build->fitted,
                                 &lure, err);
    if (good)
        s->fitted = lump_of_items(lure.items, lure.count);
    bly_lure_release(&lure);
    return good && problem_frames(problem, &bench->build->fitted, NULL, err);
}

static bool same_mends(const Mix *a, const Mix *b) {
    return a->count == b->count && memcmp(a->mend, b->mend, sizeof a->mend) == 0;
}

/* Of those that are the same once their wires are cut, one; sorted. */
static bool cut_wires(Search *s, MendList *mends, Mix *mixes, size_t *count, BlyError *err) {
    size_t kept = 0;
    for (size_t i = 0; i < *count; i++) {
        if (!mend_cut_near(s->bench, s->problem, &s->fitted, mends, &mixes[i], err))
            return false;
        mixes[i].off = mix_off(s, &mixes[i]);
    }
    qsort(mixes, *count, sizeof *mixes, by_off);
    for (size_t i = 0; i < *count; i++) {
        bool twice = false;
        for (size_t k = kept; k-- > 0 && !twice && mixes[k].off == mixes[i].off;)
            twice = same_mends(&mixes[k], &mixes[i]);
        if (!twice)
            mixes[kept++] = mixes[i];
    }
    *count = kept;
    return true;
}

bool mends_likeliest(const Bench *bench, MendList *mends, Problem *problem, size_t most, Mix *out,
                     size_t *count, BlyError *err) {
    Search s;
    Mix *mixes = NULL;
    size_t all = 0;
    bool good = search_begin(bench, mends, problem, &s, err);
    *count = 0;
    if (good) {
        weigh_pairs(&s);
        good = gather(&s, &mixes, &all, err);
    }
    good = good && (all == 0 || cut_wires(&s, mends, mixes, &all, err));
    for (; good && *count < all && *count < most; (*count)++)
        out[*count] = mixes[*count];
    free(mixes);
    free(s.best);
    return good;
}

bool mends_work(const Bench *bench, const MendList *mends, Problem *problem, MendedList *out,
                BlyError *err) {
    Search s;
    const Mix none = {.mend = {-1, -1, -1}};
    bool good = search_begin(bench, mends, problem, &s, err) && work(&s, &none, out, err) &&
                look(&s, out, err);
    good = good && (out->stopped || (frames_about(&s, out, err) && look(&s, out, err)));
    if (good && !out->met && !out->stopped)
        good = frames_about(&s, out, err) && work_threes(&s, out, err);
    free(s.best);
    return good;
}
