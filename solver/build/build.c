/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A build file as a whole: its sections in order, then the blank that follows from them. */
#include "ballastry/build.h"
#include "build/fitted.h"
#include "text/near.h"

#include <limits.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FORMAT_VERSION = 1, NAME_MOST = 120 /* bytes */ };

char *bly_build_copy(const char *text, BlyError *err) {
    size_t size = strlen(text) + 1;
    char *copy = malloc(size);
    if (copy == NULL)
        (void)bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a text of %zu bytes", size);
    else
        memcpy(copy, text, size);
    return copy;
}

int bly_build_seat(const BlyBuild *build, const char *name) {
    for (size_t i = 0; i < build->seat_count; i++) {
        if (strcmp(build->seats[i].name, name) == 0)
            return (int)i;
    }
    return -1;
}

const char *bly_build_near_seat(const BlyBuild *build, const char *name) {
    const char *known[64];
    size_t count = 0;
    for (; count < build->seat_count && count < sizeof known / sizeof known[0]; count++)
        known[count] = build->seats[count].name;
    return bly_near(name, known, count);
}

bool bly_build_unknown_seat(const BlyBuild *build, const BlyJson *field, BlyError *err) {
    const char *name = bly_json_key(field);
    return bly_build_unknown(field, "seat", name, bly_build_near_seat(build, name), err);
}

static bool read_version(const BlyJson *root, BlyError *err) {
    BlyJson version;
    long number;
    if (!bly_json_require(root, "ballastry", &version, err) ||
        !bly_json_integer(&version, LONG_MIN, LONG_MAX, &number, err))
        return false;
    if (number == FORMAT_VERSION)
        return true;
    return bly_json_refuse(&version, BLY_E_RANGE, err, "is version %ld; expected %d", number,
                           FORMAT_VERSION);
}

static bool read_name(const BlyJson *root, BlyBuild *build, BlyError *err) {
    BlyJson name;
    const char *text;
    if (!bly_json_require(root, "name", &name, err) ||
        !bly_json_string(&name, NAME_MOST, &text, err))
        return false;
    build->name = bly_build_copy(text, err);
    return build->name != NULL;
}

static bool read_head(const BlyJson *root, BlyBuild *build, BlyError *err) {
    static const char *const keys[] = {"ballastry", "name",   "note",   "water",  "body",
                                       "seats",     "fitted", "target", "limits", "learnt"};
    BlyJson note;
    if (bly_build_member(root, "note", &note) && !cJSON_IsString(note.node))
        return bly_json_refuse(&note, BLY_E_SYNTAX, err, "expected a text");
    return bly_json_object(root, keys, sizeof keys / sizeof keys[0], err) &&
           read_version(root, err) && read_name(root, build, err);
}

/* Errors of the room that puts the lure together name a seat, or a fact such as "/mass". */
static bool blame(const BlyBuild *build, BlyError *err) {
    if (err == NULL)
        return false;
    int seat = bly_build_seat(build, err->where);
    if (seat >= 0)
        return bly_build_blame_seat(build->seats[seat].name, err);
    if (strcmp(err->where, "/density") == 0) /* a build says it by its material */
        (void)snprintf(err->where, sizeof err->where, "/material");
    bly_error_prefix(err, "/body");
    return false;
}

/* Once the blank stands, what is fitted is laid on it: a strip's far end and an eye's shank show
 * only then whether they stay within the body. */
static bool make_blank(BlyBuild *build, BlyError *err) {
    if (!bly_blank_make(build->shape, &build->facts, build->coats, build->coat_count, build->seats,
                        &build->fitted, &build->blank, err))
        return blame(build, err);
    BlyItem items[BLY_CHOICE_ITEMS];
    size_t count;
    for (size_t i = 0; i < build->seat_count; i++) {
        const BlyChoice *choice = &build->fitted.at[i];
        if (!bly_choice_is_empty(choice) &&
            !bly_choice_items(&build->blank, &build->seats[i], (int)i, choice, items, &count, err))
            return bly_build_blame_seat(build->seats[i].name, err);
    }
    return true;
}

static bool read_sections(const BlyJson *root, const BlyCatalog *catalog,
                          const BlyBuildFiles *files, BlyBuild *build, BlyError *err) {
    BlyJson water, body, seats, fitted, target, limits, learnt;
    build->water = bly_build_usual_water();
    build->limits = (BlyLimits){.changes_most = -1, .price_most = NAN};
    if ((bly_build_member(root, "water", &water) &&
         !bly_build_read_water(&water, &build->water, err)) ||
        !bly_json_require(root, "body", &body, err) ||
        !bly_build_read_body(&body, catalog, files, build, err) ||
        (bly_build_member(root, "learnt", &learnt) &&
         !bly_build_read_learnt(&learnt, &build->facts, err)) ||
        (bly_build_member(root, "seats", &seats) && !bly_build_read_seats(&seats, build, err)) ||
        (learnt.node != NULL && !bly_build_read_ties(&learnt, build, err)))
        return false;
    bool has_fitted = bly_build_member(root, "fitted", &fitted);
    if (!bly_build_read_fitted(has_fitted ? &fitted : NULL, catalog, build, err) ||
        (bly_build_member(root, "target", &target) &&
         !bly_build_read_target(&target, build, err)) ||
        (bly_build_member(root, "limits", &limits) &&
         !bly_build_read_limits(&limits, catalog, &build->limits, err)))
        return false;
    BlyBox box = bly_body_box(build->shape);
    bly_build_usual_eyes(&build->limits, catalog, box.high.x - box.low.x);
    return true;
}

bool bly_build_read_with(const char *text, size_t size, const BlyCatalog *catalog,
                         const BlyBuildFiles *files, BlyBuild **out, BlyError *err) {
    *out = NULL;
    BlyBuild *build = calloc(1, sizeof *build);
    if (build == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a build");
    cJSON *doc = bly_json_parse(text, size, err);
    build->doc = doc;
    bool good = doc != NULL;
    if (good) {
        BlyJson root = bly_json_root(doc);
        good = read_head(&root, build, err) && read_sections(&root, catalog, files, build, err) &&
               make_blank(build, err);
    }
    if (!good) {
        bly_build_free(build);
        return false;
    }
    *out = build;
    return true;
}

bool bly_build_read(const char *text, size_t size, const BlyCatalog *catalog, BlyBuild **out,
                    BlyError *err) {
    return bly_build_read_with(text, size, catalog, NULL, out, err);
}

void bly_build_free(BlyBuild *build) {
    if (build == NULL)
        return;
    bly_blank_release(&build->blank);
    bly_body_free(build->shape);
    for (size_t i = 0; i < build->coat_count; i++)
        free(build->coats[i].material);
    for (size_t i = 0; i < build->inset_count; i++) {
        free(build->insets[i].name);
        free(build->insets[i].material);
    }
    free(build->insets);
    for (size_t i = 0; i < build->seat_count; i++)
        free(build->seats[i].name);
    bly_rig_release(&build->fitted);
    bly_build_release_limits(&build->limits);
    bly_build_release_said(build);
    for (size_t i = 0; build->tied != NULL && i < build->tied_count; i++)
        free(build->tied[i]);
    free(build->tied);
    free(build->tie);
    free(build->coats);
    free(build->seats);
    free(build->target_waters);
    free(build->material);
    free(build->name);
    cJSON_Delete(build->doc);
    free(build);
}
