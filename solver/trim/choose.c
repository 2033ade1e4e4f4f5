/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The best trims after a tank test: coarse and fine together, two things at most, as a mend has.
 * What each does to drift, angle and roll arm adds up, so the best few of one are looked at with a
 * second. */
#include "trim/choose.h"

#include <gsl/gsl_math.h>
#include <stdlib.h>
#include <string.h>

enum { KEPT = 24 };
/* In lures: what a trim, and a step of it, must better. */
static const double a_trim = 0.01, a_step = 0.0005;
static const double likely_missed = 0.5; /* score above which pairs that lead far off are tried */
static const double alike = 1e-12, least_mass = 1e-7; /* kg */

static const double *change_of(const TrimChooser *chooser, int group, int option) {
    return chooser->at[group * TRIM_OPTIONS_MAX + option].change;
}

/* One group goes from what is on to another option; none is -1. */
typedef struct Step {
    int group, from, to;
    double less, more; /* kg of wire beyond the options */
} Step;

static Step step_from(const TrimState *state, int group, int to, double more) {
    return (Step){group, state->on[group], to, state->more[group], more};
}

/* kg on the lure. */
static double mass_on(const TrimGroup *group, int option, double more) {
    return option < 0 ? 0.0 : group->option[option].add.m + more;
}

static double mass_changed(const TrimGroup *group, const Step *step) {
    return mass_on(group, step->to, step->more) - mass_on(group, step->from, step->less);
}

/* How much of the option's own change it is with so much wire beyond it. */
static double part_of(const TrimGroup *group, int option, double more) {
    return more == 0.0 ? 1.0 : 1.0 + more / group->option[option].add.m;
}

/* What it does to the state. */
static void change_from(const TrimChooser *chooser, const Step *step,
                        double change[BELIEF_STATES]) {
    static const double none[BELIEF_STATES];
    const TrimGroup *group = &chooser->trims->group[step->group];
    const double *less = step->from < 0 ? none : change_of(chooser, step->group, step->from);
    const double *more = step->to < 0 ? none : change_of(chooser, step->group, step->to);
    double less_of = step->from < 0 ? 0.0 : part_of(group, step->from, step->less);
    double more_of = step->to < 0 ? 0.0 : part_of(group, step->to, step->more);
    for (int i = 0; i < BELIEF_STATES; i++)
        change[i] = more_of * more[i] - less_of * less[i];
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

void trim_state_begin(TrimState *state) {
    *state = (TrimState){.on = {0}};
    for (size_t g = 0; g < TRIM_GROUPS_MAX; g++)
        state->on[g] = -1;
}

double trim_state_share(const TrimGroup *group, const TrimState *state, size_t g, double noise) {
    double mass = fabs(group->option[state->on[g]].add.m);
    return fmax(part_of(group, state->on[g], state->more[g]) +
                    state->sigma[g] / fmax(mass, least_mass) * noise,
                0.1);
}

static int steps_on(const TrimGroup *group, int option) {
    return option < 0 ? 0 : group->option[option].steps;
}

/* kg, one standard deviation, of an option from the lure as built. */
static double option_sigma(const TrimGroup *group, int option) {
    double own = group->option[option].give_share;
    return (own > 0.0 ? own : group->give_share) / BLY_SIGMAS_95 *
           fabs(group->option[option].add.m);
}

static const BlyPart *hook_of(const TrimGroup *group, int option) {
    return option < 0 ? NULL : group->option[option].other;
}

/* By the scale: another hook with wire on it, wire on a hook that hangs, or none. */
static bool by_scale(const TrimGroup *group, int from, int to) {
    return group->kind == BLY_TRIM_HOOK && (hook_of(group, from) == hook_of(group, to) ||
                                            group->option[to < 0 ? from : to].by_scale);
}

/* kg, one standard deviation, that a step is off by. */
static double step_sigma(const TrimGroup *group, const Step *step) {
    int option = step->to < 0 ? step->from : step->to;
    double all = option_sigma(group, option), mass = fabs(group->option[option].add.m);
    double change = fabs(mass_changed(group, step));
    if (by_scale(group, step->from, step->to))
        return BLY_SCALE_GIVE / BLY_SIGMAS_95;
    if (group->kind == BLY_TRIM_HOOK)
        return all;
    if (group->kind == BLY_TRIM_TURNS)
        return fmin(BLY_SCALE_GIVE, bly_wire_cut_give(group->part, change)) / BLY_SIGMAS_95;
    return all / fmax(mass, least_mass) * change;
}

/* What was not known of a hook stays so with wire on it, and so it does of one that takes its place
 * by the scale, and of wire that is lengthened. */
static double state_sigma(const TrimGroup *group, const TrimState *state, const Step *step) {
    if (step->to < 0)
        return 0.0;
    bool stays = by_scale(group, step->from, step->to) || group->kind == BLY_TRIM_TURNS;
    return stays ? hypot(state->sigma[step->group], step_sigma(group, step))
                 : option_sigma(group, step->to);
}

/* As a share of what it changes. */
static double step_variance(const TrimGroup *group, const Step *step) {
    double change = fabs(mass_changed(group, step));
    return gsl_pow_2(step_sigma(group, step) / fmax(change, least_mass));
}

static int things_of(const TrimGroup *group, int from, int to) {
    bool stays = from >= 0 && hook_of(group, from) == hook_of(group, to);
    return to < 0 || stays ? 1 : group->option[to].things;
}

static bool may_move(const TrimGroup *group, int from, int to) {
    if (from == to)
        return false;
    return from < 0 || !trim_is_final(group->kind) ||
           abs(steps_on(group, to)) > abs(steps_on(group, from));
}

static Move weigh(const TrimChooser *chooser, const Outlook *outlook, const Step *step) {
    const TrimGroup *group = &chooser->trims->group[step->group];
    int from = step->from, to = step->to;
    Move move = {.group = (short)step->group, .option = (short)to};
    double change[BELIEF_STATES];
    change_from(chooser, step, change);
    outlook_move(outlook, change, move.by);
    double share = step_variance(group, step);
    for (int k = 0; k < OUTLOOK_PLACES; k++) {
        move.variance[k] = share * move.by[k] * move.by[k];
        move.off += move.variance[k];
    }
    move.things = things_of(group, from, to);
    move.cost = move.things * a_trim + a_step * abs(steps_on(group, to) - steps_on(group, from));
    return move;
}

/* All that may be done, those of one group after the other: group g's begin at first[g]. */
typedef struct Moves {
    size_t first[TRIM_GROUPS_MAX + 1];
    Move move[TRIM_MOVES_MOST];
} Moves;

static void all_moves(const TrimChooser *chooser, const TrimState *state, const Outlook *outlook,
                      Moves *out) {
    size_t count = 0;
    for (size_t g = 0; g < chooser->trims->count; g++) {
        const TrimGroup *group = &chooser->trims->group[g];
        int from = state->on[g];
        out->first[g] = count;
        for (int to = -1; to < (int)group->count; to++) {
            const Step step = step_from(state, (int)g, to, 0.0);
            if (may_move(group, from, to))
                out->move[count++] = weigh(chooser, outlook, &step);
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

Mix mix_with(const Mix *mix, const Move *move, double square) {
    Mix more = *mix;
    for (int k = 0; k < OUTLOOK_PLACES; k++)
        more.by[k] += move->by[k];
    more.square = square;
    more.off += move->off;
    more.move[more.count++] = move;
    more.things += move->things;
    return more;
}

/* One mix with one more move, of each in turn. */
static void add_each(const Outlook *outlook, const Mix *from, const Move *moves, size_t count,
                     Kept *kept) {
    for (size_t k = 0; k < count; k++) {
        const Move *move = &moves[k];
        if (from->things + move->things > TRIM_THINGS_MOST)
            continue;
        double by[OUTLOOK_PLACES];
        for (int j = 0; j < OUTLOOK_PLACES; j++)
            by[j] = from->by[j] + move->by[j];
        double square = outlook_square(outlook, by, kept->bar) + (from->off + move->off);
        if (square < kept->bar) {
            Mix mix = mix_with(from, move, square);
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

/* kg of wire, within its play, that brings the places nearest, and brings them there. What one kg
 * does is straight; of a one-sided band nothing counts that is well inside. */
static double cut_to(const Outlook *outlook, double play, const double per_kg[OUTLOOK_PLACES],
                     Mix *mix) {
    double along = 0.0, square = 0.0;
    for (int k = 0; k < OUTLOOK_PLACES; k++) {
        double at = outlook->middle[k] + mix->by[k];
        if (at < outlook->least[k] || at > outlook->most[k]) /* least and most are 0 or open */
            continue;
        along += at * per_kg[k];
        square += per_kg[k] * per_kg[k];
    }
    double more = square > 0.0 ? fmin(fmax(-along / square, -play), play) : 0.0;
    for (int k = 0; k < OUTLOOK_PLACES; k++)
        mix->by[k] += more * per_kg[k];
    return more;
}

/* The wires among its moves are cut to what is best, between the turns that were looked at. */
static void settle(const TrimChooser *chooser, const Outlook *outlook, Mix *mix) {
    for (int i = 0; i < mix->count; i++) {
        const Move *move = mix->move[i];
        const TrimGroup *group = &chooser->trims->group[move->group];
        double per_kg[OUTLOOK_PLACES];
        mix->more[i] = 0.0;
        if (move->option < 0 || !(group->play > 0.0))
            continue;
        outlook_move(outlook, change_of(chooser, move->group, move->option), per_kg);
        for (int k = 0; k < OUTLOOK_PLACES; k++)
            per_kg[k] /= group->option[move->option].add.m;
        mix->more[i] = cut_to(outlook, group->play, per_kg, mix);
    }
}

/* The best of those kept takes the place of the best so far. */
static void choose_of(const TrimChooser *chooser, const Outlook *outlook, const Kept *kept,
                      double *least, Mix *best) {
    for (size_t i = 0; i < kept->count; i++) {
        Mix mix = kept->mix[i];
        settle(chooser, outlook, &mix);
        double score = score_of(outlook, &mix);
        if (score < *least) {
            *least = score;
            *best = mix;
        }
    }
}

TrimMoves trim_choose(const TrimChooser *chooser, const TrimState *state, const Outlook *outlook) {
    Moves moves;
    Kept kept[2];
    Mix best = {.count = 0};
    double least = score_of(outlook, &best);
    TrimMoves out = {.count = 0};
    if (least < a_trim)
        return out;
    size_t groups = chooser->trims->count;
    all_moves(chooser, state, outlook, &moves);
    kept[0].count = 1;
    kept[0].mix[0] = best;
    for (int depth = 0; depth < TRIM_MOVES; depth++) {
        grow(outlook, &moves, groups, &kept[depth & 1], &kept[!(depth & 1)]);
        choose_of(chooser, outlook, &kept[!(depth & 1)], &least, &best);
    }
    if (least > likely_missed) {
        kept[0].count = pairs_far_off(outlook, moves.move, moves.first[groups], kept[0].mix);
        choose_of(chooser, outlook, &kept[0], &least, &best);
    }
    for (; out.count < best.count; out.count++)
        out.move[out.count] = (TrimMove){best.move[out.count]->group, best.move[out.count]->option,
                                         best.more[out.count]};
    return out;
}

void trim_move(const TrimChooser *chooser, const TrimMoves *moves, TrimState *state,
               Belief *belief) {
    for (int i = 0; i < moves->count; i++) {
        const TrimMove *move = &moves->move[i];
        const Step step = step_from(state, move->group, move->option, move->more);
        const TrimGroup *group = &chooser->trims->group[move->group];
        double change[BELIEF_STATES];
        change_from(chooser, &step, change);
        belief_move(belief, change, step_variance(group, &step));
        state->sigma[move->group] = state_sigma(group, state, &step);
        state->on[move->group] = move->option;
        state->more[move->group] = move->more;
    }
}
