/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ballastry fit BUILD: the best rigs, or the nearest misses. */
#include "cli/lines.h"
#include "desk/desk.h"
#include "cli/watch.h"

#include <math.h>
#include <stdlib.h>

/* Without --time-limit; a maker waits no longer. */
static const double usual_limit_secs = 20;

typedef struct FitWords {
    const char *rigs, *time_limit, *write;
    bool finished, surest, on_paper, full;
    LineWords line;
} FitWords;

typedef struct FitSettings {
    FitRank rank;
    BlyFitOptions options;
} FitSettings;

static FitRank rank_of(const FitWords *words) {
    if (words->finished)
        return words->on_paper ? FIT_FINISHED_ON_PAPER : FIT_FINISHED;
    return words->on_paper ? FIT_ON_PAPER : FIT_SUREST;
}

static bool read_options(const FitWords *words, FitSettings *settings, BlyError *err) {
    BlyFitOptions *out = &settings->options;
    *settings = (FitSettings){rank_of(words), {.rigs = 5, .time_limit_secs = usual_limit_secs}};
    if (words->surest && words->on_paper)
        return bly_fail(err, BLY_E_CONFLICT, "--on-paper", "not together with --surest");
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
            return bly_fail(err, BLY_E_RANGE, "--time-limit", "expected a time above 0");
        out->time_limit_secs = secs;
    }
    return true;
}

/* The first rig's ladder tells the maker what to expect on the scale. */
static bool print_text(const Cli *cli, const FitWork *fitted, bool full, BlyError *err) {
    const BlyFitResult *result = &fitted->result;
    const Report *report = &cli->report;
    BlyLure lure = {0};
    if (!result->met || result->count == 0) {
        text_fit(report, cli->build, result, fitted->reserves, fitted->wished, NULL, full);
    } else {
        const BlyRig *rig = &result->rigs[0].rig;
        if (!bly_lure_make(&cli->build->blank, cli->build->seats, rig, &lure, err))
            return false;
        if (full)
            cli_glance(cli, rig, &lure, &result->rigs[0].outcome[0]);
        text_fit(report, cli->build, result, fitted->reserves, fitted->wished, &lure, full);
        bly_lure_release(&lure);
    }
    if (fitted->worth != NULL)
        text_worth(report, cli->build, fitted->worth, &fitted->reserves[0]);
    text_slips(report, &fitted->slips);
    return true;
}

/* As in the text: the first rig's. */
static bool put_ladder(cJSON *tree, const BlyBuild *build, const BlyLure *lure) {
    cJSON *rigs = tree != NULL ? cJSON_GetObjectItemCaseSensitive(tree, "rigs") : NULL;
    return rigs != NULL &&
           put_tree(cJSON_GetArrayItem(rigs, 0), "ladder", json_ladder(build, lure));
}

/* False: the first rig's lure could not be made. No memory is a tree of NULL. */
static bool make_json(const BlyBuild *build, const FitWork *fitted, cJSON **tree, BlyError *err) {
    const BlyFitResult *result = &fitted->result;
    cJSON *made = json_fit(build, result, fitted->reserves);
    bool good = made != NULL && put_slips(made, &fitted->slips) &&
                (fitted->wished == NULL || put_wished(made, fitted->wished, result->count));
    good = good &&
           (fitted->worth == NULL ||
            put_tree(made, "next_reading", json_worth(build, fitted->worth, &fitted->reserves[0])));
    bool whole = true;
    if (good && result->met && result->count > 0) {
        BlyLure lure = {0};
        whole = bly_lure_make(&build->blank, build->seats, &result->rigs[0].rig, &lure, err);
        good = whole && put_ladder(made, build, &lure);
        bly_lure_release(&lure);
    }
    *tree = json_finished(made, good);
    return whole;
}

/* A LineTask; settings is a FitSettings. */
static bool fit_line(const BlyBuild *build, const BlyCatalog *catalog, const void *settings,
                     cJSON **tree, bool *no_rig, BlyError *err) {
    const FitSettings *asked = settings;
    FitWork fitted;
    bool good = fit_work(build, catalog, asked->rank, &asked->options, &fitted, err);
    *no_rig = good && !fitted.result.met;
    *tree = NULL;
    good = good && make_json(build, &fitted, tree, err);
    fit_work_release(&fitted);
    return good;
}

static int fit_one(Cli *cli, const FitWords *words, FitSettings *settings, cJSON **tree) {
    FitWork fitted;
    BlyError err = {0};
    int status = EXIT_DONE;
    watch_begin(&settings->options);
    bool good =
        fit_work(cli->build, &cli->catalog, settings->rank, &settings->options, &fitted, &err);
    watch_end();
    if (good && words->write != NULL && fitted.result.met)
        good = cli_write_rig(cli, &fitted.result.rigs[0].rig, words->write, &err);
    if (good && cli->json)
        good = make_json(cli->build, &fitted, tree, &err);
    else if (good)
        good = print_text(cli, &fitted, words->full, &err);
    if (!good)
        status = cli_tell(cli->file, &err);
    else if (!fitted.result.met)
        status = EXIT_NO_RIG;
    fit_work_release(&fitted);
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
         "what to change on a finished lure; the surest first"},
        {"surest", OPT_FLAG, &words.surest, NULL,
         "the surest first, after the tests that you are willing to make (the rule)"},
        {"on-paper", OPT_FLAG, &words.on_paper, NULL,
         "nearest to the target on paper first, whatever the tank will show"},
        {"full", OPT_FLAG, &words.full, NULL, "print every rig in full"},
        {"time-limit", OPT_TEXT, &words.time_limit, "TIME",
         "stop then, with the best so far (default 20 s)"},
        WATER_OPTIONS(cli.water),
        LINE_OPTIONS(words.line),
        {0}};
    if (!cli_begin(&cli, self, argc, argv, options, 0, 1, &status))
        return status;
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
