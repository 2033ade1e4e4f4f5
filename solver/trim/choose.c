/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The best trims after a tank test: coarse and fine together, two things at most, as a mend has.
 * What each does to drift, angle and roll arm adds up, so the best few of one are looked at with a
 * second. */
#include "trim/reserve.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>
#include <string.h>

enum { KEPT = 24, THINGS_MOST = 2, MOVES_MOST = TRIM_GROUPS_MAX * (TRIM_OPTIONS_MAX + 1) };
/* In lures: what a trim, and a step of it, must better. */
static const double a_trim = 0.01, a_step = 0.0005;
static const double alike = 1e-12;

static const double *change_of(const TrimChooser *chooser, int group, int option) {
    return chooser->at[group * TRIM_OPTIONS_MAX + option].change;
}

bool trim_chooser_make(const PlannedTest *task, const TrimList *trims, TrimChooser *out,
                       BlyError *err) {
    *out = (TrimChooser){.task = task, .trims = trims};
    out->at = calloc(trims->count * TRIM_OPTIONS_MAX + 1, sizeof *out->at);
    if (!out->at)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for trims");
    for (size_t g = 0; g < trims->count; g++) {
        for (size_t i = 0; i < trims->group[g].count; i++)
            outlook_change(task, &trims->group[g].option[i].add,
                           out->at[g * TRIM_OPTIONS_MAX + i].change);
    }
    return true;
}

void trim_chooser_release(TrimChooser *chooser) {
    free(chooser->at);
    *chooser = (TrimChooser){0};
}

double trim_share_variance(const TrimGroup *group, int option) {
    if (option < 0)
        return 0.0;
    double own = group->option[option].give_share;
    return gsl_pow_2((own > 0.0 ? own : group->give_share) / BLY_SIGMAS_95);
}

/* One move as it is weighed. */
typedef struct Move {
    short group, option;
    double by[OUTLOOK_PLACES], variance[OUTLOOK_PLACES], cost;
    int things; /* to do */
} Move;

typedef struct Mix {
    const Move *move[TRIM_MOVES];
    int count, things;
    double by[OUTLOOK_PLACES], square; /* to be expected, with what the moves are off by */
    double off;                        /* their part of it */
} Mix;

static int steps_on(const TrimGroup *group, int option) {
    return option < 0 ? 0 : group->option[option].steps;
}

static bool may_move(const TrimGroup *group, int from, int to) {
    if (from == to)
        return false;
    return from < 0 || !trim_is_final(group->kind) ||
           abs(steps_on(group, to)) > abs(steps_on(group, from));
}

static Move weigh(const TrimChooser *chooser, const Outlook *outlook, int g, int from, int to) {
    const TrimGroup *group = &chooser->trims->group[g];
    Move move = {(short)g, (short)to, {0}, {0}, 0, 1};
    double change[BELIEF_STATES] = {0};
    for (int i = 0; i < BELIEF_STATES; i++) {
        change[i] += to < 0 ? 0.0 : change_of(chooser, g, to)[i];
        change[i] -= from < 0 ? 0.0 : change_of(chooser, g, from)[i];
    }
    outlook_move(outlook, change, move.by);
    double share = trim_share_variance(group, to < 0 ? from : to);
    for (int k = 0; k < OUTLOOK_PLACES; k++)
        move.variance[k] = share * move.by[k] * move.by[k];
    move.things = from < 0 && to >= 0 ? group->option[to].things : 1;
    move.cost = move.things * a_trim + a_step * abs(steps_on(group, to) - steps_on(group, from));
    return move;
}

static size_t all_moves(const TrimChooser *chooser, const TrimState *state, const Outlook *outlook,
                        Move *out) {
    size_t count = 0;
    for (size_t g = 0; g < chooser->trims->count; g++) {
        const TrimGroup *group = &chooser->trims->group[g];
        int from = state->on[g];
        for (int to = -1; to < (int)group->count; to++) {
            if (may_move(group, from, to))
                out[count++] = weigh(chooser, outlook, (int)g, from, to);
        }
    }
    return count;
}

static bool has_group(const Mix *mix, short group) {
    for (int i = 0; i < mix->count; i++) {
        if (mix->move[i]->group == group)
            return true;
    }
    return false;
}

/* Keeps the best of those looked at, the least square first. The same moves in another order make
 * the same square. */
static void keep(Mix *kept, size_t *count, const Mix *mix) {
    size_t at = *count;
    for (size_t i = 0; i < *count; i++) {
        if (fabs(kept[i].square - mix->square) <= alike * mix->square)
            return;
    }
    if (at < KEPT)
        (*count)++;
    else
        at--;
    for (; at > 0 && mix->square < kept[at - 1].square; at--)
        kept[at] = kept[at - 1];
    kept[at] = *mix;
}

/* Every mix with one more move. */
static size_t grow(const Outlook *outlook, const Move *moves, size_t move_count, const Mix *from,
                   size_t from_count, Mix *kept) {
    size_t count = 0;
    for (size_t i = 0; i < from_count; i++) {
        for (size_t k = 0; k < move_count; k++) {
            double by[OUTLOOK_PLACES];
            for (int j = 0; j < OUTLOOK_PLACES; j++)
                by[j] = from[i].by[j] + moves[k].by[j];
            double off = from[i].off;
            for (int j = 0; j < OUTLOOK_PLACES; j++)
                off += moves[k].variance[j];
            double square = outlook_square(outlook, by) + off;
            if ((count == KEPT && !(square < kept[KEPT - 1].square)) ||
                from[i].things + moves[k].things > THINGS_MOST ||
                has_group(&from[i], moves[k].group))
                continue;
            Mix mix = from[i];
            memcpy(mix.by, by, sizeof by);
            mix.square = square;
            mix.off = off;
            mix.move[mix.count++] = &moves[k];
            mix.things += moves[k].things;
            keep(kept, &count, &mix);
        }
    }
    return count;
}

static double score_of(const Outlook *outlook, const Mix *mix) {
    double variance[OUTLOOK_PLACES] = {0}, cost = 0.0;
    for (int i = 0; i < mix->count; i++) {
        cost += mix->move[i]->cost;
        for (int k = 0; k < OUTLOOK_PLACES; k++)
            variance[k] += mix->move[i]->variance[k];
    }
    return cost + outlook_score(outlook, mix->by, variance);
}

TrimMoves trim_choose(const TrimChooser *chooser, const TrimState *state, const Outlook *outlook) {
    Move moves[MOVES_MOST];
    Mix kept[2][KEPT], best = {.count = 0};
    double least = score_of(outlook, &best);
    size_t from_count = 1;
    TrimMoves out = {.count = 0};
    if (least < a_trim)
        return out;
    size_t count = all_moves(chooser, state, outlook, moves);
    kept[0][0] = best;
    for (int depth = 0; depth < TRIM_MOVES; depth++) {
        Mix *from = kept[depth & 1], *to = kept[!(depth & 1)];
        from_count = grow(outlook, moves, count, from, from_count, to);
        for (size_t i = 0; i < from_count; i++) {
            double score = score_of(outlook, &to[i]);
            if (score < least) {
                least = score;
                best = to[i];
            }
        }
    }
    for (; out.count < best.count; out.count++)
        out.move[out.count] = (TrimMove){best.move[out.count]->group, best.move[out.count]->option};
    return out;
}

void trim_move(const TrimChooser *chooser, const TrimMoves *moves, TrimState *state,
               Belief *belief) {
    for (int i = 0; i < moves->count; i++) {
        int g = moves->move[i].group, to = moves->move[i].option, from = state->on[g];
        double change[BELIEF_STATES];
        for (int k = 0; k < BELIEF_STATES; k++) {
            change[k] = (to < 0 ? 0.0 : change_of(chooser, g, to)[k]) -
                        (from < 0 ? 0.0 : change_of(chooser, g, from)[k]);
        }
        belief_move(belief, change,
                    trim_share_variance(&chooser->trims->group[g], to < 0 ? from : to));
        state->on[g] = (short)to;
    }
}
