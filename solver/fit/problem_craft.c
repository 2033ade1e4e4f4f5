/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rules of the craft between two seats as rows of the programme, so that its bounds see them. Sizes
 * and grades of hooks are ranks, so that their difference stays in a band; eyes and rings are given
 * a number each, whose difference is nothing. A seat that may stay empty has no number: there, and
 * where features run out, problem_clash alone keeps the rule. */
#include "fit/problem_model.h"

#include <math.h>

/* A figure of a candidate; NAN where it has none. */
typedef double (*Figure)(const Problem *p, const Candidate *c);

/* Within whole numbers' reach and above what sums round. */
static const double slack = 0.25;

static double size_of(const Problem *p, const Candidate *c) {
    const BlyPart *hook = c->choice.of[BLY_PART_HOOK].part;
    (void)p;
    return hook != NULL && hook->size_rank > 0 ? craft_size_step(&p->craft, hook->size_rank)
                                               : (double)NAN;
}

static double grade_of(const Problem *p, const Candidate *c) {
    const BlyPart *hook = c->choice.of[BLY_PART_HOOK].part;
    int grade = hook != NULL ? bly_hook_grade(hook->grade) : 0;
    (void)p;
    return grade > 0 ? (double)grade : (double)NAN;
}

/* The place of a part among the catalog's; eyes alike have that of the first of them. */
static double ring_of(const Problem *p, const Candidate *c) {
    const BlyPart *ring = c->choice.of[BLY_PART_RING].part;
    return ring != NULL ? (double)(ring - p->catalog->parts) : NAN;
}

static double eye_of(const Problem *p, const Candidate *c) {
    const BlyPart *eye = c->choice.of[BLY_PART_EYE].part;
    for (size_t i = 0; eye != NULL && i < p->catalog->part_count; i++) {
        const BlyPart *other = &p->catalog->parts[i];
        if (other == eye ||
            (other->kind == BLY_PART_EYE && craft_eyes_go_together(&p->craft, other, eye)))
            return (double)i;
    }
    return NAN;
}

static double style_of(const Problem *p, const Candidate *c) {
    const BlyPart *hook = c->choice.of[BLY_PART_HOOK].part;
    (void)p;
    return hook == NULL || hook->style == NULL ? NAN : hook->style[0] == 's' ? 1 : 0;
}

static bool all_have(const Problem *p, const CandidateSet *set, Figure figure) {
    for (size_t c = 0; c < set->count; c++) {
        if (isnan(figure(p, &set->at[c])))
            return false;
    }
    return set->count > 0;
}

static void fill(const Problem *p, ProblemModel *m, size_t set, size_t feature, Figure figure,
                 double sign) {
    const ProgGroup *columns = &m->groups[set];
    double last = NAN, value = NAN;
    const BlyPart *eye = NULL;
    for (size_t c = 0; c < p->sets[set].count; c++) {
        const Candidate *one = &p->sets[set].at[c];
        double *f = m->numbers + 2 * (size_t)(columns->columns + c - m->columns) * m->layout.count;
        if (figure != eye_of || one->choice.of[BLY_PART_EYE].part != eye || isnan(last)) {
            eye = one->choice.of[BLY_PART_EYE].part;
            value = last = figure(p, one);
        }
        f[feature] = sign * value;
    }
}

/* low <= figure of a - figure of b <= high; each by which they differ costs. */
static void add_row(const Problem *p, ProblemModel *m, size_t a, size_t b, Figure figure,
                    double low, double high, double cost) {
    size_t feature = m->layout.craft + m->craft_used;
    if (feature >= m->layout.box || m->row_count >= PROG_ROWS_MAX ||
        !all_have(p, &p->sets[a], figure) || !all_have(p, &p->sets[b], figure))
        return;
    m->craft_used++;
    if (cost > 0 && craft_binds(&p->craft, BLY_RULE_KINDS) && m->target_count < PROG_TARGETS_MAX)
        m->targets[m->target_count++] = (ProgTarget){.feature = feature, .unit = 1, .weight = cost};
    fill(p, m, a, feature, figure, 1);
    fill(p, m, b, feature, figure, -1);
    m->rows[m->row_count++] = (ProgRow){.feature = feature,
                                        .margin = PROG_NONE,
                                        .lo = low - slack,
                                        .hi = high + slack,
                                        .elastic = PROG_NONE,
                                        .unit = 1};
}

static bool is_open(const Problem *p, size_t a, size_t b, BlyPartKind kind) {
    return ((p->sets[a].open | p->sets[b].open) & (1u << kind)) != 0;
}

static bool in_front(const Problem *p, size_t a, size_t b) {
    return p->build->seats[p->sets[a].seat].x_to < p->build->seats[p->sets[b].seat].x_from;
}

static void hooks_of(const Problem *p, ProblemModel *m, size_t a, size_t b) {
    const Craft *c = &p->craft;
    double most = c->rules->smaller_most, larger = c->rear_larger ? most : 0;
    if (is_open(p, a, b, BLY_PART_RING) && craft_binds(c, BLY_RULE_RING_ALIKE))
        add_row(p, m, a, b, ring_of, 0, 0, 0);
    if (!is_open(p, a, b, BLY_PART_HOOK))
        return;
    bool one_style = craft_binds(c, BLY_RULE_HOOK_STYLE);
    if (one_style)
        add_row(p, m, a, b, style_of, 0, 0, 0);
    if (one_style && craft_binds(c, BLY_RULE_HOOK_ORDER) && in_front(p, a, b))
        add_row(p, m, a, b, size_of, -larger, most, c->rules->number_cost);
    else if (one_style && craft_binds(c, BLY_RULE_HOOK_ORDER) && in_front(p, b, a))
        add_row(p, m, b, a, size_of, -larger, most, c->rules->number_cost);
    if (craft_binds(c, BLY_RULE_HOOK_ALIKE))
        add_row(p, m, a, b, grade_of, -c->rules->grades_apart, c->rules->grades_apart,
                c->rules->grade_cost);
}

static bool has_kind(const Problem *p, size_t set, BlySeatKind kind) {
    return p->build->seats[p->sets[set].seat].kind == kind;
}

/* Each with the one before it of its kind: what is alike to that is alike to all. */
void problem_craft_rows(const Problem *p, ProblemModel *m) {
    size_t eye_before = PROG_NONE;
    if (p->craft.rules == NULL)
        return;
    for (size_t b = 0; b < p->set_count; b++) {
        bool hangs = has_kind(p, b, BLY_SEAT_HANGER);
        if (!hangs && !has_kind(p, b, BLY_SEAT_TIE))
            continue;
        if (eye_before != PROG_NONE &&
            (p->craft.eyes_alike || p->craft.eyes_of_kind || p->craft.eyes_of_metal) &&
            is_open(p, eye_before, b, BLY_PART_EYE) && craft_binds(&p->craft, BLY_RULE_EYE_ALIKE))
            add_row(p, m, eye_before, b, eye_of, 0, 0, 0);
        eye_before = b;
        for (size_t a = 0; hangs && a < b; a++) {
            if (has_kind(p, a, BLY_SEAT_HANGER))
                hooks_of(p, m, a, b);
        }
    }
}
