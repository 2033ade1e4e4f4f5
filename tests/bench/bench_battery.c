/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How long `fit` takes on builds as newcomers make them.
 *
 *   bench_battery [FIRST [COUNT]]     a line for each build: CPU seconds, what came of it
 *
 * With BENCH_WRITE=DIR the builds are written there, each in a folder of its own, and nothing is
 * timed. Ranked by the chance, reserves and all. BENCH_MPS=PREFIX ranks on paper, as another solver
 * does, and writes the programme of each one's last round to PREFIX-N.mps, without the rule of like
 * hooks, and prints what its best rig costs by ours. BENCH_LIMIT ends each fit after so many
 * seconds. CPU time of this process. */
#include "ballastry/catalog.h"
#include "ballastry/fit.h"
#include "support/battery.h"
#include "bench/time_rest.h"
#include "files/files.h"
#include "fit/problem_model.h"
#include "support/mps.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

static void write_one(const char *folder, size_t n, const BatteryBuild *made) {
    char path[400];
    BlyError err = {0};
    (void)snprintf(path, sizeof path, "%s/%03zu", folder, n);
    (void)mkdir(path, 0777);
    (void)snprintf(path, sizeof path, "%s/%03zu/lure.json", folder, n);
    if (!bly_file_write(path, made->text, strlen(made->text), BLY_KEEP_NOTHING, &err))
        stop(&err);
    (void)snprintf(path, sizeof path, "%s/%03zu/side.csv", folder, n);
    if (made->outline != NULL &&
        !bly_file_write(path, made->outline, strlen(made->outline), BLY_KEEP_NOTHING, &err))
        stop(&err);
}

static const char *found_words(const BlyFitResult *result) {
    return result->met ? "met" : result->count > 0 ? "misses" : "none";
}

static const char *proof_words(const BlyFitResult *result) {
    if (result->surest && result->count > 0 && !result->rigs[0].met)
        return "by-design";
    return result->stopped ? "stopped" : result->proven ? "proven" : "gap";
}

/* The choice of the last round, for other solvers and for ours, whose best rig alone is timed. */
static void write_model(const char *prefix, size_t n, const BlyBuild *build,
                        const BlyCatalog *catalog, const BlyFitOptions *options,
                        const BlyFitResult *result) {
    char path[400];
    Problem p;
    ProblemModel model = {0};
    BlyError err = {0};
    (void)snprintf(path, sizeof path, "%s-%zu.mps", prefix, n);
    if (!problem_begin(build, catalog, options, 0, &p, &err) ||
        !problem_frames(&p, &result->rigs[0].rig, result->rigs[0].outcome, &err) ||
        !problem_model_make(&p, &model, &err))
        stop(&err);
    const Programme programme = {.feature_count = model.layout.count,
                                 .groups = model.groups,
                                 .group_count = p.set_count,
                                 .rows = model.rows,
                                 .row_count = model.row_count,
                                 .targets = model.targets,
                                 .target_count = model.target_count,
                                 .class_weight = model.class_weight,
                                 .class_count = CLASSES};
    ProgOptions best = {.best = 1, .patience = 20000000};
    ProgResult ours = {0};
    if (!mps_write(&programme, path) || !programme_solve(&programme, &best, &ours, &err))
        stop(&err);
    (void)printf("model %zu %.9g\n", n, ours.count > 0 ? ours.rigs[0].objective : NAN);
    programme_free(&ours);
    problem_model_end(&model);
    problem_end(&p);
}

static double time_one(size_t n, const BatteryBuild *made, const BlyCatalog *catalog) {
    BlyBuild *build = NULL;
    BlyError err = {0};
    if (!battery_read(made, catalog, &build, &err))
        stop(&err);
    const char *limit = getenv("BENCH_LIMIT"), *models = getenv("BENCH_MPS");
    BlyFitOptions options = {.rigs = 5, .time_limit_secs = limit != NULL ? strtod(limit, NULL) : 0};
    BlyFitResult result = {0};
    double start = cpu_secs();
    BlyReserve *reserves = NULL;
    bool good = models != NULL ? bly_fit(build, catalog, &options, &result, &err)
                               : bly_fit_surest(build, catalog, &options, &result, &reserves, &err);
    double secs = cpu_secs() - start;
    (void)printf("%3zu %6.2f s  %-7s %-7s %6zu columns %9zu nodes %d rounds  %s: %s\n", n, secs,
                 good ? found_words(&result) : "error", good ? proof_words(&result) : "-",
                 result.columns, result.nodes, result.rounds, made->kind, made->name);
    if (!good)
        (void)printf("     %s: %s\n", err.where, err.text);
    if (good && models != NULL && result.count > 0)
        write_model(models, n, build, catalog, &options, &result);
    (void)fflush(stdout);
    free(reserves);
    bly_fit_release(&result);
    bly_build_free(build);
    return secs;
}

int main(int argc, char **argv) {
    size_t first = argc > 1 ? strtoul(argv[1], NULL, 10) : 0, done = 0;
    size_t count = argc > 2 ? strtoul(argv[2], NULL, 10) : battery_count;
    const char *folder = getenv("BENCH_WRITE");
    BlyCatalog catalog;
    BlyError err = {0};
    double *secs = calloc(battery_count, sizeof *secs);
    (void)gsl_set_error_handler_off();
    if (secs == NULL || !bly_catalog_shipped(&catalog, &err))
        stop(&err);
    for (size_t n = first; n < battery_count && done < count; n++) {
        BatteryBuild made;
        if (!battery_make(n, &catalog, &made, &err))
            stop(&err);
        if (folder != NULL)
            write_one(folder, n, &made);
        else
            secs[done++] = time_one(n, &made, &catalog);
        battery_free(&made);
    }
    if (done > 0) {
        double middle = median(secs, done);
        (void)printf("%zu builds: median %.2f s, worst %.2f s, %.1f times the median\n", done,
                     middle, secs[done - 1], secs[done - 1] / middle);
    }
    bly_catalog_release(&catalog);
    free(secs);
    return 0;
}
