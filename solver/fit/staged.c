/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A fit by stages: what a maker would build; where that does not reach the target, with what is
 * else kept for the tank; and where that does not either, which rule of the craft stands in the
 * way. */
#include "fit/staged.h"
#include "text/format.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What is kept for the tank: allowed where nothing else will do. */
static const unsigned tank = 1u << BLY_RULE_FIRST_BUILD;

/* The rules that bind, and that say never, or not yet. */
static unsigned binding(const Problem *p) {
    unsigned live = 0;
    for (int r = 0; r < BLY_RULES && p->craft.rules != NULL; r++) {
        bool never = p->craft.rules->rule[r].strength == BLY_RULE_NEVER;
        if (craft_binds(&p->craft, (BlyRuleId)r) && (never || ((1u << r) & tank) != 0))
            live |= 1u << r;
    }
    return live;
}

/* Adds up what the searches looked at, so that the figures stay those of the whole. */
static void carry(const BlyFitResult *from, BlyFitResult *to) {
    to->nodes += from->nodes;
    to->rounds += from->rounds;
    to->columns = to->columns > from->columns ? to->columns : from->columns;
}

static bool has_tank_parts(const BlyRig *rig) {
    for (size_t s = 0; s < rig->count; s++) {
        if (rig->at[s].of[BLY_PART_WIRE].part != NULL || rig->at[s].of[BLY_PART_DOT].part != NULL)
            return true;
    }
    return false;
}

/* Ended before the rest was looked at: the nearest so far. */
static void end_early(BlyFitResult *out) {
    out->stopped = true;
    out->complete = out->proven = false;
}

static void take_over(BlyFitResult *from, BlyFitResult *out) {
    carry(out, from);
    bly_fit_release(out);
    *out = *from;
    *from = (BlyFitResult){0};
}

/* Neither the craft nor what is kept for the tank reaches the target: a nearest miss is one that a
 * maker would build. Among the second's rigs, which `with` is of, are all of the first's. */
static bool stay_within(Problem *first, BlyFitResult *with, BlyFitResult *out, BlyError *err) {
    BlyFitResult last = {0};
    const bool complete = with->complete, proven = with->proven;
    if (!fit_search(first, out->count > 0 ? &out->rigs[0] : NULL, FIT_TRY_LAST, &last, err)) {
        bly_fit_release(&last);
        return false;
    }
    bool none = last.count == 0 && with->count > 0;
    carry(with, &last);
    take_over(none ? with : &last, out);
    bly_fit_release(&last);
    if (!out->met) {
        out->complete = out->complete && complete;
        out->proven = proven && !out->stopped;
        out->gap = out->proven ? 0 : out->gap;
    }
    return true;
}

static bool rank(const FitRanker *ranker, const Problem *found, BlyFitResult *out, BlyError *err) {
    return ranker == NULL || out->count == 0 || ranker->rank(ranker->context, found, out, err);
}

/* What is glued cannot be chosen better: if what trims can bring in is all that is left, that is
 * the answer. */
static bool rank_glued(const Problem *second, const FitRanker *ranker, BlyFitResult *with,
                       BlyError *err) {
    return !build_is_glued(second->build) || with->met || with->stopped ||
           rank(ranker, second, with, err);
}

static bool try_with_tank(Problem *first, Problem *second, const FitRanker *ranker,
                          BlyFitResult *out, BlyError *err) {
    BlyFitResult with = {0};
    bool good =
        fit_search(second, out->count > 0 ? &out->rigs[0] : NULL, FIT_TRY_BEYOND, &with, err);
    const bool on_paper = good && with.met;
    good = good && rank_glued(second, ranker, &with, err);
    if (good && with.met) {
        take_over(&with, out);
        out->second_try = on_paper && has_tank_parts(&out->rigs[0].rig);
    } else if (good && (with.stopped || problem_over(first))) {
        carry(&with, out);
        end_early(out);
    } else if (good) {
        good = stay_within(first, &with, out, err);
    }
    bly_fit_release(&with);
    return good;
}

/* Said before anything is offered that makers would rather not do. */
static bool look_at_body(Problem *p, BlyFitResult *out, BlyError *err) {
    if (out->met || out->count == 0 || out->stopped || out->rigs[0].binding >= BLY_REQ_TOW_ATTITUDE)
        return true;
    if (!problem_frames(p, &out->rigs[0].rig, out->rigs[0].outcome, err))
        return false;
    problem_too_light(p, &out->rigs[0], out->light, sizeof out->light);
    problem_too_heavy(p, &out->rigs[0], out->heavy, sizeof out->heavy);
    return true;
}

/* The part that would turn the nearest miss into a rig. */
static bool look_for_missing(Problem *p, BlyFitResult *out, BlyError *err) {
    bool look = !out->met && out->count > 0 && out->impossible[0] == '\0' &&
                out->craft[0] == '\0' && !out->stopped && !problem_over(p) &&
                out->rigs[0].binding < BLY_REQ_TOW_ATTITUDE;
    if (!look)
        return true;
    return problem_frames(p, &out->rigs[0].rig, out->rigs[0].outcome, err) &&
           problem_missing(p, &out->rigs[0], out->missing, sizeof out->missing, err);
}

static bool beyond_the_first(Problem *first, unsigned live, unsigned gone, const FitRanker *ranker,
                             BlyFitResult *out, BlyError *err) {
    Problem second;
    bool alike = true, good = true;
    Problem *base = first;
    if (live & tank) {
        good = problem_begin_like(first, first->build, BLY_RULE_FIRST_BUILD, gone | tank, &second,
                                  &alike, err) &&
               try_with_tank(first, &second, ranker, out, err);
        base = &second;
    }
    if (good && !out->met && !out->stopped)
        good = look_at_body(first, out, err) &&
               fit_loosen(base, live & ~tank, gone | tank, out, err) &&
               look_for_missing(first, out, err);
    if (good && out->met && !out->surest)
        good = rank(ranker, out->second_try ? base : first, out, err);
    if (base == &second)
        problem_end(&second);
    return good;
}

/* ---- a seat for which the rules leave nothing ---- */

static int seat_at(const BlyBuild *build, const char *pointer) {
    const char *slash = strrchr(pointer, '/');
    return bly_build_seat(build, slash != NULL ? slash + 1 : pointer);
}

/* Which rule, let go beside those that are, leaves something for this seat, which those before it
 * have: the first of the table. BLY_RULES: none. */
static BlyRuleId lets_fill(const BlyBuild *build, const BlyCatalog *catalog,
                           const BlyFitOptions *options, unsigned live, unsigned gone, int seat) {
    for (int r = 0; r < BLY_RULES; r++) {
        Problem p;
        BlyError why = {0};
        if ((live & ~gone & (1u << r)) == 0)
            continue;
        bool good = problem_begin(build, catalog, options, gone | 1u << r, &p, &why);
        problem_end(&p);
        if (good || (why.code == BLY_E_CONFLICT && seat_at(build, why.where) > seat))
            return (BlyRuleId)r;
    }
    return BLY_RULES;
}

/* Begins without the rules that some place forbids to keep; *gone gets them, *words says so. The
 * limits' own error where rules are not what stands in the way. */
static bool begin_where_it_fits(const BlyBuild *build, const BlyCatalog *catalog,
                                const BlyFitOptions *options, Problem *out, unsigned *gone,
                                char *words, size_t size, BlyError *err) {
    size_t used = 0;
    unsigned live = 0;
    *gone = 0;
    words[0] = '\0';
    for (;;) {
        BlyError why = {0};
        if (problem_begin(build, catalog, options, *gone, out, &why))
            return true;
        live = live == 0 ? binding(out) : live;
        BlyRuleId rule = why.code == BLY_E_CONFLICT ? lets_fill(build, catalog, options, live,
                                                                *gone, seat_at(build, why.where))
                                                    : BLY_RULES;
        if (rule == BLY_RULES) {
            if (err != NULL)
                *err = why;
            return false;
        }
        const char *slash = strrchr(why.where, '/');
        int n = bly_format(words + used, size - used, "%snothing at %s keeps \"%s\" (%s)",
                           used > 0 ? "; " : "", slash != NULL ? slash + 1 : why.where,
                           out->craft.rules->rule[rule].words, bly_rule_id(rule));
        used += n > 0 && (size_t)n < size - used ? (size_t)n : 0;
        words[used] = '\0';
        problem_end(out);
        *gone |= 1u << rule;
    }
}

bool fit_staged(const BlyBuild *build, const BlyCatalog *catalog, const BlyFitOptions *options,
                const FitRanker *ranker, BlyFitResult *out, BlyError *err) {
    Problem first;
    unsigned gone;
    char forbids[sizeof out->place];
    memset(out, 0, sizeof *out);
    fit_tell(options, &(BlyFitProgress){.stage = BLY_FIT_GATHERS, .off = NAN, .gap = NAN});
    bool good =
        begin_where_it_fits(build, catalog, options, &first, &gone, forbids, sizeof forbids, err);
    if (good) {
        unsigned live = binding(&first);
        first.ranked = ranker != NULL;
        good =
            fit_search(&first, NULL, (live & tank) == 0 ? FIT_TRY_LAST : FIT_TRY_FIRST, out, err);
        good = good && rank(ranker, &first, out, err);
        if (good && !out->met && !out->stopped && !problem_over(&first) && live != 0)
            good = beyond_the_first(&first, live, gone, ranker, out, err);
        else if (good)
            good = look_for_missing(&first, out, err);
        memcpy(out->place, forbids, sizeof out->place);
    }
    problem_end(&first);
    return good;
}

bool bly_fit(const BlyBuild *build, const BlyCatalog *catalog, const BlyFitOptions *options,
             BlyFitResult *out, BlyError *err) {
    return fit_staged(build, catalog, options, NULL, out, err);
}
