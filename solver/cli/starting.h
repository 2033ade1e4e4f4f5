/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A starter build from what the maker has: a drawing, a table, or readings of the blank. */
#ifndef BALLASTRY_CLI_STARTING_H
#define BALLASTRY_CLI_STARTING_H

#include "cli/cli.h"

/* The options of `new`, as typed; NULL: not given. */
typedef struct StartWords {
    const char *from, *top, *width, *nose, *unit;    /* a file */
    const char *displaced, *water, *height;          /* readings instead */
    const char *length, *material, *scale, *balance; /* either */
} StartWords;

enum { ASSUMED_MOST = 4 };

typedef struct Started {
    char *text;                        /* of the build file; owned */
    const char *assumed[ASSUMED_MOST]; /* sentences */
    size_t assumed_count;
} Started;

/* Whether any option asks for more than the plain minnow. */
bool start_wanted(const StartWords *words);

/* Whether the options only change the size or substance of a starter. */
bool start_scales(const StartWords *words);

/* The same for a starter at the options' size. */
bool start_scaled(Cli *cli, const char *name, const Starter *starter, const StartWords *words,
                  Started *out, BlyError *err);

/* Makes the text, and reads it into cli->build, so that what was written can be read. cli->file is
 * the build's future name, cli->catalog is filled. err->where names the option at fault. */
bool start_build(Cli *cli, const char *name, const StartWords *words, Started *out, BlyError *err);

#endif
