/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ballastry new NAME: a starter build, written to NAME.json: a plain minnow, or around the body
 * that a file or the scale tells of. */
#include "cli/starting.h"

#include <stdlib.h>
#include <string.h>

#include "desk/desk.h"

static bool plain_name(const char *name) {
    if (*name == '\0' || strlen(name) > 60)
        return false;
    for (const char *p = name; *p != '\0'; p++) {
        bool good = (*p >= 'a' && *p <= 'z') || (*p >= 'A' && *p <= 'Z') || *p == '-' ||
                    *p == '_' || *p == ' ' || (*p >= '0' && *p <= '9');
        if (!good)
            return false;
    }
    return name[0] != '-' && name[0] != ' ';
}

static bool find_body(const char *id, const Starter **out, BlyError *err) {
    char known[160] = "";
    *out = id == NULL ? &starters[0] : starter_find(id);
    for (size_t i = 0; i < starter_count; i++)
        (void)snprintf(known + strlen(known), sizeof known - strlen(known), "%s%s",
                       i > 0 ? ", " : "", starters[i].id);
    return *out != NULL ||
           bly_fail(err, BLY_E_UNKNOWN, "--body", "'%.60s' is not a body; there are %s", id, known);
}

static bool file_of(const char *name, char file[80], BlyError *err) {
    if (!plain_name(name))
        return bly_fail(err, BLY_E_SYNTAX, "NAME",
                        "'%.60s' should be letters, digits, blanks and hyphens, at most 60", name);
    (void)snprintf(file, 80, "%s.json", name);
    return true;
}

static bool write_starter(const Cli *cli, const char *name, const Starter *starter,
                          const char *file, BlyError *err) {
    char *text = NULL;
    bool good = starter_text(starter, name, &text, err) &&
                (cli->system != BLY_INCH || text_in_inches(&text, err)) &&
                cli_write_new(file, text, err);
    free(text);
    return good;
}

static void print_text(const Cli *cli, const Started *started) {
    FILE *out = cli->report.out;
    (void)fprintf(out, "wrote %s\n", cli->file);
    if (cli->build == NULL) {
        (void)fprintf(out,
                      "change sizes, material and seats to yours, then: ballastry fit \"%s\"\n",
                      cli->file);
        return;
    }
    text_said(&cli->report, cli->build);
    text_slips(&cli->report, &cli->build->slips);
    for (size_t i = 0; i < started->assumed_count; i++)
        (void)fprintf(out, "  assumed: %s\n", started->assumed[i]);
    (void)fprintf(out, "change what is not so, then: ballastry rest \"%s\", ballastry fit \"%s\"\n",
                  cli->file, cli->file);
}

static cJSON *make_json(const Cli *cli, const Started *started) {
    cJSON *tree = cJSON_CreateObject();
    bool good = tree != NULL && put_text(tree, "written", cli->file);
    if (good && cli->build != NULL) {
        cJSON *assumed = cJSON_CreateStringArray(started->assumed, (int)started->assumed_count);
        good = put_tree(tree, "assumed", assumed) && put_said(tree, cli->build) &&
               put_slips(tree, &cli->build->slips);
    }
    return json_finished(tree, good);
}

/* The build from a file or from readings, or a starter scaled, in memory. */
static bool start(Cli *cli, const StartWords *words, const Starter *scaled, Started *started,
                  int *status, BlyError *err) {
    const char *name = cli->arguments[0];
    if (!cli_catalog(cli, status) || !cli_book(cli, status))
        return false;
    if (scaled != NULL ? start_scaled(cli, name, scaled, words, started, err)
                       : start_build(cli, name, words, started, err))
        return true;
    *status = cli_tell(NULL, err);
    return false;
}

/* A body that is there, with options that go with one. */
static bool check_body(const Command *self, const char *body, const StartWords *words,
                       const Starter **starter, int *status) {
    BlyError err = {0};
    if (!find_body(body, starter, &err))
        *status = cli_usage(self, "%s %s", err.where, err.text);
    else if (body != NULL && !start_scales(words))
        *status = cli_usage(self, "--body goes with --length, --width, --height, --material, "
                                  "--scale and --target alone");
    else
        return true;
    return false;
}

/* Without options the starter is written as it is, and no catalog is needed. */
static bool write_build(Cli *cli, const StartWords *words, const Starter *starter, bool named,
                        char file[80], Started *started, int *status) {
    const char *name = cli->arguments[0];
    bool bodily = start_bodily(words), plain = !bodily && words->target == NULL;
    const Starter *scaled = named || !bodily ? starter : NULL;
    BlyError err = {0};
    if (file_of(name, file, &err)) {
        if (!plain && !start(cli, words, scaled, started, status, &err))
            return false;
        if (plain ? write_starter(cli, name, starter, file, &err)
                  : cli_write_new(file, started->text, &err))
            return true;
    }
    *status = cli_tell(NULL, &err);
    return false;
}

int cmd_new(const Command *self, int argc, char **argv) {
    Cli cli;
    int status = EXIT_DONE;
    char file[80] = "";
    const char *body = NULL;
    const Starter *starter;
    StartWords words = {0};
    Started started = {0};
    const Option options[] = {
        {"body", OPT_TEXT, &body, "BODY", "minnow (the default), flat, short or stick"},
        {"from", OPT_TEXT, &words.from, "FILE[#ID]",
         "the body: SVG outline, CSV list or points, STL"},
        {"top", OPT_TEXT, &words.top, "FILE[#ID]", "the outline seen from above"},
        {"width", OPT_TEXT, &words.width, "WIDTH",
         "greatest width, or 70% of the height; of --body too"},
        {"nose", OPT_TEXT, &words.nose, "left|right",
         "where it is in the drawing (default left); of a mesh: -x .. +z"},
        {"unit", OPT_TEXT, &words.unit, "UNIT", "of a mesh (default mm)"},
        {"length", OPT_TEXT, &words.length, "LENGTH",
         "what the drawing's length really is; with --body: to scale it to"},
        {"scale", OPT_TEXT, &words.scale, "MASS", "the bare blank on the scale"},
        {"material", OPT_TEXT, &words.material, "ID", "what it is made of (default larch)"},
        {"displaced", OPT_TEXT, &words.displaced, "MASS",
         "no file: the scale's rise as the blank is pushed under"},
        {"water", OPT_TEXT, &words.water, "TEMP", "of the water it was pushed into (default 20 C)"},
        {"height", OPT_TEXT, &words.height, "HEIGHT",
         "greatest height, with --displaced or --body"},
        {"balance", OPT_TEXT, &words.balance, "LENGTH", "where it balances, from the nose"},
        {"target", OPT_TEXT, &words.target, "STATE",
         "float, suspend or sink (default suspend; of --body: its own)"},
        {"no-lip", OPT_FLAG, &words.no_lip, NULL, "with --from or --displaced: it has no lip"},
        {0}};
    if (!cli_begin(&cli, self, argc, argv, options, 1, 1, &status))
        return status;
    cli.file = file;
    if (!check_body(self, body, &words, &starter, &status))
        return cli_end(&cli, NULL, status);
    cJSON *tree = NULL;
    if (write_build(&cli, &words, starter, body != NULL, file, &started, &status)) {
        if (cli.json)
            tree = make_json(&cli, &started);
        else
            print_text(&cli, &started);
    }
    free(started.text);
    return cli_end(&cli, tree, status);
}
