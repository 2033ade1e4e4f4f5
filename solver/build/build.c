/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A build file as a whole: its sections in order, then the blank that follows from them. */
#include "ballastry/build.h"
#include "ballastry/rules.h"
#include "build/fitted.h"
#include "text/near.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FORMAT_VERSION = 1, NAME_MOST = 120 /* bytes */ };

char *build_copy(const char *text, BlyError *err) {
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

const char *build_near_seat(const BlyBuild *build, const char *name) {
    const char *known[64];
    size_t count = 0;
    for (; count < build->seat_count && count < sizeof known / sizeof known[0]; count++)
        known[count] = build->seats[count].name;
    return bly_near(name, known, count);
}

bool build_unknown_seat(const BlyBuild *build, const BlyJson *field, BlyError *err) {
    const char *name = bly_json_key(field);
    return build_unknown(field, "seat", name, build_near_seat(build, name), err);
}

static bool read_version(const BlyJson *root, BlyError *err) {
    BlyJson version;
    int64_t number;
    if (!bly_json_require(root, "ballastry", &version, err) ||
        !bly_json_integer(&version, INT64_MIN, INT64_MAX, &number, err))
        return false;
    if (number == FORMAT_VERSION)
        return true;
    return bly_json_refuse(&version, BLY_E_RANGE, err, "is version %" PRId64 "; expected %d",
                           number, FORMAT_VERSION);
}

static bool read_name(const BlyJson *root, BlyBuild *build, BlyError *err) {
    BlyJson name;
    const char *text;
    if (!bly_json_require(root, "name", &name, err) ||
        !bly_json_string(&name, NAME_MOST, &text, err))
        return false;
    build->name = build_copy(text, err);
    return build->name != NULL;
}

static bool read_head(const BlyJson *root, BlyBuild *build, BlyError *err) {
    static const char *const keys[] = {"ballastry", "name",   "note",     "water",
                                       "body",      "seats",  "fitted",   "target",
                                       "limits",    "learnt", "readings", "seen"};
    BlyJson note;
    if (build_member(root, "note", &note) && !cJSON_IsString(note.node))
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
        return build_blame_seat(build->seats[seat].name, err);
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
            return build_blame_seat(build->seats[i].name, err);
    }
    return true;
}

static bool rule_fills_in(const BlyBuild *build, BlyRuleId rule) {
    const BlyPractice *rules = bly_catalog_practice(build->catalog);
    return rules != NULL && rules->rule[rule].strength == BLY_RULE_NEVER &&
           (build->limits.allow & (1u << rule)) == 0;
}

/* Lead only when asked for, where the catalog has that rule. */
static void usual_lead(BlyBuild *build) {
    if (build->limits.lead_said || !rule_fills_in(build, BLY_RULE_LEAD))
        return;
    build->limits.lead_free = true;
    build->assumed |= 1u << BLY_RULE_LEAD;
}

/* The attitude of a target that names none, by its state. */
static void usual_attitude(BlyBuild *build) {
    const BlyPractice *rules = bly_catalog_practice(build->catalog);
    BlyTarget *t = &build->target;
    if (!build->has_target || isfinite(t->nose_low) || isfinite(t->nose_high) ||
        !rule_fills_in(build, BLY_RULE_ATTITUDE))
        return;
    const double low[] = {rules->float_low, rules->suspend_low, rules->sink_low};
    const double high[] = {rules->float_high, rules->suspend_high, rules->sink_high};
    t->nose_low = low[t->state];
    t->nose_high = high[t->state];
    build->assumed |= 1u << BLY_RULE_ATTITUDE;
}

static bool read_sections(const BlyJson *root, const BlyCatalog *catalog,
                          const BlyBuildFiles *files, BlyBuild *build, BlyError *err) {
    BlyJson water, body, seats, fitted, target, limits, learnt, readings;
    build->water = build_usual_water();
    build->limits = (BlyLimits){.changes_most = -1, .price_most = NAN};
    if ((build_member(root, "water", &water) && !build_read_water(&water, &build->water, err)) ||
        !bly_json_require(root, "body", &body, err) ||
        !build_read_body(&body, catalog, files, build, err) ||
        (build_member(root, "learnt", &learnt) &&
         (!build_read_learnt(&learnt, &build->facts, err) ||
          !build_read_lure(&learnt, build, err) || !build_read_tow_learnt(&learnt, build, err))) ||
        !build_read_seen(root, build, err) ||
        (build_member(root, "seats", &seats) && !build_read_seats(&seats, build, err)) ||
        (learnt.node != NULL && !build_read_ties(&learnt, build, err)))
        return false;
    bool has_fitted = build_member(root, "fitted", &fitted);
    if (!build_read_fitted(has_fitted ? &fitted : NULL, catalog, build, err) ||
        (build_member(root, "target", &target) && !build_read_target(&target, build, err)) ||
        (build_member(root, "limits", &limits) &&
         !build_read_limits(&limits, catalog, &build->limits, err)) ||
        (build_member(root, "readings", &readings) && !build_read_log(&readings, build, err)))
        return false;
    build->catalog = catalog;
    usual_lead(build);
    usual_attitude(build);
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
               build_use_habits(build, &root, err) && make_blank(build, err) &&
               build_look(&root, build, err);
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
    for (size_t i = 0; i < build->coat_count; i++) {
        free(build->coats[i].material);
        free(build->coats[i].way);
    }
    free(build->habits);
    free(build->lure);
    for (size_t i = 0; i < build->inset_count; i++) {
        free(build->insets[i].name);
        free(build->insets[i].material);
    }
    free(build->insets);
    for (size_t i = 0; i < build->seat_count; i++)
        free(build->seats[i].name);
    bly_rig_release(&build->fitted);
    build_release_limits(&build->limits);
    build_release_said(build);
    for (size_t i = 0; i < build->seen_count; i++)
        free(build->seen[i]);
    free(build->seen);
    for (size_t i = 0; i < build->tow_learnt.read_count; i++)
        free(build->tow_learnt.read[i]);
    free(build->tow_learnt.read);
    bly_slips_release(&build->slips);
    for (size_t i = 0; build->tied != NULL && i < build->tied_count; i++)
        free(build->tied[i]);
    free(build->tied);
    free(build->tie);
    free(build->readings);
    free(build->coats);
    free(build->seats);
    free(build->target_waters);
    free(build->material);
    free(build->name);
    cJSON_Delete(build->doc);
    free(build);
}
