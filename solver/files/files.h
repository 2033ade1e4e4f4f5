/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whole files in and out. Every error is BLY_E_IO (or BLY_E_MEMORY) with the path as its place. */
#ifndef BALLASTRY_FILES_FILES_H
#define BALLASTRY_FILES_FILES_H

#include "ballastry/error.h"

/* Reads the whole file of at most `limit` bytes. *bytes gets a NUL after its *length bytes and
 * belongs to the caller, who frees it. On failure both stay untouched. */
bool bly_file_read(const char *path, size_t limit, char **bytes, size_t *length,
                   BlyError *err) BLY_MUST_CHECK;

/* The same from an open descriptor (standard input), which stays open; `name` goes into errors. */
bool bly_descriptor_read(int descriptor, const char *name, size_t limit, char **bytes,
                         size_t *length, BlyError *err) BLY_MUST_CHECK;

typedef enum BlyKeep {
    BLY_KEEP_NOTHING,
    BLY_KEEP_EARLIER /* the file as it was before stays beside it as "PATH~" */
} BlyKeep;

/* All bytes into an open descriptor; false with errno set. */
bool bly_file_send(int descriptor, const char *bytes, size_t length) BLY_MUST_CHECK;

/* Puts `length` bytes into the file at once: written to a new file in the same folder, flushed to
 * the disk, then renamed over the old one, whose permissions it takes. Whoever reads sees the old
 * file or the new one, never a part; on any failure the old one is as it was and nothing new is
 * left behind. A symbolic link stays and its target is replaced; one that leads nowhere is refused.
 * What is no regular file (a terminal, a pipe) is written to as it stands. After a failure errno
 * says why (ENOSPC, EROFS ..).
 */
bool bly_file_write(const char *path, const char *bytes, size_t length, BlyKeep keep,
                    BlyError *err) BLY_MUST_CHECK;

#endif
