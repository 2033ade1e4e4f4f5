/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ballastry swap BUILD --at SEAT.PART=ID: before and after. */
#include "cli/cli.h"
#include "desk/desk.h"

#include <string.h>

static cJSON *make_json(const BlyBuild *build, const BlyRig *rig, const SwapWork *w,
                        const BlyTowEffect *tow) {
    cJSON *o = cJSON_CreateObject();
    return json_finished(
        o, o != NULL && put_text(o, "name", build->name) && put_slips(o, &w->after.slips) &&
               put_craft(o, build, &w->after.craft) &&
               put_tree(o, "parts_before", json_rig(build, &build->fitted)) &&
               put_tree(o, "before", json_outcome(&w->before.outcome)) &&
               put_tree(o, "parts_after", json_rig(build, rig)) &&
               put_tree(o, "after", json_outcome(&w->after.outcome)) &&
               put_tree(o, "spread", json_swap_sure(&w->sure)) &&
               (!tow->possible || put_tree(o, "on_the_line", json_tow_effect(tow))));
}

int cmd_swap(const Command *self, int argc, char **argv) {
    Cli cli;
    int status = EXIT_DONE;
    OptionList at = {0};
    const char *write = NULL;
    const Option options[] = {
        {"at", OPT_TEXTS, &at, "SEAT.PART=ID", "what to change, as often as needed"},
        {"write", OPT_TEXT, &write, "FILE", "write the build with the new parts"},
        WATER_OPTIONS(cli.water),
        {0}};
    if (!cli_begin(&cli, self, argc, argv, options, 1, 1, &status))
        return status;
    if (at.count == 0)
        return cli_end(&cli, NULL, cli_usage(self, "give at least one --at SEAT.PART=ID"));
    if (!cli_build(&cli, &status))
        return cli_end(&cli, NULL, status);
    BlyError err = {0};
    BlyRig rig = {0};
    SwapWork swap = {0};
    const BlyTowAsk ask = bly_tow_usual();
    BlyTowEffect tow = {0};
    cJSON *tree = NULL;
    bool good = bly_rig_copy(&rig, &cli.build->fitted, &err);
    for (size_t i = 0; good && i < at.count; i++)
        good = cli_swap(&cli, "--at", at.at[i], &rig, &err);
    good = good && swap_work(cli.build, &cli.catalog, &rig, REST_SLIPS, &swap, &err) &&
           (!tow_has_tie(cli.build) ||
            bly_tow_compare(cli.build, &cli.build->fitted, &rig, &ask, &tow, &err)) &&
           (write == NULL || cli_write_rig(&cli, &rig, write, &err));
    if (!good) {
        status = cli_tell(cli.file, &err);
    } else if (cli.json) {
        tree = make_json(cli.build, &rig, &swap, &tow);
    } else {
        (void)fprintf(cli.report.out, "%s\n", cli.build->name);
        text_slips(&cli.report, &swap.after.slips);
        text_craft(&cli.report, cli.build, &swap.after.craft);
        text_swap(&cli.report, cli.build, &cli.build->fitted, &rig, &swap.before.outcome,
                  &swap.after.outcome);
        text_swap_sure(&cli.report, &swap.sure);
        if (tow.possible)
            text_tow_compare(&cli.report, &tow, &ask);
    }
    bly_rig_release(&rig);
    swap_work_release(&swap);
    return cli_end(&cli, tree, status);
}
