/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Hooks that would touch, as rows of the programme, so that its bounds see them.
 *
 * Two hooks are clear where reach_a + side_b + clearance <= |p_b - p_a|, and the same with a and b
 * changed over. The distance is not additive, but at one pair of seats the loops move by no more
 * than the eyes differ: along the unit vector u between the seats' middles, u . (p_b - p_a) is at
 * most `bow` shorter than the distance. Two hard rows of column parts,
 *
 *     (reach_a + u . p_a) + (side_b - u . p_b) <= bow - clearance, and its like,
 *
 * hold for every pair that is clear. What lies within the bow is left to bly_swings_touch. */
#include "fit/problem_model.h"

#include <math.h>

/* What two groups' hooks take, in mm: reach or side, with the place along u. */
typedef struct Ends {
    double swing_most, still_most;
} Ends;

static bool hangs(const Problem *p, size_t set) {
    return p->build->seats[p->sets[set].seat].kind == BLY_SEAT_HANGER;
}

static bool ties(const Problem *p, size_t set) {
    return p->build->seats[p->sets[set].seat].kind == BLY_SEAT_TIE;
}

/* The corners of the box in which a set's loops hang; false where no candidate has a hook. */
static bool loops_of(const CandidateSet *set, BlyVec3 *low, BlyVec3 *high) {
    *low = bly_vec(INFINITY, INFINITY, INFINITY);
    *high = bly_vec(-INFINITY, -INFINITY, -INFINITY);
    for (size_t c = 0; c < set->count; c++) {
        const BlySwing *swing = &set->at[c].swing;
        if (!(swing->reach > 0))
            continue;
        *low = bly_vec(fmin(low->x, swing->at.x), fmin(low->y, swing->at.y),
                       fmin(low->z, swing->at.z));
        *high = bly_vec(fmax(high->x, swing->at.x), fmax(high->y, swing->at.y),
                        fmax(high->z, swing->at.z));
    }
    return isfinite(low->x);
}

static BlyVec3 middle(BlyVec3 low, BlyVec3 high) {
    return bly_vec_scale(bly_vec_add(low, high), 0.5);
}

/* How much longer |d| can be than u . d for d in a box: |d| is convex, so a corner has the most. */
static double bow_of(BlyVec3 low, BlyVec3 high, BlyVec3 u) {
    double bow = 0;
    for (int i = 0; i < 8; i++) {
        BlyVec3 d = bly_vec(i & 1 ? high.x : low.x, i & 2 ? high.y : low.y, i & 4 ? high.z : low.z);
        bow = fmax(bow, bly_vec_norm(d) - bly_vec_dot(u, d));
    }
    return bow;
}

static double swing_part(const BlySwing *swing, BlyVec3 along) {
    return 1e3 * (swing->reach + bly_vec_dot(along, swing->at));
}

static double still_part(const BlySwing *swing, BlyVec3 along) {
    return 1e3 * (swing->side + bly_vec_dot(along, swing->at));
}

static Ends ends_of(const CandidateSet *set, BlyVec3 along) {
    Ends e = {-INFINITY, -INFINITY};
    for (size_t c = 0; c < set->count; c++) {
        const BlySwing *swing = &set->at[c].swing;
        if (!(swing->reach > 0))
            continue;
        e.swing_most = fmax(e.swing_most, swing_part(swing, along));
        e.still_most = fmax(e.still_most, still_part(swing, along));
    }
    return e;
}

/* Writes one group's parts; a choice without a hook leaves room for any of the other's. */
static void fill(ProblemModel *m, const CandidateSet *set, size_t group, BlyVec3 along,
                 const Ends *other, double room, size_t feature, bool swings_first) {
    const ProgGroup *columns = &m->groups[group];
    for (size_t c = 0; c < set->count; c++) {
        const BlySwing *swing = &set->at[c].swing;
        double *f = m->numbers + 2 * (size_t)(columns->columns + c - m->columns) * m->layout.count;
        bool hook = swing->reach > 0;
        double swings = hook ? swing_part(swing, along) : room - other->still_most;
        double still = hook ? still_part(swing, along) : room - other->swing_most;
        f[feature + (swings_first ? 0 : 1)] = swings;
        f[feature + (swings_first ? 1 : 0)] = still;
    }
}

static void add_clear_rows(const Problem *p, size_t a, size_t b, ProblemModel *m, size_t feature) {
    BlyVec3 low_a, high_a, low_b, high_b;
    if (!loops_of(&p->sets[a], &low_a, &high_a) || !loops_of(&p->sets[b], &low_b, &high_b))
        return;
    BlyVec3 d = bly_vec_sub(middle(low_b, high_b), middle(low_a, high_a));
    double apart = bly_vec_norm(d);
    if (!(apart > 0))
        return;
    BlyVec3 u = bly_vec_scale(d, 1 / apart), back = bly_vec_scale(u, -1);
    double bow = bow_of(bly_vec_sub(low_b, high_a), bly_vec_sub(high_b, low_a), u);
    double room = 1e3 * (bow - BLY_HOOK_CLEARANCE);
    Ends ends_a = ends_of(&p->sets[a], u), ends_b = ends_of(&p->sets[b], back);
    fill(m, &p->sets[a], a, u, &ends_b, room, feature, true);
    fill(m, &p->sets[b], b, back, &ends_a, room, feature, false);
    for (size_t i = 0; i < 2; i++) {
        double most =
            i == 0 ? ends_a.swing_most + ends_b.still_most : ends_a.still_most + ends_b.swing_most;
        if (most > room)
            problem_row_hard(m, feature + i, room);
    }
}

void problem_hooks(const Problem *p, ProblemModel *m) {
    size_t feature = m->layout.hooks;
    for (size_t a = 0; a < p->set_count; a++) {
        for (size_t b = a + 1; b < p->set_count; b++) {
            if ((!hangs(p, a) && !ties(p, a)) || (!hangs(p, b) && !ties(p, b)))
                continue;
            if (m->pair_count < PROG_PAIRS_MAX)
                m->pairs[m->pair_count++] = (ProgPair){a, b};
            if (!hangs(p, a) || !hangs(p, b))
                continue;
            if (feature + 2 <= m->layout.craft && feature + 2 <= m->layout.box)
                add_clear_rows(p, a, b, m, feature);
            feature += 2;
        }
    }
}
