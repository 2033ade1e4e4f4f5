/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One value of a build's text set or taken away, by JSON Pointer (RFC 6901). */
#include "ballastry/build.h"
#include "build/fitted.h"

#include <stdlib.h>
#include <string.h>

enum { TOKEN_MOST = 128, INDEX_MOST = 100000 };

/* The next token of a pointer that begins with '/', unescaped; NULL when it is none. */
static const char *next_token(const char *at, char token[TOKEN_MOST]) {
    size_t used = 0;
    if (*at++ != '/')
        return NULL;
    while (*at != '\0' && *at != '/') {
        char c = *at++;
        if (c == '~') {
            if (*at != '0' && *at != '1')
                return NULL;
            c = *at++ == '0' ? '~' : '/';
        }
        if (used + 1 >= TOKEN_MOST)
            return NULL;
        token[used++] = c;
    }
    token[used] = '\0';
    return at;
}

/* "0", "12"; no sign, no leading zero. -1 for anything else. */
static int read_index(const char *token) {
    size_t digits = strspn(token, "0123456789");
    if (digits == 0 || token[digits] != '\0' || (token[0] == '0' && digits > 1) || digits > 5)
        return -1;
    return (int)strtol(token, NULL, 10);
}

static cJSON *find(cJSON *parent, const char *token) {
    if (cJSON_IsObject(parent))
        return cJSON_GetObjectItemCaseSensitive(parent, token);
    int index = cJSON_IsArray(parent) ? read_index(token) : -1;
    return index < 0 ? NULL : cJSON_GetArrayItem(parent, index);
}

static bool no_memory(BlyError *err) {
    return bly_fail(err, BLY_E_MEMORY, NULL, "no memory to write the build");
}

/* Where a list may be written: at one of its items, or with "-" behind the last. */
static bool place_in_list(cJSON *list, const char *token, const char *pointer, cJSON *value,
                          BlyError *err) {
    int index = read_index(token), count = cJSON_GetArraySize(list);
    bool good;
    if (strcmp(token, "-") == 0 || index == count) {
        good = cJSON_AddItemToArray(list, value);
    } else if (index >= 0 && index < count) {
        good = cJSON_ReplaceItemInArray(list, index, value);
    } else {
        cJSON_Delete(value);
        return bly_fail(err, BLY_E_RANGE, pointer, "the list has %d items", count);
    }
    if (!good)
        cJSON_Delete(value);
    return good || no_memory(err);
}

/* Puts value, owned from here on, under token. */
static bool place(cJSON *parent, const char *token, const char *pointer, cJSON *value,
                  BlyError *err) {
    if (cJSON_IsArray(parent))
        return place_in_list(parent, token, pointer, value, err);
    if (!cJSON_IsObject(parent)) {
        cJSON_Delete(value);
        return bly_fail(err, BLY_E_CONFLICT, pointer, "leads through a value that holds no others");
    }
    if (cJSON_GetObjectItemCaseSensitive(parent, token) != NULL)
        return build_replace(parent, token, value) || no_memory(err);
    if (cJSON_AddItemToObject(parent, token, value))
        return true;
    cJSON_Delete(value);
    return no_memory(err);
}

static void take_away(cJSON *parent, const char *token) {
    cJSON *item = find(parent, token);
    if (item != NULL)
        cJSON_Delete(cJSON_DetachItemViaPointer(parent, item));
}

/* Walks down to the last token's parent and sets or removes there; makes objects on the way when
 * something is to be set. `value` is owned from here on, NULL to remove. */
static bool edit(cJSON *doc, const char *pointer, cJSON *value, BlyError *err) {
    char token[TOKEN_MOST];
    cJSON *parent = doc;
    const char *at = next_token(pointer, token);
    for (; at != NULL && *at != '\0'; at = next_token(at, token)) {
        cJSON *child = find(parent, token);
        if (child == NULL && value == NULL)
            return true; /* nothing there to take away */
        if (child == NULL) {
            child = cJSON_CreateObject();
            if (child == NULL || !place(parent, token, pointer, child, err)) {
                cJSON_Delete(value);
                return child != NULL ? false : no_memory(err);
            }
        }
        parent = child;
    }
    if (at == NULL) {
        cJSON_Delete(value);
        return bly_fail(err, BLY_E_SYNTAX, pointer, "expected a JSON Pointer such as /body/mass");
    }
    if (value != NULL)
        return place(parent, token, pointer, value, err);
    take_away(parent, token);
    return true;
}

static bool edit_text(cJSON *doc, const char *pointer, const char *json, BlyError *err) {
    cJSON *value = json != NULL ? bly_json_parse(json, strlen(json), err) : NULL;
    return (json == NULL || value != NULL) && edit(doc, pointer, value, err);
}

bool bly_build_text_with(const BlyBuild *build, const char *pointer, const char *json, char **text,
                         BlyError *err) {
    *text = NULL;
    cJSON *doc = cJSON_Duplicate(build->doc, true);
    bool good = doc != NULL || no_memory(err);
    good = good && edit_text(doc, pointer, json, err) && build_print(doc, text, err);
    cJSON_Delete(doc);
    return good;
}

bool bly_build_text_with_all(const BlyBuild *build, const BlyEdit *edits, size_t count, char **text,
                             BlyError *err) {
    *text = NULL;
    cJSON *doc = cJSON_Duplicate(build->doc, true);
    bool good = doc != NULL || no_memory(err);
    for (size_t i = 0; good && i < count; i++)
        good = edit_text(doc, edits[i].pointer, edits[i].json, err);
    good = good && build_print(doc, text, err);
    cJSON_Delete(doc);
    return good;
}
