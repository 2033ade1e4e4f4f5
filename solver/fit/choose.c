/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The programme asked for its best rigs: once, or once for each hook where all must be alike. */
#include "fit/problem_model.h"

#include <math.h>
#include <stdlib.h>

/* Nodes of the enumeration, some 0.1 s, after which a full list of picks is good enough: what may
 * still be better is so by less than one piece costs. */
static const size_t patience_nodes = 1500000;

/* Where the columns of each group stand in the candidate set; NULL: column c is candidate c. */
typedef struct Subset {
    ProgColumn *columns;
    size_t *candidate;
    size_t *first, *count; /* by group */
} Subset;

static size_t candidate_of(const Subset *subset, size_t group, size_t column) {
    return subset == NULL ? column : subset->candidate[subset->first[group] + column];
}

static bool pick_add(const Problem *p, const Subset *subset, const ProgRig *rig, PickList *out,
                     BlyError *err) {
    Pick *at = realloc(out->at, (out->count + 1) * sizeof *at);
    if (at == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the picks");
    out->at = at;
    Pick *pick = &out->at[out->count++];
    pick->candidate = calloc(p->set_count, sizeof *pick->candidate);
    pick->filed = calloc(p->set_count, sizeof *pick->filed);
    if (pick->candidate == NULL || pick->filed == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the picks");
    for (size_t g = 0; g < p->set_count; g++) {
        pick->candidate[g] = candidate_of(subset, g, rig->columns[g]);
        pick->filed[g] = rig->delta[g];
    }
    pick->objective = rig->objective;
    pick->count = p->set_count;
    return true;
}

/* Where there are more scarce parts than rows, the last pick may take more than there is. */
static void drop_unheld(const Problem *p, PickList *out) {
    Pick *last = out->count > 0 ? &out->at[out->count - 1] : NULL;
    if (last == NULL || problem_box_holds(p, last->candidate))
        return;
    free(last->candidate);
    free(last->filed);
    out->count--;
    out->proven = false;
}

static bool take_picks(const Problem *p, const Subset *subset, const ProgResult *r, PickList *out,
                       BlyError *err) {
    for (size_t i = 0; i < r->count; i++) {
        if (!pick_add(p, subset, &r->rigs[i], out, err))
            return false;
        drop_unheld(p, out);
    }
    out->proven = out->proven && r->proven;
    out->bound = fmin(out->bound, r->bound);
    out->nodes += r->stats.nodes + r->stats.tree_nodes;
    out->stopped = out->stopped || r->out_of_time;
    return true;
}

typedef struct PairContext {
    const Problem *p;
    const ProblemModel *m;
    const Subset *subset;
} PairContext;

static bool clash(void *context, size_t pair, size_t column_a, size_t column_b) {
    const PairContext *x = context;
    size_t ga = x->m->pairs[pair].group_a, gb = x->m->pairs[pair].group_b;
    const Candidate *a = &x->p->sets[ga].at[candidate_of(x->subset, ga, column_a)];
    const Candidate *b = &x->p->sets[gb].at[candidate_of(x->subset, gb, column_b)];
    return problem_clash(x->p, ga, a, gb, b);
}

static Programme programme_of(const Problem *p, const ProblemModel *m, const ProgGroup *groups,
                              PairContext *context) {
    return (Programme){.feature_count = m->layout.count,
                       .groups = groups,
                       .group_count = p->set_count,
                       .rows = m->rows,
                       .row_count = m->row_count,
                       .targets = m->targets,
                       .target_count = m->target_count,
                       .class_weight = m->class_weight,
                       .class_count = CLASSES,
                       .pairs = m->pairs,
                       .pair_count = m->pair_count,
                       .forbidden = m->pair_count > 0 ? clash : NULL,
                       .forbidden_context = context};
}

/* What to ask of one programme. */
typedef struct Asking {
    size_t wanted, patience;
    double enough; /* as in ProgOptions */
} Asking;

static bool solve(const Problem *p, const ProblemModel *m, const ProgGroup *groups,
                  const Subset *subset, const Asking *asking, ProgResult *result, BlyError *err) {
    PairContext context = {p, m, subset};
    Programme programme = programme_of(p, m, groups, &context);
    ProgOptions options = {.best = asking->wanted,
                           .visibly_different = true,
                           .time_limit_secs = fit_secs_left(p->deadline),
                           .stop = p->options->stop,
                           .stop_context = p->options->stop_context,
                           .method = PROG_AUTO,
                           .patience = asking->patience,
                           .enough = asking->enough};
    return programme_solve(&programme, &options, result, err);
}

static bool solve_whole(const Problem *p, const ProblemModel *m, size_t wanted, PickList *out,
                        BlyError *err) {
    const Asking asking = {wanted, p->patience > 0 ? p->patience : patience_nodes, p->enough};
    ProgResult result = {0};
    bool good = solve(p, m, m->groups, NULL, &asking, &result, err) &&
                take_picks(p, NULL, &result, out, err);
    programme_free(&result);
    return good;
}

/* ---- the same hook at every hanger: one small programme for each hook ---- */

static void subset_end(Subset *s) {
    free(s->columns);
    free(s->candidate);
    free(s->first);
    free(s->count);
}

static bool subset_begin(const Problem *p, Subset *s, BlyError *err) {
    size_t columns = 0;
    for (size_t i = 0; i < p->set_count; i++)
        columns += p->sets[i].count;
    s->columns = calloc(columns, sizeof *s->columns);
    s->candidate = calloc(columns, sizeof *s->candidate);
    s->first = calloc(p->set_count, sizeof *s->first);
    s->count = calloc(p->set_count, sizeof *s->count);
    return (s->columns != NULL && s->candidate != NULL && s->first != NULL && s->count != NULL) ||
           bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the candidates");
}

/* Keeps what carries this hook or none. False when a group is left without a column. */
static bool subset_of_hook(const Problem *p, const ProblemModel *m, const BlyPart *hook, Subset *s,
                           ProgGroup *groups) {
    size_t used = 0;
    for (size_t g = 0; g < p->set_count; g++) {
        s->first[g] = used;
        for (size_t c = 0; c < p->sets[g].count; c++) {
            const BlyPart *has = p->sets[g].at[c].choice.of[BLY_PART_HOOK].part;
            if (has != NULL && has != hook)
                continue;
            s->columns[used] = m->groups[g].columns[c];
            s->candidate[used++] = c;
        }
        s->count[g] = used - s->first[g];
        groups[g] = (ProgGroup){s->columns + s->first[g], s->count[g]};
        if (s->count[g] == 0)
            return false;
    }
    return true;
}

/* Every hook that may hang, and NULL for none; those that promise most come first. */
typedef struct Hook {
    const BlyPart *part;
    size_t order; /* of the catalog's list */
    double bound; /* no rig with this hook is better */
} Hook;

typedef struct HookList {
    Hook *at;
    size_t count;
} HookList;

/* The first group that can carry a hook names the hooks to go through. */
static const CandidateSet *hook_set(const Problem *p) {
    for (size_t g = 0; g < p->set_count; g++) {
        for (size_t c = 0; c < p->sets[g].count; c++) {
            if (p->sets[g].at[c].choice.of[BLY_PART_HOOK].part != NULL)
                return &p->sets[g];
        }
    }
    return NULL;
}

static bool listed(const HookList *list, const BlyPart *part) {
    for (size_t h = 0; h < list->count; h++) {
        if (list->at[h].part == part)
            return true;
    }
    return false;
}

static bool list_hooks(const CandidateSet *set, HookList *out, BlyError *err) {
    out->count = 0;
    out->at = calloc(set->count, sizeof *out->at);
    if (out->at == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the hooks");
    for (size_t c = 0; c < set->count; c++) {
        const BlyPart *part = set->at[c].choice.of[BLY_PART_HOOK].part;
        if (!listed(out, part)) {
            out->at[out->count] = (Hook){.part = part, .order = out->count};
            out->count++;
        }
    }
    return true;
}

static int by_promise(const void *pa, const void *pb) {
    const Hook *a = pa, *b = pb;
    if (a->bound < b->bound || a->bound > b->bound)
        return a->bound < b->bound ? -1 : 1;
    return a->order < b->order ? -1 : a->order > b->order;
}

static size_t key_of(const HookList *hooks, const Candidate *c) {
    const BlyPart *part = c->choice.of[BLY_PART_HOOK].part;
    for (size_t h = 0; part != NULL && h < hooks->count; h++) {
        if (hooks->at[h].part == part)
            return h;
    }
    return part == NULL ? PROG_ANY_KEY
                        : hooks->count; /* a hook that the first group does not take */
}

static bool bound_with_keys(const Problem *p, const ProblemModel *m, HookList *hooks, size_t *keys,
                            double *bounds, BlyError *err) {
    const size_t *by_group[PROG_GROUPS_MAX];
    for (size_t g = 0, at = 0; g < p->set_count; g++) {
        by_group[g] = keys + at;
        for (size_t c = 0; c < p->sets[g].count; c++)
            keys[at++] = key_of(hooks, &p->sets[g].at[c]);
    }
    PairContext context = {p, m, NULL};
    Programme programme = programme_of(p, m, m->groups, &context);
    if (!programme_bounds(&programme, by_group, hooks->count + 1, bounds, err))
        return false;
    for (size_t h = 0; h < hooks->count; h++)
        hooks->at[h].bound = bounds[h];
    return true;
}

/* What no rig of each hook can be better than; INFINITY where a group is left without a column. */
static bool bound_hooks(const Problem *p, const ProblemModel *m, HookList *hooks, BlyError *err) {
    size_t columns = 0;
    for (size_t i = 0; i < p->set_count; i++)
        columns += p->sets[i].count;
    size_t *keys = malloc((columns + 1) * sizeof *keys);
    double *bounds = malloc((hooks->count + 1) * sizeof *bounds);
    bool good = false;
    if (keys == NULL || bounds == NULL)
        (void)bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the hooks");
    else
        good = bound_with_keys(p, m, hooks, keys, bounds, err);
    free(keys);
    free(bounds);
    if (good)
        qsort(hooks->at, hooks->count, sizeof *hooks->at, by_promise);
    return good;
}

static int by_objective(const void *pa, const void *pb) {
    const Pick *a = pa, *b = pb;
    if (a->objective < b->objective || a->objective > b->objective)
        return a->objective < b->objective ? -1 : 1;
    for (size_t i = 0; i < a->count; i++) {
        if (a->candidate[i] != b->candidate[i])
            return a->candidate[i] < b->candidate[i] ? -1 : 1;
    }
    return 0;
}

/* The K-th of the picks when there are K, above which none is of interest; else 0. */
static double keep_best(PickList *picks, size_t wanted) {
    if (picks->count == 0)
        return 0;
    qsort(picks->at, picks->count, sizeof *picks->at, by_objective);
    for (size_t i = wanted; i < picks->count; i++) {
        free(picks->at[i].candidate);
        free(picks->at[i].filed);
    }
    picks->count = picks->count < wanted ? picks->count : wanted;
    return picks->count == wanted ? picks->at[wanted - 1].objective : 0;
}

/* One small programme for each hook, the most promising first: what the K best so far cost is a
 * limit for the others. */
static bool solve_hooks(const Problem *p, const ProblemModel *m, const HookList *hooks,
                        Subset *subset, size_t wanted, PickList *out, BlyError *err) {
    ProgGroup groups[PROG_GROUPS_MAX];
    double enough = p->enough;
    for (size_t h = 0; h < hooks->count; h++) {
        if (isinf(hooks->at[h].bound) || (enough > 0 && hooks->at[h].bound >= enough))
            break;
        if (problem_over(p)) {
            out->stopped = true;
            out->proven = false;
            break;
        }
        const Asking asking = {wanted, patience_nodes / 4, enough};
        ProgResult result = {0};
        if (!subset_of_hook(p, m, hooks->at[h].part, subset, groups))
            continue;
        bool good = solve(p, m, groups, subset, &asking, &result, err) &&
                    take_picks(p, subset, &result, out, err);
        programme_free(&result);
        if (!good)
            return false;
        double last = keep_best(out, wanted);
        enough = last > 0 ? last : enough;
    }
    out->proven = !out->stopped && (enough > 0 ? enough <= out->bound : isinf(out->bound));
    return true;
}

static bool solve_by_hook(const Problem *p, const ProblemModel *m, const CandidateSet *set,
                          size_t wanted, PickList *out, BlyError *err) {
    Subset subset = {0};
    HookList hooks = {0};
    bool good = subset_begin(p, &subset, err) && list_hooks(set, &hooks, err) &&
                bound_hooks(p, m, &hooks, err) &&
                solve_hooks(p, m, &hooks, &subset, wanted, out, err);
    free(hooks.at);
    subset_end(&subset);
    return good;
}

bool problem_choose(const Problem *p, size_t wanted, PickList *out, BlyError *err) {
    *out = (PickList){.proven = true, .bound = INFINITY};
    ProblemModel m = {0};
    if (p->set_count > PROG_GROUPS_MAX)
        return bly_fail(err, BLY_E_RANGE, "/seats", "at most %d seats may be open",
                        PROG_GROUPS_MAX);
    bool good = problem_model_make(p, &m, err);
    if (good) {
        const CandidateSet *hooks = p->build->limits.same_hooks ? hook_set(p) : NULL;
        good = hooks != NULL ? solve_by_hook(p, &m, hooks, wanted, out, err)
                             : solve_whole(p, &m, wanted, out, err);
    }
    for (size_t i = 0; i < p->set_count; i++)
        out->columns += p->sets[i].count;
    problem_model_end(&m);
    if (!good)
        picks_release(out);
    return good;
}
