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

/* What a group's going from one option to another does to the state; none is -1. */
static void change_from(const TrimChooser *chooser, int group, int from, int to,
                        double change[BELIEF_STATES]) {
    static const double none[BELIEF_STATES];
    const double *less = from < 0 ? none : change_of(chooser, group, from);
    const double *more = to < 0 ? none : change_of(chooser, group, to);
    for (int i = 0; i < BELIEF_STATES; i++)
        change[i] = more[i] - less[i];
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
    double off; /* the variances added */
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
    Move move = {.group = (short)g, .option = (short)to, .things = 1};
    double change[BELIEF_STATES];
    change_from(chooser, g, from, to, change);
    outlook_move(outlook, change, move.by);
    double share = trim_share_variance(group, to < 0 ? from : to);
    for (int k = 0; k < OUTLOOK_PLACES; k++) {
        move.variance[k] = share * move.by[k] * move.by[k];
        move.off += move.variance[k];
    }
    move.things = from < 0 && to >= 0 ? group->option[to].things : 1;
    move.cost = move.things * a_trim + a_step * abs(steps_on(group, to) - steps_on(group, from));
    return move;
}

/* All that may be done, those of one group after the other: group g's begin at first[g]. */
typedef struct Moves {
    size_t first[TRIM_GROUPS_MAX + 1];
    Move move[MOVES_MOST];
} Moves;

static void all_moves(const TrimChooser *chooser, const TrimState *state, const Outlook *outlook,
                      Moves *out) {
    size_t count = 0;
    for (size_t g = 0; g < chooser->trims->count; g++) {
        const TrimGroup *group = &chooser->trims->group[g];
        int from = state->on[g];
        out->first[g] = count;
        for (int to = -1; to < (int)group->count; to++) {
            if (may_move(group, from, to))
                out->move[count++] = weigh(chooser, outlook, (int)g, from, to);
        }
    }
    out->first[chooser->trims->count] = count;
}

static bool has_group(const Mix *mix, size_t group) {
    for (int i = 0; i < mix->count; i++) {
        if (mix->move[i]->group == (short)group)
            return true;
    }
    return false;
}

/* The best mixes, the least square first. */
typedef struct Kept {
    size_t count;
    double bar; /* what the next must be below: the last one's square once there is no room */
    Mix mix[KEPT];
} Kept;

static bool is_alike(double one, double other) {
    return fabs(one - other) <= alike * other;
}

/* The same moves in another order make the same square. */
static void keep(Kept *kept, const Mix *mix) {
    size_t at = kept->count;
    for (; at > 0 && mix->square < kept->mix[at - 1].square; at--)
        ;
    if ((at > 0 && is_alike(kept->mix[at - 1].square, mix->square)) ||
        (at < kept->count && is_alike(kept->mix[at].square, mix->square)))
        return;
    kept->count += kept->count < KEPT;
    memmove(&kept->mix[at + 1], &kept->mix[at], (kept->count - 1 - at) * sizeof *mix);
    kept->mix[at] = *mix;
    kept->bar = kept->count == KEPT ? kept->mix[KEPT - 1].square : INFINITY;
}

static Mix with_move(const Mix *from, const Move *move, double square) {
    Mix mix = *from;
    for (int j = 0; j < OUTLOOK_PLACES; j++)
        mix.by[j] += move->by[j];
    mix.square = square;
    mix.off += move->off;
    mix.move[mix.count++] = move;
    mix.things += move->things;
    return mix;
}

/* One mix with one more move, of each in turn. */
static void add_each(const Outlook *outlook, const Mix *from, const Move *moves, size_t count,
                     Kept *kept) {
    for (size_t k = 0; k < count; k++) {
        const Move *move = &moves[k];
        if (from->things + move->things > THINGS_MOST)
            continue;
        double by[OUTLOOK_PLACES];
        for (int j = 0; j < OUTLOOK_PLACES; j++)
            by[j] = from->by[j] + move->by[j];
        double square = outlook_square(outlook, by, kept->bar) + (from->off + move->off);
        if (square < kept->bar) {
            Mix mix = with_move(from, move, square);
            keep(kept, &mix);
        }
    }
}

/* Every mix with one more move. */
static void grow(const Outlook *outlook, const Moves *moves, size_t groups, const Kept *from,
                 Kept *kept) {
    kept->count = 0;
    kept->bar = INFINITY;
    for (size_t i = 0; i < from->count; i++) {
        for (size_t g = 0; g < groups; g++) {
            if (!has_group(&from->mix[i], g))
                add_each(outlook, &from->mix[i], moves->move + moves->first[g],
                         moves->first[g + 1] - moves->first[g], kept);
        }
    }
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
    Moves moves;
    Kept kept[2];
    Mix best = {.count = 0};
    double least = score_of(outlook, &best);
    TrimMoves out = {.count = 0};
    if (least < a_trim)
        return out;
    all_moves(chooser, state, outlook, &moves);
    kept[0].count = 1;
    kept[0].mix[0] = best;
    for (int depth = 0; depth < TRIM_MOVES; depth++) {
        const Kept *from = &kept[depth & 1];
        Kept *to = &kept[!(depth & 1)];
        grow(outlook, &moves, chooser->trims->count, from, to);
        for (size_t i = 0; i < to->count; i++) {
            double score = score_of(outlook, &to->mix[i]);
            if (score < least) {
                least = score;
                best = to->mix[i];
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
        change_from(chooser, g, from, to, change);
        belief_move(belief, change,
                    trim_share_variance(&chooser->trims->group[g], to < 0 ? from : to));
        state->on[g] = (short)to;
    }
}
