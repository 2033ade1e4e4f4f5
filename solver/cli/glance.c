/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The side view in characters, where standard output is a terminal. */
#include "cli/cli.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "sheet/sheet.h"

enum { GLANCE_COLUMNS = 68, GLANCE_ROWS = 14 };

static bool set(const char *name) {
    const char *value = getenv(name);
    return value != NULL && value[0] != '\0';
}

/* LC_ALL goes before LC_CTYPE, which goes before LANG. */
static bool speaks_utf8(void) {
    static const char *const names[] = {"LC_ALL", "LC_CTYPE", "LANG"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        const char *value = getenv(names[i]);
        if (value != NULL && value[0] != '\0')
            return strstr(value, "UTF-8") != NULL || strstr(value, "utf8") != NULL;
    }
    return false;
}

void cli_glance(const Cli *cli, const BlyRig *rig, const BlyLure *lure, const BlyOutcome *outcome) {
    const char *term = getenv("TERM");
    if (cli->json || !isatty(STDOUT_FILENO))
        return;
    BlyTerminal terminal = {.columns = GLANCE_COLUMNS,
                            .rows = GLANCE_ROWS,
                            .blocks = speaks_utf8(),
                            .colour =
                                !set("NO_COLOR") && term != NULL && strcmp(term, "dumb") != 0};
    char *text = NULL;
    if (bly_sheet_terminal(cli->build, rig, lure, outcome, &terminal, &text, NULL))
        (void)fprintf(cli->report.out, "%s\n", text);
    free(text);
}
