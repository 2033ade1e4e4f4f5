/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A lure that was mended by the scale is known as well as before but for what the scale is off by:
 * what takes a part's place hangs together with the rest as that part did. */
#include "build/build.h"
#include "build/fitted.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { NAME_MAX_LENGTH = 160 };

static void name_of(const BlyBuild *build, const BuildCarry *carry, const BlyPart *part,
                    char out[NAME_MAX_LENGTH]) {
    (void)snprintf(out, NAME_MAX_LENGTH, "/fitted/%.60s/%s/%.60s", build->seats[carry->seat].name,
                   bly_part_kind_name(carry->kind), part->id);
}

static bool carry_one(const BlyBuild *build, const BuildCarry *carry, BuildTies *ties,
                      BlyError *err) {
    char from[NAME_MAX_LENGTH], to[NAME_MAX_LENGTH];
    size_t n = ties->count, at = 0;
    name_of(build, carry, carry->from, from);
    name_of(build, carry, carry->to, to);
    while (at < n && strcmp(ties->tied[at], from) != 0)
        at++;
    if (at == n)
        return true;
    for (size_t k = 0; k < n; k++) {
        if (k != at)
            ties->tie[at * n + k] = ties->tie[k * n + at] = carry->share * ties->tie[k * n + at];
    }
    if (strcmp(from, to) == 0)
        return true;
    free(ties->tied[at]);
    ties->tied[at] = build_copy(to, err);
    return ties->tied[at] != NULL;
}

static bool copy_ties(const BlyBuild *build, BuildTies *out, BlyError *err) {
    size_t n = out->count = build->tied_count;
    out->tied = calloc(n + 1, sizeof *out->tied);
    out->tie = calloc(n * n + 1, sizeof *out->tie);
    if (out->tied == NULL || out->tie == NULL)
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory for %zu ties", n);
    if (n > 0)
        memcpy(out->tie, build->tie, n * n * sizeof *out->tie);
    bool good = true;
    for (size_t i = 0; good && i < n; i++) {
        out->tied[i] = build_copy(build->tied[i], err);
        good = out->tied[i] != NULL;
    }
    return good;
}

BuildTies *build_ties_carry(const BlyBuild *build, const BuildCarry *carry, size_t count,
                            BlyError *err) {
    BuildTies *out = calloc(1, sizeof *out);
    bool good = out != NULL || bly_fail(err, BLY_E_MEMORY, NULL, "no memory for ties");
    good = good && copy_ties(build, out, err);
    for (size_t i = 0; good && i < count; i++)
        good = carry_one(build, &carry[i], out, err);
    if (good)
        return out;
    build_ties_free(out);
    return NULL;
}

void build_ties_free(BuildTies *ties) {
    if (ties == NULL)
        return;
    for (size_t i = 0; ties->tied != NULL && i < ties->count; i++)
        free(ties->tied[i]);
    free(ties->tied);
    free(ties->tie);
    free(ties);
}

/* In place of what the document says; it says nothing where the book ties. */
static bool write_ties(cJSON *doc, const BuildTies *ties) {
    cJSON *learnt = cJSON_GetObjectItemCaseSensitive(doc, "learnt");
    cJSON *said = cJSON_GetObjectItemCaseSensitive(learnt, "ties"), *of = cJSON_CreateArray(),
          *rows = cJSON_CreateArray(), *fresh = cJSON_CreateObject();
    bool good = of != NULL && rows != NULL && fresh != NULL;
    for (size_t i = 0; good && said != NULL && i < ties->count; i++) {
        good = cJSON_AddItemToArray(of, cJSON_CreateString(ties->tied[i]));
        cJSON *row = i > 0 ? cJSON_CreateDoubleArray(&ties->tie[i * ties->count], (int)i) : NULL;
        good = good && (i == 0 || cJSON_AddItemToArray(rows, row));
    }
    if (!good || said == NULL) {
        cJSON_Delete(of);
        cJSON_Delete(rows);
        cJSON_Delete(fresh);
        return good;
    }
    good = cJSON_AddItemToObject(fresh, "of", of) && cJSON_AddItemToObject(fresh, "r", rows);
    return build_replace(learnt, "ties", fresh) && good;
}

bool build_text_mended(const BlyBuild *build, const BlyRig *rig, const BuildTies *ties, char **text,
                       BlyError *err) {
    char *fitted = NULL;
    *text = NULL;
    if (!bly_build_text_with_rig(build, rig, &fitted, err))
        return false;
    cJSON *doc = cJSON_Parse(fitted);
    free(fitted);
    if (doc == NULL || !write_ties(doc, ties)) {
        cJSON_Delete(doc);
        return bly_fail(err, BLY_E_MEMORY, NULL, "no memory to write the build");
    }
    bool good = build_print(doc, text, err);
    cJSON_Delete(doc);
    return good;
}
