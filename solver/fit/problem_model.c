/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A problem as a programme: features of the candidates under the present frames, rows, aims. */
#include "fit/problem_model.h"

#include <math.h>
#include <stdlib.h>

/* What a unit outside a band costs; everything else is below a few units. */
static const double miss_weight = 10;

enum { F_NET, F_LOW, F_MIDDLE, F_HIGH, F_ROLL, PER_WATER };

static Layout layout_of(const Problem *p) {
    Layout l = {.waters = p->water_count};
    l.price = l.waters * PER_WATER;
    l.change = l.price + 1;
    l.give = l.change + 1;
    l.above = l.give + 1;
    l.line = l.above + (p->hooks_cost ? 1 : 0);
    l.hooks = l.line + (p->line.on ? LINE_ROWS : 0);
    size_t hangers = 0;
    for (size_t i = 0; i < p->set_count; i++)
        hangers += p->build->seats[p->sets[i].seat].kind == BLY_SEAT_HANGER;
    size_t pairs = hangers * (hangers - (hangers > 0)) / 2;
    l.craft = l.hooks + 2 * pairs;
    size_t wanted = l.craft + (p->craft.rules != NULL ? 4 * pairs + p->set_count : 0);
    l.box = wanted < PROG_FEATURES_MAX ? wanted : PROG_FEATURES_MAX;
    size_t room = PROG_FEATURES_MAX - l.box;
    l.boxed = p->box.count < room ? p->box.count : room;
    l.count = l.box + l.boxed;
    return l;
}

void problem_model_end(ProblemModel *m) {
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
        const BlyChosenPart *piece = &c->choice.of[kind];
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

/* What its hook weighs above the usual share of what the choice weighs, g. */
static double above_share(const Problem *p, const Candidate *c) {
    return 1e3 * craft_hook_mass(&c->choice) - p->craft.rules->share_most * c->lump.m;
}

static void fill_column(const Problem *p, const Layout *l, const Candidate *c,
                        const BlyChoice *fitted, double *f, double *g, ProgColumn *out) {
    lump_features(p, &c->lump, f);
    f[l->price] = price_feature(p, c);
    f[l->change] = c->changed ? 1 : 0;
    f[l->give] = p->options->margins ? candidate_give(c) : 0;
    if (p->hooks_cost)
        f[l->above] = above_share(p, c);
    for (size_t b = 0; c->taken != 0 && b < l->boxed; b++)
        f[l->box + b] = box_takes(&p->box.at[b], &c->choice, fitted);
    *out = (ProgColumn){.f = f, .cost = c->cost, .visible = (int64_t)(c->visible >> 1)};
    if (c->filing > 0) {
        lump_features(p, &c->per_filed, g);
        g[l->price] = g[l->change] = g[l->give] = 0;
        if (p->hooks_cost)
            g[l->above] = -p->craft.rules->share_most * c->per_filed.m;
        if (p->line.on)
            line_rows_weight(&p->line, &c->per_filed, g + l->line);
        out->g = g;
        out->range = c->filing;
        out->cost_slope = FIT_FILING_COST;
    }
}

static bool fill_columns(const Problem *p, ProblemModel *m, BlyError *err) {
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
            if (p->line.on && !line_rows_choice(&p->line, p->build, p->sets[i].seat,
                                                &p->sets[i].at[c].choice, f + m->layout.line, err))
                return false;
            fill_column(p, &m->layout, &p->sets[i].at[c], &p->build->fitted.at[p->sets[i].seat], f,
                        f + m->layout.count, &m->columns[at]);
        }
    }
    return true;
}

static void add_row(ProblemModel *m, size_t feature, double base, double lo, double hi,
                    size_t class, double unit) {
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

void problem_row_hard(ProblemModel *m, size_t feature, double most) {
    add_row(m, feature, 0, -INFINITY, most, PROG_NONE, 1);
}

static void add_target(ProblemModel *m, size_t feature, double base, double centre, double unit,
                       double weight) {
    m->targets[m->target_count++] = (ProgTarget){.feature = feature,
                                                 .base = base,
                                                 .centre = centre,
                                                 .dead = FIT_DEAD_ZONE * unit,
                                                 .unit = unit,
                                                 .weight = weight};
}

/* The rows of one water: weight in its band, F(low) <= 0 <= F(high), gravity low enough. */
static void add_water(const Problem *p, size_t w, ProblemModel *m) {
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

/* What the target asks of the drawn lure. */
static void add_line(const Problem *p, ProblemModel *m) {
    for (size_t i = 0; p->line.on && i < LINE_ROWS; i++) {
        const LineRow *row = &p->line.row[i];
        if (row->asked)
            add_row(m, m->layout.line + i, row->base, row->low, row->high, CLASS_LINE, row->unit);
        if (row->asked && isfinite(row->aim))
            add_target(m, m->layout.line + i, row->base, row->aim, row->unit, 1);
    }
}

/* What hooks weigh above the usual share of the lure costs by the hundredth of the lure that the
 * frames are of. */
static void add_hooks_cost(const Problem *p, ProblemModel *m) {
    double base = -p->craft.rules->share_most * p->blank.m;
    for (size_t s = 0; s < p->build->seat_count; s++)
        base += problem_open(p->build, s) == 0 ? 1e3 * craft_hook_mass(&p->build->fitted.at[s]) : 0;
    add_row(m, m->layout.above, base, -INFINITY, 0, CLASS_HOOKS, p->mass / 100);
}

static void add_limits(const Problem *p, ProblemModel *m) {
    const BlyLimits *limits = &p->build->limits;
    if (isfinite(limits->price_most))
        problem_row_hard(m, m->layout.price, limits->price_most);
    if (limits->changes_most >= 0)
        problem_row_hard(m, m->layout.change, limits->changes_most + 1e-6);
    for (size_t b = 0; b < m->layout.boxed; b++)
        problem_row_hard(m, m->layout.box + b, p->box.at[b].have + 1e-6);
}

bool problem_model_make(const Problem *p, ProblemModel *out, BlyError *err) {
    *out = (ProblemModel){0};
    for (int c = 0; c < CLASSES; c++)
        out->class_weight[c] =
            c == CLASS_HOOKS && p->hooks_cost ? p->craft.rules->share_cost : miss_weight;
    if (!fill_columns(p, out, err))
        return false;
    for (size_t w = 0; w < p->water_count; w++)
        add_water(p, w, out);
    add_line(p, out);
    if (p->hooks_cost && p->mass > 0)
        add_hooks_cost(p, out);
    add_limits(p, out);
    problem_hooks(p, out);
    problem_craft_rows(p, out);
    return true;
}
