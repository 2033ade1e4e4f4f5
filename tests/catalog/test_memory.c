/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Memory that runs out at the n-th request while a list of weighed parts or a catalog is read. The
 * files that ask for memory are compiled in here with an allocator that fails on demand; cJSON gets
 * the same one. */
#include "support/check.h"
#include "support/short_memory.h"

#include <cjson/cJSON.h>
#define malloc short_malloc
#define calloc short_calloc
#define realloc short_realloc
#include "parts/store.c"
#include "csv/csv.c"
#undef malloc
#undef calloc
#undef realloc

#include "ballastry/catalog.h"

static const char json[] =
    "{\"ballastry_catalog\": 1, \"materials\": [{\"id\": \"steel\", \"name\": \"steel\", "
    "\"density\": \"7.85 g/cm3\", \"give\": \"1 %\", \"origin\": \"published\", "
    "\"source\": \"a handbook\", \"metal\": true}], \"parts\": [{\"kind\": \"ring\", "
    "\"id\": \"ring-4\", \"name\": \"ring\", \"origin\": \"model\", \"source\": \"a model\", "
    "\"material\": \"steel\", \"size\": \"4\", \"wire\": \"0.85 mm\", \"outer\": \"7.2 mm\", "
    "\"passes\": \"1.7 mm\"}]}";
static const char list[] = "id,mass,count\nring-4,0.95 g,5\n";

static bool read_json(BlyCatalog *catalog, BlyError *err) {
    return bly_catalog_read_json(catalog, json, sizeof json - 1, err);
}

static bool read_both(BlyCatalog *catalog, BlyError *err) {
    return read_json(catalog, err) && bly_catalog_read_csv(catalog, list, sizeof list - 1, err);
}

static void every_request_may_fail(void **state) {
    (void)state;
    cJSON_InitHooks(&(cJSON_Hooks){.malloc_fn = short_malloc, .free_fn = free});
    for (long n = 0;; n++) {
        BlyCatalog catalog = {0};
        BlyError err = {0};
        requests_left = n;
        bool good = read_both(&catalog, &err);
        requests_left = -1;
        if (good) {
            assert_true(n > 50);
            assert_close(bly_catalog_part(&catalog, "ring-4")->mass.value, 0.19e-3, 0, 1e-12);
            bly_catalog_release(&catalog);
            break;
        }
        assert_int_equal(err.code, BLY_E_MEMORY);
        assert_true(read_both(&catalog, &err)); /* and goes through when there is room */
        bly_catalog_release(&catalog);
    }
    cJSON_InitHooks(NULL);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_request_may_fail)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
