/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ballastry new NAME: a starter build, written to NAME.json. */
#include "cli/cli.h"

#include <stdlib.h>
#include <string.h>

#include "desk/starters.h"

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
           bly_fail(err, BLY_E_UNKNOWN, "--body", "'%.60s' is no body; there are %s", id, known);
}

static bool write_starter(const char *name, const Starter *starter, char file[80], BlyError *err) {
    if (!plain_name(name))
        return bly_fail(err, BLY_E_SYNTAX, "NAME",
                        "'%.60s' should be letters, digits, blanks and hyphens, at most 60", name);
    char *text = NULL;
    (void)snprintf(file, 80, "%s.json", name);
    bool good = starter_text(starter, name, &text, err) && cli_write_new(file, text, err);
    free(text);
    return good;
}

int cmd_new(const Command *self, int argc, char **argv) {
    Cli cli;
    int status = EXIT_DONE;
    char file[80] = "";
    const char *body = NULL;
    const Starter *starter;
    const Option options[] = {
        {"body", OPT_TEXT, &body, "BODY", "minnow (the default), flat, short or stick"}, {0}};
    if (!cli_begin(&cli, self, argc, argv, options, 1, 1, &status))
        return status;
    BlyError err = {0};
    if (!find_body(body, &starter, &err))
        return cli_end(&cli, NULL, cli_usage(self, "%s %s", err.where, err.text));
    cJSON *tree = NULL;
    if (!write_starter(cli.arguments[0], starter, file, &err)) {
        status = cli_tell(NULL, &err);
    } else if (cli.json) {
        tree = cJSON_CreateObject();
        if (tree != NULL && !put_text(tree, "written", file)) {
            cJSON_Delete(tree);
            tree = NULL;
        }
    } else {
        (void)fprintf(cli.report.out,
                      "wrote %s\nchange sizes, material and seats to yours, then: ballastry fit "
                      "\"%s\"\n",
                      file, file);
    }
    return cli_end(&cli, tree, status);
}
