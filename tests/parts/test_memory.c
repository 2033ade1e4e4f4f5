/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Memory that runs out at the n-th request, for every n: the room is compiled in here with an
 * allocator that fails on demand. */
#include "support/check.h"
#include "support/short_memory.h"

#define malloc short_malloc
#define calloc short_calloc
#define realloc short_realloc
#include "parts/store.c"
#undef malloc
#undef calloc
#undef realloc

static bool fill(BlyCatalog *catalog, int count, BlyError *err) {
    char id[] = "part-a";
    for (int i = 0; i < count; i++) {
        id[5] = (char)('a' + i);
        BlyPart part = bly_part_blank(BLY_PART_HOOK);
        part.id = id;
        BlyMaterial material = bly_material_blank();
        material.id = id;
        if (!bly_catalog_put_part(catalog, &part, err) ||
            !bly_catalog_put_material(catalog, &material, err))
            return false;
    }
    return true;
}

static void every_request_may_fail(void **state) {
    (void)state;
    enum { COUNT = 20 }; /* more than the first room holds */
    for (long n = 0;; n++) {
        BlyCatalog catalog = {0};
        BlyError err = {0};
        requests_left = n;
        bool good = fill(&catalog, COUNT, &err);
        requests_left = -1;
        size_t parts = catalog.part_count, materials = catalog.material_count;
        assert_true(parts == materials || parts == materials + 1);
        if (good) {
            assert_int_equal(parts, COUNT);
            assert_true(n > 200);
            bly_catalog_release(&catalog);
            break;
        }
        assert_int_equal(err.code, BLY_E_MEMORY);
        assert_true(parts < COUNT || materials < COUNT);
        assert_true(fill(&catalog, COUNT, &err)); /* what failed goes through when there is room */
        assert_int_equal(catalog.part_count, COUNT);
        assert_non_null(bly_catalog_part(&catalog, "part-t"));
        bly_catalog_release(&catalog);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_request_may_fail)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
