/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One scale reading of a blank glued of two woods: least squares shares the surprise out in the
 * ratio of the variances of what each weighs (the posterior of normal laws with one linear
 * observation, as in any textbook of estimation). */
#include "tank/tank_bench.h"

static const char glued[] =
    "{ \"ballastry\": 1, \"name\": \"glued\", \"body\": { \"stations\": ["
    "{ \"x\": 0, \"diameter\": 20 }, { \"x\": 100, \"diameter\": 20 } ], \"give\": \"0 %\","
    "\"material\": { \"density\": 0.4, \"give\": 0.04 }, \"pieces\": ["
    "{ \"name\": \"belly\", \"below\": 0, \"material\": { \"density\": 0.8, \"give\": 0.03 } },"
    "{ \"name\": \"lead\", \"x\": 30, \"z\": -5, \"diameter\": 4,"
    "  \"mass\": { \"value\": 0.38, \"give\": 0.1 } } ] } }";

static void the_surprise_is_shared_out(void **state) {
    const BlyWaterFacts tank = {{18, 0}, {0, 0}};
    BlyBuild *build = bench_build(*state, glued);
    BlyTankResult result;
    double half = M_PI * 1e-4 * 0.1 / 2, ball = 4.0 / 3 * M_PI * 8e-9;
    /* g: what each weighs, and its give */
    double core = 400 * half, belly = 800 * (half - ball), lead = 0.38e-3;
    double give[3] = {40 * half, 30 * (half - ball), 0.1e-3}, scale = 0.05e-3, surprise = 0.6e-3;
    double sum = give[0] * give[0] + give[1] * give[1] + give[2] * give[2] + scale * scale;
    const BlyReading reading = {
        BLY_READ_SCALE, {core + belly + lead + surprise, scale}, BLY_STAGE_BLANK};
    must(bly_tank_learn(build, &reading, 1, &tank, &result, err));
    int seen = 0;
    for (size_t i = 0; i < result.correction_count; i++) {
        const BlyCorrection *c = &result.corrections[i];
        int which = c->kind == BLY_LEARN_DENSITY         ? 0
                    : c->kind == BLY_LEARN_INSET_DENSITY ? 1
                    : c->kind == BLY_LEARN_INSET_MASS    ? 2
                                                         : -1;
        double per[3] = {half, half - ball, 1};
        if (which < 0)
            continue;
        double square = give[which] * give[which], moved = (c->after.value - c->before.value);
        assert_close(moved * per[which], surprise * square / sum, 1e-9, 1e-4);
        assert_close(c->after.give * per[which], give[which] * sqrt(1 - square / sum), 0, 1e-4);
        assert_close(c->learnt, square / sum, 1e-4, 0);
        seen++;
    }
    assert_int_equal(seen, 3);
    assert_close(result.body_mass_before.value, core + belly + lead, 1e-9, 0);
    bly_tank_release(&result);
    bly_build_free(build);
}

/* Before it is glued a piece is a body of its own; a blank weighed whole leaves the pieces as
 * they are and the rest to the core. */
static void the_scale_leaves_the_rest_to_the_core(void **state) {
    char text[1024];
    (void)snprintf(text, sizeof text, "%s", glued);
    static const char by_density[] = "\"material\": { \"density\": 0.4, \"give\": 0.04 }";
    static const char by_scale[] = "\"mass\": { \"value\": 20, \"give\": 0.02 }";
    char *material = strstr(text, by_density);
    assert_non_null(material);
    memset(material, ' ', strlen(by_density));
    memcpy(material, by_scale, strlen(by_scale));
    BlyBuild *build = bench_build(*state, text);
    double half = M_PI * 1e-4 * 0.1 / 2, ball = 4.0 / 3 * M_PI * 8e-9;
    double core = 20e-3 - 800 * (half - ball) - 0.38e-3;
    assert_close(build->blank.body_density, core / half, 0, 1e-6);
    assert_close(build->blank.body_mass, 20e-3, 1e-12, 0);
    bly_build_free(build);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_surprise_is_shared_out),
        cmocka_unit_test(the_scale_leaves_the_rest_to_the_core),
    };
    return cmocka_run_group_tests(tests, bench_stock, bench_clear);
}
