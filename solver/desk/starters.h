/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plain bodies to begin a build with, our own; every line of them is meant to be changed. */
#ifndef BALLASTRY_DESK_STARTERS_H
#define BALLASTRY_DESK_STARTERS_H

#include "ballastry/error.h"

typedef struct Starter {
    const char *id;    /* "minnow" */
    const char *name;  /* "turned minnow, 90 mm" */
    const char *about; /* one sentence */
    const char *text;  /* private: the build's file from "water" on */
} Starter;

extern const Starter starters[];
extern const size_t starter_count;

const Starter *starter_find(const char *id); /* NULL: none of that id */

/* The whole text of a build file of this name; free(*text) by the caller. */
bool starter_text(const Starter *starter, const char *name, char **text,
                  BlyError *err) BLY_MUST_CHECK;

#endif
