/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Builds for the tests of drawings: files of invented lures, with invented parts. */
#ifndef BALLASTRY_TESTS_SHEET_KIT_H
#define BALLASTRY_TESTS_SHEET_KIT_H

#include <glob.h>

#include "support/check.h"
#include "ballastry/catalog.h"
#include "desk/desk.h"
#include "sheet/sheet.h"
#include "files/files.h"
#include "support/beside.h"

/* A catalog of the invented parts, and of the shipped ones when the examples are drawn. */
static inline void kit_catalog(BlyCatalog *catalog, bool shipped) {
    char *text;
    size_t size;
    *catalog = (BlyCatalog){0};
    assert_true(!shipped || bly_catalog_shipped(catalog, NULL));
    assert_true(bly_file_read("tests/sheet/parts.json", 1 << 20, &text, &size, NULL));
    assert_true(bly_catalog_read_json(catalog, text, size, NULL));
    free(text);
}

static inline BlyBuild *kit_build(const char *path, const BlyCatalog *catalog) {
    char *text = NULL;
    size_t size = 0;
    BlyBuild *build = NULL;
    BlyError err = {0};
    BlyBuildFiles files = beside_files(path);
    if (!bly_file_read(path, 1 << 20, &text, &size, &err) ||
        !bly_build_read_with(text, size, catalog, &files, &build, &err))
        fail_msg("%s: %s: %s", path, err.where, err.text);
    free(text);
    return build;
}

static inline void kit_gather(const BlyBuild *build, const BlyCatalog *catalog,
                              BlySheetFacts *facts) {
    BlyError err = {0};
    if (!sheet_gather(build, catalog, &build->fitted, facts, &err))
        fail_msg("%s: %s: %s", build->name, err.where, err.text);
    if (!sheet_gather_tow(facts, &err))
        fail_msg("%s: %s", err.where, err.text);
}

/* What a group of tests draws: every example and every build of this folder, and their parts. */
typedef struct Kit {
    BlyCatalog catalog;
    glob_t files;
} Kit;

static inline int kit_open(Kit *kit) {
    kit_catalog(&kit->catalog, true);
    if (glob("examples/*.json", 0, NULL, &kit->files) != 0 ||
        glob("tests/sheet/builds/*.json", GLOB_APPEND, NULL, &kit->files) != 0)
        return -1;
    return kit->files.gl_pathc > 10 ? 0 : -1;
}

static inline int kit_close(Kit *kit) {
    globfree(&kit->files);
    bly_catalog_release(&kit->catalog);
    return 0;
}

#endif
