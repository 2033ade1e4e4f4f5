/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The proof by the full physics: all rigs that the candidates make, except those which figures that
 * need no physics rule out. Cost adds up; so does weight in water, and afloat the part of `off`
 * that weight makes follows from it alone. What is left is worked through, the cheapest first. */
#include "fit/problem.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Lists longer than this, and searches for them, are given up: the proof is then not made. */
enum { LISTED_MOST = 20000, VISITED_MOST = 200000 };

/* Of a bound that is exact but for the last bits. */
static const double rounding = 1e-9;

typedef struct Bounded {
    double least; /* no better merit than this can come out */
    size_t place; /* its candidates are at list->candidate + place * set_count */
} Bounded;

typedef struct Listing {
    const Problem *p;
    double below;
    Bounded *at;
    size_t *candidate;
    size_t count, room, visited;
    size_t *now;       /* the rig under way */
    double *cost_left; /* by set: the least that it and all behind it cost */
    bool full;
} Listing;

bool problem_clash(const Problem *p, size_t set_a, const Candidate *a, size_t set_b,
                   const Candidate *b) {
    const CandidateSet *sa = &p->sets[set_a], *sb = &p->sets[set_b];
    return bly_swings_touch(&a->swing, &b->swing) ||
           candidates_break(&p->craft, sa->seat, sa->open, &a->choice, sb->seat, sb->open,
                            &b->choice) != 0;
}

/* The limits that only the whole rig can break. */
static bool keeps_limits(const Problem *p, const size_t *now) {
    const BlyLimits *limits = &p->build->limits;
    const BlyPart *hook = NULL;
    double price = 0;
    int changes = 0;
    for (size_t i = 0; i < p->set_count; i++) {
        const Candidate *c = &p->sets[i].at[now[i]];
        const BlyPart *has = c->choice.of[BLY_PART_HOOK].part;
        changes += c->changed;
        price += bly_choice_is_empty(&c->choice) ? 0 : c->price;
        if (limits->same_hooks && has != NULL && hook != NULL && has != hook)
            return false;
        hook = has != NULL ? has : hook;
        for (size_t k = 0; k < i; k++) {
            if (problem_clash(p, i, c, k, &p->sets[k].at[now[k]]))
                return false;
        }
    }
    if ((limits->changes_most >= 0 && changes > limits->changes_most) || !problem_box_holds(p, now))
        return false;
    return !isfinite(limits->price_most) || price <= limits->price_most; /* NAN: not known */
}

/* The part of `off` that weight makes, afloat; INFINITY where what shows is surely out of its band:
 * at most what parts displace may hang in the air, and is then displaced by the hull. */
static double weight_off(const Problem *p, const Lump *all) {
    const BlyTarget *t = &p->build->target;
    double off = 0;
    if (t->state != BLY_FLOATS || !isfinite(t->shows_low) || !isfinite(t->shows_high))
        return 0;
    for (size_t w = 0; w < p->water_count; w++) {
        const Frame *f = &p->frame[w];
        double net = frame_blank_weight(f, all), whole = f->rho * f->hull_v;
        double shows = -net / whole, air = fmax(all->v, 0) / f->hull_v;
        if (shows < t->shows_low - rounding || shows - air > t->shows_high + rounding)
            return INFINITY;
        off += fmax(0, fabs(net - f->n_middle) / f->n_half - FIT_DEAD_ZONE);
    }
    return off / (double)p->water_count;
}

static bool list_grow(Listing *l) {
    if (l->count < l->room)
        return true;
    size_t sets = l->p->set_count, room = l->room == 0 ? 1024 : 2 * l->room;
    Bounded *at = realloc(l->at, room * sizeof *at);
    if (at != NULL)
        l->at = at;
    size_t *candidate = realloc(l->candidate, room * sets * sizeof *candidate);
    if (candidate != NULL)
        l->candidate = candidate;
    l->room = at != NULL && candidate != NULL ? room : l->room;
    return at != NULL && candidate != NULL;
}

static bool list_add(Listing *l, double cost, const Lump *all, BlyError *err) {
    size_t sets = l->p->set_count;
    double least = cost + weight_off(l->p, all);
    if (!(least < l->below) || !keeps_limits(l->p, l->now))
        return true;
    if (l->count >= LISTED_MOST) {
        l->full = true;
        return true;
    }
    if (!list_grow(l))
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the rigs");
    memcpy(l->candidate + l->count * sets, l->now, sets * sizeof *l->now);
    l->at[l->count] = (Bounded){least, l->count};
    l->count++;
    return true;
}

static bool list_from(Listing *l, size_t set, double cost, Lump all, BlyError *err) {
    const Problem *p = l->p;
    if (set == p->set_count)
        return list_add(l, cost, &all, err);
    for (size_t c = 0; c < p->sets[set].count && !l->full; c++) {
        const Candidate *candidate = &p->sets[set].at[c];
        double sum = cost + candidate->cost;
        l->full = ++l->visited > VISITED_MOST || candidate->filing > 0;
        if (sum + l->cost_left[set + 1] >= l->below)
            continue;
        l->now[set] = c;
        if (!list_from(l, set + 1, sum, moments_sum(all, candidate->lump), err))
            return false;
    }
    return true;
}

static bool list_begin(const Problem *p, double below, Listing *l, BlyError *err) {
    *l = (Listing){.p = p, .below = below};
    l->now = calloc(p->set_count, sizeof *l->now);
    l->cost_left = calloc(p->set_count + 1, sizeof *l->cost_left);
    if (l->now == NULL || l->cost_left == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the rigs");
    for (size_t i = p->set_count; i-- > 0;) {
        double least = INFINITY;
        for (size_t c = 0; c < p->sets[i].count; c++)
            least = fmin(least, p->sets[i].at[c].cost);
        l->cost_left[i] = l->cost_left[i + 1] + least;
    }
    return list_from(l, 0, 0, p->blank, err);
}

static void list_end(Listing *l) {
    free(l->at);
    free(l->candidate);
    free(l->now);
    free(l->cost_left);
}

static int by_bound(const void *pa, const void *pb) {
    const Bounded *a = pa, *b = pb;
    if (a->least < b->least || a->least > b->least)
        return a->least < b->least ? -1 : 1;
    return a->place < b->place ? -1 : a->place > b->place;
}

static bool work_listed(const Problem *p, const Listing *l, const double *below, EachRig work,
                        void *context, bool *all, BlyError *err) {
    double *unfiled = calloc(p->set_count, sizeof *unfiled);
    bool good = unfiled != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the rigs");
    *all = good;
    for (size_t i = 0; good && i < l->count && l->at[i].least < *below; i++) {
        if (problem_over(p)) {
            *all = false;
            break;
        }
        Pick pick = {.count = p->set_count,
                     .candidate = l->candidate + l->at[i].place * p->set_count,
                     .filed = unfiled};
        good = work(context, &pick, err);
    }
    free(unfiled);
    return good;
}

bool problem_every_rig(const Problem *p, const double *below, size_t most, EachRig work,
                       void *context, bool *all, BlyError *err) {
    Listing list;
    *all = false;
    bool good = list_begin(p, *below, &list, err);
    if (good && !list.full && list.count <= most) {
        if (list.count > 0)
            qsort(list.at, list.count, sizeof *list.at, by_bound);
        good = work_listed(p, &list, below, work, context, all, err);
    }
    list_end(&list);
    return good;
}
