/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every example and a set of extreme builds (5 mm and 400 mm long, 12 seats, hostile names, upside
 * down) in every view and on both papers: text lies on its page and never on other text, markup is
 * escaped, and the same records give the same bytes. The builds are invented; what is checked are
 * our own promises of docs/sheet.md. Life size is measured in the PDF by life_size.sh. */
#include "sheet/kit.h"

#include <librsvg/rsvg.h>

static Kit kit;

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
    for (size_t i = 0; i < kit.files.gl_pathc; i++) {
        BlyBuild *build = kit_build(kit.files.gl_pathv[i], &kit.catalog);
        BlySheetFacts facts;
        kit_gather(build, &kit.catalog, &facts);
        for (int view = 0; view < BLY_SHEET_VIEWS; view++) {
            for (int paper = 0; paper < BLY_PAPERS; paper++) {
                BlySheetOrder order = {.view = (BlySheetView)view,
                                       .paper = (BlyPaper)paper,
                                       .system = paper == 0 ? BLY_METRIC : BLY_INCH};
                check_draw(kit.files.gl_pathv[i], &facts, order);
            }
        }
        bly_sheet_facts_release(&facts);
        bly_build_free(build);
    }
}

/* Both parsers are foreign: librsvg's here, xmllint in life_size.sh. */
static void a_foreign_parser_reads_it(void **state) {
    (void)state;
    BlyBuild *build = kit_build("tests/sheet/builds/hostile.json", &kit.catalog);
    BlySheetFacts facts;
    BlySheet sheet = {0};
    kit_gather(build, &kit.catalog, &facts);
    assert_true(bly_sheet_draw(&facts, NULL, &(BlySheetOrder){0}, &sheet, NULL));
    for (size_t p = 0; p < sheet.count; p++) {
        const BlySheetPage *page = &sheet.pages[p];
        RsvgHandle *svg = rsvg_handle_new_from_data((const guint8 *)page->svg, page->size, NULL);
        assert_non_null(svg);
        rsvg_handle_set_dpi(svg, 96);
        gdouble width, height; /* CSS pixels of 1/96 in */
        assert_true(rsvg_handle_get_intrinsic_size_in_pixels(svg, &width, &height));
        assert_close(width * 25.4 / 96, 210, 0.1, 0);
        assert_close(height * 25.4 / 96, 297, 0.1, 0);
        g_object_unref(svg);
        assert_null(strstr(page->svg, "<b>"));
        assert_null(strstr(page->svg, "<!--"));
        assert_null(strstr(page->svg, "\xE2\x80\xAE")); /* U+202E */
        assert_non_null(strstr(page->svg, "&lt;b&gt;&amp;&quot;lure&quot;&lt;/b&gt;&#39; ]]&gt;"));
    }
    bly_sheet_release(&sheet);
    bly_sheet_facts_release(&facts);
    bly_build_free(build);
}

static size_t times(const char *text, const char *what) {
    size_t n = 0;
    for (const char *at = strstr(text, what); at != NULL; at = strstr(at + 1, what))
        n++;
    return n;
}

/* With another rig the side view holds two bodies, one of them in the dashed group. */
static void before_and_after_are_both_there(void **state) {
    (void)state;
    BlyBuild *build = kit_build("tests/sheet/builds/full.json", &kit.catalog);
    BlySheetFacts now, later;
    BlySheet one = {0}, both = {0};
    BlyRig rig = {0};
    kit_gather(build, &kit.catalog, &now);
    assert_true(bly_rig_copy(&rig, &build->fitted, NULL));
    assert_true(bly_build_swap(build, &kit.catalog, &rig, "belly", "hook", "single", NULL));
    assert_true(sheet_gather(build, &kit.catalog, &rig, &later, NULL));
    for (int view = 0; view < BLY_SHEET_VIEWS; view++) {
        BlySheetOrder order = {.view = (BlySheetView)view};
        assert_true(bly_sheet_draw(&now, &later, &order, &both, NULL));
        for (size_t p = 0; p < both.count; p++)
            check_texts("full, after", &both.pages[p], p + 1);
        bly_sheet_release(&both);
    }
    BlySheetOrder side = {.view = BLY_VIEW_SIDE};
    assert_true(bly_sheet_draw(&now, NULL, &side, &one, NULL));
    assert_true(bly_sheet_draw(&now, &later, &side, &both, NULL));
    assert_int_equal(times(one.pages[0].svg, "class=\"body\""), 1);
    assert_int_equal(times(one.pages[0].svg, "<g class=\"before\">"), 0);
    assert_int_equal(times(both.pages[0].svg, "class=\"body\""), 2);
    assert_int_equal(times(both.pages[0].svg, "<g class=\"before\">"), 1);
    bly_sheet_release(&one);
    bly_sheet_release(&both);
    bly_sheet_facts_release(&now);
    bly_sheet_facts_release(&later);
    bly_rig_release(&rig);
    bly_build_free(build);
}

/* The sheet holds what the ladder, the seats and the parts say. */
static void the_page_tells_what_it_should(void **state) {
    (void)state;
    static const char *const wanted[] = {
        "Weigh ladder",
        "should read",
        "bare blank",
        "hooks and rings hung",
        "from the nose",
        "28.00 mm",
        "1.10 in, 1 7/64",
        "89.00 mm",
        "3.50 in, 3 1/2",
        "filed to 0.80 mm",
        "slot&#39;s depth 7.0 mm",
        "Lead is poisonous",
        "Filed and sheared metal",
        "Sanding dust",
        "Hooks are sharp",
        "Liquid resin",
        "this bar must measure 50 mm",
        "fresh water at 10 C",
        "fresh water at 8 C",
        "How sure it is",
        "4 turns",
    };
    BlyBuild *build = kit_build("tests/sheet/builds/full.json", &kit.catalog);
    BlySheetFacts facts;
    BlySheet sheet = {0};
    kit_gather(build, &kit.catalog, &facts);
    assert_true(bly_sheet_draw(&facts, NULL, &(BlySheetOrder){0}, &sheet, NULL));
    for (size_t i = 0; i < sizeof wanted / sizeof wanted[0]; i++) {
        size_t found = 0;
        for (size_t p = 0; p < sheet.count; p++)
            found += times(sheet.pages[p].svg, wanted[i]);
        if (found == 0)
            fail_msg("\"%s\" is nowhere on the sheet", wanted[i]);
    }
    bly_sheet_release(&sheet);
    bly_sheet_facts_release(&facts);
    bly_build_free(build);
    /* Cautions that do not apply stay away: no lead, no metal, no resin on the bare body. */
    build = kit_build("tests/sheet/builds/bare.json", &kit.catalog);
    kit_gather(build, &kit.catalog, &facts);
    assert_true(bly_sheet_draw(&facts, NULL, &(BlySheetOrder){0}, &sheet, NULL));
    for (size_t p = 0; p < sheet.count; p++) {
        assert_null(strstr(sheet.pages[p].svg, "Lead is"));
        assert_null(strstr(sheet.pages[p].svg, "Hooks are"));
        assert_null(strstr(sheet.pages[p].svg, "Liquid resin"));
        assert_null(strstr(sheet.pages[p].svg, "sheared metal"));
    }
    bly_sheet_release(&sheet);
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
        cmocka_unit_test(text_keeps_its_place),
        cmocka_unit_test(a_foreign_parser_reads_it),
        cmocka_unit_test(before_and_after_are_both_there),
        cmocka_unit_test(the_page_tells_what_it_should),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
