/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Build files with the files that they name (caliper lists, drawings, meshes) and with a catalog of
 * their own, each of bytes of its own (fuzz/parts.h). Laws: a build that reads can be written with
 * its own rig and read again; its lure rests, or says why not, and no figure of what it says is
 * half-worked-out. */
#include "fuzz/parts.h"

#include "ballastry/catalog.h"

#include <gsl/gsl_errno.h>
#include <math.h>

static size_t fuzz_build_good; /* how many inputs read well, for test_replay.c */

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

/* The shipped catalog with what the input's own says; the shipped one alone where it has none. */
static const BlyCatalog *catalog_of(const FuzzParts *parts, const BlyCatalog *shipped,
                                    BlyCatalog *own) {
    static const char *const names[] = {"catalog.json", "catalog.csv"};
    BlyError err = {0};
    *own = (BlyCatalog){0};
    for (size_t i = 0; i < parts->count; i++) {
        const FuzzPart *part = &parts->file[i];
        bool json = fuzz_part_is(part, names[0]);
        if (!json && !fuzz_part_is(part, names[1]))
            continue;
        char *text = fuzz_part_text(part);
        FUZZ_LAW(text != NULL && (own->part_count > 0 || bly_catalog_shipped(own, NULL)));
        if (!(json ? bly_catalog_read_json : bly_catalog_read_csv)(own, text, part->size, &err))
            FUZZ_LAW(err.code != BLY_OK && err.text[0] != '\0');
        free(text);
    }
    return own->part_count > 0 ? own : shipped;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static BlyCatalog shipped;
    if (shipped.part_count == 0) {
        (void)gsl_set_error_handler_off();
        FUZZ_LAW(bly_catalog_shipped(&shipped, NULL));
    }
    FuzzParts parts;
    BlyCatalog own;
    fuzz_parts_cut(data, size, &parts);
    const BlyCatalog *catalog = catalog_of(&parts, &shipped, &own);
    BlyBuildFiles files = {.read = fuzz_parts_read, .context = &parts};
    char *text = fuzz_part_text(&parts.build);
    BlyBuild *build = NULL;
    BlyError err = {0};
    FUZZ_LAW(text != NULL);
    if (bly_build_read_with(text, parts.build.size, catalog, &files, &build, &err)) {
        fuzz_build_good++;
        rests(build);
        writes(build, catalog, &files);
    } else {
        FUZZ_LAW(build == NULL && err.code != BLY_OK && err.text[0] != '\0');
    }
    bly_build_free(build);
    bly_catalog_release(&own);
    free(text);
    return 0;
}
