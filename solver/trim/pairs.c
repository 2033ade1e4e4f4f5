/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two trims that need each other: weight off at one end and on or off at the other turns a lure as
 * far as it shall. Each alone leads far off, so that it is none of the best few; all pairs would be
 * too many. So a few of each group are paired with a few of each other, and the best of these pairs
 * are bettered one move at a time. By where they lead: what they are off by the next test sees. */
#include "trim/choose.h"

#include <math.h>

enum { A_GROUP = 6 };

/* The moves of one group that leave room for a second thing. */
typedef struct Span {
    const Move *at[TRIM_OPTIONS_MAX + 1];
    size_t count;
} Span;

static size_t spans_of(const Move *moves, size_t count, Span spans[TRIM_GROUPS_MAX]) {
    size_t groups = 0;
    for (size_t i = 0; i < count; i++) {
        if (i == 0 || moves[i].group != moves[i - 1].group)
            spans[groups++].count = 0;
        Span *span = &spans[groups - 1];
        if (moves[i].things < TRIM_THINGS_MOST)
            span->at[span->count++] = &moves[i];
    }
    return groups;
}

/* The ends of the group among them. */
static size_t seeds_of(const Span *span, const Move *out[A_GROUP]) {
    size_t count = span->count < A_GROUP ? span->count : A_GROUP;
    for (size_t k = 0; k < count; k++)
        out[k] = span->at[count > 1 ? k * (span->count - 1) / (count - 1) : 0];
    return count;
}

/* Of where it leads; or `bar` and more. */
static double square_of(const Outlook *outlook, const Move *a, const Move *b, double bar) {
    double by[OUTLOOK_PLACES];
    for (int k = 0; k < OUTLOOK_PLACES; k++)
        by[k] = a->by[k] + b->by[k];
    return outlook_square(outlook, by, bar);
}

static Mix pair_of(const Move *a, const Move *b, double square) {
    const Mix none = {.count = 0};
    Mix one = mix_with(&none, a, 0.0);
    return mix_with(&one, b, square);
}

static void keep(Mix kept[PAIRS_KEPT], size_t *count, const Mix *mix) {
    size_t at = *count < PAIRS_KEPT ? (*count)++ : PAIRS_KEPT;
    if (at == PAIRS_KEPT && !(mix->square < kept[--at].square))
        return;
    for (; at > 0 && mix->square < kept[at - 1].square; at--)
        kept[at] = kept[at - 1];
    kept[at] = *mix;
}

/* The best pair of two groups that a few of each make. */
static bool best_of(const Outlook *outlook, const Span *g, const Span *h, Mix *best) {
    const Move *a[A_GROUP], *b[A_GROUP];
    size_t a_count = seeds_of(g, a), b_count = seeds_of(h, b), found = 0;
    double least = INFINITY;
    for (size_t i = 0; i < a_count * b_count; i++) {
        double square = square_of(outlook, a[i / b_count], b[i % b_count], least);
        if (square < least) {
            least = square;
            found = i;
        }
    }
    if (a_count * b_count == 0)
        return false;
    *best = pair_of(a[found / b_count], b[found % b_count], least);
    return true;
}

/* Each of the two in turn by the best of its group. */
static void better(const Outlook *outlook, const Span *const span[2], Mix *mix) {
    const Move *two[2] = {mix->move[0], mix->move[1]};
    double least = mix->square;
    for (int turn = 0; turn < 2; turn++) {
        const Move *best = two[turn];
        for (size_t i = 0; i < span[turn]->count; i++) {
            const Move *other = span[turn]->at[i];
            double square = square_of(outlook, other, two[!turn], least);
            if (square < least) {
                least = square;
                best = other;
            }
        }
        two[turn] = best;
    }
    *mix = pair_of(two[0], two[1], least);
}

size_t pairs_far_off(const Outlook *outlook, const Move *moves, size_t count,
                     Mix kept[PAIRS_KEPT]) {
    Span spans[TRIM_GROUPS_MAX];
    size_t groups = spans_of(moves, count, spans), pairs = 0;
    short begins[TRIM_GROUPS_MAX]; /* by group: its span */
    for (size_t g = 0; g < groups; g++) {
        if (spans[g].count > 0)
            begins[spans[g].at[0]->group] = (short)g;
        for (size_t h = 0; h < g; h++) {
            Mix best;
            if (best_of(outlook, &spans[h], &spans[g], &best))
                keep(kept, &pairs, &best);
        }
    }
    for (size_t i = 0; i < pairs; i++) {
        const Span *const two[2] = {&spans[begins[kept[i].move[0]->group]],
                                    &spans[begins[kept[i].move[1]->group]]};
        better(outlook, two, &kept[i]);
    }
    return pairs;
}
