/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The picture in characters: plain ASCII when asked, within its columns and rows, colours that end,
 * and a nose that points where the outcome says. */
#include "sheet/kit.h"

#include <gsl/gsl_math.h>

static Kit kit;

static char *picture(const BlyBuild *build, const BlySheetFacts *facts, BlyTerminal terminal) {
    char *text;
    BlyError err = {0};
    if (!bly_sheet_terminal(build, &build->fitted, &facts->lure, &facts->outcome, &terminal, &text,
                            &err))
        fail_msg("%s: %s", build->name, err.text);
    return text;
}

/* Columns of the widest line and the number of lines; UTF-8 characters count as one, escapes as
 * none. */
static void measure(const char *text, int *columns, int *rows) {
    int column = 0;
    *columns = *rows = 0;
    for (const char *p = text; *p != '\0'; p++) {
        if (*p == '\x1b') {
            p += strcspn(p, "m");
        } else if (*p == '\n') {
            (*rows)++;
            column = 0;
        } else if (((unsigned char)*p & 0xC0) != 0x80) {
            column++;
        }
        *columns = column > *columns ? column : *columns;
    }
}

static void it_keeps_its_size(void **state) {
    (void)state;
    static const BlyTerminal sizes[] = {{60, 16, false, false},
                                        {20, 5, true, false},
                                        {200, 40, true, true},
                                        {-7, 100000, false, true},
                                        {100000, -3, true, false}};
    for (size_t i = 0; i < kit.files.gl_pathc; i++) {
        BlyBuild *build = kit_build(kit.files.gl_pathv[i], &kit.catalog);
        BlySheetFacts facts;
        kit_gather(build, &kit.catalog, &facts);
        for (size_t k = 0; k < sizeof sizes / sizeof sizes[0]; k++) {
            int columns, rows, most_columns = GSL_MIN(GSL_MAX(sizes[k].columns, 20), 400);
            int most_rows = GSL_MIN(GSL_MAX(sizes[k].rows, 5), 100);
            char *text = picture(build, &facts, sizes[k]);
            measure(text, &columns, &rows);
            assert_true(columns > 3 && columns <= most_columns);
            assert_true(rows > 2 && rows <= most_rows);
            for (const char *p = text; *p != '\0'; p++) {
                assert_true(sizes[k].blocks || (unsigned char)*p < 0x80);
                assert_true(sizes[k].colour || *p != '\x1b');
            }
            free(text);
        }
        bly_sheet_facts_release(&facts);
        bly_build_free(build);
    }
}

static void colours_end_with_their_line(void **state) {
    (void)state;
    BlyBuild *build = kit_build("tests/sheet/builds/full.json", &kit.catalog);
    BlySheetFacts facts;
    kit_gather(build, &kit.catalog, &facts);
    char *text = picture(build, &facts, (BlyTerminal){60, 16, true, true});
    bool on = false;
    assert_non_null(strchr(text, '\x1b'));
    for (const char *p = text; *p != '\0'; p++) {
        if (*p == '\x1b')
            on = strncmp(p, "\x1b[0m", 4) != 0;
        assert_false(*p == '\n' && on);
    }
    free(text);
    bly_sheet_facts_release(&facts);
    bly_build_free(build);
}

/* Row of the leftmost and of the rightmost '#'. */
static void ends(const char *text, int *left_row, int *right_row) {
    int row = 0, column = 0, least = 1000, most = -1;
    for (const char *p = text; *p != '\0'; p++, column++) {
        if (*p == '\n') {
            row++;
            column = -1;
        } else if (*p == '#') {
            if (column < least) {
                least = column;
                *left_row = row;
            }
            if (column >= most) {
                most = column;
                *right_row = row;
            }
        }
    }
}

static void the_nose_points_where_it_should(void **state) {
    (void)state;
    BlyBuild *build = kit_build("tests/sheet/builds/bare.json", &kit.catalog);
    BlySheetFacts facts;
    kit_gather(build, &kit.catalog, &facts);
    facts.outcome.has_surface = false;
    for (int deg = -60; deg <= 60; deg += 20) {
        int nose = 0, tail = 0;
        facts.outcome.nose_down = deg * M_PI / 180;
        char *text = picture(build, &facts, (BlyTerminal){60, 30, false, false});
        ends(text, &nose, &tail);
        assert_true(deg > 0 ? nose > tail + 3 : deg < 0 ? tail > nose + 3 : abs(nose - tail) <= 1);
        assert_null(strchr(text, '~')); /* no surface */
        free(text);
    }
    facts.outcome.has_surface = true;
    facts.outcome.surface.nose_down = facts.outcome.surface.heel = 0;
    facts.outcome.surface.plane_height = 0;
    char *text = picture(build, &facts, (BlyTerminal){60, 30, false, false});
    if (strchr(text, '~') == NULL)
        fail_msg("no surface:\n%s", text);
    free(text);
    bly_sheet_facts_release(&facts);
    bly_build_free(build);
}

static int set_up(void **state) {
    (void)state;
    return kit_open(&kit);
}

static int tear_down(void **state) {
    (void)state;
    return kit_close(&kit);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_keeps_its_size),
        cmocka_unit_test(colours_end_with_their_line),
        cmocka_unit_test(the_nose_points_where_it_should),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
