/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The programme asked for its best rigs: once, or once for each hook where all must be alike. */
#include "fit/problem_model.h"

#include <math.h>
#include <stdlib.h>

/* What a unit outside a band costs; everything else is below a few units. */
static const double miss_weight = 10;

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
    return true;
}

static bool take_picks(const Problem *p, const Subset *subset, const ProgResult *r, PickList *out,
                       BlyError *err) {
    for (size_t i = 0; i < r->count; i++) {
        if (!pick_add(p, subset, &r->rigs[i], out, err))
            return false;
    }
    out->proven = out->proven && r->proven;
    out->nodes += r->stats.nodes + r->stats.tree_nodes;
    out->stopped = out->stopped || r->out_of_time;
    return true;
}

typedef struct PairContext {
    const Problem *p;
    const ProblemModel *m;
    const Subset *subset;
} PairContext;

static bool hooks_meet(void *context, size_t pair, size_t column_a, size_t column_b) {
    const PairContext *x = context;
    size_t ga = x->m->pairs[pair].group_a, gb = x->m->pairs[pair].group_b;
    const Candidate *a = &x->p->sets[ga].at[candidate_of(x->subset, ga, column_a)];
    const Candidate *b = &x->p->sets[gb].at[candidate_of(x->subset, gb, column_b)];
    double apart = bly_vec_norm(bly_vec_sub(a->hook_at, b->hook_at));
    return a->hook_reach > 0 && b->hook_reach > 0 && a->hook_reach + b->hook_reach > apart;
}

static bool solve(const Problem *p, const ProblemModel *m, const ProgGroup *groups,
                  const Subset *subset, size_t wanted, PickList *out, BlyError *err) {
    static const double class_weight[CLASSES] = {miss_weight, miss_weight, miss_weight};
    PairContext context = {p, m, subset};
    Programme programme = {.feature_count = m->layout.count,
                           .groups = groups,
                           .group_count = p->set_count,
                           .rows = m->rows,
                           .row_count = m->row_count,
                           .targets = m->targets,
                           .target_count = m->target_count,
                           .class_weight = class_weight,
                           .class_count = CLASSES,
                           .pairs = m->pairs,
                           .pair_count = m->pair_count,
                           .forbidden = m->pair_count > 0 ? hooks_meet : NULL,
                           .forbidden_context = &context};
    ProgOptions options = {.best = wanted,
                           .visibly_different = true,
                           .time_limit_secs = fit_secs_left(p->deadline),
                           .stop = p->options->stop,
                           .method = PROG_AUTO};
    ProgResult result = {0};
    bool good = programme_solve(&programme, &options, &result, err) &&
                take_picks(p, subset, &result, out, err);
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
            const BlyPart *has = p->sets[g].at[c].choice.piece[BLY_PART_HOOK].part;
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

/* The first group that can carry a hook names the hooks to go through. */
static const CandidateSet *hook_set(const Problem *p) {
    for (size_t g = 0; g < p->set_count; g++) {
        for (size_t c = 0; c < p->sets[g].count; c++) {
            if (p->sets[g].at[c].choice.piece[BLY_PART_HOOK].part != NULL)
                return &p->sets[g];
        }
    }
    return NULL;
}

static bool hook_before(const CandidateSet *set, size_t index) {
    const BlyPart *hook = set->at[index].choice.piece[BLY_PART_HOOK].part;
    for (size_t c = 0; c < index; c++) {
        if (set->at[c].choice.piece[BLY_PART_HOOK].part == hook)
            return true;
    }
    return false;
}

static bool solve_by_hook(const Problem *p, const ProblemModel *m, const CandidateSet *hooks,
                          size_t wanted, PickList *out, BlyError *err) {
    Subset subset = {0};
    ProgGroup groups[PROG_GROUPS_MAX];
    bool good = subset_begin(p, &subset, err);
    for (size_t c = 0; good && c < hooks->count; c++) {
        const BlyPart *hook = hooks->at[c].choice.piece[BLY_PART_HOOK].part;
        if (hook_before(hooks, c) || !subset_of_hook(p, m, hook, &subset, groups))
            continue;
        if (problem_over(p)) {
            out->stopped = true;
            out->proven = false;
            break;
        }
        good = solve(p, m, groups, &subset, wanted, out, err);
    }
    subset_end(&subset);
    return good;
}

static int by_objective(const void *pa, const void *pb) {
    const Pick *a = pa, *b = pb;
    if (a->objective < b->objective || a->objective > b->objective)
        return a->objective < b->objective ? -1 : 1;
    return a->candidate[0] < b->candidate[0] ? -1 : a->candidate[0] > b->candidate[0];
}

static void keep_best(PickList *picks, size_t wanted) {
    qsort(picks->at, picks->count, sizeof *picks->at, by_objective);
    for (size_t i = wanted; i < picks->count; i++) {
        free(picks->at[i].candidate);
        free(picks->at[i].filed);
    }
    picks->count = picks->count < wanted ? picks->count : wanted;
}

bool problem_choose(const Problem *p, size_t wanted, PickList *out, BlyError *err) {
    *out = (PickList){.proven = true};
    ProblemModel m = {0};
    if (p->set_count > PROG_GROUPS_MAX)
        return bly_fail(err, BLY_E_RANGE, "/seats", "at most %d seats may be open",
                        PROG_GROUPS_MAX);
    bool good = problem_model_make(p, &m, err);
    if (good) {
        const CandidateSet *hooks = p->build->limits.same_hooks ? hook_set(p) : NULL;
        good = hooks != NULL ? solve_by_hook(p, &m, hooks, wanted, out, err)
                             : solve(p, &m, m.groups, NULL, wanted, out, err);
    }
    for (size_t i = 0; i < p->set_count; i++)
        out->columns += p->sets[i].count;
    if (good && out->count > 0)
        keep_best(out, wanted);
    problem_model_end(&m);
    if (!good)
        picks_release(out);
    return good;
}
