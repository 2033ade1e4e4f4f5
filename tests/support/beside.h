/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The files that a build names, from its own folder, for tests that read builds from the disk. */
#ifndef BALLASTRY_TESTS_BESIDE_H
#define BALLASTRY_TESTS_BESIDE_H

#include "build/build.h"
#include "files/files.h"
#include "support/check.h"

/* `context` is the build's path. */
static inline bool beside_read(void *context, const char *name, char **text, size_t *size,
                               BlyError *err) {
    const char *build = context, *slash = strrchr(build, '/');
    char path[256];
    int folder = slash == NULL ? 0 : (int)(slash - build) + 1;
    if (snprintf(path, sizeof path, "%.*s%s", folder, build, name) >= (int)sizeof path)
        return bly_fail(err, BLY_E_IO, name, "has too long a name");
    return bly_file_read(path, (size_t)64 << 20, text, size, err);
}

static inline BlyBuildFiles beside_files(const char *path) {
    return (BlyBuildFiles){.read = beside_read, .context = (void *)path};
}

#endif
