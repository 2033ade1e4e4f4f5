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
    const char *target;                              /* "float"; of a starter too */
    bool no_lip;                                     /* not of a starter */
} StartWords;

enum { ASSUMED_MOST = 6 };

typedef struct Started {
    char *text;                        /* of the build file; owned */
    const char *assumed[ASSUMED_MOST]; /* sentences */
    size_t assumed_count;
} Started;

/* Whether there is a body to start from, or what should be one's measures. */
bool start_bodily(const StartWords *words);

/* Whether the options only change the size, substance or target of a starter. */
bool start_scales(const StartWords *words);

/* As start_build for a starter at the options' size, in the units of the run. */
bool start_scaled(Cli *cli, const char *name, const Starter *starter, const StartWords *words,
                  Started *out, BlyError *err);

/* Makes the text in the units of the run, and reads it into cli->build, so that what was written
 * can be read. cli->file is the build's future name, cli->catalog is filled. err->where names the
 * option at fault. */
bool start_build(Cli *cli, const char *name, const StartWords *words, Started *out, BlyError *err);

#endif
