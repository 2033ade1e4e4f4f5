/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ballastry swap BUILD --at SEAT.PART=ID: before and after. */
#include "cli/cli.h"

#include <string.h>

static bool outcome_of(const BlyBuild *build, const BlyRig *rig, BlyOutcome *out, BlyError *err) {
    BlyWater water;
    BlyLure lure = {0};
    bool good =
        bly_water_at(build->water.temperature.value, build->water.salinity.value, &water, err) &&
        bly_lure_make(&build->blank, build->seats, rig, &lure, err) &&
        bly_rest(&lure, &water, out, err);
    bly_lure_release(&lure);
    return good;
}

static cJSON *make_json(const BlyBuild *build, const BlyRig *rig, const BlyOutcome *before,
                        const BlyOutcome *after) {
    cJSON *o = cJSON_CreateObject();
    if (o != NULL && put_text(o, "name", build->name) &&
        put_tree(o, "parts_before", json_rig(build, &build->fitted)) &&
        put_tree(o, "before", json_outcome(before)) &&
        put_tree(o, "parts_after", json_rig(build, rig)) &&
        put_tree(o, "after", json_outcome(after)))
        return o;
    cJSON_Delete(o);
    return NULL;
}

int cmd_swap(const Command *self, int argc, char **argv) {
    Cli cli;
    int status = EXIT_DONE;
    OptionList at = {0};
    const char *write = NULL;
    const Option options[] = {
        {"at", OPT_TEXTS, &at, "SEAT.PART=ID", "what to change, as often as needed"},
        {"write", OPT_TEXT, &write, "FILE", "write the build with the new parts"},
        {0}};
    if (!cli_begin(&cli, self, argc, argv, options, 1, 1, &status))
        return status;
    if (at.count == 0)
        return cli_end(&cli, NULL, cli_usage(self, "give at least one --at SEAT.PART=ID"));
    if (!cli_build(&cli, &status))
        return cli_end(&cli, NULL, status);
    BlyError err = {0};
    BlyRig rig = {0};
    BlyOutcome before, after;
    cJSON *tree = NULL;
    bool good = bly_rig_copy(&rig, &cli.build->fitted, &err);
    for (size_t i = 0; good && i < at.count; i++)
        good = cli_swap(&cli, "--at", at.at[i], &rig, &err);
    good = good && outcome_of(cli.build, &cli.build->fitted, &before, &err) &&
           outcome_of(cli.build, &rig, &after, &err) &&
           (write == NULL || cli_write_rig(&cli, &rig, write, &err));
    if (!good) {
        status = cli_tell(cli.file, &err);
    } else if (cli.json) {
        tree = make_json(cli.build, &rig, &before, &after);
    } else {
        (void)fprintf(cli.report.out, "%s\n", cli.build->name);
        text_swap(&cli.report, cli.build, &cli.build->fitted, &rig, &before, &after);
    }
    bly_rig_release(&rig);
    return cli_end(&cli, tree, status);
}
