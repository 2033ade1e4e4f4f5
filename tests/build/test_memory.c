/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Memory that runs out at the n-th request while a build is read or written. The files of the room
 * that ask for memory are compiled in here with an allocator that fails on demand; cJSON gets the
 * same one. */
#include "support/check.h"
#include "support/short_memory.h"

#include <cjson/cJSON.h>
#define malloc short_malloc
#define calloc short_calloc
#include "build/build.c"
#include "build/seats.c"
#include "build/target.c"
#include "build/limits.c"
#include "build/material.c"
#include "build/outside.c"
#include "build/ties.c"
#undef malloc
#undef calloc

#include "build/files.h"
#include "build/shelf.h"

#include <gsl/gsl_errno.h>

static BlyCatalog shelf;
static char *text;
static size_t size;

static int load(void **state) {
    (void)state;
    cJSON_Hooks hooks = {short_malloc, free};
    cJSON_InitHooks(&hooks);
    shelf_fill(&shelf);
    text = file_bytes("tests/build/good/everything.json", &size);
    return 0;
}

static int unload(void **state) {
    (void)state;
    cJSON_InitHooks(NULL);
    bly_catalog_release(&shelf);
    free(text);
    return 0;
}

static void reading_survives(void **state) {
    (void)state;
    bool good = false;
    long most = 0;
    for (; !good; most++) {
        BlyBuild *build = NULL;
        BlyError err = {0};
        requests_left = most;
        good = bly_build_read(text, size, &shelf, &build, &err);
        requests_left = -1;
        if (!good) {
            assert_null(build);
            assert_int_equal(err.code, BLY_E_MEMORY);
        }
        bly_build_free(build);
    }
    assert_true(most > 300); /* every value of the file is a node at least */
}

static void writing_survives(void **state) {
    (void)state;
    BlyBuild *build = NULL;
    BlyRig rig;
    assert_true(bly_build_read(text, size, &shelf, &build, NULL));
    assert_true(bly_rig_copy(&rig, &build->fitted, NULL));
    for (size_t i = 0; i < rig.count; i++)
        rig.at[i].of[BLY_PART_EYE].weighed = (BlyFigure){1e-4, 1e-5};
    assert_true(bly_build_swap(build, &shelf, &rig, "tail", "eye", "eye-small", NULL));
    for (int way = 0; way < 3; way++) {
        bool good = false;
        for (long most = 0; !good; most++) {
            char *out = NULL;
            BlyError err = {0};
            requests_left = most;
            good = way == 0 ? bly_build_text_with_rig(build, &rig, &out, &err)
                            : bly_build_text_with(build, "/learnt/new/deep",
                                                  way == 1 ? "{\"a\": [1, 2]}" : NULL, &out, &err);
            requests_left = -1;
            if (!good) {
                assert_null(out);
                assert_int_equal(err.code, BLY_E_MEMORY);
            }
            free(out);
        }
    }
    bly_rig_release(&rig);
    bly_build_free(build);
}

int main(void) {
    (void)gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reading_survives),
        cmocka_unit_test(writing_survives),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
