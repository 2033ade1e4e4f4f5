/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What makers try, worked out for one lure. That a shorter or narrower lip runs shallower and pulls
 * less is common practice, no source; that metal and hooks add weight is arithmetic; what a change
 * does at rest is held against the same change written into the build and read back. */
#include "ballastry/build.h"
#include "build/build.h"
#include "desk/cures.h"
#include "files/files.h"
#include "lure/kit.h"
#include "support/check.h"
#include "support/shipped.h"

#include <math.h>
#include <stdlib.h>

static BlyBuild *open_diver(void) {
    size_t size;
    char *text;
    BlyBuild *build;
    must(bly_file_read("tests/cli/on-the-line.json", 1 << 20, &text, &size, err));
    must(bly_build_read(text, size, &catalog, &build, err));
    free(text);
    return build;
}

static const CureDone *cure_of(const CuresWork *w, BlyTowLever change) {
    for (size_t i = 0; i < w->count; i++) {
        if (w->at[i].change == change)
            return &w->at[i];
    }
    fail_msg("not among them");
    return NULL;
}

static void a_ground_lip_runs_shallower(void **state) {
    (void)state;
    BlyBuild *build = open_diver();
    BlyTowAsk ask = bly_tow_usual();
    CuresWork w;
    must(cures_work(build, SAW_PORPOISES, &ask, &w, err));
    const CureDone *shorter = cure_of(&w, BLY_TOW_LIP_SHORTER);
    assert_true(shorter->possible);
    assert_int_equal(shorter->run.depth.sign, -1);
    assert_int_equal(shorter->run.pull.sign, -1);
    assert_int_equal(cure_of(&w, BLY_TOW_LIP_NARROWER)->run.depth.sign, -1);
    assert_true(cure_of(&w, BLY_TOW_REAR_HOOK_LARGER)->rest.sums.net_weight >
                w.before.sums.net_weight);
    assert_false(cure_of(&w, BLY_TOW_METAL_FORWARD)->possible); /* there is none */
    bly_build_free(build);
}

static void a_shorter_lip_rests_as_one_written_down(void **state) {
    (void)state;
    BlyBuild *build = open_diver(), *whole, *cut;
    BlyTowAsk ask = bly_tow_usual();
    CuresWork w;
    char *text;
    BlyLure lure;
    BlyWater water;
    BlyOutcome o;
    must(bly_build_text_with(build, "/fitted/lip/length", "\"24 mm\"", &text, err));
    must(bly_build_read(text, strlen(text), &catalog, &whole, err));
    free(text);
    must(cures_work(whole, SAW_PORPOISES, &ask, &w, err));
    must(bly_build_text_with(build, "/fitted/lip/length", "\"21 mm\"", &text, err));
    must(bly_build_read(text, strlen(text), &catalog, &cut, err));
    must(bly_build_lure(cut, NULL, &lure, err));
    must(bly_water_at(12, 0, &water, err));
    must(bly_rest(&lure, &water, &o, err));
    const CureDone *shorter = cure_of(&w, BLY_TOW_LIP_SHORTER);
    assert_close(shorter->rest.sums.net_weight, o.sums.net_weight, 1e-9, 0);
    assert_close(shorter->rest.surface.nose_down, o.surface.nose_down, 1e-4, 0);
    bly_lure_release(&lure);
    bly_build_free(cut);
    bly_build_free(whole);
    bly_build_free(build);
    free(text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_ground_lip_runs_shallower),
        cmocka_unit_test(a_shorter_lip_rests_as_one_written_down),
    };
    return cmocka_run_group_tests(tests, load_shipped, drop_shipped);
}
