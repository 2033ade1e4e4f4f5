/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Hooks that would touch as rows of the programme, held against the rule itself for every pair of
 * candidates: what the rows refuse touches, and what touches is refused by them or by the rule
 * behind them, within the bow. Bodies are invented; the check is one way against another. */
#include "support/check.h"
#include "support/shipped.h"
#include "fit/problem_model.h"

#include <math.h>

static const char text_head[] =
    "{ \"ballastry\": 1, \"name\": \"short\", \"body\": { \"material\": \"cedar\", \"stations\": ["
    "{ \"x\": 0, \"diameter\": 0 }, { \"x\": 10, \"diameter\": 17 }, { \"x\": 26, \"diameter\": 21 "
    "}, { \"x\": 52, \"diameter\": 4 } ] }, \"seats\": { \"tie\": { \"kind\": \"tie\", \"x\": 1, "
    "\"side\": \"nose\" }, \"belly\": { \"kind\": \"hanger\", \"side\": \"belly\", \"x\": ";
static const char text_tail[] =
    " }, \"tail\": { \"kind\": \"hanger\", \"x\": 51, \"side\": \"tail\", \"open\": true } }, "
    "\"target\": { \"state\": \"float\", \"shows\": [\"5 %\", \"40 %\"] }, \"limits\": { "
    "\"hook_size\": [\"14\", \"4\"], \"eye_wire\": [null, \"1.05 mm\"] } }";

typedef struct Count {
    size_t pairs, touch, refused, within_bow;
} Count;

static bool rows_hold(const ProblemModel *m, size_t a, size_t b) {
    for (size_t r = 0; r < m->row_count; r++) {
        const ProgRow *row = &m->rows[r];
        if (row->feature < m->layout.hooks)
            continue;
        if (m->columns[a].f[row->feature] + m->columns[b].f[row->feature] > row->hi + 1e-9)
            return false;
    }
    return true;
}

static Count hold_against_rule(const char *belly) {
    char text[1600];
    BlyBuild *build = NULL;
    Problem p;
    ProblemModel m;
    BlyError err = {0};
    BlyFitOptions options = {.rigs = 1};
    Count count = {0};
    (void)snprintf(text, sizeof text, "%s%s%s", text_head, belly, text_tail);
    if (!bly_build_read(text, strlen(text), &catalog, &build, &err) ||
        !problem_begin(build, &catalog, &options, 0, &p, &err) ||
        !problem_frames(&p, &build->fitted, NULL, &err) || !problem_model_make(&p, &m, &err))
        fail_msg("%s: %s", err.where, err.text);
    size_t first = 1, second = 2; /* the tie is the first set */
    assert_int_equal(p.set_count, 3);
    for (size_t a = 0; a < p.sets[first].count; a++) {
        for (size_t b = 0; b < p.sets[second].count; b++) {
            bool touch = bly_swings_touch(&p.sets[first].at[a].swing, &p.sets[second].at[b].swing);
            bool holds = rows_hold(&m, (size_t)(m.groups[first].columns - m.columns) + a,
                                   (size_t)(m.groups[second].columns - m.columns) + b);
            assert_true(holds || touch);
            count.pairs++;
            count.touch += touch;
            count.refused += !holds;
            count.within_bow += touch && holds;
        }
    }
    problem_model_end(&m);
    problem_end(&p);
    bly_build_free(build);
    return count;
}

/* One place: the loops hardly move, so the rows say nearly all. */
static void rows_refuse_what_touches(void **state) {
    (void)state;
    Count fixed = hold_against_rule("18, \"open\": true");
    assert_true(fixed.touch > 1000 && fixed.touch < fixed.pairs);
    assert_true(fixed.within_bow * 100 < fixed.touch);
}

/* A range of places bends the direction: still nothing is refused that is clear, and a hanger that
 * may stay empty leaves room for any hook of the other. */
static void rows_refuse_nothing_else(void **state) {
    (void)state;
    Count moved = hold_against_rule("[12, 34], \"step\": 11, \"open\": true");
    assert_true(moved.refused > 1000 && moved.refused <= moved.touch);
    assert_true(moved.within_bow * 10 < moved.touch);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rows_refuse_what_touches),
        cmocka_unit_test(rows_refuse_nothing_else),
    };
    return cmocka_run_group_tests(tests, load_without_practice, drop_shipped);
}
