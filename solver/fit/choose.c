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

/* Features of a column: five for each water, then price and change. */
enum { F_NET, F_LOW, F_MIDDLE, F_HIGH, F_ROLL, PER_WATER };

typedef struct Layout {
    size_t waters, price, change, count;
} Layout;

static Layout layout_of(const Problem *p) {
    Layout l = {.waters = p->water_count};
    l.price = l.waters * PER_WATER;
    l.change = l.price + 1;
    l.count = l.change + 1;
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

static void fill_column(const Problem *p, const Layout *l, const Candidate *c, double *f, double *g,
                        ProgColumn *out) {
    lump_features(p, &c->lump, f);
    f[l->price] = price_feature(p, c);
    f[l->change] = c->changed ? 1 : 0;
    *out = (ProgColumn){.f = f, .cost = c->cost, .visible = (long)(c->visible >> 1)};
    if (c->filing > 0) {
        lump_features(p, &c->per_filed, g);
        g[l->price] = g[l->change] = 0;
        out->g = g;
        out->range = c->filing;
        out->cost_slope = 0.2; /* a tenth of a millimetre of filing is a piece's worth of work */
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
    add_row(m, at + F_NET, net, f->n_low, f->n_high, CLASS_WEIGHT, f->n_half);
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

typedef struct PairContext {
    const Problem *p;
    const Model *m;
} PairContext;

static bool hooks_meet(void *context, size_t pair, size_t column_a, size_t column_b) {
    const PairContext *x = context;
    const CandidateSet *a = &x->p->sets[x->m->pairs[pair].group_a];
    const CandidateSet *b = &x->p->sets[x->m->pairs[pair].group_b];
    const Candidate *ca = &a->at[column_a], *cb = &b->at[column_b];
    const BlyPart *ha = ca->choice.piece[BLY_PART_HOOK].part;
    const BlyPart *hb = cb->choice.piece[BLY_PART_HOOK].part;
    if (x->p->build->limits.same_hooks && ha != hb)
        return true;
    double apart = bly_vec_norm(bly_vec_sub(ca->hook_at, cb->hook_at));
    return ha != NULL && hb != NULL && ca->hook_reach + cb->hook_reach > apart;
}

static bool take_picks(const Problem *p, const ProgResult *r, PickList *out, BlyError *err) {
    out->at = calloc(r->count + 1, sizeof *out->at);
    if (out->at == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the picks");
    for (size_t i = 0; i < r->count; i++) {
        Pick *pick = &out->at[out->count++];
        pick->candidate = calloc(p->set_count, sizeof *pick->candidate);
        pick->filed = calloc(p->set_count, sizeof *pick->filed);
        if (pick->candidate == NULL || pick->filed == NULL)
            return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the picks");
        memcpy(pick->candidate, r->rigs[i].columns, p->set_count * sizeof *pick->candidate);
        memcpy(pick->filed, r->rigs[i].delta, p->set_count * sizeof *pick->filed);
        pick->objective = r->rigs[i].objective;
    }
    out->proven = r->proven;
    double last = r->count > 0 ? r->rigs[r->count - 1].objective : 0;
    out->gap = r->proven || !isfinite(r->bound) ? 0 : fmax(0, last - r->bound);
    out->nodes = r->stats.nodes + r->stats.tree_nodes;
    out->columns = r->stats.columns;
    return true;
}

bool problem_choose(const Problem *p, size_t wanted, double seconds, PickList *out, BlyError *err) {
    static const double class_weight[CLASSES] = {miss_weight, miss_weight, miss_weight};
    memset(out, 0, sizeof *out);
    Model m = {0};
    bool good = fill_columns(p, &m, err);
    for (size_t w = 0; good && w < p->water_count; w++)
        add_water(p, w, &m);
    add_limits(p, &m);
    add_pairs(p, &m);
    PairContext context = {p, &m};
    Programme programme = {.feature_count = m.layout.count,
                           .groups = m.groups,
                           .group_count = p->set_count,
                           .rows = m.rows,
                           .row_count = m.row_count,
                           .targets = m.targets,
                           .target_count = m.target_count,
                           .class_weight = class_weight,
                           .class_count = CLASSES,
                           .pairs = m.pairs,
                           .pair_count = m.pair_count,
                           .forbidden = m.pair_count > 0 ? hooks_meet : NULL,
                           .forbidden_context = &context};
    ProgOptions options = {.best = wanted,
                           .visibly_different = true,
                           .time_limit_secs = seconds,
                           .stop = p->options->stop,
                           .method = PROG_AUTO};
    ProgResult result = {0};
    good = good && programme_solve(&programme, &options, &result, err) &&
           take_picks(p, &result, out, err);
    programme_free(&result);
    model_end(&m);
    if (!good)
        picks_release(out);
    return good;
}
