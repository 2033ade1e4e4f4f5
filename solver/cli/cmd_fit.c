/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ballastry fit BUILD: the best rigs, or the nearest misses. */
#include "cli/lines.h"

#include <math.h>
#include <stdlib.h>

typedef struct FitWords {
    const char *rigs, *time_limit, *write;
    bool finished, surest;
    LineWords line;
} FitWords;

typedef struct FitSettings {
    bool finished, surest;
    BlyFitOptions options;
} FitSettings;

typedef struct Fitted {
    BlyFitResult result;
    BlyReserve *reserves; /* owned: one a rig; near misses have none */
} Fitted;

static bool read_options(const FitWords *words, FitSettings *settings, BlyError *err) {
    BlyFitOptions *out = &settings->options;
    *settings = (FitSettings){words->finished, words->surest, {.rigs = 5}};
    if (words->rigs != NULL) {
        char *end;
        long n = strtol(words->rigs, &end, 10);
        if (*words->rigs == '\0' || *end != '\0' || n < 1 || n > BLY_FIT_RIGS_MAX)
            return bly_fail(err, BLY_E_RANGE, "--rigs", "'%s' is not a number from 1 to %d",
                            words->rigs, BLY_FIT_RIGS_MAX);
        out->rigs = (size_t)n;
    }
    if (words->time_limit != NULL) {
        double secs;
        if (!bly_quantity_read(words->time_limit, BLY_DIM_TIME, "s", &secs, err)) {
            bly_error_prefix(err, "--time-limit ");
            return false;
        }
        if (!(secs > 0))
            return bly_fail(err, BLY_E_RANGE, "--time-limit", "must be more than nothing");
        out->time_limit_secs = secs;
    }
    return true;
}

/* The first rig's ladder tells the maker what to expect on the scale. */
static bool print_text(const Cli *cli, const Fitted *fitted, BlyError *err) {
    const BlyFitResult *result = &fitted->result;
    text_fit(&cli->report, cli->build, result, fitted->reserves);
    if (!result->met || result->count == 0)
        return true;
    BlyLure lure = {0};
    if (!bly_lure_make(&cli->build->blank, cli->build->seats, &result->rigs[0].rig, &lure, err))
        return false;
    (void)fprintf(cli->report.out, "\n");
    cli_glance(cli, &result->rigs[0].rig, &lure, &result->rigs[0].outcome[0]);
    (void)fprintf(cli->report.out, "for rig 1, ");
    text_ladder(&cli->report, &lure);
    bly_lure_release(&lure);
    return true;
}

static bool find_reserves(const BlyBuild *build, const BlyCatalog *catalog, Fitted *fitted,
                          BlyError *err) {
    const BlyFitResult *result = &fitted->result;
    bool good = true;
    if (!result->met)
        return true;
    fitted->reserves = calloc(result->count + 1, sizeof *fitted->reserves);
    if (fitted->reserves == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the reserves");
    for (size_t i = 0; good && i < result->count; i++)
        good = bly_reserve(build, catalog, &result->rigs[i].rig, NULL, &fitted->reserves[i], err);
    return good;
}

static bool choose(const BlyBuild *build, const BlyCatalog *catalog, const FitSettings *settings,
                   Fitted *fitted, BlyError *err) {
    const BlyFitOptions *options = &settings->options;
    if (settings->surest)
        return bly_fit_surest(build, catalog, options, &fitted->result, &fitted->reserves, err);
    bool found = settings->finished
                     ? bly_fit_finished(build, catalog, options, &fitted->result, err)
                     : bly_fit(build, catalog, options, &fitted->result, err);
    return found && find_reserves(build, catalog, fitted, err);
}

static void release(Fitted *fitted) {
    free(fitted->reserves);
    bly_fit_release(&fitted->result);
}

/* A LineTask; settings is a FitSettings. */
static bool fit_line(const BlyBuild *build, const BlyCatalog *catalog, const void *settings,
                     cJSON **tree, bool *no_rig, BlyError *err) {
    Fitted fitted = {0};
    bool good = choose(build, catalog, settings, &fitted, err);
    *no_rig = good && !fitted.result.met;
    *tree = good ? json_fit(build, &fitted.result, fitted.reserves) : NULL;
    release(&fitted);
    return good;
}

static int fit_one(Cli *cli, const FitWords *words, const FitSettings *settings, cJSON **tree) {
    Fitted fitted = {0};
    BlyError err = {0};
    int status = EXIT_DONE;
    bool good = choose(cli->build, &cli->catalog, settings, &fitted, &err);
    if (good && words->write != NULL && fitted.result.met)
        good = cli_write_rig(cli, &fitted.result.rigs[0].rig, words->write, &err);
    if (good && cli->json)
        *tree = json_fit(cli->build, &fitted.result, fitted.reserves);
    else if (good)
        good = print_text(cli, &fitted, &err);
    if (!good)
        status = cli_tell(cli->file, &err);
    else if (!fitted.result.met)
        status = EXIT_NO_RIG;
    release(&fitted);
    return status;
}

int cmd_fit(const Command *self, int argc, char **argv) {
    Cli cli;
    int status = EXIT_DONE;
    FitWords words = {0};
    const Option options[] = {
        {"rigs", OPT_TEXT, &words.rigs, "N", "how many different rigs (default 5)"},
        {"write", OPT_TEXT, &words.write, "FILE", "write the build with the best rig fitted"},
        {"finished", OPT_FLAG, &words.finished, NULL,
         "only what a finished lure lets you change; fewest changes first"},
        {"surest", OPT_FLAG, &words.surest, NULL,
         "rank by the chance after one tank test and the best trims"},
        {"time-limit", OPT_TEXT, &words.time_limit, "TIME", "stop after this, best so far"},
        LINE_OPTIONS(words.line),
        {0}};
    if (!cli_begin(&cli, self, argc, argv, options, 0, 1, &status))
        return status;
    if (words.finished && words.surest)
        return cli_end(&cli, NULL, cli_usage(self, "--finished and --surest rank differently"));
    if (words.line.lines != NULL && words.write != NULL)
        return cli_end(&cli, NULL, cli_usage(self, "--write is for one build, not for --lines"));
    BlyError err = {0};
    FitSettings settings;
    if (!read_options(&words, &settings, &err))
        return cli_end(&cli, NULL, (cli_tell(NULL, &err), EXIT_USAGE));
    if (words.line.lines != NULL)
        return cli_lines(&cli, self, &words.line, &(LineTask){fit_line, &settings});
    if (!cli_one_build(&cli, self, &words.line, &status))
        return cli_end(&cli, NULL, status);
    cJSON *tree = NULL;
    status = fit_one(&cli, &words, &settings, &tree);
    return cli_end(&cli, tree, status);
}
