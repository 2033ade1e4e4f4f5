/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ballastry fit BUILD: the best rigs, or the nearest misses. */
#include "cli/cli.h"

#include <math.h>
#include <stdlib.h>

typedef struct FitWords {
    const char *rigs, *time_limit, *write;
    bool finished, surest;
} FitWords;

static bool read_options(const FitWords *words, BlyFitOptions *out, BlyError *err) {
    *out = (BlyFitOptions){.rigs = 5};
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
static bool print_text(const Cli *cli, const BlyFitResult *result, const BlyReserve *reserves,
                       BlyError *err) {
    text_fit(&cli->report, cli->build, result, reserves);
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

/* One a rig; free(*out). Near misses have none. */
static bool find_reserves(const Cli *cli, const BlyFitResult *result, BlyReserve **out,
                          BlyError *err) {
    bool good = true;
    *out = NULL;
    if (!result->met)
        return true;
    *out = calloc(result->count + 1, sizeof **out);
    if (*out == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for the reserves");
    for (size_t i = 0; good && i < result->count; i++)
        good = bly_reserve(cli->build, &cli->catalog, &result->rigs[i].rig, NULL, &(*out)[i], err);
    return good;
}

static bool choose(const Cli *cli, const FitWords *words, const BlyFitOptions *options,
                   BlyFitResult *result, BlyReserve **reserves, BlyError *err) {
    if (words->finished)
        return bly_fit_finished(cli->build, &cli->catalog, options, result, err) &&
               find_reserves(cli, result, reserves, err);
    if (words->surest)
        return bly_fit_surest(cli->build, &cli->catalog, options, result, reserves, err);
    return bly_fit(cli->build, &cli->catalog, options, result, err) &&
           find_reserves(cli, result, reserves, err);
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
        {0}};
    if (!cli_begin(&cli, self, argc, argv, options, 1, 1, &status))
        return status;
    if (words.finished && words.surest)
        return cli_end(&cli, NULL, cli_usage(self, "--finished and --surest rank differently"));
    BlyError err = {0};
    BlyFitOptions fit_options;
    if (!read_options(&words, &fit_options, &err))
        return cli_end(&cli, NULL, (cli_tell(NULL, &err), EXIT_USAGE));
    if (!cli_build(&cli, &status))
        return cli_end(&cli, NULL, status);
    BlyFitResult result = {0};
    cJSON *tree = NULL;
    BlyReserve *reserves = NULL;
    bool good = choose(&cli, &words, &fit_options, &result, &reserves, &err);
    if (good && words.write != NULL && result.met)
        good = cli_write_rig(&cli, &result.rigs[0].rig, words.write, &err);
    if (good && cli.json)
        tree = json_fit(cli.build, &result, reserves);
    else if (good)
        good = print_text(&cli, &result, reserves, &err);
    if (!good)
        status = cli_tell(cli.file, &err);
    else if (!result.met)
        status = EXIT_NO_RIG;
    free(reserves);
    bly_fit_release(&result);
    return cli_end(&cli, tree, status);
}
