/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether a picture is whole. The PDF is written here by the rules of ISO 32000-1, 7.5.4 and 7.5.5;
 * pdftotext reads broken ones in tests/faults/denied.sh. */
#include "support/check.h"
#include "picture/whole.h"

/* Two objects, the second only where `both`; its place in the table holds all the same. */
static size_t a_pdf(char out[512], bool both) {
    const char *second = "2 0 obj\n<< /Type /Pages /Count 0 /Kids [] >>\nendobj\n";
    int n = snprintf(out, 512, "%%PDF-1.4\n1 0 obj\n<< /Type /Catalog /Pages 2 0 R >>\nendobj\n");
    size_t one = strlen("%PDF-1.4\n"), two = (size_t)n;
    n += snprintf(out + n, 512 - (size_t)n, "%s", both ? second : "");
    int table = n;
    n += snprintf(out + n, 512 - (size_t)n,
                  "xref\n0 3\n0000000000 65535 f \n%010zu 00000 n \n%010zu 00000 n \n"
                  "trailer\n<< /Size 3 /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n",
                  one, two, table);
    return (size_t)n;
}

static void a_whole_one_passes(void **state) {
    (void)state;
    char pdf[512];
    assert_true(picture_pdf_whole(pdf, a_pdf(pdf, true)));
}

static void every_shorter_one_fails(void **state) {
    (void)state;
    char pdf[512];
    size_t size = a_pdf(pdf, true);
    for (size_t less = 0; less < size; less++) {
        char *copy = malloc(less + 1); /* so that a sanitizer sees what is read behind it */
        memcpy(copy, pdf, less);
        assert_false(picture_pdf_whole(copy, less));
        free(copy);
    }
}

static void a_missing_object_is_seen(void **state) {
    (void)state;
    char pdf[512];
    assert_false(picture_pdf_whole(pdf, a_pdf(pdf, false)));
}

static void a_changed_place_is_seen(void **state) {
    (void)state;
    char pdf[512];
    size_t size = a_pdf(pdf, true);
    char *place = strstr(pdf, "65535 f \n") + strlen("65535 f \n") + 9;
    *place = (char)(*place + 1);
    assert_false(picture_pdf_whole(pdf, size));
    memcpy(place - 9, "9999999999", 10);
    assert_false(picture_pdf_whole(pdf, size));
}

static void a_png_ends_with_its_end(void **state) {
    (void)state;
    const char end[] = "\0\0\0\0IEND\xae\x42\x60\x82";
    assert_true(picture_png_whole(end, sizeof end - 1));
    assert_false(picture_png_whole(end, sizeof end - 2));
    assert_false(picture_png_whole(end, 0));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_whole_one_passes),       cmocka_unit_test(every_shorter_one_fails),
        cmocka_unit_test(a_missing_object_is_seen), cmocka_unit_test(a_changed_place_is_seen),
        cmocka_unit_test(a_png_ends_with_its_end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
