/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shipped examples read with the shipped catalog, and their bodies are what their notes say. */
#include "build/files.h"
#include "support/beside.h"

#include <gsl/gsl_errno.h>
#include "ballastry/catalog.h"
#include "build/build.h"

static const char *const examples[] = {
    "examples/board-lip.json",   "examples/cedar-floater.json",   "examples/finished-minnow.json",
    "examples/glued-blank.json", "examples/light-by-design.json", "examples/larch-minnow.json",
    "examples/sinker-swap.json", "examples/too-light.json",       "examples/mesh-minnow.json",
};
enum { EXAMPLES = sizeof examples / sizeof examples[0] };

static BlyBuild *read_example(const BlyCatalog *catalog, const char *path) {
    size_t size;
    char *text = file_bytes(path, &size);
    BlyBuild *build = NULL;
    BlyError err = {0};
    BlyBuildFiles files = beside_files(path);
    if (!bly_build_read_with(text, size, catalog, &files, &build, &err))
        fail_msg("%s: %s: %s", path, err.where, err.text);
    free(text);
    return build;
}

static void examples_read(void **state) {
    for (size_t i = 0; i < EXAMPLES; i++) {
        BlyBuild *build = read_example(*state, examples[i]);
        assert_true(build->has_target);
        assert_true(build->seat_count > 0);
        unsigned open = 0;
        for (size_t s = 0; s < build->seat_count; s++)
            open |= build->seats[s].open;
        assert_int_not_equal(open, 0); /* something is left to choose */
        bly_build_free(build);
    }
}

/* "metal lip as the only ballast": nothing but the lip is free. */
static void only_the_lip_is_free(void **state) {
    BlyBuild *build = read_example(*state, "examples/board-lip.json");
    for (size_t s = 0; s < build->seat_count; s++)
        assert_true((build->seats[s].open != 0) == (build->seats[s].kind == BLY_SEAT_SLOT));
    bly_build_free(build);
}

static int load(void **state) {
    static BlyCatalog catalog;
    BlyError err = {0};
    if (!bly_catalog_shipped(&catalog, &err))
        fail_msg("%s: %s", err.where, err.text);
    *state = &catalog;
    return 0;
}

static int unload(void **state) {
    bly_catalog_release(*state);
    return 0;
}

int main(void) {
    (void)gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(examples_read),
        cmocka_unit_test(only_the_lip_is_free),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
