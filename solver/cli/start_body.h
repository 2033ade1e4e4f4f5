/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Ways to read a maker's body: each is the members of a build's "body", as a text. */
#ifndef BALLASTRY_CLI_START_BODY_H
#define BALLASTRY_CLI_START_BODY_H

#include "cli/starting.h"

/* One way: its source as members of "body". */
typedef struct StartWay {
    const char *key;              /* "mesh", "stations", "outline", "measured" */
    const char *side_id, *top_id; /* put behind the file's name, "" for none, NULL: no top */
} StartWay;

enum { START_WAYS_MOST = 4 };

/* Which ways the file may be read, the likeliest first; returns how many. */
size_t start_ways(const StartWords *words, StartWay way[START_WAYS_MOST]);

/* The members of "body" by this way, without the braces. */
void start_body_put(const StartWords *words, const StartWay *way, BlyText *out);

/* Whether a file's name, without an id behind it, ends so, in large letters or small. */
bool start_ends_with(const char *name, const char *ending);

#endif
