/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How sure each mend is, and in which order a maker hears of them. */
#include "fit/mend_mix.h"

#include <math.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

/* Chances are worked out of so many, roughly first. */
enum { SURE_OF = 36, A_LOOK = 2, QUICK_SAMPLES = 512 };

/* The latest thing that it asks for: an order of mending is kept by its last step. */
static int rung_of(const MendList *mends, const Mix *mix) {
    int rung = 0;
    for (int i = 0; i < mix->count; i++) {
        int one = mends->rung[mends->at[mix->mend[i]].class];
        rung = one > rung ? one : rung;
    }
    return rung;
}

static int first_of(const MendList *mends, const Mix *mix) {
    int first = 0;
    for (int i = 0; i < mix->count; i++)
        first += mends->first[mends->at[mix->mend[i]].class];
    return first;
}

static bool has_kind(const MendList *mends, const Mix *mix, BlyMend kind) {
    for (int i = 0; i < mix->count; i++) {
        if (mends->at[mix->mend[i]].kind == kind)
            return true;
    }
    return false;
}

static bool has_class(const MendList *mends, const Mix *mix, int class) {
    for (int i = 0; i < mix->count; i++) {
        if (mends->at[mix->mend[i]].class == class)
            return true;
    }
    return false;
}

/* What `a` does `b` does, too, by whatever amount. */
static bool within(const MendList *mends, const Mix *a, const Mix *b) {
    for (int i = 0; i < a->count; i++) {
        if (!has_class(mends, b, mends->at[a->mend[i]].class))
            return false;
    }
    return true;
}

/* Edges before faces: another mend does what this one does, and cuts the edge in place of grinding
 * the back. */
static bool grinds_needlessly(const MendList *mends, const MendedList *list, const Mix *mix) {
    if (!has_kind(mends, mix, BLY_MEND_BACK))
        return false;
    for (size_t i = 0; i < list->count; i++) {
        const Mended *other = &list->at[i];
        if (other->rig.met && has_kind(mends, &other->mix, BLY_MEND_EDGE) &&
            !has_kind(mends, &other->mix, BLY_MEND_BACK) && other->mix.count <= mix->count)
            return true;
    }
    return false;
}

static void drop(MendedList *list, size_t index) {
    fit_rig_release(&list->at[index].rig);
    memmove(&list->at[index], &list->at[index + 1], (list->count - index - 1) * sizeof *list->at);
    list->count--;
}

/* ---- before chances are known ---- */

static int by_off(const void *pa, const void *pb) {
    const Mended *a = pa, *b = pb;
    if (a->rig.met != b->rig.met)
        return a->rig.met ? -1 : 1;
    int64_t x = rig_steps(a->rig.off + a->rig.cost), y = rig_steps(b->rig.off + b->rig.cost);
    if (x != y)
        return x < y ? -1 : 1;
    return rig_order(&a->rig.rig, &b->rig.rig);
}

static size_t alike_before(const MendList *mends, const MendedList *list, size_t index) {
    size_t count = 0;
    for (size_t i = 0; i < index; i++) {
        count += within(mends, &list->at[i].mix, &list->at[index].mix) &&
                 within(mends, &list->at[index].mix, &list->at[i].mix);
    }
    return count;
}

static bool same_mix(const Mended *a, const Mended *b) {
    return rig_order(&a->rig.rig, &b->rig.rig) == 0;
}

/* By how much a requirement is missed, at worst of all waters. */
static double worst(const BlyFitRig *rig, size_t offset) {
    double off = 0;
    for (size_t w = 0; w < rig->water_count; w++) {
        double one = *(const double *)(const void *)((const char *)&rig->judgement[w] + offset);
        off = fmax(off, isnan(one) ? INFINITY : one);
    }
    return off;
}

/* A near miss that is one thing nearer and another farther off is no mend. */
static bool is_worse(const BlyFitRig *as_it_is, const BlyFitRig *rig) {
    static const struct {
        size_t offset;
        double slack; /* m/s, share, rad, m */
    } of[] = {{offsetof(BlyJudgement, drift_off), 1e-3},
              {offsetof(BlyJudgement, shows_off), 2e-3},
              {offsetof(BlyJudgement, nose_off), 0.01},
              {offsetof(BlyJudgement, roll_off), 1e-5}};
    for (size_t i = 0; i < sizeof of / sizeof of[0]; i++) {
        if (worst(rig, of[i].offset) > worst(as_it_is, of[i].offset) + of[i].slack)
            return true;
    }
    return false;
}

static void drop_worse(MendedList *list) {
    size_t as_it_is = 0;
    while (as_it_is < list->count && list->at[as_it_is].mix.count > 0)
        as_it_is++;
    for (size_t i = list->count; i-- > 0 && as_it_is < list->count;) {
        if (i == as_it_is || !is_worse(&list->at[as_it_is].rig, &list->at[i].rig))
            continue;
        drop(list, i);
        as_it_is -= i < as_it_is;
    }
}

/* Keeps the nearest of each look, single mends before pairs: their chances are what pairs must
 * better. */
static void thin(const MendList *mends, size_t a_look, MendedList *list) {
    qsort(list->at, list->count, sizeof *list->at, by_off);
    for (size_t i = list->count; i-- > 1;) {
        bool twice = false;
        for (size_t k = 0; k < i && !twice; k++)
            twice = same_mix(&list->at[k], &list->at[i]);
        if (twice || list->at[i].rig.met != list->at[0].rig.met ||
            alike_before(mends, list, i) >= a_look ||
            grinds_needlessly(mends, list, &list->at[i].mix))
            drop(list, i);
    }
    for (size_t i = list->count; i-- > 0 && list->count > SURE_OF;) {
        if (list->at[i].mix.count > 1)
            drop(list, i);
    }
}

/* ---- by chance ---- */

static bool find_chance(const Bench *bench, Mended *one, size_t samples, BlyError *err) {
    const BlyReserveOptions options = {.samples = samples, .finished = true};
    BlyReserve reserve;
    if (!bly_reserve(bench->build, bench->catalog, &one->rig.rig, &options, &reserve, err))
        return false;
    one->chance = bench->options->by_reserve ? bly_reserve_chance(&reserve) : reserve.chance[0];
    one->rig.chance = one->chance;
    return true;
}

static bool find_chances(const Bench *bench, size_t samples, MendedList *list, BlyError *err) {
    for (size_t i = 0; i < list->count; i++) {
        if (i > 0 && fit_over(bench->options, bench->deadline)) {
            list->stopped = true;
            while (list->count > i)
                drop(list, list->count - 1);
            return true;
        }
        const BlyFitProgress progress = {.stage = BLY_FIT_RANKS,
                                         .rigs = i,
                                         .met = list->met,
                                         .off = list->at[0].rig.off,
                                         .gap = NAN};
        fit_tell(bench->options, &progress);
        if (!find_chance(bench, &list->at[i], samples, err))
            return false;
    }
    return true;
}

/* More only where less is less sure: two things against each of them, one against none. */
static void drop_what_gains_nothing(const Bench *bench, const MendList *mends, MendedList *list) {
    for (size_t i = list->count; i-- > 0;) {
        bool gains = true;
        for (size_t k = 0; k < list->count && gains; k++) {
            const Mended *less = &list->at[k];
            bool part = less->mix.count < list->at[i].mix.count &&
                        within(mends, &less->mix, &list->at[i].mix);
            gains = !part || list->at[i].chance >= less->chance + bench->how.gain;
        }
        if (!gains)
            drop(list, i);
    }
}

/* Nobody does more to be less sure. */
static void drop_laborious(const MendList *mends, MendedList *list) {
    for (size_t i = list->count; i-- > 0;) {
        bool better = false;
        for (size_t k = 0; k < list->count && !better; k++)
            better = list->at[k].chance >= list->at[i].chance && list->at[k].mix.count > 0 &&
                     mix_things(mends, &list->at[k].mix) < mix_things(mends, &list->at[i].mix);
        if (better)
            drop(list, i);
    }
}

/* Pieces that are not in the maker's box. */
static int bought_of(const Bench *bench, const BlyRig *rig) {
    int bought = 0;
    if (!bly_catalog_has_box(bench->catalog))
        return 0;
    for (size_t s = 0; s < rig->count; s++) {
        for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
            const BlyPart *part = rig->at[s].of[kind].part;
            bought += part != NULL && !(part->in_box > 0) &&
                      part != bench->build->fitted.at[s].of[kind].part;
        }
    }
    return bought;
}

/* Before another: surer by more than chances that count as alike; of these the one that a maker
 * would try first. Steps of the chance are fixed, so that the order is one. */
static bool comes_before(const Bench *bench, const MendList *mends, const Mended *a,
                         const Mended *b) {
    double step = fmax(bench->how.alike, 1e-3);
    long x = lround(floor(a->chance / step + 1e-9)), y = lround(floor(b->chance / step + 1e-9));
    if (x != y)
        return x > y;
    const int order[][2] = {{mix_things(mends, &a->mix), mix_things(mends, &b->mix)},
                            {bought_of(bench, &a->rig.rig), bought_of(bench, &b->rig.rig)},
                            {rung_of(mends, &a->mix), rung_of(mends, &b->mix)},
                            {first_of(mends, &a->mix), first_of(mends, &b->mix)}};
    for (int i = 0; i < 4; i++) {
        if (order[i][0] != order[i][1])
            return order[i][0] < order[i][1];
    }
    int64_t m = rig_steps(a->chance), n = rig_steps(b->chance);
    return m != n ? m > n : rig_order(&a->rig.rig, &b->rig.rig) < 0;
}

static void sort(const Bench *bench, const MendList *mends, MendedList *list) {
    for (size_t i = 1; i < list->count; i++) {
        Mended one = list->at[i];
        size_t at = i;
        for (; at > 0 && comes_before(bench, mends, &one, &list->at[at - 1]); at--)
            list->at[at] = list->at[at - 1];
        list->at[at] = one;
    }
}

/* The surest of each look. */
static void one_a_look(const MendList *mends, MendedList *list) {
    for (size_t i = list->count; i-- > 1;) {
        if (alike_before(mends, list, i) > 0)
            drop(list, i);
    }
}

static void drop_unlikely(const Bench *bench, MendedList *list) {
    double best = 0;
    for (size_t i = 0; i < list->count; i++)
        best = fmax(best, list->at[i].chance);
    for (size_t i = list->count; i-- > 0;) {
        if (list->at[i].chance < bench->how.worth * best && list->at[i].mix.count > 0)
            drop(list, i);
    }
}

bool mends_rank(const Bench *bench, const MendList *mends, size_t wanted, MendedList *list,
                BlyError *err) {
    if (list->met) {
        thin(mends, A_LOOK, list);
        if (!find_chances(bench, QUICK_SAMPLES, list, err))
            return false;
        drop_what_gains_nothing(bench, mends, list);
        sort(bench, mends, list);
        one_a_look(mends, list);
        drop_unlikely(bench, list);
        drop_laborious(mends, list);
    } else {
        drop_worse(list);
        thin(mends, 1, list);
    }
    while (list->count > wanted)
        drop(list, list->count - 1);
    if (!list->met || list->stopped)
        return true;
    if (!find_chances(bench, 0, list, err))
        return false;
    sort(bench, mends, list);
    return true;
}
