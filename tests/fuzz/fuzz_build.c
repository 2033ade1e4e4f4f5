/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Build files, and behind a zero byte the caliper list that they may name. Laws: a build that reads
 * can be written with its own rig and read again; its lure rests, or says why not, and no figure of
 * what it says is half-worked-out. */
#include "fuzz/fuzz.h"

#include "ballastry/build.h"
#include "ballastry/catalog.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

typedef struct List {
    const uint8_t *bytes;
    size_t size;
} List;

static bool read_list(void *context, const char *name, char **text, size_t *size, BlyError *err) {
    const List *list = context;
    char *copy = malloc(list->size + 1);
    if (copy == NULL)
        return bly_fail(err, BLY_E_MEMORY, name, "no memory left");
    if (list->size > 0)
        memcpy(copy, list->bytes, list->size);
    copy[list->size] = '\0';
    *text = copy;
    *size = list->size;
    return true;
}

static void rests(const BlyBuild *build) {
    BlyLure lure;
    BlyWater water;
    BlyOutcome out;
    BlyError err = {0};
    if (!bly_lure_make(&build->blank, build->seats, &build->fitted, &lure, &err)) {
        FUZZ_LAW(err.code != BLY_OK && err.code != BLY_E_INTERNAL);
        return;
    }
    FUZZ_LAW(
        bly_water_at(build->water.temperature.value, build->water.salinity.value, &water, &err));
    if (bly_rest_under_water(&lure, &water, &out, &err)) {
        FUZZ_LAW(isfinite(out.drift) && isfinite(out.sums.mass) && isfinite(out.sums.net_weight));
        FUZZ_LAW(out.rest_count == 0 || isfinite(out.nose_down));
    } else {
        FUZZ_LAW(err.code != BLY_OK);
    }
    bly_lure_release(&lure);
}

static void writes(const BlyBuild *build, const BlyCatalog *catalog, const BlyBuildFiles *files) {
    char *text = NULL;
    BlyBuild *again = NULL;
    BlyError err = {0};
    FUZZ_LAW(bly_build_text_with_rig(build, &build->fitted, &text, &err));
    bool reads = bly_build_read_with(text, strlen(text), catalog, files, &again, &err);
    if (!reads)
        (void)fprintf(stderr, "%s: %s\n", err.where, err.text);
    FUZZ_LAW(reads);
    bly_build_free(again);
    free(text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static BlyCatalog catalog;
    if (catalog.part_count == 0) {
        (void)gsl_set_error_handler_off();
        FUZZ_LAW(bly_catalog_shipped(&catalog, NULL));
    }
    const uint8_t *cut = size > 0 ? memchr(data, 0, size) : NULL;
    size_t length = cut != NULL ? (size_t)(cut - data) : size;
    List list = {cut != NULL ? cut + 1 : NULL, cut != NULL ? size - length - 1 : 0};
    BlyBuildFiles files = {read_list, &list};
    char *text = malloc(length + 1); /* of just that size, so that reading beyond it is seen */
    BlyBuild *build = NULL;
    BlyError err = {0};
    FUZZ_LAW(text != NULL);
    if (length > 0)
        memcpy(text, data, length);
    text[length] = '\0';
    if (bly_build_read_with(text, length, &catalog, &files, &build, &err)) {
        rests(build);
        writes(build, &catalog, &files);
    } else {
        FUZZ_LAW(build == NULL && err.code != BLY_OK && err.text[0] != '\0');
    }
    bly_build_free(build);
    free(text);
    return 0;
}
