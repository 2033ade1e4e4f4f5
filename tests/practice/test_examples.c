/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the shipped examples carry obeys the craft that the program asks of others. */
#include "support/shipped.h"
#include "ballastry/practice.h"
#include "build/build.h"
#include "files/files.h"

#include <stdlib.h>

static const char *const names[] = {"board-lip",     "caliper-stick",   "cast-mix",
                                    "cedar-floater", "finished-minnow", "glued-blank",
                                    "larch-minnow",  "light-by-design", "mesh-minnow",
                                    "sinker-swap",   "too-light",       "traced-minnow"};

static bool read_beside(void *context, const char *name, char **text, size_t *size, BlyError *err) {
    (void)context;
    char path[200];
    (void)snprintf(path, sizeof path, "examples/%s", name);
    return bly_file_read(path, 1 << 24, text, size, err);
}

static void fitted_rigs_obey_the_craft(void **state) {
    (void)state;
    int broken = 0;
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        char name[80], *text = NULL;
        size_t size = 0;
        BlyError err = {0};
        BlyBuild *build = NULL;
        BlyBreaches breaches = {0};
        (void)snprintf(name, sizeof name, "%s.json", names[i]);
        BlyBuildFiles files = {.read = read_beside};
        if (!read_beside(NULL, name, &text, &size, &err) ||
            !bly_build_read_with(text, size, &catalog, &files, &build, &err) ||
            !bly_practice_judge(build, &build->fitted, &breaches, &err))
            fail_msg("%s: %s %s", name, err.where, err.text);
        for (size_t k = 0; k < breaches.count; k++) {
            BlyRuleId rule = breaches.at[k].rule;
            print_message("%s: %s: %s\n", name, bly_rule_id(rule), breaches.at[k].text);
            broken += bly_catalog_practice(&catalog)->rule[rule].strength == BLY_RULE_NEVER ? 1 : 0;
        }
        bly_breaches_release(&breaches);
        bly_build_free(build);
        free(text);
    }
    assert_int_equal(broken, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(fitted_rigs_obey_the_craft)};
    return cmocka_run_group_tests(tests, load_shipped, drop_shipped);
}
