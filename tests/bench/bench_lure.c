/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Time of one `rest`, of 100,000 samples of spread as a ratio to it, and of `fit` on the examples.
 *
 *   bench_lure        prints rows of a Markdown table: what, median of 15 (worst), target, verdict
 *
 * CPU time of this process. The lure for `rest` is an invented one of 50 stations. */
#include "ballastry/catalog.h"
#include "ballastry/fit.h"
#include "ballastry/spread.h"
#include "ballastry/tow_range.h"
#include "bench/time_rest.h"
#include "files/files.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { RUNS = 15, EACH = 50, STATIONS = 50, TEXT_MOST = 12000 };

/* A spindle of 50 stations with two hooks; `density` decides whether it floats. */
static BlyBuild *spindle(const BlyCatalog *catalog, double density) {
    static char text[TEXT_MOST];
    int n = snprintf(text, sizeof text,
                     "{ \"ballastry\": 1, \"name\": \"spindle\", \"body\": { \"section\": 2, "
                     "\"material\": { \"density\": \"%.3f g/cm3\" }, \"stations\": [",
                     density);
    for (int i = 0; i < STATIONS; i++) {
        double u = (double)i / (STATIONS - 1);
        n += snprintf(text + n, sizeof text - (size_t)n,
                      "%s{ \"x\": %.4f, \"width\": %.4f, "
                      "\"height\": %.4f }",
                      i > 0 ? ", " : "", 95 * u, 28 * sqrt(u * (1 - u)) * (1 - 0.3 * u),
                      32 * sqrt(u * (1 - u)) * (1 - 0.3 * u));
    }
    (void)snprintf(
        text + n, sizeof text - (size_t)n,
        "] }, \"seats\": { \"tie\": { \"kind\": \"tie\", \"x\": 1, \"side\": \"nose\" }, "
        "\"front\": { \"kind\": \"hanger\", \"x\": 30, \"side\": \"belly\" }, "
        "\"rear\": { \"kind\": \"hanger\", \"x\": 80, \"side\": \"belly\" } }, "
        "\"fitted\": { \"tie\": { \"eye\": \"screw-eye-0.8-8\" }, "
        "\"front\": { \"eye\": \"screw-eye-0.8-8\", \"ring\": \"ring-2\", \"hook\": "
        "\"treble-8-medium\" }, \"rear\": { \"eye\": \"screw-eye-0.8-8\", \"ring\": "
        "\"ring-2\", \"hook\": \"treble-8-medium\" } } }");
    BlyBuild *build = NULL;
    BlyError err = {0};
    if (!bly_build_read(text, strlen(text), catalog, &build, &err))
        stop(&err);
    return build;
}

static void row(const char *what, double *runs, double scale, const char *unit, double target) {
    double middle = median(runs, RUNS) * scale, worst = runs[RUNS - 1] * scale;
    char goal[64] = "none set", verdict[64] = "";
    if (target > 0) {
        (void)snprintf(goal, sizeof goal, "%g%s", target, unit);
        (void)snprintf(verdict, sizeof verdict, middle <= target ? "met" : "missed by %.0f %%",
                       100 * (middle / target - 1));
    }
    (void)printf("| %s | %.3g%s (%.3g%s) | %s | %s |\n", what, middle, unit, worst, unit, goal,
                 verdict);
}

static void time_spread(const BlyBuild *build, double one_rest, double *runs) {
    BlySpreadOptions options = {.samples = 100000, .seed = 1};
    static BlySpread spread;
    BlyError err = {0};
    for (int r = 0; r < RUNS; r++) {
        double start = cpu_secs();
        if (!bly_spread(build, &build->fitted, &build->water, 1, NULL, &options, &spread, &err))
            stop(&err);
        runs[r] = (cpu_secs() - start) / one_rest;
    }
}

static void time_tow(const BlyBuild *build, double *runs) {
    BlyTowAsk ask = bly_tow_usual();
    BlyTowed towed;
    BlyError err = {0};
    for (int r = 0; r < RUNS; r++) {
        double start = cpu_secs();
        if (!bly_towed(build, &build->fitted, &ask, &towed, &err))
            stop(&err);
        runs[r] = cpu_secs() - start;
    }
}

static void time_fit(const BlyCatalog *catalog, const char *path) {
    char *text, what[120];
    size_t size;
    BlyBuild *build = NULL;
    BlyError err = {0};
    double runs[RUNS];
    if (!bly_file_read(path, 1 << 20, &text, &size, &err) ||
        !bly_build_read(text, size, catalog, &build, &err))
        stop(&err);
    for (int r = 0; r < RUNS; r++) {
        BlyFitOptions options = {.rigs = 10};
        BlyFitResult result;
        double start = cpu_secs();
        if (!bly_fit(build, catalog, &options, &result, &err))
            stop(&err);
        runs[r] = cpu_secs() - start;
        bly_fit_release(&result);
    }
    (void)snprintf(what, sizeof what, "the search of `fit --rigs 10` alone (`bly_fit`) on `%s`",
                   path);
    row(what, runs, 1e3, " ms", 0);
    bly_build_free(build);
    free(text);
}

int main(void) {
    BlyCatalog catalog;
    BlyError err = {0};
    double runs[RUNS];
    (void)gsl_set_error_handler_off();
    if (!bly_catalog_shipped(&catalog, &err))
        stop(&err);
    BlyBuild *sinks = spindle(&catalog, 0.95), *floats = spindle(&catalog, 0.6);
    time_rest(sinks, EACH, runs, RUNS);
    double one = median(runs, RUNS);
    row("`rest` of 50 stations, under water", runs, 1e3, " ms", 2);
    time_rest(floats, EACH, runs, RUNS);
    row("`rest` of 50 stations, afloat", runs, 1e3, " ms", 2);
    time_spread(sinks, one, runs);
    row("100,000 samples of spread, in single `rest`s", runs, 1, "", 1000);
    time_tow(sinks, runs);
    row("200 draws on the line at three speeds", runs, 1e3, " ms", 500);
    time_fit(&catalog, "examples/larch-minnow.json");
    time_fit(&catalog, "examples/board-lip.json");
    time_fit(&catalog, "examples/cedar-floater.json");
    time_fit(&catalog, "examples/too-light.json");
    bly_build_free(sinks);
    bly_build_free(floats);
    bly_catalog_release(&catalog);
    return 0;
}
