/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bounds of the choice programme hold whatever the prices: law, checked on chance rigs worked
 * out by brute arithmetic. And its windows leave out only what a cut forbids. */
#include "support/check.h"
#include "support/brute.h"
#include "support/riddle.h"
#include "programme/internal.h"

static void chance_prices(const ProgModel *model, Dice *dice, double scale, ProgPrices *prices) {
    *prices = (ProgPrices){0};
    for (size_t s = 0; s < model->side_count; s++) {
        if (dice_below(dice, 3) == 0)
            prices->side[s] = scale * dice_between(dice, -50, 200);
    }
    for (size_t t = 0; t < model->in->target_count; t++)
        prices->target[t] = scale * dice_between(dice, -20, 20);
}

static void chance_rig(const Programme *p, Dice *dice, BruteRig *rig) {
    for (size_t g = 0; g < p->group_count; g++) {
        rig->column[g] = dice_below(dice, p->groups[g].count);
        double range = p->groups[g].columns[rig->column[g]].range;
        rig->delta[g] = dice_below(dice, 3) == 0 ? range : dice_between(dice, 0, 1) * range;
    }
    rig->objective = brute_objective(p, rig->column, rig->delta, &rig->cost, &rig->distance);
}

static double cut_of_rig(const ProgModel *model, const ProgCut *cut, const BruteRig *rig) {
    double sum = cut->constant;
    for (size_t g = 0; g < model->in->group_count; g++) {
        double value, slope;
        prog_cut_at(model, cut, &model->in->groups[g].columns[rig->column[g]], &value, &slope);
        sum += value + slope * rig->delta[g];
    }
    return sum;
}

static void check_cut(const ProgModel *model, const ProgCut *cut, const BruteRig *rig) {
    double value = cut_of_rig(model, cut, rig), slack = 1e-9 * (1 + fabs(value));
    assert_true(prog_cut_floor(model, cut) <= value + slack);
    if (isinf(rig->objective))
        return;
    assert_true(value <= rig->objective + slack);
    assert_true(value <= prog_cut_reach(model, cut, rig->objective) + slack);
}

static void check_riddle(const RiddleShape *shape, uint64_t seed) {
    Riddle riddle;
    riddle_make(&riddle, shape, seed);
    ProgModel model;
    prog_model_init(&model, &riddle.programme);
    Dice dice = {seed + 100};
    for (int round = 0; round < 40; round++) {
        ProgPrices prices;
        ProgCut cut;
        chance_prices(&model, &dice, round % 2 == 0 ? 1 : 0.001, &prices);
        prog_cut_from_prices(&model, &prices, &cut);
        for (int k = 0; k < 25; k++) {
            BruteRig rig;
            chance_rig(&riddle.programme, &dice, &rig);
            assert_true(isinf(rig.objective) || rig.objective <= model.worst);
            check_cut(&model, &cut, &rig);
        }
    }
    riddle_free(&riddle);
}

static void any_prices_make_a_bound(void **state) {
    (void)state;
    RiddleShape shape = {.groups = 5, .columns = 5, .waters = 3, .margins = true, .dead = 0.5};
    for (uint64_t seed = 1; seed <= 30; seed++) {
        shape.plates = seed % 3;
        shape.hard_price = seed % 2 == 0;
        shape.heavy = seed % 4 == 0 ? 3 : 0;
        check_riddle(&shape, seed);
    }
}

/* The plain and the neutral cuts, too, and the rays: no rig that keeps the hard rows is above 0. */
static void ready_made_cuts_are_bounds(void **state) {
    (void)state;
    RiddleShape shape = {.groups = 5, .columns = 5, .waters = 2, .plates = 1, .dead = 0.5};
    shape.hard_price = shape.margins = true;
    size_t neutral = 0;
    for (uint64_t seed = 1; seed <= 20; seed++) {
        Riddle riddle;
        riddle_make(&riddle, &shape, seed);
        ProgModel model;
        prog_model_init(&model, &riddle.programme);
        ProgCuts cuts = {.count = 1};
        ProgPrices none = {0};
        prog_cut_from_prices(&model, &none, &cuts.cut[0]);
        prog_cuts_plain(&model, &none, &cuts);
        size_t plain = cuts.count;
        prog_cuts_neutral(&model, &cuts);
        neutral += cuts.count - plain;
        Dice dice = {seed};
        for (int k = 0; k < 50; k++) {
            BruteRig rig;
            chance_rig(&riddle.programme, &dice, &rig);
            for (size_t j = 0; j < cuts.count; j++) {
                if (!cuts.cut[j].ray)
                    check_cut(&model, &cuts.cut[j], &rig);
                else if (!isinf(rig.objective))
                    assert_true(cut_of_rig(&model, &cuts.cut[j], &rig) <= 1e-8);
            }
        }
        riddle_free(&riddle);
    }
    assert_true(neutral > 0);
}

/* A rig's own prices bound every rig, and it itself at what it costs (strong duality): the brute
 * arithmetic is asked for the least of the rig's objective over its thickness. */
static void check_own_prices(const ProgModel *model, const ProgCut *cut, const BruteRig *rig) {
    const Programme *p = model->in;
    BruteRig least[1];
    ProgColumn only[PROG_GROUPS_MAX];
    ProgGroup groups[PROG_GROUPS_MAX];
    Programme alone = *p;
    for (size_t g = 0; g < p->group_count; g++) {
        only[g] = p->groups[g].columns[rig->column[g]];
        groups[g] = (ProgGroup){&only[g], 1};
    }
    alone.groups = groups;
    assert_int_equal(brute_force(&alone, 1, false, least), 1);
    assert_close(prog_cut_of_rig(model, cut, rig->column), least[0].objective, 1e-8, 1e-11);
}

static void a_rigs_own_prices_bound_all_and_meet_it(void **state) {
    (void)state;
    RiddleShape shape = {.groups = 5, .columns = 5, .waters = 3, .margins = true};
    for (uint64_t seed = 1; seed <= 40; seed++) {
        shape.plates = seed % 2;
        shape.heavy = (double)(seed % 5);
        shape.dead = seed % 3 == 0 ? 0 : 0.5;
        Riddle riddle;
        riddle_make(&riddle, &shape, seed);
        ProgModel model;
        prog_model_init(&model, &riddle.programme);
        Dice dice = {seed};
        for (int k = 0; k < 20; k++) {
            ProgPrices prices;
            ProgCut cut;
            BruteRig rig, other;
            chance_rig(&riddle.programme, &dice, &rig);
            assert_true(prog_value_prices(&model, rig.column, &prices));
            prog_cut_from_prices(&model, &prices, &cut);
            check_own_prices(&model, &cut, &rig);
            for (int i = 0; i < 20; i++) {
                chance_rig(&riddle.programme, &dice, &other);
                check_cut(&model, &cut, &other);
            }
        }
        riddle_free(&riddle);
    }
}

/* Every option that all cuts allow must be in the span; the span is there to leave others out. */
static void check_span(const ProgField *field, const ProgWindows *windows, size_t g,
                       const double *base, const double *room, size_t *left_out) {
    const ProgLook *look = &field->look[field->look_span[g].first];
    bool by_window, inside[64] = {false};
    ProgSpan span = prog_window_span(windows, g, look, base, room, &by_window);
    assert_true(look->count <= 64);
    for (size_t i = span.first; i < span.first + span.count; i++)
        inside[(by_window ? windows->option[i] : i) - look->first] = true;
    for (size_t i = 0; i < look->count; i++) {
        bool fits = true;
        const double *inc = &field->inc[(look->first + i) * field->width];
        for (size_t j = 0; j < field->cut_count; j++)
            fits = fits && base[j] + inc[j] <= room[j];
        assert_true(inside[i] || !fits);
    }
    *left_out += by_window ? look->count - span.count : 0;
}

static void windows_leave_out_only_the_forbidden(void **state) {
    (void)state;
    RiddleShape shape = {.groups = 2, .columns = 5, .waters = 2, .plates = 1, .dead = 0.5};
    shape.long_groups = 2;
    shape.long_columns = 60;
    size_t left_out = 0;
    for (uint64_t seed = 1; seed <= 20; seed++) {
        Riddle riddle;
        riddle_make(&riddle, &shape, seed);
        ProgModel model;
        prog_model_init(&model, &riddle.programme);
        ProgCuts cuts = {.count = 1};
        ProgPrices none = {0};
        prog_cut_from_prices(&model, &none, &cuts.cut[0]);
        prog_cuts_plain(&model, &none, &cuts);
        prog_cuts_neutral(&model, &cuts);
        double limit = 5, room[PROG_CUTS_MAX], base[PROG_CUTS_MAX];
        ProgField field;
        assert_true(prog_field_build(&field, &model, &cuts, limit, false, NULL));
        if (field.empty) {
            prog_field_free(&field);
            riddle_free(&riddle);
            continue;
        }
        for (size_t j = 0; j < field.cut_count; j++)
            room[j] = limit - field.floor[j];
        ProgWindows windows;
        assert_true(prog_windows_init(&windows, &model, &field, room));
        Dice dice = {seed};
        for (int k = 0; k < 200; k++) {
            double used = dice_between(&dice, 0.2, 1);
            for (size_t j = 0; j < field.cut_count; j++)
                base[j] = room[j] * used * dice_between(&dice, 0, 1);
            for (size_t g = 2; g < 4; g++)
                check_span(&field, &windows, g, base, room, &left_out);
        }
        prog_windows_free(&windows);
        prog_field_free(&field);
        riddle_free(&riddle);
    }
    assert_true(left_out > 1000);
}

/* By hand: costs of 0.20 and 0.30 have a grid of 0.1; a bound of 0.21 at a tenth of the price of a
 * deviation means 0.3, or 0.2 and a deviation of 0.1. */
static void the_grid_is_the_costs_common_step(void **state) {
    (void)state;
    double f[2] = {0, 0};
    ProgColumn columns[2] = {{.f = &f[0], .cost = 0.2}, {.f = &f[1], .cost = 0.3}};
    ProgGroup group = {columns, 2};
    Programme p = {.feature_count = 1, .groups = &group, .group_count = 1};
    ProgModel model;
    prog_model_init(&model, &p);
    assert_close(model.grid, 0.1, 1e-12, 0);
    ProgCut cut = {.charge = 0.1};
    assert_close(prog_cut_reach(&model, &cut, 0.3), 0.3, 1e-12, 0);
    assert_close(prog_cut_reach(&model, &cut, 0.29), 0.209, 1e-12, 0);
    cut.charge = 1;
    assert_close(prog_cut_reach(&model, &cut, 0.29), 0.29, 1e-12, 0);
    columns[1].cost = 0.3 + 1e-9; /* no step to speak of */
    prog_model_init(&model, &p);
    assert_close(model.grid, 0, 0, 0);
    cut.charge = 0.1;
    assert_close(prog_cut_reach(&model, &cut, 0.29), 0.29, 1e-12, 0);
}

/* By hand: three tenths of a target's price, two fifths of a class's, all of both where filing
 * costs. */
static void a_cut_knows_its_share(void **state) {
    (void)state;
    RiddleShape shape = {.groups = 3, .columns = 3, .waters = 1, .dead = 0.5};
    Riddle riddle;
    riddle_make(&riddle, &shape, 1);
    ProgModel model;
    prog_model_init(&model, &riddle.programme);
    ProgPrices prices = {0};
    ProgCut cut;
    const ProgTarget *target = &riddle.targets[0];
    prices.target[0] = -0.3 * target->weight / target->unit;
    prog_cut_from_prices(&model, &prices, &cut);
    assert_close(cut.charge, 0.3, 1e-12, 0);
    assert_close(cut.target_charge, 0.3, 1e-12, 0);
    assert_close(cut.dead, 0.3 * target->weight * target->dead / target->unit, 1e-12, 0);
    prices.side[0] = 0.4 * riddle.class_weight[0] / riddle.rows[0].unit;
    prog_cut_from_prices(&model, &prices, &cut);
    assert_close(cut.charge, 0.4, 1e-12, 0);
    model.any_slope = true;
    prog_cut_from_prices(&model, &prices, &cut);
    assert_close(cut.charge, 1, 1e-12, 0);
    riddle_free(&riddle);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(any_prices_make_a_bound),
        cmocka_unit_test(ready_made_cuts_are_bounds),
        cmocka_unit_test(a_rigs_own_prices_bound_all_and_meet_it),
        cmocka_unit_test(windows_leave_out_only_the_forbidden),
        cmocka_unit_test(a_cut_knows_its_share),
        cmocka_unit_test(the_grid_is_the_costs_common_step),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
