/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ballastry pour [BUILD]: what to weigh out for a cast blank, and what that blank will do. */
#include "cli/cli.h"

#include <string.h>

#include "desk/desk.h"

/* Wrong words on the command line are wrong usage, wrong content of the build is bad input. */
static int tell_said(const Cli *cli, const BlyError *err) {
    bool option = strncmp(err->where, "--", 2) == 0;
    int status = cli_tell(option ? NULL : cli->file, err);
    return option && status == EXIT_BAD_INPUT ? EXIT_USAGE : status;
}

static int work(Cli *cli, const PourWords *words, cJSON **tree) {
    BlyError err = {0};
    PourWork w;
    int status = EXIT_DONE;
    if (!pour_work(words, cli->build, &cli->catalog, &cli->files, &w, &err))
        status = tell_said(cli, &err);
    else if (cli->json)
        *tree = json_pour(&w.plan, w.known, w.made, &w.outcome, w.spread);
    else
        text_pour(&cli->report, &w.plan, w.known, w.of_build, w.made, &w.outcome, w.spread);
    pour_work_release(&w);
    return status;
}

int cmd_pour(const Command *self, int argc, char **argv) {
    Cli cli;
    int status = EXIT_DONE;
    PourWords w = {0};
    const Option options[] = {
        {"mould", OPT_TEXT, &w.mould, "VOLUME",
         "of the mould, or \"40 x 120 mm\"; default the build's body"},
        {"filler", OPT_TEXT, &w.filler, "DENSITY",
         "true density of the light filler's pieces, or a material"},
        {"packed", OPT_TEXT, &w.packed, "SHARE",
         "of the space that is filler: \"60 %\", granulate .."},
        {"gap-water", OPT_TEXT, &w.gap_water, "MASS", "of water that fills the gaps instead"},
        {"gap-vessel", OPT_TEXT, &w.gap_vessel, "VOLUME",
         "of the vessel for that; without it the mould"},
        {"gap-temperature", OPT_TEXT, &w.gap_temperature, "TEMP", "of that water (default 20 C)"},
        {"filler-mass", OPT_TEXT, &w.filler_mass, "MASS", "of filler that goes in instead"},
        {"target", OPT_TEXT, &w.target, "DENSITY", "that the blank shall have instead"},
        {"stirred", OPT_FLAG, &w.stirred, NULL, "the filler is stirred into the resin"},
        {"resin", OPT_TEXT, &w.resin, "KIND",
         "epoxy, urethane or other: its cautions and cured density"},
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
    if (!(cli.argument_count > 0 ? cli_build(&cli, &status) : cli_catalog(&cli, &status)))
        return cli_end(&cli, NULL, status);
    cJSON *tree = NULL;
    status = work(&cli, &w, &tree);
    return cli_end(&cli, tree, status);
}
