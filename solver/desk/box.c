/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/box.h"

#include <gsl/gsl_math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "files/files.h"

static const size_t box_limit = (size_t)4 << 20;
static const char box_name[] = "box.csv";

static bool is_file(const char *path) {
    struct stat found;
    return stat(path, &found) == 0 && S_ISREG(found.st_mode);
}

static bool is_folder(const char *path) {
    struct stat found;
    return stat(path, &found) == 0 && S_ISDIR(found.st_mode);
}

static bool try_path(char path[BOX_PATH_MAX], const char *folder, size_t length, const char *name) {
    int size = snprintf(path, BOX_PATH_MAX, "%.*s%s%s", (int)length, folder,
                        length > 0 && folder[length - 1] != '/' ? "/" : "", name);
    if (size > 0 && size < BOX_PATH_MAX && is_file(path))
        return true;
    path[0] = '\0';
    return false;
}

static bool find_beside(const char *beside, char path[BOX_PATH_MAX]) {
    const char *slash = beside != NULL ? strrchr(beside, '/') : NULL;
    if (beside != NULL && is_folder(beside))
        return try_path(path, beside, strlen(beside), box_name);
    return try_path(path, beside != NULL ? beside : "",
                    slash != NULL ? (size_t)(slash - beside) + 1 : 0, box_name);
}

bool box_find(const char *beside, char path[BOX_PATH_MAX]) {
    const char *config = getenv("XDG_CONFIG_HOME"), *home = getenv("HOME");
    path[0] = '\0';
    if (find_beside(beside, path))
        return true;
    if (config != NULL && config[0] == '/')
        return try_path(path, config, strlen(config), "ballastry/box.csv");
    return home != NULL && home[0] == '/' &&
           try_path(path, home, strlen(home), ".config/ballastry/box.csv");
}

bool box_read(const char *path, BlyCatalog *into, BlyError *err) {
    char *text = NULL;
    size_t size = 0;
    bool good = bly_file_read(path, box_limit, &text, &size, err) &&
                bly_catalog_read_box(into, text, size, err);
    free(text);
    return good;
}

/* Of one piece at one seat: m of wire (turns about a shank) and strip, else pieces. */
static double amount_of(const BlyChoice *choice, BlyPartKind kind) {
    const BlyPart *part = choice->of[kind].part, *hook = choice->of[BLY_PART_HOOK].part;
    if (kind == BLY_PART_DOT)
        return choice->count;
    if (kind == BLY_PART_STRIP)
        return choice->count * choice->length;
    if (kind == BLY_PART_WIRE && hook != NULL)
        return choice->count * bly_wire_turn_mass(part, hook) / part->mass.value;
    return 1;
}

void box_used(const BlyCatalog *catalog, const BlyRig *rig, const BlyRig *fitted, double *takes) {
    memset(takes, 0, catalog->part_count * sizeof *takes);
    for (size_t s = 0; s < rig->count; s++) {
        for (int kind = 0; kind < BLY_PART_KINDS; kind++) {
            const BlyPart *part = rig->at[s].of[kind].part;
            if (part == NULL || kind == BLY_PART_OUTLINE ||
                (fitted != NULL && fitted->at[s].of[kind].part == part))
                continue;
            takes[part - catalog->parts] += amount_of(&rig->at[s], (BlyPartKind)kind);
        }
    }
}
