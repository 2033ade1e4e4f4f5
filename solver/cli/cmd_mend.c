/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ballastry mend BUILD: what to do now to a finished lure. */
#include "cli/cli.h"

#include <stdlib.h>
#include <string.h>

#include "desk/desk.h"
#include "files/files.h"

static bool write_build(const Cli *cli, const MendWork *mend, const char *file, BlyError *err) {
    char *text = NULL;
    if (file == NULL)
        return true;
    bool good = bly_mend_text(cli->build, &mend->plan, &text, err) &&
                bly_file_write(file, text, strlen(text), BLY_KEEP_EARLIER, err);
    free(text);
    return good;
}

/* Nothing is told to be done to a lure that is not whole yet; what to type first, as `tank` has it.
 */
static bool is_unfinished(Cli *cli) {
    char lacks[WORDS_MAX];
    const BlyBuild *build = cli->build;
    if (cli->json || !build->has_target || !bly_tank_unfinished(build, lacks, sizeof lacks))
        return false;
    (void)fprintf(cli->report.out, "%s\n", build->name);
    text_wrapped(&cli->report, 2, "%s", lacks);
    text_finish_first(&cli->report, build, cli->file, "mend");
    return cli->found_fault = true;
}

int cmd_mend(const Command *self, int argc, char **argv) {
    Cli cli;
    int status = EXIT_DONE;
    const char *write = NULL;
    const Option options[] = {{"o", OPT_TEXT, &write, "FILE", "write the build as mended"},
                              WATER_OPTIONS(cli.water),
                              {0}};
    if (!cli_begin(&cli, self, argc, argv, options, 1, 1, &status))
        return status;
    if (!cli_build(&cli, &status))
        return cli_end(&cli, NULL, status);
    if (is_unfinished(&cli))
        return cli_end(&cli, NULL, status);
    BlyError err = {0};
    MendWork mend;
    cJSON *tree = NULL;
    if (!mend_work(cli.build, &cli.catalog, NULL, &mend, &err) ||
        !write_build(&cli, &mend, write, &err)) {
        status = cli_tell(cli.file, &err);
    } else if (cli.json) {
        tree = json_mend(&cli.report, cli.build, &mend.plan);
    } else {
        text_mend(&cli.report, cli.build, &mend.plan, cli.file, write);
        text_slips(&cli.report, &mend.slips);
    }
    mend_work_release(&mend);
    return cli_end(&cli, tree, status);
}
