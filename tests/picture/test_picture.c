/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files out of pages: their kind by their ending, their size, the same bytes for the same pages.
 * PNG sizes are read from the file as the PNG specification (ISO/IEC 15948, 11.2.2) lays them out;
 * what a PDF holds is measured in tests/sheet/life_size.sh. */
#define _GNU_SOURCE /* memmem */
#include "support/check.h"
#include "picture/picture.h"

static char page_one[] =
    "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"50.8mm\" height=\"25.4mm\" "
    "viewBox=\"0 0 50.8 25.4\"><rect x=\"10\" y=\"5\" width=\"20\" height=\"10\"/></svg>";
static char page_two[] = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"10mm\" height=\"10mm\" "
                         "viewBox=\"0 0 10 10\"/>";
static char page_broken[] = "<svg xmlns=\"http://www.w3.org/2000/svg\"><g></svg>";

static BlySheetPage page(char *svg, double width_mm, double height_mm) {
    return (BlySheetPage){
        .svg = svg, .size = strlen(svg), .width_mm = width_mm, .height_mm = height_mm};
}

static void the_ending_says_the_kind(void **state) {
    (void)state;
    BlyPictureKind kind;
    assert_true(bly_picture_kind("a.svg", &kind) && kind == BLY_PICTURE_SVG);
    assert_true(bly_picture_kind("dir.png/a.PDF", &kind) && kind == BLY_PICTURE_PDF);
    assert_true(bly_picture_kind("a.b.Png", &kind) && kind == BLY_PICTURE_PNG);
    static const char *const others[] = {"", "pdf", ".pdf", "a.pdf ", "a.jpeg", "apdf"};
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++)
        assert_false(bly_picture_kind(others[i], &kind));
}

static void further_pages_are_numbered(void **state) {
    (void)state;
    static const char *const expected[] = {"a.b/lure.svg", "a.b/lure-2.svg", "a.b/lure-3.svg"};
    for (size_t i = 0; i < 3; i++) {
        char *name = bly_picture_file("a.b/lure.svg", i);
        assert_string_equal(name, expected[i]);
        free(name);
    }
}

static unsigned long big_endian(const char *bytes) {
    unsigned long value = 0;
    for (int i = 0; i < 4; i++)
        value = value << 8 | (unsigned char)bytes[i];
    return value;
}

static void pictures_have_their_size(void **state) {
    (void)state;
    BlySheetPage pages[2] = {page(page_one, 50.8, 25.4), page(page_two, 10, 10)};
    BlySheet sheet = {pages, 2};
    char *bytes;
    size_t size;
    assert_true(bly_picture_bytes(&sheet, 0, BLY_PICTURE_PNG, &bytes, &size, NULL));
    assert_memory_equal(bytes, "\x89PNG\r\n\x1a\n", 8);
    assert_int_equal(big_endian(bytes + 16), 2 * BLY_PICTURE_DPI); /* 50.8 mm are two inches */
    assert_int_equal(big_endian(bytes + 20), BLY_PICTURE_DPI);
    free(bytes);
    assert_true(bly_picture_bytes(&sheet, 1, BLY_PICTURE_SVG, &bytes, &size, NULL));
    assert_string_equal(bytes, page_two);
    free(bytes);
}

static void the_same_pages_give_the_same_bytes(void **state) {
    (void)state;
    BlySheetPage pages[2] = {page(page_one, 50.8, 25.4), page(page_two, 10, 10)};
    BlySheet sheet = {pages, 2};
    for (int kind = BLY_PICTURE_SVG; kind <= BLY_PICTURE_PNG; kind++) {
        char *one, *two;
        size_t size, again;
        assert_true(bly_picture_bytes(&sheet, 0, (BlyPictureKind)kind, &one, &size, NULL));
        assert_true(bly_picture_bytes(&sheet, 0, (BlyPictureKind)kind, &two, &again, NULL));
        assert_int_equal(size, again);
        assert_memory_equal(one, two, size);
        if (kind == BLY_PICTURE_PDF) {
            assert_memory_equal(one, "%PDF-", 5);
            assert_null(memmem(one, size, "CreationDate", 12)); /* or the bytes would change */
        }
        free(one);
        free(two);
    }
}

static void faults_are_told(void **state) {
    (void)state;
    BlySheetPage pages[1] = {page(page_broken, 10, 10)};
    BlySheet sheet = {pages, 1};
    BlyError err = {0};
    char *bytes;
    size_t size;
    assert_false(bly_picture_bytes(&sheet, 0, BLY_PICTURE_PDF, &bytes, &size, &err));
    assert_int_equal(err.code, BLY_E_INTERNAL);
    assert_false(bly_picture_bytes(&sheet, 1, BLY_PICTURE_SVG, &bytes, &size, &err));
    assert_false(bly_picture_write(&sheet, "x.gif", NULL, &err));
    assert_int_equal(err.code, BLY_E_UNKNOWN);
    assert_false(bly_picture_write(&sheet, "/no/such/folder/x.svg", NULL, &err));
    assert_int_equal(err.code, BLY_E_IO);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_ending_says_the_kind),
        cmocka_unit_test(further_pages_are_numbered),
        cmocka_unit_test(pictures_have_their_size),
        cmocka_unit_test(the_same_pages_give_the_same_bytes),
        cmocka_unit_test(faults_are_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
