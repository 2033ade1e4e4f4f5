/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A line put into a maker's box: the reader (bly_catalog_read_box, tested by itself) finds what was
 * asked for, and every other byte stands as it stood. */
#include "support/check.h"
#include "ballastry/catalog.h"
#include "catalog/catalog.h"

#include <math.h>
#include <string.h>

static char *put(const char *list, BoxLine line) {
    BlyText out = {0};
    BlyError err = {0};
    if (!box_put_line(list, strlen(list), &line, &out, &err))
        fail_msg("%s: %s", err.where, err.text);
    return bly_text_detach(&out);
}

/* What the reader makes of it. */
static const BlyPart *part_of(BlyCatalog *catalog, const char *list, const char *id) {
    BlyError err = {0};
    assert_true(bly_catalog_shipped(catalog, NULL));
    if (!bly_catalog_read_box(catalog, list, strlen(list), &err))
        fail_msg("%s: %s\n%s", err.where, err.text, list);
    return bly_catalog_part(catalog, id);
}

static void check(const char *list, BoxLine line, double count, double mass) {
    BlyCatalog catalog;
    char *now = put(list, line);
    const BlyPart *part = part_of(&catalog, now, line.id);
    assert_non_null(part);
    assert_true(part->in_box == count);
    assert_close(part->mass.value, mass, 1e-12, 0);
    bly_catalog_release(&catalog);
    free(now);
}

/* 0.54 g of five are 0.108 g each. */
static void test_lists_as_makers_write_them(void **state) {
    (void)state;
    const BoxLine weigh = {.id = "ring-3", .mass = "0.54 g", .weighed = "5", .count = "19"};
    check("", weigh, 19, 0.108e-3);
    check("\n \n", weigh, 19, 0.108e-3);
    check("id,count\nring-3,20\n", weigh, 19, 0.108e-3);
    check("id,count\ntreble-6-medium,3", weigh, 19, 0.108e-3);
    check("\xef\xbb\xbf# spring\r\nPieces;Part;Weight (g)\r\n4;ring-3;0,1\r\n2;ring-2;\r\n", weigh,
          19, 0.108e-3);
    check("id\tnumber\nring-3\t20\n# last\n", weigh, 19, 0.108e-3);
    check("kind,size,mass,count\nhook,6,0.5 g,3\n", weigh, 19, 0.108e-3);
}

/* RFC 4180: a cell with the separator or a quote is quoted, quotes are doubled. */
static void test_all_else_stays(void **state) {
    (void)state;
    const BoxLine count = {.id = "ring-3", .count = "7"};
    char *now =
        put("# mine; all\nid ; note;count\nring-2;\"a \"\"b\"\"; c\";4\n\nring-3;kept;20\n# end\n",
            count);
    assert_string_equal(
        now, "# mine; all\nid ; note;count\nring-2;\"a \"\"b\"\"; c\";4\nring-3;kept;7\n# end\n");
    free(now);
    const BoxLine note = {.id = "ring-2", .note = "a \"b\", c"};
    now = put("id,count\nring-2,4\nring-3,20", note);
    assert_string_equal(now, "id,count,note\nring-2,4,\"a \"\"b\"\", c\"\nring-3,20,\n");
    free(now);
    const BoxLine empty = {.id = "ring-2", .count = ""};
    now = put("id,count\nring-2,4\n", empty);
    assert_string_equal(now, "id,count\nring-2,\n");
    free(now);
}

static void test_what_is_no_list_is_refused(void **state) {
    (void)state;
    const BoxLine line = {.id = "ring-3", .count = "1"}, broken = {.id = "ring-3", .note = "a\nb"};
    BlyText out = {0};
    BlyError err = {0};
    assert_false(box_put_line("id,count\n\"ring-3,2\n", 19, &line, &out, &err));
    assert_string_equal(err.where, "line 2, column 1");
    assert_false(box_put_line("id\0count\n", 9, &line, &out, &err));
    assert_false(box_put_line("id,count\n", 9, &broken, &out, &err));
    assert_string_equal(err.where, "note");
    bly_text_release(&out);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_lists_as_makers_write_them),
        cmocka_unit_test(test_all_else_stays),
        cmocka_unit_test(test_what_is_no_list_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
