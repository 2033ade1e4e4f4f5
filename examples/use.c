/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A program that uses the library: load a build, work it through, look for a better rig, free.
 * docs/library.md tells how to compile it; it is C and C++ alike. */
#include <ballastry.h>

#include <stdio.h>
#include <stdlib.h>

static bool rest(const BlyBuild *build, BlyError *err) {
    const BlyWaterFacts *facts = bly_build_water(build);
    BlyWater water;
    BlyLure lure;
    BlyOutcome outcome;
    if (!bly_water_at(facts->temperature.value, facts->salinity.value, &water, err) ||
        !bly_build_lure(build, NULL, &lure, err))
        return false;
    bool good = bly_rest(&lure, &water, &outcome, err);
    if (good)
        printf("%s as fitted: %.3f g, %.3f g in water, drifts %.4f m/s\n", bly_build_name(build),
               outcome.sums.mass * 1e3, outcome.sums.net_weight * 1e3, outcome.drift);
    bly_lure_release(&lure);
    return good;
}

/* The seats by name, and the hook that hangs there. */
static void list(const BlyBuild *build) {
    const BlyRig *rig = bly_build_fitted(build);
    size_t count;
    const BlySeat *seats = bly_build_seats(build, &count);
    for (size_t i = 0; i < count; i++) {
        const BlyPart *hook = rig->at[i].of[BLY_PART_HOOK].part;
        printf("%s: %s\n", seats[i].name, hook != NULL ? hook->id : "no hook");
    }
    printf("%s\n", bly_build_target(build) != NULL ? "with a target" : "no target");
}

static bool fit(const BlyBuild *build, const BlyCatalog *catalog, BlyError *err) {
    BlyFitOptions options = {0}; /* five rigs, as long as it takes, everything may change */
    BlyFitResult result;
    bool good = bly_fit(build, catalog, &options, &result, err);
    if (good && result.count > 0)
        printf("%zu rigs; the first %s the target and drifts %.4f m/s\n", result.count,
               result.met ? "meets" : "misses", result.rigs[0].outcome[0].drift);
    bly_fit_release(&result);
    return good;
}

int main(int argc, char **argv) {
    static char text[1 << 20]; /* the library opens no file */
    FILE *file = argc > 1 ? fopen(argv[1], "rb") : NULL;
    size_t size = file != NULL ? fread(text, 1, sizeof text, file) : 0;
    if (file != NULL)
        fclose(file);

    BlyError err = {BLY_OK, "", ""};
    BlyCatalog catalog;
    BlyBuild *build = NULL;
    bly_begin();
    bool good = bly_catalog_shipped(&catalog, &err);
    if (good) {
        good = bly_build_read(text, size, &catalog, &build, &err);
        if (good)
            list(build);
        good = good && rest(build, &err) && fit(build, &catalog, &err);
        bly_build_free(build);
        bly_catalog_release(&catalog);
    }
    if (!good)
        fprintf(stderr, "%s: %s\n", err.where, err.text);
    return good ? EXIT_SUCCESS : EXIT_FAILURE;
}
