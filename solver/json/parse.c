/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "json/json.h"
#include "json/scan.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A key and its place, to find doubled ones without comparing each with each. */
typedef struct Key {
    const char *name;
    size_t order;
} Key;

static int by_name(const void *a, const void *b) {
    const Key *left = a, *right = b;
    int order = strcmp(left->name, right->name);
    return order != 0 ? order : (left->order > right->order) - (left->order < right->order);
}

/* The first key, in the order of the text, that was there before. */
static bool find_doubled(const BlyJson *at, const char **doubled, BlyError *err) {
    *doubled = NULL;
    size_t count = bly_json_count(at);
    if (count < 2)
        return true;
    Key *keys = malloc(count * sizeof *keys);
    if (keys == NULL)
        return bly_fail(err, BLY_E_MEMORY, at->where, "no memory for the keys");
    size_t n = 0;
    for (const cJSON *child = at->node->child; child != NULL && n < count; child = child->next) {
        keys[n] = (Key){child->string, n};
        n++;
    }
    qsort(keys, n, sizeof *keys, by_name);
    size_t first = n;
    for (size_t i = 1; i < n; i++) {
        if (strcmp(keys[i - 1].name, keys[i].name) == 0 && keys[i].order < first) {
            first = keys[i].order;
            *doubled = keys[i].name;
        }
    }
    free(keys);
    return true;
}

/* What the grammar cannot tell. Depth is at most BLY_JSON_DEPTH_MAX by then. */
static bool check_tree(const BlyJson *at, BlyError *err) {
    if (cJSON_IsNumber(at->node) && !isfinite(at->node->valuedouble))
        return bly_json_refuse(at, BLY_E_RANGE, err, "is too large a number");
    if (cJSON_IsObject(at->node)) {
        const char *doubled;
        if (!find_doubled(at, &doubled, err))
            return false;
        if (doubled != NULL) {
            BlyJson member = bly_json_member(at, doubled);
            return bly_json_refuse(&member, BLY_E_CONFLICT, err, "this key appears twice");
        }
    }
    for (BlyJson member = bly_json_first(at); member.node != NULL; bly_json_next(&member)) {
        if (!check_tree(&member, err))
            return false;
    }
    return true;
}

static cJSON *parse_terminated(const char *text, size_t length, BlyError *err) {
    if (!json_scan(text, length, err))
        return NULL;
    cJSON *tree = cJSON_ParseWithLength(text, length);
    if (tree == NULL) { /* the text is sound, so memory it must be */
        (void)bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a document of %zu bytes", length);
        return NULL;
    }
    BlyJson root = bly_json_root(tree);
    if (!check_tree(&root, err)) {
        cJSON_Delete(tree);
        return NULL;
    }
    return tree;
}

cJSON *bly_json_parse(const char *text, size_t length, BlyError *err) {
    static const char byte_order_mark[] = "\xEF\xBB\xBF";
    if (length > BLY_JSON_SIZE_MAX) {
        (void)bly_fail(err, BLY_E_RANGE, NULL, "a document of more than %d bytes",
                       BLY_JSON_SIZE_MAX);
        return NULL;
    }
    if (length >= 3 && memcmp(text, byte_order_mark, 3) == 0) {
        text += 3;
        length -= 3;
    }
    char *copy = malloc(length + 1);
    if (copy == NULL) {
        (void)bly_fail(err, BLY_E_MEMORY, NULL, "no memory for a document of %zu bytes", length);
        return NULL;
    }
    memcpy(copy, text, length);
    copy[length] = '\0';
    cJSON *tree = parse_terminated(copy, length, err);
    free(copy);
    return tree;
}
