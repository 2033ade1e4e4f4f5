/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A corpus of broken builds: each file of tests/build/bad is wrong in one place, and bad.csv says
 * which error must come, where it must point, and a word that its text must hold. The rules are
 * those of docs/format.md; tests/build/schema.sh holds the same files against the schema. */
#include "build/files.h"
#include "build/shelf.h"
#include "support/table.h"
#include "build/build.h"

#include <gsl/gsl_errno.h>

static const struct {
    const char *word;
    BlyCode code;
} code_words[] = {
    {"SYNTAX", BLY_E_SYNTAX},   {"UNIT", BLY_E_UNIT},       {"RANGE", BLY_E_RANGE},
    {"MISSING", BLY_E_MISSING}, {"UNKNOWN", BLY_E_UNKNOWN}, {"CONFLICT", BLY_E_CONFLICT},
};

static BlyCode code_of(const char *word) {
    for (size_t i = 0; i < sizeof code_words / sizeof code_words[0]; i++) {
        if (strcmp(code_words[i].word, word) == 0)
            return code_words[i].code;
    }
    fail_msg("no code %s", word);
    return BLY_OK;
}

/* One line of what went wrong, "" when all is as the table says. */
static void look_at(const BlyCatalog *shelf, const Table *table, size_t row, int *faults) {
    const char *name = table_text(table, row, "file"), *where = table_text(table, row, "where"),
               *word = table_text(table, row, "text"), *code = table_text(table, row, "code");
    char path[128];
    (void)snprintf(path, sizeof path, "tests/build/bad/%s.json", name);
    size_t size;
    char *text = file_bytes(path, &size);
    BlyBuild *build = NULL;
    BlyError err = {0}, again = {0};
    if (bly_build_read(text, size, shelf, &build, &err)) {
        print_error("%s: read without an error\n", name);
        bly_build_free(build);
        (*faults)++;
    } else {
        /* Broken JSON is placed by line and column. */
        bool placed = where[0] == '\0' && strcmp(table_text(table, row, "refused_by"), "text") == 0
                          ? err.where[0] != '/'
                          : strcmp(err.where, where) == 0;
        if (err.code != code_of(code) || !placed || strstr(err.text, word) == NULL) {
            print_error("%s: want %s, %s, \"%s\"; got %s, %s, \"%s\"\n", name, code, where, word,
                        bly_code_words(err.code), err.where, err.text);
            (*faults)++;
        }
        assert_null(build);
        assert_false(bly_build_read(text, size, shelf, &build, &again));
        assert_string_equal(err.text, again.text);
        assert_string_equal(err.where, again.where);
    }
    free(text);
}

static void each_broken_file_gets_its_error(void **state) {
    BlyCatalog *shelf = *state;
    Table *table = table_read("tests/build/bad.csv");
    int faults = 0;
    assert_true(table_rows(table) >= 70);
    for (size_t row = 0; row < table_rows(table); row++)
        look_at(shelf, table, row, &faults);
    table_free(table);
    assert_int_equal(faults, 0);
}

/* A reader that forgets the error must not be needed: NULL is allowed. */
static void errors_may_be_ignored(void **state) {
    BlyBuild *build = NULL;
    assert_false(bly_build_read("{", 1, *state, &build, NULL));
    assert_null(build);
}

int main(void) {
    (void)gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_broken_file_gets_its_error),
        cmocka_unit_test(errors_may_be_ignored),
    };
    return cmocka_run_group_tests(tests, shelf_stock, shelf_clear);
}
