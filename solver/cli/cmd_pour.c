/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ballastry pour [BUILD]: what to weigh out for a cast blank, and what that blank will do. */
#include "cli/cli.h"

#include "desk/pour.h"
#include "report/pour.h"

static int work(Cli *cli, const PourWords *words, cJSON **tree) {
    BlyError err = {0};
    BlyPour pour;
    BlyEmbedded pieces[BLY_INSETS_MAX];
    BlyPourPlan plan;
    PourForecast forecast = {0};
    int status = EXIT_DONE;
    if (!pour_read(words, cli->build, pieces, &pour, &err) || !bly_pour_plan(&pour, &plan, &err) ||
        (cli->build != NULL &&
         !pour_foretell(cli->build, &cli->catalog, &cli->files, &plan, &forecast, &err))) {
        status = cli_tell(cli->file, &err);
    } else if (cli->json) {
        *tree = json_pour(&plan, forecast.made, &forecast.outcome, forecast.spread);
    } else {
        text_pour(&cli->report, &plan);
        if (forecast.made != NULL)
            text_pour_forecast(&cli->report, forecast.made, &forecast.outcome, forecast.spread);
    }
    pour_forecast_release(&forecast);
    return status;
}

int cmd_pour(const Command *self, int argc, char **argv) {
    Cli cli;
    int status = EXIT_DONE;
    PourWords w = {0};
    const Option options[] = {
        {"mould", OPT_TEXT, &w.mould, "VOLUME", "of the mould; without it the build's body"},
        {"filler", OPT_TEXT, &w.filler, "DENSITY", "true density of the light filler's pieces"},
        {"packed", OPT_TEXT, &w.packed, "SHARE",
         "of the space that is filler: \"60 %\", granulate .."},
        {"gap-water", OPT_TEXT, &w.gap_water, "MASS", "of water that fills the gaps instead"},
        {"filler-mass", OPT_TEXT, &w.filler_mass, "MASS", "of filler that goes in instead"},
        {"target", OPT_TEXT, &w.target, "DENSITY", "that the blank shall have instead"},
        {"stirred", OPT_FLAG, &w.stirred, NULL, "the filler is stirred into the resin"},
        {"resin", OPT_TEXT, &w.resin, "KIND", "epoxy, urethane or other"},
        {"by-weight", OPT_TEXT, &w.by_weight, "A:B", "mix ratio by weight"},
        {"by-volume", OPT_TEXT, &w.by_volume, "A:B", "mix ratio by volume"},
        {"a-density", OPT_TEXT, &w.a_density, "DENSITY", "of liquid part A"},
        {"b-density", OPT_TEXT, &w.b_density, "DENSITY", "of liquid part B"},
        {"cured", OPT_TEXT, &w.cured, "DENSITY", "of the cured resin"},
        {"shrinkage", OPT_TEXT, &w.shrinkage, "SHARE", "of volume that curing takes"},
        {"allowance", OPT_TEXT, &w.allowance, "SHARE", "more, for cup and sprue"},
        {"scale-give", OPT_TEXT, &w.scale_give, "MASS", "what the scale can be off"},
        {0}};
    if (!cli_begin(&cli, self, argc, argv, options, 0, 1, &status))
        return status;
    if (cli.argument_count > 0 && !cli_build(&cli, &status))
        return cli_end(&cli, NULL, status);
    cJSON *tree = NULL;
    status = work(&cli, &w, &tree);
    return cli_end(&cli, tree, status);
}
