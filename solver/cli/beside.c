/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files that a build names: in the build's own folder or below it, so that a build from a stranger
 * cannot point at anything else. */
#include "cli/cli.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "files/files.h"
#include "text/quote.h"

/* A mesh of 1,000,000 facets takes 50 MB, or some 270 MB written out as text. */
static const size_t list_limit = (size_t)16 << 20, mesh_limit = (size_t)512 << 20;

static bool names_mesh(const char *name) {
    size_t length = strlen(name);
    return length >= 4 && strcasecmp(name + length - 4, ".stl") == 0;
}

static bool climbs(const char *name) {
    for (const char *step = name;; step++) {
        size_t length = strcspn(step, "/");
        if (length == 2 && strncmp(step, "..", 2) == 0)
            return true;
        step += length;
        if (*step == '\0')
            return false;
    }
}

static bool read_beside(void *context, const char *name, char **text, size_t *size, BlyError *err) {
    const Cli *cli = context;
    char quoted[BLY_QUOTE_MAX];
    bly_quote(name, quoted);
    if (name[0] == '/' || climbs(name))
        return bly_fail(err, BLY_E_SYNTAX, NULL,
                        "\"%s\" leaves the build's folder; expected a file in it or below", quoted);
    const char *slash = strrchr(cli->file, '/');
    size_t folder = slash == NULL ? 0 : (size_t)(slash - cli->file) + 1, length = strlen(name);
    char *path = malloc(folder + length + 1);
    if (path == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a file's name");
    memcpy(path, cli->file, folder);
    memcpy(path + folder, name, length + 1);
    bool good = bly_file_read(path, names_mesh(name) ? mesh_limit : list_limit, text, size, err);
    free(path);
    return good;
}

BlyBuildFiles cli_files(Cli *cli) {
    return (BlyBuildFiles){.read = read_beside, .context = cli};
}
