/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A problem as a programme: features of the candidates under the present frames, rows, aims. */
#include "fit/problem.h"
#include "fit/programme.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What a unit outside a band costs; everything else is below a few units. */
static const double miss_weight = 10;

enum { CLASS_WEIGHT, CLASS_ATTITUDE, CLASS_ROLL, CLASSES };

/* Features of a column: five for each water, then price, change and give. */
enum { F_NET, F_LOW, F_MIDDLE, F_HIGH, F_ROLL, PER_WATER };

typedef struct Layout {
    size_t waters, price, change, give, count;
} Layout;

static Layout layout_of(const Problem *p) {
    Layout l = {.waters = p->water_count};
    l.price = l.waters * PER_WATER;
    l.change = l.price + 1;
    l.give = l.change + 1;
    l.count = l.give + 1;
    return l;
}

typedef struct Model {
    Layout layout;
    double *numbers; /* features and filings of all columns */
    ProgColumn *columns;
    ProgGroup *groups;
    ProgRow rows[PROG_ROWS_MAX];
    size_t row_count;
    ProgTarget targets[PROG_TARGETS_MAX];
    size_t target_count;
    ProgPair pairs[PROG_PAIRS_MAX];
    size_t pair_count;
} Model;

static void model_end(Model *m) {
    free(m->numbers);
    free(m->columns);
    free(m->groups);
}

static void lump_features(const Problem *p, const Lump *lump, double *f) {
    for (size_t w = 0; w < p->water_count; w++) {
        const Frame *frame = &p->frame[w];
        double *at = f + w * PER_WATER;
        at[F_NET] = frame_weight(frame, lump);
        at[F_LOW] = frame_moment(frame, lump, AT_LOW);
        at[F_MIDDLE] = frame_moment(frame, lump, AT_MIDDLE);
        at[F_HIGH] = frame_moment(frame, lump, AT_HIGH);
        at[F_ROLL] = frame_roll(frame, lump);
    }
}

/* A candidate whose price is not known is taken to cost nothing, unless price is limited: then it
 * cannot be shown to keep the limit and is priced beyond it. */
static double price_feature(const Problem *p, const Candidate *c) {
    if (isfinite(c->price))
        return c->price;
    bool empty = bly_choice_is_empty(&c->choice);
    return empty || !isfinite(p->build->limits.price_most) ? 0
                                                           : 2 * p->build->limits.price_most + 1;
}

/* What of the spread is taken into the rows, so that they hold for nine lures in ten: gives are 95
 * of 100, add up straight here though they add as squares in truth, and a gram of metal weighs some
 * 0.88 g in water. */
static const double margin_share = 0.84 * 0.88 * 0.75;

/* Give of a candidate's mass, g. What is cut from sheet or strip weighs what the rest leaves. */
static double candidate_give(const Candidate *c) {
    double give = 0, rest = c->lump.m, cut = 0;
    for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
        const BlyPiece *piece = &c->choice.piece[kind];
        double share = piece->part != NULL ? bly_part_give_share(piece->part) : 0;
        if (piece->part == NULL || isnan(share))
            continue;
        if (isfinite(piece->weighed.value)) {
            give += piece->weighed.give * 1e3;
            rest -= piece->weighed.value * 1e3;
        } else if (kind == BLY_PART_SHEET || kind == BLY_PART_STRIP) {
            cut = share;
        } else if (isfinite(piece->part->mass.value) && kind != BLY_PART_WIRE) {
            double mass = piece->part->mass.value * (kind == BLY_PART_DOT ? c->choice.count : 1);
            give += share * mass * 1e3;
            rest -= mass * 1e3;
        }
    }
    return margin_share * (give + cut * fmax(rest, 0));
}

/* The body's own part of the margin, g: scale or density, volume, coats. */
static double blank_give(const Problem *p) {
    const BlyBlank *blank = &p->build->blank;
    const BlyBodyFacts *facts = &blank->facts;
    double square = 0, rho = p->frame[0].rho * 1e3;
    double body = isnan(facts->mass.value) ? blank->body_density : 0;
    for (size_t i = 0; i < blank->item_count; i++)
        square += blank->items[i].mass_give * blank->items[i].mass_give;
    double volume = facts->volume_share.give * bly_body_solid(blank->bare)->volume;
    square += volume * volume * (rho - body) * (rho - body);
    return 0.84 * sqrt(square) * 1e3;
}

static void fill_column(const Problem *p, const Layout *l, const Candidate *c, double *f, double *g,
                        ProgColumn *out) {
    lump_features(p, &c->lump, f);
    f[l->price] = price_feature(p, c);
    f[l->change] = c->changed ? 1 : 0;
    f[l->give] = p->options->margins ? candidate_give(c) : 0;
    *out = (ProgColumn){.f = f, .cost = c->cost, .visible = (long)(c->visible >> 1)};
    if (c->filing > 0) {
        lump_features(p, &c->per_filed, g);
        g[l->price] = g[l->change] = g[l->give] = 0;
        out->g = g;
        out->range = c->filing;
        out->cost_slope = FIT_FILING_COST;
    }
}

static bool fill_columns(const Problem *p, Model *m, BlyError *err) {
    size_t columns = 0;
    for (size_t i = 0; i < p->set_count; i++)
        columns += p->sets[i].count;
    m->layout = layout_of(p);
    m->numbers = calloc(2 * columns * m->layout.count, sizeof *m->numbers);
    m->columns = calloc(columns, sizeof *m->columns);
    m->groups = calloc(p->set_count, sizeof *m->groups);
    if (m->numbers == NULL || m->columns == NULL || m->groups == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for %zu candidates", columns);
    size_t at = 0;
    for (size_t i = 0; i < p->set_count; i++) {
        m->groups[i] = (ProgGroup){m->columns + at, p->sets[i].count};
        for (size_t c = 0; c < p->sets[i].count; c++, at++) {
            double *f = m->numbers + 2 * at * m->layout.count;
            fill_column(p, &m->layout, &p->sets[i].at[c], f, f + m->layout.count, &m->columns[at]);
        }
    }
    return true;
}

static void add_row(Model *m, size_t feature, double base, double lo, double hi, size_t class,
                    double unit) {
    if (!isfinite(lo) && !isfinite(hi))
        return;
    m->rows[m->row_count++] = (ProgRow){.feature = feature,
                                        .margin = PROG_NONE,
                                        .base = base,
                                        .lo = lo,
                                        .hi = hi,
                                        .elastic = class,
                                        .unit = unit};
}

static void add_target(Model *m, size_t feature, double base, double centre, double unit,
                       double weight) {
    m->targets[m->target_count++] = (ProgTarget){.feature = feature,
                                                 .base = base,
                                                 .centre = centre,
                                                 .dead = FIT_DEAD_ZONE * unit,
                                                 .unit = unit,
                                                 .weight = weight};
}

/* The rows of one water: weight in its band, F(low) <= 0 <= F(high), gravity low enough. */
static void add_water(const Problem *p, size_t w, Model *m) {
    const Frame *f = &p->frame[w];
    const Lump *blank = &p->blank;
    size_t at = w * PER_WATER;
    double share = 1 / (double)p->water_count, net = frame_blank_weight(f, blank);
    /* A body less sure than the band is wide leaves its middle. */
    double give = p->options->margins ? fmin(blank_give(p), (f->n_high - f->n_low) / 2) : 0;
    add_row(m, at + F_NET, net, f->n_low + give, f->n_high - give, CLASS_WEIGHT, f->n_half);
    if (p->options->margins && m->row_count > 0)
        m->rows[m->row_count - 1].margin = m->layout.give;
    if (isfinite(f->n_middle))
        add_target(m, at + F_NET, net, f->n_middle, f->n_half, share);
    add_row(m, at + F_ROLL, frame_blank_roll(f, blank), -INFINITY, 0, CLASS_ROLL,
            fmax(f->roll_least, 0.5) * (p->blank.m + 1));
    if (!f->has_attitude)
        return;
    double half = fmax((f->angle[AT_HIGH] - f->angle[AT_LOW]) / 2 * f->stiffness, 1e-3);
    add_row(m, at + F_LOW, frame_blank_moment(f, blank, AT_LOW), -INFINITY, 0, CLASS_ATTITUDE,
            half);
    add_row(m, at + F_HIGH, frame_blank_moment(f, blank, AT_HIGH), 0, INFINITY, CLASS_ATTITUDE,
            half);
    add_target(m, at + F_MIDDLE, frame_blank_moment(f, blank, AT_MIDDLE), 0, half, share);
}

static void add_limits(const Problem *p, Model *m) {
    const BlyLimits *limits = &p->build->limits;
    if (isfinite(limits->price_most))
        add_row(m, m->layout.price, 0, -INFINITY, limits->price_most, PROG_NONE, 1);
    if (limits->changes_most >= 0)
        add_row(m, m->layout.change, 0, -INFINITY, limits->changes_most + 1e-6, PROG_NONE, 1);
}

/* Hangers whose hooks could meet. */
static void add_pairs(const Problem *p, Model *m) {
    for (size_t a = 0; a < p->set_count; a++) {
        for (size_t b = a + 1; b < p->set_count; b++) {
            bool hang = p->build->seats[p->sets[a].seat].kind == BLY_SEAT_HANGER &&
                        p->build->seats[p->sets[b].seat].kind == BLY_SEAT_HANGER;
            if (hang && m->pair_count < PROG_PAIRS_MAX)
                m->pairs[m->pair_count++] = (ProgPair){a, b};
        }
    }
}

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
    double last = r->count > 0 ? r->rigs[r->count - 1].objective : 0;
    if (!r->proven && isfinite(r->bound))
        out->gap = fmax(out->gap, last - r->bound);
    out->nodes += r->stats.nodes + r->stats.tree_nodes;
    out->stopped = out->stopped || r->out_of_time;
    return true;
}

typedef struct PairContext {
    const Problem *p;
    const Model *m;
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

static bool solve(const Problem *p, const Model *m, const ProgGroup *groups, const Subset *subset,
                  size_t wanted, double seconds, PickList *out, BlyError *err) {
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
                           .time_limit_secs = seconds,
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
static bool subset_of_hook(const Problem *p, const Model *m, const BlyPart *hook, Subset *s,
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

static bool solve_by_hook(const Problem *p, const Model *m, const CandidateSet *hooks,
                          size_t wanted, double seconds, PickList *out, BlyError *err) {
    Subset subset = {0};
    ProgGroup groups[PROG_GROUPS_MAX];
    bool good = subset_begin(p, &subset, err);
    double end = fit_now_secs() + seconds;
    for (size_t c = 0; good && c < hooks->count; c++) {
        const BlyPart *hook = hooks->at[c].choice.piece[BLY_PART_HOOK].part;
        if (hook_before(hooks, c) || !subset_of_hook(p, m, hook, &subset, groups))
            continue;
        double left = seconds > 0 ? fmax(end - fit_now_secs(), 1e-3) : 0;
        good = solve(p, m, groups, &subset, wanted, left, out, err);
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

bool problem_choose(const Problem *p, size_t wanted, double seconds, PickList *out, BlyError *err) {
    *out = (PickList){.proven = true};
    Model m = {0};
    if (p->set_count > PROG_GROUPS_MAX)
        return bly_fail(err, BLY_E_RANGE, "/seats", "at most %d seats may be open",
                        PROG_GROUPS_MAX);
    bool good = fill_columns(p, &m, err);
    for (size_t w = 0; good && w < p->water_count; w++)
        add_water(p, w, &m);
    if (good) {
        add_limits(p, &m);
        add_pairs(p, &m);
        const CandidateSet *hooks = p->build->limits.same_hooks ? hook_set(p) : NULL;
        good = hooks != NULL ? solve_by_hook(p, &m, hooks, wanted, seconds, out, err)
                             : solve(p, &m, m.groups, NULL, wanted, seconds, out, err);
    }
    for (size_t i = 0; i < p->set_count; i++)
        out->columns += p->sets[i].count;
    if (good && out->count > 0)
        keep_best(out, wanted);
    else if (!out->proven)
        out->gap = NAN;
    model_end(&m);
    if (!good)
        picks_release(out);
    return good;
}
