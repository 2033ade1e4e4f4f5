/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Many builds: one a line in, one JSON result a line out, in the same order. docs/sweeps.md. */
#ifndef BALLASTRY_CLI_LINES_H
#define BALLASTRY_CLI_LINES_H

#include "cli/cli.h"
#include "cli/ring.h"

/* The options that a command with lines takes besides. */
typedef struct LineWords {
    const char *lines, *workers;
} LineWords;
#define LINE_OPTIONS(words)                                                                        \
    {"lines", OPT_TEXT, &(words).lines, "FILE",                                                    \
     "many builds, one a line of FILE; one JSON result a line"},                                   \
    {                                                                                              \
        "workers", OPT_TEXT, &(words).workers, "N",                                                \
            "with --lines: how many threads (default one a core)"                                  \
    }

/* What a command makes of one build; called by several threads at once. The tree goes to the
 * caller; NULL is no memory. */
typedef struct LineTask {
    bool (*work)(const BlyBuild *build, const BlyCatalog *catalog, const void *settings,
                 cJSON **tree, bool *no_rig, BlyError *err);
    const void *settings;
} LineTask;

/* Runs the command over the lines, tells what went wrong, ends cli; the exit status. The BUILD
 * argument, when there is one, is what lines with "set" change. */
int cli_lines(Cli *cli, const Command *command, const LineWords *words, const LineTask *task);

/* Without --lines: the BUILD must be there, and no --workers; reads it as cli_build does. */
bool cli_one_build(Cli *cli, const Command *command, const LineWords *words, int *status);

/* One line; context is a LineJob. A RingWork. */
typedef struct LineJob {
    const char *command; /* its name */
    const LineTask *task;
    const BlyCatalog *catalog;
    const BlyBuild *base; /* NULL: none */
    const WaterWords *water;
    BlyBuildFiles beside_base, here;
} LineJob;
RingEnd line_answer(void *context, const RingLine *line, BlyText *answer);

#endif
