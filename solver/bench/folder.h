/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The one folder that a bench may read and write. Names are plain, and what is not an ordinary file
 * (a link that leads elsewhere, a pipe) is as if it were not there. Errors name the file and never
 * the folder. */
#ifndef BALLASTRY_BENCH_FOLDER_H
#define BALLASTRY_BENCH_FOLDER_H

#include "bench/bench.h"
#include "json/json.h"

/* A plain name of a build file: ends in .json, no folder in it, not hidden. */
bool folder_plain_name(const char *name);

/* What is said of any other name, after the name itself. */
#define FOLDER_NO_NAME                                                                             \
    "is no name for a file here: no \"/\" in it, no dot in front, \".json\" at its end"

/* The same of a file that a build's body may name: a caliper list, a drawing, a mesh. */
bool folder_shape_name(const char *name);

/* Reads an ordinary file in the folder or below it, no link on the way. *there (may be NULL) is
 * false when nothing of that name is there, which is BLY_E_IO too. NUL behind the bytes; free. */
bool folder_read(const Bench *bench, const char *name, size_t limit, char **bytes, size_t *size,
                 bool *there, BlyError *err) BLY_MUST_CHECK;

/* Writes a file of the folder at once; what is not an ordinary file is left alone. Where the disk
 * refuses, *status becomes that of the answer: 507 no room, 403 may not be written, 404 the folder
 * is gone, 422 too long a name, else 500. */
bool folder_write(const Bench *bench, const char *name, const char *bytes, size_t size,
                  bool keep_earlier, int *status, BlyError *err) BLY_MUST_CHECK;

/* The text that the page read before ("was" of the request, null: there was none) must be the
 * disk's, byte for byte; else *status is 409. Asked and written under one lock, so that of two tabs
 * that save at once the second is told. */
bool folder_unchanged(const Bench *bench, const BlyJson *in, const char *name, int *status,
                      BlyError *err) BLY_MUST_CHECK;
void folder_lock(const Bench *bench);
void folder_unlock(const Bench *bench);

/* Files that a build names, for bly_build_read_with. */
BlyBuildFiles folder_files(const Bench *bench);

/* ---- drafts: the text of a file as the page left it unsaved; name "": one that has no file yet */

bool draft_name_good(const char *name);
/* Whether it is there; its text (free) when `text` is not NULL. */
bool draft_there(const Bench *bench, const char *name, char **text);
bool draft_put(const Bench *bench, const char *name, const char *text, int *status,
               BlyError *err) BLY_MUST_CHECK; /* as folder_write */
void draft_drop(const Bench *bench, const char *name);
/* The file's name of a draft's file name, NULL when it is none: ".minnow.json.draft". */
bool draft_of_file(const char *file, char name[BENCH_NAME_MAX + 1]);

#endif
