/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Draws: what they share, how wide they come out, what a change does. The build is invented. */
#include "ballastry/spread.h"
#include "ballastry/tow_range.h"
#include "build/build.h"
#include "lure/kit.h"
#include "support/shipped.h"

#include <gsl/gsl_cdf.h>

static const char text[] =
    "{\"ballastry\": 1, \"name\": \"diver\", \"water\": {\"temperature\": \"12 C\"},"
    " \"body\": {\"stations\": ["
    "  {\"x\": \"0 mm\", \"width\": \"0 mm\", \"height\": \"0 mm\"},"
    "  {\"x\": \"25 mm\", \"width\": \"13 mm\", \"height\": \"17 mm\"},"
    "  {\"x\": \"80 mm\", \"width\": \"3 mm\", \"height\": \"4 mm\"}],"
    "  \"material\": \"larch\","
    " \"coats\": [{\"material\": \"epoxy-clear\", \"thickness\": \"0.25 mm\"}]},"
    " \"seats\": {"
    "  \"tie\": {\"kind\": \"tie\", \"x\": \"0 mm\", \"side\": \"nose\"},"
    "  \"belly\": {\"kind\": \"hanger\", \"x\": \"26 mm\", \"side\": \"belly\"},"
    "  \"tail\": {\"kind\": \"hanger\", \"x\": \"80 mm\", \"side\": \"tail\"},"
    "  \"lip\": {\"kind\": \"slot\", \"x\": \"9 mm\", \"side\": \"belly\", \"angle\": \"45 deg\","
    "   \"depth\": \"6 mm\", \"length\": [\"12 mm\", \"30 mm\"]}},"
    " \"fitted\": {"
    "  \"tie\": {\"eye\": \"screw-eye-1.0-10\"},"
    "  \"belly\": {\"eye\": \"screw-eye-1.0-10\", \"ring\": \"ring-3\", \"hook\": "
    "\"treble-6-medium\"},"
    "  \"tail\": {\"eye\": \"screw-eye-1.0-10\", \"ring\": \"ring-3\", \"hook\": "
    "\"treble-6-medium\"},"
    "  \"lip\": {\"sheet\": \"copper-1.0\", \"outline\": \"tongue-15\", \"length\": \"18 mm\"}}}";

static BlyBuild *open_build(void) {
    BlyBuild *build = NULL;
    must(bly_build_read(text, strlen(text), &catalog, &build, err));
    return build;
}

static BlyTowAsk ask_at(double speed) {
    BlyTowAsk ask = bly_tow_usual();
    ask.speeds[0] = speed;
    ask.speed_count = 1;
    ask.change_at = 0;
    return ask;
}

static BlyTowed towed(const BlyBuild *build, const BlyTowAsk *ask) {
    BlyTowed out;
    must(bly_towed(build, &build->fitted, ask, &out, err));
    return out;
}

static void what_is_said_holds_the_draws(void **state) {
    (void)state;
    BlyBuild *build = open_build();
    BlyTowAsk ask = ask_at(1);
    BlyTowed out = towed(build, &ask), again = towed(build, &ask);
    assert_int_equal(out.draws, BLY_TOW_DRAWS);
    const BlyTowAt *at = &out.at[0];
    double sum = 0;
    for (int i = 0; i < BLY_TOW_STATES; i++)
        sum += at->share[i];
    assert_close(sum, 1, 1e-9, 0);
    const BlyTowRange *ranges[] = {&at->pull, &at->depth, &at->near_rod, &at->cast};
    for (int i = 0; i < 4; i++) {
        assert_true(ranges[i]->low < ranges[i]->high);
        assert_true(ranges[i]->said_low <= ranges[i]->low);
        assert_true(ranges[i]->said_low <= ranges[i]->nominal * 2 / 3 * (1 + 1e-12));
        assert_true(ranges[i]->said_high >= ranges[i]->nominal * 4 / 3 * (1 - 1e-12));
    }
    assert_true(at->nose_down.said_high - at->nose_down.said_low >= 2 * 5 * M_PI / 180 - 1e-9);
    assert_memory_equal(&out.at[0].depth, &again.at[0].depth, sizeof out.at[0].depth);
    ask.draws = 2000; /* ten times as many: the ends move by sampling alone */
    again = towed(build, &ask);
    assert_close(again.at[0].depth.low, at->depth.low, 0, 0.05);
    assert_close(again.at[0].depth.high, at->depth.high, 0, 0.05);
    assert_close(again.at[0].nose_down.low, at->nose_down.low, 1 * M_PI / 180, 0);
    assert_close(again.at[0].nose_down.high, at->nose_down.high, 1 * M_PI / 180, 0);
    bly_build_free(build);
}

/* A depth drawn lies between those of all corners of what the model does not know, widened by the
 * build's own give (brute force: 128 runs). */
static void no_wider_than_the_corners(void **state) {
    (void)state;
    BlyBuild *build = open_build();
    BlyTowAsk ask = ask_at(1);
    BlyTowed out = towed(build, &ask);
    BlyLure lure;
    BlyWater water;
    BlyVec3 tie;
    BlyTow *tow;
    must(bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, err));
    must(bly_water_at(12, 0, &water, err));
    must(bly_tow_tie(&lure, build->seats, build->seat_count, &build->fitted, &tie, err));
    must(bly_tow_make(&lure, tie, &water, &tow, err));
    double least = INFINITY, most = 0;
    for (unsigned corner = 0; corner < 1u << BLY_TOW_FACTORS; corner++) {
        BlyTowModel model;
        BlyTowRun run;
        for (int i = 0; i < BLY_TOW_FACTORS; i++) {
            double low, high;
            bly_tow_bounds((BlyTowFactor)i, &low, &high);
            model.by[i] = corner >> i & 1 ? high : low;
        }
        must(bly_tow_run(tow, &model, 1, &ask.line, &run, err));
        least = fmin(least, run.line.depth);
        most = fmax(most, run.line.depth);
    }
    assert_between(out.at[0].depth.low, least, out.at[0].depth.nominal);
    assert_between(out.at[0].depth.high, out.at[0].depth.nominal, most);
    assert_true(most - least > 1.2 * (out.at[0].depth.high - out.at[0].depth.low));
    bly_tow_free(tow);
    bly_lure_release(&lure);
    bly_build_free(build);
}

/* How many of the draws float is a matter of the net weight alone, whose spread another room works
 * out by first order: normal distribution. */
static void floats_as_the_net_weight_says(void **state) {
    (void)state;
    BlyBuild *build = open_build();
    BlyTowAsk ask = ask_at(1);
    ask.draws = 1000;
    BlyTowed out = towed(build, &ask);
    static BlySpread spread;
    BlySpreadOptions options = {.samples = 1000};
    must(bly_spread(build, &build->fitted, &build->water, 1, NULL, &options, &spread, err));
    const BlyRange *net = &spread.water[0].range[BLY_Q_NET_WEIGHT];
    assert_close(out.net_weight, net->nominal, 2e-7, 0);
    assert_close(out.floats, gsl_cdf_ugaussian_P(-net->nominal / net->sigma), 0.02, 0);
    assert_between(out.floats, 0.01, 1);
    bly_build_free(build);
}

/* A lever is the same as the rig changed by hand, draw by draw; the same rig twice is no change. */
static void a_lever_is_the_rig_changed(void **state) {
    (void)state;
    BlyBuild *build = open_build();
    BlyTowAsk ask = ask_at(1);
    BlyTowEffect levers[BLY_TOW_LEVERS], by_hand, none;
    BlyRig rig;
    must(bly_tow_levers(build, &build->fitted, &ask, levers, err));
    must(bly_rig_copy(&rig, &build->fitted, err));
    must(bly_tow_compare(build, &build->fitted, &rig, &ask, &none, err));
    assert_close(none.depth.middle, 1, 0, 0);
    assert_int_equal(none.depth.sign, 0);
    assert_close(none.pull.more + none.pull.less, 0, 0, 0);
    rig.at[bly_build_seat(build, "lip")].length += 4e-3;
    must(bly_tow_compare(build, &build->fitted, &rig, &ask, &by_hand, err));
    assert_close(by_hand.depth.middle, levers[BLY_TOW_LIP_LONGER].depth.middle, 0, 1e-9);
    assert_close(by_hand.nose_down.high, levers[BLY_TOW_LIP_LONGER].nose_down.high, 1e-9, 0);
    bly_rig_release(&rig);
    bly_build_free(build);
}

/* Common practice, no source: a longer and a wider lip run deeper and pull harder; thinner line
 * runs deeper; a tie lower down lifts the nose. */
static void levers_the_trade_knows(void **state) {
    (void)state;
    BlyBuild *build = open_build();
    BlyTowAsk ask = ask_at(1);
    BlyTowEffect on[BLY_TOW_LEVERS];
    must(bly_tow_levers(build, &build->fitted, &ask, on, err));
    for (int i = 0; i < BLY_TOW_LEVERS; i++) {
        assert_true(on[i].possible);
        assert_true(strlen(bly_tow_lever_words((BlyTowLever)i)) > 5);
        assert_true(on[i].depth.low <= on[i].depth.middle &&
                    on[i].depth.middle <= on[i].depth.high);
    }
    assert_int_equal(on[BLY_TOW_LIP_LONGER].depth.sign, 1);
    assert_int_equal(on[BLY_TOW_LIP_LONGER].pull.sign, 1);
    assert_int_equal(on[BLY_TOW_LIP_WIDER].depth.sign, 1);
    assert_int_equal(on[BLY_TOW_LINE_THINNER].depth.sign, 1);
    assert_int_equal(on[BLY_TOW_LINE_THINNER].pull.sign, 0);
    assert_int_equal(on[BLY_TOW_TIE_LOWER].nose_down.sign, -1);
    assert_int_equal(on[BLY_TOW_HOOKS_LARGER].pull.sign, 1);
    ask.line.diameter = 0.15e-3;
    must(bly_tow_levers(build, &build->fitted, &ask, on, err));
    assert_false(on[BLY_TOW_LINE_THINNER].possible);
    bly_build_free(build);
}

static void odd_asking_is_refused(void **state) {
    (void)state;
    BlyBuild *build = open_build();
    BlyTowed out;
    BlyError err = {0};
    BlyTowAsk ask = ask_at(0);
    assert_false(bly_towed(build, &build->fitted, &ask, &out, &err));
    assert_string_equal(err.where, "/speed");
    ask = ask_at(1);
    ask.speed_count = 0;
    assert_false(bly_towed(build, &build->fitted, &ask, &out, &err));
    ask = ask_at(1);
    ask.draws = 3;
    assert_false(bly_towed(build, &build->fitted, &ask, &out, &err));
    assert_string_equal(err.where, "/draws");
    ask = ask_at(1);
    ask.line.length = -1;
    assert_false(bly_towed(build, &build->fitted, &ask, &out, &err));
    assert_string_equal(err.where, "/length");
    bly_build_free(build);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_said_holds_the_draws),
        cmocka_unit_test(no_wider_than_the_corners),
        cmocka_unit_test(floats_as_the_net_weight_says),
        cmocka_unit_test(a_lever_is_the_rig_changed),
        cmocka_unit_test(levers_the_trade_knows),
        cmocka_unit_test(odd_asking_is_refused),
    };
    return cmocka_run_group_tests(tests, load_shipped, drop_shipped);
}
