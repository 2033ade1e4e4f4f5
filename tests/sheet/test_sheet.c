/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every example and a set of extreme builds (5 mm and 400 mm long, 12 seats, hostile names, upside
 * down) in every view and on both papers: text lies on its page and never on other text, markup is
 * escaped, and the same records give the same bytes. The builds are invented; what is checked are
 * our own promises of docs/sheet.md. Life size is measured in the PDF by life_size.sh. */
#include "support/check.h"
#include "ballastry/catalog.h"
#include "ballastry/sheet.h"
#include "files/files.h"

#include <glob.h>

static BlyCatalog catalog;
static glob_t files;

static BlyBuild *read_build(const char *path) {
    char *text;
    size_t size;
    BlyBuild *build;
    BlyError err = {0};
    if (!bly_file_read(path, 1 << 20, &text, &size, &err) ||
        !bly_build_read(text, size, &catalog, &build, &err))
        fail_msg("%s: %s: %s", path, err.where, err.text);
    free(text);
    return build;
}

static bool overlap(const BlySheetText *a, const BlySheetText *b) {
    const double touch = 0.05; /* mm */
    return a->x + a->width > b->x + touch && b->x + b->width > a->x + touch &&
           a->y + a->height > b->y + touch && b->y + b->height > a->y + touch;
}

static void check_texts(const char *path, const BlySheetPage *page, size_t number) {
    for (size_t i = 0; i < page->text_count; i++) {
        const BlySheetText *t = &page->texts[i];
        if (t->x < -0.05 || t->y < -0.05 || t->x + t->width > page->width_mm + 0.05 ||
            t->y + t->height > page->height_mm + 0.05)
            fail_msg("%s, page %zu: text %zu at %.1f, %.1f leaves the page", path, number, i, t->x,
                     t->y);
        for (size_t k = i + 1; k < page->text_count; k++) {
            if (overlap(t, &page->texts[k]))
                fail_msg("%s, page %zu: texts %zu and %zu overlap at %.1f, %.1f", path, number, i,
                         k, t->x, t->y);
        }
    }
}

static void check_draw(const char *path, const BlySheetFacts *facts, BlySheetOrder order) {
    BlySheet sheet = {0}, again = {0};
    BlyError err = {0};
    assert_true(bly_sheet_draw(facts, NULL, &order, &sheet, &err));
    assert_true(bly_sheet_draw(facts, NULL, &order, &again, &err));
    assert_true(sheet.count > 0);
    assert_int_equal(sheet.count, again.count);
    for (size_t p = 0; p < sheet.count; p++) {
        const BlySheetPage *page = &sheet.pages[p];
        assert_true(page->text_count > 0);
        assert_int_equal(page->size, strlen(page->svg));
        assert_string_equal(page->svg, again.pages[p].svg);
        assert_null(strstr(page->svg, "<script"));
        assert_null(strstr(page->svg, "nan"));
        check_texts(path, page, p + 1);
    }
    bly_sheet_release(&sheet);
    bly_sheet_release(&again);
}

static void text_keeps_its_place(void **state) {
    (void)state;
    for (size_t i = 0; i < files.gl_pathc; i++) {
        BlyBuild *build = read_build(files.gl_pathv[i]);
        BlySheetFacts facts;
        BlyError err = {0};
        if (!bly_sheet_gather(build, &catalog, &build->fitted, &facts, &err))
            fail_msg("%s: %s", files.gl_pathv[i], err.text);
        for (int view = 0; view < BLY_SHEET_VIEWS; view++) {
            for (int paper = 0; paper < BLY_PAPERS; paper++) {
                BlySheetOrder order = {.view = (BlySheetView)view,
                                       .paper = (BlyPaper)paper,
                                       .system = paper == 0 ? BLY_METRIC : BLY_INCH};
                check_draw(files.gl_pathv[i], &facts, order);
            }
        }
        bly_sheet_facts_release(&facts);
        bly_build_free(build);
    }
}

static void the_terminal_picture_is_plain(void **state) {
    (void)state;
    for (size_t i = 0; i < files.gl_pathc; i++) {
        BlyBuild *build = read_build(files.gl_pathv[i]);
        BlySheetFacts facts;
        BlyError err = {0};
        assert_true(bly_sheet_gather(build, &catalog, &build->fitted, &facts, &err));
        BlyTerminal terminal = {.columns = 60, .rows = 16};
        char *text;
        assert_true(bly_sheet_terminal(build, &build->fitted, &facts.lure, &facts.outcome,
                                       &terminal, &text, &err));
        size_t column = 0, rows = 0;
        for (const char *p = text; *p != '\0'; p++) {
            assert_true(*p == '\n' || (*p >= ' ' && *p <= '~'));
            column = *p == '\n' ? 0 : column + 1;
            rows += *p == '\n';
            assert_true(column <= 60);
        }
        assert_true(rows > 2 && rows <= 16);
        free(text);
        bly_sheet_facts_release(&facts);
        bly_build_free(build);
    }
}

static int set_up(void **state) {
    (void)state;
    char *text;
    size_t size;
    bool good = bly_catalog_shipped(&catalog, NULL) &&
                bly_file_read("tests/sheet/parts.json", 1 << 20, &text, &size, NULL) &&
                bly_catalog_read_json(&catalog, text, size, NULL);
    if (!good)
        return -1;
    free(text);
    if (glob("examples/*.json", 0, NULL, &files) != 0 ||
        glob("tests/sheet/builds/*.json", GLOB_APPEND, NULL, &files) != 0)
        return -1;
    return files.gl_pathc > 10 ? 0 : -1;
}

static int tear_down(void **state) {
    (void)state;
    globfree(&files);
    bly_catalog_release(&catalog);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(text_keeps_its_place),
        cmocka_unit_test(the_terminal_picture_is_plain),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
