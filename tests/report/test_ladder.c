/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the scale should read after another hook was hung on a lure that was read complete: what it
 * read, and what the hooks weigh apart (sums of the catalog's masses, by hand). */
#include "report/result.h"
#include "build/files.h"
#include "support/check.h"
#include "support/shipped.h"

#include <string.h>

static BlyBuild *finished(void) {
    size_t size;
    BlyBuild *build = NULL;
    BlyError err = {0};
    char *text = file_bytes("examples/finished-minnow.json", &size);
    if (!bly_build_read(text, size, &catalog, &build, &err))
        fail_msg("%s: %s", err.where, err.text);
    free(text);
    return build;
}

static LadderRow hung(const BlyBuild *build, const BlyRig *rig) {
    BlyLure lure;
    LadderRow rows[BLY_STEPS];
    assert_true(bly_lure_make(&build->blank, build->seats, rig, &lure, NULL));
    size_t count = ladder_rows(build, &lure, rows);
    bly_lure_release(&lure);
    assert_true(count > 0 && rows[count - 1].step == BLY_STEP_HUNG);
    return rows[count - 1];
}

static void another_hook_than_was_read(void **state) {
    (void)state;
    static const double read = 20e-3, give = 0.05e-3; /* kg; invented */
    BuildReading one = {.stage = BLY_STAGE_COMPLETE, .read = {read, give}, .on = "2031-04-30"};
    BlyBuild *build = finished();
    BuildReading *own = build->readings;
    size_t owned = build->reading_count;
    BlyRig rig = {0};
    int belly = bly_build_seat(build, "belly");
    build->readings = &one;
    build->reading_count = 1;
    LadderRow as_read = hung(build, &build->fitted);
    assert_true(as_read.read == &one);
    assert_close(as_read.rung.reads, read, 1e-12, 0);
    assert_close(as_read.rung.give, give, 1e-12, 0);
    assert_true(bly_rig_copy(&rig, &build->fitted, NULL));
    BlyChosenPart *hook = &rig.at[belly].of[BLY_PART_HOOK];
    const double before =
        isfinite(hook->weighed.value) ? hook->weighed.value : hook->part->mass.value;
    *hook = (BlyChosenPart){bly_catalog_part(&catalog, "treble-5-medium"), {NAN, 0}};
    assert_non_null(hook->part);
    LadderRow mended = hung(build, &rig);
    assert_null(mended.read);
    assert_close(mended.rung.reads, read + hook->part->mass.value - before, 1e-9, 0);
    assert_true(mended.rung.give > give);
    bly_rig_release(&rig);
    build->readings = own;
    build->reading_count = owned;
    bly_build_free(build);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(another_hook_than_was_read)};
    return cmocka_run_group_tests(tests, load_shipped, drop_shipped);
}
