/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rules of hooks and of their rings. */
#include "practice/craft.h"

#include <math.h>
#include <string.h>

static bool is_single(const BlyPart *hook) {
    return hook->style != NULL && strcmp(hook->style, "single") == 0;
}

/* The table gives singles for trebles; here it is read the other way round. */
static double treble_for(const BlyRuleTable *singles, double rank) {
    size_t n = singles->rows, i = 1;
    if (n < 2)
        return rank;
    while (i + 1 < n && rank > singles->at[i][1])
        i++;
    const double *a = singles->at[i - 1], *b = singles->at[i];
    return a[0] + (rank - a[1]) * (b[0] - a[0]) / (b[1] - a[1]);
}

int craft_treble_rank(const Craft *c, const BlyPart *hook) {
    if (hook->size_rank == 0 || c->rules == NULL || !is_single(hook))
        return hook->size_rank;
    int rank = (int)lround(treble_for(&c->rules->singles, hook->size_rank));
    return rank > 1 ? rank : 1;
}

int craft_size_step(const Craft *c, int rank) {
    int below = 0;
    if (c->rules == NULL || c->rules->sold.rows == 0)
        return rank;
    for (size_t i = 0; i < c->rules->sold.rows; i++)
        below += c->rules->sold.at[i][0] < rank;
    return below;
}

/* The size sold that lies so many numbers above a rank, or below. */
static int sold_beyond(const Craft *c, int rank, int numbers) {
    const BlyRuleTable *sold = &c->rules->sold;
    int wanted = craft_size_step(c, rank) + numbers, best = rank;
    for (size_t i = 0; i < sold->rows; i++) {
        int one = (int)sold->at[i][0], step = craft_size_step(c, one);
        bool farther = numbers < 0 ? one < best : one > best;
        if (farther && (numbers < 0 ? step >= wanted : step <= wanted))
            best = one;
    }
    return best;
}

void craft_widen_hooks(Craft *c) {
    if (c->rules == NULL || !(c->rules->size_beyond > 0))
        return;
    c->hook_low = sold_beyond(c, c->hook_low, -(int)c->rules->size_beyond);
    c->hook_high = sold_beyond(c, c->hook_high, (int)c->rules->size_beyond);
    c->live |= 1u << BLY_RULE_HOOK_SIZE;
}

unsigned craft_hook(const Craft *c, const BlyPart *hook) {
    if (c->rules == NULL || hook == NULL)
        return 0;
    unsigned broken = 0;
    int rank = craft_treble_rank(c, hook), grade = bly_hook_grade(hook->grade);
    if (rank > 0 && (rank < c->hook_low || rank > c->hook_high))
        broken |= 1u << BLY_RULE_HOOK_SIZE;
    if (grade > 0 && (c->grades & (1u << grade)) == 0)
        broken |= 1u << BLY_RULE_HOOK_GRADE;
    return broken & c->live;
}

bool craft_rings_for(const Craft *c, const BlyPart *hook, int *low, int *high) {
    int rank = c->rules != NULL ? craft_treble_rank(c, hook) : 0;
    if (rank == 0 || c->rules->rings.rows == 0)
        return false;
    *low = (int)floor(craft_between(&c->rules->rings, NULL, rank, 1) + 1e-6);
    *high = (int)ceil(craft_between(&c->rules->rings, NULL, rank, 2) - 1e-6);
    return true;
}

/* Stouter than usual: beyond the grades of fresh water. */
static bool is_stout(const Craft *c, const BlyPart *hook) {
    int grade = bly_hook_grade(hook->grade), most = 0;
    for (size_t i = 0; i < c->rules->grades.rows; i++) {
        int usual = bly_hook_grade(c->rules->grades.word[i][0]);
        most = usual > most ? usual : most;
    }
    return grade > most && most > 0;
}

int craft_ring_row(const BlyPart *ring) {
    static const int before_1 = 3; /* 0, 00 and 000 */
    int number;
    if (!bly_ring_number(ring->size, &number) || number + before_1 >= CRAFT_RINGS)
        return -1;
    return number + before_1;
}

bool craft_ring_is_heavy(const Craft *c, const BlyPart *ring) {
    static const double same_wire = 0.03;
    int row = craft_ring_row(ring);
    return row >= 0 && c->ring_wire[row] > 0 && c->ring_wire[row] < ring->wire * (1 - same_wire);
}

/* Whatever hangs beside it. */
static bool suits_a_lighter(const Craft *c, const BlyPart *hook) {
    return is_stout(c, hook) || craft_treble_rank(c, hook) > c->hook_high;
}

unsigned craft_ring(const Craft *c, const BlyPart *ring, const BlyPart *hook) {
    int number, low, high;
    if (!craft_binds(c, BLY_RULE_RING_SIZE) || ring == NULL || hook == NULL ||
        !bly_ring_number(ring->size, &number) || !craft_rings_for(c, hook, &low, &high))
        return 0;
    bool may_be_light = c->hangers > 1 || suits_a_lighter(c, hook);
    low -= may_be_light ? (int)c->rules->ring_lighter : 0;
    bool good = number >= low && number <= high && !craft_ring_is_heavy(c, ring);
    return good ? 0 : 1u << BLY_RULE_RING_SIZE;
}

bool craft_ring_is_light(const Craft *c, const BlyPart *ring, const BlyPart *hook) {
    int number, low, high;
    return ring != NULL && hook != NULL && bly_ring_number(ring->size, &number) &&
           craft_rings_for(c, hook, &low, &high) && number < low && !suits_a_lighter(c, hook);
}
