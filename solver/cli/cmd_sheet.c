/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ballastry sheet BUILD -o FILE: drawings and the bench sheet. */
#include "cli/cli.h"

#include <stdlib.h>

#include "picture/picture.h"

typedef struct Asked {
    const char *file, *paper, *view;
    OptionList after;
} Asked;

static bool order_of(const Cli *cli, const Asked *asked, BlySheetOrder *order, BlyError *err) {
    *order = (BlySheetOrder){.system = cli->system};
    order->paper = cli->system == BLY_INCH ? BLY_PAPER_LETTER : BLY_PAPER_A4;
    if (asked->paper != NULL && !bly_paper_read(asked->paper, &order->paper))
        return bly_fail(err, BLY_E_UNKNOWN, "--paper", "should be a4 or letter, not '%s'",
                        asked->paper);
    if (asked->view != NULL && !bly_sheet_view_read(asked->view, &order->view))
        return bly_fail(err, BLY_E_UNKNOWN, "--view",
                        "should be page, side, outlines, curves, chance or influence, not '%s'",
                        asked->view);
    return true;
}

static bool swapped(const Cli *cli, const OptionList *after, BlyRig *rig, BlyError *err) {
    bool good = bly_rig_copy(rig, &cli->build->fitted, err);
    for (size_t i = 0; good && i < after->count; i++)
        good = cli_swap(cli, "--after", after->at[i], rig, err);
    return good;
}

static bool draw(const Cli *cli, const Asked *asked, const BlySheetOrder *order, BlySheet *sheet,
                 BlyError *err) {
    BlySheetFacts now = {0}, later = {0};
    BlyRig rig = {0};
    bool both = asked->after.count > 0;
    bool good = bly_sheet_gather(cli->build, &cli->catalog, &cli->build->fitted, &now, err) &&
                (!both || (swapped(cli, &asked->after, &rig, err) &&
                           bly_sheet_gather(cli->build, &cli->catalog, &rig, &later, err))) &&
                bly_sheet_draw(&now, both ? &later : NULL, order, sheet, err);
    bly_sheet_facts_release(&now);
    bly_sheet_facts_release(&later);
    bly_rig_release(&rig);
    return good;
}

/* Tells which files were written. */
static cJSON *tell_files(const Cli *cli, const char *file, size_t files, size_t pages) {
    cJSON *tree = cli->json ? cJSON_CreateObject() : NULL;
    cJSON *list = tree != NULL ? cJSON_AddArrayToObject(tree, "files") : NULL;
    bool good = list != NULL && put_number(tree, "pages", (double)pages);
    for (size_t i = 0; i < files; i++) {
        char *name = bly_picture_file(file, i);
        if (!cli->json && name != NULL)
            (void)fprintf(cli->report.out, "wrote %s\n", name);
        else
            good = good && name != NULL && cJSON_AddItemToArray(list, cJSON_CreateString(name));
        free(name);
    }
    if (good || tree == NULL)
        return tree;
    cJSON_Delete(tree);
    return NULL;
}

int cmd_sheet(const Command *self, int argc, char **argv) {
    Cli cli;
    int status = EXIT_DONE;
    Asked asked = {0};
    const Option options[] = {
        {"o", OPT_TEXT, &asked.file, "FILE", "where to: .svg, .pdf or .png"},
        {"paper", OPT_TEXT, &asked.paper, "a4|letter", "paper of the page (letter with inches)"},
        {"view", OPT_TEXT, &asked.view, "VIEW",
         "page, side, outlines, curves, chance or influence"},
        {"after", OPT_TEXTS, &asked.after, "SEAT.PART=ID", "show before and after this change"},
        {0}};
    BlyPictureKind kind;
    BlySheetOrder order;
    BlySheet sheet = {0};
    BlyError err = {0};
    size_t files = 0;
    if (!cli_begin(&cli, self, argc, argv, options, 1, 1, &status))
        return status;
    if (asked.file == NULL || !bly_picture_kind(asked.file, &kind))
        return cli_end(&cli, NULL, cli_usage(self, "say where to: -o FILE.svg, .pdf or .png"));
    if (!order_of(&cli, &asked, &order, &err))
        return cli_end(&cli, NULL, cli_usage(self, "%s %s", err.where, err.text));
    if (!cli_build(&cli, &status))
        return cli_end(&cli, NULL, status);
    cJSON *tree = NULL;
    if (draw(&cli, &asked, &order, &sheet, &err) &&
        bly_picture_write(&sheet, asked.file, &files, &err))
        tree = tell_files(&cli, asked.file, files, sheet.count);
    else
        status = cli_tell(err.code == BLY_E_IO ? NULL : cli.file, &err);
    bly_sheet_release(&sheet);
    return cli_end(&cli, tree, status);
}
