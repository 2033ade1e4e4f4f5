/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ballastry sheet BUILD -o FILE: drawings and the bench sheet. */
#include "cli/cli.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "desk/desk.h"
#include "files/files.h"
#include "picture/picture.h"

typedef struct Asked {
    const char *file, *paper, *view, *chord, *slot_gap;
    OptionList after;
    bool whole, ascii;
} Asked;

static bool order_of(const Cli *cli, const Asked *asked, BlySheetOrder *order, BlyError *err) {
    *order = (BlySheetOrder){.system = cli->system};
    order->paper = cli->system == BLY_INCH ? BLY_PAPER_LETTER : BLY_PAPER_A4;
    if (asked->paper != NULL && !bly_paper_read(asked->paper, &order->paper))
        return bly_fail(err, BLY_E_UNKNOWN, "--paper", "should be a4 or letter, not '%s'",
                        asked->paper);
    if (asked->view != NULL && !bly_sheet_view_read(asked->view, &order->view))
        return bly_fail(
            err, BLY_E_UNKNOWN, "--view",
            "should be page, side, outlines, curves, chance, tow or influence, not '%s'",
            asked->view);
    return true;
}

static bool swapped(const Cli *cli, const OptionList *after, BlyRig *rig, BlyError *err) {
    bool good = bly_rig_copy(rig, &cli->build->fitted, err);
    for (size_t i = 0; good && i < after->count; i++)
        good = cli_swap(cli, "--after", after->at[i], rig, err);
    return good;
}

static bool draw(const Cli *cli, const Asked *asked, const BlySheetOrder *order, SheetWork *out,
                 BlyError *err) {
    BlyRig rig = {0};
    bool both = asked->after.count > 0;
    bool good = (!both || swapped(cli, &asked->after, &rig, err)) &&
                sheet_work(cli->build, &cli->catalog, both ? &rig : NULL, order, out, err);
    bly_rig_release(&rig);
    return good;
}

/* Tells which files were written; false without memory. */
static bool tell_files(const Cli *cli, const char *file, size_t files, const SheetWork *drawn,
                       cJSON **tree) {
    cJSON *list = NULL;
    *tree = cli->json ? cJSON_CreateObject() : NULL;
    if (*tree != NULL)
        list = cJSON_AddArrayToObject(*tree, "files");
    bool good =
        !cli->json || (list != NULL && (put_number(*tree, "pages", (double)drawn->sheet.count) &&
                                        put_slips(*tree, &drawn->slips)));
    for (size_t i = 0; good && i < files; i++) {
        char *name = bly_picture_file(file, i);
        good = name != NULL;
        if (good && cli->json)
            good = cJSON_AddItemToArray(list, cJSON_CreateString(name));
        else if (good)
            (void)fprintf(cli->report.out, "wrote %s\n", name);
        free(name);
    }
    if (good && !cli->json)
        text_slips(&cli->report, &drawn->slips);
    return good;
}

/* ---- the body as triangles ---- */

static bool ends_in_stl(const char *file) {
    size_t length = strlen(file);
    const char *end = length >= 4 ? file + length - 4 : "";
    return strcmp(end, ".stl") == 0 || strcmp(end, ".STL") == 0;
}

static bool length_of(const char *text, const char *option, double least, double most, double *out,
                      BlyError *err) {
    if (text == NULL)
        return true;
    if (!bly_quantity_read(text, BLY_DIM_LENGTH, "mm", out, err)) {
        (void)snprintf(err->where, sizeof err->where, "%s", option);
        return false;
    }
    return (*out >= least && *out <= most) ||
           bly_fail(err, BLY_E_RANGE, option, "should be %g to %g mm, not '%s'", 1e3 * least,
                    1e3 * most, text);
}

static bool print_order_of(const Asked *asked, PrintOrder *order, BlyError *err) {
    *order = print_order();
    order->whole = asked->whole;
    order->kind = asked->ascii ? BLY_STL_TEXT : BLY_STL_BINARY;
    if (asked->paper != NULL || asked->view != NULL)
        return bly_fail(err, BLY_E_CONFLICT, asked->view != NULL ? "--view" : "--paper",
                        "goes with a drawing, not with a body in space");
    return length_of(asked->chord, "--chord", 1e-6, 1e-3, &order->chord, err) &&
           length_of(asked->slot_gap, "--slot-gap", 1e-4, 2e-2, &order->slot_gap, err);
}

static cJSON *tell_body(const Cli *cli, const Asked *asked, const PrintOrder *order,
                        const PrintedBody *printed, const BlySlips *slips) {
    if (!cli->json) {
        char volume[BLY_QUANTITY_MAX], chord[BLY_QUANTITY_MAX];
        bly_quantity_show(printed->volume, BLY_DIM_VOLUME, BLY_METRIC, 3, volume);
        bly_quantity_show(order->chord, BLY_DIM_LENGTH, BLY_METRIC, 3, chord);
        (void)fprintf(cli->report.out, "wrote %s: %zu facets, in mm, %s%s\n", asked->file,
                      printed->facets, volume, printed->slots > 0 ? ", lip slot sawn" : "");
        if (printed->of_mesh)
            (void)fprintf(cli->report.out, "  the facets are the body's own\n");
        else
            (void)fprintf(cli->report.out, "  within %s of the true surface\n", chord);
        text_slips(&cli->report, slips);
        return NULL;
    }
    cJSON *tree = cJSON_CreateObject(), *list = NULL;
    bool good = tree != NULL && (list = cJSON_AddArrayToObject(tree, "files")) != NULL &&
                put_last(list, cJSON_CreateString(asked->file)) &&
                put_number(tree, "facets", (double)printed->facets) &&
                put_number(tree, "volume_cm3", printed->volume * 1e6) &&
                put_number(tree, "slots", (double)printed->slots) &&
                put_number(tree, "slot_volume_cm3", printed->slot_volume * 1e6) &&
                put_number(tree, "chord_mm", printed->of_mesh ? NAN : order->chord * 1e3) &&
                put_slips(tree, slips);
    return json_finished(tree, good);
}

static int write_body(Cli *cli, const Asked *asked, const PrintOrder *order, cJSON **tree) {
    PrintedBody printed = {0};
    BlySlips slips = {0};
    BlyRig rig = {0};
    BlyError err = {0};
    int status = EXIT_DONE;
    if (swapped(cli, &asked->after, &rig, &err) &&
        print_body(cli->build, &rig, order, &printed, &err) &&
        bly_build_slips(cli->build, &rig, &slips, &err) &&
        bly_file_write(asked->file, printed.bytes, printed.size, BLY_KEEP_NOTHING, &err))
        *tree = tell_body(cli, asked, order, &printed, &slips);
    else
        status = cli_tell(err.code == BLY_E_IO ? NULL : cli->file, &err);
    print_body_release(&printed);
    bly_slips_release(&slips);
    bly_rig_release(&rig);
    return status;
}

static int sheet_of_body(Cli *cli, const Command *self, const Asked *asked) {
    PrintOrder order;
    BlyError err = {0};
    cJSON *tree = NULL;
    int status = EXIT_DONE;
    if (!print_order_of(asked, &order, &err))
        return cli_end(cli, NULL, cli_usage(self, "%s %s", err.where, err.text));
    if (cli_build(cli, &status))
        status = write_body(cli, asked, &order, &tree);
    return cli_end(cli, tree, status);
}

int cmd_sheet(const Command *self, int argc, char **argv) {
    Cli cli;
    int status = EXIT_DONE;
    Asked asked = {0};
    const Option options[] = {
        {"o", OPT_TEXT, &asked.file, "FILE", "where to: .svg, .pdf or .png; .stl: the body"},
        {"paper", OPT_TEXT, &asked.paper, "a4|letter", "paper of the page (letter with inches)"},
        {"view", OPT_TEXT, &asked.view, "VIEW",
         "page, side, outlines, curves, chance, tow or influence"},
        {"after", OPT_TEXTS, &asked.after, "SEAT.PART=ID", "show before and after this change"},
        {"chord", OPT_TEXT, &asked.chord, "LENGTH", ".stl: most off the true surface (0.02 mm)"},
        {"slot-gap", OPT_TEXT, &asked.slot_gap, "LENGTH", ".stl: width of the lip slot"},
        {"whole", OPT_FLAG, &asked.whole, NULL, ".stl: without the lip slot"},
        {"ascii", OPT_FLAG, &asked.ascii, NULL, ".stl: as text"},
        {0}};
    BlyPictureKind kind;
    BlySheetOrder order;
    SheetWork drawn = {0};
    BlyError err = {0};
    size_t files = 0;
    if (!cli_begin(&cli, self, argc, argv, options, 1, 1, &status))
        return status;
    if (asked.file != NULL && ends_in_stl(asked.file))
        return sheet_of_body(&cli, self, &asked);
    if (asked.chord != NULL || asked.slot_gap != NULL || asked.whole || asked.ascii)
        return cli_end(&cli, NULL,
                       cli_usage(self, "--chord, --slot-gap, --whole and --ascii go with a .stl"));
    if (asked.file == NULL || !bly_picture_kind(asked.file, &kind))
        return cli_end(&cli, NULL,
                       cli_usage(self, "say where to: -o FILE.svg, .pdf, .png or .stl"));
    if (!order_of(&cli, &asked, &order, &err))
        return cli_end(&cli, NULL, cli_usage(self, "%s %s", err.where, err.text));
    if (!cli_build(&cli, &status))
        return cli_end(&cli, NULL, status);
    cJSON *tree = NULL;
    if (!draw(&cli, &asked, &order, &drawn, &err) ||
        !bly_picture_write(&drawn.sheet, asked.file, &files, &err))
        status = cli_tell(err.code == BLY_E_IO ? NULL : cli.file, &err);
    else if (!tell_files(&cli, asked.file, files, &drawn, &tree))
        status = cli_no_memory();
    sheet_work_release(&drawn);
    return cli_end(&cli, tree, status);
}
