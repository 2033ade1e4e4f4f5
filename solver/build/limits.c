/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the search may do. */
#include "build/sections.h"

#include "ballastry/rules.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CHANGES_MOST = 1000, IDS_MOST = 1000 };
static const Quantity wire = {BLY_DIM_LENGTH, "mm", 1e-4, 1e-2, false};
static const Quantity money = {BLY_DIM_PRICE, NULL, 0.0, 1e9, false};

static bool read_size(const BlyJson *size, int *rank, BlyError *err) {
    if (!cJSON_IsString(size->node))
        return bly_json_refuse(size, BLY_E_SYNTAX, err,
                               "expected a hook size such as \"6\" or \"1/0\"");
    *rank = bly_hook_rank(size->node->valuestring);
    if (*rank > 0)
        return true;
    return bly_json_refuse(size, BLY_E_UNKNOWN, err,
                           "no such hook size; expected \"24\" to \"1\", "
                           "\"1/0\" to \"10/0\"");
}

static bool read_sizes(const BlyJson *sizes, BlyLimits *out, BlyError *err) {
    int ranks[2];
    if (!cJSON_IsArray(sizes->node) || bly_json_count(sizes) != 2)
        return bly_json_refuse(sizes, BLY_E_SYNTAX, err,
                               "expected a list of two, [smallest, largest]");
    for (BlyJson item = bly_json_first(sizes); item.node != NULL; bly_json_next(&item)) {
        if (!read_size(&item, &ranks[item.index], err))
            return false;
    }
    if (ranks[0] > ranks[1])
        return bly_json_refuse(sizes, BLY_E_RANGE, err,
                               "the first hook is larger than the second; expected [smallest, "
                               "largest]");
    out->hook_rank_low = ranks[0];
    out->hook_rank_high = ranks[1];
    return true;
}

/* Whether some part of the catalog has this id, or begins like it. */
static bool matches_any(const BlyCatalog *catalog, const char *id) {
    size_t length = strlen(id);
    if (length == 0 || id[length - 1] != '*')
        return bly_catalog_part(catalog, id) != NULL;
    for (size_t i = 0; i < catalog->part_count; i++) {
        if (strncmp(catalog->parts[i].id, id, length - 1) == 0)
            return true;
    }
    return false;
}

static bool read_id(const BlyJson *item, const BlyCatalog *catalog, char **out, BlyError *err) {
    if (!cJSON_IsString(item->node))
        return bly_json_refuse(item, BLY_E_SYNTAX, err,
                               "expected the id of a part, or its beginning and \"*\"");
    const char *id = item->node->valuestring;
    if (!matches_any(catalog, id))
        return build_unknown(item, "part", id, bly_catalog_nearest_part(catalog, id), err);
    *out = build_copy(id, err);
    return *out != NULL;
}

static bool read_ids(const BlyJson *limits, const char *key, const BlyCatalog *catalog, char ***ids,
                     size_t *id_count, BlyError *err) {
    BlyJson list;
    if (!build_member(limits, key, &list))
        return true;
    if (!bly_json_array(&list, 1, IDS_MOST, err))
        return false;
    size_t count = bly_json_count(&list);
    *ids = calloc(count, sizeof **ids);
    if (*ids == NULL)
        return bly_json_refuse(&list, BLY_E_MEMORY, err, "no memory for %zu ids", count);
    *id_count = count;
    for (BlyJson item = bly_json_first(&list); item.node != NULL; bly_json_next(&item)) {
        if (!read_id(&item, catalog, &(*ids)[item.index], err))
            return false;
    }
    return true;
}

static bool read_flag(const BlyJson *limits, const char *key, bool *out, BlyError *err) {
    BlyJson flag;
    return !build_member(limits, key, &flag) || bly_json_bool(&flag, out, err);
}

/* ["fine", "stout"] */
static bool read_grades(const BlyJson *list, BlyLimits *out, BlyError *err) {
    static const char *const words[] = {"fine", "medium", "stout", "extra"};
    size_t index;
    if (!bly_json_array(list, 1, 4, err))
        return false;
    for (BlyJson item = bly_json_first(list); item.node != NULL; bly_json_next(&item)) {
        if (!bly_json_word(&item, words, 4, &index, err))
            return false;
        out->grades |= 1u << bly_hook_grade(words[index]);
    }
    return true;
}

/* Rules of the craft by their ids. */
static bool read_allow(const BlyJson *list, BlyLimits *out, BlyError *err) {
    const char *words[BLY_RULES];
    size_t index;
    for (int i = 0; i < BLY_RULES; i++)
        words[i] = bly_rule_id((BlyRuleId)i);
    if (!bly_json_array(list, 0, BLY_RULES, err))
        return false;
    for (BlyJson item = bly_json_first(list); item.node != NULL; bly_json_next(&item)) {
        if (!bly_json_word(&item, words, BLY_RULES, &index, err))
            return false;
        out->allow |= 1u << index;
    }
    return true;
}

static bool read_band(const BlyJson *limits, const char *key, double *low, double *high,
                      BlyError *err) {
    static const Quantity size = {BLY_DIM_LENGTH, "mm", 0.0, 1.0, false};
    BlyJson band;
    return !build_member(limits, key, &band) || build_band(&band, &size, low, high, err);
}

static bool read_craft(const BlyJson *limits, BlyLimits *out, BlyError *err) {
    BlyJson grades, allow, lead;
    out->lead_said = build_member(limits, "lead_free", &lead);
    return (!build_member(limits, "hook_grade", &grades) || read_grades(&grades, out, err)) &&
           (!build_member(limits, "allow", &allow) || read_allow(&allow, out, err)) &&
           read_band(limits, "lip_free", &out->lip_free_low, &out->lip_free_high, err) &&
           read_band(limits, "lip_gauge", &out->lip_gauge_low, &out->lip_gauge_high, err);
}

bool build_read_limits(const BlyJson *limits, const BlyCatalog *catalog, BlyLimits *out,
                       BlyError *err) {
    static const char *const keys[] = {
        "hook_size", "eye_wire",   "same_hooks", "lead_free", "changes", "price",   "only",
        "never",     "hook_grade", "lip_free",   "lip_gauge", "allow",   "box_only"};
    BlyJson sizes, wires, changes;
    int64_t most = out->changes_most;
    if (!bly_json_object(limits, keys, sizeof keys / sizeof keys[0], err) ||
        (build_member(limits, "hook_size", &sizes) && !read_sizes(&sizes, out, err)) ||
        (build_member(limits, "eye_wire", &wires) &&
         !build_band(&wires, &wire, &out->eye_wire_low, &out->eye_wire_high, err)) ||
        (build_member(limits, "changes", &changes) &&
         !bly_json_integer(&changes, 0, CHANGES_MOST, &most, err)))
        return false;
    out->changes_most = (int)most;
    return read_craft(limits, out, err) && read_flag(limits, "same_hooks", &out->same_hooks, err) &&
           read_flag(limits, "lead_free", &out->lead_free, err) &&
           read_flag(limits, "box_only", &out->box_only, err) &&
           build_opt_quantity(limits, "price", &money, &out->price_most, err) &&
           read_ids(limits, "only", catalog, &out->only, &out->only_count, err) &&
           read_ids(limits, "never", catalog, &out->never, &out->never_count, err);
}

void build_release_limits(BlyLimits *limits) {
    for (size_t i = 0; i < limits->only_count; i++)
        free(limits->only[i]);
    for (size_t i = 0; i < limits->never_count; i++)
        free(limits->never[i]);
    free(limits->only);
    free(limits->never);
}
